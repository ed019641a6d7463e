//! The survey against the second method on hard blades.

use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    Cut, CutForm, Faces, Knife, LandmarkKind, Node, PlungeLine, Rise, RiseStation, Run, Sides,
    Taper, ThicknessStation,
};

use crate::bench::{blade, flat, grind, survey, volume};
use crate::columns::by_columns;

/// A blade with a straight heel, a belly, and a dropping spine: plunge at the heel, tip, false edge on the spine.
pub(crate) fn picnic() -> Knife {
    let curved = |id, at: (f64, f64), into: Option<(f64, f64)>, out: Option<(f64, f64)>| Node {
        handle_in: into.map(Vec2::from),
        handle_out: out.map(Vec2::from),
        ..Node::corner(id, Point::from(at))
    };
    blade(
        vec![
            curved(0, (0.0, -14.0), None, None),
            curved(1, (60.0, -14.5), None, Some((25.0, -0.2))),
            curved(2, (122.0, 6.0), Some((-14.0, -11.0)), Some((-20.0, 3.0))),
            curved(3, (70.0, 11.0), Some((20.0, 0.0)), None),
            curved(4, (0.0, 11.0), None, None),
        ],
        &[
            (LandmarkKind::Plunge, 0),
            (LandmarkKind::Tip, 2),
            (LandmarkKind::FalseEdge, 3),
        ],
    )
}

#[track_caller]
fn agree(knife: &Knife) {
    let surveyed = survey(knife);
    assert!(surveyed.is_ok(), "the blade can be ground: {surveyed:?}");
    let removed = surveyed.unwrap_or_default();
    let ours = volume(&removed);
    let blank = knife.contour().moments().area * knife.stock.thickness_mm;
    let (coarse, fine) = (by_columns(knife, 1000), by_columns(knife, 6000));
    // How far the second method is off itself, by how much it still moves.
    let unsure = (fine - coarse).abs();
    let off = (ours - fine).abs();
    assert!(unsure / blank < 1e-5, "the second method has not settled");
    assert!(off <= unsure + removed.error.0 + 2e-8 * blank);
    assert!(removed.error.0 / blank < 1e-5);
}

#[test]
fn a_part_height_bevel_on_a_belly() {
    let mut knife = picnic();
    knife.grinding.grinds = vec![grind(Sides::Both(flat(12.0)), 0.4)];
    agree(&knife);
}

/// The bevel passes the spine near the tip: the region whose loss two rules on the same panels do not see.
#[test]
fn a_bevel_that_passes_the_spine_near_the_tip() {
    let mut knife = picnic();
    knife.grinding.grinds = vec![grind(Sides::Both(flat(20.0)), 0.3)];
    agree(&knife);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(24.9)), 0.3)];
    agree(&knife);
    knife.grinding.grinds = vec![grind(Sides::Both(flat(40.0)), 0.0)];
    agree(&knife);
}

#[test]
fn bevel_and_false_edge_meet_in_a_ridge() {
    let mut knife = picnic();
    let mut swedge = grind(Sides::Both(flat(9.0)), 0.6);
    swedge.id = 501;
    swedge.run = Run {
        from: LandmarkKind::Tip,
        to: LandmarkKind::FalseEdge,
    };
    knife.grinding.grinds = vec![grind(Sides::Both(flat(18.0)), 0.3), swedge];
    agree(&knife);
}

#[test]
fn heights_and_thickness_that_change_along_the_blade() {
    let mut knife = picnic();
    knife.grinding.taper = Some(Taper {
        stations: [(10.0, 4.0), (70.0, 3.0), (125.0, 1.2)]
            .map(|(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .to_vec(),
        faces: Faces::Both,
    });
    for form in [
        CutForm::Flat,
        CutForm::Hollow {
            wheel_radius_mm: 125.0,
        },
        CutForm::Convex { radius_mm: 250.0 },
    ] {
        let rise = Rise::Height(
            [(0.0, 8.0), (0.3, 14.0), (0.8, 17.0), (1.0, 9.0)]
                .map(|(at, value)| RiseStation { at, value })
                .to_vec(),
        );
        knife.grinding.grinds = vec![grind(Sides::Both(Cut { form, rise }), 0.4)];
        agree(&knife);
    }
}

#[test]
fn a_plunge_that_leans_with_a_round_wall() {
    for degrees in [60.0_f64, 90.0, 115.0] {
        let mut knife = picnic();
        let mut bevel = grind(Sides::Both(flat(14.0)), 0.4);
        bevel.plunge_from = Some(PlungeLine {
            angle_rad: degrees.to_radians(),
            wheel_radius_mm: 5.0,
        });
        knife.set_landmark(
            LandmarkKind::Plunge,
            tangwright::knife::Spot { node: 0, t: 0.3 },
        );
        knife.grinding.grinds = vec![bevel];
        agree(&knife);
    }
}

#[test]
fn a_second_bevel_on_the_edge() {
    let mut knife = picnic();
    let mut second = grind(
        Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_angle(0.35),
        }),
        0.0,
    );
    second.id = 501;
    knife.grinding.grinds = vec![grind(Sides::Both(flat(14.0)), 0.8), second];
    agree(&knife);
}
