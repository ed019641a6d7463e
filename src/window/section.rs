//! The section of the knife on the drawing where the maker looks: made before drawing, kept until the knife or the place changes.

use std::sync::Arc;

use super::bar::{Bar, LayerAt};
use super::results::KnifeResults;
use crate::geometry::Point;
use crate::knife::{CutShape, Knife};
use crate::thickness::{EdgeShape, SectionPiece, SectionPlace};
use crate::weighing::{CoreBand, core_mm};

/// A section across the knife, ready to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionView {
    /// Where along the knife, mm.
    pub x_mm: f64,
    /// Height of the edge side, mm.
    pub low_mm: f64,
    /// Height of the spine side, mm.
    pub high_mm: f64,
    /// The layers of each piece of steel from the edge up; places are heights.
    pub steel: Vec<Bar>,
    /// Heights between which a cut-out lets the light through, mm.
    pub openings: Vec<(f64, f64)>,
    /// Thickest place, mm.
    pub thickest_mm: f64,
    /// Thickness at the spine, mm.
    pub at_spine_mm: f64,
    /// The edge, where a grind starts at the lowest place.
    pub edge: Option<EdgeShape>,
    /// The false edge, where one starts at the highest.
    pub false_edge: Option<EdgeShape>,
    /// Where the core shows on the bevel, from the edge up.
    pub core: Option<CoreBand>,
    /// Thickness at the chosen distances behind the edge, mm; nothing where the steel ends before.
    pub behind_edge_mm: [Option<f64>; 3],
}

impl SectionView {
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
    section: Option<SectionView>,
}

impl SectionShelf {
    /// The section; nothing while nobody looks, or where there is no steel.
    pub(super) fn section(&self) -> Option<&SectionView> {
        self.section.as_ref()
    }

    /// Makes the section at a place, unless it is there already.
    pub(super) fn refresh(&mut self, results: Option<&KnifeResults>, x_mm: f64, behind: [f64; 3]) {
        let Some(results) = results else {
            *self = Self::default();
            return;
        };
        let known = self.of.as_ref().is_some_and(|(knife, x, with)| {
            Arc::ptr_eq(knife, &results.weighed.knife) && *x == x_mm && *with == behind
        });
        if known {
            return;
        }
        self.section = section_at(results, x_mm, behind);
        self.of = Some((Arc::clone(&results.weighed.knife), x_mm, behind));
    }
}

fn section_at(results: &KnifeResults, x_mm: f64, behind: [f64; 3]) -> Option<SectionView> {
    let scale = &results.weighed.scale;
    let blade = scale.blade()?;
    let section = blade.section(scale.steel()?, x_mm)?;
    let places = || section.steel.iter().flat_map(|piece| &piece.places);
    let low_mm = places().next()?.y_mm;
    let high_mm = places().last()?.y_mm;
    let behind_edge_mm = behind.map(|d| {
        let y = low_mm + d;
        (d >= 0.0 && y <= high_mm).then(|| blade.place_at(Point::new(x_mm, y)).thickness_mm())
    });
    let core = section
        .edge
        .zip(section.steel.first())
        .and_then(|(edge, piece)| core_of(results, &edge, piece));
    let openings = results.cut_outs.iter().flat_map(|cut| {
        if !reaches(&cut.cut_out.shape, x_mm) {
            return Vec::new();
        }
        let heights = cut.cut_out.shape.contour().index().heights_at(x_mm);
        heights
            .chunks_exact(2)
            .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
            .collect::<Vec<_>>()
    });
    Some(SectionView {
        x_mm,
        low_mm,
        high_mm,
        openings: openings.collect(),
        thickest_mm: places().map(|p| p.thickness_mm()).fold(0.0, f64::max),
        at_spine_mm: places().last()?.thickness_mm().max(0.0),
        steel: section.steel.iter().map(|p| layers(results, p)).collect(),
        core,
        edge: section.edge,
        false_edge: section.false_edge,
        behind_edge_mm,
    })
}

/// Whether a cut-out may reach a place along the knife; told without its contour, for there may be hundreds.
fn reaches(shape: &CutShape, x_mm: f64) -> bool {
    let half_mm = match shape {
        CutShape::Round { diameter_mm, .. } => diameter_mm / 2.0,
        CutShape::Slot {
            length_mm,
            width_mm,
            ..
        } => (length_mm + width_mm) / 2.0,
        CutShape::Free { .. } => return true,
    };
    (shape.center().x - x_mm).abs() <= half_mm
}

fn layers(results: &KnifeResults, piece: &SectionPiece) -> Bar {
    let corners = piece.places.iter().map(|p| LayerAt {
        at_mm: p.y_mm,
        left_mm: -p.left_mm,
        right_mm: p.right_mm,
    });
    Bar::between(&results.weighed.knife.stock, corners.collect())
}

/// The band of core on the bevel of the edge, on the right face if that is ground: read off the section, from the edge up.
fn core_of(results: &KnifeResults, edge: &EdgeShape, piece: &SectionPiece) -> Option<CoreBand> {
    if !results.weighed.knife.stock.is_laminated() {
        return None;
    }
    let (low, high) = core_mm(&results.weighed.knife);
    let (low, high, height): (f64, f64, fn(&SectionPlace) -> f64) = match (edge.right, edge.left) {
        (Some(_), _) => (low, high, |p| p.right_mm),
        (None, Some(_)) => (-high, -low, |p| p.left_mm),
        (None, None) => return None,
    };
    let edge_y = piece.places.first()?.y_mm;
    let passes = |level: f64| -> Option<f64> {
        let above = piece.places.iter().position(|p| height(p) > level)?;
        let Some(before) = above.checked_sub(1).and_then(|i| piece.places.get(i)) else {
            return Some(0.0);
        };
        let after = piece.places.get(above)?;
        let t = (level - height(before)) / (height(after) - height(before));
        Some(before.y_mm + t * (after.y_mm - before.y_mm) - edge_y)
    };
    let band = CoreBand {
        from_mm: passes(low)?,
        to_mm: passes(high)?,
    };
    (band.width_mm() > 0.0).then_some(band)
}
