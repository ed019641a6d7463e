//! Edits of a stretch of the outline: made straight, made fair, made one curve; and a piece cut in equal parts.

use super::EditError;
use super::apply::on_bench;
use crate::geometry::{Faired, OutlineFault, Piece, faired, one_curve, outline_faults};
use crate::knife::{Id, Knife, Outline, Spot, Stretch};

/// Most parts a piece is cut in at once.
pub const MOST_SPLIT: u32 = 50;

/// The stretch that some nodes mean, if it can be replaced.
fn meant(outline: &Outline, nodes: &[Id]) -> Result<(Stretch, Vec<Piece>), EditError> {
    if nodes.iter().any(|id| outline.node(*id).is_none()) {
        return Err(EditError::Gone { what: "node" });
    }
    let stretch = outline.stretch_of(nodes).ok_or(EditError::NoStretch)?;
    let pieces = outline.pieces_of(stretch).ok_or(EditError::NoStretch)?;
    let inner = pieces.len().saturating_sub(1);
    if stretch.from == stretch.to || outline.nodes.len() < inner + 3 {
        return Err(EditError::NoStretch);
    }
    Ok((stretch, pieces))
}

/// Puts pieces in the place of a stretch, unless the outline would cross itself by it.
pub(super) fn put(knife: &mut Knife, stretch: Stretch, with: &[Piece]) -> Result<(), EditError> {
    let before = knife.outline.clone();
    if !knife.replace_stretch(stretch, with) {
        return Err(EditError::NoStretch);
    }
    stays_simple(&before, &knife.outline)
}

/// Refuses an outline with a fault that was sound before.
pub(super) fn stays_simple(before: &Outline, after: &Outline) -> Result<(), EditError> {
    let faults = |outline: &Outline| outline_faults(&outline.contour().pieces);
    match faults(after).into_iter().next() {
        Some(_) if !faults(before).is_empty() => Ok(()),
        Some(OutlineFault::Crossing { crossing }) => Err(EditError::Crosses { at: crossing.at }),
        Some(fault) => Err(EditError::Outline { fault }),
        None => Ok(()),
    }
}

/// One straight line between the ends of the stretch.
pub(super) fn straighten(knife: &mut Knife, nodes: &[Id]) -> Result<(), EditError> {
    let (stretch, pieces) = meant(&knife.outline, nodes)?;
    let ends = pieces.first().zip(pieces.last());
    let (first, last) = ends.ok_or(EditError::NoStretch)?;
    put(knife, stretch, &[Piece::line(first.start(), last.end())])
}

/// The fewest curves within a distance of the stretch.
pub(super) fn fair(knife: &mut Knife, nodes: &[Id], within_mm: f64) -> Result<(), EditError> {
    on_bench(&[within_mm])?;
    let (stretch, pieces) = meant(&knife.outline, nodes)?;
    let made = faired(&pieces, knife.outline.ends_of(stretch), within_mm);
    let made = made.ok_or(EditError::NotFair { within_mm })?;
    put(knife, stretch, &made.pieces)
}

/// One curve in the place of the stretch, within a distance of it.
pub(super) fn join(knife: &mut Knife, nodes: &[Id], within_mm: f64) -> Result<(), EditError> {
    on_bench(&[within_mm])?;
    let (stretch, pieces) = meant(&knife.outline, nodes)?;
    let made = one_curve(&pieces, knife.outline.ends_of(stretch));
    let Some(Faired { pieces, off_mm }) = made else {
        return Err(EditError::NotFair { within_mm });
    };
    if off_mm.is_nan() || off_mm > within_mm {
        return Err(EditError::NotOne { off_mm, within_mm });
    }
    put(knife, stretch, &pieces)
}

/// Cuts the piece that begins at a node into parts of equal length.
pub(super) fn split(knife: &mut Knife, node: Id, parts: u32) -> Result<(), EditError> {
    let piece = knife
        .outline
        .index_of(node)
        .and_then(|i| knife.outline.piece(i));
    let piece = piece.ok_or(EditError::Gone { what: "piece" })?;
    if !(2..=MOST_SPLIT).contains(&parts) {
        return Err(EditError::Parts { parts });
    }
    let length = piece.length();
    // From the far end: what is left of the piece still begins at the node.
    let mut whole = 1.0;
    for k in (1..parts).rev() {
        let t = piece.at_share(f64::from(k) / f64::from(parts), length);
        let spot = Spot { node, t: t / whole };
        knife
            .split_outline(spot)
            .ok_or(EditError::Gone { what: "piece" })?;
        whole = t;
    }
    Ok(())
}
