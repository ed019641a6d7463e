//! The part of [`super::any_set`] that makes handles, flaws and weigh-ins of every kind.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use tangwright::knife::{
    Faces, Fixing, Flaw, FlawKind, Glue, Handle, HandlePart, HandleStation, LARGEST_MM, Liner,
    PartKind, ROUNDING, Stage, TangHole, WeighIn,
};

use super::{material, outline, place, point, share, size};

pub(super) fn any_handle() -> impl Strategy<Value = Handle> {
    let liner = option::of(
        (material(), size()).prop_map(|(material, thickness_mm)| Liner {
            material,
            thickness_mm,
        }),
    );
    let hole = prop_oneof![
        Just(TangHole::BurntIn),
        (size(), size(), size()).prop_map(|(width_mm, height_mm, depth_mm)| TangHole::Drilled {
            width_mm,
            height_mm,
            depth_mm,
        }),
    ];
    let body = prop_oneof![
        (liner, option::of(outline()))
            .prop_map(|(liner, outline)| (Fixing::Scales { liner }, outline)),
        (hole, outline()).prop_map(|(hole, outline)| (Fixing::Block { hole }, Some(outline))),
    ];
    let glue = (material(), 0.0..=10.0).prop_map(|(material, gap_mm)| Glue { material, gap_mm });
    (
        body,
        stations(),
        ROUNDING.0..=ROUNDING.1,
        parts(),
        option::of(glue),
    )
        .prop_map(
            |((fixing, outline), stations, rounding, parts, glue)| Handle {
                fixing,
                outline,
                stations,
                rounding,
                parts,
                glue,
            },
        )
}

fn stations() -> impl Strategy<Value = Vec<HandleStation>> {
    vec((place(), size()), 1..5).prop_map(|mut stations| {
        stations.sort_by(|a, b| a.0.total_cmp(&b.0));
        stations.dedup_by(|a, b| a.0 == b.0);
        stations
            .into_iter()
            .map(|(x_mm, thickness_mm)| HandleStation { x_mm, thickness_mm })
            .collect()
    })
}

fn parts() -> impl Strategy<Value = Vec<HandlePart>> {
    let part = (
        -LARGEST_MM..=0.0,
        select(PartKind::ALL.to_vec()),
        material(),
    );
    vec(part, 1..5).prop_map(|mut parts| {
        parts.sort_by(|a, b| b.0.total_cmp(&a.0));
        parts.dedup_by(|a, b| a.0 == b.0);
        parts
            .into_iter()
            .map(|(from_x_mm, kind, material)| HandlePart {
                id: 0,
                kind,
                material,
                from_x_mm,
            })
            .collect()
    })
}

pub(super) fn any_flaw() -> impl Strategy<Value = Flaw> {
    (
        select(FlawKind::ALL.to_vec()),
        vec(point(), 1..6),
        share(),
        select(Faces::ALL.to_vec()),
        option::of(share()),
    )
        .prop_map(|(kind, line, reach_mm, faces, depth_mm)| Flaw {
            id: 0,
            kind,
            line,
            reach_mm,
            faces,
            depth_mm,
        })
}

pub(super) fn any_weigh_in() -> impl Strategy<Value = WeighIn> {
    (
        select(Stage::ALL.to_vec()),
        "[0-9]{4}-[0-9]{2}-[0-9]{2}",
        0.1..=10_000.0,
        option::of(place()),
    )
        .prop_map(|(stage, date, mass_g, balance_mm)| WeighIn {
            id: 0,
            stage,
            date,
            mass_g,
            balance_mm,
        })
}

/// Gives everything in a handle its id and a material of the set.
pub(super) fn seat(
    handle: &mut Handle,
    take: &mut impl FnMut() -> u32,
    key: &impl Fn(&mut String),
) {
    if let Some(outline) = &mut handle.outline {
        for node in &mut outline.nodes {
            node.id = take();
        }
    }
    for part in &mut handle.parts {
        part.id = take();
    }
    handle.materials_mut().for_each(key);
}
