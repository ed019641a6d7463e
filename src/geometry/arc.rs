//! A circular arc kept exact: center, radius, start angle and signed sweep.

use std::f64::consts::TAU;

use kurbo::{Point, Rect, Vec2};

/// A circular arc. Angles in radians, counterclockwise positive; `|sweep| ≤ 2π`, `radius > 0`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircularArc {
    /// Center of the circle.
    pub center: Point,
    /// Radius in mm.
    pub radius: f64,
    /// Angle of the start point seen from the center.
    pub start_angle: f64,
    /// Signed angle traveled from start to end.
    pub sweep: f64,
}

impl CircularArc {
    /// The point at angle `start_angle + t·sweep`, `t` in 0..=1.
    #[must_use]
    pub fn eval(&self, t: f64) -> Point {
        self.at_angle(self.start_angle + t * self.sweep)
    }

    /// The point of the full circle at an absolute angle.
    #[must_use]
    pub fn at_angle(&self, angle: f64) -> Point {
        self.center + self.radius * Vec2::from_angle(angle)
    }

    /// Derivative with respect to `t`, in mm.
    #[must_use]
    pub fn derivative(&self, t: f64) -> Vec2 {
        let u = Vec2::from_angle(self.start_angle + t * self.sweep);
        Vec2::new(-u.y, u.x) * (self.radius * self.sweep)
    }

    /// Arc length in mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.radius * self.sweep.abs()
    }

    /// The part between two parameters.
    #[must_use]
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        Self {
            start_angle: self.start_angle + t0 * self.sweep,
            sweep: (t1 - t0) * self.sweep,
            ..*self
        }
    }

    /// The same arc run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        self.part(1.0, 0.0)
    }

    /// Whether the arc passes the absolute angle `angle`; gives the parameter where it does.
    #[must_use]
    pub fn parameter_of_angle(&self, angle: f64) -> Option<f64> {
        if self.sweep == 0.0 {
            return None;
        }
        let turned = if self.sweep > 0.0 {
            (angle - self.start_angle).rem_euclid(TAU)
        } else {
            (self.start_angle - angle).rem_euclid(TAU)
        };
        let t = turned / self.sweep.abs();
        (t <= 1.0).then_some(t)
    }

    /// Parameter of the place on the arc nearest to a point.
    #[must_use]
    pub fn nearest(&self, point: Point) -> f64 {
        self.parameter_of_angle((point - self.center).atan2())
            .unwrap_or_else(|| {
                let to_start = (point - self.eval(0.0)).hypot2();
                let to_end = (point - self.eval(1.0)).hypot2();
                if to_start <= to_end { 0.0 } else { 1.0 }
            })
    }

    /// Distance from a point to the arc, mm.
    #[must_use]
    pub fn distance_to(&self, point: Point) -> f64 {
        point.distance(self.eval(self.nearest(point)))
    }

    /// The smallest upright box around the arc.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let mut bounds = Rect::from_points(self.eval(0.0), self.eval(1.0));
        for quarter in 0..4 {
            let angle = f64::from(quarter) * TAU / 4.0;
            if self.parameter_of_angle(angle).is_some() {
                bounds = bounds.union_pt(self.at_angle(angle));
            }
        }
        bounds
    }
}
