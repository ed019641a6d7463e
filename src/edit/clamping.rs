//! Clamped things: what is clamped stays where it is, whatever edit comes.

use super::{EditError, Thing};
use crate::geometry::Point;
use crate::knife::{Id, Knife};

/// The id by which a thing is clamped; `None` for things that can't be.
#[must_use]
pub fn clamp_id(thing: Thing) -> Option<Id> {
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
    let held = |thing: &Thing| clamp_id(*thing).is_some_and(|id| knife.clamped.contains(&id));
    let free: Vec<Thing> = things.iter().filter(|t| !held(t)).copied().collect();
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
    let moved = |what, at: Option<Point>| EditError::Clamped {
        what,
        at: at.unwrap_or_default(),
    };
    for id in before.clamped.intersection(&after.clamped) {
        let place = |thing| super::thing_point(before, thing);
        let cut_out = |knife: &Knife| {
            knife
                .cut_outs
                .iter()
                .find(|c| c.id == *id)
                .map(|c| c.shape.clone())
        };
        let row = |knife: &Knife| knife.rows.iter().find(|r| r.id == *id).map(|r| r.path);
        if before.outline.node(*id) != after.outline.node(*id) {
            return Err(moved("node", place(Thing::Node(*id))));
        }
        if cut_out(before) != cut_out(after) {
            return Err(moved("cut-out", place(Thing::CutOut(*id))));
        }
        if row(before) != row(after) {
            return Err(moved("row", place(Thing::Row(*id))));
        }
    }
    Ok(())
}
