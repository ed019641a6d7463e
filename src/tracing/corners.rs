//! Corners of the chain: places where it turns at once.
//!
//! Left and right of a place a parabola is laid through the chain and followed to the place itself. Along a bend, however tight, both arrive in one
//! direction; at a corner they do not. The lens rounds every corner, so the nearest points are left out, and the corner itself lies where
//! the two sides meet.

use super::chain::Chain;
use super::linear::Normal;
use crate::geometry::{Point, Vec2};

/// A corner turns by at least this, radians: less is a bend that a fair line can follow.
const LEAST_TURN: f64 = 0.38;
/// Parabolas are laid through points between these, in units of [`unit`].
const WINDOW: (f64, f64) = (2.5, 15.0);
/// Corners are at least this far apart, units.
const APART: f64 = 6.0;
/// A corner's place may lie off the chain by the first, units, and by the second divided by the tangent of half the angle it encloses: blurred by the lens,
/// the edge of a fine tip ends where the tip is still wider than the blur.
const OFF: (f64, f64) = (0.5, 0.9);

/// A corner of the chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    /// The point of the chain nearest to it.
    pub(super) place: usize,
    /// Where its two sides meet, mm.
    pub(super) at: Point,
}

/// The length by which corners are judged, mm: a fifth of a millimeter, or more where a pixel is coarse.
pub(super) fn unit(chain: &Chain) -> f64 {
    (1.2 * chain.pixel_mm).max(0.2)
}

/// The corners of a chain, in its order.
pub(super) fn corners(chain: &Chain) -> Vec<Corner> {
    let n = chain.len();
    let unit = unit(chain);
    let reach = chain.points_in(WINDOW.1 * unit);
    if n < 4 * reach.max(1) {
        return Vec::new();
    }
    let turns: Vec<f64> = (0..n)
        .map(|i| sides(chain, i, unit, (n, n)).map_or(0.0, |s| s.turn()))
        .collect();
    let apart = chain.points_in(APART * unit).max(1);
    let mut found: Vec<Corner> = Vec::new();
    for i in 0..n {
        let own = turns.get(i).copied().unwrap_or(0.0);
        let rival = |j: usize| turns.get((i + n + j - apart) % n).copied().unwrap_or(0.0);
        let first =
            (0..apart).all(|j| rival(j) < own) && (apart + 1..=2 * apart).all(|j| rival(j) <= own);
        if own >= LEAST_TURN && first {
            found.extend(corner(chain, i, unit, (n, n)));
        }
    }
    found.sort_by_key(|c| c.place);
    found.dedup_by_key(|c| c.place);
    // Near another corner the sides reach past it; looked at again with shorter ones, some are none, and others lie elsewhere.
    for _ in 0..2 {
        found = again(chain, &found, unit);
    }
    found
}

/// The corners looked at again, no side reaching past the next one.
fn again(chain: &Chain, found: &[Corner], unit: f64) -> Vec<Corner> {
    let n = chain.len();
    let reach = chain.points_in(WINDOW.1 * unit);
    let mut kept = Vec::new();
    for (i, own) in found.iter().enumerate() {
        let count = found.len();
        let gap = |a: usize, b: usize| match (found.get(a % count), found.get(b % count)) {
            (Some(a), Some(b)) if count > 1 => (b.place + n - a.place) % n,
            _ => n,
        };
        let room = (gap(i + count - 1, i), gap(i, i + 1));
        if room.0.min(room.1) >= reach {
            kept.push(*own);
        } else {
            kept.extend(corner(chain, own.place, unit, room));
        }
    }
    kept.sort_by_key(|c| c.place);
    kept.dedup_by_key(|c| c.place);
    kept
}

/// The corner near a point where the sides turn most, if there is one.
fn corner(chain: &Chain, place: usize, unit: f64, room: (usize, usize)) -> Option<Corner> {
    let reach = chain.points_in(APART * unit).min(room.0.min(room.1) / 3);
    let first = nearest(
        chain,
        place,
        reach,
        sides(chain, place, unit, room)?.meet()?,
    );
    // Seen from its own place the corner shows best.
    let own = sides(chain, first, unit, room)?;
    let at = own.meet()?;
    let place = nearest(chain, first, reach, at);
    let enclosed = (std::f64::consts::PI - own.turn()).max(0.2);
    let most = unit * (OFF.0 + OFF.1 / (enclosed / 2.0).tan());
    let fine = own.turn() >= LEAST_TURN && chain.at(place).distance(at) <= most;
    fine.then_some(Corner { place, at })
}

/// The point of the chain nearest to a place, among those about one of them.
fn nearest(chain: &Chain, about: usize, reach: usize, at: Point) -> usize {
    let n = chain.len();
    let near = (0..=2 * reach).map(|j| (about + n + j - reach) % n);
    let off = |i: &usize| chain.at(*i).distance(at);
    near.min_by(|a, b| off(a).total_cmp(&off(b)))
        .unwrap_or(about)
}

/// Where the two sides of a place come to, and in which directions they pass there.
#[derive(Clone, Copy, Debug)]
struct Sides {
    before: (Point, Vec2),
    after: (Point, Vec2),
}

impl Sides {
    /// By how much the direction turns, radians.
    fn turn(&self) -> f64 {
        let (a, b) = (self.before.1, self.after.1);
        a.cross(b).atan2(a.dot(b)).abs()
    }

    /// Where the two meet.
    fn meet(&self) -> Option<Point> {
        let whole = self.before.1.cross(self.after.1);
        let share = (self.after.0 - self.before.0).cross(self.after.1) / whole;
        let at = self.before.0 + self.before.1 * share;
        at.is_finite().then_some(at)
    }
}

/// The sides of a place, each shorter than the points to the next corner on that side.
fn sides(chain: &Chain, place: usize, unit: f64, room: (usize, usize)) -> Option<Sides> {
    let n = chain.len();
    let side = |at: &dyn Fn(usize) -> Point, sign: f64, room: usize| {
        let from = chain.points_in(WINDOW.0 * unit).min(room / 4).max(1);
        let to = chain.points_in(WINDOW.1 * unit).max(6).min(room * 3 / 4);
        let origin = at(0);
        // Few points tell a line at most.
        let terms = if to < from + 6 { 2 } else { 3 };
        let (mut across, mut upright) = (Normal::new(terms), Normal::new(terms));
        for d in from..=to {
            let s = sign * d as f64 / to as f64;
            let all = [(0, 1.0), (1, s), (2, s * s)];
            let powers = all.get(..terms)?;
            let off = at(d) - origin;
            across.add(powers, off.x, 1.0);
            upright.add(powers, off.y, 1.0);
        }
        let (x, y) = (across.solve(0.0)?, upright.solve(0.0)?);
        let (&[x0, x1, ..], &[y0, y1, ..]) = (x.as_slice(), y.as_slice()) else {
            return None;
        };
        Some((origin + Vec2::new(x0, y0), Vec2::new(x1, y1)))
    };
    Some(Sides {
        before: side(&|d| chain.at(place + n - d), -1.0, room.0)?,
        after: side(&|d| chain.at(place + d), 1.0, room.1)?,
    })
}
