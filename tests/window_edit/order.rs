//! Holes put in order by keys and by the card; things clamped.

use egui::{Key, Modifiers};
use tangwright::edit::{Thing, thing_point};
use tangwright::geometry::Point;
use tangwright::window::{Action, Tool};

use crate::drawing::Bench;

/// Drills holes in the tang and picks them in the order they were drilled.
fn drilled(bench: &mut Bench<'_>, places: &[(f64, f64)]) -> Vec<Thing> {
    bench.snaps_off();
    let before = bench.knife().cut_outs.len();
    bench.take(Tool::Drill);
    for (x, y) in places {
        bench.click(bench.pos(Point::new(*x, *y)));
    }
    bench.take(Tool::Shift);
    let knife = bench.knife();
    let things: Vec<Thing> = knife.cut_outs[before..]
        .iter()
        .map(|c| Thing::CutOut(c.id))
        .collect();
    assert_eq!(things.len(), places.len());
    bench.0.state_mut().ask(Action::Pick(things.clone()));
    bench.0.run_steps(3);
    things
}

fn centers(bench: &Bench<'_>, things: &[Thing]) -> Vec<Point> {
    let knife = bench.knife();
    things
        .iter()
        .filter_map(|t| thing_point(&knife, *t))
        .collect()
}

#[test]
fn keys_bring_holes_level_and_even() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-90.0, -8.0), (-70.0, -5.0), (-30.0, -10.0)]);
    let steps = bench.steps();
    let first = centers(&bench, &things)[0];
    bench.key(Key::Y, Modifiers::NONE);
    for p in centers(&bench, &things) {
        assert!((p.y - first.y).abs() < 1e-9, "{p:?}");
    }
    bench.key(Key::Q, Modifiers::NONE);
    let now = centers(&bench, &things);
    assert!((now[1].x - f64::midpoint(now[0].x, now[2].x)).abs() < 1e-9);
    assert_eq!(bench.steps(), steps + 2, "one step each");
    assert_eq!(bench.0.state().history().undo_label(), Some("space evenly"));
    bench.key(Key::Z, Modifiers::NONE);
    bench.key(Key::X, Modifiers::NONE);
    let now = centers(&bench, &things);
    assert!(now.iter().all(|p| (p.x - now[0].x).abs() < 1e-9));
}

#[test]
fn a_clamp_holds_and_is_told() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-90.0, -8.0)]);
    bench.key(Key::F3, Modifiers::NONE);
    assert!(bench.says(", clamped"), "a screen reader is told");
    let before = bench.set();
    bench.key(Key::ArrowRight, Modifiers::NONE);
    assert_eq!(bench.set(), before);
    let message = bench.message();
    assert!(message.contains("is clamped: let it go first"), "{message}");
    let at = bench.pos(centers(&bench, &things)[0]);
    bench.drag(at, at + egui::vec2(30.0, 0.0));
    assert_eq!(bench.set(), before, "nor by dragging");
    bench.key(Key::F3, Modifiers::NONE);
    assert!(!bench.says(", clamped"));
    bench.key(Key::ArrowRight, Modifiers::NONE);
    assert_ne!(bench.set(), before);
}

#[test]
fn copies_are_stepped_off_from_the_card() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-95.0, -8.0)]);
    let first = centers(&bench, &things)[0];
    let n = bench.knife().cut_outs.len();
    bench.enter("step", "12.5");
    bench.enter("copies", "4");
    bench.0.state_mut().ask(Action::Pick(things));
    bench.0.run_steps(2);
    bench.push("Step off copies");
    let knife = bench.knife();
    assert_eq!(knife.cut_outs.len(), n + 4);
    for (i, cut) in knife.cut_outs[n..].iter().enumerate() {
        let x = first.x + 12.5 * (i as f64 + 1.0);
        assert!(cut.shape.center().distance(Point::new(x, first.y)) < 1e-9);
    }
    bench.undo();
    assert_eq!(bench.knife().cut_outs.len(), n);
}

#[test]
fn a_group_turns_by_a_typed_angle() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-90.0, -8.0), (-60.0, -8.0)]);
    let before = centers(&bench, &things);
    bench.enter("turn by", "10");
    let after = centers(&bench, &things);
    let way = after[1] - after[0];
    assert!(
        (way.atan2().to_degrees() - (before[1] - before[0]).atan2().to_degrees() - 10.0).abs()
            < 1e-6
    );
    assert!((way.hypot() - before[0].distance(before[1])).abs() < 1e-9);
}
