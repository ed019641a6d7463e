//! The drill for a pin, on the Drill card: the rod it is cut from, and for each fit the nearest drills with the play they really leave.

use egui::{Button, RichText, Ui};

use super::Say;
use super::choice::choice_ui;
use crate::catalog::{StockKind, StockSize, stock_of};
use crate::checks::{Figure, FitDrill, PinFit, Thresholds, drills_for_pin, rod_for_hole};
use crate::knife::{Filling, Purpose};
use crate::window::desk::Desk;
use crate::window::fields::FieldId;

/// How many drills are offered for a fit.
const N_DRILLS: usize = 3;
/// A hole that is within this of a drill is that drill's, mm.
const THE_DRILL_MM: f64 = 0.005;

/// The rod pins are cut from, and the drills last looked up for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PinRod {
    /// Label of the chosen rod; none means the one the hole seems meant for.
    chosen: Option<&'static str>,
    known: Option<Known>,
}

/// What was looked up: for which rod and by which figures.
#[derive(Clone, Debug, PartialEq)]
struct Known {
    rod_mm: f64,
    figures: Thresholds,
    drills: [Vec<FitDrill>; 3],
}

impl PinRod {
    /// Takes the rod that is sold nearest to a diameter, mm.
    fn choose(&mut self, rod_mm: f64) {
        let off = |size: &&StockSize| (size.size_mm - rod_mm).abs();
        let nearest = stock_of(StockKind::PinRod).min_by(|a, b| off(a).total_cmp(&off(b)));
        self.chosen = nearest.map(|size| size.label.as_str()).or(self.chosen);
    }

    fn rod(&self, hole_mm: f64) -> Option<&'static StockSize> {
        let own = |label| stock_of(StockKind::PinRod).find(|rod| rod.label == label);
        self.chosen.and_then(own).or_else(|| rod_for_hole(hole_mm))
    }

    /// The drills for each fit, looked up again only for another rod or other figures.
    fn drills(&mut self, rod_mm: f64, figures: &Thresholds) -> [Vec<FitDrill>; 3] {
        match &self.known {
            Some(known) if known.rod_mm == rod_mm && known.figures == *figures => {
                known.drills.clone()
            }
            _ => {
                let drills = PinFit::ALL.map(|fit| offered(rod_mm, fit, figures));
                self.known = Some(Known {
                    rod_mm,
                    figures: figures.clone(),
                    drills: drills.clone(),
                });
                drills
            }
        }
    }
}

/// The nearest drills that fit; where none does, the nearest of all.
fn offered(rod_mm: f64, fit: PinFit, figures: &Thresholds) -> Vec<FitDrill> {
    let mut found = drills_for_pin(rod_mm, fit, figures, N_DRILLS);
    if found.iter().any(|d| d.fits) {
        found.retain(|d| d.fits);
    } else {
        found.truncate(1);
    }
    found
}

/// Whether a hole is for a pin.
pub(super) fn is_for_pin(purpose: Purpose, filling: &Filling) -> bool {
    matches!(filling, Filling::Pin { .. })
        || (*filling == Filling::Nothing && matches!(purpose, Purpose::Pin | Purpose::GuardPin))
}

/// What was clicked of a hole's drills and its rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Taken {
    /// A drill of this diameter, mm.
    Drill(f64),
    /// A rod of this diameter, mm.
    Rod(f64),
}

impl Taken {
    /// The hole and its filling with what was taken. A rod that does not go in drills the hole up to its own size.
    pub(super) fn by(self, hole_mm: f64, filling: &Filling) -> (f64, Filling) {
        match (self, filling) {
            (Self::Rod(mm), Filling::Pin { material, .. }) => {
                let material = material.clone();
                let rod_mm = Some(mm);
                (hole_mm.max(mm), Filling::Pin { material, rod_mm })
            }
            // A rod that no longer goes in sits tight: the pin fills its hole.
            (
                Self::Drill(mm),
                Filling::Pin {
                    material,
                    rod_mm: Some(rod),
                },
            ) if *rod > mm => (mm, Filling::pin(material)),
            (Self::Drill(mm), _) => (mm, filling.clone()),
            (Self::Rod(_), _) => (hole_mm, filling.clone()),
        }
    }
}

/// Draws rod, fits and drills for a hole.
pub(super) fn pin_fit_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    (hole_mm, filling): (f64, &Filling),
    say: Say,
) -> Option<Taken> {
    if let Filling::Pin {
        rod_mm: Some(rod_mm),
        ..
    } = filling
    {
        desk.session.pin_rod.choose(*rod_mm);
    }
    let rod = desk.session.pin_rod.rod(hole_mm)?;
    let figures = desk.shown.results.thresholds();
    let drills = desk.session.pin_rod.drills(rod.size_mm, figures);
    let mut chosen = rod_ui(ui, desk, rod).map(Taken::Rod);
    let play = hole_mm - rod.size_mm;
    let told = PinFit::ALL.into_iter().find(|fit| {
        let (least, most) = fit.clearance_mm(rod.size_mm, figures);
        (least - THE_DRILL_MM..=most + THE_DRILL_MM).contains(&play)
    });
    let word = told.map_or("none of these fits", PinFit::name);
    let now = format!("this hole: {} to the rod, {word}", say.play(play));
    ui.label(RichText::new(now).small().color(desk.shown.palette.quiet));
    for (fit, drills) in PinFit::ALL.into_iter().zip(&drills) {
        if let Some(mm) = fit_ui(ui, desk, (fit, drills), (rod, hole_mm), say) {
            chosen = Some(Taken::Drill(mm));
        }
    }
    chosen
}

/// The rods that are sold; gives the diameter of the one that was clicked, mm.
fn rod_ui(ui: &mut Ui, desk: &mut Desk<'_>, rod: &'static StockSize) -> Option<f64> {
    let mut taken = None;
    let field = FieldId::plain("pin rod");
    choice_ui(ui, desk, field, "pin from rod", &rod.label, |ui, desk| {
        for each in stock_of(StockKind::PinRod) {
            let own = each.label == rod.label;
            if ui.selectable_label(own, &each.label).clicked() {
                desk.session.pin_rod.chosen = Some(&each.label);
                taken = Some(each.size_mm);
            }
        }
    });
    taken
}

fn fit_ui(
    ui: &mut Ui,
    desk: &Desk<'_>,
    (fit, drills): (PinFit, &[FitDrill]),
    (rod, hole_mm): (&StockSize, f64),
    say: Say,
) -> Option<f64> {
    let palette = desk.shown.palette;
    let (least, most) = fit.clearance_mm(rod.size_mm, desk.shown.results.thresholds());
    let source = fit.figures().first().and_then(|key| Figure::of(key));
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().button_padding = egui::vec2(2.0, 1.0);
        ui.spacing_mut().item_spacing.x = 2.0;
        ui.label(RichText::new(fit.name()).small().color(palette.quiet))
            .on_hover_text(format!(
                "{} to {} of play: {}; change it under Shop figures",
                say.play(least),
                say.play(most),
                source.map_or("", |figure| figure.source)
            ));
        for found in drills {
            let own = (found.drill.diameter_mm - hole_mm).abs() < THE_DRILL_MM;
            // The line above tells the unit.
            let play = say.play(found.clearance_mm);
            let play = play.trim_end_matches(|c: char| !c.is_ascii_digit());
            let color = if found.fits {
                palette.line
            } else {
                palette.warn
            };
            let words = RichText::new(format!("{}  {play}", found.drill.label));
            let words = words.small().color(color);
            let name = format!("drill {} for a {} pin", found.drill.label, fit.name());
            let button = ui
                .add(Button::selectable(own, words))
                .on_hover_text(say.fine(found.drill.diameter_mm));
            if button.accessible_name(name).clicked() {
                chosen = Some(found.drill.diameter_mm);
            }
        }
    });
    chosen
}
