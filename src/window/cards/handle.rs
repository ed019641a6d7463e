//! The Handle card: the tang from numbers, and the guard.

use egui::{RichText, Ui};

use super::choice::choice_ui;
use super::{Card, OnCard, card_frame_ui, grip, guard, hint_ui};
use crate::edit::Change;
use crate::knife::{FullTang, HiddenTang, Knife, Tang, TangEnd, with_tang_end};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};
use crate::window::usual_tang::{usual_full, usual_hidden, usual_partial};

/// The rim that a window leaves, as a share of the tang's height. Our own choice.
const WINDOW_RIM_SHARE: f64 = 0.2;

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let tang = on.knife.tang;
    let guard = match (&on.knife.guard, &on.results.weighed.up.guard) {
        (None, _) => "no guard".to_owned(),
        (Some(_), Some(weight)) => {
            format!(
                "guard {}",
                on.say.mass_in(weight.mass_g, weight.mass_band_g)
            )
        }
        (Some(_), None) => "guard".to_owned(),
    };
    let handle = on.knife.handle.as_ref().map_or("no handle", |h| h.kind());
    let summary = format!("{} tang · {handle} · {guard}", tang.name());
    card_frame_ui(ui, desk, Card::Handle, &summary, |ui, desk| {
        kind_ui(ui, desk, on);
        let new = match tang {
            Tang::Full(tang) => full_ui(ui, desk, on, tang).map(Tang::Full),
            Tang::Hidden(tang) => narrow_ui(ui, desk, on, tang).map(Tang::Hidden),
            Tang::Partial(tang) => narrow_ui(ui, desk, on, tang).map(Tang::Partial),
        };
        if let Some(tang) = new {
            desk.change(on.knife.id, Change::FitTang { tang });
        }
        thickness_ui(ui, desk, on);
        ui.horizontal(|ui| {
            let again = ui
                .button("Fit tang")
                .on_hover_text("Makes the tang anew from these numbers");
            if again.clicked() {
                desk.change(on.knife.id, Change::FitTang { tang });
            }
        });
        hint_ui(
            ui,
            desk,
            "A number typed here makes the tang anew; what you bent by hand on it goes.",
        );
        windows_ui(ui, desk, on);
        ui.separator();
        grip::grip_ui(ui, desk, on);
        ui.separator();
        guard::guard_ui(ui, desk, on);
    });
}

/// How thick the tang is at the shoulder line and at its end: a number typed at the end tapers it.
fn thickness_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let knife = on.knife;
    let now = knife.thickness_at(on.results.steel.bounds().x0);
    let id = FieldId::of(knife.id, "tang", "thickness");
    let typed = field_row(ui, desk, 2, &[id], |columns, desk| {
        let [a, b] = columns else { return None };
        let typed = length_field(a, desk, id, "thick at its end", now, on.say.fine);
        let quiet = desk.shown.palette.quiet;
        b.label(RichText::new("at the shoulder line").small().color(quiet));
        b.label(on.say.fine(knife.thickness_at(0.0)));
        typed
    });
    if let Some(taper) = typed.and_then(|mm| with_tang_end(knife, mm)) {
        let taper = Some(taper);
        desk.change(knife.id, Change::SetTaper { taper });
    }
}

/// A kind's name, what it is, and the numbers it begins with.
type Kind = (&'static str, &'static str, fn(&Knife) -> Tang);

/// The kinds of tang that are offered.
const KINDS: [Kind; 3] = [
    (
        "Full",
        "As wide as the handle, scales on both faces",
        usual_full,
    ),
    ("Hidden", "Narrow, inside a block", usual_hidden),
    (
        "Partial",
        "Shorter than the handle, between scales that go round it",
        usual_partial,
    ),
];

fn kind_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let tang = on.knife.tang;
    ui.horizontal(|ui| {
        ui.label(
            RichText::new("tang")
                .small()
                .color(desk.shown.palette.quiet),
        );
        for (name, what, usual) in KINDS {
            let own = name.eq_ignore_ascii_case(tang.name());
            let word = ui.selectable_label(own, name).on_hover_text(what);
            if word.clicked() && !own {
                let tang = usual(on.knife);
                desk.change(on.knife.id, Change::FitTang { tang });
            }
        }
    });
}

/// Windows in a full tang: a rim all round makes a frame, bridges make a skeleton.
fn windows_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    if !matches!(on.knife.tang, Tang::Full(_)) {
        return;
    }
    ui.horizontal(|ui| {
        let rim_mm = WINDOW_RIM_SHARE
            * on.results
                .steel
                .depth_at(-40.0)
                .map_or(20.0, |(l, h)| h - l);
        let rim_mm = (rim_mm * 2.0).round() / 2.0;
        for (name, bridges, what) in [
            (
                "Open to a frame",
                0,
                "One window that leaves a rim all round",
            ),
            (
                "Open to a skeleton",
                2,
                "Windows with two bridges between them",
            ),
        ] {
            if ui.button(name).on_hover_text(what).clicked() {
                desk.change(on.knife.id, Change::OpenTang { rim_mm, bridges });
            }
        }
    });
}

/// Length fields for the parts of a tang; gives the place and value of the one that was typed.
fn lengths_ui<const N: usize>(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    parts: [(&str, f64); N],
) -> Option<[f64; N]> {
    let ids = parts.map(|(name, _)| FieldId::of(on.knife.id, "tang", name));
    let mut values = parts.map(|(_, mm)| mm);
    let mut typed = false;
    for start in (0..N).step_by(3) {
        let rest = start..(start + 3).min(N);
        let row = ids.get(rest.clone()).unwrap_or_default();
        field_row(ui, desk, 3, row, |columns, desk| {
            for (ui, i) in columns.iter_mut().zip(rest) {
                let Some(((name, mm), id)) = parts.get(i).zip(ids.get(i)) else {
                    continue;
                };
                let new = length_field(ui, desk, *id, name, *mm, on.say.lengths);
                if let (Some(new), Some(value)) = (new, values.get_mut(i)) {
                    *value = new;
                    typed = true;
                }
            }
        });
    }
    typed.then_some(values)
}

fn full_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, tang: FullTang) -> Option<FullTang> {
    let parts = [
        ("tang length", tang.length_mm),
        ("butt height", tang.butt_height_mm),
        ("drop", tang.drop_mm),
        ("finger relief", tang.finger_mm),
        ("belly", tang.belly_mm),
        ("hook", tang.hook_mm),
    ];
    let [
        length_mm,
        butt_height_mm,
        drop_mm,
        finger_mm,
        belly_mm,
        hook_mm,
    ] = lengths_ui(ui, desk, on, parts)?;
    Some(FullTang {
        length_mm,
        butt_height_mm,
        belly_mm,
        drop_mm,
        finger_mm,
        hook_mm,
    })
}

fn narrow_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    tang: HiddenTang,
) -> Option<HiddenTang> {
    let parts = [
        ("tang length", tang.length_mm),
        ("width at shoulder", tang.shoulder_width_mm),
        ("width at end", tang.end_width_mm),
        ("shoulder radius", tang.shoulder_radius_mm),
    ];
    let mut new = lengths_ui(ui, desk, on, parts).map(
        |[
            length_mm,
            shoulder_width_mm,
            end_width_mm,
            shoulder_radius_mm,
        ]| HiddenTang {
            length_mm,
            shoulder_width_mm,
            end_width_mm,
            shoulder_radius_mm,
            ..tang
        },
    );
    let id = FieldId::of(on.knife.id, "tang", "end");
    choice_ui(ui, desk, id, "end", end_name(tang.end), |ui, _| {
        for end in [TangEnd::Square, TangEnd::Round, TangEnd::Pointed] {
            let own = end == tang.end;
            if ui.selectable_label(own, end_name(end)).clicked() && !own {
                new = Some(HiddenTang { end, ..tang });
            }
        }
    });
    new
}

fn end_name(end: TangEnd) -> &'static str {
    match end {
        TangEnd::Square => "cut square",
        TangEnd::Round => "half round",
        TangEnd::Pointed => "blunt point",
    }
}
