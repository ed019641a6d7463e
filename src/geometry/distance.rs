//! Gaps between shapes: circle to contour, slot to contour, contour to contour.

use kurbo::{Point, Rect};

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

/// Distance from a point to a segment, and the parameter of the foot.
pub(super) fn point_to_segment(p: Point, s: (Point, Point)) -> (f64, f64) {
    let along = s.1 - s.0;
    let len2 = along.hypot2();
    let t = if len2 > 0.0 {
        ((p - s.0).dot(along) / len2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    // Not `hypot`, which is slower and only better at sizes no knife has.
    ((p - s.0.lerp(s.1, t)).hypot2().sqrt(), t)
}

/// Distance between two segments and the nearest points on each; where they cross, zero and the crossing.
///
/// Two segments that do not cross are nearest at an end of one of them, so four point-to-segment distances decide.
#[must_use]
pub fn segment_gap(a: (Point, Point), b: (Point, Point)) -> (f64, Point, Point) {
    if let Some(at) = segments_cross(a, b) {
        return (0.0, at, at);
    }
    let candidates = [
        (a.0, b, true),
        (a.1, b, true),
        (b.0, a, false),
        (b.1, a, false),
    ];
    let mut best = (f64::INFINITY, a.0, b.0);
    for (from, segment, from_a) in candidates {
        let (d, t) = point_to_segment(from, segment);
        if d < best.0 {
            let foot = segment.0.lerp(segment.1, t);
            best = if from_a {
                (d, from, foot)
            } else {
                (d, foot, from)
            };
        }
    }
    best
}

/// Where two segments cross. Segments too near to parallel to have one clear crossing give `None`; they are nearest at
/// an end anyway.
fn segments_cross(a: (Point, Point), b: (Point, Point)) -> Option<Point> {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, b.0 - a.0);
    let cross = u.cross(v);
    // The sine between them below which rounding alone could have made it.
    const PARALLEL: f64 = 1e-12;
    if cross * cross <= PARALLEL * PARALLEL * u.hypot2() * v.hypot2() {
        return None;
    }
    let (s, t) = (w.cross(v) / cross, w.cross(u) / cross);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then(|| a.0 + u * s)
}

/// Least distance between two contours, with the nearest points, within [`GAP_ACCURACY_MM`]; about zero where they
/// cross. `None` when either is empty.
///
/// Branch and bound over pairs of halved pieces: two pieces are no nearer than their chords are, less what each leaves
/// its chord by. That falls to a quarter with every halving, so even curves that run side by side are soon done.
#[must_use]
pub fn contour_gap(a: &Contour, b: &Contour) -> Option<(f64, Point, Point)> {
    let p = a.pieces.first()?.start();
    let q = b.pieces.first()?.start();
    let mut best = (p.distance(q), p, q);
    // A good first guess spares most of the search.
    for p in a.pieces.iter().map(Piece::start) {
        for q in b.pieces.iter().map(Piece::start) {
            let d = p.distance(q);
            if d < best.0 {
                best = (d, p, q);
            }
        }
    }
    for pa in &a.pieces {
        for pb in &b.pieces {
            nearest_pair(pa, pb, &mut best, 0);
        }
    }
    Some(best)
}

/// Halvings of two pieces together; 2^-20 of a meter each is below the accuracy promised.
const MAX_DEPTH: u32 = 40;

fn nearest_pair(a: &Piece, b: &Piece, best: &mut (f64, Point, Point), depth: u32) {
    if rect_distance(a.hull_bounds(), b.hull_bounds()) >= best.0 {
        return;
    }
    let chords = segment_gap((a.start(), a.end()), (b.start(), b.end()));
    let (error_a, error_b) = (a.chord_error(), b.chord_error());
    if chords.0 - error_a - error_b >= best.0 - GAP_ACCURACY_MM && error_a + error_b > 0.0 {
        return;
    }
    // The places where the chords are nearest are close to the curves; their own ends are on them.
    for (p, q) in [
        (a.start(), b.start()),
        (a.start(), b.end()),
        (a.end(), b.start()),
        (a.end(), b.end()),
    ] {
        let d = p.distance(q);
        if d < best.0 {
            *best = (d, p, q);
        }
    }
    if error_a + error_b <= GAP_ACCURACY_MM / 4.0 || depth >= MAX_DEPTH {
        if chords.0 < best.0 {
            *best = chords;
        }
        return;
    }
    if error_a >= error_b {
        let (front, back) = a.halves();
        nearest_pair(&front, b, best, depth + 1);
        nearest_pair(&back, b, best, depth + 1);
    } else {
        let (front, back) = b.halves();
        nearest_pair(a, &front, best, depth + 1);
        nearest_pair(a, &back, best, depth + 1);
    }
}

fn rect_distance(a: Rect, b: Rect) -> f64 {
    let dx = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let dy = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    dx.hypot(dy)
}
