//! Lengths and heights a maker reads off a knife.

use super::{Knife, LandmarkKind};
use crate::geometry::SpanIndex;

/// Lengths and heights, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Extent {
    /// From the rearmost to the foremost point.
    pub overall_mm: f64,
    /// From the shoulder line to the tip: the edge and any plain part ahead of the handle.
    pub blade_mm: f64,
    /// From the heel landmark to the tip, along x; missing without a heel.
    pub edge_mm: Option<f64>,
    /// Largest depth of the blade, measured straight up at one place ahead of the shoulder line.
    pub height_mm: f64,
    /// Height of the box around the whole outline: the least width of bar it comes from, laid straight.
    pub bar_width_mm: f64,
}

/// Lengths and heights of a knife whose outline has the given index.
#[must_use]
pub fn extent(knife: &Knife, steel: &SpanIndex) -> Extent {
    let bounds = steel.bounds();
    let tip_x = bounds.x1.max(0.0);
    let heel = knife.landmark_point(LandmarkKind::Heel);
    Extent {
        overall_mm: bounds.width(),
        blade_mm: tip_x,
        edge_mm: heel.map(|heel| (tip_x - heel.x).max(0.0)),
        height_mm: steel.largest_depth(0.0, tip_x),
        bar_width_mm: bounds.height(),
    }
}
