//! Grinds held on the drawing.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;

use super::bench::{Bench, beveled, height};

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
