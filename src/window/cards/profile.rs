//! The Profile card: the knife's name and use, its sizes, the bar, and what is picked on the outline.

use egui::Ui;

use super::choice::{BLADE_SHELVES, choice_ui, material_ui};
use super::{
    Card, OnCard, card_frame_ui, caution_ui, flaws, in_sight, learned, profile_pick, resize,
};
use crate::catalog::BladeUse;
use crate::edit::{Change, Edit};
use crate::knife::{Material, Stock};
use crate::units::print_number;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, number_field, size_field, text_field};

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let extent = on.results.weighed.up.steel.extent;
    let summary = format!("blade {}", on.say.length(extent.blade_mm));
    card_frame_ui(ui, desk, Card::Profile, &summary, |ui, desk| {
        name_ui(ui, desk, on);
        sizes_ui(ui, desk, on);
        bar_ui(ui, desk, on);
        material_row_ui(ui, desk, on);
        learned::learned_ui(ui, desk, on);
        flaws::flaws_ui(ui, desk, on);
        resize::resize_ui(ui, desk, on);
        in_sight(ui, desk, Card::Profile, |ui, desk| {
            profile_pick::picked_ui(ui, desk, on);
        });
    });
}

fn name_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let (name, form) = (FieldId::new(id, "name"), FieldId::new(id, "form"));
    field_row(ui, desk, 2, &[name], |columns, desk| {
        let [left, right] = columns else { return };
        if let Some(name) = text_field(left, desk, name, "name", &on.knife.name) {
            desk.change(id, Change::Rename { name });
        }
        let key = on.knife.form.as_str();
        let chosen = match BladeUse::from_key(key) {
            Some(blade) => blade.label(),
            None if key.is_empty() => "not said",
            None => key,
        };
        let mut form_key = None;
        choice_ui(right, desk, form, "what it is for", chosen, |ui, _| {
            if ui.selectable_label(key.is_empty(), "not said").clicked() {
                form_key = Some("");
            }
            for blade in BladeUse::ALL {
                let own = blade.key() == key;
                if ui.selectable_label(own, blade.label()).clicked() {
                    form_key = Some(blade.key());
                }
            }
        });
        if let Some(new) = form_key.filter(|new| *new != key) {
            desk.change(
                id,
                Change::SetForm {
                    form: new.to_owned(),
                },
            );
        }
    });
}

fn sizes_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let extent = on.results.weighed.up.steel.extent;
    let tang_mm = extent.overall_mm - extent.blade_mm;
    let fields = ["overall", "blade", "height"].map(|name| FieldId::new(id, name));
    let [overall, blade, height] = fields;
    let format = on.say.lengths;
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [a, b, c] = columns else { return };
        if let Some(mm) = size_field(a, desk, overall, "overall", extent.overall_mm, format) {
            let by = mm / extent.overall_mm;
            let stretch = [
                Change::SetBladeLength {
                    length_mm: extent.blade_mm * by,
                },
                Change::SetTangLength {
                    length_mm: tang_mm * by,
                },
            ];
            desk.change_together("stretch knife", stretch.map(|c| Edit::knife(id, c)));
        }
        if let Some(length_mm) = size_field(b, desk, blade, "blade", extent.blade_mm, format) {
            desk.change(id, Change::SetBladeLength { length_mm });
        }
        if let Some(height_mm) = size_field(c, desk, height, "height", extent.height_mm, format) {
            desk.change(id, Change::SetHeight { height_mm });
        }
    });
}

fn bar_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let stock = &on.knife.stock;
    let extent = on.results.weighed.up.steel.extent;
    let fields = ["stock", "tolerance", "tang"].map(|name| FieldId::new(id, name));
    let [thickness, tolerance, tang] = fields;
    let (usual, fine) = (on.say.lengths, on.say.fine);
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [a, b, c] = columns else { return };
        let set = |desk: &mut Desk<'_>, new: Stock| {
            desk.change(id, Change::SetStock { stock: new });
        };
        if let Some(thickness_mm) =
            size_field(a, desk, thickness, "stock", stock.thickness_mm, fine)
        {
            let stock = stock.clone();
            set(
                desk,
                Stock {
                    thickness_mm,
                    ..stock
                },
            );
        }
        if let Some(tolerance_mm) = size_field(
            b,
            desk,
            tolerance,
            "stock ±",
            stock.tolerance_mm,
            on.say.tight,
        ) {
            let stock = stock.clone();
            set(
                desk,
                Stock {
                    tolerance_mm,
                    ..stock
                },
            );
        }
        let tang_mm = extent.overall_mm - extent.blade_mm;
        let label = format!("tang, {}", on.knife.tang.name());
        if let Some(length_mm) = size_field(c, desk, tang, &label, tang_mm, usual) {
            desk.change(id, Change::SetTangLength { length_mm });
        }
    });
}

fn material_row_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let key = &on.knife.stock.material;
    let (steel, density) = (FieldId::new(id, "material"), FieldId::new(id, "density"));
    let material = desk.shown.set.material(key);
    field_row(ui, desk, 2, &[density], |columns, desk| {
        let [left, right] = columns else { return };
        let chosen = material_ui(left, desk, steel, "material", key, BLADE_SHELVES);
        if let Some(chosen) = chosen {
            let mut stock = on.knife.stock.clone();
            stock.material = chosen.key;
            let mut edits = chosen.first;
            edits.push(Edit::knife(id, Change::SetStock { stock }));
            desk.change_together("change material", edits);
        }
        if let Some(material) = material {
            density_ui(right, desk, density, material);
        }
    });
    if material.is_none() {
        caution_ui(
            ui,
            desk,
            "This material is not in the set: choose one, or nothing can be weighed.",
        );
    }
}

/// The density of a material of the set; its spread goes with it, by the same shares.
fn density_ui(ui: &mut Ui, desk: &mut Desk<'_>, field: FieldId, material: &Material) {
    let now = material.density_g_cm3;
    let typed = number_field(ui, desk, field, "density, g/cm³", now, 3);
    ui.response().on_hover_text(format!(
        "Met from {} to {} g/cm³; every knife of this material follows what is typed here",
        print_number(material.density_low, 2),
        print_number(material.density_high, 2)
    ));
    if let Some(new) = typed {
        let material = material.with_density(new);
        desk.actions
            .push(crate::window::Action::Edit(Edit::SetMaterial { material }));
    }
}
