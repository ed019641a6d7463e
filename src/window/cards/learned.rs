//! What the scale teaches the shop: kept for later knives from a weigh-in, and offered where a bar of the same steel is worked on. No design
//! changes until the maker presses a button.

use egui::Ui;

use super::switch::low_button_ui;
use super::{OnCard, hint_ui};
use crate::edit::{Change, Edit};
use crate::files::LearnedBar;
use crate::knife::Knife;
use crate::units::print_number;
use crate::weighing::{Cause, CauseKind};
use crate::window::action::Action;
use crate::window::desk::Desk;

/// What was learned and what the design has count as one when they are this near, mm and g/cm³.
const THE_SAME: f64 = 0.0005;

/// What the shop can learn of a cause.
enum Lesson {
    Bar(LearnedBar),
    Density(String, f64),
}

impl Lesson {
    /// `None` for what is of this one knife alone, such as a slip of the hand.
    fn of(knife: &Knife, cause: &CauseKind) -> Option<Self> {
        let material = knife.stock.material.clone();
        match cause {
            CauseKind::Thickness { real_mm, .. } => Some(Self::Bar(LearnedBar {
                material,
                nominal_mm: knife.stock.thickness_mm,
                real_mm: *real_mm,
            })),
            CauseKind::Density { real_g_cm3, .. } => Some(Self::Density(material, *real_g_cm3)),
            CauseKind::Bevel { .. } => None,
        }
    }
}

/// The button that keeps a cause for later knives, where it is one of the steel.
pub(super) fn learn_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    cause: &Cause,
    words: &str,
) {
    let Some(lesson) = Lesson::of(on.knife, &cause.kind) else {
        return;
    };
    let button = low_button_ui(ui, "Keep for later").on_hover_text(
        "The shop remembers it and offers it for later knives of this steel; no design changes",
    );
    let button = button.accessible_name(format!("Keep for later: {words}"));
    if button.clicked() {
        learn(desk, on, lesson);
    }
}

fn learn(desk: &mut Desk<'_>, on: OnCard<'_>, lesson: Lesson) {
    let set = desk.shown.set;
    let name = |key: &str| {
        set.material(key)
            .map_or_else(|| key.to_owned(), |m| m.name.clone())
    };
    let own = &mut desk.session.preferences.learned;
    let (learned, words) = match lesson {
        Lesson::Bar(bar) => {
            let words = format!(
                "kept for later knives: {} sold as {} is {}",
                name(&bar.material),
                on.say.fine(bar.nominal_mm),
                on.say.fine(bar.real_mm)
            );
            (own.learn_bar(bar), words)
        }
        Lesson::Density(key, real) => {
            let words = format!(
                "kept for later knives: {} has {} g/cm³",
                name(&key),
                print_number(real, 3)
            );
            (own.learn_density(&key, real), words)
        }
    };
    let text = if learned {
        words
    } else {
        "no steel is like that: look at the weigh-in again".to_owned()
    };
    desk.actions.push(Action::Say(text));
}

/// What the shop has learned of this very bar, with a button for each that takes it over; nothing where the design has it already.
pub(super) fn learned_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let stock = &on.knife.stock;
    let key = &stock.material;
    let differs = |real: &f64, now: f64| (real - now).abs() > THE_SAME;
    let learned = &desk.session.preferences.learned;
    let (thick, dense) = (
        learned.thickness_mm(key, stock.thickness_mm),
        learned.density_g_cm3(key),
    );
    if let Some(real_mm) = thick.filter(|mm| differs(mm, stock.thickness_mm)) {
        let words = format!("learned on the scale: {} thick", on.say.fine(real_mm));
        if take_ui(ui, desk, &words, "Use this thickness") {
            let stock = stock.rolled_to(real_mm);
            desk.change(on.knife.id, Change::SetStock { stock });
        }
    }
    let Some(material) = desk.shown.set.material(key) else {
        return;
    };
    if let Some(density) = dense.filter(|real| differs(real, material.density_g_cm3)) {
        let words = format!("learned on the scale: {} g/cm³", print_number(density, 3));
        if take_ui(ui, desk, &words, "Use this density") {
            let material = material.as_dense_as(density);
            desk.actions
                .push(Action::Edit(Edit::SetMaterial { material }));
        }
    }
}

/// A line of words and a button at its end; whether it was pressed.
fn take_ui(ui: &mut Ui, desk: &Desk<'_>, words: &str, button: &str) -> bool {
    let mut pressed = false;
    ui.horizontal(|ui| {
        hint_ui(ui, desk, words);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            pressed = low_button_ui(ui, button).clicked();
        });
    });
    pressed
}
