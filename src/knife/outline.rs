//! The closed outline of a blade and its tang: nodes with handles, and the pieces between them.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use super::{Id, Spot};
use crate::geometry::{Contour, Motion, Nearest, Piece, SAME_POINT_MM};

/// How the outline passes a node.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Joint {
    /// The two sides meet at any angle.
    #[default]
    Corner,
    /// The handles stay in one line, so the outline passes without a corner.
    Smooth,
}

/// A node of an outline. A side without a handle leaves the node straight toward the other end's handle, or as a straight piece when
/// that end has none either.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Stable within the knife.
    pub id: Id,
    /// Where it is.
    pub at: Point,
    /// Handle of the piece that arrives here, from the node.
    pub handle_in: Option<Vec2>,
    /// Handle of the piece that leaves here, from the node.
    pub handle_out: Option<Vec2>,
    /// Corner or smooth.
    pub joint: Joint,
}

impl Node {
    /// A corner without handles.
    #[must_use]
    pub fn corner(id: Id, at: Point) -> Self {
        Self {
            id,
            at,
            handle_in: None,
            handle_out: None,
            joint: Joint::Corner,
        }
    }
}

/// A closed outline. The piece of index `i` runs from node `i` to the next, the last one back to node 0.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// The nodes in order of travel.
    pub nodes: Vec<Node>,
}

/// Handles nearer to one line than this make a smooth node, radians: a tenth of what an eye sees.
const SMOOTH_RAD: f64 = 1e-3;

impl Outline {
    /// The outline of lines and cubics that follow each other round; takes ids for its nodes from `next_id`.
    #[must_use]
    pub fn of_pieces(pieces: &[Piece], next_id: &mut Id) -> Self {
        let n = pieces.len();
        let mut nodes = Vec::with_capacity(n);
        for (i, piece) in pieces.iter().enumerate() {
            let before = pieces.get((i + n - 1) % n);
            let mut node = Node::corner(*next_id, piece.start());
            *next_id = next_id.saturating_add(1);
            if let Piece::Cubic(c) = piece {
                node.handle_out = Some(c.p1 - c.p0).filter(|h| h.hypot() > 0.0);
            }
            if let Some(Piece::Cubic(c)) = before {
                node.handle_in = Some(c.p2 - c.p3).filter(|h| h.hypot() > 0.0);
            }
            if let (Some(into), Some(out)) = (node.handle_in, node.handle_out) {
                let turn = (-into).cross(out).atan2((-into).dot(out));
                if turn.abs() < SMOOTH_RAD {
                    node.joint = Joint::Smooth;
                }
            }
            nodes.push(node);
        }
        Self { nodes }
    }

    /// The piece that begins at node index `index`; `None` past the end.
    #[must_use]
    pub fn piece(&self, index: usize) -> Option<Piece> {
        let a = self.nodes.get(index)?;
        let b = self.nodes.get((index + 1) % self.nodes.len())?;
        Some(match (a.handle_out, b.handle_in) {
            (None, None) => Piece::line(a.at, b.at),
            (out, into) => Piece::Cubic(CubicBez::new(
                a.at,
                a.at + out.unwrap_or(Vec2::ZERO),
                b.at + into.unwrap_or(Vec2::ZERO),
                b.at,
            )),
        })
    }

    /// All pieces, in order.
    #[must_use]
    pub fn contour(&self) -> Contour {
        Contour {
            pieces: (0..self.nodes.len())
                .filter_map(|i| self.piece(i))
                .collect(),
        }
    }

    /// Index of a node.
    #[must_use]
    pub fn index_of(&self, id: Id) -> Option<usize> {
        self.nodes.iter().position(|node| node.id == id)
    }

    /// A node by its id.
    #[must_use]
    pub fn node(&self, id: Id) -> Option<&Node> {
        self.nodes.iter().find(|node| node.id == id)
    }

    /// A node by its id, to change it.
    pub fn node_mut(&mut self, id: Id) -> Option<&mut Node> {
        self.nodes.iter_mut().find(|node| node.id == id)
    }

    /// The point at a spot; `None` when its node is gone.
    #[must_use]
    pub fn point_at(&self, spot: Spot) -> Option<Point> {
        Some(self.piece(self.index_of(spot.node)?)?.eval(spot.t))
    }

    /// The spot of a place found on [`Outline::contour`].
    #[must_use]
    pub fn spot_of(&self, nearest: &Nearest) -> Option<Spot> {
        let (index, t) = if nearest.t >= 1.0 {
            ((nearest.piece + 1) % self.nodes.len().max(1), 0.0)
        } else {
            (nearest.piece, nearest.t)
        };
        Some(Spot {
            node: self.nodes.get(index)?.id,
            t,
        })
    }

    /// The spot nearest to a point.
    #[must_use]
    pub fn nearest_spot(&self, point: Point) -> Option<Spot> {
        self.spot_of(&self.contour().nearest(point)?)
    }

    /// Puts a new node on the outline at `spot` without changing its shape, and gives the index of the new node. A spot on
    /// a node, or so near that the new piece would have no length, gives that node's index and adds nothing. `None` when the
    /// node is gone or `t` is not a number.
    pub fn split(&mut self, spot: Spot, new_id: Id) -> Option<usize> {
        let index = self.index_of(spot.node)?;
        let next = (index + 1) % self.nodes.len();
        if spot.t.is_nan() {
            return None;
        }
        let piece = self.piece(index)?;
        let empty = |from: f64, to: f64| {
            let hull = piece.part(from, to).hull_bounds();
            hull.width().max(hull.height()) <= SAME_POINT_MM
        };
        if spot.t <= 0.0 || empty(0.0, spot.t) {
            return Some(index);
        }
        if spot.t >= 1.0 || empty(spot.t, 1.0) {
            return Some(next);
        }
        let mut node = Node::corner(new_id, piece.eval(spot.t));
        if let Piece::Cubic(cubic) = piece {
            let (a, b) = (cubic.subsegment(0.0..spot.t), cubic.subsegment(spot.t..1.0));
            node.handle_in = Some(a.p2 - a.p3);
            node.handle_out = Some(b.p1 - b.p0);
            node.joint = Joint::Smooth;
            if let Some(n) = self.nodes.get_mut(index) {
                n.handle_out = n.handle_out.map(|h| h * spot.t);
            }
            if let Some(n) = self.nodes.get_mut(next) {
                n.handle_in = n.handle_in.map(|h| h * (1.0 - spot.t));
            }
        }
        self.nodes.insert(index + 1, node);
        Some(index + 1)
    }

    /// Takes a node out; its neighbors' pieces become one. Refused (`None`) when fewer than three nodes would be left.
    ///
    /// Where either side is curved, the handles of the neighbors grow so that the new piece keeps their directions and
    /// roughly the old shape; exactly so when the node only divided one curve.
    pub fn remove(&mut self, id: Id) -> Option<Node> {
        if self.nodes.len() <= 3 {
            return None;
        }
        self.take_out(self.index_of(id)?)
    }

    /// Takes a node out of an open chain: one between two others as [`Outline::remove`] does, one at an end with its piece. Refused
    /// (`None`) when fewer than two nodes would be left.
    pub fn remove_from_chain(&mut self, id: Id) -> Option<Node> {
        let n = self.nodes.len();
        if n <= 2 {
            return None;
        }
        let index = self.index_of(id)?;
        if index > 0 && index + 1 < n {
            return self.take_out(index);
        }
        let gone = self.nodes.remove(index);
        // The new end keeps no handle of the piece that went.
        let end = if index == 0 {
            self.nodes
                .first_mut()
                .map(|n| (&mut n.handle_in, &mut n.joint))
        } else {
            self.nodes
                .last_mut()
                .map(|n| (&mut n.handle_out, &mut n.joint))
        };
        if let Some((handle, joint)) = end {
            *handle = None;
            *joint = Joint::Corner;
        }
        Some(gone)
    }

    /// Takes out the node at an index; its neighbors' pieces become one.
    fn take_out(&mut self, index: usize) -> Option<Node> {
        let n = self.nodes.len();
        let (before, after) = ((index + n - 1) % n, (index + 1) % n);
        let (a, b) = (self.piece(before)?, self.piece(index)?);
        if matches!(a, Piece::Cubic(_)) || matches!(b, Piece::Cubic(_)) {
            let whole = joined(&a, &b);
            self.nodes.get_mut(before)?.handle_out = Some(whole.p1 - whole.p0);
            self.nodes.get_mut(after)?.handle_in = Some(whole.p2 - whole.p3);
        }
        Some(self.nodes.remove(index))
    }

    /// Moves a whole node by `d`; its handles go with it.
    pub fn shift_node(&mut self, id: Id, d: Vec2) {
        if let Some(node) = self.node_mut(id) {
            node.at += d;
        }
    }

    /// Sets one handle; a smooth node turns its other handle into line, keeping that one's length. A node that loses a handle
    /// becomes a corner: nothing would hold the two sides in line any more.
    pub fn set_handle(&mut self, id: Id, outgoing: bool, handle: Option<Vec2>) {
        let Some(node) = self.node_mut(id) else {
            return;
        };
        let (own, other) = if outgoing {
            (&mut node.handle_out, &mut node.handle_in)
        } else {
            (&mut node.handle_in, &mut node.handle_out)
        };
        *own = handle;
        if handle.is_none() {
            node.joint = Joint::Corner;
        }
        if node.joint == Joint::Smooth
            && let (Some(h), Some(o)) = (handle, other.as_mut())
            && h.hypot() > 1e-9
        {
            *o = -h.normalize() * o.hypot();
        }
    }

    /// Makes a node smooth (both handles brought into one line, added where missing) or a corner.
    pub fn set_joint(&mut self, id: Id, joint: Joint) {
        let Some(index) = self.index_of(id) else {
            return;
        };
        let n = self.nodes.len();
        let before = self.nodes[(index + n - 1) % n].at;
        let after = self.nodes[(index + 1) % n].at;
        let node = &mut self.nodes[index];
        node.joint = joint;
        if joint == Joint::Corner {
            return;
        }
        let to_before = (node.at - before).hypot() / 3.0;
        let to_after = (after - node.at).hypot() / 3.0;
        let direction = match (node.handle_in, node.handle_out) {
            (Some(i), Some(o)) if (o - i).hypot() > 1e-9 => o - i,
            (None, Some(o)) if o.hypot() > 1e-9 => o,
            (Some(i), None) if i.hypot() > 1e-9 => -i,
            _ => after - before,
        };
        if direction.hypot() <= 1e-9 {
            return;
        }
        let u = direction.normalize();
        let long = |h: Option<Vec2>, default: f64| {
            h.map(Vec2::hypot).filter(|l| *l > 1e-9).unwrap_or(default)
        };
        node.handle_in = Some(-u * long(node.handle_in, to_before));
        node.handle_out = Some(u * long(node.handle_out, to_after));
    }

    /// The outline after a rigid motion. A mirrored outline is run the other way, so that it stays counterclockwise; node
    /// ids stay, but the piece that begins at a node is then another one, so spots must be looked up anew.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        let mut nodes: Vec<Node> = self
            .nodes
            .iter()
            .map(|n| Node {
                at: motion.apply(n.at),
                handle_in: n.handle_in.map(|h| motion.apply_vec(h)),
                handle_out: n.handle_out.map(|h| motion.apply_vec(h)),
                ..*n
            })
            .collect();
        if motion.mirrored {
            nodes.reverse();
            for node in &mut nodes {
                std::mem::swap(&mut node.handle_in, &mut node.handle_out);
            }
        }
        Self { nodes }
    }
}

/// One curve for two that follow each other, with their outer directions.
fn joined(a: &Piece, b: &Piece) -> CubicBez {
    let (from, to) = (a.start(), b.end());
    let (out, into) = (first_handle(a), -first_handle(&b.reversed()));
    let whole = |grow_out: f64, grow_in: f64| {
        CubicBez::new(from, from + out * grow_out, to - into * grow_in, to)
    };
    // If the two came from dividing one curve at t, their inner handles are as t to 1 − t (de Casteljau), and growing the outer ones
    // by 1/t and 1/(1 − t) gives it back.
    let node = a.end();
    let inner = (first_handle(&a.reversed()).hypot(), first_handle(b).hypot());
    let t = inner.0 / (inner.0 + inner.1);
    let undivided = whole(1.0 / t, 1.0 / (1.0 - t));
    if undivided.eval(t).distance(node) <= SAME_POINT_MM {
        return undivided;
    }
    // Otherwise they grow as the lengths do; but none longer than the new piece: beside a tiny piece it would run off the bench.
    let (la, lb) = (a.length(), b.length());
    let grow = |handle: Vec2, own: f64| {
        let most = (la + lb) / handle.hypot().max(1e-9);
        let grow = if own > 0.0 { (la + lb) / own } else { 1.0 };
        grow.min(most).max(1.0)
    };
    whole(grow(out, la), grow(into, lb))
}

/// The handle a piece leaves its start with; a third of the way for a straight one or one without.
fn first_handle(piece: &Piece) -> Vec2 {
    let third = (piece.end() - piece.start()) / 3.0;
    match piece {
        Piece::Cubic(cubic) if cubic.p1 != cubic.p0 => cubic.p1 - cubic.p0,
        _ => third,
    }
}
