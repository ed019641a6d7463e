//! The cards at the right, in the order of the work.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Draws the cards of the knife on the drawing.
pub(super) fn cards_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    _actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    ui.label(&knife.name);
}
