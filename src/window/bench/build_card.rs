//! The cards of the build sheet: for whom it is, its paper and steps, and the maker's words on the fire.

use egui::{Button, RichText, Ui};

use super::{card_ui, column_ui, one_of_ui};
use crate::edit::{Change, Edit};
use crate::knife::{Knife, Material};
use crate::window::action::{Action, ExportWish};
use crate::window::cards::paper_ui;
use crate::window::desk::Desk;
use crate::window::fields::{FIELD_MARGIN, FieldId, words_area};
use crate::window::session::Session;
use crate::window::shown::Shown;

/// Lines a field for words shows at first.
const ROWS: usize = 3;

/// Draws the cards.
pub(super) fn cards_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    column_ui(ui, shown, session, actions, |ui, desk| {
        card_ui(ui, desk, "Build sheet", sheet_ui);
        card_ui(ui, desk, "Steps", steps_ui);
        card_ui(ui, desk, "Heat treatment", heat_ui);
    });
}

/// Whose sheet it is, the paper, the way out.
fn sheet_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let words = [(false, "Whole set"), (true, "This knife")];
    if let Some(one) = one_of_ui(ui, words, desk.session.build.one_knife) {
        desk.session.build.one_knife = one;
        desk.session.build.go_to = Some(0);
    }
    let pages = desk.shown.kept.build.pages().len();
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        paper_ui(left, desk);
        right.add_space(right.text_style_height(&egui::TextStyle::Small) + 2.0);
        // As high as the list beside it.
        right.spacing_mut().button_padding = FIELD_MARGIN;
        let size = egui::vec2(right.available_width(), right.spacing().interact_size.y);
        right.add_enabled_ui(pages > 0, |ui| {
            let save = ui
                .add_sized(size, Button::new("Save as PDF"))
                .on_hover_text("Writes these pages as they are, to be printed at 100 %");
            if save.clicked() {
                desk.actions.push(Action::Export(ExportWish::Build));
            }
        });
    });
    if pages == 0 {
        return;
    }
    let view = &mut desk.session.build;
    ui.horizontal(|ui| {
        let back = ui.add_enabled(view.page > 0, Button::new("‹"));
        if back.accessible_name("Page before").clicked() {
            view.go_to = Some(view.page - 1);
        }
        let on = ui.add_enabled(view.page + 1 < pages, Button::new("›"));
        if on.accessible_name("Page after").clicked() {
            view.go_to = Some(view.page + 1);
        }
        ui.label(format!("page {} of {pages}", (view.page + 1).min(pages)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .add(Button::selectable(view.whole_pages, "Whole page"))
                .clicked()
            {
                view.whole_pages = !view.whole_pages;
                view.go_to = Some(view.page);
            }
        });
    });
}

/// The steps, to go to.
fn steps_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let palette = desk.shown.palette;
    if desk.shown.kept.build.steps().is_empty() {
        let hint = "The work step by step stands here, once there is a knife.";
        ui.label(RichText::new(hint).small().color(palette.quiet));
    }
    for step in desk.shown.kept.build.steps() {
        ui.horizontal(|ui| {
            let name = Button::selectable(false, &step.heading).truncate();
            if ui.add(name).clicked() {
                desk.session.build.go_to = Some(step.page);
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let page = format!("page {}", step.page + 1);
                ui.label(RichText::new(page).small().color(palette.quiet));
            });
        });
    }
}

/// The maker's words and the data sheets of the steels, knife by knife.
fn heat_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shown = desk.shown;
    let caution = "The steel maker's data sheet decides; this program gives no recipe.";
    ui.label(RichText::new(caution).small().color(shown.palette.warn));
    let one = desk.session.knife.filter(|_| desk.session.build.one_knife);
    let knives = || {
        let all = shown.set.knives.iter().map(AsRef::as_ref);
        all.filter(|knife: &&Knife| one.is_none_or(|id| id == knife.id))
    };
    let mut steels: Vec<&Material> = Vec::new();
    for knife in knives() {
        let label = format!("{}: your words", knife.name);
        let field = FieldId::new(knife.id, "heat words");
        if let Some(words) = words_area(ui, desk, field, &label, &knife.heat_words, ROWS) {
            desk.change(knife.id, Change::SetHeatWords { words });
        }
        let own = shown.set.material(&knife.stock.material);
        steels.extend(own.filter(|own| !steels.iter().any(|other| other.key == own.key)));
    }
    for steel in steels {
        let label = format!("{}: its maker's data sheet", steel.name);
        let field = FieldId::plain(&format!("data sheet {}", steel.key));
        if let Some(data_sheet) = words_area(ui, desk, field, &label, &steel.data_sheet, ROWS) {
            let material = Material {
                data_sheet,
                ..steel.clone()
            };
            desk.actions
                .push(Action::Edit(Edit::SetMaterial { material }));
        }
    }
    if knives().next().is_none() {
        let hint = "Your words on the fire stand here, once there is a knife.";
        ui.label(RichText::new(hint).small().color(shown.palette.quiet));
    }
}
