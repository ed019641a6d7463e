//! What the rules keep a plan from.

use super::super::{KeepOff, PlanRules, Stop, Wanted, drills_named};
use super::stage::{balance, of, plate, round, set_of};
use crate::geometry::Point;
use crate::knife::{Faces, Flaw, FlawKind};
use crate::weighing::weigh;

#[test]
fn rules_stop_what_they_are_for() {
    let knife = plate();
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let ask = |by: f64, rules: &PlanRules| of(&knife, &set, Wanted::BalanceMm(now + by), rules);
    let holes_only = PlanRules {
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    // Behind: holes in the tang move the balance forward.
    let back = ask(-2.0, &holes_only);
    assert_eq!(
        (back.stopped_by.as_slice(), back.plans.len()),
        (&[Stop::Side][..], 0)
    );
    assert!((back.reachable.0 - now).abs() < 0.3);
    // Too far.
    let far = ask(80.0, &holes_only);
    assert!(far.stopped_by.contains(&Stop::Web), "{:?}", far.stopped_by);
    let nearest = far.plans.first().unwrap();
    assert!((nearest.balance_mm - far.reachable.1).abs() < 0.02 * (far.reachable.1 - now));
    let few = ask(
        80.0,
        &PlanRules {
            most_holes: 2,
            ..holes_only.clone()
        },
    );
    assert!(few.stopped_by.contains(&Stop::Holes) && few.plans.iter().all(|p| p.cuts.len() <= 2));
    let small = PlanRules {
        drills: drills_named(["3"]).unwrap(),
        ..holes_only.clone()
    };
    assert!(ask(80.0, &small).stopped_by.contains(&Stop::Drills));
    let short = PlanRules {
        rear_mm: Some(-40.0),
        ..holes_only.clone()
    };
    let short = ask(80.0, &short);
    assert!(short.stopped_by.contains(&Stop::Region));
    let rims = short
        .plans
        .iter()
        .flat_map(|p| &p.cuts)
        .map(|c| round(&c.shape));
    assert!(rims.clone().count() > 0);
    for (at, d) in rims {
        assert!(at.x - d / 2.0 >= -40.0 && at.x + d / 2.0 <= -2.0);
    }
    let light = ask(
        80.0,
        &PlanRules {
            most_removed_g: Some(1.0),
            ..holes_only.clone()
        },
    );
    assert!(light.stopped_by.contains(&Stop::Removed));
    assert!(light.plans.iter().all(|p| p.removed_g <= 1.0 + 1e-6));
    let thick = PlanRules {
        web_thicknesses: 5.0,
        ..holes_only.clone()
    };
    let none = ask(2.0, &thick);
    assert!(
        none.plans.is_empty() && none.stopped_by.contains(&Stop::Room),
        "{none:?}"
    );
    // Heavier than it is.
    let mass = weigh(&knife, &set).total.unwrap().mass_g;
    let heavier = of(&knife, &set, Wanted::MassG(mass + 5.0), &holes_only);
    assert_eq!(heavier.stopped_by, [Stop::Lighter]);
}

#[test]
fn holes_keep_off_flaws() {
    let knife = plate();
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let ask = |by: f64, rules: &PlanRules| of(&knife, &set, Wanted::BalanceMm(now + by), rules);
    let holes_only = PlanRules {
        slots: false,
        taper: false,
        ..PlanRules::default()
    };
    let far = ask(80.0, &holes_only);
    let flaw = KeepOff {
        center: Point::new(-85.0, 0.0),
        radius_mm: 8.0,
    };
    let flawed = ask(
        80.0,
        &PlanRules {
            keep_off: vec![flaw],
            ..holes_only.clone()
        },
    );
    assert!(flawed.stopped_by.contains(&Stop::Flaws));
    for (at, d) in flawed
        .plans
        .iter()
        .flat_map(|p| &p.cuts)
        .map(|c| round(&c.shape))
    {
        assert!(at.distance(flaw.center) >= 8.0 + d / 2.0 + 3.0 - 1e-9);
    }
    // A crack marked on the knife, 2 mm to either side of a line.
    let mut cracked = knife.clone();
    cracked.flaws.push(Flaw {
        id: 90,
        kind: FlawKind::Crack,
        line: vec![Point::new(-95.0, 1.0), Point::new(-70.0, 1.0)],
        reach_mm: 2.0,
        faces: Faces::Right,
        depth_mm: None,
    });
    let told = of(&cracked, &set, Wanted::BalanceMm(now + 80.0), &holes_only);
    assert!(told.stopped_by.contains(&Stop::Flaws));
    assert!(told.reachable.1 < far.reachable.1);
    for cut in told.plans.iter().flat_map(|p| &p.cuts) {
        let (at, d) = round(&cut.shape);
        let along = at.x.clamp(-95.0, -70.0);
        let gap = at.distance(Point::new(along, 1.0)) - 2.0 - d / 2.0;
        assert!(gap >= d.max(3.0) - 1e-9, "{cut:?}");
    }
}
