//! A copy of a closed outline so far outside or inside it, as a knife of its own in the rack: a pattern for the sheath, a blank to profile, an inlay.

use std::f64::consts::PI;

use super::{EditError, rack};
use crate::geometry::{
    Contour, OffsetError, Piece, arc_cubics, faired, moved_inward, moved_outward,
};
use crate::knife::{Id, Knife, KnifeSet, Outline, guess_landmarks};

/// How far the copy's fair curves may leave the true distance beside the outline, mm: with what moving loses, below 0.01.
const FAIR_WITHIN_MM: f64 = 0.007;
/// A line at least this long stays a line, mm.
const LINE_MM: f64 = 0.5;
/// An arc that turns at least this much goes round a corner and stays one, radians.
const ROUND_CORNER_RAD: f64 = PI / 9.0;
/// A chain of more pieces is too long or too winding to be looked at as one.
const LONG_CHAIN: usize = 20;
/// A chain of no more pieces is left as it is where no fewer curves stand for it.
const SHORT_CHAIN: usize = 3;
/// Where pieces turn by more than this there is a corner, radians.
const CORNER_RAD: f64 = 0.01;

/// Puts the copy behind the knife: of its outline, or of one of its cut-outs; outside where the distance is above 0, else inside. It has the knife's bar and
/// nothing ground, cut or fitted. The copy of a cut-out lies with its middle on the shoulder line, as it has none of its own.
pub(super) fn copy_aside(
    set: &mut KnifeSet,
    id: Id,
    of: Option<Id>,
    by_mm: f64,
) -> Result<(), EditError> {
    let knife = set.knife(id).ok_or(EditError::NoKnife)?;
    let contour = match of {
        None => knife.contour(),
        Some(cut) => knife
            .cut_out(cut)
            .ok_or(EditError::Gone { what: "cut-out" })?
            .shape
            .contour(),
    };
    let moved = beside(&contour, by_mm).map_err(|fault| no_copy(by_mm, &fault))?;
    let mut next_id = 1;
    let mut outline = Outline::of_pieces(&fair_pieces(&moved), &mut next_id);
    if of.is_some() {
        let middle = moved.bounds().center().to_vec2();
        for node in &mut outline.nodes {
            node.at -= middle;
        }
    }
    let mut copy = Knife::bare(&knife.name, outline, knife.stock.clone(), knife.tang);
    copy.form.clone_from(&knife.form);
    copy.seat_landmarks(&guess_landmarks(&copy.outline));
    rack::put_behind(set, id, copy)
}

fn beside(contour: &Contour, by_mm: f64) -> Result<Contour, OffsetError> {
    let area = contour.moments().area;
    if by_mm < 0.0 {
        moved_inward(contour, -by_mm)
    } else if area < 0.0 {
        moved_outward(&contour.reversed(), by_mm)
    } else {
        moved_outward(contour, by_mm)
    }
}

fn no_copy(by_mm: f64, fault: &OffsetError) -> EditError {
    match fault {
        OffsetError::Distance { .. } => EditError::NoDistance { by_mm },
        OffsetError::Closes { at, .. } | OffsetError::Unclean { at, .. } => {
            EditError::NoCopyAside { by_mm, at: *at }
        }
    }
}

/// Lines and round corners as they are, and few fair curves for the many arcs between them.
fn fair_pieces(contour: &Contour) -> Vec<Piece> {
    let pieces = &contour.pieces;
    let stays = |piece: &Piece| match piece {
        Piece::Line(line) => (line.p1 - line.p0).hypot() >= LINE_MM,
        Piece::Arc(arc) => arc.sweep.abs() >= ROUND_CORNER_RAD,
        Piece::Cubic(_) => false,
    };
    let corner = |before: &Piece, after: &Piece| {
        let turn = before.direction(1.0).zip(after.direction(0.0));
        turn.is_none_or(|(a, b)| a.cross(b).atan2(a.dot(b)).abs() > CORNER_RAD)
    };
    let breaks = |i: usize| {
        let (before, after) = (&pieces[(i + pieces.len() - 1) % pieces.len()], &pieces[i]);
        stays(before) || stays(after) || corner(before, after)
    };
    let first = (0..pieces.len()).find(|i| breaks(*i)).unwrap_or(0);
    let mut made = Vec::new();
    let mut chain: Vec<Piece> = Vec::new();
    for k in 0..pieces.len() {
        let i = (first + k) % pieces.len();
        if k > 0 && breaks(i) {
            put_fair(&mut made, &std::mem::take(&mut chain));
        }
        chain.push(pieces[i]);
    }
    put_fair(&mut made, &chain);
    if made.len() == 1 {
        // A loop of one curve has one node, and an outline two at least.
        made = made
            .iter()
            .flat_map(|one| [one.part(0.0, 0.5), one.part(0.5, 1.0)])
            .collect();
    }
    made
}

fn put_fair(made: &mut Vec<Piece>, chain: &[Piece]) {
    if chain.len() > LONG_CHAIN {
        return put_halves(made, chain);
    }
    let ends = [
        chain.first().and_then(|p| p.direction(0.0)),
        chain.last().and_then(|p| p.direction(1.0)),
    ];
    let fair = (chain.len() > 1)
        .then(|| faired(chain, ends, FAIR_WITHIN_MM))
        .flatten();
    match fair {
        Some(fair) if fair.pieces.len() < chain.len() => made.extend(fair.pieces),
        _ if chain.len() > SHORT_CHAIN => put_halves(made, chain),
        _ => made.extend(chain.iter().flat_map(|piece| match piece {
            Piece::Arc(arc) => arc_cubics(arc).into_iter().map(Piece::Cubic).collect(),
            other => vec![*other],
        })),
    }
}

fn put_halves(made: &mut Vec<Piece>, chain: &[Piece]) {
    let (front, back) = chain.split_at(chain.len() / 2);
    put_fair(made, front);
    put_fair(made, back);
}
