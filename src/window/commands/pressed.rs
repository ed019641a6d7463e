//! Which commands were asked for by their keys.

use egui::{Key, Modifiers};

use super::Command;
use crate::window::bench::BenchPage;
use crate::window::hands;
use crate::window::session::Session;
use crate::window::tools::Gesture;

/// The commands whose keys were pressed since the last frame, in order; their key presses are used up.
pub(in crate::window) fn pressed(ctx: &egui::Context, session: &Session) -> Vec<Command> {
    let typing = ctx.text_edit_focused();
    let drafting = matches!(session.gesture, Gesture::Draft { .. });
    ctx.input_mut(|input| {
        let mut commands = Vec::new();
        input.events.retain(|event| {
            let egui::Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } = event
            else {
                return true;
            };
            // On another page of the bench these keys are that page's; while an outline is drawn its own come first.
            let here = |command: &Command| {
                session.page == BenchPage::Drawing || !command.is_of_the_drawing()
            };
            if drafting && hands::TAKE_BACK.has(*key) {
                return true;
            }
            let found = by_key(*key, *modifiers, typing).filter(here);
            commands.extend(found);
            found.is_none()
        });
        commands
    })
}

/// The command of a key. Shift does not matter where the key itself needs it, as plus does on many keyboards.
pub(super) fn by_key(key: Key, modifiers: Modifiers, typing: bool) -> Option<Command> {
    let of = |modifiers: Modifiers| {
        Command::ALL.into_iter().find(|command| {
            (!typing || command.works_while_typing())
                && command
                    .keys()
                    .iter()
                    .any(|keys| keys.logical_key == key && modifiers.matches_exact(keys.modifiers))
        })
    };
    of(modifiers).or_else(|| {
        let shifted = matches!(key, Key::Plus | Key::Equals | Key::Minus) && modifiers.shift;
        shifted.then(|| {
            of(Modifiers {
                shift: false,
                ..modifiers
            })
        })?
    })
}
