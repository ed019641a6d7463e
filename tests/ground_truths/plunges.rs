//! Plunge lines that lean, the wheel's wall behind them, and fullers, against closed forms.

use std::f64::consts::{FRAC_PI_2, PI};

use tangwright::knife::{Faces, Fuller, Knife, LandmarkKind, Node, Outline, PlungeLine, Sides};

use crate::bench::{arc_nodes, bar, blade, close, corners, flat, grind, survey, volume};
use crate::weighed::{SHARE, weighed};

/// Share that a curved wall may be off by: a tenth of what is promised of a volume.
const CURVED: f64 = 1e-6;

/// A bar 100 × 30 whose edge is ground 18 high from a plunge line at x = 20 on.
pub(crate) fn plunged(degrees: f64, wheel_radius_mm: f64) -> Knife {
    let mut knife = blade(
        corners(&[
            (0.0, 0.0),
            (20.0, 0.0),
            (100.0, 0.0),
            (100.0, 30.0),
            (0.0, 30.0),
        ]),
        &[(LandmarkKind::Plunge, 1), (LandmarkKind::Tip, 2)],
    );
    let mut bevel = grind(Sides::Both(flat(18.0)), 0.5);
    bevel.plunge_from = Some(PlungeLine {
        angle_rad: degrees.to_radians(),
        wheel_radius_mm,
    });
    knife.grinding.grinds = vec![bevel];
    knife
}

/// A line that leans over the grind by φ cuts its prism off at `x = 20 + y·cot φ`: `2·∫₀¹⁸ 1.75·(1 − y/18)·(80 − y·cot φ) dy = 3.5·(80·18/2 − 18²/6·cot φ)`.
/// At 60° that is 2410.881 mm³, at 120°, away from the grind, 2629.119 (closed form).
#[test]
fn a_leaning_plunge_cuts_the_prism_short() {
    for (degrees, truth) in [(60.0, 2410.881), (90.0, 2520.0), (120.0, 2629.119)] {
        let found = volume(&survey(&plunged(degrees, 0.0)).unwrap());
        let cot = 1.0 / f64::to_radians(degrees).tan();
        close(found, 3.5 * (720.0 - 54.0 * cot), SHARE);
        close(found, truth, 1e-6);
    }
}

/// What a wheel of radius r leaves of its wall behind a square line is half a circular segment as high as the surface lies below the face, `k = c·(1 − y/h)`:
/// `S(k) = ½·(r²·acos(1 − k/r) − (r − k)·√(2rk − k²))`. Over the bevel `h/c·∫₀ᶜ S dk`, and with `t₀ = 1 − c/r` that integral is
/// `½·r³·(√(1 − t₀²) − t₀·acos t₀ − (1 − t₀²)^1.5/3)` (closed form): for r = 5 and c = 1.75 33.788 mm³ on each face, together with the prisms 2587.576.
#[test]
fn the_wheel_leaves_a_wall_of_half_segments() {
    let (r, c, h): (f64, f64, f64) = (5.0, 1.75, 18.0);
    let t = 1.0 - c / r;
    let s = (1.0 - t * t).sqrt();
    let wall = h / c * 0.5 * r.powi(3) * (s - t * t.acos() - s.powi(3) / 3.0);
    close(wall, 33.788_021_24, 1e-9);
    let found = volume(&survey(&plunged(90.0, r)).unwrap());
    close(found, 2520.0 + 2.0 * wall, CURVED);
    close(found, 2_587.576_042, CURVED);
    // A wheel smaller than the depth leaves upright steel behind its quarter round: where k > r the wall is r²·(1 − π/4) short of r·k.
    let r: f64 = 1.0;
    let deep = |k: f64| k * r - r * r * (1.0 - PI / 4.0);
    // From k = r to k = c, linear in k, and below r half segments up to t₀ = 0.
    let straight = (c - r) * f64::midpoint(deep(r), deep(c));
    let round = 0.5 * r.powi(3) * (1.0 - 1.0 / 3.0);
    let wall = h / c * (straight + round);
    let found = volume(&survey(&plunged(90.0, r)).unwrap());
    close(found, 2520.0 + 2.0 * wall, CURVED);
}

/// Area of the segment of a nose of radius r at depth p, and the spherical cap of both round ends together: `r²·acos((r − p)/r) − (r − p)·√(2rp − p²)` and
/// `π·p²·(3r − p)/3` (segment and cap, Machinery's Handbook). For 5 and 0.8: 2.943513 mm² and 9.516931 mm³.
fn channel() -> (f64, f64) {
    let (r, p): (f64, f64) = (5.0, 0.8);
    let segment = r * r * ((r - p) / r).acos() - (r - p) * (2.0 * r * p - p * p).sqrt();
    (segment, PI * p * p * (3.0 * r - p) / 3.0)
}

fn fuller(nodes: Vec<Node>, faces: Faces) -> Fuller {
    Fuller {
        id: 503,
        name: "fuller".to_owned(),
        path: Outline { nodes },
        faces,
        nose_radius_mm: 5.0,
        depth_mm: 0.8,
    }
}

/// A straight channel 60 long: segment times length and a cap: 186.1277 mm³ from one face, twice that from both. Its width at the face is the chord,
/// 2·√(2rp − p²) = 5.42586.
#[test]
fn a_fuller_is_a_segment_with_round_ends() {
    let (segment, cap) = channel();
    let truth = 60.0 * segment + cap;
    close(truth, 186.127_726, 1e-8);
    for (faces, times, lean) in [
        (Faces::Right, 1.0, -1.0),
        (Faces::Left, 1.0, 1.0),
        (Faces::Both, 2.0, 0.0),
    ] {
        let mut knife = bar(100.0, 30.0);
        let own = fuller(corners(&[(20.0, 15.0), (80.0, 15.0)]), faces);
        close(2.0 * own.half_width_mm(), 5.425_863_986, 1e-9);
        knife.grinding.fullers = vec![own];
        let (up, ground) = weighed(&knife);
        close(ground.volume_mm3, 12_000.0 - times * truth, SHARE);
        close(up.grinds[0].removed_g, times * truth * 7.8e-3, 1e-7);
        assert_eq!(up.grinds[0].name, "fuller");
        close(ground.balance_mm, 50.0, SHARE);
        close(ground.centroid_mm[1], 15.0, SHARE);
        // Steel gone from one face leans to the other.
        assert!(ground.centroid_mm[2] * lean >= 0.0);
        assert_eq!(ground.centroid_mm[2].abs() > 1e-3, lean != 0.0);
    }
}

/// Along a quarter circle of radius 40 the same segment is turned about the circle's middle with its own middle on the path: by the second theorem of Pappus the
/// same area times the length of the path.
#[test]
fn a_curved_fuller_is_turned() {
    let (segment, cap) = channel();
    let mut knife = bar(100.0, 60.0);
    let path = arc_nodes(900, (50.0, 5.0), 40.0, PI / 4.0, FRAC_PI_2, 8);
    knife.grinding.fullers = vec![fuller(path, Faces::Right)];
    let truth = segment * 40.0 * FRAC_PI_2 + cap;
    close(volume(&survey(&knife).unwrap()), truth, 1e-6);
}

/// A channel takes only what a bevel has left: wholly above the grind line all of it, deep in the bevel, where that lies lower than its floor, nothing.
#[test]
fn a_fuller_in_a_bevel_takes_what_the_bevel_left() {
    let (segment, cap) = channel();
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    knife.grinding.fullers = vec![fuller(corners(&[(20.0, 24.0), (80.0, 24.0)]), Faces::Both)];
    let (up, _) = weighed(&knife);
    close(up.grinds[0].removed_g, 3.15 * 7.8, SHARE);
    close(
        up.grinds[1].removed_g,
        2.0 * (60.0 * segment + cap) * 7.8e-3,
        1e-7,
    );
    // 2.7129 beside y = 6 the bevel stands at 0.25 + 1.75·8.7129/18 = 1.0971, the channel's floor at 2 − 0.8 = 1.2.
    knife.grinding.fullers = vec![fuller(corners(&[(20.0, 6.0), (80.0, 6.0)]), Faces::Both)];
    let (up, ground) = weighed(&knife);
    assert!(up.grinds[1].removed_g.abs() < 1e-9);
    close(ground.volume_mm3, 8850.0, SHARE);
}
