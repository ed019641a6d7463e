//! Edits of the steel's outline that need more than one step.

use super::EditError;
use super::apply::on_bench;
use crate::geometry::{OutlineFault, Piece, Point, Vec2, outline_faults};
use crate::knife::{Id, Joint, Knife, LandmarkKind, Outline, guess_landmarks, outline_rule_faults};

/// Gives every node of an outline a new id of the knife.
fn renumber(outline: &mut Outline, knife: &mut Knife) {
    for node in &mut outline.nodes {
        node.id = knife.take_id();
    }
}

/// Whether the outline has the node.
pub(super) fn known(knife: &Knife, node: Id) -> Result<(), EditError> {
    match knife.outline.node(node) {
        Some(_) => Ok(()),
        None => Err(EditError::Gone { what: "node" }),
    }
}

/// Makes the piece that begins at a node a curve with handles at its thirds, or a straight line.
pub(super) fn bend(knife: &mut Knife, node: Id, curved: bool) -> Result<(), EditError> {
    let gone = EditError::Gone { what: "node" };
    let index = knife.outline.index_of(node).ok_or(gone.clone())?;
    let next = (index + 1) % knife.outline.nodes.len();
    let chord = match (
        knife.outline.nodes.get(index),
        knife.outline.nodes.get(next),
    ) {
        (Some(a), Some(b)) => b.at - a.at,
        _ => return Err(gone),
    };
    if let Some(a) = knife.outline.nodes.get_mut(index) {
        a.handle_out = curved.then(|| a.handle_out.unwrap_or(third(a.joint, a.handle_in, chord)));
        if !curved && a.handle_in.is_some() {
            a.joint = Joint::Corner;
        }
    }
    if let Some(b) = knife.outline.nodes.get_mut(next) {
        b.handle_in = curved.then(|| b.handle_in.unwrap_or(third(b.joint, b.handle_out, -chord)));
        if !curved && b.handle_out.is_some() {
            b.joint = Joint::Corner;
        }
    }
    Ok(())
}

/// A handle to the third of a chord; on a smooth node in line with its other handle.
fn third(joint: Joint, other: Option<Vec2>, chord: Vec2) -> Vec2 {
    match other {
        Some(other) if joint == Joint::Smooth && other.hypot() > 1e-9 => {
            -other.normalize() * (chord.hypot() / 3.0)
        }
        _ => chord / 3.0,
    }
}

/// Pulls the piece that begins at a node so that its point at `t` comes to `to`.
///
/// The two inner control points share the move in the proportion in which they carry that point, so the pull stays local
/// and the ends stay where they are.
pub(super) fn pull(knife: &mut Knife, node: Id, t: f64, to: Point) -> Result<(), EditError> {
    let gone = EditError::Gone { what: "piece" };
    on_bench(&[t, to.x, to.y])?;
    bend(knife, node, true)?;
    let index = knife.outline.index_of(node).ok_or(gone.clone())?;
    let piece = knife.outline.piece(index).ok_or(gone.clone())?;
    // Nearer the ends no handle can carry the point any more.
    let t = t.clamp(0.1, 0.9);
    let by = to - piece.eval(t);
    let (w1, w2) = (3.0 * (1.0 - t) * (1.0 - t) * t, 3.0 * (1.0 - t) * t * t);
    let whole = w1 * (1.0 - t) + w2 * t;
    let Piece::Cubic(cubic) = piece else {
        return Err(gone);
    };
    let out = cubic.p1 + by * ((1.0 - t) / whole) - cubic.p0;
    let into = cubic.p2 + by * (t / whole) - cubic.p3;
    let next = (index + 1) % knife.outline.nodes.len();
    knife.outline.set_handle(node, true, Some(out));
    if let Some(end) = knife.outline.nodes.get(next).map(|n| n.id) {
        knife.outline.set_handle(end, false, Some(into));
    }
    Ok(())
}

/// Gives a drawn shape ids of the knife, and tells whether it keeps the rules and is closed, simple, and has an inside; gives its
/// signed area.
pub(super) fn adopt(outline: &mut Outline, knife: &mut Knife) -> Result<f64, EditError> {
    renumber(outline, knife);
    let broken = outline_rule_faults(outline, knife.next_id);
    if let Some(fault) = broken.into_iter().next() {
        return Err(EditError::Rule { fault });
    }
    let contour = outline.contour();
    if let Some(fault) = outline_faults(&contour.pieces).into_iter().next() {
        return Err(EditError::Outline { fault });
    }
    let area = contour.moments().area;
    if area == 0.0 {
        let fault = OutlineFault::TooFew;
        return Err(EditError::Outline { fault });
    }
    Ok(area)
}

/// Replaces the outline by a drawn one, turned counterclockwise, and seats the landmarks by its shape.
pub(super) fn replace(knife: &mut Knife, drawn: &Outline) -> Result<(), EditError> {
    let mut outline = drawn.clone();
    if adopt(&mut outline, knife)? < 0.0 {
        outline.nodes.reverse();
        for node in &mut outline.nodes {
            std::mem::swap(&mut node.handle_in, &mut node.handle_out);
        }
    }
    knife.outline = outline;
    let mut places = guess_landmarks(&knife.outline);
    // A false edge is there only where one is ground.
    if knife.landmark(LandmarkKind::FalseEdge).is_none() {
        places.retain(|(kind, _)| *kind != LandmarkKind::FalseEdge);
    }
    knife.seat_landmarks(&places);
    Ok(())
}
