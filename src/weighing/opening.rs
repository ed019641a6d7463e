//! What one more opening would do, told before it is cut.

use super::WeighUp;
use crate::knife::{CutShape, Knife, KnifeSet};

/// What one more opening would do to the steel as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpeningEffect {
    /// Steel taken away, g.
    pub removed_g: f64,
    /// How far the balance of the steel would move, mm.
    pub balance_shift_mm: f64,
}

/// What cutting `shape` would take from a knife that weighs as `now` says. `None` while the steel itself can't be weighed, or when
/// nothing would be left. The shape is taken to lie wholly within the steel.
#[must_use]
pub fn opening_effect(
    knife: &Knife,
    set: &KnifeSet,
    now: &WeighUp,
    shape: &CutShape,
) -> Option<OpeningEffect> {
    let opening = shape.moments();
    let (area, balance) = (now.steel.area_mm2?, now.steel.balance_mm?);
    let left = area - opening.area;
    let density = set.material(&knife.stock.material)?.density_g_cm3;
    (left > 0.0).then(|| OpeningEffect {
        removed_g: opening.area * knife.stock.thickness_mm * density * super::flat::G_PER_MM3,
        // Taking area a at x_h from area A at x moves the center by a·(x − x_h)/(A − a).
        balance_shift_mm: opening.area * (balance - opening.centroid.x) / left,
    })
}
