//! The pairs of lines a DXF is made of: a group code, then its value.

use super::super::error::ImportError;

/// Largest coordinate or size in a drawing's unit: beyond it a double no longer tells a thousandth apart.
const LARGEST_NUMBER: f64 = 1e12;

/// One pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pair<'a> {
    /// What the value is.
    pub code: i32,
    /// The value without blanks around it, in whatever code page.
    pub value: &'a [u8],
}

/// Goes through the pairs of a text; comments (code 999) are passed over.
#[derive(Debug)]
pub(super) struct Pairs<'a> {
    rest: &'a [u8],
    /// Line of the value of the last pair, from 1.
    line: usize,
    /// A pair handed back, to come again.
    again: Option<Pair<'a>>,
}

impl<'a> Pairs<'a> {
    pub(super) fn new(text: &'a [u8]) -> Self {
        Self {
            rest: text,
            line: 0,
            again: None,
        }
    }

    /// The next pair; `None` at the end.
    pub(super) fn next(&mut self) -> Result<Option<Pair<'a>>, ImportError> {
        if let Some(pair) = self.again.take() {
            return Ok(Some(pair));
        }
        loop {
            let Some(code) = self.line() else {
                return Ok(None);
            };
            if code.is_empty() && self.rest.trim_ascii().is_empty() {
                return Ok(None);
            }
            let text = std::str::from_utf8(code).unwrap_or_default();
            let Ok(code) = text.parse::<i32>() else {
                let shown: String = String::from_utf8_lossy(code).chars().take(24).collect();
                return Err(self.error(&format!(
                    "'{}' is not a group code, so this is not a whole DXF: save the drawing again",
                    shown.escape_default()
                )));
            };
            let Some(value) = self.line() else {
                return Err(self.error(
                    "the file ends within a pair, so a part is missing: copy or save it again",
                ));
            };
            if code != 999 {
                return Ok(Some(Pair { code, value }));
            }
        }
    }

    /// Hands a pair back.
    pub(super) fn put_back(&mut self, pair: Pair<'a>) {
        self.again = Some(pair);
    }

    fn line(&mut self) -> Option<&'a [u8]> {
        if self.rest.is_empty() {
            return None;
        }
        self.line += 1;
        let end = self.rest.iter().position(|b| *b == b'\n');
        let (line, rest) = match end {
            Some(end) => (self.rest.get(..end), self.rest.get(end + 1..)),
            None => (Some(self.rest), None),
        };
        self.rest = rest.unwrap_or_default();
        Some(line.unwrap_or_default().trim_ascii())
    }

    /// An error at the last pair.
    pub(super) fn error(&self, reason: &str) -> ImportError {
        ImportError::Dxf {
            line: self.line,
            reason: reason.to_owned(),
        }
    }

    /// The value as a number that a drawing can have.
    pub(super) fn real(&self, pair: &Pair<'_>) -> Result<f64, ImportError> {
        let text = std::str::from_utf8(pair.value).unwrap_or_default();
        match text.parse::<f64>() {
            Ok(value) if value.abs() <= LARGEST_NUMBER => Ok(value),
            _ => Err(self.bad(pair)),
        }
    }

    /// The value as a whole number; written with a point by some programs.
    pub(super) fn whole(&self, pair: &Pair<'_>) -> Result<i64, ImportError> {
        let text = std::str::from_utf8(pair.value).unwrap_or_default();
        let whole = text.strip_suffix(".0").unwrap_or(text);
        whole.parse::<i64>().ok().ok_or_else(|| self.bad(pair))
    }

    fn bad(&self, pair: &Pair<'_>) -> ImportError {
        let number: String = String::from_utf8_lossy(pair.value)
            .chars()
            .take(24)
            .collect();
        ImportError::BadNumber {
            place: format!("line {}", self.line),
            number: number.escape_default().to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_come_one_by_one() {
        let mut pairs = Pairs::new(b"  0\r\nLINE\r\n999\r\na comment\r\n 10\r\n 1.5\r\n\r\n");
        assert_eq!(
            pairs.next(),
            Ok(Some(Pair {
                code: 0,
                value: b"LINE"
            }))
        );
        let ten = pairs.next().unwrap().unwrap();
        assert_eq!(pairs.real(&ten), Ok(1.5));
        pairs.put_back(ten);
        assert_eq!(pairs.next(), Ok(Some(ten)));
        assert_eq!(pairs.next(), Ok(None));
    }

    #[test]
    fn what_is_broken_is_named_with_its_line() {
        let mut broken = Pairs::new(b"0\nLINE\nten\n1\n");
        assert!(broken.next().is_ok());
        let error = broken.next().unwrap_err().to_string();
        assert!(error.starts_with("line 3: 'ten'"), "{error}");
        assert!(Pairs::new(b"0\n").next().is_err());
        let pairs = Pairs::new(b"");
        for bad in ["nan", "inf", "1e308", "", "1,5", "-1e13"] {
            let pair = Pair {
                code: 10,
                value: bad.as_bytes(),
            };
            assert!(pairs.real(&pair).is_err(), "{bad}");
        }
        let pair = Pair {
            code: 70,
            value: b"99999999999999999999",
        };
        assert!(pairs.whole(&pair).is_err());
    }
}
