//! JSON text as a tree of plain values, small in memory and bounded in count and depth.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;

use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};

use super::{MOST_BYTES, MOST_VALUES, ReadError};

/// A named value of a record.
pub(super) type Field<'a> = (Cow<'a, str>, Value<'a>);

/// A JSON value. Texts without escapes are borrowed from the file. Boxed slices keep it at 24 bytes, which bounds what a hostile file costs.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value<'a> {
    /// `null`.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A number without sign, point or exponent.
    Whole(u64),
    /// Any other number; finite when it was read.
    Number(f64),
    /// A text.
    Text(Cow<'a, str>),
    /// A list.
    List(Box<[Self]>),
    /// A record: its fields in order, doubled names kept.
    Record(Box<[Field<'a>]>),
}

/// Longest piece of a foreign text that is repeated in a message, characters.
const LONGEST_QUOTE: usize = 40;

/// A text short enough to stand in a message on one line.
pub(super) fn clipped(text: &str) -> String {
    let mut short: String = text
        .chars()
        .take(LONGEST_QUOTE)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(LONGEST_QUOTE).is_some() {
        short.push('…');
    }
    short
}

impl Value<'_> {
    /// What it is, in words that finish "found …".
    pub(super) fn described(&self) -> String {
        match self {
            Self::Null => "null".to_owned(),
            Self::Truth(truth) => truth.to_string(),
            Self::Whole(number) => number.to_string(),
            Self::Number(number) => format!("{number:?}"),
            Self::Text(text) => format!("the text '{}'", clipped(text)),
            Self::List(items) => format!("a list of {}", items.len()),
            Self::Record(_) => "a record".to_owned(),
        }
    }
}

/// Reads JSON text; see [`super::read`] for what is refused.
pub(super) fn parse(bytes: &[u8]) -> Result<Value<'_>, ReadError> {
    if bytes.len() > MOST_BYTES {
        return Err(ReadError::TooLarge);
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(fault) => {
            return Err(ReadError::NotText {
                byte: fault.valid_up_to() + 1,
            });
        }
    };
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    if body.trim_ascii().is_empty() {
        return Err(ReadError::Empty);
    }
    // No text has zero bytes, but many other files begin with some; "not text" says more than what JSON would say.
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(ReadError::NotText { byte: at + 1 });
    }
    let left = Cell::new(MOST_VALUES);
    let mut json = serde_json::Deserializer::from_str(body);
    let tree = Build { left: &left }
        .deserialize(&mut json)
        .and_then(|tree| json.end().map(|()| tree));
    tree.map_err(|fault| {
        if left.get() == 0 {
            ReadError::TooManyValues
        } else {
            said(&fault)
        }
    })
}

/// The JSON reader's complaint in our words.
fn said(fault: &serde_json::Error) -> ReadError {
    let (line, column) = (fault.line(), fault.column());
    let whole = fault.to_string();
    let reason = whole
        .strip_suffix(&format!(" at line {line} column {column}"))
        .unwrap_or(&whole);
    // The reader has no category for depth; its message is the only sign.
    if reason.starts_with("recursion limit exceeded") {
        return ReadError::TooDeep { line, column };
    }
    let (reason, mend) = if fault.is_eof() {
        (
            "the file ends in the middle",
            "its rest was lost: open the copy kept beside it (its name ends in .bak)",
        )
    } else if reason.starts_with("number out of range") {
        (
            "the number is too large",
            "put a number of millimeters, grams or radians there",
        )
    } else {
        (
            reason,
            "mend this place in a text editor, or open the copy kept beside the file (its name ends in .bak)",
        )
    };
    ReadError::Syntax {
        line,
        column,
        reason: reason.to_owned(),
        mend,
    }
}

/// Builds a value and counts it.
#[derive(Clone, Copy)]
struct Build<'c> {
    left: &'c Cell<usize>,
}

impl<'de> DeserializeSeed<'de> for Build<'_> {
    type Value = Value<'de>;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value<'de>, D::Error> {
        match self.left.get() {
            // The message is never shown: an emptied count is told as such.
            0 | 1 => {
                self.left.set(0);
                Err(de::Error::custom("too many values"))
            }
            left => {
                self.left.set(left - 1);
                from.deserialize_any(self)
            }
        }
    }
}

impl<'de> Visitor<'de> for Build<'_> {
    type Value = Value<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_unit<E>(self) -> Result<Value<'de>, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Value<'de>, E> {
        Ok(Value::Truth(truth))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Value<'de>, E> {
        Ok(Value::Whole(number))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Value<'de>, E> {
        Ok(Value::Number(number as f64))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Value<'de>, E> {
        Ok(Value::Number(number))
    }

    fn visit_borrowed_str<E>(self, text: &'de str) -> Result<Value<'de>, E> {
        Ok(Value::Text(Cow::Borrowed(text)))
    }

    fn visit_str<E>(self, text: &str) -> Result<Value<'de>, E> {
        Ok(Value::Text(Cow::Owned(text.to_owned())))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Value<'de>, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = from.next_element_seed(self)? {
            items.push(item);
        }
        Ok(Value::List(items.into_boxed_slice()))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Value<'de>, A::Error> {
        let mut fields = Vec::new();
        while let Some(name) = from.next_key_seed(Name)? {
            fields.push((name, from.next_value_seed(self)?));
        }
        Ok(Value::Record(fields.into_boxed_slice()))
    }
}

/// Builds the name of a field, borrowed where it has no escapes.
struct Name;

impl<'de> DeserializeSeed<'de> for Name {
    type Value = Cow<'de, str>;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Self::Value, D::Error> {
        from.deserialize_str(self)
    }
}

impl<'de> Visitor<'de> for Name {
    type Value = Cow<'de, str>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a field name")
    }

    fn visit_borrowed_str<E>(self, text: &'de str) -> Result<Self::Value, E> {
        Ok(Cow::Borrowed(text))
    }

    fn visit_str<E>(self, text: &str) -> Result<Self::Value, E> {
        Ok(Cow::Owned(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_small() {
        // What MOST_VALUES costs rests on it.
        assert_eq!(size_of::<Value<'_>>(), 24);
        assert_eq!(size_of::<Field<'_>>(), 48);
    }

    #[test]
    fn numbers_are_read_to_the_last_bit() {
        // 2^53 + 1 lies half way between two doubles, the second is beside the smallest normal one, the fourth is a sum of tenths that a
        // quick reader misses by one bit. The standard library's reader, correctly rounded by its documentation, is the second opinion.
        for text in [
            "9007199254740993.0",
            "2.2250738585072011e-308",
            "8.5e-3",
            "123.45600000000002",
            "-0.0",
            "5e-324",
            "1.7976931348623157e308",
        ] {
            let Ok(Value::Number(read)) = parse(text.as_bytes()) else {
                panic!("{text} must be a number");
            };
            let expected: f64 = text.parse().expect("a number");
            assert_eq!(read.to_bits(), expected.to_bits(), "{text}");
        }
    }

    #[test]
    fn long_foreign_text_is_clipped() {
        assert_eq!(clipped("a\nb"), "a b");
        assert_eq!(clipped(&"é".repeat(1000)).chars().count(), 41);
        assert_eq!(clipped(&"é".repeat(40)).chars().count(), 40);
    }
}
