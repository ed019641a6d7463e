//! Sheets of known size that a picture can be squared by: papers and a bank card.

use super::paper::{CARD_MM, papers};

/// A paper narrower than this is too small for a knife to lie on, mm.
const KNIFE_FITS_MM: f64 = 140.0;

/// A sheet of known size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownSheet {
    /// Short name: `a4`, `letter`, `card`.
    pub key: &'static str,
    /// Name the maker reads.
    pub name: &'static str,
    /// Its longer and its shorter side, mm.
    pub sides_mm: (f64, f64),
    /// Whether a knife usually lies beside it, for it is too small to lie on.
    pub beside: bool,
}

/// All of them: papers in the order of their table, then the card.
pub fn known_sheets() -> impl Iterator<Item = KnownSheet> {
    let of_paper = papers().iter().map(|paper| {
        let (a, b) = (paper.width_mm, paper.height_mm);
        KnownSheet {
            key: &paper.key,
            name: &paper.name,
            sides_mm: (a.max(b), a.min(b)),
            beside: a.min(b) < KNIFE_FITS_MM,
        }
    });
    of_paper.chain([KnownSheet {
        key: "card",
        name: "Bank card",
        sides_mm: CARD_MM,
        beside: true,
    }])
}

/// The one with this key.
#[must_use]
pub fn known_sheet(key: &str) -> Option<KnownSheet> {
    known_sheets().find(|sheet| sheet.key == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn papers_and_the_card_are_there_with_their_longer_side_first() {
        // ISO 216:2007, table 1; ANSI/ASME Y14.1; ISO/IEC 7810:2019, ID-1.
        assert_eq!(known_sheet("a4").unwrap().sides_mm, (297.0, 210.0));
        let letter = known_sheet("letter").unwrap().sides_mm;
        assert!((letter.0 - 279.4).abs() < 1e-9 && (letter.1 - 215.9).abs() < 1e-9);
        let card = known_sheet("card").unwrap();
        assert!(card.beside && card.sides_mm == (85.60, 53.98));
        assert!(!known_sheet("a4").unwrap().beside);
    }
}
