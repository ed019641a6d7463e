//! The strength's part of the Weigh-up card: what a chosen load does, where the knife is weakest, and what each hole costs.

use egui::Ui;

use super::switch::switch_ui;
use super::{OnCard, caution_ui, fold_line_ui, hint_ui, read_out_ui, sentence};
use crate::strength::{CAUTION, LoadAt, Station, Strength, StrengthOptions};
use crate::units::print_number;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, note_ui, number_field};

/// A load that is tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    open: bool,
    /// Whether the part was drawn open since this was last asked.
    seen: bool,
    force_n: f64,
    at_tip: bool,
}

impl Default for Bearing {
    fn default() -> Self {
        Self {
            open: false,
            seen: false,
            force_n: StrengthOptions::default().force_n,
            at_tip: true,
        }
    }
}

impl Bearing {
    /// The load, if the maker has looked at what it does since this was last asked.
    pub(in crate::window) fn take_wish(&mut self) -> Option<StrengthOptions> {
        std::mem::take(&mut self.seen).then(|| self.load())
    }

    fn load(&self) -> StrengthOptions {
        let load_at = if self.at_tip {
            LoadAt::Tip
        } else {
            LoadAt::Percussion
        };
        StrengthOptions {
            force_n: self.force_n,
            load_at,
            ..StrengthOptions::default()
        }
    }

    /// Whether the weakest sections are marked on the drawing.
    pub(in crate::window) fn is_open(&self) -> bool {
        self.open
    }
}

/// Draws the part.
pub(super) fn bearing_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let own = &desk.session.bearing;
    let load = format!(
        "{} N at the {}",
        print_number(own.force_n, 0),
        if own.at_tip { "tip" } else { "percussion" }
    );
    let open = own.open;
    if fold_line_ui(ui, desk, "Strength", &load, open) {
        desk.session.bearing.open = !open;
    }
    if !open {
        return;
    }
    let id = FieldId::of(on.knife.id, "bearing", "force");
    let force = desk.session.bearing.force_n;
    if let Some(n) = number_field(ui, desk, id, "load, N", force, 0) {
        desk.session.bearing.force_n = n;
    }
    note_ui(ui, desk, &[id]);
    let words = [(true, "at the tip"), (false, "at the center of percussion")];
    let at_tip = desk.session.bearing.at_tip;
    if let Some(at_tip) = switch_ui(ui, desk, "", "load", &words, at_tip) {
        desk.session.bearing.at_tip = at_tip;
    }
    desk.session.bearing.seen = true;
    let kept = desk.shown.kept;
    let shelf = &kept.strength;
    // What was told of the knife before its last change stays until that of the new one is worked out, lest the card jump.
    match shelf.last(on.knife.id) {
        Some(Ok(answer)) => answer_ui(ui, desk, on, answer),
        Some(Err(reason)) => caution_ui(ui, desk, &sentence(&reason.to_string())),
        None => {}
    }
    if !shelf.knows(&on.results.knife, &desk.session.bearing.load()) {
        let held = desk.session.baseline.is_some();
        let hint = if held {
            "It is looked at again as soon as you let go."
        } else {
            "It is being worked out."
        };
        hint_ui(ui, desk, hint);
        // Only the next frame asks for it.
        ui.ctx().request_repaint();
    }
    hint_ui(ui, desk, &sentence(CAUTION));
}

fn answer_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, answer: &Strength) {
    let station = |place: Option<usize>| place.and_then(|i| answer.stations.get(i));
    type Peak = fn(&Station) -> f64;
    let ways: [(&str, Option<&Station>, Peak, Option<f64>); 2] = [
        (
            "edgewise",
            station(answer.weakest_edgewise),
            |s| s.edgewise.peak_mpa,
            answer.deflection_edgewise_mm,
        ),
        (
            "flatwise",
            station(answer.weakest_flatwise),
            |s| s.flatwise.peak_mpa,
            answer.deflection_flatwise_mm,
        ),
    ];
    for (name, weakest, peak, gives) in ways {
        if let Some(weakest) = weakest {
            let text = format!(
                "{} MPa at {}",
                print_number(peak(weakest), 0),
                on.say.signed(weakest.section.x_mm)
            );
            read_out_ui(ui, desk, &format!("weakest {name}"), &text);
        }
        if let Some(mm) = gives {
            read_out_ui(ui, desk, &format!("gives {name}"), &on.say.length(mm));
        }
    }
    for opening in &answer.openings {
        let lost = 100.0 * (1.0 - opening.edgewise_kept.min(opening.flatwise_kept));
        let text = format!("{} % of the section there", print_number(lost, 0));
        read_out_ui(ui, desk, &format!("cut-out {} costs", opening.name), &text);
    }
}
