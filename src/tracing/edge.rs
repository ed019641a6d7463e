//! Where the edge of the knife passes between the pixels.
//!
//! Across the rim the light is read along a short line. First the innermost steep place is found: farther out there may be the end of a narrow shadow. Then the
//! light just inside and just outside of it tells what is knife and what is ground right there, in sun or shade, and the edge is where the light is
//! halfway between the two. A pixel holds the mean of the light on it, so that halfway is the edge itself whatever the blur of the lens, as
//! long as that is the same to both sides.

use super::blob::Blob;
use super::light::{Light, Lit};
use super::{Stage, TraceError};
use crate::geometry::{Point, Vec2};

/// Points on the rim this far apart are kept, pixels.
const STEP_PX: f64 = 1.0;
/// The direction of the rim is taken over so many points to either side.
const SLOPE_POINTS: usize = 4;
/// The light is read from so far inside to so far outside, pixels, in steps of [`READ_PX`].
const REACH_PX: f64 = 6.0;
const READ_PX: f64 = 0.5;
/// What lies beyond this is well inside, or well outside, whatever the blur of a lens in focus.
const WELL_PX: f64 = 2.0;
/// Of what lies outside only so much is looked at: a shadow changes within a few pixels.
const OUTSIDE_PX: f64 = 2.5;
/// And it is followed from there back toward the edge by so much, for the same reason.
const BACK_PX: f64 = 2.0;
/// Following it back changes the light by at most this share of what parts inside and outside.
const MOST_BACK: f32 = 0.4;
/// A place is steep when the light changes there by this share of the fastest change.
const STEEP: f64 = 0.5;
/// An edge is not moved farther than this, pixels.
const MOST_MOVE_PX: f64 = 3.5;
/// Readings along the line are smoothed over the edge by so much, pixels.
const SMOOTH_PX: f64 = 0.7;
/// To tell the edge from noise the light is also read beside the line, so far to either side along the rim.
const BESIDE_PX: [f64; 3] = [-1.0, 0.0, 1.0];
/// Inside and outside must differ by this much light at least.
const LEAST_CONTRAST: f32 = 0.015;

/// A point on the edge, and how much it tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct EdgePoint {
    /// Where, in pixels here.
    pub(super) at: Point,
    /// 1 where the edge was told from the light, less where only the rim is known.
    pub(super) trust: f64,
}

/// What a point of the rim is worth where the light does not tell the edge.
const ONLY_RIM: f64 = 0.15;

/// Moves the points of a rim onto the edge.
pub(super) fn edge(
    lit: &Lit<'_>,
    patch: &Blob,
    rim: &[Point],
    stage: &mut Stage<'_>,
) -> Result<Vec<EdgePoint>, TraceError> {
    let even = evenly(rim, STEP_PX);
    let n = even.len();
    let mut points = Vec::with_capacity(n);
    for i in 0..n {
        if i % 512 == 0 {
            stage.at(i as f64 / n as f64)?;
        }
        let near = |off: usize| even.get((i + n + off - SLOPE_POINTS) % n);
        let (Some(at), Some(before), Some(after)) = (even.get(i), near(0), near(2 * SLOPE_POINTS))
        else {
            continue;
        };
        let along = *after - *before;
        if along.hypot() < 1e-9 {
            continue;
        }
        let along = along.normalize();
        // The patch is at the right hand with `y` down.
        let outward = Vec2::new(along.y, -along.x);
        points.push(match moved(lit, patch, *at, along, outward) {
            Some(by) => EdgePoint {
                at: *at + by * outward,
                trust: 1.0,
            },
            None => EdgePoint {
                at: *at,
                trust: ONLY_RIM,
            },
        });
    }
    Ok(points)
}

/// Points along a closed line, evenly spaced, smoothed a little so that the steps of the pixels do not show.
pub(super) fn evenly(line: &[Point], step: f64) -> Vec<Point> {
    let next = line.iter().cycle().skip(1);
    let length: f64 = line.iter().zip(next).map(|(a, b)| a.distance(*b)).sum();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a line on a picture has at most some million points"
    )]
    let n = (length / step).round() as usize;
    let mut even = Vec::with_capacity(n);
    let mut gone = 0.0;
    for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
        let own = a.distance(*b);
        while even.len() < n && even.len() as f64 * length / n as f64 <= gone + own {
            let share = (even.len() as f64 * length / n as f64 - gone) / own.max(1e-12);
            even.push(a.lerp(*b, share));
        }
        gone += own;
    }
    even
}

/// How far outward of a point the edge lies, pixels.
fn moved(lit: &Lit<'_>, patch: &Blob, at: Point, along: Vec2, outward: Vec2) -> Option<f64> {
    let depth = depth_of(patch, at, -outward);
    let clear = depth_of_ground(patch, at, outward);
    let readings: Vec<(f64, Light)> = (0..=reads())
        .map(|i| -REACH_PX + READ_PX * f64::from(i))
        .map(|d| (d, read(lit, at + d * outward, along)))
        .collect();
    let inner = (-depth.min(REACH_PX), -WELL_PX.min(depth * 0.5));
    let outer = (WELL_PX.min(clear * 0.5), clear.min(REACH_PX));
    let first = shares(&readings, mean(&readings, inner)?, mean(&readings, outer)?)?;
    let steep = steep(&first)?;
    let inside = mean(
        &readings,
        (inner.0, inner.1.min(steep - WELL_PX).max(inner.0)),
    )?;
    let from = (steep + WELL_PX).min(clear * 0.75);
    let outside = followed_back(&readings, inside, (from, from + OUTSIDE_PX))?;
    let own = shares(&readings, inside, outside)?;
    halfway(&own, steep).filter(|by| by.abs() <= MOST_MOVE_PX)
}

/// How much of the light inside each reading has, 1 inside and 0 outside, smoothed; `None` when the two hardly differ.
fn shares(readings: &[(f64, Light)], inside: Light, outside: Light) -> Option<Vec<(f64, f64)>> {
    let apart = sub(inside, outside);
    let size: f32 = apart.iter().map(|v| v * v).sum();
    if size.sqrt() < LEAST_CONTRAST {
        return None;
    }
    let raw = readings.iter().map(|(d, light)| {
        let off = sub(*light, outside);
        let share: f32 = off.iter().zip(apart).map(|(a, b)| a * b).sum();
        (*d, f64::from(share / size))
    });
    Some(smooth(&raw.collect::<Vec<_>>()))
}

fn reads() -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive constant"
    )]
    let reads = (2.0 * REACH_PX / READ_PX) as u32;
    reads
}

fn smooth(shares: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let one = |d: f64| {
        let weigh = |e: &f64| (-0.5 * ((e - d) / SMOOTH_PX).powi(2)).exp();
        let sum: f64 = shares.iter().map(|(e, _)| weigh(e)).sum();
        let own: f64 = shares.iter().map(|(e, share)| weigh(e) * share).sum();
        (d, own / sum)
    };
    shares.iter().map(|(d, _)| one(*d)).collect()
}

/// The innermost place where the shares fall steeply, of those an edge may be moved to.
fn steep(shares: &[(f64, f64)]) -> Option<f64> {
    let falls: Vec<(f64, f64)> = shares
        .windows(2)
        .filter_map(|pair| match pair {
            [(d, a), (e, b)] => Some((f64::midpoint(*d, *e), a - b)),
            _ => None,
        })
        .filter(|(d, _)| d.abs() <= MOST_MOVE_PX)
        .collect();
    let fastest = falls.iter().map(|(_, fall)| *fall).fold(0.0, f64::max);
    let peak = |three: &[(f64, f64)]| match three {
        [(_, a), (d, b), (_, c)] if b >= a && b > c && *b >= STEEP * fastest => Some(*d),
        _ => None,
    };
    falls.windows(3).find_map(peak).filter(|_| fastest > 0.0)
}

/// The light outside an edge, followed back toward it in a straight line.
fn followed_back(
    readings: &[(f64, Light)],
    inside: Light,
    (from, to): (f64, f64),
) -> Option<Light> {
    let near = mean(readings, (from, f64::midpoint(from, to)))?;
    let far = mean(readings, (f64::midpoint(from, to), to)).unwrap_or(near);
    #[expect(clippy::cast_possible_truncation, reason = "a small number")]
    let back = (BACK_PX / (to - from) * 2.0) as f32;
    let mut light = near;
    for (i, own) in light.iter_mut().enumerate() {
        let of = |l: &Light| l.get(i).copied().unwrap_or(0.0);
        let most = MOST_BACK * (of(&near) - of(&inside)).abs();
        *own += ((of(&near) - of(&far)) * back).clamp(-most, most);
    }
    Some(light)
}

/// The place nearest to another where the shares fall through a half.
fn halfway(shares: &[(f64, f64)], about: f64) -> Option<f64> {
    let falls = shares.windows(2).filter_map(|pair| match pair {
        [(d, a), (e, b)] if *a >= 0.5 && *b < 0.5 => Some(d + (e - d) * (a - 0.5) / (a - b)),
        _ => None,
    });
    falls.min_by(|a, b| (a - about).abs().total_cmp(&(b - about).abs()))
}

/// The light at a place, with that beside it along the rim.
fn read(lit: &Lit<'_>, at: Point, along: Vec2) -> Light {
    let mut sum = [0.0; 3];
    for off in BESIDE_PX {
        let place = at + off * along;
        for (own, part) in sum.iter_mut().zip(lit.between(place.x, place.y)) {
            *own += part / 3.0;
        }
    }
    sum
}

fn mean(readings: &[(f64, Light)], (from, to): (f64, f64)) -> Option<Light> {
    let chosen = readings.iter().filter(|(d, _)| (from..=to).contains(d));
    let mut sum = [0.0; 3];
    let mut n = 0.0;
    for (_, light) in chosen {
        for (own, part) in sum.iter_mut().zip(light) {
            *own += part;
        }
        n += 1.0;
    }
    (n > 0.0).then(|| sum.map(|s: f32| s / n))
}

fn sub(a: Light, b: Light) -> Light {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[expect(clippy::cast_possible_truncation, reason = "places on a picture")]
fn has(patch: &Blob, p: Point) -> bool {
    patch.has(p.x.floor() as isize, p.y.floor() as isize)
}

/// How far the patch goes on from a point of its rim, pixels, at most [`REACH_PX`].
fn depth_of(patch: &Blob, at: Point, inward: Vec2) -> f64 {
    let steps = (2..=reads() / 2).map(|i| READ_PX * f64::from(i));
    let end = steps.take_while(|d| has(patch, at + *d * inward)).last();
    end.unwrap_or(READ_PX)
}

/// How far the ground goes on from a point of the rim, pixels, at most [`REACH_PX`].
fn depth_of_ground(patch: &Blob, at: Point, outward: Vec2) -> f64 {
    let steps = (2..=reads() / 2).map(|i| READ_PX * f64::from(i));
    let end = steps.take_while(|d| !has(patch, at + *d * outward)).last();
    end.unwrap_or(READ_PX)
}
