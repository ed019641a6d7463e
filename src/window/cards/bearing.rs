//! The strength's part of the Weigh-up card: what a chosen load does, where the knife is weakest, and what each hole costs.

use std::sync::Arc;

use egui::Ui;

use super::switch::switch_ui;
use super::{OnCard, caution_ui, fold_line_ui, hint_ui, read_out_ui, sentence};
use crate::knife::Knife;
use crate::strength::{CAUTION, LoadAt, NoStrength, Station, Strength, StrengthOptions, strength};
use crate::units::print_number;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, note_ui, number_field};

/// A load that is tried, and the last answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    open: bool,
    force_n: f64,
    at_tip: bool,
    answer: Option<(Arc<Knife>, Result<Strength, NoStrength>)>,
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
    /// Places of the weakest sections edgewise and flatwise of this very knife, mm, while the part is open.
    #[must_use]
    pub(in crate::window) fn weakest_mm(&self, knife: &Arc<Knife>) -> Vec<f64> {
        match &self.answer {
            Some((of, Ok(answer))) if self.open && Arc::ptr_eq(of, knife) => {
                let places = [answer.weakest_edgewise, answer.weakest_flatwise];
                let stations = places.into_iter().flatten();
                let at = stations.filter_map(|i| answer.stations.get(i));
                at.map(|station| station.section.x_mm).collect()
            }
            _ => Vec::new(),
        }
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
    look_anew(desk, on);
    let answer = desk.session.bearing.answer.as_ref();
    match answer.map(|(_, answer)| answer.clone()) {
        Some(Ok(answer)) => answer_ui(ui, desk, on, &answer),
        Some(Err(reason)) => caution_ui(ui, desk, &sentence(&reason.to_string())),
        None => {}
    }
    hint_ui(ui, desk, &sentence(CAUTION));
}

/// Asks again when the knife or the load has changed.
fn look_anew(desk: &mut Desk<'_>, on: OnCard<'_>) {
    let own = &mut desk.session.bearing;
    let known = own.answer.as_ref();
    if known.is_some_and(|(of, _)| Arc::ptr_eq(of, &on.results.knife)) {
        return;
    }
    let options = StrengthOptions {
        force_n: own.force_n,
        load_at: if own.at_tip {
            LoadAt::Tip
        } else {
            LoadAt::Percussion
        },
        ..StrengthOptions::default()
    };
    let answer = strength(on.knife, desk.shown.set, &options);
    own.answer = Some((Arc::clone(&on.results.knife), answer));
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
