//! The tools: what pointer and keys do on the drawing.

use crate::edit::Thing;
use crate::geometry::{Point, Vec2};

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// An unfinished drag or drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Gesture {
    /// Nothing under way.
    #[default]
    Idle,
    /// Things are being moved with the pointer.
    Move {
        /// The thing held by the pointer; the others follow it.
        held: Thing,
        /// All that is moved.
        things: Vec<Thing>,
        /// From the pointer to the point where the thing is held, mm.
        grip: Vec2,
        /// Where the held thing was at first.
        from: Point,
    },
}

/// Carries on what is under way with the pointer's and keys' newest state.
pub(super) fn follow(
    _ctx: &egui::Context,
    _shown: &Shown<'_>,
    _session: &mut Session,
    _actions: &mut Vec<Action>,
) {
}
