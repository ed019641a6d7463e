//! Cut-outs that reach over the outline or into each other: found before anything is counted twice.

use std::collections::BTreeMap;

use super::flat::Missing;
use crate::geometry::{Point, Rect, SpanIndex, crossings_between, segment_gap};
use crate::knife::{CutOut, CutShape};

/// A cut-out made ready for overlap questions.
pub(super) struct Opening<'a> {
    name: &'a str,
    shape: &'a CutShape,
    bounds: Rect,
    /// Index of the boundary; round holes do without.
    index: Option<SpanIndex>,
}

impl<'a> Opening<'a> {
    pub(super) fn new(name: &'a str, cut: &'a CutOut) -> Self {
        let (bounds, index) = match &cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => (
                Rect::from_center_size(*center, (*diameter_mm, *diameter_mm)),
                None,
            ),
            other => {
                let index = other.contour().index();
                (index.bounds(), Some(index))
            }
        };
        Self {
            name,
            shape: &cut.shape,
            bounds,
            index,
        }
    }

    /// The core segment and radius of a round hole or slot: the shape is all points within the radius of the segment.
    fn capsule(&self) -> Option<((Point, Point), f64)> {
        match self.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => Some(((*center, *center), diameter_mm / 2.0)),
            CutShape::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => {
                let half = ((length_mm - width_mm) / 2.0).max(0.0);
                let along = crate::geometry::Vec2::from_angle(*angle_rad) * half;
                Some(((*center - along, *center + along), width_mm / 2.0))
            }
            CutShape::Free { .. } => None,
        }
    }

    fn boundary(&self) -> SpanIndex {
        self.index
            .clone()
            .unwrap_or_else(|| self.shape.contour().index())
    }

    /// A point of the boundary.
    fn boundary_point(&self) -> Point {
        let contour = self.shape.contour();
        contour
            .pieces
            .first()
            .map_or(self.bounds.center(), crate::geometry::Piece::start)
    }

    fn overlaps(&self, other: &Self) -> bool {
        if let (Some((a, ra)), Some((b, rb))) = (self.capsule(), other.capsule()) {
            return segment_gap(a, b).0 < ra + rb;
        }
        let (a, b) = (self.boundary(), other.boundary());
        !crossings_between(&a, &b).is_empty()
            || a.contains(other.boundary_point())
            || b.contains(self.boundary_point())
    }

    /// Whether the opening lies wholly within the steel outline; if not, whether it crosses it.
    fn place_in(&self, steel: &SpanIndex) -> Place {
        let crosses = match self.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => steel.comes_within(*center, diameter_mm / 2.0),
            _ => !crossings_between(steel, &self.boundary()).is_empty(),
        };
        if crosses {
            Place::Across
        } else if steel.contains(self.boundary_point()) {
            Place::Inside
        } else {
            Place::Outside
        }
    }
}

enum Place {
    Inside,
    Across,
    Outside,
}

/// For each cut-out that can't be counted, the reason; by its index.
pub(super) fn uncountable(
    cut_outs: &[(String, CutOut)],
    steel: &SpanIndex,
) -> BTreeMap<usize, Missing> {
    let openings: Vec<Opening<'_>> = cut_outs
        .iter()
        .map(|(name, cut)| Opening::new(name, cut))
        .collect();
    let mut found = BTreeMap::new();
    for (i, opening) in openings.iter().enumerate() {
        let reason = match opening.place_in(steel) {
            Place::Inside => continue,
            Place::Across => Missing::AcrossOutline {
                cut_out: opening.name.to_owned(),
                at: opening.bounds.center(),
            },
            Place::Outside => Missing::OutsideSteel {
                cut_out: opening.name.to_owned(),
                at: opening.bounds.center(),
            },
        };
        found.insert(i, reason);
    }
    let mut order: Vec<usize> = (0..openings.len()).collect();
    order.sort_by(|a, b| {
        let x0 = |i: &usize| openings[*i].bounds.x0;
        x0(a).total_cmp(&x0(b))
    });
    let mut active: Vec<usize> = Vec::new();
    for i in order {
        let opening = &openings[i];
        active.retain(|j| openings[*j].bounds.x1 > opening.bounds.x0);
        for &j in &active {
            let other = &openings[j];
            let apart = other.bounds.y1 < opening.bounds.y0 || opening.bounds.y1 < other.bounds.y0;
            if !apart && opening.overlaps(other) {
                for (a, b) in [(i, j), (j, i)] {
                    found.entry(a).or_insert_with(|| Missing::OverCutOut {
                        cut_out: openings[a].name.to_owned(),
                        other: openings[b].name.to_owned(),
                        at: openings[a].bounds.center(),
                    });
                }
            }
        }
        active.push(i);
    }
    found
}
