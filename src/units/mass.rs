//! A mass, and the units it can be shown in.

/// Grams in one avoirdupois ounce, exact: the international yard and pound agreement of 1959 sets the
/// pound to 0.45359237 kg (United States Federal Register 24 FR 5348, 1 July 1959), 16 ounces to it.
pub const G_PER_OUNCE: f64 = 28.349_523_125;

/// A mass, or a signed change of mass.
///
/// It may hold any `f64`; what was typed is always finite, and what is not finite prints as missing.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Mass(f64);

impl Mass {
    /// A mass of so many grams.
    #[must_use]
    pub const fn g(g: f64) -> Self {
        Self(g)
    }

    /// A mass of so many avoirdupois ounces of 28.349523125 g.
    #[must_use]
    pub const fn oz(oz: f64) -> Self {
        Self(oz * G_PER_OUNCE)
    }

    /// This mass in grams.
    #[must_use]
    pub const fn to_g(self) -> f64 {
        self.0
    }

    /// This mass in avoirdupois ounces.
    #[must_use]
    pub const fn to_oz(self) -> f64 {
        self.0 / G_PER_OUNCE
    }

    /// This mass as a number of `unit`.
    #[must_use]
    pub const fn to_unit(self, unit: MassUnit) -> f64 {
        match unit {
            MassUnit::Gram => self.to_g(),
            MassUnit::Ounce => self.to_oz(),
        }
    }

    /// The mass of so many of `unit`: what a bare number means in a field shown in `unit`.
    #[must_use]
    pub const fn from_unit(count: f64, unit: MassUnit) -> Self {
        match unit {
            MassUnit::Gram => Self::g(count),
            MassUnit::Ounce => Self::oz(count),
        }
    }
}

/// How the maker wants masses shown, and so what a bare number in a mass field means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum MassUnit {
    /// Grams: `428 g`.
    #[default]
    Gram,
    /// Avoirdupois ounces: `15.1 oz`.
    Ounce,
}

impl MassUnit {
    /// The short sign written after the number: `g` or `oz`.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Ounce => "oz",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sixteen_ounces_make_the_pound_of_1959() {
        // International yard and pound agreement, 1959: 1 lb = 453.59237 g exactly; 16 oz to the pound.
        assert_eq!(Mass::oz(16.0).to_g(), 453.592_37);
        assert_eq!(Mass::g(28.349_523_125).to_oz(), 1.0);
    }

    #[test]
    fn a_bare_number_takes_the_unit_shown() {
        assert_eq!(Mass::from_unit(3.0, MassUnit::Gram), Mass::g(3.0));
        assert_eq!(
            Mass::from_unit(1.0, MassUnit::Ounce),
            Mass::g(28.349_523_125)
        );
        assert_eq!(Mass::oz(2.0).to_unit(MassUnit::Ounce), 2.0);
        assert_eq!(MassUnit::default(), MassUnit::Gram);
    }
}
