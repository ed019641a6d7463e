//! Pilot holes for a guard's slot: a row of holes to drill out before it is filed to the line.

use super::model::{Entity, Role, Shape};
use crate::catalog::{Drill, largest_drill_within};
use crate::geometry::Point;
use crate::knife::GuardSlot;

/// Steel left between a pilot hole and the slot's line, for the file, mm. Common practice, no source.
const FILE_MM: f64 = 0.2;
/// Web between two pilot holes, mm: thin enough to be cut through, thick enough that the drill does not run. Common practice, no source.
const WEB_MM: f64 = 0.4;

/// The drill and the middles of the holes, from below up, in the plate's plane; `None` for a slot too narrow for any drill.
///
/// With `h` the height of the slot and `d` the drill, the outer holes stand `d/2` and the file's allowance from the ends; between them as many as leave the
/// web, evenly spread.
#[must_use]
pub fn pilot_holes(slot: &GuardSlot) -> Option<(&'static Drill, Vec<Point>)> {
    let (width, height) = (slot.rect.width(), slot.rect.height());
    let drill = largest_drill_within(width.min(height) - 2.0 * FILE_MM)?;
    let d = drill.diameter_mm;
    let reach = height - d - 2.0 * FILE_MM;
    let n = (reach / (d + WEB_MM)).floor().max(0.0);
    let step = if n > 0.0 { reach / n } else { 0.0 };
    let x = slot.rect.center().x;
    let low = if n > 0.0 {
        slot.rect.y0 + FILE_MM + d / 2.0
    } else {
        slot.rect.center().y
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count of holes in a slot"
    )]
    let count = n.min(1_000.0) as u32;
    let holes = (0..=count).map(|i| Point::new(x, low + step * f64::from(i)));
    Some((drill, holes.collect()))
}

/// The holes as scribed circles: they are drilled at the bench, not cut by a service.
pub(super) fn pilot_entities(slot: &GuardSlot) -> Vec<Entity> {
    let Some((drill, holes)) = pilot_holes(slot) else {
        return Vec::new();
    };
    holes
        .into_iter()
        .map(|center| {
            let radius = drill.diameter_mm / 2.0;
            Entity::new(Role::Scribe, Shape::Circle { center, radius })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Rect;

    fn slot(width: f64, height: f64) -> GuardSlot {
        GuardSlot {
            rect: Rect::new(-width / 2.0, -3.0, width / 2.0, height - 3.0),
            corner_radius_mm: 0.5,
        }
    }

    /// 5.05 by 14: 4.65 mm is left for a drill; the table has 4.623 (#14). 14 − 4.623 − 0.4 = 8.977 takes one more step of 5.02, so two holes.
    #[test]
    fn holes_stand_in_the_slot_with_a_web_between() {
        let (drill, holes) = pilot_holes(&slot(5.05, 14.0)).unwrap();
        assert!((4.6..=4.65).contains(&drill.diameter_mm), "{drill:?}");
        let r = drill.diameter_mm / 2.0;
        assert_eq!(holes.len(), 2);
        assert!((holes[0].y - r - (-3.0 + FILE_MM)).abs() < 1e-9);
        assert!((holes[1].y + r - (11.0 - FILE_MM)).abs() < 1e-9);
        let tall = pilot_holes(&slot(3.0, 30.0)).unwrap().1;
        for pair in tall.windows(2) {
            let web = pair[1].y - pair[0].y - 2.6;
            assert!((WEB_MM - 1e-9..2.0).contains(&web), "{web}");
        }
        assert!(tall.len() > 7);
    }

    #[test]
    fn a_square_slot_has_one_hole_and_a_hair_none() {
        let (_, holes) = pilot_holes(&slot(4.0, 4.0)).unwrap();
        assert_eq!(holes, [Point::new(0.0, -1.0)]);
        assert_eq!(pilot_holes(&slot(0.5, 9.0)), None);
    }
}
