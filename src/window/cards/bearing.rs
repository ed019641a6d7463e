//! The strength's part of the Weigh-up card: what a chosen load does, where the knife is weakest, and what each hole costs.

use std::sync::Arc;

use egui::Ui;

use super::asked::Asked;
use super::switch::switch_ui;
use super::{OnCard, caution_ui, fold_line_ui, hint_ui, read_out_ui, sentence};
use crate::knife::{Knife, KnifeSet};
use crate::strength::{CAUTION, LoadAt, NoStrength, Station, Strength, StrengthOptions, strength};
use crate::units::print_number;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, note_ui, number_field};

/// Shared, so that a frame can hold it while it is drawn.
type Answer = Arc<Result<Strength, NoStrength>>;

/// A load that is tried, and the last answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    open: bool,
    force_n: f64,
    at_tip: bool,
    answer: Option<Asked<Answer>>,
}

impl Default for Bearing {
    fn default() -> Self {
        Self {
            open: false,
            force_n: StrengthOptions::default().force_n,
            at_tip: true,
            answer: None,
        }
    }
}

impl Bearing {
    /// Asks again, if it is looked at and the knife or the load has changed.
    pub(super) fn look_anew(&mut self, knife: &Arc<Knife>, set: &KnifeSet) {
        let known = self.answer.as_ref();
        if !self.open || known.is_some_and(|own| own.holds(knife, set)) {
            return;
        }
        let options = StrengthOptions {
            force_n: self.force_n,
            load_at: if self.at_tip {
                LoadAt::Tip
            } else {
                LoadAt::Percussion
            },
            ..StrengthOptions::default()
        };
        let answer = Arc::new(strength(knife, set, &options));
        self.answer = Some(Asked::new(knife, set, answer));
    }

    /// The answer for this very knife.
    fn answer_of(&self, knife: &Arc<Knife>) -> Option<&Answer> {
        self.answer.as_ref()?.of(knife)
    }

    /// Places of the weakest sections edgewise and flatwise of this very knife, mm, while the part is open.
    #[must_use]
    pub(in crate::window) fn weakest_mm(&self, knife: &Arc<Knife>) -> Vec<f64> {
        let answer = self.answer_of(knife).filter(|_| self.open);
        let Some(Ok(answer)) = answer.map(|answer| &**answer) else {
            return Vec::new();
        };
        let places = [answer.weakest_edgewise, answer.weakest_flatwise];
        let stations = places.into_iter().flatten();
        let at = stations.filter_map(|i| answer.stations.get(i));
        at.map(|station| station.section.x_mm).collect()
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
        desk.session.bearing.answer = None;
    }
    note_ui(ui, desk, &[id]);
    let words = [(true, "at the tip"), (false, "at the center of percussion")];
    let at_tip = desk.session.bearing.at_tip;
    if let Some(at_tip) = switch_ui(ui, desk, "", "load", &words, at_tip) {
        desk.session.bearing.at_tip = at_tip;
        desk.session.bearing.answer = None;
    }
    let answer = desk.session.bearing.answer_of(&on.results.knife).cloned();
    match answer.as_deref() {
        Some(Ok(answer)) => answer_ui(ui, desk, on, answer),
        Some(Err(reason)) => caution_ui(ui, desk, &sentence(&reason.to_string())),
        None => {
            hint_ui(ui, desk, "It is looked at again as soon as you let go.");
            // What is told is worked out before a frame, not while it is drawn.
            ui.ctx().request_repaint();
        }
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
