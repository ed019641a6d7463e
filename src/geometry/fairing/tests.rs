//! Fairing against closed forms: circles, lines and waves whose distance from the fair curve is known.

use std::f64::consts::{FRAC_PI_2, PI};

use super::*;

fn assert_joined_smooth(pieces: &[Piece]) {
    for pair in pieces.windows(2) {
        assert!(pair[0].end().distance(pair[1].start()) < 1e-9);
        let (a, b) = (
            pair[0].direction(1.0).unwrap(),
            pair[1].direction(0.0).unwrap(),
        );
        assert!(a.cross(b).abs() < 1e-9 && a.dot(b) > 0.0, "{a:?} {b:?}");
    }
}

/// The best cubic for a quarter circle is off by 2.7e-4 of the radius (A. Riškus, Information Technology and Control 35, 2006).
#[test]
fn a_quarter_circle_of_many_facets_becomes_one_curve() {
    let points: Vec<Point> = (0..=90)
        .map(|i| Point::ORIGIN + 50.0 * Vec2::from_angle(f64::from(i).to_radians()))
        .collect();
    let chain = Piece::lines_through(&points);
    let made = faired(&chain, [None, None], 0.05).unwrap();
    assert_eq!(made.pieces.len(), 1);
    assert!(made.off_mm <= 0.05, "{}", made.off_mm);
    for i in 0..=100 {
        let p = made.pieces[0].eval(f64::from(i) / 100.0);
        // Half of what the facets lose, r(1 − cos(½°)), and the cubic's own.
        assert!(
            (p.to_vec2().hypot() - 50.0).abs() < 50.0 * 3e-4 + 0.005,
            "{p:?}"
        );
    }
    // Curvature of a circle is 1/r everywhere.
    for i in 1..10 {
        let k = made.pieces[0].curvature(f64::from(i) / 10.0);
        assert!((k * 50.0 - 1.0).abs() < 0.06, "{k}");
    }
}

/// A ripple of 0.1 mm on a straight line 100 mm long goes within 0.11 mm, and leaves the line.
#[test]
fn a_ripple_on_a_line_goes_within_its_height() {
    let wave = |x: f64| 0.1 * (2.0 * PI * x / 10.0).sin();
    let points: Vec<Point> = (0..=400)
        .map(|i| f64::from(i) / 4.0)
        .map(|x| Point::new(x, wave(x)))
        .collect();
    let chain = Piece::lines_through(&points);
    let made = faired(&chain, [None, None], 0.11).unwrap();
    let [Piece::Line(line)] = made.pieces.as_slice() else {
        panic!("one straight line: {:?}", made.pieces)
    };
    assert!(line.p0.distance(points[0]) < 1e-9 && line.p1.distance(points[400]) < 1e-9);
    // Within less than the ripple it must stay.
    let tight = faired(&chain, [None, None], 0.02).unwrap();
    assert!(tight.pieces.len() > 5, "{}", tight.pieces.len());
    assert!(tight.off_mm <= 0.02);
    assert_joined_smooth(&tight.pieces);
}

#[test]
fn ends_keep_the_directions_asked_for() {
    let points: Vec<Point> = (0..=60)
        .map(|i| f64::from(i) * 2.0)
        .map(|x| Point::new(x, 8.0 * (x / 120.0 * PI).sin() + 0.06 * (x * 1.7).sin()))
        .collect();
    let ends = [Vec2::from_angle(0.25), Vec2::from_angle(-0.2)];
    let made = faired(&Piece::lines_through(&points), ends.map(Some), 0.3).unwrap();
    assert_joined_smooth(&made.pieces);
    let first = made.pieces.first().unwrap().direction(0.0).unwrap();
    let last = made.pieces.last().unwrap().direction(1.0).unwrap();
    assert!(first.cross(ends[0]).abs() < 1e-9 && first.dot(ends[0]) > 0.0);
    assert!(last.cross(ends[1]).abs() < 1e-9 && last.dot(ends[1]) > 0.0);
    assert!(
        made.pieces.len() <= 3 && made.off_mm <= 0.3,
        "{} {}",
        made.pieces.len(),
        made.off_mm
    );
}

/// What was one cubic, cut in five, is that cubic again.
#[test]
fn a_curve_cut_in_five_is_one_again() {
    let own = CubicBez::new((0.0, 0.0), (30.0, 0.0), (70.0, 40.0), (100.0, 35.0));
    let cut: Vec<Piece> = (0..5)
        .map(|i| f64::from(i) / 5.0)
        .map(|t| Piece::Cubic(own.subsegment(t..t + 0.2)))
        .collect();
    let made = one_curve(&cut, [None, None]).unwrap();
    assert!(made.off_mm < 5e-3, "{}", made.off_mm);
    let made = faired(&cut, [None, None], 0.01).unwrap();
    assert_eq!(made.pieces.len(), 1);
}

/// The edge of a brush chopper, cut in five whose joints are a little off: one curve goes through the middle of them.
#[test]
fn a_wobbly_edge_is_joined_within_its_wobble() {
    let own = CubicBez::new(
        (14.814_8, -31.012_8),
        (129.921_5, -44.985_8),
        (240.893_4, -41.391_6),
        (250.0, -2.138_8),
    );
    let off = [0.0, 0.08, -0.08, 0.08, -0.08, 0.0];
    let cut: Vec<Piece> = (0..5)
        .map(|i| {
            let t = i as f64 / 5.0;
            let mut part = own.subsegment(t..t + 0.2);
            for (point, by) in [
                (&mut part.p0, off[i]),
                (&mut part.p1, off[i]),
                (&mut part.p2, off[i + 1]),
                (&mut part.p3, off[i + 1]),
            ] {
                point.y += by;
            }
            Piece::Cubic(part)
        })
        .collect();
    let made = one_curve(&cut, [None, None]).unwrap();
    assert!(made.off_mm < 0.2, "{}", made.off_mm);
}

#[test]
fn a_corner_inside_is_rounded_within_the_distance() {
    let corner = Piece::lines_through(&[
        Point::new(0.0, 0.0),
        Point::new(60.0, 0.0),
        Point::new(60.0, 40.0),
    ]);
    let made = faired(&corner, [None, None], 0.4).unwrap();
    assert!(made.off_mm <= 0.4, "{}", made.off_mm);
    assert_joined_smooth(&made.pieces);
}

#[test]
fn what_can_not_be_made_fair_is_refused() {
    let line = Piece::line(Point::ZERO, Point::new(10.0, 0.0));
    assert_eq!(faired(&[], [None, None], 0.1), None);
    assert_eq!(
        faired(&[Piece::line(Point::ZERO, Point::ZERO)], [None, None], 0.1),
        None
    );
    for within in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(faired(&[line], [None, None], within), None, "{within}");
    }
    let wild = Piece::line(Point::ZERO, Point::new(f64::NAN, 0.0));
    assert_eq!(one_curve(&[wild], [None, None]), None);
}

/// A turn of a circle cut into equal lengths has its places at equal angles.
#[test]
fn shares_of_a_length_are_even_on_a_circle_and_a_line() {
    let quarter = Piece::Cubic(CubicBez::new(
        (50.0, 0.0),
        (50.0, 27.614_237_49),
        (27.614_237_49, 50.0),
        (0.0, 50.0),
    ));
    let length = quarter.length();
    for i in 1..8 {
        let share = f64::from(i) / 8.0;
        let p = quarter.eval(quarter.at_share(share, length));
        let angle = p.to_vec2().atan2() / FRAC_PI_2;
        assert!((angle - share).abs() < 1e-4, "{angle} {share}");
    }
    let line = Piece::line(Point::ZERO, Point::new(10.0, 0.0));
    assert!((line.at_share(0.3, 10.0) - 0.3).abs() < 1e-12);
}
