//! Both sides kept alike while dragging, a stretch drawn over, the whole design brought to a mass.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use tangwright::edit::Edit;
use tangwright::geometry::Point;
use tangwright::knife::{KnifeSet, MiddleLine, Side};
use tangwright::window::{Gesture, Tool};

use crate::drawing::{Bench, set};

/// The set with its tang made alike on both sides.
fn alike() -> KnifeSet {
    let change = tangwright::edit::Change::MirrorSide {
        line: MiddleLine::Tang,
        keep: Side::Upper,
    };
    tangwright::edit::apply(&set(), &Edit::knife(1, change)).expect("the tang has two sides")
}

#[test]
fn a_node_of_the_tang_is_dragged_on_both_sides() {
    let mut bench = Bench::of(alike());
    bench.snaps_off();
    bench.key(Key::H, Modifiers::NONE);
    assert_eq!(bench.0.state().session().both, Some(MiddleLine::Tang));
    let knife = bench.knife();
    let y_mm = knife.middle_y_mm(MiddleLine::Tang).unwrap_or(f64::NAN);
    let pair = knife.outline.nodes.iter().find_map(|n| {
        let other = knife.node_opposite(y_mm, n.id)?;
        (other != n.id && n.at.x < -5.0 && n.at.y > y_mm).then_some((*n, other))
    });
    let Some((node, other)) = pair else {
        panic!("the tang has nodes across from each other")
    };
    let from = bench.pos(node.at);
    bench.drag(from, from + egui::vec2(-8.0, -20.0));
    let at = |id| bench.knife().outline.node(id).map_or(Point::ZERO, |n| n.at);
    let (a, b) = (at(node.id), at(other));
    assert!(a.distance(node.at) > 1.0, "it moved");
    assert!(
        (a.x - b.x).abs() < 1e-9 && (a.y + b.y - 2.0 * y_mm).abs() < 1e-9,
        "{a:?} {b:?}"
    );
    assert_eq!(
        (bench.steps(), bench.0.state().history().undo_label()),
        (1, Some("move node"))
    );
    // The key lets go again.
    bench.key(Key::H, Modifiers::NONE);
    assert_eq!(bench.0.state().session().both, None);
}

#[test]
fn keys_mirror_a_side() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.key(Key::Comma, Modifiers::NONE);
    assert_eq!(bench.set(), before, "no middle line is chosen");
    bench.key(Key::H, Modifiers::NONE);
    let message = bench.message();
    assert!(message.contains("nothing across from them"), "{message}");
    bench.key(Key::Comma, Modifiers::NONE);
    let knife = bench.knife();
    assert_eq!(
        knife.nodes_alone(MiddleLine::Tang),
        Ok(0),
        "all have one now"
    );
    assert_ne!(bench.set(), before);
    assert_eq!(
        bench.0.state().history().undo_label(),
        Some("mirror one side")
    );
}

/// The upper side of the tang where a level line leaves it, and the lower one.
fn sides(knife: &tangwright::knife::Knife, x: f64) -> (f64, f64) {
    knife.contour().index().depth_at(x).unwrap_or_default()
}

/// Comma keeps the upper side, Period the lower: the side that is kept stays where it was, the other becomes its picture in the middle line.
#[test]
fn comma_and_period_keep_different_sides() {
    for (key, keeps_lower) in [(Key::Comma, false), (Key::Period, true)] {
        let mut bench = Bench::new();
        let before = bench.knife();
        let y_mm = before.middle_y_mm(MiddleLine::Tang).unwrap_or(f64::NAN);
        bench.key(Key::H, Modifiers::NONE);
        bench.key(key, Modifiers::NONE);
        let now = bench.knife();
        assert_eq!(bench.steps(), 1, "{key:?}");
        let mut moved = 0.0_f64;
        for x in [-30.0, -60.0, -90.0] {
            let ((was_low, was_high), (low, high)) = (sides(&before, x), sides(&now, x));
            let (kept, other) = if keeps_lower {
                ((was_low, low), (was_high, high))
            } else {
                ((was_high, high), (was_low, low))
            };
            assert!((kept.0 - kept.1).abs() < 0.02, "{key:?} at {x}: {kept:?}");
            assert!(
                (low + high - 2.0 * y_mm).abs() < 0.04,
                "{key:?} at {x}: {low} {high}"
            );
            moved = moved.max((other.0 - other.1).abs());
        }
        assert!(moved > 0.5, "{key:?}: {moved}");
    }
}

/// B keeps both sides of the whole knife alike: a node of the blade takes the one across along, and B lets go again.
#[test]
fn a_key_keeps_both_sides_of_the_whole_knife_alike() {
    let plate = tangwright::knife::Outline {
        nodes: [
            (-100.0, -15.0),
            (0.0, -15.0),
            (120.0, -15.0),
            (120.0, 15.0),
            (0.0, 15.0),
            (-100.0, 15.0),
        ]
        .into_iter()
        .zip(1..)
        .map(|(at, id)| tangwright::knife::Node::corner(id, Point::from(at)))
        .collect(),
    };
    let mut set = set();
    let knife = std::sync::Arc::make_mut(&mut set.knives[0]);
    knife.outline = plate;
    knife.landmarks.clear();
    let spot = |node, t| tangwright::knife::Spot { node, t };
    knife.set_landmark(tangwright::knife::LandmarkKind::Tip, spot(3, 0.5));
    knife.set_landmark(tangwright::knife::LandmarkKind::LowerShoulder, spot(2, 0.0));
    knife.set_landmark(tangwright::knife::LandmarkKind::UpperShoulder, spot(5, 0.0));
    let mut bench = Bench::of(set);
    bench.snaps_off();
    bench.key(Key::B, Modifiers::NONE);
    assert_eq!(bench.0.state().session().both, Some(MiddleLine::Knife));
    let at = |bench: &Bench<'_>, id| bench.knife().outline.node(id).map_or(Point::ZERO, |n| n.at);
    let from = bench.pos(Point::new(120.0, 15.0));
    bench.drag(from, from + egui::vec2(-20.0, 12.0));
    let (upper, lower) = (at(&bench, 4), at(&bench, 3));
    assert!(upper.distance(Point::new(120.0, 15.0)) > 1.0, "{upper:?}");
    assert!(
        (upper.x - lower.x).abs() < 1e-9 && (upper.y + lower.y).abs() < 1e-9,
        "{upper:?} {lower:?}"
    );
    // Let go, a node moves alone.
    bench.key(Key::B, Modifiers::NONE);
    assert_eq!(bench.0.state().session().both, None);
    let from = bench.pos(upper);
    bench.drag(from, from + egui::vec2(-20.0, 12.0));
    assert!(at(&bench, 4).distance(upper) > 1.0);
    assert_eq!(at(&bench, 3), lower);
}

#[test]
fn a_stretch_is_drawn_over_with_a_free_hand() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let knife = bench.knife();
    let bounds = knife.contour().bounds();
    let steel = knife.contour().index();
    let top = |x: f64| steel.depth_at(x).map_or(0.0, |(_, high)| high);
    let (from, to) = (bounds.x1 * 0.25, bounds.x1 * 0.6);
    let stroke: Vec<Point> = (0..=30)
        .map(|i| f64::from(i) / 30.0)
        .map(|s| {
            let x = from + s * (to - from);
            Point::new(x, top(x) + 4.0 * (std::f64::consts::PI * s).sin().powi(2))
        })
        .collect();
    bench.key(Key::U, Modifiers::NONE);
    assert_eq!(bench.0.state().session().tool, Tool::Scribe);
    assert!(bench.says("Begin on the outline"));
    let place = |bench: &Bench<'_>, p: Point| bench.pos(p);
    bench.move_to(place(&bench, stroke[0]));
    bench.button(place(&bench, stroke[0]), true, Modifiers::NONE);
    bench.0.run_steps(1);
    for p in &stroke {
        bench.move_to(place(&bench, *p));
    }
    bench.button(place(&bench, stroke[30]), false, Modifiers::NONE);
    bench.0.run_steps(2);
    assert_eq!(bench.0.state().session().gesture, Gesture::Idle);
    assert_eq!(
        bench.0.state().history().undo_label(),
        Some("draw over stretch")
    );
    assert_eq!(bench.steps(), 1);
    let now = bench.knife();
    for p in &stroke {
        let off = now.contour().nearest(*p).map_or(9.0, |n| n.distance);
        assert!(off < 1.0, "{p:?} is {off} mm off");
    }
    let grown = now.contour().moments().area - knife.contour().moments().area;
    // Half of 4 mm times the length.
    let wanted = 2.0 * (to - from);
    assert!(
        (grown - wanted).abs() < 0.1 * wanted,
        "{grown}, not {wanted}"
    );
    // Escape drops a stroke that is waited for.
    bench.key(Key::U, Modifiers::NONE);
    bench.key(Key::Escape, Modifiers::NONE);
    assert_eq!(bench.0.state().session().gesture, Gesture::Idle);
}

#[test]
fn the_whole_design_is_brought_to_a_length_and_a_mass() {
    let mut bench = Bench::new();
    bench.0.get_by_label_contains("Whole design").click();
    bench.0.run_steps(3);
    let before = bench.knife();
    let overall = |k: &tangwright::knife::Knife| k.contour().bounds().width();
    bench.enter("long as a whole", "*1.1");
    let now = bench.knife();
    assert!((overall(&now) / overall(&before) - 1.1).abs() < 1e-9);
    assert_eq!(now.stock, before.stock);
    bench.undo();
    let mass = bench.mass();
    bench.enter("heavy as a whole", "-20");
    assert!(
        (bench.mass() - (mass - 20.0)).abs() < 1e-3,
        "{}",
        bench.mass()
    );
    assert_eq!(bench.steps(), 1);
    bench.enter("heavy as a whole", "999999");
    assert!(bench.says("no size from a quarter"), "it is told why not");
}

#[test]
fn a_copy_of_the_outline_is_laid_beside_it() {
    let mut bench = Bench::new();
    let before = bench.knife();
    bench.0.state_mut().session_mut().resize_open = true;
    bench.0.run();
    bench.enter("a copy beside", "4");
    bench.push("Copy outline");
    let set = bench.set();
    let copy = &set.knives[1];
    assert_eq!(copy.name, format!("{} 2", before.name));
    let (a, b) = (before.contour().bounds(), copy.contour().bounds());
    assert!((b.width() - a.width() - 8.0).abs() < 0.02, "{a:?} {b:?}");
    assert_eq!(
        (bench.steps(), bench.0.state().history().undo_label()),
        (1, Some("copy at a distance"))
    );
}
