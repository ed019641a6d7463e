//! The Weigh-up card: what the scale and the finger would tell, step by step, or why they can't.

use egui::{RichText, Ui};

use super::say::sentence;
use super::{Card, OnCard, bearing, card_frame_ui, caution_ui, hint_ui, read_out_ui, weigh_ins};
use crate::knife::Stage;
use crate::strength::Hold;
use crate::units::{MISSING, print_number};
use crate::weighing::{StageWeight, WeighUp};
use crate::window::desk::Desk;
use crate::window::theme;

/// A weight that leans by less is in the middle, mm.
const LEAST_LEAN_MM: f64 = 0.005;

/// A bar: name, share of the longest, text, and whether it is the result.
#[derive(Clone, Debug, PartialEq)]
struct Bar {
    name: String,
    share: f32,
    text: String,
    result: bool,
}

/// Everything on the card.
#[derive(Clone, Debug, PartialEq)]
struct Shown {
    band: String,
    bars: Vec<Bar>,
    /// What each grind takes.
    grinds: Vec<(String, String)>,
    balance: Option<String>,
    facts: Vec<(&'static str, String)>,
    missing: Vec<String>,
}

impl Shown {
    fn of(on: OnCard<'_>) -> Self {
        let up = &on.results.weighed.up;
        let steel = &up.steel;
        let mut facts = Vec::new();
        if let Some(ground) = up.ground
            && ground.centroid_mm[2].abs() >= LEAST_LEAN_MM
        {
            let face = if ground.centroid_mm[2] > 0.0 {
                "right"
            } else {
                "left"
            };
            let text = format!("{} to the {face}", on.say.fine(ground.centroid_mm[2].abs()));
            facts.push(("weight leans", text));
        }
        facts.extend([
            (
                "face area",
                steel
                    .area_mm2
                    .map_or(MISSING.to_owned(), |a| on.say.area(a)),
            ),
            (
                "cut length",
                steel
                    .perimeter_mm
                    .map_or(MISSING.to_owned(), |mm| on.say.length(mm)),
            ),
            ("pierces", steel.pierces.to_string()),
        ]);
        if on.knife.handle.is_some() {
            facts.extend(swings(on));
        }
        Self {
            band: band(up),
            bars: bars(on),
            grinds: grinds(on),
            balance: up
                .total
                .map(|t| on.say.balance(t.balance_mm, t.balance_band_mm)),
            facts,
            missing: up
                .missing
                .iter()
                .map(|m| sentence(&m.to_string()))
                .collect(),
        }
    }
}

/// How hard the knife is to swing at each stage of the work, and where a blow does not kick in the hand.
fn swings(on: OnCard<'_>) -> Vec<(&'static str, String)> {
    let grip = Hold::usual(on.results.steel.bounds().x0).grip_mm();
    let head = [
        ("held at", on.say.signed(grip)),
        ("swing", "inertia · percussion at".to_owned()),
    ];
    let stages = StageWeight::all(&on.results.weighed.up)
        .into_iter()
        .map(|own| {
            let name = match own.stage {
                Stage::Blank => "swing, blank",
                Stage::Drilled => "swing, drilled",
                Stage::Ground => "swing, ground",
                Stage::Finished => "swing, finished",
            };
            // Short, so that name and numbers fit beside each other on a small screen.
            let percussion = own
                .percussion_mm(grip)
                .map_or(String::new(), |at| format!(" · {}", on.say.signed(at)));
            let kg_cm2 = print_number(own.inertia_kg_cm2(), 2);
            (name, format!("{kg_cm2} kg·cm²{percussion}"))
        });
    head.into_iter().chain(stages).collect()
}

/// `± 2 %`.
fn band(up: &WeighUp) -> String {
    match up.total {
        Some(total) if total.mass_g > 0.0 => {
            let share = 100.0 * total.mass_band_g.half_width() / total.mass_g;
            format!("± {} %", print_number(share, u8::from(share < 2.0)))
        }
        _ => "not known yet".to_owned(),
    }
}

fn bars(on: OnCard<'_>) -> Vec<Bar> {
    let up = &on.results.weighed.up;
    let steel = &up.steel;
    let longest = steel.bar_mass_g.unwrap_or(0.0);
    let bar = |name: &str, g: Option<f64>, text: String, result| Bar {
        name: name.to_owned(),
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a share of a bar on the screen"
        )]
        share: g.map_or(0.0, |g| if longest > 0.0 { g / longest } else { 0.0 }) as f32,
        text,
        result,
    };
    let steel_bar = |name: &str, g: Option<f64>| bar(name, g, on.say.mass(g), false);
    let mut bars = vec![
        steel_bar("bar needed", steel.bar_mass_g),
        steel_bar("blank as cut", steel.blank_mass_g),
        steel_bar("drilled", steel.drilled_mass_g),
    ];
    if !on.knife.grinding.is_empty() {
        let g = up.ground.map(|g| g.mass_g);
        bars.push(steel_bar("ground", g));
    }
    if on.knife.stock.is_laminated() {
        for (name, ground_g, blank_g) in layers(up) {
            // What is left of it, of what the blank had.
            let left = on.say.mass(Some(ground_g));
            let left = left.split(' ').next().unwrap_or_default();
            let text = format!("{left} of {}", on.say.mass(Some(blank_g)));
            bars.push(bar(&name, Some(ground_g), text, false));
        }
    }
    if on
        .results
        .openings
        .iter()
        .any(|g| g.filling.material().is_some())
    {
        let each = on.results.openings.iter().map(|g| g.filling_g);
        let all: Option<f64> = each.sum();
        bars.push(steel_bar("fillings", all));
    }
    if on.knife.guard.is_some() {
        let text = up.guard.map_or(MISSING.to_owned(), |g| {
            on.say.mass_in(g.mass_g, g.mass_band_g)
        });
        bars.push(bar("guard", up.guard.map(|g| g.mass_g), text, false));
    }
    if on.knife.handle.is_some() {
        let known = !up.parts.is_empty();
        let mass = known.then(|| up.parts.iter().map(|part| part.mass_g).sum());
        bars.push(steel_bar("handle", mass));
    }
    let text = up.total.map_or(MISSING.to_owned(), |t| {
        on.say.mass_in(t.mass_g, t.mass_band_g)
    });
    bars.push(bar("as it stands", up.total.map(|t| t.mass_g), text, true));
    bars
}

/// Each layer of a laminated bar, both sides of it together: as it is ground, and in the blank, g.
fn layers(up: &WeighUp) -> Vec<(String, f64, f64)> {
    let mut layers: Vec<(String, f64, f64)> = Vec::new();
    for layer in &up.layers {
        let name = layer.name.trim_end_matches(", right");
        let name = name.trim_end_matches(", left");
        match layers.iter_mut().find(|(own, ..)| own == name) {
            Some((_, ground_g, blank_g)) => {
                *ground_g += layer.ground_mass_g;
                *blank_g += layer.blank_mass_g;
            }
            None => layers.push((name.to_owned(), layer.ground_mass_g, layer.blank_mass_g)),
        }
    }
    layers
}

/// The grams each grind takes.
fn grinds(on: OnCard<'_>) -> Vec<(String, String)> {
    let up = &on.results.weighed.up;
    let each = up.grinds.iter().map(|grind| {
        let taken = on.say.mass(Some(-grind.removed_g));
        (format!("{} takes", grind.name), taken)
    });
    each.collect()
}

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let shown = Shown::of(on);
    card_frame_ui(ui, desk, Card::WeighUp, &shown.band, |ui, desk| {
        for bar in &shown.bars {
            bar_ui(ui, desk, bar);
        }
        for (name, taken) in &shown.grinds {
            read_out_ui(ui, desk, name, taken);
        }
        if let Some(balance) = &shown.balance {
            let bright = desk.shown.palette.bright;
            ui.horizontal(|ui| {
                ui.label(RichText::new("balance").strong());
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.label(RichText::new(balance).strong().color(bright));
                });
            });
        }
        for (name, value) in &shown.facts {
            read_out_ui(ui, desk, name, value);
        }
        for reason in &shown.missing {
            caution_ui(ui, desk, reason);
        }
        if !shown.missing.is_empty() && shown.balance.is_none() {
            hint_ui(
                ui,
                desk,
                "Not weighed yet: a click on the finding below the drawing shows where to mend.",
            );
        }
        ui.separator();
        bearing::bearing_ui(ui, desk, on);
        weigh_ins::weigh_ins_ui(ui, desk, on);
    });
}

/// One bar with its name and mass.
fn bar_ui(ui: &mut Ui, desk: &Desk<'_>, bar: &Bar) {
    let palette = desk.shown.palette;
    let (name_color, fill) = if bar.result {
        (palette.line, palette.bright)
    } else {
        (palette.quiet, palette.bar)
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    ui.horizontal(|ui| {
        let all = ui.available_width();
        let height = ui.text_style_height(&egui::TextStyle::Body);
        let words = |text: &str, color| {
            let text = RichText::new(text).color(color).size(theme::READ_OUT);
            if bar.result { text.strong() } else { text }
        };
        let name_width = 0.31 * all;
        let value_width = 0.27 * all;
        ui.allocate_ui_with_layout(
            egui::vec2(name_width, height),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(name_width);
                ui.label(words(&bar.name, name_color));
            },
        );
        let room = (ui.available_width() - value_width - 8.0).max(0.0);
        let (rect, _) = ui.allocate_exact_size(egui::vec2(room, height), egui::Sense::hover());
        let length = rect.width() * bar.share.clamp(0.0, 1.0);
        if length > 0.0 {
            let drawn = egui::Rect::from_min_size(
                egui::pos2(rect.left(), rect.center().y - 5.0),
                egui::vec2(length.max(2.0), 10.0),
            );
            ui.painter().rect_filled(drawn, 2.0, fill);
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(words(&bar.text, palette.line));
        });
    });
}
