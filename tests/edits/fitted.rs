//! Handle, flaws, weigh-ins, windows in the tang and the saw.

use tangwright::edit::{AfterSaw, Change, EditError, lost_by_sawing};
use tangwright::geometry::{Point, circle_gap};
use tangwright::knife::{
    CutShape, Faces, Flaw, FlawKind, HiddenTang, LandmarkKind, Stage, Tang, TangEnd, TangError,
    WeighIn, usual_handle,
};
use tangwright::weighing::weigh;

use crate::bench::{changed, cut, knife, plate, refused, set_of, starter, starters};

fn round(x: f64, y: f64, diameter_mm: f64) -> CutShape {
    CutShape::Round {
        center: Point::new(x, y),
        diameter_mm,
    }
}

fn crack(line: &[(f64, f64)]) -> Flaw {
    Flaw {
        id: 0,
        kind: FlawKind::Crack,
        line: line.iter().map(|at| Point::from(*at)).collect(),
        reach_mm: 0.0,
        faces: Faces::Both,
        depth_mm: None,
    }
}

fn across(x: f64) -> Vec<Point> {
    vec![Point::new(x, 10.0), Point::new(x, 20.0)]
}

#[test]
fn parts_of_a_handle_keep_their_ids() {
    let set = set_of(plate());
    let handle = usual_handle(knife(&set), "brass", "brass").map(Box::new);
    let first = changed(&set, Change::FitHandle { handle });
    let mut own = knife(&first).handle.clone().unwrap();
    let id = own.parts[0].id;
    assert!(id >= set.knives[0].next_id);
    own.rounding = 4.0;
    let handle = Some(Box::new(own));
    let second = changed(&first, Change::FitHandle { handle });
    assert_eq!(knife(&second).handle.as_ref().unwrap().parts[0].id, id);
    let none = changed(&second, Change::FitHandle { handle: None });
    assert_eq!(knife(&none).handle, None);
}

#[test]
fn flaws_and_weigh_ins_are_written_changed_and_struck_out() {
    let set = set_of(plate());
    let flaw = crack(&[(-50.0, 10.0), (-45.0, 14.0)]);
    let marked = changed(&set, Change::MarkFlaw { flaw });
    let mut flaw = knife(&marked).flaws[0].clone();
    flaw.reach_mm = 1.5;
    let id = flaw.id;
    let wider = changed(&marked, Change::MarkFlaw { flaw });
    assert_eq!(knife(&wider).flaws.len(), 1);
    assert_eq!(knife(&wider).flaws[0].reach_mm, 1.5);
    assert!(
        knife(&changed(&wider, Change::RemoveFlaw { id }))
            .flaws
            .is_empty()
    );
    let gone = EditError::Gone { what: "flaw" };
    assert_eq!(refused(&set, Change::RemoveFlaw { id }), gone);
    let weigh_in = WeighIn {
        id: 0,
        stage: Stage::Drilled,
        date: "2026-11-26".to_owned(),
        mass_g: 210.0,
        balance_mm: Some(4.0),
    };
    let written = changed(&set, Change::WriteWeighIn { weigh_in });
    let id = knife(&written).weigh_ins[0].id;
    let none = changed(&written, Change::RemoveWeighIn { id });
    assert!(knife(&none).weigh_ins.is_empty());
    // A flaw needs a place, a weigh-in a mass.
    let nowhere = refused(&set, Change::MarkFlaw { flaw: crack(&[]) });
    assert!(nowhere.to_string().contains("flaws[0].line"), "{nowhere}");
}

/// The saw along x = −60 takes 40 of 220 mm off a plate 30 high: 4 · 30 · 180 is left.
fn straight(line: Vec<Point>, after: AfterSaw) -> Change {
    Change::Saw {
        line,
        bow: None,
        after,
    }
}

#[test]
fn the_saw_takes_what_lies_behind_the_line() {
    let mut start = plate();
    let front = cut(&mut start, round(-20.0, 15.0, 5.0));
    let back = cut(&mut start, round(-80.0, 15.0, 5.0));
    let set = changed(
        &set_of(start),
        Change::MarkFlaw {
            flaw: crack(&[(-90.0, 15.0), (-70.0, 12.0)]),
        },
    );
    let flaw = knife(&set).flaws[0].id;
    let line = across(-60.0);
    assert_eq!(
        lost_by_sawing(knife(&set), &line, None),
        Ok((vec![back.to_string()], vec![flaw]))
    );
    let after = AfterSaw::Stump;
    let sawn = changed(&set, straight(line, after));
    let left = knife(&sawn);
    let area = left.contour().moments().area;
    assert!((area - 180.0 * 30.0).abs() < 1e-9, "{area}");
    assert_eq!(
        left.cut_outs.iter().map(|c| c.id).collect::<Vec<_>>(),
        [front]
    );
    assert!(left.flaws.is_empty());
    // The landmarks ahead stay, the butt is on the cut.
    let at = |kind| left.landmark_point(kind).unwrap();
    assert!(at(LandmarkKind::Butt).distance(Point::new(-60.0, 15.0)) < 1e-6);
    assert_eq!(at(LandmarkKind::Tip), Point::new(120.0, 0.0));
    assert_eq!(at(LandmarkKind::UpperShoulder), Point::new(0.0, 30.0));
}

/// A slanting line and a bent one: areas by hand (trapezoid; trapezoid less a triangle).
#[test]
fn the_saw_follows_slanting_and_bent_lines() {
    let set = set_of(plate());
    let area = |line: &[(f64, f64)]| {
        let line = line.iter().map(|at| Point::from(*at)).collect();
        let after = AfterSaw::Stump;
        let sawn = changed(&set, straight(line, after));
        knife(&sawn).contour().moments().area
    };
    // From (−70, 0) to (−40, 30): mean of 190 and 160 times 30.
    assert!((area(&[(-65.0, 5.0), (-50.0, 20.0)]) - 175.0 * 30.0).abs() < 1e-9);
    assert!((area(&[(-50.0, 20.0), (-65.0, 5.0)]) - 175.0 * 30.0).abs() < 1e-9);
    // Up along x = −60, then at (−60, 15) on to (−45, 30): a triangle of 15 by 15 less.
    let bent = area(&[(-60.0, 5.0), (-60.0, 15.0), (-50.0, 25.0)]);
    assert!((bent - (180.0 * 30.0 - 112.5)).abs() < 1e-9, "{bent}");
}

#[test]
fn a_line_that_parts_nothing_is_refused() {
    let set = set_of(plate());
    let saw = |line: &[(f64, f64)]| Change::Saw {
        line: line.iter().map(|at| Point::from(*at)).collect(),
        bow: None,
        after: AfterSaw::Stump,
    };
    for line in [
        &[][..],
        &[(-60.0, 10.0)],
        &[(-60.0, 40.0), (-50.0, 40.0)],
        &[(-200.0, 0.0), (-200.0, 10.0)],
    ] {
        assert_eq!(refused(&set, saw(line)), EditError::NoCut, "{line:?}");
    }
    let far = saw(&[(f64::NAN, 0.0), (0.0, 1.0)]);
    assert_eq!(refused(&set, far), EditError::OffBench);
}

/// Sawn at −30, a new shoulder 45 mm ahead of the old one: the tang has 75 mm of steel, and no more.
#[test]
fn a_new_tang_comes_out_of_the_steel_that_is_left() {
    let set = set_of(plate());
    let tang = |length_mm| {
        Tang::Hidden(HiddenTang {
            length_mm,
            shoulder_width_mm: 14.0,
            end_width_mm: 10.0,
            shoulder_radius_mm: 2.0,
            end: TangEnd::Square,
        })
    };
    let saw = |length_mm| Change::Saw {
        line: across(-30.0),
        bow: None,
        after: AfterSaw::NewTang {
            shoulder_x_mm: 45.0,
            tang: tang(length_mm),
        },
    };
    let sawn = changed(&set, saw(70.0));
    let left = knife(&sawn);
    let bounds = left.contour().bounds();
    assert!((bounds.x0 + 70.0).abs() < 1e-9 && (bounds.x1 - 75.0).abs() < 1e-9);
    assert_eq!(left.tang, tang(70.0));
    // What is new lies in what was left: its area within −75..0 is that of the tang alone.
    let blade = 75.0 * 30.0;
    let area = left.contour().moments().area;
    // 70 long, 14 to 10 wide; the rounding at the shoulder adds little.
    assert!(
        area - blade - 70.0 * 12.0 > 0.0 && area - blade - 70.0 * 12.0 < 10.0,
        "{area}"
    );
    assert_eq!(refused(&set, saw(90.0)), EditError::NoSteel);
    // The mass follows in the same step.
    let mass = weigh(left, &sawn).steel.blank_mass_g.unwrap();
    assert!((mass - area * 4.0 * 7.85e-3).abs() < 1e-9);
}

#[test]
fn a_handle_wraps_round_the_stump() {
    let set = set_of(plate());
    let after = AfterSaw::WrapHandle {
        material: "brass".to_owned(),
        glue: "brass".to_owned(),
    };
    let line = across(-40.0);
    let sawn = changed(&set, straight(line, after));
    let left = knife(&sawn);
    let own = left
        .handle
        .as_ref()
        .and_then(|h| h.outline.as_ref())
        .unwrap();
    // As large as the tang was: 100 by 30, around a stump of 40 by 30.
    assert!((own.contour().moments().area - 3000.0).abs() < 1e-9);
    assert!((left.contour().bounds().x0 + 40.0).abs() < 1e-9);
    assert!(weigh(left, &sawn).total.is_some());
}

/// Every point of every window is at least the rim from the outline; a frame has one window, a skeleton one more than bridges.
#[test]
fn windows_leave_the_rim_all_round() {
    for form in ["chopper", "hunter", "bush"] {
        let set = set_of(starter(form));
        for (rim_mm, bridges) in [(5.0, 0), (4.0, 2)] {
            let open = Change::OpenTang { rim_mm, bridges };
            let opened = changed(&set, open.clone());
            let steel = knife(&opened).contour();
            let windows: Vec<_> = knife(&opened)
                .cut_outs
                .iter()
                .filter_map(|cut| match &cut.shape {
                    CutShape::Free { outline } => Some(outline.contour()),
                    _ => None,
                })
                .collect();
            assert_eq!(windows.len(), bridges as usize + 1, "{form}");
            for window in &windows {
                for at in window.flattened(0.01) {
                    let (gap, _) = circle_gap(at, 0.0, &steel).unwrap();
                    assert!(gap >= 0.97 * rim_mm, "{form}: {gap} at {at:?}");
                    assert!(at.x < 0.0);
                }
            }
            // Bridges are as wide as the rim.
            for pair in windows.windows(2) {
                let gap = pair[1].bounds().x0 - pair[0].bounds().x1;
                assert!((gap - rim_mm).abs() < 0.2, "{form}: {gap}");
            }
            // Again: the windows are made anew, not doubled.
            assert_eq!(
                knife(&changed(&opened, open)).cut_outs.len(),
                knife(&opened).cut_outs.len()
            );
        }
    }
    let narrow = Change::OpenTang {
        rim_mm: 40.0,
        bridges: 0,
    };
    let told = refused(&set_of(plate()), narrow);
    assert_eq!(told, EditError::Tang(TangError::NoWindow { rim_mm: 40.0 }));
}

/// All starters bear their usual handle, and nothing of its weight is missing.
#[test]
fn every_starter_bears_its_usual_handle() {
    for start in starters() {
        let name = start.name.clone();
        let set = set_of(start);
        let handle = usual_handle(knife(&set), "brass", "brass").map(Box::new);
        assert!(handle.is_some(), "{name}");
        let fitted = changed(&set, Change::FitHandle { handle });
        let up = weigh(knife(&fitted), &fitted);
        assert!(up.missing.is_empty(), "{name}: {:?}", up.missing);
        let total = up.total.unwrap();
        let before = weigh(knife(&set), &set).total.unwrap();
        assert!(
            total.mass_g > before.mass_g && total.balance_mm < before.balance_mm,
            "{name}"
        );
    }
}

#[test]
fn the_handle_moves_with_the_shoulder_line() {
    let set = set_of(plate());
    let handle = usual_handle(knife(&set), "brass", "brass").map(Box::new);
    let fitted = changed(&set, Change::FitHandle { handle });
    let moved = changed(&fitted, Change::MoveShoulderLine { to_x: 10.0 });
    let (old, new) = (
        knife(&fitted).handle.clone().unwrap(),
        knife(&moved).handle.clone().unwrap(),
    );
    assert_eq!(new.front_x_mm(), old.front_x_mm() - 10.0);
    assert_eq!(new.stations[0].x_mm, old.stations[0].x_mm - 10.0);
    // The knife weighs the same.
    let mass = |set: &tangwright::knife::KnifeSet| weigh(knife(set), set).total.unwrap().mass_g;
    assert!((mass(&moved) / mass(&fitted) - 1.0).abs() < 1e-6);
}

/// The area under a parabola by Archimedes: two thirds of chord times bow. The plate is 30 high; the cut goes from its lower side to its upper side
/// and bows back by 6.
#[test]
fn the_saw_goes_along_a_curve() {
    let set = set_of(plate());
    let bounds = knife(&set).contour().bounds();
    let (low, high) = (Point::new(-50.0, bounds.y0), Point::new(-50.0, bounds.y1));
    let height = bounds.height();
    let area = |knife: &tangwright::knife::Knife| knife.contour().moments().area.abs();
    let sawn = |line: Vec<Point>, bow: Option<Point>| {
        let after = AfterSaw::Stump;
        changed(&set, Change::Saw { line, bow, after })
    };
    let straight = area(knife(&sawn(vec![low, high], None)));
    for by in [-6.0, 4.0] {
        let bow = Point::new(-50.0 + by, low.midpoint(high).y);
        for line in [vec![low, high], vec![high, low]] {
            let sawn = sawn(line, Some(bow));
            let own = knife(&sawn);
            let wanted = straight - by * height * 2.0 / 3.0;
            assert!((area(own) - wanted).abs() < 1e-6, "{by}");
            let cut = own.contour().nearest(bow).unwrap();
            assert!(cut.distance < 1e-9, "{by}: it passes the bow");
        }
    }
    // Drawn short, the curve goes on straight past its ends, along its own direction there.
    let short = vec![
        Point::new(-50.0, low.y + 10.0),
        Point::new(-50.0, high.y - 10.0),
    ];
    let bow = Point::new(-52.0, low.midpoint(high).y);
    let own = sawn(short.clone(), Some(bow));
    let contour = knife(&own).contour();
    for p in short.iter().chain([&bow]) {
        assert!(contour.nearest(*p).unwrap().distance < 1e-9, "{p:?}");
    }
    let off = Change::Saw {
        line: vec![low, high],
        bow: Some(Point::new(f64::NAN, 0.0)),
        after: AfterSaw::Stump,
    };
    assert_eq!(refused(&set, off), EditError::OffBench);
    let nothing = Change::Saw {
        line: vec![low, low],
        bow: Some(high),
        after: AfterSaw::Stump,
    };
    assert_eq!(refused(&set, nothing), EditError::NoCut);
}
