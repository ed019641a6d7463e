//! Solids whose volume and center are known in closed form.

use std::f64::consts::PI;

use tangwright::knife::{
    Cut, CutForm, Faces, LandmarkKind, Rise, RiseStation, Sides, Taper, ThicknessStation,
};
use tangwright::thickness::Removed;

use crate::bench::{arc_nodes, bar, blade, close, corners, flat, grind, survey, volume};

fn moment(removed: &Removed, axis: usize) -> f64 {
    removed.layers.iter().map(|l| l.moment[axis]).sum()
}

/// A flat bevel of even height: a prism with the section of two triangles. With T = 4, e = 0.5 and a bevel of 18 on a height of 30 the section that is
/// left is 88.5 mm², its center 18.20338983 above the edge (rectangle and trapezoid).
#[test]
fn a_flat_bevel_is_a_prism() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let removed = survey(&knife).unwrap();
    close(volume(&removed), (120.0 - 88.5) * 100.0, 1e-12);
    close(moment(&removed, 0) / volume(&removed), 50.0, 1e-12);
    let y = (120.0 * 15.0 - 88.5 * 18.203_389_830_508_474) / (120.0 - 88.5);
    close(moment(&removed, 1) / volume(&removed), y, 1e-9);
    assert!(moment(&removed, 2).abs() < 1e-9);
    assert!(removed.error.0 < 1e-8 * 12000.0);
}

/// A hollow bevel takes a circular segment more than the flat one, a convex one a segment less. A wheel of R = 127 on a chord of 25 takes 10.28257704 mm² more on
/// each face (segment of a circle, Machinery's Handbook); the bow of R = 400, which stays below the face, by the same formula.
#[test]
fn a_hollow_bevel_takes_a_segment_more_and_a_convex_one_less() {
    let climb: f64 = 2.0 - 0.25;
    let height = (25.0_f64 * 25.0 - climb * climb).sqrt();
    let triangle = height * climb / 2.0;
    let half = (12.5_f64 / 400.0).asin();
    let bow = 400.0 * 400.0 / 2.0 * (2.0 * half - (2.0 * half).sin());
    for (form, more) in [
        (
            CutForm::Hollow {
                wheel_radius_mm: 127.0,
            },
            10.282_577_04,
        ),
        (CutForm::Convex { radius_mm: 400.0 }, -bow),
    ] {
        let mut knife = bar(100.0, 40.0);
        let cut = Cut {
            form,
            rise: Rise::even_height(height),
        };
        knife.grinding.grinds = vec![grind(Sides::Both(cut), 0.5)];
        let removed = survey(&knife).unwrap();
        close(volume(&removed), 2.0 * 100.0 * (triangle + more), 1e-9);
    }
}

/// A bevel around half a disc: by Pappus the section turns about the center, `∫(H − z0)(1 − d/h)·π(R − d) dd = π(H − z0)(R·h/2 − h²/6)` on each face. The
/// edge is drawn with cubics that leave the circle by less than 1e-9 of its radius.
#[test]
fn a_belly_is_turned_about_its_center() {
    let (r, h) = (50.0, 20.0);
    let mut nodes = arc_nodes(0, (0.0, 0.0), r, -PI, PI, 16);
    nodes.truncate(17);
    let mut knife = blade(nodes, &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 16)]);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(h)), 0.4)];
    let removed = survey(&knife).unwrap();
    close(
        volume(&removed),
        2.0 * PI * 1.8 * (r * h / 2.0 - h * h / 6.0),
        1e-8,
    );
    assert!(removed.error.0 / (PI * r * r / 2.0 * 4.0) < 1e-6);
}

/// A bevel wider than the half disc's radius: all rays meet at the center. Up to there the rest of the cone frustum is left:
/// `∫₀^R (H − z0)(1 − d/h)·π(R − d) dd = π(H − z0)(R²/2 − R³/(6h))`.
#[test]
fn rays_that_meet_in_the_middle_stop_there() {
    let (r, h) = (30.0, 45.0);
    let nodes = arc_nodes(0, (0.0, 0.0), r, -PI, PI, 16);
    let mut knife = blade(nodes, &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 16)]);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(h)), 0.4)];
    let removed = survey(&knife).unwrap();
    close(
        volume(&removed),
        2.0 * PI * 1.8 * (r * r / 2.0 - r * r * r / (6.0 * h)),
        1e-6,
    );
}

/// A height that grows from a to b: the triangle's area grows with it, so the mean counts.
#[test]
fn a_growing_height_counts_by_its_mean() {
    let mut knife = bar(100.0, 30.0);
    let rise = Rise::Height(vec![
        RiseStation {
            at: 0.0,
            value: 8.0,
        },
        RiseStation {
            at: 0.25,
            value: 20.0,
        },
        RiseStation {
            at: 1.0,
            value: 14.0,
        },
    ]);
    let cut = Cut {
        form: CutForm::Flat,
        rise,
    };
    knife.grinding.grinds = vec![grind(Sides::Both(cut), 0.5)];
    let mean = 0.25 * 14.0 + 0.75 * 17.0;
    close(volume(&survey(&knife).unwrap()), mean * 1.75 * 100.0, 1e-10);
}

/// A chisel: the edge lies on the left face, so the right one falls by all of T − e. The lean is that of the triangle.
#[test]
fn a_chisel_takes_it_all_from_one_face() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Right(flat(20.0)), 0.5)];
    let removed = survey(&knife).unwrap();
    close(volume(&removed), 20.0 * 3.5 / 2.0 * 100.0, 1e-12);
    // The triangle's center lies a third of its side below the right face.
    close(
        moment(&removed, 2) / volume(&removed),
        2.0 - 3.5 / 3.0,
        1e-12,
    );
}

/// Full-height bevel cut off by the spine: height 40 on a bar of 30. The section left is a trapezoid with z = 2·(30/40)… at the spine.
#[test]
fn a_bevel_taller_than_the_blade_ends_at_the_spine() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(40.0)), 0.0)];
    // (T/2)(1 − d/40) over 0..30: 2·(30 − 900/80)
    let section = 2.0 * 2.0 * (30.0 - 900.0 / 80.0);
    close(volume(&survey(&knife).unwrap()), section * 100.0, 1e-12);
}

/// Distal taper from T0 to T1 along the bar, bevel by height up to the face at the foot: rays run square to x, so each section is a triangle of
/// climb T(x)/2 − e/2: mean of both ends.
#[test]
fn a_taper_lowers_the_climb() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.taper = Some(Taper {
        stations: vec![
            ThicknessStation {
                x_mm: 20.0,
                thickness_mm: 4.0,
            },
            ThicknessStation {
                x_mm: 100.0,
                thickness_mm: 2.0,
            },
        ],
        faces: Faces::Both,
    });
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let truth = 18.0 * (20.0 * 1.75 + 80.0 * (1.75 + 0.75) / 2.0);
    close(volume(&survey(&knife).unwrap()), truth, 1e-10);
}

/// A straight run with a corner that points into the steel: two rectangles and a cone's sector between them. Edge from (0,0) to (60,0), then up
/// at an angle a is a corner out of the steel; downward one into it.
#[test]
fn a_corner_into_the_steel_adds_a_fan() {
    let a = 0.4_f64;
    let (x, y) = (60.0 + 60.0 * a.cos(), -60.0 * a.sin());
    let mut knife = blade(
        corners(&[(0.0, 0.0), (60.0, 0.0), (x, y), (x, 60.0), (0.0, 60.0)]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 2)],
    );
    knife.grinding.grinds = vec![grind(Sides::Both(flat(15.0)), 0.0)];
    // Square to the second part the ray at its end would leave the steel: leave that corner by a short run. The bar's right side cuts it: the wedge beyond the
    // side is what is missing, so take it off by hand: at the end, rays lean to the right by a, beyond x.
    let removed = volume(&survey(&knife).unwrap());
    let prism = 2.0 * (15.0 * 2.0 / 2.0) * 120.0;
    let fan = 2.0 * a * 2.0 * (15.0 * 15.0 / 2.0 - 15.0 * 15.0 / 3.0);
    // Rays of the second part leave the steel over the side x: at depth d the strip is d·sin a · … along the run: ∫ 2(1 − d/15)·d·tan a dd.
    let beyond = 2.0 * 2.0 * a.tan() * (15.0 * 15.0 / 2.0 - 15.0 * 15.0 / 3.0);
    close(removed, prism + fan - beyond, 1e-7);
}

/// A corner that points out of the steel: the two bevels meet in a ridge from the corner (rays meet halfway between).
#[test]
fn a_corner_out_of_the_steel_makes_a_ridge() {
    let a = 0.4_f64;
    let (x, y) = (60.0 + 60.0 * a.cos(), 60.0 * a.sin());
    let mut knife = blade(
        corners(&[(0.0, 0.0), (60.0, 0.0), (x, y), (x, 90.0), (0.0, 90.0)]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 2)],
    );
    knife.grinding.grinds = vec![grind(Sides::Both(flat(15.0)), 0.0)];
    let removed = volume(&survey(&knife).unwrap());
    let prism = 2.0 * (15.0 * 2.0 / 2.0) * 120.0;
    // Each part ends at the bisector: a strip d·tan(a/2) at depth d is missing on both. At the far end rays lean left, away from the side; the wedge
    // between them and the side has its nearest place at the end of the run, where the grind does not act.
    let lost = 2.0 * 2.0 * 2.0 * (a / 2.0).tan() * (15.0 * 15.0 / 2.0 - 15.0 * 15.0 / 3.0);
    close(removed, prism - lost, 1e-5);
}
