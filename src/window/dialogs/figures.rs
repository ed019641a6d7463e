//! The shop's figures: what the checks go by, each with its source, to be changed by the maker and put back.

use egui::{Button, Context, RichText, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, acting_ui};
use crate::catalog::cutting_processes;
use crate::checks::{FIGURES, Figure, FigureUnit, Thresholds, cutting_keys, figures_of};
use crate::units::{Angle, Length, print_angle, print_number};
use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, angle_field, length_field, note_ui, number_field};
use crate::window::session::{Preferences, Session};
use crate::window::shown::Shown;

/// Decimals of figures without a unit.
const DECIMALS: u8 = 2;
/// Width of a field with its name above it, points.
const FIELD_PX: f32 = 270.0;
/// Height of a field with its name above it, points.
const ROW_PX: f32 = 40.0;
/// Width of the button at the end of a line, points.
const BACK_PX: f32 = 70.0;
/// Room for the scroll bar, points.
const BAR_PX: f32 = 8.0;

/// Draws the dialog. Figures act as soon as they are typed; closing changes nothing.
pub(super) fn figures_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    session: &mut Session,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: "Shop figures",
        width: 720.0,
        fresh,
        focus_default: false,
    };
    if fresh && let Some(first) = FIGURES.first() {
        session.fields.focus(field_of(first));
    }
    let changed = !session.preferences.figures.is_empty();
    let back = FootButton {
        label: "All as usual",
        enabled: changed,
    };
    let on = (shown, &mut *session, actions);
    let foot = acting_ui(ctx, on, sheet, back, |ui, desk| {
        body_ui(ui, desk);
    });
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(1) => {
            session.preferences.figures.clear();
            Turn::Stay
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

fn field_of(figure: &Figure) -> FieldId {
    FieldId::plain(figure.key)
}

fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let palette = desk.shown.palette;
    ui.label(
        RichText::new(
            "The checks go by these figures. They are planning values for warnings, not limits: change them to what your shop holds to.",
        )
        .color(palette.quiet),
    );
    let (now, _) = Thresholds::with_changes(&desk.session.preferences.figures);
    let usual = Thresholds::default();
    let mut group = "";
    for figure in &FIGURES {
        if figure.group != group {
            group = figure.group;
            ui.add_space(8.0);
            ui.label(RichText::new(group).strong().color(palette.line));
            if cutting_keys().next() == Some(figure.key) {
                processes_ui(ui, desk, &now.process);
            }
        }
        figure_ui(ui, desk, figure, figure.value(&now), figure.value(&usual));
    }
}

/// Buttons that take over all figures of a way of cutting.
fn processes_ui(ui: &mut Ui, desk: &mut Desk<'_>, now: &str) {
    ui.horizontal_wrapped(|ui| {
        ui.label(
            RichText::new("as usual for")
                .small()
                .color(desk.shown.palette.quiet),
        );
        for process in cutting_processes() {
            let own = process.name == now;
            let button = ui
                .selectable_label(own, &process.name)
                .on_hover_text(process.note);
            if button.clicked() && !own {
                let figures = &mut desk.session.preferences.figures;
                for key in cutting_keys() {
                    figures.remove(key);
                }
                figures.extend(figures_of(process));
            }
        }
    });
}

fn figure_ui(ui: &mut Ui, desk: &mut Desk<'_>, figure: &Figure, now: f64, usual: f64) {
    let palette = desk.shown.palette;
    let own = desk.session.preferences.figures.contains_key(figure.key);
    let mut given = None;
    ui.horizontal(|ui| {
        // The words have all the room between field and button, level with what stands in the field.
        // The scroll bar keeps clear of the button.
        let between = 2.0 * ui.spacing().item_spacing.x + BAR_PX;
        let source = (ui.available_width() - FIELD_PX - BACK_PX - between).max(BACK_PX);
        ui.allocate_ui(egui::vec2(FIELD_PX, ROW_PX), |ui| {
            ui.set_width(FIELD_PX);
            given = value_ui(ui, desk, figure, now);
        });
        let low = egui::Layout::bottom_up(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(source, ROW_PX), low, |ui| {
            ui.set_width(source);
            ui.add_space(7.0);
            let told = format!(
                "usually {}; {}",
                printed(figure, usual, &desk.session.preferences),
                figure.source
            );
            ui.label(RichText::new(told).small().color(palette.quiet));
        });
        let low = egui::Layout::bottom_up(egui::Align::Max);
        ui.allocate_ui_with_layout(egui::vec2(BACK_PX, ROW_PX), low, |ui| {
            ui.set_width(BACK_PX);
            if own {
                back_ui(ui, desk, figure);
            }
        });
    });
    note_ui(ui, desk, &[field_of(figure)]);
    if let Some(value) = given {
        take(desk, figure, value, usual);
    }
}

/// The button that puts back a figure of the maker's own.
fn back_ui(ui: &mut Ui, desk: &mut Desk<'_>, figure: &Figure) {
    ui.add_space(2.0);
    let back = ui.add(Button::new("As usual"));
    let named = format!("{} as usual", figure.name);
    back.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &named));
    if back.clicked() {
        desk.session.preferences.figures.remove(figure.key);
    }
}

/// The field of a figure; gives a new value when it was typed and left.
fn value_ui(ui: &mut Ui, desk: &mut Desk<'_>, figure: &Figure, now: f64) -> Option<f64> {
    let field = field_of(figure);
    let lengths = desk.session.preferences.caliper_lengths();
    match figure.unit {
        FigureUnit::Length => length_field(ui, desk, field, figure.name, now, lengths),
        FigureUnit::Angle => angle_field(ui, desk, field, figure.name, now),
        FigureUnit::Times | FigureUnit::Share => {
            number_field(ui, desk, field, figure.name, now, DECIMALS)
        }
    }
}

fn printed(figure: &Figure, value: f64, preferences: &Preferences) -> String {
    match figure.unit {
        FigureUnit::Length => preferences.caliper_lengths().print(Length::mm(value)),
        FigureUnit::Angle => print_angle(Angle::radians(value), 1),
        FigureUnit::Times | FigureUnit::Share => print_number(value, DECIMALS),
    }
}

/// Takes a new value over, unless it can't be meant; then the line at the foot of the window says so.
fn take(desk: &mut Desk<'_>, figure: &Figure, value: f64, usual: f64) {
    let mut figures = desk.session.preferences.figures.clone();
    if (value - usual).abs() < f64::EPSILON {
        figures.remove(figure.key);
    } else {
        figures.insert(figure.key.to_owned(), value);
    }
    let (_, told) = Thresholds::with_changes(&figures);
    let before = Thresholds::with_changes(&desk.session.preferences.figures).1;
    match told.into_iter().find(|line| !before.contains(line)) {
        Some(reason) => desk.session.fields.wrong(field_of(figure), &reason),
        None => desk.session.preferences.figures = figures,
    }
}
