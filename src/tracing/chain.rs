//! The edge on the bench: a closed chain of points in millimeters, evenly spaced, with how much each tells and how far they wander.

use super::edge::EdgePoint;
use super::ground::middle;
use super::{Pixels, TraceError};
use crate::geometry::{Point, Projection};

/// Points are at least this far apart, mm: finer than any tracing, coarse enough to fit quickly.
const SPACING_MM: f64 = 0.2;
/// And at least so many pixels: nearer ones tell the same again.
const SPACING_PX: f64 = 1.0;

/// The edge of the knife as found.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    /// Points in order, counterclockwise with `y` up.
    pub(super) points: Vec<Point>,
    /// How much each tells, 0..1.
    pub(super) trust: Vec<f64>,
    /// From one to the next, on the mean, mm.
    pub(super) spacing_mm: f64,
    /// A pixel on the bench, mm, where the knife lies.
    pub(super) pixel_mm: f64,
    /// How far the points wander off a smooth line, mm (standard deviation).
    pub(super) wander_mm: f64,
}

impl Chain {
    /// Lays the edge on the bench.
    pub(super) fn lay(
        pixels: &Pixels,
        edge: &[EdgePoint],
        bench_from_picture: &Projection,
    ) -> Result<Self, TraceError> {
        let taken = |p: Point| (p.to_vec2() * pixels.shrunk()).to_point();
        let mut laid = Vec::with_capacity(edge.len());
        let mut scales = Vec::with_capacity(edge.len());
        for point in edge {
            let at = taken(point.at);
            let to = bench_from_picture
                .apply(at)
                .ok_or(TraceError::BeyondHorizon)?;
            scales.extend(bench_from_picture.scale_at(at));
            laid.push((to, point.trust));
        }
        let pixel_mm = middle(&mut scales) * pixels.shrunk();
        let (mut points, mut trust) = thinned(&laid, SPACING_MM.max(SPACING_PX * pixel_mm));
        if doubled_area(&points) < 0.0 {
            points.reverse();
            trust.reverse();
        }
        let spacing_mm = length(&points) / points.len().max(1) as f64;
        let wander_mm = wander(&points);
        Ok(Self {
            points,
            trust,
            spacing_mm,
            pixel_mm,
            wander_mm,
        })
    }

    /// Points in the chain.
    pub(super) fn len(&self) -> usize {
        self.points.len()
    }

    /// A point, counted round and round.
    pub(super) fn at(&self, place: usize) -> Point {
        let place = place % self.points.len().max(1);
        self.points.get(place).copied().unwrap_or_default()
    }

    /// How much a point tells, counted round and round.
    pub(super) fn trust_at(&self, place: usize) -> f64 {
        let place = place % self.trust.len().max(1);
        self.trust.get(place).copied().unwrap_or_default()
    }

    /// So many points cover this length.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "lengths along a knife, in steps of a fraction of a millimeter"
    )]
    pub(super) fn points_in(&self, mm: f64) -> usize {
        (mm / self.spacing_mm.max(1e-9)).round() as usize
    }
}

/// Bundles points that follow each other until the next one is `spacing` away; each bundle becomes its mean.
fn thinned(laid: &[(Point, f64)], spacing: f64) -> (Vec<Point>, Vec<f64>) {
    let (mut points, mut trust) = (Vec::new(), Vec::new());
    let mut bundle: Vec<(Point, f64)> = Vec::new();
    let mut gone = 0.0;
    let mut last: Option<Point> = None;
    for (point, own) in laid {
        gone += last.map_or(0.0, |last| last.distance(*point));
        last = Some(*point);
        if gone >= spacing && !bundle.is_empty() {
            close(&mut bundle, &mut points, &mut trust);
            gone = 0.0;
        }
        bundle.push((*point, *own));
    }
    close(&mut bundle, &mut points, &mut trust);
    (points, trust)
}

fn close(bundle: &mut Vec<(Point, f64)>, points: &mut Vec<Point>, trust: &mut Vec<f64>) {
    let whole: f64 = bundle.iter().map(|(_, t)| t).sum();
    if whole > 0.0 {
        let sum = bundle
            .iter()
            .map(|(p, t)| p.to_vec2() * *t)
            .fold(Point::ZERO.to_vec2(), |a, b| a + b);
        points.push((sum / whole).to_point());
        trust.push(whole / bundle.len() as f64);
    }
    bundle.clear();
}

fn doubled_area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
        .sum()
}

fn length(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.distance(*b)).sum()
}

/// How far points wander: the middle of how far each lies off the straight between its neighbors but one. Of independent wandering by s the
/// difference has the width s √(1 + 1/4 + 1/4), and the middle of its absolute values is 0.6745 of that.
fn wander(points: &[Point]) -> f64 {
    let n = points.len();
    let mut off: Vec<f64> = (0..n)
        .filter_map(|i| {
            let (a, b) = (points.get((i + n - 2) % n)?, points.get((i + 2) % n)?);
            let along = *b - *a;
            let from = *points.get(i)? - a.midpoint(*b);
            (along.hypot() > 0.0).then(|| (from.cross(along) / along.hypot()).abs())
        })
        .collect();
    middle(&mut off) / (0.6745 * 1.5_f64.sqrt())
}
