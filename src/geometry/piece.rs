//! One piece of an outline: a straight line, a circular arc or a cubic curve.

use kurbo::{
    CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveCurvature, ParamCurveDeriv,
    ParamCurveExtrema, ParamCurveNearest, Point, Rect, Vec2,
};

use super::CircularArc;

/// Asked accuracy of curve lengths, mm. Lengths of cubics have no closed form; this keeps a perimeter of
/// a few hundred millimeters right to better than 1e-11 relative.
const LENGTH_ACCURACY_MM: f64 = 1e-10;

/// Asked accuracy of a nearest point, mm.
const NEAREST_ACCURACY_MM: f64 = 1e-7;

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

    /// Unit direction of travel at `t`, or `None` for a piece without extent. Where the derivative
    /// vanishes at an end (a handle of zero length) the chord toward the inside is used.
    #[must_use]
    pub fn direction(&self, t: f64) -> Option<Vec2> {
        let d = self.derivative(t);
        if d.hypot() > 1e-9 {
            return Some(d.normalize());
        }
        let near = if t < 0.5 { t + 1e-3 } else { t - 1e-3 };
        let chord = if t < 0.5 {
            self.eval(near) - self.eval(t)
        } else {
            self.eval(t) - self.eval(near)
        };
        (chord.hypot() > 1e-12).then(|| chord.normalize())
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

    /// Length in mm: exact for lines and arcs, within 1e-10 mm for cubics.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Line(line) => line.length(),
            Self::Arc(arc) => arc.length(),
            Self::Cubic(cubic) => cubic.arclen(LENGTH_ACCURACY_MM),
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

    /// Parameter of the point of the piece nearest to `point`, and the distance in mm.
    #[must_use]
    pub fn nearest(&self, point: Point) -> (f64, f64) {
        match self {
            Self::Line(line) => {
                let along = line.p1 - line.p0;
                let len2 = along.hypot2();
                let t = if len2 > 0.0 {
                    ((point - line.p0).dot(along) / len2).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                (t, (point - line.eval(t)).hypot())
            }
            Self::Arc(arc) => {
                let angle = (point - arc.center).atan2();
                let t = arc.parameter_of_angle(angle).unwrap_or_else(|| {
                    let to_start = (point - arc.eval(0.0)).hypot2();
                    let to_end = (point - arc.eval(1.0)).hypot2();
                    if to_start <= to_end { 0.0 } else { 1.0 }
                });
                (t, (point - arc.eval(t)).hypot())
            }
            Self::Cubic(cubic) => {
                let nearest = cubic.nearest(point, NEAREST_ACCURACY_MM);
                (nearest.t, nearest.distance_sq.max(0.0).sqrt())
            }
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
            Self::Cubic(cubic) => cubic.extrema().to_vec(),
        }
    }
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
