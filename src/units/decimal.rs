//! A plain decimal number as text: the one place where digits are made.
//!
//! Rust prints the exact decimal expansion of an `f64`, rounded to nearest with ties to even, and knows
//! no locale; so the same value gives the same text on every machine.

/// The most decimals ever printed. An `f64` millimeter count up to a kilometer carries nine decimals
/// honestly; more would show the noise of the binary number.
pub const MAX_DECIMALS: u8 = 9;

/// What stands in place of a number that is not finite: it is missing, never zero.
pub const MISSING: &str = "—";

/// The minus sign shown (U+2212); the readers take it back.
pub(super) const MINUS: char = '\u{2212}';

/// `value` with `decimals` decimals (at most [`MAX_DECIMALS`]), a decimal point, no grouping, and the
/// true minus sign. What rounds to zero has no sign. [`MISSING`] if the value is not finite.
#[must_use]
pub fn print_number(value: f64, decimals: u8) -> String {
    if !value.is_finite() {
        return MISSING.to_owned();
    }
    let digits = unsigned(value, decimals);
    if value < 0.0 && shows_something(&digits) {
        format!("{MINUS}{digits}")
    } else {
        digits
    }
}

/// `value` without its sign, with `decimals` decimals (at most [`MAX_DECIMALS`]).
pub(super) fn unsigned(value: f64, decimals: u8) -> String {
    format!(
        "{:.*}",
        usize::from(decimals.min(MAX_DECIMALS)),
        value.abs()
    )
}

/// Whether any digit of a printed number is other than zero.
pub(super) fn shows_something(digits: &str) -> bool {
    digits.bytes().any(|b| b.is_ascii_digit() && b != b'0')
}

/// The step between neighboring printed numbers with `decimals` decimals: 10^−decimals.
pub(super) fn step(decimals: u8) -> f64 {
    // Indexing by a clamped value into all the powers, because `powi` may differ in the last bit between platforms.
    const STEPS: [f64; MAX_DECIMALS as usize + 1] =
        [1.0, 1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9];
    STEPS[usize::from(decimals.min(MAX_DECIMALS))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_round_to_the_decimals_asked() {
        // Expected by rounding by hand; 0.125 is exact in binary, so its tie goes to the even digit (IEEE 754).
        for (value, decimals, expected) in [
            (7.85, 2, "7.85"),
            (7.85, 0, "8"),
            (0.125, 2, "0.12"),
            (0.375, 2, "0.38"),
            (1234.5, 1, "1234.5"),
            (0.0, 3, "0.000"),
        ] {
            assert_eq!(
                print_number(value, decimals),
                expected,
                "{value} with {decimals}"
            );
        }
    }

    #[test]
    fn zero_has_no_sign_and_minus_is_the_true_one() {
        assert_eq!(print_number(-0.0, 1), "0.0");
        assert_eq!(print_number(-0.04, 1), "0.0");
        assert_eq!(print_number(-0.06, 1), "\u{2212}0.1");
    }

    #[test]
    fn what_cannot_be_shown_is_missing() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(print_number(value, 2), MISSING);
        }
    }

    #[test]
    fn decimals_stop_at_nine() {
        assert_eq!(print_number(0.5, 255), "0.500000000");
        assert_eq!(step(255), 1e-9);
        assert_eq!(step(2), 0.01);
    }
}
