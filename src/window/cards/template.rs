//! The Template card: the paper, and what can leave the program.

use egui::Ui;

use super::choice::choice_ui;
use super::{Card, OnCard, card_frame_ui, caution_ui};
use crate::catalog::{paper, papers};
use crate::weighing::Missing;
use crate::window::action::{Action, ExportWish};
use crate::window::desk::Desk;
use crate::window::fields::{FIELD_MARGIN, FieldId};

/// A button, with what it says when pointed at.
type Wish = (ExportWish, &'static str, &'static str);

/// The button beside the paper.
const PRINT: Wish = (
    ExportWish::Pdf,
    "Print sheet",
    "The true-size template as PDF, over as many sheets as it takes",
);

/// The other buttons.
const WISHES: [Wish; 7] = [
    (
        ExportWish::Folded,
        "Print folded",
        "Both faces on one paper, to fold over the spine: the same holes and grind lines on either face",
    ),
    (
        ExportWish::Together,
        "Print whole rack",
        "All knives with their guards, handles and strips on as few sheets as they fit on",
    ),
    (
        ExportWish::Svg,
        "SVG",
        "The true-size drawing as SVG, in millimeters",
    ),
    (
        ExportWish::Dxf,
        "DXF for cutting",
        "Outline and cut-outs for a waterjet or laser service",
    ),
    (
        ExportWish::DxfR12,
        "DXF, release 12",
        "The same for old controllers, in lines and arcs",
    ),
    (
        ExportWish::CutTogether,
        "Cut whole rack",
        "All knives, each as often as it is wanted, in one cutting file for each bar",
    ),
    (
        ExportWish::All,
        "All into a folder",
        "Every file of every knife in the rack",
    ),
];

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let key = desk.session.preferences.paper.clone();
    let name = paper(&key).map_or(key.as_str(), |p| p.name.as_str());
    card_frame_ui(ui, desk, Card::Template, name, |ui, desk| {
        let missing = &on.results.weighed.up.missing;
        let unsound = missing.iter().any(|m| matches!(m, Missing::Outline { .. }));
        if unsound {
            caution_ui(
                ui,
                desk,
                "Mend the outline first: what crosses itself can't be cut.",
            );
            super::ready::ready_ui(ui, desk, on);
            return;
        }
        ui.columns(2, |columns| {
            let [left, right] = columns else { return };
            paper_ui(left, desk);
            // The label above the list is as high as this space.
            right.add_space(right.text_style_height(&egui::TextStyle::Small) + 2.0);
            // As high as the list beside it.
            right.spacing_mut().button_padding = FIELD_MARGIN;
            wish_ui(right, desk, &PRINT);
        });
        left_on_ui(ui, desk, on);
        super::engrave::engrave_ui(ui, desk, on);
        super::ready::ready_ui(ui, desk, on);
        for pair in WISHES.chunks(2) {
            ui.columns(pair.len(), |columns| {
                for (ui, wish) in columns.iter_mut().zip(pair) {
                    wish_ui(ui, desk, wish);
                }
            });
        }
    });
}

/// What cutting files leave for the bench, where the shop's figures want any.
fn left_on_ui(ui: &mut Ui, desk: &Desk<'_>, on: OnCard<'_>) {
    let figures = desk.shown.results.thresholds();
    let told: Vec<String> = [
        (figures.left_on_mm, "left on all round"),
        (figures.holes_under_mm, "off every hole"),
    ]
    .iter()
    .filter(|(mm, _)| *mm > 0.0)
    .map(|(mm, what)| format!("{} {what}", on.say.fine(*mm)))
    .collect();
    if !told.is_empty() {
        let words = format!("cutting files: {}", told.join(", "));
        let words = egui::RichText::new(words)
            .small()
            .color(desk.shown.palette.warn);
        ui.label(words)
            .on_hover_text("As the service wants it, or Bench, Shop figures, Cutting files say");
    }
}

fn wish_ui(ui: &mut Ui, desk: &mut Desk<'_>, (wish, name, hint): &Wish) {
    let size = egui::vec2(ui.available_width(), ui.spacing().interact_size.y);
    let button = egui::Button::new(*name).truncate();
    if ui.add_sized(size, button).on_hover_text(*hint).clicked() {
        desk.actions.push(Action::Export(*wish));
    }
}

/// The choice of paper.
pub(in crate::window) fn paper_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let key = desk.session.preferences.paper.clone();
    let name = paper(&key).map_or(key.as_str(), |p| p.name.as_str());
    let mut new = None;
    choice_ui(ui, desk, FieldId::plain("paper"), "paper", name, |ui, _| {
        for each in papers() {
            if ui.selectable_label(each.key == key, &each.name).clicked() {
                new = Some(each.key.clone());
            }
        }
    });
    if let Some(paper) = new {
        desk.session.preferences.paper = paper;
    }
}
