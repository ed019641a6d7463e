//! Handles as closed meshes of triangles, measured by `parry3d`: it knows nothing of sections and their integrals.

use std::f64::consts::PI;

use parry3d_f64::mass_properties::details::trimesh_signed_volume_and_center_of_mass;
use parry3d_f64::math::Vector;
use tangwright::knife::{Fixing, Handle, HandlePart, HandleStation, Outline, PartKind, TangHole};
use tangwright::weighing::weigh;

use super::bench::{knife, outline_of, polygon, set};

/// Sections along the handle and corners round each; two meshes, the finer with twice as many, are joined after Richardson.
const SECTIONS: u32 = 120;
const ROUND: u32 = 360;

/// A handle 100 long whose height rises from 20 to 30 mm, swelling from 14 to 22 mm and back to 16.
const BACK: f64 = -100.0;

fn low(x: f64) -> f64 {
    -10.0 + 0.04 * x
}

fn high(x: f64) -> f64 {
    10.0 - 0.06 * x
}

fn thickness(x: f64) -> f64 {
    if x > -60.0 {
        14.0 - (x / 60.0) * 8.0
    } else {
        22.0 + (x + 60.0) / 40.0 * 6.0
    }
}

/// Volume, mm³, and middle of a stack of superellipses that are `less` thinner than the handle.
fn stack(rounding: f64, less: f64, sections: u32, round: u32) -> (f64, Vector) {
    let mut corners: Vec<Vector> = Vec::new();
    let power = |v: f64| v.signum() * v.abs().powf(2.0 / rounding);
    for i in 0..=sections {
        let x = BACK * f64::from(i) / f64::from(sections);
        let (m, h) = (f64::midpoint(low(x), high(x)), high(x) - low(x));
        let t = thickness(x) - less;
        for j in 0..round {
            let (sin, cos) = (2.0 * PI * f64::from(j) / f64::from(round)).sin_cos();
            let (y, z) = (m + h / 2.0 * power(cos), t / 2.0 * power(sin));
            corners.push(Vector::new(x, y, z));
        }
    }
    let ring = |i: u32, j: u32| i * round + j % round;
    let mut triangles: Vec<[u32; 3]> = Vec::new();
    for i in 0..sections {
        for j in 0..round {
            let (a, b) = (ring(i, j), ring(i, j + 1));
            let (c, d) = (ring(i + 1, j + 1), ring(i + 1, j));
            triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    for (i, turned) in [(0, true), (sections, false)] {
        for j in 1..round - 1 {
            let (a, b, c) = (ring(i, 0), ring(i, j), ring(i, j + 1));
            triangles.push(if turned { [a, c, b] } else { [a, b, c] });
        }
    }
    let (volume, middle) = trimesh_signed_volume_and_center_of_mass(&corners, &triangles);
    (volume.abs(), middle)
}

fn truth(rounding: f64, less: f64) -> (f64, f64) {
    let (coarse, _) = stack(rounding, less, SECTIONS, ROUND);
    let (fine, middle) = stack(rounding, less, 2 * SECTIONS, 2 * ROUND);
    assert!((fine / coarse - 1.0).abs() < 3e-4, "{fine} {coarse}");
    ((4.0 * fine - coarse) / 3.0, middle.x)
}

fn shape() -> Outline {
    outline_of(
        &polygon(&[
            (BACK, low(BACK)),
            (0.0, low(0.0)),
            (0.0, high(0.0)),
            (BACK, high(BACK)),
        ]),
        700,
    )
}

fn handle(fixing: Fixing, rounding: f64) -> Handle {
    let stations = [(-100.0, 16.0), (-60.0, 22.0), (0.0, 14.0)];
    Handle {
        fixing,
        outline: Some(shape()),
        stations: stations
            .map(|(x_mm, thickness_mm)| HandleStation { x_mm, thickness_mm })
            .to_vec(),
        rounding,
        parts: vec![HandlePart {
            id: 900,
            kind: PartKind::Grip,
            material: "resin".to_owned(),
            from_x_mm: 0.0,
        }],
        glue: None,
    }
}

/// Volume and middle of the grip on a bar 4 thick, whose tang is as high as `half` to both sides of the axis.
fn held(half: f64, handle: Handle) -> (f64, f64) {
    let tang = [(BACK, -half), (80.0, -half), (80.0, half), (BACK, half)];
    on(&tang, handle)
}

fn on(steel: &[(f64, f64)], handle: Handle) -> (f64, f64) {
    let mut knife = knife(&polygon(steel));
    knife.handle = Some(handle);
    let up = weigh(&knife, &set());
    let grip = up.parts.iter().find(|part| part.kind == "grip");
    grip.map_or((0.0, 0.0), |grip| (grip.volume_mm3, grip.center_mm[0]))
}

#[track_caller]
fn near(found: (f64, f64), (volume, x): (f64, f64)) {
    let off = found.0 / volume - 1.0;
    assert!(off.abs() < 1e-4, "{} mm³, mesh {volume}: {off:e}", found.0);
    assert!((found.1 - x).abs() < 0.01, "{} mm, mesh {x}", found.1);
}

/// Scales as high as the tang itself, of an elliptic and of a squarer section: together they are as thick as the handle less the bar.
#[test]
fn swelling_scales_are_as_large_as_their_mesh() {
    let steel = [
        (BACK, low(BACK)),
        (0.0, low(0.0)),
        (80.0, low(0.0)),
        (80.0, high(0.0)),
        (0.0, high(0.0)),
        (BACK, high(BACK)),
    ];
    for rounding in [2.0, 3.5] {
        let mut scales = handle(Fixing::Scales { liner: None }, rounding);
        scales.outline = None;
        near(on(&steel, scales), truth(rounding, 4.0));
    }
}

/// Scales that go round a tang of 18 by 4 mm: the whole section less the tang.
#[test]
fn scales_round_a_tang_are_as_large_as_their_mesh() {
    let scales = handle(Fixing::Scales { liner: None }, 2.0);
    near(held(9.0, scales), less(truth(2.0, 0.0), 18.0));
}

/// What a tang of a height, 4 mm thick and as long as the handle, leaves.
fn less((volume, x): (f64, f64), height: f64) -> (f64, f64) {
    let tang = -BACK * height * 4.0;
    let left = volume - tang;
    (left, (volume * x - tang * BACK / 2.0) / left)
}

/// A block less its tang of 12 by 4 mm, all along.
#[test]
fn a_swelling_block_is_as_large_as_its_mesh() {
    let block = Fixing::Block {
        hole: TangHole::BurntIn,
    };
    near(held(6.0, handle(block, 2.5)), less(truth(2.5, 0.0), 12.0));
}
