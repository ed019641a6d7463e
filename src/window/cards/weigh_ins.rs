//! The weigh-ins' part of the Weigh-up card: what the scale said, what was foretold, and what may be behind the difference.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::asked::Asked;
use super::switch::switch_ui;
use super::{OnCard, fold_line_ui, hint_ui, learned, read_out_ui};
use crate::edit::{Change, Edit};
use crate::knife::{Id, Knife, KnifeSet, Stage, WeighIn};
use crate::units::print_number;
use crate::weighing::{Cause, CauseKind, Corrected, Reading, StageWeight, read_weigh_in};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, mass_field, signed_field, text_field};

/// What a weigh-in tells, if anything can be foretold for its stage; shared, so that a frame can hold it while it is drawn.
type Told = Option<Arc<Reading>>;

/// A weigh-in that is being typed.
#[derive(Clone, Debug, PartialEq)]
pub struct NewWeighIn {
    open: bool,
    stage: Stage,
    date: String,
    mass_g: Option<f64>,
    balance_mm: Option<f64>,
    /// What each weigh-in of the knife that was read last tells.
    read: Option<Asked<Vec<Told>>>,
}

impl NewWeighIn {
    /// Reads every weigh-in of a knife again, if they are looked at and the knife has changed.
    pub(super) fn look_anew(&mut self, knife: &Arc<Knife>, set: &KnifeSet) {
        let known = self.read.as_ref();
        if !self.open || known.is_some_and(|own| own.holds(knife, set)) {
            return;
        }
        let read = knife
            .weigh_ins
            .iter()
            .map(|own| read_weigh_in(knife, set, own).map(Arc::new));
        self.read = Some(Asked::new(knife, set, read.collect()));
    }

    /// The day that is written down: today, unless the maker typed another.
    fn day(&self) -> String {
        if self.date.is_empty() {
            today()
        } else {
            self.date.clone()
        }
    }

    /// What the weigh-in at a place of this very knife's list tells: `None` while it is not read again.
    fn reading(&self, knife: &Arc<Knife>, place: usize) -> Option<Told> {
        self.read.as_ref()?.of(knife)?.get(place).cloned()
    }
}

impl Default for NewWeighIn {
    fn default() -> Self {
        Self {
            open: false,
            stage: Stage::Drilled,
            date: String::new(),
            mass_g: None,
            balance_mm: None,
            read: None,
        }
    }
}

/// Draws the part.
pub(super) fn weigh_ins_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let n = on.knife.weigh_ins.len();
    let summary = match n {
        0 => "none yet".to_owned(),
        1 => "1 written down".to_owned(),
        n => format!("{n} written down"),
    };
    let open = desk.session.weigh_in.open;
    if fold_line_ui(ui, desk, "On the scale", &summary, open) {
        desk.session.weigh_in.open = !open;
        // What is told is worked out before a frame, not while it is drawn.
        ui.ctx().request_repaint();
    }
    if !open {
        return;
    }
    for (place, weigh_in) in on.knife.weigh_ins.iter().enumerate() {
        let reading = desk.session.weigh_in.reading(&on.results.knife, place);
        written_ui(ui, desk, on, weigh_in, reading);
        ui.separator();
    }
    new_ui(ui, desk, on);
}

fn written_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    weigh_in: &WeighIn,
    reading: Option<Told>,
) {
    let head = format!("{} · {}", weigh_in.date, weigh_in.stage.name());
    let said = on
        .say
        .mass_with_band(weigh_in.mass_g, crate::weighing::Band::of(weigh_in.mass_g));
    read_out_ui(ui, desk, &head, &said);
    let Some(Some(reading)) = reading else {
        let why = match reading {
            Some(_) => "Nothing can be foretold for this stage: see the findings.",
            None => "It is read again as soon as you let go.",
        };
        hint_ui(ui, desk, why);
        strike_ui(ui, desk, on, weigh_in.id);
        return;
    };
    let told = on.say.mass_with_band(reading.foretold_g, reading.band_g);
    read_out_ui(ui, desk, "foretold", &told);
    if let Some(off) = reading.off_mm {
        let text = format!(
            "{} off {}",
            on.say.signed(off),
            on.say.signed(reading.foretold_mm)
        );
        read_out_ui(ui, desk, "balance", &text);
    }
    let (words, color) = if reading.is_expected() {
        ("within the band", desk.shown.palette.guide)
    } else {
        ("out of the band", desk.shown.palette.warn)
    };
    ui.label(RichText::new(words).small().color(color));
    if reading.alike > 1 {
        hint_ui(
            ui,
            desk,
            "These causes can't be told apart; each alone would explain it:",
        );
    } else if reading.alike == 1 {
        hint_ui(ui, desk, "Likeliest single cause:");
    }
    for cause in reading.causes.iter().take(reading.alike) {
        cause_ui(ui, desk, on, cause);
    }
    strike_ui(ui, desk, on, weigh_in.id);
}

fn cause_words(on: OnCard<'_>, cause: &Cause) -> String {
    let way = |by: f64, more: &'static str, less: &'static str| if by > 0.0 { more } else { less };
    match &cause.kind {
        CauseKind::Thickness { by_mm, .. } => format!(
            "stock {} {}",
            on.say.fine(by_mm.abs()),
            way(*by_mm, "thicker", "thinner")
        ),
        CauseKind::Density { by_g_cm3, .. } => format!(
            "steel {} g/cm³ {}",
            print_number(by_g_cm3.abs(), 3),
            way(*by_g_cm3, "denser", "lighter")
        ),
        CauseKind::Bevel { name, by_mm, .. } => format!(
            "{name} {} {}",
            on.say.length(by_mm.abs()),
            way(*by_mm, "higher", "lower")
        ),
    }
}

/// A cause, and a button that takes its value over into the design.
fn cause_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, cause: &Cause) {
    let words = cause_words(on, cause);
    ui.horizontal(|ui| {
        ui.label(&words);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = ui
                .small_button("Take over")
                .on_hover_text("This design follows the scale");
            let button = button.accessible_name(format!("Take over: {words}"));
            if button.clicked() {
                let edits = taken_over(desk, on.knife, cause);
                desk.change_together("take over a weigh-in", edits);
            }
            learned::learn_ui(ui, desk, on, cause, &words);
        });
    });
}

/// The edits that put a cause into the design, so that this knife and later ones of the same bar are foretold by it.
fn taken_over(desk: &Desk<'_>, knife: &Knife, cause: &Cause) -> Vec<Edit> {
    let of_knife = |change| vec![Edit::knife(knife.id, change)];
    match cause.kind.corrected(knife, desk.shown.set) {
        Some(Corrected::Stock(stock)) => of_knife(Change::SetStock { stock }),
        Some(Corrected::Grind(grind)) => of_knife(Change::SetGrind { grind }),
        Some(Corrected::Materials(materials)) => materials
            .into_iter()
            .map(|material| Edit::SetMaterial { material })
            .collect(),
        None => Vec::new(),
    }
}

fn strike_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, id: Id) {
    if ui.small_button("Strike out").clicked() {
        desk.change(on.knife.id, Change::RemoveWeighIn { id });
    }
}

/// The line that is written next.
fn new_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let stages = Stage::ALL.map(|stage| (stage, stage.name()));
    let now = desk.session.weigh_in.stage;
    if let Some(stage) = switch_ui(ui, desk, "", "weigh-in", &stages, now) {
        desk.session.weigh_in.stage = stage;
    }
    let told = StageWeight::of(&on.results.weighed.up, now);
    if let Some(own) = told {
        let words = on.say.mass_with_band(own.mass_g, own.mass_band_g);
        read_out_ui(ui, desk, "foretold", &words);
    }
    let ids = ["mass", "balance", "date"].map(|name| FieldId::of(on.knife.id, "weigh-in", name));
    let own = &desk.session.weigh_in;
    let (mass_g, balance_mm) = (own.mass_g, own.balance_mm);
    let date = own.day();
    field_row(ui, desk, 3, &ids, |columns, desk| {
        let [mass, balance, day] = columns else {
            return;
        };
        let (g, mm) = told.map_or((0.0, 0.0), |own| (own.mass_g, own.balance_mm));
        if let Some(g) = mass_field(mass, desk, ids[0], "scale says", mass_g.unwrap_or(g)) {
            desk.session.weigh_in.mass_g = Some(g);
        }
        let shown = balance_mm.unwrap_or(mm);
        if let Some(mm) = signed_field(balance, desk, ids[1], "balances at", shown, on.say.lengths)
        {
            desk.session.weigh_in.balance_mm = Some(mm);
        }
        if let Some(day) = text_field(day, desk, ids[2], "day", &date) {
            desk.session.weigh_in.date = day;
        }
    });
    hint_ui(
        ui,
        desk,
        "Type what the scale says; where the knife balances on a finger too, if you tried it.",
    );
    let own = &desk.session.weigh_in;
    if let Some(mass_g) = own.mass_g
        && ui.button("Write down").clicked()
    {
        let weigh_in = WeighIn {
            id: Id::MAX,
            stage: own.stage,
            date: own.day(),
            mass_g,
            balance_mm: own.balance_mm,
        };
        let own = &mut desk.session.weigh_in;
        (own.mass_g, own.balance_mm) = (None, None);
        desk.change(on.knife.id, Change::WriteWeighIn { weigh_in });
    }
}

/// The day as `year-month-day`, by the clock of the desk and universal time.
///
/// Days since 1970 turned into a date of the Gregorian calendar (E. G. Richards, Explanatory Supplement to the Astronomical Almanac, 3rd ed.,
/// sec. 15.11.3).
#[expect(
    clippy::disallowed_methods,
    reason = "the day a weigh-in is written down, which the maker may change"
)]
fn today() -> String {
    let seconds = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    day_of(seconds / 86_400)
}

fn day_of(days: u64) -> String {
    // Julian day number of 1970-01-01 is 2440588.
    let j = days + 2_440_588;
    let f = j + 1401 + (((4 * j + 274_277) / 146_097) * 3) / 4 - 38;
    let e = 4 * f + 3;
    let g = (e % 1461) / 4;
    let h = 5 * g + 2;
    let day = (h % 153) / 5 + 1;
    let month = (h / 153 + 2) % 12 + 1;
    let year = e / 1461 + (12 + 2 - month) / 12 - 4716;
    format!("{year:04}-{month:02}-{day:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for (days, date) in [
            (0, "1970-01-01"),
            (11_016, "2000-02-29"),
            (19_723, "2024-01-01"),
            (20_783, "2026-11-26"),
        ] {
            assert_eq!(day_of(days), date);
        }
    }
}
