//! Fittings: parts of the finished knife that are not the blade's steel. Here the guard, a plate with a slot for the tang.

use kurbo::Rect;

use super::Id;
use crate::geometry::{Contour, crossings_between};

/// A guard plate. It lies in its own plane: across the knife (the thickness direction) to the right, up as on the knife. Its front face
/// sits on the shoulder line; it reaches back by its thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Guard {
    /// Stable within the knife.
    pub id: Id,
    /// Name the maker reads.
    pub name: String,
    /// Size across the knife, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Height of the plate's middle over the knife's x axis, mm.
    pub middle_y_mm: f64,
    /// Corner radius of the plate, mm; half the width gives round ends.
    pub corner_radius_mm: f64,
    /// Thickness along the knife, mm.
    pub thickness_mm: f64,
    /// Key of a material in the set.
    pub material: String,
    /// Play left around the tang on every side, mm; negative for a press fit.
    pub clearance_mm: f64,
    /// Corner radius of the slot, mm.
    pub slot_corner_mm: f64,
}

/// The slot of a guard, fitted to the tang.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuardSlot {
    /// The slot's box in the plate's plane.
    pub rect: Rect,
    /// Corner radius, mm.
    pub corner_radius_mm: f64,
}

impl GuardSlot {
    /// The slot's boundary; empty for a slot without a positive size.
    #[must_use]
    pub fn contour(&self) -> Contour {
        Contour::rounded_rect(self.rect, self.corner_radius_mm)
    }

    /// Its narrower side, mm.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.rect.width().min(self.rect.height())
    }

    /// Whether the slot has a size and lies wholly on a plate of the given boundary, with steel all round.
    #[must_use]
    pub fn fits_on(&self, plate: &Contour) -> bool {
        let (plate, slot) = (plate.index(), self.contour());
        !slot.pieces.is_empty()
            && crossings_between(&plate, &slot.index()).is_empty()
            && plate.contains(self.rect.center())
            && !self.rect.contains_rect(plate.bounds())
    }
}

impl Guard {
    /// The plate's boundary in its own plane.
    #[must_use]
    pub fn plate(&self) -> Contour {
        let (w, h) = (self.width_mm / 2.0, self.height_mm / 2.0);
        let y = self.middle_y_mm;
        Contour::rounded_rect(Rect::new(-w, y - h, w, y + h), self.corner_radius_mm)
    }

    /// Lowest and highest place of the plate, as on the knife, mm.
    #[must_use]
    pub fn sides_mm(&self) -> (f64, f64) {
        let half = self.height_mm / 2.0;
        (self.middle_y_mm - half, self.middle_y_mm + half)
    }

    /// The slot for a tang whose right and left face stand so far over the mid-plane, and which spans `low..high` where the guard sits. Its first
    /// coordinate runs toward the right face. Where a press fit takes more than there is, the box has a negative size and [`GuardSlot::contour`] is
    /// empty.
    #[must_use]
    pub fn slot(&self, [right, left]: [f64; 2], low: f64, high: f64) -> GuardSlot {
        let play = self.clearance_mm;
        GuardSlot {
            rect: Rect::new(-left - play, low - play, right + play, high + play),
            corner_radius_mm: self.slot_corner_mm,
        }
    }
}
