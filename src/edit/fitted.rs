//! Edits of the handle, the flaws of the steel, the weigh-ins, and the openings of a skeleton tang.

use std::collections::BTreeSet;

use super::stretches::stays_simple;
use super::{Change, EditError, saw};
use crate::knife::{CutOut, CutShape, Filling, Handle, Id, Knife, Purpose, tang_windows};

/// Makes a change of what is fitted to a knife or happened to it; `false` when the change is of another kind.
pub(super) fn change(knife: &mut Knife, change: &Change) -> Result<bool, EditError> {
    match change {
        Change::FitHandle { handle } => fit_handle(knife, handle.as_deref()),
        Change::MarkFlaw { flaw } => {
            let mut flaw = flaw.clone();
            match knife.flaws.iter_mut().find(|own| own.id == flaw.id) {
                Some(own) => *own = flaw,
                None => {
                    flaw.id = knife.take_id();
                    knife.flaws.push(flaw);
                }
            }
        }
        Change::RemoveFlaw { id } => {
            let place = knife.flaws.iter().position(|flaw| flaw.id == *id);
            let place = place.ok_or(EditError::Gone { what: "flaw" })?;
            knife.flaws.remove(place);
        }
        Change::WriteWeighIn { weigh_in } => {
            let mut weigh_in = weigh_in.clone();
            match knife.weigh_ins.iter_mut().find(|own| own.id == weigh_in.id) {
                Some(own) => *own = weigh_in,
                None => {
                    weigh_in.id = knife.take_id();
                    knife.weigh_ins.push(weigh_in);
                }
            }
        }
        Change::RemoveWeighIn { id } => {
            let place = knife.weigh_ins.iter().position(|own| own.id == *id);
            let place = place.ok_or(EditError::Gone { what: "weigh-in" })?;
            knife.weigh_ins.remove(place);
        }
        Change::OpenTang { rim_mm, bridges } => open_tang(knife, *rim_mm, *bridges)?,
        Change::LayPicture { picture } => knife.picture = picture.as_deref().cloned(),
        Change::Engrave { name } => knife.engraving.clone_from(name),
        Change::Mend { mend } => {
            let before = knife.outline.clone();
            mend.make(knife)?;
            stays_simple(&before, &knife.outline)?;
        }
        Change::Saw { line, bow, after } => saw::saw(knife, line, *bow, after)?,
        _ => return Ok(false),
    }
    Ok(true)
}

/// Puts a handle on the knife. Parts and nodes the handle did not have get ids of their own.
pub(super) fn fit_handle(knife: &mut Knife, handle: Option<&Handle>) {
    let Some(handle) = handle else {
        knife.handle = None;
        return;
    };
    let mut handle = handle.clone();
    let mut known: BTreeSet<Id> = BTreeSet::new();
    if let Some(old) = &knife.handle {
        known.extend(old.parts.iter().map(|part| part.id));
        known.extend(
            old.outline
                .iter()
                .flat_map(|o| o.nodes.iter().map(|n| n.id)),
        );
    }
    let nodes = handle.outline.iter_mut().flat_map(|o| &mut o.nodes);
    let parts = handle.parts.iter_mut();
    for id in nodes.map(|n| &mut n.id).chain(parts.map(|p| &mut p.id)) {
        if !known.remove(id) {
            *id = knife.take_id();
        }
    }
    knife.handle = Some(handle);
}

/// Cuts windows into the tang that leave a rim all round and so many bridges between them. Windows cut before by this go first.
fn open_tang(knife: &mut Knife, rim_mm: f64, bridges: u32) -> Result<(), EditError> {
    let windows = tang_windows(knife, rim_mm, bridges).map_err(EditError::Tang)?;
    let front = knife.contour().bounds();
    knife.cut_outs.retain(|cut| {
        let inside_tang = cut.shape.center().x < 0.0 && cut.shape.center().x > front.x0;
        let window =
            matches!(cut.shape, CutShape::Free { .. }) && cut.purpose == Purpose::Lightening;
        !(window && inside_tang)
    });
    for mut outline in windows {
        for node in &mut outline.nodes {
            node.id = knife.take_id();
        }
        let id = knife.take_id();
        knife.cut_outs.push(CutOut {
            id,
            shape: CutShape::Free { outline },
            purpose: Purpose::Lightening,
            filling: Filling::Nothing,
        });
    }
    Ok(())
}
