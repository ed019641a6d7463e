//! The Grind card: what is typed and switched on it.

use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::edit::Edit;
use tangwright::knife::{CutForm, Knife, LandmarkKind, Layer, Rise, Sides};
use tangwright::window::Action;

use super::bench::{Bench, beveled, height, hunter, set, tapered};

#[test]
fn an_empty_card_says_what_to_do_and_a_bevel_comes_with_one_press() {
    let mut bench = Bench::new(hunter());
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
    let mut bench = Bench::new(hunter());
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
    let mut bench = Bench::new(hunter());
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

/// 5 mm with 0.5 mm left on the edge: the middle at 2.5, the edge's sides at (5 ∓ 0.5)/2 off the right face.
#[test]
fn what_to_scribe_first_stands_with_the_grind() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.open("Scribe first: ");
    assert!(bench.has("2.50") && bench.has("2.25, 2.75"));
    assert!(bench.has("before any grinding starts"));
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
fn the_weigh_up_tells_what_each_grind_takes_and_how_the_weight_leans() {
    let mut bench = Bench::new(beveled());
    let up = bench.0.state().results().of(1).unwrap().weigh.clone();
    let (drilled, ground) = (up.steel.drilled_mass_g.unwrap(), up.ground.unwrap());
    assert!((drilled - up.grinds[0].removed_g - ground.mass_g).abs() < 1e-3);
    assert!(bench.has("bevel takes"));
    assert!(!bench.has("weight leans"), "both faces are ground alike");
    bench.open("bevel: ");
    bench.click("Right");
    // Steel is gone from the right face only.
    let up = bench.0.state().results().of(1).unwrap().weigh.clone();
    assert!(up.ground.unwrap().centroid_mm[2] < -0.05);
    assert!(bench.has("weight leans") && bench.has("to the left"));
}

#[test]
fn a_grind_that_can_not_be_ground_says_why_on_its_card_and_a_finding_opens_it() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.click("Convex");
    bench.enter("bow radius", "2");
    let up = bench.0.state().results().of(1).unwrap().weigh.clone();
    assert!(up.ground.is_none());
    assert!(bench.has("can't reach from the edge to the grind line"));
    // A bevel taller than the blade is a finding that leads to the grind.
    bench.click("Flat");
    bench.enter("bevel height", "60");
    bench.open("bevel: ");
    assert!(!bench.has("left on the edge"), "it was shut");
    bench.open("findings: ");
    bench.open("tall where the blade is");
    assert!(bench.has("left on the edge"));
}

/// A wanted mass is answered by the bevel and by the taper; nothing changes until one is taken, and one undo brings the knife back.
#[test]
fn a_wanted_mass_is_answered_and_taken_only_when_asked() {
    let mut bench = Bench::new(tapered());
    bench.click("Bevel");
    let before = bench.knife();
    bench.open("Wanted");
    let scale = |knife: &Knife| {
        let up = tangwright::weighing::weigh(knife, &set());
        up.ground.unwrap().mass_g
    };
    let wanted = (scale(&before) - 20.0).round();
    bench.enter("wanted mass, ground", &format!("{wanted}"));
    assert!(bench.has("bevel") && bench.has("taper to"));
    assert_eq!(bench.knife(), before, "only shown");
    bench.open("Take taper to");
    let taken = bench.knife();
    assert!((scale(&taken) - wanted).abs() < 0.01, "{}", scale(&taken));
    bench.undo();
    assert_eq!(bench.knife(), before);
}

/// What can't be reached says so with the nearest that can.
#[test]
fn a_wanted_balance_out_of_reach_is_told() {
    let mut bench = Bench::new(tapered());
    bench.click("Bevel");
    bench.open("Wanted");
    bench.enter("wanted balance, ground", "900");
    assert!(bench.has("nearest: "));
}

/// The answers hang on the density too: with lighter steel the same mass asks for less grinding.
#[test]
fn another_density_is_answered_anew() {
    let mut bench = Bench::new(tapered());
    bench.click("Bevel");
    bench.open("Wanted");
    let up = tangwright::weighing::weigh(&bench.knife(), &set());
    let wanted = (up.ground.unwrap().mass_g - 20.0).round();
    bench.enter("wanted mass, ground", &format!("{wanted}"));
    let told = |bench: &Bench| {
        let buttons = bench.0.query_all_by_label_contains("Take taper to");
        let labels: Vec<_> = buttons.map(|b| b.accesskit_node().label()).collect();
        assert_eq!(labels.len(), 1);
        labels
    };
    let before = told(&bench);
    let mut material = bench.set().materials[0].clone();
    material.density_g_cm3 -= 0.02;
    bench
        .0
        .state_mut()
        .ask(Action::Edit(Edit::SetMaterial { material }));
    bench.0.run_steps(4);
    assert_ne!(told(&bench), before);
}
