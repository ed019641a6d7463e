//! The planner's part of the Drill card: a wanted balance or mass, and the plans that bring it about.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::{OnCard, fold_line_ui, hint_ui, sentence};
use crate::planning::{Plan, PlanRules, Wanted, drills_named};
use crate::units::print_number;
use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, mass_field, note_ui, signed_field, text_field};
use crate::window::planner::edits_of;

/// What the maker wishes of the planner.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanWish {
    open: bool,
    /// Wanted balance or mass, and the knife it is wanted of.
    pub(in crate::window) wanted: Option<(crate::knife::Id, Wanted)>,
    /// Place of the plan that is shown on the drawing.
    pub(in crate::window) shown: usize,
    /// Holes sit on the middle line, or in pairs beside it.
    pub(in crate::window) even: bool,
    /// The knife whose holes keep to a stretch of the tang, and its front and rear, mm.
    region: Option<(crate::knife::Id, (f64, f64))>,
}

impl PlanWish {
    /// What is wanted of a knife.
    #[must_use]
    pub(in crate::window) fn wanted_of(&self, knife: crate::knife::Id) -> Option<Wanted> {
        self.wanted
            .filter(|(own, _)| *own == knife)
            .map(|(_, wanted)| wanted)
    }

    /// The balance that is wanted of a knife, mm, if it is a balance.
    #[must_use]
    pub(in crate::window) fn balance_of(&self, knife: crate::knife::Id) -> Option<f64> {
        match self.wanted_of(knife)? {
            Wanted::BalanceMm(mm) => Some(mm),
            Wanted::MassG(_) => None,
        }
    }

    /// Front and rear of the stretch that holes of a knife keep to, mm, where the maker has said so.
    #[must_use]
    pub(in crate::window) fn region_of(&self, knife: crate::knife::Id) -> Option<(f64, f64)> {
        self.region
            .filter(|(own, _)| *own == knife)
            .map(|(_, region)| region)
    }

    /// Opens the part, as when the marker on the beam was dragged.
    pub(in crate::window) fn open(&mut self) {
        self.open = true;
    }
}

/// Draws the part.
pub(super) fn plan_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let Some(total) = on.results.weighed.up.total else {
        return;
    };
    let wanted = desk.session.plan.wanted_of(on.knife.id);
    let summary = wanted.map_or_else(|| "no wish yet".to_owned(), |own| wanted_words(on, own));
    let open = desk.session.plan.open;
    if fold_line_ui(ui, desk, "Wanted balance or mass", &summary, open) {
        desk.session.plan.open = !open;
    }
    if !open {
        return;
    }
    typed_ui(ui, desk, on, (total.balance_mm, total.mass_g));
    if rules_ui(ui, desk, on) {
        desk.session.plan.shown = 0;
        desk.actions
            .push(wanted.map_or(Action::DropPlans, Action::Plan));
    }
    if desk.shown.kept.planner.works() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("planning");
            if ui.button("Stop planning").clicked() {
                desk.actions.push(Action::DropPlans);
            }
        });
        return;
    }
    let Some(wanted) = wanted else {
        hint_ui(
            ui,
            desk,
            "Type where it shall balance or what it shall weigh, or drag the open marker on the beam; plans for holes come of it.",
        );
        return;
    };
    let planner = &desk.shown.kept.planner;
    match planner.answer(&on.results.knife) {
        Some(Ok(planning)) => {
            for stop in &planning.stopped_by {
                ui.label(
                    RichText::new(sentence(&stop.to_string()))
                        .small()
                        .color(desk.shown.palette.warn),
                );
            }
            if !planning.reached() {
                let (low, high) = planning.reachable;
                let [low, high] = [low, high].map(|value| match wanted {
                    Wanted::BalanceMm(_) => on.say.signed(value),
                    Wanted::MassG(_) => on.say.scale(value),
                });
                let text = format!("within reach: {low} to {high}");
                hint_ui(ui, desk, &text);
            }
            for (place, plan) in planning.plans.iter().enumerate() {
                line_ui(ui, desk, on, place, plan);
            }
        }
        Some(Err(reason)) => {
            let text = sentence(&reason.to_string());
            ui.label(RichText::new(text).small().color(desk.shown.palette.stop));
        }
        None => {
            if ui.button("Plan holes").clicked() {
                desk.actions.push(Action::Plan(wanted));
            }
        }
    }
}

fn wanted_words(on: OnCard<'_>, wanted: Wanted) -> String {
    match wanted {
        Wanted::BalanceMm(mm) => on.say.signed(mm),
        Wanted::MassG(g) => on.say.scale(g),
    }
}

/// The two fields; what is typed in either is the wish.
fn typed_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, (mm, g): (f64, f64)) {
    let ids = ["wanted", "wanted mass"].map(|name| FieldId::of(on.knife.id, "plan", name));
    let wanted = desk.session.plan.wanted_of(on.knife.id);
    let (mm, g) = match wanted {
        Some(Wanted::BalanceMm(own)) => (own, g),
        Some(Wanted::MassG(own)) => (mm, own),
        None => (mm, g),
    };
    let mut new = None;
    field_row(ui, desk, 2, &ids, |columns, desk| {
        let [left, right] = columns else { return };
        let balance = signed_field(left, desk, ids[0], "balance at", mm, on.say.lengths);
        let mass = mass_field(right, desk, ids[1], "or a mass of", g);
        new = balance.map(Wanted::BalanceMm).or(mass.map(Wanted::MassG));
    });
    if let Some(wanted) = new {
        desk.session.plan.wanted = Some((on.knife.id, wanted));
        desk.session.plan.shown = 0;
        desk.actions.push(Action::Plan(wanted));
    }
}

/// Where holes may lie and with which drills; whether any of it has changed.
fn rules_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) -> bool {
    let ids = ["holes from", "holes back to", "drills at hand"];
    let ids = ids.map(|name| FieldId::of(on.knife.id, "plan", name));
    let usual = PlanRules::default().region_mm(on.knife, on.results.steel.bounds().x0);
    let (rear, front) = match desk.session.plan.region_of(on.knife.id) {
        Some((front, rear)) => (rear, front),
        None => usual,
    };
    let mut new = None;
    field_row(ui, desk, 2, &ids[..2], |columns, desk| {
        let [left, right] = columns else { return };
        let from = signed_field(left, desk, ids[0], "holes from", front, on.say.lengths);
        let to = signed_field(right, desk, ids[1], "back to", rear, on.say.lengths);
        if from.is_some() || to.is_some() {
            new = Some((from.unwrap_or(front), to.unwrap_or(rear)));
        }
    });
    let mut changed = false;
    if let Some((front, rear)) = new {
        if front - rear > 0.0 {
            desk.session.plan.region = Some((on.knife.id, (front, rear)));
            changed = true;
        } else {
            let reason =
                "holes would begin behind their own end: give a place nearer to the blade first";
            desk.session.fields.wrong(ids[0], reason);
        }
    }
    changed |= ui
        .checkbox(&mut desk.session.plan.even, "Even about the middle line")
        .changed();
    changed | drills_ui(ui, desk, ids[2])
}

/// The drills at hand, by what stands on them; nothing for the usual box.
fn drills_ui(ui: &mut Ui, desk: &mut Desk<'_>, id: FieldId) -> bool {
    let own = desk.session.preferences.drills.join(", ");
    let typed = text_field(ui, desk, id, "drills at hand", &own);
    note_ui(ui, desk, &[id]);
    let Some(typed) = typed else { return false };
    let labels = typed.split([',', ';']).map(str::trim);
    let labels: Vec<&str> = labels.filter(|label| !label.is_empty()).collect();
    match drills_named(labels.iter().copied()) {
        Ok(drills) => {
            desk.session.preferences.drills = drills.into_iter().map(|d| d.label).collect();
            true
        }
        Err(label) => {
            let reason = format!(
                "no drill is called {label}: give sizes as 6.5, 1/4, #30 or F, with commas between"
            );
            desk.session.fields.wrong(id, &reason);
            false
        }
    }
}

/// One plan: what it is, what it reaches, and the button that carries it out.
fn line_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, place: usize, plan: &Plan) {
    let shown = desk.session.plan.shown == place;
    let count = match (plan.cuts.len(), &plan.taper) {
        (0, Some(_)) => String::new(),
        (1, _) => ", 1 cut".to_owned(),
        (n, _) => format!(", {n} cuts"),
    };
    let strength = plan.strength_kept.map_or_else(String::new, |kept| {
        format!(", {} % strength", print_number(100.0 * kept, 0))
    });
    let name = format!("{}{count}", plan.kind.name());
    let mass = match desk.session.plan.wanted_of(on.knife.id) {
        Some(Wanted::MassG(_)) => format!("{}, ", on.say.scale(plan.mass_g)),
        _ => String::new(),
    };
    let told = format!(
        "{mass}{}, {}{strength}",
        on.say.signed(plan.balance_mm),
        on.say.mass(Some(-plan.removed_g))
    );
    ui.horizontal(|ui| {
        let row = ui.selectable_label(shown, &name).on_hover_text(&told);
        if row.clicked() {
            desk.session.plan.shown = place;
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.spacing_mut().button_padding.y = 2.0;
            let button = ui.button("Take this");
            let button = button.accessible_name(format!("Take this: {name}"));
            if button.clicked() {
                let label = match desk.session.plan.wanted_of(on.knife.id) {
                    Some(Wanted::MassG(_)) => format!("drill for mass: {}", plan.kind.name()),
                    _ => format!("drill for balance: {}", plan.kind.name()),
                };
                desk.change_together(&label, edits_of(on.knife.id, plan));
                desk.session.plan.wanted = None;
            }
        });
    });
    hint_ui(ui, desk, &told);
}

/// The plan that is shown on the drawing, if there is one for this very knife.
pub(in crate::window) fn shown_plan<'a>(
    desk_shown: &crate::window::shown::Shown<'a>,
    wish: &PlanWish,
    knife: &Arc<crate::knife::Knife>,
) -> Option<&'a Plan> {
    wish.wanted_of(knife.id)?;
    let planning = desk_shown.kept.planner.answer(knife)?.as_ref().ok()?;
    planning.plans.get(wish.shown)
}
