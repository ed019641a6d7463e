//! The Grind card: what is typed and switched on it.

use tangwright::knife::{CutForm, LandmarkKind, Rise, Sides};

use super::bench::{Bench, beveled, hunter, set};

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
    bench.click(&format!("Plunge line, {}", start.name()));
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

#[test]
fn the_weigh_up_tells_what_each_grind_takes_and_how_the_weight_leans() {
    let mut bench = Bench::new(beveled());
    let up = bench.0.state().results().of(1).unwrap().weighed.up.clone();
    let (drilled, ground) = (up.steel.drilled_mass_g.unwrap(), up.ground.unwrap());
    assert!((drilled - up.grinds[0].removed_g - ground.mass_g).abs() < 1e-3);
    assert!(bench.has("bevel takes"));
    assert!(!bench.has("weight leans"), "both faces are ground alike");
    bench.open("bevel: ");
    bench.click("Right");
    // Steel is gone from the right face only.
    let up = bench.0.state().results().of(1).unwrap().weighed.up.clone();
    assert!(up.ground.unwrap().centroid_mm[2] < -0.05);
    assert!(bench.has("weight leans") && bench.has("to the left"));
}

#[test]
fn a_grind_that_can_not_be_ground_says_why_on_its_card_and_a_finding_opens_it() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.click("Convex");
    bench.enter("bow radius", "2");
    let up = bench.0.state().results().of(1).unwrap().weighed.up.clone();
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
