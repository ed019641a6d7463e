//! The guard: its plate with the slot for the tang, as a template and as a service cuts it.

use super::allowance::LeftForBench;
use super::error::{Reason, Refused};
use super::model::{Entity, Role, Shape, Sheet};
use super::parts::{Steel, material_note, refused};
use super::pilots::pilot_entities;
use super::tabs;
use crate::geometry::{Contour, moved_inward, moved_outward, outline_faults};
use crate::knife::{Guard, GuardSlot, Knife, KnifeSet};
use crate::units::LengthFormat;
use crate::weighing::{Missing, guard_slot};

/// A guard fitted to its tang.
struct Fitted<'a> {
    guard: &'a Guard,
    slot: GuardSlot,
    plate: Contour,
    opening: Contour,
}

impl<'a> Fitted<'a> {
    fn of(knife: &'a Knife, guard: &'a Guard) -> Result<Self, Refused> {
        let steel = Steel::of(knife)?;
        let slot = guard_slot(knife, guard, &steel.index, None);
        slot.ok_or(Reason::DoesNotFit {
            missing: Missing::GuardSlot,
        })
        .and_then(|slot| {
            let [plate, opening] = guard_contours(guard, &slot)?;
            Ok(Self {
                guard,
                slot,
                plate,
                opening,
            })
        })
        .map_err(|reason| refused(knife, vec![reason]))
    }

    fn sheet(
        &self,
        knife: &Knife,
        set: &KnifeSet,
        lengths: LengthFormat,
        entities: Vec<Entity>,
    ) -> Sheet {
        let (name, guard) = (&self.guard.name, self.guard);
        let part = if name.is_empty() { "guard" } else { name };
        Sheet {
            name: format!("{}: {part}", knife.name),
            note: material_note(guard.thickness_mm, &guard.material, set, lengths),
            entities,
        }
    }
}

/// The guard's plate with the slot for the tang, in the plate's own plane, and pilot holes for filing it; `None` for a knife without a guard.
///
/// # Errors
/// The outline has faults, or the slot finds no tang or no room on the plate.
pub fn guard_sheet(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Option<Sheet>, Refused> {
    let Some(guard) = &knife.guard else {
        return Ok(None);
    };
    let fitted = Fitted::of(knife, guard)?;
    let cut = [&fitted.plate, &fitted.opening]
        .map(|contour| Entity::new(Role::Cut, Shape::Contour(contour.clone())));
    let entities = cut.into_iter().chain(pilot_entities(&fitted.slot));
    Ok(Some(fitted.sheet(knife, set, lengths, entities.collect())))
}

/// What a service cuts of the guard: the plate, and the slot. One narrower than what is to be marked is left to drill and file: its line and its pilot holes
/// are marks. The kerf and the tabs are the knife's; no steel is left on and no hole is undersize, as a guard is not ground to its line.
///
/// # Errors
/// As for [`guard_sheet`]; or the tabs find no room, or the slot is narrower than a kerf the file allows for.
pub fn guard_as_cut(
    knife: &Knife,
    set: &KnifeSet,
    left: &LeftForBench,
    lengths: LengthFormat,
) -> Result<Option<Sheet>, Refused> {
    let Some(guard) = &knife.guard else {
        return Ok(None);
    };
    let left = LeftForBench {
        allowance_mm: 0.0,
        holes_under_mm: 0.0,
        ..*left
    };
    let fitted = Fitted::of(knife, guard)?;
    let mut entities =
        plate_as_cut(&fitted, &left).map_err(|reason| refused(knife, vec![reason]))?;
    if fitted.is_marked(&left) {
        entities.push(Entity::new(
            Role::Scribe,
            Shape::Contour(fitted.opening.clone()),
        ));
        entities.extend(pilot_entities(&fitted.slot));
    } else {
        let opening = slot_as_cut(&fitted, &left).map_err(|reason| refused(knife, vec![reason]))?;
        entities.push(Entity::new(Role::Cut, Shape::Contour(opening)));
    }
    let mut sheet = fitted.sheet(knife, set, lengths, entities);
    sheet.note.push_str(&left.told(lengths));
    Ok(Some(sheet))
}

impl Fitted<'_> {
    /// Whether the slot is too narrow for the way of cutting, and is to be marked then.
    fn is_marked(&self, left: &LeftForBench) -> bool {
        let least = left.smallest_hole;
        let least = least.map_or(0.0, |limit| limit.at(self.guard.thickness_mm));
        self.slot.width_mm() < least
    }
}

fn plate_as_cut(fitted: &Fitted<'_>, left: &LeftForBench) -> Result<Vec<Entity>, Reason> {
    let out = left.outward_mm();
    let plate = if out == 0.0 {
        fitted.plate.clone()
    } else {
        moved_outward(&fitted.plate, out).map_err(|fault| Reason::Allowance { fault })?
    };
    if left.tabs.count == 0 {
        return Ok(vec![Entity::new(Role::Cut, Shape::Contour(plate))]);
    }
    let chains = tabs::chains(&plate, None, left.tabs, out, left.kerf_mm)?;
    let open = |chain| Entity::new(Role::Cut, Shape::Open(chain));
    Ok(chains.into_iter().map(open).collect())
}

fn slot_as_cut(fitted: &Fitted<'_>, left: &LeftForBench) -> Result<Contour, Reason> {
    let kerf = left.drawn_kerf_mm();
    if kerf == 0.0 {
        return Ok(fitted.opening.clone());
    }
    moved_inward(&fitted.opening, kerf / 2.0).map_err(|fault| Reason::Kerf { fault })
}

/// The plate and its slot.
fn guard_contours(guard: &Guard, slot: &GuardSlot) -> Result<[Contour; 2], Reason> {
    let (plate, opening) = (guard.plate(), slot.contour());
    let sound = |contour: &Contour| {
        outline_faults(&contour.pieces).is_empty() && contour.moments().area > 0.0
    };
    if !sound(&plate) {
        return Err(Reason::NotANumber {
            what: "the guard".to_owned(),
        });
    }
    if !slot.fits_on(&plate) || !sound(&opening) {
        return Err(Reason::DoesNotFit {
            missing: Missing::GuardPlate,
        });
    }
    Ok([plate, opening])
}

#[cfg(test)]
mod tests {
    use super::super::bench::{paring, set};
    use super::super::tabs::Tabs;
    use super::*;
    use crate::catalog::{Limit, usual_service};
    use crate::geometry::Piece;

    fn cut(left: &LeftForBench) -> Result<Sheet, Refused> {
        let knife = paring();
        let set = set(vec![knife.clone()]);
        guard_as_cut(&knife, &set, left, LengthFormat::default())
            .map(|sheet| sheet.expect("a guard"))
    }

    fn areas(sheet: &Sheet) -> Vec<(Role, f64, f64)> {
        let closed = sheet.entities.iter().filter_map(|e| match &e.shape {
            Shape::Contour(c) => Some((e.role, c.moments().area.abs(), c.perimeter())),
            _ => None,
        });
        closed.collect()
    }

    /// Steel on the outline and undersize holes are the knife's alone; what is cut is the template without the marks for filing.
    #[test]
    fn a_guard_is_cut_to_its_line() {
        let knife = paring();
        let set = set(vec![knife.clone()]);
        let plain = guard_sheet(&knife, &set, LengthFormat::default());
        let plain = plain.expect("sound").expect("a guard");
        let left = LeftForBench {
            allowance_mm: 0.5,
            holes_under_mm: 0.2,
            ..LeftForBench::default()
        };
        let own = cut(&left).expect("it can be cut");
        assert_eq!(own.entities, plain.entities[..2]);
        assert!(plain.entities.len() > 2, "the template has pilot holes");
        assert_eq!(own.note, plain.note);
    }

    /// By Steiner (as for the knife) for a rounded rectangle moved out by half a kerf: A + P·h + π·h² exactly; the slot, moved in, loses P·h − π·h² where its
    /// corners keep a radius, and P·h − 4·h² where they are sharp.
    #[test]
    fn a_kerf_goes_to_the_waste_side_of_plate_and_slot() {
        let left = LeftForBench {
            kerf_mm: 0.4,
            draws_kerf: true,
            ..LeftForBench::default()
        };
        let (plain, own) = (
            areas(&cut(&LeftForBench::default()).unwrap()),
            areas(&cut(&left).unwrap()),
        );
        let h = 0.2;
        let pi = std::f64::consts::PI;
        let plate = plain[0].1 + plain[0].2 * h + pi * h * h;
        assert!((own[0].1 - plate).abs() < 1e-6, "{} {plate}", own[0].1);
        let gone = plain[1].1 - own[1].1 - plain[1].2 * h;
        assert!(
            (-4.0 * h * h - 1e-6..=-pi * h * h + 1e-6).contains(&gone),
            "{gone}"
        );
        assert!(
            cut(&left)
                .unwrap()
                .note
                .contains("0.4 mm of kerf allowed for")
        );
        let wide = LeftForBench {
            kerf_mm: 30.0,
            ..left
        };
        let refused = cut(&wide).unwrap_err().to_string();
        assert!(refused.contains("too narrow for the kerf"), "{refused}");
    }

    /// As many chains as tabs, and as much less way as their gaps: width and kerf each.
    #[test]
    fn a_plate_hangs_in_its_tabs() {
        let left = LeftForBench {
            kerf_mm: 0.3,
            tabs: Tabs {
                count: 2,
                width_mm: 0.8,
            },
            ..LeftForBench::default()
        };
        let own = cut(&left).expect("there is room");
        let chains: Vec<&Vec<Piece>> = own
            .entities
            .iter()
            .filter_map(|e| match &e.shape {
                Shape::Open(chain) => Some(chain),
                _ => None,
            })
            .collect();
        assert_eq!(chains.len(), 2);
        let way: f64 = chains.into_iter().flatten().map(Piece::length).sum();
        let plate = areas(&cut(&LeftForBench::default()).unwrap())[0].2;
        assert!((way - (plate - 2.0 * 1.1)).abs() < 1e-3, "{way} of {plate}");
        let many = LeftForBench {
            tabs: Tabs {
                count: 20,
                width_mm: 20.0,
            },
            ..left
        };
        assert!(
            cut(&many)
                .unwrap_err()
                .to_string()
                .contains("tabs find no room")
        );
    }

    /// Plasma wants 2 x T, 6 mm at least (`cutting.csv`), which no slot for this tang has: it is marked with its pilot holes. A saw lets in no closed opening at all.
    #[test]
    fn a_slot_too_narrow_to_cut_is_marked_with_its_pilot_holes() {
        for process in ["plasma", "bandsaw"] {
            let mut service = usual_service(process).unwrap();
            service.marks_small_holes = true;
            let own = cut(&LeftForBench::of(&service)).expect("it can be cut");
            let roles: Vec<Role> = areas(&own).into_iter().map(|a| a.0).collect();
            assert_eq!(roles, [Role::Cut, Role::Scribe], "{process}");
            assert!(own.entities.len() > 2, "pilot holes");
        }
        let left = LeftForBench {
            smallest_hole: Some(Limit {
                times_thickness: 0.0,
                at_least_mm: 0.5,
            }),
            ..LeftForBench::default()
        };
        assert_eq!(areas(&cut(&left).unwrap())[1].0, Role::Cut);
    }

    #[test]
    fn a_knife_without_a_guard_has_none_to_cut() {
        let knife = super::super::bench::chopper();
        let set = set(vec![knife.clone()]);
        let none = guard_as_cut(
            &knife,
            &set,
            &LeftForBench::default(),
            LengthFormat::default(),
        );
        assert_eq!(none, Ok(None));
    }
}
