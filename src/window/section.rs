//! The section of the knife on the drawing where the maker looks: made before drawing, kept until the knife or the place changes.

use std::sync::Arc;

use super::bar::{Bar, LayerAt};
use super::results::KnifeResults;
use crate::geometry::Point;
use crate::knife::{Face, Knife};
use crate::thickness::GroundBlade;

/// Places across the section where the faces are asked for.
const N_PLACES: u32 = 400;

/// A section across the knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Where along the knife, mm.
    pub x_mm: f64,
    /// Height of the edge side, mm.
    pub low_mm: f64,
    /// Height of the spine side, mm.
    pub high_mm: f64,
    /// The layers of each piece of steel from the edge up; places are heights.
    pub steel: Vec<Bar>,
    /// Thickest place, mm.
    pub thickest_mm: f64,
    /// Thickness at the spine, mm.
    pub at_spine_mm: f64,
    /// Thickness at the chosen distances behind the edge, mm; nothing where the steel ends before.
    pub behind_edge_mm: [Option<f64>; 3],
}

impl Section {
    /// Thickest place within so much of the edge, mm.
    #[must_use]
    pub fn thickest_within(&self, from_edge_mm: f64) -> f64 {
        self.steel
            .iter()
            .flat_map(|bar| &bar.faces)
            .filter(|f| f.at_mm <= self.low_mm + from_edge_mm)
            .map(|f| f.right_mm - f.left_mm)
            .fold(0.0, f64::max)
    }
}

/// The section last looked at.
#[derive(Debug, Default)]
pub(super) struct SectionShelf {
    of: Option<(Arc<Knife>, f64, [f64; 3])>,
    section: Option<Section>,
}

impl SectionShelf {
    /// The section; nothing while nobody looks, or where there is no steel.
    pub(super) fn section(&self) -> Option<&Section> {
        self.section.as_ref()
    }

    /// Makes the section at a place, unless it is there already.
    pub(super) fn refresh(&mut self, results: Option<&KnifeResults>, x_mm: f64, behind: [f64; 3]) {
        let Some(results) = results else {
            *self = Self::default();
            return;
        };
        let known = self.of.as_ref().is_some_and(|(knife, x, with)| {
            Arc::ptr_eq(knife, &results.knife) && *x == x_mm && *with == behind
        });
        if known {
            return;
        }
        self.section = section_at(results, x_mm, behind);
        self.of = Some((Arc::clone(&results.knife), x_mm, behind));
    }
}

fn section_at(results: &KnifeResults, x_mm: f64, behind: [f64; 3]) -> Option<Section> {
    let blade = results.blade.as_ref()?;
    let (low_mm, high_mm) = results.steel.depth_at(x_mm)?;
    let corners: Vec<LayerAt> = (0..=N_PLACES)
        .map(|i| {
            let share = f64::from(i) / f64::from(N_PLACES);
            faces_at(blade, x_mm, low_mm + share * (high_mm - low_mm))
        })
        .collect();
    let thickness = |at: &LayerAt| (at.right_mm - at.left_mm).max(0.0);
    let thickest_mm = corners.iter().map(thickness).fold(0.0, f64::max);
    let at_spine_mm = corners.last().map_or(0.0, thickness);
    let behind_edge_mm = behind.map(|d| {
        let y = low_mm + d;
        (d >= 0.0 && y <= high_mm).then(|| thickness(&faces_at(blade, x_mm, y)))
    });
    Some(Section {
        x_mm,
        low_mm,
        high_mm,
        steel: vec![Bar::between(&results.knife.stock, corners)],
        thickest_mm,
        at_spine_mm,
        behind_edge_mm,
    })
}

fn faces_at(blade: &GroundBlade, x_mm: f64, y_mm: f64) -> LayerAt {
    let at = Point::new(x_mm, y_mm);
    LayerAt {
        at_mm: y_mm,
        left_mm: -blade.height(Face::Left, at),
        right_mm: blade.height(Face::Right, at),
    }
}
