//! The handle's part of the Handle card: scales or a block, their swell, parts, liner and glue.

use egui::Ui;

use super::choice::{PART_SHELVES, material_ui, with_materials};
use super::switch::switch_ui;
use super::{OnCard, heading_ui, hint_ui, read_out_ui, wrap};
use crate::edit::Change;
use crate::knife::{Fixing, Handle, HandlePart, Liner, PartKind, Tang, TangHole, usual_handle};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, note_ui, number_field};

/// How far a hint beside a field stands lower than the field's name, points.
const HINT_DOWN_PX: f32 = 18.0;

/// The wood and the glue of a handle until the maker chooses others.
pub(in crate::window) const FIRST_WOOD: &str = "wood_walnut_english";
pub(in crate::window) const FIRST_GLUE: &str = "epoxy_cured";
/// The metal of a new bolster or cap.
const FIRST_METAL: &str = "brass_c260";
/// The sheet of a new liner, and how thick it is, mm.
const FIRST_LINER: (&str, f64) = ("vulcan_fibre", 0.8);
/// Length of a new bolster or butt cap, mm.
const METAL_MM: f64 = 10.0;

/// Draws the handle's part.
pub(super) fn grip_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let Some(handle) = &on.knife.handle else {
        let what = match on.knife.tang {
            Tang::Full(_) | Tang::Partial(_) => "Add scales",
            Tang::Hidden(_) => "Add handle block",
        };
        hint_ui(
            ui,
            desk,
            &format!(
                "No handle yet: press {what}, and mass and balance are those of the finished knife."
            ),
        );
        if ui.button(what).clicked() {
            add(desk, on);
        }
        return;
    };
    heading_ui(
        ui,
        desk,
        if handle.kind() == "block" {
            "Block"
        } else {
            "Scales"
        },
    );
    let mut new = handle.clone();
    let mut materials: Vec<&'static str> = Vec::new();
    let typed = [
        swell_ui(ui, desk, on, &mut new),
        wrap::wrap_ui(ui, desk, on, &mut new),
        fixing_ui(ui, desk, on, &mut new, &mut materials),
        parts_ui(ui, desk, on, &mut new, &mut materials),
    ];
    let mut first = Vec::new();
    let chosen = materials_ui(ui, desk, on, &mut new, &mut first);
    if typed.contains(&true) || chosen {
        first.extend(with_materials(desk.shown.set, &materials));
        first.push(fit(on, Some(new)));
        desk.change_together("change handle", first);
    }
    for part in &on.results.weighed.up.parts {
        let mass = on.say.mass_with_band(part.mass_g, part.mass_band_g);
        read_out_ui(ui, desk, &part.name, &mass);
    }
    if ui.button("Remove handle").clicked() {
        desk.actions
            .push(crate::window::action::Action::Edit(fit(on, None)));
    }
}

fn fit(on: OnCard<'_>, handle: Option<Handle>) -> crate::edit::Edit {
    let handle = handle.map(Box::new);
    crate::edit::Edit::knife(on.knife.id, Change::FitHandle { handle })
}

fn add(desk: &mut Desk<'_>, on: OnCard<'_>) {
    let Some(handle) = usual_handle(on.knife, FIRST_WOOD, FIRST_GLUE) else {
        let text = "there is no tang behind the shoulder line to hold a handle: lengthen it first";
        desk.actions
            .push(crate::window::action::Action::Say(text.to_owned()));
        return;
    };
    let mut edits = with_materials(desk.shown.set, &[FIRST_WOOD, FIRST_GLUE]);
    edits.push(fit(on, Some(handle)));
    desk.change_together("add handle", edits);
}

/// Thickness at its stations, and the rounding.
fn swell_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, new: &mut Handle) -> bool {
    let mut typed = false;
    // From the front back, as the hand lies.
    let n = new.stations.len();
    let names: Vec<String> = (0..n).map(|i| station_name(i, n)).collect();
    let id = |name: &str| FieldId::of(on.knife.id, "swell", name.to_owned());
    for row in (0..n).collect::<Vec<_>>().chunks(3) {
        let ids: Vec<FieldId> = row
            .iter()
            .filter_map(|i| names.get(*i))
            .map(|name| id(name))
            .collect();
        field_row(ui, desk, 3, &ids, |columns, desk| {
            for (ui, i) in columns.iter_mut().zip(row) {
                let place = n - 1 - i;
                let (Some(name), Some(station)) = (names.get(*i), new.stations.get_mut(place))
                else {
                    continue;
                };
                let mm = length_field(
                    ui,
                    desk,
                    id(name),
                    name,
                    station.thickness_mm,
                    on.say.lengths,
                );
                if let Some(mm) = mm {
                    station.thickness_mm = mm;
                    typed = true;
                }
            }
        });
    }
    let rounding = FieldId::of(on.knife.id, "swell", "rounding");
    field_row(ui, desk, 2, &[rounding], |columns, desk| {
        let [left, right] = columns else { return };
        if let Some(value) = number_field(left, desk, rounding, "rounding", new.rounding, 1) {
            new.rounding = value;
            typed = true;
        }
        // Level with what stands in the field, which has its name above it.
        right.add_space(HINT_DOWN_PX);
        hint_ui(right, desk, "2 is oval, 10 nearly square");
    });
    typed
}

/// `thick in front`, `thick in the palm`, `thick at the butt`; numbers where there are more.
fn station_name(place: usize, of: usize) -> String {
    match (place, of) {
        (_, 1) => "thick".to_owned(),
        (0, _) => "thick in front".to_owned(),
        (i, n) if i + 1 == n => "thick at butt".to_owned(),
        (1, 3) => "in the palm".to_owned(),
        (i, _) => format!("thick {}", i + 1),
    }
}

/// Liner of scales, or hole of a block.
fn fixing_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    new: &mut Handle,
    materials: &mut Vec<&'static str>,
) -> bool {
    match &mut new.fixing {
        Fixing::Scales { liner } => {
            let words = [(false, "none"), (true, "sheets")];
            if let Some(wanted) = switch_ui(ui, desk, "liners", "liners", &words, liner.is_some()) {
                materials.push(FIRST_LINER.0);
                *liner = wanted.then(|| Liner {
                    material: FIRST_LINER.0.to_owned(),
                    thickness_mm: FIRST_LINER.1,
                });
                return true;
            }
            let Some(liner) = liner else { return false };
            let id = FieldId::of(on.knife.id, "handle", "liner");
            let mm = length_field(
                ui,
                desk,
                id,
                "liner thickness",
                liner.thickness_mm,
                on.say.fine,
            );
            note_ui(ui, desk, &[id]);
            mm.is_some_and(|mm| {
                liner.thickness_mm = mm;
                true
            })
        }
        Fixing::Block { hole } => hole_ui(ui, desk, on, hole),
    }
}

fn hole_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, hole: &mut TangHole) -> bool {
    let drilled = matches!(hole, TangHole::Drilled { .. });
    let words = [(false, "burnt in"), (true, "drilled")];
    if let Some(wanted) = switch_ui(ui, desk, "tang hole", "tang hole", &words, drilled) {
        let steel = on.results.steel.bounds();
        *hole = if wanted {
            let (low, high) = on.results.steel.depth_at(-5.0).unwrap_or((-6.0, 6.0));
            TangHole::Drilled {
                width_mm: on.knife.stock.thickness_mm + 1.0,
                height_mm: high - low + 1.0,
                depth_mm: (3.0 - steel.x0).max(10.0),
            }
        } else {
            TangHole::BurntIn
        };
        return true;
    }
    let TangHole::Drilled {
        width_mm,
        height_mm,
        depth_mm,
    } = hole
    else {
        return false;
    };
    let mut typed = false;
    let names = ["hole width", "hole height", "hole depth"];
    let ids = names.map(|name| FieldId::of(on.knife.id, "handle", name));
    field_row(ui, desk, 3, &ids, |columns, desk| {
        let values = [width_mm, height_mm, depth_mm];
        for (((ui, name), id), value) in columns.iter_mut().zip(names).zip(ids).zip(values) {
            if let Some(mm) = length_field(ui, desk, id, name, *value, on.say.lengths) {
                *value = mm;
                typed = true;
            }
        }
    });
    typed
}

/// Where each part begins, and buttons for metal at the ends.
fn parts_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    new: &mut Handle,
    materials: &mut Vec<&'static str>,
) -> bool {
    let mut typed = false;
    let has = |handle: &Handle, kind| handle.parts.iter().any(|part| part.kind == kind);
    for part in new.parts.iter_mut().skip(1) {
        let id = FieldId::of(on.knife.id, "part", part.id);
        let name = format!("{} begins at x", part.kind.name());
        if let Some(mm) = length_field(ui, desk, id, &name, part.from_x_mm, on.say.lengths) {
            part.from_x_mm = mm;
            typed = true;
        }
        note_ui(ui, desk, &[id]);
    }
    ui.horizontal(|ui| {
        let bolster = has(new, PartKind::Bolster);
        let cap = has(new, PartKind::ButtCap);
        if bolster {
            if ui.button("Remove bolster").clicked() {
                let front = new.front_x_mm();
                new.parts.retain(|part| part.kind != PartKind::Bolster);
                if let Some(part) = new.parts.first_mut() {
                    part.from_x_mm = front;
                }
                typed = true;
            }
        } else if ui.button("Add bolster").clicked() {
            let front = new.front_x_mm();
            if let Some(part) = new.parts.first_mut() {
                part.from_x_mm = front - METAL_MM;
            }
            new.parts.insert(0, metal(PartKind::Bolster, front));
            materials.push(FIRST_METAL);
            typed = true;
        }
        if cap {
            if ui.button("Remove butt cap").clicked() {
                new.parts.retain(|part| part.kind != PartKind::ButtCap);
                typed = true;
            }
        } else if ui.button("Add butt cap").clicked() {
            let own = new.outline.as_ref().map(|o| o.contour().bounds().x0);
            let back = own.unwrap_or(on.results.steel.bounds().x0);
            new.parts.push(metal(PartKind::ButtCap, back + METAL_MM));
            materials.push(FIRST_METAL);
            typed = true;
        }
    });
    typed
}

fn metal(kind: PartKind, from_x_mm: f64) -> HandlePart {
    HandlePart {
        id: 0,
        kind,
        material: FIRST_METAL.to_owned(),
        from_x_mm,
    }
}

/// The material of each part, of the liner and of the glue.
fn materials_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    new: &mut Handle,
    first: &mut Vec<crate::edit::Edit>,
) -> bool {
    let mut changed = false;
    let mut choose = |ui: &mut Ui, desk: &mut Desk<'_>, name: &str, key: &mut String| {
        let id = FieldId::of(on.knife.id, "handle material", name.to_owned());
        if let Some(chosen) = material_ui(ui, desk, id, name, key, PART_SHELVES) {
            *key = chosen.key;
            first.extend(chosen.first);
            changed = true;
        }
    };
    for part in &mut new.parts {
        let name = format!("{} of", part.kind.name());
        choose(ui, desk, &name, &mut part.material);
    }
    if let Fixing::Scales { liner: Some(liner) } = &mut new.fixing {
        choose(ui, desk, "liners of", &mut liner.material);
    }
    if let Some(glue) = &mut new.glue {
        choose(ui, desk, "glued with", &mut glue.material);
    }
    changed
}
