//! What the scale is foretold at each stage: as weighed, and by hand for a plate of nothing but area, thickness and density.

use super::*;
use crate::knife::{CutOut, CutShape, Filling, FullTang, Material, Node, Outline, Purpose};
use crate::knife::{Stage, Stock, Tang};
use crate::weighing::{StageWeight, weigh};

/// The steps that end on the scale, and what lies on it then.
const WEIGHED: [(&str, Stage); 4] = [
    ("Profile to the template", Stage::Blank),
    ("Drill before hardening", Stage::Drilled),
    ("Grind", Stage::Ground),
    ("Finish and weigh", Stage::Finished),
];

/// A printed number, and half the step of its last digit.
fn printed(text: &str) -> (f64, f64) {
    let plain = text.trim_start_matches('+').replace('\u{2212}', "-");
    let decimals = plain.split_once('.').map_or(0, |(_, rest)| rest.len());
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap());
    (plain.parse().unwrap_or_else(|_| panic!("{text}")), half)
}

/// Mass, its doubt and the balance of a line `On the scale: 599 g ± 21 g, balances at +79.7 mm. Said: …`.
fn foretold(line: &str) -> [(f64, f64); 3] {
    let rest = line.strip_prefix("On the scale: ").expect(line);
    let rest = rest
        .strip_suffix(" mm. Said: ______ at ______")
        .expect(line);
    let (masses, at) = rest.split_once(", balances at ").expect(line);
    let (mass, half) = masses.split_once(" ± ").expect(line);
    let grams = |text: &str| printed(text.strip_suffix(" g").expect(line));
    [grams(mass), grams(half), printed(at)]
}

#[track_caller]
fn tells(line: &str, wanted: [f64; 3]) {
    for ((told, half), wanted) in foretold(line).into_iter().zip(wanted) {
        assert!((told - wanted).abs() <= half + 1e-9, "{line}: {wanted}");
    }
}

fn last_line(share: &Share) -> &str {
    share.lines().last().unwrap()
}

#[test]
fn each_stage_is_foretold_with_room_for_the_scale() {
    let set = orchard_set();
    let weighed: Vec<_> = set.knives.iter().map(|knife| weigh(knife, &set)).collect();
    let steps = steps();
    for (heading, stage) in WEIGHED {
        let step = steps.iter().find(|s| s.heading == heading).unwrap();
        assert_eq!(step.shares.len(), 4, "{heading}");
        for ((share, knife), up) in step.shares.iter().zip(&set.knives).zip(&weighed) {
            assert_eq!(share.knife, knife.name);
            let own = StageWeight::of(up, stage).unwrap();
            let half = own.mass_band_g.half_width();
            tells(last_line(share), [own.mass_g, half, own.balance_mm]);
        }
    }
}

/// 120 × 25 × 4 mm of 7.85 g/cm³ are 94.2 g and balance in their middle, 60 mm from the rear; a hole of 10 mm at 20 mm takes π/4·10²·4·7.85/1000 = 2.4662 g from
/// there. The thickness is known to 0.0005 mm, the density exactly: 94.2 · 0.0005/4 = 0.012 g in doubt, so that two decimals are earned.
#[test]
fn a_plate_is_foretold_as_by_hand() {
    let corners = [(0.0, 0.0), (120.0, 0.0), (120.0, 25.0), (0.0, 25.0)];
    let nodes = (1..).zip(corners);
    let nodes = nodes.map(|(id, at)| Node::corner(id, at.into())).collect();
    let mut knife = Knife::bare(
        "Plate",
        Outline { nodes },
        Stock::plain(4.0, 0.0005, "steel"),
        Tang::Full(FullTang::straight(100.0, 25.0)),
    );
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: (20.0, 12.5).into(),
            diameter_mm: 10.0,
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let set = KnifeSet {
        name: "plates".into(),
        materials: vec![Material {
            key: "steel".into(),
            name: "Steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.85,
            density_high: 7.85,
            data_sheet: String::new(),
        }],
        ..KnifeSet::default()
    };
    let steps = build_steps([&knife], &set, BuildOptions::default());
    let line = |heading: &str| {
        let step = steps.iter().find(|s| s.heading == heading).unwrap();
        last_line(&step.shares[0]).to_owned()
    };
    let (blank, hole) = (94.2, std::f64::consts::FRAC_PI_4 * 0.1 * 4.0 * 7.85);
    let drilled = blank - hole;
    let balance = (blank * 60.0 - hole * 20.0) / drilled;
    let doubt = 0.0005 / 4.0;
    tells(&line(WEIGHED[0].0), [blank, blank * doubt, 60.0]);
    let after = [drilled, drilled * doubt, balance];
    tells(&line(WEIGHED[1].0), after);
    // Nothing is ground and nothing fitted: that step is left out, and the last stage weighs the same.
    assert!(steps.iter().all(|s| s.heading != WEIGHED[2].0));
    tells(&line(WEIGHED[3].0), after);
    assert!(line(WEIGHED[1].0).contains("91.73 g"), "two decimals");
}
