//! Picked things put in order: lined up, spaced, stepped off, turned, clamped.

use egui::Ui;

use super::OnCard;
use super::stretch::{clamp_ui, work_ui};
use super::switch::switch_ui;
use crate::edit::{Change, MOST_COPIES, Thing};
use crate::window::commands::{StepWay, Work};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, angle_field, count_field, field_row, length_field};

/// Draws what puts the picked things in order.
pub(super) fn order_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, things: &[Thing]) {
    turn_ui(ui, desk, on, things);
    ui.horizontal_wrapped(|ui| {
        for work in [
            Work::Level,
            Work::Upright,
            Work::EvenMiddles,
            Work::EvenSteel,
        ] {
            work_ui(ui, desk, work);
        }
    });
    clamp_ui(ui, desk, on);
}

fn turn_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, things: &[Thing]) {
    let field = FieldId::of(on.knife.id, "turn by", things);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [left, _] = columns else { return };
        if let Some(by_rad) = angle_field(left, desk, field, "turn by", 0.0) {
            let things = things.to_vec();
            desk.change(on.knife.id, Change::Turn { things, by_rad });
        }
    });
}

/// The numbers of stepping off, and its button.
pub(super) fn step_off_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let fields = ["step", "copies"].map(|name| FieldId::new(on.knife.id, name));
    let now = desk.session.work;
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        if let Some(mm) = length_field(left, desk, fields[0], "step", now.step_mm, on.say.fine) {
            desk.session.work.step_mm = mm;
        }
        if let Some(n) = count_field(right, desk, fields[1], "copies", now.copies, MOST_COPIES) {
            desk.session.work.copies = n;
        }
    });
    if let Some(way) = switch_ui(ui, desk, "copies go", "step off", &StepWay::WORDS, now.way) {
        desk.session.work.way = way;
    }
    work_ui(ui, desk, Work::StepOff);
}
