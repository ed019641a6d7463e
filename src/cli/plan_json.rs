//! The plans as JSON. Names and nesting are a promise to other programs: fields may be added, none renamed or taken away.

use serde::Serialize;

use crate::knife::CutShape;
use crate::planning::{Plan, PlannedCut, Planning, Wanted};

/// The whole answer.
#[derive(Debug, Serialize)]
pub(super) struct PlanAnswer {
    /// Wanted balance; `null` when a mass is wanted.
    target_mm: Option<f64>,
    /// Wanted mass; `null` when a balance is wanted.
    target_g: Option<f64>,
    knife: String,
    balance_mm: f64,
    mass_g: f64,
    plans: Vec<OnePlan>,
    /// Least and greatest balance in mm, or mass in g, as wanted.
    reachable: [f64; 2],
    stopped_by: Vec<String>,
}

#[derive(Debug, Serialize)]
struct OnePlan {
    name: &'static str,
    /// Round holes; a slot among them has a length and an angle as well, its width as diameter.
    holes: Vec<HoleAnswer>,
    /// Thickness along the knife, for a plan that is a taper.
    taper: Option<Vec<StationAnswer>>,
    balance_mm: f64,
    mass_g: f64,
    removed_g: f64,
    strength_kept: Option<f64>,
    stress_kept: Option<f64>,
    /// How far it is off what is wanted, mm or g.
    off: f64,
}

#[derive(Debug, Serialize)]
struct HoleAnswer {
    x_mm: f64,
    y_mm: f64,
    diameter_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    drill: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    angle_deg: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StationAnswer {
    x_mm: f64,
    thickness_mm: f64,
}

impl PlanAnswer {
    pub(super) fn new(knife: &str, planning: &Planning) -> Self {
        let (target_mm, target_g) = match planning.wanted {
            Wanted::BalanceMm(mm) => (Some(mm), None),
            Wanted::MassG(g) => (None, Some(g)),
        };
        Self {
            target_mm,
            target_g,
            knife: knife.to_owned(),
            balance_mm: planning.balance_mm,
            mass_g: planning.mass_g,
            plans: planning.plans.iter().map(OnePlan::new).collect(),
            reachable: [planning.reachable.0, planning.reachable.1],
            stopped_by: planning
                .stopped_by
                .iter()
                .map(ToString::to_string)
                .collect(),
        }
    }
}

impl OnePlan {
    fn new(plan: &Plan) -> Self {
        let taper = plan.taper.as_ref().map(|taper| {
            let stations = taper.stations.iter().map(|s| StationAnswer {
                x_mm: s.x_mm,
                thickness_mm: s.thickness_mm,
            });
            stations.collect()
        });
        Self {
            name: plan.kind.name(),
            holes: plan.cuts.iter().map(HoleAnswer::new).collect(),
            taper,
            balance_mm: plan.balance_mm,
            mass_g: plan.mass_g,
            removed_g: plan.removed_g,
            strength_kept: plan.strength_kept,
            stress_kept: plan.stress_kept,
            off: plan.off,
        }
    }
}

impl HoleAnswer {
    fn new(cut: &PlannedCut) -> Self {
        let center = cut.shape.center();
        let (diameter_mm, length_mm, angle_deg) = match &cut.shape {
            CutShape::Round { diameter_mm, .. } => (*diameter_mm, None, None),
            CutShape::Slot {
                length_mm,
                width_mm,
                angle_rad,
                ..
            } => (*width_mm, Some(*length_mm), Some(angle_rad.to_degrees())),
            // No plan cuts one.
            CutShape::Free { .. } => (0.0, None, None),
        };
        Self {
            x_mm: center.x,
            y_mm: center.y,
            diameter_mm,
            drill: cut.drill.clone(),
            length_mm,
            angle_deg,
        }
    }
}
