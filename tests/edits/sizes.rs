//! Typed sizes come out as asked, whatever the curves do.

use tangwright::edit::{Change, EditError, Thing, thing_point};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutShape, Filling, Joint, Knife, LandmarkKind, Purpose, Row, RowPath, extent,
};

use super::bench::{
    assert_at, assert_near, changed, hole, knife, plate, polygon, refused, sampled, set_of,
    starters,
};

fn height(knife: &Knife) -> f64 {
    extent(knife, &knife.contour().index()).height_mm
}

fn foremost(knife: &Knife) -> f64 {
    sampled(&knife.outline)
        .iter()
        .map(|p| p.x)
        .fold(f64::MIN, f64::max)
}

fn rearmost(knife: &Knife) -> f64 {
    sampled(&knife.outline)
        .iter()
        .map(|p| p.x)
        .fold(f64::MAX, f64::min)
}

fn blade(length_mm: f64) -> Change {
    Change::SetBladeLength { length_mm }
}

fn tang(length_mm: f64) -> Change {
    Change::SetTangLength { length_mm }
}

fn tall(height_mm: f64) -> Change {
    Change::SetHeight { height_mm }
}

#[test]
fn lengths_of_starters_come_out() {
    for start in starters() {
        let (blade_mm, tang_mm) = (foremost(&start), -rearmost(&start));
        for factor in [0.6, 0.97, 1.4] {
            let set = set_of(start.clone());
            let after = changed(&set, blade(blade_mm * factor));
            assert_near(foremost(knife(&after)), blade_mm * factor, 1e-6);
            assert_near(rearmost(knife(&after)), -tang_mm, 1e-9);
            let after = changed(&set, tang(tang_mm * factor));
            assert_near(-rearmost(knife(&after)), tang_mm * factor, 1e-6);
            assert_near(foremost(knife(&after)), blade_mm, 1e-9);
            assert_near(knife(&after).tang.length_mm(), tang_mm * factor, 1e-12);
        }
    }
}

#[test]
fn heights_of_starters_come_out_and_shoulders_stay() {
    for start in starters() {
        let now = height(&start);
        let set = set_of(start.clone());
        for factor in [0.97, 1.2, 1.6] {
            let after = changed(&set, tall(now * factor));
            assert_near(height(knife(&after)), now * factor, 1e-6);
            for kind in [LandmarkKind::LowerShoulder, LandmarkKind::UpperShoulder] {
                let at = |k: &Knife| k.landmark_point(kind).unwrap();
                assert_at(at(knife(&after)), at(&start), 1e-12);
            }
            let behind = |k: &Knife| {
                let nodes = k.outline.nodes.iter().filter(|n| n.at.x < 1e-6);
                nodes.map(|n| n.at).collect::<Vec<_>>()
            };
            assert_eq!(behind(knife(&after)), behind(&start));
        }
    }
}

#[test]
fn smooth_nodes_on_the_shoulder_line_stay_smooth() {
    let mut seen = 0;
    for start in starters() {
        let set = set_of(start.clone());
        for change in [blade(300.0), tang(140.0), tall(1.3 * height(&start))] {
            let after = changed(&set, change);
            for (was, node) in start.outline.nodes.iter().zip(&knife(&after).outline.nodes) {
                let (Joint::Smooth, Some(into), Some(out)) =
                    (was.joint, node.handle_in, node.handle_out)
                else {
                    continue;
                };
                let sine = into.cross(out) / (into.hypot() * out.hypot());
                assert_near(sine, 0.0, 1e-9);
                seen += usize::from(was.at.x.abs() < 1e-6);
            }
        }
    }
    assert!(seen > 0, "some handle flows through its shoulder");
}

#[test]
fn a_tip_inside_a_curve_comes_out() {
    // The front cubic from (80, 0) to (80, 30) with handles of 40 mm ahead reaches 3/4 of them: 110 mm.
    let mut start = polygon(&[(-100.0, 0.0), (80.0, 0.0), (80.0, 30.0), (-100.0, 30.0)]);
    start.outline.nodes[1].handle_out = Some(Vec2::new(40.0, 0.0));
    start.outline.nodes[2].handle_in = Some(Vec2::new(40.0, 0.0));
    assert_near(foremost(&start), 110.0, 1e-6);
    let after = changed(&set_of(start), blade(150.0));
    assert_near(foremost(knife(&after)), 150.0, 1e-6);
    assert_near(
        knife(&after).outline.nodes[1].at.x,
        80.0 * 150.0 / 110.0,
        1e-9,
    );
}

#[test]
fn a_blade_without_a_node_of_its_own_comes_out() {
    // Both ends of the front lie 10 mm behind the line: −10 + 3/4 · 60 = 35 mm ahead of it. For 50 mm the handles need 80 mm.
    let mut start = polygon(&[(-100.0, 0.0), (-10.0, 0.0), (-10.0, 30.0), (-100.0, 30.0)]);
    start.outline.nodes[1].handle_out = Some(Vec2::new(60.0, 0.0));
    start.outline.nodes[2].handle_in = Some(Vec2::new(60.0, 0.0));
    assert_near(foremost(&start), 35.0, 1e-6);
    let after = changed(&set_of(start), blade(50.0));
    let nodes = &knife(&after).outline.nodes;
    assert_near(foremost(knife(&after)), 50.0, 1e-6);
    assert_near(nodes[1].handle_out.unwrap().x, 80.0, 1e-6);
    assert_eq!(nodes[1].at, Point::new(-10.0, 0.0));
}

#[test]
fn a_depth_inside_a_curve_comes_out() {
    // The edge bellies 3/4 · 20 = 15 mm below the shoulder: 45 mm deep.
    let mut start = plate();
    start.outline.nodes[1].handle_out = Some(Vec2::new(40.0, -20.0));
    start.outline.nodes[2].handle_in = Some(Vec2::new(-40.0, -20.0));
    assert_near(height(&start), 45.0, 1e-6);
    let set = set_of(start);
    for asked in [33.0, 45.0, 44.9, 60.0, 200.0] {
        let after = changed(&set, tall(asked));
        let edge = sampled(&knife(&after).outline);
        let lowest = edge.iter().map(|p| p.y).fold(f64::MAX, f64::min);
        assert_near(30.0 - lowest, asked, 1e-6);
    }
}

#[test]
fn a_pointed_heel_is_measured_to_the_micrometer() {
    for x in [7.123_4, 50.0, 111.77] {
        let mut start = plate();
        let heel = tangwright::knife::Node::corner(start.take_id(), Point::new(x, -20.123));
        start.outline.nodes.insert(2, heel);
        assert_near(height(&start), 50.123, 1e-6);
        let after = changed(&set_of(start), tall(61.0));
        assert_near(knife(&after).outline.nodes[2].at.y, 30.0 - 61.0, 1e-6);
    }
    // A spike narrower than the steps of the first look.
    let mut start = plate();
    for (i, at) in [(80.0, 0.0), (80.5, -12.0), (81.0, 0.0)]
        .into_iter()
        .enumerate()
    {
        let node = tangwright::knife::Node::corner(start.take_id(), at.into());
        start.outline.nodes.insert(2 + i, node);
    }
    assert_near(height(&start), 42.0, 1e-6);
}

#[test]
fn what_the_shoulder_line_holds_is_not_squashed() {
    // Deepest at the shoulder: 30 mm there, 10 mm at the tip.
    let mut start = polygon(&[
        (-100.0, 0.0),
        (0.0, 0.0),
        (120.0, 20.0),
        (120.0, 30.0),
        (0.0, 30.0),
        (-100.0, 30.0),
    ]);
    for (kind, node) in [
        (LandmarkKind::UpperShoulder, 4),
        (LandmarkKind::LowerShoulder, 1),
    ] {
        start.set_landmark(kind, tangwright::knife::Spot { node, t: 0.0 });
    }
    let set = set_of(start);
    assert_near(height(knife(&set)), 30.0, 1e-5);
    let (what, asked_mm) = ("the blade's height", 25.0);
    assert_eq!(
        refused(&set, tall(25.0)),
        EditError::OutOfReach { what, asked_mm }
    );
    // Deeper is possible: the front grows below the shoulder.
    let after = changed(&set, tall(40.0));
    assert_near(height(knife(&after)), 40.0, 1e-6);
}

#[test]
fn holes_keep_their_size_and_move_along() {
    let mut start = plate();
    let ahead = hole(&mut start, 60.0, 10.0, 6.0);
    let behind = hole(&mut start, -60.0, 10.0, 5.0);
    let row = start.take_id();
    start.rows.push(Row {
        id: row,
        path: RowPath::Line {
            from: Point::new(-20.0, 15.0),
            to: Point::new(40.0, 15.0),
        },
        count: 4,
        first_diameter_mm: 3.0,
        last_diameter_mm: 3.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let set = set_of(start);
    let check = |change: Change, expected: [(f64, f64); 4]| {
        let after = changed(&set, change);
        let things = [
            Thing::CutOut(ahead),
            Thing::CutOut(behind),
            Thing::RowEnd { row, last: false },
            Thing::RowEnd { row, last: true },
        ];
        for (thing, at) in things.into_iter().zip(expected) {
            assert_at(thing_point(knife(&after), thing).unwrap(), at.into(), 1e-9);
        }
        for (cut, diameter) in knife(&after).cut_outs.iter().zip([6.0, 5.0]) {
            let CutShape::Round { diameter_mm, .. } = cut.shape else {
                panic!("a round hole stays round");
            };
            assert_eq!(diameter_mm, diameter);
        }
    };
    check(
        blade(180.0),
        [(90.0, 10.0), (-60.0, 10.0), (-20.0, 15.0), (60.0, 15.0)],
    );
    check(
        tang(150.0),
        [(60.0, 10.0), (-90.0, 10.0), (-30.0, 15.0), (40.0, 15.0)],
    );
    // About the upper shoulder at 30 mm, twice the depth.
    check(
        tall(60.0),
        [(60.0, -10.0), (-60.0, 10.0), (-20.0, 15.0), (40.0, 0.0)],
    );
}

#[test]
fn what_is_no_size_is_refused() {
    let set = set_of(plate());
    for value_mm in [0.0, -5.0, f64::NAN, f64::INFINITY, 1e-9, 10_001.0, 1e300] {
        for change in [blade(value_mm), tang(value_mm), tall(value_mm)] {
            let error = refused(&set, change);
            assert!(matches!(error, EditError::NoSize { .. }), "{error}");
        }
    }
    let behind = set_of(polygon(&[
        (-50.0, 0.0),
        (0.0, 0.0),
        (0.0, 20.0),
        (-50.0, 20.0),
    ]));
    for change in [blade(10.0), tall(10.0)] {
        let error = refused(&behind, change);
        assert!(
            matches!(error, EditError::NothingToStretch { .. }),
            "{error}"
        );
    }
    let error = refused(
        &set_of(polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 20.0)])),
        tang(10.0),
    );
    assert!(
        matches!(error, EditError::NothingToStretch { .. }),
        "{error}"
    );
}

#[test]
fn the_size_it_has_changes_nothing() {
    let set = set_of(plate());
    for change in [blade(120.0), tang(100.0), tall(30.0)] {
        assert_eq!(changed(&set, change), set);
    }
}
