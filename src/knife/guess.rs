//! Where the landmarks of an outline most likely are, by its shape alone.

use kurbo::Point;

use super::{LandmarkKind, Outline};
use crate::geometry::Piece;

/// Where the landmarks of an unknown outline most likely are: tip foremost, butt rearmost, shoulders on the shoulder line, heel at
/// the lowest place of the rear third of the blade, plunge a little ahead of it, spine start and false edge on the spine one third of
/// the blade behind the tip. A kind without a place has none on this outline.
#[must_use]
pub fn guess_landmarks(outline: &Outline) -> Vec<(LandmarkKind, Option<Point>)> {
    let contour = outline.contour();
    let index = contour.index();
    let ends: Vec<Point> = contour.pieces.iter().flat_map(turns_of).collect();
    let foremost = |sign: f64| {
        let ahead = |p: &&Point, q: &&Point| (sign * p.x).total_cmp(&(sign * q.x));
        ends.iter().max_by(ahead).copied()
    };
    let blade = index.bounds().x1;
    let low = |x: f64| index.depth_at(x).map(|(low, _)| Point::new(x, low));
    let high = |x: f64| index.depth_at(x).map(|(_, high)| Point::new(x, high));
    // A heel is mostly a node or the lowest place of a curve; the steps are for straight edges that slope.
    let rear = 0.0..=blade / 3.0;
    let steps = (1..=16).filter_map(|i| low(blade * f64::from(i) / 48.0));
    let heel = ends
        .iter()
        .filter(|p| p.x > 0.0 && rear.contains(&p.x))
        .copied()
        .chain(steps)
        .min_by(|a, b| a.y.total_cmp(&b.y));
    vec![
        (LandmarkKind::Tip, foremost(1.0)),
        (LandmarkKind::Heel, heel),
        (
            LandmarkKind::Plunge,
            heel.and_then(|heel| low(heel.x + blade * 0.03)),
        ),
        (LandmarkKind::SpineStart, high(blade * 2.0 / 3.0)),
        (LandmarkKind::FalseEdge, high(blade * 2.0 / 3.0)),
        (LandmarkKind::UpperShoulder, high(0.0)),
        (LandmarkKind::LowerShoulder, low(0.0)),
        (LandmarkKind::Butt, foremost(-1.0)),
    ]
}

/// The start of a piece and the places where it turns.
fn turns_of(piece: &Piece) -> Vec<Point> {
    let turns = piece.turning_parameters();
    let inside = turns.into_iter().map(|t| piece.eval(t));
    std::iter::once(piece.start()).chain(inside).collect()
}
