//! The rack: the knives of the set, at the left.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Draws the rack.
pub(super) fn rack_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    for knife in &shown.set.knives {
        if ui
            .selectable_label(session.knife == Some(knife.id), &knife.name)
            .clicked()
        {
            actions.push(Action::ShowKnife(knife.id));
        }
    }
}
