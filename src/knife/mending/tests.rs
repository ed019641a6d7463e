//! Mends against closed forms.

use std::f64::consts::PI;

use super::*;
use crate::geometry::{Point, Vec2, outline_faults};
use crate::knife::{CutOut, Filling, FullTang, Landmark, Node, Purpose, Spot, Stock, Tang};

fn polygon(corners: &[(f64, f64)]) -> Knife {
    let nodes = (0..)
        .zip(corners)
        .map(|(id, at)| Node::corner(id, Point::from(*at)))
        .collect();
    Knife::bare(
        "plate",
        Outline { nodes },
        Stock::plain(4.0, 0.1, "steel"),
        Tang::Full(FullTang::straight(100.0, 25.0)),
    )
}

/// An L with its inside corner at node 4, (40, 15).
fn angle() -> Knife {
    polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 30.0),
        (40.0, 30.0),
        (40.0, 15.0),
        (0.0, 15.0),
    ])
}

fn area(knife: &Knife) -> f64 {
    knife.contour().moments().area
}

fn sound(knife: &Knife) {
    let faults = outline_faults(&knife.contour().pieces);
    assert!(faults.is_empty(), "{faults:?}");
}

/// A fillet of radius r in a right angle fills r²·(1 − π/4): the square less the quarter circle. A cubic's quarter circle is within 0.03 % of its radius.
#[test]
fn a_rounded_right_angle_fills_the_square_less_its_quarter() {
    let mut knife = angle();
    let before = area(&knife);
    let mend = Mend::RoundCorners {
        of: None,
        nodes: vec![4],
        radius_mm: 5.0,
    };
    mend.make(&mut knife).unwrap();
    sound(&knife);
    let filled = area(&knife) - before;
    assert!((filled - 25.0 * (1.0 - PI / 4.0)).abs() < 0.02, "{filled}");
    // Tangent lengths r·tan(φ/2) = 5: from (40, 20) to (35, 15).
    let at: Vec<Point> = knife.outline.nodes.iter().map(|n| n.at).collect();
    for wanted in [(40.0, 20.0), (35.0, 15.0)] {
        assert!(
            at.iter().any(|p| p.distance(wanted.into()) < 1e-9),
            "{at:?}"
        );
    }
}

/// By Euclid the tangents of a corner that turns by φ are r·tan(φ/2) long; the area between them and the arc is r²·(tan(φ/2) − φ/2).
#[test]
fn any_turn_gets_its_tangents() {
    for degrees in [20.0_f64, 60.0, 90.0, 120.0, 150.0] {
        let turn = degrees.to_radians();
        // Comes along the x axis from the right, turns right at the origin, closed far below and to the left.
        let to = Vec2::from_angle(PI - turn) * 60.0;
        let mut knife = polygon(&[
            (80.0, 0.0),
            (0.0, 0.0),
            (to.x, to.y),
            (-200.0, to.y),
            (-200.0, -50.0),
            (80.0, -50.0),
        ]);
        let before = area(&knife);
        let r = 4.0;
        let mend = Mend::RoundCorners {
            of: None,
            nodes: vec![1],
            radius_mm: r,
        };
        mend.make(&mut knife).unwrap();
        sound(&knife);
        let reach = r * (turn / 2.0).tan();
        let filled = area(&knife) - before;
        let wanted = r * r * ((turn / 2.0).tan() - turn / 2.0);
        assert!(
            (filled - wanted).abs() < 1e-3 * r * r,
            "{degrees}: {filled} {wanted}"
        );
        let start = Point::new(reach, 0.0);
        assert!(
            knife
                .outline
                .nodes
                .iter()
                .any(|n| n.at.distance(start) < 1e-6)
        );
    }
}

/// A landmark on the corner itself is seated on the arc; one elsewhere stays where it was.
#[test]
fn landmarks_stay_by_the_corner() {
    let mut knife = angle();
    let landmark = |kind, node, t| Landmark {
        kind,
        spot: Spot { node, t },
    };
    knife.landmarks = vec![
        landmark(LandmarkKind::Tip, 1, 0.0),
        landmark(LandmarkKind::Heel, 4, 0.0),
        landmark(LandmarkKind::Plunge, 4, 0.9),
    ];
    let mend = Mend::RoundCorners {
        of: None,
        nodes: vec![4],
        radius_mm: 2.0,
    };
    mend.make(&mut knife).unwrap();
    let at = |kind| knife.landmark_point(kind).unwrap();
    assert_eq!(at(LandmarkKind::Tip), Point::new(100.0, 0.0));
    // The arc passes the corner at r·(√2 − 1).
    let off = at(LandmarkKind::Heel).distance((40.0, 15.0).into());
    assert!((off - 2.0 * (2.0_f64.sqrt() - 1.0)).abs() < 1e-3, "{off}");
    assert!(at(LandmarkKind::Plunge).distance((4.0, 15.0).into()) < 1e-9);
}

#[test]
fn a_radius_without_room_is_refused_and_nothing_changes() {
    let mut knife = angle();
    let before = knife.clone();
    for radius_mm in [15.5, 1e9, 0.0, -1.0, f64::NAN] {
        let mend = Mend::RoundCorners {
            of: None,
            nodes: vec![4],
            radius_mm,
        };
        assert!(matches!(
            mend.make(&mut knife),
            Err(MendError::NoRoom { .. })
        ));
        assert_eq!(knife, before);
    }
    let gone = Mend::RoundCorners {
        of: None,
        nodes: vec![77],
        radius_mm: 1.0,
    };
    assert_eq!(gone.make(&mut knife), Err(MendError::Gone));
}

/// A window of 20 by 20 with all corners rounded to r loses r²·(4 − π).
#[test]
fn a_window_is_rounded_all_round() {
    let mut knife = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)]);
    let nodes: Vec<Node> = [(40.0, 10.0), (60.0, 10.0), (60.0, 30.0), (40.0, 30.0)]
        .iter()
        .map(|at| Node::corner(knife.take_id(), Point::from(*at)))
        .collect();
    let ids: Vec<Id> = nodes.iter().map(|n| n.id).collect();
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Free {
            outline: Outline { nodes },
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let mend = Mend::RoundCorners {
        of: Some(id),
        nodes: ids,
        radius_mm: 3.0,
    };
    mend.make(&mut knife).unwrap();
    let window = knife.cut_outs[0].shape.contour();
    assert!(outline_faults(&window.pieces).is_empty());
    let area = window.moments().area;
    assert!((area - (400.0 - 9.0 * (4.0 - PI))).abs() < 0.03, "{area}");
}

#[test]
fn two_nodes_on_one_spot_become_one() {
    let mut knife = angle();
    let id = knife.take_id();
    knife
        .outline
        .nodes
        .insert(2, Node::corner(id, Point::new(100.0, 0.0)));
    assert!(!outline_faults(&knife.contour().pieces).is_empty());
    Mend::JoinNodes { of: None, node: 1 }
        .make(&mut knife)
        .unwrap();
    assert_eq!(knife.outline, angle().outline);
}

/// A spur of 20 mm that comes back on itself encloses nothing: the area stays to the last bit but rounding.
#[test]
fn a_spur_is_dropped() {
    let mut knife = angle();
    let (far, home) = (knife.take_id(), knife.take_id());
    let at = knife.outline.nodes[2].at;
    let spur = [
        Node::corner(far, at + Vec2::new(20.0, 5.0)),
        Node::corner(home, at),
    ];
    knife.outline.nodes.splice(3..3, spur);
    assert!(!outline_faults(&knife.contour().pieces).is_empty());
    Mend::DropSpur {
        of: None,
        node: far,
    }
    .make(&mut knife)
    .unwrap();
    sound(&knife);
    assert_eq!(knife.outline, angle().outline);
    let mut plain = angle();
    let mend = Mend::DropSpur { of: None, node: 3 };
    assert_eq!(mend.make(&mut plain), Err(MendError::Gone));
}

#[test]
fn a_triangle_keeps_its_nodes() {
    let mut knife = polygon(&[(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)]);
    let join = Mend::JoinNodes { of: None, node: 0 };
    assert_eq!(join.make(&mut knife), Err(MendError::TooFewNodes));
    let drop = Mend::DropCutOut { cut_out: 3 };
    assert_eq!(drop.make(&mut knife), Err(MendError::Gone));
}
