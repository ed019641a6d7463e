//! What cut-outs take of the steel that is really there, against closed forms.

#![expect(clippy::panic, reason = "a helper of tests stops the test")]

use std::f64::consts::PI;

use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{CutOut, CutShape, Faces, Filling, Knife, Outline, Purpose, Sides};
use tangwright::weighing::{CutOutWeight, Missing, Scale, weigh};

use crate::bench::{bar, close, corners, flat, grind};
use crate::plunges::plunged;
use crate::weighed::{SHARE, laminated, set, tapered, weighed};

/// Share allowed where an opening is surveyed across kinks: well below the bound that is reported, which is a share of the whole blank.
const SURVEYED: f64 = 1e-5;

pub(crate) fn opening(knife: &mut Knife, shape: CutShape) {
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
}

pub(crate) fn hole(knife: &mut Knife, center: (f64, f64), diameter_mm: f64) {
    let center = Point::from(center);
    opening(
        knife,
        CutShape::Round {
            center,
            diameter_mm,
        },
    );
}

/// Mass that the only opening of a knife takes, over the density of plain steel: its volume.
#[track_caller]
pub(crate) fn opened(knife: &Knife) -> f64 {
    let (up, _) = weighed(knife);
    let [
        CutOutWeight {
            removed_g: Some(removed),
            ..
        },
    ] = up.cut_outs[..]
    else {
        panic!("one opening, weighed");
    };
    removed / 7.8e-3
}

/// The mean of a linear height over a disc is that at its center: `A·T` at the hole's middle, in a taper and wholly in a bevel.
#[test]
fn a_hole_takes_the_height_at_its_middle() {
    let area = PI * 9.0;
    let mut knife = bar(100.0, 30.0);
    tapered(&mut knife, Faces::Both, &[(0.0, 4.0), (100.0, 2.0)]);
    hole(&mut knife, (40.0, 15.0), 6.0);
    close(opened(&knife), area * 3.2, SHARE);

    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    hole(&mut knife, (40.0, 9.0), 6.0);
    close(opened(&knife), area * (0.5 + 3.5 * 9.0 / 18.0), SURVEYED);
}

/// A hole whose middle lies `beside` above the grind line lacks an ungula on each face: with half chord `a` over the base below the line,
/// `(2/3 a³ + b·A)·slope`, `b` the way from the chord to the center, negative when the base is less than half the disc (portion of a cylinder, Machinery's Handbook).
#[test]
fn a_hole_across_the_grind_line_lacks_ungulas() {
    let (r, slope) = (4.0_f64, 1.75 / 18.0);
    for beside in [0.0, 1.5, -1.5] {
        let mut knife = bar(100.0, 30.0);
        knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
        hole(&mut knife, (40.0, 18.0 + beside), 2.0 * r);
        let b = -beside;
        let a = (r * r - b * b).sqrt();
        let base = r * r * (b / r).acos().mul_add(-1.0, PI) + b * a;
        let hoof = (2.0 / 3.0 * a.powi(3) + b * base) * slope;
        close(opened(&knife), PI * r * r * 4.0 - 2.0 * hoof, SURVEYED);
    }
}

/// An upright slot half across the grind line: its straight part 6 wide below the line takes a wedge, its round end a half disc with its center `4r/3π` beyond the end of
/// the straight part (centroid of a semicircle, Machinery's Handbook).
#[test]
fn a_slot_across_the_grind_line() {
    let slope = 1.75 / 18.0;
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    opening(
        &mut knife,
        CutShape::Slot {
            center: Point::new(50.0, 18.0),
            length_mm: 16.0,
            width_mm: 6.0,
            angle_rad: PI / 2.0,
        },
    );
    let area = 6.0 * 10.0 + PI * 9.0;
    let straight = 6.0 * 5.0 * 5.0 / 2.0;
    let round = PI * 4.5 * (5.0 + 4.0 * 3.0 / (3.0 * PI));
    close(
        opened(&knife),
        4.0 * area - 2.0 * slope * (straight + round),
        SHARE,
    );
}

/// A square plunge through the middle of a hole wholly in the bevel: half of it is ground. The half disc ahead of the plunge has its center at the hole's height, so it lacks
/// `πr²/2 · 2(H − z)` at its middle.
#[test]
fn a_hole_across_the_plunge_is_half_ground() {
    let mut knife = plunged(90.0, 0.0);
    knife.grinding.grinds[0].plunge_from = None;
    hole(&mut knife, (20.0, 9.0), 6.0);
    let lacks = PI * 9.0 / 2.0 * 2.0 * (1.75 * 0.5);
    close(opened(&knife), PI * 9.0 * 4.0 - lacks, SURVEYED);
}

/// A triangle wholly in a bevel: its area times the mean of the thickness at its corners (truncated triangular prism, Machinery's Handbook).
#[test]
fn a_free_opening_in_a_bevel_is_a_truncated_prism() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let outline = Outline {
        nodes: corners(&[(30.0, 3.0), (50.0, 5.0), (35.0, 15.0)]),
    };
    opening(&mut knife, CutShape::Free { outline });
    let area = (20.0 * 12.0 - 5.0 * 2.0) / 2.0;
    let thick = |y: f64| 0.5 + 3.5 * y / 18.0;
    close(
        opened(&knife),
        area * (thick(3.0) + thick(5.0) + thick(15.0)) / 3.0,
        SURVEYED,
    );
}

/// A hole over the edge of the steel: missing with the reason, never zero.
#[test]
fn a_hole_over_the_edge_is_missing() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    hole(&mut knife, (40.0, 1.0), 6.0);
    let up = weigh(&knife, &set());
    assert!(matches!(up.missing[..], [Missing::AcrossOutline { .. }]));
    assert_eq!(up.ground, None);
    assert_eq!(up.cut_outs[0].removed_g, None);
}

/// A pin fills what is there, or as much as its rod; a tube leaves its bore: both at the thickness in the middle of the hole, here 0.5 + 3.5·9/18.
#[test]
fn fillings_are_as_deep_as_the_steel() {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    hole(&mut knife, (40.0, 9.0), 6.0);
    let brass = "brass".to_owned();
    for (filling, area) in [
        (Filling::pin(&brass), 9.0),
        (
            Filling::Tube {
                material: brass.clone(),
                bore_mm: 4.0,
            },
            5.0,
        ),
        (
            Filling::Pin {
                material: brass.clone(),
                rod_mm: Some(5.0),
            },
            6.25,
        ),
        (Filling::Epoxy { material: brass }, 9.0),
    ] {
        knife.cut_outs[0].filling = filling;
        let (up, ground) = weighed(&knife);
        let filled = PI * area * 2.25 * 8.5e-3;
        close(up.cut_outs[0].filling_g.unwrap(), filled, SURVEYED);
        close(up.total.unwrap().mass_g, ground.mass_g + filled, SURVEYED);
    }
}

/// Moving a hole on a scale that knows the rest gives the numbers of a fresh weighing, to the last bit.
#[test]
fn a_scale_that_remembers_tells_the_same() {
    let mut knife = bar(100.0, 30.0);
    laminated(&mut knife, &[("shim", 0.2), ("clad", 1.1)], 0.05);
    tapered(&mut knife, Faces::Both, &[(0.0, 4.0), (100.0, 2.0)]);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    hole(&mut knife, (20.0, 20.0), 5.0);
    hole(&mut knife, (60.0, 16.0), 6.0);
    let mut scale = Scale::default();
    let _ = scale.weigh(&knife, &set());
    for step in 0..20 {
        if let CutShape::Round { center, .. } = &mut knife.cut_outs[1].shape {
            *center += Vec2::new(0.7, -0.3 * f64::from(step % 3));
        }
        assert_eq!(scale.weigh(&knife, &set()), weigh(&knife, &set()));
    }
    knife.cut_outs.remove(0);
    assert_eq!(scale.weigh(&knife, &set()), weigh(&knife, &set()));
}

/// A line that leans by 60° through the middle of a hole halves it: the half disc ahead of the line has its center `4r/3π` square to it (centroid of a semicircle,
/// Machinery's Handbook), so it lies `4r/3π·cos 60°` lower, and lacks `πr²/2` times both faces' depth there.
#[test]
fn a_hole_across_a_leaning_plunge_is_half_ground() {
    let mut knife = plunged(60.0, 0.0);
    let cot = 1.0 / 60_f64.to_radians().tan();
    hole(&mut knife, (20.0 + 9.0 * cot, 9.0), 6.0);
    let y = 9.0 - 4.0 * 3.0 / (3.0 * PI) * 0.5;
    let lacks = PI * 9.0 / 2.0 * 2.0 * 1.75 * (1.0 - y / 18.0);
    close(opened(&knife), PI * 9.0 * 4.0 - lacks, SURVEYED);
}

/// Through the middle of a hole goes the line of a wheel of 5: ahead of it half the disc is ground flat, behind it the wall still takes the half segments of
/// the definition, `k − (r − √(r² − u²))` with `k = 1.75·(1 − y/18)`, cut off by the hole. That part by the midpoint rule over the half disc, 1200 by 1200.
#[test]
fn a_hole_across_the_round_wall_of_a_plunge() {
    let (r, hole_r): (f64, f64) = (5.0, 3.0);
    let mut knife = plunged(90.0, r);
    hole(&mut knife, (20.0, 9.0), 2.0 * hole_r);
    let n = 1200;
    let (mut wall, step) = (0.0, 1.0 / f64::from(n));
    for i in 0..n {
        // Along y, and from the line back to the rim.
        let v = hole_r * (2.0 * (f64::from(i) + 0.5) * step - 1.0);
        let reach = (hole_r * hole_r - v * v).sqrt();
        let k = 1.75 * (1.0 - (9.0 + v) / 18.0);
        for j in 0..n {
            let u = reach * (f64::from(j) + 0.5) * step;
            let left = k - (r - (r * r - u * u).sqrt());
            wall += left.max(0.0) * reach * step * 2.0 * hole_r * step;
        }
    }
    let ahead = PI * hole_r * hole_r / 2.0 * 1.75 * 0.5;
    let truth = PI * hole_r * hole_r * 4.0 - 2.0 * (ahead + wall);
    close(opened(&knife), truth, SURVEYED);
}
