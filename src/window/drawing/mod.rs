//! The drawing: ground and ruler, the knife, its beam, and what the tools lay over it.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Draws the drawing.
pub(super) fn drawing_ui(
    ui: &mut egui::Ui,
    _shown: &Shown<'_>,
    session: &mut Session,
    _actions: &mut Vec<Action>,
) {
    session.canvas = Some(ui.max_rect());
}
