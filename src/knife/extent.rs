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
    /// From the heel landmark to the tip, along x; zero without a heel.
    pub edge_mm: f64,
    /// Largest depth of the blade, measured straight up at one place ahead of the shoulder line.
    pub height_mm: f64,
    /// Height of the box around the whole outline: the least width of bar it comes from, laid straight.
    pub bar_width_mm: f64,
}

/// Steps of `x` at which the depth is looked at before the best one is closed in on.
const DEPTH_STEPS: u32 = 48;

/// Lengths and heights of a knife whose outline has the given index.
#[must_use]
pub fn extent(knife: &Knife, steel: &SpanIndex) -> Extent {
    let bounds = steel.bounds();
    let tip_x = bounds.x1.max(0.0);
    let heel = knife.landmark_point(LandmarkKind::Heel);
    Extent {
        overall_mm: bounds.width(),
        blade_mm: tip_x,
        edge_mm: heel.map_or(0.0, |heel| (tip_x - heel.x).max(0.0)),
        height_mm: largest_depth(steel, tip_x),
        bar_width_mm: bounds.height(),
    }
}

/// Largest depth ahead of the shoulder line, by a coarse look and a golden-section search about the best step
/// (J. Kiefer, Proc. AMS 4 (1953), pp. 502-506); within 1e-6 mm on a depth with one peak there.
fn largest_depth(steel: &SpanIndex, tip_x: f64) -> f64 {
    let depth = |x: f64| steel.depth_at(x).map_or(0.0, |(low, high)| high - low);
    let step = tip_x / f64::from(DEPTH_STEPS);
    let mut best = (0.0, 0.0);
    for i in 0..DEPTH_STEPS {
        let x = f64::from(i) * step + step * 1e-6;
        let d = depth(x);
        if d > best.1 {
            best = (x, d);
        }
    }
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = ((best.0 - step).max(0.0), best.0 + step);
    while b - a > 1e-4 {
        let (c, d) = (b - ratio * (b - a), a + ratio * (b - a));
        if depth(c) >= depth(d) {
            b = d;
        } else {
            a = c;
        }
    }
    best.1.max(depth(f64::midpoint(a, b)))
}
