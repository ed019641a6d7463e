//! The one function that applies an edit.

use super::{
    Change, Edit, EditError, both, carry, clamping, copy_aside, fitted, following, grinding, holes,
    moving, outline_edits, rack, redraw, removing, sizes, stretches,
};
use crate::knife::{
    CutOut, CutShape, Knife, KnifeSet, LARGEST_MM, fit_tang, knife_faults, set_faults,
};

/// The set after an edit.
///
/// # Errors
/// The edit can't be done or would break a rule; the given set is not touched either way.
pub fn apply(set: &KnifeSet, edit: &Edit) -> Result<KnifeSet, EditError> {
    let mut next = set.clone();
    match edit {
        Edit::AddKnife { knife, materials } => rack::add(&mut next, knife, materials),
        Edit::DoubleKnife { knife } => rack::double(&mut next, *knife)?,
        Edit::RemoveKnife { knife } => rack::remove(&mut next, *knife)?,
        Edit::MoveKnife { knife, place } => rack::move_to(&mut next, *knife, *place)?,
        Edit::NameSet { name } => next.name.clone_from(name),
        Edit::SetMaterial { material } => rack::set_material(&mut next, material),
        Edit::CarryOver { from, to, what } => carry::carry(&mut next, *from, *to, *what)?,
        Edit::CopyAside { knife, of, by_mm } => {
            copy_aside::copy_aside(&mut next, *knife, *of, *by_mm)?;
        }
        Edit::Knife { knife, change } => {
            let before = set.knife(*knife).ok_or(EditError::NoKnife)?;
            let target = next.knife_mut(*knife).ok_or(EditError::NoKnife)?;
            change_knife(target, change)?;
            // The knife as a whole may move under its shoulder line.
            if !matches!(change, Change::MoveShoulderLine { .. }) {
                clamping::held(before, target)?;
            }
            target.let_go_of_what_is_gone();
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

pub(super) fn change_knife(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    if fitted::change(knife, change)? {
        return Ok(());
    }
    match change {
        Change::Rename { name } => knife.name.clone_from(name),
        Change::SetForm { form } => knife.form.clone_from(form),
        Change::SetNotes { notes } => knife.notes.clone_from(notes),
        Change::SetHeatWords { words } => knife.heat_words.clone_from(words),
        Change::PlanForging { plan } => knife.forging.clone_from(plan),
        Change::Shift { things, by } => {
            let free = clamping::free(knife, things)?;
            moving::shift(knife, &free, *by)?;
        }
        Change::Place { thing, at } => moving::place(knife, *thing, *at)?,
        Change::Remove { things } => removing::remove(knife, things)?,
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
        Change::MoveShoulderLine { to_x } => moving::shoulder_line(knife, *to_x)?,
        Change::SetStock { stock } => knife.stock.clone_from(stock),
        Change::FitTang { tang } => {
            let before = -knife.contour().bounds().x0;
            fit_tang(knife, *tang)?;
            sizes::tang_taper_follows(knife, before);
        }
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
        _ => change_in_order(knife, change)?,
    }
    Ok(())
}

/// Changes of several things together, and on both sides.
fn change_in_order(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    match change {
        Change::Straighten { nodes } => stretches::straighten(knife, nodes)?,
        Change::Fair { nodes, within_mm } => stretches::fair(knife, nodes, *within_mm)?,
        Change::JoinPieces { nodes, within_mm } => stretches::join(knife, nodes, *within_mm)?,
        Change::SplitPiece { node, parts } => stretches::split(knife, *node, *parts)?,
        Change::ChangeRadius { node, radius_mm } => {
            let before = knife.outline.clone();
            knife.change_radius(*node, *radius_mm)?;
            stretches::stays_simple(&before, &knife.outline)?;
        }
        Change::Redraw { stroke, within_mm } => redraw::redraw(knife, stroke, *within_mm)?,
        Change::FullerAlong {
            nodes,
            in_mm,
            fuller,
        } => following::follow(knife, nodes, *in_mm, fuller)?,
        Change::Both { line, change } => both::both(knife, *line, change)?,
        Change::MirrorSide { line, keep } => {
            let before = knife.outline.clone();
            knife.mirror_side(*line, *keep)?;
            stretches::stays_simple(&before, &knife.outline)?;
        }
        Change::Clamp { things, clamped } => clamping::clamp(knife, things, *clamped)?,
        Change::LineUp { things, upright } => holes::line_up(knife, things, *upright)?,
        Change::Space { things, webs } => holes::space(knife, things, *webs)?,
        Change::Turn { things, by_rad } => holes::turn(knife, things, *by_rad)?,
        Change::StepOff {
            things,
            along,
            copies,
        } => holes::step_off(knife, things, *along, *copies)?,
        Change::Scale { factor } => {
            if !(0.01..=100.0).contains(factor) {
                return Err(EditError::NoFactor { factor: *factor });
            }
            *knife = knife.scaled(*factor);
        }
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
                outline_edits::adopt(outline, knife)?;
            }
            knife.cut_outs.push(CutOut {
                id,
                shape,
                purpose: *purpose,
                filling: filling.clone(),
            });
        }
        Change::SetCutOut { cut_out } => {
            let own = knife.cut_out_mut(cut_out.id);
            own.ok_or(EditError::Gone { what: "cut-out" })?
                .clone_from(cut_out);
        }
        Change::AddRow { row } => {
            let mut row = row.clone();
            row.id = knife.take_id();
            knife.rows.push(row);
        }
        Change::SetRow { row } => {
            let own = knife.row_mut(row.id);
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
        _ => grinding::change(knife, change)?,
    }
    Ok(())
}

/// Whether numbers of a place or a step stay where things can be drawn. Asked before geometry is done with them: searching the
/// nearest place on an outline of astronomic size would not end.
pub(super) fn on_bench(numbers: &[f64]) -> Result<(), EditError> {
    let most = 2.0 * LARGEST_MM;
    let fine = numbers.iter().all(|n| (-most..=most).contains(n));
    if fine {
        Ok(())
    } else {
        Err(EditError::OffBench)
    }
}
