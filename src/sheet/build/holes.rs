//! What is drilled and cut while the steel is soft: each size with its drill, where its holes stand, and the steels that want annealing first.

use super::steps::{BuildTable, Item};
use super::work::Work;
use crate::catalog::{Drill, DrillSet, largest_drill_within, nearest_drills};
use crate::checks;
use crate::geometry::Point;
use crate::knife::{CutShape, Stage};
use crate::units::{LengthUnit, MISSING};

/// A hole this near to a drill is that drill's, mm.
const THE_DRILL_MM: f64 = 0.02;
/// Least that is left for a reamer, mm across. Common practice, no source.
const REAM_MM: f64 = 0.1;
/// Places of more holes alike than these are left to the template.
const MOST_PLACES: usize = 12;
/// Drills looked at for one that is sold in the maker's unit.
const NEAR: usize = 6;

/// Holes that are told together.
struct Kind {
    /// Size, purpose and drill.
    what: [String; 3],
    places: Vec<Point>,
}

/// Holes alike are told together: `3 × 6.10 mm`, what for, its drill, then where each stands.
pub(super) fn holes(work: &Work<'_>) -> Vec<Item> {
    let kinds = kinds(work);
    if kinds.is_empty() {
        return Vec::new();
    }
    let mut found = vec![Item::Line(anneal_line(work))];
    found.push(Item::Table(BuildTable {
        title: format!(
            "where they stand: from the shoulder line, and below the back, {}",
            work.unit()
        ),
        columns: ["holes", "for", "drill", "from shoulder", "below back"]
            .map(str::to_owned)
            .to_vec(),
        rows: kinds.iter().flat_map(|kind| rows_of(work, kind)).collect(),
    }));
    found.extend(work.weigh_line(Stage::Drilled).map(Item::Line));
    found
}

fn kinds(work: &Work<'_>) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for (_, cut) in work.knife.all_cut_outs(&work.steel) {
        let (size, drill) = match &cut.shape {
            CutShape::Round { diameter_mm, .. } => {
                (work.caliper(*diameter_mm), drill_for(*diameter_mm, work))
            }
            CutShape::Slot {
                length_mm,
                width_mm,
                ..
            } => (
                format!(
                    "slot {} by {}",
                    work.mm(*length_mm),
                    work.caliper(*width_mm)
                ),
                format!("{} at its ends", drill_for(*width_mm, work)),
            ),
            CutShape::Free { .. } => ("window".to_owned(), "as the template".to_owned()),
        };
        let what = [size, cut.purpose.name().to_owned(), drill];
        let place = cut.shape.center();
        match kinds.iter_mut().find(|own| own.what == what) {
            Some(own) => own.places.push(place),
            None => kinds.push(Kind {
                what,
                places: vec![place],
            }),
        }
    }
    kinds
}

/// A row for each place, the first with what they have in common; of very many only the first few, the others are on the template.
fn rows_of(work: &Work<'_>, kind: &Kind) -> Vec<Vec<String>> {
    let [size, purpose, drill] = &kind.what;
    let common = [
        format!("{} × {size}", kind.places.len()),
        purpose.clone(),
        drill.clone(),
    ];
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (i, place) in kind.places.iter().take(MOST_PLACES).enumerate() {
        let mut row = if i == 0 {
            common.to_vec()
        } else {
            vec![String::new(); 3]
        };
        let high = work.steel.depth_at(place.x).map(|(_, high)| high);
        row.push(work.bare(place.x));
        row.push(high.map_or_else(|| MISSING.to_owned(), |high| work.bare(high - place.y)));
        rows.push(row);
    }
    if kind.places.len() > MOST_PLACES {
        let mut row = vec![String::new(); 3];
        row.extend(["others as the template".to_owned(), String::new()]);
        rows.push(row);
    }
    rows
}

/// The drill of a hole, of the maker's own unit where two are as near; else the drill before the reamer.
fn drill_for(diameter_mm: f64, work: &Work<'_>) -> String {
    let unit = work.options.lengths.unit;
    let own = |drill: &&Drill| (drill.set == DrillSet::Metric) == (unit == LengthUnit::Mm);
    let near: Vec<&Drill> = nearest_drills(diameter_mm, NEAR)
        .into_iter()
        .filter(|drill| (drill.diameter_mm - diameter_mm).abs() <= THE_DRILL_MM)
        .collect();
    if let Some(drill) = near
        .iter()
        .copied()
        .find(|d| own(d))
        .or(near.first().copied())
    {
        return drill.label.clone();
    }
    largest_drill_within(diameter_mm - REAM_MM).map_or_else(
        || "ream it".to_owned(),
        |drill| format!("{}, then ream", drill.label),
    )
}

/// Whether the steel may be too hard for a drill as it comes.
pub(super) fn skates(work: &Work<'_>) -> bool {
    checks::bar_skates(&work.knife.stock)
}

/// The reminder that drilling comes before hardening, and for steels that skate, that they are annealed first.
fn anneal_line(work: &Work<'_>) -> String {
    if skates(work) {
        let name = work.material(&work.knife.stock.material);
        format!("Anneal first: {name} may be hard enough for the drill to skate")
    } else {
        "Drill before hardening; if the bar skates under the drill, anneal it first".to_owned()
    }
}
