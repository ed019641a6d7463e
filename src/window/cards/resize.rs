//! The whole design: made larger or smaller for a wanted length or mass, and its two sides kept alike.

use egui::{TextStyle, Ui};

use super::stretch::work_ui;
use super::switch::switch_ui;
use super::{OnCard, fold_line_ui, hint_ui};
use crate::edit::{Change, Edit, Thing};
use crate::knife::MiddleLine;
use crate::window::action::Action;
use crate::window::commands::{Command, Work};
use crate::window::desk::Desk;
use crate::window::fields::{
    FIELD_MARGIN, FieldId, field_row, mass_field, signed_field, size_field,
};

/// Draws the part of the Profile card.
pub(super) fn resize_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let open = desk.session.resize_open;
    let summary = match desk.session.both {
        Some(MiddleLine::Knife) => "both sides alike",
        Some(MiddleLine::Tang) => "tang alike",
        None => "size, two sides",
    };
    if fold_line_ui(ui, desk, "Whole design", summary, open) {
        desk.session.resize_open = !open;
    }
    if !open {
        return;
    }
    sizes_ui(ui, desk, on);
    hint_ui(
        ui,
        desk,
        "Larger or smaller all over; holes, pins and the bar stay as they are.",
    );
    aside_ui(ui, desk, on);
    let words = [
        (None, "free"),
        (Some(MiddleLine::Knife), "the knife's"),
        (Some(MiddleLine::Tang), "the tang's"),
    ];
    let now = desk.session.both;
    if let Some(line) = switch_ui(ui, desk, "two sides alike", "sides alike", &words, now) {
        // Switched on and off as its key does it, so that it says what can't follow.
        if let Some(line) = line.or(now) {
            desk.actions.push(Action::Do(Command::Both(line)));
        }
    }
    if desk.session.both.is_some() {
        ui.horizontal_wrapped(|ui| {
            work_ui(ui, desk, Work::MirrorDown);
            work_ui(ui, desk, Work::MirrorUp);
        });
    }
}

fn sizes_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let overall_mm = on.results.weighed.up.steel.extent.overall_mm;
    let total = on.results.weighed.up.total;
    let fields = ["whole length", "whole mass"].map(|name| FieldId::new(id, name));
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let typed = size_field(
            left,
            desk,
            fields[0],
            "long as a whole",
            overall_mm,
            on.say.lengths,
        );
        if let Some(mm) = typed {
            let factor = mm / overall_mm;
            desk.change(id, Change::Scale { factor });
        }
        let Some(total) = total else { return };
        if let Some(g) = mass_field(right, desk, fields[1], "heavy as a whole", total.mass_g) {
            desk.actions.push(Action::ScaleToMass(g));
        }
    });
}

/// A copy of the outline, or of the one opening that is picked, at a distance beside it.
fn aside_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let of = match desk.session.picked.as_slice() {
        [Thing::CutOut(cut)] => Some(*cut),
        _ => None,
    };
    let fields = [FieldId::new(id, "copy beside")];
    let by_mm = desk.session.work.aside_mm;
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let typed = signed_field(left, desk, fields[0], "a copy beside", by_mm, on.say.fine);
        if let Some(mm) = typed {
            desk.session.work.aside_mm = mm;
        }
        // Level with the field, which has its name above it.
        right.add_space(right.text_style_height(&TextStyle::Small) + 2.0);
        right.spacing_mut().button_padding = FIELD_MARGIN;
        let name = if of.is_some() {
            "Copy opening"
        } else {
            "Copy outline"
        };
        let tip = "A knife of its own in the rack, so far outside this line, or inside where the distance is below zero";
        if right.button(name).on_hover_text(tip).clicked() {
            let by_mm = desk.session.work.aside_mm;
            let copy = Edit::CopyAside {
                knife: id,
                of,
                by_mm,
            };
            desk.actions.push(Action::Edit(copy));
        }
    });
    hint_ui(
        ui,
        desk,
        "For a sheath's pattern, a blank to profile, or an inlay for a window.",
    );
}
