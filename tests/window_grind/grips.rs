//! Grinds held on the drawing.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use tangwright::geometry::Point;
use tangwright::knife::{Face, Rise, RiseStation, Sides};
use tangwright::thickness::LineKind;
use tangwright::window::Snaps;

use super::bench::{Bench, beveled, height};

/// The line is drawn as a curve through the places of the rays the survey needed, which leaves it by this much at most, mm.
const DRAWN_MM: f64 = 0.05;

/// How far a grip lies off the grind line that is drawn at the same instant, mm.
fn off_its_line(bench: &Bench, grip: &str, grind: u32) -> f64 {
    let session = bench.0.state().session();
    let view = session.view();
    let at = view.model_from_screen(session.canvas.unwrap(), bench.place_of(grip));
    let results = bench.0.state().results().of(1).unwrap();
    let lines = &results.weighed.scale.relief().unwrap().lines;
    let own = lines
        .iter()
        .filter(|line| line.face == Face::Right && line.kind == LineKind::Grind { id: grind });
    let to_chord = |a: Point, b: Point| {
        let along = b - a;
        let t = ((at - a).dot(along) / along.hypot2().max(1e-12)).clamp(0.0, 1.0);
        (a + along * t).distance(at)
    };
    own.flat_map(|line| {
        let chords = line.drawn(2.0);
        let off = chords.windows(2).map(|pair| to_chord(pair[0], pair[1]));
        off.collect::<Vec<f64>>()
    })
    .fold(f64::INFINITY, f64::min)
}

/// Takes a grip as many millimeters up the screen; its line follows in every frame. Gives how far the grip went.
fn raise(bench: &mut Bench, grip: &str, grind: u32, mm: f64) -> f64 {
    let from = bench.place_of(grip);
    let px_per_mm = bench.0.state().session().view().px_per_mm;
    let by = egui::vec2(0.0, -(mm * px_per_mm) as f32);
    let off = off_its_line(bench, grip, grind);
    assert!(off < DRAWN_MM, "{grip} is {off} mm off its line");
    bench.drag(from, by, |bench| {
        let off = off_its_line(bench, grip, grind);
        assert!(off < DRAWN_MM, "{grip} is {off} mm off its line");
    });
    f64::from(bench.place_of(grip).distance(from)) / px_per_mm
}

/// One of three stations is raised: the line bends there, and the others stay.
#[test]
fn one_of_several_stations_shapes_the_line() {
    let mut set = beveled();
    let station = |at, value| RiseStation { at, value };
    let stations = vec![station(0.0, 16.0), station(0.5, 20.0), station(1.0, 14.0)];
    let grind = &mut set.knife_mut(1).unwrap().grinding.grinds[0];
    let id = grind.id;
    for cut in grind.sides.cuts_mut() {
        cut.rise = Rise::Height(stations.clone());
    }
    let mut bench = Bench::new(set);
    let start = bench.set();
    raise(&mut bench, "height 2 of bevel", id, 5.0);
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    let now = cut.rise.stations();
    assert!((now[1].value - 25.0).abs() < 0.3, "{now:?}");
    assert_eq!((now[0], now[2]), (stations[0], stations[2]));
    assert_eq!(now[1].at, 0.5);
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    bench.undo();
    assert_eq!(bench.set(), start);
}

/// A grind by angle is held by its height: raised, its angle falls to atan(2.25/h).
#[test]
fn a_grind_by_angle_is_raised_by_its_line() {
    let mut set = beveled();
    let grind = &mut set.knife_mut(1).unwrap().grinding.grinds[0];
    let id = grind.id;
    for cut in grind.sides.cuts_mut() {
        cut.rise = Rise::even_angle((2.25_f64 / 20.0).atan());
    }
    let mut bench = Bench::new(set);
    raise(&mut bench, "height 1 of bevel, ", id, 5.0);
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    let Rise::Angle(stations) = &cut.rise else {
        panic!("still by angle");
    };
    let high = 2.25 / stations[0].value.tan();
    assert!((high - 25.0).abs() < 0.3, "{high}");
    assert_eq!(bench.0.state().history().undo_depth(), 1);
}

/// A false edge rises downward from the spine: its grip goes the other way.
#[test]
fn a_false_edge_is_held_by_its_line() {
    let mut bench = Bench::new(beveled());
    bench.click("False edge");
    let id = bench.grind(1).id;
    let steps = bench.0.state().history().undo_depth();
    let before = bench.grind(1);
    let went = raise(&mut bench, "height 1 of false edge", id, -6.0);
    assert!((5.0..7.0).contains(&went), "{went}");
    let value = |grind: &tangwright::knife::Grind| {
        let cut = grind.sides.on(Face::Right).unwrap();
        cut.rise.stations()[0].value
    };
    // It is given by its angle: (5 − e)/2 over its height, which grew as far as the grip went.
    let rise = (5.0 - before.edge_mm) / 2.0;
    let high = |grind| rise / f64::tan(value(grind));
    let grew = high(&bench.grind(1)) - high(&before);
    assert!((grew - went).abs() < 0.1, "{grew} {went}");
    assert_eq!(bench.0.state().history().undo_depth(), steps + 1);
}

/// A node of a fuller's middle line is dragged: the channel goes with it, in one step.
#[test]
fn a_fuller_is_bent_by_its_nodes() {
    let mut bench = Bench::new(beveled());
    bench.click("Fuller");
    // Held freely, without the lines a node likes to lie on.
    let snaps = Snaps {
        grid: false,
        nodes: false,
        middle_line: false,
        spacing: false,
        level: false,
    };
    bench.0.state_mut().session_mut().preferences.snaps = snaps;
    let before = bench.knife().grinding.fullers[0].clone();
    let steps = bench.0.state().history().undo_depth();
    let view = bench.0.state().session().view();
    let from = bench.place_of("node 1 of fuller");
    let by = egui::vec2(
        (12.0 * view.px_per_mm) as f32,
        (-2.0 * view.px_per_mm) as f32,
    );
    bench.drag(from, by, |_| {});
    let after = bench.knife().grinding.fullers[0].clone();
    let moved = after.path.nodes[0].at - before.path.nodes[0].at;
    assert!(
        (moved.x - 12.0).abs() < 0.01 && (moved.y - 2.0).abs() < 0.01,
        "{moved:?}"
    );
    assert_eq!(after.path.nodes[1..], before.path.nodes[1..]);
    assert_eq!(bench.0.state().history().undo_depth(), steps + 1);
    let up = &bench.0.state().results().of(1).unwrap().weighed.up;
    let taken = up.grinds.iter().find(|g| g.id == after.id).unwrap();
    assert!(taken.removed_g > 0.0);
    bench.undo();
    assert_eq!(bench.knife().grinding.fullers[0], before);
}

#[test]
fn a_bevel_is_raised_by_its_line_on_the_drawing() {
    let mut bench = Bench::new(beveled());
    let start = bench.set();
    let from = bench.place_of("height 1 of bevel, 20.0 mm");
    let view = bench.0.state().session().view();
    // The edge runs nearly level there: 5 mm up raises the bevel by close to 5 mm.
    let by = egui::vec2(0.0, -(5.0 * view.px_per_mm) as f32);
    bench.move_to(from);
    bench.button(from, true);
    for i in 1..=5u8 {
        bench.move_to(from + by * (f32::from(i) / 5.0));
    }
    bench.button(from + by, false);
    bench.0.run_steps(2);
    assert!((height(&bench) - 25.0).abs() < 0.3, "{}", height(&bench));
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    // The number on the card is the very same, and the grind stands open there.
    assert!(bench.has(&format!("flat {:.1} mm", height(&bench))));
    assert!(bench.has("left on the edge"));
    bench.undo();
    assert_eq!(bench.set(), start);
}

#[test]
fn a_plunge_line_is_turned_and_both_obey_the_arrow_keys() {
    let mut bench = Bench::new(beveled());
    let from = bench.place_of("plunge line of bevel at the plunge, 80.0°");
    bench.move_to(from);
    bench.button(from, true);
    bench.move_to(from + egui::vec2(10.0, 2.0));
    bench.move_to(from + egui::vec2(30.0, 6.0));
    bench.button(from + egui::vec2(30.0, 6.0), false);
    bench.0.run_steps(2);
    let degrees = |bench: &Bench| {
        let plunge = bench.grind(0).plunge_from.unwrap();
        plunge.angle_rad.to_degrees()
    };
    let turned = degrees(&bench);
    assert!(
        turned < 75.0 && (turned - turned.round()).abs() < 1e-9,
        "{turned}"
    );
    let line = bench.0.query_all_by_label_contains("plunge line of").next();
    line.unwrap().focus();
    bench.0.run_steps(2);
    bench.press(Key::ArrowUp, Modifiers::NONE);
    assert!((degrees(&bench) - turned - 1.0).abs() < 1e-9);
    let grip = bench
        .0
        .query_all_by_label_contains("height 1 of bevel")
        .next();
    grip.unwrap().focus();
    bench.0.run_steps(2);
    bench.press(Key::ArrowUp, Modifiers::SHIFT);
    bench.press(Key::ArrowDown, Modifiers::NONE);
    assert!((height(&bench) - 20.9).abs() < 1e-9, "{}", height(&bench));
    assert_eq!(bench.0.state().history().undo_depth(), 4);
}

/// Each frame of a drag weighs roughly, within the digits that are told; let go, the knife is weighed as it is anywhere else.
#[test]
fn what_is_dragged_is_weighed_roughly_until_it_is_let_go() {
    let mut bench = Bench::new(beveled());
    let from = bench.place_of("height 1 of bevel");
    let rough = |bench: &Bench| {
        let results = bench.0.state().results().of(1).unwrap();
        results.weighed.scale.is_rough()
    };
    assert!(!rough(&bench));
    let mut seen = 0;
    bench.drag(from, egui::vec2(0.0, -30.0), |bench| {
        seen += u32::from(rough(bench));
        let exact = tangwright::weighing::weigh(&bench.knife(), &bench.set());
        assert!((bench.mass() - exact.total.unwrap().mass_g).abs() < 0.05);
    });
    assert!(seen > 0, "the drag was weighed roughly");
    assert!(!rough(&bench));
    let exact = tangwright::weighing::weigh(&bench.knife(), &bench.set());
    let results = bench.0.state().results().of(1).unwrap();
    assert_eq!(results.weighed.up, exact);
}
