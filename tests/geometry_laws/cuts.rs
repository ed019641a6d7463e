//! Inside tests, vertical cuts, circles against contours, nearest places, the largest depth.

use std::f64::consts::PI;

use proptest::prelude::*;
use tangwright::geometry::{
    Contour, Motion, Piece, Point, Rect, Vec2, outline_faults, segment_gap,
};

use super::shapes::{
    arc_between, at, blob, cubic, inside_polyline, kitchen_outline, line, place, to_polyline,
    wild_contour,
};

const FLAT: f64 = 1e-4;

proptest! {
    /// Even–odd by ray casting on a polyline 1e-4 mm from the curves, away from the boundary by more than that.
    #[test]
    fn contains_agrees_with_a_fine_polyline(
        contour in wild_contour(),
        free in prop::collection::vec(place(60.0), 12),
        share in -1.5..1.5,
    ) {
        let index = contour.index();
        let polyline = contour.flattened(FLAT);
        // Points level with or under the ends of pieces are where parity goes wrong if it does.
        let level = contour.pieces.iter().flat_map(|p| {
            let s = p.start();
            [at(s.x + share * 40.0, s.y), at(s.x, s.y + share * 40.0)]
        });
        for p in free.iter().copied().chain(level) {
            if to_polyline(&polyline, p) > 3.0 * FLAT {
                prop_assert_eq!(index.contains(p), inside_polyline(&polyline, p), "{:?}", p);
            }
        }
    }

    /// Between two heights next to each other the line is inside and outside by turns; each height is on the contour.
    #[test]
    fn heights_come_in_pairs_that_bound_the_inside(contour in wild_contour(), x in -70.0..70.0) {
        let index = contour.index();
        let heights = index.heights_at(x);
        prop_assert_eq!(heights.len() % 2, 0);
        prop_assert!(heights.is_sorted());
        for y in &heights {
            let off = contour.nearest(at(x, *y)).unwrap().distance;
            prop_assert!(off < 1e-9, "{} off by {}", y, off);
        }
        let polyline = contour.flattened(FLAT);
        for (i, pair) in heights.windows(2).enumerate() {
            let middle = at(x, f64::midpoint(pair[0], pair[1]));
            if to_polyline(&polyline, middle) > 3.0 * FLAT {
                prop_assert_eq!(inside_polyline(&polyline, middle), i % 2 == 0);
            }
        }
        let ends = heights.first().copied().zip(heights.last().copied());
        prop_assert_eq!(index.depth_at(x), ends);
    }

    /// A vertical line through an end of a piece meets a closed contour an even number of times as well.
    #[test]
    fn heights_are_even_at_the_ends_of_pieces(contour in wild_contour(), turn in 0.0..7.0) {
        let motion = Motion { mirrored: false, turn_rad: turn, shift: Vec2::new(0.1, 0.2) };
        for contour in [contour.moved(&motion), contour] {
            let index = contour.index();
            for piece in &contour.pieces {
                for t in piece.turning_parameters().into_iter().chain([0.0, 1.0]) {
                    prop_assert_eq!(index.heights_at(piece.eval(t).x).len() % 2, 0);
                }
            }
        }
    }

    /// Against the distance to a polyline 1e-4 mm from the curves.
    #[test]
    fn nearest_and_comes_within_agree_with_a_fine_polyline(
        contour in wild_contour(),
        p in place(70.0),
    ) {
        let polyline = contour.flattened(FLAT);
        let brute = to_polyline(&polyline, p);
        let nearest = contour.nearest(p).unwrap();
        prop_assert!((nearest.distance - brute).abs() <= 1.01 * FLAT, "{:?} {}", nearest, brute);
        prop_assert!((nearest.at.distance(p) - nearest.distance).abs() < 1e-12);
        prop_assert!(nearest.at.distance(contour.pieces[nearest.piece].eval(nearest.t)) < 1e-12);
        let index = contour.index();
        prop_assert!(index.comes_within(p, nearest.distance + 1e-7));
        prop_assert!(!index.comes_within(p, nearest.distance - 1e-7));
    }

    /// Against the distance of a segment to every chord of a polyline 1e-4 mm from the curves.
    #[test]
    fn comes_near_agrees_with_a_fine_polyline(contour in wild_contour(), p in place(70.0), q in place(70.0)) {
        let polyline = contour.flattened(FLAT);
        let next = polyline.iter().cycle().skip(1);
        let brute = polyline
            .iter()
            .zip(next)
            .map(|(a, b)| segment_gap((*a, *b), (p, q)).0)
            .fold(f64::INFINITY, f64::min);
        let index = contour.index();
        prop_assert!(index.comes_near((p, q), brute + 1.01 * FLAT));
        prop_assert!(!index.comes_near((p, q), brute - 1.01 * FLAT));
    }

    /// No place of a simple contour is deeper than the largest depth, and some place is as deep.
    #[test]
    fn largest_depth_is_the_largest(contour in blob(), share in 0.0..1.0) {
        let index = contour.index();
        let bounds = index.bounds();
        let from = bounds.x0 + share * bounds.width();
        let found = index.largest_depth(from, bounds.x1);
        let mut brute = 0.0_f64;
        for i in 0..3000 {
            let x = from + (bounds.x1 - from) * f64::from(i) / 3000.0;
            let (low, high) = index.depth_at(x).unwrap_or_default();
            brute = brute.max(high - low);
        }
        prop_assert!(found >= brute - 1e-9, "{} under {}", found, brute);
        prop_assert!(found <= brute + 0.02, "{} over {}", found, brute);
    }
}

#[test]
fn a_slot_level_with_its_own_ends_is_inside() {
    // Slots at odd angles: their arcs turn twice, so that seams fall at heights that only rounding tells apart.
    for step in 0..200 {
        let angle = f64::from(step) * 0.031;
        let center = at(3.0, -2.0);
        let slot = Contour::slot(center, 20.0, 6.0, angle);
        let index = slot.index();
        let along = Vec2::from_angle(angle) * 7.0;
        for p in [center, center + along, center - along] {
            assert!(index.contains(p), "angle {angle}, {p:?}");
            assert!(!index.contains(p + Vec2::new(40.0, 0.0)), "angle {angle}");
            assert!(!index.contains(p - Vec2::new(40.0, 0.0)), "angle {angle}");
        }
    }
}

#[test]
fn gaps_that_rounding_leaves_are_closed() {
    // Every node of this diamond is torn open by up to SAME_POINT_MM, the most a closed contour may be.
    let tear = 9e-6;
    let contour = Contour {
        pieces: vec![
            line((-10.0, tear), (0.0, -10.0)),
            line((tear, -10.0), (10.0, 0.0)),
            line((10.0, tear), (0.0, 10.0)),
            line((-tear, 10.0), (-10.0, 0.0)),
        ],
    };
    let index = contour.index();
    for y in [0.0, tear / 2.0, tear, -tear] {
        assert!(index.contains(at(0.0, y)), "{y}");
        assert!(!index.contains(at(20.0, y)), "{y}");
    }
    for x in [0.0, tear / 2.0, tear, -tear] {
        assert_eq!(index.heights_at(x).len(), 2, "{x}");
    }
}

#[test]
fn circles_that_share_a_center_with_an_arc_are_settled() {
    // Half a ring end: the circle about the same center is as near everywhere.
    let contour = Contour {
        pieces: vec![
            arc_between(at(0.0, -10.0), at(0.0, 10.0), PI),
            line((0.0, 10.0), (-30.0, 10.0)),
            line((-30.0, 10.0), (-30.0, -10.0)),
            line((-30.0, -10.0), (0.0, -10.0)),
        ],
    };
    let index = contour.index();
    assert!(!index.comes_within(at(0.0, 0.0), 10.0 - 1e-9));
    assert!(index.comes_within(at(0.0, 0.0), 10.0 + 1e-9));
    // The same with the half circle as two cubics, which leave it by up to 2.7e-4 of the radius outward only
    // (M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991)).
    let k = 10.0 * 0.552_284_749_830_793_4;
    let contour = Contour {
        pieces: vec![
            cubic([(0.0, -10.0), (k, -10.0), (10.0, -k), (10.0, 0.0)]),
            cubic([(10.0, 0.0), (10.0, k), (k, 10.0), (0.0, 10.0)]),
            line((0.0, 10.0), (-30.0, 10.0)),
            line((-30.0, 10.0), (-30.0, -10.0)),
            line((-30.0, -10.0), (0.0, -10.0)),
        ],
    };
    let index = contour.index();
    assert!(!index.comes_within(at(0.0, 0.0), 10.0 - 1e-7));
    assert!(index.comes_within(at(0.0, 0.0), 10.0 + 1e-7));
}

#[test]
fn depths_of_known_shapes() {
    let depth = |contour: &Contour, from: f64, to: f64| contour.index().largest_depth(from, to);
    let check = |found: f64, truth: f64| assert!((found - truth).abs() < 1e-9, "{found} {truth}");
    let circle = Contour::circle(at(0.0, 3.0), 7.0);
    check(depth(&circle, -10.0, 10.0), 14.0);
    // A chord at x from the center is 2·sqrt(r² − x²) long.
    check(depth(&circle, 4.0, 10.0), 2.0 * (49.0_f64 - 16.0).sqrt());
    check(depth(&circle, 8.0, 10.0), 0.0);
    // A square on its corner, sheared: straight up it is nowhere deeper than at its middle corners.
    let rhomb = Contour::polygon(&[at(-10.0, 0.0), at(2.0, -9.0), at(10.0, 0.0), at(-2.0, 9.0)]);
    check(depth(&rhomb, -10.0, 10.0), 9.0 + 9.0 * 8.0 / 12.0);
    // Level all along, though both sides slope: a plank laid askew.
    let plank = Contour::polygon(&[at(0.0, 0.0), at(50.0, 20.0), at(50.0, 24.0), at(0.0, 4.0)]);
    check(depth(&plank, 0.0, 50.0), 4.0);
    // A heel that drops straight down: the depth jumps there, and the larger side counts.
    let heel = Contour::polygon(&[
        at(-20.0, 0.0),
        at(5.0, 0.0),
        at(5.0, -30.0),
        at(60.0, 10.0),
        at(-20.0, 10.0),
    ]);
    check(depth(&heel, 0.0, 60.0), 40.0);
    // A needle of a guard finger, far narrower than any sampling step.
    let finger = Contour::polygon(&[
        at(0.0, 0.0),
        at(30.0, 0.0),
        at(30.000_5, -12.0),
        at(30.001, 0.0),
        at(60.0, 0.0),
        at(60.0, 8.0),
        at(0.0, 8.0),
    ]);
    check(depth(&finger, 0.0, 60.0), 20.0);
    // Two parabolas y = ±(a − x²/b): deepest where both turn, at x = 0, which is no end of a piece.
    let lens = Contour {
        pieces: vec![
            cubic([
                (-20.0, 0.0),
                (-20.0 / 3.0, -16.0),
                (20.0 / 3.0, -16.0),
                (20.0, 0.0),
            ]),
            cubic([
                (20.0, 0.0),
                (20.0 / 3.0, 16.0),
                (-20.0 / 3.0, 16.0),
                (-20.0, 0.0),
            ]),
        ],
    };
    check(depth(&lens, -20.0, 20.0), 24.0);
    let tilted = lens.moved(&Motion {
        mirrored: false,
        turn_rad: 0.0,
        shift: Vec2::new(7.3, 1.0),
    });
    check(depth(&tilted, 0.0, 40.0), 24.0);
}

#[test]
fn boxes_and_flattened_outlines_hold_the_curve() {
    let outline = kitchen_outline();
    let index = outline.index();
    assert!(outline.is_closed());
    let (a, b) = (outline.bounds(), index.bounds());
    let corners = |r: Rect| [r.x0, r.y0, r.x1, r.y1];
    for (u, v) in corners(a).into_iter().zip(corners(b)) {
        assert!((u - v).abs() < 1e-9);
    }
    for tolerance in [1.0, 0.1, 0.01, 1e-3] {
        let polyline = outline.flattened(tolerance);
        for piece in &outline.pieces {
            for i in 0..=200 {
                let p = piece.eval(f64::from(i) / 200.0);
                assert!(to_polyline(&polyline, p) <= tolerance * (1.0 + 1e-9));
            }
        }
    }
    // A barely bent arc, kilometers in radius, keeps the tolerance too.
    let flat = Contour {
        pieces: vec![
            arc_between(at(0.0, 0.0), at(3000.0, 0.0), 1e-3),
            line((3000.0, 0.0), (0.0, 0.0)),
        ],
    };
    let polyline = flat.flattened(1e-3);
    let p = flat.pieces[0].eval(0.5);
    assert!(to_polyline(&polyline, p) <= 1e-3);
    let middle = flat.pieces[0].eval(0.5 + 0.5 / (polyline.len() - 1) as f64);
    assert!(to_polyline(&polyline, middle) <= 1e-3);
}

#[test]
fn numbers_that_are_not_finite_end_nowhere_bad() {
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        for piece in [
            line((bad, 0.0), (1.0, 1.0)),
            cubic([(0.0, 0.0), (bad, 1.0), (2.0, 1.0), (1.0, 1.0)]),
            cubic([(0.0, 0.0), (1.0, bad), (2.0, bad), (1.0, 1.0)]),
            arc_between(at(0.0, 0.0), at(bad, 1.0), 1.0),
        ] {
            let contour = Contour {
                pieces: vec![
                    piece,
                    line((1.0, 1.0), (5.0, 0.0)),
                    line((5.0, 0.0), (0.0, 0.0)),
                ],
            };
            let index = contour.index();
            let p = Point::new(1.0, 0.5);
            // Any answer will do; it must come, and soon.
            let _ = (
                index.contains(p),
                index.comes_within(p, 2.0),
                index.heights_at(0.3),
            );
            let _ = (contour.nearest(p), contour.perimeter(), contour.moments());
            let _ = (
                index.largest_depth(0.0, 10.0),
                outline_faults(&contour.pieces),
            );
            let _ = index.largest_depth(0.0, 1e300);
            assert!(bad == 1e300 || !piece.is_finite());
        }
    }
    let torn = Contour {
        pieces: vec![
            line((f64::NAN, 0.0), (1.0, 0.0)),
            line((1.0, 0.0), (f64::NAN, 0.0)),
        ],
    };
    assert!(!torn.is_closed());
    let circle = Contour::circle(at(0.0, 0.0), 5.0);
    assert!(!circle.index().contains(at(f64::NAN, 0.0)));
    assert!(!circle.index().comes_within(at(f64::NAN, 0.0), 3.0));
    assert!(
        Contour::rounded_rect(Rect::new(0.0, 0.0, f64::NAN, 5.0), 1.0)
            .pieces
            .is_empty()
    );
    assert!(
        Contour::rounded_rect(Rect::new(2.0, 0.0, 1.0, 5.0), 1.0)
            .pieces
            .is_empty()
    );
}

#[test]
fn a_rounding_that_takes_a_whole_side_leaves_no_stub() {
    for (w, h) in [(0.3, 0.7), (6.1, 6.1), (12.7, 38.1), (1.1, 0.1)] {
        let rect = Rect::new(0.1, -0.3, 0.1 + w, -0.3 + h);
        for r in [f64::min(w, h) / 2.0, 100.0] {
            let contour = Contour::rounded_rect(rect, r);
            assert!(contour.is_closed());
            assert!(contour.pieces.iter().all(|p| p.length() > 0.01), "{w} {h}");
            assert!(contour.pieces.len() <= 6);
        }
        assert_eq!(Contour::rounded_rect(rect, 0.0).pieces.len(), 4);
        assert_eq!(Contour::rounded_rect(rect, -1.0).pieces.len(), 4);
    }
    let square = Contour::rounded_rect(Rect::new(0.0, 0.0, 10.0, 6.0), 1.0);
    assert!(
        square
            .pieces
            .iter()
            .filter(|p| matches!(p, Piece::Arc(_)))
            .count()
            == 4
    );
    // Rectangle less four corners of r²(1 − π/4).
    assert!((square.moments().area - (60.0 - (4.0 - PI))).abs() < 1e-12);
}
