//! A corner that was rounded: its radius read off its arc, and changed.

use super::{Id, Joint, Knife, LandmarkKind, Mend, MendError, Outline};
use crate::geometry::{Piece, Point};

/// How near the arc comes to a circle's, as a share of its radius.
const ROUND: f64 = 1e-3;
/// Directions that turn less than this pass smoothly, radians.
const IN_LINE: f64 = 1e-4;

/// A rounding between two straight sides, as one arc of at most a right angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounded {
    /// The node the arc begins at.
    pub from: Id,
    /// The node it ends at.
    pub to: Id,
    /// Its radius, mm.
    pub radius_mm: f64,
    /// Where the sides would meet.
    pub corner: Point,
}

impl Outline {
    /// The rounding that begins or ends at a node; `None` where there is none.
    #[must_use]
    pub fn rounded_at(&self, node: Id) -> Option<Rounded> {
        let n = self.nodes.len();
        let index = self.index_of(node)?;
        self.rounded_from(index)
            .or_else(|| self.rounded_from((index + n - 1) % n))
    }

    /// The rounding whose arc is the piece of this index.
    ///
    /// The arc of radius r that turns by φ as one cubic has handles of 4/3·tan(φ/4)·r (A. Riškus, Information Technology and Control 35, 2006, eq. 9), its
    /// chord is 2r·sin(φ/2), and its sides meet r·tan(φ/2) from its ends (Euclid III.17).
    fn rounded_from(&self, index: usize) -> Option<Rounded> {
        let n = self.nodes.len();
        let (before, next) = ((index + n - 1) % n, (index + 1) % n);
        let Piece::Cubic(arc) = self.piece(index)? else {
            return None;
        };
        let (arriving, leaving) = (self.piece(before)?, self.piece(next)?);
        if !matches!((arriving, leaving), (Piece::Line(_), Piece::Line(_))) {
            return None;
        }
        let (a, b) = (arriving.direction(1.0)?, leaving.direction(0.0)?);
        let turn = a.cross(b).atan2(a.dot(b)).abs();
        let handles = (arc.p1 - arc.p0, arc.p3 - arc.p2);
        let radius_mm = handles.0.hypot() / (4.0 / 3.0 * (turn / 4.0).tan());
        let chord = 2.0 * radius_mm * (turn / 2.0).sin();
        let tangent = handles.0.cross(a).abs() <= IN_LINE * handles.0.hypot()
            && handles.1.cross(b).abs() <= IN_LINE * handles.1.hypot();
        let even = (handles.0.hypot() - handles.1.hypot()).abs() <= ROUND * handles.0.hypot();
        let round = (chord - arc.p0.distance(arc.p3)).abs() <= ROUND * radius_mm;
        let found = tangent && even && round && radius_mm.is_finite() && turn > IN_LINE;
        found.then(|| Rounded {
            from: self.nodes.get(index).map_or(0, |node| node.id),
            to: self.nodes.get(next).map_or(0, |node| node.id),
            radius_mm,
            corner: arc.p0 + a * (radius_mm * (turn / 2.0).tan()),
        })
    }
}

impl Knife {
    /// Gives a rounding of the outline another radius, mm; none leaves the corner sharp.
    ///
    /// # Errors
    /// There is no rounding at the node, or no room for the radius; the knife is as it was then.
    pub fn change_radius(&mut self, node: Id, radius_mm: Option<f64>) -> Result<(), MendError> {
        let own = self.outline.rounded_at(node).ok_or(MendError::Gone)?;
        if self.outline.nodes.len() <= 3 {
            return Err(MendError::TooFewNodes);
        }
        let mut knife = self.clone();
        let places: Vec<(LandmarkKind, Option<Point>)> = knife
            .landmarks
            .iter()
            .map(|l| (l.kind, knife.outline.point_at(l.spot)))
            .collect();
        knife.outline.nodes.retain(|n| n.id != own.to);
        if let Some(corner) = knife.outline.node_mut(own.from) {
            corner.at = own.corner;
            corner.handle_out = None;
            corner.joint = Joint::Corner;
        }
        // The node that was the arc's beginning is the corner now.
        knife.seat_landmarks(&places);
        if let Some(radius_mm) = radius_mm {
            let nodes = vec![own.from];
            let of = None;
            Mend::RoundCorners {
                of,
                nodes,
                radius_mm,
            }
            .make(&mut knife)?;
            knife.seat_landmarks(&places);
        }
        *self = knife;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{FullTang, Node, Stock, Tang};

    fn plate() -> Knife {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (20.0, 50.0)];
        let nodes = (0..)
            .zip(corners)
            .map(|(id, at)| Node::corner(id, Point::from(at)))
            .collect();
        Knife::bare(
            "plate",
            Outline { nodes },
            Stock::plain(4.0, 0.1, "steel"),
            Tang::Full(FullTang::straight(100.0, 25.0)),
        )
    }

    fn area(knife: &Knife) -> f64 {
        knife.contour().moments().area
    }

    #[test]
    fn a_radius_is_read_off_and_changed() {
        let sharp = plate();
        let mut knife = plate();
        let mend = Mend::RoundCorners {
            of: None,
            nodes: vec![1],
            radius_mm: 4.0,
        };
        mend.make(&mut knife).unwrap();
        let arc: Vec<Id> = knife
            .outline
            .nodes
            .iter()
            .map(|n| n.id)
            .filter(|id| *id > 3)
            .collect();
        for node in &arc {
            let own = knife.outline.rounded_at(*node).unwrap();
            assert!((own.radius_mm - 4.0).abs() < 1e-6, "{own:?}");
            assert!(
                own.corner.distance(Point::new(100.0, 0.0)) < 1e-6,
                "{own:?}"
            );
        }
        // A right angle rounded loses r²(1 − π/4).
        knife.change_radius(arc[0], Some(9.0)).unwrap();
        let lost = area(&sharp) - area(&knife);
        let wanted = 81.0 * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!((lost - wanted).abs() < 0.05, "{lost} {wanted}");
        let node = knife
            .outline
            .nodes
            .iter()
            .find(|n| n.handle_out.is_some())
            .unwrap()
            .id;
        assert_eq!(
            knife
                .change_radius(node, Some(500.0))
                .unwrap_err()
                .to_string()
                .split(" finds")
                .next(),
            Some("a radius of 500.00 mm")
        );
        assert!(
            (area(&sharp) - area(&knife) - lost).abs() < 1e-9,
            "as it was"
        );
        knife.change_radius(node, None).unwrap();
        assert!((area(&sharp) - area(&knife)).abs() < 1e-6);
        assert_eq!(knife.outline.nodes.len(), 4);
    }

    #[test]
    fn what_is_no_rounding_has_no_radius() {
        let knife = plate();
        for node in &knife.outline.nodes {
            assert_eq!(knife.outline.rounded_at(node.id), None);
        }
        let mut knife = plate();
        assert_eq!(knife.change_radius(1, Some(2.0)), Err(MendError::Gone));
    }
}
