//! Things on the drawing that can be picked and moved.

use crate::geometry::{Point, SpanIndex};
use crate::knife::{CutShape, Id, Knife, LandmarkKind, RowPath};

/// A thing on one knife that can be picked, moved and, where it makes sense, removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A node of the steel's outline.
    Node(Id),
    /// A handle of a node: the outgoing one if `outgoing`.
    Handle {
        /// The node it belongs to.
        node: Id,
        /// Whether it shapes the piece that leaves the node.
        outgoing: bool,
    },
    /// A landmark; it slides along the outline.
    Landmark(LandmarkKind),
    /// A single cut-out.
    CutOut(Id),
    /// A node of a free cut-out.
    CutOutNode {
        /// The cut-out.
        cut_out: Id,
        /// The node of its outline.
        node: Id,
    },
    /// A whole row.
    Row(Id),
    /// One end of a row: the last hole if `last`.
    RowEnd {
        /// The row.
        row: Id,
        /// Whether it is the last hole.
        last: bool,
    },
    /// A station of the taper, by its place in the taper's list; it moves along the knife only.
    TaperStation(usize),
    /// A node of a fuller's path.
    FullerNode {
        /// The fuller.
        fuller: Id,
        /// The node of its path.
        node: Id,
    },
    /// The name engraved on the tang.
    Name,
}

/// Everything on a knife that is picked as a whole: nodes, single cut-outs, rows.
pub fn whole_things(knife: &Knife) -> impl Iterator<Item = Thing> {
    let nodes = knife.outline.nodes.iter().map(|n| Thing::Node(n.id));
    let cut_outs = knife.cut_outs.iter().map(|c| Thing::CutOut(c.id));
    let rows = knife.rows.iter().map(|r| Thing::Row(r.id));
    nodes.chain(cut_outs).chain(rows)
}

/// Where a thing is held: the point that moves with the pointer. `None` when it is gone.
#[must_use]
pub fn thing_point(knife: &Knife, thing: Thing) -> Option<Point> {
    match thing {
        Thing::Node(id) => Some(knife.outline.node(id)?.at),
        Thing::Handle { node, outgoing } => {
            let node = knife.outline.node(node)?;
            let handle = if outgoing {
                node.handle_out
            } else {
                node.handle_in
            };
            Some(node.at + handle?)
        }
        Thing::Landmark(kind) => knife.landmark_point(kind),
        Thing::CutOut(id) => Some(knife.cut_out(id)?.shape.center()),
        Thing::CutOutNode { cut_out, node } => {
            let cut = knife.cut_out(cut_out)?;
            let CutShape::Free { outline } = &cut.shape else {
                return None;
            };
            Some(outline.node(node)?.at)
        }
        Thing::Row(id) => {
            let (first, last) = row_ends(knife, id)?;
            Some(first.midpoint(last))
        }
        Thing::RowEnd { row, last } => {
            let (a, b) = row_ends(knife, row)?;
            Some(if last { b } else { a })
        }
        Thing::TaperStation(i) => {
            let station = knife.grinding.taper.as_ref()?.stations.get(i)?;
            Some(middle_at(&knife.contour().index(), station.x_mm))
        }
        Thing::FullerNode { fuller, node } => {
            let fuller = knife.grinding.fullers.iter().find(|f| f.id == fuller)?;
            Some(fuller.path.node(node)?.at)
        }
        Thing::Name => Some(knife.engraving.as_ref()?.held_at(knife)),
    }
}

fn row_ends(knife: &Knife, id: Id) -> Option<(Point, Point)> {
    let row = knife.row(id)?;
    match row.path {
        RowPath::Line { from, to } => Some((from, to)),
        RowPath::TangMiddle { from_x, to_x } => {
            let steel = knife.contour().index();
            Some((middle_at(&steel, from_x), middle_at(&steel, to_x)))
        }
    }
}

/// The middle of the steel at a place along the knife; level with the shoulder line's zero where there is none.
fn middle_at(steel: &SpanIndex, x: f64) -> Point {
    let y = steel.depth_at(x).map_or(0.0, |(l, h)| f64::midpoint(l, h));
    Point::new(x, y)
}
