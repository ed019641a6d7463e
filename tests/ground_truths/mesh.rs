//! A third method: the ground steel as a closed mesh of triangles, measured by `parry3d` and freed of its first error by Richardson.
//!
//! The corners of the mesh lie on the faces at columns between the lower and the upper side of the outline. Columns crowd toward
//! both ends as `1 − cos` does, so that a round end costs no accuracy. A flat triangle over a smooth face is off by the square of
//! its size, so two meshes give `(4·fine − coarse)/3` (Richardson, Phil. Trans. A 210 (1911)); a grind line that crosses the
//! triangles leaves a remainder, which the limits below leave room for.

#![expect(clippy::expect_used, reason = "a helper of tests stops the test")]

use std::f64::consts::PI;

use parry3d_f64::mass_properties::details::trimesh_signed_volume_and_center_of_mass;
use parry3d_f64::math::Vector;
use tangwright::geometry::{Point, SpanIndex, Vec2};
use tangwright::knife::{Cut, CutForm, Faces, Knife, LandmarkKind, Rise, RiseStation, Sides};
use tangwright::knife::{Face, Node};
use tangwright::thickness::GroundBlade;

use crate::bench::{bar, blade, corners, flat, grind, ready};
use crate::weighed::{tapered, weighed};

/// Columns and rows of the coarse mesh; the fine one has twice as many.
const COLUMNS: u32 = 400;
const ROWS: u32 = 120;

/// Volume, mm³, and center of mass of a mesh of so many columns and rows.
fn meshed(blade: &GroundBlade, index: &SpanIndex, columns: u32, rows: u32) -> (f64, Vector) {
    let bounds = index.bounds();
    let (middle, half) = (
        f64::midpoint(bounds.x0, bounds.x1),
        (bounds.x1 - bounds.x0) / 2.0,
    );
    let mut corners: Vec<Vector> = Vec::new();
    for i in 0..=columns {
        let x = middle - half * (PI * f64::from(i) / f64::from(columns)).cos();
        // Just inside, where the outline's ends still have two sides.
        let inside = x.clamp(bounds.x0 + 1e-9, bounds.x1 - 1e-9);
        let sides = index.heights_at(inside);
        let (low, high) = (
            sides.first().copied().unwrap_or_default(),
            sides.last().copied().unwrap_or_default(),
        );
        for j in 0..=rows {
            let y = low + (high - low) * f64::from(j) / f64::from(rows);
            let within = y.clamp(low + 1e-9, (high - 1e-9).max(low + 1e-9));
            let at = Point::new(inside, within);
            corners.push(Vector::new(x, y, blade.height(Face::Right, at)));
            corners.push(Vector::new(x, y, -blade.height(Face::Left, at)));
        }
    }
    let corner = |i: u32, j: u32, face: u32| (i * (rows + 1) + j) * 2 + face;
    let mut triangles: Vec<[u32; 3]> = Vec::new();
    // Four corners, counterclockwise as seen from outside.
    let mut quad = |a: u32, b: u32, c: u32, d: u32| triangles.extend([[a, b, c], [a, c, d]]);
    for i in 0..columns {
        for j in 0..rows {
            let (k, l) = (i + 1, j + 1);
            quad(
                corner(i, j, 0),
                corner(k, j, 0),
                corner(k, l, 0),
                corner(i, l, 0),
            );
            quad(
                corner(i, j, 1),
                corner(i, l, 1),
                corner(k, l, 1),
                corner(k, j, 1),
            );
        }
        let k = i + 1;
        quad(
            corner(i, 0, 0),
            corner(i, 0, 1),
            corner(k, 0, 1),
            corner(k, 0, 0),
        );
        quad(
            corner(i, rows, 0),
            corner(k, rows, 0),
            corner(k, rows, 1),
            corner(i, rows, 1),
        );
    }
    for j in 0..rows {
        let l = j + 1;
        quad(
            corner(0, j, 0),
            corner(0, l, 0),
            corner(0, l, 1),
            corner(0, j, 1),
        );
        let n = columns;
        quad(
            corner(n, j, 0),
            corner(n, j, 1),
            corner(n, l, 1),
            corner(n, l, 0),
        );
    }
    trimesh_signed_volume_and_center_of_mass(&corners, &triangles)
}

#[track_caller]
fn agrees(knife: &Knife) {
    let (blade, contour) = ready(knife).expect("a blade that can be ground");
    let index = contour.index();
    let (coarse, fine) = (
        meshed(&blade, &index, COLUMNS, ROWS),
        meshed(&blade, &index, 2 * COLUMNS, 2 * ROWS),
    );
    let volume = (4.0 * fine.0 - coarse.0) / 3.0;
    let (_, ground) = weighed(knife);
    let off = (ground.volume_mm3 - volume).abs() / volume;
    assert!(
        off <= 1e-5,
        "{} is not {volume}: {off:e}",
        ground.volume_mm3
    );
    for (axis, found) in ground.centroid_mm.into_iter().enumerate() {
        let moment = |(volume, center): (f64, Vector)| volume * center[axis];
        let center = (4.0 * moment(fine) - moment(coarse)) / 3.0 / volume;
        assert!(
            (found - center).abs() <= 1e-3,
            "axis {axis}: {found} is not {center}"
        );
    }
}

/// Thickness the bar is ground to at its ends.
const STATIONS: [(f64, f64); 2] = [(0.0, 4.0), (150.0, 2.0)];

/// A blade with a belly that rises to a blunt tip, its run all along the lower side.
fn bellied() -> Knife {
    let mut nodes: Vec<Node> = corners(&[(0.0, 0.0), (150.0, 18.0), (150.0, 25.0), (0.0, 25.0)]);
    nodes[0].handle_out = Some(Vec2::new(70.0, -4.0));
    nodes[1].handle_in = Some(Vec2::new(-30.0, -14.0));
    blade(nodes, &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 1)])
}

#[test]
fn a_tapered_bar_with_a_flat_bevel_is_the_mesh() {
    let mut knife = bar(150.0, 28.0);
    tapered(&mut knife, Faces::Both, &STATIONS);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(17.0)), 0.4)];
    agrees(&knife);
}

#[test]
fn a_bellied_chisel_leans_as_the_mesh_does() {
    let mut knife = bellied();
    tapered(&mut knife, Faces::Right, &STATIONS);
    knife.grinding.grinds = vec![grind(Sides::Right(flat(12.0)), 0.3)];
    agrees(&knife);
}

#[test]
fn unlike_hollow_and_flat_sides_are_the_mesh() {
    let mut knife = bellied();
    let station = |at, value| RiseStation { at, value };
    let right = Cut {
        form: CutForm::Hollow {
            wheel_radius_mm: 125.0,
        },
        rise: Rise::Height(vec![station(0.0, 14.0), station(1.0, 9.0)]),
    };
    knife.grinding.grinds = vec![grind(
        Sides::Each {
            right,
            left: flat(13.0),
        },
        0.3,
    )];
    agrees(&knife);
}
