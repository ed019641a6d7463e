//! The parts of a block handle and of a guard, sizes by hand.

use super::*;
use crate::knife::{Handle, Knife, KnifeSet, orchard_set};
use crate::sheet::build::{BuildOptions, Share, build_steps};
use crate::weighing::{WeighUp, weigh};

const CHERRY: &str = "Cherry, black (Prunus serotina)";
const BRASS: &str = "Cartridge brass C26000";

/// The paring knife with another handle.
fn paring(change: impl FnOnce(&mut Handle)) -> (Knife, KnifeSet) {
    let set = orchard_set();
    let mut knife = Knife::clone(&set.knives[3]);
    change(knife.handle.as_mut().unwrap());
    (knife, set)
}

fn share(knife: &Knife, set: &KnifeSet, heading: &str) -> Share {
    let mut steps = build_steps([knife], set, BuildOptions::default());
    let place = steps.iter().position(|s| s.heading == heading).unwrap();
    steps.swap_remove(place).shares.swap_remove(0)
}

fn rows(share: &Share) -> Vec<Vec<String>> {
    share.tables().next().unwrap().rows.clone()
}

/// A printed mass is the weigh-up's of that part, to the digits it was printed with.
#[track_caller]
fn weighs(row: &[String], up: &WeighUp, part: &str) {
    let told = row[6].strip_suffix(" g").unwrap();
    let decimals = told.split_once('.').map_or(0, |(_, rest)| rest.len());
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap());
    let weighed = up.parts.iter().find(|p| p.name == part).unwrap().mass_g;
    let told: f64 = told.parse().unwrap();
    assert!(
        told > 0.0 && (told - weighed).abs() <= half + 1e-9,
        "{row:?}: {weighed}"
    );
}

/// From −4 behind the guard to −104; 12 thick in front, 15 in the palm, 13.5 at the butt; 17, 21 and 19 high. One pin of 2.5 mm at −36, where the swell is
/// 12 + 3·32/50 = 13.92.
#[test]
fn a_block_stands_in_the_list_with_its_size_and_mass() {
    let (knife, set) = paring(|_| {});
    let own = share(&knife, &set, "Fit the handle");
    let rows = rows(&own);
    let [block, pin, glue] = &rows[..] else {
        panic!("{rows:?}");
    };
    assert_eq!(block[..6], ["block", "1", "100.0", "21.0", "15.0", CHERRY]);
    assert_eq!(pin[..6], ["pin", "1", "13.9", "2.50 round", "", BRASS]);
    assert_eq!((glue[0].as_str(), glue[4].as_str()), ("glue", "0.30"));
    let up = weigh(&knife, &set);
    weighs(block, &up, "grip 1");
    weighs(glue, &up, "glue");
    assert_eq!(
        own.lines().collect::<Vec<_>>(),
        ["burn the tang in, then glue"]
    );
}

/// Ten millimeters of bolster, fourteen of butt cap. Between its nodes the outline is a cubic whose handles are a third of the way long, so that its height follows
/// `3t² − 2t³`: at −14 `t` is 10/50 and the height 17 + 4·0.104 = 17.42; at −90 `t` is 36/44.3 and the height 21 − 2·0.9078 = 19.18. Swell: at −14
/// 12 + 3·10/50 = 12.6, at −90 15 − 1.5·36/50 = 13.92.
#[test]
fn bolster_and_butt_cap_stand_in_the_list_by_their_names() {
    let (knife, set) = paring(|handle| {
        let grip = handle.parts[0].clone();
        let part = |id, kind, from_x_mm| HandlePart {
            id,
            kind,
            material: "brass_c260".to_owned(),
            from_x_mm,
        };
        handle.parts = vec![
            part(90, PartKind::Bolster, -4.0),
            HandlePart {
                from_x_mm: -14.0,
                ..grip
            },
            part(91, PartKind::ButtCap, -90.0),
        ];
        handle.fixing = Fixing::Block {
            hole: TangHole::Drilled {
                width_mm: 2.6,
                height_mm: 9.8,
                depth_mm: 84.0,
            },
        };
    });
    let own = share(&knife, &set, "Fit the handle");
    let rows = rows(&own);
    let [bolster, block, cap, pin, glue] = &rows[..] else {
        panic!("{rows:?}");
    };
    assert_eq!(
        bolster[..6],
        ["bolster", "1", "10.0", "17.4", "12.6", BRASS]
    );
    assert_eq!(block[..6], ["block", "1", "76.0", "21.0", "15.0", CHERRY]);
    assert_eq!(cap[..6], ["butt cap", "1", "14.0", "19.2", "13.9", BRASS]);
    assert_eq!((pin[0].as_str(), glue[0].as_str()), ("pin", "glue"));
    let up = weigh(&knife, &set);
    for (row, part) in [
        (bolster, "bolster 1"),
        (block, "grip 2"),
        (cap, "butt cap 3"),
        (glue, "glue"),
    ] {
        weighs(row, &up, part);
    }
    // Brass is heavier than cherry.
    assert!(
        up.parts
            .iter()
            .any(|p| p.name == "bolster 1" && p.mass_g > 5.0)
    );
    assert_eq!(
        own.lines().collect::<Vec<_>>(),
        ["hole for the tang 2.6 mm by 9.8 mm, 84.0 mm deep"]
    );
}

/// The guard of the paring knife, 20 × 14 × 4 mm of brass. Its slot goes over the tang with 0.025 mm of play on all sides: 2.00 + 0.05 wide, and 9.20 + 0.05
/// high, the tang being widest behind the rounding of its shoulder. The file's 0.2 mm on either side leave 1.65 mm for a drill; there are as many holes as leave 0.4 mm
/// between them.
#[test]
fn a_guard_is_told_with_slot_and_pilot_holes() {
    let (knife, set) = paring(|_| {});
    let own = share(&knife, &set, "Fit the guard");
    let lines: Vec<&str> = own.lines().collect();
    let [size, mass, slot, pilots] = lines[..] else {
        panic!("{lines:?}");
    };
    assert_eq!(size, format!("20.0 mm by 14.0 mm by 4.0 mm of {BRASS}"));
    let weighed = weigh(&knife, &set).guard.unwrap().mass_g;
    let told = mass
        .strip_prefix("weighs ")
        .and_then(|m| m.strip_suffix(" g"));
    let told: f64 = told.unwrap().parse().unwrap();
    assert!(
        (told - weighed).abs() < 0.5 && weighed > 7.0,
        "{mass} {weighed}"
    );
    assert_eq!(slot, "slot 9.25 mm by 2.05 mm");
    let (count, rest) = pilots.split_once(" pilot holes, drill ").unwrap();
    let drill = rest.strip_suffix(", then file to the line").unwrap();
    let drill = crate::catalog::drills().iter().find(|d| d.label == drill);
    let d = drill.unwrap().diameter_mm;
    assert!((1.6..=1.65).contains(&d), "{d}");
    let fit = ((9.25 - d - 0.4) / (d + 0.4)).floor() + 1.0;
    assert_eq!(count.parse(), Ok(fit), "{pilots}");
}
