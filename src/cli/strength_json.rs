//! The strength as JSON. Names and nesting are a promise to other programs: fields may be added, none renamed or taken away.

use serde::Serialize;

use crate::strength::{Hold, Station, StationKind, Strength};

/// The whole answer.
#[derive(Debug, Serialize)]
pub(super) struct StrengthAnswer {
    pub caution: &'static str,
    pub knives: Vec<KnifeAnswer>,
}

/// One knife; a number that can't be known is `null`.
#[derive(Debug, Serialize)]
pub(super) struct KnifeAnswer {
    name: String,
    force_n: f64,
    load_mm: f64,
    /// Rear and front of the hold; the same place twice in a vise.
    hold_mm: [f64; 2],
    weakest_edgewise: Option<StationAnswer>,
    weakest_flatwise: Option<StationAnswer>,
    shoulder_factor: Option<f64>,
    deflection_edgewise_mm: Option<f64>,
    deflection_flatwise_mm: Option<f64>,
    openings: Vec<OpeningAnswer>,
    stations: Vec<StationAnswer>,
}

#[derive(Debug, Serialize)]
struct OpeningAnswer {
    id: String,
    x_mm: f64,
    edgewise_kept: f64,
    flatwise_kept: f64,
}

#[derive(Debug, Serialize)]
struct StationAnswer {
    x_mm: f64,
    what: &'static str,
    cut_out: Option<String>,
    area_mm2: f64,
    edgewise_mm4: f64,
    flatwise_mm4: f64,
    edgewise_mm3: f64,
    flatwise_mm3: f64,
    moment_nmm: f64,
    edgewise_net_mpa: f64,
    edgewise_peak_mpa: f64,
    flatwise_net_mpa: f64,
    flatwise_peak_mpa: f64,
}

impl KnifeAnswer {
    pub(super) fn new(name: &str, s: &Strength) -> Self {
        let station = |i: Option<usize>| i.and_then(|i| s.stations.get(i)).map(StationAnswer::new);
        let hold_mm = match s.hold {
            Hold::Clamped { at_mm } => [at_mm; 2],
            Hold::Hand { front_mm, rear_mm } => [rear_mm, front_mm],
        };
        let openings = s.openings.iter().map(|o| OpeningAnswer {
            id: o.name.clone(),
            x_mm: o.x_mm,
            edgewise_kept: o.edgewise_kept,
            flatwise_kept: o.flatwise_kept,
        });
        Self {
            name: name.to_owned(),
            force_n: s.force_n,
            load_mm: s.load_mm,
            hold_mm,
            weakest_edgewise: station(s.weakest_edgewise),
            weakest_flatwise: station(s.weakest_flatwise),
            shoulder_factor: s.shoulder_factor,
            deflection_edgewise_mm: s.deflection_edgewise_mm,
            deflection_flatwise_mm: s.deflection_flatwise_mm,
            openings: openings.collect(),
            stations: s.stations.iter().map(StationAnswer::new).collect(),
        }
    }
}

impl StationAnswer {
    fn new(station: &Station) -> Self {
        let section = &station.section;
        let (what, cut_out) = match &station.kind {
            StationKind::Plain => ("plain", None),
            StationKind::Opening(name) => ("cut-out", Some(name.clone())),
            StationKind::Shoulder => ("shoulder", None),
        };
        Self {
            x_mm: section.x_mm,
            what,
            cut_out,
            area_mm2: section.area_mm2,
            edgewise_mm4: section.edgewise_mm4,
            flatwise_mm4: section.flatwise_mm4,
            edgewise_mm3: section.edgewise_mm3(),
            flatwise_mm3: section.flatwise_mm3(),
            moment_nmm: station.moment_nmm,
            edgewise_net_mpa: station.edgewise.net_mpa,
            edgewise_peak_mpa: station.edgewise.peak_mpa,
            flatwise_net_mpa: station.flatwise.net_mpa,
            flatwise_peak_mpa: station.flatwise.peak_mpa,
        }
    }
}
