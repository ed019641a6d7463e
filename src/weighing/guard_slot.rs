//! The guard's slot, from the tang as it really is where the guard sits: shaped, tapered and ground.

use super::faces::FaceHeights;
use crate::geometry::{Point, SpanIndex};
use crate::knife::{Face, Guard, GuardSlot, Knife};
use crate::thickness::GroundBlade;

/// Places along the seat, and up each of them, at which the tang is measured. A taper is straight and a bevel runs one way between them; of a wheel's curve
/// no more than a hundredth of a millimeter is missed.
const PLACES: u32 = 8;

/// The guard's slot, from the tang's section just behind the shoulder line. The lowest, the highest and on either face the thickest place within the guard's
/// thickness decide, past the shoulder's own rounding, since the tang is tapered and ground before the guard is fitted. `blade` is the ground blade if it is
/// at hand. `None` where there is no tang.
#[must_use]
pub fn guard_slot(
    knife: &Knife,
    guard: &Guard,
    steel: &SpanIndex,
    blade: Option<&GroundBlade>,
) -> Option<GuardSlot> {
    let made = match blade {
        Some(_) => None,
        None if knife.grinding.grinds.is_empty() && knife.grinding.fullers.is_empty() => None,
        // A blade that can't be ground is told by its own finding.
        None => GroundBlade::new(knife, &knife.contour(), steel).ok(),
    };
    let blade = blade.or(made.as_ref());
    let along = |from: f64, step: u32| {
        from + (-guard.thickness_mm - from) * f64::from(step) / f64::from(PLACES)
    };
    let behind_rounding = -knife.tang.shoulder_radius_mm().min(guard.thickness_mm) - 1e-6;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for step in 0..=PLACES {
        let (l, h) = steel.depth_at(along(behind_rounding, step))?;
        low = low.min(l);
        high = high.max(h);
    }
    let mut thick = [0.0_f64; 2];
    for step in 0..=PLACES {
        let x = along(0.0, step);
        for (face, most) in Face::ALL.into_iter().zip(&mut thick) {
            *most = most.max(highest(knife, steel, blade, face, x));
        }
    }
    Some(guard.slot(thick, low, high))
}

/// How far a face stands over the mid-plane at its highest place across the tang, mm.
fn highest(
    knife: &Knife,
    steel: &SpanIndex,
    blade: Option<&GroundBlade>,
    face: Face,
    x: f64,
) -> f64 {
    let (Some(blade), Some((low, high))) = (blade, steel.depth_at(x)) else {
        return FaceHeights::at(knife, x).on(face);
    };
    (0..=PLACES)
        .map(|step| low + (high - low) * f64::from(step) / f64::from(PLACES))
        .map(|y| blade.height(face, Point::new(x, y)))
        .fold(0.0, f64::max)
}
