//! The guard's part of the Handle card: plate, slot and mass.

use egui::Ui;

use super::choice::{GUARD_SHELVES, material_ui};
use super::{OnCard, heading_ui, hint_ui, read_out_ui};
use crate::edit::{Change, Edit};
use crate::knife::{Guard, Material};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

/// Draws the guard's part.
pub(super) fn guard_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let Some(guard) = &on.knife.guard else {
        hint_ui(
            ui,
            desk,
            "No guard: press Add guard to fit a plate on the tang.",
        );
        if ui.button("Add guard").clicked() {
            add(desk, on);
        }
        return;
    };
    heading_ui(ui, desk, "Guard");
    if let Some(guard) = plate_ui(ui, desk, on, guard) {
        let guard = Some(guard);
        desk.change(on.knife.id, Change::SetGuard { guard });
    }
    let list = FieldId::of(on.knife.id, "guard", "material");
    let key = &guard.material;
    if let Some(chosen) = material_ui(ui, desk, list, "guard material", key, GUARD_SHELVES) {
        let guard = Some(Guard {
            material: chosen.key,
            ..guard.clone()
        });
        let mut edits = chosen.first;
        edits.push(Edit::knife(on.knife.id, Change::SetGuard { guard }));
        desk.change_together("change guard", edits);
    }
    if let Some(slot) = on.results.weighed.guard_slot {
        let text = format!(
            "{} by {}",
            on.say.fine(slot.rect.height()),
            on.say.fine(slot.rect.width())
        );
        read_out_ui(ui, desk, "slot, high by wide", &text);
    }
    if let Some(weight) = &on.results.weighed.up.guard {
        let text = on.say.mass_with_band(weight.mass_g, weight.mass_band_g);
        read_out_ui(ui, desk, "mass", &text);
    }
    if ui.button("Remove guard").clicked() {
        desk.change(on.knife.id, Change::SetGuard { guard: None });
    }
}

fn plate_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, guard: &Guard) -> Option<Guard> {
    let mut new = guard.clone();
    let mut typed = false;
    let mut row = |ui: &mut Ui, parts: &mut [(&str, &mut f64)]| {
        let ids: Vec<FieldId> = parts
            .iter()
            .map(|(name, _)| FieldId::of(on.knife.id, "guard", *name))
            .collect();
        field_row(ui, desk, 3, &ids, |columns, desk| {
            for ((ui, (name, value)), id) in columns.iter_mut().zip(parts).zip(&ids) {
                if let Some(mm) = length_field(ui, desk, *id, name, **value, on.say.fine) {
                    **value = mm;
                    typed = true;
                }
            }
        });
    };
    row(
        ui,
        &mut [
            ("guard height", &mut new.height_mm),
            ("guard width", &mut new.width_mm),
            ("guard thickness", &mut new.thickness_mm),
        ],
    );
    row(
        ui,
        &mut [
            ("middle at y", &mut new.middle_y_mm),
            ("corner radius", &mut new.corner_radius_mm),
        ],
    );
    row(
        ui,
        &mut [
            ("clearance", &mut new.clearance_mm),
            ("slot corners", &mut new.slot_corner_mm),
        ],
    );
    typed.then_some(new)
}

/// Adds a plain brass plate that reaches over the tang on all sides: numbers to begin from.
fn add(desk: &mut Desk<'_>, on: OnCard<'_>) {
    let usual = crate::catalog::material("brass_c260");
    let mut edits = Vec::new();
    let key = match usual {
        Some(brass) if desk.shown.set.material(&brass.key).is_none() => {
            edits.push(Edit::SetMaterial {
                material: Material {
                    key: brass.key.clone(),
                    name: brass.name.clone(),
                    density_g_cm3: brass.density_g_cm3,
                    density_low: brass.density_low,
                    density_high: brass.density_high,
                    data_sheet: String::new(),
                },
            });
            brass.key.clone()
        }
        Some(brass) => brass.key.clone(),
        None => on.knife.stock.material.clone(),
    };
    let depth = on.results.steel.depth_at(-THICKNESS_MM);
    let (low, high) = depth.unwrap_or((-8.0, 8.0));
    let width_mm = on.knife.stock.thickness_mm + 2.0 * REACH_MM;
    let guard = Some(Guard {
        id: 0,
        name: "guard".to_owned(),
        width_mm,
        height_mm: high - low + 2.0 * REACH_MM,
        middle_y_mm: f64::midpoint(low, high),
        corner_radius_mm: 0.3 * width_mm,
        thickness_mm: THICKNESS_MM,
        material: key,
        clearance_mm: 0.1,
        slot_corner_mm: 0.5,
    });
    edits.push(Edit::knife(on.knife.id, Change::SetGuard { guard }));
    desk.change_together("add guard", edits);
}

/// Thickness of a new guard, mm: a common bar.
const THICKNESS_MM: f64 = 6.0;

/// How far a new guard reaches over the tang, mm: a finger's stop.
const REACH_MM: f64 = 6.0;
