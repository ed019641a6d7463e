//! What a grind, a taper, a fuller or a layer begins as when the maker switches it on: what is usual for the blade's use, to drag from.
//!
//! The figures are planning defaults. Where no source stands beside one it is common practice, recalled, without a published source.

mod grinds;
mod habit;
mod handle;
mod thickness;
mod wrap;

use super::{Knife, LandmarkKind, PlungeLine, Run, RunPath};
use crate::geometry::{Contour, Motion};

pub use grinds::{usual_bevel, usual_false_edge, usual_second_bevel};
pub use handle::{USUAL_WRAP_MM, usual_handle, wrap_round};
pub use thickness::{usual_fuller, usual_layering, usual_taper, with_tang_end};

/// Radius of the wheel of a hollow grind, mm: a contact wheel 10 in across, amid the 8 to 14 in that are common. Common practice, no source.
pub const USUAL_WHEEL_RADIUS_MM: f64 = 127.0;

/// A plunge line: nearly square, its wall left by a belt with a small radius. Common practice, no source.
pub const USUAL_PLUNGE: PlungeLine = PlungeLine {
    angle_rad: 80.0 * std::f64::consts::PI / 180.0,
    wheel_radius_mm: 3.0,
};

/// Steel less deep than this is no blade to grind, mm.
const LEAST_DEPTH_MM: f64 = 1.0;

/// A height of a part of the blade, set down to whole tenths: nobody scribes finer, and it never comes out higher.
fn tenths(mm: f64) -> f64 {
    (mm * 10.0).floor() / 10.0
}

/// The run of a bevel on the edge: from the plunge or, without one, from the heel or the shoulder, to the tip.
fn edge_run(knife: &Knife) -> Option<Run> {
    let starts = [
        LandmarkKind::Plunge,
        LandmarkKind::Heel,
        LandmarkKind::LowerShoulder,
    ];
    let from = starts
        .into_iter()
        .find(|kind| knife.landmark(*kind).is_some())?;
    let to = LandmarkKind::Tip;
    knife.landmark(to).map(|_| Run { from, to })
}

/// Depth of the steel at a share of a run, mm, straight in from the run to where the steel ends: the contour is turned so that the run goes
/// along x there, and what lies over it is read off.
fn depth_mm(contour: &Contour, run: &RunPath, share: f64) -> Option<f64> {
    let place = run.at_share(share)?;
    let turn = Motion::turn(-place.along.atan2());
    let from = turn.apply(place.point);
    let heights = contour.moved(&turn).index().heights_at(from.x);
    let over = heights.into_iter().map(|y| y - from.y);
    over.filter(|depth| *depth >= LEAST_DEPTH_MM)
        .reduce(f64::min)
}
