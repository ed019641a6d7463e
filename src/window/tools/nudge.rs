//! Arrow keys: they move what is picked, one undo step for as long as a key is held.

use crate::edit::{Change, Edit};
use crate::geometry::Vec2;

use super::{Gesture, station};
use crate::window::action::Action;
use crate::window::hands;
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;

/// Moves what is picked while arrow keys are pressed; leaves the keys alone while something else has the keyboard.
pub(super) fn arrow_keys(
    ctx: &egui::Context,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let any_held = ctx.input(|i| hands::ARROWS.down(i));
    if session.gesture == Gesture::Nudge && !any_held {
        session.gesture = Gesture::Idle;
        actions.push(Action::End);
        return;
    }
    let taken = ctx.memory(|m| m.focused()).is_some() && !session.object_has_focus;
    let idle = matches!(session.gesture, Gesture::Idle | Gesture::Nudge);
    let moves = matches!(session.tool, Tool::Shift | Tool::Scribe);
    if taken || !idle || !moves || session.picked.is_empty() || session.dialog_open() {
        return;
    }
    let Some(knife) = session.knife else { return };
    let by = ctx.input_mut(hands::arrow_steps) * hands::ARROW_MM;
    if by == Vec2::ZERO {
        return;
    }
    let change = Change::Shift {
        things: session.picked.clone(),
        by,
    };
    let label = change.label();
    let on_station = shown
        .knife(Some(knife))
        .and_then(|(knife, _)| station::nudged(session, knife, by));
    let edit = on_station.unwrap_or(Action::Edit(Edit::knife(knife, change)));
    nudge_step(session, label, edit, actions);
}

/// A step of an arrow key; all steps of a held key are one undo step with this name.
pub(in crate::window) fn nudge_step(
    session: &mut Session,
    label: &str,
    edit: Action,
    actions: &mut Vec<Action>,
) {
    if session.gesture != Gesture::Nudge {
        session.gesture = Gesture::Nudge;
        actions.push(Action::Begin(label.to_owned()));
    }
    actions.push(edit);
}
