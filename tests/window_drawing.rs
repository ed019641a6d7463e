//! The drawing driven as a maker drives it, without a screen: dragging, drilling, scribing, measuring, undoing.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/drawing.rs"]
#[expect(dead_code, reason = "shared with the other tests of the drawing")]
mod drawing;

use std::sync::Arc;

use drawing::Bench;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use tangwright::edit::{Change, Edit, Thing, thing_point};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{CutShape, LandmarkKind};
use tangwright::window::{Action, Gesture, Tool};

#[test]
fn a_dragged_node_goes_where_the_pointer_goes_and_undo_returns_exactly() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let start = bench.set();
    let node = start.knives[0].outline.nodes[1];
    let (from, mass) = (bench.pos(node.at), bench.mass());
    bench.drag(from, from + egui::vec2(0.0, 30.0));
    let moved = *bench.knife().outline.node(node.id).expect("it is kept");
    let view = bench.0.state().session().view();
    let expected = Point::new(node.at.x, node.at.y - view.mm(30.0));
    assert!(
        moved.at.distance(expected) < 1e-3,
        "{:?} {expected:?}",
        moved.at
    );
    assert!((bench.mass() - mass).abs() > 0.1, "the mass followed");
    assert_eq!(bench.0.state().history().undo_label(), Some("move node"));
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    assert_eq!(bench.0.state().session().gesture, Gesture::Idle);
    bench.0.state_mut().ask(tangwright::window::Action::Undo);
    bench.0.run_steps(2);
    assert_eq!(bench.set(), start);
}

#[test]
fn while_dragging_mass_is_of_the_very_outline_that_is_drawn() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let node = bench.knife().outline.nodes[1];
    let from = bench.pos(node.at);
    bench.move_to(from);
    bench.button(from, true, Modifiers::NONE);
    bench.0.run_steps(1);
    for i in 1..=5u8 {
        bench.move_to(from + egui::vec2(0.0, f32::from(i) * 8.0));
        let knife = bench.knife();
        let results = bench.0.state().results().of(knife.id).expect("weighed");
        assert!(
            Arc::ptr_eq(&results.knife, &knife),
            "results are of this frame's knife"
        );
        let at = bench.pos(knife.outline.node(node.id).expect("kept").at);
        let pointer = from + egui::vec2(0.0, f32::from(i) * 8.0);
        if i > 1 {
            assert!(
                at.distance(pointer) < 0.5,
                "the node is under the pointer: {at} {pointer}"
            );
        }
    }
    bench.key(Key::Escape, Modifiers::NONE);
    assert_eq!(
        bench.0.state().history().undo_depth(),
        0,
        "Escape drops the drag"
    );
}

#[test]
fn arrow_keys_move_by_a_tenth_a_hundredth_and_a_millimeter() {
    let mut bench = Bench::new();
    let node = bench.knife().outline.nodes[2];
    bench.click(bench.pos(node.at));
    assert_eq!(bench.0.state().session().picked, vec![Thing::Node(node.id)]);
    let x = |bench: &Bench<'_>| bench.knife().outline.node(node.id).expect("kept").at.x;
    let steps = [
        (Modifiers::NONE, 0.1),
        (Modifiers::ALT, 0.01),
        (Modifiers::SHIFT, 1.0),
    ];
    for (modifiers, step) in steps {
        let before = x(&bench);
        bench.key(Key::ArrowRight, modifiers);
        assert!((x(&bench) - before - step).abs() < 1e-9, "{step}");
    }
    assert_eq!(
        bench.0.state().history().undo_depth(),
        3,
        "one step for each key held"
    );
}

#[test]
fn the_drill_drills_where_it_is_clicked() {
    let mut bench = Bench::new();
    bench.take(Tool::Drill);
    let mass = bench.mass();
    bench.click(bench.pos(Point::new(60.0, -2.0)));
    let knife = bench.knife();
    let CutShape::Round {
        center,
        diameter_mm,
    } = knife.cut_outs[0].shape
    else {
        panic!("a round hole");
    };
    assert_eq!(diameter_mm, 6.0);
    assert!(center.distance(Point::new(60.0, -2.0)) < 3.0, "{center:?}");
    // π/4 · 6² · thickness · 7.85 g/cm³.
    let removed = std::f64::consts::PI * 9.0 * knife.stock.thickness_mm * 7.85e-3;
    assert!((mass - bench.mass() - removed).abs() < 1e-9);
}

#[test]
fn a_slot_is_as_long_as_the_drag() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(Tool::Slot);
    let (a, b) = (Point::new(50.0, 0.0), Point::new(80.0, 0.0));
    bench.drag(bench.pos(a), bench.pos(b));
    let knife = bench.knife();
    let CutShape::Slot {
        length_mm,
        width_mm,
        ..
    } = knife.cut_outs[0].shape
    else {
        panic!("a slot");
    };
    assert!(
        (length_mm - 36.0).abs() < 0.2 && width_mm == 6.0,
        "{length_mm}"
    );
    bench.take(Tool::Rule);
    bench.drag(bench.pos(a), bench.pos(b));
    let Gesture::Measure { from, to, held } = bench.0.state().session().gesture else {
        panic!("a measure stays");
    };
    assert!(!held && (from.distance(to) - 30.0).abs() < 0.2);
    assert_eq!(
        bench.0.state().history().undo_depth(),
        1,
        "measuring changes nothing"
    );
}

#[test]
fn scribe_adds_bends_smooths_and_draws_anew() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(Tool::Scribe);
    let before = bench.knife();
    let area = before.contour().moments().area;
    // On the edge, well away from any node.
    let on_edge = before
        .outline
        .piece(0)
        .map(|p| p.eval(0.45))
        .expect("a piece");
    bench.click(bench.pos(on_edge));
    let after = bench.knife();
    assert_eq!(after.outline.nodes.len(), before.outline.nodes.len() + 1);
    assert!(
        (after.contour().moments().area - area).abs() < 1e-6,
        "adding a node keeps the shape"
    );

    let pull = after
        .outline
        .piece(2)
        .map(|p| p.eval(0.5))
        .expect("a piece");
    let to = bench.pos(pull) + egui::vec2(0.0, -12.0);
    bench.drag(bench.pos(pull), to);
    assert_eq!(bench.0.state().history().undo_label(), Some("bend piece"));

    bench.0.get_by_label("New outline").click();
    bench.0.run_steps(2);
    for corner in [(-80.0, -10.0), (90.0, -12.0), (140.0, 4.0), (-80.0, 12.0)] {
        bench.click(bench.pos(Point::from(corner)));
    }
    bench.key(Key::Enter, Modifiers::NONE);
    let drawn = bench.knife();
    assert_eq!(drawn.outline.nodes.len(), 4);
    let tip = drawn.landmark_point(LandmarkKind::Tip).expect("seated");
    assert!((tip.x - 140.0).abs() < 0.5, "{tip:?}");
    bench.0.state_mut().ask(tangwright::window::Action::Undo);
    bench.0.run_steps(2);
    assert_eq!(
        bench.knife().outline.nodes.len(),
        before.outline.nodes.len() + 1
    );
}

#[test]
fn an_opening_of_any_shape_is_scribed_into_the_steel() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(Tool::Scribe);
    let mass = bench.mass();
    bench.0.get_by_label("New opening").click();
    bench.0.run_steps(2);
    let corners = [(60.0, -6.0), (100.0, -6.0), (100.0, 4.0), (60.0, 4.0)];
    for corner in corners {
        bench.click(bench.pos(Point::from(corner)));
    }
    // The first node closes the shape.
    bench.click(bench.pos(Point::from(corners[0])));
    let knife = bench.knife();
    let CutShape::Free { outline } = &knife.cut_outs[0].shape else {
        panic!("a free shape");
    };
    assert_eq!(outline.nodes.len(), 4);
    // 40 × 10 mm out of the bar, within the half point of a click.
    let removed = 400.0 * knife.stock.thickness_mm * 7.85e-3;
    assert!((mass - bench.mass() - removed).abs() < removed * 0.02);

    bench.take(Tool::Shift);
    bench.click(bench.pos(Point::new(80.0, -1.0)));
    bench.drag(
        bench.pos(Point::from(corners[2])),
        bench.pos(Point::new(110.0, 4.0)),
    );
    let moved = bench.knife();
    assert_eq!(bench.0.state().history().undo_label(), Some("move node"));
    let grown = moved.cut_outs[0].shape.moments().area - knife.cut_outs[0].shape.moments().area;
    // The corner went 10 mm along, so a triangle of 10 × 10 / 2 was added.
    assert!((grown - 50.0).abs() < 2.0, "{grown}");
}

#[test]
fn a_band_picks_several_things_and_they_move_together() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let bounds = bench.knife().contour().bounds();
    // From beyond the tip back over the front third: everything in it is picked.
    let (a, b) = (
        Point::new(bounds.x1 + 10.0, bounds.y0 - 10.0),
        Point::new(bounds.x1 * 0.6, bounds.y1 + 10.0),
    );
    bench.drag(bench.pos(a), bench.pos(b));
    let picked = bench.0.state().session().picked.clone();
    assert!(picked.len() >= 2, "{picked:?}");
    let before = bench.knife();
    bench.key(Key::ArrowUp, Modifiers::SHIFT);
    let after = bench.knife();
    for thing in picked {
        let (p, q) = (thing_point(&before, thing), thing_point(&after, thing));
        let d = q.expect("kept") - p.expect("was there");
        assert!(d.x.abs() < 1e-9 && (d.y - 1.0).abs() < 1e-9, "{d:?}");
    }
    assert_eq!(bench.0.state().history().undo_depth(), 1);
}

#[test]
fn every_thing_has_a_name_and_tab_reaches_it() {
    let mut bench = Bench::new();
    for name in [
        "tip landmark",
        "heel landmark",
        "butt landmark",
        "node 1 at",
    ] {
        assert!(
            bench.0.query_by_label_contains(name).is_some(),
            "no control is named {name}"
        );
    }
    let mut reached = false;
    for _ in 0..120 {
        bench.key(Key::Tab, Modifiers::NONE);
        if bench.0.state().session().object_has_focus {
            reached = true;
            break;
        }
    }
    assert!(reached, "Tab never came to a thing of the drawing");
    assert_eq!(
        bench.0.state().session().picked.len(),
        1,
        "the focused thing is picked"
    );
}

#[test]
fn the_wheel_zooms_at_the_pointer() {
    let mut bench = Bench::new();
    let p = Point::new(100.0, 5.0);
    let pos = bench.pos(p);
    let before = bench.0.state().session().view().px_per_mm;
    bench.move_to(pos);
    bench.0.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Line,
        delta: egui::vec2(0.0, 3.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    bench.0.run_steps(20);
    let after = bench.0.state().session().view().px_per_mm;
    assert!(after > before * 1.05, "{before} {after}");
    assert!(
        bench.pos(p).distance(pos) < 1.0,
        "the place under the pointer stays"
    );
}

#[test]
fn the_preview_shows_the_sheet_and_edits_nothing() {
    let mut bench = Bench::new();
    bench.0.get_by_label("Preview").click();
    bench.0.run_steps(3);
    assert!(bench.0.state().session().show_template);
    // Nothing can be dragged on it: the things of the drawing are away.
    assert!(bench.0.query_by_label_contains("node 1 at").is_none());
    bench.0.get_by_label("Preview").click();
    bench.0.run_steps(3);
    assert!(bench.0.query_by_label_contains("node 1 at").is_some());
    assert_eq!(bench.0.state().history().undo_depth(), 0);
}

#[test]
fn taking_another_tool_in_a_drag_ends_it_as_one_step() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let node = bench.knife().outline.nodes[1];
    let from = bench.pos(node.at);
    bench.move_to(from);
    bench.button(from, true, Modifiers::NONE);
    bench.0.run_steps(1);
    for i in 1..=4u8 {
        bench.move_to(from + egui::vec2(0.0, f32::from(i) * 8.0));
    }
    bench
        .0
        .state_mut()
        .ask(tangwright::window::Action::Take(Tool::Drill));
    bench.0.run_steps(2);
    let history = bench.0.state().history();
    assert!(!history.in_gesture());
    assert_eq!(history.undo_depth(), 1);
}

/// Where the Drill puts a hole when it is clicked at a place.
fn drilled_at(bench: &mut Bench<'_>, x: f64, y: f64) -> Point {
    bench.click(bench.pos(Point::new(x, y)));
    let knife = bench.knife();
    let cut = knife.cut_outs.last().expect("a hole was drilled");
    cut.shape.center()
}

#[test]
fn each_snap_catches_what_it_is_named_for() {
    let mut bench = Bench::new();
    bench.snaps_off();
    bench.take(Tool::Drill);
    let steel = bench.knife().contour().index();
    let middle = |x: f64| {
        let (low, high) = steel.depth_at(x).expect("steel is there");
        f64::midpoint(low, high)
    };

    // The tang's middle line: caught within a few points, not from afar.
    bench
        .0
        .state_mut()
        .session_mut()
        .preferences
        .snaps
        .middle_line = true;
    let at = drilled_at(&mut bench, -40.0, middle(-40.0) + 1.0);
    assert!((at.y - middle(at.x)).abs() < 1e-9, "{at:?}");
    let at = drilled_at(&mut bench, -60.0, middle(-60.0) + 6.0);
    assert!((at.y - middle(at.x)).abs() > 5.0, "{at:?}");
    bench
        .0
        .state_mut()
        .session_mut()
        .preferences
        .snaps
        .middle_line = false;

    // The grid: whole steps of a millimeter or its like, by scale.
    bench.0.state_mut().session_mut().preferences.snaps.grid = true;
    let at = drilled_at(&mut bench, 100.3, -7.2);
    let whole = |v: f64| ((v * 10.0) - (v * 10.0).round()).abs() < 1e-9;
    assert!(whole(at.x) && whole(at.y), "{at:?}");
    bench.0.state_mut().session_mut().preferences.snaps.grid = false;

    // Level with that hole.
    bench.0.state_mut().session_mut().preferences.snaps.level = true;
    let level = drilled_at(&mut bench, 130.0, at.y + 0.8);
    assert_eq!(level.y, at.y);
    bench.0.state_mut().session_mut().preferences.snaps.level = false;

    // The same distance once more.
    bench.0.state_mut().session_mut().preferences.snaps.spacing = true;
    let step = level - at;
    let third = drilled_at(&mut bench, level.x + step.x + 0.8, level.y - 0.7);
    assert!(third.distance(level + step) < 1e-9, "{third:?}");
    bench.0.state_mut().session_mut().preferences.snaps.spacing = false;

    // A center, though the hole there is then drilled twice: the finding says so, the snap does not judge.
    bench.0.state_mut().session_mut().preferences.snaps.nodes = true;
    assert_eq!(drilled_at(&mut bench, at.x + 0.7, at.y - 0.6), at);
}

#[test]
fn the_comb_is_drawn_when_asked_for() {
    let mut bench = Bench::new();
    let shapes = |bench: &Bench<'_>| bench.0.output().shapes.len();
    let before = shapes(&bench);
    bench.0.state_mut().session_mut().preferences.comb = true;
    bench.0.run_steps(2);
    // Each curved piece bears 25 teeth.
    assert!(shapes(&bench) > before + 100, "{before} {}", shapes(&bench));
}

/// The name is held anywhere in its box and goes where the pointer goes, as one step; over the edge its place is kept and shown, though nothing can be cut there.
#[test]
fn an_engraved_name_is_dragged_to_its_place() {
    let mut bench = Bench::new();
    bench.snaps_off();
    let id = bench.knife().id;
    let name = tangwright::knife::Engraving {
        words: "A7".to_owned(),
        height_mm: 3.0,
        at: None,
    };
    let edit = Edit::knife(id, Change::Engrave { name: Some(name) });
    bench.0.state_mut().ask(Action::Edit(edit));
    bench.0.run_steps(3);
    let begin = thing_point(&bench.knife(), Thing::Name).expect("there is a name");
    bench.0.get_by_label_contains("engraved name A7");
    let depth = bench.0.state().history().undo_depth();
    let to = begin + Vec2::new(-12.0, 0.0);
    bench.drag(bench.pos(begin), bench.pos(to));
    let at = bench.knife().engraving.clone().and_then(|name| name.at);
    let at = at.expect("it has a place of its own");
    assert!(at.distance(to) < 0.5, "{at:?} for {to:?}");
    assert_eq!(bench.0.state().history().undo_depth(), depth + 1);
    // Far over the edge: it stays where it was put, and says so.
    let out = Point::new(at.x, at.y + 60.0);
    bench.drag(bench.pos(at), bench.pos(out));
    let away = bench.knife().engraving.clone().and_then(|name| name.at);
    assert!(away.is_some_and(|p| p.distance(out) < 0.5), "{away:?}");
    bench.0.get_by_label_contains("engraved name A7");
    let results = bench.0.state().results().of(id).expect("it was looked at");
    assert!(matches!(results.engraving, Some(Err(_))));
}
