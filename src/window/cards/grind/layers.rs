//! The layers of the bar on the Grind card, from the core out.

use egui::Ui;

use super::forge;
use crate::edit::{Change, Edit};
use crate::knife::{Layer, Stock};
use crate::window::cards::choice::{BLADE_SHELVES, material_ui};
use crate::window::cards::switch::{beside_fields_ui, switch_ui};
use crate::window::cards::{OnCard, hint_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, text_field};
use crate::window::usual_grind;

/// Draws the open layers.
pub(super) fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let stock = &on.knife.stock;
    let layered = stock.is_laminated();
    let words = [(false, "Plain steel"), (true, "Core and cladding")];
    if let Some(layered) = switch_ui(ui, desk, "bar", "", &words, layered) {
        if layered {
            let (layering, edits) = usual_grind::layering(desk.shown.set, stock);
            let stock = Stock {
                layering,
                ..stock.clone()
            };
            let edits = edits.into_iter();
            let set = Edit::knife(on.knife.id, Change::SetStock { stock });
            desk.change_together("layer the bar", edits.chain([set]));
        } else {
            let mut stock = stock.clone();
            stock.layering = crate::knife::Layering::default();
            desk.change(on.knife.id, Change::SetStock { stock });
        }
        return;
    }
    if !layered {
        hint_ui(
            ui,
            desk,
            "One steel through and through; Core and cladding makes it three layers.",
        );
        return;
    }
    core_ui(ui, desk, on);
    for i in 0..stock.layering.outer.len() {
        layer_ui(ui, desk, on, i);
    }
    let add = ui
        .button("Add shim")
        .on_hover_text("A thin layer on both sides of the core; the core gives up its thickness");
    if add.clicked() {
        let (stock, edits) = usual_grind::with_shim(desk.shown.set, stock);
        let set = Edit::knife(on.knife.id, Change::SetStock { stock });
        desk.change_together("add shim", edits.into_iter().chain([set]));
    }
    wander_ui(ui, desk, on);
    forge::forge_ui(ui, desk, on);
}

/// The core: its thickness is what the others leave, so that the outermost layer makes room when it is typed.
fn core_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let (id, stock) = (on.knife.id, &on.knife.stock);
    let (thick, steel) = (
        FieldId::of(id, "layer", "core"),
        FieldId::of(id, "layer", "core steel"),
    );
    field_row(ui, desk, 2, &[thick], |columns, desk| {
        let [a, b] = columns else { return };
        let now = stock.core_thickness_mm();
        if let Some(mm) = length_field(a, desk, thick, "core, all of it", now, on.say.fine) {
            let mut stock = stock.clone();
            if let Some(last) = stock.layering.outer.last_mut() {
                last.thickness_mm += (now - mm) / 2.0;
            }
            desk.change(id, Change::SetStock { stock });
        }
        let chosen = material_ui(b, desk, steel, "core of", &stock.material, BLADE_SHELVES);
        if let Some(chosen) = chosen {
            let mut stock = stock.clone();
            stock.material = chosen.key;
            let set = Edit::knife(id, Change::SetStock { stock });
            desk.change_together("change core", chosen.first.into_iter().chain([set]));
        }
    });
}

/// One layer outside the core.
fn layer_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, i: usize) {
    let (id, stock) = (on.knife.id, &on.knife.stock);
    let Some(layer) = stock.layering.outer.get(i) else {
        return;
    };
    let fields = ["name", "thick"].map(|name| FieldId::of(id, "layer", (i, name)));
    let list = FieldId::of(id, "layer", (i, "steel"));
    let mut new: Option<Layer> = None;
    let mut remove = false;
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [a, b, c] = columns else { return };
        let label = format!("layer {}", i + 1);
        if let Some(name) = text_field(a, desk, fields[0], &label, &layer.name) {
            new = Some(Layer {
                name,
                ..layer.clone()
            });
        }
        let label = format!("{}, each side", i + 1);
        let now = layer.thickness_mm;
        if let Some(thickness_mm) = length_field(b, desk, fields[1], &label, now, on.say.fine) {
            new = Some(Layer {
                thickness_mm,
                ..layer.clone()
            });
        }
        let name = format!("Remove {}", layer.name);
        remove = stock.layering.outer.len() > 1 && beside_fields_ui(c, "Remove", &name);
    });
    let label = format!("{} of", layer.name);
    let chosen = material_ui(ui, desk, list, &label, &layer.material, BLADE_SHELVES);
    let mut first = Vec::new();
    if let Some(chosen) = chosen {
        first = chosen.first;
        new = Some(Layer {
            material: chosen.key,
            ..layer.clone()
        });
    }
    let mut stock = stock.clone();
    if remove {
        stock.layering.outer.remove(i);
    } else if let (Some(new), Some(own)) = (new, stock.layering.outer.get_mut(i)) {
        *own = new;
    } else {
        return;
    }
    let set = Edit::knife(id, Change::SetStock { stock });
    desk.change_together("change layer", first.into_iter().chain([set]));
}

/// How far the layers are from where they should be.
fn wander_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let (id, stock) = (on.knife.id, &on.knife.stock);
    let fields = ["core offset", "waviness"].map(|name| FieldId::of(id, "layer", name));
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let now = stock.layering.core_offset_mm;
        let typed = length_field(a, desk, fields[0], "core off middle", now, on.say.fine);
        if let Some(core_offset_mm) = typed {
            let mut stock = stock.clone();
            stock.layering.core_offset_mm = core_offset_mm;
            desk.change(id, Change::SetStock { stock });
        }
        let now = stock.layering.waviness_mm;
        let typed = length_field(b, desk, fields[1], "layers wander ±", now, on.say.tight);
        if let Some(waviness_mm) = typed {
            let mut stock = stock.clone();
            stock.layering.waviness_mm = waviness_mm;
            desk.change(id, Change::SetStock { stock });
        }
    });
}
