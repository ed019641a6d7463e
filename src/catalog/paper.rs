//! Paper sizes, printer margins and what printing can do to the scale.

use std::sync::LazyLock;

use super::table::{Row, TableError, Verified, folded, read_table};

const TABLE: &str = include_str!("../../assets/paper.csv");

static ROWS: LazyLock<Vec<PaperRow>> = LazyLock::new(|| parse(TABLE).unwrap_or_default());
static PAPERS: LazyLock<Vec<PaperSize>> =
    LazyLock::new(|| ROWS.iter().filter_map(PaperRow::sheet).collect());
static FACTS: LazyLock<Vec<PaperFact>> =
    LazyLock::new(|| ROWS.iter().filter_map(PaperRow::fact).collect());

/// Margin that every printer leaves free, mm: the row `margin-default`. A smaller one loses lines at the rim of some printers.
pub const PRINTER_MARGIN_MM: f64 = 10.0;

/// How far neighboring sheets of a tiled print overlap, mm: inside the row `tile-overlap` (5 to 15). Less leaves no room to paste.
pub const TILE_OVERLAP_MM: f64 = 10.0;

/// A bank card, mm: ISO/IEC 7810, ID-1.
pub const CARD_MM: (f64, f64) = (85.60, 53.98);

/// One point of a PDF page, mm: 1/72 in (ISO 32000-1), the row `point`.
pub const PAPER_POINT_MM: f64 = 25.4 / 72.0;

/// One sheet of paper, upright.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperSize {
    /// Short name for the command line: `a4`, `letter`.
    pub key: String,
    /// Full name: `A4`, `US Letter (ANSI A)`.
    pub name: String,
    /// Width of the upright sheet, mm.
    pub width_mm: f64,
    /// Height of the upright sheet, mm.
    pub height_mm: f64,
    /// Standard or custom it follows.
    pub source: String,
    /// How far the size was checked.
    pub verified: Verified,
}

/// A figure about printing: a margin, the tile overlap, a scale error.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperFact {
    /// Stable name: `margin-default`, `fit-to-page-percent`.
    pub key: String,
    /// What the figure is.
    pub name: String,
    /// Lower end, mm or percent as the name says.
    pub low: f64,
    /// Upper end, in the same unit.
    pub high: f64,
    /// Where it comes from.
    pub source: String,
    /// How far it was checked.
    pub verified: Verified,
}

/// All sheet sizes, in the order of the table.
pub fn papers() -> &'static [PaperSize] {
    &PAPERS
}

/// The sheet with this short or full name; capitals do not matter: `a4`, `A4`, `letter`, `us letter (ansi a)`.
pub fn paper(name: &str) -> Option<&'static PaperSize> {
    let name = folded(name);
    PAPERS
        .iter()
        .find(|paper| paper.key == name || folded(&paper.name) == name)
}

/// The figures about printing that are not sheet sizes.
pub fn paper_facts() -> &'static [PaperFact] {
    &FACTS
}

struct PaperRow {
    sheet: bool,
    key: String,
    name: String,
    first: f64,
    second: f64,
    source: String,
    verified: Verified,
}

impl PaperRow {
    fn sheet(&self) -> Option<PaperSize> {
        self.sheet.then(|| PaperSize {
            key: self.key.clone(),
            name: self.name.clone(),
            width_mm: self.first,
            height_mm: self.second,
            source: self.source.clone(),
            verified: self.verified,
        })
    }

    fn fact(&self) -> Option<PaperFact> {
        (!self.sheet).then(|| PaperFact {
            key: self.key.clone(),
            name: self.name.clone(),
            low: self.first,
            high: self.second,
            source: self.source.clone(),
            verified: self.verified,
        })
    }
}

fn parse(text: &str) -> Result<Vec<PaperRow>, TableError> {
    read_table("paper.csv", text, one)
}

fn one(row: &Row<'_>) -> Result<PaperRow, TableError> {
    let found = PaperRow {
        sheet: row.word(
            "kind",
            "`sheet`, `margin`, `scale` or `tile`",
            |word| match word {
                "sheet" => Some(true),
                "margin" | "scale" | "tile" => Some(false),
                _ => None,
            },
        )?,
        key: row.filled("key")?,
        name: row.filled("name")?,
        first: row.positive("width_mm_or_low")?,
        second: row.positive("height_mm_or_high")?,
        source: row.filled("source")?,
        verified: row.verified()?,
    };
    if found.second < found.first {
        return Err(row.wrong("height_mm_or_high", "at or over width_mm_or_low"));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn fact(key: &str) -> &'static PaperFact {
        FACTS.iter().find(|fact| fact.key == key).expect(key)
    }

    #[test]
    fn every_embedded_row_is_sound() {
        let rows = parse(TABLE).expect("paper.csv must parse");
        assert_eq!(rows.len(), 20);
        assert_eq!((papers().len(), paper_facts().len()), (13, 7));
        let keys: BTreeSet<&str> = rows.iter().map(|row| row.key.as_str()).collect();
        assert_eq!(keys.len(), rows.len(), "keys must differ");
        assert!(rows.iter().all(|row| row.first <= row.second));
    }

    #[test]
    fn sheets_agree_with_their_standards() {
        let size = |name: &str| paper(name).map(|paper| (paper.width_mm, paper.height_mm));
        // ISO 216 table 1, A series.
        assert_eq!(size("a4"), Some((210.0, 297.0)));
        assert_eq!(size("A3"), Some((297.0, 420.0)));
        assert_eq!(size("a0"), Some((841.0, 1189.0)));
        // ANSI/ASME Y14.1: A is 8.5 by 11 in, B 11 by 17 in; legal is 8.5 by 14 in.
        for (name, across, up) in [
            ("Letter", 8.5, 11.0),
            ("tabloid", 11.0, 17.0),
            ("LEGAL", 8.5, 14.0),
        ] {
            let (width, height) = size(name).expect(name);
            assert!(
                (width - across * 25.4).abs() < 1e-9 && (height - up * 25.4).abs() < 1e-9,
                "{name}"
            );
        }
        assert_eq!(size("US Letter (ANSI A)"), size("letter"));
        for nothing in ["", "a", "foolscap", "margin-default"] {
            assert_eq!(size(nothing), None, "{nothing}");
        }
    }

    #[test]
    fn the_a_series_follows_its_law() {
        // ISO 216: each size is the next larger one halved across, rounded down to a whole millimeter.
        for (large, small) in [
            ("a0", "a1"),
            ("a1", "a2"),
            ("a2", "a3"),
            ("a3", "a4"),
            ("a4", "a5"),
        ] {
            let (large, small) = (paper(large).expect(large), paper(small).expect(small));
            assert_eq!(
                (small.width_mm, small.height_mm),
                ((large.height_mm / 2.0).floor(), large.width_mm)
            );
        }
    }

    #[test]
    fn constants_follow_the_table() {
        assert_eq!(
            (fact("margin-default").low, fact("margin-default").high),
            (PRINTER_MARGIN_MM, PRINTER_MARGIN_MM)
        );
        // It clears every printer met.
        for margin in FACTS.iter().filter(|fact| fact.key.starts_with("margin-")) {
            assert!(margin.high <= PRINTER_MARGIN_MM, "{}", margin.key);
        }
        let overlap = fact("tile-overlap");
        assert!(overlap.low <= TILE_OVERLAP_MM && TILE_OVERLAP_MM <= overlap.high);
        assert!((fact("point").low - PAPER_POINT_MM).abs() < 1e-12);
    }
}
