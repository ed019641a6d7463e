//! Chains of pieces made into closed contours of lines and cubics, and those into outlines with nodes.

use kurbo::{CubicBez, ParamCurveArea, Point, Rect};

use crate::geometry::{Piece, arc_cubics};

/// Pieces end to end, as joining left them: up to the joining distance apart.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    pub pieces: Vec<Piece>,
}

impl Chain {
    /// A box around it.
    pub(super) fn bounds(&self) -> Rect {
        let boxes = self.pieces.iter().map(Piece::bounds);
        boxes.reduce(|a, b| a.union(b)).unwrap_or_default()
    }

    /// Distance between its two ends, mm.
    pub(super) fn gap(&self) -> f64 {
        match (self.pieces.first(), self.pieces.last()) {
            (Some(first), Some(last)) => first.start().distance(last.end()),
            _ => 0.0,
        }
    }

    /// The closed contour of lines and cubics, counterclockwise: arcs as cubics that leave them by less than 2e-7 of the radius, and ends that met
    /// within the joining distance brought together halfway.
    pub(super) fn sealed(&self) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::with_capacity(self.pieces.len());
        for piece in &self.pieces {
            match piece {
                Piece::Arc(arc) => pieces.extend(arc_cubics(arc).into_iter().map(Piece::Cubic)),
                other => pieces.push(*other),
            }
        }
        // A loop of one curve has one node, and an outline two at least.
        if let [one] = pieces[..] {
            pieces = vec![one.part(0.0, 0.5), one.part(0.5, 1.0)];
        }
        seal(&mut pieces);
        if area(&pieces) < 0.0 {
            pieces.reverse();
            for piece in &mut pieces {
                *piece = piece.reversed();
            }
        }
        pieces
    }
}

/// Signed area of a sealed contour: exact (`kurbo` integrates lines and cubics in closed form), counted from its own first point so that far
/// drawings lose no digits.
pub(super) fn area(sealed: &[Piece]) -> f64 {
    let origin = sealed.first().map_or(Point::ZERO, Piece::start).to_vec2();
    let at = |p: Point| p - origin;
    let of = |piece: &Piece| match piece {
        Piece::Line(line) => at(line.p0).to_vec2().cross(at(line.p1).to_vec2()) / 2.0,
        Piece::Cubic(c) => CubicBez::new(at(c.p0), at(c.p1), at(c.p2), at(c.p3)).signed_area(),
        // A sealed contour has none.
        Piece::Arc(_) => 0.0,
    };
    sealed.iter().map(of).sum()
}

/// Brings the end of each piece and the start of the next together.
fn seal(pieces: &mut [Piece]) {
    let starts: Vec<Point> = pieces.iter().map(Piece::start).collect();
    let ends: Vec<Point> = pieces.iter().map(Piece::end).collect();
    let n = pieces.len();
    let meeting = |end: Option<&Point>, start: Option<&Point>| match (end, start) {
        (Some(end), Some(start)) if end == start => *end,
        (Some(end), Some(start)) => end.midpoint(*start),
        _ => Point::ZERO,
    };
    for (i, piece) in pieces.iter_mut().enumerate() {
        let from = meeting(ends.get((i + n - 1) % n), starts.get(i));
        let to = meeting(ends.get(i), starts.get((i + 1) % n));
        *piece = match piece {
            Piece::Cubic(c) => Piece::Cubic(CubicBez::new(
                from,
                c.p1 + (from - c.p0),
                c.p2 + (to - c.p3),
                to,
            )),
            _ => Piece::line(from, to),
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{CircularArc, Contour, SAME_POINT_MM};
    use crate::knife::{Joint, Outline};
    use std::f64::consts::PI;

    #[test]
    fn a_sealed_contour_is_closed_and_counterclockwise() {
        let arc = Piece::Arc(CircularArc {
            center: Point::ZERO,
            radius: 5.0,
            start_angle: 0.0,
            sweep: PI,
        });
        let chain = Chain {
            pieces: vec![
                Piece::line(Point::new(5.0, 0.03), Point::new(-5.0, -0.02)),
                arc.reversed(),
            ],
        };
        let sealed = chain.sealed();
        let contour = Contour {
            pieces: sealed.clone(),
        };
        assert!(contour.largest_gap() <= SAME_POINT_MM);
        assert!((area(&sealed) - contour.moments().area).abs() < 1e-9);
        // Half a disc, within the gaps along the diameter.
        assert!((contour.moments().area - PI * 12.5).abs() < 0.3);
        let mut next_id = 7;
        let outline = Outline::of_pieces(&sealed, &mut next_id);
        assert_eq!(next_id, 7 + 9);
        assert_eq!(outline.contour().pieces.len(), sealed.len());
        assert!((outline.contour().moments().area - contour.moments().area).abs() < 1e-12);
        // Along the arc the nodes are smooth, at its ends they are corners.
        let smooth = outline.nodes.iter().filter(|n| n.joint == Joint::Smooth);
        assert_eq!(smooth.count(), 7);
    }
}
