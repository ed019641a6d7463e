//! Wanted angles, bands of core, masses and balances on the Grind card: answered, and taken only when asked.

use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::edit::Edit;
use tangwright::knife::Knife;
use tangwright::weighing::{GroundWeight, weigh};
use tangwright::window::Action;

use super::bench::{Bench, beveled, clad, height, set, tapered, tapered_and_beveled};

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
    let mut bench = Bench::new(clad());
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

/// The ground steel of a knife, weighed anew.
fn ground(knife: &Knife) -> GroundWeight {
    weigh(knife, &set()).ground.unwrap()
}

/// A wanted balance has two answers as well: a thinner taper, which takes steel from the front, and a higher bevel. Each is taken, weighed again and undone.
#[test]
fn a_wanted_balance_is_answered_by_taper_and_bevel() {
    let mut bench = Bench::new(tapered_and_beveled());
    let before = bench.knife();
    bench.open("bevel: ");
    bench.open("Wanted");
    let wanted = ((ground(&before).balance_mm - 1.5) * 10.0).round() / 10.0;
    bench.enter("wanted balance, ground", &format!("{wanted}"));
    assert_eq!(bench.knife(), before, "only shown");
    assert!(!bench.has("nearest: "));
    bench.open("Take taper to");
    let taken = bench.knife();
    let found = ground(&taken).balance_mm;
    assert!((found - wanted).abs() < 0.01, "{found} {wanted}");
    assert_eq!(taken.grinding.grinds, before.grinding.grinds);
    let last = |knife: &Knife| {
        *knife
            .grinding
            .taper
            .as_ref()
            .unwrap()
            .stations
            .last()
            .unwrap()
    };
    assert!(last(&taken).thickness_mm < last(&before).thickness_mm);
    assert_eq!(
        bench.0.state().history().undo_label(),
        Some("taper for a wanted weight")
    );
    bench.undo();
    assert_eq!(bench.knife(), before);
    bench.open("Take bevel ");
    let taken = bench.knife();
    let found = ground(&taken).balance_mm;
    assert!((found - wanted).abs() < 0.01, "{found} {wanted}");
    assert_eq!(taken.grinding.taper, before.grinding.taper);
    assert!(height(&bench) > 20.0, "{}", height(&bench));
    bench.undo();
    assert_eq!(bench.knife(), before);
}

/// A hollow on a wheel of 150 that shall leave the edge at 3°: with 5 mm of steel and 0.5 mm left a rise of 2.25, so
/// √(150² − (150·cos 3° − 2.25)²) − 150·sin 3° = 19.17998 mm; a bow of 300 at 9°: 300·sin 9° − √(300² − (300·cos 9° + 2.25)²) = 17.53621 (geometry of the circle).
#[test]
fn a_wanted_angle_is_answered_for_hollow_and_bow() {
    for (form, label, radius, wanted, high) in [
        ("Hollow", "wheel radius", "150", "3", 19.1799805),
        ("Convex", "bow radius", "300", "9", 17.5362073),
    ] {
        let mut bench = Bench::new(beveled());
        bench.open("bevel: ");
        bench.click(form);
        bench.enter(label, radius);
        let before = bench.set();
        bench.open("Wanted: ");
        bench.enter("wanted angle, one side", wanted);
        assert_eq!(bench.set(), before, "only shown");
        bench.open("Take bevel ");
        assert!(
            (height(&bench) - high).abs() < 1e-5,
            "{form}: {}",
            height(&bench)
        );
        // The section tells that angle right at the edge.
        bench.enter("section at", "120");
        let told = format!("{wanted}.0°");
        assert_eq!(bench.beside("each side"), [told]);
    }
    // What no such circle does is said.
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.click("Convex");
    bench.enter("bow radius", "60");
    bench.open("Wanted: ");
    bench.enter("wanted angle, one side", "9");
    assert!(bench.has("meets the face: take a larger radius"));
    assert!(!bench.has("Take bevel "));
}

/// Where each face is ground in its own way one of them is asked about, and only that one is raised: 2.25/tan 5° = 25.72 mm on the left face.
#[test]
fn a_wanted_angle_is_asked_of_one_face_where_they_differ() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.click("Each its own");
    bench.enter("bevel height, left", "12");
    bench.open("Wanted: ");
    bench.click("Left, wanted");
    assert!(bench.has("now 10.6°"), "atan(2.25/12)");
    bench.enter("wanted angle, one side", "5");
    bench.click("Take bevel 25.72 mm high");
    let tangwright::knife::Sides::Each { right, left } = bench.grind(0).sides else {
        panic!("each face its own");
    };
    assert_eq!(right.rise.value_at(0.5), 20.0);
    let exact = 2.25 / 5f64.to_radians().tan();
    assert!((left.rise.value_at(0.5) - exact).abs() < 1e-9);
    bench.click("Right, wanted");
    bench.open("Take bevel ");
    let tangwright::knife::Sides::Each { right, left } = bench.grind(0).sides else {
        panic!("each face its own");
    };
    assert!((right.rise.value_at(0.5) - exact).abs() < 1e-9);
    assert!((left.rise.value_at(0.5) - exact).abs() < 1e-9);
}
