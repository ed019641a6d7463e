//! Sides of a fine tip that cross before they meet are cut off where they cross.

use crate::geometry::{OutlineFault, Piece, Point, outline_faults};
use crate::knife::Outline;

/// Most that is cut off a piece, as a share of it.
const MOST_SHARE: f64 = 0.5;
/// Rounds; each cuts at one node.
const ROUNDS: u32 = 8;

/// The outline without the ends of neighboring pieces beyond their crossing.
pub(super) fn trimmed(mut outline: Outline) -> Outline {
    for _ in 0..ROUNDS {
        let faults = outline_faults(&outline.contour().pieces);
        let cut = faults.iter().find_map(|fault| match fault {
            OutlineFault::Crossing { crossing } => {
                let (a, b) = (crossing.piece_a, crossing.piece_b);
                cut_off(&outline, a, b, crossing.at)
                    .or_else(|| cut_off(&outline, b, a, crossing.at))
            }
            _ => None,
        });
        let Some(cut) = cut else { break };
        outline = cut;
    }
    outline
}

/// The outline cut off at a crossing of a piece with the next one.
fn cut_off(outline: &Outline, piece: usize, next: usize, at: Point) -> Option<Outline> {
    let n = outline.nodes.len();
    if n < 3 || (piece + 1) % n != next {
        return None;
    }
    let (before, after) = (outline.piece(piece)?, outline.piece(next)?);
    let (end, begin) = (before.nearest(at).0, after.nearest(at).0);
    if 1.0 - end > MOST_SHARE || begin > MOST_SHARE {
        return None;
    }
    let mut cut = outline.clone();
    let ends = |piece: &Piece| match piece {
        Piece::Cubic(c) => Some((c.p1 - c.p0, c.p2 - c.p3)),
        _ => None,
    };
    let (first, second) = (before.part(0.0, end), after.part(begin, 1.0));
    if let Some((out, into)) = ends(&first) {
        cut.nodes.get_mut(piece)?.handle_out = Some(out);
        cut.nodes.get_mut(next)?.handle_in = Some(into);
    }
    if let Some((out, into)) = ends(&second) {
        cut.nodes.get_mut(next)?.handle_out = Some(out);
        cut.nodes.get_mut((next + 1) % n)?.handle_in = Some(into);
    }
    cut.nodes.get_mut(next)?.at = at;
    Some(cut)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::Node;

    #[test]
    fn a_tip_whose_sides_cross_ends_at_the_crossing() {
        let at = |x: f64, y: f64| Point::new(x, y);
        // Two sides that meet at x = 40 but for being drawn on to x = 50 (similar triangles).
        let corners = [at(0.0, 0.0), at(50.0, 10.0), at(50.0, 6.0), at(0.0, 16.0)];
        let nodes = (1..).zip(corners).map(|(id, p)| Node::corner(id, p));
        let crossed = Outline {
            nodes: nodes.collect(),
        };
        // Its four corners, joined round the crossing, do not count: piece 0 and piece 2 are no neighbors.
        assert_eq!(trimmed(crossed.clone()), crossed);
        let mut curve = Outline {
            nodes: vec![
                Node::corner(1, at(0.0, 0.0)),
                Node::corner(2, at(50.0, 8.0)),
                Node::corner(3, at(0.0, 16.0)),
            ],
        };
        // Sides that bow over each other near the tip.
        curve.nodes[0].handle_out = Some(crate::geometry::Vec2::new(15.0, 0.0));
        curve.nodes[1].handle_in = Some(crate::geometry::Vec2::new(-10.0, 3.0));
        curve.nodes[1].handle_out = Some(crate::geometry::Vec2::new(-10.0, -3.0));
        curve.nodes[2].handle_in = Some(crate::geometry::Vec2::new(15.0, 0.0));
        assert!(!outline_faults(&curve.contour().pieces).is_empty());
        let cut = trimmed(curve);
        assert_eq!(outline_faults(&cut.contour().pieces), []);
        // By symmetry on the middle line, behind the old tip.
        let tip = cut.nodes[1].at;
        assert!(
            (tip.y - 8.0).abs() < 1e-6 && tip.x < 50.0 && tip.x > 30.0,
            "{tip}"
        );
    }
}
