//! A corner of an outline, and the radius whose arc runs under a place beside it.

use super::{Id, Joint, Outline};
use crate::geometry::{Point, Vec2};

/// A turn below this is no corner, radians.
const LEAST_TURN: f64 = 1e-3;

/// A corner: two sides that meet at an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub at: Point,
    /// Unit direction into the angle between its sides, where the middle of a rounding lies.
    pub inward: Vec2,
    /// Half of the angle by which the outline turns there, radians, above 0 and below π/2.
    pub half_turn_rad: f64,
}

impl Outline {
    /// The corner at a node; `None` where the node is gone, or the outline passes it smoothly or turns right back.
    #[must_use]
    pub fn corner_at(&self, node: Id) -> Option<Corner> {
        let n = self.nodes.len();
        let index = self.index_of(node)?;
        let own = self.nodes.get(index)?;
        if own.joint == Joint::Smooth {
            return None;
        }
        let from = self.piece((index + n - 1) % n)?.direction(1.0)?;
        let to = self.piece(index)?.direction(0.0)?;
        let half_turn_rad = from.cross(to).atan2(from.dot(to)).abs() / 2.0;
        let inward = to - from;
        let turns =
            half_turn_rad > LEAST_TURN && half_turn_rad < std::f64::consts::FRAC_PI_2 - LEAST_TURN;
        (turns && inward.hypot() > 0.0).then(|| Corner {
            at: own.at,
            inward: inward.normalize(),
            half_turn_rad,
        })
    }
}

impl Corner {
    /// The radius, mm, of the arc between two straight sides that passes as far from the corner as a place lies, seen along the middle of the angle; 0 for a
    /// place beyond the corner.
    ///
    /// The middle of the arc is r/cos(φ/2) from the corner, φ being the turn, so the arc itself r·(1/cos(φ/2) − 1).
    #[must_use]
    pub fn radius_under(&self, place: Point) -> f64 {
        let deep = (place - self.at).dot(self.inward).max(0.0);
        let cos = self.half_turn_rad.cos();
        deep * cos / (1.0 - cos)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::Node;

    #[test]
    fn the_radius_is_that_of_the_circle_touching_both_sides() {
        // A right angle: a circle of radius r in it comes within r(√2 − 1) of the corner.
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)];
        let nodes = (0..)
            .zip(corners)
            .map(|(id, at)| Node::corner(id, Point::from(at)));
        let outline = Outline {
            nodes: nodes.collect(),
        };
        let corner = outline.corner_at(1).unwrap();
        let deep = 3.0 * (2f64.sqrt() - 1.0);
        let place = Point::new(40.0, 0.0) + Vec2::new(-1.0, 1.0).normalize() * deep;
        assert!((corner.radius_under(place) - 3.0).abs() < 1e-9);
        // Beside the middle of the angle only the depth counts, and outside it is none.
        let aside = place + Vec2::new(1.0, 1.0);
        assert!((corner.radius_under(aside) - 3.0).abs() < 1e-9);
        assert!(corner.radius_under(Point::new(41.0, -1.0)).abs() < 1e-12);
        assert_eq!(outline.corner_at(9), None);
    }

    #[test]
    fn a_smooth_passage_is_no_corner() {
        let nodes = [(0.0, 0.0), (20.0, 0.0), (40.0, 0.0), (20.0, 30.0)];
        let nodes = (0..)
            .zip(nodes)
            .map(|(id, at)| Node::corner(id, Point::from(at)));
        let outline = Outline {
            nodes: nodes.collect(),
        };
        assert_eq!(outline.corner_at(1), None);
        assert!(outline.corner_at(0).is_some());
    }
}
