//! Mends of what a check or a cutting service would ask about: each is plain data, does one small thing, and can be looked at first.

mod fitting;
mod rounding;
#[cfg(test)]
mod tests;

use crate::geometry::{Point, SAME_POINT_MM};

use super::{CutShape, Id, Joint, Knife, LandmarkKind, Outline};

/// A mend of one knife that needs no judgment.
#[derive(Clone, Debug, PartialEq)]
pub enum Mend {
    /// The short or empty piece that begins at a node goes: its two nodes become one, halfway between them.
    JoinNodes {
        /// The free cut-out it is of; none for the steel's own outline.
        of: Option<Id>,
        /// The node the piece begins at.
        node: Id,
    },
    /// An outline that goes out and comes back over the same ground stays at home: the node at the far end goes, and both pieces with it.
    DropSpur {
        /// The free cut-out it is of; none for the steel's own outline.
        of: Option<Id>,
        /// The node at the far end.
        node: Id,
    },
    /// A cut-out that is there twice is cut once: this one goes.
    DropCutOut {
        /// Which.
        cut_out: Id,
    },
    /// Sharp corners get a radius. The steel grows in the outline's hollows and round the corners of a window.
    RoundCorners {
        /// The free cut-out they are of; none for the steel's own outline.
        of: Option<Id>,
        /// The nodes at the corners.
        nodes: Vec<Id>,
        /// The radius, mm.
        radius_mm: f64,
    },
    /// Round holes get another diameter, slots another width; those of a row all the same.
    SizeHoles {
        /// Single cut-outs.
        cut_outs: Vec<Id>,
        /// Whole rows.
        rows: Vec<Id>,
        /// The new diameter or width, mm.
        size_mm: f64,
    },
    /// Landmarks are set on the outline, each as near as it passes to a place.
    SeatLandmarks {
        /// Which, and where.
        places: Vec<(LandmarkKind, Point)>,
    },
    /// The guard's slot gets another clearance on each face of the tang.
    FitGuard {
        /// The clearance, mm.
        clearance_mm: f64,
    },
    /// The corners of the guard's slot are filed to another radius.
    FileSlotCorners {
        /// The radius, mm; 0 files them square.
        radius_mm: f64,
    },
}

/// Why a mend was not made.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MendError {
    /// What it speaks of is not there, or is as it should be.
    #[error("there is nothing to mend there any more")]
    Gone,
    /// An outline keeps three nodes.
    #[error("an outline keeps at least three nodes: draw this one anew")]
    TooFewNodes,
    /// The pieces beside a corner are too short for the radius.
    #[error(
        "a radius of {radius_mm:.2} mm finds no room at x {:.1}, y {:.1} mm: make the sides longer, or take a smaller one", at.x, at.y
    )]
    NoRoom {
        /// The radius asked for, mm.
        radius_mm: f64,
        /// The corner.
        at: Point,
    },
}

impl Mend {
    /// What it does, as a button says it.
    #[must_use]
    pub fn label(&self) -> &'static str {
        match self {
            Self::JoinNodes { .. } => "join the two nodes",
            Self::DropSpur { .. } => "drop the spur",
            Self::DropCutOut { .. } => "drop the double",
            Self::RoundCorners { nodes, .. } if nodes.len() > 1 => "round the corners",
            Self::RoundCorners { .. } => "round the corner",
            Self::SizeHoles { cut_outs, rows, .. } if cut_outs.len() + rows.len() > 1 => {
                "size the holes"
            }
            Self::SizeHoles { cut_outs, .. } if cut_outs.is_empty() => "size the row",
            Self::SizeHoles { .. } => "size the hole",
            Self::SeatLandmarks { places } if places.len() > 1 => "set the landmarks",
            Self::SeatLandmarks { .. } => "set the landmark",
            Self::FitGuard { .. } => "fit the slot",
            Self::FileSlotCorners { .. } => "file the slot's corners",
        }
    }

    /// Mends a knife.
    ///
    /// # Errors
    /// It can't be done; the knife is as it was then.
    pub fn make(&self, knife: &mut Knife) -> Result<(), MendError> {
        let mut mended = knife.clone();
        self.make_on(&mut mended)?;
        *knife = mended;
        Ok(())
    }

    /// Mends a knife that may be left halfway.
    fn make_on(&self, knife: &mut Knife) -> Result<(), MendError> {
        match self {
            Self::JoinNodes { of, node } => {
                on_outline(knife, *of, |outline, _| join_nodes(outline, *node))
            }
            Self::DropSpur { of, node } => {
                on_outline(knife, *of, |outline, _| drop_spur(outline, *node))
            }
            Self::DropCutOut { cut_out } => {
                let place = knife.cut_outs.iter().position(|c| c.id == *cut_out);
                knife.cut_outs.remove(place.ok_or(MendError::Gone)?);
                Ok(())
            }
            Self::SizeHoles {
                cut_outs,
                rows,
                size_mm,
            } => fitting::size_holes(knife, cut_outs, rows, *size_mm),
            Self::SeatLandmarks { places } => {
                let places: Vec<_> = places.iter().map(|(k, p)| (*k, Some(*p))).collect();
                knife.seat_landmarks(&places);
                Ok(())
            }
            Self::FitGuard { clearance_mm } => {
                let guard = knife.guard.as_mut().ok_or(MendError::Gone)?;
                guard.clearance_mm = *clearance_mm;
                Ok(())
            }
            Self::FileSlotCorners { radius_mm } => {
                let guard = knife.guard.as_mut().ok_or(MendError::Gone)?;
                guard.slot_corner_mm = *radius_mm;
                Ok(())
            }
            Self::RoundCorners {
                of,
                nodes,
                radius_mm,
            } => on_outline(knife, *of, |outline, ids| {
                round_all(outline, nodes, *radius_mm, ids)
            }),
        }
    }
}

fn round_all(
    outline: &mut Outline,
    nodes: &[Id],
    radius_mm: f64,
    ids: &mut Id,
) -> Result<(), MendError> {
    if nodes.is_empty() {
        return Err(MendError::Gone);
    }
    nodes
        .iter()
        .try_for_each(|node| rounding::round(outline, *node, radius_mm, ids))
}

/// Changes the outline of the steel or of a free cut-out, with the next free id at hand. Landmarks stay where they were, or as near as the new
/// outline passes.
fn on_outline(
    knife: &mut Knife,
    of: Option<Id>,
    mend: impl FnOnce(&mut Outline, &mut Id) -> Result<(), MendError>,
) -> Result<(), MendError> {
    if let Some(id) = of {
        let cut_out = knife.cut_outs.iter_mut().find(|c| c.id == id);
        let Some(CutShape::Free { outline }) = cut_out.map(|c| &mut c.shape) else {
            return Err(MendError::Gone);
        };
        return mend(outline, &mut knife.next_id);
    }
    let before = knife.outline.clone();
    mend(&mut knife.outline, &mut knife.next_id)?;
    // Those on pieces that are as they were keep their very spots.
    let kept = |outline: &Outline, node: Id| outline.index_of(node).and_then(|i| outline.piece(i));
    let astray: Vec<(LandmarkKind, Option<Point>)> = knife
        .landmarks
        .iter()
        .filter(|l| kept(&before, l.spot.node) != kept(&knife.outline, l.spot.node))
        .map(|l| (l.kind, before.point_at(l.spot)))
        .collect();
    knife.seat_landmarks(&astray);
    Ok(())
}

/// Makes one node of the two ends of a piece.
fn join_nodes(outline: &mut Outline, node: Id) -> Result<(), MendError> {
    let n = outline.nodes.len();
    let first = outline.index_of(node).ok_or(MendError::Gone)?;
    if n <= 3 {
        return Err(MendError::TooFewNodes);
    }
    let gone = outline.nodes.remove((first + 1) % n);
    let own = outline.node_mut(node).ok_or(MendError::Gone)?;
    own.at = own.at.midpoint(gone.at);
    own.handle_out = gone.handle_out;
    let smooth = own.joint == Joint::Smooth && gone.joint == Joint::Smooth;
    own.joint = if smooth { Joint::Smooth } else { Joint::Corner };
    Ok(())
}

/// Takes out a node whose two pieces run over the same ground, and one of the two nodes at their other end.
fn drop_spur(outline: &mut Outline, node: Id) -> Result<(), MendError> {
    let n = outline.nodes.len();
    let far = outline.index_of(node).ok_or(MendError::Gone)?;
    if n <= 4 {
        return Err(MendError::TooFewNodes);
    }
    let ends = outline
        .nodes
        .get((far + n - 1) % n)
        .zip(outline.nodes.get((far + 1) % n));
    let (before, after) = ends.ok_or(MendError::Gone)?;
    if before.at.distance(after.at) > SAME_POINT_MM {
        return Err(MendError::Gone);
    }
    let (home, out) = (before.id, (after.id, after.handle_out));
    outline
        .nodes
        .retain(|own| own.id != node && own.id != out.0);
    let home = outline.node_mut(home).ok_or(MendError::Gone)?;
    home.handle_out = out.1;
    home.joint = Joint::Corner;
    Ok(())
}
