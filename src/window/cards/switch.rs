//! A choice of two to four words that all stay in sight.

use egui::{Response, RichText, Ui};

use crate::window::desk::Desk;

/// Draws a label and its words; gives the one that was newly chosen. `of` is what a screen reader adds to each word, empty if
/// the words alone are clear.
pub(super) fn switch_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    desk: &Desk<'_>,
    label: &str,
    of: &str,
    words: &[(T, &str)],
    now: T,
) -> Option<T> {
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding = egui::vec2(6.0, 2.0);
        if !label.is_empty() {
            ui.label(RichText::new(label).small().color(desk.shown.palette.quiet));
        }
        for (value, word) in words {
            let own = *value == now;
            let response = ui.add(egui::Button::selectable(own, *word));
            let response = if of.is_empty() {
                response
            } else {
                response.accessible_name(format!("{word}, {of}"))
            };
            if response.clicked() && !own {
                chosen = Some(*value);
            }
        }
    });
    chosen
}

/// A button lower than others: for a line of words.
pub(super) fn low_button_ui(ui: &mut Ui, word: &str) -> Response {
    ui.scope(|ui| {
        ui.spacing_mut().button_padding.y = 2.0;
        ui.button(word)
    })
    .inner
}

/// A small button at the height of a field, in a row of fields: for taking away what the row shows.
pub(super) fn beside_fields_ui(ui: &mut Ui, word: &str, name: &str) -> bool {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.spacing_mut().button_padding = egui::vec2(6.0, 2.0);
        // As high as the label over a field.
        ui.label(RichText::new(" ").small());
        let response = ui.button(RichText::new(word).small());
        response.accessible_name(name).clicked()
    })
    .inner
}
