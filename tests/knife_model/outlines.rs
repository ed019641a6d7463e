//! Outlines edited node by node.

use proptest::prelude::*;
use tangwright::geometry::{Motion, Piece, Point, Vec2};
use tangwright::knife::{Joint, Node, Outline, Spot};

use super::bench::{at, camp_outline, outline_of, polygon};

fn camp() -> Outline {
    outline_of(&camp_outline(), 1)
}

/// How far the two outlines are apart at most, sampled on `a`.
fn apart(a: &Outline, b: &Outline) -> f64 {
    let other = b.contour();
    a.contour()
        .pieces
        .iter()
        .flat_map(|piece| (0..=50).map(|i| piece.eval(f64::from(i) / 50.0)))
        .filter_map(|p| other.nearest(p))
        .map(|nearest| nearest.distance)
        .fold(0.0, f64::max)
}

/// The angle by which the outline turns at a node.
fn turn_at(outline: &Outline, id: u32) -> f64 {
    let n = outline.nodes.len();
    let Some(i) = outline.index_of(id) else {
        return f64::NAN;
    };
    let pieces = outline.contour().pieces;
    match (
        pieces[(i + n - 1) % n].direction(1.0),
        pieces[i].direction(0.0),
    ) {
        (Some(a), Some(b)) => a.cross(b).atan2(a.dot(b)),
        _ => f64::NAN,
    }
}

proptest! {
    /// A node put on an outline leaves every point of it where it was.
    #[test]
    fn split_keeps_the_shape(which in 0usize..8, t in 0.001..0.999) {
        let mut outline = camp();
        let node = outline.nodes[which].id;
        let place = outline.point_at(Spot { node, t }).unwrap();
        let index = outline.split(Spot { node, t }, 77).unwrap();
        prop_assert_eq!(index, which + 1);
        prop_assert_eq!(outline.nodes[index].id, 77);
        prop_assert!(outline.nodes[index].at.distance(place) < 1e-12);
        prop_assert_eq!(outline.nodes.len(), 9);
        prop_assert!(apart(&outline, &camp()) < 1e-10 && apart(&camp(), &outline) < 1e-10);
        let curved = matches!(camp().piece(which), Some(Piece::Cubic(_)));
        prop_assert_eq!(outline.nodes[index].joint == Joint::Smooth, curved);
        prop_assert!(turn_at(&outline, 77).abs() < 1e-9);
        for id in 1..=8 {
            prop_assert!((turn_at(&outline, id) - turn_at(&camp(), id)).abs() < 1e-9);
        }
    }

    /// A motion moves every point along, and mirroring keeps the sense of travel.
    #[test]
    fn motions_move_every_point(mirrored: bool, turn in -7.0..7.0, x in -99.0..99.0, y in -99.0..99.0) {
        let motion = Motion { mirrored, turn_rad: turn, shift: Vec2::new(x, y) };
        let moved = camp().moved(&motion);
        prop_assert!(moved.contour().moments().area > 0.0);
        let there = moved.contour();
        for piece in &camp_outline().pieces {
            for i in 0..20 {
                let p = motion.apply(piece.eval(f64::from(i) / 20.0));
                prop_assert!(there.nearest(p).unwrap().distance < 1e-9);
            }
        }
        for node in &camp().nodes {
            prop_assert!(moved.node(node.id).unwrap().at.distance(motion.apply(node.at)) < 1e-12);
        }
    }

    /// The nearest spot to any point of the outline is that point.
    #[test]
    fn spots_are_found_again(which in 0usize..8, t in 0.0..1.0) {
        let outline = camp();
        let spot = Spot { node: outline.nodes[which].id, t };
        let place = outline.point_at(spot).unwrap();
        let found = outline.nearest_spot(place).unwrap();
        prop_assert!(outline.point_at(found).unwrap().distance(place) < 1e-9);
        prop_assert!((0.0..1.0).contains(&found.t));
    }
}

#[test]
fn split_at_the_ends_adds_nothing() {
    let mut outline = camp();
    assert_eq!(outline.split(Spot { node: 3, t: 0.0 }, 77), Some(2));
    assert_eq!(outline.split(Spot { node: 3, t: -1.0 }, 77), Some(2));
    assert_eq!(outline.split(Spot { node: 3, t: 1.0 }, 77), Some(3));
    assert_eq!(outline.split(Spot { node: 8, t: 1.0 }, 77), Some(0));
    assert_eq!(outline.split(Spot { node: 99, t: 0.5 }, 77), None);
    assert_eq!(
        outline.split(
            Spot {
                node: 3,
                t: f64::NAN
            },
            77
        ),
        None
    );
    assert_eq!(outline, camp());
}

#[test]
fn the_last_piece_is_split_before_the_first_node() {
    let mut outline = camp();
    let index = outline.split(Spot { node: 8, t: 0.5 }, 77);
    assert_eq!(index, Some(8));
    assert!(apart(&outline, &camp()) < 1e-10);
}

#[test]
fn split_takes_one_sided_curves() {
    // A piece with one handle only is a cubic; the side without a handle stays without.
    let mut outline = outline_of(&polygon(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0)]), 1);
    outline.set_handle(1, true, Some(Vec2::new(10.0, -8.0)));
    let before = outline.clone();
    assert!(outline.split(Spot { node: 1, t: 0.4 }, 77).is_some());
    assert!(apart(&outline, &before) < 1e-12 && apart(&before, &outline) < 1e-12);
    let next = outline.node(2).map(|n| n.handle_in);
    assert_eq!(next, Some(None));
}

#[test]
fn remove_undoes_a_split() {
    let mut outline = camp();
    for t in [0.5, 0.3, 0.9] {
        for node in [2, 3, 5, 6, 7] {
            assert!(outline.split(Spot { node, t }, 77).is_some());
            assert_eq!(outline.remove(77).map(|n| n.id), Some(77));
            assert!(apart(&outline, &camp()) < 1e-6, "{node} {t}");
        }
    }
    for id in 1..=8 {
        assert!((turn_at(&outline, id) - turn_at(&camp(), id)).abs() < 1e-6);
    }
    // A node on a straight piece goes without a trace.
    assert!(outline.split(Spot { node: 4, t: 0.3 }, 78).is_some());
    let before = outline.clone();
    assert!(outline.remove(78).is_some());
    assert!(apart(&outline, &before) < 1e-12);
    assert_eq!(outline.nodes.len(), 8);
}

#[test]
fn remove_leaves_three_nodes() {
    let mut outline = outline_of(
        &polygon(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]),
        1,
    );
    assert_eq!(outline.remove(99), None);
    assert!(outline.remove(2).is_some());
    assert_eq!(outline.remove(3), None);
    assert_eq!(outline.nodes.len(), 3);
    assert!(
        outline
            .contour()
            .pieces
            .iter()
            .all(|p| matches!(p, Piece::Line(_)))
    );
}

#[test]
fn remove_keeps_smooth_neighbors_smooth() {
    // Node 4 goes on straight, node 5 is in a straight stretch: the new curve must leave node 4 as it arrives there.
    let mut outline = Outline {
        nodes: vec![
            Node::corner(1, at(0.0, 0.0)),
            Node::corner(2, at(60.0, 0.0)),
            Node {
                handle_out: Some(Vec2::new(0.0, 10.0)),
                ..Node::corner(3, at(60.0, 20.0))
            },
            Node {
                handle_in: Some(Vec2::new(8.0, 6.0)),
                joint: Joint::Smooth,
                ..Node::corner(4, at(40.0, 30.0))
            },
            Node {
                handle_out: Some(Vec2::new(-9.0, 3.0)),
                ..Node::corner(5, at(24.0, 18.0))
            },
            Node {
                handle_in: Some(Vec2::new(5.0, 5.0)),
                ..Node::corner(6, at(0.0, 12.0))
            },
        ],
    };
    assert!(turn_at(&outline, 4).abs() < 1e-12);
    assert!(outline.remove(5).is_some());
    assert!(
        turn_at(&outline, 4).abs() < 1e-9,
        "{}",
        turn_at(&outline, 4)
    );
}

#[test]
fn smooth_and_corner() {
    let mut outline = camp();
    // A corner between two straight pieces gets handles along the line of its neighbors, a third of the way each.
    outline.set_joint(1, Joint::Smooth);
    let node = outline.node(1).copied().unwrap();
    assert!(turn_at(&outline, 1).abs() < 1e-12);
    let (before, after) = (at(-30.0, -6.0), at(12.0, -22.0));
    let along = (after - before).normalize();
    let (into, out) = (node.handle_in.unwrap(), node.handle_out.unwrap());
    assert!(out.cross(along).abs() < 1e-12 && into.cross(along).abs() < 1e-12);
    assert!((out.hypot() - node.at.distance(after) / 3.0).abs() < 1e-12);
    assert!((into.hypot() - node.at.distance(before) / 3.0).abs() < 1e-12);
    // Back to a corner: the handles stay where they are.
    outline.set_joint(1, Joint::Corner);
    let back = outline.node(1).copied().unwrap();
    assert_eq!(
        back,
        Node {
            joint: Joint::Corner,
            ..node
        }
    );
    // A corner between two curves keeps the lengths of its handles.
    let tip = camp().node(3).copied().unwrap();
    outline.set_joint(3, Joint::Smooth);
    assert!(turn_at(&outline, 3).abs() < 1e-12);
    let smooth = outline.node(3).copied().unwrap();
    let lengths = |n: &Node| [n.handle_in, n.handle_out].map(|h| h.map_or(0.0, Vec2::hypot));
    for (a, b) in lengths(&tip).into_iter().zip(lengths(&smooth)) {
        assert!((a - b).abs() < 1e-12);
    }
    // An unknown node changes nothing.
    let same = outline.clone();
    outline.set_joint(99, Joint::Smooth);
    assert_eq!(outline, same);
}

#[test]
fn handles_of_a_smooth_node_stay_in_line() {
    let mut outline = camp();
    outline.set_joint(3, Joint::Smooth);
    let length = outline.node(3).and_then(|n| n.handle_in).unwrap().hypot();
    outline.set_handle(3, true, Some(Vec2::new(-20.0, 5.0)));
    assert!(turn_at(&outline, 3).abs() < 1e-12);
    let node = outline.node(3).copied().unwrap();
    assert_eq!(node.handle_out, Some(Vec2::new(-20.0, 5.0)));
    assert!((node.handle_in.unwrap().hypot() - length).abs() < 1e-12);
    // At a corner the other handle stays.
    let mut outline = camp();
    let other = outline.node(3).and_then(|n| n.handle_in);
    outline.set_handle(3, true, Some(Vec2::new(-20.0, 5.0)));
    assert_eq!(outline.node(3).and_then(|n| n.handle_in), other);
    outline.set_handle(3, true, None);
    assert_eq!(outline.node(3).and_then(|n| n.handle_out), None);
}

#[test]
fn nodes_take_their_handles_along() {
    let mut outline = camp();
    let before = outline.node(3).copied().unwrap();
    outline.shift_node(3, Vec2::new(2.0, -1.0));
    let after = outline.node(3).copied().unwrap();
    assert_eq!(after.at, before.at + Vec2::new(2.0, -1.0));
    assert_eq!(
        (after.handle_in, after.handle_out),
        (before.handle_in, before.handle_out)
    );
}

#[test]
fn outlines_of_few_nodes_hold_together() {
    let none = Outline::default();
    assert!(none.contour().pieces.is_empty());
    assert_eq!(none.nearest_spot(Point::ZERO), None);
    let one = Outline {
        nodes: vec![Node::corner(1, at(1.0, 2.0))],
    };
    assert_eq!(one.contour().pieces.len(), 1);
    assert_eq!(one.piece(1), None);
    let mut loops = Outline {
        nodes: vec![Node {
            handle_out: Some(Vec2::new(120.0, 10.0)),
            handle_in: Some(Vec2::new(20.0, 80.0)),
            ..Node::corner(1, at(0.0, 0.0))
        }],
    };
    assert!((loops.contour().moments().area - 1410.0).abs() < 1e-9);
    assert_eq!(loops.split(Spot { node: 1, t: 0.3 }, 2), Some(1));
    assert!((loops.contour().moments().area - 1410.0).abs() < 1e-9);
}
