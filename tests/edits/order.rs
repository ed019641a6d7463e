//! Things lined up, spaced, stepped off, turned and clamped.

use tangwright::edit::{Change, EditError, StepAlong, Thing};
use tangwright::geometry::{Point, Vec2};
use tangwright::knife::{CutShape, Id, Knife, KnifeSet, Tang};

use super::bench::{
    assert_at, assert_near, changed, cut, hole, knife, plate, refused, set_of, starter,
};

/// A plate with round holes at these places, of these diameters; gives their ids.
fn drilled(holes: &[(f64, f64, f64)]) -> (KnifeSet, Vec<Thing>) {
    let mut knife = plate();
    let ids = holes
        .iter()
        .map(|(x, y, d)| Thing::CutOut(hole(&mut knife, *x, *y, *d)));
    let ids = ids.collect();
    (set_of(knife), ids)
}

fn center(knife: &Knife, thing: Thing) -> Point {
    tangwright::edit::thing_point(knife, thing).unwrap()
}

#[test]
fn holes_come_level_or_upright_with_the_first_picked() {
    let (set, things) = drilled(&[(-80.0, 11.0, 5.0), (-50.0, 14.0, 5.0), (-20.0, 19.0, 6.0)]);
    let level = Change::LineUp {
        things: things.clone(),
        upright: false,
    };
    let made = changed(&set, level);
    for (thing, x) in things.iter().zip([-80.0, -50.0, -20.0]) {
        assert_at(center(knife(&made), *thing), Point::new(x, 11.0), 1e-12);
    }
    let from_last: Vec<Thing> = things.iter().rev().copied().collect();
    let upright = Change::LineUp {
        things: from_last,
        upright: true,
    };
    let made = changed(&set, upright);
    for thing in &things {
        assert_near(center(knife(&made), *thing).x, -20.0, 1e-12);
    }
    // What is clamped is what the others come to.
    let clamp = Change::Clamp {
        things: vec![things[1]],
        clamped: true,
    };
    let clamped = changed(&set, clamp);
    let made = changed(
        &clamped,
        Change::LineUp {
            things: things.clone(),
            upright: false,
        },
    );
    for thing in &things {
        assert_near(center(knife(&made), *thing).y, 14.0, 1e-12);
    }
    let one = Change::LineUp {
        things: vec![things[0]],
        upright: true,
    };
    assert_eq!(refused(&set, one), EditError::TooFew { least: 2 });
}

#[test]
fn middles_are_spaced_evenly_and_the_outer_two_stay() {
    let (set, things) = drilled(&[
        (-90.0, 10.0, 4.0),
        (-30.0, 18.0, 6.0),
        (-81.0, 13.0, 5.0),
        (-60.0, 16.0, 3.0),
    ]);
    let made = changed(
        &set,
        Change::Space {
            things: things.clone(),
            webs: false,
        },
    );
    // The line runs from (−90, 10) to (−30, 18): thirds of it, each as far off it as before.
    let (a, b) = (Point::new(-90.0, 10.0), Point::new(-30.0, 18.0));
    let u = (b - a).normalize();
    for (thing, share) in [(0, 0.0), (2, 1.0), (3, 2.0), (1, 3.0)] {
        let (was, now) = (
            center(knife(&set), things[thing]),
            center(knife(&made), things[thing]),
        );
        assert_near((now - a).dot(u), (b - a).hypot() * share / 3.0, 1e-9);
        assert_near((now - a).cross(u), (was - a).cross(u), 1e-9);
    }
}

#[test]
fn steel_between_is_made_even_by_the_gaps_themselves() {
    let (set, things) = drilled(&[
        (-90.0, 15.0, 4.0),
        (-75.0, 15.0, 10.0),
        (-60.0, 15.0, 3.0),
        (-40.0, 15.0, 8.0),
        (-20.0, 15.0, 6.0),
    ]);
    let made = changed(
        &set,
        Change::Space {
            things: things.clone(),
            webs: true,
        },
    );
    let round = |thing: Thing| {
        let Thing::CutOut(id) = thing else {
            panic!("a cut-out")
        };
        let cut = knife(&made).cut_outs.iter().find(|c| c.id == id).unwrap();
        match cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => (center, diameter_mm / 2.0),
            _ => panic!("a round hole"),
        }
    };
    // By hand: 70 mm from middle to middle, less 2 + 10 + 3 + 8 + 3 of steel taken, in four gaps.
    let wanted = (70.0 - 2.0 - 10.0 - 3.0 - 8.0 - 3.0) / 4.0;
    for pair in things.windows(2) {
        let (a, b) = (round(pair[0]), round(pair[1]));
        let gap = a.0.distance(b.0) - a.1 - b.1;
        assert_near(gap, wanted, 1e-9);
    }
    assert_at(round(things[0]).0, Point::new(-90.0, 15.0), 1e-12);
    assert_at(round(things[4]).0, Point::new(-20.0, 15.0), 1e-9);
    let (tight, things) = drilled(&[(-90.0, 15.0, 9.0), (-86.0, 15.0, 9.0), (-82.0, 15.0, 9.0)]);
    let told = refused(&tight, Change::Space { things, webs: true }).to_string();
    assert!(told.starts_with("about x −86.0, y 15.0 mm"), "{told}");
}

#[test]
fn copies_are_stepped_off_straight() {
    let (set, things) = drilled(&[(-90.0, 15.0, 5.0)]);
    let by = Vec2::new(12.0, 0.5);
    let along = StepAlong::Line { by };
    let made = changed(
        &set,
        Change::StepOff {
            things: things.clone(),
            along,
            copies: 4,
        },
    );
    let cuts = &knife(&made).cut_outs;
    assert_eq!(cuts.len(), 5);
    let mut ids: Vec<Id> = cuts.iter().map(|c| c.id).collect();
    ids.dedup();
    assert_eq!(ids.len(), 5, "each has an id of its own");
    for (i, cut) in cuts.iter().enumerate() {
        assert_at(
            cut.shape.center(),
            Point::new(-90.0, 15.0) + by * i as f64,
            1e-9,
        );
        assert_near(cut.shape.moments().area, std::f64::consts::PI * 6.25, 1e-9);
    }
    for copies in [0, 51] {
        let off = Change::StepOff {
            things: things.clone(),
            along,
            copies,
        };
        assert_eq!(refused(&set, off), EditError::Copies { copies });
    }
    let still = StepAlong::Line { by: Vec2::ZERO };
    let off = Change::StepOff {
        things,
        along: still,
        copies: 2,
    };
    assert_eq!(refused(&set, off), EditError::NoStep);
}

#[test]
fn copies_along_the_outline_keep_their_distance_and_turn() {
    // A disk of steel as an outline: its middle is 40 from its rim, and arc length is angle times radius.
    let mut disk = plate();
    let (r, k) = (40.0, 40.0 * 0.552_284_749_8);
    let at = |x: f64, y: f64| Point::new(x, y);
    let nodes = [
        (at(r, 0.0), at(0.0, k)),
        (at(0.0, r), at(-k, 0.0)),
        (at(-r, 0.0), at(0.0, -k)),
        (at(0.0, -r), at(k, 0.0)),
    ];
    disk.outline.nodes = (0..)
        .zip(nodes)
        .map(|(id, (at, out))| {
            let out = out.to_vec2();
            tangwright::knife::Node {
                id,
                at,
                handle_in: Some(-out),
                handle_out: Some(out),
                joint: tangwright::knife::Joint::Smooth,
            }
        })
        .collect();
    disk.landmarks.clear();
    let slot = CutShape::Slot {
        center: at(32.0, 0.0),
        length_mm: 8.0,
        width_mm: 3.0,
        angle_rad: std::f64::consts::FRAC_PI_2,
    };
    let id = cut(&mut disk, slot);
    let set = set_of(disk);
    let step_mm = std::f64::consts::TAU * r / 8.0;
    let along = StepAlong::Outline { step_mm };
    let made = changed(
        &set,
        Change::StepOff {
            things: vec![Thing::CutOut(id)],
            along,
            copies: 7,
        },
    );
    for (i, cut) in knife(&made).cut_outs.iter().enumerate() {
        let angle = std::f64::consts::TAU * i as f64 / 8.0;
        // A cubic's quarter circle is within 0.03 % of its radius; so are lengths along it.
        assert_at(
            cut.shape.center(),
            at(32.0 * angle.cos(), 32.0 * angle.sin()),
            0.03,
        );
        let CutShape::Slot { angle_rad, .. } = cut.shape else {
            panic!("a slot")
        };
        let turn = angle_rad - angle - std::f64::consts::FRAC_PI_2;
        assert!(turn.sin().abs() < 2e-3, "{i}: {turn}");
    }
}

#[test]
fn copies_follow_the_middle_of_a_tang_that_drops() {
    let start = starter("chopper");
    assert!(matches!(start.tang, Tang::Full(_)));
    let steel = start.contour().index();
    let middle = |x: f64| {
        let (low, high) = steel.depth_at(x).unwrap();
        f64::midpoint(low, high)
    };
    let mut start = start.clone();
    start.cut_outs.clear();
    start.rows.clear();
    let id = hole(&mut start, -20.0, middle(-20.0) + 1.5, 3.0);
    let set = set_of(start);
    let along = StepAlong::TangMiddle { step_mm: -15.0 };
    let things = vec![Thing::CutOut(id)];
    let made = changed(
        &set,
        Change::StepOff {
            things: things.clone(),
            along,
            copies: 4,
        },
    );
    for (i, cut) in knife(&made).cut_outs.iter().enumerate() {
        let x = -20.0 - 15.0 * i as f64;
        assert_at(cut.shape.center(), Point::new(x, middle(x) + 1.5), 1e-9);
    }
    let far = Change::StepOff {
        things,
        along,
        copies: 20,
    };
    assert!(matches!(refused(&set, far), EditError::StepsOff { .. }));
}

#[test]
fn a_group_is_turned_about_its_middle() {
    let (set, things) = drilled(&[(-60.0, 15.0, 4.0), (-40.0, 15.0, 4.0)]);
    let by_rad = 30_f64.to_radians();
    let made = changed(
        &set,
        Change::Turn {
            things: things.clone(),
            by_rad,
        },
    );
    // About (−50, 15), 10 mm off to either side.
    let wanted = Vec2::from_angle(by_rad) * 10.0;
    assert_at(
        center(knife(&made), things[1]),
        Point::new(-50.0, 15.0) + wanted,
        1e-9,
    );
    assert_at(
        center(knife(&made), things[0]),
        Point::new(-50.0, 15.0) - wanted,
        1e-9,
    );
    let landmark = Thing::Landmark(tangwright::knife::LandmarkKind::Tip);
    let turn = Change::Turn {
        things: vec![landmark],
        by_rad,
    };
    assert_eq!(refused(&set, turn), EditError::NoTurn);
}

#[test]
fn what_is_clamped_stays_and_says_so() {
    let (set, things) = drilled(&[(-60.0, 15.0, 4.0), (-40.0, 15.0, 4.0)]);
    let clamp = |clamped| Change::Clamp {
        things: vec![things[0], Thing::Node(2)],
        clamped,
    };
    let held = changed(&set, clamp(true));
    let by = Vec2::new(1.0, 2.0);
    // Of several, those that are free move.
    let made = changed(
        &held,
        Change::Shift {
            things: things.clone(),
            by,
        },
    );
    assert_at(
        center(knife(&made), things[0]),
        Point::new(-60.0, 15.0),
        1e-12,
    );
    assert_at(
        center(knife(&made), things[1]),
        Point::new(-39.0, 17.0),
        1e-12,
    );
    let alone = Change::Shift {
        things: vec![things[0]],
        by,
    };
    let told = refused(&held, alone).to_string();
    assert!(
        told.starts_with("the cut-out at x −60.0, y 15.0 mm is clamped"),
        "{told}"
    );
    for change in [
        Change::Place {
            thing: Thing::Node(2),
            at: Point::new(110.0, 0.0),
        },
        Change::Remove {
            things: vec![Thing::Node(2)],
        },
        Change::Remove {
            things: vec![things[0]],
        },
        Change::SetBladeLength { length_mm: 90.0 },
        Change::Straighten { nodes: vec![1, 3] },
        Change::SetHandle {
            node: 2,
            outgoing: true,
            handle: Some(by),
        },
    ] {
        let told = refused(&held, change.clone());
        assert!(
            matches!(told, EditError::Clamped { .. }),
            "{change:?}: {told}"
        );
    }
    // The whole knife still moves under its shoulder line, and other ends stretch.
    changed(&held, Change::MoveShoulderLine { to_x: 3.0 });
    let free = changed(&held, clamp(false));
    assert_eq!(free, set);
    let mark = Thing::Landmark(tangwright::knife::LandmarkKind::Tip);
    let landmark = Change::Clamp {
        things: vec![mark],
        clamped: true,
    };
    assert_eq!(refused(&set, landmark), EditError::NoClamp);
}
