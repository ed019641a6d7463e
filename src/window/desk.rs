//! What a part of the window works with while it is drawn: the read-only side, the memory, and the list of wishes.

use crate::edit::{Change, Edit, Thing};
use crate::knife::Id;

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Everything a card or a field needs in one hand.
#[derive(Debug)]
pub(super) struct Desk<'a> {
    /// The design, its results and the colors.
    pub shown: &'a Shown<'a>,
    /// What the window remembers.
    pub session: &'a mut Session,
    /// What shall be done after the frame.
    pub actions: &'a mut Vec<Action>,
}

impl Desk<'_> {
    /// Asks for a change of a knife.
    pub(super) fn change(&mut self, knife: Id, change: Change) {
        self.actions.push(Action::Edit(Edit::knife(knife, change)));
    }

    /// Asks for several edits as one undo step with this name.
    pub(super) fn change_together(&mut self, label: &str, edits: impl IntoIterator<Item = Edit>) {
        self.actions.push(Action::Begin(label.to_owned()));
        self.actions.extend(edits.into_iter().map(Action::Edit));
        self.actions.push(Action::End);
    }

    /// Asks for these things to be picked.
    pub(super) fn pick(&mut self, things: Vec<Thing>) {
        self.actions.push(Action::Pick(things));
    }
}
