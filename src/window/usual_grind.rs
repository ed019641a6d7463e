//! What a grind, a taper or a layer begins as when the maker switches it on: numbers to drag from.

use crate::edit::Edit;
use crate::knife::{
    Face, Faces, Grind, Knife, KnifeSet, LandmarkKind, Layer, Layering, Rise, Stock, Taper,
    ThicknessStation, usual_layering, usual_taper,
};
use crate::weighing::EdgePlan;

/// A bevel's angle where no height tells it, radians: 15 degrees a side, the least common edge.
const USUAL_ANGLE_RAD: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// The station that is added: in the middle of the widest gap, at the thickness that is there.
pub(super) fn with_station_between(knife: &Knife) -> Option<Taper> {
    let taper = knife.grinding.taper.as_ref()?;
    let gap = taper.stations.windows(2).max_by(|a, b| {
        let width = |pair: &[ThicknessStation]| match pair {
            [a, b] => b.x_mm - a.x_mm,
            _ => 0.0,
        };
        width(a).total_cmp(&width(b))
    });
    let x_mm = match gap {
        Some([a, b]) => f64::midpoint(a.x_mm, b.x_mm),
        _ => taper.stations.first()?.x_mm + 20.0,
    };
    Some(with_station_at(knife, x_mm))
}

/// The taper with one more station at a place, at the thickness that is there; a new taper if there was none.
pub(super) fn with_station_at(knife: &Knife, x_mm: f64) -> Taper {
    let stock_mm = knife.stock.thickness_mm;
    let Some(taper) = &knife.grinding.taper else {
        return taper(knife);
    };
    let thickness_mm = taper.thickness_at(x_mm, stock_mm);
    let mut stations = taper.stations.clone();
    let place = stations.partition_point(|s| s.x_mm <= x_mm);
    stations.insert(place, ThicknessStation { x_mm, thickness_mm });
    Taper {
        stations,
        faces: taper.faces,
    }
}

/// A new taper, as usual for the blade; on a knife without a tip a level one, to add stations to.
pub(super) fn taper(knife: &Knife) -> Taper {
    usual_taper(knife).unwrap_or_else(|| Taper {
        stations: vec![ThicknessStation {
            x_mm: 0.0,
            thickness_mm: knife.stock.thickness_mm,
        }],
        faces: Faces::Both,
    })
}

/// Depth of the blade in its middle, mm.
fn depth_mm(knife: &Knife) -> f64 {
    let tip = knife
        .landmark_point(LandmarkKind::Tip)
        .map_or(100.0, |p| p.x);
    let depth = knife.contour().index().depth_at(0.5 * tip);
    depth.map_or(20.0, |(low, high)| high - low)
}

/// Three layers in the usual shares, soft steel outside; with the edits that bring it into the set.
pub(super) fn layering(set: &KnifeSet, stock: &Stock) -> (Layering, Vec<Edit>) {
    let (material, edits) = of_set(set, "steel_mild", stock);
    let layering = usual_layering(stock, &material);
    (layering, edits)
}

/// The bar with a shim on both sides of its core, which gives up the thickness.
pub(super) fn with_shim(set: &KnifeSet, stock: &Stock) -> (Stock, Vec<Edit>) {
    let (material, edits) = of_set(set, "nickel_200", stock);
    let mut new = stock.clone();
    let shim = Layer {
        name: "shim".to_owned(),
        material,
        thickness_mm: (0.1 * stock.core_thickness_mm()).min(0.2),
    };
    new.layering.outer.insert(0, shim);
    (new, edits)
}

/// A material of the catalog for this set: its key, and the edit that brings it in if it is not there.
fn of_set(set: &KnifeSet, key: &str, stock: &Stock) -> (String, Vec<Edit>) {
    match crate::catalog::material(key) {
        Some(_) if set.material(key).is_some() => (key.to_owned(), Vec::new()),
        Some(material) => {
            let material = super::cards::bench_material(material);
            (key.to_owned(), vec![Edit::SetMaterial { material }])
        }
        None => (stock.material.clone(), Vec::new()),
    }
}

/// The edge of a grind in the middle of its run.
fn edge_plan(knife: &Knife, grind: &Grind) -> EdgePlan {
    let middle = knife
        .run_path(grind.run)
        .and_then(|path| path.at_share(0.5));
    EdgePlan::at(knife, grind, middle.map_or(0.0, |place| place.point.x))
}

/// The rise as an even angle, from the height it has in the middle of its run.
pub(super) fn even_angle(knife: &Knife, grind: &Grind, face: Face, now: &Rise) -> Rise {
    match now {
        Rise::Angle(_) => now.clone(),
        Rise::Height(_) => {
            let plan = edge_plan(knife, grind);
            let angle = plan.angle_for_height_rad(face, now.value_at(0.5));
            Rise::even_angle(angle.unwrap_or(USUAL_ANGLE_RAD))
        }
    }
}

/// The rise as an even height, from the angle it has in the middle of its run.
pub(super) fn even_height(knife: &Knife, grind: &Grind, face: Face, now: &Rise) -> Rise {
    match now {
        Rise::Height(_) => now.clone(),
        Rise::Angle(_) => {
            let plan = edge_plan(knife, grind);
            let height = plan.height_for_angle_mm(face, now.value_at(0.5));
            Rise::even_height(height.unwrap_or(0.5 * depth_mm(knife)))
        }
    }
}

/// Radius of a new bow, mm: it stands a tenth of the height's chord proud of the flat at most. A chord `c` with the bow's rise `c/40`
/// has the radius `c/8 · 40 + c/80`.
pub(super) fn usual_bow_mm(knife: &Knife, grind: &Grind, face: Face, rise: &Rise) -> f64 {
    let height = match even_height(knife, grind, face, rise) {
        Rise::Height(stations) => stations.iter().fold(1.0, |h: f64, s| h.max(s.value)),
        Rise::Angle(_) => 20.0,
    };
    5.0 * height + height / 80.0
}
