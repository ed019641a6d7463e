//! Gaps between segments, circles and contours.

use geo::{Distance, Euclidean, Line};
use proptest::prelude::*;
use tangwright::geometry::{
    Contour, GAP_ACCURACY_MM, Motion, Point, Vec2, circle_gap, contour_gap, segment_gap,
};

use super::shapes::{at, blob, line, place, to_polyline, wild_contour};

fn brute_gap(a: &[Point], b: &[Point]) -> f64 {
    let least = |a: &[Point], b: &[Point]| {
        a.iter()
            .map(|p| to_polyline(b, *p))
            .fold(f64::INFINITY, f64::min)
    };
    least(a, b).min(least(b, a))
}

proptest! {
    /// Against `geo`.
    #[test]
    fn segment_gap_agrees_with_geo(a in place(9.0), b in place(9.0), c in place(9.0), d in place(9.0)) {
        let (gap, p, q) = segment_gap((a, b), (c, d));
        let coord = |p: Point| geo::coord! { x: p.x, y: p.y };
        let truth = Euclidean.distance(&Line::new(coord(a), coord(b)), &Line::new(coord(c), coord(d)));
        prop_assert!((gap - truth).abs() < 1e-9, "{} {}", gap, truth);
        prop_assert!((p.distance(q) - gap).abs() < 1e-9);
        prop_assert!(line(a.into(), b.into()).nearest(p).1 < 1e-9);
        prop_assert!(line(c.into(), d.into()).nearest(q).1 < 1e-9);
    }

    /// Two segments in one line, apart: rounding must not make them cross.
    #[test]
    fn segments_in_line_are_as_far_apart_as_their_ends(
        start in place(100.0), angle in 0.0..7.0_f64, first in 0.1..40.0_f64, gap in 0.001..20.0_f64, second in 0.1..40.0_f64,
    ) {
        let u = Vec2::from_angle(angle);
        let b = start + u * (first + gap);
        let found: f64 = segment_gap((start, start + u * first), (b, b + u * second)).0;
        prop_assert!((found - gap).abs() < 1e-9, "{} {}", found, gap);
        let back: f64 = segment_gap((start + u * first, start), (b + u * second, b)).0;
        prop_assert!((back - gap).abs() < 1e-9, "{} {}", back, gap);
    }

    /// Against the distance to a polyline 1e-4 mm from the curves.
    #[test]
    fn circle_gap_is_the_distance_less_the_radius(contour in wild_contour(), p in place(70.0), r in 0.1..9.0) {
        let (gap, nearest) = circle_gap(p, r, &contour).unwrap();
        let brute = to_polyline(&contour.flattened(1e-4), p) - r;
        prop_assert!((gap - brute).abs() < 1.1e-4);
        prop_assert!((nearest.at.distance(p) - r - gap).abs() < 1e-12);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    /// Against every pair of a point of one polyline and a segment of the other.
    #[test]
    fn contour_gap_agrees_with_fine_polylines(a in blob(), b in blob(), away in place(1.0)) {
        let shift = (b.bounds().center() - a.bounds().center()) * -1.0
            + away.to_vec2().normalize() * 95.0;
        let b = b.moved(&Motion::shift(shift));
        let (gap, p, q) = contour_gap(&a, &b).unwrap();
        let brute = brute_gap(&a.flattened(1e-3), &b.flattened(1e-3));
        prop_assert!((gap - brute).abs() < GAP_ACCURACY_MM + 2e-3, "{} {}", gap, brute);
        prop_assert!((p.distance(q) - gap).abs() < 1e-9);
        prop_assert!(a.nearest(p).unwrap().distance < GAP_ACCURACY_MM);
        prop_assert!(b.nearest(q).unwrap().distance < GAP_ACCURACY_MM);
    }
}

#[test]
fn gaps_of_known_shapes() {
    let check = |a: &Contour, b: &Contour, truth: f64| {
        for (a, b) in [(a, b), (b, a)] {
            let gap = contour_gap(a, b).unwrap().0;
            assert!((gap - truth).abs() <= GAP_ACCURACY_MM, "{gap} {truth}");
        }
    };
    let circle = Contour::circle(at(0.0, 0.0), 10.0);
    check(&circle, &Contour::circle(at(30.0, 40.0), 10.0), 30.0);
    // A hole inside a plate: the gap is between the boundaries.
    check(&circle, &Contour::circle(at(3.0, 0.0), 4.0), 3.0);
    check(&circle, &Contour::slot(at(40.0, 0.0), 20.0, 6.0, 0.0), 20.0);
    let square = Contour::polygon(&[at(20.0, -5.0), at(30.0, -5.0), at(30.0, 5.0), at(20.0, 5.0)]);
    check(&circle, &square, 10.0);
    assert!(contour_gap(&circle, &Contour::default()).is_none());
    assert!(circle_gap(at(0.0, 0.0), 1.0, &Contour::default()).is_none());
    let (gap, _) = circle_gap(at(9.0, 0.0), 3.0, &circle).unwrap();
    assert!((gap + 2.0).abs() < 1e-12);
}

#[test]
fn curves_side_by_side_are_soon_measured() {
    // Two circles about one center are equally near everywhere: a search that halves to the accuracy itself needs
    // millions of pairs here and would keep this test running for minutes.
    let (a, b) = (
        Contour::circle(at(0.0, 0.0), 100.0),
        Contour::circle(at(0.0, 0.0), 103.0),
    );
    let gap = contour_gap(&a, &b).unwrap().0;
    assert!((gap - 3.0).abs() <= GAP_ACCURACY_MM, "{gap}");
}
