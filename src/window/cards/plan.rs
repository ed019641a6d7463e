//! The planner's part of the Drill card: a wanted balance, and the plans that bring it about.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::{OnCard, fold_line_ui, hint_ui, sentence};
use crate::planning::Plan;
use crate::units::print_number;
use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, length_field, note_ui};
use crate::window::planner::edits_of;

/// What the maker wishes of the planner.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanWish {
    open: bool,
    /// Wanted balance, mm, and the knife it is wanted of.
    pub(in crate::window) wanted_mm: Option<(crate::knife::Id, f64)>,
    /// Place of the plan that is shown on the drawing.
    pub(in crate::window) shown: usize,
}

impl PlanWish {
    /// The balance that is wanted of a knife.
    #[must_use]
    pub(in crate::window) fn wanted_of(&self, knife: crate::knife::Id) -> Option<f64> {
        self.wanted_mm
            .filter(|(own, _)| *own == knife)
            .map(|(_, mm)| mm)
    }

    /// Opens the part, as when the marker on the beam was dragged.
    pub(in crate::window) fn open(&mut self) {
        self.open = true;
    }
}

/// Draws the part.
pub(super) fn plan_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let Some(total) = on.results.weigh.total else {
        return;
    };
    let wanted = desk.session.plan.wanted_of(on.knife.id);
    let summary = wanted.map_or_else(|| "no wish yet".to_owned(), |mm| on.say.signed(mm));
    let open = desk.session.plan.open;
    if fold_line_ui(ui, desk, "Wanted balance", &summary, open) {
        desk.session.plan.open = !open;
    }
    if !open {
        return;
    }
    let id = FieldId::of(on.knife.id, "plan", "wanted");
    let now = wanted.unwrap_or(total.balance_mm);
    if let Some(mm) = length_field(ui, desk, id, "balance at", now, on.say.lengths) {
        desk.session.plan.wanted_mm = Some((on.knife.id, mm));
        desk.session.plan.shown = 0;
        desk.actions.push(Action::Plan(mm));
    }
    note_ui(ui, desk, &[id]);
    if desk.shown.planner.works() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("planning");
            if ui.button("Stop planning").clicked() {
                desk.actions.push(Action::DropPlans);
            }
        });
        return;
    }
    let Some(mm) = wanted else {
        hint_ui(
            ui,
            desk,
            "Type where it shall balance, or drag the open marker on the beam; plans for holes come of it.",
        );
        return;
    };
    let planner = desk.shown.planner;
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
                let text = format!(
                    "within reach: {} to {}",
                    on.say.signed(low),
                    on.say.signed(high)
                );
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
                desk.actions.push(Action::Plan(mm));
            }
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
    let told = format!(
        "{}, {}{strength}",
        on.say.signed(plan.balance_mm),
        on.say.mass(Some(-plan.removed_g))
    );
    ui.horizontal(|ui| {
        let row = ui.selectable_label(shown, &name).on_hover_text(&told);
        if row.clicked() {
            desk.session.plan.shown = place;
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = ui.small_button("Take this");
            let button = button.accessible_name(format!("Take this: {name}"));
            if button.clicked() {
                let label = format!("drill for balance: {}", plan.kind.name());
                desk.change_together(&label, edits_of(on.knife.id, plan));
                desk.session.plan.wanted_mm = None;
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
    let planning = desk_shown.planner.answer(knife)?.as_ref().ok()?;
    planning.plans.get(wish.shown)
}
