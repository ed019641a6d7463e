//! Where rays of one run meet rays of another place of it: beyond, that other place is the nearer one.
//!
//! A point of a ray at distance `d` has its nearest place at the ray's foot as long as the ball of radius `d` that touches the run there holds no
//! other point `q` of it; the ball through `q` has the radius `|q − p|² / (2·n·(q − p))`. Near the foot that becomes the radius of curvature.
//!
//! The search over the run is left out where it can't find anything: if all of the run within reach keeps its direction within a right angle and
//! bends toward the rays with no less than a radius of `R`, balls up to `R` hold none of it. (Over the tangent at the foot such a run is the graph of a
//! function; `d(sin θ)/dx ≤ 1/R` gives `sin θ ≤ x/R`, so it stays below the ball's lower half, whose slope is just that.)

use std::f64::consts::FRAC_PI_2;

use kurbo::Vec2;

use super::boxes::box_distance;
use super::powers::Powers;
use super::run::RunPath;
use super::strip::{Ray, Source};

/// For each strip, how deep its rays go without meeting others for sure, mm.
#[derive(Clone, Debug, Default)]
pub(super) struct Neighbors {
    free: Vec<f64>,
}

impl Neighbors {
    /// Looks along the run within twice the reach of each strip: balls no larger than the reach hold nothing farther away.
    pub(super) fn of(run: &RunPath, reach: f64) -> Self {
        let free = (0..run.strips.len())
            .map(|i| free_depth(run, i, reach))
            .collect();
        Self { free }
    }

    pub(super) fn free_of(&self, strip: usize) -> f64 {
        self.free.get(strip).copied().unwrap_or(0.0)
    }
}

fn free_depth(run: &RunPath, own: usize, reach: f64) -> f64 {
    let Some(strip) = run.strips.get(own) else {
        return 0.0;
    };
    let near = |i: usize| {
        run.strips.get(i).is_some_and(|other| {
            let a = &strip.bounds;
            let b = &other.bounds;
            let dx = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
            let dy = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
            dx.hypot(dy) <= 2.0 * reach
        })
    };
    let side_of = |i: usize| match run.strips.get(i).map(|s| s.source) {
        Some(Source::Along { side, .. }) => Some(side),
        _ => None,
    };
    // A fuller's strips come once for each side; those of the other side are the same curve.
    let own_side = match strip.source {
        Source::Along { side, .. } => Some(side),
        Source::Fan { .. } => None,
    };
    let mut first = own;
    while first > 0 && near(first - 1) && side_of(first - 1).is_none_or(|s| Some(s) == own_side) {
        first -= 1;
    }
    let mut last = own;
    while near(last + 1) && side_of(last + 1).is_none_or(|s| Some(s) == own_side) {
        last += 1;
    }
    let outside = |i: usize| i < first || i > last;
    let strays = (0..run.strips.len())
        .any(|i| outside(i) && near(i) && side_of(i).is_some_and(|s| Some(s) == own_side));
    if strays {
        return 0.0;
    }
    let (mut low, mut high, mut sharpest) = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
    for i in first..=last {
        let Some(other) = run.strips.get(i) else {
            continue;
        };
        if matches!(other.source, Source::Fan { .. }) {
            continue;
        }
        if i > first && other.pinch > 0.0 {
            return 0.0;
        }
        low = low.min(other.heading.0);
        high = high.max(other.heading.1);
        sharpest = sharpest.max(other.sharpest);
    }
    if high - low >= FRAC_PI_2 {
        return 0.0;
    }
    if sharpest > 0.0 {
        1.0 / sharpest
    } else {
        f64::INFINITY
    }
}

/// How far a ray goes before another place of the run is as near, mm, and the chain of strips that has it, if that is less than `within`. Exact for
/// straight pieces; on curves the nearest rival is found within 1e-9 of the run's parameter.
pub(super) fn meeting_depth(
    run: &RunPath,
    own: usize,
    ray: &Ray,
    t: f64,
    within: f64,
) -> Option<(f64, u32)> {
    let mut depth = within;
    let mut by = None;
    let mut nearer = |found: f64, chain: u32, depth: &mut f64| {
        if found < *depth {
            *depth = found;
            by = Some(chain);
        }
    };
    for (i, strip) in run.strips.iter().enumerate() {
        let Source::Along { curve, side } = strip.source else {
            continue;
        };
        if box_distance(&strip.bounds, ray.foot + ray.n * depth) > depth {
            continue;
        }
        if i == own {
            // Toward the foot itself the ball becomes the one of curvature.
            if ray.j1 < 0.0 {
                nearer(-ray.j0 / ray.j1, strip.chain, &mut depth);
            }
            if !curve.is_straight() {
                let found = rival_on_curve(&curve, ray, Some(t), depth, TOO_NEAR_MM2);
                nearer(found, strip.chain, &mut depth);
            }
            continue;
        }
        // The other side of a fuller's path is the same curve: its rays go the other way and don't count.
        if let Some(Source::Along { side: own_side, .. }) = run.strips.get(own).map(|s| s.source)
            && own_side != side
        {
            continue;
        }
        // At a corner the rays meet at once, so there the nearest places count too.
        let pinched = strip.pinch > 0.0 || run.strips.get(own).is_some_and(|s| s.pinch > 0.0);
        let too_near = if pinched { 0.0 } else { TOO_NEAR_MM2 };
        let found = if curve.is_straight() {
            rival_on_line(&curve, ray, too_near)
        } else {
            rival_on_curve(&curve, ray, None, depth, too_near)
        };
        nearer(found, strip.chain, &mut depth);
    }
    by.map(|chain| (depth, chain))
}

/// Places of the run nearer to the foot than a ten-thousandth of a millimeter: rounding of their coordinates would make balls of its own.
const TOO_NEAR_MM2: f64 = 1e-8;

fn ball(w: Vec2, n: Vec2, too_near: f64) -> f64 {
    let toward = w.dot(n);
    let w2 = w.hypot2();
    // A neighbor that lies level with the foot stops nothing.
    if toward <= 1e-12 * w2.sqrt() || w2 <= too_near {
        f64::INFINITY
    } else {
        w2 / (2.0 * toward)
    }
}

fn rival_on_line(curve: &Powers, ray: &Ray, too_near: f64) -> f64 {
    let [a, b, ..] = curve.coefficients();
    // From the nearer end, so that what lies close to it does not drown in the length of the line.
    let (from, to) = (a - ray.foot, a + b - ray.foot);
    let (w, b) = if from.hypot2() < to.hypot2() {
        (from, b)
    } else {
        (to, -b)
    };
    let mut least = ball(w, ray.n, too_near).min(ball(w + b, ray.n, too_near));
    // (β + 2γs)(μ + νs) = ν(α + βs + γs²)
    let (alpha, beta, gamma) = (w.hypot2(), 2.0 * w.dot(b), b.hypot2());
    let (mu, nu) = (w.dot(ray.n), b.dot(ray.n));
    for s in kurbo::common::solve_quadratic(beta * mu - nu * alpha, 2.0 * gamma * mu, gamma * nu) {
        if (0.0..=1.0).contains(&s) {
            least = least.min(ball(w + b * s, ray.n, too_near));
        }
    }
    least
}

fn rival_on_curve(curve: &Powers, ray: &Ray, own: Option<f64>, within: f64, too_near: f64) -> f64 {
    const STEPS: u32 = 24;
    let radius = |s: f64| {
        if own.is_some_and(|t| (s - t).abs() < 1e-4) {
            return f64::INFINITY;
        }
        ball(curve.at(s) - ray.foot, ray.n, too_near)
    };
    let step = 1.0 / f64::from(STEPS);
    let (mut least, mut at) = (f64::INFINITY, (0.0, 0.0, step));
    let mut look = |before: f64, s: f64, after: f64| {
        let r = radius(s);
        if r < least {
            (least, at) = (r, (before, s, after));
        }
    };
    for i in 0..=STEPS {
        let s = f64::from(i) * step;
        look((s - step).max(0.0), s, (s + step).min(1.0));
    }
    if too_near == 0.0 {
        // Beside a corner the rival may be as near to it as the foot is.
        let mut s = step / 2.0;
        while s > 1e-12 {
            look(s / 2.0, s, s * 2.0);
            look(1.0 - s * 2.0, 1.0 - s, 1.0 - s / 2.0);
            s /= 2.0;
        }
    }
    if least > 2.0 * within {
        return least;
    }
    // Golden section around the best step (Kiefer, Proc. AMS 4 (1953), pp. 502-506).
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut lo, mut hi) = (at.0, at.2);
    let close = (1e-5 * (hi - lo)).min(1e-7);
    let (mut a, mut b) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
    let (mut fa, mut fb) = (radius(a), radius(b));
    // Rounding can hold the bracket open for ever: so many steps are enough for any.
    for _ in 0..60 {
        if hi - lo <= close {
            break;
        }
        if fa < fb {
            (hi, b, fb) = (b, a, fa);
            a = hi - GOLDEN * (hi - lo);
            fa = radius(a);
        } else {
            (lo, a, fa) = (a, b, fb);
            b = lo + GOLDEN * (hi - lo);
            fb = radius(b);
        }
    }
    least.min(fa).min(fb)
}
