//! What a sheet's shapes become before either edition writes them: polylines with bulges, splines, circles, lines, words.

use std::f64::consts::PI;

use super::super::model::{Shape, Text};
use crate::geometry::{CircularArc, CubicBez, Line, Piece, Point, arc_cubics, arcs_within};

/// Two corners nearer than this are written as one, mm: far below what ten decimals of a cutter's file mean, far above their rounding.
const SAME_CORNER_MM: f64 = 1e-7;

/// A shape as DXF knows it.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Drawn<'a> {
    /// A straight line.
    Line(Line),
    /// A chain of lines and arcs: corners, each with the bulge of the piece that leaves it.
    Polyline {
        corners: Vec<(Point, f64)>,
        closed: bool,
    },
    /// Cubic Bézier pieces joined end to end: 3n + 1 control points.
    Spline { control: Vec<Point>, closed: bool },
    /// A full circle.
    Circle { center: Point, radius: f64 },
    /// Words.
    Text(&'a Text),
}

/// What a shape becomes; `None` when there is nothing of it. Without `arc_tolerance` a chain with cubics becomes a spline.
pub(super) fn drawn(shape: &Shape, arc_tolerance: Option<f64>) -> Option<Drawn<'_>> {
    match shape {
        Shape::Text(text) => (!text.text.trim().is_empty()).then_some(Drawn::Text(text)),
        Shape::Circle { center, radius } => Some(Drawn::Circle {
            center: *center,
            radius: *radius,
        }),
        Shape::Contour(contour) => match contour.as_circle() {
            Some((center, radius)) => Some(Drawn::Circle { center, radius }),
            None => chain(&contour.pieces, true, arc_tolerance),
        },
        Shape::Open(pieces) => match pieces[..] {
            [Piece::Line(line)] => Some(Drawn::Line(line)),
            _ => chain(pieces, false, arc_tolerance),
        },
    }
}

fn chain(pieces: &[Piece], closed: bool, arc_tolerance: Option<f64>) -> Option<Drawn<'static>> {
    let last = pieces.last()?;
    let curved = pieces.iter().any(|piece| matches!(piece, Piece::Cubic(_)));
    if arc_tolerance.is_none() && curved {
        return Some(Drawn::Spline {
            control: control_points(pieces, closed),
            closed,
        });
    }
    let tolerance = arc_tolerance.unwrap_or(super::DXF_TOLERANCE_MM);
    let mut corners: Vec<(Point, f64)> = Vec::new();
    for piece in pieces
        .iter()
        .flat_map(|piece| arcs_within(piece, tolerance))
    {
        match piece {
            Piece::Arc(arc) => corners.extend(bulges(&arc)),
            other if other.start().distance(other.end()) > SAME_CORNER_MM => {
                corners.push((other.start(), 0.0));
            }
            _ => {}
        }
    }
    if !closed {
        corners.push((last.end(), 0.0));
    }
    (corners.len() > 1).then_some(Drawn::Polyline { corners, closed })
}

/// The starts of an arc's parts and their bulge: the tangent of a quarter of the sweep, positive to the left (counterclockwise).
/// Arcs of more than half a turn come in parts, because the bulge grows without bound toward a full one.
fn bulges(arc: &CircularArc) -> impl Iterator<Item = (Point, f64)> {
    let parts = (arc.sweep.abs() / PI - 1e-9).ceil().max(1.0);
    let bulge = (arc.sweep / parts / 4.0).tan();
    let arc = *arc;
    (0..4_u32)
        .map(f64::from)
        .take_while(move |i| *i < parts)
        .map(move |i| (arc.eval(i / parts), bulge))
}

/// Lines and cubics exactly as Bézier control points, one list end to end. Arcs among them (a chain with cubics may have
/// some) become cubics.
fn control_points(pieces: &[Piece], closed: bool) -> Vec<Point> {
    let mut control: Vec<Point> = pieces.first().map(Piece::start).into_iter().collect();
    for piece in pieces {
        for cubic in cubics(piece) {
            control.extend([cubic.p1, cubic.p2, cubic.p3]);
        }
    }
    if closed && let [first, .., last] = &mut control[..] {
        *last = *first;
    }
    control
}

/// A piece as cubics; lines are cut in thirds, so that their parameter runs evenly.
fn cubics(piece: &Piece) -> Vec<CubicBez> {
    match piece {
        Piece::Line(line) => vec![CubicBez::new(
            line.p0,
            line.p0.lerp(line.p1, 1.0 / 3.0),
            line.p0.lerp(line.p1, 2.0 / 3.0),
            line.p1,
        )],
        Piece::Cubic(cubic) => vec![*cubic],
        Piece::Arc(arc) => arc_cubics(arc),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arc(start_angle: f64, sweep: f64) -> CircularArc {
        CircularArc {
            center: Point::new(3.0, -2.0),
            radius: 25.0,
            start_angle,
            sweep,
        }
    }

    #[test]
    fn a_quarter_turn_has_the_bulge_of_the_reference() {
        // DXF Reference, LWPOLYLINE: the bulge is the tangent of one fourth of the included angle; 1 is a half circle.
        let of = |sweep: f64| bulges(&arc(0.3, sweep)).collect::<Vec<_>>();
        assert!((of(PI / 2.0)[0].1 - (PI / 8.0).tan()).abs() < 1e-15);
        assert_eq!(of(PI).len(), 1);
        assert!((of(PI)[0].1 - 1.0).abs() < 1e-12);
        assert!((of(-PI)[0].1 + 1.0).abs() < 1e-12);
        assert_eq!(of(2.0 * PI).len(), 2);
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(drawn(&Shape::Open(Vec::new()), None), None);
        assert_eq!(
            drawn(
                &Shape::Contour(crate::geometry::Contour::default()),
                Some(0.1)
            ),
            None
        );
    }
}
