//! Outlines as polygons that hide no overlap: what the polygon, grown by its tolerance, covers is all of the outline and little more.

use crate::geometry::{Contour, OutlineFault, Piece, Point, Vec2, hull, outline_faults};

use super::convex::{convex_parts, doubled_area};

/// How far chords may leave a curve, mm: well below what any gap between knives is held to.
pub(super) const CHORD_MM: f64 = 0.02;

/// Hollows no deeper than this are filled, mm. It only adds to the outline, and saves most of the parts of a long hollow curve; what it costs is
/// seldom more than a tenth of the gap.
const HOLLOW_MM: f64 = 0.2;

/// Outlines of straight pieces with at most so many corners are taken as they are.
const MOST_EXACT: usize = 64;

/// Most corners a covering polygon may have.
pub(super) const MOST_CORNERS: usize = 4000;

/// A polygon for an outline.
#[derive(Clone, Debug)]
pub(super) struct Cover {
    /// Corners, counterclockwise.
    pub corners: Vec<Point>,
    /// How far the outline may reach out of the polygon, mm; zero when it is exact.
    pub tolerance_mm: f64,
}

/// The polygon of an outline in either sense of travel.
///
/// # Errors
/// What is wrong with the outline; `None` when it has too many corners.
pub(super) fn cover(contour: &Contour) -> Result<Cover, Option<OutlineFault>> {
    if let Some(fault) = outline_faults(&contour.pieces).into_iter().next() {
        return Err(Some(fault));
    }
    let straight = contour.pieces.iter().all(|p| matches!(p, Piece::Line(_)));
    if straight && contour.pieces.len() <= MOST_EXACT {
        return Ok(Cover {
            corners: counterclockwise(contour.flattened(CHORD_MM)),
            tolerance_mm: 0.0,
        });
    }
    // Where an outline passes close by itself, coarse chords could cross.
    let mut tolerance_mm = CHORD_MM;
    for _ in 0..4 {
        let corners = counterclockwise(contour.flattened(tolerance_mm));
        if corners.len() > MOST_CORNERS {
            return Err(None);
        }
        if outline_faults(&Contour::polygon(&corners).pieces).is_empty() {
            return Ok(Cover {
                corners: filled(&corners),
                tolerance_mm,
            });
        }
        tolerance_mm /= 8.0;
    }
    Err(None)
}

fn counterclockwise(mut corners: Vec<Point>) -> Vec<Point> {
    if doubled_area(&corners) < 0.0 {
        corners.reverse();
    }
    corners
}

/// The polygon with its shallow hollows filled: never less than it was.
fn filled(corners: &[Point]) -> Vec<Point> {
    let at = |i: usize| corners.get(i).copied().unwrap_or_default();
    let n = corners.len();
    let mut ring: Vec<usize> = (0..n).collect();
    let mut k = 0;
    let mut since = 0;
    while since < ring.len() && ring.len() > 3 {
        let m = ring.len();
        k %= m;
        let corner = |k: usize| ring.get(k % m).copied().unwrap_or_default();
        let (before, here, after) = (corner(k + m - 1), corner(k), corner(k + 1));
        let (a, b, c) = (at(before), at(here), at(after));
        let hollow = (b - a).cross(c - b) < 0.0;
        if hollow && shallow(corners, before, after) && is_clear(&ring, k, at) {
            ring.remove(k);
            k = (k + m - 1) % m;
            since = 0;
        } else {
            k += 1;
            since += 1;
        }
    }
    ring.into_iter().map(at).collect()
}

/// Whether all corners between two are near the chord.
fn shallow(corners: &[Point], from: usize, to: usize) -> bool {
    let n = corners.len();
    let at = |i: usize| corners.get(i % n).copied().unwrap_or_default();
    let (a, c) = (at(from), at(to));
    let chord = c - a;
    let length = chord.hypot();
    let steps = (to + n - from) % n;
    length > 0.0 && (1..steps).all(|s| (chord.cross(at(from + s) - a) / length).abs() <= HOLLOW_MM)
}

/// Whether no other corner lies in the triangle that would be filled.
fn is_clear(ring: &[usize], k: usize, at: impl Fn(usize) -> Point) -> bool {
    let n = ring.len();
    let corner = |k: usize| ring.get(k % n).map(|i| at(*i)).unwrap_or_default();
    let (a, b, c) = (corner(k + n - 1), corner(k), corner(k + 1));
    let right = |p: Point, q: Point, r: Point| (q - p).cross(r - q) <= 0.0;
    !(2..n - 1).any(|s| {
        let p = corner(k + s);
        right(a, b, p) && right(b, c, p) && right(c, a, p)
    })
}

/// Convex parts of everything outside a counterclockwise polygon, as far as shapes inside its bounds can reach.
pub(super) fn outside_parts(corners: &[Point]) -> Vec<Vec<Point>> {
    let around = hull(corners);
    let n = around.len();
    let corner = |k: usize| around.get(k % n).copied().unwrap_or_default();
    let far = 4.0 * Contour::polygon(&around).bounds().size().to_vec2().hypot();
    let mut parts: Vec<Vec<Point>> = (0..n)
        .map(|k| {
            let (a, b) = (corner(k), corner(k + 1));
            let along = (b - a).normalize() * far;
            let out = Vec2::new(along.y, -along.x);
            vec![a - along, a - along + out, b + along + out, b + along]
        })
        .collect();
    parts.extend(
        pockets(corners, &around)
            .iter()
            .flat_map(|p| convex_parts(p)),
    );
    parts
}

/// The hollows between a counterclockwise polygon and its hull, counterclockwise.
fn pockets(corners: &[Point], hull: &[Point]) -> Vec<Vec<Point>> {
    let n = corners.len();
    let Some(start) = corners.iter().position(|p| hull.contains(p)) else {
        return Vec::new();
    };
    let mut pockets = Vec::new();
    let mut chain: Vec<Point> = Vec::new();
    for step in 0..=n {
        let Some(p) = corners.get((start + step) % n) else {
            break;
        };
        chain.push(*p);
        if step > 0 && hull.contains(p) {
            if chain.len() > 2 {
                chain.reverse();
                pockets.push(std::mem::take(&mut chain));
            }
            chain.clear();
            chain.push(*p);
        }
    }
    pockets
}
