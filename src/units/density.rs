//! A density.

use super::mass::Mass;

/// Cubic millimeters in one cubic centimeter.
const MM3_PER_CM3: f64 = 1000.0;

/// A mass per volume.
///
/// It may hold any `f64`; that a material's density is finite and above zero is for the table of
/// materials to check.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density(f64);

impl Density {
    /// A density of so many grams to the cubic centimeter.
    #[must_use]
    pub const fn g_per_cm3(g_per_cm3: f64) -> Self {
        Self(g_per_cm3)
    }

    /// This density in grams to the cubic centimeter.
    #[must_use]
    pub const fn to_g_per_cm3(self) -> f64 {
        self.0
    }

    /// The mass of `volume_mm3` cubic millimeters of a material of this density.
    #[must_use]
    pub const fn mass_of_mm3(self, volume_mm3: f64) -> Mass {
        Mass::g(self.0 * volume_mm3 / MM3_PER_CM3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_liter_of_water_is_about_a_kilogram() {
        // Maximum density of water 0.999975 g/cm³ (CIPM 2001, Tanaka et al., Metrologia 38, 301); a liter is 10⁶ mm³.
        let water = Density::g_per_cm3(0.999_975);
        assert!((water.mass_of_mm3(1.0e6).to_g() - 999.975).abs() < 1e-9);
        assert_eq!(water.to_g_per_cm3(), 0.999_975);
    }
}
