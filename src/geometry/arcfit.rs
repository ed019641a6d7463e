//! Cubic curves as chains of circular arcs within a stated tolerance, for cutters that want arcs.
//!
//! Each stretch is replaced by a biarc: two arcs tangent to the curve at both ends and to each other, joined at the point
//! that makes their reaches equal (K. Bolton, "Biarc curves", Computer-Aided Design 7 (1975), pp. 89-92). The error of a
//! stretch is measured on the curve; a stretch that misses is halved.

use kurbo::{Point, Vec2};

use super::{CircularArc, Piece};

/// Halvings of one curve before the rest is given as chords; 2^-16 of a curve is shorter than any tolerance asked.
const MAX_DEPTH: u32 = 16;

/// Points of a stretch compared with its arcs.
const PROBES: i32 = 16;

/// Arcs flatter than this (sagitta, mm) are written as lines: their radius would be kilometers.
const STRAIGHT_MM: f64 = 1e-5;

/// The piece as lines and arcs that stay within `tolerance` mm of it. Lines and arcs come back unchanged. End points
/// are kept exactly.
#[must_use]
pub fn arcs_within(piece: &Piece, tolerance: f64) -> Vec<Piece> {
    let mut out = Vec::new();
    match piece {
        Piece::Cubic(_) => {
            // Between turning points and inflections a stretch bends one way and turns less than a right angle.
            let mut cuts = piece.turning_parameters();
            if let Piece::Cubic(cubic) = piece {
                cuts.extend(
                    cubic
                        .inflections()
                        .iter()
                        .filter(|t| **t > 0.0 && **t < 1.0),
                );
            }
            cuts.sort_by(f64::total_cmp);
            let mut from = 0.0;
            for to in cuts.into_iter().chain([1.0]) {
                if to - from > 1e-6 {
                    fit(piece, from, to, tolerance, 0, &mut out);
                    from = to;
                }
            }
        }
        other => out.push(*other),
    }
    weld(&mut out, piece);
    out
}

/// Makes the chain begin and end exactly where the piece does.
fn weld(chain: &mut [Piece], piece: &Piece) {
    if let Some(Piece::Line(line)) = chain.first_mut() {
        line.p0 = piece.start();
    }
    if let Some(Piece::Line(line)) = chain.last_mut() {
        line.p1 = piece.end();
    }
}

fn fit(piece: &Piece, t0: f64, t1: f64, tolerance: f64, depth: u32, out: &mut Vec<Piece>) {
    let stretch = piece.part(t0, t1);
    let fitted = biarc(&stretch);
    let good = fitted
        .as_ref()
        .is_some_and(|arcs| deviation(&stretch, arcs) <= tolerance);
    match fitted {
        Some(arcs) if good => out.extend(arcs),
        _ if depth >= MAX_DEPTH => out.push(Piece::line(stretch.start(), stretch.end())),
        _ => {
            let middle = f64::midpoint(t0, t1);
            fit(piece, t0, middle, tolerance, depth + 1, out);
            fit(piece, middle, t1, tolerance, depth + 1, out);
        }
    }
}

/// Largest distance of probe points of the stretch from the chain that stands for it.
fn deviation(stretch: &Piece, arcs: &[Piece]) -> f64 {
    let mut worst = 0.0_f64;
    for i in 1..PROBES {
        let p = stretch.eval(f64::from(i) / f64::from(PROBES));
        let d = arcs
            .iter()
            .map(|arc| arc.nearest(p).1)
            .fold(f64::INFINITY, f64::min);
        worst = worst.max(d);
    }
    worst
}

/// The biarc with equal reaches over a stretch; `None` where the ends give no tangents or the solution runs backward.
fn biarc(stretch: &Piece) -> Option<Vec<Piece>> {
    let (p, q) = (stretch.start(), stretch.end());
    let (s, e) = (stretch.direction(0.0)?, stretch.direction(1.0)?);
    let v = q - p;
    let w = s + e;
    // |v − d·(s + e)|² = (2d)², the condition that the two arcs meet with one tangent.
    let a = 2.0 * (1.0 - s.dot(e));
    let b = 2.0 * v.dot(w);
    let c = -v.hypot2();
    let d = if a.abs() < 1e-9 {
        if b.abs() < 1e-12 {
            return None;
        }
        -c / b
    } else {
        (-b + (b * b - 4.0 * a * c).max(0.0).sqrt()) / (2.0 * a)
    };
    if !(d.is_finite() && d > 0.0) {
        return None;
    }
    let joint = (p + s * d).midpoint(q - e * d);
    Some(vec![arc_from(p, s, joint)?, arc_to(joint, e, q)?])
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
    if sagitta < STRAIGHT_MM {
        return Some(Piece::line(p, q));
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

/// The arc (or line) from `p` that arrives at `q` along `direction`.
fn arc_to(p: Point, direction: Vec2, q: Point) -> Option<Piece> {
    arc_from(q, -direction, p).map(|piece| piece.reversed())
}
