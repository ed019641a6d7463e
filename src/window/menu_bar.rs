//! The bar at the top: menus, the set's name, units and scale.

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

/// Draws the bar.
pub(super) fn menu_bar_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    _session: &mut Session,
    _actions: &mut Vec<Action>,
) {
    ui.label(&shown.set.name);
}
