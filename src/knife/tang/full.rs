//! The full tang: a handle line drawn through a handful of stations.
//!
//! 1. The **base line** runs straight from the lower shoulder to the foot of the butt.
//! 2. The underside is measured from the base line at three stations ([`FullTang::FINGER_AT`], [`FullTang::BELLY_AT`],
//!    [`FullTang::WAIST_AT`]) and at the foot, and drawn through them as a cubic spline with continuous curvature.
//! 3. The upper side is one cubic that leaves the shoulder as the spine arrives there and bends one way only.
//! 4. The butt is two quarter ovals that meet at the rearmost point with the same curvature.

use kurbo::{Point, Vec2};

use super::{FullTang, QUARTER, THINNEST_MM, TangError, finite, positive, push};
use crate::knife::{Joint, Knife, Spot};

/// The steepest line of the blade that the handle takes up and goes on with, as rise over run (about 35°). Steeper ones are
/// the face of a shoulder or a heel; the handle starts from a corner there.
const STEEPEST_FLOW: f64 = 0.7;

/// Share of the belly that is left at the waist: a swell that dies out evenly from the belly to the foot has about this there.
const BELLY_LEFT_AT_WAIST: f64 = 0.42;

/// How far ahead of the rearmost point the butt's rounding begins, as shares of the height at the butt: rounder above,
/// where the heel of the hand lies, tighter below, where the little finger finds its stop.
const ROUND_ABOVE: f64 = 0.44;
/// See [`ROUND_ABOVE`].
const ROUND_BELOW: f64 = 0.32;

/// The roundings never take more than this share of the length.
const MOST_ROUND: f64 = 0.22;

/// Places along the tang where its height is looked at before it is accepted.
const LOOKS: u32 = 64;

/// Slope `dy/dx` of a direction of travel, if it is one the handle can go on with.
fn flow(direction: Option<Vec2>) -> Option<f64> {
    let d = direction?;
    (d.y.abs() <= STEEPEST_FLOW * d.x.abs()).then(|| d.y / d.x)
}

/// Appends a full tang behind the last node, which is the upper shoulder; the first node is the lower one. Gives the butt's spot.
pub(super) fn grow(
    knife: &mut Knife,
    tang: FullTang,
    top: Point,
    bottom: Point,
) -> Result<Spot, TangError> {
    positive(tang.length_mm, "the tang's length")?;
    positive(tang.butt_height_mm, "the height at the butt")?;
    finite(tang.belly_mm, "the belly")?;
    finite(tang.drop_mm, "the drop")?;
    finite(tang.finger_mm, "the finger relief")?;
    finite(tang.hook_mm, "the hook")?;

    let outline = &knife.outline;
    let last_piece = outline.nodes.len().checked_sub(2);
    let spine = last_piece.and_then(|i| outline.piece(i)?.direction(1.0));
    let lower = outline.piece(0).and_then(|p| p.direction(0.0));
    let (spine_slope, lower_slope) = (flow(spine), flow(lower));

    let side = Sides::new(&tang, top, bottom, spine_slope, lower_slope);
    side.judge(top)?;
    let butt = side.draw(knife);
    smooth_shoulder(knife.outline.nodes.first_mut(), lower_slope);
    let upper = last_piece.and_then(|i| knife.outline.nodes.get_mut(i + 1));
    smooth_shoulder(upper, spine_slope);
    Ok(butt)
}

/// A shoulder the handle flows through is a smooth node when it has handles on both sides to keep in line.
fn smooth_shoulder(node: Option<&mut crate::knife::Node>, slope: Option<f64>) {
    if let Some(node) = node
        && slope.is_some()
        && node.handle_in.is_some()
        && node.handle_out.is_some()
    {
        node.joint = Joint::Smooth;
    }
}

/// The lines of the tang before they become nodes.
struct Sides {
    /// Rearmost `x`.
    back: f64,
    /// End of the upper side, where the butt's rounding begins.
    high: Point,
    /// Slopes of the upper side at the shoulder and at `high`.
    high_slopes: (f64, f64),
    /// Stations of the underside from the foot of the butt forward to the lower shoulder.
    under: Vec<Point>,
    /// Slopes of the underside at its stations.
    under_slopes: Vec<f64>,
}

impl Sides {
    fn new(
        tang: &FullTang,
        top: Point,
        bottom: Point,
        spine_slope: Option<f64>,
        lower_slope: Option<f64>,
    ) -> Self {
        let length = tang.length_mm;
        let middle = f64::midpoint(top.y, bottom.y) - tang.drop_mm;
        let half = tang.butt_height_mm / 2.0;
        let most = MOST_ROUND * length;
        let height = tang.butt_height_mm + tang.hook_mm.max(0.0);
        let high = Point::new(-length + (ROUND_ABOVE * height).min(most), middle + half);
        let foot = Point::new(-length + (ROUND_BELOW * height).min(most), middle - half);

        let base_slope = (bottom.y - foot.y) / (bottom.x - foot.x);
        let station = |share: f64, below: f64| {
            let x = bottom.x + share * (-length - bottom.x);
            Point::new(x, bottom.y + base_slope * (x - bottom.x) - below)
        };
        let under = vec![
            Point::new(foot.x, foot.y - tang.hook_mm),
            station(FullTang::WAIST_AT, tang.belly_mm * BELLY_LEFT_AT_WAIST),
            station(FullTang::BELLY_AT, tang.belly_mm),
            station(FullTang::FINGER_AT, -tang.finger_mm),
            bottom,
        ];
        let under_slopes = spline_slopes(&under, base_slope, lower_slope.unwrap_or(base_slope));

        // A cubic y(x) whose second derivative is zero at the shoulder and grows evenly from there, so it bends one way only:
        // its end slope is then half of three times the chord's less the start's.
        let start = spine_slope.unwrap_or(0.0);
        let chord = (top.y - high.y) / (top.x - high.x);
        Self {
            back: -length,
            high,
            high_slopes: (start, (3.0 * chord - start) / 2.0),
            under,
            under_slopes,
        }
    }

    /// Refuses a tang whose sides meet.
    fn judge(&self, top: Point) -> Result<(), TangError> {
        let (Some(foot), Some(front)) = (self.under.first(), self.under.last()) else {
            return Ok(());
        };
        let from = foot.x.max(self.high.x);
        if from >= front.x.min(top.x) {
            return Err(TangError::TooShort {
                length_mm: -self.back,
            });
        }
        for look in 0..=LOOKS {
            let x = from + (front.x.min(top.x) - from) * f64::from(look) / f64::from(LOOKS);
            let above = hermite(
                (self.high, self.high_slopes.1),
                (top, self.high_slopes.0),
                x,
            );
            if above - self.underside(x) < THINNEST_MM {
                return Err(TangError::Pinched { behind_mm: -x });
            }
        }
        if self.high.y - foot.y < THINNEST_MM {
            return Err(TangError::Pinched {
                behind_mm: -self.back,
            });
        }
        Ok(())
    }

    fn underside(&self, x: f64) -> f64 {
        let ends = self.under.iter().zip(&self.under_slopes);
        let mut best = f64::NEG_INFINITY;
        for (a, b) in ends.clone().zip(ends.skip(1)) {
            if (a.0.x..=b.0.x).contains(&x) {
                best = best.max(hermite((*a.0, *a.1), (*b.0, *b.1), x));
            }
        }
        best
    }

    /// Appends the nodes and gives the butt's spot.
    fn draw(&self, knife: &mut Knife) -> Spot {
        let third = |from: f64, to: f64, slope: f64| Vec2::new(1.0, slope) * ((to - from) / 3.0);
        let (high, end_slope) = (self.high, self.high_slopes.1);
        let top_x = knife.outline.nodes.last().map_or(0.0, |n| n.at.x);
        if let Some(node) = knife.outline.nodes.last_mut() {
            node.handle_out = Some(third(top_x, high.x, self.high_slopes.0));
        }
        let foot = self.under.first().copied().unwrap_or(high);
        let foot_slope = self.under_slopes.first().copied().unwrap_or(0.0);

        // Each half of the butt is a quarter oval inside the corner where the side's tangent meets the upright through the
        // rearmost point. At that point its curvature is run / rise²; equal on both halves when the rises go as √run.
        let corner =
            |end: Point, slope: f64| Point::new(self.back, end.y + slope * (self.back - end.x));
        let (above, below) = (corner(high, end_slope), corner(foot, foot_slope));
        let (run_above, run_below) = (high.x - self.back, foot.x - self.back);
        let share = run_above.sqrt() / (run_above.sqrt() + run_below.sqrt());
        let rear = above.lerp(below, share);

        push(
            knife,
            high,
            Some(third(high.x, top_x, end_slope)),
            Some((above - high) * QUARTER),
        );
        let butt = push(
            knife,
            rear,
            Some((above - rear) * QUARTER),
            Some((below - rear) * QUARTER),
        );
        let mut into = (below - foot) * QUARTER;
        let stations: Vec<(Point, f64)> = self
            .under
            .iter()
            .copied()
            .zip(self.under_slopes.iter().copied())
            .collect();
        for pair in stations.windows(2) {
            if let [(at, slope), (next, next_slope)] = pair {
                push(knife, *at, Some(into), Some(third(at.x, next.x, *slope)));
                into = third(next.x, at.x, *next_slope);
            }
        }
        if let Some(node) = knife.outline.nodes.first_mut() {
            node.handle_in = Some(into);
        }
        Spot { node: butt, t: 0.0 }
    }
}

/// Height at `x` of the cubic with given points and slopes at its ends.
fn hermite(a: (Point, f64), b: (Point, f64), x: f64) -> f64 {
    let h = b.0.x - a.0.x;
    let t = (x - a.0.x) / h;
    let s = 1.0 - t;
    a.0.y * s * s * (1.0 + 2.0 * t)
        + b.0.y * t * t * (1.0 + 2.0 * s)
        + h * (a.1 * t * s * s - b.1 * t * t * s)
}

/// Slopes of the cubic spline with continuous second derivative through points of ascending `x`, its end slopes given
/// (C. de Boor, "A Practical Guide to Splines", Springer 1978, chapter IV, complete spline). The equation at an inner point, with widths
/// `h` and chord slopes `c` before and after it, is `m0/h0 + 2 m (1/h0 + 1/h1) + m1/h1 = 3 (c0/h0 + c1/h1)`; solved by one sweep down
/// and one back.
fn spline_slopes(points: &[Point], first: f64, last: f64) -> Vec<f64> {
    let spans: Vec<(f64, f64)> = points
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((1.0 / (b.x - a.x), (b.y - a.y) / (b.x - a.x))),
            _ => None,
        })
        .collect();
    let (mut factors, mut rests) = (vec![0.0], vec![first]);
    for pair in spans.windows(2) {
        if let [(w0, c0), (w1, c1)] = pair
            && let (Some(factor), Some(rest)) = (factors.last(), rests.last())
        {
            let pivot = 2.0 * (w0 + w1) - w0 * factor;
            let right = 3.0 * (c0 * w0 + c1 * w1) - w0 * rest;
            factors.push(w1 / pivot);
            rests.push(right / pivot);
        }
    }
    let mut slopes = vec![last];
    let mut after = last;
    for (factor, rest) in factors.iter().zip(&rests).rev() {
        after = rest - factor * after;
        slopes.push(after);
    }
    slopes.reverse();
    slopes
}
