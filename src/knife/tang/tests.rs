//! Tests of the tangs. Outside truths: the asked numbers themselves, circles and straight lines by the distance formula, and the definition of
//! a smooth joint (equal directions) and of even curvature.

mod refusals;

use kurbo::{Point, Vec2};

use super::*;
use crate::geometry::{Piece, SpanIndex, outline_faults};
use crate::knife::{Outline, Stock};

const SHOULDER_MM: f64 = 24.0;

/// A plain blade 100 mm long with a level spine; `handle` gives the lines at the shoulder handles to flow on.
fn blade(flowing: bool) -> Knife {
    let half = SHOULDER_MM / 2.0;
    let node = |id, x: f64, y: f64| Node::corner(id, Point::new(x, y));
    let mut nodes = vec![
        node(0, 0.0, -half),
        node(1, 10.0, -half - 1.0),
        node(2, 100.0, 0.0),
        node(3, 0.0, half),
        node(4, -50.0, 0.0),
    ];
    if flowing {
        nodes[0].handle_out = Some(Vec2::new(4.0, -0.2));
        nodes[1].handle_in = Some(Vec2::new(-3.0, 0.0));
        nodes[2].handle_out = Some(Vec2::new(-20.0, 12.0));
        nodes[3].handle_in = Some(Vec2::new(40.0, 1.0));
    }
    let mut knife = Knife {
        next_id: 5,
        ..Knife::bare(
            "",
            Outline { nodes },
            Stock::plain(3.0, 0.1, "steel"),
            Tang::Full(full_tang()),
        )
    };
    for (kind, node) in [
        (LandmarkKind::LowerShoulder, 0),
        (LandmarkKind::Heel, 1),
        (LandmarkKind::Tip, 2),
        (LandmarkKind::UpperShoulder, 3),
        (LandmarkKind::Butt, 4),
    ] {
        knife.set_landmark(kind, Spot { node, t: 0.0 });
    }
    knife.set_landmark(LandmarkKind::Plunge, Spot { node: 1, t: 0.25 });
    knife
}

fn full_tang() -> FullTang {
    FullTang {
        length_mm: 120.0,
        butt_height_mm: 25.0,
        belly_mm: 2.5,
        drop_mm: 4.0,
        finger_mm: 1.5,
        hook_mm: 3.0,
    }
}

fn hidden_tang() -> HiddenTang {
    HiddenTang {
        length_mm: 80.0,
        shoulder_width_mm: 12.0,
        end_width_mm: 7.0,
        shoulder_radius_mm: 2.5,
        end: TangEnd::Square,
    }
}

fn fitted(tang: Tang, flowing: bool) -> Knife {
    let mut knife = blade(flowing);
    fit_tang(&mut knife, tang).unwrap();
    knife
}

fn close(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() < 1e-9, "{what}: {a} is not {b}");
}

/// What every generated tang must keep: a sound outline, the asked length with the butt landmark at the very end, directions that
/// meet at smooth nodes, and an untouched blade.
fn check_made(knife: &Knife, length_mm: f64, flowing: bool) {
    let contour = knife.contour();
    assert_eq!(outline_faults(&contour.pieces), vec![], "outline is sound");
    let bounds = contour.bounds();
    close(bounds.x0, -length_mm, "rearmost point");
    let butt = knife.landmark_point(LandmarkKind::Butt).unwrap();
    close(butt.x, -length_mm, "butt landmark");
    let n = knife.outline.nodes.len();
    for (i, node) in knife.outline.nodes.iter().enumerate() {
        if node.joint == Joint::Smooth {
            let before = contour.pieces[(i + n - 1) % n].direction(1.0).unwrap();
            let after = contour.pieces[i].direction(0.0).unwrap();
            assert!((before - after).hypot() < 1e-9, "kink at {:?}", node.at);
        }
    }
    let old = blade(flowing);
    assert_eq!(knife.outline.nodes[1], old.outline.nodes[1], "heel node");
    assert_eq!(knife.outline.nodes[2], old.outline.nodes[2], "tip node");
    for kind in [LandmarkKind::Heel, LandmarkKind::Plunge, LandmarkKind::Tip] {
        assert_eq!(knife.landmark(kind), old.landmark(kind), "{}", kind.name());
    }
    for (kind, y) in [
        (LandmarkKind::LowerShoulder, -SHOULDER_MM / 2.0),
        (LandmarkKind::UpperShoulder, SHOULDER_MM / 2.0),
    ] {
        assert_eq!(knife.landmark_point(kind), Some(Point::new(0.0, y)));
    }
}

fn variants() -> Vec<FullTang> {
    let mut all = Vec::new();
    for length_mm in [95.0, 120.0, 140.0] {
        for butt_height_mm in [18.0, 30.0] {
            for (belly_mm, finger_mm) in [(0.0, 0.0), (3.0, 2.0), (-1.5, 4.0)] {
                for (drop_mm, hook_mm) in [(0.0, 0.0), (6.0, 8.0), (-3.0, 2.0)] {
                    all.push(FullTang {
                        length_mm,
                        butt_height_mm,
                        belly_mm,
                        drop_mm,
                        finger_mm,
                        hook_mm,
                    });
                }
            }
        }
    }
    all
}

#[test]
fn full_tangs_keep_their_numbers() {
    for tang in variants() {
        for flowing in [false, true] {
            let knife = fitted(Tang::Full(tang), flowing);
            check_made(&knife, tang.length_mm, flowing);
            let steel = knife.contour().index();
            // The base line: from the lower shoulder to the foot, whose place follows from the height at the butt.
            let height = tang.butt_height_mm + tang.hook_mm;
            let foot = Point::new(
                -tang.length_mm + 0.32 * height,
                -tang.drop_mm - tang.butt_height_mm / 2.0,
            );
            let base = |x: f64| {
                let front = -SHOULDER_MM / 2.0;
                front + (foot.y - front) * (x / foot.x)
            };
            let low = |x: f64| steel.depth_at(x).unwrap().0;
            let at = |share: f64| -share * tang.length_mm;
            let finger = at(FullTang::FINGER_AT);
            close(low(finger), base(finger) + tang.finger_mm, "finger relief");
            let belly = at(FullTang::BELLY_AT);
            close(low(belly), base(belly) - tang.belly_mm, "belly");
            close(low(foot.x), foot.y - tang.hook_mm, "hook");
            let high = steel.depth_at(-tang.length_mm + 0.44 * height).unwrap().1;
            close(high, -tang.drop_mm + tang.butt_height_mm / 2.0, "butt");
        }
    }
}

/// Curvature just before and just after a node.
fn curvatures(pieces: &[Piece], node: usize) -> (f64, f64) {
    let n = pieces.len();
    (
        pieces[(node + n - 1) % n].curvature(1.0),
        pieces[node % n].curvature(0.0),
    )
}

#[test]
fn full_tangs_bend_evenly() {
    for tang in variants() {
        let knife = fitted(Tang::Full(tang), true);
        let pieces = knife.contour().pieces;
        let index = |kind| {
            let spot = knife.landmark(kind).unwrap();
            knife.outline.index_of(spot.node).unwrap()
        };
        // At the rearmost point and at the three stations of the underside, curvature goes on without a step.
        let butt = index(LandmarkKind::Butt);
        for node in [butt, butt + 2, butt + 3, butt + 4] {
            let (before, after) = curvatures(&pieces, node);
            assert!((before - after).abs() < 1e-9, "step: {before} to {after}");
        }
        // The upper side bends one way.
        let upper = &pieces[index(LandmarkKind::UpperShoulder)];
        let bends: Vec<f64> = (0..=50)
            .map(|i| upper.curvature(f64::from(i) / 50.0))
            .collect();
        let one_way = bends.iter().all(|k| *k > -1e-12) || bends.iter().all(|k| *k < 1e-12);
        assert!(one_way, "the upper side wavers: {bends:?}");
    }
}

#[test]
fn full_tang_goes_on_as_the_blade_arrives() {
    let knife = fitted(Tang::Full(full_tang()), true);
    let joint = |kind: LandmarkKind| {
        let spot = knife.landmark(kind).unwrap();
        knife.outline.node(spot.node).unwrap().joint
    };
    assert_eq!(joint(LandmarkKind::UpperShoulder), Joint::Smooth);
    assert_eq!(joint(LandmarkKind::LowerShoulder), Joint::Smooth);

    // A face square to the handle is no line to go on with.
    let mut steep = blade(true);
    steep.outline.nodes[0].handle_out = Some(Vec2::new(0.0, -4.0));
    fit_tang(&mut steep, Tang::Full(full_tang())).unwrap();
    assert_eq!(steep.outline.nodes[0].joint, Joint::Corner);
    check_made(&steep, 120.0, true);
}

#[test]
fn hidden_tangs_keep_their_numbers() {
    for end in [TangEnd::Square, TangEnd::Round, TangEnd::Pointed] {
        for (shoulder_radius_mm, end_width_mm) in [(2.5, 7.0), (1.5, 12.0), (3.0, 4.0), (2.0, 14.0)]
        {
            let tang = HiddenTang {
                shoulder_radius_mm,
                end_width_mm,
                end,
                ..hidden_tang()
            };
            let knife = fitted(Tang::Hidden(tang), true);
            check_made(&knife, tang.length_mm, true);
            let steel = knife.contour().index();
            let width = |x: f64| steel.depth_at(x).map(|(low, high)| high - low).unwrap();
            let tail = match end {
                TangEnd::Square => -tang.length_mm + 1e-9,
                TangEnd::Pointed => -tang.length_mm + end_width_mm / 2.0,
                // Where the round begins: the first node of the end, ahead of the butt.
                TangEnd::Round => {
                    let butt = knife.landmark(LandmarkKind::Butt).unwrap().node;
                    let i = knife.outline.index_of(butt).unwrap();
                    knife.outline.nodes[i - 1].at.x
                }
            };
            // The sides are straight: two widths tell the width anywhere on their line.
            let (w20, w60) = (width(-20.0), width(-60.0));
            let on_side = |x: f64| w20 + (w60 - w20) * (x + 20.0) / -40.0;
            close(on_side(-shoulder_radius_mm), 12.0, "width at the shoulder");
            assert!(
                (on_side(tail) - end_width_mm).abs() < 1e-8,
                "width at the end"
            );
            close(width(-45.0), on_side(-45.0), "taper");
        }
    }
}

/// The nodes of the outline from one index to another, as one run of points.
fn run(knife: &Knife, piece: usize) -> Vec<Point> {
    let piece = knife.outline.piece(piece).unwrap();
    (0..=40).map(|i| piece.eval(f64::from(i) / 40.0)).collect()
}

#[test]
fn shoulder_radius_is_really_there() {
    let tang = hidden_tang();
    let knife = fitted(Tang::Hidden(tang), false);
    let upper = knife.landmark(LandmarkKind::UpperShoulder).unwrap().node;
    let i = knife.outline.index_of(upper).unwrap();
    // Shoulder, face, rounding: the circle that touches the face x = 0 at the first point has its center straight behind it.
    let points = run(&knife, i + 1);
    let center = points[0] - Vec2::new(tang.shoulder_radius_mm, 0.0);
    close(points[0].x, 0.0, "rounding begins on the face");
    for p in &points {
        let off = (p.distance(center) - tang.shoulder_radius_mm).abs();
        // Goldapp 1991: one cubic leaves a quarter circle by at most 2.7e-4 of the radius.
        assert!(off < 2.8e-4 * tang.shoulder_radius_mm, "off by {off}");
    }
    // It runs into the side without a kink.
    let pieces = knife.contour().pieces;
    let (a, b) = (
        pieces[i + 1].direction(1.0).unwrap(),
        pieces[i + 2].direction(0.0).unwrap(),
    );
    assert!((a - b).hypot() < 1e-9, "{a:?} {b:?}");

    // Without a radius the side meets the face in a corner.
    let sharp = HiddenTang {
        shoulder_radius_mm: 0.0,
        ..tang
    };
    let knife = fitted(Tang::Hidden(sharp), false);
    check_made(&knife, 80.0, false);
    let steel = knife.contour().index();
    let (low, high) = steel.depth_at(-1e-9).unwrap();
    assert!((high - low - 12.0).abs() < 1e-6);
}

#[test]
fn round_end_is_round() {
    let tang = HiddenTang {
        end: TangEnd::Round,
        ..hidden_tang()
    };
    let knife = fitted(Tang::Hidden(tang), false);
    let butt = knife.landmark(LandmarkKind::Butt).unwrap().node;
    let i = knife.outline.index_of(butt).unwrap();
    // The circle through the rearmost point and the two ends of the round, by the circumcircle of the three.
    let (a, b) = (knife.outline.nodes[i - 1].at, knife.outline.nodes[i].at);
    let (run_x, rise) = (a.x - b.x, a.y - b.y);
    let radius = (run_x * run_x + rise * rise) / (2.0 * run_x);
    let center = Point::new(b.x + radius, b.y);
    for p in run(&knife, i - 1).into_iter().chain(run(&knife, i)) {
        assert!((p.distance(center) - radius).abs() < 2.8e-4 * radius);
    }
    // The sides run into it without a kink.
    let pieces = knife.contour().pieces;
    let (side, round) = (
        pieces[i - 2].direction(1.0).unwrap(),
        pieces[i - 1].direction(0.0).unwrap(),
    );
    assert!((side - round).hypot() < 1e-9, "{side:?} {round:?}");
}

#[test]
fn tang_as_wide_as_the_shoulder_leaves_no_face() {
    let tang = HiddenTang {
        shoulder_width_mm: SHOULDER_MM,
        end_width_mm: SHOULDER_MM,
        shoulder_radius_mm: 0.0,
        ..hidden_tang()
    };
    let knife = fitted(Tang::Hidden(tang), false);
    check_made(&knife, 80.0, false);
    let bounds = SpanIndex::new(&knife.contour().pieces).bounds();
    close(bounds.width(), 180.0, "overall");
}

#[test]
fn a_tang_can_be_changed_and_changed_back() {
    let first = fitted(Tang::Full(full_tang()), true);
    let mut knife = first.clone();
    fit_tang(&mut knife, Tang::Hidden(hidden_tang())).unwrap();
    check_made(&knife, 80.0, true);
    fit_tang(&mut knife, Tang::Full(full_tang())).unwrap();
    check_made(&knife, 120.0, true);
    assert_eq!(knife.contour(), first.contour());
}

/// Closed forms: a tang as high as the shoulder without a radius is a plain taper, its area that of a trapezoid.
#[test]
fn a_partial_tang_may_leave_no_step() {
    let tang = HiddenTang {
        length_mm: 60.0,
        shoulder_width_mm: SHOULDER_MM,
        end_width_mm: 18.0,
        shoulder_radius_mm: 0.0,
        end: TangEnd::Square,
    };
    let knife = fitted(Tang::Partial(tang), false);
    check_made(&knife, 60.0, false);
    assert_eq!(knife.tang.name(), "partial");
    assert_eq!(knife.tang.shoulder_radius_mm(), 0.0);
    let behind = crate::geometry::Contour {
        pieces: knife
            .contour()
            .pieces
            .into_iter()
            .filter(|p| p.start().x.min(p.end().x) < -1.0)
            .collect(),
    };
    assert_eq!(behind.pieces.len(), 3, "two sides and an end, no step");
    let steel = knife.contour().index();
    let height = |x: f64| steel.depth_at(x).map(|(low, high)| high - low).unwrap();
    close(height(-30.0), (SHOULDER_MM + 18.0) / 2.0, "halfway");
    // With a step it is drawn as a hidden tang of the same numbers.
    let stub = HiddenTang {
        length_mm: 60.0,
        ..hidden_tang()
    };
    let partial = fitted(Tang::Partial(stub), true);
    let hidden = fitted(Tang::Hidden(stub), true);
    assert_eq!(partial.outline, hidden.outline);
    // One that is higher than its shoulder has room for says so.
    let high = HiddenTang {
        shoulder_width_mm: 23.0,
        ..stub
    };
    let mut knife = blade(false);
    let refused = fit_tang(&mut knife, Tang::Partial(high));
    assert!(matches!(refused, Err(TangError::ShoulderTooLow { .. })));
}
