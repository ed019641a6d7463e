//! What a maker types, read as a length, a mass, an angle or a plain number.
//!
//! The forms of numbers are in `written.rs`. Units may be in any case and stand with or without a blank after the
//! number. Nothing is computed: a field takes one quantity, not a sum.

use super::angle::Angle;
use super::length::{Length, LengthUnit};
use super::mass::{Mass, MassUnit};
use super::read_error::{Quantity, ReadError};
use super::written::Written;

/// Ounces in one avoirdupois pound.
const OZ_PER_POUND: f64 = 16.0;

/// Reads a length; a bare number takes `unit`, the unit the field is shown in.
///
/// Units: `mm`, `cm`, `m`, `in`, `inch`, `inches`, `"`, `″`, `''` and `thou` (1/1000 in). A trailing `±`, which the
/// program prints after a rounded fraction, is taken and means nothing.
///
/// ```
/// use tangwright::units::{Length, LengthUnit, read_length};
///
/// assert_eq!(read_length("3,2", LengthUnit::Mm), Ok(Length::mm(3.2)));
/// assert_eq!(read_length("1 3/16in", LengthUnit::Mm), Ok(Length::inches(1.1875)));
/// assert_eq!(read_length("3 1/2", LengthUnit::FractionInch), Ok(Length::inches(3.5)));
/// assert!(read_length("a few", LengthUnit::Mm).is_err());
/// ```
///
/// # Errors
///
/// When the text is no length, or one beyond 1,000,000 mm either way; see [`ReadError`].
pub fn read_length(text: &str, unit: LengthUnit) -> Result<Length, ReadError> {
    let written = Written::parse(text, Quantity::Length)?;
    let number = written.number;
    let sign = written
        .rest
        .strip_suffix('±')
        .unwrap_or(written.rest)
        .trim_end();
    let length = match sign.to_lowercase().as_str() {
        "" => Length::from_unit(number, unit),
        "mm" | "mm." | "millimeter" | "millimeters" | "millimetre" | "millimetres" => {
            Length::mm(number)
        }
        "cm" | "cm." | "centimeter" | "centimeters" | "centimetre" | "centimetres" => {
            Length::mm(number * 10.0)
        }
        "m" | "meter" | "meters" | "metre" | "metres" => Length::mm(number * 1000.0),
        // The last four are what keyboards and text programs make of the inch sign.
        "in" | "in." | "inch" | "inches" | "\"" | "″" | "''" | "”" | "“" | "’’" | "′′" => {
            Length::inches(number)
        }
        "thou" => Length::inches(number / 1000.0),
        _ => return Err(written.unknown_unit()),
    };
    written.check_limit(length.to_mm())?;
    Ok(length)
}

/// Reads a mass; a bare number takes `unit`, the unit the field is shown in.
///
/// Units: `g`, `kg`, `oz`, `ounce`, `lb` and their full names; ounces and pounds are avoirdupois.
///
/// # Errors
///
/// When the text is no mass, or one beyond 1,000,000 g either way; see [`ReadError`].
pub fn read_mass(text: &str, unit: MassUnit) -> Result<Mass, ReadError> {
    let written = Written::parse(text, Quantity::Mass)?;
    let number = written.number;
    let mass = match written.rest.to_lowercase().as_str() {
        "" => Mass::from_unit(number, unit),
        "g" | "g." | "gram" | "grams" | "gramme" | "grammes" => Mass::g(number),
        "kg" | "kg." | "kilogram" | "kilograms" => Mass::g(number * 1000.0),
        "oz" | "oz." | "ounce" | "ounces" => Mass::oz(number),
        "lb" | "lb." | "lbs" | "pound" | "pounds" => Mass::oz(number * OZ_PER_POUND),
        _ => return Err(written.unknown_unit()),
    };
    written.check_limit(mass.to_g())?;
    Ok(mass)
}

/// Reads an angle; a bare number is degrees.
///
/// Units: `°`, `deg`, `degrees`, `rad`, `radians`.
///
/// # Errors
///
/// When the text is no angle, or one beyond a full turn either way; see [`ReadError`].
pub fn read_angle(text: &str) -> Result<Angle, ReadError> {
    let written = Written::parse(text, Quantity::Angle)?;
    let number = written.number;
    let angle = match written.rest.to_lowercase().as_str() {
        // The second sign is the ordinal mark that some keyboards offer where the degree sign should be.
        "" | "°" | "º" | "deg" | "deg." | "degree" | "degrees" => {
            // Checked as typed: on the way through radians, 360° could come back as a hair more.
            written.check_limit(number)?;
            Angle::degrees(number)
        }
        "rad" | "rad." | "radian" | "radians" => {
            let angle = Angle::radians(number);
            written.check_limit(angle.to_degrees())?;
            angle
        }
        _ => return Err(written.unknown_unit()),
    };
    Ok(angle)
}

/// Reads a number without a unit: a count, a factor, a density in the unit its field names.
///
/// # Errors
///
/// When the text is no number, has a unit, or is beyond 1,000,000,000 either way; see [`ReadError`].
pub fn read_number(text: &str) -> Result<f64, ReadError> {
    let written = Written::parse(text, Quantity::Number)?;
    if !written.rest.is_empty() {
        return Err(written.unknown_unit());
    }
    written.check_limit(written.number)?;
    Ok(written.number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_in_every_form() {
        use LengthUnit::{DecimalInch, FractionInch, Mm};
        // Millimeters by hand with 25.4 mm to the inch (1959 agreement); the fractions are drill sizes of ASME B94.11M.
        for (text, unit, mm) in [
            ("3.2", Mm, 3.2),
            ("3,2", Mm, 3.2),
            ("3.2mm", FractionInch, 3.2),
            ("3.2 mm", DecimalInch, 3.2),
            ("  3.2 MM\t", Mm, 3.2),
            ("1.5cm", Mm, 15.0),
            ("0.3 m", Mm, 300.0),
            ("1/8\"", Mm, 3.175),
            ("1 3/16in", Mm, 30.1625),
            ("1-3/16\"", Mm, 30.1625),
            ("0.125 in", Mm, 3.175),
            ("-1/64\"", Mm, -0.396_875),
            ("\u{2212}1/64\"", Mm, -0.396_875),
            ("+2", Mm, 2.0),
            ("3 1/2", FractionInch, 88.9),
            ("3 1/2", DecimalInch, 88.9),
            ("1/2", Mm, 0.5),
            ("2″", Mm, 50.8),
            ("2''", Mm, 50.8),
            ("2”", Mm, 50.8),
            ("2 inch", Mm, 50.8),
            ("2 Inches", Mm, 50.8),
            ("2 in.", Mm, 50.8),
            ("5 thou", Mm, 0.127),
            ("½", FractionInch, 12.7),
            ("⅛\"", Mm, 3.175),
            ("1½ in", Mm, 38.1),
            ("3\u{2044}16\"", Mm, 4.7625),
            ("2 1/4\" ±", Mm, 57.15),
            ("2 1/4 ±", FractionInch, 57.15),
            ("1000000", Mm, 1.0e6),
        ] {
            let length =
                read_length(text, unit).unwrap_or_else(|error| panic!("{text:?}: {error}"));
            assert!(
                (length.to_mm() - mm).abs() <= 1e-12 * mm.abs(),
                "{text:?} gave {length:?}"
            );
        }
    }

    /// Checks that `text` is refused as a length, for the reason `why` makes of it.
    fn check_refused(text: &str, why: impl Fn(String, Quantity) -> ReadError) {
        let shown = text.replace('\0', "\u{FFFD}");
        assert_eq!(
            read_length(text, LengthUnit::Mm),
            Err(why(shown, Quantity::Length)),
            "{text:?}"
        );
    }

    #[test]
    fn each_kind_of_bad_number_has_its_reason() {
        for text in ["", " \t "] {
            check_refused(text, |_, quantity| ReadError::Empty { quantity });
        }
        for text in ["1".repeat(65), "x".repeat(1_000_000), " ".repeat(65)] {
            check_refused(&text, |_, quantity| ReadError::TooLong { quantity });
        }
        for text in ["NaN", "nan mm", "inf", "-inf", "+Infinity", "∞"] {
            check_refused(text, |text, quantity| ReadError::NotFinite {
                text,
                quantity,
            });
        }
        for text in ["1e999", "1E5 mm", "1e-3", "2 e+4"] {
            check_refused(text, |text, quantity| ReadError::PowerOfTen {
                text,
                quantity,
            });
        }
        for text in ["1/0", "1 3/0\"", "1/000"] {
            check_refused(text, |text, quantity| ReadError::ZeroDenominator {
                text,
                quantity,
            });
        }
        for text in ["1 31/6", "1-16/16\""] {
            check_refused(text, |text, quantity| ReadError::ImproperFraction {
                text,
                quantity,
            });
        }
        for text in ["1000000.1", "39371 in", "-1001 m", &"9".repeat(64)] {
            check_refused(text, |text, quantity| ReadError::TooLarge {
                text,
                quantity,
            });
        }
    }

    #[test]
    fn rubbish_is_refused() {
        for (text, unit) in [
            ("3 furlongs", "furlongs"),
            ("3 g", "g"),
            ("20°", "°"),
            ("1'", "'"),
            ("3\"\"", "\"\""),
        ] {
            check_refused(text, |_, quantity| ReadError::UnknownUnit {
                unit: unit.to_owned(),
                quantity,
            });
        }
        let none = "abc|mm|-|+|.|,|/|\"|±|—|--1|/2|３|٣|± 2|(2)|\0|nanometer|$3";
        let sums = "1+1|2*3|1 - 3/16|1 -3/16|1- 3/16|3-1|1−3/16|2 ± 1|1 / 8";
        let muddles = "1/2/3|1/|1 2|1.2.3|1,234.5|1 1/2 3/4|1.5 1/2|1½½|½ 1/2|0x10|1_000|1'6\"|1/2.5|3 mm 2|3 mm\n4";
        for text in [none, sums, muddles]
            .iter()
            .flat_map(|texts| texts.split('|'))
        {
            let shown = |text: String| text.replace('\n', "\u{FFFD}");
            check_refused(text, |text, quantity| ReadError::NotUnderstood {
                text: shown(text),
                quantity,
            });
        }
    }

    #[test]
    fn masses_are_read_in_every_form() {
        // 1 oz = 28.349523125 g and 1 lb = 453.59237 g exactly, by the agreement of 1959.
        for (text, unit, g) in [
            ("120", MassUnit::Gram, 120.0),
            ("120 g", MassUnit::Ounce, 120.0),
            ("1,2kg", MassUnit::Gram, 1200.0),
            ("1", MassUnit::Ounce, 28.349_523_125),
            ("4 oz", MassUnit::Gram, 113.398_092_5),
            ("1/2 ounces", MassUnit::Gram, 14.174_761_562_5),
            ("1 lb", MassUnit::Gram, 453.592_37),
        ] {
            let mass = read_mass(text, unit).unwrap_or_else(|error| panic!("{text:?}: {error}"));
            assert!(
                (mass.to_g() - g).abs() <= 1e-12 * g,
                "{text:?} gave {mass:?}"
            );
        }
        let quantity = Quantity::Mass;
        // A grain is no gram, and the sign for it is close enough to be mistaken.
        assert_eq!(
            read_mass("12 gr", MassUnit::Gram),
            Err(ReadError::UnknownUnit {
                unit: "gr".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_mass("2000 kg", MassUnit::Gram),
            Err(ReadError::TooLarge {
                text: "2000 kg".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_mass("3 mm", MassUnit::Gram),
            Err(ReadError::UnknownUnit {
                unit: "mm".to_owned(),
                quantity
            })
        );
    }

    #[test]
    fn angles_are_read_in_every_form() {
        // 20° is π/9 (SI Brochure, 9th edition, table 8: 1° = (π/180) rad).
        for text in [
            "20",
            "20°",
            "20 °",
            "20deg",
            "20 deg",
            "20 DEG.",
            "20 degrees",
            "20º",
        ] {
            let angle = read_angle(text).unwrap_or_else(|error| panic!("{text:?}: {error}"));
            assert!(
                (angle.to_radians() - std::f64::consts::PI / 9.0).abs() < 1e-15,
                "{text:?} gave {angle:?}"
            );
        }
        assert_eq!(read_angle("0.35rad"), Ok(Angle::radians(0.35)));
        assert_eq!(read_angle("-0,35 radians"), Ok(Angle::radians(-0.35)));
        assert!(read_angle("360").is_ok() && read_angle("-360°").is_ok());
        let quantity = Quantity::Angle;
        assert_eq!(
            read_angle("361"),
            Err(ReadError::TooLarge {
                text: "361".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_angle("7 rad"),
            Err(ReadError::TooLarge {
                text: "7 rad".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_angle("20 mm"),
            Err(ReadError::UnknownUnit {
                unit: "mm".to_owned(),
                quantity
            })
        );
    }

    #[test]
    fn plain_numbers_have_no_unit() {
        assert_eq!(read_number(" 7,85 "), Ok(7.85));
        assert_eq!(read_number("12"), Ok(12.0));
        assert_eq!(read_number("1/3"), Ok(1.0 / 3.0));
        let quantity = Quantity::Number;
        assert_eq!(
            read_number("7.85 g"),
            Err(ReadError::UnknownUnit {
                unit: "g".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_number("2000000000"),
            Err(ReadError::TooLarge {
                text: "2000000000".to_owned(),
                quantity
            })
        );
        assert_eq!(
            read_number("1e999"),
            Err(ReadError::PowerOfTen {
                text: "1e999".to_owned(),
                quantity
            })
        );
    }
}
