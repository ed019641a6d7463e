//! Clamped things: what is clamped stays where it is, whatever edit comes.

use super::{EditError, Thing};
use crate::knife::{Clamped, Id, Knife};

/// The id by which a thing is clamped; `None` for things that can't be.
fn clamp_id(thing: Thing) -> Option<Id> {
    match thing {
        Thing::Node(id) | Thing::CutOut(id) | Thing::Row(id) => Some(id),
        Thing::Handle { node, .. } => Some(node),
        Thing::CutOutNode { cut_out, .. } => Some(cut_out),
        Thing::RowEnd { row, .. } => Some(row),
        Thing::Landmark(_) | Thing::TaperStation(_) | Thing::FullerNode { .. } | Thing::Name => {
            None
        }
    }
}

/// Whether a thing is clamped.
#[must_use]
pub fn is_clamped(knife: &Knife, thing: Thing) -> bool {
    clamp_id(thing).is_some_and(|id| knife.clamped.contains(&id))
}

/// Clamps things or lets them go.
pub(super) fn clamp(knife: &mut Knife, things: &[Thing], clamped: bool) -> Result<(), EditError> {
    for thing in things {
        super::thing_point(knife, *thing).ok_or(super::moving::gone(*thing))?;
        let id = clamp_id(*thing).ok_or(EditError::NoClamp)?;
        if clamped {
            knife.clamped.insert(id);
        } else {
            knife.clamped.remove(&id);
        }
    }
    Ok(())
}

/// Those of the things that are free to move. With none left it says which is held.
pub(super) fn free(knife: &Knife, things: &[Thing]) -> Result<Vec<Thing>, EditError> {
    let free = |thing: &&Thing| !is_clamped(knife, **thing);
    let free: Vec<Thing> = things.iter().filter(free).copied().collect();
    match things.first() {
        Some(first) if free.is_empty() => Err(EditError::Clamped {
            what: name(*first),
            at: super::thing_point(knife, *first).unwrap_or_default(),
        }),
        _ => Ok(free),
    }
}

fn name(thing: Thing) -> &'static str {
    match thing {
        Thing::CutOut(_) | Thing::CutOutNode { .. } => "cut-out",
        Thing::Row(_) | Thing::RowEnd { .. } => "row",
        _ => "node",
    }
}

/// Refuses a change by which something clamped would move or go.
pub(super) fn held(before: &Knife, after: &Knife) -> Result<(), EditError> {
    let thing = match before.clamped_astray(after) {
        None => return Ok(()),
        Some(Clamped::Node(id)) => Thing::Node(id),
        Some(Clamped::CutOut(id)) => Thing::CutOut(id),
        Some(Clamped::Row(id)) => Thing::Row(id),
    };
    Err(EditError::Clamped {
        what: name(thing),
        at: super::thing_point(before, thing).unwrap_or_default(),
    })
}
