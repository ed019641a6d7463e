//! The bench a plan is worked out on: the knife weighed and measured once, and the scale every plan is proven on.

use std::cell::OnceCell;

use super::demand::{Demand, Wanted, Weight};
use super::field::{Field, Hole, cut};
use super::ground::{Ground, improve};
use super::packing::{SPARE_HOLES, Sizes, best_by_count};
use super::plan::NoPlan;
use super::rules::PlanRules;
use super::strip::{COARSE_STEP_MM, STEP_MM, Strip};
use super::sums::Sums;
use super::tune::Tuner;
use crate::knife::{CutShape, Knife, KnifeSet, Taper};
use crate::strength::{StrengthBench, StrengthOptions};
use crate::thickness::GroundBlade;
use crate::weighing::{Scale, WeighUp, opening_taken, weigh};

/// A plan before it is told: what to cut or grind, and what the scale said.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Draft {
    pub shapes: Vec<CutShape>,
    pub taper: Option<Taper>,
    pub weight: Weight,
}

pub(super) struct Bench<'a> {
    pub knife: &'a Knife,
    pub set: &'a KnifeSet,
    pub rules: &'a PlanRules,
    pub field: Field<'a>,
    pub strip: Strip,
    pub ground: Ground,
    pub now: Weight,
    up: WeighUp,
    scale: Scale,
    blade: GroundBlade,
    keep_going: &'a dyn Fn() -> bool,
    /// As far as holes go backward and forward, or to less mass, once it was asked.
    far: [OnceCell<Option<Draft>>; 2],
    /// Highest net stress of the tang as it is.
    stress: Option<(f64, f64)>,
}

/// How hard holes are looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Search {
    /// Single holes that bring most, slid inward.
    Quick,
    /// Where that does not meet it, any sum of holes.
    Sums,
    /// Columns of several holes too, and where they do not bring enough, the fullest packing there is.
    Full,
}

impl Search {
    fn rows(self) -> usize {
        match self {
            Self::Quick | Self::Sums => 1,
            Self::Full => 3,
        }
    }
}

/// Near enough, mm or g: the last digit that is shown.
const NEAR: f64 = 0.005;

impl<'a> Bench<'a> {
    /// The drills whose holes have room with their webs, in the same order.
    pub(super) fn fitting(&self, drills: &[f64]) -> Vec<f64> {
        let widest = self.strip.widest;
        drills.iter().copied().filter(|d| *d <= widest).collect()
    }

    pub(super) fn new(
        knife: &'a Knife,
        set: &'a KnifeSet,
        rules: &'a PlanRules,
        keep_going: &'a dyn Fn() -> bool,
    ) -> Result<Self, NoPlan> {
        let mut scale = Scale::default();
        let up = scale.weigh(knife, set);
        let Some(total) = up.total else {
            return Err(NoPlan::NotWeighed {
                reason: up
                    .missing
                    .first()
                    .map(ToString::to_string)
                    .unwrap_or_default(),
            });
        };
        let blade = scale.blade().cloned().ok_or(NoPlan::NotWeighed {
            reason: String::new(),
        })?;
        let field = Field::new(knife, set, &scale, &up, rules);
        let strip = Strip::new(&field, STEP_MM);
        let ground = Ground::new(&field, rules.smallest());
        let mut bench = Self {
            knife,
            set,
            rules,
            field,
            strip,
            ground,
            now: (total.mass_g, total.balance_mm),
            up,
            scale,
            blade,
            keep_going,
            far: [const { OnceCell::new() }; 2],
            stress: None,
        };
        let own = (bench.knife, &bench.up, &bench.blade);
        bench.stress = bench.strength(own, |own| own.tang_stress(&[]));
        Ok(bench)
    }

    /// Whether to go on.
    ///
    /// # Errors
    /// Whoever asked no longer wants to know.
    pub(super) fn go_on(&self) -> Result<(), NoPlan> {
        if (self.keep_going)() {
            Ok(())
        } else {
            Err(NoPlan::Stopped)
        }
    }

    pub(super) fn diameters(&self) -> Vec<f64> {
        self.rules.drills.iter().map(|d| d.diameter_mm).collect()
    }

    /// What the finished knife weighs with openings cut; `None` where they can't be counted.
    ///
    /// Openings that keep their webs take each its own steel and put back each its own filling, and nothing else of the knife changes: what they
    /// take is summed, not weighed anew with all there is.
    pub(super) fn weighed(&self, shapes: &[CutShape]) -> Option<Weight> {
        let filling = self.rules.filling.material();
        let density = match filling {
            Some(key) => self.set.material(key)?.density_g_cm3 * 1e-3,
            None => 0.0,
        };
        let (mut mass, mut moment) = (self.now.0, self.now.0 * self.now.1);
        for shape in shapes {
            let taken = opening_taken(&self.scale, shape)?;
            let filled = taken.volume_mm3 * density;
            mass -= taken.mass_g - filled;
            moment -= taken.mass_g * taken.x_mm - filled * taken.middle_x_mm;
        }
        (mass > 0.0).then(|| (mass, moment / mass))
    }

    /// What the scale says of the knife made by a draft.
    pub(super) fn proven(&self, draft: &Draft) -> Option<Weight> {
        let mut knife = cut(self.knife, &draft.shapes, &self.rules.filling);
        if let Some(taper) = &draft.taper {
            knife.grinding.taper = Some(taper.clone());
        }
        let total = weigh(&knife, self.set).total?;
        Some((total.mass_g, total.balance_mm))
    }

    /// The same for holes.
    pub(super) fn draft(&self, holes: &[Hole]) -> Option<Draft> {
        let mut holes = holes.to_vec();
        holes.sort_by(|a, b| b.at.x.total_cmp(&a.at.x).then(b.at.y.total_cmp(&a.at.y)));
        let shapes: Vec<CutShape> = holes.iter().map(Hole::shape).collect();
        let weight = self.weighed(&shapes)?;
        Some(Draft {
            shapes,
            taper: None,
            weight,
        })
    }

    /// What a question about strength has as its answer, for a knife and its weigh-up.
    fn strength<T>(
        &self,
        (knife, up, blade): (&Knife, &WeighUp, &GroundBlade),
        ask: impl FnOnce(&StrengthBench<'_>) -> Option<T>,
    ) -> Option<T> {
        let options = StrengthOptions::default();
        let index = &self.field.index;
        ask(&StrengthBench::new(knife, up, blade, index, &options).ok()?)
    }

    /// What a draft leaves of the strength: see [`super::Plan::strength_kept`] and [`super::Plan::stress_kept`].
    pub(super) fn kept(&self, draft: &Draft) -> (Option<f64>, Option<f64>) {
        let own = (self.knife, &self.up, &self.blade);
        let Some(taper) = &draft.taper else {
            let sections = self.strength(own, |bench| bench.sections_kept(&draft.shapes));
            let stress = self.strength(own, |bench| bench.tang_stress(&draft.shapes));
            return (sections, self.stress_left(stress));
        };
        let mut knife = self.knife.clone();
        knife.grinding.taper = Some(taper.clone());
        let mut scale = Scale::default();
        let up = scale.weigh(&knife, self.set);
        let Some(blade) = scale.blade() else {
            return (None, None);
        };
        let thin = (&knife, &up, blade);
        let sections = self.strength(own, |before| {
            self.strength(thin, |after| before.sections_kept_by(after))
        });
        let stress = self.strength(thin, |bench| bench.tang_stress(&[]));
        (sections, self.stress_left(stress))
    }

    /// The tang's highest stress without a draft over that with it, at most 1.
    fn stress_left(&self, after: Option<(f64, f64)>) -> Option<f64> {
        let (before, after) = (self.stress?, after?);
        Some((before.0 / after.0).min(before.1 / after.1).min(1.0))
    }

    /// The share of its weakest section that a draft of openings leaves.
    pub(super) fn sections_kept(&self, draft: &Draft) -> Option<f64> {
        let own = (self.knife, &self.up, &self.blade);
        self.strength(own, |bench| bench.sections_kept(&draft.shapes))
    }

    /// Steel a packing takes, g, by the field.
    fn taken(&self, holes: &[Hole]) -> f64 {
        holes
            .iter()
            .map(|h| self.field.per_mm2(h.at.x) * h.area())
            .sum()
    }

    fn within_limit(&self, holes: &[Hole]) -> bool {
        self.rules
            .most_removed_g
            .is_none_or(|most| self.taken(holes) <= most)
    }

    /// Packings by drills, the best for each number of holes.
    pub(super) fn packings(&self, demand: &Demand, drills: &[f64], rows: usize) -> Vec<Vec<Hole>> {
        let sizes = Sizes::new(&self.strip, drills);
        let most = self.rules.most_holes;
        let mut all = best_by_count(&self.field, &self.strip, demand, &sizes, most, rows);
        all.retain(|holes| !holes.is_empty() && self.within_limit(holes));
        all
    }

    /// The packing that brings most.
    pub(super) fn fullest(&self, demand: &Demand, drills: &[f64]) -> Vec<Hole> {
        let mut all = self.packings(demand, drills, 3);
        let best = all.pop().unwrap_or_default();
        let (field, ground) = (&self.field, &self.ground);
        let most = self.rules.most_holes;
        let full = improve(
            field,
            ground,
            demand,
            drills,
            most,
            best.clone(),
            self.keep_going,
        );
        let alone = improve(
            field,
            ground,
            demand,
            drills,
            most,
            Vec::new(),
            self.keep_going,
        );
        let worth = |holes: &[Hole]| demand.worth_of(field, holes);
        [full, alone]
            .into_iter()
            .filter(|holes| self.within_limit(holes))
            .fold(best, |a, b| if worth(&b) > worth(&a) { b } else { a })
    }

    /// The draft with the fewest holes of these drills that brings what is wanted, or the nearest to it that the search finds.
    pub(super) fn fewest(
        &self,
        demand: &Demand,
        drills: &[f64],
        search: Search,
    ) -> Result<Option<Draft>, NoPlan> {
        let packings = self.packings(demand, drills, search.rows());
        // What the field tells is near, not exact.
        const SHORT: f64 = 0.995;
        let enough =
            |holes: &Vec<Hole>| demand.worth_of(&self.field, holes) >= SHORT * demand.amount;
        let first = packings.iter().position(enough);
        let mut starts: Vec<Vec<Hole>> = match first {
            // For a mass no hole can be slid: what comes nearest may be made of more holes.
            Some(first) if !demand.has_lever() => packings.iter().skip(first).cloned().collect(),
            Some(first) => packings
                .iter()
                .skip(first)
                .take(SPARE_HOLES)
                .cloned()
                .collect(),
            None => packings.last().cloned().into_iter().collect(),
        };
        let mut best = self.nearest_of(demand, drills, &starts)?;
        let met = |d: &Draft| demand.off(d.weight).abs() <= NEAR;
        if search != Search::Quick && first.is_some() && !best.as_ref().is_some_and(met) {
            let more = self.by_sums(demand, drills)?;
            best = nearer(demand, best, more);
        }
        if search == Search::Full && !best.as_ref().is_some_and(met) {
            starts = vec![self.fullest(demand, drills)];
            let more = self.nearest_of(demand, drills, &starts)?;
            best = nearer(demand, best, more);
        }
        Ok(best)
    }

    /// The fewest holes on the middle line whose sum comes to what is wanted, or the nearest to it. Unlike a slide this takes every hole to the other
    /// side of what is in its way.
    fn by_sums(&self, demand: &Demand, drills: &[f64]) -> Result<Option<Draft>, NoPlan> {
        let sizes = Sizes::new(&self.strip, drills);
        let Some(mut sums) = Sums::new(&self.field, &self.strip, demand, &sizes) else {
            return Ok(None);
        };
        let met = |d: &Draft| demand.off(d.weight).abs() <= NEAR;
        let most = sizes.drills().first().map_or(0, |smallest| {
            self.strip.most_holes(&self.field, *smallest, 2)
        });
        let mut best = None;
        for _ in 0..self.rules.most_holes.min(most) {
            self.go_on()?;
            sums.deeper();
            let mut starts = sums.nearest();
            starts.retain(|holes| self.within_limit(holes));
            let more = self.nearest_of(demand, drills, &starts)?;
            best = nearer(demand, best, more);
            if best.as_ref().is_some_and(met) {
                break;
            }
        }
        Ok(best)
    }

    fn nearest_of(
        &self,
        demand: &Demand,
        drills: &[f64],
        starts: &[Vec<Hole>],
    ) -> Result<Option<Draft>, NoPlan> {
        let mut best: Option<Draft> = None;
        for start in starts {
            self.go_on()?;
            let draft = self.settled(demand, drills, start);
            best = nearer(demand, best, draft);
            if best
                .as_ref()
                .is_some_and(|b| demand.off(b.weight).abs() <= NEAR)
            {
                break;
            }
        }
        Ok(best)
    }

    /// A packing tuned, weighed, and tuned again by what the scale said.
    fn settled(&self, demand: &Demand, drills: &[f64], start: &[Hole]) -> Option<Draft> {
        const ROUNDS: usize = 4;
        let tuner = Tuner::new(&self.field, demand, drills, start);
        let mut ask = demand.amount;
        let mut best: Option<Draft> = None;
        for _ in 0..ROUNDS {
            let holes = tuner.tuned(ask);
            let model = demand.worth_of(&self.field, &holes);
            let draft = self.draft(&holes)?;
            let brought = demand.brought(self.now, draft.weight);
            let near = demand.off(draft.weight).abs() <= NEAR / 10.0;
            best = nearer(demand, best, Some(draft));
            if near || brought <= 0.0 || model <= 0.0 {
                break;
            }
            ask = demand.amount * model / brought;
        }
        best
    }

    /// As far as holes can go one way, counted from the balance the knife has.
    pub(super) fn farthest(&self, way: &Demand) -> Result<Option<Draft>, NoPlan> {
        let [back, forward] = &self.far;
        let known = if way.is_forward() { forward } else { back };
        if let Some(far) = known.get() {
            return Ok(far.clone());
        }
        let far = self.as_far_as_goes(&way.as_from_now(self.now))?;
        Ok(known.get_or_init(|| far).clone())
    }

    fn as_far_as_goes(&self, way: &Demand) -> Result<Option<Draft>, NoPlan> {
        const ROUNDS: usize = 3;
        let drills = self.diameters();
        let mut demand = *way;
        // What a hole brings depends on the balance that is reached in the end: it is found by columns.
        for _ in 0..ROUNDS {
            self.go_on()?;
            let packing = self.packings(&demand, &drills, 3).pop().unwrap_or_default();
            let Some(draft) = self.draft(&packing) else {
                break;
            };
            match demand.wanted {
                Wanted::BalanceMm(mm) if (draft.weight.1 - mm).abs() > 0.01 => {
                    demand = demand.as_from_now(draft.weight);
                }
                _ => break,
            }
        }
        let full = self.fullest(&demand, &drills);
        Ok(if full.is_empty() {
            None
        } else {
            self.draft(&full)
        })
    }
}

/// What is left out of a knife to see whether it is in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Without {
    Nothing,
    /// Openings that are there, and the guard.
    Openings,
    Flaws,
}

/// The draft that comes nearer to what is wanted; of two as near the one with fewer openings.
pub(super) fn nearer(demand: &Demand, a: Option<Draft>, b: Option<Draft>) -> Option<Draft> {
    let (Some(x), Some(y)) = (&a, &b) else {
        return a.or(b);
    };
    let off = |d: &Draft| demand.off(d.weight).abs().max(NEAR);
    let order = off(x).total_cmp(&off(y));
    if order.then(x.shapes.len().cmp(&y.shapes.len())).is_le() {
        a
    } else {
        b
    }
}

impl Bench<'_> {
    /// The most that columns of holes could bring by other rules, or were something of the knife not there.
    pub(super) fn most_by(&self, rules: &PlanRules, without: Without, demand: &Demand) -> f64 {
        let mut knife = self.knife.clone();
        match without {
            Without::Nothing => {}
            Without::Openings => {
                knife.cut_outs.clear();
                knife.rows.clear();
                knife.guard = None;
            }
            Without::Flaws => knife.flaws.clear(),
        }
        let field = Field::new(&knife, self.set, &self.scale, &self.up, rules);
        most_by_columns(&field, demand)
    }
}

fn most_by_columns(field: &Field<'_>, demand: &Demand) -> f64 {
    let strip = Strip::new(field, COARSE_STEP_MM);
    let drills: Vec<f64> = field.rules.drills.iter().map(|d| d.diameter_mm).collect();
    let sizes = Sizes::new(&strip, &drills);
    let most = field.rules.most_holes;
    let mut all = best_by_count(field, &strip, demand, &sizes, most, 3);
    let limit = field.rules.most_removed_g;
    let taken =
        |holes: &[Hole]| -> f64 { holes.iter().map(|h| field.per_mm2(h.at.x) * h.area()).sum() };
    all.retain(|holes| limit.is_none_or(|most| taken(holes) <= most));
    all.last()
        .map_or(0.0, |holes| demand.worth_of(field, holes))
}
