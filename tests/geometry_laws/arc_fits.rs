//! Arc fits: how near they stay, how smooth they are, how many arcs they take.

use proptest::prelude::*;
use tangwright::geometry::{CubicBez, Piece, arcs_within};

use super::shapes::{blob, cubic, kitchen_outline, line, place, to_segment};

/// How far the farthest of many points of `a` is from `b`, within 1e-6 mm or so.
fn farthest(a: &[Piece], b: &[Piece], steps: u32) -> f64 {
    a.iter()
        .flat_map(|piece| (0..=steps).map(|i| piece.eval(f64::from(i) / f64::from(steps))))
        .map(|p| {
            b.iter()
                .map(|q| q.nearest(p).1)
                .fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max)
}

/// The chain holds together, begins and ends where the piece does, and lies within the tolerance both ways.
fn check(piece: &Piece, tolerance: f64) -> Vec<Piece> {
    let arcs = arcs_within(piece, tolerance);
    assert!(arcs.iter().all(|p| !matches!(p, Piece::Cubic(_))));
    assert!(arcs[0].start().distance(piece.start()) < 1e-7);
    assert!(arcs[arcs.len() - 1].end().distance(piece.end()) < 1e-7);
    for pair in arcs.windows(2) {
        assert!(pair[0].end().distance(pair[1].start()) < 1e-7, "{pair:?}");
    }
    let there = farthest(&[*piece], &arcs, 600);
    assert!(there <= tolerance, "{there} from the curve to its arcs");
    let back = farthest(&arcs, &[*piece], 40);
    assert!(back <= tolerance, "{back} from the arcs to their curve");
    arcs
}

/// Largest angle between the end of one piece and the start of the next; half a turn where one has no direction.
fn largest_kink(arcs: &[Piece]) -> f64 {
    arcs.windows(2)
        .map(
            |pair| match (pair[0].direction(1.0), pair[1].direction(0.0)) {
                (Some(a), Some(b)) => a.cross(b).atan2(a.dot(b)).abs(),
                _ => std::f64::consts::PI,
            },
        )
        .fold(0.0, f64::max)
}

#[test]
fn a_kitchen_outline_takes_few_arcs() {
    let mut count = 0;
    for piece in &kitchen_outline().pieces {
        let arcs = check(piece, 0.01);
        assert!(largest_kink(&arcs) < 1e-4, "{}", largest_kink(&arcs));
        if let Piece::Cubic(_) = piece {
            for t in [0.0, 1.0] {
                let end = if t == 0.0 {
                    arcs[0]
                } else {
                    arcs[arcs.len() - 1]
                };
                let off = end.direction(t).unwrap().cross(piece.direction(t).unwrap());
                assert!(off.abs() < 1e-4, "{off}");
            }
        }
        count += arcs.len();
    }
    assert!(count <= 60, "{count} arcs");
}

#[test]
fn finer_tolerances_are_kept_too() {
    for tolerance in [1.0, 0.1, 1e-3, 1e-4] {
        for piece in &kitchen_outline().pieces {
            check(piece, tolerance);
        }
    }
}

#[test]
fn lines_and_arcs_come_back_as_they_are() {
    let straight = line((0.0, 0.0), (7.0, 1.0));
    assert_eq!(arcs_within(&straight, 0.01), vec![straight]);
    let round = kurbo::Point::ZERO;
    for piece in &tangwright::geometry::Contour::circle(round, 4.0).pieces {
        assert_eq!(arcs_within(piece, 0.01), vec![*piece]);
    }
    let wild = cubic([(0.0, 0.0), (f64::NAN, 1.0), (2.0, 1.0), (3.0, 0.0)]);
    assert_eq!(arcs_within(&wild, 0.01).len(), 1);
}

#[test]
fn straight_cubics_become_one_line() {
    // Handles of a third, of no length, and long ones.
    for (a, b) in [(1.0 / 3.0, 2.0 / 3.0), (0.0, 1.0), (0.9, 0.1)] {
        let (p, q) = (kurbo::Point::new(1.0, 2.0), kurbo::Point::new(40.0, 17.0));
        let piece = Piece::Cubic(CubicBez::new(p, p.lerp(q, a), p.lerp(q, b), q));
        let arcs = check(&piece, 0.01);
        assert_eq!(arcs, vec![Piece::line(p, q)]);
    }
}

#[test]
fn odd_cubics_are_fitted_as_well() {
    let odd = [
        // Handles of no length at one end or both.
        cubic([(0.0, 0.0), (0.0, 0.0), (30.0, 20.0), (50.0, 0.0)]),
        cubic([(0.0, 0.0), (20.0, 20.0), (50.0, 0.0), (50.0, 0.0)]),
        cubic([(0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (50.0, 10.0)]),
        // A cusp, a loop, an S, a hairpin.
        cubic([(0.0, 0.0), (30.0, 30.0), (0.0, 30.0), (30.0, 0.0)]),
        cubic([(0.0, 0.0), (90.0, 60.0), (-30.0, 60.0), (60.0, 0.0)]),
        cubic([(0.0, 0.0), (40.0, 0.0), (10.0, 30.0), (50.0, 30.0)]),
        cubic([(0.0, 0.0), (100.0, 1.0), (100.0, -1.0), (0.0, 0.5)]),
        // Straight, but overshooting and coming back.
        cubic([(0.0, 0.0), (60.0, 30.0), (-20.0, -10.0), (40.0, 20.0)]),
        // Closed in itself; tiny; huge.
        cubic([(0.0, 0.0), (120.0, 10.0), (20.0, 80.0), (0.0, 0.0)]),
        cubic([(0.0, 0.0), (0.001, 0.002), (0.003, 0.002), (0.004, 0.0)]),
        cubic([
            (0.0, 0.0),
            (2000.0, 4000.0),
            (6000.0, 4000.0),
            (8000.0, 0.0),
        ]),
        // Turning points a hair from its ends.
        cubic([(0.0, 0.0), (1e-9, 10.0), (20.0, 20.0 + 1e-9), (30.0, 20.0)]),
        cubic([(0.0, 0.0), (-1e-7, 10.0), (20.0, 20.0 + 1e-7), (30.0, 20.0)]),
    ];
    for piece in odd {
        for tolerance in [0.1, 0.01] {
            let arcs = check(&piece, tolerance);
            assert!(arcs.len() < 120, "{} for {piece:?}", arcs.len());
        }
    }
}

#[test]
fn a_quarter_circle_cubic_becomes_that_circle() {
    let k = 20.0 * 0.552_284_749_830_793_4;
    let quarter = cubic([(20.0, 0.0), (20.0, k), (k, 20.0), (0.0, 20.0)]);
    let arcs = check(&quarter, 0.01);
    assert_eq!(arcs.len(), 2);
    for arc in arcs {
        let Piece::Arc(arc) = arc else {
            panic!("{arc:?}")
        };
        // The cubic leaves the circle by up to 2.7e-4 of the radius (M. Goldapp, CAGD 8 (1991)).
        assert!((arc.radius - 20.0).abs() < 0.06 && arc.center.to_vec2().hypot() < 0.06);
    }
}

#[test]
fn no_tolerance_still_ends() {
    let piece = kitchen_outline().pieces[1];
    for tolerance in [0.0, -1.0, f64::NAN] {
        let arcs = arcs_within(&piece, tolerance);
        assert!(arcs.len() < 5000, "{}", arcs.len());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn any_cubic_is_fitted(a in place(50.0), b in place(50.0), c in place(50.0), d in place(50.0)) {
        let piece = Piece::Cubic(CubicBez::new(a, b, c, d));
        let arcs = check(&piece, 0.02);
        prop_assert!(arcs.len() < 150, "{}", arcs.len());
    }

    #[test]
    fn smooth_outlines_stay_smooth(contour in blob()) {
        for piece in &contour.pieces {
            let arcs = check(piece, 0.01);
            prop_assert!(largest_kink(&arcs) < 1e-3, "{}", largest_kink(&arcs));
        }
    }
}

#[test]
fn the_brute_force_itself_measures_right() {
    let p = kurbo::Point::new(3.0, 4.0);
    assert_eq!(
        to_segment(p, kurbo::Point::ZERO, kurbo::Point::new(10.0, 0.0)),
        4.0
    );
    assert_eq!(to_segment(p, kurbo::Point::ZERO, kurbo::Point::ZERO), 5.0);
    let lifted = line((0.0, 1.0), (10.0, 1.0));
    let off = farthest(&[lifted], &[line((0.0, 0.0), (10.0, 0.0))], 10);
    assert!((off - 1.0).abs() < 1e-12);
}
