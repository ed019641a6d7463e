//! Weigh-ins of knives that really are otherwise than drawn: the cause put in is the cause found, with its size.

use super::*;
use crate::knife::orchard_set;

fn chopper() -> (Knife, KnifeSet) {
    let set = orchard_set();
    (Knife::clone(&set.knives[0]), set)
}

/// What the scale and the finger say of the knife as it really is.
fn said(real: &Knife, set: &KnifeSet, stage: Stage, finger: bool) -> WeighIn {
    let told = StageWeight::of(&weigh(real, set), stage).expect("foretold");
    WeighIn {
        id: 1,
        stage,
        date: "2026-11-26".to_owned(),
        mass_g: told.mass_g,
        balance_mm: finger.then_some(told.balance_mm),
    }
}

fn find(reading: &Reading, wanted: impl Fn(&CauseKind) -> Option<f64>) -> f64 {
    let sizes: Vec<f64> = reading
        .causes
        .iter()
        .filter_map(|c| wanted(&c.kind))
        .collect();
    assert_eq!(sizes.len(), 1, "{reading:?}");
    sizes[0]
}

fn thicker(kind: &CauseKind) -> Option<f64> {
    match kind {
        CauseKind::Thickness { by_mm, .. } => Some(*by_mm),
        _ => None,
    }
}

fn denser(kind: &CauseKind) -> Option<f64> {
    match kind {
        CauseKind::Density { by_g_cm3, .. } => Some(*by_g_cm3),
        _ => None,
    }
}

fn higher(kind: &CauseKind) -> Option<f64> {
    match kind {
        CauseKind::Bevel { by_mm, .. } => Some(*by_mm),
        _ => None,
    }
}

/// A flat blank is as heavy as it is thick: 0.12 mm on 5 mm are 2.4 %.
#[test]
fn a_thicker_bar_is_found_by_its_very_size() {
    let (knife, set) = chopper();
    let mut real = knife.clone();
    real.stock.thickness_mm += 0.12;
    let reading = read_weigh_in(&knife, &set, &said(&real, &set, Stage::Blank, true)).unwrap();
    assert!((reading.off_g / reading.foretold_g - 0.12 / 5.0).abs() < 1e-9);
    assert!((find(&reading, thicker) - 0.12).abs() < 1e-4, "{reading:?}");
    // 0.8 of its tolerance, and far beyond the spread of densities.
    assert!(matches!(
        reading.causes[0].kind,
        CauseKind::Thickness { .. }
    ));
    assert_eq!(reading.alike, 1, "{reading:?}");
    assert!((find(&reading, denser) - 0.024 * 7.85).abs() < 1e-3);
    assert!(reading.is_expected());
}

#[test]
fn a_small_difference_may_be_either() {
    let (knife, set) = chopper();
    let mut real_set = set.clone();
    for material in &mut real_set.materials {
        if material.key == knife.stock.material {
            material.density_g_cm3 = 7.82;
        }
    }
    let reading = read_weigh_in(
        &knife,
        &set,
        &said(&knife, &real_set, Stage::Drilled, false),
    )
    .unwrap();
    assert!((find(&reading, denser) + 0.03).abs() < 1e-6);
    assert!((find(&reading, thicker) + 5.0 * 0.03 / 7.85).abs() < 1e-4);
    assert_eq!(reading.alike, 2, "{reading:?}");
}

#[test]
fn a_lower_bevel_is_told_from_a_thicker_bar_by_the_finger() {
    let (knife, set) = chopper();
    let mut real = knife.clone();
    let highest = 32.0;
    for cut in real.grinding.grinds[0].sides.cuts_mut() {
        cut.rise = cut.rise.times_as_high(1.0 - 2.5 / highest);
    }
    let reading = read_weigh_in(&knife, &set, &said(&real, &set, Stage::Ground, true)).unwrap();
    assert!(
        reading.off_g > 1.0,
        "a lower bevel leaves steel: {reading:?}"
    );
    assert!((find(&reading, higher) + 2.5).abs() < 0.02, "{reading:?}");
    let of = |wanted: fn(&CauseKind) -> Option<f64>| {
        let found = reading.causes.iter().find(|c| wanted(&c.kind).is_some());
        found.and_then(|c| c.leaves_mm).unwrap()
    };
    assert!(of(higher).abs() < 0.02, "it explains the balance whole");
    assert!(of(denser).abs() > 0.2, "{reading:?}");
    // The taper takes the bar to its own thickness, so a thicker bar explains nothing here.
    assert!(reading.causes.iter().all(|c| thicker(&c.kind).is_none()));
}

/// Whatever cause is taken for true, the knife then weighs what the scale said.
#[test]
fn a_cause_taken_over_makes_the_scale_right() {
    let set = orchard_set();
    for own in &set.knives {
        let knife = Knife::clone(own);
        let mass = StageWeight::of(&weigh(&knife, &set), Stage::Ground)
            .unwrap()
            .mass_g;
        let weigh_in = WeighIn {
            id: 1,
            stage: Stage::Ground,
            date: "2026-11-26".to_owned(),
            mass_g: mass * 1.03,
            balance_mm: None,
        };
        let reading = read_weigh_in(&knife, &set, &weigh_in).unwrap();
        assert!(reading.causes.len() >= 2, "{}: {reading:?}", knife.name);
        for cause in &reading.causes {
            let (mut real, mut real_set) = (knife.clone(), set.clone());
            match cause.kind.corrected(&knife, &set).unwrap() {
                Corrected::Stock(stock) => real.stock = stock,
                Corrected::Materials(materials) => {
                    for own in &mut real_set.materials {
                        if let Some(new) = materials.iter().find(|m| m.key == own.key) {
                            *own = new.clone();
                        }
                    }
                }
                Corrected::Grind(grind) => {
                    let place = real.grinding.grinds.iter().position(|g| g.id == grind.id);
                    real.grinding.grinds[place.unwrap()] = grind;
                }
            }
            let now = StageWeight::of(&weigh(&real, &real_set), Stage::Ground)
                .unwrap()
                .mass_g;
            let off = (now / weigh_in.mass_g - 1.0).abs();
            assert!(off < 1e-5, "{}: {cause:?} gives {now}", knife.name);
        }
    }
}

#[test]
fn a_scale_that_is_right_asks_for_no_cause() {
    let (knife, set) = chopper();
    let mut weigh_in = said(&knife, &set, Stage::Finished, true);
    weigh_in.mass_g += 0.3;
    let reading = read_weigh_in(&knife, &set, &weigh_in).unwrap();
    assert_eq!((reading.causes.len(), reading.alike), (0, 0));
    assert!((reading.off_g - 0.3).abs() < 1e-9 && reading.off_mm == Some(0.0));
}

#[test]
fn without_numbers_there_is_no_reading() {
    let (mut knife, set) = chopper();
    let weigh_in = said(&knife, &set, Stage::Ground, false);
    "nobody's".clone_into(&mut knife.stock.material);
    assert_eq!(read_weigh_in(&knife, &set, &weigh_in), None);
    // A mass no cause explains: three times as heavy.
    let (knife, _) = chopper();
    let heavy = WeighIn {
        mass_g: 3.0 * weigh_in.mass_g,
        ..weigh_in
    };
    let reading = read_weigh_in(&knife, &set, &heavy).unwrap();
    assert!(reading.causes.is_empty() && !reading.is_expected());
}
