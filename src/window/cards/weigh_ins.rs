//! The weigh-ins' part of the Weigh-up card: what the scale said, what was foretold, and what may be behind the difference.

use egui::{RichText, Ui};

use super::switch::switch_ui;
use super::{OnCard, fold_line_ui, hint_ui, read_out_ui};
use crate::edit::{Change, Edit};
use crate::knife::{Id, Knife, Material, Stage, WeighIn};
use crate::units::print_number;
use crate::weighing::{Cause, CauseKind, Reading, foretold, read_weigh_in};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, mass_field, text_field};

/// A weigh-in that is being typed.
#[derive(Clone, Debug, PartialEq)]
pub struct NewWeighIn {
    open: bool,
    stage: Stage,
    date: String,
    mass_g: Option<f64>,
    balance_mm: Option<f64>,
    /// The last readings, and the knife and weigh-in they belong to.
    read: Vec<(Id, Option<Reading>)>,
    of: Option<std::sync::Arc<Knife>>,
}

impl Default for NewWeighIn {
    fn default() -> Self {
        Self {
            open: false,
            stage: Stage::Drilled,
            date: String::new(),
            mass_g: None,
            balance_mm: None,
            read: Vec::new(),
            of: None,
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
    }
    if !open {
        return;
    }
    read_anew(desk, on);
    for weigh_in in &on.knife.weigh_ins {
        let read = &desk.session.weigh_in.read;
        let reading = read.iter().find(|(id, _)| *id == weigh_in.id);
        let reading = reading.and_then(|(_, reading)| reading.clone());
        written_ui(ui, desk, on, weigh_in, reading.as_ref());
        ui.separator();
    }
    new_ui(ui, desk, on);
}

/// Reads every weigh-in again when the knife has changed.
fn read_anew(desk: &mut Desk<'_>, on: OnCard<'_>) {
    let own = &mut desk.session.weigh_in;
    if own
        .of
        .as_ref()
        .is_some_and(|of| std::sync::Arc::ptr_eq(of, &on.results.knife))
    {
        return;
    }
    own.of = Some(std::sync::Arc::clone(&on.results.knife));
    own.read = on
        .knife
        .weigh_ins
        .iter()
        .map(|weigh_in| {
            (
                weigh_in.id,
                read_weigh_in(on.knife, desk.shown.set, weigh_in),
            )
        })
        .collect();
}

fn written_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    weigh_in: &WeighIn,
    reading: Option<&Reading>,
) {
    let head = format!("{} · {}", weigh_in.date, weigh_in.stage.name());
    let said = on
        .say
        .mass_with_band(weigh_in.mass_g, crate::weighing::Band::of(weigh_in.mass_g));
    read_out_ui(ui, desk, &head, &said);
    let Some(reading) = reading else {
        hint_ui(
            ui,
            desk,
            "Nothing can be foretold for this stage: see the findings.",
        );
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
        let edit = taken_over(desk, on.knife, cause);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = ui.small_button("Take over");
            let button = button.accessible_name(format!("Take over: {words}"));
            if let (true, Some(edit)) = (button.clicked(), edit) {
                desk.change_together("take over a weigh-in", [edit]);
            }
        });
    });
}

/// The edit that puts a cause into the design, so that this knife and later ones of the same bar are foretold by it.
fn taken_over(desk: &Desk<'_>, knife: &Knife, cause: &Cause) -> Option<Edit> {
    match &cause.kind {
        CauseKind::Thickness { real_mm, .. } => {
            let mut stock = knife.stock.clone();
            let share = real_mm / stock.thickness_mm;
            stock.thickness_mm = *real_mm;
            for layer in &mut stock.layering.outer {
                layer.thickness_mm *= share;
            }
            Some(Edit::knife(knife.id, Change::SetStock { stock }))
        }
        CauseKind::Density { real_g_cm3, .. } => {
            let own = desk.shown.set.material(&knife.stock.material)?;
            let material = Material {
                density_g_cm3: *real_g_cm3,
                density_low: own.density_low.min(*real_g_cm3),
                density_high: own.density_high.max(*real_g_cm3),
                ..own.clone()
            };
            Some(Edit::SetMaterial { material })
        }
        CauseKind::Bevel { grind, by_mm, .. } => {
            let mut grind = knife
                .grinding
                .grinds
                .iter()
                .find(|g| g.id == *grind)?
                .clone();
            let stations = grind.sides.cuts().flat_map(|cut| cut.rise.stations());
            let highest = stations.map(|s| s.value).fold(0.0, f64::max);
            let by_height = grind
                .sides
                .cuts()
                .all(|cut| matches!(cut.rise, crate::knife::Rise::Height(_)));
            if !by_height || highest <= 0.0 {
                return None;
            }
            for cut in grind.sides.cuts_mut() {
                cut.rise = cut.rise.times_as_high(1.0 + by_mm / highest);
            }
            Some(Edit::knife(knife.id, Change::SetGrind { grind }))
        }
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
    let told = foretold(&on.results.weigh, now);
    if let Some((mass, band, _)) = told {
        read_out_ui(ui, desk, "foretold", &on.say.mass_with_band(mass, band));
    }
    let ids = ["mass", "balance", "date"].map(|name| FieldId::of(on.knife.id, "weigh-in", name));
    let own = desk.session.weigh_in.clone();
    field_row(ui, desk, 3, &ids, |columns, desk| {
        let [mass, balance, date] = columns else {
            return;
        };
        let (g, mm) = told.map_or((0.0, 0.0), |(g, _, mm)| (g, mm));
        if let Some(g) = mass_field(mass, desk, ids[0], "scale says", own.mass_g.unwrap_or(g)) {
            desk.session.weigh_in.mass_g = Some(g);
        }
        let shown = own.balance_mm.unwrap_or(mm);
        if let Some(mm) = length_field(balance, desk, ids[1], "balances at", shown, on.say.lengths)
        {
            desk.session.weigh_in.balance_mm = Some(mm);
        }
        let today = if own.date.is_empty() {
            today()
        } else {
            own.date.clone()
        };
        if let Some(day) = text_field(date, desk, ids[2], "day", &today) {
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
            date: if own.date.is_empty() {
                today()
            } else {
                own.date.clone()
            },
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
