//! One grind on the Grind card: where it starts, what it does on which face, where it ends.

use egui::Ui;

use super::cut::{Named, cut_ui};
use super::{GrindPart, scribe, wanted, words};
use crate::edit::Change;
use crate::knife::{Face, Faces, Grind, LandmarkKind, PlungeLine, Run, Sides, USUAL_PLUNGE};
use crate::window::cards::choice::choice_ui;
use crate::window::cards::switch::switch_ui;
use crate::window::cards::{OnCard, caution_ui, heading_ui, hint_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, angle_field, field_row, length_field, text_field};

/// Draws an open grind, the one at a place in the list.
pub(super) fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, place: usize) {
    let Some(grind) = on.knife.grinding.grinds.get(place) else {
        return;
    };
    let mut new = grind.clone();
    run_ui(ui, desk, on, &mut new);
    faces_ui(ui, desk, &mut new);
    sides_ui(ui, desk, on, grind, &mut new);
    edge_ui(ui, desk, on, &mut new);
    plunge_ui(ui, desk, on, &mut new);
    ui.checkbox(&mut new.after_hardening, "Ground after hardening");
    if new != *grind {
        desk.change(on.knife.id, Change::SetGrind { grind: new });
    }
    wanted::wanted_ui(ui, desk, on, grind);
    scribe::scribe_ui(ui, desk, on, grind);
    buttons_ui(ui, desk, on, place, grind);
}

/// Name and run.
fn run_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, new: &mut Grind) {
    let id = on.knife.id;
    let name = FieldId::of(id, "grind", (new.id, "name"));
    let lists = ["from", "to"].map(|end| FieldId::of(id, "grind", (new.id, end)));
    field_row(ui, desk, 1, &[name], |columns, desk| {
        let [only] = columns else { return };
        if let Some(name) = text_field(only, desk, name, "called", &new.name) {
            new.name = name;
        }
    });
    // In two columns, where the longest name of a landmark can be read.
    ui.columns(2, |columns| {
        let [from, to] = columns else { return };
        if let Some(kind) = landmark_ui(from, desk, lists[0], "from", new.run.from) {
            new.run.from = kind;
        }
        if let Some(kind) = landmark_ui(to, desk, lists[1], "to", new.run.to) {
            new.run.to = kind;
        }
    });
    hint_ui(ui, desk, &words::run(new.run));
    if new.run.from == new.run.to {
        caution_ui(ui, desk, "It begins and ends at one place: choose another.");
    }
}

fn landmark_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    field: FieldId,
    label: &str,
    now: LandmarkKind,
) -> Option<LandmarkKind> {
    let mut chosen = None;
    choice_ui(ui, desk, field, label, now.name(), |ui, _| {
        for kind in words::ALONG {
            if ui.selectable_label(kind == now, kind.name()).clicked() {
                chosen = Some(kind);
            }
        }
    });
    chosen.filter(|kind| *kind != now)
}

/// Which faces are ground.
#[derive(Clone, Copy, PartialEq)]
enum Ways {
    Alike(Faces),
    Each,
}

fn faces_ui(ui: &mut Ui, desk: &Desk<'_>, new: &mut Grind) {
    let now = match &new.sides {
        Sides::Each { .. } => Ways::Each,
        other => Ways::Alike(other.faces()),
    };
    let words = [
        (Ways::Alike(Faces::Both), "Both"),
        (Ways::Alike(Faces::Right), "Right"),
        (Ways::Alike(Faces::Left), "Left"),
        (Ways::Each, "Each its own"),
    ];
    let Some(ways) = switch_ui(ui, desk, "faces", "", &words, now) else {
        return;
    };
    let (right, left) = match &new.sides {
        Sides::Each { right, left } => (right.clone(), left.clone()),
        Sides::Both(cut) | Sides::Right(cut) | Sides::Left(cut) => (cut.clone(), cut.clone()),
    };
    new.sides = match ways {
        Ways::Alike(Faces::Both) => Sides::Both(right),
        Ways::Alike(Faces::Right) => Sides::Right(right),
        Ways::Alike(Faces::Left) => Sides::Left(left),
        Ways::Each => Sides::Each { right, left },
    };
}

fn sides_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, grind: &Grind, new: &mut Grind) {
    let named = |side: Face, face: &'static str| Named {
        knife: on.knife.id,
        grind,
        side,
        face,
        from: grind.run.from.name(),
        to: grind.run.to.name(),
    };
    match &mut new.sides {
        Sides::Both(cut) | Sides::Right(cut) => {
            cut_ui(ui, desk, on, &named(Face::Right, ""), cut);
        }
        Sides::Left(cut) => cut_ui(ui, desk, on, &named(Face::Left, ""), cut),
        Sides::Each { right, left } => {
            heading_ui(ui, desk, "right face");
            cut_ui(ui, desk, on, &named(Face::Right, "right"), right);
            heading_ui(ui, desk, "left face");
            cut_ui(ui, desk, on, &named(Face::Left, "left"), left);
        }
    }
}

/// What is left on the run.
fn edge_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, new: &mut Grind) {
    let fields = ["edge", "offset"].map(|name| FieldId::of(on.knife.id, "grind", (new.id, name)));
    let both = !new.sides.is_chisel();
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let label = "left on the edge";
        if let Some(mm) = length_field(a, desk, fields[0], label, new.edge_mm, on.say.fine) {
            new.edge_mm = mm;
        }
        if both {
            let now = new.edge_offset_mm;
            let label = "edge off middle";
            if let Some(mm) = length_field(b, desk, fields[1], label, now, on.say.fine) {
                new.edge_offset_mm = mm;
            }
        }
    });
}

/// How the grind ends at its two ends; at the tip there is nothing to end.
fn plunge_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, new: &mut Grind) {
    let Run { from, to } = new.run;
    let id = new.id;
    for (end, kind, line) in [
        ("from", from, &mut new.plunge_from),
        ("to", to, &mut new.plunge_to),
    ] {
        if kind == LandmarkKind::Tip {
            continue;
        }
        let label = format!("ends at the {}", kind.name());
        let words = [(false, "Square"), (true, "Plunge line")];
        if let Some(given) = switch_ui(ui, desk, &label, kind.name(), &words, line.is_some()) {
            *line = given.then_some(USUAL_PLUNGE);
        }
        let Some(PlungeLine {
            angle_rad,
            wheel_radius_mm,
        }) = line
        else {
            continue;
        };
        let fields =
            ["angle", "radius"].map(|name| FieldId::of(on.knife.id, "plunge", (id, end, name)));
        field_row(ui, desk, 2, &fields, |columns, desk| {
            let [a, b] = columns else { return };
            if let Some(rad) = angle_field(a, desk, fields[0], "plunge angle", *angle_rad) {
                *angle_rad = rad;
            }
            let now = *wheel_radius_mm;
            if let Some(mm) = length_field(b, desk, fields[1], "plunge radius", now, on.say.fine) {
                *wheel_radius_mm = mm;
            }
        });
    }
}

/// Its turn among the grinds, and its end.
fn buttons_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, place: usize, grind: &Grind) {
    let (knife, id) = (on.knife.id, grind.id);
    let last = place + 1 == on.knife.grinding.grinds.len();
    ui.horizontal_wrapped(|ui| {
        let turn = |ui: &mut Ui, desk: &mut Desk<'_>, can, word, hint, to: usize| {
            let button = ui.add_enabled(can, egui::Button::new(word));
            if button.on_hover_text(hint).clicked() {
                desk.change(knife, Change::MoveGrind { id, place: to });
            }
        };
        if !last || place > 0 {
            let up = place.saturating_sub(1);
            turn(
                ui,
                desk,
                place > 0,
                "Earlier",
                "Ground before the one above",
                up,
            );
            let down = place + 1;
            turn(ui, desk, !last, "Later", "Ground after the one below", down);
        }
        if ui
            .button("Remove")
            .on_hover_text("Takes this grind away")
            .clicked()
        {
            desk.change(knife, Change::RemoveGrind { id });
            desk.session.grind_part = None::<GrindPart>;
        }
    });
}
