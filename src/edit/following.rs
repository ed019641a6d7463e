//! A copy of a stretch of the outline at a distance, as the path of a fuller.

use super::EditError;
use super::apply::on_bench;
use crate::geometry::{Piece, Point, Vec2, faired};
use crate::knife::{Fuller, Id, Joint, Knife, Node, Outline};

/// The path stays this near to the distance asked for, mm.
const WITHIN_MM: f64 = 0.03;
/// Looks at one piece.
const LOOKS: u32 = 60;
/// A place this much nearer to the stretch than asked lies in a fold of it, mm.
const FOLD_MM: f64 = 0.01;

/// Adds a fuller that follows a stretch at a distance inside the steel. Its ends lie as deep as its path, so that it runs out in the steel.
pub(super) fn follow(
    knife: &mut Knife,
    nodes: &[Id],
    in_mm: f64,
    fuller: &Fuller,
) -> Result<(), EditError> {
    on_bench(&[in_mm])?;
    let stretch = knife
        .outline
        .stretch_of(nodes)
        .ok_or(EditError::NoStretch)?;
    let pieces = knife
        .outline
        .pieces_of(stretch)
        .ok_or(EditError::NoStretch)?;
    let off = EditError::NoRoomInside { in_mm };
    if in_mm.is_nan() || in_mm <= 0.0 {
        return Err(off);
    }
    let mut chain = Piece::lines_through(&moved(&pieces, in_mm));
    chain.retain(|piece| piece.start().distance(piece.end()) > 1e-6);
    let made = faired(&chain, [None, None], WITHIN_MM).ok_or(off)?;
    let mut fuller = fuller.clone();
    fuller.path = path(knife, &made.pieces);
    fuller.id = knife.take_id();
    knife.grinding.fullers.push(fuller);
    Ok(())
}

/// Points at a distance to the left of the pieces, without those that lie in a fold.
fn moved(pieces: &[Piece], by: f64) -> Vec<Point> {
    let looks = pieces.iter().flat_map(|piece| {
        (0..=LOOKS).filter_map(move |i| {
            let t = f64::from(i) / f64::from(LOOKS);
            let along = piece.direction(t)?;
            Some(piece.eval(t) + Vec2::new(-along.y, along.x) * by)
        })
    });
    let clear = |p: &Point| pieces.iter().all(|q| q.nearest(*p).1 >= by - FOLD_MM);
    looks.filter(clear).collect()
}

/// An open chain of nodes for pieces that follow each other.
fn path(knife: &mut Knife, pieces: &[Piece]) -> Outline {
    let handles = |piece: &Piece| match piece {
        Piece::Cubic(c) => (Some(c.p1 - c.p0), Some(c.p2 - c.p3)),
        _ => (None, None),
    };
    let mut nodes = Vec::new();
    let mut arriving = None;
    for piece in pieces {
        let (out, into) = handles(piece);
        let mut node = Node::corner(knife.take_id(), piece.start());
        node.handle_in = arriving;
        node.handle_out = out;
        if arriving.is_some() && out.is_some() {
            node.joint = Joint::Smooth;
        }
        arriving = into;
        nodes.push(node);
    }
    if let Some(last) = pieces.last() {
        let mut node = Node::corner(knife.take_id(), last.end());
        node.handle_in = arriving;
        nodes.push(node);
    }
    Outline { nodes }
}
