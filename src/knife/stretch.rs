//! A stretch of the outline between two of its nodes: found by what is picked, looked at, and replaced.

use super::{Id, Joint, Knife, LandmarkKind, Node, Outline, Spot};
use crate::geometry::{Piece, Point, Vec2};

/// Directions that turn less than this, radians, pass smoothly.
const SMOOTH: f64 = 1e-6;

/// Chords a piece's length is told by.
const CHORDS: u32 = 6;

/// A stretch of an outline, run in its sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The node it begins at.
    pub from: Id,
    /// The node it ends at; the same one when it is the whole outline.
    pub to: Id,
}

impl Outline {
    /// The shortest stretch that holds all of some nodes: between the outermost two, or, of a single node, from the one before it to the one behind it.
    /// `None` where a node is gone or none is given.
    #[must_use]
    pub fn stretch_of(&self, nodes: &[Id]) -> Option<Stretch> {
        let n = self.nodes.len();
        let mut places = Vec::new();
        for id in nodes {
            places.push(self.index_of(*id)?);
        }
        places.sort_unstable();
        places.dedup();
        let id = |place: usize| self.nodes.get(place % n).map(|node| node.id);
        if let [only] = places.as_slice() {
            return Some(Stretch {
                from: id(only + n - 1)?,
                to: id(only + 1)?,
            });
        }
        // Asked for while drawing: chords tell which way is longest well enough.
        let lengths: Vec<f64> = (0..n)
            .map(|i| self.piece(i).map_or(0.0, |p| chords(&p)))
            .collect();
        // What is left out is the longest way from one of them to the next.
        let mut left_out: Option<(f64, usize, usize)> = None;
        for (i, from) in places.iter().enumerate() {
            let to = places.get((i + 1) % places.len()).copied()?;
            let end = if to > *from { to } else { to + n };
            let way = (*from..end).filter_map(|k| lengths.get(k % n)).sum();
            if left_out.is_none_or(|(most, ..)| way > most) {
                left_out = Some((way, *from, to));
            }
        }
        let (_, end, begin) = left_out?;
        Some(Stretch {
            from: id(begin)?,
            to: id(end)?,
        })
    }

    /// The nodes a stretch goes through, its ends among them. `None` where one of those is gone.
    #[must_use]
    pub fn nodes_of(&self, stretch: Stretch) -> Option<Vec<Id>> {
        let n = self.nodes.len();
        let (from, to) = (self.index_of(stretch.from)?, self.index_of(stretch.to)?);
        let end = if to > from { to } else { to + n };
        (from..=end)
            .map(|k| self.nodes.get(k % n).map(|node| node.id))
            .collect()
    }

    /// The pieces of a stretch.
    #[must_use]
    pub fn pieces_of(&self, stretch: Stretch) -> Option<Vec<Piece>> {
        let nodes = self.nodes_of(stretch)?;
        let begins = nodes.get(..nodes.len().checked_sub(1)?)?;
        begins
            .iter()
            .map(|id| self.piece(self.index_of(*id)?))
            .collect()
    }

    /// The directions a stretch must keep at its two ends: those of its neighbors where the outline passes smoothly.
    #[must_use]
    pub fn ends_of(&self, stretch: Stretch) -> [Option<Vec2>; 2] {
        let n = self.nodes.len();
        let smooth = |id: Id| {
            let index = self.index_of(id)?;
            (self.nodes.get(index)?.joint == Joint::Smooth).then_some(index)
        };
        let before = smooth(stretch.from).and_then(|i| self.piece((i + n - 1) % n));
        let after = smooth(stretch.to).and_then(|i| self.piece(i));
        [
            before.and_then(|p| p.direction(1.0)),
            after.and_then(|p| p.direction(0.0)),
        ]
    }
}

impl Knife {
    /// Puts other pieces in the place of a stretch; they must run from its beginning to its end. Nodes within it go, the new ones get ids of the knife.
    /// Landmarks on it stay where they were, or as near as the new pieces pass. `false`, and nothing is changed, where the stretch is gone or
    /// fewer than three nodes would be left.
    pub fn replace_stretch(&mut self, stretch: Stretch, with: &[Piece]) -> bool {
        let Some(old) = self.outline.nodes_of(stretch) else {
            return false;
        };
        let inner = old.get(1..old.len().saturating_sub(1)).unwrap_or_default();
        let left = self.outline.nodes.len() - inner.len() + with.len().saturating_sub(1);
        if with.is_empty() || left < 3 || stretch.from == stretch.to {
            return false;
        }
        let gone = |id: Id| id == stretch.from || inner.contains(&id);
        let astray: Vec<(LandmarkKind, Option<Point>)> = self
            .landmarks
            .iter()
            .filter(|l| gone(l.spot.node) && !(l.spot.node == stretch.from && l.spot.t <= 0.0))
            .map(|l| (l.kind, self.outline.point_at(l.spot)))
            .collect();
        self.outline.nodes.retain(|node| !inner.contains(&node.id));
        let mut begins = vec![stretch.from];
        for pair in with.windows(2) {
            let [a, b] = pair else { continue };
            begins.push(self.put_after(begins.last().copied(), a, b));
        }
        let handles = |piece: &Piece| match piece {
            Piece::Cubic(c) => (Some(c.p1 - c.p0), Some(c.p2 - c.p3)),
            _ => (None, None),
        };
        let first = with.first().map(handles).unwrap_or_default().0;
        let last = with.last().map(handles).unwrap_or_default().1;
        if let Some(node) = self.outline.node_mut(stretch.from) {
            node.handle_out = first;
        }
        if let Some(node) = self.outline.node_mut(stretch.to) {
            node.handle_in = last;
        }
        for end in [stretch.from, stretch.to] {
            self.outline.rejoin(end);
        }
        for (kind, place) in astray {
            let spot = place.and_then(|p| nearest_of(with, &begins, p));
            if let Some(spot) = spot {
                self.set_landmark(kind, spot);
            }
        }
        true
    }

    /// Puts a node behind another, where one new piece ends and the next begins; gives its id.
    fn put_after(&mut self, before: Option<Id>, a: &Piece, b: &Piece) -> Id {
        let id = self.take_id();
        let mut node = Node::corner(id, a.end());
        if let Piece::Cubic(c) = a {
            node.handle_in = Some(c.p2 - c.p3);
        }
        if let Piece::Cubic(c) = b {
            node.handle_out = Some(c.p1 - c.p0);
        }
        node.joint = Joint::Smooth;
        let place = before.and_then(|id| self.outline.index_of(id));
        let place = place.map_or(self.outline.nodes.len(), |p| p + 1);
        self.outline.nodes.insert(place, node);
        self.outline.rejoin(id);
        id
    }
}

impl Outline {
    /// Makes a smooth node a corner where its handles are not in one line.
    fn rejoin(&mut self, id: Id) {
        let Some(node) = self.node_mut(id) else {
            return;
        };
        let in_line = match (node.handle_in, node.handle_out) {
            (Some(into), Some(out)) => {
                into.cross(out).abs() <= SMOOTH * into.hypot() * out.hypot() && into.dot(out) < 0.0
            }
            _ => false,
        };
        if !in_line {
            node.joint = Joint::Corner;
        }
    }
}

/// A piece's length by a few chords, mm.
fn chords(piece: &Piece) -> f64 {
    let at = |i: u32| piece.eval(f64::from(i) / f64::from(CHORDS));
    (0..CHORDS).map(|i| at(i).distance(at(i + 1))).sum()
}

/// The spot nearest to a place on pieces that begin at these nodes. At a piece's very end it would be the next node's.
fn nearest_of(pieces: &[Piece], begins: &[Id], place: Point) -> Option<Spot> {
    let near = pieces.iter().zip(begins).map(|(piece, node)| {
        let (t, off) = piece.nearest(place);
        (off, Spot { node: *node, t })
    });
    let (_, spot) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(spot)
}
