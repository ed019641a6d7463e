//! The cards of the set: two knives compared, what is copied from one to the other, the shared materials, the bar that is needed.

use egui::{Button, Grid, RichText, Ui};

use super::{card_ui, column_ui, one_of_ui, set_table};
use crate::edit::{Carried, Edit};
use crate::knife::{Id, Knife, Material};
use crate::units::{Length, MISSING, Mass, MassUnit, print_mass, print_number};
use crate::weighing::{BarNeed, RackColumn, RackMeasure, RackRow};
use crate::window::action::{Action, ExportWish};
use crate::window::cards::{Say, capital, choice_ui, unparted, with_plus};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, note_ui, number_field, text_field};
use crate::window::session::Session;
use crate::window::shown::Shown;

/// What is compared, in this order.
const COMPARED: [RackColumn; 8] = [
    RackColumn::Finished,
    RackColumn::Ground,
    RackColumn::Balance,
    RackColumn::Swing,
    RackColumn::Overall,
    RackColumn::Blade,
    RackColumn::Height,
    RackColumn::Thickness,
];

/// Draws the cards.
pub(super) fn cards_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    column_ui(ui, shown, session, actions, |ui, desk| {
        card_ui(ui, desk, "Compare", compare_ui);
        card_ui(ui, desk, "Copy", copy_ui);
        card_ui(ui, desk, "Bar needed", bars_ui);
        card_ui(ui, desk, "Materials of the set", materials_ui);
    });
}

fn quiet(ui: &mut Ui, desk: &Desk<'_>, text: &str) {
    ui.label(RichText::new(text).small().color(desk.shown.palette.quiet));
}

/// The two that are compared; else says what a second one is good for.
fn two<'a>(ui: &mut Ui, desk: &Desk<'a>, hint: &str) -> Option<[&'a Knife; 2]> {
    let set = desk.shown.set;
    let two = desk.session.set.compared(set, desk.session.knife);
    let found = two.and_then(|[a, b]| Some([set.knife(a)?.as_ref(), set.knife(b)?.as_ref()]));
    if found.is_none() {
        quiet(ui, desk, hint);
    }
    found
}

/// How they lie, with which, and what differs.
fn compare_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let words = [(false, "Side by side"), (true, "One over the other")];
    if let Some(over) = one_of_ui(ui, words, desk.session.set.over) {
        desk.session.set.over = over;
    }
    let alone = "Put a second knife in the rack with +, and both are compared here.";
    let Some([here, other]) = two(ui, desk, alone) else {
        return;
    };
    let shown = desk.shown;
    let field = FieldId::plain("compared with");
    let label = format!("{} compared with", here.name);
    let mut chosen: Option<Id> = None;
    choice_ui(ui, desk, field, &label, &other.name, |ui, _| {
        for knife in shown.set.knives.iter().filter(|k| k.id != here.id) {
            if ui
                .selectable_label(knife.id == other.id, &knife.name)
                .clicked()
            {
                chosen = Some(knife.id);
            }
        }
    });
    if let Some(id) = chosen {
        desk.session.set.with = Some(id);
    }
    let shelf = &shown.kept.set;
    if let (Some(a), Some(b)) = (shelf.row(here.id), shelf.row(other.id)) {
        differences_ui(ui, desk, a, b);
    }
}

fn differences_ui(ui: &mut Ui, desk: &Desk<'_>, a: &RackRow, b: &RackRow) {
    let say = |row: &RackRow| {
        let up = desk.shown.results.of(row.knife).map(|r| &r.weighed.up);
        Say::new(&desk.session.preferences, up.unwrap_or(&Default::default()))
    };
    let (say_a, say_b) = (say(a), say(b));
    Grid::new("differences")
        .num_columns(4)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            for head in ["", "this", "other", "other − this"] {
                quiet(ui, desk, head);
            }
            ui.end_row();
            for column in COMPARED {
                quiet(ui, desk, column.name());
                ui.label(set_table::text(a, column, say_a));
                ui.label(set_table::text(b, column, say_b));
                ui.label(difference(column, a, b, say_a));
                ui.end_row();
            }
        });
}

/// The other's number less this one's, in words.
fn difference(column: RackColumn, a: &RackRow, b: &RackRow, say: Say) -> String {
    let Some((a, b)) = a.number(column).zip(b.number(column)) else {
        return MISSING.to_owned();
    };
    let off = b - a;
    match column.measure() {
        RackMeasure::Words => String::new(),
        // As fine as the thicknesses themselves: 0.05 mm are seen.
        RackMeasure::Length if column == RackColumn::Thickness => {
            say.caliper.print_signed(Length::mm(off))
        }
        RackMeasure::Length | RackMeasure::Place => say.signed(off),
        RackMeasure::Mass => with_plus(off, say.mass(Some(off))),
        RackMeasure::Swing => with_plus(off, format!("{} kg·cm²", print_number(off, 1))),
    }
}

/// Grind, holes or handle of the other knife for this one.
fn copy_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let alone = "With a second knife in the rack, its grind, holes or handle are copied from here.";
    let Some([here, other]) = two(ui, desk, alone) else {
        return;
    };
    let words = format!("from {} to {}, in place of its own", other.name, here.name);
    quiet(ui, desk, &words);
    ui.columns(3, |columns| {
        for (ui, what) in columns.iter_mut().zip(Carried::ALL) {
            let there = what.is_on(other);
            let size = egui::vec2(ui.available_width(), ui.spacing().interact_size.y);
            let name = capital(what.name());
            let button = ui
                .add_enabled_ui(there, |ui| ui.add_sized(size, Button::new(name)))
                .inner
                .on_hover_text(hint(what))
                .on_disabled_hover_text(format!("{} has none", other.name));
            let spoken = format!("Copy {}", what.name());
            if button.accessible_name(spoken).clicked() {
                desk.actions.push(Action::Edit(Edit::CarryOver {
                    from: other.id,
                    to: here.id,
                    what,
                }));
            }
        }
    });
}

fn hint(what: Carried) -> &'static str {
    match what {
        Carried::Grind => "All bevels with their numbers; taper and fullers stay as they are",
        Carried::Holes => {
            "All holes, slots and rows, as far from the shoulder line and from the middle of the steel as there"
        }
        Carried::Handle => "The handle with its parts and measures",
    }
}

/// One material of the set: a change is one for all its knives.
fn materials_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let set = desk.shown.set;
    let wanted = desk.session.set.material.as_deref();
    let chosen = wanted.and_then(|key| set.material(key));
    let Some(own) = chosen.or(set.materials.first()) else {
        quiet(
            ui,
            desk,
            "The materials of the knives stand here, once there is a knife.",
        );
        return;
    };
    let mut new = None;
    let field = FieldId::plain("material of the set");
    choice_ui(ui, desk, field, "material", &own.name, |ui, _| {
        for material in &set.materials {
            if ui
                .selectable_label(material.key == own.key, &material.name)
                .clicked()
            {
                new = Some(material.key.clone());
            }
        }
    });
    if let Some(key) = new {
        desk.session.set.material = Some(key);
    }
    let users: Vec<&str> = set
        .knives
        .iter()
        .filter(|knife| knife.materials().any(|key| key == own.key))
        .map(|knife| knife.name.as_str())
        .collect();
    let words = match users.as_slice() {
        [] => "no knife uses it now".to_owned(),
        all => format!("a change counts for {}", all.join(", ")),
    };
    quiet(ui, desk, &words);
    material_fields_ui(ui, desk, own);
}

fn material_fields_ui(ui: &mut Ui, desk: &mut Desk<'_>, own: &Material) {
    let of = |name: &str| FieldId::plain(&format!("material {name} {}", own.key));
    let send = |desk: &mut Desk<'_>, material: Material| {
        desk.actions
            .push(Action::Edit(Edit::SetMaterial { material }));
    };
    if let Some(name) = text_field(ui, desk, of("name"), "its name", &own.name) {
        send(
            desk,
            Material {
                name,
                ..own.clone()
            },
        );
    }
    note_ui(ui, desk, &[of("name")]);
    let fields = ["density", "lightest", "heaviest"].map(of);
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [left, middle, right] = columns else {
            return;
        };
        let new = number_field(
            left,
            desk,
            fields[0],
            "density, g/cm³",
            own.density_g_cm3,
            3,
        );
        if let Some(density) = new {
            send(desk, own.with_density(density));
        }
        let new = number_field(middle, desk, fields[1], "as light as", own.density_low, 3);
        if let Some(density_low) = new {
            send(
                desk,
                Material {
                    density_low,
                    ..own.clone()
                },
            );
        }
        let new = number_field(right, desk, fields[2], "as heavy as", own.density_high, 3);
        if let Some(density_high) = new {
            send(
                desk,
                Material {
                    density_high,
                    ..own.clone()
                },
            );
        }
    });
}

/// Each kind of bar, how much of it, and the table's way out.
fn bars_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shelf = &desk.shown.kept.set;
    if shelf.bars().is_empty() {
        quiet(
            ui,
            desk,
            "The bar the knives are cut from stands here, once there is a knife.",
        );
    }
    for need in shelf.bars() {
        bar_ui(ui, desk, need);
    }
    for name in shelf.left_out() {
        let words = format!("{name} can't be measured yet and is left out");
        ui.label(RichText::new(words).small().color(desk.shown.palette.warn));
    }
    if !shelf.bars().is_empty() {
        let told =
            "Straight, end to end, nothing lost between; how many of each is set on the Nest page.";
        quiet(ui, desk, told);
        let size = egui::vec2(ui.available_width(), ui.spacing().interact_size.y);
        let save = ui
            .add_sized(size, Button::new("Save table as CSV"))
            .on_hover_text("Every knife and the bar needed, in this order, for other programs");
        if save.clicked() {
            desk.actions.push(Action::Export(ExportWish::Table));
        }
    }
}

fn bar_ui(ui: &mut Ui, desk: &Desk<'_>, need: &BarNeed) {
    let preferences = &desk.session.preferences;
    let lengths = preferences.lengths();
    let print = |mm: f64| lengths.print(Length::mm(mm));
    let thick = preferences
        .caliper_lengths()
        .print(Length::mm(need.thickness_mm));
    // Bar is bought by the gram or the tenth of an ounce, no finer.
    let unit = preferences.mass_unit;
    let decimals = u8::from(unit == MassUnit::Ounce);
    let mass = need.mass_g.map_or(MISSING.to_owned(), |g| {
        print_mass(Mass::g(g), unit, decimals)
    });
    let words = format!(
        "{} of {} × {thick}: {mass}",
        print(need.length_mm),
        print(need.width_mm)
    );
    ui.label(unparted(&words));
    let blanks = match need.blanks {
        1 => "1 blank".to_owned(),
        n => format!("{n} blanks"),
    };
    let told = format!(
        "{}; {blanks} {} for {}",
        need.material,
        need.work.name(),
        need.knives.join(", ")
    );
    quiet(ui, desk, &told);
}
