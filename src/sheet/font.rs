//! The lettering of sheets: which glyph stands for a character, and how wide a line of text comes out.
//!
//! The program carries two typefaces with it; the second fills in what the first lacks. A character neither has is drawn as the empty box
//! of the first, and stays itself in the text a reader copies out. Letters stand left to right one after the other, without kerning.

use std::ops::Range;
use std::sync::LazyLock;

use epaint_default_fonts::{HACK_REGULAR, UBUNTU_LIGHT};
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, GlyphId, MetadataProvider};

/// The typefaces, in the order they are asked for a character.
pub(super) const FACES: [&[u8]; 2] = [UBUNTU_LIGHT, HACK_REGULAR];

/// Height of capital letters as a share of the type size, where the typeface does not say.
const USUAL_CAPITAL: f64 = 0.7;

/// Width of a letter as a share of the type size, where there is no typeface to ask.
const USUAL_ADVANCE: f64 = 0.5;

/// What stands at the end of a text that was shortened.
const ELLIPSIS: char = '…';

/// A typeface made ready for questions; looking its tables up anew for each letter would take most of a template's time.
struct Reader {
    characters: Charmap<'static>,
    glyphs: GlyphMetrics<'static>,
    units_per_em: f64,
    capital: Option<f64>,
}

static READERS: LazyLock<Vec<Option<Reader>>> =
    LazyLock::new(|| FACES.iter().map(|data| Reader::new(data)).collect());

impl Reader {
    fn new(data: &'static [u8]) -> Option<Self> {
        let font = FontRef::new(data).ok()?;
        // At its own unit size a typeface gives whole units, exact in single precision.
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let units_per_em = f64::from(metrics.units_per_em);
        (units_per_em > 0.0).then(|| Self {
            characters: font.charmap(),
            glyphs: font.glyph_metrics(Size::unscaled(), LocationRef::default()),
            units_per_em,
            capital: metrics.cap_height.map(f64::from).filter(|h| *h > 0.0),
        })
    }

    fn glyph(&self, c: char) -> Option<u32> {
        Some(self.characters.map(c)?.to_u32())
    }

    fn advance(&self, glyph: u32) -> Option<f64> {
        let units = self.glyphs.advance_width(GlyphId::new(glyph))?;
        Some(f64::from(units) / self.units_per_em)
    }
}

/// One letter to draw.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Letter {
    /// Index of the typeface in [`FACES`].
    pub face: usize,
    /// Glyph number in that typeface; 0 is its empty box.
    pub glyph: u32,
    /// Width as a share of the type size.
    pub advance: f64,
    /// Bytes of the text it stands for.
    pub range: Range<usize>,
}

/// The letters of a line of text.
pub(super) fn letters(text: &str) -> Vec<Letter> {
    text.char_indices()
        .map(|(start, c)| {
            let (face, glyph) = READERS
                .iter()
                .enumerate()
                .find_map(|(face, reader)| Some((face, reader.as_ref()?.glyph(c)?)))
                .unwrap_or((0, 0));
            Letter {
                face,
                glyph,
                advance: advance(face, glyph),
                range: start..start + c.len_utf8(),
            }
        })
        .collect()
}

fn advance(face: usize, glyph: u32) -> f64 {
    READERS
        .get(face)
        .and_then(|reader| reader.as_ref()?.advance(glyph))
        .unwrap_or(USUAL_ADVANCE)
}

/// Height of capital letters as a share of the type size.
pub(super) fn capital_share() -> f64 {
    READERS
        .first()
        .and_then(Option::as_ref)
        .and_then(|reader| Some(reader.capital? / reader.units_per_em))
        .unwrap_or(USUAL_CAPITAL)
}

/// Width of a line of text whose capitals are `height_mm` high, mm.
pub(super) fn width_mm(text: &str, height_mm: f64) -> f64 {
    let ems: f64 = letters(text).iter().map(|letter| letter.advance).sum();
    ems * height_mm / capital_share()
}

/// Room that was added up from the text's own width may come out this much less, mm.
const ADDED_UP_MM: f64 = 1e-6;

/// The text, or as much of its beginning as fits into `room_mm` with an ellipsis behind it.
pub(super) fn fitted(text: &str, height_mm: f64, room_mm: f64) -> String {
    if width_mm(text, height_mm) <= room_mm + ADDED_UP_MM {
        return text.to_owned();
    }
    let scale = height_mm / capital_share();
    let mut left = room_mm - width_mm(&ELLIPSIS.to_string(), height_mm);
    let mut short = String::new();
    for (letter, c) in letters(text).iter().zip(text.chars()) {
        left -= letter.advance * scale;
        if left < 0.0 {
            break;
        }
        short.push(c);
    }
    short.truncate(short.trim_end().len());
    short.push(ELLIPSIS);
    short
}

/// Units that stay on the line of their number.
const UNITS: [&str; 6] = ["mm", "in", "g", "oz", "kg", "%"];

/// The words of a text, a number and its unit together.
fn words_of(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        let number = words.last_mut().filter(|last| {
            let ends = last.chars().next_back();
            ends.is_some_and(|c| c.is_ascii_digit())
        });
        match number {
            Some(number) if UNITS.contains(&bare) => {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// The text broken between words, never between a number and its unit, into lines no wider than `room_mm`; a word too wide for a line is shortened.
pub(super) fn wrapped(text: &str, height_mm: f64, room_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words_of(text) {
        if let Some(line) = lines.last_mut() {
            let longer = format!("{line} {word}");
            if width_mm(&longer, height_mm) <= room_mm {
                *line = longer;
                continue;
            }
        }
        lines.push(fitted(&word, height_mm, room_mm));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_typefaces_can_be_read() {
        assert_eq!(READERS.iter().flatten().count(), FACES.len());
        // Ubuntu Light's OS/2 table says sCapHeight 693 of 1000 units.
        assert!((capital_share() - 0.693).abs() < 1e-6);
    }

    #[test]
    fn a_monospaced_letter_is_as_wide_as_its_table_says() {
        // Hack's hmtx gives every glyph 1233 of 2048 units. Box drawing is only in Hack.
        let letter = &letters("┼")[0];
        assert_eq!(letter.face, 1);
        assert!((letter.advance - 1233.0 / 2048.0).abs() < 1e-9);
    }

    #[test]
    fn every_sign_the_sheets_use_has_a_glyph() {
        for letter in letters("×±−–…·°½+\"'&<>àéîöüßŁž") {
            assert_ne!(letter.glyph, 0, "byte {:?}", letter.range);
        }
    }

    #[test]
    fn unknown_characters_become_boxes_and_keep_their_bytes() {
        let found = letters("a🔪b");
        assert_eq!(found.len(), 3);
        assert_eq!((found[1].glyph, found[1].range.clone()), (0, 1..5));
        assert!(found[1].advance > 0.0);
    }

    #[test]
    fn a_number_and_its_unit_stay_on_one_line() {
        let text = "taper first, both faces: 2.00 mm at −120.0 mm; 5.00 mm at 0.0 mm; 599 g, 60 % of it in all";
        for room in 30..120 {
            let lines = wrapped(text, 3.0, f64::from(room));
            assert_eq!(lines.join(" "), text, "nothing is lost");
            for line in &lines {
                let first = line.split(' ').next().unwrap_or_default();
                let lone = ["mm", "mm;", "g,", "%"].contains(&first);
                assert!(!lone, "{room}: {line}");
            }
        }
        // The word is no unit where no number stands before it.
        assert_eq!(words_of("bevel in steel"), ["bevel", "in", "steel"]);
    }

    #[test]
    fn long_texts_are_shortened_to_their_room() {
        let long = "a very long name for a knife ".repeat(20);
        for room in [10.0, 20.0, 80.0] {
            let short = fitted(&long, 3.0, room);
            assert!(width_mm(&short, 3.0) <= room + 1e-9, "{short}");
            assert!(
                short.ends_with('…') && short.chars().count() >= 2,
                "{short}"
            );
        }
        assert_eq!(fitted(&long, 3.0, 1.0), "…");
        assert_eq!(fitted("paring", 3.0, 80.0), "paring");
        assert_eq!(fitted("", 3.0, 0.0), "");
    }

    #[test]
    fn wrapping_keeps_every_word_that_fits() {
        let text = "drill 3 × 6.0 mm pin, 3 × 9.0 mm lightening, 1 × 8.0 mm lanyard";
        let lines = wrapped(text, 2.6, 50.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| width_mm(line, 2.6) <= 50.0));
        assert_eq!(lines.join(" "), text);
        assert_eq!(wrapped("  ", 2.6, 50.0), Vec::<String>::new());
    }
}
