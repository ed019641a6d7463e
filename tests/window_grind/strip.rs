//! The knife from above and its stations, and the section under it.

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::edit::Thing;
use tangwright::window::Gesture;

use super::bench::{Bench, beveled, clad, set, tapered};

#[test]
fn a_station_is_dragged_along_and_through_in_one_step() {
    let mut bench = Bench::new(tapered());
    let start = bench.set();
    let from = bench.place_of("thickness station 3 at");
    let strip = bench.0.state().session().strip.unwrap();
    let view = bench.0.state().session().view();
    // 20 mm back toward the handle, and 0.5 mm thicker on each face: upward, away from the mid-plane.
    let by = egui::vec2(
        -(20.0 * view.px_per_mm) as f32,
        -(0.5 * strip.px_per_mm) as f32,
    );
    bench.move_to(from);
    bench.button(from, true);
    for i in 1..=6u8 {
        bench.move_to(from + by * (f32::from(i) / 6.0));
        let knife = bench.knife();
        let results = bench.0.state().results().of(1).unwrap();
        assert!(
            Arc::ptr_eq(&results.knife, &knife),
            "weighed while dragging"
        );
    }
    bench.button(from + by, false);
    bench.0.run_steps(2);
    let stations = bench.knife().grinding.taper.clone().unwrap().stations;
    assert!((stations[2].x_mm - 220.0).abs() < 1e-6, "{stations:?}");
    assert!(
        (stations[2].thickness_mm - 3.0).abs() < 1e-6,
        "{stations:?}"
    );
    assert_eq!(
        stations[..2],
        start.knives[0].grinding.taper.as_ref().unwrap().stations[..2]
    );
    assert_eq!(bench.0.state().session().gesture, Gesture::Idle);
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    bench.undo();
    assert_eq!(bench.set(), start);
}

#[test]
fn escape_drops_the_drag_of_a_station() {
    let mut bench = Bench::new(tapered());
    let start = bench.set();
    let from = bench.place_of("thickness station 1 at");
    bench.move_to(from);
    bench.button(from, true);
    bench.move_to(from + egui::vec2(20.0, -6.0));
    bench.move_to(from + egui::vec2(30.0, -6.0));
    assert_ne!(bench.set(), start);
    bench.press(Key::Escape, Modifiers::NONE);
    assert_eq!(bench.set(), start);
    assert_eq!(bench.0.state().history().undo_depth(), 0);
}

#[test]
fn a_station_stays_between_its_neighbors_and_within_the_bar() {
    let mut bench = Bench::new(tapered());
    let from = bench.place_of("thickness station 2 at");
    bench.move_to(from);
    bench.button(from, true);
    for i in 1..=6u8 {
        bench.move_to(from + egui::vec2(-100.0, -30.0) * f32::from(i));
    }
    let stations = bench.knife().grinding.taper.clone().unwrap().stations;
    assert!(
        stations[1].x_mm > -110.0 && stations[1].x_mm < -109.0,
        "{stations:?}"
    );
    assert_eq!(stations[1].thickness_mm, 5.0);
    bench.button(from, false);
}

#[test]
fn stations_have_names_and_obey_the_arrow_keys() {
    let mut bench = Bench::new(tapered());
    assert!(bench.has("thickness station 2 at 0.0 mm, 5.00 mm thick"));
    let node = bench
        .0
        .query_all_by_label_contains("thickness station 3")
        .next();
    node.unwrap().focus();
    bench.0.run_steps(3);
    assert_eq!(
        bench.0.state().session().picked,
        vec![Thing::TaperStation(2)]
    );
    // Its numbers stand open on the card.
    assert!(bench.has("thickness 3"));
    bench.press(Key::ArrowUp, Modifiers::NONE);
    bench.press(Key::ArrowLeft, Modifiers::SHIFT);
    let station = bench.knife().grinding.taper.clone().unwrap().stations[2];
    assert!((station.thickness_mm - 2.1).abs() < 1e-9 && (station.x_mm - 239.0).abs() < 1e-9);
    assert_eq!(bench.0.state().history().undo_depth(), 2);
    bench.press(Key::Delete, Modifiers::NONE);
    assert_eq!(
        bench.knife().grinding.taper.clone().unwrap().stations.len(),
        2
    );
}

#[test]
fn a_double_click_and_the_card_add_stations() {
    let mut bench = Bench::new(set());
    let strip = bench.0.state().session().strip.unwrap();
    let at = egui::pos2(strip.rect.center().x, strip.middle_y());
    for _ in 0..2 {
        bench.move_to(at);
        bench.button(at, true);
        bench.button(at, false);
    }
    bench.0.run_steps(4);
    assert!(bench.knife().grinding.taper.is_some());
    bench.undo();
    assert!(bench.knife().grinding.taper.is_none());
    bench.open("Taper: ");
    bench.click("Taper");
    let n = bench.knife().grinding.taper.clone().unwrap().stations.len();
    bench.click("Add station");
    bench.enter("thickness 2", "4.2");
    let taper = bench.knife().grinding.taper.clone().unwrap();
    assert_eq!(taper.stations.len(), n + 1);
    assert_eq!(taper.stations[1].thickness_mm, 4.2);
    bench.click("No taper");
    assert!(bench.knife().grinding.taper.is_none());
}

#[test]
fn strips_give_way_in_a_low_window_and_to_the_preview() {
    let mut bench = Bench::new(tapered());
    let height = |bench: &Bench| bench.0.state().session().canvas.unwrap().height();
    let with = height(&bench);
    bench.press(Key::A, Modifiers::NONE);
    assert!(bench.0.state().session().strip.is_none());
    assert!(height(&bench) > with + 60.0);
    bench.press(Key::A, Modifiers::NONE);
    assert_eq!(height(&bench), with);
    bench.click("Preview");
    assert!(bench.0.state().session().strip.is_none());
    bench.click("Preview");
    bench.0.set_size(egui::vec2(1440.0, 420.0));
    bench.0.run_steps(3);
    assert!(bench.0.state().session().strip.is_none());
    assert!(bench.mass() > 0.0);
    let node = bench.0.query_all_by_label_contains("drawing of").next();
    assert!(!node.unwrap().accesskit_node().is_disabled());
}

#[test]
fn the_section_follows_the_pointer_and_is_pinned_by_typing() {
    let mut bench = Bench::new(beveled());
    let view = bench.0.state().session().view();
    let canvas = bench.0.state().session().canvas.unwrap();
    let over = |x| view.screen_from_model(canvas, tangwright::geometry::Point::new(x, -5.0));
    bench.move_to(over(90.0));
    bench.0.run_steps(2);
    let at = bench.0.state().session().section.x_mm.unwrap();
    assert!((at - 90.0).abs() < 0.2, "{at}");
    bench.enter("section at", "120");
    bench.move_to(over(60.0));
    bench.0.run_steps(2);
    let section = bench.0.state().session().section;
    assert_eq!((section.x_mm, section.pinned), (Some(120.0), true));
    // 10 mm behind an edge of 0.5 mm a bevel of 20 mm on 5 mm is 0.5 + 4.5/2 thick, but for the slope of the edge there.
    // (by 1 in 25, which leaves 0.9992 of it): 2.748; 20 mm behind it 4.996.
    bench.enter("furthest", "10");
    assert_eq!(bench.under("furthest"), "2.75 mm");
    bench.enter("furthest", "20");
    assert_eq!(bench.under("furthest"), "5.00 mm");
    assert_eq!(
        bench.0.state().session().preferences.behind_edge_mm[2],
        20.0
    );
    bench.click("Pin");
    bench.move_to(over(60.0));
    bench.move_to(over(61.0));
    bench.0.run_steps(2);
    let at = bench.0.state().session().section.x_mm.unwrap();
    assert!((at - 61.0).abs() < 0.2, "{at}");
    bench.press(Key::S, Modifiers::NONE);
    assert!(!bench.has("section at"));
}

/// A core of 2 mm in 5 mm, ground flat from 0.5 mm to 20 mm: it shows up to 20·(2 − 0.5)/(5 − 0.5) = 6.67 mm square to the edge, and across
/// the section by as much more as the edge slopes there (by about 1 in 25: under a thousandth).
#[test]
fn the_section_tells_edge_and_core() {
    let mut bench = Bench::new(clad());
    bench.enter("section at", "120");
    assert_eq!(bench.beside("core shows"), ["6.7 mm"]);
    // atan(2.25 / 20) = 6.42° a side.
    assert_eq!(bench.beside("each side"), ["6.4°"]);
    assert_eq!(bench.beside("together"), ["12.8°"]);
    assert_eq!(bench.beside("edge"), ["0.50 mm"]);
    // √(20² + 2.25²) = 20.126.
    assert_eq!(bench.beside("bevel wide"), ["20.1 mm"]);
}

/// 20 mm on the right face and 12 on the left: atan(2.25/20) = 6.42° and atan(2.25/12) = 10.62°, together 17.04°; √(12² + 2.25²) = 12.209.
#[test]
fn the_section_tells_each_side_that_is_ground_its_own_way() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.click("Each its own");
    bench.enter("bevel height, left", "12");
    bench.enter("section at", "120");
    assert_eq!(bench.beside("right side"), ["6.4°"]);
    assert_eq!(bench.beside("left side"), ["10.6°"]);
    assert_eq!(bench.beside("together"), ["17.0°"]);
    let mut wide = bench.beside("bevel wide");
    wide.sort();
    assert_eq!(wide, ["12.2 mm", "20.1 mm"]);
    assert!(!bench.has("each side"));
    // A chisel has but one side: atan(4.5/20) = 12.68°.
    bench.click("Right");
    assert_eq!(bench.beside("right side"), ["12.7°"]);
    assert_eq!(bench.beside("together"), ["12.7°"]);
    assert!(!bench.has("left side"));
}
