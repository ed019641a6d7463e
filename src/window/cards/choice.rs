//! Lists to choose from: one of a few words, or a material from the set and the catalog.

use egui::{ComboBox, RichText, Ui};

use crate::catalog::{MaterialCategory, materials_in};
use crate::edit::Edit;
use crate::knife::{Filling, KnifeSet, Material, Purpose};
use crate::window::desk::Desk;
use crate::window::fields::{FIELD_MARGIN, FieldId};

/// A labelled list; `add` fills it.
pub(in crate::window) fn choice_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    chosen: &str,
    add: impl FnOnce(&mut Ui, &mut Desk<'_>),
) {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        // As high as a field, and its words as far in.
        ui.spacing_mut().button_padding = FIELD_MARGIN;
        let name = ui.label(RichText::new(label).small().color(desk.shown.palette.quiet));
        // The frame of the button comes on top of the width asked for.
        let width = ui.available_width();
        ComboBox::from_id_salt(field)
            .width(width)
            .height(280.0)
            .truncate()
            .selected_text(chosen)
            .show_ui(ui, |ui| add(ui, desk))
            .response
            .labelled_by(name.id);
    });
}

/// What a cut-out is for.
fn purpose_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    purpose: Purpose,
) -> Option<Purpose> {
    let mut new = None;
    choice_ui(ui, desk, field, "what for", purpose.name(), |ui, _| {
        for each in Purpose::ALL {
            if ui.selectable_label(each == purpose, each.name()).clicked() {
                new = Some(each);
            }
        }
    });
    new.filter(|p| *p != purpose)
}

/// A chosen material, and the edits that bring it into the set if it is not there yet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chosen {
    /// Its key.
    pub key: String,
    /// Edits that must come first.
    pub first: Vec<Edit>,
}

/// Shelves for blades.
pub(super) const BLADE_SHELVES: &[MaterialCategory] = &[
    MaterialCategory::Steel,
    MaterialCategory::Stainless,
    MaterialCategory::Nonferrous,
];

/// Shelves for guards.
pub(super) const GUARD_SHELVES: &[MaterialCategory] = &[
    MaterialCategory::Nonferrous,
    MaterialCategory::Stainless,
    MaterialCategory::Steel,
    MaterialCategory::Composite,
];

/// Shelves for handles.
pub(super) const PART_SHELVES: &[MaterialCategory] = &[
    MaterialCategory::Wood,
    MaterialCategory::Composite,
    MaterialCategory::Nonferrous,
    MaterialCategory::Stainless,
    MaterialCategory::Other,
];

/// Shelves for pins and tubes.
const PIN_SHELVES: &[MaterialCategory] = &[
    MaterialCategory::Nonferrous,
    MaterialCategory::Stainless,
    MaterialCategory::Steel,
    MaterialCategory::Composite,
];

/// Shelves for what is cast in.
const CAST_SHELVES: &[MaterialCategory] = &[MaterialCategory::Other];

/// A material from the set or from these shelves of the catalog.
pub(super) fn material_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    key: &str,
    shelves: &[MaterialCategory],
) -> Option<Chosen> {
    let set = desk.shown.set;
    let name = set
        .material(key)
        .map_or_else(|| format!("{key} (missing)"), |m| m.name.clone());
    let mut chosen = None;
    choice_ui(ui, desk, field, label, &name, |ui, desk| {
        chosen = material_list_ui(ui, desk, key, shelves);
    });
    chosen
}

fn material_list_ui(
    ui: &mut Ui,
    desk: &Desk<'_>,
    key: &str,
    shelves: &[MaterialCategory],
) -> Option<Chosen> {
    let set = desk.shown.set;
    let shelf_name = |ui: &mut Ui, name: &str| {
        ui.label(RichText::new(name).small().color(desk.shown.palette.quiet));
    };
    let mut chosen = None;
    if !set.materials.is_empty() {
        shelf_name(ui, "In this set");
        // What lies on another shelf of the catalog is not offered; the maker's own materials always are.
        let fits = |m: &&Material| {
            m.key == key
                || crate::catalog::material(&m.key).is_none_or(|m| shelves.contains(&m.category))
        };
        for material in set.materials.iter().filter(fits) {
            if ui
                .selectable_label(material.key == key, &material.name)
                .clicked()
            {
                chosen = Some(Chosen {
                    key: material.key.clone(),
                    first: Vec::new(),
                });
            }
        }
    }
    for shelf in shelves {
        shelf_name(ui, shelf.label());
        for material in materials_in(*shelf) {
            if set.material(&material.key).is_some() {
                continue;
            }
            if ui.selectable_label(false, &material.name).clicked() {
                chosen = Some(Chosen {
                    key: material.key.clone(),
                    first: vec![Edit::SetMaterial {
                        material: bench_material(material),
                    }],
                });
            }
        }
    }
    chosen
}

/// A material of the catalog as a set keeps it.
pub(in crate::window) fn bench_material(material: &crate::catalog::Material) -> Material {
    Material {
        key: material.key.clone(),
        name: material.name.clone(),
        density_g_cm3: material.density_g_cm3,
        density_low: material.density_low,
        density_high: material.density_high,
        data_sheet: String::new(),
    }
}

/// Edits that bring materials of the catalog into a set that lacks them.
pub(in crate::window) fn with_materials(set: &KnifeSet, keys: &[&str]) -> Vec<Edit> {
    keys.iter()
        .filter(|key| set.material(key).is_none())
        .filter_map(|key| crate::catalog::material(key))
        .map(|material| Edit::SetMaterial {
            material: bench_material(material),
        })
        .collect()
}

/// What a cut-out is for and what fills it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Use {
    /// What it is for.
    pub purpose: Purpose,
    /// What fills it.
    pub filling: Filling,
    /// Edits that must come first.
    pub first: Vec<Edit>,
}

/// Purpose, filling and its material. Gives all when one was changed.
pub(super) fn use_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    fields: [FieldId; 3],
    purpose: Purpose,
    filling: &Filling,
    diameter_mm: f64,
) -> Option<Use> {
    let mut new = None;
    let now = |purpose, filling, first| Use {
        purpose,
        filling,
        first,
    };
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        if let Some(purpose) = purpose_ui(left, desk, fields[0], purpose) {
            new = Some(now(purpose, filling.clone(), Vec::new()));
        }
        let name = filling_name(filling);
        choice_ui(right, desk, fields[1], "filling", name, |ui, desk| {
            for each in ["nothing", "pin", "tube", "epoxy"] {
                if ui.selectable_label(each == name, each).clicked() && each != name {
                    new = new_filling(each, desk, diameter_mm)
                        .map(|(filling, first)| now(purpose, filling, first));
                }
            }
        });
    });
    if let Some(key) = filling.material() {
        let shelves = if matches!(filling, Filling::Epoxy { .. }) {
            CAST_SHELVES
        } else {
            PIN_SHELVES
        };
        if let Some(chosen) = material_ui(ui, desk, fields[2], "filled with", key, shelves) {
            let mut filling = filling.clone();
            match &mut filling {
                Filling::Nothing => {}
                Filling::Pin { material, .. }
                | Filling::Tube { material, .. }
                | Filling::Epoxy { material } => *material = chosen.key,
            }
            new = Some(now(purpose, filling, chosen.first));
        }
    }
    new
}

/// The word for a filling.
pub(super) fn filling_name(filling: &Filling) -> &'static str {
    match filling {
        Filling::Nothing => "nothing",
        Filling::Pin { .. } => "pin",
        Filling::Tube { .. } => "tube",
        Filling::Epoxy { .. } => "epoxy",
    }
}

/// A filling of a kind, of the usual material: brass pins and tubes, cast epoxy. A tube's bore leaves a quarter of its diameter as wall.
fn new_filling(kind: &str, desk: &Desk<'_>, diameter_mm: f64) -> Option<(Filling, Vec<Edit>)> {
    let usual = if kind == "epoxy" {
        "epoxy_cured"
    } else {
        "brass_c360"
    };
    let mut first = Vec::new();
    if kind != "nothing" && desk.shown.set.material(usual).is_none() {
        let material = bench_material(crate::catalog::material(usual)?);
        first.push(Edit::SetMaterial { material });
    }
    let material = usual.to_owned();
    let filling = match kind {
        "pin" => Filling::pin(material),
        "tube" => Filling::Tube {
            material,
            bore_mm: 0.75 * diameter_mm,
        },
        "epoxy" => Filling::Epoxy { material },
        _ => Filling::Nothing,
    };
    Some((filling, first))
}

#[cfg(test)]
mod tests {
    use crate::catalog::material;

    #[test]
    fn the_usual_fillings_are_in_the_catalog() {
        assert!(material("epoxy_cured").is_some());
        assert!(material("brass_c360").is_some());
    }
}
