//! A stretch of the outline replaced by drawing over it with a free hand.

use super::EditError;
use super::apply::on_bench;
use super::stretches::put;
use crate::geometry::{Piece, Point, Vec2, faired};
use crate::knife::{Id, Joint, Knife, Stretch};

/// The ends of a stroke may be this far from the outline, mm.
const REACH_MM: f64 = 8.0;
/// Points of a stroke nearer than this say nothing new, mm.
const LEAST_STEP_MM: f64 = 0.05;
/// A stroke at least this long, mm.
const LEAST_STROKE_MM: f64 = 1.0;
/// Looks along a piece, to tell how far a stroke is off it.
const LOOKS: u32 = 16;
/// Most points of a stroke.
const MOST_POINTS: usize = 20_000;
/// A stroke that leaves the outline within this of its direction leaves it smoothly, radians: a hand meant it so.
const IN_LINE_RAD: f64 = 0.45;

/// Replaces the stretch the stroke runs over.
pub(super) fn redraw(knife: &mut Knife, stroke: &[Point], within_mm: f64) -> Result<(), EditError> {
    if stroke.len() > MOST_POINTS {
        return Err(EditError::ShortStroke);
    }
    for p in stroke {
        on_bench(&[p.x, p.y])?;
    }
    on_bench(&[within_mm])?;
    let mut points = thinned(stroke);
    let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) else {
        return Err(EditError::ShortStroke);
    };
    let long: f64 = lengths(&points).sum();
    if points.len() < 2 || long < LEAST_STROKE_MM {
        return Err(EditError::ShortStroke);
    }
    let begin = seat(knife, first)?;
    let end = seat(knife, last)?;
    if begin == end {
        return Err(EditError::ShortStroke);
    }
    let forward = Stretch {
        from: begin,
        to: end,
    };
    let back = Stretch {
        from: end,
        to: begin,
    };
    // The stretch that is drawn over lies along the stroke; the rest of the outline does not.
    let off = |stretch| {
        let pieces = knife.outline.pieces_of(stretch)?;
        Some(mean_off(&pieces, &points))
    };
    let (ahead, behind) = (off(forward), off(back));
    let (ahead, behind) = ahead.zip(behind).ok_or(EditError::NoStretch)?;
    let stretch = if behind < ahead {
        points.reverse();
        back
    } else {
        forward
    };
    let place = |id: Id| knife.outline.node(id).map(|n| n.at);
    let (from, to) = place(stretch.from)
        .zip(place(stretch.to))
        .ok_or(EditError::NoStretch)?;
    if let Some(p) = points.first_mut() {
        *p = from;
    }
    if let Some(p) = points.last_mut() {
        *p = to;
    }
    let points = thinned(&points);
    let chain = Piece::lines_through(&points);
    let ends = kept_ends(knife, stretch, &points);
    let made = faired(&chain, ends, within_mm).or_else(|| faired(&chain, [None, None], within_mm));
    let made = made.ok_or(EditError::NotFair { within_mm })?;
    put(knife, stretch, &made.pieces)?;
    for (id, kept) in [(stretch.from, ends[0]), (stretch.to, ends[1])] {
        smooth(knife, id, kept);
    }
    Ok(())
}

/// The points of a stroke, each a little apart from the last.
fn thinned(stroke: &[Point]) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for p in stroke {
        if points
            .last()
            .is_none_or(|last| last.distance(*p) > LEAST_STEP_MM)
        {
            points.push(*p);
        }
    }
    points
}

fn lengths(points: &[Point]) -> impl Iterator<Item = f64> + '_ {
    points.windows(2).map(|p| match p {
        [a, b] => a.distance(*b),
        _ => 0.0,
    })
}

/// A node on the outline where an end of the stroke meets it.
fn seat(knife: &mut Knife, p: Point) -> Result<Id, EditError> {
    let contour = knife.contour();
    let near = contour.nearest(p).ok_or(EditError::NoStretch)?;
    if near.distance > REACH_MM {
        return Err(EditError::StrokeOff {
            at: p,
            off_mm: near.distance,
        });
    }
    let spot = knife.outline.spot_of(&near).ok_or(EditError::NoStretch)?;
    knife.split_outline(spot).ok_or(EditError::NoStretch)
}

/// How far pieces lie off points on the average of their length, mm.
fn mean_off(pieces: &[Piece], points: &[Point]) -> f64 {
    let looks = |piece: &Piece| {
        let length = piece.length();
        let off = (0..=LOOKS).map(|i| {
            let at = piece.eval(f64::from(i) / f64::from(LOOKS));
            let near = points.iter().map(|p| p.distance(at));
            near.fold(f64::INFINITY, f64::min)
        });
        (length, length * off.sum::<f64>() / f64::from(LOOKS + 1))
    };
    let sums = pieces.iter().map(looks);
    let (length, off) = sums.fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
    off / f64::max(length, 1e-9)
}

/// The directions the outline has at the ends, where the stroke goes on in about the same.
fn kept_ends(knife: &Knife, stretch: Stretch, points: &[Point]) -> [Option<Vec2>; 2] {
    let n = knife.outline.nodes.len();
    let index = |id| knife.outline.index_of(id);
    let before = index(stretch.from).and_then(|i| knife.outline.piece((i + n - 1) % n));
    let after = index(stretch.to).and_then(|i| knife.outline.piece(i));
    let reach = (points.len() / 8).clamp(1, 12).min(points.len() - 1);
    let chord = |a: usize, b: usize| Some(*points.get(b)? - *points.get(a)?);
    let alike = |own: Option<Vec2>, stroke: Option<Vec2>| {
        let (own, stroke) = own.zip(stroke)?;
        let turn = own.cross(stroke).atan2(own.dot(stroke)).abs();
        (turn < IN_LINE_RAD).then_some(own)
    };
    let last = points.len() - 1;
    [
        alike(before.and_then(|p| p.direction(1.0)), chord(0, reach)),
        alike(
            after.and_then(|p| p.direction(0.0)),
            chord(last - reach, last),
        ),
    ]
}

/// Makes a node smooth where its handles have come into one line.
fn smooth(knife: &mut Knife, id: Id, kept: Option<Vec2>) {
    if let Some(node) = knife.outline.node_mut(id)
        && let (Some(_), Some(into), Some(out)) = (kept, node.handle_in, node.handle_out)
        && into.cross(out).abs() <= 1e-6 * into.hypot() * out.hypot()
        && into.dot(out) < 0.0
    {
        node.joint = Joint::Smooth;
    }
}
