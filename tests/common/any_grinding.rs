//! The part of [`super::any_set`] that makes layers, tapers, grinds and fullers of every kind.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use tangwright::knife::{
    Cut, CutForm, Faces, Fuller, Grind, Grinding, LandmarkKind, Layer, Layering, PlungeLine, Rise,
    RiseStation, Run, SMALLEST_MM, Sides, THICKEST_MM, Taper, ThicknessStation,
};

use super::{material, outline, place, share, size, text};

/// Layers that leave a core in a bar of the given thickness.
pub(super) fn any_layering(bar_mm: f64) -> impl Strategy<Value = Layering> {
    // Thin bars have no room for layers, each of which has a least thickness.
    let most = if bar_mm > 0.2 { 3 } else { 0 };
    let layers = vec((text(), material(), 0.01..=1.0_f64), 0..=most);
    (layers, -0.99..0.99_f64, share()).prop_map(move |(layers, offset, share)| {
        // All but a hundredth of the half bar is dealt out evenly, at most.
        let each = 0.99 * (bar_mm / 2.0 - SMALLEST_MM) / layers.len().max(1) as f64;
        let outer: Vec<Layer> = layers
            .into_iter()
            .map(|(name, material, share)| Layer {
                name,
                material,
                thickness_mm: (each * share).max(SMALLEST_MM),
            })
            .collect();
        let free = outer.last().map_or(bar_mm, |l| l.thickness_mm);
        Layering {
            outer,
            core_offset_mm: offset * free,
            waviness_mm: share * bar_mm / 2.0,
        }
    })
}

/// Anything ground off a knife that has these landmarks.
pub(super) fn any_grinding(landmarks: Vec<LandmarkKind>) -> impl Strategy<Value = Grinding> {
    let most = if landmarks.len() < 2 { 0 } else { 4 };
    (
        option::of(taper()),
        vec(grind(landmarks), 0..=most),
        vec(fuller(), 0..3),
        0.0..=10.0,
    )
        .prop_map(|(taper, grinds, fullers, tolerance_mm)| Grinding {
            taper,
            grinds,
            fullers,
            tolerance_mm,
        })
}

fn faces() -> impl Strategy<Value = Faces> {
    select(Faces::ALL.to_vec())
}

fn thickness() -> impl Strategy<Value = f64> {
    SMALLEST_MM..=THICKEST_MM
}

fn taper() -> impl Strategy<Value = Taper> {
    (vec((place(), thickness()), 1..6), faces()).prop_map(|(mut stations, faces)| {
        stations.sort_by(|a, b| a.0.total_cmp(&b.0));
        stations.dedup_by(|a, b| a.0 == b.0);
        let stations = stations
            .into_iter()
            .map(|(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm });
        Taper {
            stations: stations.collect(),
            faces,
        }
    })
}

fn stations(value: impl Strategy<Value = f64>) -> impl Strategy<Value = Vec<RiseStation>> {
    vec((share(), value), 1..5).prop_map(|mut stations| {
        stations.sort_by(|a, b| a.0.total_cmp(&b.0));
        stations.dedup_by(|a, b| a.0 == b.0);
        stations
            .into_iter()
            .map(|(at, value)| RiseStation { at, value })
            .collect()
    })
}

fn cut() -> impl Strategy<Value = Cut> {
    let form = prop_oneof![
        Just(CutForm::Flat),
        size().prop_map(|wheel_radius_mm| CutForm::Hollow { wheel_radius_mm }),
        size().prop_map(|radius_mm| CutForm::Convex { radius_mm }),
    ];
    let by_height = (form, stations(size())).prop_map(|(form, stations)| Cut {
        form,
        rise: Rise::Height(stations),
    });
    let by_angle = stations(0.004..1.39).prop_map(|stations| Cut {
        form: CutForm::Flat,
        rise: Rise::Angle(stations),
    });
    prop_oneof![by_height, by_angle]
}

fn sides() -> impl Strategy<Value = Sides> {
    prop_oneof![
        cut().prop_map(Sides::Both),
        cut().prop_map(Sides::Right),
        cut().prop_map(Sides::Left),
        (cut(), cut()).prop_map(|(right, left)| Sides::Each { right, left }),
    ]
}

fn plunge() -> impl Strategy<Value = PlungeLine> {
    (0.18..2.96, 0.0..=100.0).prop_map(|(angle_rad, wheel_radius_mm)| PlungeLine {
        angle_rad,
        wheel_radius_mm,
    })
}

fn grind(landmarks: Vec<LandmarkKind>) -> impl Strategy<Value = Grind> {
    let n = landmarks.len().max(2);
    let run = (0..n, 1..n).prop_map(move |(from, step)| {
        let kind = |i: usize| landmarks.get(i % n).copied().unwrap_or(LandmarkKind::Tip);
        Run {
            from: kind(from),
            to: kind(from + step),
        }
    });
    let edge = (0.0..=THICKEST_MM, -50.0..=50.0);
    let ends = (option::of(plunge()), option::of(plunge()));
    (text(), run, sides(), edge, ends, any::<bool>()).prop_map(
        |(name, run, sides, (edge_mm, edge_offset_mm), (plunge_from, plunge_to), hard)| Grind {
            id: 0,
            name,
            run,
            sides,
            edge_mm,
            edge_offset_mm,
            plunge_from,
            plunge_to,
            after_hardening: hard,
        },
    )
}

fn fuller() -> impl Strategy<Value = Fuller> {
    (text(), outline(), faces(), size(), thickness()).prop_map(
        |(name, path, faces, nose_radius_mm, depth_mm)| Fuller {
            id: 0,
            name,
            path,
            faces,
            nose_radius_mm,
            depth_mm,
        },
    )
}
