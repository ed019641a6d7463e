//! One cubic or one straight line through a stretch of points, its ends given.

use super::linear::Normal;
use crate::geometry::{CubicBez, Point, Vec2};
use kurbo::ParamCurve as _;

/// Rounds in which points are moved along the curve to where they are nearest.
const ROUNDS: u32 = 4;
/// Damping of a step toward the points: what they do not tell stays as it is.
const DAMPING: f64 = 1e-4;
/// A curve whose handles are longer than this share of the stretch would bulge between the points.
const LONGEST_HANDLE: f64 = 0.9;

/// How far points lie off a curve, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Off {
    /// Root of the mean square.
    pub(super) rms: f64,
    /// Farthest.
    pub(super) most: f64,
}

impl Off {
    fn of(distances: impl Iterator<Item = f64>) -> Self {
        let (mut sum, mut most, mut n) = (0.0, 0.0_f64, 0.0);
        for d in distances {
            sum += d * d;
            most = most.max(d.abs());
            n += 1.0;
        }
        Self {
            rms: (sum / f64::max(n, 1.0)).sqrt(),
            most,
        }
    }
}

/// How far points lie off the straight line between two others.
pub(super) fn line_off(from: Point, to: Point, points: &[Point]) -> Off {
    let along = to - from;
    let length = along.hypot().max(1e-12);
    Off::of(points.iter().map(|p| (*p - from).cross(along) / length))
}

/// The cubic between two ends that comes nearest to points in order, evenly spaced to begin with; `None` when they do not tell it or it would
/// bulge.
///
/// Source: P. J. Schneider, "An Algorithm for Automatically Fitting Digitized Curves", Graphics Gems (1990) 612–626, with both handles free. His rounds
/// close in slowly; from the second on only distances square to the curve count, which closes in at once: W. Wang, H. Pottmann and Y. Liu, "Fitting
/// B-Spline Curves to Point Clouds by Curvature-Based Squared Distance Minimization", ACM Trans. Graphics 25 (2006) 214–238 (tangent distance; cited
/// from memory).
pub(super) fn cubic_through(from: Point, to: Point, points: &[Point]) -> Option<(CubicBez, Off)> {
    let mut places = by_chords(from, to, points);
    let mut cubic = handles(from, to, points, &places)?;
    let mut best: Option<(CubicBez, Off)> = None;
    for _ in 0..ROUNDS {
        for (t, point) in places.iter_mut().zip(points) {
            *t = nearer(&cubic, *t, *point);
        }
        let apart = places.iter().zip(points);
        let off = Off::of(apart.map(|(t, p)| cubic.eval(*t).distance(*p)));
        if best.is_none_or(|(_, least)| off.rms < least.rms) {
            best = Some((cubic, off));
        }
        let Some(next) = stepped(&cubic, points, &places) else {
            break;
        };
        cubic = next;
    }
    best.filter(|(cubic, _)| !bulges(cubic, points))
}

/// Whether a handle is too long for the way along the points.
fn bulges(cubic: &CubicBez, points: &[Point]) -> bool {
    let between = points.windows(2).map(|p| match p {
        [a, b] => a.distance(*b),
        _ => 0.0,
    });
    let length = between.sum::<f64>()
        + points.first().map_or(0.0, |p| p.distance(cubic.p0))
        + points.last().map_or(0.0, |p| p.distance(cubic.p3));
    let longest = cubic.p1.distance(cubic.p0).max(cubic.p3.distance(cubic.p2));
    longest > LONGEST_HANDLE * length
}

/// The cubic after one step toward the points, of which only the distances square to it count.
fn stepped(cubic: &CubicBez, points: &[Point], places: &[f64]) -> Option<CubicBez> {
    let mut normal = Normal::new(4);
    for (t, point) in places.iter().zip(points) {
        let (square, s) = (square(cubic, *t), 1.0 - t);
        let (a, b) = (square * (3.0 * s * s * t), square * (3.0 * s * t * t));
        let off = (*point - cubic.eval(*t)).dot(square);
        normal.add(&[(0, a.x), (1, a.y), (2, b.x), (3, b.y)], off, 1.0);
    }
    let by = normal.solve(DAMPING)?;
    let &[ax, ay, bx, by] = by.as_slice() else {
        return None;
    };
    let (p1, p2) = (cubic.p1 + Vec2::new(ax, ay), cubic.p2 + Vec2::new(bx, by));
    Some(CubicBez::new(cubic.p0, p1, p2, cubic.p3))
}

/// The direction square to a cubic at one of its places, a quarter turn to the left of its way.
pub(super) fn square(cubic: &CubicBez, t: f64) -> Vec2 {
    let s = 1.0 - t;
    let slope = (cubic.p1 - cubic.p0) * (s * s)
        + (cubic.p2 - cubic.p1) * (2.0 * s * t)
        + (cubic.p3 - cubic.p2) * (t * t);
    let along = if slope.hypot() > 1e-9 {
        slope.normalize()
    } else {
        (cubic.p3 - cubic.p0).normalize()
    };
    Vec2::new(-along.y, along.x)
}

/// Shares of the way by the lengths of chords.
fn by_chords(from: Point, to: Point, points: &[Point]) -> Vec<f64> {
    let mut gone = 0.0;
    let mut last = from;
    let mut places: Vec<f64> = points
        .iter()
        .map(|p| {
            gone += last.distance(*p);
            last = *p;
            gone
        })
        .collect();
    let whole = (gone + last.distance(to)).max(1e-12);
    for t in &mut places {
        *t /= whole;
    }
    places
}

/// The inner control points of least squares.
fn handles(from: Point, to: Point, points: &[Point], places: &[f64]) -> Option<CubicBez> {
    let (mut aa, mut ab, mut bb) = (0.0, 0.0, 0.0);
    let (mut a_off, mut b_off) = (Vec2::ZERO, Vec2::ZERO);
    for (t, point) in places.iter().zip(points) {
        let s = 1.0 - t;
        let (a, b) = (3.0 * s * s * t, 3.0 * s * t * t);
        // What the ends alone leave to be made up.
        let rest = *point - (from.to_vec2() * (s * s * s) + to.to_vec2() * (t * t * t)).to_point();
        aa += a * a;
        ab += a * b;
        bb += b * b;
        a_off += a * rest;
        b_off += b * rest;
    }
    let whole = aa * bb - ab * ab;
    if whole <= 1e-9 * aa * bb || !whole.is_finite() {
        return None;
    }
    let p1 = (a_off * bb - b_off * ab) / whole;
    let p2 = (b_off * aa - a_off * ab) / whole;
    let cubic = CubicBez::new(from, p1.to_point(), p2.to_point(), to);
    cubic.is_finite().then_some(cubic)
}

/// A place on a cubic nearer to a point: one step of Newton's method on the distance, kept on the curve.
pub(super) fn nearer(cubic: &CubicBez, t: f64, point: Point) -> f64 {
    let s = 1.0 - t;
    let (a, b, c) = (
        cubic.p1 - cubic.p0,
        cubic.p2 - cubic.p1,
        cubic.p3 - cubic.p2,
    );
    let off = cubic.eval(t) - point;
    let first = 3.0 * (a * (s * s) + b * (2.0 * s * t) + c * (t * t));
    let second = 6.0 * ((b - a) * s + (c - b) * t);
    let slope = first.hypot2() + off.dot(second);
    // Where the distance bends the wrong way the curve's own speed is the safer guide.
    let slope = if slope > 0.1 * first.hypot2() {
        slope
    } else {
        first.hypot2()
    };
    if slope <= 0.0 {
        return t;
    }
    (t - off.dot(first) / slope).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cubic_is_found_again_from_its_own_points() {
        let own = CubicBez::new((0.0, 0.0), (30.0, 0.0), (70.0, 40.0), (100.0, 35.0));
        let points: Vec<Point> = (1..60).map(|i| own.eval(f64::from(i) / 60.0)).collect();
        let (found, off) = cubic_through(own.p0, own.p3, &points).unwrap();
        assert!(off.most < 1e-3, "{off:?}");
        assert!(
            found.p1.distance(own.p1) < 0.5 && found.p2.distance(own.p2) < 0.5,
            "{found:?}"
        );
    }

    #[test]
    fn a_quarter_of_a_circle_is_met_as_closely_as_is_known() {
        // The best cubic for a quarter circle is off by 2.7e-4 of the radius (A. Riškus, Information Technology and Control 35, 2006).
        let points: Vec<Point> = (1..90)
            .map(|i| Point::ORIGIN + 50.0 * Vec2::from_angle(f64::from(i).to_radians()))
            .collect();
        let (_, off) =
            cubic_through(Point::new(50.0, 0.0), Point::new(0.0, 50.0), &points).unwrap();
        assert!(off.most < 50.0 * 3e-4, "{off:?}");
    }

    #[test]
    fn points_off_a_line_are_told_by_their_distance() {
        let points = [Point::new(1.0, 0.3), Point::new(5.0, -0.4)];
        let off = line_off(Point::ZERO, Point::new(10.0, 0.0), &points);
        assert!((off.most - 0.4).abs() < 1e-12 && (off.rms - 0.125_f64.sqrt()).abs() < 1e-12);
        assert_eq!(cubic_through(Point::ZERO, Point::new(1.0, 0.0), &[]), None);
    }
}
