//! What one more opening would do, told before it is cut.

use super::flat::shift_of_taking;
use super::{Scale, WeighUp};
use crate::knife::CutShape;

/// What one more opening would do to the steel as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpeningEffect {
    /// Steel taken away, g.
    pub removed_g: f64,
    /// How far the balance of the steel would move, mm.
    pub balance_shift_mm: f64,
}

/// What cutting `shape` would take from a knife that `scale` has just weighed as `now` says. `None` while the steel itself can't be weighed, or
/// when nothing would be left. The shape is taken to lie wholly within the steel.
#[must_use]
pub fn opening_effect(scale: &Scale, now: &WeighUp, shape: &CutShape) -> Option<OpeningEffect> {
    let ground = now.ground?;
    let taken = scale.taken_by(shape)?;
    let part = (taken.mass_g, taken.x_mm);
    Some(OpeningEffect {
        removed_g: part.0,
        balance_shift_mm: shift_of_taking((ground.mass_g, ground.balance_mm), part)?,
    })
}

/// What one opening takes of the steel, tapers and grinds counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpeningTaken {
    /// Steel, g.
    pub mass_g: f64,
    /// Its center of mass along the knife, mm.
    pub x_mm: f64,
    /// Its volume, mm³: what a filling as deep as the steel has.
    pub volume_mm3: f64,
    /// Center of that volume along the knife, mm; apart from the center of mass only where layers differ.
    pub middle_x_mm: f64,
}

/// What cutting `shape` would take from the steel that `scale` has last weighed; as [`opening_effect`].
#[must_use]
pub fn opening_taken(scale: &Scale, shape: &CutShape) -> Option<OpeningTaken> {
    scale.taken_by(shape)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::knife::{CutOut, Filling, Purpose, orchard_set};
    use crate::weighing::weigh;

    /// Against the weigh-up of the very knife with the hole really drilled.
    #[test]
    fn what_is_foretold_is_what_drilling_does() {
        let set = orchard_set();
        for shape in [
            CutShape::Round {
                center: Point::new(60.0, 0.0),
                diameter_mm: 9.0,
            },
            CutShape::Slot {
                center: Point::new(40.0, -1.0),
                length_mm: 20.0,
                width_mm: 4.0,
                angle_rad: 0.1,
            },
        ] {
            let mut knife = crate::knife::Knife::clone(&set.knives[0]);
            let mut scale = Scale::default();
            let before = scale.weigh(&knife, &set);
            let told = opening_effect(&scale, &before, &shape).unwrap();
            let id = knife.take_id();
            knife.cut_outs.push(CutOut {
                id,
                shape,
                purpose: Purpose::Lightening,
                filling: Filling::Nothing,
            });
            let after = weigh(&knife, &set);
            let mass = |up: &WeighUp| up.ground.unwrap().mass_g;
            let balance = |up: &WeighUp| up.ground.unwrap().balance_mm;
            let removed = mass(&before) - mass(&after);
            assert!((told.removed_g - removed).abs() < 1e-9, "{removed}");
            let shift = balance(&after) - balance(&before);
            assert!((told.balance_shift_mm - shift).abs() < 1e-9, "{shift}");
            assert!(removed > 1.0 && shift.abs() > 0.01);
        }
    }
}
