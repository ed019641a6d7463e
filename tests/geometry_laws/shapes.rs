//! Shapes the laws are tried on, and the brute force they are held against.

use std::f64::consts::TAU;

use proptest::prelude::*;
use tangwright::geometry::{CircularArc, Contour, CubicBez, Piece, Point, Vec2};

pub(crate) fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

pub(crate) fn line(a: (f64, f64), b: (f64, f64)) -> Piece {
    Piece::line(a.into(), b.into())
}

pub(crate) fn cubic(p: [(f64, f64); 4]) -> Piece {
    let [a, b, c, d] = p.map(Point::from);
    Piece::Cubic(CubicBez::new(a, b, c, d))
}

/// The arc from `p` to `q` with the given signed sweep.
pub(crate) fn arc_between(p: Point, q: Point, sweep: f64) -> Piece {
    let chord = q - p;
    let radius = chord.hypot() / 2.0 / (sweep / 2.0).sin().abs();
    // The center lies on the left of a counterclockwise arc, as far as the half sweep says.
    let off = chord.hypot() / 2.0 / (sweep / 2.0).tan();
    let left = Vec2::new(-chord.y, chord.x) / chord.hypot();
    let center = p.midpoint(q) + left * off;
    Piece::Arc(CircularArc {
        center,
        radius,
        start_angle: (p - center).atan2(),
        sweep,
    })
}

pub(crate) fn place(reach: f64) -> impl Strategy<Value = Point> {
    (-reach..reach, -reach..reach).prop_map(|(x, y)| at(x, y))
}

/// Closed chains of lines, arcs and cubics that cross themselves as they please.
pub(crate) fn wild_contour() -> impl Strategy<Value = Contour> {
    let leg = (
        place(50.0),
        0..3,
        place(40.0),
        place(40.0),
        prop_oneof![0.2..5.0, -5.0..-0.2],
    );
    prop::collection::vec(leg, 2..9).prop_map(|legs| {
        let next = legs.iter().cycle().skip(1);
        let pieces = legs.iter().zip(next).map(|(a, b)| match a.1 {
            0 => Piece::line(a.0, b.0),
            1 => arc_between(a.0, b.0, a.4),
            _ => Piece::Cubic(CubicBez::new(
                a.0,
                a.0 + a.2.to_vec2(),
                b.0 + a.3.to_vec2(),
                b.0,
            )),
        });
        Contour {
            pieces: pieces.collect(),
        }
    })
}

/// Simple closed chains of cubics, counterclockwise: nodes on rays around a middle, handles along the round.
pub(crate) fn blob() -> impl Strategy<Value = Contour> {
    (prop::collection::vec(10.0..40.0, 4..12), place(100.0)).prop_map(|(radii, middle)| {
        let n = radii.len();
        let step = TAU / n as f64;
        let node = |i: usize| {
            let out = Vec2::from_angle(step * (i % n) as f64);
            let round = Vec2::new(-out.y, out.x) * (radii[i % n] * step * 0.3);
            (middle + out * radii[i % n], round)
        };
        let pieces = (0..n).map(|i| {
            let ((a, ha), (b, hb)) = (node(i), node(i + 1));
            Piece::Cubic(CubicBez::new(a, a + ha, b - hb, b))
        });
        Contour {
            pieces: pieces.collect(),
        }
    })
}

/// The outline of a kitchen blade with a full tang, drawn as a maker would, counterclockwise.
pub(crate) fn kitchen_outline() -> Contour {
    Contour {
        pieces: vec![
            line((0.0, -8.0), (8.0, -26.0)),
            cubic([(8.0, -26.0), (70.0, -30.0), (150.0, -24.0), (205.0, 8.0)]),
            cubic([(205.0, 8.0), (180.0, 14.0), (120.0, 18.0), (60.0, 18.0)]),
            line((60.0, 18.0), (0.0, 18.0)),
            cubic([(0.0, 18.0), (-40.0, 20.0), (-80.0, 22.0), (-110.0, 14.0)]),
            cubic([
                (-110.0, 14.0),
                (-124.0, 10.0),
                (-126.0, -14.0),
                (-112.0, -16.0),
            ]),
            cubic([(-112.0, -16.0), (-80.0, -18.0), (-70.0, 2.0), (-40.0, -2.0)]),
            cubic([(-40.0, -2.0), (-25.0, -4.0), (-10.0, -8.0), (0.0, -8.0)]),
        ],
    }
}

/// Whether a point is inside a closed polyline (even–odd).
pub(crate) fn inside_polyline(points: &[Point], p: Point) -> bool {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses =
            (a.y <= p.y) != (b.y <= p.y) && a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) <= p.x;
        inside ^ crosses
    })
}

/// Distance from a point to a segment.
pub(crate) fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let u = b - a;
    let t = if u.hypot2() > 0.0 {
        ((p - a).dot(u) / u.hypot2()).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance(a + u * t)
}

/// Distance from a point to a closed polyline.
pub(crate) fn to_polyline(points: &[Point], p: Point) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| to_segment(p, *a, *b))
        .fold(f64::INFINITY, f64::min)
}
