//! A middle line that runs along the knife, what lies across from a place, and an outline made alike on both sides of it.

use super::{Id, Knife, LandmarkKind, Node, Spot, Stretch};
use crate::geometry::{CubicBez, Line, Piece, Point, Vec2};
use crate::units::print_number;

/// Places this near to each other are across from each other, mm.
pub const ACROSS_MM: f64 = 0.05;

/// A middle line, level with the knife's length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MiddleLine {
    /// Of the whole knife, through its tip: for a dagger.
    Knife,
    /// Of the tang, through the middle of the shoulder line.
    Tang,
}

/// A side of a middle line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Toward the spine.
    Upper,
    /// Toward the edge.
    Lower,
}

/// Why a knife can't be made alike on both sides.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoMirror {
    /// A landmark it goes by is not set.
    #[error("set the {} landmark first: the middle line goes by it", kind.name())]
    NoLandmark {
        /// Which.
        kind: LandmarkKind,
    },
    /// The line meets no butt.
    #[error(
        "the middle line at y {} mm does not leave the steel behind the shoulder line: bring the tang's end onto it",
        print_number(*y_mm, 1)
    )]
    NoEnd {
        /// Its height, mm.
        y_mm: f64,
    },
    /// The shoulders do not face each other.
    #[error("the shoulders stand at x {} and x {} mm, not across from each other: move one below the other first", print_number(upper.x, 1), print_number(lower.x, 1))]
    Shoulders {
        /// The upper one.
        upper: Point,
        /// The lower one.
        lower: Point,
    },
    /// The tip lies inside the mirrored side.
    #[error("there is too little outline on that side to mirror: keep the other side")]
    TooLittle,
}

/// A place seen across a level line.
#[must_use]
pub fn across(y_mm: f64, p: Point) -> Point {
    Point::new(p.x, 2.0 * y_mm - p.y)
}

/// A direction seen across a level line.
#[must_use]
pub fn across_vec(v: Vec2) -> Vec2 {
    Vec2::new(v.x, -v.y)
}

/// A node seen across a level line, the outline run the other way there.
#[must_use]
pub fn node_across(y_mm: f64, node: &Node) -> Node {
    Node {
        id: node.id,
        at: across(y_mm, node.at),
        handle_in: node.handle_out.map(across_vec),
        handle_out: node.handle_in.map(across_vec),
        joint: node.joint,
    }
}

fn piece_across(y_mm: f64, piece: &Piece) -> Piece {
    let over = |p| across(y_mm, p);
    match piece {
        Piece::Cubic(c) => Piece::Cubic(CubicBez::new(
            over(c.p3),
            over(c.p2),
            over(c.p1),
            over(c.p0),
        )),
        other => Piece::Line(Line::new(over(other.end()), over(other.start()))),
    }
}

impl Knife {
    /// The height of a middle line, mm.
    ///
    /// # Errors
    /// A landmark it goes by is not set.
    pub fn middle_y_mm(&self, line: MiddleLine) -> Result<f64, NoMirror> {
        let place = |kind| {
            self.landmark_point(kind)
                .ok_or(NoMirror::NoLandmark { kind })
        };
        match line {
            MiddleLine::Knife => Ok(place(LandmarkKind::Tip)?.y),
            MiddleLine::Tang => {
                let upper = place(LandmarkKind::UpperShoulder)?;
                let lower = place(LandmarkKind::LowerShoulder)?;
                Ok(f64::midpoint(upper.y, lower.y))
            }
        }
    }

    /// The node across from a node, seen over a middle line at this height: itself where it lies on the line, `None` where nothing is there.
    #[must_use]
    pub fn node_opposite(&self, y_mm: f64, node: Id) -> Option<Id> {
        let there = across(y_mm, self.outline.node(node)?.at);
        let near = |n: &&Node| n.at.distance(there) <= ACROSS_MM;
        let found = self.outline.nodes.iter().filter(near);
        let nearest = found.min_by(|a, b| a.at.distance(there).total_cmp(&b.at.distance(there)));
        nearest.map(|n| n.id)
    }

    /// How many nodes beside a middle line have nothing across from them.
    ///
    /// # Errors
    /// A landmark the line goes by is not set.
    pub fn nodes_alone(&self, line: MiddleLine) -> Result<usize, NoMirror> {
        let y_mm = self.middle_y_mm(line)?;
        let beside = |n: &&Node| line == MiddleLine::Knife || n.at.x <= ACROSS_MM;
        let nodes = self.outline.nodes.iter().filter(beside);
        let alone = nodes.filter(|n| self.node_opposite(y_mm, n.id).is_none());
        Ok(alone.count())
    }

    /// Makes one side of a middle line the mirror picture of the other. For the tang only what lies behind the shoulder line.
    ///
    /// # Errors
    /// See [`NoMirror`]; the knife may be changed in part then.
    pub fn mirror_side(&mut self, line: MiddleLine, keep: Side) -> Result<(), NoMirror> {
        let y_mm = self.middle_y_mm(line)?;
        let rear = self.rear_on(y_mm)?;
        let rear = self.split_outline(rear).ok_or(NoMirror::TooLittle)?;
        if let Some(node) = self.outline.node_mut(rear) {
            node.at.y = y_mm;
        }
        let mut node_at = |kind| -> Result<Id, NoMirror> {
            let spot = self.landmark(kind).ok_or(NoMirror::NoLandmark { kind })?;
            self.split_outline(spot).ok_or(NoMirror::TooLittle)
        };
        // The outline runs along the edge to the tip and back along the spine: upper is from the front to the rear, lower from the rear to the front.
        let (upper_front, lower_front) = match line {
            MiddleLine::Knife => {
                let tip = node_at(LandmarkKind::Tip)?;
                (tip, tip)
            }
            MiddleLine::Tang => {
                let upper = node_at(LandmarkKind::UpperShoulder)?;
                let lower = node_at(LandmarkKind::LowerShoulder)?;
                self.facing(upper, lower)?;
                (upper, lower)
            }
        };
        let upper = Stretch {
            from: upper_front,
            to: rear,
        };
        let lower = Stretch {
            from: rear,
            to: lower_front,
        };
        let (own, other) = match keep {
            Side::Upper => (upper, lower),
            Side::Lower => (lower, upper),
        };
        if own.from == own.to {
            return Err(NoMirror::TooLittle);
        }
        let pieces = self.outline.pieces_of(own).ok_or(NoMirror::TooLittle)?;
        let mirrored: Vec<Piece> = pieces.iter().rev().map(|p| piece_across(y_mm, p)).collect();
        if !self.replace_stretch(other, &mirrored) {
            return Err(NoMirror::TooLittle);
        }
        Ok(())
    }

    /// Where a level line leaves the steel at its rear end.
    fn rear_on(&self, y_mm: f64) -> Result<Spot, NoMirror> {
        let contour = self.contour();
        let bounds = contour.bounds();
        let level = Piece::line(
            Point::new(bounds.x0 - 1.0, y_mm),
            Point::new(bounds.x1 + 1.0, y_mm),
        );
        let index = contour.index();
        let cut = crate::geometry::SpanIndex::new(&[level]);
        let crossings = crate::geometry::crossings_between(&index, &cut);
        let rear = crossings
            .iter()
            .map(|c| c.at)
            .min_by(|a, b| a.x.total_cmp(&b.x));
        let rear = rear.filter(|p| p.x < 0.0).ok_or(NoMirror::NoEnd { y_mm })?;
        self.outline
            .nearest_spot(rear)
            .ok_or(NoMirror::NoEnd { y_mm })
    }

    fn facing(&self, upper: Id, lower: Id) -> Result<(), NoMirror> {
        let at = |id| self.outline.node(id).map(|n| n.at).unwrap_or_default();
        let (upper, lower) = (at(upper), at(lower));
        if (upper.x - lower.x).abs() > ACROSS_MM {
            return Err(NoMirror::Shoulders { upper, lower });
        }
        Ok(())
    }
}
