//! Code pairs, the lines a DXF file is made of: a group code, then its value.

use super::super::number::real;
use crate::catalog::FileUnit;
use crate::geometry::Point;
use crate::units::MM_PER_INCH;

/// Decimals of every real number. At a few hundred millimeters a double holds about thirteen; ten keep areas right to far
/// better than 1e-9.
const DECIMALS: u8 = 10;

/// The longest name of a layer: R12 allows 31 signs.
const LONGEST_NAME: usize = 31;

/// The longest text of one entity, in characters; the format's own limit for a line is 2049 bytes, and an escaped character takes seven or,
/// beyond the basic plane, fourteen.
const LONGEST_TEXT: usize = 140;

/// A growing list of code pairs.
#[derive(Debug)]
pub(super) struct Pairs {
    out: String,
    unit: FileUnit,
}

impl Pairs {
    /// None yet; lengths and places will be written in this unit.
    pub(super) fn in_unit(unit: FileUnit) -> Self {
        Self {
            out: String::new(),
            unit,
        }
    }

    /// A length given in mm.
    pub(super) fn length(&mut self, code: u16, mm: f64) {
        let in_unit = match self.unit {
            FileUnit::Mm => mm,
            FileUnit::Inch => mm / MM_PER_INCH,
        };
        self.real(code, in_unit);
    }

    /// The header's variables about the unit.
    pub(super) fn unit(&mut self) {
        let (insertion, measurement) = match self.unit {
            FileUnit::Mm => (4, 1),
            FileUnit::Inch => (1, 0),
        };
        self.text(9, "$INSUNITS");
        self.int(70, insertion);
        self.text(9, "$MEASUREMENT");
        self.int(70, measurement);
    }

    /// A code with text as it stands; the text must be ASCII and one line.
    pub(super) fn text(&mut self, code: u16, value: &str) {
        self.out.push_str(&format!("{code:>3}\r\n{value}\r\n"));
    }

    pub(super) fn int(&mut self, code: u16, value: i64) {
        self.text(code, &value.to_string());
    }

    pub(super) fn real(&mut self, code: u16, value: f64) {
        self.text(code, &real(value, DECIMALS));
    }

    /// A whole number where the format wants a real.
    pub(super) fn int_as_real(&mut self, code: u16, value: i64) {
        self.text(code, &format!("{value}.0"));
    }

    pub(super) fn handle(&mut self, code: u16, handle: u32) {
        self.text(code, &format!("{handle:X}"));
    }

    /// Several reals.
    pub(super) fn reals(&mut self, values: &[(u16, f64)]) {
        for (code, value) in values {
            self.real(*code, *value);
        }
    }

    /// Several integers.
    pub(super) fn ints(&mut self, values: &[(u16, i64)]) {
        for (code, value) in values {
            self.int(*code, *value);
        }
    }

    /// A point in the plane: x under `code`, y under `code + 10`.
    pub(super) fn point_2d(&mut self, code: u16, p: Point) {
        self.length(code, p.x);
        self.length(code + 10, p.y);
    }

    /// A point at height zero.
    pub(super) fn point(&mut self, code: u16, p: Point) {
        self.point_2d(code, p);
        self.real(code + 20, 0.0);
    }

    /// A section with what `fill` puts into it.
    pub(super) fn section(&mut self, name: &str, fill: impl FnOnce(&mut Self)) {
        self.text(0, "SECTION");
        self.text(2, name);
        fill(self);
        self.text(0, "ENDSEC");
    }

    /// Appends pairs made elsewhere.
    pub(super) fn append(&mut self, other: &Self) {
        self.out.push_str(&other.out);
    }

    /// The whole file.
    pub(super) fn finish(mut self) -> String {
        self.text(0, "EOF");
        self.out
    }
}

/// A name fit for a layer in either edition.
pub(super) fn symbol_name(name: &str) -> String {
    let name: String = name
        .trim()
        .chars()
        .take(LONGEST_NAME)
        .map(|c| {
            if c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '$') {
                c
            } else {
                '_'
            }
        })
        .collect();
    if name.is_empty() {
        "0".to_owned()
    } else {
        name
    }
}

/// Words as a DXF text holds them: ASCII, with plain stand-ins for the signs our own words use, other characters as `\U+XXXX` (in surrogate pairs beyond the basic plane); the caret and the double percent,
/// which the format gives a meaning of their own, are written so that they stay themselves.
pub(super) fn words(text: &str) -> String {
    let mut out = String::new();
    let doubled = text.contains("%%");
    for c in text.chars().take(LONGEST_TEXT) {
        match c {
            // Signs that every reader shows, in place of escapes that some show as they stand.
            '\u{2212}' | '–' | '—' => out.push('-'),
            '×' => out.push('x'),
            '…' => out.push_str("..."),
            // The format's own codes.
            '±' => out.push_str("%%p"),
            '°' => out.push_str("%%d"),
            '^' => out.push_str("^ "),
            '%' if doubled => out.push_str("%%%"),
            c if c.is_control() => out.push(' '),
            c if c.is_ascii() => out.push(c),
            c => {
                for unit in c.encode_utf16(&mut [0; 2]) {
                    out.push_str(&format!("\\U+{unit:04X}"));
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_ascii_and_on_one_line() {
        for (text, expected) in [
            ("Paring knife", "Paring knife"),
            ("−8.0 mm", "-8.0 mm"),
            ("3 × 6", "3 x 6"),
            ("5/32\" ±", "5/32\" %%p"),
            ("Messer für Öl", "Messer f\\U+00FCr \\U+00D6l"),
            ("🔪", "\\U+D83D\\U+DD2A"),
            ("a\nb\t", "a b "),
            ("100%", "100%"),
            ("%%c", "%%%%%%c"),
            ("a^J", "a^ J"),
            ("", ""),
        ] {
            assert_eq!(words(text), expected);
        }
        assert!(words(&"🔪".repeat(9999)).len() < 2049);
    }

    #[test]
    fn names_of_layers_are_fit_for_both_editions() {
        for (name, expected) in [
            ("cut", "cut"),
            ("my layer/1", "my_layer_1"),
            ("", "0"),
            ("  ", "0"),
            ("<>\"|*", "_____"),
        ] {
            assert_eq!(symbol_name(name), expected);
        }
        assert_eq!(symbol_name(&"x".repeat(300)).len(), 31);
    }
}
