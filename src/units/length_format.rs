//! How lengths are shown: millimeters, decimal inches or inches with a fraction.

use super::decimal::{MINUS, MISSING, shows_something, step, unsigned};
use super::length::{Length, LengthUnit};

/// The finest fraction of an inch shown: 1/64, the finest mark on a maker's rule and the finest step of
/// the fractional drill series.
const PARTS_PER_INCH: u32 = 64;

/// A length nearer than this to a 64th counts as being it (inches). It lies far above the noise of
/// `f64` at bench sizes (about 1e-14 in) and far below anything that can be cut or measured.
const EXACT_WITHIN_IN: f64 = 1e-9;

/// A way to show lengths: the unit, and the decimals where the unit has any.
///
/// ```
/// use tangwright::units::{Length, LengthFormat, LengthUnit};
///
/// let metric = LengthFormat { unit: LengthUnit::Mm, decimals: 1 };
/// assert_eq!(metric.print(Length::mm(57.0)), "57.0 mm");
/// let fraction = LengthFormat { unit: LengthUnit::FractionInch, decimals: 0 };
/// assert_eq!(fraction.print(Length::inches(2.25)), "2 1/4\"");
/// assert_eq!(fraction.print(Length::mm(57.0)), "2 1/4\" ±");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LengthFormat {
    /// The unit shown.
    pub unit: LengthUnit,
    /// Decimals after the point, at most [`MAX_DECIMALS`](crate::units::MAX_DECIMALS); fractions of an inch have none and ignore it.
    pub decimals: u8,
}

/// A tenth of a millimeter: what a maker lays out by eye.
impl Default for LengthFormat {
    fn default() -> Self {
        Self {
            unit: LengthUnit::Mm,
            decimals: 1,
        }
    }
}

/// A printed number taken apart, before its sign and unit are put on.
struct Printed {
    digits: String,
    /// Below zero, and not rounded to zero.
    negative: bool,
    /// Above zero, and not rounded to zero.
    positive: bool,
    /// A fraction that is not exactly the length.
    rounded: bool,
}

impl LengthFormat {
    /// The same lengths as calipers tell them: to a hundredth of a millimeter or a thousandth of an inch at least, and never in fractions, which
    /// are too coarse for edges and webs.
    #[must_use]
    pub fn caliper(self) -> Self {
        let (unit, least) = match self.unit {
            LengthUnit::Mm => (LengthUnit::Mm, 2),
            LengthUnit::DecimalInch | LengthUnit::FractionInch => (LengthUnit::DecimalInch, 3),
        };
        let decimals = if unit == self.unit {
            self.decimals.max(least)
        } else {
            least
        };
        Self { unit, decimals }
    }

    /// `length` with its unit: `57.0 mm`, `2.244 in`, `2 1/4"`. A fraction is in lowest terms and is
    /// followed by ` ±` when the length is not that fraction within 1e-9 in. The minus is U+2212; what rounds to
    /// zero has none. [`MISSING`](crate::units::MISSING) if the length is not finite.
    #[must_use]
    pub fn print(&self, length: Length) -> String {
        self.written(length, "", self.unit_sign())
    }

    /// `length` as [`print`](Self::print) gives it but without the unit, for tight places such as a ruler. A field
    /// shown in the same unit reads it back.
    #[must_use]
    pub fn print_bare(&self, length: Length) -> String {
        self.written(length, "", "")
    }

    /// `length` as [`print`](Self::print) gives it, with `+` before what is above zero: for distances
    /// that have a direction, such as the balance point from the shoulder line.
    #[must_use]
    pub fn print_signed(&self, length: Length) -> String {
        self.written(length, "+", self.unit_sign())
    }

    /// Half the step between neighboring printed lengths: how far a printed length can be from the true
    /// one. With a fraction that is 1/128 in.
    #[must_use]
    pub fn resolution(&self) -> Length {
        match self.unit {
            LengthUnit::Mm => Length::mm(0.5 * step(self.decimals)),
            LengthUnit::DecimalInch => Length::inches(0.5 * step(self.decimals)),
            LengthUnit::FractionInch => Length::inches(0.5 / f64::from(PARTS_PER_INCH)),
        }
    }

    fn unit_sign(self) -> &'static str {
        match self.unit {
            LengthUnit::Mm => " mm",
            LengthUnit::DecimalInch => " in",
            LengthUnit::FractionInch => "\"",
        }
    }

    fn written(self, length: Length, plus: &str, unit_sign: &str) -> String {
        let Some(printed) = self.printed(length) else {
            return MISSING.to_owned();
        };
        let mut text = String::new();
        if printed.negative {
            text.push(MINUS);
        } else if printed.positive {
            text.push_str(plus);
        }
        text.push_str(&printed.digits);
        text.push_str(unit_sign);
        if printed.rounded {
            text.push_str(" ±");
        }
        text
    }

    /// `None` if the length, or its count of 64ths, is not finite.
    fn printed(self, length: Length) -> Option<Printed> {
        let count = length.to_unit(self.unit);
        let (digits, rounded) = match self.unit {
            LengthUnit::Mm | LengthUnit::DecimalInch => (unsigned(count, self.decimals), false),
            LengthUnit::FractionInch => fraction(count.abs())?,
        };
        let shows = shows_something(&digits);
        count.is_finite().then_some(Printed {
            negative: count < 0.0 && shows,
            positive: count > 0.0 && shows,
            digits,
            rounded,
        })
    }
}

/// `inches` (not negative) to the nearest 64th as `2`, `1/4` or `2 1/4`, and whether that is only near it.
fn fraction(inches: f64) -> Option<(String, bool)> {
    let parts = f64::from(PARTS_PER_INCH);
    let n_parts = (inches * parts).round();
    if !n_parts.is_finite() {
        return None;
    }
    let rounded = (inches - n_parts / parts).abs() > EXACT_WITHIN_IN;
    let whole = (n_parts / parts).floor();
    // Dividing by a power of two is exact, so the rest is a whole number from 0 to 63.
    let (top, bottom) = lowest_terms((n_parts - whole * parts) as u32);
    let text = match (whole > 0.0, top) {
        (_, 0) => format!("{whole:.0}"),
        (false, _) => format!("{top}/{bottom}"),
        (true, _) => format!("{whole:.0} {top}/{bottom}"),
    };
    Some((text, rounded))
}

/// `n` 64ths in lowest terms. Only twos can be shared, since 64 has no other factor.
fn lowest_terms(n: u32) -> (u32, u32) {
    let shared_twos = n.trailing_zeros().min(PARTS_PER_INCH.trailing_zeros());
    (n >> shared_twos, PARTS_PER_INCH >> shared_twos)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthFormat = LengthFormat {
        unit: LengthUnit::Mm,
        decimals: 1,
    };
    const INCH: LengthFormat = LengthFormat {
        unit: LengthUnit::DecimalInch,
        decimals: 3,
    };
    const FRACTION: LengthFormat = LengthFormat {
        unit: LengthUnit::FractionInch,
        decimals: 0,
    };

    #[test]
    fn each_unit_prints_its_way() {
        assert_eq!(MM.print(Length::mm(57.0)), "57.0 mm");
        assert_eq!(INCH.print(Length::mm(57.0)), "2.244 in"); // 57 / 25.4 = 2.24409…
        assert_eq!(FRACTION.print(Length::mm(57.15)), "2 1/4\""); // 2.25 × 25.4 = 57.15
        assert_eq!(MM.print_bare(Length::mm(57.0)), "57.0");
        assert_eq!(INCH.print_bare(Length::mm(57.0)), "2.244");
        assert_eq!(FRACTION.print_bare(Length::mm(57.15)), "2 1/4");
        assert_eq!(MM.print_bare(Length::mm(-8.0)), "\u{2212}8.0");
        assert_eq!(
            LengthFormat::default().print(Length::inches(1.0)),
            "25.4 mm"
        );
    }

    #[test]
    fn every_64th_prints_as_the_drill_index_writes_it() {
        // The 1/64 in steps of ASME B94.11M, named there in lowest terms.
        for (n, name) in [
            (1, "1/64"),
            (2, "1/32"),
            (3, "3/64"),
            (4, "1/16"),
            (6, "3/32"),
            (8, "1/8"),
            (24, "3/8"),
            (32, "1/2"),
            (46, "23/32"),
            (63, "63/64"),
        ] {
            assert_eq!(
                FRACTION.print(Length::inches(f64::from(n) / 64.0)),
                format!("{name}\""),
                "{n} parts"
            );
        }
        assert_eq!(FRACTION.print(Length::inches(1.0)), "1\"");
        assert_eq!(FRACTION.print(Length::inches(0.0)), "0\"");
    }

    #[test]
    fn a_rounded_fraction_says_so() {
        assert_eq!(FRACTION.print(Length::mm(57.0)), "2 1/4\" ±"); // 2.24409 in: 143.62 parts, nearest 144
        assert_eq!(FRACTION.print_bare(Length::mm(57.0)), "2 1/4 ±");
        assert_eq!(FRACTION.print(Length::inches(1.0 - 0.001)), "1\" ±");
        assert_eq!(FRACTION.print(Length::inches(0.125 + 0.9e-9)), "1/8\"");
        assert_eq!(FRACTION.print(Length::inches(0.125 + 1.1e-9)), "1/8\" ±");
    }

    #[test]
    fn negative_lengths_keep_their_sign_and_zero_has_none() {
        assert_eq!(
            FRACTION.print(Length::inches(-1.0 / 64.0)),
            "\u{2212}1/64\""
        );
        assert_eq!(FRACTION.print(Length::inches(-0.001)), "0\" ±");
        assert_eq!(MM.print(Length::mm(-0.0)), "0.0 mm");
        assert_eq!(MM.print(Length::mm(-0.04)), "0.0 mm");
        assert_eq!(INCH.print(Length::inches(-0.25)), "\u{2212}0.250 in");
    }

    #[test]
    fn a_direction_shows_as_a_sign() {
        assert_eq!(MM.print_signed(Length::mm(12.0)), "+12.0 mm");
        assert_eq!(MM.print_signed(Length::mm(-8.0)), "\u{2212}8.0 mm");
        assert_eq!(MM.print_signed(Length::mm(0.01)), "0.0 mm");
        assert_eq!(FRACTION.print_signed(Length::inches(0.5)), "+1/2\"");
    }

    #[test]
    fn what_is_not_finite_is_missing() {
        for format in [MM, INCH, FRACTION] {
            for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                assert_eq!(format.print(Length::mm(value)), MISSING);
                assert_eq!(format.print_signed(Length::mm(value)), MISSING);
            }
        }
        assert_eq!(FRACTION.print(Length::mm(f64::MAX)), MISSING);
    }

    #[test]
    fn resolution_is_half_a_step() {
        assert_eq!(MM.resolution(), Length::mm(0.05));
        assert_eq!(INCH.resolution(), Length::inches(0.0005));
        assert_eq!(FRACTION.resolution(), Length::inches(1.0 / 128.0));
    }
}
