//! What a grind, a taper or a layer begins as when the maker switches it on: numbers to drag from.

use crate::edit::Edit;
use crate::knife::{
    Cut, CutForm, Face, Faces, Fuller, Grind, Id, Joint, Knife, KnifeSet, LandmarkKind, Layer,
    Layering, Node, Outline, PlungeLine, Rise, Run, Sides, Stock, Taper, ThicknessStation,
};
use crate::weighing::EdgePlan;

/// Radius of the wheel of a new hollow, mm: a contact wheel 10 in across, the middle of what is common.
pub(super) const USUAL_WHEEL_RADIUS_MM: f64 = 127.0;

/// A new plunge line: nearly square, its wall left by a belt with a small radius. Common practice, no source.
pub(super) const USUAL_PLUNGE: PlungeLine = PlungeLine {
    angle_rad: 80.0 * std::f64::consts::PI / 180.0,
    wheel_radius_mm: 3.0,
};

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

/// A new taper: the bar as it is to the shoulder line, thinner toward the tip.
pub(super) fn taper(knife: &Knife) -> Taper {
    let stock_mm = knife.stock.thickness_mm;
    let tip = knife
        .landmark_point(LandmarkKind::Tip)
        .map_or(100.0, |p| p.x);
    Taper {
        stations: vec![
            ThicknessStation {
                x_mm: 0.0,
                thickness_mm: stock_mm,
            },
            ThicknessStation {
                x_mm: tip,
                thickness_mm: 0.5 * stock_mm,
            },
        ],
        faces: Faces::Both,
    }
}

/// Depth of the blade in its middle, mm.
fn depth_mm(knife: &Knife) -> f64 {
    let tip = knife
        .landmark_point(LandmarkKind::Tip)
        .map_or(100.0, |p| p.x);
    let depth = knife.contour().index().depth_at(0.5 * tip);
    depth.map_or(20.0, |(low, high)| high - low)
}

fn grind(name: &str, run: Run, height_mm: f64, edge_mm: f64) -> Grind {
    Grind {
        id: 0,
        name: name.to_owned(),
        run,
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(height_mm),
        }),
        edge_mm,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

/// A new bevel on the edge.
pub(super) fn bevel(knife: &Knife) -> Option<Grind> {
    let from = [
        LandmarkKind::Plunge,
        LandmarkKind::Heel,
        LandmarkKind::LowerShoulder,
    ]
    .into_iter()
    .find(|kind| knife.landmark(*kind).is_some())?;
    let run = Run {
        from,
        to: LandmarkKind::Tip,
    };
    let mut new = grind("bevel", run, 0.6 * depth_mm(knife), 0.5);
    new.plunge_from = Some(USUAL_PLUNGE);
    Some(new)
}

/// A new false edge.
pub(super) fn false_edge(knife: &Knife) -> Option<Grind> {
    let run = Run {
        from: LandmarkKind::Tip,
        to: LandmarkKind::FalseEdge,
    };
    Some(grind("false edge", run, 0.2 * depth_mm(knife), 0.8))
}

/// A second bevel over the first one on the edge; `None` while there is none.
pub(super) fn second_bevel(knife: &Knife) -> Option<Grind> {
    let first = knife.grinding.grinds.first()?;
    let mut new = grind("second bevel", first.run, 1.0, 0.0);
    new.sides = Sides::Both(Cut {
        form: CutForm::Flat,
        rise: Rise::even_angle(20f64.to_radians()),
    });
    Some(new)
}

/// A new fuller along the upper half of the blade.
pub(super) fn fuller(knife: &Knife) -> Option<Fuller> {
    let tip = knife.landmark_point(LandmarkKind::Tip)?;
    let steel = knife.contour().index();
    let node = |id: Id, x: f64| {
        let (low, high) = steel.depth_at(x)?;
        let at = crate::geometry::Point::new(x, low + 0.7 * (high - low));
        Some(Node {
            id,
            at,
            handle_in: None,
            handle_out: None,
            joint: Joint::Corner,
        })
    };
    Some(Fuller {
        id: 0,
        name: "fuller".to_owned(),
        path: Outline {
            nodes: vec![node(1, 0.12 * tip.x)?, node(2, 0.7 * tip.x)?],
        },
        faces: Faces::Both,
        nose_radius_mm: 4.0,
        depth_mm: 0.15 * knife.stock.thickness_mm,
    })
}

/// Three layers of even thickness, soft steel outside; with the edits that bring it into the set.
pub(super) fn layering(set: &KnifeSet, stock: &Stock) -> (Layering, Vec<Edit>) {
    let (material, edits) = of_set(set, "steel_mild", stock);
    let layering = Layering {
        outer: vec![Layer {
            name: "cladding".to_owned(),
            material,
            thickness_mm: stock.thickness_mm / 3.0,
        }],
        core_offset_mm: 0.0,
        waviness_mm: 0.0,
    };
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
