//! The template: the knife at true size with everything a maker marks out, to print, glue on and cut along.

use std::collections::BTreeMap;

use super::error::Refused;
use super::font;
use super::marks::Marks;
use super::model::{Anchor, Entity, Sheet};
use super::parts::{Steel, stock_note};
use crate::geometry::Point;
use crate::knife::{CutShape, Knife, KnifeSet};
use crate::units::{Length, LengthFormat};
use crate::weighing::{WeighUp, weigh};

/// The line that stands on every template.
pub(super) const CAUTION: &str = "check the printed bars before you cut";

/// Height of the knife's name, mm.
const NAME_MM: f64 = 4.0;
/// Height of the lines below it, mm.
const LINE_MM: f64 = 2.4;
/// From line to line, mm.
const PITCH_MM: f64 = 4.6;
/// Room for a line of words, mm, however short the knife is.
const LEAST_ROOM_MM: f64 = 110.0;

/// What a template shows besides the lines to cut and drill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TemplateOptions {
    /// How lengths are printed.
    pub lengths: LengthFormat,
    /// Shoulder line, landmarks, middle line of the tang, balance point, centers of holes.
    pub marks: bool,
    /// Name, stock, sizes and hole list.
    pub words: bool,
}

impl Default for TemplateOptions {
    fn default() -> Self {
        Self {
            lengths: LengthFormat::default(),
            marks: true,
            words: true,
        }
    }
}

/// The template of a knife, in the knife's own coordinates: `x = 0` at the shoulder line.
///
/// Round holes are drill circles with a center cross; a cut-out that crosses the outline is drawn as it stands.
///
/// # Errors
/// The outline or that of a free cut-out has faults, or a cut-out's measures are no measures.
pub fn template(
    knife: &Knife,
    set: &KnifeSet,
    options: &TemplateOptions,
) -> Result<Sheet, Refused> {
    let steel = Steel::of(knife)?;
    let weighed = weigh(knife, set);
    let mut sheet = Sheet {
        name: knife.name.clone(),
        note: stock_note(knife, set, options.lengths),
        entities: steel.entities(),
    };
    if options.marks {
        let marks = Marks {
            knife,
            steel: &steel,
            weighed: &weighed,
            lengths: options.lengths,
            words: options.words,
        };
        sheet.entities.extend(marks.draw());
    }
    if options.words {
        let words = title_block(&sheet, &steel, &weighed, options.lengths);
        sheet.entities.extend(words);
    }
    Ok(sheet)
}

/// The lines below the knife: name, stock, sizes, holes, caution.
fn title_block(
    sheet: &Sheet,
    steel: &Steel,
    weighed: &WeighUp,
    lengths: LengthFormat,
) -> Vec<Entity> {
    let Some(below) = sheet.bounds() else {
        return Vec::new();
    };
    let left = steel.contour.bounds().x0;
    let room = (below.x1 - left).max(LEAST_ROOM_MM);
    let mut y = below.y0 - PITCH_MM - NAME_MM;
    let mut words = Vec::new();
    let name = font::fitted(&sheet.name, NAME_MM, room);
    if !name.is_empty() {
        words.push(Entity::label(
            Point::new(left, y),
            NAME_MM,
            name,
            Anchor::Start,
        ));
    }
    let print = |mm: f64| lengths.print(Length::mm(mm));
    let extent = &weighed.steel.extent;
    let sizes = format!(
        "overall {}, ahead of the shoulder {}, height {}",
        print(extent.overall_mm),
        print(extent.blade_mm),
        print(extent.height_mm)
    );
    for line in [sheet.note.clone(), sizes]
        .into_iter()
        .chain(opening_lists(steel, lengths))
        .chain([CAUTION.to_owned()])
    {
        for part in font::wrapped(&line, LINE_MM, room) {
            y -= PITCH_MM;
            words.push(Entity::label(
                Point::new(left, y),
                LINE_MM,
                part,
                Anchor::Start,
            ));
        }
    }
    words
}

/// One line for all round holes, one for slots and free shapes; equal ones are counted together.
fn opening_lists(steel: &Steel, lengths: LengthFormat) -> Vec<String> {
    let mut round: BTreeMap<(u64, &str), (f64, u32)> = BTreeMap::new();
    let mut cut: BTreeMap<String, u32> = BTreeMap::new();
    for (_, opening) in &steel.cut_outs {
        let purpose = opening.purpose.name();
        match &opening.shape {
            CutShape::Round { diameter_mm, .. } => {
                // Positive numbers sort by their bits.
                let entry = round
                    .entry((diameter_mm.to_bits(), purpose))
                    .or_insert((*diameter_mm, 0));
                entry.1 += 1;
            }
            CutShape::Slot {
                length_mm,
                width_mm,
                ..
            } => {
                let length = lengths.print_bare(Length::mm(*length_mm));
                let width = lengths.print(Length::mm(*width_mm));
                *cut.entry(format!("slot {length} × {width} {purpose}"))
                    .or_default() += 1;
            }
            CutShape::Free { .. } => *cut.entry(format!("free shape {purpose}")).or_default() += 1,
        }
    }
    // Sizes that print alike count as one.
    let mut drilled: Vec<(String, u32)> = Vec::new();
    for ((_, purpose), (diameter_mm, count)) in round {
        let size = format!("{} {purpose}", lengths.print(Length::mm(diameter_mm)));
        match drilled.iter_mut().find(|(known, _)| *known == size) {
            Some((_, n)) => *n += count,
            None => drilled.push((size, count)),
        }
    }
    let list = |verb: &str, items: Vec<(String, u32)>| {
        let counted: Vec<String> = items
            .into_iter()
            .map(|(what, count)| format!("{count} × {what}"))
            .collect();
        (!counted.is_empty()).then(|| format!("{verb} {}", counted.join(", ")))
    };
    [
        list("drill", drilled),
        list("cut out", cut.into_iter().collect()),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests;
