//! The curves of a DXF as pieces: bulges, circles, ellipses.

use std::f64::consts::TAU;

use kurbo::{Affine, Point, Vec2};

use crate::geometry::{CircularArc, Piece};

use super::super::strokes::push_mapped;

/// A bulge smaller than this is a line: the arc leaves its chord by half the bulge times half the chord, a nanometer over a meter.
const STRAIGHT_BULGE: f64 = 1e-12;

/// The piece from one corner of a polyline to the next.
///
/// The bulge is the tangent of a quarter of the arc's angle, positive to the left (counterclockwise) (DXF Reference, LWPOLYLINE, code 42). With
/// chord c from a to b and bulge t the sweep is 4·atan t, the radius |c|·(1 + t²)/(4|t|), and the center lies square to the left of the
/// chord's middle by |c|/2 · (1 − t²)/(2t).
pub(super) fn bulged(a: Point, b: Point, bulge: f64) -> Piece {
    let chord = b - a;
    let length = chord.hypot();
    if bulge.abs() < STRAIGHT_BULGE || length == 0.0 {
        return Piece::line(a, b);
    }
    let left = Vec2::new(-chord.y, chord.x);
    let center = a.midpoint(b) + left * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let radius = length * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    if !(radius.is_finite() && center.is_finite()) {
        return Piece::line(a, b);
    }
    Piece::Arc(CircularArc {
        center,
        radius,
        start_angle: (a - center).atan2(),
        sweep: 4.0 * bulge.atan(),
    })
}

/// A full circle, counterclockwise.
pub(super) fn circle(center: Point, radius: f64) -> Vec<Piece> {
    crate::geometry::Contour::circle(center, radius).pieces
}

/// The arc counterclockwise from one angle to another, degrees; a full turn when both are the same direction.
pub(super) fn arc(center: Point, radius: f64, from_deg: f64, to_deg: f64) -> Piece {
    Piece::Arc(CircularArc {
        center,
        radius,
        start_angle: from_deg.to_radians(),
        sweep: turn(from_deg.to_radians(), to_deg.to_radians()),
    })
}

/// The angle counterclockwise from one direction to another, in 0..=2π and never 0.
fn turn(from: f64, to: f64) -> f64 {
    let turn = (to - from).rem_euclid(TAU);
    // What is left of a full turn by rounding.
    if turn < 1e-9 { TAU } else { turn }
}

/// An ellipse or a part of one, counterclockwise about its normal from one parameter to another.
///
/// Its point at parameter u is center + cos u · major + sin u · minor, minor being the major axis turned left and shortened by `ratio` (DXF
/// Reference, ELLIPSE); so it is the affine image of an arc of the unit circle, and that image of the arc's cubics is as true as they are.
pub(super) fn ellipse(center: Point, major: Vec2, ratio: f64, from: f64, to: f64) -> Vec<Piece> {
    let minor = Vec2::new(-major.y, major.x) * ratio;
    let map = Affine::new([major.x, major.y, minor.x, minor.y, center.x, center.y]);
    let unit = Piece::Arc(CircularArc {
        center: Point::ZERO,
        radius: 1.0,
        start_angle: from,
        sweep: turn(from, to),
    });
    let mut out = Vec::new();
    push_mapped(&unit, &map, &mut out);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{AreaMoments, Contour};
    use kurbo::Shape;
    use proptest::prelude::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    #[test]
    fn bulge_one_is_a_half_circle_to_the_left() {
        // DXF Reference: a bulge of 1 is a half circle, positive counterclockwise; from (0,0) to (2,0) it passes below, through (1,-1).
        let piece = bulged(Point::ZERO, Point::new(2.0, 0.0), 1.0);
        assert!(piece.eval(0.5).distance(Point::new(1.0, -1.0)) < 1e-12);
        let quarter = bulged(Point::ZERO, Point::new(2.0, 0.0), (PI / 8.0).tan());
        let Piece::Arc(arc) = quarter else {
            panic!("an arc")
        };
        assert!((arc.sweep - FRAC_PI_2).abs() < 1e-12);
        assert!((arc.radius - 2.0_f64.sqrt()).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn a_bulged_piece_begins_and_ends_at_its_corners(
            ax in -50.0..50.0, ay in -50.0..50.0, bx in -50.0..50.0, by in -50.0..50.0, bulge in -20.0..20.0,
        ) {
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            let piece = bulged(a, b, bulge);
            prop_assert!(piece.start().distance(a) < 1e-9 && piece.end().distance(b) < 1e-9);
            // Height of the arc over its chord: bulge times half the chord.
            let height = piece.eval(0.5).distance(a.midpoint(b));
            prop_assert!((height - bulge.abs() * a.distance(b) / 2.0).abs() < 1e-8);
        }

        #[test]
        fn an_ellipse_has_its_area_and_the_points_of_another_library(
            mx in 1.0..50.0, my in -50.0..50.0, ratio in 0.05..1.0,
        ) {
            let major = Vec2::new(mx, my);
            let pieces = ellipse(Point::new(3.0, 4.0), major, ratio, 0.0, TAU);
            // Area of an ellipse: π a b.
            let area = AreaMoments::of_pieces(&pieces).area;
            let truth = PI * major.hypot2() * ratio;
            prop_assert!((area / truth - 1.0).abs() < 1e-7, "{area} {truth}");
            let other = kurbo::Ellipse::new((3.0, 4.0), (major.hypot(), major.hypot() * ratio), major.atan2());
            let (ours, theirs) = (Contour { pieces }.bounds(), other.bounding_box());
            prop_assert!((ours.x1 - theirs.x1).abs() < 1e-5 && (ours.y0 - theirs.y0).abs() < 1e-5);
        }
    }

    #[test]
    fn arcs_run_counterclockwise() {
        let piece = arc(Point::ZERO, 2.0, 350.0, 10.0);
        assert!(piece.eval(0.5).distance(Point::new(2.0, 0.0)) < 1e-12);
        assert!((arc(Point::ZERO, 2.0, 0.0, 360.0).length() - 4.0 * PI).abs() < 1e-12);
        // A quarter of an ellipse: π a b / 4 between it and its two half axes.
        let quarter = ellipse(Point::ZERO, Vec2::new(4.0, 0.0), 0.5, 0.0, FRAC_PI_2);
        let mut pieces = vec![Piece::line(Point::ZERO, Point::new(4.0, 0.0))];
        pieces.extend(quarter);
        pieces.push(Piece::line(Point::new(0.0, 2.0), Point::ZERO));
        assert!((AreaMoments::of_pieces(&pieces).area - PI * 2.0).abs() < 1e-6);
    }
}
