//! Cubic curves as chains of circular arcs within a stated tolerance, for cutters that want arcs.
//!
//! Each stretch is replaced by a biarc: two arcs tangent to the curve at both ends and to each other, joined at the point
//! that makes their reaches equal (K. Bolton, "Biarc curves", Computer-Aided Design 7 (1975), pp. 89-92). The error of a
//! stretch is measured on the curve, and the stretch made as long as the tolerance lets it be.

use kurbo::{Point, Vec2};

use super::{CircularArc, Piece};

/// Most stretches of one curve; the rest is given as its chord. A kilometer of curve takes fewer at any useful tolerance.
const MOST_STRETCHES: u32 = 2000;

/// Halvings spent on finding how long a stretch may be; more would not save another arc.
const LENGTH_HALVINGS: u32 = 8;

/// Points of a stretch compared with its arcs.
const PROBES: i32 = 16;

/// The share of the tolerance that the probes may show: between two of them the error may be some 6 % larger.
const PROBED_SHARE: f64 = 0.9;

/// Stretches that leave their chord by less than this (mm), and turn by less than [`STRAIGHT_RAD`], are written as lines:
/// their radius would be kilometers.
const STRAIGHT_MM: f64 = 1e-5;

/// See [`STRAIGHT_MM`]; also the largest corner this leaves, radians.
const STRAIGHT_RAD: f64 = 1e-4;

/// Finest tolerance, mm; finer ones are taken for this. It keeps the number of arcs in reason.
const FINEST_MM: f64 = 1e-5;

/// Largest sweep of a fitted arc, radians; an arc that turns further may have gone the long way round.
const WIDEST_SWEEP: f64 = 2.0;

/// Parameters nearer than this are one place to cut.
const SAME_PARAMETER: f64 = 1e-6;

/// The piece as lines and arcs that stay within `tolerance` mm of it (0.00001 at the finest), and it within as much of
/// them. Lines and arcs come back unchanged, and so does a piece with a number that is not finite.
///
/// The chain begins and ends where the piece does, and each of its pieces where the one before ends, to 1e-7 mm. Its
/// directions are those of the piece at both ends, and it has no corner where the piece has none, except in stretches
/// smaller than the tolerance.
#[must_use]
pub fn arcs_within(piece: &Piece, tolerance: f64) -> Vec<Piece> {
    let Piece::Cubic(cubic) = piece else {
        return vec![*piece];
    };
    if !piece.is_finite() {
        return vec![*piece];
    }
    let tolerance = tolerance.max(FINEST_MM);
    if is_straight(piece) {
        return vec![Piece::line(piece.start(), piece.end())];
    }
    // Between inflections a stretch bends one way; at a cusp both coordinates turn at once, and the chain has its corner.
    let mut cuts = piece.turning_parameters();
    let turns = cuts.clone();
    cuts.retain(|t| {
        turns
            .iter()
            .filter(|u| (*u - t).abs() <= SAME_PARAMETER)
            .count()
            > 1
    });
    cuts.extend(cubic.inflections());
    cuts.retain(|t| (SAME_PARAMETER..=1.0 - SAME_PARAMETER).contains(t));
    cuts.push(1.0);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|next, kept| *next - *kept <= SAME_PARAMETER);
    let mut out = Vec::new();
    let mut from = 0.0;
    for to in cuts {
        fit(piece, from, to, tolerance, &mut out);
        from = to;
    }
    out
}

/// Appends the chain for the stretch between two parameters.
fn fit(piece: &Piece, mut from: f64, to: f64, tolerance: f64, out: &mut Vec<Piece>) {
    for _ in 0..MOST_STRETCHES {
        let rest = part(piece, from, to);
        if let Some(chain) = stretch_within(&rest, tolerance) {
            out.extend(chain);
            return;
        }
        // The longest that will do, between what does and what does not.
        let (mut good, mut bad) = (0.0, 1.0);
        let mut best = None;
        for step in 0..48 {
            let share = f64::midpoint(good, bad);
            match stretch_within(&rest.part(0.0, share), tolerance) {
                Some(chain) => (good, best) = (share, Some(chain)),
                None => bad = share,
            }
            if best.is_some() && step >= LENGTH_HALVINGS {
                break;
            }
        }
        let Some(chain) = best else { break };
        out.extend(chain);
        from += good * (to - from);
    }
    let rest = part(piece, from, to);
    out.push(Piece::line(rest.start(), rest.end()));
}

fn part(piece: &Piece, from: f64, to: f64) -> Piece {
    if from == 0.0 && to == 1.0 {
        *piece
    } else {
        piece.part(from, to)
    }
}

/// A line or a biarc for a whole stretch, if one stays within the tolerance.
fn stretch_within(stretch: &Piece, tolerance: f64) -> Option<Vec<Piece>> {
    let (start, end) = (stretch.start(), stretch.end());
    if is_straight(stretch) {
        return Some(vec![Piece::line(start, end)]);
    }
    if let Some(arcs) = biarc(stretch)
        && deviation(stretch, &arcs) <= PROBED_SHARE * tolerance
    {
        return Some(arcs.to_vec());
    }
    // What is left about a cusp is soon smaller than the tolerance.
    let size = stretch.hull_bounds();
    let tiny = size.width().max(size.height()) <= tolerance / 2.0;
    tiny.then(|| {
        vec![Piece::line(start, end)]
            .into_iter()
            .filter(|_| start != end)
            .collect()
    })
}

fn is_straight(stretch: &Piece) -> bool {
    // A bow of height e over a chord c turns by 4e/c at either end.
    let chord = stretch.start().distance(stretch.end());
    stretch.chord_error() <= STRAIGHT_MM.min(STRAIGHT_RAD * chord / 4.0) && chord > 0.0
}

/// Largest distance of probe points of the stretch from the chain that stands for it, and of the middles of the chain's
/// arcs from the stretch.
fn deviation(stretch: &Piece, arcs: &[Piece]) -> f64 {
    let mut worst = arcs
        .iter()
        .map(|arc| stretch.nearest(arc.eval(0.5)).1)
        .fold(0.0, f64::max);
    for i in 1..PROBES {
        let p = stretch.eval(f64::from(i) / f64::from(PROBES));
        let to_chain = arcs.iter().map(|arc| arc.nearest(p).1);
        worst = worst.max(to_chain.fold(f64::INFINITY, f64::min));
    }
    worst
}

/// The biarc with equal reaches over a stretch; `None` where the ends give no tangents, the solution runs backward, or an
/// arc goes the long way round.
fn biarc(stretch: &Piece) -> Option<[Piece; 2]> {
    let (p, q) = (stretch.start(), stretch.end());
    let (s, e) = (stretch.direction(0.0)?, stretch.direction(1.0)?);
    let v = q - p;
    // |v − d·(s + e)|² = (2d)², the condition that the two arcs meet with one tangent:
    // a·d² + 2b·d − v² = 0 with a = 2(1 − s·e), b = v·(s + e). The positive root, free of cancellation:
    let a = 2.0 * (1.0 - s.dot(e));
    let b = v.dot(s + e);
    let below = b + (b * b + a * v.hypot2()).sqrt();
    let d = v.hypot2() / below;
    if !(b > 0.0 && d.is_finite() && d > 0.0) {
        return None;
    }
    let joint = (p + s * d).midpoint(q - e * d);
    Some([arc_from(p, s, joint)?, arc_from(q, -e, joint)?.reversed()])
}

/// The arc (or line) that leaves `p` along `direction` and ends at `q`.
fn arc_from(p: Point, direction: Vec2, q: Point) -> Option<Piece> {
    let chord = q - p;
    let length = chord.hypot();
    if length < 1e-9 {
        return None;
    }
    // The chord makes half the sweep with the tangent.
    let half = direction.cross(chord).atan2(direction.dot(chord));
    let sagitta = length / 2.0 * (half / 2.0).tan().abs();
    if sagitta < STRAIGHT_MM && half.abs() < STRAIGHT_RAD {
        return Some(Piece::line(p, q));
    }
    if 2.0 * half.abs() > WIDEST_SWEEP {
        return None;
    }
    let radius = (length / 2.0 / half.sin()).abs();
    let normal = Vec2::new(-direction.y, direction.x) * half.signum();
    let center = p + normal * radius;
    Some(Piece::Arc(CircularArc {
        center,
        radius,
        start_angle: (p - center).atan2(),
        sweep: 2.0 * half,
    }))
}
