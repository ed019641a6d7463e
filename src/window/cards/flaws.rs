//! The flaws marked on a knife: what each is, on which face, how wide and how deep; part of the Profile card while there is one.

use egui::{RichText, Ui};

use super::switch::switch_ui;
use super::{OnCard, hint_ui};
use crate::edit::Change;
use crate::knife::{Faces, Flaw, FlawKind};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

/// Draws all flaws, one below the other.
pub(super) fn flaws_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    for (place, flaw) in on.knife.flaws.iter().enumerate() {
        ui.separator();
        flaw_ui(ui, desk, on, (place + 1, flaw));
    }
    if !on.knife.flaws.is_empty() {
        hint_ui(
            ui,
            desk,
            "Holes that are planned keep away from a flaw, and the findings say what it touches. A depth of 0 means that nobody knows.",
        );
    }
}

fn flaw_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, (place, flaw): (usize, &Flaw)) {
    let name = format!("flaw {place}");
    let mut new = flaw.clone();
    ui.horizontal(|ui| {
        ui.label(RichText::new(&name).small().color(desk.shown.palette.quiet));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = ui.small_button("Take the mark away");
            let named = button.accessible_name(format!("Take the mark away: {name}"));
            if named.clicked() {
                desk.change(on.knife.id, Change::RemoveFlaw { id: flaw.id });
            }
        });
    });
    let kinds = FlawKind::ALL.map(|kind| (kind, kind.name()));
    if let Some(kind) = switch_ui(ui, desk, "", &name, &kinds, flaw.kind) {
        new.kind = kind;
    }
    let faces = Faces::ALL.map(|faces| (faces, faces.name()));
    if let Some(own) = switch_ui(ui, desk, "seen on", &name, &faces, flaw.faces) {
        new.faces = own;
    }
    let ids = ["reach", "depth"].map(|part| FieldId::of(on.knife.id, part, flaw.id));
    let depth = flaw.depth_mm.unwrap_or(0.0);
    field_row(ui, desk, 2, &ids, |columns, desk| {
        let [left, right] = columns else { return };
        let labels = [format!("{name}, to either side"), format!("{name}, deep")];
        if let Some(mm) = length_field(left, desk, ids[0], &labels[0], flaw.reach_mm, on.say.fine) {
            new.reach_mm = mm;
        }
        if let Some(mm) = length_field(right, desk, ids[1], &labels[1], depth, on.say.fine) {
            new.depth_mm = (mm != 0.0).then_some(mm);
        }
    });
    if new != *flaw {
        desk.change(on.knife.id, Change::MarkFlaw { flaw: new });
    }
}
