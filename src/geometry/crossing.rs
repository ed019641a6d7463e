//! Where contours cross themselves or each other, and whether an outline is fit to be weighed.
//!
//! Method: pieces are cut into monotone spans ([`super::SpanIndex`]); a sweep along `x` pairs spans whose boxes overlap; each pair
//! is halved until both halves are straight within [`FLAT_MM`], then the two chords are met. Spans that follow each other share a point;
//! that one is not a crossing. Most such pairs are settled at once because the cones of their control points about the shared point are apart.

use std::f64::consts::PI;

use kurbo::{Point, Rect, Vec2};

use super::span::{Span, monotone_spans};
use super::{Piece, SAME_POINT_MM, SpanIndex};

/// A stretch that leaves its chord by no more than this is met as its chord, mm.
///
/// A tenth of a nanometer: coarser and near-touching curves would be called crossing; finer only costs time.
const FLAT_MM: f64 = 1e-7;

/// Halvings spent on one pair before the two stretches are taken to run on top of each other.
const PAIR_BUDGET: u32 = 4000;

/// Most faults of one kind that are listed; an outline with more is not mended one by one.
const MOST_LISTED: usize = 32;

/// A place where two pieces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Index of the first piece.
    pub piece_a: usize,
    /// Index of the second piece.
    pub piece_b: usize,
    /// Where they meet.
    pub at: Point,
}

/// What makes a chain of pieces unfit as an outline, each with its place.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineFault {
    /// Fewer than two pieces, or none with any extent.
    #[error("the outline has no area: it needs at least two pieces with some extent")]
    TooFew,
    /// A coordinate is not a finite number.
    #[error("piece {piece} has a coordinate that is not a number")]
    NotFinite {
        /// Index of the piece.
        piece: usize,
    },
    /// A piece does not begin where the one before it ends.
    #[error("the outline is open: a gap of {gap_mm:.4} mm before piece {piece}")]
    Open {
        /// Index of the piece after the gap.
        piece: usize,
        /// Width of the gap, mm.
        gap_mm: f64,
        /// Where.
        at: Point,
    },
    /// A piece without extent.
    #[error("piece {piece} has no length")]
    ZeroPiece {
        /// Index of the piece.
        piece: usize,
        /// Where.
        at: Point,
    },
    /// Two pieces that run over the same ground.
    #[error("pieces {piece} and {twin} run over the same ground")]
    Doubled {
        /// Index of the first piece.
        piece: usize,
        /// Index of its double.
        twin: usize,
        /// Where.
        at: Point,
    },
    /// The outline crosses or touches itself.
    #[error("the outline crosses itself: piece {} meets piece {}", .crossing.piece_a, .crossing.piece_b)]
    Crossing {
        /// Which pieces, and where.
        crossing: Crossing,
    },
}

impl OutlineFault {
    /// Where the fault is, if it has one place.
    #[must_use]
    pub fn place(&self) -> Option<Point> {
        match self {
            Self::TooFew | Self::NotFinite { .. } => None,
            Self::Open { at, .. } | Self::ZeroPiece { at, .. } | Self::Doubled { at, .. } => {
                Some(*at)
            }
            Self::Crossing { crossing } => Some(crossing.at),
        }
    }
}

/// Everything that makes the chain unfit as an outline; empty when it is closed, simple, and free of empty and doubled
/// pieces.
#[must_use]
pub fn outline_faults(pieces: &[Piece]) -> Vec<OutlineFault> {
    let mut faults = Vec::new();
    for (piece, curve) in pieces.iter().enumerate() {
        let b = curve.hull_bounds();
        if !(b.x0.is_finite() && b.y0.is_finite() && b.x1.is_finite() && b.y1.is_finite()) {
            faults.push(OutlineFault::NotFinite { piece });
        }
    }
    if !faults.is_empty() {
        return faults;
    }
    for (piece, curve) in pieces.iter().enumerate() {
        let before = pieces.get(piece.checked_sub(1).unwrap_or(pieces.len() - 1));
        if let Some(before) = before {
            let gap_mm = before.end().distance(curve.start());
            if gap_mm > SAME_POINT_MM {
                let at = curve.start();
                faults.push(OutlineFault::Open { piece, gap_mm, at });
            }
        }
        let b = curve.hull_bounds();
        if b.width() <= SAME_POINT_MM && b.height() <= SAME_POINT_MM {
            let at = curve.start();
            faults.push(OutlineFault::ZeroPiece { piece, at });
        }
    }
    let doubles = doubled_pieces(pieces);
    for &(piece, twin) in doubles.iter().take(MOST_LISTED) {
        let at = pieces[piece].eval(0.5);
        faults.push(OutlineFault::Doubled { piece, twin, at });
    }
    let spans = monotone_spans(pieces);
    if spans.len() < 2 {
        faults.push(OutlineFault::TooFew);
        return faults;
    }
    for crossing in self_crossings(&spans, &doubles) {
        faults.push(OutlineFault::Crossing { crossing });
    }
    faults
}

/// Where two contours meet; at most a few dozen places are listed.
#[must_use]
pub fn crossings_between(a: &SpanIndex, b: &SpanIndex) -> Vec<Crossing> {
    let mut found = Vec::new();
    if !overlap(a.bounds(), b.bounds()) {
        return found;
    }
    for sa in a.spans() {
        if !overlap(sa.bounds, b.bounds()) {
            continue;
        }
        for sb in b.spans() {
            if sb.bounds.x0 > sa.bounds.x1 {
                break;
            }
            if overlap(sa.bounds, sb.bounds)
                && let Some(at) = meet(sa, sb, None)
            {
                found.push(Crossing {
                    piece_a: sa.piece,
                    piece_b: sb.piece,
                    at,
                });
                if found.len() >= MOST_LISTED {
                    return found;
                }
            }
        }
    }
    found
}

/// Pairs of pieces that are the same curve, run either way.
fn doubled_pieces(pieces: &[Piece]) -> Vec<(usize, usize)> {
    let mut middles: Vec<(Point, usize)> = pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| p.start().distance(p.end()) > SAME_POINT_MM)
        .map(|(i, p)| (p.eval(0.5), i))
        .collect();
    middles.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let mut pairs = Vec::new();
    for (k, (middle, i)) in middles.iter().enumerate() {
        for (other, j) in &middles[k + 1..] {
            if other.x - middle.x > SAME_POINT_MM || pairs.len() >= MOST_LISTED {
                break;
            }
            let (a, b) = (&pieces[*i], &pieces[*j]);
            let same = |b: &Piece| {
                [0.0, 0.25, 0.75, 1.0]
                    .iter()
                    .all(|t| a.eval(*t).distance(b.eval(*t)) <= SAME_POINT_MM)
            };
            if middle.distance(*other) <= SAME_POINT_MM && (same(b) || same(&b.reversed())) {
                pairs.push((*i.min(j), *i.max(j)));
            }
        }
    }
    pairs
}

fn self_crossings(spans: &[Span], doubles: &[(usize, usize)]) -> Vec<Crossing> {
    let n = spans.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| spans[*a].bounds.x0.total_cmp(&spans[*b].bounds.x0));
    let mut active: Vec<usize> = Vec::new();
    let mut found: Vec<Crossing> = Vec::new();
    for &i in &order {
        let span = &spans[i];
        active.retain(|j| spans[*j].bounds.x1 >= span.bounds.x0);
        for &j in &active {
            let other = &spans[j];
            let pair = (span.piece.min(other.piece), span.piece.max(other.piece));
            if !overlap(span.bounds, other.bounds) || doubles.contains(&pair) {
                continue;
            }
            let (first, second) = if i < j { (i, j) } else { (j, i) };
            // With two spans in all, they follow each other at both ends.
            let joint = if first + 1 == second {
                Some(spans[first].curve.end())
            } else if first == 0 && second + 1 == n {
                Some(spans[first].curve.start())
            } else {
                None
            };
            let other_joint = (n == 2).then(|| spans[0].curve.start());
            let met = meet_but(&spans[first], &spans[second], joint, other_joint);
            if let Some(at) = met
                && !found.iter().any(|c| c.at.distance(at) <= SAME_POINT_MM)
            {
                found.push(Crossing {
                    piece_a: spans[first].piece,
                    piece_b: spans[second].piece,
                    at,
                });
            }
            if found.len() >= MOST_LISTED {
                return found;
            }
        }
        active.push(i);
    }
    found
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

fn meet(a: &Span, b: &Span, joint: Option<Point>) -> Option<Point> {
    meet_but(a, b, joint, None)
}

/// First place found where two spans meet, other than at the given shared points.
fn meet_but(a: &Span, b: &Span, joint: Option<Point>, other: Option<Point>) -> Option<Point> {
    if let (Some(joint), None) = (joint, other)
        && cones_apart(&a.curve, &b.curve, joint)
    {
        return None;
    }
    let mut search = Search {
        budget: PAIR_BUDGET,
        joints: [joint, other],
    };
    search.run(&a.curve, &b.curve)
}

/// Whether the cones that hold two curves, seen from their shared end, have only that end in common.
fn cones_apart(a: &Piece, b: &Piece, joint: Point) -> bool {
    let Some((mid, half)) = cone(a, joint) else {
        return false;
    };
    let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
    for d in control_directions(b, joint) {
        let angle = mid.cross(d).atan2(mid.dot(d));
        if angle.abs() <= half + 1e-9 {
            return false;
        }
        lo = lo.min(angle);
        hi = hi.max(angle);
    }
    if lo > hi {
        return false;
    }
    // All on one side of `a`, or on both sides but closing behind it and not in front.
    (lo > 0.0 || hi < 0.0) && hi - lo < PI || lo < 0.0 && hi > 0.0 && hi - lo > PI
}

/// Middle direction and half opening of the cone that holds a curve seen from one of its ends.
fn cone(piece: &Piece, joint: Point) -> Option<(Vec2, f64)> {
    let mut directions = control_directions(piece, joint);
    let first = directions.next()?;
    let (mut lo, mut hi) = (0.0_f64, 0.0_f64);
    for d in directions {
        let angle = first.cross(d).atan2(first.dot(d));
        lo = lo.min(angle);
        hi = hi.max(angle);
    }
    if hi - lo >= PI {
        return None;
    }
    let turn = Vec2::from_angle(f64::midpoint(lo, hi));
    let mid = Vec2::new(
        first.x * turn.x - first.y * turn.y,
        first.x * turn.y + first.y * turn.x,
    );
    Some((mid, (hi - lo) / 2.0))
}

fn control_directions(piece: &Piece, joint: Point) -> impl Iterator<Item = Vec2> {
    let points = match piece {
        Piece::Line(line) => [line.p0, line.p0, line.p1, line.p1],
        // A monotone arc is at most a quarter: its end tangents meet on the outside and hold it.
        Piece::Arc(arc) => {
            let reach = (arc.sweep / 4.0).tan() * 4.0 / 3.0 / arc.sweep * 1.2;
            [
                arc.eval(0.0),
                arc.eval(0.0) + arc.derivative(0.0) * reach,
                arc.eval(1.0) - arc.derivative(1.0) * reach,
                arc.eval(1.0),
            ]
        }
        Piece::Cubic(c) => [c.p0, c.p1, c.p2, c.p3],
    };
    points
        .into_iter()
        .map(move |p| p - joint)
        .filter(|d| d.hypot2() > 1e-24)
}

struct Search {
    budget: u32,
    joints: [Option<Point>; 2],
}

impl Search {
    fn run(&mut self, a: &Piece, b: &Piece) -> Option<Point> {
        let box_a = Rect::from_points(a.start(), a.end());
        let box_b = Rect::from_points(b.start(), b.end());
        if !overlap(box_a, box_b) {
            return None;
        }
        if self.budget == 0 {
            return Some(box_a.intersect(box_b).center());
        }
        self.budget -= 1;
        let flat = (is_flat(a), is_flat(b));
        if flat == (true, true) {
            let at = chords_meet(a.start(), a.end(), b.start(), b.end())?;
            let at_joint = |j: &Option<Point>| j.is_some_and(|j| j.distance(at) <= SAME_POINT_MM);
            return (!self.joints.iter().any(at_joint)).then_some(at);
        }
        let size = |r: Rect| r.width() + r.height();
        if size(box_a) >= size(box_b) {
            let (front, back) = (a.part(0.0, 0.5), a.part(0.5, 1.0));
            self.run(&front, b).or_else(|| self.run(&back, b))
        } else {
            let (front, back) = (b.part(0.0, 0.5), b.part(0.5, 1.0));
            self.run(a, &front).or_else(|| self.run(a, &back))
        }
    }
}

fn is_flat(piece: &Piece) -> bool {
    match piece {
        Piece::Line(_) => true,
        Piece::Arc(arc) => arc.radius * (1.0 - (arc.sweep / 2.0).cos()) <= FLAT_MM,
        Piece::Cubic(c) => {
            let chord = c.p3 - c.p0;
            let length = chord.hypot();
            if length <= FLAT_MM {
                return true;
            }
            let off = |p: Point| (chord.cross(p - c.p0) / length).abs();
            off(c.p1) <= FLAT_MM && off(c.p2) <= FLAT_MM
        }
    }
}

/// Where two closed segments meet; for segments that lie on top of each other, the middle of the shared part.
fn chords_meet(a0: Point, a1: Point, b0: Point, b1: Point) -> Option<Point> {
    let (u, v, w) = (a1 - a0, b1 - b0, b0 - a0);
    let cross = u.cross(v);
    let scale = u.hypot() * v.hypot();
    if cross.abs() > 1e-12 * scale {
        let s = w.cross(v) / cross;
        let t = w.cross(u) / cross;
        let inside = |q: f64| (-1e-12..=1.0 + 1e-12).contains(&q);
        return (inside(s) && inside(t)).then(|| a0 + u * s);
    }
    let length = u.hypot();
    if length == 0.0 {
        return (a0.distance(b0) <= FLAT_MM).then_some(a0);
    }
    if (u.cross(w) / length).abs() > FLAT_MM {
        return None;
    }
    let along = |p: Point| (p - a0).dot(u) / (length * length);
    let (p, q) = (along(b0), along(b1));
    let (lo, hi) = (p.min(q).max(0.0), p.max(q).min(1.0));
    (lo <= hi).then(|| a0 + u * f64::midpoint(lo, hi))
}
