//! Laws that bind reading and printing together, checked on random values and random text.

use super::*;
use proptest::prelude::*;

/// Room for the rounding of a unit conversion, relative: a handful of `f64` steps.
const NOISE: f64 = 1e-14;

fn any_format() -> impl Strategy<Value = LengthFormat> {
    let unit = prop_oneof![
        Just(LengthUnit::Mm),
        Just(LengthUnit::DecimalInch),
        Just(LengthUnit::FractionInch)
    ];
    (unit, 0..=MAX_DECIMALS).prop_map(|(unit, decimals)| LengthFormat { unit, decimals })
}

fn any_length_unit() -> impl Strategy<Value = LengthUnit> {
    any_format().prop_map(|format| format.unit)
}

fn any_mass_unit() -> impl Strategy<Value = MassUnit> {
    prop_oneof![Just(MassUnit::Gram), Just(MassUnit::Ounce)]
}

/// Magnitudes from far below a print step to near the limit, both signs, and zero.
fn any_size() -> impl Strategy<Value = f64> {
    let magnitude = (-12.0..5.99_f64).prop_map(|exponent| 10.0_f64.powf(exponent));
    prop_oneof![
        8 => (magnitude, any::<bool>()).prop_map(|(size, negative)| if negative { -size } else { size }),
        8 => -400.0..400.0_f64,
        1 => Just(0.0),
    ]
}

/// Text made of the characters quantities are made of: far likelier to get deep into a reader than any text.
fn near_quantity() -> impl Strategy<Value = String> {
    proptest::string::string_regex("[-+−–‐0-9., /⁄∕½⅛⅟mincgozradegEe°\"'″±\u{a0}]{0,20}")
        .expect("the pattern is a constant and well formed")
}

proptest! {
    /// Print then read gives the length within the printed resolution, whatever unit is shown when it is read.
    #[test]
    fn a_printed_length_reads_back(mm in any_size(), format in any_format(), shown in any_length_unit()) {
        let text = format.print(Length::mm(mm));
        let back = read_length(&text, shown).map_err(|error| TestCaseError::fail(format!("{text:?}: {error}")))?;
        prop_assert!((back.to_mm() - mm).abs() <= format.resolution().to_mm() + NOISE * mm.abs(), "{} for {} mm", text, mm);
    }

    /// The same without a unit, read in a field shown in the format's own unit.
    #[test]
    fn a_bare_length_reads_back(mm in any_size(), format in any_format()) {
        let text = format.print_bare(Length::mm(mm));
        let back = read_length(&text, format.unit).map_err(|error| TestCaseError::fail(format!("{text:?}: {error}")))?;
        prop_assert!((back.to_mm() - mm).abs() <= format.resolution().to_mm() + NOISE * mm.abs(), "{} for {} mm", text, mm);
        let signed = format.print_signed(Length::mm(mm));
        prop_assert_eq!(read_length(&signed, LengthUnit::Mm), read_length(&format.print(Length::mm(mm)), LengthUnit::Mm));
    }

    /// What was read back prints the same again: a field that is entered and left does not drift.
    #[test]
    fn printing_settles(mm in any_size(), format in any_format()) {
        let first = format.print(Length::mm(mm));
        let back = read_length(&first, LengthUnit::Mm).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(format.print(back), first.trim_end_matches(" ±"));
    }

    /// A fraction that claims to be exact is.
    #[test]
    fn an_unmarked_fraction_is_exact(mm in any_size(), n in 0_u32..6400) {
        let format = LengthFormat { unit: LengthUnit::FractionInch, decimals: 0 };
        for length in [Length::mm(mm), Length::inches(f64::from(n) / 64.0)] {
            let text = format.print(length);
            let back = read_length(&text, LengthUnit::Mm).map_err(|error| TestCaseError::fail(error.to_string()))?;
            let off_in = (back.to_inches() - length.to_inches()).abs();
            prop_assert_eq!(text.ends_with('±'), off_in > 1e-9, "{} is off by {} in", text, off_in);
        }
    }

    #[test]
    fn a_printed_mass_reads_back(g in any_size(), unit in any_mass_unit(), shown in any_mass_unit(), decimals in 0..=MAX_DECIMALS) {
        let text = print_mass(Mass::g(g), unit, decimals);
        let back = read_mass(&text, shown).map_err(|error| TestCaseError::fail(format!("{text:?}: {error}")))?;
        let half_step = Mass::from_unit(0.5 * 10.0_f64.powi(-i32::from(decimals)), unit).to_g();
        prop_assert!((back.to_g() - g).abs() <= half_step * (1.0 + NOISE) + NOISE * g.abs(), "{} for {} g", text, g);
    }

    #[test]
    fn a_printed_angle_reads_back(degrees in -360.0..360.0_f64, decimals in 0..=MAX_DECIMALS) {
        let text = print_angle(Angle::degrees(degrees), decimals);
        let back = read_angle(&text).map_err(|error| TestCaseError::fail(format!("{text:?}: {error}")))?;
        let half_step = 0.5 * 10.0_f64.powi(-i32::from(decimals));
        prop_assert!((back.to_degrees() - degrees).abs() <= half_step * (1.0 + NOISE) + 360.0 * NOISE, "{} for {}°", text, degrees);
    }

    #[test]
    fn a_printed_number_reads_back(value in any_size(), decimals in 0..=MAX_DECIMALS) {
        let text = print_number(value, decimals);
        let back = read_number(&text).map_err(|error| TestCaseError::fail(format!("{text:?}: {error}")))?;
        prop_assert!((back - value).abs() <= 0.5 * 10.0_f64.powi(-i32::from(decimals)) * (1.0 + NOISE) + NOISE * value.abs());
    }

    /// No text makes a reader panic, and what it takes is always finite and within the limit.
    #[test]
    fn readers_take_any_text(text in prop_oneof![any::<String>(), near_quantity()], shown in any_length_unit(), mass_shown in any_mass_unit()) {
        if let Ok(length) = read_length(&text, shown) {
            prop_assert!(length.to_mm().abs() <= 1.0e6, "{:?}", text);
        }
        if let Ok(mass) = read_mass(&text, mass_shown) {
            prop_assert!(mass.to_g().abs() <= 1.0e6, "{:?}", text);
        }
        if let Ok(angle) = read_angle(&text) {
            prop_assert!(angle.to_degrees().abs() <= 360.000_001, "{:?}", text);
        }
        if let Ok(number) = read_number(&text) {
            prop_assert!(number.abs() <= 1.0e9, "{:?}", text);
        }
    }

    /// Every refusal is one line that starts in lower case, ends without a stop, and shows an example.
    #[test]
    fn refusals_read_well(text in prop_oneof![any::<String>(), near_quantity()]) {
        if let Err(error) = read_length(&text, LengthUnit::Mm) {
            let message = error.to_string();
            prop_assert!(message.starts_with(char::is_lowercase), "{}", message);
            prop_assert!(message.ends_with(Quantity::Length.example()), "{}", message);
            prop_assert!(!message.chars().any(char::is_control), "{:?}", message);
            prop_assert!(message.chars().count() < 64 + 120, "{}", message);
        }
    }

    /// No print ever shows a zero with a minus.
    #[test]
    fn zero_never_has_a_sign(size in -1.0..0.0_f64, decimals in 0_u8..3) {
        for text in [
            print_number(size * 1e-4, decimals),
            print_mass(Mass::g(size * 1e-4), MassUnit::Gram, decimals),
            LengthFormat { unit: LengthUnit::FractionInch, decimals }.print(Length::mm(size * 1e-4)),
            LengthFormat { unit: LengthUnit::Mm, decimals }.print_signed(Length::mm(size * 1e-4)),
        ] {
            prop_assert!(text.starts_with('0'), "{}", text);
        }
    }
}
