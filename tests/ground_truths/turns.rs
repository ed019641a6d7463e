//! Grinds by angle, one after the other, on the spine and off the middle, each against the closed form of its section.

use tangwright::geometry::Point;
use tangwright::knife::{Cut, CutForm, Face, Knife, LandmarkKind, Rise, Run, Sides};
use tangwright::thickness::{LineKind, Relief};
use tangwright::weighing::{Scale, weigh};

use crate::bench::{bar, blade, close, corners, flat, grind, survey, volume};
use crate::weighed::{SHARE, set, weighed};

pub(crate) fn by_angle(angle_rad: f64) -> Cut {
    Cut {
        form: CutForm::Flat,
        rise: Rise::even_angle(angle_rad),
    }
}

/// Lines and patches of a knife that can be weighed.
pub(crate) fn relief(knife: &Knife) -> Relief {
    let mut scale = Scale::default();
    assert_eq!(scale.weigh(knife, &set()).missing, []);
    scale.relief().cloned().unwrap_or_default()
}

/// The places of the grind line of a grind on a face.
fn grind_line(knife: &Knife, id: u32, face: Face) -> Vec<Point> {
    relief(knife)
        .lines
        .into_iter()
        .filter(|line| line.face == face && line.kind == LineKind::Grind { id })
        .flat_map(|line| line.points)
        .collect()
}

/// By angle a flat rises `climb/tan θ` high: a prism with the section of two triangles, `climb²/tan θ` together. With a climb of (4 − 0.5)/2 = 1.75 and 6° the
/// grind line lies at 16.650 and 2913.774 mm³ are gone (closed form).
#[test]
fn a_flat_by_angle_is_a_prism() {
    let angle = 6_f64.to_radians();
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(by_angle(angle)), 0.5)];
    close(volume(&survey(&knife).unwrap()), 2_913.774_114, 1e-9);
    let (up, _) = weighed(&knife);
    close(up.grinds[0].removed_g, 2.913_774_114 * 7.8, SHARE);
    for face in Face::ALL {
        let line = grind_line(&knife, 500, face);
        assert!(line.len() > 1);
        for at in line {
            assert!((at.y - 1.75 / angle.tan()).abs() < 1e-9, "{at:?}");
        }
    }
    // On one face alone the edge lies on the other: a climb of 3.5, so 3.5²/(2·tan θ) of section; 24.9 high at 8°.
    let angle = 8_f64.to_radians();
    knife.grinding.grinds = vec![grind(Sides::Right(by_angle(angle)), 0.5)];
    let truth = 3.5 * 3.5 / (2.0 * angle.tan()) * 100.0;
    close(volume(&survey(&knife).unwrap()), truth, SHARE);
}

/// An angle that grows along the run from 5° to 9°: the height at a share s is `1.75/tan θ(s)`, and `∫ ds/tan θ = ln(sin θ₁/sin θ₀)/(θ₁ − θ₀)` (integral of the
/// cotangent, closed form).
#[test]
fn an_angle_that_grows_along_the_run() {
    let (low, high) = (5_f64.to_radians(), 9_f64.to_radians());
    let station = |at, value| tangwright::knife::RiseStation { at, value };
    let rise = Rise::Angle(vec![station(0.0, low), station(1.0, high)]);
    let form = CutForm::Flat;
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(Cut { form, rise }), 0.5)];
    let mean = (high.sin() / low.sin()).ln() / (high - low);
    close(
        volume(&survey(&knife).unwrap()),
        1.75 * 1.75 * mean * 100.0,
        1e-7,
    );
}

/// Each grind is told with what it takes of what those before it left. A bevel of 18 to an edge of 0.5 takes its two triangles, 3150 mm³. A second one of 20° to
/// nothing starts 0.25 below it and meets it at `d = 0.25/(tan 20° − 1.75/18) = 0.937214`: two triangles of 0.25 by d, 23.430353 mm³ (closed form).
#[test]
fn each_grind_takes_what_those_before_left() {
    let mut second = grind(Sides::Both(by_angle(20_f64.to_radians())), 0.0);
    second.id = 501;
    "second bevel".clone_into(&mut second.name);
    let first = grind(Sides::Both(flat(18.0)), 0.5);
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![first.clone(), second.clone()];
    let (up, ground) = weighed(&knife);
    close(up.grinds[0].removed_g, 3.15 * 7.8, SHARE);
    close(up.grinds[1].removed_g, 0.023_430_352_68 * 7.8, 1e-8);
    close(ground.volume_mm3, 12_000.0 - 3150.0 - 23.430_352_68, SHARE);
    // Its line lies where the two surfaces meet.
    for at in grind_line(&knife, 501, Face::Right) {
        assert!((at.y - 0.937_214_107).abs() < 1e-6, "{at:?}");
    }
    // Ground the other way round the small one takes its whole triangle, 1/2·2²/tan 20° on each face, and the large one the rest.
    knife.grinding.grinds = vec![second, first];
    let (up, _) = weighed(&knife);
    let alone = 4.0 / 20_f64.to_radians().tan() * 100.0;
    close(up.grinds[0].removed_g, alone * 7.8e-3, 1e-8);
    close(
        up.grinds[1].removed_g,
        (3_173.430_352_68 - alone) * 7.8e-3,
        1e-8,
    );
}

/// A bar whose spine has a false edge on its front 60 mm: 6 high, down to an edge of 1.
pub(crate) fn swedged() -> Knife {
    let mut knife = blade(
        corners(&[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 30.0),
            (40.0, 30.0),
            (0.0, 30.0),
        ]),
        &[
            (LandmarkKind::Plunge, 0),
            (LandmarkKind::Tip, 2),
            (LandmarkKind::FalseEdge, 3),
        ],
    );
    let mut swedge = grind(Sides::Both(flat(6.0)), 1.0);
    swedge.run = Run {
        from: LandmarkKind::Tip,
        to: LandmarkKind::FalseEdge,
    };
    knife.grinding.grinds = vec![swedge];
    knife
}

/// A straight false edge is a prism that hangs from the spine: two triangles of 6 by (4 − 1)/2 over 60 mm are 540 mm³, their center 2 below the spine and 70
/// along the bar (closed form).
#[test]
fn a_straight_false_edge_is_a_prism() {
    let knife = swedged();
    let (up, ground) = weighed(&knife);
    close(ground.volume_mm3, 12_000.0 - 540.0, SHARE);
    close(up.grinds[0].removed_g, 0.54 * 7.8, SHARE);
    let x = (12_000.0 * 50.0 - 540.0 * 70.0) / 11_460.0;
    let y = (12_000.0 * 15.0 - 540.0 * 28.0) / 11_460.0;
    close(ground.balance_mm, x, SHARE);
    close(ground.centroid_mm[1], y, SHARE);
    let line = grind_line(&knife, 500, Face::Left);
    assert!(line.len() > 1 && line.iter().all(|at| (at.y - 24.0).abs() < 1e-9));
}

/// An edge 0.2 toward the right face: the right surface climbs 1.55 and the left one 1.95 over 18. As much steel is gone as without, and what is left leans by
/// `(13.95·(2 − 1.55/3) − 17.55·(2 − 1.95/3))/88.5` = 3/88.5 to the right (centers of the two triangles, closed form).
#[test]
fn an_edge_off_the_middle_leans() {
    let mut knife = bar(100.0, 30.0);
    let mut bevel = grind(Sides::Both(flat(18.0)), 0.5);
    bevel.edge_offset_mm = 0.2;
    knife.grinding.grinds = vec![bevel];
    let (_, ground) = weighed(&knife);
    close(ground.volume_mm3, 8850.0, SHARE);
    close(ground.centroid_mm[2], 3.0 / 88.5, SHARE);
    close(ground.balance_mm, 50.0, SHARE);
    knife.grinding.grinds[0].edge_offset_mm = -0.2;
    close(weighed(&knife).1.centroid_mm[2], -3.0 / 88.5, SHARE);
}

/// A layer weighs in the blank what it weighs under the outline, as the blank does: the holes come later. A core of 1.6 at 8.0 and claddings of 1.2 at 7.6 under
/// 100 × 30 are 38.4 and twice 27.36 g, with a hole and without one; ground, the hole's 2.25 mm of steel at its middle are missing.
#[test]
fn layers_are_weighed_in_the_blank_before_its_holes() {
    let mut knife = bar(100.0, 30.0);
    crate::weighed::laminated(&mut knife, &[("clad", 1.2)], 0.0);
    crate::openings::hole(&mut knife, (40.0, 22.0), 8.0);
    let up = weigh(&knife, &set());
    let blank: Vec<f64> = up.layers.iter().map(|l| l.blank_mass_g).collect();
    for (found, truth) in blank.iter().zip([38.4, 27.36, 27.36]) {
        close(*found, truth, SHARE);
    }
    close(
        blank.iter().sum::<f64>(),
        up.steel.blank_mass_g.unwrap(),
        SHARE,
    );
    let disc = std::f64::consts::PI * 16.0;
    close(up.layers[0].ground_volume_mm3, 1.6 * (3000.0 - disc), SHARE);
}
