//! The weigh-up as JSON. Names and nesting are a promise to other programs: fields may be added, none renamed or taken away.

use serde::Serialize;

use crate::weighing::{Band, CutOutWeight, SteelWeight, Total, WeighUp};

/// The whole answer.
#[derive(Debug, Serialize)]
pub(super) struct WeighAnswer {
    pub knives: Vec<KnifeAnswer>,
}

/// One knife. A number that can't be known is `null`, and `missing` says why.
#[derive(Debug, Serialize)]
pub(super) struct KnifeAnswer {
    name: String,
    steel: SteelAnswer,
    cut_outs: Vec<CutOutAnswer>,
    total: TotalAnswer,
    missing: Vec<String>,
}

#[derive(Debug, Serialize)]
struct SteelAnswer {
    area_mm2: Option<f64>,
    perimeter_mm: Option<f64>,
    length_mm: Option<f64>,
    volume_mm3: Option<f64>,
    blank_mass_g: Option<f64>,
    drilled_mass_g: Option<f64>,
    mass_band_g: Option<[f64; 2]>,
    balance_mm: Option<f64>,
    balance_band_mm: Option<[f64; 2]>,
    centroid_mm: Option<[f64; 3]>,
    inertia_g_mm2: Option<f64>,
}

#[derive(Debug, Serialize)]
struct CutOutAnswer {
    id: String,
    kind: &'static str,
    purpose: &'static str,
    area_mm2: Option<f64>,
    removed_g: Option<f64>,
    filling_g: Option<f64>,
    balance_shift_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TotalAnswer {
    mass_g: Option<f64>,
    balance_mm: Option<f64>,
}

/// A number JSON can hold.
fn finite(value: Option<f64>) -> Option<f64> {
    value.filter(|v| v.is_finite())
}

fn ends(band: Option<Band>) -> Option<[f64; 2]> {
    band.map(|band| [band.low, band.high])
        .filter(|ends| ends.iter().all(|v| v.is_finite()))
}

impl KnifeAnswer {
    pub(super) fn new(name: &str, up: &WeighUp) -> Self {
        Self {
            name: name.to_owned(),
            steel: SteelAnswer::new(&up.steel),
            cut_outs: up.cut_outs.iter().map(CutOutAnswer::new).collect(),
            total: TotalAnswer::new(up.total.as_ref()),
            missing: up.missing.iter().map(ToString::to_string).collect(),
        }
    }
}

impl SteelAnswer {
    fn new(steel: &SteelWeight) -> Self {
        Self {
            area_mm2: finite(steel.area_mm2),
            perimeter_mm: finite(steel.perimeter_mm),
            length_mm: finite(Some(steel.extent.overall_mm)),
            volume_mm3: finite(steel.volume_mm3),
            blank_mass_g: finite(steel.blank_mass_g),
            drilled_mass_g: finite(steel.drilled_mass_g),
            mass_band_g: ends(steel.mass_band_g),
            balance_mm: finite(steel.balance_mm),
            balance_band_mm: ends(steel.balance_band_mm),
            centroid_mm: steel
                .centroid_mm
                .filter(|c| c.iter().all(|v| v.is_finite())),
            inertia_g_mm2: finite(steel.inertia_g_mm2),
        }
    }
}

impl CutOutAnswer {
    fn new(cut: &CutOutWeight) -> Self {
        Self {
            id: cut.name.clone(),
            kind: cut.kind,
            purpose: cut.purpose.name(),
            area_mm2: finite(Some(cut.area_mm2)),
            removed_g: finite(cut.removed_g),
            filling_g: finite(cut.filling_g),
            balance_shift_mm: finite(cut.balance_shift_mm),
        }
    }
}

impl TotalAnswer {
    fn new(total: Option<&Total>) -> Self {
        Self {
            mass_g: finite(total.map(|t| t.mass_g)),
            balance_mm: finite(total.map(|t| t.balance_mm)),
        }
    }
}
