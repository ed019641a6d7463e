//! Edits of what is ground off the bar, and of its layers.

use std::collections::BTreeSet;

use super::{Change, EditError};
use crate::knife::{Fuller, Grind, Id, Knife, guess_landmarks};

/// Makes a change of the bar's layers or of what is ground off it; any other change does nothing here.
pub(super) fn change(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    match change {
        Change::Forge {
            thickness_mm,
            ratios,
        } => {
            let forged = knife.stock.forged_to(*thickness_mm, ratios);
            knife.stock = forged.ok_or(EditError::Ratios {
                layers: 1 + knife.stock.layering.outer.len(),
                given: ratios.len(),
            })?;
        }
        Change::SetTaper { taper } => knife.grinding.taper.clone_from(taper),
        Change::AddGrind { grind } => {
            seat_ends(knife, grind);
            let mut grind = grind.clone();
            grind.id = knife.take_id();
            knife.grinding.grinds.push(grind);
        }
        Change::SetGrind { grind } => {
            let place = place_of(knife, grind.id)?;
            seat_ends(knife, grind);
            if let Some(own) = knife.grinding.grinds.get_mut(place) {
                own.clone_from(grind);
            }
        }
        Change::RemoveGrind { id } => {
            let place = place_of(knife, *id)?;
            knife.grinding.grinds.remove(place);
        }
        Change::MoveGrind { id, place } => {
            let from = place_of(knife, *id)?;
            let grinds = &mut knife.grinding.grinds;
            let grind = grinds.remove(from);
            grinds.insert((*place).min(grinds.len()), grind);
        }
        Change::AddFuller { fuller } => {
            let mut fuller = fuller.clone();
            fuller.id = knife.take_id();
            for node in &mut fuller.path.nodes {
                node.id = knife.take_id();
            }
            knife.grinding.fullers.push(fuller);
        }
        Change::SetFuller { fuller } => set_fuller(knife, fuller)?,
        Change::RemoveFuller { id } => {
            let place = knife.grinding.fullers.iter().position(|f| f.id == *id);
            let place = place.ok_or(EditError::Gone { what: "fuller" })?;
            knife.grinding.fullers.remove(place);
        }
        Change::SetGrindTolerance { tolerance_mm } => knife.grinding.tolerance_mm = *tolerance_mm,
        // All other changes were dealt with by the callers.
        _ => {}
    }
    Ok(())
}

fn place_of(knife: &Knife, id: Id) -> Result<usize, EditError> {
    let place = knife.grinding.grinds.iter().position(|g| g.id == id);
    place.ok_or(EditError::Gone { what: "grind" })
}

/// Seats the landmarks a grind's run lacks.
pub(super) fn seat_ends(knife: &mut Knife, grind: &Grind) {
    let lacks = |knife: &Knife, kind| knife.landmark(kind).is_none();
    let ends = [grind.run.from, grind.run.to];
    if !ends.iter().any(|kind| lacks(knife, *kind)) {
        return;
    }
    let mut places = guess_landmarks(&knife.outline);
    places.retain(|(kind, _)| ends.contains(kind) && lacks(knife, *kind));
    knife.seat_landmarks(&places);
}

fn set_fuller(knife: &mut Knife, fuller: &Fuller) -> Result<(), EditError> {
    let place = knife
        .grinding
        .fullers
        .iter()
        .position(|f| f.id == fuller.id);
    let place = place.ok_or(EditError::Gone { what: "fuller" })?;
    let own = knife.grinding.fullers.get(place);
    let mut old: BTreeSet<Id> = own
        .iter()
        .flat_map(|f| f.path.nodes.iter().map(|n| n.id))
        .collect();
    let mut fuller = fuller.clone();
    for node in &mut fuller.path.nodes {
        if !old.remove(&node.id) {
            node.id = knife.take_id();
        }
    }
    if let Some(own) = knife.grinding.fullers.get_mut(place) {
        *own = fuller;
    }
    Ok(())
}
