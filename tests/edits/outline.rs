//! Adding nodes, bending, pulling and replacing the outline, moving the shoulder line.

use tangwright::edit::{Change, EditError};
use tangwright::geometry::{OutlineFault, Piece, Point, Vec2};
use tangwright::knife::{
    CutShape, Filling, HiddenTang, Joint, Knife, KnifeSet, LandmarkKind, Node, Outline, Purpose,
    Row, RowPath, Spot, Tang, TangEnd, TangError,
};
use tangwright::weighing::{WeighUp, weigh};

use super::bench::{
    assert_at, assert_near, changed, cut, hole, knife, near, plate, refused, set_of, starters,
};

fn places(knife: &Knife) -> Vec<Point> {
    let all = LandmarkKind::ALL.iter();
    all.filter_map(|kind| knife.landmark_point(*kind)).collect()
}

#[test]
fn a_new_node_changes_no_shape() {
    for start in starters() {
        let before = start.contour();
        let (m, length) = (before.moments(), before.perimeter());
        for node in &start.outline.nodes {
            for t in [0.03, 0.5, 0.871] {
                let spot = Spot { node: node.id, t };
                let after = changed(&set_of(start.clone()), Change::AddNode { spot });
                let after = knife(&after);
                assert_eq!(after.outline.nodes.len(), start.outline.nodes.len() + 1);
                let now = after.contour();
                assert_near(now.moments().area / m.area, 1.0, 1e-12);
                assert_at(now.moments().centroid, m.centroid, 1e-9);
                assert_near(now.perimeter(), length, 1e-9 * length);
                for (a, b) in places(after).into_iter().zip(places(&start)) {
                    assert_at(a, b, 1e-9);
                }
            }
        }
    }
}

#[test]
fn a_node_on_a_node_is_not_added() {
    let set = set_of(plate());
    for t in [-3.0, 0.0, 1e-9, 1.0 - 1e-9, 1.0, f64::INFINITY] {
        let spot = Spot { node: 1, t };
        assert_eq!(changed(&set, Change::AddNode { spot }), set, "{t}");
    }
    let spot = Spot {
        node: 1,
        t: f64::NAN,
    };
    let gone = EditError::Gone { what: "piece" };
    assert_eq!(refused(&set, Change::AddNode { spot }), gone);
}

#[test]
fn a_pulled_piece_passes_the_asked_point() {
    let mut starts = starters();
    starts.push(plate());
    for start in starts {
        let set = set_of(start.clone());
        for (i, node) in start.outline.nodes.iter().enumerate() {
            let held = start.outline.piece(i).unwrap();
            for t in [0.1, 0.25, 0.5, 0.7, 0.9] {
                let to = held.eval(t) + Vec2::new(-2.3, 1.7);
                let node = node.id;
                let after = changed(&set, Change::PullPiece { node, t, to });
                let now = knife(&after).outline.piece(i).unwrap();
                assert_at(now.eval(t), to, 1e-9);
                assert_eq!((now.start(), now.end()), (held.start(), held.end()));
                assert!(matches!(now, Piece::Cubic(_)), "it is a curve now");
            }
        }
    }
}

#[test]
fn the_ends_of_a_piece_are_not_pulled_off() {
    let set = set_of(plate());
    let to = Point::new(3.0, -1.0);
    for t in [-1.0, 0.0, 0.02] {
        let pulled = changed(&set, Change::PullPiece { node: 1, t, to });
        let piece = knife(&pulled).outline.piece(1).unwrap();
        assert_at(piece.eval(0.1), to, 1e-9);
    }
    for t in [f64::NAN, 0.5] {
        let to = Point::new(f64::INFINITY, 0.0);
        let pull = Change::PullPiece { node: 1, t, to };
        assert_eq!(refused(&set, pull), EditError::OffBench);
    }
}

#[test]
fn bending_a_straight_piece_leaves_its_shape_and_straightening_restores_it() {
    let set = set_of(plate());
    let bend = |curved| Change::BendPiece { node: 1, curved };
    let curved = changed(&set, bend(true));
    let outline = &knife(&curved).outline;
    assert_eq!(
        outline.node(1).unwrap().handle_out,
        Some(Vec2::new(40.0, 0.0))
    );
    assert_eq!(
        outline.node(2).unwrap().handle_in,
        Some(Vec2::new(-40.0, 0.0))
    );
    assert_near(outline.contour().moments().area, 220.0 * 30.0, 1e-9);
    assert_eq!(changed(&curved, bend(false)), set);
}

#[test]
fn straightening_makes_corners_and_bending_keeps_smooth_nodes_smooth() {
    for start in starters() {
        let set = set_of(start.clone());
        for node in &start.outline.nodes {
            let bend = |curved| Change::BendPiece {
                node: node.id,
                curved,
            };
            let straight = changed(&set, bend(false));
            let i = start.outline.index_of(node.id).unwrap();
            let piece = knife(&straight).outline.piece(i).unwrap();
            assert!(matches!(piece, Piece::Line(_)), "it is straight");
            for set in [&straight, &changed(&set, bend(true))] {
                assert_smooth_in_line(&knife(set).outline);
            }
        }
    }
    // A smooth node with one handle: the new one goes on in its line, a third of the chord long.
    let mut start = plate();
    start.outline.nodes[2].handle_out = Some(Vec2::new(3.0, 4.0));
    start.outline.nodes[2].joint = Joint::Smooth;
    let bend = Change::BendPiece {
        node: 1,
        curved: true,
    };
    let after = changed(&set_of(start), bend);
    let into = knife(&after).outline.node(2).unwrap().handle_in.unwrap();
    assert_at(into.to_point(), Point::new(-24.0, -32.0), 1e-9);
}

fn assert_smooth_in_line(outline: &Outline) {
    for node in outline.nodes.iter().filter(|n| n.joint == Joint::Smooth) {
        if let (Some(into), Some(out)) = (node.handle_in, node.handle_out) {
            let sine = into.cross(out) / (into.hypot() * out.hypot());
            assert!(near(sine, 0.0, 1e-9) && into.dot(out) < 0.0, "{node:?}");
        }
    }
}

#[test]
fn joints_are_made_smooth_and_back() {
    for start in starters() {
        for node in &start.outline.nodes {
            let joint = |joint| Change::SetJoint {
                node: node.id,
                joint,
            };
            let smooth = changed(&set_of(start.clone()), joint(Joint::Smooth));
            assert_smooth_in_line(&knife(&smooth).outline);
            let now = *knife(&smooth).outline.node(node.id).unwrap();
            assert!(now.handle_in.is_some() && now.handle_out.is_some());
            let corner = changed(&smooth, joint(Joint::Corner));
            let then = knife(&corner).outline.node(node.id).unwrap();
            assert_eq!(then.joint, Joint::Corner);
            assert_eq!((then.at, then.handle_in), (now.at, now.handle_in));
        }
    }
}

fn drawn(corners: &[(f64, f64)]) -> Outline {
    // All of one id: they are given anew.
    let node = |at: &(f64, f64)| Node::corner(7, Point::from(*at));
    Outline {
        nodes: corners.iter().map(node).collect(),
    }
}

fn replaced(outline: Outline) -> KnifeSet {
    changed(&set_of(plate()), Change::SetOutline { outline })
}

/// A small knife with its heel dropped below the shoulder, drawn clockwise from the butt's top.
const DRAWN: [(f64, f64); 8] = [
    (-95.0, 22.0),
    (0.0, 25.0),
    (80.0, 25.0),
    (130.0, 5.0),
    (12.0, -18.0),
    (9.0, 1.0),
    (0.0, 2.0),
    (-90.0, 0.0),
];

#[test]
fn a_drawn_outline_is_turned_and_its_landmarks_seated() {
    // Gauss's area formula over the corners; clockwise, so it is negative.
    let next = DRAWN.iter().cycle().skip(1);
    let twice: f64 = DRAWN
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum();
    assert!(twice < 0.0, "drawn clockwise");
    for reversed in [false, true] {
        let mut corners = DRAWN;
        if reversed {
            corners.reverse();
        }
        let after = replaced(drawn(&corners));
        let after = knife(&after);
        assert_near(after.contour().moments().area, -twice / 2.0, 1e-9);
        let ids: std::collections::BTreeSet<_> = after.outline.nodes.iter().map(|n| n.id).collect();
        assert_eq!(ids.len(), DRAWN.len());
        for (kind, at) in [
            (LandmarkKind::Tip, (130.0, 5.0)),
            (LandmarkKind::Butt, (-95.0, 22.0)),
            (LandmarkKind::UpperShoulder, (0.0, 25.0)),
            (LandmarkKind::LowerShoulder, (0.0, 2.0)),
            (LandmarkKind::Heel, (12.0, -18.0)),
            // 0.03 · 130 mm ahead of the heel, on the edge that rises 23 mm in 118.
            (LandmarkKind::Plunge, (15.9, -18.0 + 3.9 * 23.0 / 118.0)),
            // Two thirds of 130 mm, on the side that falls 20 mm in 50.
            (
                LandmarkKind::SpineStart,
                (260.0 / 3.0, 25.0 - 20.0 / 3.0 * 0.4),
            ),
        ] {
            assert_at(after.landmark_point(kind).unwrap(), at.into(), 1e-6);
        }
    }
}

#[test]
fn turning_keeps_curves() {
    // A circle of four cubics, clockwise; its area is that of the disc within 2 · 2.7e-4.
    let k = 20.0 * 0.552_284_749_830_793_4;
    let nodes = [
        (-20.0, 0.0, 0.0, 1.0),
        (0.0, 20.0, 1.0, 0.0),
        (20.0, 0.0, 0.0, -1.0),
        (0.0, -20.0, -1.0, 0.0),
    ];
    let nodes = nodes.map(|(x, y, dx, dy)| Node {
        id: 0,
        at: Point::new(x, y),
        handle_in: Some(Vec2::new(-dx, -dy) * k),
        handle_out: Some(Vec2::new(dx, dy) * k),
        joint: Joint::Smooth,
    });
    let after = replaced(Outline {
        nodes: nodes.to_vec(),
    });
    let area = knife(&after).contour().moments().area;
    assert_near(area / (std::f64::consts::PI * 400.0), 1.0, 5.4e-4);
    let tip = knife(&after).landmark_point(LandmarkKind::Tip).unwrap();
    assert_at(tip, Point::new(20.0, 0.0), 1e-6);
}

#[test]
fn a_crossing_outline_is_refused_with_its_place() {
    let set = set_of(plate());
    let set_outline = |outline| Change::SetOutline { outline };
    // The diagonals (0,0)-(80,40) and (80,0)-(0,40) cross at (40, 20).
    let bow = drawn(&[(0.0, 0.0), (80.0, 40.0), (80.0, 0.0), (0.0, 40.0)]);
    let EditError::Outline { fault } = refused(&set, set_outline(bow)) else {
        panic!("refused for its crossing");
    };
    assert_at(fault.place().unwrap(), Point::new(40.0, 20.0), 1e-6);
    assert!(matches!(fault, OutlineFault::Crossing { .. }), "{fault}");
}

#[test]
fn hostile_outlines_are_refused() {
    let set = set_of(plate());
    let nan = drawn(&[(0.0, 0.0), (f64::NAN, 0.0), (10.0, 10.0)]);
    let far = drawn(&[(0.0, 0.0), (1e300, 0.0), (10.0, 1e300)]);
    let many = drawn(&vec![(0.0, 0.0); 100_000]);
    for outline in [nan, far, many, drawn(&[]), drawn(&[(0.0, 0.0)])] {
        let error = refused(&set, Change::SetOutline { outline });
        assert!(matches!(error, EditError::Rule { .. }), "{error}");
    }
    for flat in [
        &[(0.0, 0.0), (10.0, 0.0)][..],
        &[(0.0, 0.0), (10.0, 0.0), (5.0, 0.0)],
        &[(1.0, 1.0), (1.0, 1.0), (1.0, 1.0)],
    ] {
        let outline = drawn(flat);
        let error = refused(&set, Change::SetOutline { outline });
        assert!(matches!(error, EditError::Outline { .. }), "{error}");
    }
}

#[test]
fn an_outline_beside_the_shoulder_line_has_no_shoulders() {
    let after = replaced(drawn(&[
        (10.0, 0.0),
        (90.0, 0.0),
        (90.0, 20.0),
        (10.0, 20.0),
    ]));
    let after = knife(&after);
    assert_eq!(after.landmark(LandmarkKind::UpperShoulder), None);
    assert_eq!(after.landmark(LandmarkKind::LowerShoulder), None);
    assert!(after.landmark(LandmarkKind::Tip).is_some());
    // All behind the line: there is no blade to have a heel.
    let after = replaced(drawn(&[(-90.0, 0.0), (-10.0, 0.0), (-10.0, 20.0)]));
    assert_eq!(knife(&after).landmark(LandmarkKind::Heel), None);
}

/// Holes of every kind along the middle of the steel, small enough to lie inside every starter.
fn drilled(mut start: Knife) -> Knife {
    let steel = start.contour().index();
    let bounds = steel.bounds();
    // From −1 at the butt to 1 at the tip.
    let at = |share: f64| {
        let x = share * if share < 0.0 { -bounds.x0 } else { bounds.x1 };
        let (low, high) = steel.depth_at(x).unwrap();
        Point::new(x, f64::midpoint(low, high))
    };
    hole(&mut start, at(-0.2).x, at(-0.2).y, 3.0);
    cut(
        &mut start,
        CutShape::Slot {
            center: at(-0.4),
            length_mm: 6.0,
            width_mm: 2.0,
            angle_rad: 0.2,
        },
    );
    let free = at(0.15);
    let nodes = [(-2.0, -1.0), (2.0, -1.0), (0.0, 1.5)];
    let nodes = nodes.map(|by| Node::corner(start.take_id(), free + Vec2::from(by)));
    let outline = Outline {
        nodes: nodes.to_vec(),
    };
    cut(&mut start, CutShape::Free { outline });
    let tang_middle = RowPath::TangMiddle {
        from_x: at(-0.85).x,
        to_x: at(-0.55).x,
    };
    let line = RowPath::Line {
        from: at(0.25),
        to: at(0.5),
    };
    for path in [tang_middle, line] {
        let id = start.take_id();
        start.rows.push(Row {
            id,
            path,
            count: 4,
            first_diameter_mm: 1.8,
            last_diameter_mm: 1.2,
            purpose: Purpose::Lightening,
            filling: Filling::pin("brass"),
        });
    }
    start
}

fn weighed(set: &KnifeSet) -> WeighUp {
    let up = weigh(knife(set), set);
    assert_eq!(up.missing, vec![], "everything can be weighed");
    up
}

#[test]
fn the_balance_is_counted_from_the_new_shoulder_line() {
    for start in starters() {
        let set = set_of(drilled(start));
        let before = weighed(&set);
        for to_x in [3.25, -2.5] {
            let after = changed(&set, Change::MoveShoulderLine { to_x });
            let up = weighed(&after);
            let (a, b) = (before.total.unwrap(), up.total.unwrap());
            assert_near(b.mass_g, a.mass_g, 1e-9);
            assert_near(b.balance_mm, a.balance_mm - to_x, 1e-9);
            let (a, b) = (before.steel.extent, up.steel.extent);
            assert_near(b.overall_mm, a.overall_mm, 1e-9);
            assert_near(b.blade_mm, a.blade_mm - to_x, 1e-9);
            let (was, now) = (knife(&set), knife(&after));
            assert_near(now.tang.length_mm(), was.tang.length_mm() + to_x, 1e-9);
            for kind in [LandmarkKind::LowerShoulder, LandmarkKind::UpperShoulder] {
                assert_near(now.landmark_point(kind).unwrap().x, 0.0, 1e-5);
            }
            for kind in [LandmarkKind::Tip, LandmarkKind::Heel, LandmarkKind::Butt] {
                let shifted = was.landmark_point(kind).unwrap() - Vec2::new(to_x, 0.0);
                assert_at(now.landmark_point(kind).unwrap(), shifted, 1e-9);
            }
        }
        assert_eq!(changed(&set, Change::MoveShoulderLine { to_x: 0.0 }), set);
    }
}

#[test]
fn a_row_broken_up_weighs_the_same() {
    for start in starters() {
        let set = set_of(drilled(start));
        let before = weighed(&set);
        let row = knife(&set).rows[0].id;
        let after = changed(&set, Change::BreakRow { row });
        let up = weighed(&after);
        assert_eq!(knife(&after).cut_outs.len(), knife(&set).cut_outs.len() + 4);
        assert_eq!(knife(&after).rows.len(), 1);
        // The first row comes right behind the single holes, so nothing at all may differ but the names.
        assert_eq!((&up.steel, &up.total), (&before.steel, &before.total));
        let nameless = |up: WeighUp| -> Vec<_> {
            let all = up.cut_outs.into_iter();
            all.map(|c| (c.center, c.removed_g, c.filling_g, c.balance_shift_mm))
                .collect()
        };
        assert_eq!(nameless(up), nameless(before));
        assert_eq!(
            refused(&after, Change::BreakRow { row }),
            EditError::Gone { what: "row" }
        );
    }
}

#[test]
fn a_tang_that_does_not_fit_changes_nothing() {
    let hidden = HiddenTang {
        length_mm: 90.0,
        shoulder_width_mm: 12.0,
        end_width_mm: 6.0,
        shoulder_radius_mm: 1.5,
        end: TangEnd::Round,
    };
    let set = set_of(plate());
    let fitted = changed(
        &set,
        Change::FitTang {
            tang: Tang::Hidden(hidden),
        },
    );
    let butt = knife(&fitted).landmark_point(LandmarkKind::Butt).unwrap();
    assert_at(butt, Point::new(-90.0, 15.0), 1e-9);
    for (value, large) in [
        (f64::NAN, false),
        (-3.0, false),
        (1e300, true),
        (f64::INFINITY, false),
    ] {
        let tang = Tang::Hidden(HiddenTang {
            length_mm: value,
            ..hidden
        });
        let EditError::Tang(error) = refused(&set, Change::FitTang { tang }) else {
            panic!("the tang is refused");
        };
        assert_eq!(
            matches!(error, TangError::TooLarge { .. }),
            large,
            "{error}"
        );
    }
    let mut bare = plate();
    bare.landmarks.clear();
    let tang = Tang::Hidden(hidden);
    let missing = LandmarkKind::LowerShoulder;
    assert_eq!(
        refused(&set_of(bare), Change::FitTang { tang }),
        EditError::Tang(TangError::NoShoulder { missing })
    );
}
