//! Rounding, straightening, splitting and fairing the outline with pointer and keys.

use egui::{Key, Modifiers};
use tangwright::edit::{Change, Edit, Thing};
use tangwright::geometry::Point;
use tangwright::knife::Id;
use tangwright::window::{Action, Gesture, Tool};

use crate::drawing::Bench;

/// A corner of the knife that has room for a radius: its node, place, and the direction into its angle.
fn a_corner(bench: &Bench<'_>) -> (Id, Point, tangwright::geometry::Vec2) {
    let knife = bench.knife();
    let mut corners = knife.outline.nodes.iter().filter_map(|n| {
        let corner = knife.outline.corner_at(n.id)?;
        (corner.half_turn_rad > 0.5).then_some((n.id, n.at, corner.inward))
    });
    corners.next_back().unwrap_or_default()
}

fn pick(bench: &mut Bench<'_>, nodes: &[Id]) {
    let things = nodes.iter().map(|id| Thing::Node(*id)).collect();
    bench.0.state_mut().ask(Action::Pick(things));
    bench.0.run_steps(2);
}

#[test]
fn a_corner_is_rounded_under_the_pointer() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let before = bench.set();
    let (node, at, inward) = a_corner(&bench);
    pick(&mut bench, &[node]);
    let base = bench.pos(at);
    let out = egui::vec2(inward.x as f32, -inward.y as f32);
    let grip = base + out * 26.0;
    // Three millimeters into the angle: the arc passes there.
    let deep = at + inward * 1.5;
    bench.hold(grip, bench.pos(deep));
    let Gesture::Round { radius_mm, .. } = bench.0.state().session().gesture else {
        panic!(
            "nothing is rounded: {:?}",
            bench.0.state().session().gesture
        );
    };
    assert!(radius_mm > 0.5, "{radius_mm}");
    let near = bench
        .knife()
        .contour()
        .nearest(deep)
        .map_or(9.0, |n| n.distance);
    // Its sides are curved, so the arc comes only about as near.
    assert!(near < 0.7, "the arc is {near} mm from the pointer");
    // Back out again the corner is sharp, and in again less round: each from the start.
    bench.move_to(bench.pos(at + inward * -2.0));
    assert_eq!(bench.set(), before);
    bench.move_to(bench.pos(at + inward * 0.7));
    bench.button(bench.pos(at + inward * 0.7), false, Modifiers::NONE);
    bench.0.run_steps(2);
    assert!(bench.knife().outline.nodes.len() > before.knives[0].outline.nodes.len());
    assert_eq!(
        (bench.steps(), bench.0.state().history().undo_label()),
        (1, Some("round the corner"))
    );
    bench.undo();
    assert_eq!(bench.set(), before);
}

#[test]
fn a_corner_radius_is_typed() {
    let mut bench = Bench::new();
    let (node, ..) = a_corner(&bench);
    let n = bench.knife().outline.nodes.len();
    pick(&mut bench, &[node]);
    bench.enter("corner radius", "1.5");
    assert!(bench.knife().outline.nodes.len() > n);
    assert!(
        bench.knife().outline.node(node).is_none(),
        "an arc stands in its place"
    );
    bench.undo();
    pick(&mut bench, &[node]);
    bench.enter("corner radius", "900");
    assert!(bench.says("finds no room"), "it is told beside the field");
    assert_eq!(bench.knife().outline.nodes.len(), n);
}

#[test]
fn keys_split_make_fair_join_and_straighten() {
    let mut bench = Bench::new();
    let node = bench.knife().outline.nodes[1].id;
    let n = bench.knife().outline.nodes.len();
    pick(&mut bench, &[node]);
    bench.enter("parts", "5");
    bench.key(Key::V, Modifiers::NONE);
    assert_eq!(bench.knife().outline.nodes.len(), n + 4);
    // The new nodes are moved a little, as by an unsure hand.
    let id = bench.knife().id;
    let new: Vec<Id> = bench.knife().outline.nodes[2..6]
        .iter()
        .map(|n| n.id)
        .collect();
    for (i, node) in new.iter().enumerate() {
        let y = if i % 2 == 0 { 0.08 } else { -0.08 };
        let by = tangwright::geometry::Vec2::new(0.0, y);
        let change = Change::Shift {
            things: vec![Thing::Node(*node)],
            by,
        };
        bench
            .0
            .state_mut()
            .ask(Action::Edit(Edit::knife(id, change)));
    }
    bench.0.run_steps(2);
    let wobbly = bench.set();
    let ends = [node, bench.knife().outline.nodes[6].id];
    bench.take(Tool::Scribe);
    pick(&mut bench, &ends);
    bench.key(Key::W, Modifiers::NONE);
    let fair = bench.knife().outline.nodes.len();
    assert!(fair < n + 4, "{fair} of {}", n + 4);
    let message = bench.message();
    assert!(message.contains("nodes where there were"), "{message}");
    bench.undo();
    assert_eq!(bench.set(), wobbly);
    bench.enter("fair within", "+0.8");
    bench.key(Key::J, Modifiers::NONE);
    let message = bench.0.state().session().message.clone();
    assert_eq!(
        bench.knife().outline.nodes.len(),
        n,
        "one curve: {message:?}"
    );
    bench.undo();
    bench.key(Key::I, Modifiers::NONE);
    assert_eq!(bench.knife().outline.nodes.len(), n);
    let index = bench.knife().outline.index_of(node).unwrap_or_default();
    let piece = bench.knife().outline.piece(index);
    assert!(
        matches!(piece, Some(tangwright::geometry::Piece::Line(_))),
        "{piece:?}"
    );
}

#[test]
fn scribe_draws_a_frame_beside_the_outline() {
    let mut bench = Bench::new();
    bench.take(Tool::Scribe);
    let bounds = bench.knife().contour().bounds();
    let (a, b) = (
        Point::new(bounds.x1 + 12.0, bounds.y0 - 12.0),
        Point::new(bounds.x1 * 0.5, bounds.y1 + 12.0),
    );
    bench.drag(bench.pos(a), bench.pos(b));
    assert!(bench.0.state().session().picked.len() >= 2);
}

#[test]
fn backspace_takes_the_last_place_back_while_scribing() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(Tool::Scribe);
    let node = bench.knife().outline.nodes[1];
    bench.click(bench.pos(node.at));
    assert!(bench.0.state().session().is_picked(Thing::Node(node.id)));
    bench.push("New outline");
    let before = bench.knife();
    let placed = |bench: &Bench<'_>| match &bench.0.state().session().gesture {
        Gesture::Draft { nodes, .. } => nodes.len(),
        other => panic!("{other:?}"),
    };
    for corner in [(-80.0, -30.0), (90.0, -32.0), (140.0, 30.0)] {
        bench.click(bench.pos(Point::from(corner)));
    }
    assert_eq!(placed(&bench), 3);
    bench.key(Key::Backspace, Modifiers::NONE);
    assert_eq!(placed(&bench), 2);
    assert_eq!(bench.knife(), before, "what is picked stays");
    // Afterwards the key is the command's again.
    bench.key(Key::Escape, Modifiers::NONE);
    bench.click(bench.pos(node.at));
    bench.key(Key::Backspace, Modifiers::NONE);
    assert_eq!(
        bench.knife().outline.nodes.len(),
        before.outline.nodes.len() - 1
    );
}
