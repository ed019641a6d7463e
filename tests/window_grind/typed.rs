//! Every field and button of the Grind card that is not tried elsewhere: what is typed arrives in the knife, and what it does is seen in its weight.

use tangwright::knife::{CutForm, Faces, Rise, Sides};
use tangwright::weighing::GroundWeight;

use super::bench::{Bench, beveled, set, tapered};

fn ground(bench: &Bench) -> GroundWeight {
    let results = bench.0.state().results().of(1).unwrap();
    results.weighed.up.ground.unwrap()
}

/// A bow leaves more steel than the flat of the same height.
#[test]
fn a_bow_is_given_by_its_radius() {
    let mut bench = Bench::new(beveled());
    let flat = ground(&bench).mass_g;
    bench.open("bevel: ");
    bench.click("Convex");
    bench.enter("bow radius", "400");
    let Sides::Both(cut) = bench.grind(0).sides else {
        panic!("both faces alike");
    };
    assert_eq!(cut.form, CutForm::Convex { radius_mm: 400.0 });
    assert_eq!(cut.rise, Rise::even_height(20.0));
    assert!(bench.has("convex 20.0 mm"));
    let full = ground(&bench).mass_g;
    assert!(full > flat + 0.5, "{full} {flat}");
    // A larger radius comes nearer to the flat.
    bench.enter("bow radius", "4000");
    let fuller = ground(&bench).mass_g;
    assert!(fuller < full && fuller > flat, "{fuller} {full} {flat}");
}

#[test]
fn the_edge_is_moved_off_the_middle() {
    let mut bench = Bench::new(beveled());
    assert!(ground(&bench).centroid_mm[2].abs() < 1e-9);
    bench.open("bevel: ");
    bench.enter("edge off middle", "0.1");
    assert_eq!(bench.grind(0).edge_offset_mm, 0.1);
    // Toward the right face: less is gone there.
    assert!(ground(&bench).centroid_mm[2] > 1e-3);
    assert_eq!(bench.0.state().history().undo_depth(), 1);
}

#[test]
fn the_wheel_of_a_plunge_is_typed() {
    let mut bench = Bench::new(beveled());
    let before = ground(&bench).mass_g;
    bench.open("bevel: ");
    bench.enter("plunge radius", "5");
    let line = bench.grind(0).plunge_from.unwrap();
    assert_eq!(line.wheel_radius_mm, 5.0);
    assert!((line.angle_rad.to_degrees() - 80.0).abs() < 1e-9);
    // A larger wheel takes more behind its line.
    assert!(ground(&bench).mass_g < before);
}

#[test]
fn a_second_bevel_comes_with_one_press() {
    let mut bench = Bench::new(beveled());
    let before = ground(&bench).mass_g;
    bench.click("Second bevel");
    let (first, second) = (bench.grind(0), bench.grind(1));
    assert_eq!(
        (second.name.as_str(), second.run),
        ("second bevel", first.run)
    );
    assert!(second.edge_mm == 0.0 && second.after_hardening);
    assert!(matches!(&second.sides, Sides::Both(cut) if matches!(cut.rise, Rise::Angle(_))));
    let up = &bench.0.state().results().of(1).unwrap().weighed.up;
    assert!(up.grinds[1].removed_g > 0.0);
    assert!((ground(&bench).mass_g - before + up.grinds[1].removed_g).abs() < 1e-6);
    assert!(bench.has("second bevel takes"));
    assert_eq!(bench.0.state().history().undo_depth(), 1);
}

#[test]
fn the_core_is_moved_and_layers_yield_as_they_are_told() {
    let mut bench = Bench::new(set());
    bench.open("Layers: ");
    bench.click("Core and cladding");
    bench.enter("core, all of it", "2");
    bench.enter("core off middle", "0.1");
    let stock = bench.knife().stock.clone();
    assert_eq!(stock.layering.core_offset_mm, 0.1);
    // From −0.9 to 1.1, seen from above as well.
    let bar = &bench.0.state().results().of(1).unwrap().bar;
    let core = bar.bands.iter().find(|band| band.place == 0).unwrap();
    for at in &core.along {
        assert!((at.left_mm + 0.9).abs() < 1e-9 && (at.right_mm - 1.1).abs() < 1e-9);
    }
    // A core of 2 and claddings of 1.5 that yield twice as much, 5 mm down to 2.5: k = 2.5/(2/1 + 2·1.5/2) = 0.714286 leaves a core of 1.428571 and
    // claddings of 0.535714.
    let name = stock.layering.outer[0].name.clone();
    bench.open("Forge");
    bench.enter("forged to", "2.5");
    bench.enter(&format!("{name} yields"), "2");
    bench.click("Forge the bar");
    let stock = bench.knife().stock.clone();
    assert!(
        (stock.core_thickness_mm() - 2.0 / 1.4).abs() < 1e-9,
        "{stock:?}"
    );
    assert!((stock.layering.outer[0].thickness_mm - 0.75 / 1.4).abs() < 1e-9);
    assert_eq!(stock.thickness_mm, 2.5);
}

#[test]
fn the_hand_s_tolerance_widens_the_band() {
    let mut bench = Bench::new(beveled());
    let half = |bench: &Bench| ground(bench).mass_band_g.half_width();
    let before = half(&bench);
    bench.enter("held within ±", "0.2");
    assert_eq!(bench.knife().grinding.tolerance_mm, 0.2);
    assert!(half(&bench) > 1.3 * before, "{before} {}", half(&bench));
    bench.enter("held within ±", "0");
    assert!(half(&bench) < before);
}

/// A taper on one face: the other face stays as the bar came, and the station is dragged on the face that is ground.
#[test]
fn a_taper_is_put_on_one_face_and_dragged_there() {
    let mut bench = Bench::new(tapered());
    bench.open("Taper: ");
    bench.click("Right, taper");
    let taper = bench.knife().grinding.taper.clone().unwrap();
    assert_eq!(taper.faces, Faces::Right);
    let left_stays = |bench: &Bench| {
        let results = bench.0.state().results().of(1).unwrap();
        assert!(results.bar.faces.iter().all(|f| f.left_mm == -2.5));
        let at = results.bar.faces_at(240.0).unwrap();
        let station = bench.knife().grinding.taper.clone().unwrap().stations[2];
        assert!((at.right_mm - (station.thickness_mm - 2.5)).abs() < 1e-9);
    };
    left_stays(&bench);
    assert!(ground(&bench).centroid_mm[2] < -0.1, "it leans to the left");
    // A millimeter and a half thicker: down, where the right face lies.
    let strip = bench.0.state().session().strip.unwrap();
    let by = egui::vec2(0.0, (1.5 * strip.px_per_mm) as f32);
    let from = bench.place_of("thickness station 3 at");
    let depth = bench.0.state().history().undo_depth();
    bench.drag(from, by, left_stays);
    let stations = bench.knife().grinding.taper.clone().unwrap().stations;
    assert!(
        (stations[2].thickness_mm - 3.5).abs() < 1e-6,
        "{stations:?}"
    );
    assert_eq!(stations[..2], taper.stations[..2]);
    assert_eq!(bench.0.state().history().undo_depth(), depth + 1);
    bench.click("Left, taper");
    let results = bench.0.state().results().of(1).unwrap();
    assert!(results.bar.faces.iter().all(|f| f.right_mm == 2.5));
}
