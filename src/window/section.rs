//! The section of the knife on the drawing where the maker looks: made before drawing, kept until the knife or the place changes.

use std::sync::Arc;

use super::bar::{Bar, LayerAt};
use super::results::KnifeResults;
use crate::geometry::Point;
use crate::knife::{Face, Knife};
use crate::thickness::{EdgeShape, SectionPiece};
use crate::weighing::{CoreBand, core_band_of};

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
    /// Where the core shows on the bevel, from the edge up; flat bevels only.
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
            Arc::ptr_eq(knife, &results.knife) && *x == x_mm && *with == behind
        });
        if known {
            return;
        }
        self.section = section_at(results, x_mm, behind);
        self.of = Some((Arc::clone(&results.knife), x_mm, behind));
    }
}

fn section_at(results: &KnifeResults, x_mm: f64, behind: [f64; 3]) -> Option<SectionView> {
    let blade = results.scale.blade()?;
    let section = blade.section(&results.steel, x_mm)?;
    let places = || section.steel.iter().flat_map(|piece| &piece.places);
    let low_mm = places().next()?.y_mm;
    let high_mm = places().last()?.y_mm;
    let behind_edge_mm = behind.map(|d| {
        let y = low_mm + d;
        (d >= 0.0 && y <= high_mm).then(|| blade.place_at(Point::new(x_mm, y)).thickness_mm())
    });
    let openings = results.cut_outs.iter().flat_map(|cut| {
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
        core: section.edge.and_then(|edge| core_of(results, x_mm, &edge)),
        edge: section.edge,
        false_edge: section.false_edge,
        behind_edge_mm,
    })
}

fn layers(results: &KnifeResults, piece: &SectionPiece) -> Bar {
    let corners = piece.places.iter().map(|p| LayerAt {
        at_mm: p.y_mm,
        left_mm: -p.left_mm,
        right_mm: p.right_mm,
    });
    Bar::between(&results.knife.stock, corners.collect())
}

/// The band of core on the first bevel of the edge, on the right face if that is ground.
fn core_of(results: &KnifeResults, x_mm: f64, edge: &EdgeShape) -> Option<CoreBand> {
    let knife = &results.knife;
    if !knife.stock.is_laminated() {
        return None;
    }
    let grind = knife.grinding.grinds.iter().find(|g| g.run.is_on_edge())?;
    let (face, side) = match (edge.right, edge.left) {
        (Some(side), _) => (Face::Right, side),
        (None, Some(side)) => (Face::Left, side),
        (None, None) => return None,
    };
    core_band_of(knife, grind, face, x_mm, side.height_mm).ok()
}
