//! What holds for every plan.

use std::cell::Cell;
use std::collections::BTreeSet;

use super::super::{NoPlan, Plan, PlanKind, PlanRules, Wanted, carried_out, drills_named, plan};
use super::stage::{Plate, balance, of, pin, plate, round, set_of};
use crate::checks::{Severity, Thresholds, check};
use crate::geometry::Point;
use crate::knife::{CutShape, Filling, Knife, KnifeSet, orchard_set, set_faults};
use crate::weighing::weigh;

/// Whatever is told of a plan is what the scale says of the knife that is made by it; it keeps the rules of the set, and the checks find nothing new.
#[test]
fn plans_are_what_the_scale_says_of_the_knife_made() {
    let set = orchard_set();
    let rules = PlanRules::default();
    let mut kinds = BTreeSet::new();
    for (place, knife) in set.knives.iter().enumerate() {
        let now = weigh(knife, &set).total.unwrap();
        for wanted in [
            Wanted::BalanceMm(now.balance_mm + 0.6),
            Wanted::BalanceMm(now.balance_mm + 1.5),
            Wanted::BalanceMm(now.balance_mm - 1.0),
            Wanted::MassG(now.mass_g - 2.0),
        ] {
            let planning = of(knife, &set, wanted, &rules);
            assert!((planning.balance_mm - now.balance_mm).abs() < 1e-9);
            for p in &planning.plans {
                kinds.insert(p.kind.name());
                let made = carried_out(knife, p, &rules);
                let total = weigh(&made, &set).total.unwrap();
                assert!((total.balance_mm - p.balance_mm).abs() < 1e-9, "{p:?}");
                assert!(
                    (now.mass_g - total.mass_g - p.removed_g).abs() < 1e-9,
                    "{p:?}"
                );
                if planning.reached() {
                    assert!(p.reaches(), "{p:?}");
                }
                // The square of what a taper leaves of the thickness.
                let least = if p.taper.is_some() { 0.05 } else { 0.3 };
                assert!(
                    p.strength_kept.is_some_and(|k| k > least && k <= 1.0),
                    "{p:?}"
                );
                let mut after = set.clone();
                after.knives[place] = std::sync::Arc::new(made.clone());
                assert_eq!(set_faults(&after), [], "{p:?}");
                assert_eq!(
                    webs(&made, &after),
                    webs(knife, &set),
                    "{} {p:?}",
                    knife.name
                );
            }
        }
    }
    for kind in [
        "fewest holes",
        "one drill",
        "even row",
        "slot",
        "tang taper",
        "distal taper",
    ] {
        assert!(kinds.contains(kind), "{kind} is never offered: {kinds:?}");
    }
}

/// A rectangular bar with a hole on its middle line, by hand: flatwise `(h − d)·t²/6` of `h·t²/6`, edgewise `t·h²/6·(1 − (d/h)³)` of `t·h²/6`
/// (Young and Budynas, Roark's Formulas, 7th ed., table A.1, section less section). The flatwise share is the lesser.
#[test]
fn the_strength_a_plan_leaves_is_that_of_a_bar_with_a_hole() {
    let plate = Plate {
        tang: (110.0, 24.0),
        blade: (110.0, 26.0),
        stock: 3.0,
    };
    let knife = plate.knife();
    let set = set_of(&knife);
    let now = weigh(&knife, &set).total.unwrap();
    let rules = PlanRules {
        most_holes: 1,
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    let planning = of(
        &knife,
        &set,
        Wanted::BalanceMm(now.balance_mm + 0.4),
        &rules,
    );
    assert!(!planning.plans.is_empty());
    for p in &planning.plans {
        let [cut] = p.cuts.as_slice() else {
            panic!("one hole: {p:?}");
        };
        let CutShape::Round {
            center,
            diameter_mm: d,
        } = cut.shape
        else {
            panic!("round: {p:?}");
        };
        assert!(center.y.abs() < 1e-9, "{p:?}");
        let wanted = 1.0 - d / 24.0;
        let kept = p.strength_kept.unwrap();
        assert!(
            (kept - wanted).abs() < 1e-6,
            "{kept} is not {wanted}: {p:?}"
        );
    }
}

/// A rectangular bar thinned to `t` at a place keeps `t²` of its section modulus flatwise and `t` of it edgewise. The hand reaches over four fifths of
/// the tang: that far back the taper counts.
#[test]
fn the_strength_a_taper_leaves_is_that_of_a_thinner_bar() {
    let knife = plate();
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let planning = of(
        &knife,
        &set,
        Wanted::BalanceMm(now + 1.5),
        &PlanRules::default(),
    );
    let taper = planning
        .plans
        .iter()
        .find(|p| p.kind == PlanKind::TangTaper);
    let p = taper.expect("a taper of the tang");
    let [butt, shoulder] = p.taper.as_ref().unwrap().stations[..] else {
        panic!("{p:?}");
    };
    assert_eq!(
        (butt.x_mm, shoulder.x_mm, shoulder.thickness_mm),
        (-100.0, 0.0, 3.0)
    );
    let at_rear = 3.0 + (butt.thickness_mm - 3.0) * 0.8;
    let wanted = (at_rear / 3.0).powi(2);
    let kept = p.strength_kept.unwrap();
    assert!((kept - wanted).abs() < 1e-6, "{kept} is not {wanted}");
    // Where it is thinnest it bears least: the highest stress is another matter.
    assert!(p.stress_kept.unwrap() > kept);
}

/// What the checks find wrong with webs.
fn webs(knife: &Knife, set: &KnifeSet) -> usize {
    let found = check(knife, set, &weigh(knife, set), &Thresholds::default());
    let webs = found
        .iter()
        .filter(|f| f.code.starts_with("web") || f.severity == Severity::Stop);
    webs.count()
}

/// A knife with a target in reach gets to it within a hundredth, by several ways.
#[test]
fn what_can_be_reached_is_reached() {
    let knife = plate();
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let rules = PlanRules::default();
    for by in [0.3, 0.8, 1.4, 2.0] {
        let planning = of(&knife, &set, Wanted::BalanceMm(now + by), &rules);
        assert!(planning.reached() && planning.stopped_by.is_empty());
        assert!(planning.plans.len() >= 4, "{by}: {:?}", planning.plans);
        let near = planning.plans.iter().filter(|p| p.off.abs() < 0.01);
        assert!(near.count() >= 4, "{by}: {:?}", planning.plans);
        let (low, high) = planning.reachable;
        assert!(low <= now && now + by <= high, "{:?}", planning.reachable);
        // The fewest holes are no more than any other plan's.
        let holes = |p: &Plan| p.cuts.len();
        let fewest = planning
            .plans
            .iter()
            .find(|p| p.kind == PlanKind::FewestHoles);
        let round_only = |p: &&Plan| p.taper.is_none() && p.kind != PlanKind::Slot;
        for other in planning.plans.iter().filter(round_only) {
            assert!(holes(fewest.unwrap()) <= holes(other), "{by}: {other:?}");
        }
    }
    // The knife as it is needs no plan.
    let there = of(&knife, &set, Wanted::BalanceMm(now), &rules);
    assert!(there.reached() && there.plans.is_empty(), "{there:?}");
}

#[test]
fn each_kind_is_what_it_says() {
    let mut knife = plate();
    pin(&mut knife, -50.0, 5.0);
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let rules = PlanRules {
        owned: drills_named(["5", "1/4"]).unwrap(),
        ..PlanRules::default()
    };
    let planning = of(&knife, &set, Wanted::BalanceMm(now + 1.5), &rules);
    let kind = |kind: PlanKind| {
        planning
            .plans
            .iter()
            .find(|p| p.kind == kind)
            .unwrap_or_else(|| panic!("no {}", kind.name()))
    };
    let sizes = |p: &Plan| p.cuts.iter().map(|c| round(&c.shape).1).collect::<Vec<_>>();
    let own = kind(PlanKind::OwnDrills);
    assert!(
        sizes(own).iter().all(|d| [5.0, 6.35].contains(d)),
        "{own:?}"
    );
    assert!(
        own.cuts
            .iter()
            .all(|c| ["5.0 mm", "1/4"].contains(&c.drill.as_deref().unwrap()))
    );
    let row = kind(PlanKind::EvenRow);
    assert!(row.cuts.len() >= 3);
    let places: Vec<Point> = row.cuts.iter().map(|c| round(&c.shape).0).collect();
    let first = places[1].x - places[0].x;
    for pair in places.windows(2) {
        assert!(
            (pair[1].x - pair[0].x - first).abs() < 1e-9 && pair[1].y.abs() < 1e-9,
            "{row:?}"
        );
    }
    assert!(sizes(row).windows(2).all(|pair| pair[0] == pair[1]));
    let slot = kind(PlanKind::Slot);
    for cut in &slot.cuts {
        let CutShape::Slot {
            length_mm,
            width_mm,
            center,
            angle_rad,
        } = cut.shape
        else {
            panic!("{slot:?}");
        };
        assert!(length_mm >= 2.0 * width_mm && angle_rad.abs() < 1e-9 && center.y.abs() < 1e-9);
        // Web of the width to the sides, and of at least that to the pin.
        assert!(12.0 - width_mm / 2.0 >= width_mm.max(3.0));
        assert!(
            (center.x + 50.0).abs() - length_mm / 2.0 - 2.5 >= width_mm.max(5.0) - 0.05,
            "{slot:?}"
        );
    }
    let taper = kind(PlanKind::TangTaper);
    let stations = &taper.taper.as_ref().unwrap().stations;
    assert!(taper.cuts.is_empty() && stations[0].x_mm == -100.0);
    assert!(stations[0].thickness_mm < 3.0 && stations[0].thickness_mm >= 1.0);
    assert_eq!((stations[1].x_mm, stations[1].thickness_mm), (0.0, 3.0));
}

/// By hand: one hole of 6 mm at x in a plate of 3 mm takes π·9·3·7.8e-3 g; 1 mm of balance asks for M·1 g·mm, which that hole brings where (B* −
/// x) is so.
#[test]
fn one_hole_is_where_the_lever_law_puts_it() {
    let knife = plate();
    let set = set_of(&knife);
    let now = weigh(&knife, &set).total.unwrap();
    let rules = PlanRules {
        drills: drills_named(["6"]).unwrap(),
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    let wanted = now.balance_mm + 0.4;
    let planning = of(&knife, &set, Wanted::BalanceMm(wanted), &rules);
    let [cut] = &planning.plans[0].cuts[..] else {
        panic!("{planning:?}");
    };
    let grams = std::f64::consts::PI * 9.0 * 3.0 * 7.8e-3;
    let x = wanted - now.mass_g * 0.4 / grams;
    let (at, d) = round(&cut.shape);
    assert!((at.x - x).abs() < 0.05 && d == 6.0, "{at:?} {x}");
}

/// Even about the middle line: each hole is on it or has its mirror.
#[test]
fn even_holes_sit_even() {
    let knife = Plate {
        tang: (90.0, 34.0),
        blade: (120.0, 36.0),
        stock: 2.0,
    };
    let knife = knife.knife();
    let set = set_of(&knife);
    let rules = PlanRules {
        symmetric: true,
        drills: drills_named(["4", "5"]).unwrap(),
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    let now = balance(&knife, &set);
    let mut pairs = 0;
    for by in [1.0, 2.5, 40.0] {
        for p in of(&knife, &set, Wanted::BalanceMm(now + by), &rules).plans {
            let holes: Vec<(Point, f64)> = p.cuts.iter().map(|c| round(&c.shape)).collect();
            for (at, d) in &holes {
                let mirror = |(o, e): &(Point, f64)| {
                    (o.x - at.x).abs() < 1e-9 && (o.y + at.y).abs() < 1e-9 && e == d
                };
                assert!(at.y.abs() < 1e-9 || holes.iter().any(mirror), "{p:?}");
                pairs += usize::from(at.y.abs() > 1.0);
            }
        }
    }
    assert!(pairs > 0, "no column was ever made");
}

/// Holes filled with something heavier than steel bring the balance back.
#[test]
fn heavy_fillings_bring_the_balance_back() {
    let knife = plate();
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let rules = PlanRules {
        filling: Filling::pin("tungsten"),
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    let planning = of(&knife, &set, Wanted::BalanceMm(now - 1.5), &rules);
    assert!(planning.reached(), "{planning:?}");
    let back = |p: &Plan| p.removed_g < 0.0 && p.off.abs() < 0.05;
    assert!(planning.plans.iter().all(back), "{planning:?}");
    let unknown = PlanRules {
        filling: Filling::Epoxy {
            material: "nothing".to_owned(),
        },
        ..PlanRules::default()
    };
    let error = plan(&knife, &set, Wanted::BalanceMm(now), &unknown, &|| true).unwrap_err();
    assert!(matches!(error, NoPlan::Material { .. }));
}

#[test]
fn the_same_question_has_the_same_answer_and_can_be_stopped() {
    let set = orchard_set();
    let knife = &set.knives[2];
    let now = balance(knife, &set);
    let wanted = Wanted::BalanceMm(now + 1.2);
    let rules = PlanRules::default();
    assert_eq!(
        of(knife, &set, wanted, &rules),
        of(knife, &set, wanted, &rules)
    );
    let asked = Cell::new(0);
    let whole = plan(knife, &set, wanted, &rules, &|| {
        asked.set(asked.get() + 1);
        true
    });
    assert!(
        whole.is_ok() && asked.get() > 10,
        "asked only {} times",
        asked.get()
    );
    for after in [0, 1, 5, asked.get() / 2] {
        let left = Cell::new(after);
        let stopped = plan(knife, &set, wanted, &rules, &|| {
            left.set(left.get() - 1);
            left.get() >= 0
        });
        assert_eq!(stopped, Err(NoPlan::Stopped), "after {after}");
    }
}

#[test]
fn nonsense_is_refused() {
    let knife = plate();
    let set = set_of(&knife);
    let rules = PlanRules::default();
    let ask = |wanted, rules: &PlanRules| plan(&knife, &set, wanted, rules, &|| true).unwrap_err();
    assert_eq!(ask(Wanted::BalanceMm(f64::NAN), &rules), NoPlan::NoNumber);
    assert_eq!(ask(Wanted::MassG(0.0), &rules), NoPlan::NoNumber);
    let mut bad = rules.clone();
    bad.drills[0].diameter_mm = -1.0;
    assert!(matches!(
        ask(Wanted::MassG(50.0), &bad),
        NoPlan::Drill { .. }
    ));
    let mut crossed = knife.clone();
    crossed.outline.nodes.swap(0, 3);
    let error = plan(&crossed, &set, Wanted::BalanceMm(1.0), &rules, &|| true).unwrap_err();
    assert!(matches!(error, NoPlan::NotWeighed { .. }), "{error}");
    // No drills: only tapers and nothing to slot.
    let none = PlanRules {
        drills: vec![],
        ..rules
    };
    let planning = plan(
        &knife,
        &set,
        Wanted::BalanceMm(balance(&knife, &set) + 1.0),
        &none,
        &|| true,
    );
    assert!(planning.unwrap().plans.iter().all(|p| p.taper.is_some()));
}
