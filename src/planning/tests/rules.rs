//! What the rules keep a plan from.

use super::super::{KeepOff, PlanRules, Stop, Wanted, drills_named};
use super::stage::{balance, holes, of, outline, plate, round, set_of};
use crate::geometry::{Point, Rect};
use crate::knife::{
    CutOut, CutShape, Faces, Filling, Fixing, Flaw, FlawKind, Handle, HandlePart, HandleStation,
    PartKind, Purpose,
};
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
    let rims = holes(&short);
    assert!(!rims.is_empty());
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

/// A window of the tang keeps its rim: holes stay a web of their own diameter, 3 mm at least, from its sides and corners.
#[test]
fn windows_of_a_skeleton_keep_their_rims() {
    let mut knife = plate();
    let (window, id) = (Rect::new(-62.0, -4.0, -42.0, 4.0), knife.take_id());
    let corners = [
        (window.x0, window.y0),
        (window.x1, window.y0),
        (window.x1, window.y1),
        (window.x0, window.y1),
    ];
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Free {
            outline: outline(&corners),
        },
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let rules = PlanRules {
        taper: false,
        slots: false,
        ..PlanRules::default()
    };
    let planning = of(&knife, &set, Wanted::BalanceMm(now + 80.0), &rules);
    let holes = holes(&planning);
    assert!(holes.len() > 2, "{planning:?}");
    for (at, d) in holes {
        let beside = (window.x0 - at.x).max(at.x - window.x1).max(0.0);
        let over = (window.y0 - at.y).max(at.y - window.y1).max(0.0);
        let gap = beside.hypot(over) - d / 2.0;
        assert!(gap >= d.max(3.0) - 1e-6, "{at} {d}: {gap}");
    }
}

/// A handle that ends 70 mm behind the shoulder line covers no hole farther back; nor closer than 2 mm to its end.
#[test]
fn holes_stay_under_a_short_handle() {
    let mut knife = plate();
    let corners = [(-70.0, -15.0), (-4.0, -15.0), (-4.0, 15.0), (-70.0, 15.0)];
    knife.handle = Some(Handle {
        fixing: Fixing::Scales { liner: None },
        outline: Some(outline(&corners)),
        stations: vec![HandleStation {
            x_mm: -30.0,
            thickness_mm: 20.0,
        }],
        rounding: 2.5,
        parts: vec![HandlePart {
            id: 900,
            kind: PartKind::Grip,
            material: "tungsten".to_owned(),
            from_x_mm: -4.0,
        }],
        glue: None,
    });
    let set = set_of(&knife);
    let now = balance(&knife, &set);
    let planning = of(
        &knife,
        &set,
        Wanted::BalanceMm(now + 80.0),
        &PlanRules {
            taper: false,
            slots: false,
            ..PlanRules::default()
        },
    );
    let holes = holes(&planning);
    assert!(holes.len() > 2, "{planning:?}");
    for (at, d) in holes {
        assert!(
            at.x - d / 2.0 >= -68.0 - 1e-9 && at.x + d / 2.0 <= -4.0 + 1e-9,
            "{at} {d}"
        );
    }
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
    for (at, d) in holes(&flawed) {
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
