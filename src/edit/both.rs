//! A change made on both sides of a middle line at once.
//!
//! What is listed (nodes to remove, corners to round, a stretch, a new hole) is done again with what lies across; what was moved or bent on one side is
//! copied over, mirrored. What lies on the line stays on it. Things with nothing across from them are changed alone.

use super::apply::change_knife;
use super::{Change, EditError, Thing};
use crate::geometry::{Motion, Point};
use crate::knife::{
    ACROSS_MM, CutShape, Id, Knife, Mend, MiddleLine, Node, across, across_vec, node_across,
};

/// Makes a change on both sides.
pub(super) fn both(knife: &mut Knife, line: MiddleLine, change: &Change) -> Result<(), EditError> {
    let y_mm = knife.middle_y_mm(line)?;
    let sides = Sides { line, y_mm };
    let before = knife.clone();
    let again = sides.again(&before, change);
    change_knife(knife, change)?;
    match again {
        Some(again) => change_knife(knife, &again),
        None => {
            sides.follow(&before, knife);
            Ok(())
        }
    }
}

/// The two sides of a level line.
struct Sides {
    line: MiddleLine,
    y_mm: f64,
}

impl Sides {
    /// Whether a place belongs to what is kept alike.
    fn concerns(&self, p: Point) -> bool {
        self.line == MiddleLine::Knife || p.x <= ACROSS_MM
    }

    fn opposite(&self, knife: &Knife, node: Id) -> Option<Id> {
        let at = knife.outline.node(node)?.at;
        let other = knife.node_opposite(self.y_mm, node)?;
        (self.concerns(at) && other != node).then_some(other)
    }

    /// The nodes across from some, those left out that are among them.
    fn others(&self, knife: &Knife, nodes: &[Id]) -> Vec<Id> {
        let across = nodes.iter().filter_map(|id| self.opposite(knife, *id));
        across.filter(|id| !nodes.contains(id)).collect()
    }

    /// The same change for what lies across; `None` where it is copied over instead, or nothing lies there.
    fn again(&self, knife: &Knife, change: &Change) -> Option<Change> {
        let stretch = |nodes: &[Id]| {
            let others = self.others(knife, nodes);
            (others.len() == nodes.len()).then_some(others)
        };
        match change {
            Change::Remove { things } => {
                let others = things.iter().filter_map(|t| self.thing_opposite(knife, *t));
                let things: Vec<Thing> = others.filter(|t| !things.contains(t)).collect();
                (!things.is_empty()).then_some(Change::Remove { things })
            }
            Change::Mend {
                mend:
                    Mend::RoundCorners {
                        of: None,
                        nodes,
                        radius_mm,
                    },
            } => {
                let nodes = self.others(knife, nodes);
                let mend = Mend::RoundCorners {
                    of: None,
                    nodes,
                    radius_mm: *radius_mm,
                };
                let any = matches!(&mend, Mend::RoundCorners { nodes, .. } if !nodes.is_empty());
                any.then_some(Change::Mend { mend })
            }
            Change::Straighten { nodes } => {
                stretch(nodes).map(|nodes| Change::Straighten { nodes })
            }
            Change::Fair { nodes, within_mm } => stretch(nodes).map(|nodes| Change::Fair {
                nodes,
                within_mm: *within_mm,
            }),
            Change::JoinPieces { nodes, within_mm } => {
                stretch(nodes).map(|nodes| Change::JoinPieces {
                    nodes,
                    within_mm: *within_mm,
                })
            }
            Change::SplitPiece { node, parts } => {
                let n = knife.outline.nodes.len();
                let index = knife.outline.index_of(*node)?;
                let next = knife.outline.nodes.get((index + 1) % n)?.id;
                let node = self.opposite(knife, next)?;
                Some(Change::SplitPiece {
                    node,
                    parts: *parts,
                })
            }
            Change::AddNode { spot } => {
                let at = knife
                    .outline
                    .point_at(*spot)
                    .filter(|p| self.concerns(*p))?;
                let there = across(self.y_mm, at);
                let spot = knife.outline.nearest_spot(there)?;
                let near = knife.outline.point_at(spot)?.distance(there) <= ACROSS_MM;
                let aside = there.distance(at) > ACROSS_MM;
                (near && aside).then_some(Change::AddNode { spot })
            }
            Change::AddCutOut {
                shape,
                purpose,
                filling,
            } => {
                let center = shape.center();
                let aside = (center.y - self.y_mm).abs() > ACROSS_MM;
                (aside && self.concerns(center)).then(|| Change::AddCutOut {
                    shape: self.shape_across(shape),
                    purpose: *purpose,
                    filling: filling.clone(),
                })
            }
            _ => None,
        }
    }

    fn thing_opposite(&self, knife: &Knife, thing: Thing) -> Option<Thing> {
        match thing {
            Thing::Node(id) => Some(Thing::Node(self.opposite(knife, id)?)),
            Thing::CutOut(id) => Some(Thing::CutOut(self.cut_out_opposite(knife, id)?)),
            _ => None,
        }
    }

    /// The cut-out of the same kind across from one.
    fn cut_out_opposite(&self, knife: &Knife, id: Id) -> Option<Id> {
        let own = knife.cut_out(id)?;
        let there = across(self.y_mm, own.shape.center());
        let kind = std::mem::discriminant(&own.shape);
        let found = knife.cut_outs.iter().find(|c| {
            c.id != id
                && std::mem::discriminant(&c.shape) == kind
                && c.shape.center().distance(there) <= ACROSS_MM
        });
        found.filter(|_| self.concerns(there)).map(|c| c.id)
    }

    fn shape_across(&self, shape: &CutShape) -> CutShape {
        let over = Motion {
            mirrored: true,
            ..Motion::turn(0.0)
        };
        shape.moved(&over.about(Point::new(0.0, self.y_mm)))
    }

    /// Copies over what a change has moved or bent on one side alone.
    fn follow(&self, before: &Knife, knife: &mut Knife) {
        let changed = |id: Id, now: &Knife| before.outline.node(id) != now.outline.node(id);
        let moved: Vec<Node> = before
            .outline
            .nodes
            .iter()
            .filter(|n| self.concerns(n.at) && changed(n.id, knife))
            .copied()
            .collect();
        let now = knife.clone();
        for old in moved {
            let (Some(new), Some(other)) = (
                now.outline.node(old.id).copied(),
                before.node_opposite(self.y_mm, old.id),
            ) else {
                continue;
            };
            if other == old.id {
                if let Some(node) = knife.outline.node_mut(old.id) {
                    *node = self.on_line(&old, &new);
                }
            } else if !changed(other, &now)
                && let Some(node) = knife.outline.node_mut(other)
            {
                let id = node.id;
                *node = Node {
                    id,
                    ..node_across(self.y_mm, &new)
                };
            }
        }
        for old in &before.cut_outs {
            let Some(new) = now.cut_out(old.id) else {
                continue;
            };
            if new.shape == old.shape {
                continue;
            }
            let other = self.cut_out_opposite(before, old.id);
            let shape = self.shape_across(&new.shape);
            let same =
                |id: Id| before.cut_out(id).map(|c| &c.shape) == now.cut_out(id).map(|c| &c.shape);
            if let Some(cut) = other
                .filter(|id| same(*id))
                .and_then(|id| knife.cut_out_mut(id))
            {
                cut.shape = with_ids_of(shape, &cut.shape);
            }
        }
    }

    /// A node on the line after a change: it stays on the line, and its handles face each other.
    fn on_line(&self, old: &Node, new: &Node) -> Node {
        let mut node = *new;
        node.at.y = self.y_mm;
        if new.handle_out != old.handle_out {
            node.handle_in = new.handle_out.map(across_vec);
        } else if new.handle_in != old.handle_in {
            node.handle_out = new.handle_in.map(across_vec);
        }
        node
    }
}

/// A mirrored shape with the node ids of the one it replaces.
fn with_ids_of(mut shape: CutShape, old: &CutShape) -> CutShape {
    if let (CutShape::Free { outline }, CutShape::Free { outline: own }) = (&mut shape, old) {
        if outline.nodes.len() != own.nodes.len() {
            return old.clone();
        }
        for (node, own) in outline.nodes.iter_mut().zip(&own.nodes) {
            node.id = own.id;
        }
    }
    shape
}
