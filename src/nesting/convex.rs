//! Polygons cut into convex parts, and sums of convex parts.
//!
//! Two shapes overlap when some part of one overlaps some part of the other, and for convex parts that is one sum and one inside test.
//! Cutting: ears, the shortest cut first, then the cuts that are not needed are taken out again (S. Hertel and K. Mehlhorn, "Fast
//! triangulation of simple polygons", FCT 1983; at most four times the least number of parts). The sum of two convex polygons merges their edges by
//! direction (M. de Berg et al., "Computational Geometry", 3rd ed., section 13.3).

use std::f64::consts::PI;

use crate::geometry::{Point, Vec2, hull};

/// Twice the area below which three corners stand on one line, mm²: far below what counts as an overlap.
const FLAT_MM2: f64 = 1e-10;

/// Twice the signed area of a triangle, positive when it turns left.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b - a).cross(c - b)
}

/// Twice the signed area of a polygon, positive counterclockwise.
pub(super) fn doubled_area(corners: &[Point]) -> f64 {
    let Some(origin) = corners.first() else {
        return 0.0;
    };
    corners
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((*a - *origin).cross(*b - *origin)),
            _ => None,
        })
        .sum()
}

/// Convex, counterclockwise parts that together cover the polygon, which must be simple and counterclockwise. Where rounding hides the last
/// ears, the last part covers more than what was left, never less.
pub(super) fn convex_parts(corners: &[Point]) -> Vec<Vec<Point>> {
    let corners = without_flat_corners(corners);
    let (triangles, rest) = ears(&corners);
    let mut parts: Vec<Vec<usize>> = triangles;
    merge(&corners, &mut parts);
    let pick = |part: &Vec<usize>| -> Vec<Point> {
        part.iter()
            .filter_map(|i| corners.get(*i).copied())
            .collect()
    };
    let mut parts: Vec<Vec<Point>> = parts.iter().map(pick).collect();
    if rest.len() >= 3 {
        parts.push(hull(&pick(&rest)));
    }
    parts
}

/// The corners without those that stand on a straight line between their neighbors.
fn without_flat_corners(corners: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = corners.to_vec();
    let mut i = 0;
    let mut left = kept.len();
    while left > 0 && kept.len() > 3 {
        let n = kept.len();
        i %= n;
        let at = |k: usize| kept.get(k % n).copied().unwrap_or_default();
        if turn(at(i + n - 1), at(i), at(i + 1)).abs() <= FLAT_MM2 {
            kept.remove(i);
            // The corner before it may have become flat.
            i = (i + n - 1) % n;
            left = kept.len();
        } else {
            i += 1;
            left -= 1;
        }
    }
    kept
}

/// Triangles cut off one by one, and what was left when no ear was found: empty for a simple polygon.
fn ears(corners: &[Point]) -> (Vec<Vec<usize>>, Vec<usize>) {
    let at = |i: usize| corners.get(i).copied().unwrap_or_default();
    let mut ring: Vec<usize> = (0..corners.len()).collect();
    let mut triangles = Vec::new();
    let mut sizes: Vec<Option<f64>> = (0..ring.len()).map(|k| ear(&ring, k, at)).collect();
    while ring.len() > 3 {
        let n = ring.len();
        let best = sizes
            .iter()
            .enumerate()
            .filter_map(|(k, size)| size.map(|size| (k, size)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((k, _)) = best else {
            return (triangles, ring);
        };
        let corner = |k: usize| ring.get(k % n).copied().unwrap_or_default();
        let cut = vec![corner(k + n - 1), corner(k), corner(k + 1)];
        if turn(at(cut[0]), at(cut[1]), at(cut[2])) > FLAT_MM2 {
            triangles.push(cut);
        }
        ring.remove(k);
        sizes.remove(k);
        let n = ring.len();
        for k in [(k + n - 1) % n, k % n] {
            if let Some(size) = sizes.get_mut(k) {
                *size = ear(&ring, k, at);
            }
        }
        // A cut can free ears elsewhere only when a corner on its line has gone; look again when none is left.
        if sizes.iter().all(Option::is_none) {
            sizes = (0..n).map(|k| ear(&ring, k, at)).collect();
        }
    }
    triangles.push(ring);
    (triangles, Vec::new())
}

/// Length of the cut that takes off corner `k`, if it can be taken off.
fn ear(ring: &[usize], k: usize, at: impl Fn(usize) -> Point) -> Option<f64> {
    let n = ring.len();
    let corner = |k: usize| ring.get(k % n).map(|i| at(*i)).unwrap_or_default();
    let (a, b, c) = (corner(k + n - 1), corner(k), corner(k + 1));
    let size = turn(a, b, c);
    if size < -FLAT_MM2 {
        return None;
    }
    if size <= FLAT_MM2 {
        // A flat corner is taken off without a triangle.
        return Some(0.0);
    }
    let blocked = (2..n - 1).any(|step| {
        let p = corner(k + step);
        p != a
            && p != b
            && p != c
            && turn(a, b, p) >= 0.0
            && turn(b, c, p) >= 0.0
            && turn(c, a, p) >= 0.0
    });
    (!blocked).then(|| a.distance(c))
}

/// Takes out every cut whose two parts together are convex.
fn merge(corners: &[Point], parts: &mut Vec<Vec<usize>>) {
    let mut i = 0;
    while i < parts.len() {
        let joined = (i + 1..parts.len()).find_map(|j| {
            let whole = joined(corners, parts.get(i)?, parts.get(j)?)?;
            Some((j, whole))
        });
        if let Some((j, whole)) = joined {
            parts.swap_remove(j);
            if let Some(part) = parts.get_mut(i) {
                *part = whole;
            }
        } else {
            i += 1;
        }
    }
}

/// Two parts that share an edge as one, if that is convex.
fn joined(corners: &[Point], one: &[usize], other: &[usize]) -> Option<Vec<usize>> {
    let (n, m) = (one.len(), other.len());
    let edge = |part: &[usize], k: usize| {
        let n = part.len();
        Some((*part.get(k % n)?, *part.get((k + 1) % n)?))
    };
    let (i, j) = (0..n).find_map(|i| {
        let (a, b) = edge(one, i)?;
        let j = (0..m).find(|j| edge(other, *j) == Some((b, a)))?;
        Some((i, j))
    })?;
    // From the end of the shared edge all round the first part, then the corners of the second between.
    let mut whole: Vec<usize> = (1..=n)
        .filter_map(|k| one.get((i + k) % n).copied())
        .collect();
    whole.extend((2..m).filter_map(|k| other.get((j + k) % m).copied()));
    let count = whole.len();
    let at = |k: usize| {
        let i = whole.get(k % count).copied().unwrap_or_default();
        corners.get(i).copied().unwrap_or_default()
    };
    let convex = (0..count).all(|k| turn(at(k), at(k + 1), at(k + 2)) >= 0.0);
    convex.then_some(whole)
}

/// All places `a − b` for `a` in the first and `b` in the second part: where the origin of the second may not stand, seen from the first.
pub(super) fn difference(still: &[Point], moving: &[Point]) -> Vec<Point> {
    let turned: Vec<Point> = moving.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    let (a, b) = (from_lowest(still), from_lowest(&turned));
    let (n, m) = (a.len(), b.len());
    let corner = |part: &[Point], k: usize| part.get(k % part.len()).copied().unwrap_or_default();
    let (mut i, mut j) = (0, 0);
    let mut sum = Vec::with_capacity(n + m);
    while i < n || j < m {
        sum.push(corner(&a, i) + corner(&b, j).to_vec2());
        let (da, db) = (
            corner(&a, i + 1) - corner(&a, i),
            corner(&b, j + 1) - corner(&b, j),
        );
        let ahead = da.cross(db);
        if j >= m || (i < n && ahead > 0.0) {
            i += 1;
        } else if i >= n || ahead < 0.0 {
            j += 1;
        } else {
            i += 1;
            j += 1;
        }
    }
    sum
}

/// The corners beginning with the lowest, of those the leftmost.
fn from_lowest(part: &[Point]) -> Vec<Point> {
    let lowest = part
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.y.total_cmp(&b.1.y).then(a.1.x.total_cmp(&b.1.x)))
        .map_or(0, |(i, _)| i);
    let mut corners = part.to_vec();
    corners.rotate_left(lowest);
    corners
}

/// The part grown by `radius` all round, with corners cut so that nothing nearer than `radius` is left out and nothing further than
/// `radius + over` is taken in.
pub(super) fn grown(part: &[Point], radius: f64, over: f64) -> Vec<Point> {
    if radius <= 0.0 {
        return part.to_vec();
    }
    // Two tangents that meet at an angle a stand 1/cos(a/2) radii off at their crossing.
    let widest = 2.0 * (radius / (radius + over)).acos();
    let n = part.len();
    let corner = |k: usize| part.get(k % n).copied().unwrap_or_default();
    let mut grown = Vec::with_capacity(2 * n);
    for k in 0..n {
        let at = corner(k);
        let before: Vec2 = at - corner(k + n - 1);
        let after: Vec2 = corner(k + 1) - at;
        // Rounding may bend a flat corner inward by a hair; that is no turn of nearly 360 degrees.
        let angle = before.cross(after).atan2(before.dot(after)).max(0.0);
        let steps = (angle / widest).ceil().max(1.0);
        let start = before.atan2() - PI / 2.0;
        let reach = radius / (angle / (2.0 * steps)).cos();
        let mut step = 0.5;
        while step < steps {
            grown.push(at + Vec2::from_angle(start + angle * step / steps) * reach);
            step += 1.0;
        }
    }
    grown
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|c| Point::from(*c)).collect()
    }

    /// A star of so many points, counterclockwise.
    fn star(n: u32, inner: f64) -> Vec<Point> {
        (0..2 * n)
            .map(|k| {
                let r = if k % 2 == 0 { 10.0 } else { inner };
                Point::ORIGIN + Vec2::from_angle(f64::from(k) * PI / f64::from(n)) * r
            })
            .collect()
    }

    #[test]
    fn parts_are_convex_and_make_up_the_whole() {
        let notched = points(&[
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (6.0, 10.0),
            (6.0, 3.0),
            (5.0, 3.0),
            (5.0, 10.0),
            (0.0, 10.0),
        ]);
        for corners in [notched, star(5, 4.0), star(9, 1.0), star(40, 9.5)] {
            let parts = convex_parts(&corners);
            let area: f64 = parts.iter().map(|part| doubled_area(part)).sum();
            assert!((area - doubled_area(&corners)).abs() < 1e-9, "{parts:?}");
            for part in &parts {
                let n = part.len();
                let convex =
                    (0..n).all(|k| turn(part[k], part[(k + 1) % n], part[(k + 2) % n]) >= 0.0);
                assert!(convex, "{part:?}");
            }
        }
        // What is convex stays whole, corners on a straight side or not.
        let square = points(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        assert_eq!(convex_parts(&square).len(), 1);
    }

    #[test]
    fn the_difference_of_two_rectangles_is_a_rectangle() {
        let a = points(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
        let b = points(&[(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)]);
        let expected = points(&[(-2.0, -1.0), (4.0, -1.0), (4.0, 3.0), (-2.0, 3.0)]);
        assert_eq!(difference(&a, &b), expected);
    }

    #[test]
    fn grown_parts_keep_their_distance_and_little_more() {
        // A square of side 2 grown by 1: its area, four sides, and a circle (Steiner's formula).
        let square = points(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        let exact = 4.0 + 8.0 + PI;
        let area = doubled_area(&grown(&square, 1.0, 0.001)) / 2.0;
        assert!(area >= exact && area <= exact + 2.0 * PI * 0.001, "{area}");
        assert_eq!(grown(&square, 0.0, 0.001), square);
        // A corner bent inward by rounding adds nothing.
        let bent = points(&[(0.0, 0.0), (1.0, 1e-16), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        let area = doubled_area(&grown(&bent, 1.0, 0.001)) / 2.0;
        assert!((area - exact).abs() < 2.0 * PI * 0.001, "{area}");
    }
}
