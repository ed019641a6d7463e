//! The orchard set is what opens first: it must be sound, weigh whole, draw no warning, and name its materials as the catalog does.

use std::path::Path;

use tangwright::catalog::{self, BladeUse, smallest_web_mm};
use tangwright::checks::{Severity, Thresholds, check};
use tangwright::geometry::{Point, circle_gap, outline_faults};
use tangwright::knife::{
    CutShape, Filling, Joint, KnifeSet, LandmarkKind, Purpose, Tang, orchard_set, set_faults,
};
use tangwright::reading::design_file;
use tangwright::weighing::weigh;

fn names(set: &KnifeSet) -> Vec<&str> {
    set.knives.iter().map(|k| k.name.as_str()).collect()
}

#[test]
fn holds_the_four_knives() {
    let set = orchard_set();
    let expected = [
        "Brush chopper",
        "Grafting knife",
        "Picnic knife",
        "Paring knife",
    ];
    assert_eq!(names(&set), expected);
    assert_eq!(set_faults(&set), vec![]);
    for knife in &set.knives {
        let contour = knife.contour();
        assert_eq!(outline_faults(&contour.pieces), vec![], "{}", knife.name);
        for kind in LandmarkKind::ON_EVERY_KNIFE {
            assert!(knife.landmark(kind).is_some(), "{}", kind.name());
        }
        for (i, node) in knife.outline.nodes.iter().enumerate() {
            let n = contour.pieces.len();
            if node.joint == Joint::Smooth {
                let before = contour.pieces[(i + n - 1) % n].direction(1.0).unwrap();
                let after = contour.pieces[i].direction(0.0).unwrap();
                assert!((before - after).hypot() < 1e-9, "kink at {:?}", node.at);
            }
        }
        let hidden = matches!(knife.tang, Tang::Hidden(_));
        assert_eq!(hidden, knife.name == "Paring knife");
        assert_eq!(hidden, knife.guard.is_some());
    }
}

#[test]
fn materials_are_the_catalogs() {
    for material in orchard_set().materials {
        let known = catalog::material(&material.key).unwrap();
        assert_eq!(material.name, known.name);
        for (ours, theirs) in [
            (material.density_g_cm3, known.density_g_cm3),
            (material.density_low, known.density_low),
            (material.density_high, known.density_high),
        ] {
            assert!((ours - theirs).abs() < 1e-12, "{}", material.key);
        }
    }
}

#[test]
fn weighs_whole_and_draws_no_warning() {
    let set = orchard_set();
    for knife in &set.knives {
        let up = weigh(knife, &set);
        assert_eq!(up.missing, vec![], "{}", knife.name);
        assert!(up.total.is_some(), "{}", knife.name);
        assert_eq!(up.guard.is_some(), knife.guard.is_some());
        for finding in check(knife, &set, &up, &Thresholds::default()) {
            let words = finding.text(&|mm| format!("{mm} mm"));
            assert_eq!(finding.severity, Severity::Note, "{}: {words}", knife.name);
        }
    }
}

/// Mass and balance of the blank by the shoelace formula on a polygon with corners 0.001 mm off the outline at most: its area is then within the
/// perimeter times that, 2e-5 of the area on the smallest of the four.
#[test]
fn masses_and_balances_are_those_of_a_fine_polygon() {
    let set = orchard_set();
    for knife in &set.knives {
        let corners = knife.contour().flattened(0.001);
        let next = corners.iter().cycle().skip(1);
        let (mut twice_area, mut six_moment) = (0.0, 0.0);
        for (a, b) in corners.iter().zip(next) {
            let cross = a.x * b.y - b.x * a.y;
            twice_area += cross;
            six_moment += (a.x + b.x) * cross;
        }
        let density = set.material(&knife.stock.material).unwrap().density_g_cm3;
        let mass = twice_area / 2.0 * knife.stock.thickness_mm * density * 1e-3;
        let balance = six_moment / (3.0 * twice_area);
        let mut bare = (**knife).clone();
        bare.cut_outs.clear();
        bare.rows.clear();
        let up = weigh(&bare, &set);
        let got = up.steel.blank_mass_g.unwrap();
        assert!(
            (got / mass - 1.0).abs() < 5e-5,
            "{}: {got} {mass}",
            knife.name
        );
        let got = up.steel.balance_mm.unwrap();
        assert!(
            (got - balance).abs() < 0.01,
            "{}: {got} {balance}",
            knife.name
        );
    }
}

/// Bars before grinding are heavier than finished knives, by up to a half.
#[test]
fn masses_and_balances_are_believable() {
    let set = orchard_set();
    let total = |name: &str| {
        let knife = set.knives.iter().find(|k| k.name == name).unwrap();
        weigh(knife, &set).total.unwrap()
    };
    let chopper = total("Brush chopper");
    let (low, high) = catalog::mass_range_g(BladeUse::Chopper).unwrap();
    assert!(chopper.mass_g > low && chopper.mass_g < 1.5 * high);
    assert!(chopper.balance_mm > 20.0, "weight forward, to chop");
    let (low, high) = catalog::mass_range_g(BladeUse::Utility).unwrap();
    let picnic = total("Picnic knife");
    assert!(picnic.mass_g > low && picnic.mass_g < 1.5 * high);
    assert!(picnic.balance_mm.abs() < 15.0, "balances at the fingers");
    let grafting = total("Grafting knife");
    assert!(
        grafting.balance_mm < 0.0,
        "weight in the hand, for fine work"
    );
}

#[test]
fn webs_are_as_wide_as_practice_asks() {
    let set = orchard_set();
    for knife in &set.knives {
        let contour = knife.contour();
        let holes: Vec<(Point, f64)> = knife
            .all_cut_outs(&contour.index())
            .iter()
            .filter_map(|(_, cut)| match cut.shape {
                CutShape::Round {
                    center,
                    diameter_mm,
                } => Some((center, diameter_mm)),
                _ => None,
            })
            .collect();
        for (i, (center, diameter)) in holes.iter().enumerate() {
            let web = smallest_web_mm(*diameter, knife.stock.thickness_mm);
            let (gap, _) = circle_gap(*center, diameter / 2.0, &contour).unwrap();
            assert!(gap >= web, "{}: {gap} to the side, {web} asked", knife.name);
            for (other, width) in &holes[i + 1..] {
                let between = center.distance(*other) - (diameter + width) / 2.0;
                let web = smallest_web_mm(diameter.max(*width), knife.stock.thickness_mm);
                assert!(between >= web, "{}: {between}, {web} asked", knife.name);
            }
        }
    }
}

#[test]
fn the_chopper_is_drilled_for_its_use() {
    let set = orchard_set();
    let chopper = &set.knives[0];
    let count = |purpose| {
        chopper
            .cut_outs
            .iter()
            .filter(|c| c.purpose == purpose)
            .count()
    };
    assert_eq!(count(Purpose::Pin), 3);
    assert_eq!(count(Purpose::Lanyard), 1);
    let row = &chopper.rows[0];
    assert_eq!((row.count, row.purpose), (3, Purpose::Lightening));
    assert!(
        row.first_diameter_mm > row.last_diameter_mm,
        "the row tapers"
    );
    assert_eq!(row.filling, Filling::Nothing);
    let Tang::Full(tang) = chopper.tang else {
        panic!("the chopper has a full tang");
    };
    assert!(tang.hook_mm > 5.0, "the butt hooks");
    // The row's middle hole lies on the tang's middle line.
    let steel = chopper.contour().index();
    let (center, _) = row.holes(&steel)[1];
    let (low, high) = steel.depth_at(center.x).unwrap();
    assert!((center.y - f64::midpoint(low, high)).abs() < 1e-9);
}

#[test]
fn the_example_file_holds_the_same_set() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard-set.tangwright");
    let bytes = std::fs::read(path).unwrap();
    let read = design_file::read(&bytes).unwrap();
    assert!(
        read == orchard_set(),
        "the file lags behind the set: cargo run --example orchard_set"
    );
    assert_eq!(String::from_utf8(bytes).unwrap(), design_file::write(&read));
}
