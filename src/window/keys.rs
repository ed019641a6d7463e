//! What comes before all else in a frame: keys that are commands, and the size of all text.

use super::app::Workshop;
use super::commands;
use super::hands;

impl Workshop {
    /// Carries out the commands whose keys were pressed. While text is typed, the field first gives up what is in it.
    pub(super) fn take_keys(&mut self, ctx: &egui::Context) {
        for command in std::mem::take(&mut self.waiting) {
            self.carry_out(command);
        }
        if self.session.dialog.is_open() {
            self.settle();
            return;
        }
        if ctx.input_mut(|i| hands::MENUS.taken(i)) {
            self.session.menu_bar.focus_menus();
        }
        let typing = ctx.text_edit_focused();
        let pressed = commands::pressed(ctx, &self.session);
        if typing && !pressed.is_empty() {
            ctx.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
            self.waiting = pressed;
            ctx.request_repaint();
        } else {
            for command in pressed {
                self.carry_out(command);
            }
        }
        self.settle();
    }

    /// Gives the window the text size of the preferences. Points grow with the text, so that everything measured in
    /// points per millimeter shrinks with it: the knife keeps its size on the screen.
    pub(super) fn set_text_size(&mut self, ctx: &egui::Context) {
        let percent = self.session.preferences.text_percent;
        if percent == self.text_percent || percent == 0 {
            return;
        }
        let shrink = f64::from(self.text_percent) / f64::from(percent);
        self.session.preferences.true_px_per_mm *= shrink;
        // A view the maker has left as it was fitted stays one, and is fitted again.
        let fitted = self.session.fitted.values_mut().map(|(_, view)| view);
        for view in self.session.views.values_mut().chain(fitted) {
            view.px_per_mm *= shrink;
        }
        self.text_percent = percent;
        ctx.set_zoom_factor(f32::from(percent) / 100.0);
    }
}
