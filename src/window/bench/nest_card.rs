//! The cards of the nest: how many of each knife, the stock and its distances, the search and its way out.

use egui::{Button, RichText, Ui};

use super::nest_page::is_stale;
use super::nest_view::{MOST_OF_ONE, NestView, PieceFrom, StockKind};
use super::{EMPTY, card_ui, column_ui, one_of_ui};
use crate::units::{LengthFormat, LengthUnit};
use crate::window::action::{Action, ExportWish};
use crate::window::cards::{choice_ui, unparted};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, words_area};
use crate::window::session::Session;
use crate::window::shown::Shown;

/// Draws the cards.
pub(super) fn cards_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    column_ui(ui, shown, session, actions, |ui, desk| {
        card_ui(ui, desk, "Nest", search_ui);
        card_ui(ui, desk, "How many", knives_ui);
        card_ui(ui, desk, "Stock", stock_ui);
    });
}

/// A row for each knife: fewer, how many, more.
fn knives_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shown = desk.shown;
    for knife in &shown.set.knives {
        let count = desk.session.nest.count_of(knife.id);
        let mut new = count;
        ui.horizontal(|ui| {
            let thick = desk.session.preferences.caliper_lengths();
            let thick = thick.print(crate::units::Length::mm(knife.stock.thickness_mm));
            let name = egui::Label::new(&knife.name).truncate();
            let width = ui.available_width() - 96.0;
            ui.allocate_ui(egui::vec2(width, 20.0), |ui| {
                ui.set_width(width);
                ui.add(name);
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    let thick = RichText::new(thick).small();
                    ui.label(thick.color(shown.palette.quiet));
                });
            });
            let less = ui.add_enabled(count > 0, Button::new("−"));
            if less
                .accessible_name(format!("One {} less", knife.name))
                .clicked()
            {
                new = count.saturating_sub(1);
            }
            ui.add_sized([22.0, 20.0], egui::Label::new(count.to_string()));
            let more = ui.add_enabled(count < MOST_OF_ONE, Button::new("+"));
            if more
                .accessible_name(format!("One {} more", knife.name))
                .clicked()
            {
                new = count + 1;
            }
        });
        if new != count {
            desk.session.nest.counts.insert(knife.id, new);
        }
    }
    if shown.set.knives.is_empty() {
        ui.label(RichText::new(EMPTY).small().color(shown.palette.quiet));
    }
}

fn stock_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let words = StockKind::ALL.map(|kind| (kind, kind.name()));
    if let Some(kind) = one_of_ui(ui, words, desk.session.nest.kind) {
        desk.session.nest.kind = kind;
        desk.session.nest.view = None;
    }
    let lengths = desk.session.preferences.lengths();
    match desk.session.nest.kind {
        StockKind::Bar => pair_ui(ui, desk, lengths, ("width", "length"), |nest| {
            &mut nest.bar_mm
        }),
        StockKind::Sheet => pair_ui(
            ui,
            desk,
            lengths,
            ("across the grain", "along the grain"),
            |nest| &mut nest.sheet_mm,
        ),
        StockKind::Odd => odd_ui(ui, desk),
    }
    distances_ui(ui, desk, lengths);
    let nest = &mut desk.session.nest;
    ui.checkbox(&mut nest.any_turn, "Any turn").on_hover_text(
        "Knives may lie across the rolling direction too, in steps of 15 degrees; else along it or end for end",
    );
    ui.checkbox(&mut nest.mirror, "Other face up too")
        .on_hover_text(
            "Knives may be cut turned over; one whose core lies off the middle never is",
        );
}

/// Two lengths side by side.
fn pair_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    lengths: LengthFormat,
    labels: (&str, &str),
    pair: fn(&mut NestView) -> &mut (f64, f64),
) {
    let fields = [labels.0, labels.1].map(|name| FieldId::plain(&format!("nest {name}")));
    let now = *pair(&mut desk.session.nest);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let new = length_field(left, desk, fields[0], labels.0, now.0, lengths);
        if let Some(mm) = new.filter(|mm| *mm > 0.0) {
            pair(&mut desk.session.nest).0 = mm;
            desk.session.nest.view = None;
        }
        let new = length_field(right, desk, fields[1], labels.1, now.1, lengths);
        if let Some(mm) = new.filter(|mm| *mm > 0.0) {
            pair(&mut desk.session.nest).1 = mm;
            desk.session.nest.view = None;
        }
    });
}

fn distances_ui(ui: &mut Ui, desk: &mut Desk<'_>, lengths: LengthFormat) {
    let fields = ["gap", "edge"].map(|name| FieldId::plain(&format!("nest {name}")));
    let (gap, edge) = (desk.session.nest.gap_mm, desk.session.nest.edge_mm);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [left, right] = columns else { return };
        let new = length_field(left, desk, fields[0], "gap between", gap, lengths);
        if let Some(mm) = new.filter(|mm| *mm >= 0.0) {
            desk.session.nest.gap_mm = mm;
        }
        let new = length_field(right, desk, fields[1], "from the edge", edge, lengths);
        if let Some(mm) = new.filter(|mm| *mm >= 0.0) {
            desk.session.nest.edge_mm = mm;
        }
    });
}

/// An odd piece: where it comes from, its corners, its flaws.
fn odd_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shown = desk.shown;
    let own = match &desk.session.nest.piece {
        PieceFrom::Corners => "corners set here".to_owned(),
        PieceFrom::Knife(id) => shown.set.knife(*id).map_or_else(
            || "gone from the rack".to_owned(),
            |knife| knife.name.clone(),
        ),
        PieceFrom::Drawing { name, .. } => name.clone(),
    };
    let mut chosen = None;
    let field = FieldId::plain("odd piece");
    choice_ui(ui, desk, field, "where it comes from", &own, |ui, desk| {
        let corners = desk.session.nest.piece == PieceFrom::Corners;
        if ui.selectable_label(corners, "corners set here").clicked() {
            chosen = Some(PieceFrom::Corners);
        }
        for knife in &shown.set.knives {
            let from = PieceFrom::Knife(knife.id);
            let is = desk.session.nest.piece == from;
            let name = format!("{}, drawn as the piece", knife.name);
            if ui.selectable_label(is, name).clicked() {
                chosen = Some(from);
            }
        }
    });
    if let Some(piece) = chosen {
        desk.session.nest.piece = piece;
        desk.session.nest.view = None;
    }
    let inches = desk.session.preferences.length_unit != LengthUnit::Mm;
    if desk.session.nest.piece == PieceFrom::Corners {
        let text = desk.session.nest.corners.clone();
        let label = if inches {
            "corners, all round, as 0,0 12,0 11,2.5"
        } else {
            "corners, all round, as 0,0 300,0 280,60"
        };
        let field = FieldId::plain("piece corners");
        if let Some(corners) = words_area(ui, desk, field, label, &text, 2) {
            desk.session.nest.corners = corners;
            desk.session.nest.view = None;
        }
    }
    let text = desk.session.nest.flaws.clone();
    let label = if inches {
        "flaws, place and reach, as 5,1.2,0.2"
    } else {
        "flaws, place and reach, as 120,30,4"
    };
    let field = FieldId::plain("piece flaws");
    if let Some(flaws) = words_area(ui, desk, field, label, &text, 1) {
        desk.session.nest.flaws = flaws;
    }
    let hint = if desk.session.nest.marks_flaws {
        "Drag on the page from the middle of a flaw to as far as it reaches."
    } else {
        match desk.session.nest.piece {
            PieceFrom::Corners => {
                "Click on the page to set a corner, or drop a drawing (SVG, DXF) on it."
            }
            _ => "A drawing (SVG, DXF) dropped on the page is the piece too.",
        }
    };
    ui.label(RichText::new(hint).small().color(shown.palette.quiet));
    ui.horizontal_wrapped(|ui| {
        let nest = &mut desk.session.nest;
        let mark = Button::selectable(nest.marks_flaws, "Mark flaws");
        let hint = "Drag on the page from the middle of a flaw to as far as it reaches";
        if ui.add(mark).on_hover_text(hint).clicked() {
            nest.marks_flaws = !nest.marks_flaws;
        }
        if ui.button("Take back").on_hover_text("Backspace").clicked() {
            nest.take_back();
        }
    });
}

/// Start and stop, what has come of it, and the files.
fn search_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shown = desk.shown;
    let nester = &shown.kept.nest;
    let palette = shown.palette;
    let works = nester.works();
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        let size = |ui: &Ui| egui::vec2(ui.available_width(), 26.0);
        let (name, action) = if works {
            ("Stop, keep the best", Action::StopNest)
        } else {
            ("Lay them out", Action::StartNest)
        };
        if left.add_sized(size(left), Button::new(name)).clicked() {
            desk.actions.push(action);
        }
        right.add_enabled_ui(nester.nest().is_some(), |ui| {
            let write = ui
                .add_sized(size(ui), Button::new("Write cutting files").truncate())
                .on_hover_text("DXF with outlines and holes, SVG with the stock and names");
            if write.clicked() {
                desk.actions.push(Action::Export(ExportWish::Nest));
            }
        });
    });
    if let Some(trouble) = nester.trouble() {
        ui.label(RichText::new(trouble).color(palette.stop));
    }
    if let Some(words) = nester.words() {
        ui.label(unparted(words));
    }
    let (rounds, took) = nester.progress();
    if works || rounds > 0 {
        ui.horizontal(|ui| {
            if works {
                ui.spinner();
            }
            let state = if works {
                "searching for"
            } else {
                "searched for"
            };
            let words = format!("{state} {} s, {rounds} rounds", took.as_secs());
            ui.label(RichText::new(words).small().color(palette.quiet));
        });
    }
    for line in nester.left_over() {
        ui.label(RichText::new(line).small().color(palette.warn));
    }
    let bars = nester.bars();
    if bars.len() > 1 {
        let told = format!("Not all are of one bar:\n{}", bars.join("\n"));
        ui.label(RichText::new(told).small().color(palette.warn));
    }
    if nester.nest().is_some() && is_stale(nester, shown.set) {
        let words = "The knives have changed since: lay them out again.";
        ui.label(RichText::new(words).small().color(palette.warn));
    }
    let left_on = shown.results.thresholds().left_on_mm;
    if left_on > 0.0 {
        let lengths = desk.session.preferences.lengths();
        let told = lengths.print(crate::units::Length::mm(left_on));
        let words = format!("with {told} left on all round, as the shop's figures say");
        ui.label(RichText::new(words).small().color(palette.quiet));
    }
}
