//! A length, and the units it can be shown in.

/// Millimeters in one inch, exact: the international yard and pound agreement of 1959 sets the yard to
/// 0.9144 m (United States Federal Register 24 FR 5348, 1 July 1959), and an inch is 1/36 of it.
pub const MM_PER_INCH: f64 = 25.4;

/// A length or a signed distance.
///
/// It may hold any `f64`, so that a computed value can pass through; what was *typed* is always finite
/// (see [`read_length`](crate::units::read_length)), and what is not finite prints as missing.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// A length of so many millimeters.
    #[must_use]
    pub const fn mm(mm: f64) -> Self {
        Self(mm)
    }

    /// A length of so many inches of 25.4 mm.
    #[must_use]
    pub const fn inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }

    /// This length in millimeters.
    #[must_use]
    pub const fn to_mm(self) -> f64 {
        self.0
    }

    /// This length in inches of 25.4 mm.
    #[must_use]
    pub const fn to_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// This length as a number of `unit`: millimeters or inches.
    #[must_use]
    pub const fn to_unit(self, unit: LengthUnit) -> f64 {
        match unit {
            LengthUnit::Mm => self.to_mm(),
            LengthUnit::DecimalInch | LengthUnit::FractionInch => self.to_inches(),
        }
    }

    /// The length of so many of `unit`: what a bare number means in a field shown in `unit`.
    #[must_use]
    pub const fn from_unit(count: f64, unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Mm => Self::mm(count),
            LengthUnit::DecimalInch | LengthUnit::FractionInch => Self::inches(count),
        }
    }
}

/// How the maker wants lengths shown, and so what a bare number in a length field means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum LengthUnit {
    /// Millimeters with decimals: `57.0 mm`.
    #[default]
    Mm,
    /// Inches with decimals: `2.244 in`.
    DecimalInch,
    /// Inches with a fraction down to 1/64: `2 1/4"`.
    FractionInch,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inch_is_25_4_mm() {
        // International yard and pound agreement, 1959: 1 yd = 0.9144 m exactly; 36 in to the yard.
        assert_eq!(Length::inches(36.0).to_mm(), 914.4);
        assert_eq!(Length::inches(1.0).to_mm(), 25.4);
        assert_eq!(Length::mm(25.4).to_inches(), 1.0);
    }

    #[test]
    fn jobber_drill_sizes_come_out_right() {
        // Fractional drill sizes of ASME B94.11M with their millimeters, rounded there to 0.0001 mm.
        for (inches, mm) in [
            (1.0 / 64.0, 0.3969),
            (1.0 / 8.0, 3.175),
            (3.0 / 16.0, 4.7625),
            (23.0 / 32.0, 18.2562),
        ] {
            assert!(
                (Length::inches(inches).to_mm() - mm).abs() <= 0.00006,
                "{inches} in"
            );
        }
    }

    #[test]
    fn a_bare_number_takes_the_unit_shown() {
        assert_eq!(Length::from_unit(2.0, LengthUnit::Mm), Length::mm(2.0));
        assert_eq!(
            Length::from_unit(2.0, LengthUnit::FractionInch),
            Length::mm(50.8)
        );
        assert_eq!(Length::mm(50.8).to_unit(LengthUnit::DecimalInch), 2.0);
        assert_eq!(LengthUnit::default(), LengthUnit::Mm);
    }

    #[test]
    fn lengths_are_ordered() {
        assert!(Length::mm(25.0) < Length::inches(1.0));
        assert!(Length::mm(26.0) > Length::inches(1.0));
    }
}
