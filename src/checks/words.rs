//! Text with lengths in it that can still be told in the maker's own unit.

use std::borrow::Cow;
use std::fmt;

/// A phrase whose lengths are kept as numbers until somebody reads it.
///
/// Its `Display` form gives millimeters to two decimals at most; [`Words::text`] asks the caller for each length, [`Words::text_in`] for areas too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    parts: Vec<Part>,
}

#[derive(Clone, Debug, PartialEq)]
enum Part {
    Text(Cow<'static, str>),
    Length(f64),
    /// A change of area, mm², told with its sign.
    AreaChange(f64),
}

/// A phrase that begins with a text.
pub(super) fn say(text: impl Into<Cow<'static, str>>) -> Words {
    Words {
        parts: Vec::with_capacity(8),
    }
    .say(text)
}

impl Words {
    /// The phrase, each length (mm, finite) as `format_length` writes it, areas in mm².
    #[must_use]
    pub fn text(&self, format_length: &dyn Fn(f64) -> String) -> String {
        self.text_in(format_length, &plain_mm2)
    }

    /// The phrase, each length (mm, finite) and each change of area (mm², finite) as the caller writes them.
    #[must_use]
    pub fn text_in(
        &self,
        format_length: &dyn Fn(f64) -> String,
        format_area_change: &dyn Fn(f64) -> String,
    ) -> String {
        let mut text = String::new();
        for part in &self.parts {
            match part {
                Part::Text(words) => text.push_str(words),
                Part::Length(mm) => text.push_str(&format_length(*mm)),
                Part::AreaChange(mm2) => text.push_str(&format_area_change(*mm2)),
            }
        }
        text
    }

    /// The lengths in it, mm, in the order they are read.
    pub fn lengths_mm(&self) -> impl Iterator<Item = f64> {
        self.parts.iter().filter_map(|part| match part {
            Part::Text(_) | Part::AreaChange(_) => None,
            Part::Length(mm) => Some(*mm),
        })
    }

    pub(super) fn say(mut self, text: impl Into<Cow<'static, str>>) -> Self {
        self.parts.push(Part::Text(text.into()));
        self
    }

    pub(super) fn mm(mut self, length: f64) -> Self {
        self.parts.push(Part::Length(length));
        self
    }

    pub(super) fn area_change(mut self, mm2: f64) -> Self {
        self.parts.push(Part::AreaChange(mm2));
        self
    }

    /// These words, then those.
    pub(super) fn then(mut self, more: Self) -> Self {
        self.parts.extend(more.parts);
        self
    }
}

impl fmt::Display for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(&plain_mm))
    }
}

/// Millimeters to two decimals, without zeros that say nothing; the minus is U+2212, as on the ruler.
fn plain_mm(mm: f64) -> String {
    let digits = format!("{:.2}", mm.abs());
    let digits = digits.trim_end_matches('0').trim_end_matches('.');
    let minus = if mm < 0.0 && digits != "0" { "−" } else { "" };
    format!("{minus}{digits} mm")
}

/// Square millimeters to two decimals with their sign.
fn plain_mm2(mm2: f64) -> String {
    format!("{mm2:+.2} mm²")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_told_as_asked() {
        let words = say("web at ").mm(-44.0).say(" is ").mm(3.1432);
        assert_eq!(words.to_string(), "web at −44 mm is 3.14 mm");
        assert_eq!(
            words.text(&|mm| format!("{:.3} in", mm / 25.4)),
            "web at -1.732 in is 0.124 in"
        );
        assert_eq!(words.lengths_mm().collect::<Vec<_>>(), [-44.0, 3.1432]);
    }

    #[test]
    fn areas_are_told_as_asked_and_are_no_lengths() {
        let words = say("steel ").area_change(-0.4634).then(say(" of ").mm(2.0));
        assert_eq!(words.to_string(), "steel -0.46 mm² of 2 mm");
        let inches = words.text_in(&|mm| format!("{:.3} in", mm / 25.4), &|mm2| {
            format!("{:+.5} in²", mm2 / 645.16)
        });
        assert_eq!(inches, "steel -0.00072 in² of 0.079 in");
        assert_eq!(words.lengths_mm().collect::<Vec<_>>(), [2.0]);
    }

    #[test]
    fn zeros_that_say_nothing_are_left_out() {
        let shown = |mm| Words::default().mm(mm).to_string();
        assert_eq!(
            [
                shown(5.0),
                shown(1.90),
                shown(100.0),
                shown(-0.001),
                shown(0.25)
            ],
            ["5 mm", "1.9 mm", "100 mm", "0 mm", "0.25 mm"]
        );
    }
}
