//! Takes a typed quantity apart into a number and what follows it.
//!
//! The number is one of these, with an optional sign before it:
//!
//! ```text
//! decimal   3.2   3,2   .5   3.          one point or comma, no grouping: 1,234 is 1.234
//! fraction  3/16  ½                      / or one of the Unicode slashes
//! mixed     1 3/16  1-3/16  1½  1 ½      whole number, blank or hyphen, fraction below one
//! ```
//!
//! A hyphen joins only when it touches digits on both sides and a fraction follows; a hyphen with blanks around
//! it would be a sum, and sums are not taken. Exponents are not taken either: nobody writes them on a template.

use super::read_error::{MAX_CHARS, Quantity, ReadError};

/// A typed quantity taken apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Written<'a> {
    /// The number, finite, never −0.
    pub(super) number: f64,
    /// What follows the number, without surrounding blanks: a unit if it is anything.
    pub(super) rest: &'a str,
    text: &'a str,
    quantity: Quantity,
}

impl<'a> Written<'a> {
    /// Takes `text` apart as a `quantity`.
    ///
    /// # Errors
    ///
    /// When no number stands at the front, or one that cannot be meant. The rest is not judged here.
    pub(super) fn parse(text: &'a str, quantity: Quantity) -> Result<Self, ReadError> {
        // Looks at no more than it needs to, however long the text.
        if text.chars().nth(MAX_CHARS).is_some() {
            return Err(ReadError::TooLong { quantity });
        }
        let text = text.trim();
        if text.is_empty() {
            return Err(ReadError::Empty { quantity });
        }
        let mut cursor = Cursor(text);
        let negative = cursor.sign();
        cursor.blanks();
        let number = match cursor.number() {
            Ok(number) => number,
            Err(Fault::NoNumber) if names_no_number(cursor.0) => {
                return Err(ReadError::NotFinite {
                    text: shown(text),
                    quantity,
                });
            }
            Err(Fault::NoNumber) => {
                return Err(ReadError::NotUnderstood {
                    text: shown(text),
                    quantity,
                });
            }
            Err(Fault::ZeroDenominator) => {
                return Err(ReadError::ZeroDenominator {
                    text: shown(text),
                    quantity,
                });
            }
            Err(Fault::ImproperFraction) => {
                return Err(ReadError::ImproperFraction {
                    text: shown(text),
                    quantity,
                });
            }
        };
        let written = Self {
            number: if negative { 0.0 - number } else { number },
            rest: cursor.0.trim(),
            text,
            quantity,
        };
        if has_exponent(written.rest) {
            return Err(ReadError::PowerOfTen {
                text: shown(text),
                quantity,
            });
        }
        Ok(written)
    }

    /// The error for a rest that is no unit of this quantity.
    pub(super) fn unknown_unit(&self) -> ReadError {
        let unit_like =
            self.rest.chars().all(|c| {
                c.is_alphabetic() || matches!(c, '.' | '"' | '\'' | '°' | '%' | '′' | '″')
            }) && !self.rest.starts_with('.');
        if unit_like {
            ReadError::UnknownUnit {
                unit: shown(self.rest),
                quantity: self.quantity,
            }
        } else {
            ReadError::NotUnderstood {
                text: shown(self.text),
                quantity: self.quantity,
            }
        }
    }

    /// Passes when `magnitude`, in the unit of the quantity's limit, is within it.
    ///
    /// # Errors
    ///
    /// [`ReadError::TooLarge`] when it is not.
    pub(super) fn check_limit(&self, magnitude: f64) -> Result<(), ReadError> {
        if magnitude.abs() <= self.quantity.limit() {
            Ok(())
        } else {
            Err(ReadError::TooLarge {
                text: shown(self.text),
                quantity: self.quantity,
            })
        }
    }
}

/// Why there is no number.
enum Fault {
    NoNumber,
    ZeroDenominator,
    ImproperFraction,
}

/// What is left of the text; every method takes something off the front or leaves it alone.
#[derive(Clone, Copy)]
struct Cursor<'a>(&'a str);

impl<'a> Cursor<'a> {
    /// Takes a character that `wanted` accepts.
    fn take(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        match self.0.strip_prefix(wanted) {
            Some(rest) => {
                self.0 = rest;
                true
            }
            None => false,
        }
    }

    /// Takes all blanks; true if there was one.
    fn blanks(&mut self) -> bool {
        let rest = self.0.trim_start();
        let any = rest.len() < self.0.len();
        self.0 = rest;
        any
    }

    /// Takes an optional sign; true if it is a minus. Telephones and text programs turn the hyphen into a dash.
    fn sign(&mut self) -> bool {
        let negative = self.take(|c| matches!(c, '-' | '\u{2212}' | '–' | '\u{FE63}' | '\u{FF0D}'));
        if !negative {
            self.take(|c| c == '+');
        }
        negative
    }

    /// Takes all digits 0 to 9.
    fn digits(&mut self) -> &'a str {
        let rest = self.0.trim_start_matches(|c: char| c.is_ascii_digit());
        let (digits, _) = self.0.split_at(self.0.len() - rest.len());
        self.0 = rest;
        digits
    }

    /// Takes a number in any of its forms, without sign.
    fn number(&mut self) -> Result<f64, Fault> {
        if let Some(value) = self.ready_made_fraction() {
            return Ok(value);
        }
        let whole = self.digits();
        if self.take(|c| matches!(c, '.' | ',')) {
            return self.decimals_after(whole);
        }
        if whole.is_empty() {
            return Err(Fault::NoNumber);
        }
        if self.take(is_slash) {
            return self.denominator_under(whole);
        }
        let whole = value_of(whole)?;
        let mut ahead = *self;
        // A ready-made fraction may touch the whole number; digits need something in between.
        let apart = ahead.blanks() || ahead.take(|c| matches!(c, '-' | '\u{2010}' | '\u{2011}'));
        let part = match ahead.ready_made_fraction() {
            Some(part) => Some(part),
            None if apart => ahead.plain_fraction()?,
            None => None,
        };
        let Some(part) = part else {
            return Ok(whole);
        };
        if part >= 1.0 {
            return Err(Fault::ImproperFraction);
        }
        *self = ahead;
        Ok(whole + part)
    }

    fn decimals_after(&mut self, whole: &str) -> Result<f64, Fault> {
        let decimals = self.digits();
        if whole.is_empty() && decimals.is_empty() {
            return Err(Fault::NoNumber);
        }
        value_of(&format!("{whole}.{decimals}"))
    }

    /// Takes `3/16`; `None`, with nothing promised about the cursor, when it does not look like one.
    fn plain_fraction(&mut self) -> Result<Option<f64>, Fault> {
        let top = self.digits();
        if top.is_empty() || !self.take(is_slash) {
            return Ok(None);
        }
        self.denominator_under(top).map(Some)
    }

    fn denominator_under(&mut self, top: &str) -> Result<f64, Fault> {
        let bottom = value_of(self.digits())?;
        if bottom == 0.0 {
            return Err(Fault::ZeroDenominator);
        }
        Ok(value_of(top)? / bottom)
    }

    /// Takes one of the fractions Unicode has as a single character.
    fn ready_made_fraction(&mut self) -> Option<f64> {
        let value = ready_made(self.0.chars().next()?)?;
        self.take(|_| true);
        Some(value)
    }
}

/// The value of digits with at most one point; at most 64 of them, so it is always finite.
fn value_of(digits: &str) -> Result<f64, Fault> {
    digits.parse::<f64>().map_err(|_not_digits| Fault::NoNumber)
}

/// The slash of the keyboard, the fraction slash and the division slash.
fn is_slash(c: char) -> bool {
    matches!(c, '/' | '\u{2044}' | '\u{2215}')
}

/// The Unicode characters that are a whole fraction (Unicode Standard, blocks Latin-1 Supplement and Number Forms).
fn ready_made(c: char) -> Option<f64> {
    let (top, bottom) = match c {
        '¼' => (1.0, 4.0),
        '½' => (1.0, 2.0),
        '¾' => (3.0, 4.0),
        '⅐' => (1.0, 7.0),
        '⅑' => (1.0, 9.0),
        '⅒' => (1.0, 10.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    };
    Some(top / bottom)
}

/// Whether the text starts with a word for something that is no finite number.
fn names_no_number(text: &str) -> bool {
    let word: String = text.chars().take_while(|c| c.is_alphabetic()).collect();
    matches!(word.to_lowercase().as_str(), "nan" | "inf" | "infinity") || text.starts_with('∞')
}

/// Whether the rest after a number goes on as an exponent: `e3`, `E-3`.
fn has_exponent(rest: &str) -> bool {
    let mut cursor = Cursor(rest);
    cursor.take(|c| matches!(c, 'e' | 'E')) && {
        cursor.sign();
        !cursor.digits().is_empty()
    }
}

/// `text` fit to stand in a one-line message.
fn shown(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { '\u{FFFD}' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Result<(f64, &str), ReadError> {
        Written::parse(text, Quantity::Number).map(|written| (written.number, written.rest))
    }

    #[test]
    fn every_form_of_number_is_read() {
        for (text, number, rest) in [
            ("3.2", 3.2, ""),
            ("3,2", 3.2, ""),
            ("1,234", 1.234, ""),
            (".5", 0.5, ""),
            ("3.", 3.0, ""),
            (" 3/16 in ", 0.1875, "in"),
            ("1-3/16\"", 1.1875, "\""),
            ("1\u{2011}3/16", 1.1875, ""),
            ("1 3\u{2044}16", 1.1875, ""),
            ("9\u{2215}8", 1.125, ""),
            ("1½", 1.5, ""),
            ("1 ½in", 1.5, "in"),
            ("1-½", 1.5, ""),
            ("⅝\"", 0.625, "\""),
            ("\u{2212} 2", -2.0, ""),
            ("–2", -2.0, ""),
            ("+2", 2.0, ""),
            ("-1 1/2", -1.5, ""),
            ("2\u{a0}mm", 2.0, "mm"),
            ("0001", 1.0, ""),
        ] {
            assert_eq!(parse(text), Ok((number, rest)), "{text:?}");
        }
    }

    #[test]
    fn a_tail_that_is_no_fraction_is_left_for_the_unit() {
        for (text, number, rest) in [
            ("1-3", 1.0, "-3"),
            ("1 - 3/16", 1.0, "- 3/16"),
            ("1 2", 1.0, "2"),
            ("1.5 1/2", 1.5, "1/2"),
            ("1.2.3", 1.2, ".3"),
        ] {
            assert_eq!(parse(text), Ok((number, rest)), "{text:?}");
        }
    }

    #[test]
    fn minus_zero_is_zero() {
        let (number, _) = parse("-0").unwrap();
        assert!(number.is_sign_positive());
    }

    #[test]
    fn every_ready_made_fraction_has_its_value() {
        // The Unicode character names give the fractions; the decimals are worked out by hand.
        let by_hand = [
            ('⅐', 0.142_857_142_857_142_86),
            ('⅑', 0.111_111_111_111_111_1),
            ('⅒', 0.1),
            ('⅓', 0.333_333_333_333_333_3),
            ('⅔', 0.666_666_666_666_666_6),
            ('⅙', 0.166_666_666_666_666_66),
            ('⅚', 0.833_333_333_333_333_4),
            ('⅖', 0.4),
            ('⅗', 0.6),
            ('⅘', 0.8),
            ('⅜', 0.375),
            ('⅞', 0.875),
        ];
        for (c, value) in by_hand {
            assert_eq!(ready_made(c), Some(value), "{c}");
        }
    }

    #[test]
    fn control_characters_do_not_reach_the_message() {
        let error = parse("a\nb\u{1b}[1m").unwrap_err();
        assert!(
            !error.to_string().chars().any(char::is_control),
            "{error:?}"
        );
    }
}
