//! An angle.

/// An angle, counterclockwise positive where it turns something.
///
/// It may hold any `f64`; what was typed is always finite, and what is not finite prints as missing.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// An angle of so many radians.
    #[must_use]
    pub const fn radians(radians: f64) -> Self {
        Self(radians)
    }

    /// An angle of so many degrees, 360 to the full turn.
    #[must_use]
    pub const fn degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// This angle in radians.
    #[must_use]
    pub const fn to_radians(self) -> f64 {
        self.0
    }

    /// This angle in degrees.
    #[must_use]
    pub const fn to_degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_6, PI};

    #[test]
    fn a_half_turn_is_pi() {
        // The SI Brochure, 9th edition (2019), table 8: 1° = (π/180) rad.
        assert_eq!(Angle::degrees(180.0).to_radians(), PI);
        assert!((Angle::radians(FRAC_PI_6).to_degrees() - 30.0).abs() < 1e-13);
        assert!((Angle::degrees(30.0).to_radians().sin() - 0.5).abs() < 1e-15);
    }
}
