//! How many digits a number has earned, and a mass beside its band.
//!
//! Two cases, two rules:
//!
//! - A number shown *alone* is believed to its last digit. So its step (the worth of one in the last
//!   decimal) is at least half its uncertainty: see [`decimals_earned`]. This rule is ours.
//! - A number shown *with* its band is judged by the band beside it. So the usual rule of the laboratory
//!   holds: the band has one significant digit, two if the first is a 1, and the number ends in the same
//!   place as the band. Source: J. R. Taylor, An Introduction to Error Analysis, 2nd edition, University
//!   Science Books 1997, section 2.2, rules (2.5) and (2.9).

use super::decimal::{MISSING, print_number, step};
use super::mass::{Mass, MassUnit};

/// The most decimals a number can earn. A thousandth of a gram is finer than any bench scale; without an end
/// an uncertainty of zero would earn digits forever.
pub const MAX_EARNED_DECIMALS: u8 = 3;

/// Slack for the comparison of a step with half an uncertainty, so that 0.2 earns the same digit however it
/// was computed. Relative; far above rounding noise, far below a digit.
const SLACK: f64 = 1e-9;

/// How many decimals a number shown alone may have, given its `uncertainty` (plus or minus, in the unit
/// shown; the sign does not matter).
///
/// The most decimals, up to [`MAX_EARNED_DECIMALS`], whose step is at least half the uncertainty: 2 earns none,
/// 0.2 earns one, 0.02 earns two. None if the uncertainty is larger, or not finite.
#[must_use]
pub fn decimals_earned(uncertainty: f64) -> u8 {
    if !uncertainty.is_finite() {
        return 0;
    }
    let finest_step = 0.5 * uncertainty.abs() * (1.0 - SLACK);
    (0..=MAX_EARNED_DECIMALS)
        .rev()
        .find(|&decimals| step(decimals) >= finest_step)
        .unwrap_or(0)
}

/// `mass` with how far it may be off: `428 g ± 9`, `15.1 oz ± 0.3`.
///
/// `low` and `high` are the ends of what the mass may be; the wider side counts for both. The mass ends in
/// the place of the band's last digit, also above the units (`430 g ± 30`). No finer than
/// [`MAX_EARNED_DECIMALS`]. [`MISSING`] if the mass is not finite; if only the band is not, the band is missing.
#[must_use]
pub fn print_mass_with_band(mass: Mass, low: Mass, high: Mass, unit: MassUnit) -> String {
    let (value, low, high) = (mass.to_unit(unit), low.to_unit(unit), high.to_unit(unit));
    let sign = unit.sign();
    if !value.is_finite() {
        return MISSING.to_owned();
    }
    if !(low.is_finite() && high.is_finite()) {
        return format!("{} {sign} ± {MISSING}", print_number(value, 0));
    }
    let band = (high - value).abs().max((value - low).abs());
    if band == 0.0 {
        return format!("{} {sign} ± 0", print_number(value, MAX_EARNED_DECIMALS));
    }
    let place = place_of_last_digit(band);
    let band = round_to_place(band, place);
    // A band that rounds to nothing is still not nothing: it shows as one in the finest place.
    let band = if band > 0.0 {
        band
    } else {
        power_of_ten(place)
    };
    let decimals = u8::try_from(-place).unwrap_or(0);
    format!(
        "{} {sign} ± {}",
        print_number(round_to_place(value, place), decimals),
        print_number(band, decimals)
    )
}

/// The power of ten of the last digit worth showing of `band` (finite, above zero): that of its first digit, or one
/// lower if the first digit is a 1; never below −[`MAX_EARNED_DECIMALS`].
fn place_of_last_digit(band: f64) -> i32 {
    // The text form is the shortest that names this very number, so no logarithm has to be trusted
    // near a power of ten.
    let text = format!("{band:e}");
    let place = text
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i32>().ok())
        .unwrap_or(0);
    let place = if text.starts_with('1') {
        place - 1
    } else {
        place
    };
    place.max(-i32::from(MAX_EARNED_DECIMALS))
}

/// `value` to the nearest multiple of 10^`place`, for places above the units; finer ones are left to
/// the printing, which rounds the exact number once. A band is rounded here in every place.
fn round_to_place(value: f64, place: i32) -> f64 {
    if place <= 0 {
        // Through text: rounds the exact decimal expansion, as the printing will.
        let decimals = u8::try_from(-place).unwrap_or(0);
        return format!("{value:.*}", usize::from(decimals))
            .parse()
            .unwrap_or(value);
    }
    let unit = power_of_ten(place);
    (value / unit).round() * unit
}

/// 10^`exponent`, correctly rounded: reading decimal text is exact to the last bit, `powi` need not be.
fn power_of_ten(exponent: i32) -> f64 {
    format!("1e{exponent}").parse().unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn with_band(g: f64, band: f64) -> String {
        print_mass_with_band(
            Mass::g(g),
            Mass::g(g - band),
            Mass::g(g + band),
            MassUnit::Gram,
        )
    }

    #[test]
    fn a_number_and_its_band_end_in_the_same_place() {
        // Taylor, An Introduction to Error Analysis, 2nd edition 1997, section 2.2: his measured numbers,
        // with grams in place of his units.
        assert_eq!(with_band(9.82, 0.02385), "9.82 g ± 0.02");
        assert_eq!(with_band(6051.78, 30.0), "6050 g ± 30");
        assert_eq!(with_band(92.81, 0.3), "92.8 g ± 0.3");
        assert_eq!(with_band(92.81, 3.0), "93 g ± 3");
        assert_eq!(with_band(92.81, 30.0), "90 g ± 30");
        // His remark on a leading 1: an uncertainty of 0.14 keeps both digits.
        assert_eq!(with_band(5.0, 0.14), "5.00 g ± 0.14");
    }

    #[test]
    fn the_wider_side_counts() {
        assert_eq!(
            print_mass_with_band(
                Mass::g(428.2),
                Mass::g(419.0),
                Mass::g(432.0),
                MassUnit::Gram
            ),
            "428 g ± 9"
        );
        // 428.2 g = 15.104 oz; 9.2 g = 0.3245 oz.
        assert_eq!(
            print_mass_with_band(
                Mass::g(428.2),
                Mass::g(419.0),
                Mass::g(432.0),
                MassUnit::Ounce
            ),
            "15.1 oz ± 0.3"
        );
    }

    #[test]
    fn odd_bands_are_still_shown() {
        assert_eq!(with_band(428.0, 9.7), "428 g ± 10");
        assert_eq!(with_band(428.0, 0.0), "428.000 g ± 0");
        assert_eq!(with_band(2.0, 0.0001), "2.000 g ± 0.001");
        let nan = Mass::g(f64::NAN);
        assert_eq!(
            print_mass_with_band(nan, Mass::g(1.0), Mass::g(2.0), MassUnit::Gram),
            MISSING
        );
        assert_eq!(
            print_mass_with_band(Mass::g(5.0), nan, Mass::g(6.0), MassUnit::Gram),
            "5 g ± —"
        );
        assert_eq!(
            print_mass_with_band(
                Mass::g(5.0),
                Mass::g(4.0),
                Mass::g(f64::INFINITY),
                MassUnit::Gram
            ),
            "5 g ± —"
        );
    }

    #[test]
    fn an_uncertainty_earns_its_decimals() {
        for (uncertainty, decimals) in [
            (9.0, 0),
            (2.0, 0),
            (0.9, 0),
            (0.21, 0),
            (0.2, 1),
            (0.1 + 0.1, 1),
            (0.02, 2),
            (0.0021, 2),
            (0.002, 3),
            (1e-12, 3),
            (0.0, 3),
            (-0.2, 1),
        ] {
            assert_eq!(decimals_earned(uncertainty), decimals, "{uncertainty}");
        }
        for uncertainty in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
            assert_eq!(decimals_earned(uncertainty), 0, "{uncertainty}");
        }
    }

    proptest! {
        /// The rule in its own words: half the uncertainty fits into the step, and into no finer one.
        #[test]
        fn no_digit_is_shown_that_is_not_earned(uncertainty in 1e-6..2.0_f64) {
            let decimals = decimals_earned(uncertainty);
            let step = 10.0_f64.powi(-i32::from(decimals));
            prop_assert!(step >= uncertainty / 2.0 * (1.0 - 1e-8));
            prop_assert!(decimals == MAX_EARNED_DECIMALS || step / 10.0 < uncertainty / 2.0);
        }

        /// Whatever the mass and the band, the printed mass is off by at most half a step of the printed band's last
        /// place, which is no more than the band itself.
        #[test]
        fn rounding_never_hides_the_true_mass(g in 0.001..1.0e6_f64, band in 0.002..1.0e5_f64) {
            let text = with_band(g, band);
            let numbers: Vec<f64> = text.split([' ']).filter_map(|word| word.parse().ok()).collect();
            prop_assert_eq!(numbers.len(), 2, "{}", text);
            prop_assert!((numbers[0] - g).abs() <= 0.5 * band * (1.0 + 1e-9), "{}", text);
            prop_assert!((numbers[1] - band).abs() <= 0.26 * band, "{}", text);
        }

        #[test]
        fn any_numbers_at_all_print(g in any::<f64>(), low in any::<f64>(), high in any::<f64>()) {
            let text = print_mass_with_band(Mass::g(g), Mass::g(low), Mass::g(high), MassUnit::Ounce);
            prop_assert!(!text.contains("NaN") && !text.contains("inf"), "{}", text);
        }
    }
}
