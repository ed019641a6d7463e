//! Dialogs: the starters, unsaved changes, recovery, the screen's true size.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// The open dialog.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Dialog {
    /// None is open.
    #[default]
    None,
}

/// Draws the open dialog.
pub(super) fn dialogs_ui(
    _ui: &mut egui::Ui,
    _shown: &Shown<'_>,
    _session: &mut Session,
    _actions: &mut Vec<Action>,
) {
}
