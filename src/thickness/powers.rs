//! Curves of the outline by their powers: places, directions, feet of points, lengths, and where rays meet them.

use std::f64::consts::PI;

use kurbo::common::solve_cubic;
use kurbo::{CubicBez, Point, Vec2};

use super::strip::Ray;
use crate::geometry::{GAUSS_8, Piece};

/// Crossings nearer to the foot than this are the foot itself, mm.
const AT_FOOT_MM: f64 = 1e-11;

/// A cubic or straight piece by its powers: `a + t·(b + t·(c + t·d))`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Powers {
    a: Vec2,
    b: Vec2,
    c: Vec2,
    d: Vec2,
    stall: Stall,
}

/// At which ends the curve stands still for a moment, because a handle there has no length.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Stall {
    None,
    Start,
    End,
    Both,
}

/// Newton's steps to where a point lies square that are shorter than this, in the curve's parameter, are the last: what is left is about its square.
const LAST_STEP: f64 = 1e-5;

/// Handles shorter than this have no direction, mm.
const NO_HANDLE_MM: f64 = 1e-9;

impl Powers {
    fn of_cubic(q: &CubicBez) -> Self {
        let gone = |handle: Vec2| handle.hypot() <= NO_HANDLE_MM;
        Self {
            stall: match (gone(q.p1 - q.p0), gone(q.p3 - q.p2)) {
                (false, false) => Stall::None,
                (true, false) => Stall::Start,
                (false, true) => Stall::End,
                (true, true) => Stall::Both,
            },
            a: q.p0.to_vec2(),
            b: 3.0 * (q.p1 - q.p0),
            c: 3.0 * (q.p2.to_vec2() - 2.0 * q.p1.to_vec2() + q.p0.to_vec2()),
            d: (q.p3 - q.p0) - 3.0 * (q.p2 - q.p1),
        }
    }

    fn of_line(from: Point, to: Point) -> Self {
        Self {
            a: from.to_vec2(),
            b: to - from,
            c: Vec2::ZERO,
            d: Vec2::ZERO,
            stall: Stall::None,
        }
    }

    pub(super) fn at(&self, t: f64) -> Vec2 {
        self.a + t * (self.b + t * (self.c + t * self.d))
    }

    pub(super) fn slope(&self, t: f64) -> Vec2 {
        self.b + t * (2.0 * self.c + (3.0 * t) * self.d)
    }

    fn bend(&self, t: f64) -> Vec2 {
        2.0 * self.c + (6.0 * t) * self.d
    }

    /// Along the curve's direction of travel, and nowhere of no length by a handle that has none: the slope is divided by how far the end of such a
    /// handle is away in `t`.
    pub(super) fn tangent(&self, t: f64) -> Vec2 {
        match self.stall {
            Stall::None => self.slope(t),
            Stall::Start => 2.0 * self.c + (3.0 * t) * self.d,
            Stall::End => self.b - (3.0 * t) * self.d,
            Stall::Both => -self.d,
        }
    }

    /// How the tangent changes with `t`.
    pub(super) fn tangent_slope(&self, t: f64) -> Vec2 {
        match self.stall {
            Stall::None => self.bend(t),
            Stall::Start => 3.0 * self.d,
            Stall::End => -3.0 * self.d,
            Stall::Both => Vec2::ZERO,
        }
    }

    /// The place on a straight piece's line to which a point lies square, beyond its ends too.
    pub(super) fn along_line(&self, q: Vec2) -> f64 {
        (q - self.a).dot(self.b) / self.b.hypot2()
    }

    /// The place between two others where a point lies square to the curve; `away` there, negative at the first and not at the second.
    /// Newton's rule, held between the two.
    pub(super) fn square_to(
        &self,
        q: Vec2,
        (mut lo, f_lo): (f64, f64),
        (mut hi, f_hi): (f64, f64),
    ) -> f64 {
        let mut t = lo + (hi - lo) * f_lo / (f_lo - f_hi);
        for _ in 0..40 {
            let (off, w) = (self.at(t) - q, self.tangent(t));
            let away = off.dot(w);
            if away < 0.0 {
                lo = t;
            } else {
                hi = t;
            }
            let rate = self.slope(t).dot(w) + off.dot(self.tangent_slope(t));
            let newton = t - away / rate;
            // Arrived: the last step is rounding, and may well point out of the bracket.
            if (newton - t).abs() < 1e-14 {
                return newton.clamp(0.0, 1.0);
            }
            let within = newton > lo && newton < hi;
            let next = if within {
                newton
            } else {
                f64::midpoint(lo, hi)
            };
            t = next;
        }
        t
    }

    /// A place to which a point lies square, by Newton's rule from `t`; past an end it stops there.
    pub(super) fn square_from(&self, q: Vec2, mut t: f64) -> Option<Square> {
        for _ in 0..12 {
            let (off, slope) = (self.at(t) - q, self.slope(t));
            let (w, turn) = match self.stall {
                Stall::None => (slope, self.bend(t)),
                _ => (self.tangent(t), self.tangent_slope(t)),
            };
            let rate = slope.dot(w) + off.dot(turn);
            // Not a least distance.
            if rate <= 0.0 {
                return None;
            }
            let next = t - off.dot(w) / rate;
            // The error of a step goes with the square of the one before, and the distance of the point with the square of that.
            if (next - t).abs() < LAST_STEP {
                return Some(Square::at(next));
            }
            if (t <= 0.0 && next < 0.0) || (t >= 1.0 && next > 1.0) {
                return Some(Square::at(next));
            }
            t = next.clamp(0.0, 1.0);
        }
        None
    }

    pub(super) fn coefficients(&self) -> [Vec2; 4] {
        [self.a, self.b, self.c, self.d]
    }

    pub(super) fn is_straight(&self) -> bool {
        self.c == Vec2::ZERO && self.d == Vec2::ZERO
    }

    pub(super) fn of_piece(piece: &Piece) -> Option<Self> {
        match piece {
            Piece::Line(line) => Some(Self::of_line(line.p0, line.p1)),
            Piece::Cubic(cubic) => Some(Self::of_cubic(cubic)),
            Piece::Arc(_) => None,
        }
    }

    /// Tells the distances at which a ray meets the curve.
    pub(super) fn meet(&self, ray: &Ray, found: &mut impl FnMut(f64)) {
        let [a, b, c, d] = self.across(ray.foot, ray.n);
        let mut add = |t: f64| {
            let distance = (self.at(t) - ray.foot).dot(ray.n);
            if distance > AT_FOOT_MM {
                found(distance);
            }
        };
        if self.is_straight() {
            let t = -a / b;
            if (0.0..1.0).contains(&t) {
                add(t);
            }
            return;
        }
        // All control values on one side: the curve stays there.
        let controls = [a, a + b / 3.0, a + (2.0 * b + c) / 3.0, a + b + c + d];
        if controls.iter().all(|v| *v > 0.0) || controls.iter().all(|v| *v < 0.0) {
            return;
        }
        for t in solve_cubic(a, b, c, d) {
            // One step of Newton takes the last digits back that the closed form loses.
            let f = a + t * (b + t * (c + t * d));
            let slope = b + t * (2.0 * c + 3.0 * t * d);
            let t = if slope == 0.0 { t } else { t - f / slope };
            if (0.0..1.0).contains(&t) {
                add(t);
            }
        }
    }

    /// Powers of how far the curve lies off a ray's line, to its right.
    fn across(&self, foot: Vec2, n: Vec2) -> [f64; 4] {
        let [a, b, c, d] = self.coefficients();
        [(a - foot).cross(n), b.cross(n), c.cross(n), d.cross(n)]
    }
}

/// Where a point lies square to a strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Square {
    /// At a parameter.
    On(f64),
    /// Before its beginning.
    Before,
    /// Past its end.
    Past,
}

impl Square {
    pub(super) fn at(t: f64) -> Self {
        if t < 0.0 {
            Self::Before
        } else if t > 1.0 {
            Self::Past
        } else {
            Self::On(t)
        }
    }
}

/// Length of a vector of ordinary size: what guards against lengths no blade has would cost more than all the rest of it.
pub(super) fn length(v: Vec2) -> f64 {
    v.hypot2().sqrt()
}

/// Coefficients of the polynomial of the length passed.
pub(super) const PASSED: usize = 10;

/// The share of a curve's length passed at `t` as a polynomial through Chebyshev's nodes; `None` where it is not the integral to ten digits.
pub(super) fn passed(curve: &Powers, whole: f64) -> Option<[f64; PASSED]> {
    // Newton's divided differences at the nodes, then multiplied out.
    let nodes: [f64; PASSED] =
        std::array::from_fn(|i| 0.5 - 0.5 * (PI * (i as f64 + 0.5) / PASSED as f64).cos());
    let mut rows = nodes.map(|t| arc_length(curve, t) / whole);
    for order in 1..PASSED {
        for i in (order..PASSED).rev() {
            rows[i] = (rows[i] - rows[i - 1]) / (nodes[i] - nodes[i - order]);
        }
    }
    let mut powers = [0.0; PASSED];
    for (node, row) in nodes.iter().zip(rows).rev() {
        for i in (1..PASSED).rev() {
            powers[i] = powers[i - 1] - node * powers[i];
        }
        powers[0] = row - node * powers[0];
    }
    let good = [0.03, 0.21, 0.47, 0.71, 0.93, 0.99].iter().all(|t| {
        let sum = powers.iter().rev().fold(0.0, |sum, c| sum * t + c);
        (sum - arc_length(curve, *t) / whole).abs() < 1e-10
    });
    good.then_some(powers)
}

/// Length up to a parameter, mm, by eight-point Gauss–Legendre.
pub(super) fn arc_length(curve: &Powers, to: f64) -> f64 {
    GAUSS_8
        .iter()
        .map(|(x, w)| length(curve.slope(to * (0.5 + 0.5 * x))) * w * to * 0.5)
        .sum()
}
