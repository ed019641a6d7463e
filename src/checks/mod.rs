//! What a good shop foreman would say before any steel is cut: findings, each with its place, its amount and its mend.
//!
//! One subject a file. All checks are pure functions of a knife, its weigh-up and the maker's [`Thresholds`]. Distances are exact within
//! [`crate::geometry::GAP_ACCURACY_MM`]. A number that can't be known is the business of the weigh-up; each such reason comes back here as a
//! finding, and checks that would build on it keep silent.

mod bench;
mod bevel_height;
mod core;
mod corner;
mod cut_out;
mod drilling;
mod edge_thickness;
#[cfg(test)]
mod every;
mod figures;
mod finding;
mod fire;
mod flaw;
mod ground;
mod guard;
mod handle;
mod hardened_grind;
mod hole_size;
mod landmark;
mod mend;
mod mend_words;
mod opening;
mod outline;
mod pin;
mod pin_fit;
mod plunge;
mod ready;
mod size;
mod tang;
mod taper_layers;
#[cfg(test)]
mod testing;
mod thresholds;
mod web;
mod words;

pub use drilling::bar_skates;
pub use figures::{FIGURES, Figure, FigureUnit, cutting_keys, figures_of};
pub use finding::{Finding, Severity, Subject};
pub use mend::{ShopMend, shop_mend};
pub use pin_fit::{FitDrill, PinFit, drills_for_pin, rod_for_hole};
pub use ready::{Ready, ReadyMend, ready_check};
pub use thresholds::Thresholds;
pub use words::Words;

use crate::knife::{Knife, KnifeSet};
use crate::weighing::WeighUp;
use bench::Bench;
use ground::Ground;

/// All findings on a knife: stops first, then warnings, then notes; from butt to tip within each, those without a place last.
///
/// `up` must be the weigh-up of the same knife in the same set. The work grows evenly with the number of cut-outs.
#[must_use]
pub fn check(knife: &Knife, set: &KnifeSet, up: &WeighUp, thresholds: &Thresholds) -> Vec<Finding> {
    let bench = Bench::new(knife, set, up, thresholds);
    let mut found = Vec::new();
    outline::look(&bench, &mut found);
    cut_out::look(&bench, &mut found);
    web::look(&bench, &mut found);
    corner::look(&bench, &mut found);
    hole_size::look(&bench, &mut found);
    pin::look(&bench, &mut found);
    guard::look(&bench, &mut found);
    tang::look(&bench, &mut found);
    landmark::look(&bench, &mut found);
    size::look(&bench, &mut found);
    fire::look(&bench, &mut found);
    drilling::look(&bench, &mut found);
    edge_thickness::look(&bench, &mut found);
    hardened_grind::look(&bench, &mut found);
    taper_layers::look(&bench, &mut found);
    flaw::look(&bench, &mut found);
    handle::look(&bench, &mut found);
    let ground = Ground::new(&bench);
    plunge::look(&bench, &ground, &mut found);
    core::look(&bench, &ground, &mut found);
    bevel_height::look(&bench, &ground, &mut found);
    found.sort_by(Finding::told_first);
    found
}
