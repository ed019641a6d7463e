//! Tools that want a pointer, worked by keys alone.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use egui::{Event, Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable;
use tangwright::edit::{Thing, thing_point};
use tangwright::geometry::Point;
use tangwright::knife::CutShape;
use tangwright::window::Tool;

use crate::drawing::Bench;

/// Takes the point in hand and a tool, both by key.
fn in_hand(tool: Key) -> Bench<'static> {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.key(tool, Modifiers::NONE);
    assert_eq!(point(&bench), None);
    bench.key(Key::Num0, Modifiers::NONE);
    assert!(point(&bench).is_some());
    assert!(bench.message().contains("Arrow keys"));
    bench
}

fn point(bench: &Bench<'_>) -> Option<Point> {
    let session = bench.0.state().session();
    let (at, canvas) = session.key_point.zip(session.canvas)?;
    Some(session.view().model_from_screen(canvas, at))
}

/// Goes to a place as hands do: wide steps, steps, fine steps.
fn go_to(bench: &mut Bench<'_>, to: Point) {
    for (modifiers, step) in [
        (Modifiers::SHIFT, 10.0),
        (Modifiers::NONE, 1.0),
        (Modifiers::ALT, 0.1),
    ] {
        for _ in 0..40 {
            let off = to - point(bench).expect("in hand");
            let key = if off.x.abs() > step * 0.51 {
                if off.x > 0.0 {
                    Key::ArrowRight
                } else {
                    Key::ArrowLeft
                }
            } else if off.y.abs() > step * 0.51 {
                if off.y > 0.0 {
                    Key::ArrowUp
                } else {
                    Key::ArrowDown
                }
            } else {
                break;
            };
            bench.key(key, modifiers);
        }
    }
    let off = to - point(bench).expect("in hand");
    assert!(off.x.abs() < 0.06 && off.y.abs() < 0.06, "{off:?}");
}

fn space_key(pressed: bool, modifiers: Modifiers) -> Event {
    Event::Key {
        key: Key::Space,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers,
    }
}

fn space(bench: &mut Bench<'_>, pressed: bool) {
    bench.0.event(space_key(pressed, Modifiers::NONE));
    bench.0.run_steps(2);
}

#[test]
fn two_holes_are_drilled_and_leveled_by_keys() {
    let mut bench = in_hand(Key::Num3);
    let before = bench.knife().cut_outs.len();
    for place in [(-90.0, -8.0), (-60.0, -5.0)] {
        go_to(&mut bench, Point::from(place));
        bench.key(Key::Space, Modifiers::NONE);
        let at = point(&bench).expect("in hand");
        let knife = bench.knife();
        let CutShape::Round { center, .. } = knife.cut_outs.last().expect("drilled").shape else {
            panic!("a round hole");
        };
        assert!(center.distance(at) < 1e-3, "{center:?} for {at:?}");
    }
    let knife = bench.knife();
    let things: Vec<Thing> = knife.cut_outs[before..]
        .iter()
        .map(|c| Thing::CutOut(c.id))
        .collect();
    assert_eq!(things.len(), 2);
    // Shift in hand; the first is picked, the second picked beside it.
    bench.key(Key::Num1, Modifiers::NONE);
    go_to(&mut bench, Point::new(-90.0, -8.0));
    bench.key(Key::Space, Modifiers::NONE);
    go_to(&mut bench, Point::new(-60.0, -5.0));
    bench.0.event(Event::ModifiersChanged(Modifiers::SHIFT));
    bench.0.event(space_key(true, Modifiers::SHIFT));
    bench.0.event(space_key(false, Modifiers::SHIFT));
    bench.0.event(Event::ModifiersChanged(Modifiers::NONE));
    bench.0.run_steps(3);
    assert_eq!(bench.0.state().session().picked, things);
    bench.key(Key::Y, Modifiers::NONE);
    let knife = bench.knife();
    let heights: Vec<f64> = things
        .iter()
        .filter_map(|t| Some(thing_point(&knife, *t)?.y))
        .collect();
    assert!((heights[0] - heights[1]).abs() < 1e-9, "{heights:?}");
}

#[test]
fn a_slot_is_cut_and_moved_by_keys() {
    let mut bench = in_hand(Key::Num4);
    go_to(&mut bench, Point::new(-80.0, -6.0));
    let from = point(&bench).expect("in hand");
    space(&mut bench, true);
    bench.key(Key::ArrowRight, Modifiers::SHIFT);
    bench.key(Key::ArrowRight, Modifiers::SHIFT);
    space(&mut bench, false);
    let knife = bench.knife();
    let CutShape::Slot {
        center,
        length_mm,
        width_mm,
        ..
    } = knife.cut_outs.last().expect("cut").shape
    else {
        panic!("a slot");
    };
    // Two wide steps of 10 mm between the middles of its ends.
    assert!(
        (length_mm - width_mm - 20.0).abs() < 1e-3,
        "{length_mm} {width_mm}"
    );
    assert!((center.x - from.x - 10.0).abs() < 1e-3);
    bench.key(Key::Num1, Modifiers::NONE);
    go_to(&mut bench, center);
    space(&mut bench, true);
    for _ in 0..5 {
        bench.key(Key::ArrowUp, Modifiers::NONE);
    }
    space(&mut bench, false);
    let CutShape::Slot { center: moved, .. } = bench.knife().cut_outs.last().expect("kept").shape
    else {
        panic!("a slot");
    };
    assert!(
        (moved.y - center.y - 5.0).abs() < 1e-3,
        "{center:?} {moved:?}"
    );
    assert_eq!(bench.steps(), 2, "cut and moved, a step each");
}

#[test]
fn an_outline_is_scribed_by_keys() {
    let mut bench = in_hand(Key::Num2);
    bench.0.get_by_label("New outline").focus();
    bench.0.run_steps(2);
    bench.key(Key::Enter, Modifiers::NONE);
    // The keyboard does not stay on that button.
    for corner in [(-80.0, -10.0), (90.0, -12.0), (140.0, 4.0), (-80.0, 12.0)] {
        go_to(&mut bench, Point::from(corner));
        bench.key(Key::Space, Modifiers::NONE);
    }
    bench.key(Key::Enter, Modifiers::NONE);
    let drawn = bench.knife();
    assert_eq!(drawn.outline.nodes.len(), 4);
    let tip = drawn.contour().bounds().x1;
    assert!((tip - 140.0).abs() < 0.1, "{tip}");
}

#[test]
fn escape_and_the_mouse_put_the_point_away() {
    let mut bench = in_hand(Key::Num6);
    bench.key(Key::Escape, Modifiers::NONE);
    assert_eq!(point(&bench), None);
    assert_eq!(
        bench.0.state().session().tool,
        Tool::Rule,
        "only the point is put away"
    );
    bench.key(Key::Num0, Modifiers::NONE);
    assert!(point(&bench).is_some());
    let canvas = bench.0.state().session().canvas.expect("laid out");
    bench.move_to(canvas.center() + egui::vec2(40.0, 10.0));
    assert_eq!(point(&bench), None);
    // It never leaves the drawing.
    bench.key(Key::Num0, Modifiers::NONE);
    for _ in 0..60 {
        bench.key(Key::ArrowUp, Modifiers::SHIFT);
    }
    let at = bench.0.state().session().key_point.unwrap_or(Pos2::ZERO);
    assert!(
        canvas.contains(at) || (at.y - canvas.top()).abs() < 0.01,
        "{at:?}"
    );
    // Arrow keys are the field's while a number is typed.
    bench.key(Key::Escape, Modifiers::NONE);
    let steps = bench.steps();
    bench.key(Key::ArrowUp, Modifiers::NONE);
    assert_eq!(bench.steps(), steps, "nothing is picked, nothing moves");
}
