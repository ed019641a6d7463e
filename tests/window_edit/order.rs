//! Holes put in order by keys and by the card; things clamped.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use tangwright::edit::{Change, Edit, Thing, thing_point};
use tangwright::geometry::Point;
use tangwright::knife::CutShape;
use tangwright::window::{Action, Tool, Work};

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

/// Z leaves the same steel between neighbors, whatever their sizes: holes of 6, 10 and 6 mm over 60 mm leave (60 − 6/2 − 10 − 6/2) / 2 = 22 mm twice.
#[test]
fn a_key_leaves_even_steel_between_holes() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-90.0, -8.0), (-70.0, -8.0), (-30.0, -8.0)]);
    let id = bench.knife().id;
    let Thing::CutOut(middle) = things[1] else {
        panic!("a hole was drilled: {things:?}")
    };
    let mut cut_out = bench.knife().cut_out(middle).cloned().unwrap_or_else(|| {
        panic!("hole {middle} is gone");
    });
    let center = cut_out.shape.center();
    cut_out.shape = CutShape::Round {
        center,
        diameter_mm: 10.0,
    };
    let change = Change::SetCutOut { cut_out };
    bench
        .0
        .state_mut()
        .ask(Action::Edit(Edit::knife(id, change)));
    bench.0.state_mut().ask(Action::Pick(things.clone()));
    bench.0.run_steps(3);
    let (steps, before) = (bench.steps(), centers(&bench, &things));
    bench.key(Key::Z, Modifiers::NONE);
    let now = centers(&bench, &things);
    assert_eq!(
        (now[0], now[2]),
        (before[0], before[2]),
        "the outer two stay"
    );
    assert!((now[1].x - before[1].x).abs() > 1.0, "{now:?}");
    let steel = |a: usize, b: usize, radii: f64| now[a].distance(now[b]) - radii;
    let (left, right) = (steel(0, 1, 3.0 + 5.0), steel(1, 2, 5.0 + 3.0));
    assert!(
        (left - 22.0).abs() < 1e-4 && (right - 22.0).abs() < 1e-4,
        "{left} {right}"
    );
    assert_eq!(bench.steps(), steps + 1);
}

/// By its key, by its button on the card, and by its entry in the menu, each puts the picked holes in the same order, in one step.
#[test]
fn key_card_and_menu_put_holes_in_the_same_order() {
    let mut bench = Bench::new();
    let things = drilled(&mut bench, &[(-90.0, -8.0), (-70.0, -5.0), (-30.0, -10.0)]);
    let before = bench.set();
    for work in Work::ON_SEVERAL {
        let on_card = match work {
            Work::Clamp => "Clamp",
            other => other.name(),
        };
        let mut made = Vec::new();
        for by in ["key", "card", "menu"] {
            bench.0.state_mut().ask(Action::Pick(things.clone()));
            bench.0.run_steps(3);
            let steps = bench.steps();
            match by {
                "key" => bench.key(work.keys()[0].logical_key, Modifiers::NONE),
                "card" => {
                    bench.0.get_by_label(on_card).click_accesskit();
                    bench.0.run_steps(3);
                }
                _ => {
                    for entry in ["Edit", "Several picked", work.name()] {
                        let found = bench.0.get_all_by_role_and_label(Role::Button, entry);
                        found.last().expect("it is there").click();
                        bench.0.run_steps(4);
                    }
                }
            }
            assert_eq!(bench.steps(), steps + 1, "{work:?} by {by}");
            made.push(bench.set());
            bench.undo();
            assert_eq!(bench.set(), before, "{work:?} by {by}");
        }
        assert!(made.iter().all(|set| *set == made[0]), "{work:?}");
        assert_ne!(made[0], before, "{work:?}");
    }
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

/// The outline as a fine chain of places, with how far along it each is.
fn chain(bench: &Bench<'_>) -> Vec<(Point, f64)> {
    let mut along = 0.0;
    let mut chain: Vec<(Point, f64)> = Vec::new();
    for piece in bench.knife().contour().pieces {
        for i in 0..2_000 {
            let p = piece.eval(f64::from(i) / 2_000.0);
            along += chain.last().map_or(0.0, |(last, _)| last.distance(p));
            chain.push((p, along));
        }
    }
    chain
}

/// The side whose copies are looked at: distance from the outline, and how far along it the foot lies.
fn foot(chain: &[(Point, f64)], p: Point) -> (f64, f64) {
    let feet = chain.iter().map(|(q, along)| (q.distance(p), *along));
    feet.min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((f64::NAN, f64::NAN))
}

/// Halfway between the lowest and the highest place of the outline at `x`.
fn middle(chain: &[(Point, f64)], x: f64) -> f64 {
    let ends = chain.windows(2).filter_map(|w| {
        let (a, b) = (w[0].0, w[1].0);
        let share = (x - a.x) / (b.x - a.x);
        (0.0..=1.0).contains(&share).then(|| a.lerp(b, share).y)
    });
    let (low, high) = ends.fold((f64::MAX, f64::MIN), |(l, h), y| (l.min(y), h.max(y)));
    f64::midpoint(low, high)
}

/// Each way of the card's switch, measured on the outline's own points: up goes up; along the outline copies keep their distance from it and are a step apart
/// along it; along the middle of the tang they keep their height over it.
#[test]
fn copies_go_each_way_the_card_offers() {
    for word in ["up", "outline", "tang's middle"] {
        let mut bench = Bench::new();
        let things = drilled(&mut bench, &[(-95.0, -8.0)]);
        let first = centers(&bench, &things)[0];
        let n = bench.knife().cut_outs.len();
        bench.0.state_mut().ask(Action::Pick(things));
        bench.0.run_steps(2);
        let chain = chain(&bench);
        // Counterclockwise the outline runs along the lower side of the tang toward the tip.
        let way = format!("{word}, step off");
        bench.0.get_by_label(&way).click_accesskit();
        bench.0.run_steps(3);
        bench.enter("step", "7.5");
        bench.enter("copies", "3");
        bench.key(Key::O, Modifiers::NONE);
        let knife = bench.knife();
        assert_eq!(knife.cut_outs.len(), n + 3, "{word}: {}", bench.message());
        assert_eq!(bench.0.state().history().undo_label(), Some("step off"));
        let (depth, begun) = foot(&chain, first);
        for (i, cut) in (1_u8..).zip(&knife.cut_outs[n..]) {
            let (at, by) = (cut.shape.center(), 7.5 * f64::from(i));
            match word {
                "up" => {
                    let wanted = Point::new(first.x, first.y + by);
                    assert!(at.distance(wanted) < 1e-9, "{at:?}");
                }
                "outline" => {
                    let (off, along) = foot(&chain, at);
                    assert!((off - depth).abs() < 0.01, "{i}: {off}, first {depth}");
                    assert!((along - begun - by).abs() < 0.1, "{i}: {along} {begun}");
                }
                _ => {
                    assert!((at.x - first.x - by).abs() < 1e-9, "{at:?}");
                    let (now, before) = (middle(&chain, at.x), middle(&chain, first.x));
                    let off = (at.y - now) - (first.y - before);
                    assert!(off.abs() < 1e-3, "{i}: {off}");
                }
            }
        }
        // Going straight along would be another way.
        let last = knife.cut_outs[n + 2].shape.center();
        let along = Point::new(first.x + 22.5, first.y);
        assert!(last.distance(along) > 0.5, "{word}: {last:?}");
        bench.undo();
        assert_eq!(bench.knife().cut_outs.len(), n);
    }
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
