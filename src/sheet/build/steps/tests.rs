//! What is told at which step, of the orchard set.

use super::*;
use crate::knife::{Fixing, ForgePlan, ForgeStart, orchard_set};
use crate::units::LengthUnit;

mod foretold;

fn steps() -> Vec<BuildStep> {
    told(&orchard_set(), BuildOptions::default())
}

fn told(set: &KnifeSet, options: BuildOptions) -> Vec<BuildStep> {
    build_steps(set.knives.iter().map(AsRef::as_ref), set, options)
}

fn step(heading: &str) -> BuildStep {
    steps()
        .into_iter()
        .find(|step| step.heading == heading)
        .unwrap()
}

fn lines(share: &Share) -> Vec<&str> {
    share.lines().collect()
}

#[test]
fn the_work_goes_side_by_side_in_its_order() {
    let headings: Vec<&str> = steps().iter().map(|s| s.heading).collect();
    let order: Vec<&str> = STEPS.iter().map(|(heading, _)| *heading).collect();
    // Nothing of the orchard set is ground after hardening.
    let wanted: Vec<&str> = order
        .into_iter()
        .filter(|heading| *heading != "Grind after hardening")
        .collect();
    assert_eq!(headings, wanted);
    // All four are cut, drilled and ground; only the paring knife has a guard.
    assert_eq!(step("Drill before hardening").shares.len(), 4);
    assert_eq!(step("Grind").shares.len(), 4);
    assert_eq!(step("Fit the guard").shares.len(), 1);
    assert_eq!(step("Fit the handle").shares.len(), 2);
}

#[test]
fn knives_told_one_by_one_come_to_the_same_steps() {
    let set = orchard_set();
    let options = BuildOptions::default();
    let each: Vec<ToldKnife> = set
        .knives
        .iter()
        .map(|knife| ToldKnife::new(knife, &set, options))
        .collect();
    let two: Vec<&ToldKnife> = each.iter().skip(1).take(2).collect();
    let directly = build_steps(
        set.knives.iter().skip(1).take(2).map(AsRef::as_ref),
        &set,
        options,
    );
    assert_eq!(steps_of(&two), directly);
}

#[test]
fn holes_are_told_by_their_drills_and_places() {
    // The chopper: three holes of 6.1 mm for pins at −11, −41.5 and −72.5, one of 8 mm for the lanyard.
    let step = step("Drill before hardening");
    let table = step.shares[0].tables().next().unwrap();
    let first = table
        .rows
        .iter()
        .position(|row| row[0] == "3 × 6.10 mm")
        .unwrap();
    assert_eq!(table.rows[first][1..3], ["pin", "6.1 mm"]);
    let set = orchard_set();
    let steel = set.knives[0].contour().index();
    for (row, x) in table.rows[first..].iter().zip([-11.0, -41.5, -72.5]) {
        assert_eq!(row[3], format!("\u{2212}{:.1}", -x), "{row:?}");
        // On the middle line, so half the depth of the tang below its back; its height was rounded to a tenth.
        let (low, high) = steel.depth_at(x).unwrap();
        let below: f64 = row[4].parse().unwrap();
        assert!((below - (high - low) / 2.0).abs() < 0.11, "{row:?}");
    }
    let lanyard = table.rows.iter().find(|row| row[1] == "lanyard").unwrap();
    assert_eq!(lanyard[..3], ["1 × 8.00 mm", "lanyard", "8.0 mm"]);
}

#[test]
fn steels_that_skate_are_annealed_first() {
    let step = step("Drill before hardening");
    // 80CrV2 comes annealed; 52100 is one of those that skate, and so is a forged bar.
    let first = |place: usize| lines(&step.shares[place])[0].to_owned();
    assert!(first(0).contains("if the bar skates"), "{}", first(0));
    for place in [1, 2, 3] {
        assert!(
            first(place).starts_with("Anneal first: Bearing steel"),
            "{}",
            first(place)
        );
    }
    assert!(
        step.cautions.iter().any(|c| c.contains("spheroidize")),
        "{:?}",
        step.cautions
    );
    let set = orchard_set();
    let chopper = build_steps([set.knives[0].as_ref()], &set, BuildOptions::default());
    let drill = chopper
        .iter()
        .find(|s| s.heading == "Drill before hardening")
        .unwrap();
    assert_eq!(drill.cautions.len(), 1, "{:?}", drill.cautions);
}

#[test]
fn a_hole_no_drill_makes_is_drilled_and_reamed() {
    let mut set = orchard_set();
    let knife = std::sync::Arc::make_mut(&mut set.knives[1]);
    knife.cut_outs[0].shape = crate::knife::CutShape::Round {
        center: (-14.0, 0.0).into(),
        diameter_mm: 17.13,
    };
    let steps = told(&set, BuildOptions::default());
    let drill = steps
        .iter()
        .find(|s| s.heading == "Drill before hardening")
        .unwrap();
    let table = drill.shares[1].tables().next().unwrap();
    // 43/64 in is 17.07 mm, which leaves too little to ream; 21/32 in is 16.67 mm.
    let hole = table
        .rows
        .iter()
        .find(|row| row[0] == "1 × 17.13 mm")
        .unwrap();
    assert_eq!(hole[2], "21/32, then ream");
}

#[test]
fn the_fire_step_has_the_makers_words_and_no_figure_of_our_own() {
    let mut set = orchard_set();
    std::sync::Arc::make_mut(&mut set.knives[0]).heat_words =
        "Kiln of the neighbor.\nEdge down.".into();
    let key = set.knives[0].stock.material.clone();
    for material in &mut set.materials {
        if material.key == key {
            "mill sheet 7, page 2".clone_into(&mut material.data_sheet);
        }
    }
    let steps = told(&set, BuildOptions::default());
    let heat = steps
        .iter()
        .find(|s| s.heading == "Heat treatment")
        .unwrap();
    let own = lines(&heat.shares[0]);
    assert!(
        own.contains(&"Your words: Kiln of the neighbor.") && own.contains(&"Edge down."),
        "{own:?}"
    );
    let sheet = "Tool steel 80CrV2 (1.2235), by its maker's sheet: mill sheet 7, page 2";
    assert!(own.contains(&sheet), "{own:?}");
    // Where nothing is noted there is room to write, and no number with a degree sign anywhere.
    let other = lines(&heat.shares[1]).join("\n");
    assert!(
        other.contains("no data sheet is noted") && other.contains("Your words: ____"),
        "{other}"
    );
    for line in heat.shares.iter().flat_map(Share::lines) {
        assert!(!line.contains('°'), "{line}");
    }
    assert!(heat.cautions[0].contains("Local codes and licensed practice come first"));
    assert!(
        heat.cautions[1].contains("gives no recipe"),
        "{:?}",
        heat.cautions
    );
    assert!(heat.cautions.len() >= 6, "{:?}", heat.cautions);
}

#[test]
fn what_the_scale_said_already_is_told() {
    let mut set = orchard_set();
    let knife = std::sync::Arc::make_mut(&mut set.knives[0]);
    let id = knife.take_id();
    knife.weigh_ins.push(crate::knife::WeighIn {
        id,
        stage: crate::knife::Stage::Blank,
        date: "2026-03-04".into(),
        mass_g: 512.0,
        balance_mm: None,
    });
    let steps = told(&set, BuildOptions::default());
    let profile = steps
        .iter()
        .find(|s| s.heading == "Profile to the template")
        .unwrap();
    let last = lines(&profile.shares[0]).pop().unwrap().to_owned();
    assert!(
        last.ends_with("Said: 512.0 g at ______, 2026-03-04"),
        "{last}"
    );
}

/// The grafting knife: two scales as long as the tang is behind the front of the handle, each half of what its swell leaves beside the steel and the
/// two liners of 0.8 mm.
#[test]
fn parts_of_the_handle_have_their_sizes() {
    let set = orchard_set();
    let knife = &set.knives[1];
    let handle = knife.handle.as_ref().unwrap();
    assert!(matches!(handle.fixing, Fixing::Scales { liner: Some(_) }));
    let step = step("Fit the handle");
    let table = step.shares[0].tables().next().unwrap();
    let row = |part: &str| table.rows.iter().find(|row| row[0] == part).unwrap();
    let number = |text: &str| text.parse::<f64>().unwrap();
    let scale = row("scale");
    assert_eq!(scale[1], "2");
    let length = handle.front_x_mm() - knife.contour().bounds().x0;
    assert!((number(&scale[2]) - length).abs() < 0.051, "{scale:?}");
    let swell = handle
        .stations
        .iter()
        .map(|s| s.thickness_mm)
        .fold(0.0, f64::max);
    let each = (swell - knife.stock.thickness_mm) / 2.0 - 0.8;
    assert!((number(&scale[4]) - each).abs() < 0.051, "{scale:?} {each}");
    assert_eq!(row("liner")[1], "2");
    // Two pins of 4 mm, each as long as the handle is thick there; the tube of 5.5 mm has a bore of 4 mm.
    let pins: Vec<_> = table.rows.iter().filter(|row| row[0] == "pin").collect();
    assert_eq!(pins.iter().map(|row| number(&row[1])).sum::<f64>(), 2.0);
    for (x, pin) in [-14.0, -56.0].iter().zip(&pins) {
        assert!(
            (number(&pin[2]) - handle.thickness_at(*x)).abs() < 0.051,
            "{pin:?}"
        );
        assert_eq!(pin[3], "4.00 round");
    }
    assert!(
        table
            .rows
            .iter()
            .any(|r| r[0] == "tube, bore 4.0" && r[1] == "1"),
        "{table:?}"
    );
    // All that is weighed of the handle stands in the list.
    let up = crate::weighing::weigh(knife, &set);
    for (part, name) in [("scale", "grip 1"), ("liner", "liners"), ("glue", "glue")] {
        let weighed = up.parts.iter().find(|p| p.name == name).unwrap().mass_g;
        let told = number(row(part)[6].trim_end_matches(" g"));
        assert!((told - weighed).abs() < 0.6, "{part}: {told} {weighed}");
    }
}

#[test]
fn steel_left_on_widens_the_bar_and_inches_are_told() {
    let set = orchard_set();
    let plain = step("Cut the stock");
    let options = BuildOptions {
        left_on_mm: 0.5,
        ..BuildOptions::default()
    };
    let more = told(&set, options);
    // 370.0 by 55.0 as drawn; a millimeter more each way.
    assert!(lines(&plain.shares[0])[0].starts_with("370.0 mm by "));
    assert!(lines(&more[0].shares[0])[0].starts_with("371.0 mm by "));
    let inches = BuildOptions {
        lengths: LengthFormat {
            unit: LengthUnit::DecimalInch,
            decimals: 3,
        },
        masses: MassUnit::Ounce,
        left_on_mm: 0.0,
    };
    let told = told(&set, inches);
    // 370 mm are 14.567 in.
    assert!(lines(&told[0].shares[0])[0].starts_with("14.567 in by "));
    let weigh = lines(&told[1].shares[0]).pop().unwrap().to_owned();
    assert!(weigh.contains(" oz ± "), "{weigh}");
    // Drills of the maker's own unit, where one is as near: 8 mm is not 5/16 in (7.94 mm), 4 mm is #22 (3.988 mm).
    let drill = told
        .iter()
        .find(|s| s.heading == "Drill before hardening")
        .unwrap();
    let grafting = drill.shares[1].tables().next().unwrap();
    assert!(
        grafting.rows.iter().any(|row| row[2] == "#22"),
        "{grafting:?}"
    );
}

/// The picnic knife from a billet thinned four times: its core of 0.9 is stacked 3.6 thick, its shims of 0.15 0.6, its claddings (0.6 + 0.75)·4 = 5.4, together 15.6. The paring
/// knife from a bar: as long as its blank, grown by the usual allowances and put back what scales off, asks of 20 × 5.
#[test]
fn what_goes_into_the_fire_stands_with_the_stock() {
    let mut set = orchard_set();
    let plain = told(&set, BuildOptions::default());
    let of = |steps: &[BuildStep], place: usize| steps[0].shares[place].clone();
    assert!(lines(&of(&plain, 2)).iter().all(|l| !l.contains("forge")));
    let plan = |set: &mut KnifeSet, place: usize, plan| {
        std::sync::Arc::make_mut(&mut set.knives[place]).forging = Some(plan);
    };
    plan(&mut set, 2, ForgePlan::from_billet());
    let mut bar = ForgePlan::from_bar(&set.knives[3].stock);
    bar.start = ForgeStart::Bar {
        width_mm: 20.0,
        thickness_mm: 5.0,
    };
    plan(&mut set, 3, bar);
    let steps = told(&set, BuildOptions::default());
    assert_eq!(steps[0].heading, "Cut the stock");
    let picnic = of(&steps, 2);
    let table = picnic.tables().next().unwrap();
    assert!(
        table
            .title
            .starts_with("to forge it, stack 15.60 mm of pieces "),
        "{}",
        table.title
    );
    let stacked: Vec<(&str, &str)> = table
        .rows
        .iter()
        .map(|row| (row[0].as_str(), row[2].as_str()))
        .collect();
    let wanted = [
        ("cladding, left", "5.40"),
        ("shim, left", "0.60"),
        ("core", "3.60"),
        ("shim, right", "0.60"),
        ("cladding, right", "5.40"),
    ];
    assert_eq!(stacked, wanted);
    assert!(
        lines(&picnic)
            .iter()
            .any(|l| l.starts_with("forge it down to 3.90 mm: 0.75 mm is left on each face"))
    );
    let paring = of(&steps, 3);
    let contour = set.knives[3].contour();
    let (area, around) = (contour.moments().area, contour.perimeter());
    let forged = (area + 2.0 * around + 4.0 * std::f64::consts::PI) * (2.0 + 1.5);
    let length = forged / 0.975_f64.powi(3) / 100.0;
    let line = format!("to forge it, cut {length:.1} mm off a bar 20.0 mm by 5.00 mm");
    assert!(
        lines(&paring).contains(&line.as_str()),
        "{:?}",
        lines(&paring)
    );
    // Fire in the shop calls for its caution, also of plain steel.
    let alone = build_steps([set.knives[3].as_ref()], &set, BuildOptions::default());
    let before = build_steps(
        [orchard_set().knives[3].as_ref()],
        &set,
        BuildOptions::default(),
    );
    assert!(alone[0].cautions.len() > before[0].cautions.len());
    assert!(alone[0].cautions[0].contains("Local codes"));
}
