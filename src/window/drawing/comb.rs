//! The curvature comb: teeth square to the outline, as long as it is curved there. A fair curve has a fair comb.

use egui::Stroke;

use super::Pen;
use crate::geometry::{Piece, Point, Vec2};

/// Spaces between the teeth of one piece.
const SPACES: u32 = 24;
/// Screen length of a tooth for a curve of 10 mm radius, points.
const TOOTH_PX: f64 = 60.0;
const TOOTH_RADIUS_MM: f64 = 10.0;
/// Sharper curves have teeth of this length, mm: a tooth that leaves the screen tells no more.
const LONGEST_MM: f64 = 200.0;

/// Draws the comb of pieces that follow each other.
pub(super) fn draw_comb<'a>(pen: &Pen<'_>, pieces: impl Iterator<Item = &'a Piece>) {
    let stroke = Stroke::new(1.0, pen.palette.guide.gamma_multiply(0.8));
    for piece in pieces {
        let mut last = None;
        for (at, end) in teeth(piece, pen.view.px_per_mm) {
            pen.line(at, end, stroke);
            if let Some(last) = last {
                pen.line(last, end, stroke);
            }
            last = Some(end);
        }
    }
}

/// The teeth of a piece, each from its foot to its end, on the model. Where an outline that runs counterclockwise bulges they stand out of the steel, where it
/// is hollow they stand into it, so that they change sides where the curve does. A straight line has none.
fn teeth(piece: &Piece, px_per_mm: f64) -> impl Iterator<Item = (Point, Point)> {
    let n = if matches!(piece, Piece::Line(_)) {
        0
    } else {
        SPACES + 1
    };
    (0..n).filter_map(move |i| {
        let t = f64::from(i) / f64::from(SPACES);
        let direction = piece.direction(t)?;
        let at = piece.eval(t);
        // Outward is to the right of a counterclockwise outline.
        let outward = Vec2::new(direction.y, -direction.x);
        let tooth = piece.curvature(t) * TOOTH_RADIUS_MM * TOOTH_PX / px_per_mm;
        Some((at, at + outward * tooth.clamp(-LONGEST_MM, LONGEST_MM)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Contour, CubicBez};

    const PX_PER_MM: f64 = 4.0;

    /// The length of every tooth on a circle: its curvature 1/r times 10 mm times 60 points.
    fn of_radius(r: f64) -> f64 {
        10.0 * 60.0 / PX_PER_MM / r
    }

    #[track_caller]
    fn assert_at(a: Point, b: Point, within: f64) {
        assert!(a.distance(b) <= within, "{a:?} is not at {b:?}");
    }

    /// Counterclockwise, a circle is the rim of a disc: teeth stand out of it. Clockwise it is a hollow in the steel round it, and as hollows go its teeth
    /// stand in the steel: away from the middle once more.
    #[test]
    fn on_a_circle_all_teeth_are_as_long_as_its_curvature() {
        let middle = Point::new(-3.0, 5.0);
        for r in [4.0, 25.0, 300.0] {
            let disc = Contour::circle(middle, r);
            for contour in [disc.reversed(), disc] {
                for piece in &contour.pieces {
                    let own: Vec<(Point, Point)> = teeth(piece, PX_PER_MM).collect();
                    assert_eq!(own.len(), 25);
                    for (at, end) in own {
                        let spoke = (at - middle) / r;
                        assert!((spoke.hypot() - 1.0).abs() < 1e-9, "it stands on the rim");
                        assert_at(end, at + spoke * of_radius(r), 1e-6);
                    }
                }
            }
        }
    }

    /// A quarter circle as outlines hold it, one cubic with handles of 0.5523 r: its curvature is 2.2 % below 1/r at its ends and within that all along. The
    /// two halves of a wave have teeth on opposite sides: the bulge's out of the steel, the hollow's into it.
    #[test]
    fn teeth_change_sides_where_the_curve_does() {
        let (r, k) = (20.0, 0.552_284_75 * 20.0);
        let at = |x: f64, y: f64| Point::new(x, y);
        // Along the edge from left to right the steel is above: first a bulge down round (0, 0), then a hollow round (40, 0).
        let bulge = CubicBez::new(at(0.0, -r), at(k, -r), at(r, -k), at(r, 0.0));
        let hollow = CubicBez::new(at(r, 0.0), at(r, k), at(40.0 - k, r), at(40.0, r));
        for (curve, middle) in [(bulge, at(0.0, 0.0)), (hollow, at(40.0, 0.0))] {
            for (foot, end) in teeth(&Piece::Cubic(curve), PX_PER_MM) {
                let spoke = (foot - middle) / r;
                assert_at(end, foot + spoke * of_radius(r), 0.03 * of_radius(r));
            }
        }
        let sides = |curve| {
            let piece = Piece::Cubic(curve);
            let (foot, end) = teeth(&piece, PX_PER_MM).nth(12).unwrap();
            piece.direction(0.5).unwrap().cross(end - foot)
        };
        // The steel lies to the left of the way.
        assert!(sides(bulge) < 0.0 && sides(hollow) > 0.0);
    }

    #[test]
    fn on_a_straight_piece_there_are_none_and_none_leaves_the_screen() {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(50.0, 20.0));
        assert_eq!(teeth(&Piece::line(from, to), PX_PER_MM).count(), 0);
        // A cubic that runs straight is not curved either.
        let way = to - from;
        let level = CubicBez::new(from, from + way * 0.3, from + way * 0.8, to);
        for (foot, end) in teeth(&Piece::Cubic(level), PX_PER_MM) {
            assert_at(foot, end, 1e-9);
        }
        let pin = Contour::circle(from, 0.1);
        for (foot, end) in pin.pieces.iter().flat_map(|p| teeth(p, PX_PER_MM)) {
            assert!((foot.distance(end) - LONGEST_MM).abs() < 1e-9);
        }
    }
}
