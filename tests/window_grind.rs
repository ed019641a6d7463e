//! Grinds, tapers and layers in the window: typed on the Grind card, dragged on the knife from above, undone in one step.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

use std::sync::Arc;

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::edit::Thing;
use tangwright::knife::{
    Cut, CutForm, Faces, Grind, Knife, KnifeSet, LandmarkKind, Layer, Material, PlungeLine, Rise,
    Run, Sides, Taper, ThicknessStation, default_sizes, make_starter,
};
use tangwright::window::{Gesture, Workshop};

fn set() -> KnifeSet {
    let sizes = default_sizes("chopper").unwrap();
    let mut knife = make_starter("chopper", &sizes, "steel").unwrap();
    knife.id = 1;
    KnifeSet {
        name: "test bench".into(),
        knives: vec![Arc::new(knife)],
        materials: vec![Material {
            key: "steel".into(),
            name: "Plain steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
        }],
        next_id: 2,
    }
}

/// The chopper, 5 mm thick, tapered to 3 mm at the butt and 2 mm at 250.
fn tapered() -> KnifeSet {
    let mut set = set();
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    set.knife_mut(1).unwrap().grinding.taper = Some(Taper {
        stations: vec![station(-110.0, 3.0), station(0.0, 5.0), station(240.0, 2.0)],
        faces: Faces::Both,
    });
    set
}

struct Bench(Harness<'static, Workshop>);

impl Bench {
    fn new(set: KnifeSet) -> Self {
        let harness = Harness::builder()
            .with_size(egui::vec2(1440.0, 1400.0))
            .with_max_steps(60)
            .with_step_dt(1.0 / 60.0)
            .build_eframe(|_| Workshop::new(set));
        let mut bench = Self(harness);
        bench.0.run_steps(4);
        bench
    }

    fn set(&self) -> KnifeSet {
        self.0.state().history().set().clone()
    }

    fn knife(&self) -> Arc<Knife> {
        Arc::clone(self.set().knife(1).unwrap())
    }

    fn grind(&self, place: usize) -> Grind {
        self.knife().grinding.grinds[place].clone()
    }

    fn click(&mut self, label: &str) {
        self.0.get_by_label(label).click();
        self.0.run_steps(4);
    }

    /// Opens the part of the card whose line begins with these words.
    fn open(&mut self, words: &str) {
        let line = self.0.query_all_by_label_contains(words).next().unwrap();
        line.click();
        self.0.run_steps(4);
    }

    fn press(&mut self, key: Key, modifiers: Modifiers) {
        self.0.key_down_modifiers(modifiers, key);
        self.0.run_steps(1);
        self.0.key_up_modifiers(modifiers, key);
        self.0.run_steps(3);
    }

    fn enter(&mut self, label: &str, text: &str) {
        self.0.get_by_label(label).focus();
        self.0.run_steps(2);
        self.0.get_by_label(label).type_text(text);
        self.0.run_steps(2);
        self.press(Key::Enter, Modifiers::NONE);
    }

    fn has(&self, words: &str) -> bool {
        self.0.query_all_by_label_contains(words).next().is_some()
    }

    fn undo(&mut self) {
        self.0.state_mut().ask(tangwright::window::Action::Undo);
        self.0.run_steps(3);
    }

    fn button(&mut self, pos: Pos2, pressed: bool) {
        self.0.event(Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        self.0.run_steps(1);
    }

    fn move_to(&mut self, pos: Pos2) {
        self.0.event(Event::PointerMoved(pos));
        self.0.run_steps(1);
    }

    /// Where a control of the drawing is.
    fn place_of(&self, words: &str) -> Pos2 {
        let found = self.0.query_all_by_label_contains(words).next();
        found.unwrap().rect().center()
    }

    fn mass(&self) -> f64 {
        let results = self.0.state().results().of(1).unwrap();
        results.weigh.total.unwrap().mass_g
    }
}

#[test]
fn an_empty_card_says_what_to_do_and_a_bevel_comes_with_one_press() {
    let mut bench = Bench::new(set());
    assert!(bench.has("Nothing is ground yet"));
    let before = bench.set();
    bench.click("Bevel");
    let grind = bench.grind(0);
    assert_eq!(grind.run.to, LandmarkKind::Tip);
    assert!(!bench.has("Nothing is ground yet"));
    // It is open, and everything on it is one edit of its own.
    bench.enter("bevel height", "20");
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    assert_eq!(cut.rise, Rise::even_height(20.0));
    assert!(bench.has("flat 20.0 mm"));
    bench.enter("left on the edge", "0.4");
    assert_eq!(bench.grind(0).edge_mm, 0.4);
    assert_eq!(bench.0.state().history().undo_depth(), 3);
    for _ in 0..3 {
        bench.undo();
    }
    assert_eq!(bench.set(), before);
}

#[test]
fn form_faces_and_ends_are_switched_in_words() {
    let mut bench = Bench::new(set());
    bench.click("Bevel");
    bench.enter("bevel height", "20");
    bench.click("Hollow");
    bench.enter("wheel radius", "150");
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    assert_eq!(
        cut.form,
        CutForm::Hollow {
            wheel_radius_mm: 150.0
        }
    );
    bench.click("Flat");
    bench.click("Each its own");
    bench.enter("bevel height, left", "12");
    let Sides::Each { right, left } = bench.grind(0).sides else {
        panic!("each face its own");
    };
    assert_eq!(right.rise, Rise::even_height(20.0));
    assert_eq!(left.rise, Rise::even_height(12.0));
    bench.click("Right");
    assert!(bench.grind(0).sides.is_chisel());
    bench.click("By angle");
    bench.enter("angle, one side", "12");
    let Sides::Right(cut) = bench.grind(0).sides else {
        panic!("the right face alone");
    };
    assert_eq!(cut.rise, Rise::even_angle(12f64.to_radians()));
    let start = bench.grind(0).run.from;
    bench.click(&format!("Square, {}", start.name()));
    assert_eq!(bench.grind(0).plunge_from, None);
    bench.click(&format!("On a plunge line, {}", start.name()));
    bench.enter("plunge angle", "70");
    let plunge = bench.grind(0).plunge_from.unwrap();
    assert!((plunge.angle_rad.to_degrees() - 70.0).abs() < 1e-9);
    bench.click("Ground after hardening");
    assert!(bench.grind(0).after_hardening);
    assert!(bench.has("keep it cool"));
}

#[test]
fn a_rise_is_shaped_at_places_along_the_run() {
    let mut bench = Bench::new(set());
    bench.click("Bevel");
    bench.enter("bevel height", "20");
    bench.click("Vary along");
    bench.enter("bevel height 2", "10");
    bench.click("Add place");
    bench.enter("place 2, % along", "75");
    bench.enter("bevel height 2", "18");
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    let stations: Vec<(f64, f64)> = cut
        .rise
        .stations()
        .iter()
        .map(|s| (s.at, s.value))
        .collect();
    assert_eq!(stations, [(0.0, 20.0), (0.75, 18.0), (1.0, 10.0)]);
    assert!(bench.has("flat 10.0 to 20.0 mm"));
    bench.click("Remove place 3");
    bench.click("Remove place 2");
    assert!(bench.has("flat 20.0 mm"));
}

#[test]
fn grinds_change_their_turn_and_are_taken_away() {
    let mut bench = Bench::new(set());
    bench.click("Bevel");
    bench.click("False edge");
    let names = |bench: &Bench| -> Vec<String> {
        let knife = bench.knife();
        knife
            .grinding
            .grinds
            .iter()
            .map(|g| g.name.clone())
            .collect()
    };
    let [first, second] = &names(&bench)[..] else {
        panic!("two grinds");
    };
    let (first, second) = (first.clone(), second.clone());
    assert!(bench.knife().landmark(LandmarkKind::FalseEdge).is_some());
    // The one just added is open.
    bench.click("Earlier");
    assert_eq!(names(&bench), [second.clone(), first.clone()]);
    bench.click("Later");
    bench.click("Remove");
    assert_eq!(names(&bench), [first]);
    bench.click("Fuller");
    bench.enter("nose radius", "6");
    assert_eq!(bench.knife().grinding.fullers[0].nose_radius_mm, 6.0);
    bench.click("Remove fuller");
    assert!(bench.knife().grinding.fullers.is_empty());
}

#[test]
fn a_bar_becomes_three_layers_and_takes_a_shim() {
    let mut bench = Bench::new(set());
    let before = bench.set();
    bench.open("Layers: ");
    bench.click("Core and cladding");
    let stock = bench.knife().stock.clone();
    assert!(stock.is_laminated());
    let all: f64 = stock.laid_layers().iter().map(|l| l.thickness_mm()).sum();
    assert!((all - 5.0).abs() < 1e-12);
    let outer = stock.layering.outer[0].material.clone();
    assert!(bench.set().material(&outer).is_some());
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    // The cladding makes room for a thicker core: (5 − 2) / 2 = 1.5 on each side.
    bench.enter("core, all of it", "2");
    assert!((bench.knife().stock.layering.outer[0].thickness_mm - 1.5).abs() < 1e-12);
    bench.click("Add shim");
    bench.enter("1, each side", "0.25");
    let stock = bench.knife().stock.clone();
    // 5 − 2·(1.5 + 0.25) = 1.5.
    assert!((stock.core_thickness_mm() - 1.5).abs() < 1e-12);
    bench.enter("layers wander ±", "0.3");
    assert_eq!(bench.knife().stock.layering.waviness_mm, 0.3);
    bench.click("Remove shim");
    assert_eq!(bench.knife().stock.layering.outer.len(), 1);
    // 5 mm of 2 core and twice 1.5 cladding, forged to half: 1 and twice 0.75.
    bench.open("Forge: ");
    bench.enter("forged to", "2.5");
    bench.click("Forge the bar");
    let stock = bench.knife().stock.clone();
    assert!((stock.core_thickness_mm() - 1.0).abs() < 1e-9, "{stock:?}");
    assert!((stock.layering.outer[0].thickness_mm - 0.75).abs() < 1e-9);
    bench.undo();
    bench.click("Plain steel");
    assert!(!bench.knife().stock.is_laminated());
    for _ in 0..7 {
        bench.undo();
    }
    assert_eq!(bench.set(), before);
}

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

/// The chopper with an even flat bevel of 20 mm on its edge.
fn beveled() -> KnifeSet {
    let mut set = set();
    let knife = set.knife_mut(1).unwrap();
    knife.grinding.grinds.push(Grind {
        id: knife.next_id,
        name: "bevel".into(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(20.0),
        }),
        edge_mm: 0.5,
        edge_offset_mm: 0.0,
        plunge_from: Some(PlungeLine {
            angle_rad: 80f64.to_radians(),
            wheel_radius_mm: 2.0,
        }),
        plunge_to: None,
        after_hardening: false,
    });
    knife.next_id += 1;
    set
}

fn height(bench: &Bench) -> f64 {
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    cut.rise.value_at(0.5)
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

/// With 5 mm of steel and 0.5 mm left on the edge a side of 5° needs (5 − 0.5)/2 / tan 5° = 25.72 mm.
#[test]
fn a_wanted_angle_is_answered_and_taken_only_when_asked() {
    let mut bench = Bench::new(beveled());
    let start = bench.set();
    bench.open("bevel: ");
    bench.open("Wanted: ");
    bench.enter("wanted angle, one side", "5");
    assert_eq!(bench.set(), start);
    bench.click("Take bevel 25.72 mm high");
    let exact = 2.25 / 5f64.to_radians().tan();
    assert!((height(&bench) - exact).abs() < 1e-9, "{}", height(&bench));
    assert_eq!(bench.0.state().history().undo_depth(), 1);
    bench.enter("wanted angle, one side", "95");
    assert!(bench.has("between 0 and 90"));
}

/// A core of 2 mm under an edge of 0.5: it shows over h·(2 − 0.5)/(5 − 0.5) = h/3, so 8 mm need a bevel of 24 mm, or at 20 mm a core of
/// 0.5 + 4.5·8/20 = 2.3 mm.
#[test]
fn a_wanted_band_of_core_has_two_answers() {
    let mut set = beveled();
    let outer = Layer {
        name: "cladding".into(),
        material: "steel".into(),
        thickness_mm: 1.5,
    };
    set.knife_mut(1).unwrap().stock.layering.outer.push(outer);
    let mut bench = Bench::new(set);
    bench.open("bevel: ");
    bench.open("Wanted: ");
    bench.enter("wanted band of core", "8");
    assert!(bench.has("Take bevel 24.00 mm high"));
    bench.click("Take core 2.30 mm thick");
    assert!((bench.knife().stock.core_thickness_mm() - 2.3).abs() < 1e-9);
    assert_eq!(
        bench.0.state().history().undo_label(),
        Some("change core for its band")
    );
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
    let node = bench.0.query_all_by_label_contains("2.7").next();
    assert!(node.is_some(), "thickness 10 mm behind the edge");
    bench.enter("furthest", "20");
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
