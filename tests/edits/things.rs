//! Moving and removing things.

use tangwright::edit::{Change, EditError, Thing, thing_point};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{
    CutShape, Filling, Id, Joint, Knife, LandmarkKind, Node, Outline, Purpose, Row, RowPath, Spot,
};

use super::bench::{
    assert_at, assert_near, changed, cut, hole, knife, plate, refused, set_of, starters,
};

const BY: Vec2 = Vec2::new(1.25, -0.5);

fn shift(things: &[Thing]) -> Change {
    Change::Shift {
        things: things.to_vec(),
        by: BY,
    }
}

fn remove(things: &[Thing]) -> Change {
    Change::Remove {
        things: things.to_vec(),
    }
}

fn row(knife: &mut Knife, path: RowPath) -> Id {
    let id = knife.take_id();
    knife.rows.push(Row {
        id,
        path,
        count: 5,
        first_diameter_mm: 3.0,
        last_diameter_mm: 2.0,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    id
}

fn free_shape(knife: &mut Knife) -> (Id, Vec<Id>) {
    let corners = [(-50.0, 10.0), (-40.0, 10.0), (-40.0, 18.0), (-50.0, 18.0)];
    let nodes: Vec<Node> = corners
        .map(|at| Node::corner(knife.take_id(), Point::from(at)))
        .to_vec();
    let ids = nodes.iter().map(|n| n.id).collect();
    let id = cut(
        knife,
        CutShape::Free {
            outline: Outline { nodes },
        },
    );
    (id, ids)
}

#[test]
fn a_node_takes_its_handles_along() {
    for start in starters() {
        for node in start.outline.nodes.clone() {
            let set = set_of(start.clone());
            let after = changed(&set, shift(&[Thing::Node(node.id)]));
            let moved = knife(&after).outline.node(node.id).unwrap();
            assert_eq!(moved.at, node.at + BY);
            assert_eq!(
                (moved.handle_in, moved.handle_out),
                (node.handle_in, node.handle_out)
            );
            // No other node moves.
            let still = |k: &Knife| {
                let others = k.outline.nodes.iter().filter(|n| n.id != node.id);
                others.copied().collect::<Vec<_>>()
            };
            assert_eq!(still(knife(&after)), still(&start));
        }
    }
}

#[test]
fn a_smooth_node_keeps_its_handles_in_line() {
    let mut seen = 0;
    for start in starters() {
        let smooth = start.outline.nodes.iter().filter(|n| {
            n.joint == Joint::Smooth && n.handle_in.is_some() && n.handle_out.is_some()
        });
        for node in smooth {
            for outgoing in [false, true] {
                let thing = Thing::Handle {
                    node: node.id,
                    outgoing,
                };
                let held = thing_point(&start, thing).unwrap();
                let after = changed(&set_of(start.clone()), shift(&[thing]));
                let now = knife(&after).outline.node(node.id).unwrap();
                assert_at(thing_point(knife(&after), thing).unwrap(), held + BY, 1e-12);
                let (into, out) = (now.handle_in.unwrap(), now.handle_out.unwrap());
                assert_near(into.cross(out) / (into.hypot() * out.hypot()), 0.0, 1e-12);
                assert!(into.dot(out) < 0.0, "the handles point apart");
                let (other, before) = if outgoing {
                    (into, node.handle_in.unwrap())
                } else {
                    (out, node.handle_out.unwrap())
                };
                assert_near(other.hypot(), before.hypot(), 1e-12);
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "{seen} handles");
}

#[test]
fn a_corner_lets_its_other_handle_alone() {
    let mut start = plate();
    start.outline.nodes[2].handle_in = Some(Vec2::new(-20.0, -5.0));
    start.outline.nodes[2].handle_out = Some(Vec2::new(5.0, 10.0));
    let thing = Thing::Handle {
        node: 2,
        outgoing: true,
    };
    let after = changed(&set_of(start.clone()), shift(&[thing]));
    let node = knife(&after).outline.node(2).unwrap();
    assert_eq!(node.handle_in, Some(Vec2::new(-20.0, -5.0)));
    assert_eq!(node.handle_out, Some(Vec2::new(6.25, 9.5)));
}

#[test]
fn a_landmark_slides_along_the_outline() {
    let set = set_of(plate());
    let place = |at: Point| Change::Place {
        thing: Thing::Landmark(LandmarkKind::Plunge),
        at,
    };
    for (asked, seat) in [
        ((47.0, 2.0), (47.0, 0.0)),
        ((50.0, 99.0), (50.0, 30.0)),
        ((119.0, 15.0), (120.0, 15.0)),
        ((200.0, -80.0), (120.0, 0.0)),
    ] {
        let after = changed(&set, place(asked.into()));
        let at = knife(&after).landmark_point(LandmarkKind::Plunge).unwrap();
        assert_at(at, seat.into(), 1e-9);
    }
    for start in starters() {
        let thing = Thing::Landmark(LandmarkKind::SpineStart);
        let after = changed(&set_of(start), shift(&[thing]));
        let at = thing_point(knife(&after), thing).unwrap();
        let on = knife(&after).contour().nearest(at).unwrap();
        assert!(on.distance < 1e-6, "{} mm off", on.distance);
    }
}

#[test]
fn the_order_of_picking_makes_no_difference() {
    let mut start = plate();
    start.outline.nodes[2].handle_out = Some(Vec2::new(0.0, 10.0));
    let id = hole(&mut start, -30.0, 12.0, 5.0);
    let (free, nodes) = free_shape(&mut start);
    let line = RowPath::Line {
        from: Point::new(-90.0, 15.0),
        to: Point::new(-60.0, 15.0),
    };
    let row = row(&mut start, line);
    let mut things = vec![
        Thing::Landmark(LandmarkKind::Tip),
        Thing::Node(2),
        Thing::Handle {
            node: 2,
            outgoing: true,
        },
        Thing::CutOut(id),
        Thing::CutOutNode {
            cut_out: free,
            node: nodes[0],
        },
        Thing::CutOut(free),
        Thing::RowEnd { row, last: true },
        Thing::Row(row),
        Thing::Node(2),
        Thing::CutOut(id),
    ];
    let set = set_of(start.clone());
    let after = changed(&set, shift(&things));
    for thing in &things {
        let from = thing_point(&start, *thing).unwrap();
        assert_at(thing_point(knife(&after), *thing).unwrap(), from + BY, 1e-9);
    }
    things.reverse();
    assert_eq!(changed(&set, shift(&things)), after);
    things.swap(2, 5);
    assert_eq!(changed(&set, shift(&things)), after);
}

#[test]
fn rows_move_whole_or_by_an_end() {
    let mut start = plate();
    let (from, to) = (Point::new(-90.0, 15.0), Point::new(-60.0, 12.0));
    let line = row(&mut start, RowPath::Line { from, to });
    let middle = row(
        &mut start,
        RowPath::TangMiddle {
            from_x: -80.0,
            to_x: -20.0,
        },
    );
    let set = set_of(start);
    let path = |things: &[Thing], i: usize| knife(&changed(&set, shift(things))).rows[i].path;
    let line_is = |from, to| RowPath::Line { from, to };
    let end = |row, last| Thing::RowEnd { row, last };
    assert_eq!(path(&[Thing::Row(line)], 0), line_is(from + BY, to + BY));
    assert_eq!(path(&[end(line, false)], 0), line_is(from + BY, to));
    assert_eq!(path(&[end(line, true)], 0), line_is(from, to + BY));
    let both = [end(line, true), end(line, false)];
    assert_eq!(path(&both, 0), line_is(from + BY, to + BY));
    // On the middle line only the step along the knife counts.
    let (from_x, to_x) = (-80.0, -20.0 + BY.x);
    assert_eq!(
        path(&[end(middle, true)], 1),
        RowPath::TangMiddle { from_x, to_x }
    );
    let held = |last| thing_point(knife(&set), end(middle, last));
    assert_eq!(held(false), Some(Point::new(-80.0, 15.0)));
    assert_eq!(
        thing_point(knife(&set), Thing::Row(line)),
        Some(from.midpoint(to))
    );
}

#[test]
fn cut_outs_move_whole_or_by_a_node() {
    let mut start = plate();
    let round = hole(&mut start, 0.1, 12.0, 5.0);
    let slot = cut(
        &mut start,
        CutShape::Slot {
            center: Point::new(-70.3, 15.0),
            length_mm: 12.0,
            width_mm: 3.0,
            angle_rad: 0.3,
        },
    );
    let (free, nodes) = free_shape(&mut start);
    let set = set_of(start);
    for id in [round, slot, free] {
        let thing = Thing::CutOut(id);
        let at = Point::new(-33.3, 14.7);
        let after = changed(&set, Change::Place { thing, at });
        assert_at(thing_point(knife(&after), thing).unwrap(), at, 1e-12);
        let there_and_back = [at, thing_point(knife(&set), thing).unwrap()]
            .iter()
            .fold(set.clone(), |set, at| {
                changed(&set, Change::Place { thing, at: *at })
            });
        assert_at(
            thing_point(knife(&there_and_back), thing).unwrap(),
            thing_point(knife(&set), thing).unwrap(),
            1e-12,
        );
    }
    let thing = Thing::CutOutNode {
        cut_out: free,
        node: nodes[1],
    };
    let after = changed(&set, shift(&[thing]));
    let corners: Vec<Point> = nodes
        .iter()
        .map(|n| {
            let node = Thing::CutOutNode {
                cut_out: free,
                node: *n,
            };
            thing_point(knife(&after), node).unwrap()
        })
        .collect();
    assert_eq!(corners[1], Point::new(-38.75, 9.5));
    assert_eq!(corners[0], Point::new(-50.0, 10.0));
    assert_eq!(corners[2], Point::new(-40.0, 18.0));
}

#[test]
fn what_is_gone_is_named() {
    let mut start = plate();
    let id = hole(&mut start, -30.0, 12.0, 5.0);
    let set = set_of(start);
    for (thing, name) in [
        (Thing::Node(99), "node"),
        (
            Thing::Handle {
                node: 1,
                outgoing: true,
            },
            "handle",
        ),
        (Thing::CutOut(98), "cut-out"),
        (
            Thing::CutOutNode {
                cut_out: id,
                node: 1,
            },
            "node",
        ),
        (Thing::Row(97), "row"),
        (
            Thing::RowEnd {
                row: 97,
                last: true,
            },
            "row",
        ),
    ] {
        let what = EditError::Gone { what: name };
        assert_eq!(refused(&set, shift(&[Thing::Node(3), thing])), what);
        assert_eq!(refused(&set, remove(&[Thing::Node(3), thing])), what);
        let at = Point::ZERO;
        assert_eq!(refused(&set, Change::Place { thing, at }), what);
    }
}

#[test]
fn nothing_is_moved_off_the_bench() {
    let set = set_of(plate());
    let things = vec![Thing::Landmark(LandmarkKind::Tip), Thing::Node(2)];
    for x in [f64::NAN, f64::INFINITY, -1e300] {
        let things = things.clone();
        let by = Vec2::new(x, 0.0);
        assert_eq!(
            refused(&set, Change::Shift { things, by }),
            EditError::OffBench
        );
        let (thing, at) = (Thing::Node(2), Point::new(0.0, x));
        assert_eq!(
            refused(&set, Change::Place { thing, at }),
            EditError::OffBench
        );
    }
    let by = Vec2::new(9_999.0, 0.0);
    let error = refused(&set, Change::Shift { things, by });
    assert!(matches!(error, EditError::Rule { .. }), "{error}");
}

#[test]
fn removing_a_node_leaves_far_landmarks_alone() {
    let start = plate();
    let set = set_of(start.clone());
    let after = changed(&set, remove(&[Thing::Node(2), Thing::Node(2)]));
    let after = knife(&after);
    assert_eq!(after.outline.nodes.len(), 5);
    for kind in LandmarkKind::ALL {
        match kind {
            LandmarkKind::Tip | LandmarkKind::Heel | LandmarkKind::Plunge => {
                // On the new piece from (0, 0) to (120, 30), at the foot of where it was.
                let was = start.landmark_point(kind).unwrap().to_vec2();
                let along = Vec2::new(120.0, 30.0).normalize();
                let foot = (along * was.dot(along)).to_point();
                assert_at(after.landmark_point(kind).unwrap(), foot, 1e-9);
            }
            _ => assert_eq!(after.landmark(kind), start.landmark(kind)),
        }
    }
}

#[test]
fn a_node_put_in_and_taken_out_leaves_the_shape() {
    for start in starters() {
        let set = set_of(start.clone());
        for (i, node) in start.outline.nodes.iter().enumerate() {
            for t in [0.2, 0.5, 0.83] {
                let spot = Spot { node: node.id, t };
                let split = changed(&set, Change::AddNode { spot });
                let new = knife(&split).outline.nodes[i + 1].id;
                let back = changed(&split, remove(&[Thing::Node(new)]));
                let pieces = [&start, knife(&back)].map(|k| k.outline.piece(i).unwrap());
                for t in [0.0, 0.3, 0.5, 0.9, 1.0] {
                    assert_at(pieces[1].eval(t), pieces[0].eval(t), 1e-5);
                }
            }
        }
    }
}

#[test]
fn removing_any_node_of_a_starter_leaves_numbers_within_reason() {
    for start in starters() {
        let set = set_of(start.clone());
        for node in &start.outline.nodes {
            let after = changed(&set, remove(&[Thing::Node(node.id)]));
            let most = start.contour().perimeter();
            for node in &knife(&after).outline.nodes {
                for handle in [node.handle_in, node.handle_out].into_iter().flatten() {
                    assert!(handle.hypot() < most, "{handle:?}");
                }
            }
        }
    }
}

#[test]
fn an_outline_keeps_three_nodes() {
    let mut start = plate();
    let (free, nodes) = free_shape(&mut start);
    let set = set_of(start);
    let all: Vec<Thing> = (0..6).map(Thing::Node).collect();
    assert_eq!(refused(&set, remove(&all)), EditError::TooFewNodes);
    let after = changed(&set, remove(&all[..3]));
    assert_eq!(knife(&after).outline.nodes.len(), 3);
    let two: Vec<Thing> = nodes[..2]
        .iter()
        .map(|node| Thing::CutOutNode {
            cut_out: free,
            node: *node,
        })
        .collect();
    assert_eq!(refused(&set, remove(&two)), EditError::TooFewNodes);
    changed(&set, remove(&two[..1]));
    // The whole shape takes its nodes along.
    let mut whole = two;
    whole.push(Thing::CutOut(free));
    let after = changed(&set, remove(&whole));
    assert!(knife(&after).cut_outs.is_empty());
}

#[test]
fn handles_rows_and_landmarks_are_removed_or_stay() {
    let mut start = plate();
    start.outline.nodes[2].handle_in = Some(Vec2::new(-20.0, 0.0));
    start.outline.nodes[2].handle_out = Some(Vec2::new(5.0, 0.0));
    start.outline.nodes[2].joint = Joint::Smooth;
    let path = RowPath::TangMiddle {
        from_x: -80.0,
        to_x: -20.0,
    };
    let row = row(&mut start, path);
    let set = set_of(start);
    let handle = Thing::Handle {
        node: 2,
        outgoing: true,
    };
    let after = changed(&set, remove(&[handle]));
    let node = knife(&after).outline.node(2).unwrap();
    assert_eq!((node.handle_out, node.joint), (None, Joint::Corner));
    assert!(node.handle_in.is_some());
    let end = |last| Thing::RowEnd { row, last };
    let after = changed(&set, remove(&[end(true), end(false)]));
    assert!(knife(&after).rows.is_empty());
    let tip = Thing::Landmark(LandmarkKind::Tip);
    assert_eq!(refused(&set, remove(&[tip])), EditError::LandmarkStays);
    let after = changed(&set, remove(&[tip, handle]));
    assert!(knife(&after).landmark(LandmarkKind::Tip).is_some());
    assert_eq!(changed(&set, remove(&[])), set);
}
