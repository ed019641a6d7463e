//! The bar at the top: menus, the pages of the bench, the set's name and whether it is saved, units and scale.

mod menus;

use egui::{Align, Button, Layout, Rect, RichText, TextEdit, Ui, UiBuilder};

use super::action::Action;
use super::bench::BenchPage;
use super::commands::Command;
use super::hands;
use super::session::Session;
use super::shown::Shown;
use crate::edit::Edit;
use crate::units::{LengthUnit, MassUnit, print_number};

/// Room that the scale takes with the units of mass, and with those of length too, points.
const MASSES_ROOM: f32 = 160.0;
const LENGTHS_ROOM: f32 = 320.0;

/// What the bar remembers between frames.
#[derive(Clone, Debug, Default)]
pub struct MenuBarState {
    /// The set's name while it is being typed.
    renaming: Option<String>,
    /// The open menu and the first frame's focus, see [`menus`].
    menus: menus::MenusState,
}

impl MenuBarState {
    /// Puts the keyboard on the first menu in the next frame.
    pub(super) fn focus_menus(&mut self) {
        self.menus.focus_first = true;
    }
}

/// Draws the bar.
pub(super) fn menu_bar_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let row = ui.available_rect_before_wrap();
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        let left = menus::menus_ui(ui, shown, session, actions);
        let left = pages_ui(ui, left + 14.0, shown, session, actions);
        let right = ui
            .with_layout(Layout::right_to_left(Align::Center), |ui| {
                right_ui(ui, row.right() - left, shown, session, actions);
                ui.min_rect().left()
            })
            .inner;
        // The name stands in the middle of the window where there is room, else between the two ends.
        let half = (row.center().x - left).min(right - row.center().x) - 16.0;
        let (from, to) = if half > 110.0 {
            (row.center().x - half, row.center().x + half)
        } else {
            (left + 12.0, right - 12.0)
        };
        if to - from > 40.0 {
            let middle = Rect::from_x_y_ranges(from..=to, ui.min_rect().y_range());
            let layout = Layout::left_to_right(Align::Center);
            let mut ui = ui.new_child(UiBuilder::new().max_rect(middle).layout(layout));
            name_ui(&mut ui, shown, session, actions);
        }
    });
}

/// The pages of the bench, from a place on; gives the place of their right end.
fn pages_ui(
    ui: &mut Ui,
    from: f32,
    shown: &Shown<'_>,
    session: &Session,
    actions: &mut Vec<Action>,
) -> f32 {
    let choices = BenchPage::ALL.map(|page| (page.name(), Command::Page(page)));
    let room = Rect::from_x_y_ranges(from..=f32::INFINITY, ui.min_rect().y_range());
    let layout = Layout::left_to_right(Align::Center);
    let mut ui = ui.new_child(UiBuilder::new().max_rect(room).layout(layout));
    switch_ui(&mut ui, shown, session, actions, &choices);
    ui.min_rect().right()
}

/// The set's name, to be clicked and typed, and whether the file has it.
fn name_ui(ui: &mut Ui, shown: &Shown<'_>, session: &mut Session, actions: &mut Vec<Action>) {
    let palette = shown.palette;
    if let Some(mut name) = session.menu_bar.renaming.take() {
        let width = ui.available_width().min(320.0);
        ui.add_space((ui.available_width() - width) / 2.0);
        let field = ui.add(TextEdit::singleline(&mut name).desired_width(width - 8.0));
        ui.ctx()
            .accesskit_node_builder(field.id, |node| node.set_label("Name of the set"));
        if ui.ctx().memory(|m| m.focused().is_none()) && !field.lost_focus() {
            field.request_focus();
        }
        if field.lost_focus() {
            let given_up = ui.input(|i| hands::DROP.pressed(i));
            if !given_up && name.trim() != shown.set.name {
                let name = name.trim().to_owned();
                actions.push(Action::Edit(Edit::NameSet { name }));
            }
        } else {
            session.menu_bar.renaming = Some(name);
        }
        return;
    }
    let name = if shown.set.name.is_empty() {
        "Unnamed set"
    } else {
        &shown.set.name
    };
    let state = state_text(shown);
    // Both texts are laid out first, so that the pair stands in the middle.
    let font = egui::TextStyle::Body.resolve(ui.style());
    let width_of = |text: &str| {
        let text = text.to_owned();
        ui.painter()
            .layout_no_wrap(text, font.clone(), palette.line)
            .size()
            .x
    };
    let pair = width_of(name) * 1.06 + width_of(&state) + 42.0;
    let spare = ui.available_width() - pair;
    if spare > 0.0 {
        ui.add_space(spare / 2.0);
    }
    let narrow = spare < 0.0;
    let button = Button::new(RichText::new(name).strong()).frame_when_inactive(false);
    let button = if narrow { button.truncate() } else { button };
    let tip = match shown.filing.path() {
        Some(path) => format!("{}\nClick to rename the set", path.display()),
        None => "Click to rename the set".to_owned(),
    };
    let response = ui.add(button).on_hover_text(tip);
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Rename set: {name}"))
    });
    if response.clicked() {
        session.menu_bar.renaming = Some(shown.set.name.clone());
        response.surrender_focus();
    }
    if !narrow {
        let color = if shown.filing.changed() {
            palette.bright
        } else {
            palette.quiet
        };
        ui.label(RichText::new(state).color(color));
    }
}

/// Whether the file has the set as it is.
fn state_text(shown: &Shown<'_>) -> String {
    match (shown.filing.path(), shown.filing.changed()) {
        (_, true) => "changed".to_owned(),
        (Some(_), false) => "saved".to_owned(),
        (None, false) => "not saved yet".to_owned(),
    }
}

/// Units and scale, drawn from right to left, as far as there is room: the units are in the Bench menu too.
fn right_ui(
    ui: &mut Ui,
    room: f32,
    shown: &Shown<'_>,
    session: &Session,
    actions: &mut Vec<Action>,
) {
    scale_ui(ui, shown, session, actions);
    if room < MASSES_ROOM {
        return;
    }
    ui.add_space(6.0);
    switch_ui(
        ui,
        shown,
        session,
        actions,
        &[
            ("oz", Command::Masses(MassUnit::Ounce)),
            ("g", Command::Masses(MassUnit::Gram)),
        ],
    );
    if room < LENGTHS_ROOM {
        return;
    }
    ui.add_space(6.0);
    switch_ui(
        ui,
        shown,
        session,
        actions,
        &[
            ("fraction", Command::Lengths(LengthUnit::FractionInch)),
            ("inch", Command::Lengths(LengthUnit::DecimalInch)),
            ("mm", Command::Lengths(LengthUnit::Mm)),
        ],
    );
}

/// A few choices of which one is made, given in the order of the layout.
fn switch_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &Session,
    actions: &mut Vec<Action>,
    choices: &[(&str, Command)],
) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (text, command) in choices {
            let chosen = command.chosen(session) == Some(true);
            let color = if chosen {
                shown.palette.line
            } else {
                shown.palette.quiet
            };
            let text = RichText::new(*text).color(color);
            let text = if chosen { text.strong() } else { text };
            let button = Button::selectable(chosen, text);
            let response = ui.add(button).on_hover_text(command.name());
            response.widget_info(|| {
                let kind = egui::Role::RadioButton;
                egui::WidgetInfo::selected(kind, true, chosen, command.name())
            });
            if response.clicked() {
                actions.push(Action::Do(*command));
            }
        }
    });
}

/// The scale against true size; a click goes to true size.
fn scale_ui(ui: &mut Ui, shown: &Shown<'_>, session: &Session, actions: &mut Vec<Action>) {
    let calibrated = session.preferences.calibrated;
    let scale = scale_text(session.view().px_per_mm / session.preferences.true_px_per_mm);
    let sign = if calibrated { "" } else { "≈ " };
    let enabled = Command::TrueSize.enabled(shown, session);
    let tip = if calibrated {
        "Size on the screen to true size. Click for true size"
    } else {
        "Size on the screen to true size, as the desktop reports the screen. Click for true size; Bench, Calibrate screen makes it exact"
    };
    let text = RichText::new(format!("{sign}{scale}")).color(shown.palette.quiet);
    let button = Button::new(text)
        .frame_when_inactive(false)
        .min_size(egui::vec2(64.0, 0.0));
    let response = ui.add_enabled(enabled, button).on_hover_text(tip);
    response.widget_info(|| {
        let label = format!("Scale {sign}{scale}, go to true size");
        egui::WidgetInfo::labeled(egui::Role::Button, enabled, label)
    });
    if response.clicked() {
        actions.push(Action::Do(Command::TrueSize));
    }
}

/// A scale as a maker says it: `1 : 1.4` when the drawing is smaller than the knife, `2.5 : 1` when larger.
fn scale_text(ratio: f64) -> String {
    if !ratio.is_finite() || ratio <= 0.0 {
        return "1 : 1".to_owned();
    }
    let part = |value: f64| {
        let decimals = if value < 9.95 { 1 } else { 0 };
        let text = print_number(value, decimals);
        text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
    };
    if ratio >= 1.0 {
        format!("{} : 1", part(ratio))
    } else {
        format!("1 : {}", part(1.0 / ratio))
    }
}

#[cfg(test)]
mod tests {
    use super::scale_text;

    #[test]
    fn scales_read_as_makers_say_them() {
        for (ratio, text) in [
            (1.0, "1 : 1"),
            (1.0004, "1 : 1"),
            (1.0 / 1.4, "1 : 1.4"),
            (2.5, "2.5 : 1"),
            (0.04, "1 : 25"),
            (30.2, "30 : 1"),
            (f64::NAN, "1 : 1"),
        ] {
            assert_eq!(scale_text(ratio), text);
        }
    }
}
