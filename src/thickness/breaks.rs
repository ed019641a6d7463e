//! Where the trail of the rays changes: the place is closed in on, so that panels end there.
//!
//! Mostly a stretch of the rays comes to nothing there. Two rays on one side of the place foretell it by the lengths of their stretches; where they can't, or
//! have led astray, the bracket is halved. A place at which rays meet another family is one of that family's rays too, and is kept for when these are added.

use super::marks::Ends;
use super::panels::{Node, Off, Panel};
use super::survey::Surveyor;

/// Rays spent on the place of one break.
const BREAK_RAYS: u32 = 50;

/// Share of a panel's error that the place of a break may be off by.
const BREAK_SHARE: f64 = 0.1;

/// Rays on either side of a break, one beside the other as far as they are known.
pub(super) struct Bracket {
    /// Before `lo`, with its trail.
    pub before: Option<Node>,
    pub lo: Node,
    pub hi: Node,
    /// After `hi`, with its trail.
    pub after: Option<Node>,
}

/// A place of a strip at which another family's rays have shown a break.
#[derive(Clone, Copy, Debug)]
pub(super) struct Suspect {
    pub family: usize,
    pub strip: usize,
    pub t: f64,
    /// How far beside it the break may be.
    pub off: f64,
}

impl Bracket {
    /// Around a break between two of a panel's rays.
    pub(super) fn among(nodes: &[Node; 7], lo: usize) -> Option<Self> {
        let (before, after) = (lo.checked_sub(1), lo + 2);
        let (lo, hi) = (*nodes.get(lo)?, *nodes.get(lo + 1)?);
        let beside = |i: Option<usize>, near: Node| {
            let node = nodes.get(i?).copied();
            node.filter(|node| node.trail == near.trail && node.at != near.at)
        };
        Some(Self {
            before: beside(before, lo),
            lo,
            hi,
            after: beside(Some(after), hi),
        })
    }

    fn width(&self) -> f64 {
        self.hi.at - self.lo.at
    }

    /// Where the trail changes, as the rays of one side foretell it: those from which it is less far, compared with how far apart they are.
    fn foretold(&self) -> Option<f64> {
        let by = |far: &Option<Node>, near: &Node| {
            let far = far.as_ref()?;
            let at = Ends::foretell((far.at, &far.ends), (near.at, &near.ends))?;
            (at > self.lo.at && at < self.hi.at).then(|| (at, (at - near.at) / (near.at - far.at)))
        };
        let (one, other) = (by(&self.before, &self.lo), by(&self.after, &self.hi));
        match (one, other) {
            (Some(a), Some(b)) => Some(if a.1 < b.1 { a.0 } else { b.0 }),
            (a, b) => a.or(b).map(|found| found.0),
        }
    }

    /// Takes a ray between the two in.
    fn take(&mut self, node: Node) {
        if node.trail == self.lo.trail {
            self.before = Some(std::mem::replace(&mut self.lo, node));
        } else {
            let alike = node.trail == self.hi.trail;
            let after = std::mem::replace(&mut self.hi, node);
            self.after = alike.then_some(after);
        }
    }

    /// The break as a place of the family that the rays beside it meet.
    fn met(&self) -> Option<Suspect> {
        let middle = f64::midpoint(self.lo.at, self.hi.at);
        let half = self.width() / 2.0;
        let by = |near: &Node, far: Option<Node>| {
            let (met, other) = (near.met?, far?.met?);
            if (met.family, met.strip) != (other.family, other.strip) {
                return None;
            }
            let rate = (met.t - other.t) / (near.at - far?.at);
            Some(Suspect {
                family: met.family,
                strip: met.strip,
                t: met.t + rate * (middle - near.at),
                off: 2.0 * (rate * half).abs(),
            })
        };
        by(&self.hi, Some(self.lo))
            .or_else(|| by(&self.lo, self.before))
            .or_else(|| by(&self.hi, self.after))
    }
}

impl Surveyor<'_> {
    /// Closes in on the place where the trail changes, and adds the little that lies between.
    pub(super) fn search_break(
        &mut self,
        panel: Panel<'_>,
        bracket: &mut Bracket,
        sum: &mut [f64],
    ) {
        let len = self.sweep.layout.len();
        let first = self.stack.len() / len;
        // Room for both sides and for the ray between them.
        self.stack.resize((first + 3) * len, 0.0);
        let mut bent = Off {
            volume: f64::INFINITY,
            moment: f64::INFINITY,
        };
        let mut astray = 0;
        for _ in 0..BREAK_RAYS {
            let (lo, hi, width) = (bracket.lo, bracket.hi, bracket.width());
            // Between the two the sums go from one to the other, or have a bend no farther off than the last ray showed.
            let step = self.step(&lo, &hi);
            if self.is_within(step.or_more(bent).times(width), BREAK_SHARE) {
                break;
            }
            let foretold = bracket.foretold().filter(|_| astray < 2);
            let at = foretold.map_or_else(
                || f64::midpoint(lo.at, hi.at),
                |at| self.beside(at, (lo.at, hi.at), step),
            );
            let free = (first..first + 3).find(|slot| *slot != lo.slot && *slot != hi.slot);
            let node = self.follow(panel, at, free.unwrap_or(first));
            bent = self.bend(&lo, &node, &hi);
            bracket.take(node);
            // What was foretold is believed as long as it brings the two nearer than halving would; the first time it may fall on the nearer side.
            astray = if foretold.is_some() && bracket.width() > width / 2.0 {
                astray + 1
            } else {
                0
            };
        }
        let (lo, hi, width) = (bracket.lo, bracket.hi, bracket.width());
        let off = self.step(&lo, &hi).or_more(bent).times(width);
        self.error.add(off);
        for (k, sum) in sum.iter_mut().enumerate() {
            *sum += (self.value(&lo, k) + self.value(&hi, k)) / 2.0 * width;
        }
        if panel.opening.is_none() {
            self.suspects.extend(bracket.met());
        }
    }

    /// A place a little to the farther side of one that was foretold, so that it comes to lie between this ray and the next.
    fn beside(&self, at: f64, (lo, hi): (f64, f64), step: Off) -> f64 {
        let width = hi - lo;
        let most = self.panel_error * BREAK_SHARE;
        // As if the sums had a kink: what it leaves out goes with the square of the width.
        let over = (step.volume.max(step.moment / self.length) * width / most).max(1.0);
        let margin = 0.3 * width / over.sqrt();
        if at - lo > hi - at {
            (at - margin).max(f64::midpoint(lo, at))
        } else {
            (at + margin).min(f64::midpoint(at, hi))
        }
    }

    /// Adds what lies before the last break of a panel that another family's rays have shown, and returns the ray past that, or the first.
    pub(super) fn known_breaks(
        &mut self,
        panel: Panel<'_>,
        first: Node,
        last: Node,
        sum: &mut [f64],
    ) -> Node {
        let mut known: Vec<Suspect> = self
            .suspects
            .iter()
            .filter(|s| s.family == panel.family && s.strip == panel.strip)
            .filter(|s| s.t - 2.0 * s.off > first.at && s.t + 2.0 * s.off < last.at)
            .copied()
            .collect();
        known.sort_by(|a, b| a.t.total_cmp(&b.t));
        let len = self.sweep.layout.len();
        let mut from = first;
        for suspect in known {
            if suspect.t - suspect.off <= from.at {
                continue;
            }
            let slot = self.stack.len() / len;
            self.stack.resize((slot + 2) * len, 0.0);
            let lo = self.follow(panel, suspect.t - suspect.off, slot);
            let hi = self.follow(panel, suspect.t + suspect.off, slot + 1);
            if lo.trail == hi.trail {
                continue;
            }
            let mut bracket = Bracket {
                before: Some(from).filter(|from| from.trail == lo.trail),
                lo,
                hi,
                after: Some(last).filter(|last| last.trail == hi.trail),
            };
            self.search_break(panel, &mut bracket, sum);
            self.divide(panel, from, bracket.lo, 0, sum);
            from = bracket.hi;
        }
        from
    }

    fn step(&self, lo: &Node, hi: &Node) -> Off {
        self.over_layers(|k| self.value(hi, k) - self.value(lo, k))
    }

    /// How far a kink in the sums takes them off a straight line over what a new ray leaves of a bracket, as that ray lies off the straight line between the
    /// two others: where the kink is far from the ray it shows little of it.
    fn bend(&self, lo: &Node, new: &Node, hi: &Node) -> Off {
        let share = (new.at - lo.at) / (hi.at - lo.at);
        let shown = if new.trail == lo.trail {
            share
        } else {
            1.0 - share
        };
        self.over_layers(|k| {
            let (a, b) = (self.value(lo, k), self.value(hi, k));
            (self.value(new, k) - (a + (b - a) * share)) / shown
        })
    }
}
