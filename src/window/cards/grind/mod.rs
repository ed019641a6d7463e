//! The Grind card: the layers of the bar, its taper, and what is ground on it, each a line that opens on a click.

mod bevel;
mod cut;
mod fire;
mod forge;
mod fuller;
mod layers;
mod scribe;
mod taper;
mod wanted;
mod words;

use egui::{RichText, Ui};

use super::{Card, OnCard, card_frame_ui, caution_ui, fold_line_ui, hint_ui, sentence};
use crate::edit::{Change, Thing};
use crate::knife::{Grind, Id, usual_bevel, usual_false_edge, usual_fuller, usual_second_bevel};
use crate::weighing::Missing;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

pub(in crate::window) use forge::Forging;
pub(in crate::window) use wanted::Wanted;

/// A part of the Grind card that opens and shuts; one at a time is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GrindPart {
    /// The layers of the bar.
    Layers,
    /// What goes into the fire for a forged blank.
    Fire,
    /// Thickness along the knife.
    Taper,
    /// One grind.
    Grind(Id),
    /// One fuller.
    Fuller(Id),
}

/// The part of the card that shows a picked thing.
pub(super) fn part_of(thing: Thing) -> Option<GrindPart> {
    match thing {
        Thing::TaperStation(_) => Some(GrindPart::Taper),
        Thing::FullerNode { fuller, .. } => Some(GrindPart::Fuller(fuller)),
        _ => None,
    }
}

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let summary = words::summary(on.knife, on.say);
    card_frame_ui(ui, desk, Card::Grind, &summary, |ui, desk| {
        part_ui(ui, desk, on, GrindPart::Layers);
        part_ui(ui, desk, on, GrindPart::Fire);
        part_ui(ui, desk, on, GrindPart::Taper);
        let grinding = &on.knife.grinding;
        for grind in &grinding.grinds {
            part_ui(ui, desk, on, GrindPart::Grind(grind.id));
        }
        for fuller in &grinding.fullers {
            part_ui(ui, desk, on, GrindPart::Fuller(fuller.id));
        }
        if grinding.grinds.is_empty() && grinding.fullers.is_empty() {
            hint_ui(
                ui,
                desk,
                "Nothing is ground yet: press Bevel, and drag its line on the drawing.",
            );
        }
        for missing in &on.results.weighed.up.missing {
            if let Missing::Grind { fault } = missing {
                caution_ui(ui, desk, &sentence(&fault.to_string()));
            }
        }
        add_ui(ui, desk, on);
        if !grinding.is_empty() {
            tolerance_ui(ui, desk, on);
        }
        if grinding.grinds.iter().any(|g| g.after_hardening) {
            caution_ui(
                ui,
                desk,
                "Grinding after hardening: keep it cool, dip often; color on the steel means it has gone soft.",
            );
        }
    });
}

/// One part: its line always, its body while it is open.
fn part_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, part: GrindPart) {
    let open = desk.session.grind_part == Some(part);
    let grinding = &on.knife.grinding;
    let (title, summary) = match part {
        GrindPart::Layers => ("Layers", words::layers(on.knife, on.say)),
        GrindPart::Fire => ("From the fire", fire::summary(on)),
        GrindPart::Taper => ("Taper", words::taper(on.knife, on.say)),
        GrindPart::Grind(id) => match grinding.grinds.iter().find(|g| g.id == id) {
            Some(grind) => {
                let words = words::grind(grind, on.say);
                (grind.name.as_str(), with_grams(words, on, id))
            }
            None => return,
        },
        GrindPart::Fuller(id) => match grinding.fullers.iter().find(|f| f.id == id) {
            Some(fuller) => {
                let words = words::fuller(fuller, on.say);
                (fuller.name.as_str(), with_grams(words, on, id))
            }
            None => return,
        },
    };
    if fold_line_ui(ui, desk, title, &summary, open) {
        desk.session.grind_part = (!open).then_some(part);
    }
    if !open {
        return;
    }
    let inset = egui::Frame::new().inner_margin(egui::Margin {
        left: 12,
        right: 0,
        top: 0,
        bottom: 6,
    });
    inset.show(ui, |ui| match part {
        GrindPart::Layers => layers::body_ui(ui, desk, on),
        GrindPart::Fire => fire::body_ui(ui, desk, on),
        GrindPart::Taper => taper::body_ui(ui, desk, on),
        GrindPart::Grind(id) => {
            if let Some(place) = grinding.grinds.iter().position(|g| g.id == id) {
                bevel::body_ui(ui, desk, on, place);
            }
        }
        GrindPart::Fuller(id) => {
            if let Some(fuller) = grinding.fullers.iter().find(|f| f.id == id) {
                fuller::body_ui(ui, desk, on, fuller);
            }
        }
    });
}

/// What a grind is, and the grams it takes.
fn with_grams(words: String, on: OnCard<'_>, id: Id) -> String {
    let weighed = on.results.weighed.up.grinds.iter().find(|g| g.id == id);
    match weighed {
        Some(grind) => format!("{words} · {}", on.say.mass(Some(-grind.removed_g))),
        None => words,
    }
}

/// The buttons that begin a grind.
fn add_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let knife = on.knife;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding = egui::vec2(4.0, 2.0);
        ui.label(RichText::new("add").small().color(desk.shown.palette.quiet));
        let add = |desk: &mut Desk<'_>, grind: Option<Grind>| {
            if let Some(grind) = grind {
                desk.change(knife.id, Change::AddGrind { grind });
                desk.session.grind_part = Some(GrindPart::Grind(knife.next_id));
            }
        };
        let button = ui.button("Bevel").on_hover_text(
            "A bevel on the edge, from the plunge to the tip, as usual for this blade",
        );
        if button.clicked() {
            add(desk, usual_bevel(knife));
        }
        let button = ui
            .button("False edge")
            .on_hover_text("A bevel on the spine behind the tip");
        if button.clicked() {
            add(desk, usual_false_edge(knife));
        }
        let first = usual_second_bevel(knife);
        let button = ui
            .add_enabled(first.is_some(), egui::Button::new("Second bevel"))
            .on_hover_text("A steeper, low bevel over the first: the edge that cuts")
            .on_disabled_hover_text("It goes over a bevel: add that first");
        if button.clicked() {
            add(desk, first);
        }
        let button = ui
            .button("Fuller")
            .on_hover_text("A round channel along the blade");
        if button.clicked()
            && let Some(fuller) = usual_fuller(knife)
        {
            desk.change(knife.id, Change::AddFuller { fuller });
            desk.session.grind_part = Some(GrindPart::Fuller(knife.next_id));
        }
    });
}

/// How near the hand holds a ground face.
fn tolerance_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let field = FieldId::new(on.knife.id, "grind tolerance");
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [left, _] = columns else { return };
        let now = on.knife.grinding.tolerance_mm;
        let typed = length_field(left, desk, field, "held within ±", now, on.say.tight);
        if let Some(tolerance_mm) = typed {
            desk.change(on.knife.id, Change::SetGrindTolerance { tolerance_mm });
        }
    });
}
