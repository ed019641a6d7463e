//! Edits of the steel's outline that need more than one step.

use super::EditError;
use super::apply::renumber;
use crate::geometry::{OutlineFault, Piece, Point, outline_faults};
use crate::knife::{Id, Joint, Knife, LandmarkKind, Outline};

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
        a.handle_out = curved.then(|| a.handle_out.unwrap_or(chord / 3.0));
        if !curved && a.handle_in.is_some() {
            a.joint = Joint::Corner;
        }
    }
    if let Some(b) = knife.outline.nodes.get_mut(next) {
        b.handle_in = curved.then(|| b.handle_in.unwrap_or(-chord / 3.0));
        if !curved && b.handle_out.is_some() {
            b.joint = Joint::Corner;
        }
    }
    Ok(())
}

/// Pulls the piece that begins at a node so that its point at `t` comes to `to`.
///
/// The two inner control points share the move in the proportion in which they carry that point, so the pull stays local
/// and the ends stay where they are.
pub(super) fn pull(knife: &mut Knife, node: Id, t: f64, to: Point) -> Result<(), EditError> {
    let gone = EditError::Gone { what: "piece" };
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

/// Whether a drawn shape is closed, simple, and has an inside; gives its signed area.
pub(super) fn sound(outline: &Outline) -> Result<f64, EditError> {
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
    if sound(&outline)? < 0.0 {
        outline.nodes.reverse();
        for node in &mut outline.nodes {
            std::mem::swap(&mut node.handle_in, &mut node.handle_out);
        }
    }
    renumber(&mut outline, knife);
    knife.outline = outline;
    let places = guess_landmarks(&knife.outline);
    knife.seat_landmarks(&places);
    Ok(())
}

/// Where the landmarks of an unknown outline most likely are: tip foremost, butt rearmost, shoulders on the shoulder line, heel at
/// the lowest place of the rear third of the blade, plunge a little ahead of it, spine start at two thirds of the upper side.
fn guess_landmarks(outline: &Outline) -> Vec<(LandmarkKind, Option<Point>)> {
    let contour = outline.contour();
    let index = contour.index();
    let bounds = index.bounds();
    let points = contour.flattened(0.05);
    let extreme = |key: fn(&Point) -> f64| {
        points
            .iter()
            .max_by(|a, b| key(a).total_cmp(&key(b)))
            .copied()
    };
    let on_line = |x: f64| index.depth_at(x);
    let shoulder = on_line(0.0);
    let blade = bounds.x1;
    let low = |x: f64| on_line(x).map(|(low, _)| Point::new(x, low));
    let heel = (1..=16)
        .filter_map(|i| low(blade * f64::from(i) / 48.0))
        .min_by(|a, b| a.y.total_cmp(&b.y));
    let plunge = heel.and_then(|h| low(h.x + blade * 0.03));
    vec![
        (LandmarkKind::Tip, extreme(|p| p.x)),
        (LandmarkKind::Heel, heel),
        (LandmarkKind::Plunge, plunge),
        (
            LandmarkKind::SpineStart,
            on_line(blade * 2.0 / 3.0).map(|(_, high)| Point::new(blade * 2.0 / 3.0, high)),
        ),
        (
            LandmarkKind::UpperShoulder,
            shoulder.map(|(_, high)| Point::new(0.0, high)),
        ),
        (
            LandmarkKind::LowerShoulder,
            shoulder.map(|(low, _)| Point::new(0.0, low)),
        ),
        (LandmarkKind::Butt, extreme(|p| -p.x)),
    ]
}
