//! Cut-outs that are alike, put together as a maker counts them: three 6 mm pin holes, two lightening slots.

use crate::edit::Thing;
use crate::knife::{CutShape, Filling, Id, Purpose, Row};
use crate::weighing::{WeighUp, shift_together};

use super::results::ShownCutOut;

/// Sizes closer than this are the same size to the maker, mm: half the last digit shown.
const SAME_SIZE_MM: f64 = 0.005;

/// Cut-outs of one shape and size, for one purpose, with one filling.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningGroup {
    /// How many.
    pub count: usize,
    /// What they are.
    pub size: OpeningSize,
    /// What they are for.
    pub purpose: Purpose,
    /// What fills them.
    pub filling: Filling,
    /// Steel taken away by all of them, g.
    pub removed_g: Option<f64>,
    /// What their fillings put back, g.
    pub filling_g: Option<f64>,
    /// How far they, empty, move the balance of the blank together, mm.
    pub shift_mm: Option<f64>,
    /// The cut-outs and rows they belong to.
    pub things: Vec<Thing>,
}

/// Shape and size of an opening, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OpeningSize {
    /// A round hole of this diameter.
    Round(f64),
    /// A slot of this length and width.
    Slot(f64, f64),
    /// A row of round holes that goes evenly from the first diameter to the last.
    Row(Id, f64, f64),
    /// A free shape.
    Free,
}

impl OpeningSize {
    fn of(shown: &ShownCutOut, rows: &[Row]) -> Self {
        let row = shown.row.and_then(|id| rows.iter().find(|r| r.id == id));
        if let Some(row) = row
            && (row.first_diameter_mm - row.last_diameter_mm).abs() >= SAME_SIZE_MM
        {
            return Self::Row(row.id, row.first_diameter_mm, row.last_diameter_mm);
        }
        match &shown.cut_out.shape {
            CutShape::Round { diameter_mm, .. } => Self::Round(*diameter_mm),
            CutShape::Slot {
                length_mm,
                width_mm,
                ..
            } => Self::Slot(*length_mm, *width_mm),
            CutShape::Free { .. } => Self::Free,
        }
    }

    fn alike(self, other: Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < SAME_SIZE_MM;
        match (self, other) {
            (Self::Round(a), Self::Round(b)) => near(a, b),
            (Self::Slot(a, b), Self::Slot(c, d)) => near(a, c) && near(b, d),
            (Self::Row(a, ..), Self::Row(b, ..)) => a == b,
            (Self::Free, Self::Free) => true,
            _ => false,
        }
    }
}

/// The groups, in the order their first members were made. Cut-outs and weigh-up list them in one order, that of
/// [`crate::knife::Knife::all_cut_outs`]; a weigh-up that could not begin lists none.
#[must_use]
pub(super) fn opening_groups(
    rows: &[Row],
    cut_outs: &[ShownCutOut],
    up: &WeighUp,
) -> Vec<OpeningGroup> {
    let mut groups: Vec<(OpeningGroup, Vec<usize>)> = Vec::new();
    for (place, shown) in cut_outs.iter().enumerate() {
        let cut = &shown.cut_out;
        let size = OpeningSize::of(shown, rows);
        let weight = up.cut_outs.get(place);
        let (removed, filling) = (
            weight.and_then(|w| w.removed_g),
            weight.and_then(|w| w.filling_g),
        );
        let thing = shown.row.map_or(Thing::CutOut(cut.id), Thing::Row);
        let found = groups.iter_mut().find(|(group, _)| {
            group.size.alike(size) && group.purpose == cut.purpose && group.filling == cut.filling
        });
        if let Some((group, places)) = found {
            let both = |a: Option<f64>, b: Option<f64>| Some(a? + b?);
            group.count += 1;
            group.removed_g = both(group.removed_g, removed);
            group.filling_g = both(group.filling_g, filling);
            if !group.things.contains(&thing) {
                group.things.push(thing);
            }
            places.push(place);
        } else {
            let group = OpeningGroup {
                count: 1,
                size,
                purpose: cut.purpose,
                filling: cut.filling.clone(),
                removed_g: removed,
                filling_g: filling,
                shift_mm: None,
                things: vec![thing],
            };
            groups.push((group, vec![place]));
        }
    }
    groups
        .into_iter()
        .map(|(mut group, places)| {
            group.shift_mm = shift_together(up, &places);
            group
        })
        .collect()
}
