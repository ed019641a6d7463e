//! What a maker types on top of a value that is there: `+3`, `-2`, `*1.1`, `/2`, or a short sum such as `62 + 3`.
//!
//! A text that is a quantity by itself is taken as it stands. Otherwise it is cut at its last `+` or `-`, or, where there is none, at its last
//! `*` or `/`; what is left of the cut is reckoned in turn, and nothing left of it, or the word `now`, is the value that is there. So `*1.1+2`
//! is a tenth more and then two. A factor is a plain number, a summand has the units its field takes.

use super::read::read_number;
use super::read_error::{MAX_CHARS, ReadError};

/// What a sign in front of a quantity means in a field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lead {
    /// A size, never below nothing: `+3` is three more, `-2` two less.
    Size,
    /// A place: `+3` is three further, `-2` the place two below zero.
    #[default]
    Place,
    /// A place that is always told with its sign: both stand for themselves.
    Signed,
}

/// A value that was typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reckoned {
    /// The value, in the unit `read` gives.
    pub value: f64,
    /// Whether it came of more than reading one quantity.
    pub by_sum: bool,
}

/// Reads what was typed over `now`; `read` takes a single quantity.
///
/// ```
/// use tangwright::units::{Lead, read_number, reckon};
///
/// let over_60 = |text| reckon(text, 60.0, Lead::Size, &read_number).map(|r| r.value);
/// assert_eq!(over_60("+3"), Ok(63.0));
/// assert_eq!(over_60("/4"), Ok(15.0));
/// assert_eq!(over_60("70 - 1.5"), Ok(68.5));
/// ```
///
/// # Errors
///
/// The text is neither a quantity nor such a sum; the error is that of the text as a whole.
pub fn reckon(
    text: &str,
    now: f64,
    lead: Lead,
    read: &dyn Fn(&str) -> Result<f64, ReadError>,
) -> Result<Reckoned, ReadError> {
    let plain = read(text);
    if text.chars().nth(MAX_CHARS).is_some() {
        return plain.map(by_itself);
    }
    let trimmed = text.trim();
    let relative = match trimmed.chars().next() {
        Some('+') => lead != Lead::Signed,
        Some(c) if is_minus(c) => lead == Lead::Size,
        _ => false,
    };
    if let (Ok(value), false) = (&plain, relative) {
        return Ok(by_itself(*value));
    }
    match sum(trimmed, now, relative, read) {
        Some(value) if value.is_finite() => Ok(Reckoned {
            value,
            by_sum: true,
        }),
        _ => plain.map(by_itself),
    }
}

fn by_itself(value: f64) -> Reckoned {
    Reckoned {
        value,
        by_sum: false,
    }
}

fn is_minus(c: char) -> bool {
    matches!(c, '-' | '\u{2212}')
}

fn is_times(c: char) -> bool {
    matches!(c, '*' | '\u{d7}' | '/' | '\u{f7}')
}

/// The value of a text that ends in an operation; `leading` when even its first sign is one.
fn sum(
    text: &str,
    now: f64,
    leading: bool,
    read: &dyn Fn(&str) -> Result<f64, ReadError>,
) -> Option<f64> {
    let side = |left: &str| {
        let left = left.trim();
        if left.is_empty() || left.eq_ignore_ascii_case("now") {
            return Some(now);
        }
        let own_sign = left.starts_with(|c| c == '+' || is_minus(c));
        match read(left) {
            Ok(value) if !(own_sign && leading) => Some(value),
            _ => sum(left, now, leading, read),
        }
    };
    if text.eq_ignore_ascii_case("now") {
        return Some(now);
    }
    let adds = |c: char| c == '+' || is_minus(c);
    for (at, sign) in text.char_indices().rev().filter(|(_, c)| adds(*c)) {
        let (left, right) = (text.get(..at)?, text.get(at + sign.len_utf8()..)?);
        // A sign behind another operation belongs to its number: `*-1`, `+-2`.
        let of_number = left.trim_end().ends_with(|c| adds(c) || is_times(c));
        // A lone sign in front belongs to a place.
        if of_number || (left.trim().is_empty() && !leading) {
            continue;
        }
        if let (Some(left), Ok(right)) = (side(left), read(right)) {
            return Some(if sign == '+' {
                left + right
            } else {
                left - right
            });
        }
    }
    for (at, sign) in text.char_indices().rev().filter(|(_, c)| is_times(*c)) {
        let (left, right) = (text.get(..at)?, text.get(at + sign.len_utf8()..)?);
        if let (Some(left), Ok(right)) = (side(left), read_number(right)) {
            let divides = matches!(sign, '/' | '\u{f7}');
            return Some(if divides { left / right } else { left * right });
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, LengthUnit, read_angle, read_length};

    fn length(text: &str, now: f64, lead: Lead) -> Option<f64> {
        let read = |text: &str| read_length(text, LengthUnit::Mm).map(Length::to_mm);
        reckon(text, now, lead, &read).ok().map(|r| r.value)
    }

    fn check(cases: &[(&str, f64)], now: f64, lead: Lead) {
        for (text, wanted) in cases {
            let got = length(text, now, lead).unwrap_or(f64::NAN);
            assert!((got - wanted).abs() < 1e-9, "{text}: {got}, not {wanted}");
        }
    }

    #[test]
    fn a_size_grows_and_shrinks_by_what_is_typed() {
        // By hand; 25.4 mm to the inch.
        let cases = [
            ("+3", 63.0),
            ("-2", 58.0),
            ("\u{2212}2", 58.0),
            ("+ 1/8\"", 63.175),
            ("-0.25in", 53.65),
            ("*1.1", 66.0),
            ("\u{d7} 1,1", 66.0),
            ("/2", 30.0),
            ("\u{f7}4", 15.0),
            ("*1.1+2", 68.0),
            ("-10-5", 45.0),
            ("+-3", 57.0),
            ("now - 3", 57.0),
            ("now*2", 120.0),
            ("62+3", 65.0),
            ("62 mm - 1 mm", 61.0),
            ("20*3/4", 15.0),
            ("now/3", 20.0),
        ];
        check(&cases, 60.0, Lead::Size);
    }

    #[test]
    fn what_is_a_quantity_stays_one() {
        let cases = [
            ("62", 62.0),
            ("1/2", 0.5),
            ("1 3/16in", 30.1625),
            ("1-3/16\"", 30.1625),
            ("3.2mm", 3.2),
        ];
        for lead in [Lead::Size, Lead::Place, Lead::Signed] {
            check(&cases, 60.0, lead);
        }
    }

    #[test]
    fn a_place_below_zero_is_typed_as_it_is() {
        check(
            &[
                ("-5.2", -5.2),
                ("+3", -2.0),
                ("*2", -10.0),
                ("now-3", -8.0),
                ("-5-3", -8.0),
            ],
            -5.0,
            Lead::Place,
        );
        check(
            &[("+12", 12.0), ("-8", -8.0), ("now+1", 4.0)],
            3.0,
            Lead::Signed,
        );
    }

    #[test]
    fn nonsense_is_told_by_the_readers_words() {
        for text in [
            "", "+", "*", "/0", "3+", "*fat", "3 ** 2", "now now", "1e3", "+++",
        ] {
            assert_eq!(length(text, 60.0, Lead::Size), None, "{text}");
        }
        let long = "+1".repeat(40);
        assert_eq!(length(&long, 60.0, Lead::Size), None);
    }

    #[test]
    fn angles_are_reckoned_too() {
        let read = |text: &str| read_angle(text).map(super::super::Angle::to_degrees);
        let now = 20.0;
        for (text, wanted) in [("+5", 25.0), ("-5°", 15.0), ("*2", 40.0), ("+1 deg", 21.0)] {
            let got = reckon(text, now, Lead::Size, &read).unwrap();
            assert!(got.by_sum && (got.value - wanted).abs() < 1e-9, "{text}");
        }
    }
}
