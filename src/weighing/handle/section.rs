//! The superellipse: the section of a handle.
//!
//! `|2y/h|ⁿ + |2z/T|ⁿ = 1`. With `u = 2y/h` the half thickness at `u` is `T/2·(1 − |u|ⁿ)^(1/n)`, so the area is `h·T·c₀` and the second moment
//! across the height `h³·T/4·c₂`, `c_k = ∫₀¹ uᵏ(1 − uⁿ)^(1/n) du = B((k + 1)/n, 1/n + 1)/n`, Euler's beta function
//! (NIST Digital Library of Mathematical Functions, 5.12.1, with `t = uⁿ`; <https://dlmf.nist.gov/5.12>).

use libm::lgamma;

/// A superellipse of a given rounding.
#[derive(Clone, Copy, Debug)]
pub(super) struct Superellipse {
    n: f64,
    c0: f64,
    c2: f64,
}

impl Superellipse {
    /// The shape with rounding `n`, positive: 2 is an ellipse.
    pub(super) fn new(n: f64) -> Self {
        Self {
            n,
            c0: beta(1.0 / n, 1.0 / n + 1.0) / n,
            c2: beta(3.0 / n, 1.0 / n + 1.0) / n,
        }
    }

    /// Area of a section of this height and thickness, mm².
    pub(super) fn area(&self, height: f64, thickness: f64) -> f64 {
        height * thickness * self.c0
    }

    /// `∫y² dA` about its own middle, mm⁴.
    pub(super) fn second_moment(&self, height: f64, thickness: f64) -> f64 {
        height.powi(3) * thickness * self.c2 / 4.0
    }

    /// Share of the half thickness that is left at `u`, −1 to 1 across the height.
    pub(super) fn share(&self, u: f64) -> f64 {
        (1.0 - u.abs().powf(self.n)).max(0.0).powf(1.0 / self.n)
    }
}

/// Euler's beta function of positive numbers.
fn beta(a: f64, b: f64) -> f64 {
    (lgamma(a) + lgamma(b) - lgamma(a + b)).exp()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    #[test]
    fn an_ellipse_and_a_diamond_are_known() {
        // Ellipse of semi-axes 60 and 25: area πab, second moment πab³/4 (handbooks).
        let ellipse = Superellipse::new(2.0);
        let (area, second) = (PI * 60.0 * 25.0, PI * 60.0 * 25.0_f64.powi(3) / 4.0);
        assert!((ellipse.area(50.0, 120.0) / area - 1.0).abs() < 1e-13);
        assert!((ellipse.second_moment(50.0, 120.0) / second - 1.0).abs() < 1e-13);
        // n = 1 is a rhombus: half the box, bh³/48.
        let rhombus = Superellipse::new(1.0);
        assert!((rhombus.area(30.0, 20.0) / 300.0 - 1.0).abs() < 1e-13);
        let second = 20.0 * 30.0_f64.powi(3) / 48.0;
        assert!((rhombus.second_moment(30.0, 20.0) / second - 1.0).abs() < 1e-13);
        // A very square one nears the rectangle.
        assert!((Superellipse::new(400.0).area(30.0, 20.0) / 600.0 - 1.0).abs() < 1e-4);
    }

    #[test]
    fn other_roundings_agree_with_a_sum() {
        // Midpoint rule over 2,000,000 strips; the vertical tangent at the end leaves about 1e-8.
        for n in [1.5, 2.5, 4.0, 9.0] {
            let shape = Superellipse::new(n);
            let steps = 2_000_000_u32;
            let (mut c0, mut c2) = (0.0, 0.0);
            for i in 0..steps {
                let u = (f64::from(i) + 0.5) / f64::from(steps);
                c0 += shape.share(u);
                c2 += u * u * shape.share(u);
            }
            let (c0, c2) = (c0 / f64::from(steps), c2 / f64::from(steps));
            assert!((shape.area(1.0, 1.0) / c0 - 1.0).abs() < 1e-6, "{n}");
            assert!(
                (4.0 * shape.second_moment(1.0, 1.0) / c2 - 1.0).abs() < 1e-6,
                "{n}"
            );
        }
    }
}
