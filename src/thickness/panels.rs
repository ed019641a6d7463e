//! Panels of a strip: how the rays' sums are added up along it, and how far that may be off.
//!
//! A panel's rays are added by a four-point Lobatto rule and its seven-point Kronrod extension (Gander & Gautschi, BIT 40 (2000), pp. 84-101). Where all
//! seven have the same trail the sums are smooth between them: the difference of the rules is then the coarse one's error, far above the fine one's; it
//! decides whether the panel is halved, and is what is reported. Where trails differ there is a kink or a jump between two of the rays: its place is
//! searched by halving, and the panel ends there.

use std::f64::consts::{FRAC_PI_2, PI};

use super::breaks::Bracket;
use super::marks::{Ends, Trail};
use super::opening::Opening;
use super::ridge::Met;
use super::sums::PER_LAYER;
use super::survey::{Followed, Surveyor};
use super::sweep::{RayOf, RayTrace};

/// Share of the blank's volume that one panel may be off by.
pub(super) const PANEL_SHARE: f64 = 3e-7;

/// Panels of a strip whose rays may meet others of the run are no wider than this, as a share of the strip, whatever their error seems to be: what happens
/// close to a corner could pass between the nodes.
pub(super) const CONTESTED_WIDEST: f64 = 0.26;

/// The same in mm where a channel and another grind may take the same steel.
pub(super) const CHANNEL_PANEL_MM: f64 = 10.0;

/// The same, as a share again, for panels that meet another family between their own rays, as one of that family's rays has shown.
const HIDDEN_WIDEST: f64 = 1.0 / 64.0;

/// The same for panels whose own rays come so near to another family that one between them may meet it.
const CLOSE_WIDEST: f64 = 1.0 / 512.0;

/// Halvings of a strip.
const MOST_HALVINGS: u32 = 34;

/// A row of weights on the seven nodes that gives nothing for any polynomial of the fourth degree and is odd about the middle, as large as the difference
/// of the two rules, which is even. A kink between two nodes can hide from the one or from the other, hardly from both (Berntsen & Espelid, ACM Trans. Math.
/// Softw. 17 (1991), pp. 233-252, call such rows null rules).
const SKEW: [f64; 7] = [-0.2158, 0.4531, -0.3447, 0.0, 0.3447, -0.4531, 0.2158];

/// Rows of the same size that give nothing for the third and the second degree, even and odd (all four are the discrete orthogonal polynomials of the nodes):
/// where the sums are smooth the rows of higher degree give much less than these.
const LOW_EVEN: [f64; 7] = [
    0.294_184, -0.405_973, -0.117_673, 0.458_927, -0.117_673, -0.405_973, 0.294_184,
];
const LOW_ODD: [f64; 7] = [
    -0.354_220, 0.181_603, 0.460_500, 0.0, -0.460_500, -0.181_603, 0.354_220,
];

/// Where the rows of higher degree give less than this of what those of lower degree do, the sums are smooth, and the seven-point rule's own error is as much
/// smaller again; no less than the same part of it is reported. (Berntsen & Espelid, as above, take the ratio of such rows for the same purpose.)
const SMOOTH: f64 = 0.25;

/// What is reported over what the rules show for a panel with a break in it that is too slight to be searched.
const BROKEN_ALLOWANCE: f64 = 20.0;

/// What is reported over all that: over ten thousand random blades and more the true error hardly ever came past half of it, and then by something
/// smaller than the way between two rays that none of them met.
pub(super) const ALLOWANCE: f64 = 2.0;

/// How far within a panel its first and last rays are, as a share of it.
const INSIDE: f64 = 1e-9;

/// The same at the rim of a round hole, where a ray any nearer would have nothing of the hole to tell what divides it.
const INSIDE_RIM: f64 = 1e-5;

/// A panel of a strip.
#[derive(Clone, Copy)]
pub(super) struct Panel<'p> {
    pub family: usize,
    pub strip: usize,
    pub opening: Option<&'p Opening>,
    /// Parameter of the strip by the panel's own variable, so that a round hole's rays begin and end smoothly.
    pub warp: Option<(f64, f64)>,
    /// It is divided until it is no wider than this, by its own variable.
    pub widest: f64,
    /// Edges of the outline its rays may meet.
    pub near: &'p [usize],
    /// Whether its rays may come into the zone of another family.
    pub foreign: bool,
}

impl Panel<'_> {
    /// The parameter of the strip at a place of the panel's own variable.
    fn parameter(&self, at: f64) -> f64 {
        self.warp
            .map_or(at, |(middle, half)| middle + half * at.sin())
    }

    /// How far within one of its ends the first ray is, as a share of the panel.
    fn inside(&self, end: f64) -> f64 {
        if self.is_rim(end) { INSIDE_RIM } else { INSIDE }
    }

    /// Whether one of its ends is the rim of an opening.
    fn is_rim(&self, end: f64) -> bool {
        self.warp.is_some() && FRAC_PI_2 - end.abs() < INSIDE_RIM
    }
}

/// A ray of a panel: where it is, where its sums lie on the stack, and what divided it.
#[derive(Clone, Copy)]
pub(super) struct Node {
    pub at: f64,
    pub slot: usize,
    pub trail: Trail,
    pub ends: Ends,
    /// Where it met another family last.
    pub met: Option<Met>,
    /// How near it came to others without meeting them, mm of height.
    pub closest: f64,
}

/// An error in the volume, mm³, and in its moment along x, mm⁴.
#[derive(Clone, Copy, Default)]
pub(super) struct Off {
    pub volume: f64,
    pub moment: f64,
}

impl Off {
    pub(super) fn add(&mut self, other: Self) {
        self.volume += other.volume;
        self.moment += other.moment;
    }

    pub(super) fn times(self, by: f64) -> Self {
        Self {
            volume: self.volume * by,
            moment: self.moment * by,
        }
    }

    pub(super) fn or_more(self, other: Self) -> Self {
        Self {
            volume: self.volume.max(other.volume),
            moment: self.moment.max(other.moment),
        }
    }
}

impl Surveyor<'_> {
    /// Adds one panel of a strip, divided until its error is small enough.
    pub(super) fn panel(&mut self, panel: Panel<'_>, a: f64, b: f64, sum: &mut [f64]) {
        let len = self.sweep.layout.len();
        self.stack.clear();
        self.stack.resize(2 * len, 0.0);
        // Just within: a ray right through a corner may pass on either side of it.
        let first = self.follow(panel, a + (b - a) * panel.inside(a), 0);
        let last = self.follow(panel, b - (b - a) * panel.inside(b), 1);
        // At a rim itself the rays count for nothing.
        for (end, sums) in [a, b].into_iter().zip(self.stack.chunks_exact_mut(len)) {
            if panel.is_rim(end) {
                sums.fill(0.0);
            }
        }
        let (a, b) = (Node { at: a, ..first }, Node { at: b, ..last });
        let a = match panel.opening {
            None => self.known_breaks(panel, a, b, sum),
            Some(_) => a,
        };
        self.divide(panel, a, b, 0, sum);
    }

    /// Adds the rays over a round hole by the trapezoidal rule in the angle of its rim, which is exact for heights up to the ninth degree across it, up to the
    /// fifth where it is surveyed coarsely (Gauss–Chebyshev of the second kind); `false` with nothing added where the rule of every second ray says otherwise.
    pub(super) fn round(&mut self, panel: Panel<'_>, sum: &mut [f64]) -> bool {
        if self.coarse {
            self.round_by::<3>(panel, sum)
        } else {
            self.round_by::<5>(panel, sum)
        }
    }

    fn round_by<const RAYS: usize>(&mut self, panel: Panel<'_>, sum: &mut [f64]) -> bool {
        let len = self.sweep.layout.len();
        self.stack.clear();
        self.stack.resize(RAYS * len, 0.0);
        let step = PI / (RAYS as f64 + 1.0);
        let nodes: [Node; RAYS] = std::array::from_fn(|k| {
            let at = (k as f64 + 1.0) * step - FRAC_PI_2;
            self.follow(panel, at, k)
        });
        let first = nodes.first().map(|node| node.trail);
        let alike = nodes.iter().all(|node| Some(node.trail) == first);
        let rule = |k: usize| {
            let values = nodes.each_ref().map(|node| self.value(node, k));
            let every: f64 = values.iter().sum::<f64>() * step;
            let second = values.iter().skip(1).step_by(2).sum::<f64>() * 2.0 * step;
            (every, every - second)
        };
        let off = self.over_layers(|k| rule(k).1);
        if !alike || !self.is_within(off, 1.0) || self.widest < 1.0 {
            return false;
        }
        for (k, sum) in sum.iter_mut().enumerate() {
            *sum += rule(k).0;
        }
        self.error.add(off);
        true
    }

    /// Whether an error is no more than a share of what a panel may have.
    pub(super) fn is_within(&self, off: Off, share: f64) -> bool {
        let most = self.panel_error * share;
        off.volume <= most && off.moment <= most * self.length
    }

    /// Follows one ray into a slot of the stack.
    pub(super) fn follow(&mut self, panel: Panel<'_>, at: f64, slot: usize) -> Node {
        let len = self.sweep.layout.len();
        let t = panel.parameter(at);
        let of = RayOf {
            family: panel.family,
            strip: panel.strip,
            t,
            near: panel.near,
            foreign: panel.foreign,
        };
        self.rays += 1;
        let mut node = Node {
            at,
            slot,
            trail: Trail::default(),
            ends: Ends::default(),
            met: None,
            closest: f64::INFINITY,
        };
        let met_before = self.sweep.others.met_count();
        let Some(out) = self.stack.get_mut(slot * len..(slot + 1) * len) else {
            return node;
        };
        // A trace is large: it is filled where it stays.
        let trace = self.followed.as_mut().and_then(|rays| {
            rays.push(Followed {
                family: panel.family,
                strip: panel.strip,
                t,
                trace: RayTrace::default(),
            });
            rays.last_mut().map(|ray| &mut ray.trace)
        });
        node.trail = self.sweep.ray(of, panel.opening, out, trace);
        node.ends = self.sweep.ends;
        node.met = self.sweep.others.last_met(met_before);
        node.closest = self.sweep.others.take_closest();
        if let Some((_, half)) = panel.warp {
            let speed = half * at.cos();
            out.iter_mut().for_each(|v| *v *= speed);
        }
        node
    }

    pub(super) fn divide(
        &mut self,
        panel: Panel<'_>,
        a: Node,
        b: Node,
        depth: u32,
        sum: &mut [f64],
    ) {
        let len = self.sweep.layout.len();
        let first = self.stack.len() / len;
        let h = (b.at - a.at) / 2.0;
        // Where the ends already tell that there is a break, no more rays are followed than it takes to come upon one.
        let surely = a.trail != b.trail && depth < MOST_HALVINGS;
        let (nodes, broken) = self.panel_rays(panel, a, b, surely);
        let over = if surely {
            None
        } else {
            let allowance = broken.map_or(1.0, |_| BROKEN_ALLOWANCE);
            let off = self.doubt(&nodes, h).times(allowance);
            let quiet = Self::quiet(panel, &nodes);
            let hidden = quiet
                .as_ref()
                .is_some_and(|quiet| self.is_contradicted(panel.family, quiet));
            let mut widest = panel.widest;
            if hidden {
                widest = widest.min(HIDDEN_WIDEST);
            }
            if panel.foreign && may_hide(&nodes) {
                widest = widest.min(CLOSE_WIDEST);
            }
            let good = self.is_within(off, 1.0) && 2.0 * h <= widest;
            (good || depth >= MOST_HALVINGS).then_some((off, quiet))
        };
        if let Some((off, quiet)) = over {
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += self.fine(&nodes, k) * h;
            }
            self.error.add(off);
            self.quiet.extend(quiet);
        } else if let Some(mut bracket) = broken.and_then(|i| Bracket::among(&nodes, i)) {
            self.search_break(panel, &mut bracket, sum);
            self.divide(panel, a, bracket.lo, depth + 1, sum);
            self.divide(panel, bracket.hi, b, depth + 1, sum);
        } else {
            // The middle node is an end of both halves.
            let middle = nodes[3];
            self.divide(panel, a, middle, depth + 1, sum);
            self.divide(panel, middle, b, depth + 1, sum);
        }
        self.stack.truncate(first * len);
    }

    /// Follows the five inner rays of a panel, onto the stack, and tells the first two between which there is a break. Where there is one for sure it goes
    /// no farther than that; what then comes after is the last ray.
    fn panel_rays(
        &mut self,
        panel: Panel<'_>,
        a: Node,
        b: Node,
        surely: bool,
    ) -> ([Node; 7], Option<usize>) {
        let len = self.sweep.layout.len();
        let first = self.stack.len() / len;
        self.stack.resize((first + 5) * len, 0.0);
        let (m, h) = (f64::midpoint(a.at, b.at), (b.at - a.at) / 2.0);
        let (alpha, beta) = ((2.0_f64 / 3.0).sqrt(), 1.0 / 5.0_f64.sqrt());
        let mut nodes = [a, b, b, b, b, b, b];
        for (i, x) in [-alpha, -beta, 0.0, beta, alpha].into_iter().enumerate() {
            nodes[i + 1] = self.follow(panel, m + h * x, first + i);
            if surely && nodes[i + 1].trail != a.trail {
                break;
            }
        }
        let broken = nodes
            .windows(2)
            .position(|pair| matches!(pair, [a, b] if a.trail != b.trail));
        (nodes, broken)
    }

    pub(super) fn value(&self, node: &Node, k: usize) -> f64 {
        let len = self.sweep.layout.len();
        self.stack.get(node.slot * len + k).copied().unwrap_or(0.0)
    }

    /// The seven-point rule on −1..1.
    fn fine(&self, nodes: &[Node; 7], k: usize) -> f64 {
        const WEIGHTS: [f64; 7] = [77.0, 432.0, 625.0, 672.0, 625.0, 432.0, 77.0];
        let sum: f64 = nodes
            .iter()
            .zip(WEIGHTS)
            .map(|(node, w)| w * self.value(node, k))
            .sum();
        sum / 1470.0
    }

    /// How far the two rules are apart over a panel of half the width `h`, or what the odd row shows if that is more; less where the sums are seen to be
    /// smooth.
    fn doubt(&self, nodes: &[Node; 7], h: f64) -> Off {
        // The seven-point rule less the four-point one.
        const APART: [f64; 7] = [
            77.0 / 1470.0 - 1.0 / 6.0,
            432.0 / 1470.0,
            625.0 / 1470.0 - 5.0 / 6.0,
            672.0 / 1470.0,
            625.0 / 1470.0 - 5.0 / 6.0,
            432.0 / 1470.0,
            77.0 / 1470.0 - 1.0 / 6.0,
        ];
        // Each column is read once for all four rows; their offs come out as those of `over_layers`.
        let mut rows = [APART, SKEW, LOW_EVEN, LOW_ODD].map(|weights| (weights, Off::default()));
        for layer in 0..self.sweep.layout.layers {
            let k = layer * PER_LAYER;
            let volumes = nodes.each_ref().map(|node| self.value(node, k));
            let moments = nodes.each_ref().map(|node| self.value(node, k + 1));
            for (weights, off) in &mut rows {
                let by = |column: [f64; 7]| -> f64 {
                    column.iter().zip(weights.iter()).map(|(v, w)| w * v).sum()
                };
                off.volume += by(volumes).abs();
                off.moment += by(moments);
            }
        }
        let [apart, skew, even, odd] = rows.map(|(_, off)| Off {
            volume: off.volume * h,
            moment: off.moment.abs() * h,
        });
        let (high, low) = (apart.or_more(skew), even.or_more(odd));
        Off {
            volume: judged(high.volume, low.volume),
            moment: judged(high.moment, low.moment),
        }
    }

    /// An error by the columns of the sums: of the volume, each layer by itself, and of the moment of all.
    pub(super) fn over_layers(&self, of: impl Fn(usize) -> f64) -> Off {
        let mut off = Off::default();
        for layer in 0..self.sweep.layout.layers {
            let k = layer * PER_LAYER;
            off.volume += of(k).abs();
            off.moment += of(k + 1);
        }
        off.moment = off.moment.abs();
        off
    }

    /// What a panel near other families spans of its strip, and with which of them one of its rays has a ridge.
    fn quiet(panel: Panel<'_>, nodes: &[Node; 7]) -> Option<Quiet> {
        if !panel.foreign {
            return None;
        }
        let (a, b) = (panel.parameter(nodes[0].at), panel.parameter(nodes[6].at));
        // At its ends rays may well meet what the panel does not.
        let margin = (b - a) * 0.01;
        Some(Quiet {
            strip: panel.strip,
            span: (a + margin, b - margin),
            ridges: nodes.each_ref().map(|node| node.trail),
        })
    }

    /// Whether another family is known to meet a span in which no ray shows it.
    pub(super) fn is_contradicted(&self, family: usize, quiet: &Quiet) -> bool {
        self.sweep
            .others
            .that_met(family, quiet.strip, quiet.span)
            .any(|other| quiet.ridges.iter().all(|trail| !trail.has_ridge(other)))
    }
}

/// What is believed of an error that rows of high degree show, by what those of low degree do.
fn judged(high: f64, low: f64) -> f64 {
    if low > 0.0 {
        high * (high / low / SMOOTH).clamp(SMOOTH, 1.0)
    } else {
        high
    }
}

/// A span of a strip and the trails of its rays.
pub(super) struct Quiet {
    strip: usize,
    span: (f64, f64),
    ridges: [Trail; 7],
}

/// Whether a ray between two of these may meet another family, as the rays on either side come nearer to it: where what is left runs straight on from the
/// two rays on one side and from the two on the other, it comes to nothing before it turns.
fn may_hide(nodes: &[Node; 7]) -> bool {
    // From a ray toward the next one, where the one before came less near.
    let falling = |before: Option<&Node>, from: &Node| {
        let slope = (from.closest - before?.closest) / (from.at - before?.at).abs();
        (slope.is_finite() && slope < 0.0).then_some(-slope)
    };
    (0..6).any(|i| {
        let (Some(a), Some(b)) = (nodes.get(i), nodes.get(i + 1)) else {
            return false;
        };
        let width = b.at - a.at;
        let left = falling(i.checked_sub(1).and_then(|i| nodes.get(i)), a);
        let right = falling(nodes.get(i + 2), b);
        let (Some(p), Some(q)) = (left.or(right), right.or(left)) else {
            return false;
        };
        // Two straight lines down from either side meet at this height.
        let lowest = match (a.closest.is_finite(), b.closest.is_finite()) {
            (true, true) => (a.closest * q + b.closest * p - p * q * width) / (p + q),
            (true, false) => a.closest - p * width,
            (false, true) => b.closest - q * width,
            (false, false) => return false,
        };
        lowest < 0.0
    })
}
