//! Hard cases against closed forms: recurved edges, heights that change at once, needle tips, tiny and doubled pieces, and what is refused.

use std::f64::consts::FRAC_PI_3;

use tangwright::geometry::OutlineFault;
use tangwright::knife::{
    Cut, CutForm, Faces, Fuller, Knife, LandmarkKind, Outline, Rise, RiseStation, Sides,
};
use tangwright::thickness::GrindFault;
use tangwright::weighing::{Missing, weigh};

use crate::bench::{arc_nodes, bar, blade, close, corners, flat, grind, survey, volume};
use crate::weighed::set;

/// A recurved edge: the inner arc of a ring of radius 60, steel outside it. Rays spread, so by the second theorem of Pappus both faces lose
/// `2·climb·θ·(R·h/2 + h²/6)`.
#[test]
fn a_recurved_edge_spreads_its_rays() {
    let (r, outer, h, climb) = (60.0_f64, 85.0, 15.0, 1.8);
    let mut nodes = arc_nodes(0, (0.0, 0.0), r, 2.0 * FRAC_PI_3, -FRAC_PI_3, 8);
    nodes.extend(arc_nodes(9, (0.0, 0.0), outer, FRAC_PI_3, FRAC_PI_3, 8));
    let mut knife = blade(nodes, &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 8)]);
    assert!(knife.contour().moments().area > 0.0);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(h)), 0.4)];
    let removed = survey(&knife).unwrap();
    let truth = 2.0 * climb * FRAC_PI_3 * (r * h / 2.0 + h * h / 6.0);
    close(volume(&removed), truth, 1e-6);
}

/// From 5 to 25 mm within a hundredth of the run: a flat takes `climb·h` of both faces at each place, and the mean of the heights is 15.
#[test]
fn a_height_that_changes_at_once() {
    let mut knife = bar(100.0, 30.0);
    let station = |at, value| RiseStation { at, value };
    let rise = Rise::Height(vec![
        station(0.0, 5.0),
        station(0.495, 5.0),
        station(0.505, 25.0),
        station(1.0, 25.0),
    ]);
    let form = CutForm::Flat;
    knife.grinding.grinds = vec![grind(Sides::Both(Cut { form, rise }), 0.5)];
    close(volume(&survey(&knife).unwrap()), 1.75 * 15.0 * 100.0, 1e-9);
}

/// A needle 150 long and 3 high, less than its bevel of 10: over the triangle each face lacks `climb·A − slope·∫y dA` (its center a third up).
#[test]
fn a_needle_tip() {
    let mut knife = blade(
        corners(&[(0.0, 0.0), (150.0, 0.0), (0.0, 3.0)]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 1)],
    );
    knife.grinding.grinds = vec![grind(Sides::Both(flat(10.0)), 0.5)];
    let truth = 2.0 * (1.75 * 225.0 - 0.175 * 225.0);
    close(volume(&survey(&knife).unwrap()), truth, 1e-6);
}

/// A piece of a ten-thousandth of a millimeter and a node that is there twice change nothing.
#[test]
fn tiny_and_doubled_pieces() {
    let mut knife = blade(
        corners(&[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.000_1, 0.0),
            (70.0, 0.0),
            (70.0, 0.0),
            (100.0, 0.0),
            (100.0, 30.0),
            (0.0, 30.0),
        ]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 5)],
    );
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    close(volume(&survey(&knife).unwrap()), 3150.0, 1e-8);
}

/// The same outline weighed: a doubled node is a piece without a length, and the maker is told so instead of a number.
#[test]
fn a_doubled_node_of_a_ground_blade_is_told() {
    let mut knife = blade(
        corners(&[
            (0.0, 0.0),
            (70.0, 0.0),
            (70.0, 0.0),
            (100.0, 0.0),
            (100.0, 30.0),
            (0.0, 30.0),
        ]),
        &[(LandmarkKind::Plunge, 0), (LandmarkKind::Tip, 3)],
    );
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.5)];
    let up = weigh(&knife, &set());
    assert!(
        matches!(
            &up.missing[..],
            [Missing::Outline {
                fault: OutlineFault::ZeroPiece { .. }
            }]
        ),
        "{:?}",
        up.missing
    );
    assert_eq!((up.ground, up.total), (None, None));
    // Without it the prism is there again.
    knife.outline.nodes.remove(2);
    let up = weigh(&knife, &set());
    assert_eq!(up.missing, []);
    close(up.ground.unwrap().volume_mm3, 8850.0, 1e-8);
}

/// A bar of 4 mm with a channel of 2.5 mm from either face.
fn channelled() -> Knife {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.fullers.push(Fuller {
        id: 503,
        name: "fuller".to_owned(),
        path: Outline {
            nodes: corners(&[(20.0, 15.0), (80.0, 15.0)]),
        },
        faces: Faces::Both,
        nose_radius_mm: 5.0,
        depth_mm: 2.5,
    });
    knife
}

/// Channels of 2.5 mm from both faces of 4 mm meet: refused with the place and by how much.
#[test]
fn a_grind_through_the_steel_is_refused() {
    let knife = channelled();
    let fault = survey(&knife).unwrap_err();
    assert!(
        matches!(&fault, GrindFault::ThroughSteel { grind, through_mm, .. } if grind == "fuller" && *through_mm > 0.5),
        "{fault:?}"
    );
}

/// What goes through the steel has no ground mass: the weigh-up says which grind, how deep and what to do. Channels of 2.5 mm from both faces of 4 pass each other by
/// 1 mm. A hollow 20 high on a wheel of 40 leaves an edge of nothing downward, `asin(c/2R) − atan(2/20)` steep, and is lowest `R·(1 − cos)` of that below the mid-plane
/// (geometry of the circle).
#[test]
fn the_maker_is_told_what_goes_through_the_steel() {
    let knife = channelled();
    refused(&knife, &["fuller goes through the steel by 1.00 mm"]);
    let mut knife = bar(100.0, 30.0);
    let form = CutForm::Hollow {
        wheel_radius_mm: 40.0,
    };
    let rise = Rise::even_height(20.0);
    knife.grinding.grinds = vec![grind(Sides::Both(Cut { form, rise }), 0.0)];
    refused(&knife, &["bevel goes through the steel by"]);
    let up = weigh(&knife, &set());
    let Missing::Grind {
        fault: GrindFault::ThroughSteel { through_mm, .. },
    } = &up.missing[0]
    else {
        panic!("{:?}", up.missing);
    };
    let phi = (20_f64.hypot(2.0) / (2.0 * 40.0)).asin() - (0.1_f64).atan();
    let lowest = 2.0 * 40.0 * (1.0 - phi.cos());
    assert!((through_mm - lowest).abs() < 1e-9, "{through_mm} {lowest}");
    // On a wheel large enough it is ground.
    let form = CutForm::Hollow {
        wheel_radius_mm: 150.0,
    };
    let rise = Rise::even_height(20.0);
    knife.grinding.grinds = vec![grind(Sides::Both(Cut { form, rise }), 0.5)];
    assert_eq!(weigh(&knife, &set()).missing, []);
}

#[track_caller]
fn refused(knife: &tangwright::knife::Knife, words: &[&str]) {
    let up = weigh(knife, &set());
    assert_eq!((up.ground, up.total), (None, None), "never a number");
    assert_eq!(up.missing.len(), 1, "{:?}", up.missing);
    let told = up.missing[0].to_string();
    for word in words
        .iter()
        .chain(&["make it shallower, take a larger wheel, or thicker stock"])
    {
        assert!(told.contains(word), "{word}: {told}");
    }
}
