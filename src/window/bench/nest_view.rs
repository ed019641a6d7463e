//! What the maker has laid out for nesting: how many of each knife, the stock, the distances, and an odd piece as it is typed, taken over or dropped.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::nester::NestWish;
use crate::geometry::{Contour, Point};
use crate::knife::{Id, Knife, KnifeSet};
use crate::nesting::{Stock, typed_corners, typed_flaws};
use crate::reading::drawing::{ImportOptions, read_drawing};
use crate::sheet::LeftForBench;
use crate::units::{LengthUnit, print_number};
use crate::window::session::Preferences;
use crate::window::view::View;

/// A bar as it is often sold, mm.
const USUAL_BAR: (f64, f64) = (75.0, 1000.0);
/// A sheet as it is often sold, mm.
const USUAL_SHEET: (f64, f64) = (300.0, 500.0);
/// Room for the cut and a hand's slip, mm. Common practice, no source.
const USUAL_GAP_MM: f64 = 3.0;
/// Most of one knife that is counted.
pub(super) const MOST_OF_ONE: u32 = 99;

/// What is cut from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StockKind {
    /// A bar, as little of its length as possible.
    #[default]
    Bar,
    /// A sheet.
    Sheet,
    /// An odd piece, such as a forging.
    Odd,
}

impl StockKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Bar, Self::Sheet, Self::Odd];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bar => "Bar",
            Self::Sheet => "Sheet",
            Self::Odd => "Odd piece",
        }
    }
}

/// Where an odd piece's outline comes from.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum PieceFrom {
    /// Its corners are typed, or set on the page.
    #[default]
    Corners,
    /// A knife of the rack is drawn as the piece, with its marked flaws.
    Knife(Id),
    /// A drawing that was dropped on the page.
    Drawing {
        /// Name of the file.
        name: String,
        /// Outline, and what lies within.
        stock: Arc<Stock>,
    },
}

/// What the window remembers of nesting.
#[derive(Clone, Debug)]
pub struct NestView {
    /// How many of each knife; one where nothing is said.
    pub counts: BTreeMap<Id, u32>,
    /// What is cut from.
    pub kind: StockKind,
    /// Width and length of the bar, mm.
    pub bar_mm: (f64, f64),
    /// The sheet's size across and along the rolling direction, mm.
    pub sheet_mm: (f64, f64),
    /// Least distance between two knives, mm.
    pub gap_mm: f64,
    /// Least distance from the edge and from flaws, mm.
    pub edge_mm: f64,
    /// Whether knives may lie across the rolling direction.
    pub any_turn: bool,
    /// Whether knives may be cut with the other face up.
    pub mirror: bool,
    /// Where an odd piece comes from.
    pub piece: PieceFrom,
    /// Its corners as typed.
    pub corners: String,
    /// Its flaws as typed.
    pub flaws: String,
    /// Whether the pointer marks flaws, not corners.
    pub marks_flaws: bool,
    /// A flaw that is being drawn: its place.
    pub(super) flaw_from: Option<Point>,
    /// Where the page is looked at; none for all of it.
    pub(super) view: Option<View>,
    /// Size of the page it was looked at on, screen points.
    seen_on: egui::Vec2,
}

impl Default for NestView {
    fn default() -> Self {
        Self {
            counts: BTreeMap::new(),
            kind: StockKind::Bar,
            bar_mm: USUAL_BAR,
            sheet_mm: USUAL_SHEET,
            gap_mm: USUAL_GAP_MM,
            edge_mm: USUAL_GAP_MM,
            any_turn: false,
            mirror: false,
            piece: PieceFrom::Corners,
            corners: String::new(),
            flaws: String::new(),
            marks_flaws: false,
            flaw_from: None,
            view: None,
            seen_on: egui::Vec2::ZERO,
        }
    }
}

impl NestView {
    /// How many of a knife.
    #[must_use]
    pub fn count_of(&self, knife: Id) -> u32 {
        self.counts.get(&knife).copied().unwrap_or(1)
    }

    /// Where a page of this size is looked at: the same part of the stock as on one of another size.
    pub(super) fn view_in(&mut self, page: egui::Vec2) -> Option<View> {
        let before = std::mem::replace(&mut self.seen_on, page);
        if let Some(view) = &mut self.view {
            view.resize(before, page);
        }
        self.view
    }

    /// What is cut from, or what is the matter with it.
    pub(super) fn stock(&self, set: &KnifeSet, unit: LengthUnit) -> Result<Stock, String> {
        let bar = |(width_mm, length_mm): (f64, f64)| Stock::Bar {
            width_mm,
            length_mm,
        };
        match self.kind {
            StockKind::Bar => Ok(bar(self.bar_mm)),
            StockKind::Sheet => Ok(bar(self.sheet_mm)),
            StockKind::Odd => match &self.piece {
                PieceFrom::Corners => {
                    let corners = typed_corners(&self.corners, unit).map_err(|e| e.to_string())?;
                    let outline = Contour::polygon(&corners);
                    self.with_flaws(outline, Vec::new(), unit)
                }
                PieceFrom::Knife(id) => {
                    let knife = set
                        .knife(*id)
                        .ok_or("that knife is not in the rack any more: choose another piece")?;
                    self.and_flaws(Stock::of_knife(knife), unit)
                }
                PieceFrom::Drawing { stock, .. } => self.and_flaws(Stock::clone(stock), unit),
            },
        }
    }

    fn and_flaws(&self, stock: Stock, unit: LengthUnit) -> Result<Stock, String> {
        match stock {
            Stock::Odd { outline, flaws } => self.with_flaws(outline, flaws, unit),
            bar @ Stock::Bar { .. } => Ok(bar),
        }
    }

    fn with_flaws(
        &self,
        outline: Contour,
        mut flaws: Vec<Contour>,
        unit: LengthUnit,
    ) -> Result<Stock, String> {
        flaws.extend(typed_flaws(&self.flaws, unit).map_err(|e| e.to_string())?);
        Ok(Stock::Odd { outline, flaws })
    }

    /// What is wanted now.
    pub(in crate::window) fn wish(
        &self,
        set: &KnifeSet,
        preferences: &Preferences,
        left: LeftForBench,
    ) -> Result<NestWish, String> {
        let piece = match (&self.kind, &self.piece) {
            (StockKind::Odd, PieceFrom::Knife(id)) => Some(*id),
            _ => None,
        };
        let counted = |knife: &Arc<Knife>| {
            // What is drawn as the piece is not cut from itself.
            let count = if piece == Some(knife.id) {
                0
            } else {
                self.count_of(knife.id)
            };
            (count > 0).then(|| (Arc::clone(knife), usize::try_from(count).unwrap_or(0)))
        };
        Ok(NestWish {
            counts: set.knives.iter().filter_map(counted).collect(),
            stock: self.stock(set, preferences.length_unit)?,
            gap_mm: self.gap_mm,
            edge_mm: self.edge_mm,
            any_turn: self.any_turn,
            mirror: self.mirror,
            left,
            lengths: preferences.lengths(),
        })
    }

    /// Takes a drawing as the odd piece: its largest outline, and what lies within as flaws.
    pub(in crate::window) fn take_drawing(
        &mut self,
        name: &str,
        bytes: &[u8],
    ) -> Result<(), String> {
        let options = ImportOptions {
            as_drawn: true,
            ..ImportOptions::default()
        };
        let read = read_drawing(bytes, name, &options).map_err(|error| error.to_string())?;
        self.piece = PieceFrom::Drawing {
            name: name.to_owned(),
            stock: Arc::new(Stock::Odd {
                flaws: read.openings.iter().map(|o| o.shape.contour()).collect(),
                outline: read.outline,
            }),
        };
        self.view = None;
        Ok(())
    }

    /// Sets one more corner of the piece.
    pub(super) fn add_corner(&mut self, at: Point, unit: LengthUnit) {
        self.piece = PieceFrom::Corners;
        append(&mut self.corners, &[at.x, at.y], unit);
    }

    /// Marks one more flaw of the piece.
    pub(super) fn add_flaw(&mut self, at: Point, reach_mm: f64, unit: LengthUnit) {
        append(&mut self.flaws, &[at.x, at.y, reach_mm], unit);
    }

    /// Takes the last corner or flaw back.
    pub(super) fn take_back(&mut self) {
        let words = if self.marks_flaws {
            &mut self.flaws
        } else {
            &mut self.corners
        };
        let kept = words.trim_end().rfind([' ', ';', '\n', '\t']);
        words.truncate(kept.unwrap_or(0));
    }
}

/// Adds a word of lengths in a unit.
fn append(words: &mut String, numbers: &[f64], unit: LengthUnit) {
    let (per, decimals) = match unit {
        LengthUnit::Mm => (1.0, 1),
        LengthUnit::DecimalInch | LengthUnit::FractionInch => (crate::units::MM_PER_INCH, 3),
    };
    let word: Vec<String> = numbers
        .iter()
        .map(|mm| print_number(mm / per, decimals).replace('\u{2212}', "-"))
        .collect();
    if !words.is_empty() && !words.ends_with(char::is_whitespace) {
        words.push(' ');
    }
    words.push_str(&word.join(","));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_and_flaws_set_on_the_page_are_read_as_typed() {
        for (unit, per) in [(LengthUnit::Mm, 1.0), (LengthUnit::FractionInch, 25.4)] {
            let mut view = NestView {
                kind: StockKind::Odd,
                ..NestView::default()
            };
            for corner in [(0.0, 0.0), (300.0, -5.0), (280.0, 60.0)] {
                view.add_corner(Point::from(corner), unit);
            }
            view.add_flaw(Point::new(100.0, 20.0), 4.0, unit);
            let Ok(Stock::Odd { outline, flaws }) = view.stock(&KnifeSet::default(), unit) else {
                panic!("an odd piece: {}", view.corners);
            };
            // Half of |300·60 − 280·(−5)|, to the digits that are written.
            let area = (300.0 * 60.0 + 280.0 * 5.0) / 2.0;
            assert!(
                (outline.moments().area - area).abs() < 20.0 * per,
                "{unit:?}"
            );
            assert_eq!(flaws.len(), 1);
            view.take_back();
            assert!(
                view.stock(&KnifeSet::default(), unit).is_err(),
                "two corners are no piece"
            );
            view.marks_flaws = true;
            view.take_back();
            assert_eq!(view.flaws, "");
        }
    }

    #[test]
    fn a_piece_of_the_rack_is_not_cut_from_itself() {
        let set = crate::knife::orchard_set();
        let piece = set.knives[0].id;
        let mut view = NestView {
            kind: StockKind::Odd,
            piece: PieceFrom::Knife(piece),
            ..NestView::default()
        };
        view.counts.insert(set.knives[1].id, 0);
        let wish = view
            .wish(&set, &Preferences::default(), LeftForBench::default())
            .expect("a piece");
        let ids: Vec<Id> = wish.counts.iter().map(|(knife, _)| knife.id).collect();
        assert_eq!(ids, [set.knives[2].id, set.knives[3].id]);
    }
}
