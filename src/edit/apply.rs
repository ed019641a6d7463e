//! The one function that applies an edit.

use std::sync::Arc;

use super::outline_edits;
use super::sizes;
use super::{Change, Edit, Thing};
use crate::geometry::{Motion, OutlineFault, Point, Vec2};
use crate::knife::{
    CutOut, CutShape, Fault, Id, Knife, KnifeSet, Material, Outline, RowPath, TangError, fit_tang,
    knife_faults, set_faults,
};

/// Why an edit was not done.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The knife is not in the set.
    #[error("there is no such knife in the rack any more")]
    NoKnife,
    /// The thing the edit speaks of is gone.
    #[error("that {what} is not there any more")]
    Gone {
        /// What was looked for.
        what: &'static str,
    },
    /// The result would break a rule.
    #[error("{fault}")]
    Rule {
        /// The rule and its place.
        fault: Fault,
    },
    /// An outline needs at least three nodes.
    #[error("an outline keeps at least three nodes: this one can't be removed")]
    TooFewNodes,
    /// The tang can't be made.
    #[error(transparent)]
    Tang(#[from] TangError),
    /// A drawn outline is not sound.
    #[error("{fault}")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// A size can't be reached by stretching.
    #[error("there is nothing to stretch: {what} is zero now")]
    NothingToStretch {
        /// Which size.
        what: &'static str,
    },
}

/// The set after an edit.
///
/// # Errors
/// The edit can't be done or would break a rule; the given set is not touched either way.
pub fn apply(set: &KnifeSet, edit: &Edit) -> Result<KnifeSet, EditError> {
    let mut next = set.clone();
    match edit {
        Edit::AddKnife { knife, materials } => add_knife(&mut next, knife, materials),
        Edit::DoubleKnife { knife } => double_knife(&mut next, *knife)?,
        Edit::RemoveKnife { knife } => {
            let place = place_of(&next, *knife)?;
            next.knives.remove(place);
        }
        Edit::MoveKnife { knife, place } => {
            let from = place_of(&next, *knife)?;
            let knife = next.knives.remove(from);
            next.knives.insert((*place).min(next.knives.len()), knife);
        }
        Edit::NameSet { name } => next.name.clone_from(name),
        Edit::SetMaterial { material } => set_material(&mut next, material),
        Edit::Knife { knife, change } => {
            let target = next.knife_mut(*knife).ok_or(EditError::NoKnife)?;
            change_knife(target, change)?;
            let target = next.knife(*knife).ok_or(EditError::NoKnife)?;
            if let Some(fault) = knife_faults(target, &next).into_iter().next() {
                return Err(EditError::Rule { fault });
            }
            return Ok(next);
        }
    }
    match set_faults(&next).into_iter().next() {
        Some(fault) => Err(EditError::Rule { fault }),
        None => Ok(next),
    }
}

fn place_of(set: &KnifeSet, id: Id) -> Result<usize, EditError> {
    set.knives
        .iter()
        .position(|k| k.id == id)
        .ok_or(EditError::NoKnife)
}

fn add_knife(set: &mut KnifeSet, knife: &Knife, materials: &[Material]) {
    let id = set.next_id;
    set.next_id = set.next_id.saturating_add(1);
    let mut knife = knife.clone();
    knife.id = id;
    knife.name = free_name(set, &knife.name);
    for key in keys_of(&knife) {
        if set.material(&key).is_none()
            && let Some(material) = materials.iter().find(|m| m.key == key)
        {
            set.materials.push(material.clone());
        }
    }
    set.knives.push(Arc::new(knife));
}

/// Every material key a knife refers to.
fn keys_of(knife: &Knife) -> Vec<String> {
    let fillings = knife.cut_outs.iter().map(|c| &c.filling);
    let rows = knife.rows.iter().map(|r| &r.filling);
    let mut keys = vec![knife.stock.material.clone()];
    keys.extend(
        fillings
            .chain(rows)
            .filter_map(|f| f.material().map(str::to_owned)),
    );
    keys.extend(knife.guard.iter().map(|g| g.material.clone()));
    keys
}

/// The name itself, or with a number behind it when another knife bears it.
fn free_name(set: &KnifeSet, name: &str) -> String {
    let taken = |name: &str| set.knives.iter().any(|k| k.name == name);
    if !taken(name) {
        return name.to_owned();
    }
    (2..=set.knives.len() + 2)
        .map(|n| format!("{name} {n}"))
        .find(|candidate| !taken(candidate))
        .unwrap_or_else(|| name.to_owned())
}

fn double_knife(set: &mut KnifeSet, id: Id) -> Result<(), EditError> {
    let place = place_of(set, id)?;
    let Some(source) = set.knives.get(place) else {
        return Err(EditError::NoKnife);
    };
    let mut copy = Knife::clone(source);
    copy.id = set.next_id;
    copy.name = free_name(set, &copy.name);
    set.next_id = set.next_id.saturating_add(1);
    set.knives.insert(place + 1, Arc::new(copy));
    Ok(())
}

fn set_material(set: &mut KnifeSet, material: &Material) {
    match set.materials.iter_mut().find(|m| m.key == material.key) {
        Some(own) => own.clone_from(material),
        None => set.materials.push(material.clone()),
    }
}

fn change_knife(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    match change {
        Change::Rename { name } => knife.name.clone_from(name),
        Change::SetForm { form } => knife.form.clone_from(form),
        Change::SetNotes { notes } => knife.notes.clone_from(notes),
        Change::Shift { things, by } => shift(knife, things, *by)?,
        Change::Place { thing, at } => {
            let from =
                super::thing_point(knife, *thing).ok_or(EditError::Gone { what: "thing" })?;
            place(knife, *thing, *at, *at - from)?;
        }
        Change::Remove { things } => remove(knife, things)?,
        Change::AddNode { spot } => {
            knife
                .split_outline(*spot)
                .ok_or(EditError::Gone { what: "piece" })?;
        }
        Change::SetJoint { node, joint } => {
            outline_edits::known(knife, *node)?;
            knife.outline.set_joint(*node, *joint);
        }
        Change::SetHandle {
            node,
            outgoing,
            handle,
        } => {
            outline_edits::known(knife, *node)?;
            knife.outline.set_handle(*node, *outgoing, *handle);
        }
        Change::BendPiece { node, curved } => outline_edits::bend(knife, *node, *curved)?,
        Change::PullPiece { node, t, to } => outline_edits::pull(knife, *node, *t, *to)?,
        Change::SetOutline { outline } => outline_edits::replace(knife, outline)?,
        Change::SetLandmark { kind, spot } => {
            outline_edits::known(knife, spot.node)?;
            knife.set_landmark(*kind, *spot);
        }
        Change::MoveShoulderLine { to_x } => shift_all(knife, Vec2::new(-to_x, 0.0)),
        Change::SetStock { stock } => knife.stock.clone_from(stock),
        Change::FitTang { tang } => fit_tang(knife, *tang)?,
        Change::SetGuard { guard } => {
            let id = knife.guard.as_ref().map(|g| g.id);
            knife.guard.clone_from(guard);
            if guard.is_some() {
                let id = id.unwrap_or_else(|| knife.take_id());
                if let Some(own) = knife.guard.as_mut() {
                    own.id = id;
                }
            }
        }
        Change::SetBladeLength { length_mm } => sizes::set_blade_length(knife, *length_mm)?,
        Change::SetTangLength { length_mm } => sizes::set_tang_length(knife, *length_mm)?,
        Change::SetHeight { height_mm } => sizes::set_height(knife, *height_mm)?,
        _ => change_cut_outs(knife, change)?,
    }
    Ok(())
}

fn change_cut_outs(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    match change {
        Change::AddCutOut {
            shape,
            purpose,
            filling,
        } => {
            let id = knife.take_id();
            let mut shape = shape.clone();
            if let CutShape::Free { outline } = &mut shape {
                outline_edits::sound(outline)?;
                renumber(outline, knife);
            }
            knife.cut_outs.push(CutOut {
                id,
                shape,
                purpose: *purpose,
                filling: filling.clone(),
            });
        }
        Change::SetCutOut { cut_out } => {
            let own = knife.cut_outs.iter_mut().find(|c| c.id == cut_out.id);
            own.ok_or(EditError::Gone { what: "cut-out" })?
                .clone_from(cut_out);
        }
        Change::AddRow { row } => {
            let mut row = row.clone();
            row.id = knife.take_id();
            knife.rows.push(row);
        }
        Change::SetRow { row } => {
            let own = knife.rows.iter_mut().find(|r| r.id == row.id);
            own.ok_or(EditError::Gone { what: "row" })?.clone_from(row);
        }
        Change::BreakRow { row } => {
            let place = knife.rows.iter().position(|r| r.id == *row);
            let place = place.ok_or(EditError::Gone { what: "row" })?;
            let steel = knife.contour().index();
            let row = knife.rows.remove(place);
            for mut cut in row.cut_outs(&steel) {
                cut.id = knife.take_id();
                knife.cut_outs.push(cut);
            }
        }
        // All other changes were dealt with by the caller.
        _ => {}
    }
    Ok(())
}

/// Gives every node of an outline a new id of the knife.
pub(super) fn renumber(outline: &mut Outline, knife: &mut Knife) {
    for node in &mut outline.nodes {
        node.id = knife.take_id();
    }
}

fn shift(knife: &mut Knife, things: &[Thing], by: Vec2) -> Result<(), EditError> {
    for thing in things {
        // A handle whose node moves too has moved with it.
        if let Thing::Handle { node, .. } = thing
            && things.contains(&Thing::Node(*node))
        {
            continue;
        }
        if let Thing::RowEnd { row, .. } = thing
            && things.contains(&Thing::Row(*row))
        {
            continue;
        }
        if let Thing::CutOutNode { cut_out, .. } = thing
            && things.contains(&Thing::CutOut(*cut_out))
        {
            continue;
        }
        let Some(from) = super::thing_point(knife, *thing) else {
            return Err(EditError::Gone { what: "thing" });
        };
        place(knife, *thing, from + by, by)?;
    }
    Ok(())
}

fn place(knife: &mut Knife, thing: Thing, at: Point, by: Vec2) -> Result<(), EditError> {
    match thing {
        Thing::Node(id) => knife.outline.shift_node(id, by),
        Thing::Handle { node, outgoing } => {
            let held = knife.outline.node(node).map(|n| at - n.at);
            knife.outline.set_handle(node, outgoing, held);
        }
        Thing::Landmark(kind) => {
            let spot = knife
                .outline
                .nearest_spot(at)
                .ok_or(EditError::Gone { what: "outline" })?;
            knife.set_landmark(kind, spot);
        }
        Thing::CutOut(id) => {
            let cut = knife.cut_outs.iter_mut().find(|c| c.id == id);
            let cut = cut.ok_or(EditError::Gone { what: "cut-out" })?;
            cut.shape = cut.shape.shifted(by);
        }
        Thing::CutOutNode { cut_out, node } => {
            let cut = knife.cut_outs.iter_mut().find(|c| c.id == cut_out);
            if let Some(CutShape::Free { outline }) = cut.map(|c| &mut c.shape) {
                outline.shift_node(node, by);
            }
        }
        Thing::Row(id) => shift_row(knife, id, [by, by])?,
        Thing::RowEnd { row, last } => {
            let steps = if last {
                [Vec2::ZERO, by]
            } else {
                [by, Vec2::ZERO]
            };
            shift_row(knife, row, steps)?;
        }
    }
    Ok(())
}

fn shift_row(knife: &mut Knife, id: Id, by: [Vec2; 2]) -> Result<(), EditError> {
    let row = knife.rows.iter_mut().find(|r| r.id == id);
    match &mut row.ok_or(EditError::Gone { what: "row" })?.path {
        RowPath::Line { from, to } => {
            *from += by[0];
            *to += by[1];
        }
        RowPath::TangMiddle { from_x, to_x } => {
            *from_x += by[0].x;
            *to_x += by[1].x;
        }
    }
    Ok(())
}

fn remove(knife: &mut Knife, things: &[Thing]) -> Result<(), EditError> {
    for thing in things {
        match *thing {
            Thing::Node(id) => {
                outline_edits::known(knife, id)?;
                if !knife.remove_node(id) {
                    return Err(EditError::TooFewNodes);
                }
            }
            Thing::Handle { node, outgoing } => knife.outline.set_handle(node, outgoing, None),
            Thing::CutOut(id) => knife.cut_outs.retain(|c| c.id != id),
            Thing::CutOutNode { cut_out, node } => {
                let cut = knife.cut_outs.iter_mut().find(|c| c.id == cut_out);
                if let Some(CutShape::Free { outline }) = cut.map(|c| &mut c.shape)
                    && outline.node(node).is_some()
                    && outline.remove(node).is_none()
                {
                    return Err(EditError::TooFewNodes);
                }
            }
            Thing::Row(id) | Thing::RowEnd { row: id, .. } => knife.rows.retain(|r| r.id != id),
            // A landmark gives the outline meaning; it is moved, never removed.
            Thing::Landmark(_) => {}
        }
    }
    Ok(())
}

/// Shifts everything of the knife.
fn shift_all(knife: &mut Knife, by: Vec2) {
    knife.outline = knife.outline.moved(&Motion::shift(by));
    for cut in &mut knife.cut_outs {
        cut.shape = cut.shape.shifted(by);
    }
    for row in &mut knife.rows {
        match &mut row.path {
            RowPath::Line { from, to } => {
                *from += by;
                *to += by;
            }
            RowPath::TangMiddle { from_x, to_x } => {
                *from_x += by.x;
                *to_x += by.x;
            }
        }
    }
    if let Some(guard) = &mut knife.guard {
        guard.middle_y_mm += by.y;
    }
}
