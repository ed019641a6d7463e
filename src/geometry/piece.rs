//! One piece of an outline: a straight line, a circular arc or a cubic curve.

use kurbo::{
    CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveCurvature, ParamCurveDeriv,
    ParamCurveExtrema, ParamCurveNearest, Point, Rect, Vec2,
};

use super::CircularArc;
use super::distance::point_to_segment;

/// Asked accuracy of curve lengths, mm. Lengths of cubics have no closed form; this keeps a perimeter of
/// a few hundred millimeters right to better than 1e-11 relative.
const LENGTH_ACCURACY_MM: f64 = 1e-10;

/// Asked accuracy of a place told by its share of the length, mm.
const SHARE_ACCURACY_MM: f64 = 1e-6;

/// Longest cubic whose length is computed, mm: a kilometer. Beyond it the asked accuracy is below the rounding of the
/// coordinates, and the search for it would not end in useful time.
const LONGEST_MM: f64 = 1e6;

/// Asked accuracy of the parameter of a nearest point; two Newton steps then bring it to rounding.
const NEAREST_PARAMETER: f64 = 1e-7;

/// Derivatives shorter than this have no direction to speak of, mm.
const STANDSTILL_MM: f64 = 1e-9;

/// One piece of an outline, run from its start (`t = 0`) to its end (`t = 1`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// A straight line.
    Line(Line),
    /// A circular arc.
    Arc(CircularArc),
    /// A cubic Bézier curve.
    Cubic(CubicBez),
}

/// A rigid motion with optional mirroring: mirror about the x axis first, then turn, then shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Whether `y` changes sign before anything else.
    pub mirrored: bool,
    /// Turn about the origin, radians, counterclockwise.
    pub turn_rad: f64,
    /// Shift applied last, mm.
    pub shift: Vec2,
}

impl Motion {
    /// A shift alone.
    #[must_use]
    pub fn shift(shift: Vec2) -> Self {
        Self {
            mirrored: false,
            turn_rad: 0.0,
            shift,
        }
    }

    /// A turn about the origin alone, radians, counterclockwise.
    #[must_use]
    pub fn turn(turn_rad: f64) -> Self {
        Self {
            mirrored: false,
            turn_rad,
            shift: Vec2::ZERO,
        }
    }

    /// The same turn and mirroring, shifted so that a place stays where it is.
    #[must_use]
    pub fn about(self, place: Point) -> Self {
        let at_origin = Self {
            shift: Vec2::ZERO,
            ..self
        };
        Self {
            shift: place - at_origin.apply(place),
            ..self
        }
    }

    /// Where a point goes.
    #[must_use]
    pub fn apply(&self, point: Point) -> Point {
        (self.apply_vec(point.to_vec2()) + self.shift).to_point()
    }

    /// Where a direction goes (no shift).
    #[must_use]
    pub fn apply_vec(&self, v: Vec2) -> Vec2 {
        let y = if self.mirrored { -v.y } else { v.y };
        let (sin, cos) = self.turn_rad.sin_cos();
        Vec2::new(cos * v.x - sin * y, sin * v.x + cos * y)
    }
}

impl Piece {
    /// A straight piece between two points.
    #[must_use]
    pub fn line(from: Point, to: Point) -> Self {
        Self::Line(Line::new(from, to))
    }

    /// Straight pieces from each point to the next.
    #[must_use]
    pub fn lines_through(points: &[Point]) -> Vec<Self> {
        let pairs = points.windows(2).filter_map(|pair| match pair {
            [a, b] => Some(Self::line(*a, *b)),
            _ => None,
        });
        pairs.collect()
    }

    /// The start point.
    #[must_use]
    pub fn start(&self) -> Point {
        match self {
            Self::Line(line) => line.p0,
            Self::Arc(arc) => arc.eval(0.0),
            Self::Cubic(cubic) => cubic.p0,
        }
    }

    /// The end point.
    #[must_use]
    pub fn end(&self) -> Point {
        match self {
            Self::Line(line) => line.p1,
            Self::Arc(arc) => arc.eval(1.0),
            Self::Cubic(cubic) => cubic.p3,
        }
    }

    /// The point at parameter `t` in 0..=1.
    #[must_use]
    pub fn eval(&self, t: f64) -> Point {
        match self {
            Self::Line(line) => line.eval(t),
            Self::Arc(arc) => arc.eval(t),
            Self::Cubic(cubic) => cubic.eval(t),
        }
    }

    /// The derivative with respect to `t`, mm.
    #[must_use]
    pub fn derivative(&self, t: f64) -> Vec2 {
        match self {
            Self::Line(line) => line.p1 - line.p0,
            Self::Arc(arc) => arc.derivative(t),
            Self::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
        }
    }

    /// The point at `t` and the derivative there, as [`Self::eval`] and [`Self::derivative`] give them, for less than the two.
    #[must_use]
    pub fn eval_with_derivative(&self, t: f64) -> (Point, Vec2) {
        match self {
            Self::Line(_) => (self.eval(t), self.derivative(t)),
            Self::Arc(arc) => {
                let out = Vec2::from_angle(arc.start_angle + t * arc.sweep) * arc.radius;
                (arc.center + out, Vec2::new(-out.y, out.x) * arc.sweep)
            }
            Self::Cubic(c) => {
                let (b, c2) = (c.p1 - c.p0, (c.p2 - c.p1) - (c.p1 - c.p0));
                let d = (c.p3 - c.p0) - 3.0 * (c.p2 - c.p1);
                let at = c.p0 + t * (3.0 * b + t * (3.0 * c2 + t * d));
                (at, 3.0 * b + t * (6.0 * c2 + (3.0 * t) * d))
            }
        }
    }

    /// Unit direction of travel at `t`, or `None` for a piece without extent. Where the derivative vanishes (a handle
    /// of zero length, a cusp) it is the limit from the side of the piece that is longer.
    #[must_use]
    pub fn direction(&self, t: f64) -> Option<Vec2> {
        let unit = |v: Vec2| (v.hypot() > STANDSTILL_MM).then(|| v.normalize());
        let first = unit(self.derivative(t));
        let Self::Cubic(c) = self else {
            return first;
        };
        first.or_else(|| {
            // Where the first derivative vanishes the travel follows the second one forward and its opposite
            // backward; where that vanishes too, the third.
            let second = (c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2()) * (1.0 - t)
                + (c.p1.to_vec2() - 2.0 * c.p2.to_vec2() + c.p3.to_vec2()) * t;
            let third = (c.p3 - c.p0) - 3.0 * (c.p2 - c.p1);
            unit(if t < 0.5 { second } else { -second }).or_else(|| unit(third))
        })
    }

    /// Whether every number of the piece is finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        match self {
            Self::Line(line) => line.p0.is_finite() && line.p1.is_finite(),
            Self::Arc(arc) => {
                arc.center.is_finite()
                    && (arc.radius.abs() + arc.start_angle.abs() + arc.sweep.abs()).is_finite()
            }
            Self::Cubic(c) => [c.p0, c.p1, c.p2, c.p3].iter().all(|p| p.is_finite()),
        }
    }

    /// Signed curvature in 1/mm, positive where the piece bends to the left.
    #[must_use]
    pub fn curvature(&self, t: f64) -> f64 {
        match self {
            Self::Line(_) => 0.0,
            Self::Arc(arc) => arc.sweep.signum() / arc.radius,
            // kurbo counts a bend to the right as positive where y is up.
            Self::Cubic(cubic) => -cubic.curvature(t),
        }
    }

    /// Length in mm: exact for lines and arcs, within 1e-10 mm for cubics. A cubic longer than a kilometer, or one
    /// that is not finite, gives the length of its control polygon.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Line(line) => line.length(),
            Self::Arc(arc) => arc.length(),
            Self::Cubic(c) => {
                let polygon = (c.p1 - c.p0).hypot() + (c.p2 - c.p1).hypot() + (c.p3 - c.p2).hypot();
                if polygon <= LONGEST_MM {
                    c.arclen(LENGTH_ACCURACY_MM)
                } else {
                    polygon
                }
            }
        }
    }

    /// The parameter at a share 0..1 of the piece's length, of which the whole is `length`, mm.
    #[must_use]
    pub fn at_share(&self, share: f64, length: f64) -> f64 {
        match self {
            // Both run evenly.
            Self::Line(_) | Self::Arc(_) => share,
            Self::Cubic(_) if !(length.is_finite() && length <= LONGEST_MM) => share,
            Self::Cubic(c) => c.inv_arclen(share * length, SHARE_ACCURACY_MM),
        }
    }

    /// The smallest upright box around the piece.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Line(line) => Rect::from_points(line.p0, line.p1),
            Self::Arc(arc) => arc.bounds(),
            Self::Cubic(cubic) => cubic.bounding_box(),
        }
    }

    /// A box that surely holds the piece, quick to get: the box of its control points.
    #[must_use]
    pub fn hull_bounds(&self) -> Rect {
        match self {
            Self::Cubic(c) => Rect::from_points(c.p0, c.p1).union(Rect::from_points(c.p2, c.p3)),
            _ => self.bounds(),
        }
    }

    /// The part between two parameters; `t0 > t1` runs it backward.
    #[must_use]
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        match self {
            Self::Line(line) => Self::line(line.eval(t0), line.eval(t1)),
            Self::Arc(arc) => Self::Arc(arc.part(t0, t1)),
            Self::Cubic(cubic) if t0 <= t1 => Self::Cubic(cubic.subsegment(t0..t1)),
            Self::Cubic(_) => self.part(t1, t0).reversed(),
        }
    }

    /// The same piece run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Line(line) => Self::line(line.p1, line.p0),
            Self::Arc(arc) => Self::Arc(arc.reversed()),
            Self::Cubic(c) => Self::Cubic(CubicBez::new(c.p3, c.p2, c.p1, c.p0)),
        }
    }

    /// The piece after a rigid motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        match self {
            Self::Line(line) => Self::line(motion.apply(line.p0), motion.apply(line.p1)),
            Self::Arc(arc) => {
                let sign = if motion.mirrored { -1.0 } else { 1.0 };
                Self::Arc(CircularArc {
                    center: motion.apply(arc.center),
                    radius: arc.radius,
                    start_angle: sign * arc.start_angle + motion.turn_rad,
                    sweep: sign * arc.sweep,
                })
            }
            Self::Cubic(c) => Self::Cubic(CubicBez::new(
                motion.apply(c.p0),
                motion.apply(c.p1),
                motion.apply(c.p2),
                motion.apply(c.p3),
            )),
        }
    }

    /// How far the piece leaves its chord at most, mm: every point of it lies within this of the segment from start to
    /// end. A bound, not the exact figure; it falls to a quarter with every halving.
    pub(super) fn chord_error(&self) -> f64 {
        match self {
            Self::Line(_) => 0.0,
            Self::Arc(arc) => {
                let s = arc.sweep.abs();
                if s <= std::f64::consts::PI {
                    // r·(1 − cos(s/2)), without the cancellation.
                    let sin = (s / 4.0).sin();
                    2.0 * arc.radius * sin * sin
                } else {
                    2.0 * arc.radius
                }
            }
            Self::Cubic(c) => {
                let chord = c.p3 - c.p0;
                let len2 = chord.hypot2();
                let (h1, h2) = (c.p1 - c.p0, c.p2 - c.p0);
                let within = 0.0..=len2;
                // The middle two weights of a cubic add up to at most 3/4.
                if len2 > 0.0 && within.contains(&chord.dot(h1)) && within.contains(&chord.dot(h2))
                {
                    let across = chord.cross(h1).abs().max(chord.cross(h2).abs());
                    0.75 * across / len2.sqrt()
                } else {
                    let e1 = h1 - chord / 3.0;
                    let e2 = h2 - chord * (2.0 / 3.0);
                    0.75 * e1.hypot2().max(e2.hypot2()).sqrt()
                }
            }
        }
    }

    /// Both halves.
    pub(super) fn halves(&self) -> (Self, Self) {
        match self {
            Self::Cubic(cubic) => {
                let (front, back) = cubic.subdivide();
                (Self::Cubic(front), Self::Cubic(back))
            }
            _ => (self.part(0.0, 0.5), self.part(0.5, 1.0)),
        }
    }

    /// Parameter of the point of the piece nearest to `point`, and the distance in mm. A piece or point that is not
    /// finite gives a distance that is not finite either.
    #[must_use]
    pub fn nearest(&self, point: Point) -> (f64, f64) {
        match self {
            Self::Line(line) => {
                let (distance, t) = point_to_segment(point, (line.p0, line.p1));
                (t, distance)
            }
            Self::Arc(arc) => {
                let t = arc.nearest(point);
                (t, (point - arc.eval(t)).hypot())
            }
            Self::Cubic(cubic) => nearest_on_cubic(cubic, point),
        }
    }

    /// Parameters strictly inside 0..1 where `x` or `y` turns, ascending: between them the piece is
    /// monotone in both.
    #[must_use]
    pub fn turning_parameters(&self) -> Vec<f64> {
        match self {
            Self::Line(_) => Vec::new(),
            Self::Arc(arc) => {
                let mut all: Vec<f64> = (0..4)
                    .filter_map(|quarter| {
                        arc.parameter_of_angle(f64::from(quarter) * std::f64::consts::FRAC_PI_2)
                    })
                    .filter(|t| *t > 0.0 && *t < 1.0)
                    .collect();
                all.sort_by(f64::total_cmp);
                all
            }
            Self::Cubic(c) if runs_one_way(c) => Vec::new(),
            Self::Cubic(cubic) => cubic.extrema().to_vec(),
        }
    }
}

/// Whether the control points already run one way in `x` and in `y`; the curve does so too then.
fn runs_one_way(c: &CubicBez) -> bool {
    let one_way = |a: f64, b: f64, c: f64, d: f64| {
        (a <= b && b <= c && c <= d) || (a >= b && b >= c && c >= d)
    };
    one_way(c.p0.x, c.p1.x, c.p2.x, c.p3.x) && one_way(c.p0.y, c.p1.y, c.p2.y, c.p3.y)
}

fn nearest_on_cubic(cubic: &CubicBez, point: Point) -> (f64, f64) {
    let spread = (cubic.p0 - point).hypot2()
        + (cubic.p1 - point).hypot2()
        + (cubic.p2 - point).hypot2()
        + (cubic.p3 - point).hypot2();
    if !spread.is_finite() {
        return (0.0, spread);
    }
    let found = cubic.nearest(point, NEAREST_PARAMETER);
    let (mut t, mut d2) = (found.t, found.distance_sq);
    let first = cubic.deriv();
    let second = first.deriv();
    for _ in 0..2 {
        let off = cubic.eval(t) - point;
        let (v, a) = (first.eval(t).to_vec2(), second.eval(t).to_vec2());
        // Newton on (B − p)·B' = 0; a step that does not come nearer is not taken.
        let slope = v.hypot2() + off.dot(a);
        if slope <= 0.0 {
            break;
        }
        let next = (t - off.dot(v) / slope).clamp(0.0, 1.0);
        let next_d2 = cubic.eval(next).distance_squared(point);
        if next_d2 >= d2 {
            break;
        }
        (t, d2) = (next, next_d2);
    }
    (t, d2.max(0.0).sqrt())
}

#[cfg(test)]
mod curvature_tests {
    use super::*;

    #[test]
    fn arcs_and_cubics_agree_on_the_sign_of_curvature() {
        // A quarter circle of radius 10, counterclockwise, as an arc and as the usual cubic (handles 0.5523 r).
        let arc = Piece::Arc(CircularArc {
            center: Point::ZERO,
            radius: 10.0,
            start_angle: 0.0,
            sweep: std::f64::consts::FRAC_PI_2,
        });
        let k = 5.522_847_498_307_933;
        let cubic = Piece::Cubic(CubicBez::new(
            (10.0, 0.0),
            (10.0, k),
            (k, 10.0),
            (0.0, 10.0),
        ));
        assert!((arc.curvature(0.5) - 0.1).abs() < 1e-12);
        assert!((cubic.curvature(0.5) - 0.1).abs() < 1e-3);
        assert!((arc.reversed().curvature(0.5) + 0.1).abs() < 1e-12);
        assert!((cubic.reversed().curvature(0.5) + 0.1).abs() < 1e-3);
    }
}
