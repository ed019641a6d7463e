//! Forging stock: how much bar or billet a forged blank takes, by constant volume, and how thick each piece of a billet is before welding.
//!
//! Hot steel keeps its volume but for what burns off, is cut off and is ground off. The blank is first made larger by what grinding takes:
//! thicker on both faces, wider all round. What is lost on the way is then put back: the start volume is the finished one over `1 − loss`.

use std::f64::consts::PI;

use crate::knife::{ForgingLosses, Stock};

/// Share of the volume that scale and welding take together: one minus what every step leaves, multiplied. End crops and grinding are no shares.
///
/// # Errors
/// A loss is not a share below one.
pub fn share_lost(losses: &ForgingLosses) -> Result<f64, ForgingError> {
    for (what, value) in [
        ("the scale of a set of heats", losses.scale_per_heat),
        ("the loss in welding", losses.weld),
    ] {
        if !(0.0..1.0).contains(&value) {
            return Err(ForgingError::NoShare { what, value });
        }
    }
    let left = (1.0 - losses.scale_per_heat).powf(f64::from(losses.heats)) * (1.0 - losses.weld);
    Ok(1.0 - left)
}

/// The blank that is wanted, flat and finished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WantedBlank {
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Area of one face, mm².
    pub area_mm2: f64,
    /// Length around the outline, mm.
    pub perimeter_mm: f64,
}

/// What the forge has to begin with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForgingNeed {
    /// Volume as forged, with everything that grinding takes still on it, mm³.
    pub forged_mm3: f64,
    /// Thickness as forged, mm.
    pub forged_thickness_mm: f64,
    /// Volume that goes into the fire, ends cropped, mm³.
    pub start_mm3: f64,
    /// Cut off each end before that, mm.
    pub end_crop_mm: f64,
}

/// Why forging stock can't be reckoned.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ForgingError {
    /// A measure that must be more than nothing.
    #[error("{what} is {value}: give it more than 0")]
    NotPositive {
        /// Which measure.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// A measure that may be nothing, but not less.
    #[error("{what} is {value}: give it 0 or more")]
    Negative {
        /// Which measure.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// A loss that is no share.
    #[error("{what} is {} percent: give it at least 0 and less than 100", value * 100.0)]
    NoShare {
        /// Which loss.
        what: &'static str,
        /// What it was, as a share.
        value: f64,
    },
    /// The end crops leave nothing of the billet.
    #[error(
        "a billet of {length_mm} mm is no longer than its two end crops of {crop_mm} mm: lengthen it or crop less"
    )]
    AllCropped {
        /// Length of the billet, mm.
        length_mm: f64,
        /// What is cut off each end, mm.
        crop_mm: f64,
    },
    /// Forging makes steel thinner, never thicker.
    #[error(
        "a ratio of {ratio} would make {what} thicker, not thinner: give it 1 or more, before to after"
    )]
    Thickens {
        /// What is forged.
        what: &'static str,
        /// The ratio.
        ratio: f64,
    },
    /// The maker's own ratios are for other layers.
    #[error("{given} ratios for {layers} outer layers: give one for each, or none")]
    OtherLayers {
        /// How many were given.
        given: usize,
        /// How many layers the bar has outside the core.
        layers: usize,
    },
}

/// What has to go into the fire for a wanted blank.
///
/// With the allowance `s` on each face and `p` around the outline, a face of area `A` and perimeter `P` grows to `A + P·p + π·p²` (J. Steiner, for
/// outlines without hollows; of those with hollows it is a little more than needed) and the mean thickness `V/A` by `2·s`.
///
/// # Errors
/// A measure is none, or a loss is no share below one.
pub fn forging_need(
    wanted: &WantedBlank,
    losses: &ForgingLosses,
) -> Result<ForgingNeed, ForgingError> {
    positive("the volume of the blank", wanted.volume_mm3)?;
    positive("the face of the blank", wanted.area_mm2)?;
    positive("the perimeter of the blank", wanted.perimeter_mm)?;
    zero_or_more(
        "the grinding allowance on a face",
        losses.grinding_per_side_mm,
    )?;
    zero_or_more(
        "the grinding allowance around the outline",
        losses.grinding_profile_mm,
    )?;
    zero_or_more("the end crop", losses.end_crop_mm)?;
    let lost = share_lost(losses)?;
    let rim = losses.grinding_profile_mm;
    let area = wanted.area_mm2 + wanted.perimeter_mm * rim + PI * rim * rim;
    let thickness = wanted.volume_mm3 / wanted.area_mm2 + 2.0 * losses.grinding_per_side_mm;
    let forged_mm3 = area * thickness;
    Ok(ForgingNeed {
        forged_mm3,
        forged_thickness_mm: thickness,
        start_mm3: forged_mm3 / (1.0 - lost),
        end_crop_mm: losses.end_crop_mm,
    })
}

/// Length of a bar of given width and thickness that holds what is needed, with its end crops, mm.
///
/// # Errors
/// A measure is none.
pub fn bar_length_mm(
    need: &ForgingNeed,
    width_mm: f64,
    thickness_mm: f64,
) -> Result<f64, ForgingError> {
    positive("the width of the bar", width_mm)?;
    positive("the thickness of the bar", thickness_mm)?;
    Ok(need.start_mm3 / (width_mm * thickness_mm) + 2.0 * need.end_crop_mm)
}

/// Thickness of a stack of given length and width that holds what is needed between its end crops, mm.
///
/// # Errors
/// A measure is none, or the end crops leave nothing.
pub fn stack_thickness_mm(
    need: &ForgingNeed,
    length_mm: f64,
    width_mm: f64,
) -> Result<f64, ForgingError> {
    positive("the length of the billet", length_mm)?;
    positive("the width of the billet", width_mm)?;
    let left = length_mm - 2.0 * need.end_crop_mm;
    if left <= 0.0 {
        return Err(ForgingError::AllCropped {
            length_mm,
            crop_mm: need.end_crop_mm,
        });
    }
    Ok(need.start_mm3 / (left * width_mm))
}

/// How much thinner the layers come out of the forge: thickness before over thickness after.
#[derive(Clone, Debug, PartialEq)]
pub struct Reduction {
    /// Of every layer that has no ratio of its own.
    pub all: f64,
    /// The maker's own ratio for the core.
    pub core: Option<f64>,
    /// The maker's own ratio for each outer layer, from the middle out; empty when there is none. Soft sides thin more than a hard core.
    pub outer: Vec<Option<f64>>,
}

impl Reduction {
    /// Every layer thins alike.
    #[must_use]
    pub fn even(ratio: f64) -> Self {
        Self {
            all: ratio,
            core: None,
            outer: Vec::new(),
        }
    }
}

/// One piece of a billet.
#[derive(Clone, Debug, PartialEq)]
pub struct BilletPiece {
    /// Name of the layer it becomes, with its side.
    pub name: String,
    /// Key of its material.
    pub material: String,
    /// Thickness of the finished layer, mm.
    pub layer_mm: f64,
    /// Thickness as forged, with what grinding takes off the faces, mm.
    pub forged_mm: f64,
    /// Thickness before welding, mm.
    pub stack_mm: f64,
}

/// The pieces of a billet that comes out as a bar of `stock`, from the left face to the right one.
///
/// The outermost pieces carry the grinding allowance of their face. Only thicknesses are told: all pieces are as long and as wide as the billet.
///
/// # Errors
/// A ratio is below one or no number, there are own ratios for other layers than the bar has, or a layer has no thickness.
pub fn billet_stack(
    stock: &Stock,
    reduction: &Reduction,
    grinding_per_side_mm: f64,
) -> Result<Vec<BilletPiece>, ForgingError> {
    zero_or_more("the grinding allowance on a face", grinding_per_side_mm)?;
    let outer = stock.layering.outer.len();
    if !reduction.outer.is_empty() && reduction.outer.len() != outer {
        return Err(ForgingError::OtherLayers {
            given: reduction.outer.len(),
            layers: outer,
        });
    }
    let mut laid = stock
        .laid_layers()
        .into_iter()
        .enumerate()
        .collect::<Vec<_>>();
    laid.sort_by(|(_, a), (_, b)| a.from_mm.total_cmp(&b.from_mm));
    let last = laid.len().saturating_sub(1);
    laid.into_iter()
        .enumerate()
        .map(|(place, (index, layer))| {
            // Laid layers are the core, then the right and left side of each outer layer.
            let (what, own) = match index.checked_sub(1) {
                None => ("the core", reduction.core),
                Some(side) => ("a layer", reduction.outer.get(side / 2).copied().flatten()),
            };
            let ratio = own.unwrap_or(reduction.all);
            if !(ratio.is_finite() && ratio >= 1.0) {
                return Err(ForgingError::Thickens { what, ratio });
            }
            let layer_mm = layer.thickness_mm();
            positive("the thickness of a layer", layer_mm)?;
            let faces = f64::from(u8::from(place == 0)) + f64::from(u8::from(place == last));
            let forged_mm = layer_mm + faces * grinding_per_side_mm;
            Ok(BilletPiece {
                name: layer.name,
                material: layer.material,
                layer_mm,
                forged_mm,
                stack_mm: forged_mm * ratio,
            })
        })
        .collect()
}

fn positive(what: &'static str, value: f64) -> Result<(), ForgingError> {
    if value.is_finite() && value > 0.0 {
        Ok(())
    } else {
        Err(ForgingError::NotPositive { what, value })
    }
}

fn zero_or_more(what: &'static str, value: f64) -> Result<(), ForgingError> {
    if value.is_finite() && value >= 0.0 {
        Ok(())
    } else {
        Err(ForgingError::Negative { what, value })
    }
}

#[cfg(test)]
mod tests;
