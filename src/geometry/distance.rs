//! Gaps between shapes: circle to contour, slot to contour, contour to contour.

use kurbo::{Point, Rect};

use super::contour::box_distance;
use super::{Contour, Nearest, Piece};

/// Accuracy of a gap between two curved contours, mm.
pub const GAP_ACCURACY_MM: f64 = 1e-4;

/// The web left between a circle and a contour: distance from the center to the contour, less the radius. Negative when
/// the circle reaches over it. Gives the nearest place on the contour too; `None` for an empty contour.
#[must_use]
pub fn circle_gap(center: Point, radius: f64, contour: &Contour) -> Option<(f64, Nearest)> {
    let nearest = contour.nearest(center)?;
    Some((nearest.distance - radius, nearest))
}

/// Distance between two segments and the nearest points on each.
///
/// Two segments that do not cross are nearest at an end of one of them, so four point-to-segment distances decide.
#[must_use]
pub fn segment_gap(a: (Point, Point), b: (Point, Point)) -> (f64, Point, Point) {
    let on = |p: Point, s: (Point, Point)| {
        let (t, d) = Piece::line(s.0, s.1).nearest(p);
        (d, s.0.lerp(s.1, t))
    };
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, b.0 - a.0);
    let cross = u.cross(v);
    if cross != 0.0 {
        let (s, t) = (w.cross(v) / cross, w.cross(u) / cross);
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            let at = a.0 + u * s;
            return (0.0, at, at);
        }
    }
    let candidates = [
        (on(a.0, b), a.0, true),
        (on(a.1, b), a.1, true),
        (on(b.0, a), b.0, false),
        (on(b.1, a), b.1, false),
    ];
    let mut best = (f64::INFINITY, a.0, b.0);
    for ((d, foot), from, from_a) in candidates {
        if d < best.0 {
            best = if from_a {
                (d, from, foot)
            } else {
                (d, foot, from)
            };
        }
    }
    best
}

/// Least distance between two contours that do not cross, with the nearest points, within [`GAP_ACCURACY_MM`].
/// `None` when either is empty. Branch and bound over boxes of halved pieces.
#[must_use]
pub fn contour_gap(a: &Contour, b: &Contour) -> Option<(f64, Point, Point)> {
    let p = a.pieces.first()?.start();
    let q = b.pieces.first()?.start();
    let mut best = (p.distance(q), p, q);
    for pa in &a.pieces {
        for pb in &b.pieces {
            nearest_pair(pa, pb, &mut best, 0);
        }
    }
    Some(best)
}

/// Halvings of each of two pieces; 2^-20 of a meter is below the accuracy promised.
const MAX_DEPTH: u32 = 44;

fn nearest_pair(a: &Piece, b: &Piece, best: &mut (f64, Point, Point), depth: u32) {
    let (box_a, box_b) = (a.hull_bounds(), b.hull_bounds());
    if rect_distance(box_a, box_b) > best.0 - GAP_ACCURACY_MM {
        return;
    }
    for (p, q) in [
        (a.start(), b.start()),
        (a.end(), b.end()),
        (a.eval(0.5), b.eval(0.5)),
    ] {
        let d = p.distance(q);
        if d < best.0 {
            *best = (d, p, q);
        }
    }
    if depth >= MAX_DEPTH {
        return;
    }
    if let (Piece::Line(la), Piece::Line(lb)) = (a, b) {
        let gap = segment_gap((la.p0, la.p1), (lb.p0, lb.p1));
        if gap.0 < best.0 {
            *best = gap;
        }
        return;
    }
    let size = |r: Rect| r.width() + r.height();
    if size(box_a) >= size(box_b) {
        let mut halves = [a.part(0.0, 0.5), a.part(0.5, 1.0)];
        if box_distance(box_b, halves[1].eval(0.5)) < box_distance(box_b, halves[0].eval(0.5)) {
            halves.swap(0, 1);
        }
        for half in &halves {
            nearest_pair(half, b, best, depth + 1);
        }
    } else {
        for half in [b.part(0.0, 0.5), b.part(0.5, 1.0)] {
            nearest_pair(a, &half, best, depth + 1);
        }
    }
}

fn rect_distance(a: Rect, b: Rect) -> f64 {
    let dx = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let dy = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    dx.hypot(dy)
}
