//! Why a typed quantity could not be read, in words that fit beside the field.

use thiserror::Error;

/// The longest text any reader looks at, in characters. Everything printed here is shorter; a whole
/// paragraph pasted into a field is a slip and is not worth echoing.
pub const MAX_CHARS: usize = 64;

/// What kind of quantity a field takes; it decides the words and the example in a message.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A length in any of its units.
    Length,
    /// A mass in grams, ounces and their kin.
    Mass,
    /// An angle in degrees or radians.
    Angle,
    /// A number without a unit.
    Number,
}

impl Quantity {
    /// The kind with its article, as it stands in a sentence.
    #[must_use]
    pub const fn named(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Angle => "an angle",
            Self::Number => "a plain number",
        }
    }

    /// How one may be written; each alternative is really accepted.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "3.2 mm or 1 3/16\"",
            Self::Mass => "120 g or 4.2 oz",
            Self::Angle => "20° or 0.35 rad",
            Self::Number => "7.85",
        }
    }

    /// The largest magnitude taken, in [`limit_unit`](Self::limit_unit). Far beyond any knife and any bench; a number past it is
    /// a slip of the finger, and refusing it keeps every later sum well inside `f64`.
    pub(super) const fn limit(self) -> f64 {
        match self {
            Self::Length | Self::Mass => 1.0e6,
            Self::Angle => 360.0,
            Self::Number => 1.0e9,
        }
    }

    const fn limit_unit(self) -> &'static str {
        match self {
            Self::Length => " mm",
            Self::Mass => " g",
            Self::Angle => "°",
            Self::Number => "",
        }
    }
}

/// Why a typed text was not taken. The message says what was not understood and how to write it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing but blanks.
    #[error("nothing is written here; write {} like {}", quantity.named(), quantity.example())]
    Empty {
        /// What the field takes.
        quantity: Quantity,
    },
    /// More than [`MAX_CHARS`] characters.
    #[error("the text is longer than {MAX_CHARS} characters; write {} like {}", quantity.named(), quantity.example())]
    TooLong {
        /// What the field takes.
        quantity: Quantity,
    },
    /// No quantity, or something besides it.
    #[error("cannot read “{text}” as {}; write it like {}", quantity.named(), quantity.example())]
    NotUnderstood {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// A number followed by a word that is no unit of this quantity.
    #[error("the unit “{unit}” is not known for {}; write it like {}", quantity.named(), quantity.example())]
    UnknownUnit {
        /// The word after the number.
        unit: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// "NaN", "inf" and the like.
    #[error("the text “{text}” is no number that can be measured; write {} like {}", quantity.named(), quantity.example())]
    NotFinite {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// A number with an exponent, such as `1e3`.
    #[error("the number “{text}” uses a power of ten; write {} out in full, like {}", quantity.named(), quantity.example())]
    PowerOfTen {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// A fraction with nothing but zeros below the line.
    #[error("the fraction in “{text}” divides by zero; write {} like {}", quantity.named(), quantity.example())]
    ZeroDenominator {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// A whole number followed by a fraction of one or more, such as `1 31/6`: most likely a digit in the wrong place.
    #[error("the fraction in “{text}” is not less than one; write {} like {}", quantity.named(), quantity.example())]
    ImproperFraction {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
    /// Beyond what the quantity can be at a bench.
    #[error("the value “{text}” is beyond {}{}; write {} like {}", quantity.limit(), quantity.limit_unit(), quantity.named(), quantity.example())]
    TooLarge {
        /// What was typed, without surrounding blanks.
        text: String,
        /// What the field takes.
        quantity: Quantity,
    },
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{LengthUnit, MassUnit, read_angle, read_length, read_mass, read_number};

    #[test]
    fn messages_say_what_and_how() {
        let quantity = Quantity::Length;
        let text = "1/0".to_owned();
        assert_eq!(
            ReadError::ZeroDenominator { text, quantity }.to_string(),
            "the fraction in “1/0” divides by zero; write a length like 3.2 mm or 1 3/16\""
        );
        let text = "2000000".to_owned();
        assert_eq!(
            ReadError::TooLarge { text, quantity }.to_string(),
            "the value “2000000” is beyond 1000000 mm; write a length like 3.2 mm or 1 3/16\""
        );
    }

    #[test]
    fn the_examples_shown_are_accepted() {
        for text in Quantity::Length.example().split(" or ") {
            assert!(read_length(text, LengthUnit::Mm).is_ok(), "{text}");
        }
        for text in Quantity::Mass.example().split(" or ") {
            assert!(read_mass(text, MassUnit::Gram).is_ok(), "{text}");
        }
        for text in Quantity::Angle.example().split(" or ") {
            assert!(read_angle(text).is_ok(), "{text}");
        }
        assert!(read_number(Quantity::Number.example()).is_ok());
    }
}
