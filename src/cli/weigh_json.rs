//! The weigh-up as JSON. Names and nesting are a promise to other programs: fields may be added, none renamed or taken away.

use serde::Serialize;

use super::weigh_forge::ForgeAnswer;
use crate::knife::Knife;
use crate::weighing::{
    Band, CutOutWeight, ForgeStock, GrindWeight, LayerWeight, StageWeight, Total, WeighUp,
};

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
    layers: Vec<LayerAnswer>,
    grinds: Vec<GrindAnswer>,
    /// Bound of the relative error of the ground volume.
    error_bound: Option<f64>,
    cut_outs: Vec<CutOutAnswer>,
    /// The guard and the parts of the handle.
    parts: Vec<PartAnswer>,
    /// The stages of the work whose numbers are known, in its order.
    stages: Vec<StageAnswer>,
    /// Where the hand is, for the centers of percussion.
    grip_mm: Option<f64>,
    total: TotalAnswer,
    /// What to take to the forge; left out where nothing is forged.
    #[serde(skip_serializing_if = "Option::is_none")]
    forging: Option<ForgeAnswer>,
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
    ground_mass_g: Option<f64>,
    ground_mass_band_g: Option<[f64; 2]>,
    ground_balance_mm: Option<f64>,
    ground_balance_band_mm: Option<[f64; 2]>,
    ground_balance_error_mm: Option<f64>,
    ground_volume_mm3: Option<f64>,
    ground_centroid_mm: Option<[f64; 3]>,
    ground_inertia_g_mm2: Option<f64>,
}

#[derive(Debug, Serialize)]
struct LayerAnswer {
    name: String,
    material: String,
    thickness_mm: f64,
    blank_mass_g: Option<f64>,
    ground_mass_g: Option<f64>,
    ground_volume_mm3: Option<f64>,
}

#[derive(Debug, Serialize)]
struct GrindAnswer {
    name: String,
    removed_g: Option<f64>,
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
struct PartAnswer {
    name: String,
    kind: &'static str,
    material: String,
    mass_g: Option<f64>,
    volume_mm3: Option<f64>,
    center_mm: Option<[f64; 3]>,
    inertia_g_mm2: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StageAnswer {
    stage: &'static str,
    mass_g: Option<f64>,
    mass_band_g: Option<[f64; 2]>,
    balance_mm: Option<f64>,
    inertia_g_mm2: Option<f64>,
    percussion_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TotalAnswer {
    mass_g: Option<f64>,
    balance_mm: Option<f64>,
    mass_band_g: Option<[f64; 2]>,
    balance_band_mm: Option<[f64; 2]>,
    centroid_mm: Option<[f64; 3]>,
    inertia_g_mm2: Option<f64>,
}

/// The guard, then the parts of the handle.
fn parts(knife: &Knife, up: &WeighUp) -> Vec<PartAnswer> {
    let guard = up.guard.iter().map(|guard| PartAnswer {
        name: "guard".to_owned(),
        kind: "guard",
        material: knife
            .guard
            .as_ref()
            .map_or_else(String::new, |g| g.material.clone()),
        mass_g: finite(Some(guard.mass_g)),
        volume_mm3: finite(Some(guard.volume_mm3)),
        center_mm: place([guard.x_mm, guard.y_mm, 0.0]),
        inertia_g_mm2: finite(Some(guard.inertia_g_mm2)),
    });
    let handle = up.parts.iter().map(|part| PartAnswer {
        name: part.name.clone(),
        kind: part.kind,
        material: part.material.clone(),
        mass_g: finite(Some(part.mass_g)),
        volume_mm3: finite(Some(part.volume_mm3)),
        center_mm: place(part.center_mm),
        inertia_g_mm2: finite(Some(part.inertia_g_mm2)),
    });
    guard.chain(handle).collect()
}

fn place(at: [f64; 3]) -> Option<[f64; 3]> {
    Some(at).filter(|at| at.iter().all(|v| v.is_finite()))
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
    pub(super) fn new(
        knife: &Knife,
        up: &WeighUp,
        grip_mm: f64,
        forge: Option<&ForgeStock>,
    ) -> Self {
        Self {
            name: knife.name.clone(),
            steel: SteelAnswer::new(up),
            layers: up.layers.iter().map(LayerAnswer::new).collect(),
            grinds: up.grinds.iter().map(GrindAnswer::new).collect(),
            error_bound: finite(up.ground.map(|g| g.error_bound)),
            cut_outs: up.cut_outs.iter().map(CutOutAnswer::new).collect(),
            parts: parts(knife, up),
            stages: StageWeight::all(up)
                .iter()
                .map(|own| StageAnswer::new(own, grip_mm))
                .collect(),
            grip_mm: finite(Some(grip_mm)),
            total: TotalAnswer::new(up.total.as_ref()),
            forging: forge.map(ForgeAnswer::new),
            missing: up.missing.iter().map(ToString::to_string).collect(),
        }
    }
}

impl SteelAnswer {
    fn new(up: &WeighUp) -> Self {
        let (steel, ground) = (&up.steel, up.ground);
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
            ground_mass_g: finite(ground.map(|g| g.mass_g)),
            ground_mass_band_g: ends(ground.map(|g| g.mass_band_g)),
            ground_balance_mm: finite(ground.map(|g| g.balance_mm)),
            ground_balance_band_mm: ends(ground.map(|g| g.balance_band_mm)),
            ground_balance_error_mm: finite(ground.map(|g| g.balance_error_mm)),
            ground_volume_mm3: finite(ground.map(|g| g.volume_mm3)),
            ground_centroid_mm: ground
                .map(|g| g.centroid_mm)
                .filter(|c| c.iter().all(|v| v.is_finite())),
            ground_inertia_g_mm2: finite(ground.map(|g| g.inertia_g_mm2)),
        }
    }
}

impl StageAnswer {
    fn new(own: &StageWeight, grip_mm: f64) -> Self {
        Self {
            stage: own.stage.name(),
            mass_g: finite(Some(own.mass_g)),
            mass_band_g: ends(Some(own.mass_band_g)),
            balance_mm: finite(Some(own.balance_mm)),
            inertia_g_mm2: finite(Some(own.inertia_g_mm2)),
            percussion_mm: finite(own.percussion_mm(grip_mm)),
        }
    }
}

impl LayerAnswer {
    fn new(layer: &LayerWeight) -> Self {
        Self {
            name: layer.name.clone(),
            material: layer.material.clone(),
            thickness_mm: layer.thickness_mm,
            blank_mass_g: finite(Some(layer.blank_mass_g)),
            ground_mass_g: finite(Some(layer.ground_mass_g)),
            ground_volume_mm3: finite(Some(layer.ground_volume_mm3)),
        }
    }
}

impl GrindAnswer {
    fn new(grind: &GrindWeight) -> Self {
        Self {
            name: grind.name.clone(),
            removed_g: finite(Some(grind.removed_g)),
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
            mass_band_g: ends(total.map(|t| t.mass_band_g)),
            balance_band_mm: ends(total.map(|t| t.balance_band_mm)),
            centroid_mm: total.and_then(|t| place(t.centroid_mm)),
            inertia_g_mm2: finite(total.map(|t| t.inertia_g_mm2)),
        }
    }
}
