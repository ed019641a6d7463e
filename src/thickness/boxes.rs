//! Boxes, to tell early what is too far away to matter.

use kurbo::{Rect, Vec2};

/// Whether the part of a ray between two distances passes through a box.
pub(super) fn passes(foot: Vec2, n: Vec2, (mut from, mut to): (f64, f64), b: &Rect) -> bool {
    for (p, v, low, high) in [(foot.x, n.x, b.x0, b.x1), (foot.y, n.y, b.y0, b.y1)] {
        if v.abs() < 1e-12 {
            if p < low || p > high {
                return false;
            }
            continue;
        }
        let per = 1.0 / v;
        let (a, c) = ((low - p) * per, (high - p) * per);
        let (near, far) = if v > 0.0 { (a, c) } else { (c, a) };
        from = if near > from { near } else { from };
        to = if far < to { far } else { to };
        if from > to {
            return false;
        }
    }
    from <= to
}

pub(super) fn boxes_meet(a: &Rect, b: &Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// Distance of a point from a box, mm; 0 inside.
pub(super) fn box_distance(b: &Rect, q: Vec2) -> f64 {
    box_distance2(b, q).sqrt()
}

/// Square of the distance of a point from a box, mm²; 0 inside.
pub(super) fn box_distance2(b: &Rect, q: Vec2) -> f64 {
    let dx = (b.x0 - q.x).max(q.x - b.x1).max(0.0);
    let dy = (b.y0 - q.y).max(q.y - b.y1).max(0.0);
    dx * dx + dy * dy
}
