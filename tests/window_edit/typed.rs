//! Sums typed over a value, and several things chosen and moved together.

use egui::{Event, Key, Modifiers};
use tangwright::edit::{Thing, thing_point};
use tangwright::geometry::Point;

use crate::drawing::Bench;

#[test]
fn a_sum_is_typed_over_a_size() {
    let mut bench = Bench::new();
    let before = bench.set();
    bench.write("stock", "+1.5");
    assert!(bench.says("= 6.500 mm"), "what was understood");
    bench.key(Key::Enter, Modifiers::NONE);
    let stock = |bench: &Bench<'_>| bench.knife().stock.thickness_mm;
    // The brush chopper's bar is 5 mm.
    assert!((stock(&bench) - 6.5).abs() < 1e-9);
    for (text, mm) in [
        ("-0.5", 6.0),
        ("*1.1", 6.6),
        ("/2", 3.3),
        ("4 - 1/8\"", 0.825),
    ] {
        bench.enter("stock", text);
        assert!(
            (stock(&bench) - mm).abs() < 1e-9,
            "{text}: {}",
            stock(&bench)
        );
    }
    assert_eq!(bench.steps(), 5, "each is one step");
    for _ in 0..5 {
        bench.undo();
    }
    assert_eq!(bench.set(), before);
}

#[test]
fn a_place_takes_a_step_and_keeps_its_minus() {
    let mut bench = Bench::new();
    let node = bench.knife().outline.nodes[1];
    bench.0.state_mut().session_mut().picked = vec![Thing::Node(node.id)];
    bench.0.run_steps(2);
    let y = |bench: &Bench<'_>| {
        bench
            .knife()
            .outline
            .node(node.id)
            .map_or(f64::NAN, |n| n.at.y)
    };
    bench.enter("y", "-31.5");
    assert!((y(&bench) + 31.5).abs() < 1e-12);
    bench.enter("y", "+2");
    assert!((y(&bench) + 29.5).abs() < 1e-9);
    bench.enter("y", "now - 3");
    assert!((y(&bench) + 32.5).abs() < 1e-9);
}

#[test]
fn an_angle_is_turned_by_what_is_typed() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(tangwright::window::Tool::Slot);
    let (a, b) = (Point::new(-60.0, -8.0), Point::new(-40.0, -8.0));
    bench.drag(bench.pos(a), bench.pos(b));
    let cut = bench.knife().cut_outs[0].id;
    bench.0.state_mut().session_mut().picked = vec![Thing::CutOut(cut)];
    bench.0.run_steps(2);
    let angle = |bench: &Bench<'_>| match bench.knife().cut_outs[0].shape {
        tangwright::knife::CutShape::Slot { angle_rad, .. } => angle_rad.to_degrees(),
        _ => f64::NAN,
    };
    bench.enter("angle", "30");
    bench.enter("angle", "+15");
    assert!((angle(&bench) - 45.0).abs() < 1e-9, "{}", angle(&bench));
    bench.enter("angle", "/3");
    assert!((angle(&bench) - 15.0).abs() < 1e-9);
}

#[test]
fn a_frame_adds_to_what_is_picked_and_a_typed_step_moves_it_all() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let bounds = bench.knife().contour().bounds();
    let frame = |from: f64, to: f64| {
        let corner = |x, y| Point::new(x, y);
        (corner(from, bounds.y0 - 10.0), corner(to, bounds.y1 + 10.0))
    };
    let (a, b) = frame(bounds.x1 + 10.0, bounds.x1 * 0.6);
    bench.drag(bench.pos(a), bench.pos(b));
    let front = bench.0.state().session().picked.clone();
    assert!(front.len() >= 2, "{front:?}");
    // With Ctrl held a second frame adds to the first.
    let (a, b) = frame(bounds.x0 - 10.0, bounds.x0 * 0.6);
    bench.0.event(Event::ModifiersChanged(Modifiers::COMMAND));
    bench.drag(bench.pos(a), bench.pos(b));
    bench.0.event(Event::ModifiersChanged(Modifiers::NONE));
    let all = bench.0.state().session().picked.clone();
    assert!(
        all.len() > front.len() && front.iter().all(|t| all.contains(t)),
        "{all:?}"
    );
    let before = bench.knife();
    bench.enter("move along", "+2.5");
    bench.enter("move up", "-1");
    let after = bench.knife();
    for thing in all {
        let (p, q) = (thing_point(&before, thing), thing_point(&after, thing));
        let by = p.zip(q).map(|(p, q)| q - p).unwrap_or_default();
        assert!(
            (by.x - 2.5).abs() < 1e-9 && (by.y + 1.0).abs() < 1e-9,
            "{thing:?} {by:?}"
        );
    }
    assert_eq!(bench.steps(), 2, "one step for each number");
}
