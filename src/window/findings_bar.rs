//! The line below the drawing: findings, and what the program has to say.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Draws the line.
pub(super) fn findings_bar_ui(
    ui: &mut egui::Ui,
    _shown: &Shown<'_>,
    session: &mut Session,
    _actions: &mut Vec<Action>,
) {
    ui.label(session.message.as_deref().unwrap_or(session.tool.hint()));
}
