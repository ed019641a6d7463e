//! The ready check on the Template card: the service, what it would ask about, and the mends.

use std::collections::BTreeSet;

use egui::{Button, RichText, Ui};

use super::OnCard;
use super::choice::choice_ui;
use crate::catalog::{Service, ServiceMend, usual_services};
use crate::checks::{Ready, ReadyMend};
use crate::edit::{Change, first_free};
use crate::files::Services;
use crate::window::desk::Desk;
use crate::window::dialogs::Dialog;
use crate::window::fields::{FieldId, count_field};

/// Most copies of one knife: more than one order of a lone maker has.
const MOST_COPIES: u32 = 999;
/// Findings told before the rest is only counted.
const MOST_TOLD: usize = 12;
/// What is chosen while the shop's figures alone say how.
const BY_FIGURES: &str = "shop figures";

/// Draws the service, how many to cut, and what would be asked.
pub(super) fn ready_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    desk.session.ready.open = true;
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        services_ui(left, desk);
        counts_ui(right, desk, on);
    });
    if !desk.shown.kept.ready.speaks_of(on.knife.id) {
        // Looked for before the next frame.
        ui.ctx().request_repaint();
        return;
    }
    let shelf = &desk.shown.kept.ready;
    let n = shelf.lines().len();
    if desk.session.ready.shown.is_some_and(|shown| shown >= n) {
        desk.session.ready.shown = None;
    }
    ui.horizontal(|ui| {
        let (word, color) = match n {
            0 => (
                "nothing to ask: ready to cut".to_owned(),
                desk.shown.palette.guide,
            ),
            1 => ("1 thing would be asked".to_owned(), desk.shown.palette.warn),
            n => (
                format!("{n} things would be asked"),
                desk.shown.palette.warn,
            ),
        };
        ui.label(RichText::new(word).small().color(color));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let rules = ui.add(Button::new(RichText::new("Rules…").small()));
            if rules
                .on_hover_text("What the service can cut, and the file it wants; yours to change")
                .clicked()
            {
                desk.session.dialog = Dialog::Service;
            }
        });
    });
    for (place, ready) in shelf.lines().iter().take(MOST_TOLD).enumerate() {
        line_ui(ui, desk, on, place, ready);
    }
    if n > MOST_TOLD {
        let more = format!("and {} more", n - MOST_TOLD);
        ui.label(RichText::new(more).small().color(desk.shown.palette.quiet));
    }
}

fn counts_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let count = desk.session.nest.count_of(on.knife.id);
    let field = FieldId::plain("how-many");
    // Nothing of it is cut while the Nest page says none.
    if let Some(n) = count_field(ui, desk, field, "how many to cut", count, MOST_COPIES) {
        desk.session.nest.counts.insert(on.knife.id, n);
    }
}

/// The choice of the service files are written for.
fn services_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let services = &desk.session.preferences.services;
    let chosen = services.chosen.clone();
    let own: Vec<String> = services.own.iter().map(|s| s.name.clone()).collect();
    let word = if chosen.is_empty() {
        BY_FIGURES
    } else {
        chosen.as_str()
    };
    let mut new = None;
    choice_ui(
        ui,
        desk,
        FieldId::plain("service"),
        "cut by",
        word,
        |ui, _| {
            if ui.selectable_label(chosen.is_empty(), BY_FIGURES).clicked() {
                new = Some(String::new());
            }
            for name in usual_services().map(|s| s.name).chain(own) {
                if ui.selectable_label(name == chosen, &name).clicked() {
                    new = Some(name);
                }
            }
        },
    );
    if let Some(name) = new {
        desk.session.preferences.services.chosen = name;
        desk.session.ready.shown = None;
    }
}

/// A finding: pressed, it is marked on the drawing and tells what its mend would do.
fn line_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, place: usize, ready: &Ready) {
    let palette = desk.shown.palette;
    let finding = &ready.finding;
    let fine = |mm: f64| on.say.fine(mm);
    let what = finding.what.text(&fine);
    let looked_at = desk.session.ready.shown == Some(place);
    // On what is chosen the color of a severity would be faint.
    let color = if looked_at {
        palette.line
    } else {
        palette.finding(finding.severity)
    };
    let told = super::unparted(&format!("{}: {what}.", finding.severity.name()));
    let text = RichText::new(told).small().color(color);
    let row = Button::selectable(looked_at, text).wrap().frame(looked_at);
    let row = ui.add(row.min_size(egui::vec2(ui.available_width(), 0.0)));
    let row = row.on_hover_text("Press to see where, and what mends it");
    if row.clicked() {
        desk.session.ready.shown = (!looked_at).then_some(place);
    }
    if !looked_at {
        return;
    }
    let told = format!(
        "{} {}. By {}.",
        super::sentence(&finding.why.text(&fine)),
        finding.mend.text(&fine),
        ready.rule
    );
    let told = super::unparted(&told);
    ui.label(RichText::new(told).small().color(palette.quiet));
    // Looked at only now, its mend is there in the next frame.
    let told = desk.shown.kept.ready.mended(place);
    let told = told.and_then(|mended| mended.told.as_ref());
    if let (Some(mend), Some(told)) = (&ready.mend, told) {
        let told = told.text_in(&fine, &|mm2| on.say.area_change(mm2));
        let told = super::unparted(&told);
        ui.label(RichText::new(told).small().color(palette.guide));
        let button = ui.button(super::sentence(mend.label()).trim_end_matches('.'));
        if button.clicked() {
            desk.session.ready.shown = None;
            make(desk, on, mend);
        }
    }
}

fn make(desk: &mut Desk<'_>, on: OnCard<'_>, mend: &ReadyMend) {
    match mend {
        ReadyMend::Knife(mend) => desk.change(on.knife.id, Change::Mend { mend: mend.clone() }),
        ReadyMend::Service(mend) => {
            if let Some(service) = desk.shown.results.service() {
                let services = &mut desk.session.preferences.services;
                mend_service(services, &service, *mend);
            }
        }
    }
}

/// Mends the rules; those of a way of cutting become the maker's own first.
fn mend_service(services: &mut Services, service: &Service, mend: ServiceMend) {
    let own = as_own(services, service).mended(mend);
    services.chosen.clone_from(&own.name);
    // Its name and rules were sound before, and the mend keeps them so; else the rules stay.
    if services.put(own).is_err() {
        services.chosen.clone_from(&service.name);
    }
}

/// The service itself when it is the maker's own, else a copy with a name of its own.
pub(in crate::window) fn as_own(services: &Services, service: &Service) -> Service {
    if services.own.iter().any(|s| s.name == service.name) {
        return service.clone();
    }
    let base = format!("Our {}", service.name.to_lowercase());
    let taken: BTreeSet<&str> = services.own.iter().map(|s| s.name.as_str()).collect();
    let name = if taken.contains(base.as_str()) {
        first_free(&base, " ", &taken)
    } else {
        base
    };
    Service {
        name,
        ..service.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::usual_service;

    #[test]
    fn a_way_of_cutting_becomes_ones_own_when_it_is_mended() {
        let mut services = Services::default();
        let laser = usual_service("laser").unwrap();
        mend_service(&mut services, &laser, ServiceMend::LeaveOn { mm: 0.508 });
        assert_eq!(services.chosen, "Our fiber laser");
        let own = services.chosen().unwrap();
        assert_eq!((own.left_on_mm, own.kerf_mm), (0.508, laser.kerf_mm));
        // Its own mends stay with it.
        mend_service(&mut services, &own, ServiceMend::MarkSmallHoles);
        assert_eq!(services.own.len(), 1);
        assert!(services.chosen().unwrap().marks_small_holes);
        mend_service(&mut services, &laser, ServiceMend::MarkSmallHoles);
        assert_eq!(services.chosen, "Our fiber laser 2");
    }
}
