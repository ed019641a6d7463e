//! The scribing strip: the edge, the false edge and the spine at true size along the knife, with the lines that are scribed on them before grinding.
//!
//! ```text
//!          1.75 | 0.50 | 1.75        0.75 | 0.50 | 0.75
//!          |                         |
//!   +------+---------------+---------+----------+   right face
//!   |  ----------------------------             |   line
//!   |  - - - - - - - - - - - - - - -            |   mid-plane
//!   |  ----------------------------             |   line
//!   +-------------------------------------------+   left face
//! ```
//!
//! Each strip lies where it belongs along the knife: `x = 0` is the shoulder line, as on the template. Cut out, it is glued on or held against the
//! steel; the table below it serves a height gauge.

mod band;
mod spine;
mod table;

use band::{Band, Line, Station, View};
pub use spine::spine_strip;
use table::Table;

use super::error::Refused;
use super::font;
use super::model::{Anchor, Entity, Sheet};
use super::parts::{Steel, stock_note};
use super::template::CAUTION;
use crate::geometry::Point;
use crate::knife::{Knife, KnifeSet};
use crate::units::{Length, LengthFormat, LengthUnit, MISSING};
use crate::weighing::{
    EdgeScribing, FromFaces, SCRIBE_FIRST, ScribingHeights, ScribingRow, TaperRow, scribing_heights,
};

/// Height of the knife's name, mm.
const NAME_MM: f64 = 4.0;
/// Height of headings and lines of words, mm.
const LINE_MM: f64 = 2.4;
/// From line to line, mm.
const PITCH_MM: f64 = 4.6;
/// Air between two strips with their tables, mm.
const AIR_MM: f64 = 8.0;
/// Room for words and tables, mm, however short the knife is.
const LEAST_ROOM_MM: f64 = 170.0;

/// The scribing strip of a knife, in the knife's own coordinates along `x`; `None` for a knife that nothing is ground on.
///
/// Heights are printed to a hundredth of a millimeter or a thousandth of an inch at least, whatever `lengths` says: a tenth is an edge.
///
/// # Errors
/// The outline or that of a free cut-out has faults.
pub fn scribing_strip(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Option<Sheet>, Refused> {
    if knife.grinding.grinds.is_empty() && knife.grinding.taper.is_none() {
        return Ok(None);
    }
    let steel = Steel::of(knife)?;
    let bounds = steel.contour.bounds();
    let mut page = Layout {
        lengths: lengths.caliper(),
        left: bounds.x0,
        room: bounds.width().max(LEAST_ROOM_MM),
        y: 0.0,
        out: Vec::new(),
    };
    let note = stock_note(knife, set, lengths);
    page.title(&knife.name, &[&note, SCRIBE_FIRST, CAUTION]);
    page.heights(&scribing_heights(knife), knife.stock.thickness_mm);
    Ok(Some(Sheet {
        name: format!("{}: scribing strip", knife.name),
        note,
        entities: page.out,
    }))
}

/// The sheet while it is laid out from the top down.
struct Layout {
    lengths: LengthFormat,
    left: f64,
    room: f64,
    /// Lower end of what is laid out.
    y: f64,
    out: Vec<Entity>,
}

impl Layout {
    fn title(&mut self, name: &str, lines: &[&str]) {
        let name = font::fitted(name, NAME_MM, self.room);
        if !name.is_empty() {
            let at = Point::new(self.left, self.y);
            self.out
                .push(Entity::label(at, NAME_MM, name, Anchor::Start));
        }
        for line in lines {
            self.words(line);
        }
    }

    /// Lines of words below what is there.
    fn words(&mut self, text: &str) {
        for line in font::wrapped(text, LINE_MM, self.room) {
            self.y -= PITCH_MM;
            let at = Point::new(self.left, self.y);
            self.out
                .push(Entity::label(at, LINE_MM, line, Anchor::Start));
        }
    }

    fn heights(&mut self, heights: &ScribingHeights, bar_mm: f64) {
        for edge in &heights.edges {
            self.y -= AIR_MM;
            self.edge(edge);
        }
        if !heights.taper.is_empty() {
            self.y -= AIR_MM;
            self.taper(&heights.taper, bar_mm);
        }
        for missing in &heights.missing {
            self.words(&missing.to_string());
        }
    }

    fn number(&self, mm: f64) -> String {
        self.lengths.print_bare(Length::mm(mm))
    }

    fn edge(&mut self, edge: &EdgeScribing) {
        let view = if edge.run.is_on_edge() {
            View::Below
        } else {
            View::Above
        };
        let upper = view.upper_face();
        let print = |mm: f64| self.lengths.print(Length::mm(mm));
        let heading = format!(
            "{}, {}; at each station: {} face to its line | edge | {} face to its line, in {}",
            if edge.name.is_empty() {
                "grind"
            } else {
                &edge.name
            },
            view.words(),
            upper.name(),
            upper.other().name(),
            unit_word(self.lengths)
        );
        let left_on = format!("edge left {}", print(edge.edge_mm));
        self.words(&heading);
        self.words(&left_on);
        let stations = edge
            .rows
            .iter()
            .map(|row| {
                let [near, far] = view.ordered(
                    row.right_line.map(|line| line.right_mm),
                    row.left_line.map(|line| line.left_mm),
                );
                let left_on = match (near, far) {
                    (Some(near), Some(far)) => Some(row.faces.thickness_mm() - near - far),
                    _ => None,
                };
                Station {
                    x_mm: row.x_mm,
                    faces: row.faces,
                    words: [near, left_on, far]
                        .map(|mm| mm.map_or_else(|| MISSING.to_owned(), |mm| self.number(mm)))
                        .join(" | "),
                }
            })
            .collect();
        let line = |of: fn(&ScribingRow) -> Option<FromFaces>, dashed| Line {
            points: edge.rows.iter().map(|row| height(row, of)).collect(),
            dashed,
        };
        let band = Band {
            view,
            stations,
            lines: vec![
                line(|row| row.right_line, false),
                line(|row| row.left_line, false),
                line(|row| row.middle, true),
                line(|row| row.core?.right, true),
                line(|row| row.core?.left, true),
            ],
        };
        self.y = band.draw(self.y, &mut self.out);
        let table = Table::of_edge(edge, &|mm| self.number(mm));
        self.y = table.draw(self.left, self.y, &mut self.out);
    }

    fn taper(&mut self, rows: &[TaperRow], bar_mm: f64) {
        let view = View::Above;
        let heading = format!(
            "taper, {}; at each station: below the bar's {} face | thickness | below its {} face, in {}",
            view.words(),
            view.upper_face().name(),
            view.upper_face().other().name(),
            unit_word(self.lengths)
        );
        self.words(&heading);
        let bar = crate::weighing::FaceHeights::even(bar_mm);
        let stations = rows
            .iter()
            .map(|row| {
                let [near, far] = view.ordered(row.off_right_mm, row.off_left_mm);
                Station {
                    x_mm: row.x_mm,
                    faces: bar,
                    words: [near, row.faces.thickness_mm(), far]
                        .map(|mm| self.number(mm))
                        .join(" | "),
                }
            })
            .collect();
        let line = |z: fn(&TaperRow) -> f64, dashed| Line {
            points: rows.iter().map(|row| Some(z(row))).collect(),
            dashed,
        };
        let band = Band {
            view,
            stations,
            lines: vec![
                line(|row| row.faces.right_mm, false),
                line(|row| -row.faces.left_mm, false),
                line(|_| 0.0, true),
            ],
        };
        self.y = band.draw(self.y, &mut self.out);
        let table = Table::of_taper(rows, &|mm| self.number(mm));
        self.y = table.draw(self.left, self.y, &mut self.out);
    }
}

/// Height of a line over the mid-plane.
fn height(row: &ScribingRow, of: fn(&ScribingRow) -> Option<FromFaces>) -> Option<f64> {
    Some(row.faces.right_mm - of(row)?.right_mm)
}

fn unit_word(lengths: LengthFormat) -> &'static str {
    match lengths.unit {
        LengthUnit::Mm => "mm",
        LengthUnit::DecimalInch | LengthUnit::FractionInch => "in",
    }
}

#[cfg(test)]
mod tests;
