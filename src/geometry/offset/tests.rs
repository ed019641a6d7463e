//! Moved contours against closed forms and against distances.

use std::f64::consts::PI;

use super::*;
use kurbo::CubicBez;

fn polygon(corners: &[(f64, f64)]) -> Contour {
    let corners: Vec<Point> = corners.iter().map(|c| Point::from(*c)).collect();
    Contour::polygon(&corners)
}

/// Steiner's formulas for convex figures: area `A + P·p + π·p²`, perimeter `P + 2π·p`.
#[test]
fn convex_outlines_keep_steiners_formulas() {
    let figures = [
        polygon(&[(0.0, 0.0), (120.0, -3.0), (150.0, 12.0), (20.0, 30.0)]),
        Contour::slot(Point::new(3.0, 4.0), 60.0, 12.0, 0.4),
        Contour::circle(Point::new(-5.0, 2.0), 8.0),
    ];
    for figure in &figures {
        for p in [0.1, 0.75, 3.0, 20.0] {
            let moved = moved_outward(figure, p).unwrap();
            let area = figure.moments().area + figure.perimeter() * p + PI * p * p;
            let perimeter = figure.perimeter() + 2.0 * PI * p;
            assert!((moved.moments().area / area - 1.0).abs() < 1e-9, "{p}");
            assert!((moved.perimeter() / perimeter - 1.0).abs() < 1e-9, "{p}");
        }
    }
}

/// A corner that points inward by a right angle loses `p²·tan(π/4)`, the five that stand out each gain a quarter disc (Steiner, corner by corner).
#[test]
fn an_inside_corner_stays_sharp() {
    let angle = polygon(&[
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 10.0),
        (10.0, 10.0),
        (10.0, 30.0),
        (0.0, 30.0),
    ]);
    for p in [0.5, 2.0, 6.0] {
        let moved = moved_outward(&angle, p).unwrap();
        let wanted = 600.0 + 140.0 * p + 5.0 / 4.0 * PI * p * p - p * p;
        assert!((moved.moments().area - wanted).abs() < 1e-8, "{p}");
        assert_eq!(moved.pieces.len(), 11, "six lines, five arcs");
    }
}

/// By hand: a rectangle of 30 × 20 moved in by 0.5 is one of 29 × 19; a slot of 60 × 12 moved in by 1 is one of 58 × 10.
#[test]
fn openings_are_moved_inward() {
    let window = polygon(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    for contour in [window.clone(), window.reversed()] {
        let moved = moved_inward(&contour, 0.5).unwrap();
        let sense = contour.moments().area.signum();
        assert!((moved.moments().area - sense * 29.0 * 19.0).abs() < 1e-9);
    }
    let slot = Contour::slot(Point::new(3.0, 4.0), 60.0, 12.0, 0.4);
    let less = Contour::slot(Point::new(3.0, 4.0), 58.0, 10.0, 0.4);
    let moved = moved_inward(&slot, 1.0).unwrap();
    assert!((moved.moments().area - less.moments().area).abs() < 1e-9);
    assert!(moved_inward(&slot, 6.0).is_err(), "nothing is left");
}

/// A half round notch of 5 mm radius becomes one of 3 mm, and is gone when its radius is taken up.
#[test]
fn a_notch_gets_narrower_until_it_is_gone() {
    let arc = Piece::Arc(CircularArc {
        center: Point::new(20.0, 20.0),
        radius: 5.0,
        start_angle: 0.0,
        sweep: -PI,
    });
    let line = |a: (f64, f64), b: (f64, f64)| Piece::line(a.into(), b.into());
    let notched = Contour {
        pieces: vec![
            line((0.0, 0.0), (40.0, 0.0)),
            line((40.0, 0.0), (40.0, 20.0)),
            line((40.0, 20.0), (25.0, 20.0)),
            arc,
            line((15.0, 20.0), (0.0, 20.0)),
            line((0.0, 20.0), (0.0, 0.0)),
        ],
    };
    let moved = moved_outward(&notched, 2.0).unwrap();
    let radii: Vec<f64> = moved
        .pieces
        .iter()
        .filter_map(|p| match p {
            Piece::Arc(arc) if arc.sweep < 0.0 => Some(arc.radius),
            _ => None,
        })
        .collect();
    assert_eq!(radii.len(), 1);
    assert!((radii[0] - 3.0).abs() < 1e-12);
    // Past 5 mm only the two arcs about its corners are left, and meet between them.
    let gone = moved_outward(&notched, 6.0).unwrap();
    let bends_in = |p: &Piece| matches!(p, Piece::Arc(arc) if arc.sweep < 0.0);
    assert!(!gone.pieces.iter().any(bends_in));
    let top = gone.bounds().y1;
    assert!((top - 26.0).abs() < 1e-9, "{top}");
}

#[test]
fn a_notch_whose_mouth_closes_is_told() {
    let bottle = polygon(&[
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 30.0),
        (21.0, 30.0),
        (21.0, 25.0),
        (30.0, 25.0),
        (30.0, 10.0),
        (10.0, 10.0),
        (10.0, 25.0),
        (19.0, 25.0),
        (19.0, 30.0),
        (0.0, 30.0),
    ]);
    assert!(moved_outward(&bottle, 0.8).is_ok());
    let error = moved_outward(&bottle, 1.5).unwrap_err();
    let OffsetError::Closes { at, .. } = error else {
        panic!("{error}");
    };
    assert!((at - Point::new(20.0, 17.5)).hypot() < 1.0, "{at:?}");
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 51.0] {
        assert!(matches!(
            moved_outward(&bottle, bad),
            Err(OffsetError::Distance { .. })
        ));
    }
}

/// By the definition: every place of the moved outline of a curved figure with hollows lies at the distance from the true curves.
#[test]
fn every_place_is_at_the_distance() {
    let p = |x: f64, y: f64| Point::new(x, y);
    let leaf = Contour {
        pieces: vec![
            Piece::Cubic(CubicBez::new(
                p(0.0, 0.0),
                p(30.0, -14.0),
                p(60.0, 16.0),
                p(120.0, 4.0),
            )),
            Piece::Cubic(CubicBez::new(
                p(120.0, 4.0),
                p(90.0, 24.0),
                p(60.0, 10.0),
                p(0.0, 20.0),
            )),
            Piece::Line(Line::new(p(0.0, 20.0), p(0.0, 0.0))),
        ],
    };
    for by in [0.3, 1.0, 4.0] {
        let moved = moved_outward(&leaf, by).unwrap();
        for piece in &moved.pieces {
            for k in 0..=10 {
                let at = piece.eval(f64::from(k) / 10.0);
                let off = leaf.nearest(at).unwrap().distance - by;
                assert!(off.abs() < OFFSET_WITHIN_MM, "{by}: {off} at {at:?}");
            }
        }
    }
}

/// Once refused: on this knife the moved heel and the moved hollow ahead of it only just touch. Every place of the moved outline is as far from the drawn one as
/// asked, by the distances of the geometry room.
#[test]
fn pieces_that_only_just_touch_are_moved() {
    type Place = (f64, f64);
    let nodes: [(Place, Place, Place); 10] = [
        (
            (15.875015004475927, -9.502588618957056),
            (-5.431694030761719, 0.0),
            (6.308204650878906, 0.0),
        ),
        (
            (28.491416676839208, -14.552988399230493),
            (-0.44840240478515625, 2.996000289916992),
            (60.54550170898439, -0.8906993865966797),
        ),
        (
            (173.58002446492515, -2.8574880253901593),
            (-32.599700927734375, -11.665099143981935),
            (-49.082702636718736, 11.466700077056887),
        ),
        (
            (15.875015004475927, 9.1039120066533),
            (69.3902053833008, 0.0),
            (-31.992393493652344, 0.0),
        ),
        (
            (-80.10208155314128, 7.350612055099955),
            (31.992401123046882, 0.8766999244689941),
            (-5.054500579833984, -0.13849997520446777),
        ),
        (
            (-89.25408198038737, -4.08758770342971),
            (0.0, 6.178699493408203),
            (0.0, -5.269199371337892),
        ),
        (
            (-82.59808184305827, -13.44938885089065),
            (-3.6760001182556152, -0.09879875183105469),
            (6.542099952697754, 0.1759014129638672),
        ),
        (
            (-62.97178103129069, -12.335888255797876),
            (-6.54210090637207, -0.17860031127929688),
            (9.811998367309577, 0.2679004669189453),
        ),
        (
            (-33.5356829325358, -12.53068767901565),
            (-9.812000274658203, -0.5752010345458984),
            (11.038604736328118, 0.6471996307373047),
        ),
        (
            (-0.4199831644693859, -9.040588725768579),
            (-11.038597106933594, -0.1540985107421875),
            (5.43170166015625, 0.07579994201660156),
        ),
    ];
    let cubic = |i: usize| {
        let (at, _, out) = nodes[i];
        let (to, into, _) = nodes[(i + 1) % nodes.len()];
        let beside = |p: Place, h: Place| Point::new(p.0 + h.0, p.1 + h.1);
        Piece::Cubic(CubicBez::new(
            at.into(),
            beside(at, out),
            beside(to, into),
            to.into(),
        ))
    };
    let knife = Contour {
        pieces: (0..nodes.len()).map(cubic).collect(),
    };
    let moved = moved_outward(&knife, 2.52).unwrap();
    for piece in &moved.pieces {
        let off = knife.nearest(piece.eval(0.5)).unwrap().distance - 2.52;
        assert!(off.abs() <= OFFSET_WITHIN_MM, "{off}");
    }
}
