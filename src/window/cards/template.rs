//! The Template card: the paper, and what can leave the program.

use egui::Ui;

use super::choice::choice_ui;
use super::{Card, OnCard, card_frame_ui, caution_ui};
use crate::catalog::{paper, papers};
use crate::weighing::Missing;
use crate::window::action::{Action, ExportWish};
use crate::window::desk::Desk;
use crate::window::fields::FieldId;

/// The buttons, with what each says when pointed at.
const WISHES: [(ExportWish, &str, &str); 5] = [
    (
        ExportWish::Pdf,
        "Print sheet",
        "The true-size template as PDF, over as many sheets as it takes",
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
        paper_ui(ui, desk, &key, name);
        let missing = &on.results.weigh.missing;
        let unsound = missing.iter().any(|m| matches!(m, Missing::Outline { .. }));
        if unsound {
            caution_ui(
                ui,
                desk,
                "Mend the outline first: what crosses itself can't be cut.",
            );
            return;
        }
        for pair in WISHES.chunks(2) {
            ui.columns(2, |columns| {
                for (ui, (wish, name, hint)) in columns.iter_mut().zip(pair) {
                    let button = egui::Button::new(*name)
                        .min_size(egui::vec2(ui.available_width(), 0.0))
                        .wrap_mode(egui::TextWrapMode::Truncate);
                    if ui.add(button).on_hover_text(*hint).clicked() {
                        desk.actions.push(Action::Export(*wish));
                    }
                }
            });
        }
    });
}

fn paper_ui(ui: &mut Ui, desk: &mut Desk<'_>, key: &str, name: &str) {
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
