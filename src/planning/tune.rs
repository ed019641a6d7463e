//! How to bring a packing that does too much down to exactly what is wanted: holes slid toward where they bring less, smaller drills, and where
//! that does not meet it, the choice of drills that comes nearest.

use std::cell::OnceCell;

use super::demand::Demand;
use super::field::{Field, Hole};

/// Holes that are changed together: one alone, or a column where the plan keeps even about the middle line.
type Group = Vec<usize>;

/// Step of the slide, mm.
const SLIDE_MM: f64 = 0.25;

/// Most steps of one slide: 500 mm.
const MOST_STEPS: u32 = 2_000;

/// What is met is met to this share of it.
const MET: f64 = 1e-9;

/// A packing that may be tuned to one amount after another.
pub(super) struct Tuner<'a> {
    field: &'a Field<'a>,
    demand: Demand,
    drills: &'a [f64],
    start: &'a [Hole],
    /// The sums of its holes by other drills, once they are asked for.
    choices: OnceCell<Option<Choices>>,
}

impl<'a> Tuner<'a> {
    pub(super) fn new(
        field: &'a Field<'a>,
        demand: &Demand,
        drills: &'a [f64],
        start: &'a [Hole],
    ) -> Self {
        Self {
            field,
            demand: *demand,
            drills,
            start,
            choices: OnceCell::new(),
        }
    }

    /// The holes changed so that they bring an amount, as near as can be; those that bring too little stay as they are.
    pub(super) fn tuned(&self, amount: f64) -> Vec<Hole> {
        let demand = self.demand.with_amount(amount);
        let tuned = |holes: &[Hole]| Tuned {
            field: self.field,
            demand: &demand,
            drills: self.drills,
            holes: holes.to_vec(),
        };
        let chosen = |over: bool| {
            let mut chosen = tuned(self.start);
            let choices = self.choices.get_or_init(|| Choices::new(&chosen));
            if let Some(choices) = choices {
                choices.take(&mut chosen, over);
            }
            chosen
        };
        let mut first = tuned(self.start);
        if first.spare() <= 0.0 {
            return first.holes;
        }
        first.drop_spare();
        if !demand.has_lever() {
            return nearer(first, chosen(false)).holes;
        }
        // Where sliding alone does it, no drill needs to be changed.
        let mut slid = tuned(&first.holes);
        slid.slide();
        if slid.met() {
            return slid.holes;
        }
        let mut shrunk = tuned(&first.holes);
        shrunk.shrink();
        shrunk.slide();
        if shrunk.met() {
            return shrunk.holes;
        }
        // As many holes, none left out.
        let mut all = tuned(self.start);
        all.shrink();
        all.slide();
        if all.met() {
            return all.holes;
        }
        let mut over = chosen(true);
        over.slide();
        let best = nearer(
            nearer(nearer(slid, shrunk), all),
            nearer(over, chosen(false)),
        );
        best.holes
    }
}

/// What comes nearer to the demand.
fn nearer<'a>(a: Tuned<'a>, b: Tuned<'a>) -> Tuned<'a> {
    if b.spare().abs() < a.spare().abs() {
        b
    } else {
        a
    }
}

struct Tuned<'a> {
    field: &'a Field<'a>,
    demand: &'a Demand,
    drills: &'a [f64],
    holes: Vec<Hole>,
}

impl Tuned<'_> {
    /// How much more than wanted they bring.
    fn spare(&self) -> f64 {
        self.demand.worth_of(self.field, &self.holes) - self.demand.amount
    }

    fn met(&self) -> bool {
        self.spare().abs() <= MET * self.demand.amount
    }

    fn worth(&self, hole: &Hole) -> f64 {
        self.demand.worth(self.field, hole)
    }

    fn groups(&self) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        for (i, hole) in self.holes.iter().enumerate() {
            let same = |g: &&mut Group| {
                let first = g.first().and_then(|j| self.holes.get(*j));
                first.is_some_and(|f| f.at.x == hole.at.x)
            };
            match groups.iter_mut().find(same) {
                Some(group) if self.field.rules.symmetric => group.push(i),
                _ => groups.push(vec![i]),
            }
        }
        groups
    }

    fn worth_of(&self, group: &Group) -> f64 {
        let holes = group.iter().filter_map(|i| self.holes.get(*i));
        holes.map(|h| self.worth(h)).sum()
    }

    /// Leaves out whole groups that are not needed, those that bring most of what is spare first.
    fn drop_spare(&mut self) {
        loop {
            let spare = self.spare();
            let groups = self.groups();
            let needless = groups
                .iter()
                .map(|g| (self.worth_of(g), g))
                .filter(|(worth, _)| *worth <= spare)
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, group)) = needless else { return };
            let gone = group.clone();
            let mut i = 0;
            self.holes.retain(|_| {
                i += 1;
                !gone.contains(&(i - 1))
            });
        }
    }

    /// Takes smaller drills while enough is left, the change that takes most first.
    fn shrink(&mut self) {
        // Each round makes a group's drill smaller, so there are no more than all drills of all holes.
        for _ in 0..self.drills.len() * self.holes.len().max(1) {
            let spare = self.spare();
            let mut best: Option<(f64, Group, f64)> = None;
            for group in self.groups() {
                let worth = self.worth_of(&group);
                let Some(d) = group.first().and_then(|i| self.holes.get(*i)).map(|h| h.d) else {
                    continue;
                };
                for smaller in self.drills.iter().filter(|s| **s < d) {
                    let less = worth * (1.0 - smaller * smaller / (d * d));
                    if less <= spare && best.as_ref().is_none_or(|b| less > b.0) {
                        best = Some((less, group.clone(), *smaller));
                    }
                }
            }
            let Some((_, group, d)) = best else { return };
            for i in group {
                if let Some(hole) = self.holes.get_mut(i) {
                    hole.d = d;
                }
            }
        }
    }

    /// Slides group after group inward, those that bring least for their mass first, until what is spare is gone.
    fn slide(&mut self) {
        let mut groups = self.groups();
        let lever = |t: &Self, g: &Group| {
            let x = g.first().and_then(|i| t.holes.get(*i)).map(|h| h.at.x);
            x.map_or(0.0, |x| t.demand.lever(x))
        };
        groups.sort_by(|a, b| lever(self, a).total_cmp(&lever(self, b)));
        for group in groups {
            if self.spare() <= 0.0 || self.met() {
                return;
            }
            self.slide_one(&group);
        }
    }

    fn slide_one(&mut self, group: &Group) {
        let before = self.holes.clone();
        let mut far: Option<Vec<Hole>> = None;
        let mut last = 0.0;
        for step in 1..=MOST_STEPS {
            let by = f64::from(step) * SLIDE_MM;
            let Some(moved) = self.moved(&before, group, by) else {
                break;
            };
            let spare = self.demand.worth_of(self.field, &moved) - self.demand.amount;
            if spare <= 0.0 {
                if let Some(exact) = self.exact(&before, group, (last, by)) {
                    far = Some(exact);
                }
                break;
            }
            if self.group_fits(&moved, group) {
                far = Some(moved);
            }
            last = by;
        }
        if let Some(far) = far {
            self.holes = far;
        }
    }

    /// Between two slides, the one after which nothing is spare, by halving; `None` where it does not fit.
    fn exact(
        &self,
        before: &[Hole],
        group: &Group,
        (mut low, mut high): (f64, f64),
    ) -> Option<Vec<Hole>> {
        for _ in 0..40 {
            let by = f64::midpoint(low, high);
            let moved = self.moved(before, group, by)?;
            if self.demand.worth_of(self.field, &moved) > self.demand.amount {
                low = by;
            } else {
                high = by;
            }
        }
        let moved = self.moved(before, group, f64::midpoint(low, high))?;
        self.group_fits(&moved, group).then_some(moved)
    }

    /// The holes with a group moved inward; each keeps its share of the way up the tang.
    fn moved(&self, holes: &[Hole], group: &Group, by: f64) -> Option<Vec<Hole>> {
        let mut moved = holes.to_vec();
        for i in group {
            let hole = moved.get_mut(*i)?;
            let (low, high) = self.field.index.depth_at(hole.at.x)?;
            let share = (hole.at.y - low) / (high - low);
            hole.at = self
                .field
                .place(hole.at.x - self.demand.outward(self.field) * by, share)?;
        }
        Some(moved)
    }

    fn group_fits(&self, holes: &[Hole], group: &Group) -> bool {
        let own = group.iter().filter_map(|i| Some((*i, holes.get(*i)?)));
        own.into_iter()
            .all(|(i, hole)| self.field.fits(hole, holes, Some(i)))
    }

    /// None, its own drill and all smaller ones for a group, with what it then brings.
    fn drills_for(&self, group: &Group) -> Vec<(Option<f64>, f64)> {
        let worth = self.worth_of(group);
        let own = group
            .first()
            .and_then(|i| self.holes.get(*i))
            .map_or(0.0, |h| h.d);
        let mut all = vec![(Some(own), worth), (None, 0.0)];
        let smaller = self.drills.iter().filter(|d| **d < own);
        all.extend(smaller.map(|d| (Some(*d), worth * d * d / (own * own))));
        all
    }
}

/// What a packing brings with other drills, or with some of its holes left out: every sum that can be made.
///
/// The sums are kept on a scale of [`SHARES`] steps or [`SLID_SHARES`], one for each step, group after group (the knapsack of R. Bellman, Dynamic Programming, 1957).
struct Choices {
    groups: Vec<Group>,
    /// For each group the sums before it; those of all of them last.
    rounds: Vec<Vec<Option<Sum>>>,
}

impl Choices {
    fn new(start: &Tuned<'_>) -> Option<Self> {
        let whole = start.demand.worth_of(start.field, &start.holes);
        if whole <= 0.0 || !start.demand.amount.is_finite() {
            return None;
        }
        let shares = if start.demand.has_lever() {
            SLID_SHARES
        } else {
            SHARES
        };
        let per_step = shares as f64 / whole;
        let groups = start.groups();
        let mut rounds: Vec<Vec<Option<Sum>>> = Vec::new();
        let mut sums: Vec<Option<Sum>> = vec![None; shares + 2];
        if let Some(first) = sums.first_mut() {
            *first = Some(Sum::default());
        }
        for group in &groups {
            let next = with_group(&sums, &start.drills_for(group), per_step);
            rounds.push(std::mem::replace(&mut sums, next));
        }
        rounds.push(sums);
        Some(Self { groups, rounds })
    }

    /// Takes the drills whose sum comes nearest to what is asked for, or is nearest over it.
    fn take(&self, tuned: &mut Tuned<'_>, over: bool) {
        let off = |total: f64| {
            let spare = total - tuned.demand.amount;
            if over && spare < 0.0 {
                f64::INFINITY
            } else {
                spare.abs()
            }
        };
        let sums = self.rounds.last().into_iter().flatten().enumerate();
        let best = sums
            .filter_map(|(i, sum)| Some((i, off((*sum)?.total))))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((mut at, _)) = best.filter(|b| b.1.is_finite()) else {
            return;
        };
        let mut left_out = Vec::new();
        for (group, sums) in self.groups.iter().zip(self.rounds.iter().skip(1)).rev() {
            let Some(sum) = sums.get(at).copied().flatten() else {
                return;
            };
            for i in group {
                match (sum.drill, tuned.holes.get_mut(*i)) {
                    (Some(d), Some(hole)) => hole.d = d,
                    _ => left_out.push(*i),
                }
            }
            at = sum.from;
        }
        let mut i = 0;
        tuned.holes.retain(|_| {
            i += 1;
            !left_out.contains(&(i - 1))
        });
    }
}

/// All sums with one more group, the first that was found on each step.
fn with_group(
    sums: &[Option<Sum>],
    options: &[(Option<f64>, f64)],
    per_step: f64,
) -> Vec<Option<Sum>> {
    let mut next: Vec<Option<Sum>> = vec![None; sums.len()];
    for (from, sum) in sums.iter().enumerate() {
        let Some(sum) = sum else { continue };
        for (drill, worth) in options {
            let total = sum.total + worth;
            // Rounded; what is less than nothing counts as nothing.
            let step = (total * per_step + 0.5) as usize;
            if let Some(slot) = next.get_mut(step)
                && slot.is_none()
            {
                *slot = Some(Sum {
                    total,
                    from,
                    drill: *drill,
                });
            }
        }
    }
    next
}

/// Steps of the scale on which sums are told apart: a two thousandth of all the holes bring.
const SHARES: usize = 2_000;

/// The same where a slide makes up for the rest.
const SLID_SHARES: usize = 400;

/// A sum that can be made.
#[derive(Clone, Copy, Default)]
struct Sum {
    total: f64,
    from: usize,
    drill: Option<f64>,
}
