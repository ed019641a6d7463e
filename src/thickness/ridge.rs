//! Where the surfaces of other grinds are lower than those of a ray: up to the ridge between them the ray takes, beyond it theirs do.

use std::cell::Cell;

use kurbo::Point;

use super::blade::GroundBlade;
use super::boxes::passes;
use super::cuts::{Along, NO_STRETCH_MM};
use super::family::Family;
use super::gaps::{Foreign, Sample, dip, look_closer};
use super::marks::{Cut, Mark};
use super::run::Hint;
use super::strip::Source;
use crate::geometry::{NEAR_STEP, root_among};

/// How much lower one of two surfaces must be to be the lower one, mm; below that the earlier family has it.
const TIE_MM: f64 = 1e-12;

/// The other families on a face, asked for their heights along rays.
pub(super) struct Others<'a> {
    blade: &'a GroundBlade,
    /// For each family, where the last foot on it was.
    hints: Vec<Cell<Hint>>,
    samples: Vec<Sample>,
    meets: Vec<f64>,
    /// Where rays have met other families, as places of those.
    met: Vec<Met>,
    /// Whether the last ray that was looked at came upon other surfaces: the next one mostly does, and is not asked whether it stays clear of them.
    met_some: Cell<bool>,
    /// How near the last ray's surfaces came to those of other families without meeting them, mm of height.
    closest: Cell<f64>,
}

/// A place of a family whose rays must meet another family, since one of that family's rays has met it there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Met {
    pub family: usize,
    pub strip: usize,
    pub t: f64,
    /// The family whose ray it was.
    pub by: usize,
}

/// The surface of another family that is the lower one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lower {
    pub family: usize,
    /// A number for its cutter and its chain of strips.
    pub which: u32,
}

impl<'a> Others<'a> {
    pub(super) fn new(blade: &'a GroundBlade) -> Self {
        Self {
            blade,
            hints: vec![Cell::default(); blade.families.len()],
            samples: Vec::new(),
            meets: Vec::new(),
            met: Vec::new(),
            met_some: Cell::new(false),
            closest: Cell::new(f64::INFINITY),
        }
    }

    /// Whether a stretch comes as near to another family as that one's rays reach.
    pub(super) fn are_near(&self, family: &Family, along: &Along<'_>, stretch: (f64, f64)) -> bool {
        family.foreign.iter().any(|&i| {
            self.blade.families.get(i).is_some_and(|other| {
                let ray = along.ray;
                let boxes = other.strip_zones.iter();
                let mut passed = boxes.filter(|zone| passes(ray.foot, ray.n, stretch, zone));
                passed.next().is_some()
                    && (self.met_some.get() || !self.is_clear_of(i, other, along, stretch))
            })
        })
    }

    /// Whether a stretch stays out of another family's reach for sure. The distance from its run changes no faster than the way along the ray, so between
    /// two places it is never below half of what both distances are more than the way.
    fn is_clear_of(
        &self,
        index: usize,
        other: &Family,
        along: &Along<'_>,
        (from, to): (f64, f64),
    ) -> bool {
        let Some(hint) = self.hints.get(index) else {
            return false;
        };
        let distance = |d: f64| {
            let q = along.ray.foot + along.ray.n * d;
            other.run.distance(q, &other.neighbors, hint)
        };
        let clear = |(a, at_a): (f64, f64), (b, at_b): (f64, f64)| {
            (at_a + at_b - (b - a)) / 2.0 > other.depth
        };
        let end = (to, distance(to));
        if end.1 <= other.depth {
            return false;
        }
        let begin = (from, distance(from));
        if clear(begin, end) {
            return true;
        }
        // The rest of the way where the end does not already tell.
        let middle = f64::midpoint((to - (end.1 - other.depth)).max(from), from);
        let middle = (middle, distance(middle));
        clear(begin, middle) && clear(middle, end)
    }

    /// The families whose rays have met a stretch of a strip.
    pub(super) fn that_met(
        &self,
        family: usize,
        strip: usize,
        (a, b): (f64, f64),
    ) -> impl Iterator<Item = usize> + '_ {
        self.met
            .iter()
            .filter(move |m| m.family == family && m.strip == strip && m.t > a && m.t < b)
            .map(|m| m.by)
    }

    /// How near the surfaces of the ray that was followed last came to those of other families, mm of height; what is asked next begins anew.
    pub(super) fn take_closest(&self) -> f64 {
        self.closest.replace(f64::INFINITY)
    }

    /// How often rays have met other families.
    pub(super) fn met_count(&self) -> usize {
        self.met.len()
    }

    /// Where the last ray met another family, if it was after so many others.
    pub(super) fn last_met(&self, since: usize) -> Option<Met> {
        self.met.get(since..)?.last().copied()
    }

    /// Forgets what was met, and where: what comes next must not hang on what was asked before.
    pub(super) fn begin(&mut self) {
        self.met.clear();
        self.met_some.set(false);
        self.hints.fill(Cell::default());
    }

    fn lowest(&self, family: &Family, at: Point, top: f64) -> Option<Foreign> {
        let mut lowest: Option<Foreign> = None;
        for &i in &family.foreign {
            let Some((other, hint)) = self.blade.families.get(i).zip(self.hints.get(i)) else {
                continue;
            };
            if let Some(found) = self.blade.height_in(other, at, top, hint)
                && lowest.is_none_or(|l| found.z < l.z)
            {
                lowest = Some(Foreign {
                    z: found.z,
                    family: i,
                    which: (found.chain << 8) | found.cutter as u32,
                });
            }
        }
        lowest
    }

    /// Adds the cuts at which other families begin or end to act, and at which their surfaces pass those of the ray. Tells whether any of them acts
    /// along the ray at all.
    pub(super) fn find_cuts(
        &mut self,
        (family, own): (&Family, usize),
        along: &Along<'_>,
        cuts: &mut Vec<Cut>,
    ) -> bool {
        let Some((from, to)) = cuts.first().zip(cuts.last()).map(|(a, b)| (a.d, b.d)) else {
            return false;
        };
        self.find_limits(family, along, (from, to), cuts);
        super::cuts::sort(cuts);
        let mut samples = std::mem::take(&mut self.samples);
        let mut met = std::mem::take(&mut self.met);
        samples.clear();
        self.met_some.set(false);
        let (span, closest) = (Cell::new(0), Cell::new(f64::INFINITY));
        let sample = |d: f64| {
            let top = along.top(d);
            let at = (along.ray.foot + along.ray.n * d).to_point();
            let found = self.lowest(family, at, top);
            if found.is_some() {
                self.met_some.set(true);
            }
            // Where the other does not act, the face itself stands for it.
            let z = found.map_or(top, |f| f.z.min(top));
            let own_z = along.own_height(d);
            let open = found.map_or(f64::INFINITY, |f| f.z - own_z);
            closest.set(closest.get().min(open.abs()));
            let gap = z - own_z;
            Sample {
                d,
                gap,
                span: span.get(),
                found,
                open,
            }
        };
        let mut last: Option<Sample> = None;
        let (mut next, count) = (1, cuts.len());
        while next < count {
            let from = next - 1;
            // Where only layers are passed the surfaces go on: what lies before and after is searched as one.
            while next + 1 < count && cuts.get(next).is_some_and(|c| c.mark.is_of_layers()) {
                next += 1;
            }
            let (Some(lo), Some(hi)) = (cuts.get(from), cuts.get(next)) else {
                break;
            };
            next += 1;
            span.set(from);
            closest.set(f64::INFINITY);
            let goes_on = lo.mark.goes_on();
            let (lo, hi) = (lo.d, hi.d);
            let mid = f64::midpoint(lo, hi);
            if hi - lo <= NO_STRETCH_MM || along.lowest(mid).is_none() {
                last = None;
                continue;
            }
            // A little inside, where the surfaces of this stretch act. What goes on smoothly has been asked there before.
            let step = (hi - lo) * 1e-9;
            let known = last.filter(|_| goes_on);
            let begin = known.map_or_else(
                || sample(lo + step),
                |known| Sample {
                    d: lo + step,
                    span: from,
                    ..known
                },
            );
            let end = sample(hi - step);
            let first = samples.len();
            samples.push(begin);
            let middle = sample(mid);
            samples.push(middle);
            if let Some(dip) = dip([begin, middle, end], &sample) {
                let place = if dip.d < mid { 1 } else { 2 };
                samples.insert(first + place, dip);
            }
            samples.push(end);
            look_closer(&mut samples, first, &sample);
            let searched = samples.get(first..).unwrap_or_default();
            if searched.iter().all(|s| (s.gap < 0.0) == (begin.gap < 0.0)) {
                self.closest.set(self.closest.get().min(closest.get()));
            }
            self.add_ridges(searched, own, &sample, cuts, &mut met);
            last = Some(end);
        }
        self.samples = samples;
        self.met = met;
        super::cuts::sort(cuts);
        self.met_some.get()
    }

    /// Adds the cuts at which samples in order have the other surface pass the ray's own, and notes where on the other's run that is.
    fn add_ridges(
        &self,
        samples: &[Sample],
        own: usize,
        sample: &impl Fn(f64) -> Sample,
        cuts: &mut Vec<Cut>,
        met: &mut Vec<Met>,
    ) {
        for k in 1..samples.len() {
            let (Some(before), Some(now)) = (samples.get(k - 1), samples.get(k)) else {
                continue;
            };
            if (before.gap < 0.0) == (now.gap < 0.0) {
                continue;
            }
            let last = Cell::new(None);
            let gap = |d: f64| {
                let now = sample(d);
                last.set(now.found);
                now.gap
            };
            // The third sample beside the two shows how the gap bends.
            let (near, far, third) = match k.checked_sub(2) {
                Some(i) => (before, now, samples.get(i)),
                None => (now, before, samples.get(k + 1)),
            };
            let at = |s: &Sample| (s.d, s.gap);
            // The sums on either side go on from one to the other there: what they are off goes with the square of what the ridge is.
            let Some(d) = root_among(at(near), at(far), third.map(at), NEAR_STEP, &gap) else {
                continue;
            };
            cuts.push(Cut {
                d,
                mark: Mark::RIDGE,
            });
            if let Some(found) = last.get()
                && let Some(hint) = self.hints.get(found.family)
            {
                let Hint { strip, t } = hint.get();
                met.push(Met {
                    family: found.family,
                    strip,
                    t,
                    by: own,
                });
            }
        }
    }

    /// Which surface of another family is the lower one between two neighboring cuts, if not the ray's own; `None` where the ray's own is.
    pub(super) fn lower(
        &self,
        family: &Family,
        own: usize,
        along: &Along<'_>,
        (lo, hi): (f64, f64),
    ) -> Option<Lower> {
        let d = f64::midpoint(lo, hi);
        let (found, lower) = match self.known_about((lo, d, hi)) {
            Some(sample) => (sample.found?, sample.gap < 0.0),
            None => {
                let at = (along.ray.foot + along.ray.n * d).to_point();
                let found = self.lowest(family, at, along.top(d))?;
                let mine = along.own_height(d);
                let lower = if found.family < own {
                    found.z <= mine + TIE_MM
                } else {
                    found.z < mine - TIE_MM
                };
                (found, lower)
            }
        };
        lower.then_some(Lower {
            family: found.family,
            which: (found.which << 4) ^ found.family as u32,
        })
    }

    /// A sample that tells which surface is the lower one at `d` and around it: one within the two cuts, or one of the two beside `d` if they agree,
    /// since there is no ridge between such.
    fn known_about(&self, (lo, d, hi): (f64, f64, f64)) -> Option<&Sample> {
        let tells = |s: &&Sample| s.gap.abs() > 1e-9;
        let after = self.samples.partition_point(|s| s.d < d);
        let (before, after) = (
            after.checked_sub(1).and_then(|i| self.samples.get(i)),
            self.samples.get(after),
        );
        let within = |s: &&Sample| s.d > lo && s.d < hi;
        let inner = [before, after]
            .into_iter()
            .flatten()
            .filter(tells)
            .find(within);
        inner.or_else(|| {
            let (before, after) = (before.filter(tells)?, after.filter(tells)?);
            let alike = before.gap > 0.0 && after.gap > 0.0 && before.span == after.span;
            alike.then_some(before)
        })
    }

    /// Where the ray passes lines at which other families begin or end, and the paths of their fullers: between them a foreign surface comes and
    /// goes once.
    fn find_limits(
        &mut self,
        family: &Family,
        along: &Along<'_>,
        (from, to): (f64, f64),
        cuts: &mut Vec<Cut>,
    ) {
        let ray = along.ray;
        let mut push = |d: f64| {
            if d > from && d < to {
                cuts.push(Cut {
                    d,
                    mark: Mark::NONE,
                });
            }
        };
        for other in family
            .foreign
            .iter()
            .filter_map(|i| self.blade.families.get(*i))
        {
            for (through, across) in &other.limits {
                push((*through - ray.foot).dot(*across) / ray.n.dot(*across));
            }
            if other.run.round_ends {
                // Beyond the ends of a path its channel comes nearest where the ray passes the end.
                for strip in &other.run.strips {
                    if let Source::Fan { corner, .. } = strip.source {
                        push((corner - ray.foot).dot(ray.n));
                    }
                }
                self.meets.clear();
                other.run.meets(ray, &mut self.meets);
                self.meets.iter().copied().for_each(&mut push);
            }
        }
    }
}
