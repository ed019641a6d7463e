//! The whole design: larger and smaller, both sides alike; a stretch drawn over; a fuller laid along one.

use geo::{Distance as _, Euclidean, LineString, coord};
use tangwright::edit::{Change, EditError, Thing};
use tangwright::geometry::{Point, Vec2, outline_faults};
use tangwright::knife::{
    CutShape, Faces, Fuller, Id, Knife, KnifeSet, LandmarkKind, Mend, MiddleLine, NoMirror,
    Outline, Side, Spot,
};
use tangwright::weighing::{NoScale, scale_for_mass, weigh};

use super::bench::{
    assert_at, assert_near, changed, hole, knife, plate, refused, set_of, starter, starters,
};

fn area(knife: &Knife) -> f64 {
    knife.contour().moments().area
}

#[test]
fn a_design_grows_all_over_and_its_bar_stays() {
    for start in starters() {
        let set = set_of(start.clone());
        let made = changed(&set, Change::Scale { factor: 1.25 });
        let made = knife(&made);
        // Areas grow as the square, lengths as the factor.
        assert_near(area(made) / area(&start), 1.25 * 1.25, 1e-9);
        let (a, b) = (start.contour().bounds(), made.contour().bounds());
        assert_near(b.width() / a.width(), 1.25, 1e-9);
        assert_near(b.x1 / a.x1, 1.25, 1e-9);
        assert_eq!(made.stock, start.stock);
        for kind in LandmarkKind::ALL {
            let at = |k: &Knife| k.landmark_point(kind);
            if let (Some(own), Some(new)) = (at(&start), at(made)) {
                assert_at(new, (own.to_vec2() * 1.25).to_point(), 1e-6);
            }
        }
    }
    let set = set_of(plate());
    for factor in [0.0, -1.0, 1000.0] {
        assert_eq!(
            refused(&set, Change::Scale { factor }),
            EditError::NoFactor { factor }
        );
    }
}

#[test]
fn a_wanted_mass_comes_out() {
    // A plain plate: mass goes as the square of the factor, so twice the mass is √2 as large.
    let set = set_of(plate());
    let mass = |set: &KnifeSet| weigh(knife(set), set).total.unwrap().mass_g;
    let factor = scale_for_mass(knife(&set), &set, 2.0 * mass(&set)).unwrap();
    assert_near(factor, 2f64.sqrt(), 1e-6);
    for start in starters() {
        let set = set_of(start);
        let wanted = 0.8 * mass(&set);
        let factor = scale_for_mass(knife(&set), &set, wanted).unwrap();
        let made = changed(&set, Change::Scale { factor });
        assert_near(mass(&made) / wanted, 1.0, 1e-6);
    }
    assert_eq!(
        scale_for_mass(knife(&set), &set, 0.0),
        Err(NoScale::NoMass { wanted_g: 0.0 })
    );
    let far = scale_for_mass(knife(&set), &set, 1e6)
        .unwrap_err()
        .to_string();
    assert!(
        far.starts_with("no size from a quarter to four times this one"),
        "{far}"
    );
}

#[test]
fn a_clamped_hole_stays_when_the_design_grows() {
    let mut start = plate();
    let id = hole(&mut start, -60.0, 15.0, 4.0);
    let set = set_of(start);
    let held = changed(
        &set,
        Change::Clamp {
            things: vec![Thing::CutOut(id)],
            clamped: true,
        },
    );
    let made = changed(&held, Change::Scale { factor: 1.1 });
    assert_at(
        knife(&made).cut_outs[0].shape.center(),
        Point::new(-60.0, 15.0),
        1e-12,
    );
}

/// How far an outline is from its own picture across a level line, by the geo library.
fn lopsided(outline: &Outline, y_mm: f64, behind: f64) -> f64 {
    let points: Vec<Point> = (0..outline.nodes.len())
        .filter_map(|i| outline.piece(i))
        .flat_map(|p| (0..80).map(move |k| p.eval(f64::from(k) / 80.0)))
        .collect();
    let mut ring: Vec<_> = points.iter().map(|p| coord! { x: p.x, y: p.y }).collect();
    ring.push(ring[0]);
    let ring = LineString::new(ring);
    let off = points.iter().filter(|p| p.x < behind).map(|p| {
        let there = geo::Point::new(p.x, 2.0 * y_mm - p.y);
        Euclidean.distance(&there, &ring)
    });
    off.fold(0.0, f64::max)
}

#[test]
fn one_side_becomes_the_picture_of_the_other() {
    let mut n_made = 0;
    for start in starters() {
        let set = set_of(start.clone());
        for keep in [Side::Upper, Side::Lower] {
            let mirror = Change::MirrorSide {
                line: MiddleLine::Tang,
                keep,
            };
            let Ok(made) = tangwright::edit::apply(&set, &tangwright::edit::Edit::knife(0, mirror))
            else {
                continue;
            };
            n_made += 1;
            let made = knife(&made);
            let y_mm = start.middle_y_mm(MiddleLine::Tang).unwrap();
            assert!(
                lopsided(&made.outline, y_mm, -0.5) < 0.02,
                "{}",
                lopsided(&made.outline, y_mm, -0.5)
            );
            assert!(outline_faults(&made.contour().pieces).is_empty());
            // The blade is as it was.
            assert_near(
                made.contour().bounds().x1,
                start.contour().bounds().x1,
                1e-9,
            );
        }
    }
    // None is refused, so that every starter was looked at both ways.
    assert_eq!(n_made, 2 * starters().len());
    assert!(n_made >= 20, "{n_made}");
}

/// A dagger: the spine as high above the level of the tip as the edge is below it.
#[test]
fn a_dagger_is_made_of_its_upper_half() {
    let start = starter("paring");
    let tip = start.landmark_point(LandmarkKind::Tip).unwrap();
    let mut ready = start.clone();
    // Its tip brought to the middle of the shoulder, so that both halves have outline.
    let shoulder = start.middle_y_mm(MiddleLine::Tang).unwrap();
    let spot = ready.landmark(LandmarkKind::Tip).unwrap();
    let node = ready.split_outline(spot).unwrap();
    ready.outline.node_mut(node).unwrap().at = Point::new(tip.x, shoulder);
    let set = set_of(ready);
    let mirror = |keep| Change::MirrorSide {
        line: MiddleLine::Knife,
        keep,
    };
    let made = changed(&set, mirror(Side::Upper));
    let dagger = knife(&made);
    assert!(lopsided(&dagger.outline, shoulder, f64::INFINITY) < 0.02);
    assert!(outline_faults(&dagger.contour().pieces).is_empty());
    let at = dagger.landmark_point(LandmarkKind::Tip).unwrap();
    assert_at(at, Point::new(tip.x, shoulder), 0.05);
    // Doing it again changes no more.
    let again = changed(&made, mirror(Side::Upper));
    assert_near(area(knife(&again)), area(dagger), 1e-6);
}

/// The plate is alike on both sides of y = 15.
fn level() -> KnifeSet {
    let mut plate = plate();
    plate.set_landmark(LandmarkKind::Tip, Spot { node: 2, t: 0.5 });
    set_of(plate)
}

fn both(line: MiddleLine, change: Change) -> Change {
    Change::Both {
        line,
        change: Box::new(change),
    }
}

#[test]
fn a_node_takes_the_one_across_along() {
    let set = level();
    let shift = |id: Id, by| Change::Shift {
        things: vec![Thing::Node(id)],
        by,
    };
    let at = |set: &KnifeSet, id: Id| knife(set).outline.node(id).unwrap().at;
    let made = changed(
        &set,
        both(MiddleLine::Knife, shift(0, Vec2::new(-4.0, 3.0))),
    );
    assert_at(at(&made, 0), Point::new(-104.0, 3.0), 1e-12);
    assert_at(at(&made, 5), Point::new(-104.0, 27.0), 1e-12);
    // For the tang alone the blade's nodes go by themselves.
    let made = changed(&set, both(MiddleLine::Tang, shift(2, Vec2::new(2.0, -3.0))));
    assert_at(at(&made, 3), Point::new(120.0, 30.0), 1e-12);
    // Both picked: each goes where it was pushed.
    let things = vec![Thing::Node(0), Thing::Node(5)];
    let by = Vec2::new(0.0, 1.0);
    let made = changed(&set, both(MiddleLine::Knife, Change::Shift { things, by }));
    assert_at(at(&made, 5), Point::new(-100.0, 31.0), 1e-12);
}

#[test]
fn bending_adding_removing_and_rounding_are_done_across_too() {
    let set = level();
    let line = MiddleLine::Knife;
    let to = Point::new(-50.0, -6.0);
    let bent = changed(
        &set,
        both(
            line,
            Change::PullPiece {
                node: 0,
                t: 0.5,
                to,
            },
        ),
    );
    assert!(lopsided(&knife(&bent).outline, 15.0, f64::INFINITY) < 1e-6);
    assert!(
        area(knife(&bent)) > area(knife(&set)) + 700.0,
        "both sides swell"
    );
    let added = changed(
        &bent,
        both(
            line,
            Change::AddNode {
                spot: Spot { node: 0, t: 0.25 },
            },
        ),
    );
    assert_eq!(knife(&added).outline.nodes.len(), 8);
    assert!(lopsided(&knife(&added).outline, 15.0, f64::INFINITY) < 0.01);
    let new = knife(&bent).next_id;
    let removed = changed(
        &added,
        both(
            line,
            Change::Remove {
                things: vec![Thing::Node(new)],
            },
        ),
    );
    assert_eq!(knife(&removed).outline.nodes.len(), 6);
    assert!(lopsided(&knife(&removed).outline, 15.0, f64::INFINITY) < 0.01);
    let mend = Mend::RoundCorners {
        of: None,
        nodes: vec![2],
        radius_mm: 5.0,
    };
    let round = changed(&set, both(line, Change::Mend { mend }));
    // Each right angle loses r²(1 − π/4).
    let lost = area(knife(&set)) - area(knife(&round));
    assert!(
        (lost - 50.0 * (1.0 - std::f64::consts::FRAC_PI_4)).abs() < 0.05,
        "{lost}"
    );
}

#[test]
fn a_hole_is_drilled_and_moved_across_too() {
    let set = level();
    let shape = CutShape::Round {
        center: Point::new(-50.0, 9.0),
        diameter_mm: 4.0,
    };
    let drill = |shape| Change::AddCutOut {
        shape,
        purpose: tangwright::knife::Purpose::Lightening,
        filling: tangwright::knife::Filling::Nothing,
    };
    let made = changed(&set, both(MiddleLine::Tang, drill(shape)));
    let centers = |set: &KnifeSet| -> Vec<Point> {
        knife(set)
            .cut_outs
            .iter()
            .map(|c| c.shape.center())
            .collect()
    };
    assert_eq!(
        centers(&made),
        vec![Point::new(-50.0, 9.0), Point::new(-50.0, 21.0)]
    );
    let id = knife(&made).cut_outs[0].id;
    let by = Vec2::new(3.0, -1.0);
    let shift = Change::Shift {
        things: vec![Thing::CutOut(id)],
        by,
    };
    let made = changed(&made, both(MiddleLine::Tang, shift));
    assert_eq!(
        centers(&made),
        vec![Point::new(-47.0, 8.0), Point::new(-47.0, 22.0)]
    );
    // On the middle line one hole is enough.
    let shape = CutShape::Round {
        center: Point::new(-80.0, 15.0),
        diameter_mm: 4.0,
    };
    let made = changed(&made, both(MiddleLine::Tang, drill(shape)));
    assert_eq!(centers(&made).len(), 3);
}

#[test]
fn a_middle_line_that_is_not_there_is_told() {
    let mut bare = plate();
    bare.landmarks.clear();
    let set = set_of(bare);
    let kind = LandmarkKind::Tip;
    let mirror = Change::MirrorSide {
        line: MiddleLine::Knife,
        keep: Side::Upper,
    };
    assert_eq!(
        refused(&set, mirror),
        EditError::Mirror(NoMirror::NoLandmark { kind })
    );
    // A tang that hangs wholly below the level of the shoulders' middle, y = 15: the line leaves the steel at the shoulder line, not at a butt.
    let mut low = plate();
    low.outline.node_mut(5).unwrap().at.y = 10.0;
    let step = tangwright::knife::Node::corner(low.take_id(), Point::new(0.0, 12.0));
    low.outline.nodes.insert(5, step);
    let set = set_of(low);
    for keep in [Side::Upper, Side::Lower] {
        let mirror = Change::MirrorSide {
            line: MiddleLine::Tang,
            keep,
        };
        let told = refused(&set, mirror);
        assert_eq!(told, EditError::Mirror(NoMirror::NoEnd { y_mm: 15.0 }));
        assert!(told.to_string().contains("middle line"), "{told}");
    }
}

/// A stroke with a tremble over the plate's upper edge.
fn stroke(from: f64, to: f64, rise: f64) -> Vec<Point> {
    (0..=60)
        .map(|i| f64::from(i) / 60.0)
        .map(|s| {
            let x = from + s * (to - from);
            let y = 30.0 + rise * (std::f64::consts::PI * s).sin().powi(2);
            Point::new(x, y + 0.04 * (37.0 * s).sin())
        })
        .collect()
}

#[test]
fn a_stretch_is_drawn_over_either_way() {
    let set = set_of(plate());
    for (from, to) in [(100.0, 20.0), (20.0, 100.0)] {
        let drawn = stroke(from, to, 5.0);
        let redraw = Change::Redraw {
            stroke: drawn.clone(),
            within_mm: 0.15,
        };
        let made = changed(&set, redraw);
        let made = knife(&made);
        // A hump of 5·sin²: its area is half of height times length.
        let grown = area(made) - area(knife(&set));
        assert!((grown - 200.0).abs() < 4.0, "{grown}");
        for p in &drawn {
            let off = made.contour().nearest(*p).unwrap().distance;
            assert!(off < 0.25, "{p:?} is {off} off");
        }
        assert!(
            made.outline.nodes.len() <= 6 + 2 + 5,
            "{}",
            made.outline.nodes.len()
        );
        assert!(outline_faults(&made.contour().pieces).is_empty());
        // The spine's start was on it and still is on the outline, near where it was.
        let spine = made.landmark_point(LandmarkKind::SpineStart).unwrap();
        assert!(spine.distance(Point::new(60.0, 30.0)) < 5.1, "{spine:?}");
        let lower = made.landmark_point(LandmarkKind::Heel).unwrap();
        assert_at(
            lower,
            plate().landmark_point(LandmarkKind::Heel).unwrap(),
            1e-9,
        );
    }
}

#[test]
fn strokes_that_can_not_be_meant_are_refused() {
    let set = set_of(plate());
    let redraw = |stroke| Change::Redraw {
        stroke,
        within_mm: 0.2,
    };
    assert_eq!(refused(&set, redraw(vec![])), EditError::ShortStroke);
    let dot = vec![Point::new(50.0, 30.0); 9];
    assert_eq!(refused(&set, redraw(dot)), EditError::ShortStroke);
    let hanging = vec![Point::new(50.0, 30.0), Point::new(60.0, 60.0)];
    let told = refused(&set, redraw(hanging)).to_string();
    assert!(
        told.starts_with("the stroke's end at x 60.0, y 60.0 mm is 30.0 mm off"),
        "{told}"
    );
    // Through the lower side and back: the outline would cross itself.
    let through = vec![
        Point::new(100.0, 30.0),
        Point::new(60.0, -12.0),
        Point::new(20.0, 30.0),
    ];
    assert!(matches!(
        refused(&set, redraw(through)),
        EditError::Crosses { .. }
    ));
}

#[test]
fn a_fuller_lies_at_its_distance_all_along() {
    let start = starter("chopper");
    let spine: Vec<Id> = {
        let spot = |kind| start.landmark(kind).unwrap().node;
        vec![
            spot(LandmarkKind::SpineStart),
            spot(LandmarkKind::UpperShoulder),
        ]
    };
    let set = set_of(start.clone());
    let fuller = Fuller {
        id: 0,
        name: "fuller".to_owned(),
        path: Outline::default(),
        faces: Faces::Both,
        nose_radius_mm: 3.0,
        depth_mm: 0.5,
    };
    let along = |in_mm| Change::FullerAlong {
        nodes: spine.clone(),
        in_mm,
        fuller: fuller.clone(),
    };
    let made = changed(&set, along(6.0));
    let path = &knife(&made).grinding.fullers[0].path;
    let stretch = start.outline.stretch_of(&spine).unwrap();
    let pieces = start.outline.pieces_of(stretch).unwrap();
    for i in 0..path.nodes.len() - 1 {
        let piece = path.piece(i).unwrap();
        for k in 0..=20 {
            let p = piece.eval(f64::from(k) / 20.0);
            let off = pieces
                .iter()
                .map(|q| q.nearest(p).1)
                .fold(f64::INFINITY, f64::min);
            assert!((off - 6.0).abs() < 0.05, "{off}");
        }
    }
    for in_mm in [0.0, -2.0] {
        assert_eq!(
            refused(&set, along(in_mm)),
            EditError::NoRoomInside { in_mm }
        );
    }
}
