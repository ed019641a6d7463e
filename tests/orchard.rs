//! The orchard set is what opens first: it must be sound, weigh whole, draw no warning, and name its materials as the catalog does.

use std::path::Path;

use tangwright::catalog::{self, BladeUse, smallest_web_mm};
use tangwright::checks::{Severity, Thresholds, check};
use tangwright::geometry::{Point, circle_gap, outline_faults};
use tangwright::knife::{
    CutForm, CutShape, Face, Filling, Joint, KnifeSet, LandmarkKind, Purpose, Sides, Tang,
    orchard_set, set_faults,
};
use tangwright::reading::design_file;
use tangwright::thickness::LineKind;
use tangwright::weighing::{Scale, core_mm, weigh};

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
        // Each layer is a plate of its own.
        let density = |key: &str| set.material(key).unwrap().density_g_cm3;
        let outer = &knife.stock.layering.outer;
        let sides: f64 = outer.iter().map(|l| 2.0 * l.thickness_mm).sum();
        let outer = outer
            .iter()
            .map(|l| 2.0 * l.thickness_mm * density(&l.material));
        let core = (knife.stock.thickness_mm - sides) * density(&knife.stock.material);
        let mass = twice_area / 2.0 * (core + outer.sum::<f64>()) * 1e-3;
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

/// Of ground steel, pins and guard, without scales: they must stay below what practice gives for finished knives, and above half of it.
#[test]
fn masses_and_balances_are_believable() {
    let set = orchard_set();
    let total = |name: &str| {
        let knife = set.knives.iter().find(|k| k.name == name).unwrap();
        weigh(knife, &set).total.unwrap()
    };
    let chopper = total("Brush chopper");
    for (name, purpose) in [
        ("Brush chopper", BladeUse::Chopper),
        ("Picnic knife", BladeUse::Utility),
        ("Paring knife", BladeUse::Paring),
    ] {
        let (low, high) = catalog::mass_range_g(purpose).unwrap();
        let mass = total(name).mass_g;
        assert!(mass > 0.5 * low && mass < high, "{name}: {mass} g");
    }
    assert!(chopper.balance_mm > 20.0, "weight forward, to chop");
    let picnic = total("Picnic knife").balance_mm;
    assert!(
        (-30.0..0.0).contains(&picnic),
        "the full tang holds it down"
    );
    let paring = total("Paring knife").balance_mm;
    assert!(
        (-25.0..-5.0).contains(&paring),
        "weight in the hand, to peel: {paring}"
    );
    let grafting = total("Grafting knife");
    assert!(
        grafting.balance_mm < 0.0,
        "weight in the hand, for fine work"
    );
}

/// What each knife shows: a stout bar tapered both ways with a curved false edge, a chisel, three layers, a full flat.
#[test]
fn every_knife_is_ground_in_its_own_way() {
    let set = orchard_set();
    let knife = |name: &str| set.knives.iter().find(|k| k.name == name).unwrap();
    let chopper = knife("Brush chopper");
    let taper = chopper.grinding.taper.as_ref().unwrap();
    let bounds = chopper.contour().bounds();
    let at = |x: f64| taper.thickness_at(x, chopper.stock.thickness_mm);
    assert!(at(bounds.x0) < at(0.0) && at(bounds.x1) < at(0.0));
    let [bevel, false_edge] = &chopper.grinding.grinds[..] else {
        panic!("a bevel and a false edge");
    };
    assert!(bevel.run.is_on_edge() && !false_edge.run.is_on_edge());
    assert!(matches!(&bevel.sides, Sides::Both(cut) if matches!(cut.form, CutForm::Convex { .. })));
    assert!(matches!(&false_edge.sides, Sides::Both(cut) if cut.rise.stations().len() > 2));
    let grafting = &knife("Grafting knife").grinding.grinds;
    assert!(matches!(&grafting[..], [one] if matches!(one.sides, Sides::Right(_))));
    // A core of 30 to 40 percent: common practice, no source.
    let stock = &knife("Picnic knife").stock;
    let outer = stock.layering.outer.iter().map(|l| l.material.as_str());
    assert_eq!(outer.collect::<Vec<_>>(), ["copper_c110", "ss_410"]);
    let share = stock.core_thickness_mm() / stock.thickness_mm;
    assert!((0.3..0.4).contains(&share));
    // A full flat takes in the whole face: it is as high as the blade is deep.
    let paring = knife("Paring knife");
    let deepest = paring.contour().index().largest_depth(0.0, 85.0);
    let Sides::Both(cut) = &paring.grinding.grinds[0].sides else {
        panic!("both faces");
    };
    assert_eq!(cut.form, CutForm::Flat);
    assert!((cut.rise.value_at(0.5) - deepest).abs() < 1.0);
    for knife in &set.knives {
        let up = weigh(knife, &set);
        let ground = up.ground.unwrap();
        assert!(ground.error_bound < 1e-5, "{}", knife.name);
        let ground = ground.mass_g;
        let flat = up.steel.drilled_mass_g.unwrap();
        let share = ground / flat;
        assert!((0.5..0.95).contains(&share), "{}: {share}", knife.name);
    }
}

/// Where bevel and false edge meet, the steel rises from the edge to one ridge and falls from it to the spine; nowhere is it thicker than the tapered
/// bar. It may sag by what the taper takes between two feet of the bevel, one on the belly and one beyond the tip: by a tenth of the 2 mm of the tip.
#[test]
fn the_ridge_of_the_chopper_is_sound() {
    const STEPS: u32 = 4000;
    let set = orchard_set();
    let chopper = &set.knives[0];
    let mut scale = Scale::default();
    let _ = scale.weigh(chopper, &set);
    let blade = scale.blade().unwrap();
    let steel = chopper.contour().index();
    let taper = chopper.grinding.taper.as_ref().unwrap();
    let mut ridges = 0;
    for step in 0..16 {
        let x = 175.0 + 4.8 * f64::from(step);
        let bar = taper.thickness_at(x, chopper.stock.thickness_mm);
        let (low, high) = steel.depth_at(x).unwrap();
        let thick: Vec<f64> = (1..STEPS)
            .map(|i| low + (high - low) * f64::from(i) / f64::from(STEPS))
            .map(|y| blade.place_at(Point::new(x, y)).thickness_mm())
            .collect();
        let top = thick.iter().copied().fold(0.0, f64::max);
        assert!(top < bar + 1e-9, "at {x}: {top} of {bar}");
        assert!(thick[0] >= 0.8 - 1e-9, "the edge is left thick at {x}");
        assert!(*thick.last().unwrap() >= 0.8 - 1e-9, "so is the spine");
        if top > bar - 0.01 {
            continue;
        }
        ridges += 1;
        let summit = thick.iter().position(|t| *t >= top).unwrap();
        let sag = |from_far_side: &mut dyn Iterator<Item = f64>| {
            let mut highest = 0.0_f64;
            from_far_side.fold(0.0_f64, |sag, t| {
                highest = highest.max(t);
                sag.max(highest - t)
            })
        };
        let rising = sag(&mut thick[..summit].iter().copied());
        let falling = sag(&mut thick[summit..].iter().rev().copied());
        assert!(rising < 0.2, "a second ridge below at {x}: {rising}");
        assert!(falling < 0.05, "a second ridge above at {x}: {falling}");
    }
    assert!(ridges >= 3, "the grinds meet near the tip, at {ridges}");
}

/// The edge of 0.4 mm lies within the core of 0.9 mm all along, and the core shows on both faces, before any cladding does.
#[test]
fn the_core_of_the_picnic_knife_reaches_the_edge() {
    let set = orchard_set();
    let picnic = &set.knives[2];
    let mut scale = Scale::default();
    let up = scale.weigh(picnic, &set);
    let (from, to) = core_mm(picnic);
    assert!((from + 0.45).abs() < 1e-12 && (to - 0.45).abs() < 1e-12);
    let blade = scale.blade().unwrap();
    let steel = picnic.contour().index();
    for x in [15.0, 40.0, 70.0, 100.0, 115.0] {
        let (low, _) = steel.depth_at(x).unwrap();
        let edge = blade.place_at(Point::new(x, low + 1e-9));
        assert!((edge.thickness_mm() - 0.4).abs() < 1e-6, "at {x}");
        let above = blade.place_at(Point::new(x, low + 1.0));
        assert!(above.right_mm > edge.right_mm && above.right_mm < to);
        assert!(above.left_mm < -from, "core on the left face too");
    }
    let names: Vec<&str> = up.layers.iter().map(|l| l.name.as_str()).collect();
    let both = [
        "shim, right",
        "shim, left",
        "cladding, right",
        "cladding, left",
    ];
    assert_eq!(names[0], "core");
    assert_eq!(names[1..], both);
    // All is ground from outside in: claddings lose the largest share, the core the least.
    let kept = |i: usize| up.layers[i].ground_mass_g / up.layers[i].blank_mass_g;
    assert!(kept(3) < kept(1) && kept(1) < kept(0) && kept(0) < 1.0);
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

/// The chopper's bevel is bowed on a bar that tapers: its grind line still goes on from the plunge to beneath the false edge, in one piece.
#[test]
fn the_chopper_shows_its_whole_grind_line() {
    let set = orchard_set();
    let knife = &set.knives[0];
    let bevel = knife.grinding.grinds[0].id;
    let mut scale = Scale::default();
    let _ = scale.weigh(knife, &set);
    let relief = scale.relief().expect("it can be ground");
    let line = LineKind::Grind { id: bevel };
    let longest = relief
        .lines
        .iter()
        .filter(|l| l.face == Face::Right && l.kind == line)
        .map(|l| {
            let x = |p: &Point| p.x;
            let (low, high) = l
                .points
                .iter()
                .map(x)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
                    (low.min(x), high.max(x))
                });
            high - low
        })
        .fold(0.0, f64::max);
    assert!(longest > 160.0, "{longest}");
}

/// Wherever the section is taken along an edge, it tells the thickness the grind leaves there: on the run itself too the ground face counts.
#[test]
fn sections_tell_the_edge_that_is_left() {
    let set = orchard_set();
    for (place, high) in [(0, 200.0), (2, 95.0), (3, 60.0)] {
        let knife = &set.knives[place];
        let index = knife.contour().index();
        let left = knife.grinding.grinds[0].edge_mm;
        let mut scale = Scale::default();
        let _ = scale.weigh(knife, &set);
        let blade = scale.blade().expect("it can be ground");
        for step in 0..=200 {
            let x = 30.0 + (high - 30.0) * f64::from(step) / 200.0;
            let edge = blade.section(&index, x).and_then(|s| s.edge);
            let told = edge.expect("there is an edge").thickness_mm;
            assert!((told - left).abs() < 1e-6, "{} at {x}: {told}", knife.name);
        }
    }
}
