//! A radius on any corner of any starter, between straight and curved sides: what is put there is that circle, and it touches both sides.

use std::collections::BTreeSet;
use std::f64::consts::FRAC_PI_2;

use kurbo::{ParamCurveNearest as _, Shape as _};
use tangwright::edit::{Change, Edit, EditError, apply};
use tangwright::geometry::{Piece, Point, Vec2, outline_faults};
use tangwright::knife::{Id, Knife, Mend, MendError, Outline};

use super::bench::{changed, knife, set_of, starters};

/// A cubic's quarter circle is within 0.03 % of its radius (A. Riškus, Information Technology and Control 35 (2006), eq. 9).
const OFF_THE_CIRCLE: f64 = 3e-4;
/// What closing in and rounding may leave, mm.
const ROUNDING_MM: f64 = 1e-6;

fn mend(node: Id, radius_mm: f64) -> Change {
    Change::Mend {
        mend: Mend::RoundCorners {
            of: None,
            nodes: vec![node],
            radius_mm,
        },
    }
}

/// How far a place is from a piece, by kurbo's own search.
fn off(piece: &Piece, p: Point) -> f64 {
    let near = match piece {
        Piece::Cubic(c) => c.nearest(p, 1e-12),
        Piece::Line(l) => l.nearest(p, 1e-12),
        Piece::Arc(_) => panic!("outlines have none"),
    };
    near.distance_sq.sqrt()
}

/// The direction of a piece at a place on it, by differences of its points.
fn way(piece: &Piece, at: Point) -> Vec2 {
    let t = match piece {
        Piece::Cubic(c) => c.nearest(at, 1e-12).t,
        Piece::Line(l) => l.nearest(at, 1e-12).t,
        Piece::Arc(_) => panic!("outlines have none"),
    };
    let (a, b) = ((t - 1e-5).max(0.0), (t + 1e-5).min(1.0));
    (piece.eval(b) - piece.eval(a)).normalize()
}

/// The middle of the circle through three places.
fn middle(a: Point, b: Point, c: Point) -> Point {
    let (u, v) = (b - a, c - a);
    let d = 2.0 * u.cross(v);
    let (uu, vv) = (u.hypot2(), v.hypot2());
    a + Vec2::new(v.y * uu - u.y * vv, u.x * vv - v.x * uu) / d
}

/// The sides of the corner at a node.
fn sides(outline: &Outline, node: Id) -> (Piece, Piece) {
    let (n, i) = (outline.nodes.len(), outline.index_of(node).unwrap());
    let before = outline.piece((i + n - 1) % n).unwrap();
    (before, outline.piece(i).unwrap())
}

/// The new pieces between the nodes that were not there before.
fn arc(own: &Knife, made: &Knife) -> Vec<Piece> {
    let old: BTreeSet<Id> = own.outline.nodes.iter().map(|n| n.id).collect();
    let nodes = &made.outline.nodes;
    let new = |i: usize| !old.contains(&nodes[i % nodes.len()].id);
    (0..nodes.len())
        .filter(|i| new(*i) && new(i + 1))
        .map(|i| made.outline.piece(i).unwrap())
        .collect()
}

/// Measures what came of rounding a corner by `r`: one circle of that radius between places on both sides, running on as the sides do.
fn measure(own: &Knife, made: &Knife, node: Id, r: f64) {
    let told = format!("{}, node {node}, radius {r}", own.name);
    let (arriving, leaving) = sides(&own.outline, node);
    let arc = arc(own, made);
    assert!(!arc.is_empty() && arc.len() <= 2, "{told}: {}", arc.len());
    assert!(made.outline.node(node).is_none(), "{told}: the corner went");
    let (start, end) = (arc[0].start(), arc[arc.len() - 1].end());
    let half = arc[0].eval(if arc.len() == 1 { 0.5 } else { 1.0 });
    let center = middle(start, half, end);
    let slack = OFF_THE_CIRCLE * r + ROUNDING_MM;
    for piece in &arc {
        for i in 0..=40 {
            let p = piece.eval(f64::from(i) / 40.0);
            let near = center.distance(p);
            assert!((near - r).abs() <= slack, "{told}: {near} from the middle");
        }
    }
    // It begins and ends on the sides and has its middle the radius from both, so that it touches and does not cross them.
    for (side, at) in [(&arriving, start), (&leaving, end)] {
        assert!(off(side, at) <= ROUNDING_MM, "{told}: {at:?} is off");
        let near = off(side, center);
        assert!((near - r).abs() <= slack, "{told}: side {near} away");
    }
    let runs_on = |a: Vec2, b: Vec2| a.cross(b).abs() < 1e-3 && a.dot(b) > 0.0;
    assert!(
        runs_on(way(&arriving, start), way(&arc[0], start)),
        "{told}: a corner where it begins"
    );
    assert!(
        runs_on(way(&arc[arc.len() - 1], end), way(&leaving, end)),
        "{told}: a corner where it ends"
    );
    // All else is as it was: the outline is off its old course nowhere but at the corner.
    let reach = start.distance(end).max(2.0 * r);
    let course = own.contour();
    for piece in &made.contour().pieces {
        for i in 0..10 {
            let p = piece.eval(f64::from(i) / 10.0);
            let at_it = p.distance(half) <= reach;
            let astray = course.pieces.iter().map(|q| off(q, p));
            let astray = astray.fold(f64::INFINITY, f64::min);
            assert!(at_it || astray <= 1e-5, "{told}: {astray} off at {p:?}");
        }
    }
    assert!(outline_faults(&made.contour().pieces).is_empty(), "{told}");
}

/// Whether a side is curved by more than its corner's radius could hide.
fn is_curved(piece: &Piece) -> bool {
    match piece {
        Piece::Cubic(c) => {
            let chord = kurbo::Line::new(c.p0, c.p3);
            let mid = piece.eval(0.5);
            chord.nearest(mid, 1e-9).distance_sq.sqrt() > 0.05
        }
        _ => false,
    }
}

/// The free length of the shorter side: an arc between straight sides that turn by φ takes r·tan(φ/2) of each.
fn room(own: &Knife, node: Id) -> f64 {
    let (arriving, leaving) = sides(&own.outline, node);
    let length = |piece: &Piece| match piece {
        Piece::Cubic(c) => kurbo::CubicBez::perimeter(c, 1e-6),
        other => other.start().distance(other.end()),
    };
    length(&arriving).min(length(&leaving))
}

#[test]
fn every_corner_of_every_starter_takes_a_radius_that_touches_both_sides() {
    let (mut n, mut n_curved, mut n_wide) = (0, 0, 0);
    for start in starters() {
        let set = set_of(start.clone());
        let corners: Vec<Id> = start.outline.nodes.iter().map(|n| n.id).collect();
        let mut here = 0;
        for node in corners {
            let Some(corner) = start.outline.corner_at(node) else {
                continue;
            };
            here += 1;
            let (arriving, leaving) = sides(&start.outline, node);
            for r in [0.2, 0.5, 1.5, 4.0] {
                let takes = r * corner.half_turn_rad.tan();
                let made = match apply(&set, &Edit::knife(0, mend(node, r))) {
                    Ok(made) => made,
                    Err(told) => {
                        // Only a lack of room refuses, and none where the sides are three times as long as straight ones need be.
                        assert!(
                            matches!(told, EditError::Mend(MendError::NoRoom { .. })),
                            "{}, node {node}, {r}: {told}",
                            start.name
                        );
                        assert!(
                            3.0 * takes > room(&start, node),
                            "{}, node {node}, {r}: {told}; turns by {} with {} of side",
                            start.name,
                            2.0 * corner.half_turn_rad,
                            room(&start, node)
                        );
                        continue;
                    }
                };
                measure(&start, knife(&made), node, r);
                n += 1;
                n_curved += usize::from(is_curved(&arriving) || is_curved(&leaving));
                n_wide += usize::from(2.0 * corner.half_turn_rad > FRAC_PI_2);
            }
        }
        assert!(here > 0, "{} has a corner", start.name);
    }
    // The loop must have seen what it is about.
    assert!(n >= 60 && n_curved >= 20, "{n}, {n_curved}, {n_wide}");
}

/// Between an edge that is a circle of 80 mm and its chord the arc has a closed form: its middle is r above the chord and 80 − r from the circle's middle.
#[test]
fn between_a_circle_and_its_chord_the_arc_is_where_it_has_to_be() {
    let big = 80.0;
    // A quarter of the circle about the origin as a cubic, from (80, 0) round to (0, 80), and straight back.
    let mut segment = super::bench::polygon(&[(big, 0.0), (0.0, big), (0.0, 0.0)]);
    let k = 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0) * big;
    segment.outline.node_mut(0).unwrap().handle_out = Some(Vec2::new(0.0, k));
    segment.outline.node_mut(1).unwrap().handle_in = Some(Vec2::new(k, 0.0));
    let set = set_of(segment.clone());
    for r in [2.0, 8.0, 20.0] {
        let made = changed(&set, mend(0, r));
        measure(&segment, knife(&made), 0, r);
        let arc = arc(&segment, knife(&made));
        let (start, end) = (arc[0].start(), arc[arc.len() - 1].end());
        // It touches the level side below its middle, and the circle on the line from the origin through it.
        let x = ((big - r).powi(2) - r * r).sqrt();
        let on_rim = Vec2::new(x, r).normalize() * big;
        assert!(start.distance(Point::new(x, 0.0)) < 0.05, "{start:?} {x}");
        assert!(end.distance(on_rim.to_point()) < 0.05, "{end:?} {on_rim:?}");
    }
}
