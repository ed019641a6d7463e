//! The one function that applies an edit.

use super::{Change, Edit, fitted, grinding, moving, outline_edits, rack, removing, sizes};
use crate::geometry::OutlineFault;
use crate::knife::{
    CutOut, CutShape, Fault, Knife, KnifeSet, LARGEST_MM, MendError, SMALLEST_MM, TangError,
    fit_tang, knife_faults, set_faults,
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
    /// A path needs at least two nodes.
    #[error(
        "a fuller's path keeps at least two nodes: this one can't be removed, remove the fuller instead"
    )]
    PathTooShort,
    /// Ratios for another number of layers than the bar has.
    #[error(
        "the bar has {layers} layers from the core out, but {given} ratios are given: give one for each"
    )]
    Ratios {
        /// Layers counted from the core to one face.
        layers: usize,
        /// Ratios given.
        given: usize,
    },
    /// Only landmarks were to be removed.
    #[error("a landmark can't be removed, it gives the outline its meaning: move it instead")]
    LandmarkStays,
    /// The tang can't be made.
    #[error(transparent)]
    Tang(#[from] TangError),
    /// A mend can't be made.
    #[error(transparent)]
    Mend(#[from] MendError),
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
    /// A typed size is no size.
    #[error("{what} can't be {value_mm} mm: give it between {SMALLEST_MM} and {LARGEST_MM} mm")]
    NoSize {
        /// Which size.
        what: &'static str,
        /// What was asked, mm.
        value_mm: f64,
    },
    /// No stretching brings the size out.
    #[error(
        "stretching can't bring {what} to {asked_mm} mm, for the shoulder line stays as it is: move the nodes there first"
    )]
    OutOfReach {
        /// Which size.
        what: &'static str,
        /// What was asked, mm.
        asked_mm: f64,
    },
    /// A saw line that parts nothing.
    #[error(
        "the line does not part the blade from the butt: draw it across the steel, between tip and butt"
    )]
    NoCut,
    /// A new tang that needs steel which is not there.
    #[error(
        "there is not enough steel left for that tang: make it shorter or narrower, or move the shoulder line further ahead"
    )]
    NoSteel,
    /// A place or step that leaves all that can be drawn.
    #[error("that lies off the bench: stay within {LARGEST_MM} mm of the shoulder line")]
    OffBench,
}

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

fn change_knife(knife: &mut Knife, change: &Change) -> Result<(), EditError> {
    if fitted::change(knife, change)? {
        return Ok(());
    }
    match change {
        Change::Rename { name } => knife.name.clone_from(name),
        Change::SetForm { form } => knife.form.clone_from(form),
        Change::SetNotes { notes } => knife.notes.clone_from(notes),
        Change::SetHeatWords { words } => knife.heat_words.clone_from(words),
        Change::PlanForging { plan } => knife.forging.clone_from(plan),
        Change::Shift { things, by } => moving::shift(knife, things, *by)?,
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
