//! Stretches of the outline made straight, fair, one curve; pieces split; corners rounded without a crossing.

use geo::{Distance as _, Euclidean, LineString, coord};
use tangwright::edit::{Change, Edit, EditError, History};
use tangwright::geometry::{Point, outline_faults};
use tangwright::knife::{Id, Knife, LandmarkKind, Mend, Outline};

use super::bench::{
    assert_at, assert_near, changed, knife, plate, polygon, refused, set_of, starters,
};

/// Points along an outline, many to a piece.
fn points(outline: &Outline) -> Vec<Point> {
    (0..outline.nodes.len())
        .filter_map(|i| outline.piece(i))
        .flat_map(|p| (0..60).map(move |k| p.eval(f64::from(k) / 60.0)))
        .collect()
}

/// How far the points of one outline are from another at most, as the geo library tells it.
fn off(of: &Outline, from: &Outline) -> f64 {
    let mut ring: Vec<_> = points(from)
        .iter()
        .map(|p| coord! { x: p.x, y: p.y })
        .collect();
    ring.push(ring[0]);
    let ring = LineString::new(ring);
    let far = points(of).into_iter().map(|p| {
        let p = geo::Point::new(p.x, p.y);
        Euclidean.distance(&p, &ring)
    });
    far.fold(0.0, f64::max)
}

/// A plate whose upper edge wobbles by so much between x 0 and 120.
fn wobbly(by: f64) -> Knife {
    let mut corners = vec![(-100.0, 0.0), (0.0, 0.0), (120.0, 0.0), (120.0, 30.0)];
    for i in 1..24 {
        let x = 120.0 - 5.0 * f64::from(i);
        let bow = 4.0 * (std::f64::consts::PI * x / 120.0).sin();
        corners.push((x, 30.0 + bow + if i % 2 == 0 { by } else { -by }));
    }
    corners.extend([(0.0, 30.0), (-100.0, 30.0)]);
    polygon(&corners)
}

fn crosses(knife: &Knife) -> bool {
    !outline_faults(&knife.contour().pieces).is_empty()
}

#[test]
fn a_wobbly_stretch_becomes_few_fair_curves_within_the_distance() {
    let start = wobbly(0.1);
    let ends: Vec<Id> = vec![3, 27];
    let set = set_of(start.clone());
    for within_mm in [0.25, 0.5] {
        let made = changed(
            &set,
            Change::Fair {
                nodes: ends.clone(),
                within_mm,
            },
        );
        let made = knife(&made);
        assert!(
            made.outline.nodes.len() <= 8,
            "{}",
            made.outline.nodes.len()
        );
        assert!(off(&made.outline, &start.outline) <= within_mm + 1e-3);
        assert!(off(&start.outline, &made.outline) <= within_mm + 1e-3);
        assert!(!crosses(made));
        // The ends stay where they are.
        for id in &ends {
            let at = |k: &Knife| k.outline.node(*id).unwrap().at;
            assert_at(at(made), at(&start), 1e-12);
        }
        // Curvature keeps its sign over the bow: kurbo counts it, nothing of ours.
        let stretch = made.outline.stretch_of(&ends).unwrap();
        for piece in made.outline.pieces_of(stretch).unwrap() {
            let tangwright::geometry::Piece::Cubic(c) = piece else {
                panic!("it is curved")
            };
            for i in 1..12 {
                use kurbo::ParamCurveCurvature as _;
                let k = c.curvature(f64::from(i) / 12.0);
                assert!(k < 2e-3, "a bow that wobbles no more: {k}");
            }
        }
    }
}

#[test]
fn a_starters_stretch_made_fair_stays_within_the_distance_and_keeps_its_landmarks_near() {
    let (mut n_made, mut n_asked) = (0, 0);
    for start in starters() {
        let set = set_of(start.clone());
        let ids: Vec<Id> = start.outline.nodes.iter().map(|n| n.id).collect();
        for pair in ids.windows(3) {
            let nodes = vec![pair[0], pair[2]];
            let fair = Edit::knife(
                0,
                Change::Fair {
                    nodes,
                    within_mm: 0.3,
                },
            );
            n_asked += 1;
            let Ok(made) = tangwright::edit::apply(&set, &fair) else {
                continue;
            };
            n_made += 1;
            let made = knife(&made);
            assert!(off(&made.outline, &start.outline) <= 0.301);
            assert!(!crosses(made));
            for kind in LandmarkKind::ALL {
                if let (Some(a), Some(b)) = (start.landmark_point(kind), made.landmark_point(kind))
                {
                    assert!(
                        a.distance(b) <= 0.31,
                        "{} moved by {}",
                        kind.name(),
                        a.distance(b)
                    );
                }
            }
        }
    }
    assert_eq!(n_made, n_asked, "a stretch was refused");
    assert!(n_made >= 80, "{n_made}");
}

#[test]
fn straightening_takes_the_nodes_between_out() {
    let start = wobbly(0.8);
    let set = set_of(start);
    let made = changed(
        &set,
        Change::Straighten {
            nodes: vec![3, 10, 27],
        },
    );
    let made = knife(&made);
    assert_eq!(made.outline.nodes.len(), 6);
    assert_near(made.contour().moments().area, 220.0 * 30.0, 1e-9);
    // A single node goes, and its sides become one line.
    let one = changed(&set_of(plate()), Change::Straighten { nodes: vec![1] });
    assert_eq!(knife(&one).outline.nodes.len(), 5);
    assert_near(knife(&one).contour().moments().area, 220.0 * 30.0, 1e-9);
    // The heel sat on the stretch and stays where it was.
    let heel = |k: &Knife| k.landmark_point(LandmarkKind::Heel).unwrap();
    assert_at(heel(knife(&one)), heel(&plate()), 1e-9);
}

#[test]
fn a_stretch_is_what_lies_between_the_outermost_picks() {
    let plate = plate();
    let of = |nodes: &[Id]| {
        let s = plate.outline.stretch_of(nodes).unwrap();
        (s.from, s.to)
    };
    // 0 -100.0 1 -120.0 2 -30.0 3 -120.0 4 -100.0 5 -30.0 0: the longest way from one to the next is left out.
    assert_eq!(of(&[1, 2]), (1, 2));
    assert_eq!(of(&[2, 3]), (2, 3));
    assert_eq!(of(&[4, 1]), (4, 1));
    assert_eq!(of(&[5, 0, 4]), (4, 0));
    assert_eq!(of(&[2]), (1, 3));
    assert_eq!(plate.outline.stretch_of(&[]), None);
    assert_eq!(plate.outline.stretch_of(&[99]), None);
}

#[test]
fn pieces_are_joined_into_one_curve_or_the_distance_is_told() {
    let start = wobbly(0.05);
    let set = set_of(start.clone());
    let nodes = vec![3, 27];
    let join = |within_mm| Change::JoinPieces {
        nodes: nodes.clone(),
        within_mm,
    };
    let made = changed(&set, join(0.5));
    assert_eq!(knife(&made).outline.nodes.len(), 6);
    assert!(off(&start.outline, &knife(&made).outline) <= 0.501);
    let told = refused(&set, join(0.01)).to_string();
    assert!(
        told.starts_with("one curve would leave this stretch by 0."),
        "{told}"
    );
}

#[test]
fn a_piece_is_split_in_equal_lengths_and_keeps_its_shape() {
    for start in starters() {
        let set = set_of(start.clone());
        for (i, node) in start.outline.nodes.iter().enumerate() {
            let whole = start.outline.piece(i).unwrap();
            for parts in [2, 3, 7] {
                let made = changed(
                    &set,
                    Change::SplitPiece {
                        node: node.id,
                        parts,
                    },
                );
                let outline = &knife(&made).outline;
                assert_eq!(
                    outline.nodes.len(),
                    start.outline.nodes.len() + parts as usize - 1
                );
                for k in 0..parts as usize {
                    // Lengths as kurbo measures them.
                    let own = match outline.piece(i + k).unwrap() {
                        tangwright::geometry::Piece::Cubic(c) => {
                            kurbo::ParamCurveArclen::arclen(&c, 1e-9)
                        }
                        line => line.start().distance(line.end()),
                    };
                    assert_near(own, whole.length() / f64::from(parts), 1e-4);
                }
                let area = |k: &Knife| k.contour().moments().area;
                assert_near(area(knife(&made)) / area(&start), 1.0, 1e-9);
            }
        }
    }
    let set = set_of(plate());
    for parts in [0, 1, 51, u32::MAX] {
        let split = Change::SplitPiece { node: 1, parts };
        assert_eq!(refused(&set, split), EditError::Parts { parts });
    }
}

#[test]
fn what_would_cross_itself_is_refused_with_its_place() {
    // A deep notch from above; straightening the lower side would run through it.
    let notched = polygon(&[
        (-100.0, 0.0),
        (0.0, -20.0),
        (120.0, 0.0),
        (120.0, 30.0),
        (40.0, 30.0),
        (38.0, -5.0),
        (36.0, 30.0),
        (-100.0, 30.0),
    ]);
    let set = set_of(notched);
    let told = refused(&set, Change::Straighten { nodes: vec![0, 2] });
    assert!(matches!(told, EditError::Crosses { .. }), "{told}");
    assert!(
        told.to_string().contains("x "),
        "it names the place: {told}"
    );
}

#[test]
fn what_is_no_stretch_is_refused() {
    let set = set_of(plate());
    let all: Vec<Id> = (0..6).collect();
    for nodes in [vec![], all] {
        let told = refused(&set, Change::Straighten { nodes });
        assert_eq!(told, EditError::NoStretch);
    }
    let gone = refused(&set, Change::Straighten { nodes: vec![77] });
    assert_eq!(gone, EditError::Gone { what: "node" });
    for within_mm in [0.0, -1.0] {
        let fair = Change::Fair {
            nodes: vec![1, 3],
            within_mm,
        };
        assert_eq!(refused(&set, fair), EditError::NotFair { within_mm });
    }
}

#[test]
fn a_radius_dragged_anew_rounds_the_sharp_corner_each_time() {
    let mut history = History::new(set_of(plate()));
    let round = |radius_mm| {
        let nodes = vec![2];
        Edit::knife(
            0,
            Change::Mend {
                mend: Mend::RoundCorners {
                    of: None,
                    nodes,
                    radius_mm,
                },
            },
        )
    };
    history.begin_gesture("round the corner");
    for radius in [1.0, 6.0, 3.0] {
        history.apply_anew(Some(&round(radius))).unwrap();
        // A right angle rounded loses r²(1 − π/4); a cubic's quarter circle is within 0.03 % of its radius.
        let lost = 220.0 * 30.0 - knife(history.set()).contour().moments().area;
        let wanted = radius * radius * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!(
            (lost - wanted).abs() < 1e-3 * radius * radius,
            "{radius}: {lost}"
        );
    }
    // A radius with no room leaves the last one standing.
    assert!(history.apply_anew(Some(&round(40.0))).is_err());
    assert_eq!(knife(history.set()).outline.nodes.len(), 7);
    history.apply_anew(None).unwrap();
    assert_eq!(*history.set(), set_of(plate()));
    history.apply_anew(Some(&round(2.0))).unwrap();
    history.end_gesture();
    assert_eq!(history.undo_depth(), 1);
    history.undo();
    assert_eq!(*history.set(), set_of(plate()));
}
