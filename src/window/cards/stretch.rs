//! Work on the outline between picked nodes, and on the corner at one: the numbers it goes by, and its buttons.

use egui::Ui;

use super::OnCard;
use crate::edit::{Change, MOST_SPLIT, Thing, is_clamped};
use crate::knife::{CutOut, CutShape, Id, Mend};
use crate::window::action::Action;
use crate::window::commands::{Command, Work};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, count_field, field_row, size_field};

/// A stretch between picked nodes: how near a fair curve stays, and what can be done.
pub(super) fn stretch_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    within_ui(ui, desk, on);
    ui.horizontal_wrapped(|ui| {
        for work in [
            Work::Straighten,
            Work::Fair,
            Work::OneCurve,
            Work::FullerAlong,
        ] {
            work_ui(ui, desk, work);
        }
    });
}

fn within_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let fields = ["fair within", "fuller inside"].map(|name| FieldId::new(on.knife.id, name));
    let now = desk.session.work;
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let typed = size_field(
            left,
            desk,
            fields[0],
            "fair within",
            now.within_mm,
            on.say.fine,
        );
        if let Some(mm) = typed.filter(|mm| *mm > 0.0) {
            desk.session.work.within_mm = mm;
        }
        let typed = size_field(
            right,
            desk,
            fields[1],
            "fuller inside",
            now.in_mm,
            on.say.fine,
        );
        if let Some(mm) = typed.filter(|mm| *mm > 0.0) {
            desk.session.work.in_mm = mm;
        }
    });
}

/// One node: the radius of its corner, and into how many parts the piece ahead is split.
pub(super) fn corner_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, node: Id) {
    let fields = ["corner radius", "parts"].map(|name| FieldId::of(on.knife.id, name, node));
    let outline = &on.knife.outline;
    let rounded = outline.rounded_at(node).map(|own| own.radius_mm);
    let corner = rounded.is_some() || outline.corner_at(node).is_some();
    let parts = desk.session.work.parts;
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        if corner {
            radius_ui(left, desk, on, (fields[0], node), rounded);
        }
        let beside = if corner { right } else { left };
        if let Some(n) = count_field(beside, desk, fields[1], "parts", parts, MOST_SPLIT) {
            desk.session.work.parts = n;
        }
    });
    ui.horizontal_wrapped(|ui| {
        if rounded.is_some() && ui.button("Make sharp again").clicked() {
            let radius_mm = None;
            desk.change(on.knife.id, Change::ChangeRadius { node, radius_mm });
        }
        work_ui(ui, desk, Work::Split);
        clamp_ui(ui, desk, on);
    });
}

/// A field that rounds a corner to the radius typed, or changes the radius it has.
fn radius_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    (field, node): (FieldId, Id),
    rounded: Option<f64>,
) {
    let now = rounded.unwrap_or(0.0);
    let Some(radius_mm) = size_field(ui, desk, field, "corner radius", now, on.say.fine) else {
        return;
    };
    let change = if rounded.is_some() {
        let radius_mm = (radius_mm > 0.0).then_some(radius_mm);
        Change::ChangeRadius { node, radius_mm }
    } else {
        round(None, node, radius_mm)
    };
    desk.change(on.knife.id, change);
}

/// Rounds one corner of the steel, or of a free cut-out.
fn round(of: Option<Id>, node: Id, radius_mm: f64) -> Change {
    let mend = Mend::RoundCorners {
        of,
        nodes: vec![node],
        radius_mm,
    };
    Change::Mend { mend }
}

/// One node of a free cut-out: the radius its corner is to have.
pub(super) fn cut_out_corner_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    cut: &CutOut,
    node: Id,
) {
    let CutShape::Free { outline } = &cut.shape else {
        return;
    };
    if outline.corner_at(node).is_none() {
        return;
    }
    let name = "corner radius";
    let field = FieldId::of(on.knife.id, name, (cut.id, node));
    let typed = field_row(ui, desk, 2, &[field], |columns, desk| {
        let ui = columns.first_mut()?;
        size_field(ui, desk, field, name, 0.0, on.say.fine)
    });
    if let Some(radius_mm) = typed {
        desk.change(on.knife.id, round(Some(cut.id), node, radius_mm));
    }
}

/// The button that holds what is picked, or lets it go.
pub(super) fn clamp_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let held = |t: &Thing| is_clamped(on.knife, *t);
    let word = if desk.session.picked.iter().all(held) {
        "Let go"
    } else {
        "Clamp"
    };
    named_work_ui(ui, desk, Work::Clamp, word);
}

/// The button of some work.
pub(super) fn work_ui(ui: &mut Ui, desk: &mut Desk<'_>, work: Work) {
    named_work_ui(ui, desk, work, work.name());
}

fn named_work_ui(ui: &mut Ui, desk: &mut Desk<'_>, work: Work, word: &str) {
    let command = Command::Work(work);
    let enabled = command.enabled(desk.shown, desk.session);
    let button = ui.add_enabled(enabled, egui::Button::new(word));
    if button.on_hover_text(work.hint()).clicked() {
        desk.actions.push(Action::Do(command));
    }
}
