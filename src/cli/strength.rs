//! `strength`: sections and stresses of each knife under a load, and what each opening costs.

use super::args::StrengthArguments;
use super::complaint::{Complaint, about, one_line};
use super::strength_json::{KnifeAnswer, StrengthAnswer};
use super::table::{Side, aligned};
use super::{Answer, choose, open};
use crate::strength::{
    CAUTION, Hold, NoStrength, Station, StationKind, Strength, StrengthOptions, strength,
};
use crate::units::{Length, LengthFormat, MISSING, print_number};

/// Plain stations the table shows, besides those where something is.
const PLAIN_STATIONS: usize = 12;

pub(super) fn run(asked: &StrengthArguments) -> Result<Answer, Complaint> {
    if !(asked.load.is_finite() && asked.load > 0.0) {
        return Err(Complaint::wrong_use(format!(
            "--load {} is no load: give newtons, more than 0",
            asked.load
        )));
    }
    let set = open::design(&asked.file)?;
    let knives = choose::knives(&set, asked.knife.as_deref())?;
    let options = StrengthOptions {
        force_n: asked.load,
        load_at: asked.at,
        ..StrengthOptions::default()
    };
    let looked: Vec<(&str, Result<Strength, NoStrength>)> = knives
        .into_iter()
        .map(|knife| (knife.name.as_str(), strength(knife, &set, &options)))
        .collect();
    let told = looked
        .iter()
        .filter_map(|(name, s)| s.as_ref().ok().map(|s| (*name, s)));
    let text = if asked.json {
        let knives = told.map(|(name, s)| KnifeAnswer::new(name, s)).collect();
        open::json(&StrengthAnswer {
            caution: CAUTION,
            knives,
        })?
    } else {
        let mut tables: Vec<String> = told.map(|(name, s)| table(name, s)).collect();
        tables.push(format!("{CAUTION}\n"));
        tables.join("\n")
    };
    let complaints = looked
        .iter()
        .filter_map(|(name, s)| Some((name, s.as_ref().err()?)))
        .map(|(name, reason)| about(&asked.file, &format!("{}: {reason}", one_line(name))))
        .collect();
    Ok(Answer {
        text,
        complaints,
        ..Answer::default()
    })
}

fn place(mm: f64) -> String {
    LengthFormat::default().print_signed(Length::mm(mm))
}

fn table(name: &str, s: &Strength) -> String {
    let held = match s.hold {
        Hold::Clamped { at_mm } => format!("clamped at {}", place(at_mm)),
        Hold::Hand { front_mm, rear_mm } => {
            format!("held from {} to {}", place(rear_mm), place(front_mm))
        }
    };
    let mut text = format!(
        "{}: {} N at {}, {held}\n",
        one_line(name),
        print_number(s.force_n, 0),
        place(s.load_mm)
    );
    text.push_str(&aligned(&facts(s), &[Side::Left], "  "));
    text.push('\n');
    let mut sides = vec![Side::Right; 8];
    sides.push(Side::Left);
    text.push_str(&aligned(&stations(s), &sides, "  "));
    if !s.openings.is_empty() {
        text.push('\n');
        let sides = [Side::Left, Side::Right, Side::Right, Side::Right];
        text.push_str(&aligned(&openings(s), &sides, "  "));
    }
    text
}

fn facts(s: &Strength) -> Vec<Vec<String>> {
    let weakest = |index: Option<usize>, stress: fn(&Station) -> f64| {
        index
            .and_then(|i| s.stations.get(i))
            .map_or(MISSING.to_owned(), |station| {
                let mpa = print_number(stress(station), 0);
                format!(
                    "{mpa} MPa at {}, {}",
                    place(station.section.x_mm),
                    what(&station.kind)
                )
            })
    };
    let give = |mm: Option<f64>| {
        mm.map_or(MISSING.to_owned(), |mm| {
            format!("{} mm", print_number(mm, 2))
        })
    };
    let mut rows = vec![
        (
            "weakest edgewise",
            weakest(s.weakest_edgewise, |s| s.edgewise.peak_mpa),
        ),
        (
            "weakest flatwise",
            weakest(s.weakest_flatwise, |s| s.flatwise.peak_mpa),
        ),
        ("gives edgewise", give(s.deflection_edgewise_mm)),
        ("gives flatwise", give(s.deflection_flatwise_mm)),
    ];
    if let Some(factor) = s.shoulder_factor {
        rows.push((
            "shoulder rounding",
            format!("raises the stress {} times", print_number(factor, 2)),
        ));
    }
    rows.into_iter()
        .map(|(name, value)| vec![name.to_owned(), value])
        .collect()
}

fn what(kind: &StationKind) -> String {
    match kind {
        StationKind::Plain => "plain steel".to_owned(),
        StationKind::Opening(name) => format!("cut-out {name}"),
        StationKind::Shoulder => "shoulder".to_owned(),
    }
}

fn stations(s: &Strength) -> Vec<Vec<String>> {
    let head = [
        "at",
        "area mm²",
        "I edge mm⁴",
        "I flat mm⁴",
        "Z edge mm³",
        "Z flat mm³",
        "edge MPa",
        "flat MPa",
        "",
    ];
    let mut rows = vec![head.iter().map(|word| (*word).to_owned()).collect()];
    let every = s.stations.len().div_ceil(PLAIN_STATIONS).max(1);
    for (i, station) in s.stations.iter().enumerate() {
        let marks: Vec<String> = [
            (station.kind != StationKind::Plain).then(|| what(&station.kind)),
            (s.weakest_edgewise == Some(i)).then(|| "weakest edgewise".to_owned()),
            (s.weakest_flatwise == Some(i)).then(|| "weakest flatwise".to_owned()),
        ]
        .into_iter()
        .flatten()
        .collect();
        if marks.is_empty() && i % every != 0 {
            continue;
        }
        let section = &station.section;
        let numbers = [
            (section.area_mm2, 1),
            (section.edgewise_mm4, 0),
            (section.flatwise_mm4, 1),
            (section.edgewise_mm3(), 1),
            (section.flatwise_mm3(), 1),
            (station.edgewise.peak_mpa, 0),
            (station.flatwise.peak_mpa, 0),
        ];
        let mut row = vec![place(section.x_mm)];
        row.extend(numbers.map(|(value, decimals)| print_number(value, decimals)));
        row.push(marks.join(", "));
        rows.push(row);
    }
    rows
}

fn openings(s: &Strength) -> Vec<Vec<String>> {
    let head = ["cut-out", "at", "keeps edgewise", "keeps flatwise"];
    let mut rows = vec![head.iter().map(|word| (*word).to_owned()).collect()];
    let share = |kept: f64| format!("{} %", print_number(100.0 * kept, 1));
    rows.extend(s.openings.iter().map(|o| {
        vec![
            o.name.clone(),
            place(o.x_mm),
            share(o.edgewise_kept),
            share(o.flatwise_kept),
        ]
    }));
    rows
}
