//! All pieces brought as near to the chain as they can together, smooth where they pass without a corner.
//!
//! The unknowns are the places of the nodes, one direction and two handle lengths at a smooth node, whole handles at a corner, and one length where a
//! curve goes on from a straight piece, whose direction it then has. Each point of the chain asks for the curve to pass through it, square to the
//! curve; points far off count less. Solved by damped Gauss-Newton steps (K. Levenberg, Quarterly of Applied Mathematics 2, 1944, 164–168), the points moved
//! along the curve to where they are nearest after each.

use super::chain::Chain;
use super::corners::unit;
use super::cubic::{nearer, square};
use super::linear::Normal;
use super::pieces::{Cuts, ROUNDED};
use super::shape::Shape;
use super::{Stage, TraceError};
use crate::geometry::{CubicBez, Point, Vec2};
use kurbo::ParamCurve as _;

/// Steps at most.
const STEPS: u32 = 14;
/// The step by which slopes are taken, mm or radians.
const NUDGE: f64 = 1e-5;
/// Damping to begin with, and its bounds.
const DAMPING: f64 = 1e-3;
const DAMPINGS: (f64, f64) = (1e-9, 1e3);
/// A point farther off than this many wanderings counts less the farther it is.
const FAR: f64 = 3.0;
/// The least such distance, mm.
const LEAST_FAR_MM: f64 = 0.06;
/// A smooth node is loosened when the chain is off by so many wanderings, and at least so much, mm, within so much of it, mm.
const LOOSE: f64 = 5.0;
const LEAST_LOOSE_MM: f64 = 0.11;
const ABOUT_MM: f64 = 4.0;
/// A corner comes no farther from where it was found, units: where the sides meet is known better than that.
const LEASH: f64 = 6.0;
/// So often at most.
const LOOSENED: u32 = 6;
/// Points where the lens has rounded a corner count this share: they keep a short piece in its place, and hardly blunt a tip.
const ROUNDED_TRUST: f64 = 0.03;
/// How strongly a handle is drawn to the third of its piece: only where the points do not tell it.
const THIRD: f64 = 0.02;

/// A point of the chain on its piece.
#[derive(Clone, Copy, Debug)]
struct Sample {
    at: Point,
    trust: f64,
    piece: usize,
    t: f64,
}

/// Brings the pieces near to the chain; gives them with how far points are off them (root of the mean square, mm).
///
/// Where the chain leaves a smooth node all the same, there was a corner too small to be seen as one: the node becomes a corner.
pub(super) fn fair(
    chain: &Chain,
    cuts: &Cuts,
    stage: &mut Stage<'_>,
) -> Result<(Shape, f64), TraceError> {
    let far = (FAR * chain.wander_mm).max(LEAST_FAR_MM);
    let loose = (LOOSE * chain.wander_mm).max(LEAST_LOOSE_MM);
    let mut work = Work::new(
        Shape::of(cuts, LEASH * unit(chain)),
        samples(chain, cuts),
        far,
    );
    work.approach(stage)?;
    for _ in 0..LOOSENED {
        let Some(node) = work.tight(loose) else {
            break;
        };
        work = Work::new(work.shape.loosened(node), work.samples, far);
        work.approach(stage)?;
    }
    Ok((work.shape, work.cost.1))
}

/// The shape on its way.
struct Work {
    shape: Shape,
    samples: Vec<Sample>,
    far: f64,
    cost: (f64, f64),
}

impl Work {
    fn new(shape: Shape, mut samples: Vec<Sample>, far: f64) -> Self {
        settle(&shape, &mut samples);
        Self {
            cost: cost(&shape, &samples, far),
            shape,
            samples,
            far,
        }
    }

    /// Takes steps until they no longer help.
    fn approach(&mut self, stage: &mut Stage<'_>) -> Result<(), TraceError> {
        let mut damping = DAMPING;
        for step in 0..STEPS {
            stage.at(f64::from(step) / f64::from(STEPS))?;
            let normal = equations(&self.shape, &self.samples, self.far);
            let Some(by) = normal.solve(damping) else {
                damping = (damping * 10.0).min(DAMPINGS.1);
                continue;
            };
            let tried = Self::new(self.shape.moved(&by), self.samples.clone(), self.far);
            if tried.cost.0 < self.cost.0 {
                let gained = (self.cost.0 - tried.cost.0) / self.cost.0;
                *self = tried;
                damping = (damping / 5.0).max(DAMPINGS.0);
                if gained < 1e-5 {
                    break;
                }
            } else {
                damping = (damping * 6.0).min(DAMPINGS.1);
            }
        }
        Ok(())
    }

    /// The node, not a corner, about which the chain leaves the pieces most, if it leaves them by more than `loose`.
    fn tight(&self, loose: f64) -> Option<usize> {
        let curves = self.shape.curves();
        let n = self.shape.nodes();
        let mut worst: Option<(usize, f64)> = None;
        for sample in self.samples.iter().filter(|s| s.trust > 0.5) {
            let Some(curve) = curves.get(sample.piece) else {
                continue;
            };
            let size = off(curve, sample).0.abs();
            if size <= loose || worst.is_some_and(|(_, most)| size <= most) {
                continue;
            }
            let node = if sample.t < 0.5 {
                sample.piece
            } else {
                (sample.piece + 1) % n
            };
            let near = self.shape.place(node).distance(sample.at) <= ABOUT_MM;
            if near && !self.shape.is_corner(node) {
                worst = Some((node, size));
            }
        }
        worst.map(|(node, _)| node)
    }
}

/// The points of the chain on their pieces, those where the lens has rounded a corner counting little.
fn samples(chain: &Chain, cuts: &Cuts) -> Vec<Sample> {
    let n = chain.len();
    let rounded = chain.points_in(ROUNDED * unit(chain));
    let mut samples = Vec::new();
    for (piece, from) in cuts.cuts.iter().enumerate() {
        let Some(to) = cuts.cuts.get((piece + 1) % cuts.cuts.len()) else {
            continue;
        };
        let mut end = to.place;
        while end <= from.place {
            end += n;
        }
        // A short piece keeps its middle half.
        let most = (end - from.place) / 4;
        let clear = |corner: bool| if corner { rounded.min(most) } else { 0 };
        for place in from.place..end {
            let told = place - from.place >= clear(from.corner) && end - place > clear(to.corner);
            let share = if told { 1.0 } else { ROUNDED_TRUST };
            samples.push(Sample {
                at: chain.at(place),
                trust: share * chain.trust_at(place),
                piece,
                t: (place - from.place) as f64 / (end - from.place).max(1) as f64,
            });
        }
    }
    samples
}

/// Moves the samples along their pieces to where they are nearest; one that comes to an end goes over to the next piece when that is nearer.
fn settle(shape: &Shape, samples: &mut [Sample]) {
    let curves = shape.curves();
    let n = curves.len();
    let nearest = |piece: usize, t: f64, at: Point| -> Option<(f64, f64)> {
        let curve = curves.get(piece)?;
        let mut t = t;
        for _ in 0..3 {
            t = nearer(curve, t, at);
        }
        Some((t, curve.eval(t).distance(at)))
    };
    for sample in samples {
        let Some((t, off)) = nearest(sample.piece, sample.t, sample.at) else {
            continue;
        };
        sample.t = t;
        let next = if t >= 1.0 {
            Some(((sample.piece + 1) % n, 0.0))
        } else if t <= 0.0 {
            Some(((sample.piece + n - 1) % n, 1.0))
        } else {
            None
        };
        // A corner is never gone round: the sides of a fine tip are near each other.
        if let Some((piece, t)) = next
            && !shape.is_corner(if t == 0.0 { piece } else { sample.piece })
            && let Some((t, other)) = nearest(piece, t, sample.at)
            && other < off
        {
            (sample.piece, sample.t) = (piece, t);
        }
    }
}

/// How far off a sample is, square to its curve, and the direction of that.
fn off(curve: &CubicBez, sample: &Sample) -> (f64, Vec2) {
    let square = square(curve, sample.t);
    ((curve.eval(sample.t) - sample.at).dot(square), square)
}

/// What a distance counts: as its square when near, by its size when far.
fn weight(distance: f64, far: f64) -> f64 {
    far / distance.abs().max(far)
}

/// The sum that is made small, and the root of the mean square distance.
fn cost(shape: &Shape, samples: &[Sample], far: f64) -> (f64, f64) {
    let curves = shape.curves();
    let (mut sum, mut squares, mut whole) = (0.0, 0.0, 0.0);
    for sample in samples {
        let Some(curve) = curves.get(sample.piece) else {
            continue;
        };
        let (d, _) = off(curve, sample);
        let size = d.abs();
        let own = if size <= far {
            d * d
        } else {
            far * (2.0 * size - far)
        };
        sum += sample.trust * own;
        squares += sample.trust * d * d;
        whole += sample.trust;
    }
    let thirds: f64 = shape.handles_off(&curves).map(|(_, off)| off * off).sum();
    (
        sum + THIRD * THIRD * thirds,
        (squares / f64::max(whole, 1e-9)).sqrt(),
    )
}

/// The normal equations of one step.
fn equations(shape: &Shape, samples: &[Sample], far: f64) -> Normal {
    let curves = shape.curves();
    let mut normal = Normal::new(shape.unknowns());
    // How the control points of each piece move with each unknown.
    let mut moves: Vec<Vec<(usize, [Vec2; 4])>> = vec![Vec::new(); curves.len()];
    for unknown in 0..shape.unknowns() {
        let nudged = shape.nudged(unknown, NUDGE).curves();
        for ((own, new), list) in curves.iter().zip(&nudged).zip(&mut moves) {
            let by = [
                new.p0 - own.p0,
                new.p1 - own.p1,
                new.p2 - own.p2,
                new.p3 - own.p3,
            ];
            if by.iter().any(|d| d.hypot2() > 0.0) {
                list.push((unknown, by.map(|d| d / NUDGE)));
            }
        }
    }
    let mut slopes = Vec::new();
    for sample in samples {
        let (Some(curve), Some(list)) = (curves.get(sample.piece), moves.get(sample.piece)) else {
            continue;
        };
        let (d, square) = off(curve, sample);
        let (t, s) = (sample.t, 1.0 - sample.t);
        let shares = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
        slopes.clear();
        slopes.extend(list.iter().map(|(unknown, by)| {
            let step = by.iter().zip(shares).map(|(d, share)| *d * share);
            (*unknown, step.fold(Vec2::ZERO, |a, b| a + b).dot(square))
        }));
        normal.add(&slopes, -d, sample.trust * weight(d, far));
    }
    for (unknown, off) in shape.handles_off(&curves) {
        normal.add(&[(unknown, 1.0)], -off, THIRD * THIRD);
    }
    normal
}
