//! The rim of a patch of pixels, followed round it.

use super::blob::Blob;
use crate::geometry::Point;

/// The four ways along the lines between pixels, each a turn to the right of the one before, as seen with `y` down.
const WAYS: [(isize, isize); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// Points on the rim, in pixels of the larger grid, once round, the patch at the right hand (as seen with `y` down); each lies between a pixel
/// inside and its neighbor outside, where `height` between them is zero. `height` tells how far a pixel, given by its place in the patch's own
/// grid, stands off, above zero inside. Empty for an empty patch.
pub(super) fn rim(patch: &Blob, height: impl Fn(usize) -> f32) -> Vec<Point> {
    let Some(first) = patch.inside.iter().position(|inside| *inside) else {
        return Vec::new();
    };
    // Along the upper side of the first pixel in reading order: nothing is above it.
    let (left, top) = patch.origin;
    let start = (
        (left + first % patch.width).cast_signed(),
        (top + first / patch.width).cast_signed(),
        0_usize,
    );
    let at = |x: isize, y: isize| {
        let column = usize::try_from(x).ok()?.checked_sub(left)?;
        let row = usize::try_from(y).ok()?.checked_sub(top)?;
        (column < patch.width).then(|| height(row * patch.width + column))
    };
    let (mut x, mut y, mut way) = start;
    let mut points = Vec::new();
    // A rim is never longer than all sides of all pixels; the bound only guards against a fault here.
    for _ in 0..4 * patch.inside.len() {
        let (dx, dy) = WAYS.get(way).copied().unwrap_or((1, 0));
        // The pixels at the right and the left of the step from (x, y) along the way.
        let right = (
            (2 * x + dx - dy - 1).div_euclid(2),
            (2 * y + dy + dx - 1).div_euclid(2),
        );
        let left = (
            (2 * x + dx + dy - 1).div_euclid(2),
            (2 * y + dy - dx - 1).div_euclid(2),
        );
        let (inner, outer) = (
            at(right.0, right.1).unwrap_or(1.0).max(1e-6),
            at(left.0, left.1).unwrap_or(-1.0).min(0.0),
        );
        let share = f64::from(inner / (inner - outer));
        points.push(Point::new(
            right.0 as f64 + 0.5 + (left.0 - right.0) as f64 * share,
            right.1 as f64 + 0.5 + (left.1 - right.1) as f64 * share,
        ));
        (x, y) = (x + dx, y + dy);
        let ahead_right = patch.has(right.0 + dx, right.1 + dy);
        let ahead_left = patch.has(left.0 + dx, left.1 + dy);
        way = if !ahead_right {
            (way + 1) % 4
        } else if !ahead_left {
            way
        } else {
            (way + 3) % 4
        };
        if (x, y, way) == start {
            break;
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    fn patch(rows: &[&str]) -> Blob {
        let inside: Vec<bool> = rows.concat().bytes().map(|b| b == b'#').collect();
        Blob {
            origin: (0, 0),
            width: rows[0].len(),
            count: inside.iter().filter(|i| **i).count(),
            inside,
        }
    }

    /// Twice the area by the shoelace formula; with `y` down and the patch at the right hand it is positive.
    fn doubled_area(points: &[Point]) -> f64 {
        let next = points.iter().cycle().skip(1);
        points
            .iter()
            .zip(next)
            .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
            .sum()
    }

    #[test]
    fn the_rim_goes_once_round_with_the_patch_at_its_right() {
        let own = patch(&["......", ".####.", ".#..#.", ".####.", ".#....", "......"]);
        let signed = |i: usize| if own.inside[i] { 1.0 } else { -1.0 };
        let points = rim(&own, signed);
        // One point a side: the outer sides, and those of the hole are not visited.
        assert_eq!(points.len(), 4 + 3 + 3 + 3 + 1 + 1 + 1);
        // The corners of each pixel's side middles cut off an eighth of a pixel at outer corners and add it at the inner one.
        assert!((doubled_area(&points) / 2.0 - (13.0 - 5.0 / 8.0 + 1.0 / 8.0)).abs() < 1e-9);
    }

    #[test]
    fn the_rim_lies_where_the_height_is_zero() {
        let own = patch(&["....", ".##.", ".##.", "...."]);
        let signed = |i: usize| if own.inside[i] { 3.0 } else { -1.0 };
        let points = rim(&own, signed);
        assert_eq!(points.len(), 8);
        // Three quarters of the way from the middle inside to the middle outside.
        assert!(points.iter().any(|p| *p == Point::new(1.5, 0.75)));
        let one = patch(&["...", ".#.", "..."]);
        assert_eq!(
            rim(&one, |i| if one.inside[i] { 1.0 } else { -1.0 }).len(),
            4
        );
        assert!(rim(&patch(&["..."]), |_| -1.0).is_empty());
    }

    #[test]
    fn pixels_that_meet_at_a_corner_are_parted() {
        // The walk goes round the two joined over the ring, and never jumps across the corner.
        let own = patch(&[".....", ".##..", ".#.#.", ".###.", "....."]);
        let points = rim(&own, |i| if own.inside[i] { 1.0 } else { -1.0 });
        assert_eq!(points.len(), 14 + 2);
    }
}
