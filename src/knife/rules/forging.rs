//! Rules of the plan a blank is forged by.

use super::judge::Judge;
use super::{MOST_LAYERS, SMALLEST_MM, THICKEST_MM};
use crate::knife::{ForgePlan, ForgeStart};

/// Most a layer is thinned in the forge.
const MOST_RATIO: f64 = 10_000.0;
/// Most sets of heats.
const MOST_HEATS: u32 = 100;
/// The share that is lost is less than all.
const MOST_SHARE: f64 = 0.9;

pub(super) fn judge_forging(judge: &mut Judge<'_>, plan: &ForgePlan) {
    match &plan.start {
        ForgeStart::Bar {
            width_mm,
            thickness_mm,
        } => {
            judge.size("width_mm", *width_mm);
            judge.within("thickness_mm", *thickness_mm, SMALLEST_MM, THICKEST_MM);
        }
        ForgeStart::Billet {
            width_mm,
            reduction,
            own_ratios,
        } => {
            judge.size("width_mm", *width_mm);
            judge.within("reduction", *reduction, 1.0, MOST_RATIO);
            if own_ratios.len() > MOST_LAYERS + 1 {
                let n = own_ratios.len();
                let message = format!(
                    "{n} ratios; at most {} are kept, one for each layer",
                    MOST_LAYERS + 1
                );
                judge.fault("own_ratios", message);
                return;
            }
            let mut last = None;
            judge.each("own_ratios", own_ratios, |at, own| {
                if last >= Some(own.layer) {
                    let layer = own.layer;
                    let message = format!("layer {layer} comes again or out of turn; give each once, from the core out");
                    at.fault("layer", message);
                }
                last = Some(own.layer);
                at.within("ratio", own.ratio, 1.0, MOST_RATIO);
            });
        }
    }
    let losses = &plan.losses;
    let mut at = judge.at("losses");
    at.within("scale_per_heat", losses.scale_per_heat, 0.0, MOST_SHARE);
    if losses.heats > MOST_HEATS {
        let message = format!(
            "{} sets of heats; at most {MOST_HEATS} are kept",
            losses.heats
        );
        at.fault("heats", message);
    }
    for (field, mm) in [
        ("grinding_per_side_mm", losses.grinding_per_side_mm),
        ("grinding_profile_mm", losses.grinding_profile_mm),
        ("end_crop_mm", losses.end_crop_mm),
    ] {
        at.within(field, mm, 0.0, THICKEST_MM);
    }
    at.within("weld", losses.weld, 0.0, MOST_SHARE);
}
