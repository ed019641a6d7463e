//! Numbers as the writers put them into files: plain decimals, rounded once, the same on every machine.

/// The most decimals a file ever gets. Coordinates of a few hundred millimeters carry twelve decimals in a double;
/// more would be noise.
pub(super) const MOST_DECIMALS: u8 = 12;

/// `value` rounded to `decimals` decimals (at most [`MOST_DECIMALS`]), without trailing zeros, exponent or a sign on
/// zero. What is not finite becomes `0`: sheets are checked before they are written, so this only keeps a file readable.
pub(super) fn trimmed(value: f64, decimals: u8) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let mut text = format!("{value:.*}", usize::from(decimals.min(MOST_DECIMALS)));
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        text.remove(0);
    }
    text
}

/// As [`trimmed`], but always with a decimal point, as formats that tell reals from integers by it want.
pub(super) fn real(value: f64, decimals: u8) -> String {
    let mut text = trimmed(value, decimals);
    if !text.contains('.') {
        text.push_str(".0");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_are_plain() {
        // Expected by rounding by hand; 0.125 is exact in binary, so its tie goes to the even digit (IEEE 754).
        for (value, decimals, expected) in [
            (0.0, 4, "0"),
            (-0.0, 4, "0"),
            (-0.00001, 4, "0"),
            (12.5, 4, "12.5"),
            (-12.500_04, 4, "-12.5"),
            (0.125, 2, "0.12"),
            (100.0, 0, "100"),
            (1e15, 2, "1000000000000000"),
            (1e-7, 10, "0.0000001"),
            (f64::NAN, 4, "0"),
            (f64::INFINITY, 4, "0"),
        ] {
            assert_eq!(trimmed(value, decimals), expected, "{value} at {decimals}");
        }
        assert_eq!(real(3.0, 4), "3.0");
        assert_eq!(real(3.25, 4), "3.25");
    }

    proptest! {
        #[test]
        fn numbers_read_back_within_half_a_step(value in -1e4..1e4, decimals in 0_u8..=10) {
            let text = trimmed(value, decimals);
            let back: f64 = text.parse().expect("a plain decimal");
            prop_assert!((back - value).abs() <= 0.5 * 10_f64.powi(-i32::from(decimals)) + 1e-11);
            prop_assert_eq!(real(value, decimals).parse::<f64>().ok(), Some(back));
            prop_assert!(!text.contains('e') && text != "-0" && !text.ends_with('.'), "{}", text);
        }
    }
}
