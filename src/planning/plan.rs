//! The plans: several ways to a wanted balance or mass, each proven on the scale.

use super::bench::{Bench, Draft, Search, nearer};
use super::demand::{Demand, Wanted};
use super::field::cut;
use super::row::even_row;
use super::rules::{PlanRules, UsableDrill};
use super::slot::slots;
use super::stops::{Stop, what_stops};
use super::taper::{End, tapered};
use crate::knife::{CutShape, Knife, KnifeSet, Taper};

/// A wanted number is reached within this, mm or g.
pub const WITHIN: f64 = 0.1;

/// What is met to this, mm or g, needs no second look.
const EXACT: f64 = 0.01;

/// The way a plan goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PlanKind {
    /// As few holes as do.
    FewestHoles,
    /// Only drills that are at hand.
    OwnDrills,
    /// All holes by one drill.
    OneDrill,
    /// The holes or slots that weaken the tang least.
    MostStrength,
    /// An even row along the middle line.
    EvenRow,
    /// Slots along the middle line.
    Slot,
    /// The tang thinned toward the butt.
    TangTaper,
    /// The blade thinned toward the tip.
    DistalTaper,
}

impl PlanKind {
    /// All kinds, in the order they are shown.
    pub const ALL: [Self; 8] = [
        Self::FewestHoles,
        Self::OwnDrills,
        Self::OneDrill,
        Self::MostStrength,
        Self::EvenRow,
        Self::Slot,
        Self::TangTaper,
        Self::DistalTaper,
    ];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FewestHoles => "fewest holes",
            Self::OwnDrills => "own drills",
            Self::OneDrill => "one drill",
            Self::MostStrength => "most strength",
            Self::EvenRow => "even row",
            Self::Slot => "slot",
            Self::TangTaper => "tang taper",
            Self::DistalTaper => "distal taper",
        }
    }
}

/// One opening of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedCut {
    /// Its shape.
    pub shape: CutShape,
    /// The drill that makes it, or the ends of a slot.
    pub drill: Option<String>,
}

/// One way to what is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Which way.
    pub kind: PlanKind,
    /// What to cut, from the shoulder line back.
    pub cuts: Vec<PlannedCut>,
    /// The taper to grind instead, if the plan is one.
    pub taper: Option<Taper>,
    /// Balance of the finished knife then, mm from the shoulder line, as weighed.
    pub balance_mm: f64,
    /// Its mass, g.
    pub mass_g: f64,
    /// How much lighter it becomes, g.
    pub removed_g: f64,
    /// What is left of the strength, 0 to 1: the weakest section's modulus with the plan over that without it, the lesser of edgewise and flatwise. The
    /// weakest section is the one that loses most, each measured against itself: of those the plan's openings lie in, or for a taper of those
    /// from the rear of the hand to the load. `None` where it can't be told.
    pub strength_kept: Option<f64>,
    /// The tang's highest stress in bending before over after, the worse of edgewise and flatwise: 1 while the openings lie where the tang bears little.
    pub stress_kept: Option<f64>,
    /// How far it is off what is wanted, mm or g.
    pub off: f64,
}

impl Plan {
    /// Whether it comes within [`WITHIN`] of what is wanted.
    #[must_use]
    pub fn reaches(&self) -> bool {
        self.off.abs() <= WITHIN
    }
}

/// All plans for one wish.
#[derive(Clone, Debug, PartialEq)]
pub struct Planning {
    /// What was wanted.
    pub wanted: Wanted,
    /// Balance of the finished knife as it is, mm.
    pub balance_mm: f64,
    /// Its mass, g.
    pub mass_g: f64,
    /// The plans, the best first: those that reach it in the order of [`PlanKind::ALL`]; where none does, the nearest first.
    pub plans: Vec<Plan>,
    /// Least and greatest balance, mm, or mass, g, that the rules let the knife have.
    pub reachable: (f64, f64),
    /// What keeps every plan from reaching it; empty when one does.
    pub stopped_by: Vec<Stop>,
}

impl Planning {
    /// Whether any plan reaches what is wanted, or the knife is there already.
    #[must_use]
    pub fn reached(&self) -> bool {
        self.stopped_by.is_empty()
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoPlan {
    /// The wish is no number.
    #[error("that is no balance and no mass: give a number, a mass of more than 0")]
    NoNumber,
    /// The finished knife can't be weighed.
    #[error("the finished knife can't be weighed: {reason}")]
    NotWeighed {
        /// Why, and how to mend it.
        reason: String,
    },
    /// A drill of the rules has no size.
    #[error("a drill of {diameter_mm} mm is none: give drills of more than 0 mm")]
    Drill {
        /// Its diameter, mm.
        diameter_mm: f64,
    },
    /// The filling's material is not in the set.
    #[error("material '{key}' is not in the set: choose one that is")]
    Material {
        /// Its key.
        key: String,
    },
    /// Whoever asked has said to stop.
    #[error("the planning was stopped")]
    Stopped,
}

/// Plans a wish for a knife of a set. The same question always has the same answer. `keep_going` is asked again and again; once it says no, there
/// is no plan.
///
/// # Errors
/// The wish or a rule is no number, the knife can't be weighed, or `keep_going` said no.
pub fn plan(
    knife: &Knife,
    set: &KnifeSet,
    wanted: Wanted,
    rules: &PlanRules,
    keep_going: &dyn Fn() -> bool,
) -> Result<Planning, NoPlan> {
    check(set, wanted, rules)?;
    let bench = Bench::new(knife, set, rules, keep_going)?;
    let demand = Demand::new(wanted, bench.now);
    let mut drafts = drafts(&bench, &demand)?;
    keep_within_limit(&bench, &mut drafts);
    let mut plans: Vec<Plan> = Vec::new();
    for (kind, draft) in drafts {
        bench.go_on()?;
        let Some(plan) = told(&bench, &demand, kind, &draft) else {
            continue;
        };
        let twin = |p: &&mut Plan| p.cuts == plan.cuts && p.taper == plan.taper;
        if plans.iter_mut().find(twin).is_none() {
            plans.push(plan);
        }
    }
    let any = plans.iter().any(Plan::reaches);
    if any {
        plans.retain(Plan::reaches);
        keep_strongest(&mut plans);
    } else {
        plans.sort_by(|a, b| a.off.abs().total_cmp(&b.off.abs()));
    }
    let reachable = reachable(&bench, wanted, &plans)?;
    let there = demand.off(bench.now).abs() <= WITHIN;
    let stopped_by = if any || there {
        Vec::new()
    } else {
        what_stops(&bench, &demand, plans.iter().any(|p| p.taper.is_some()))?
    };
    Ok(Planning {
        wanted,
        balance_mm: bench.now.1,
        mass_g: bench.now.0,
        plans,
        reachable,
        stopped_by,
    })
}

/// The knife as a plan makes it.
#[must_use]
pub fn carried_out(knife: &Knife, plan: &Plan, rules: &PlanRules) -> Knife {
    let shapes: Vec<CutShape> = plan.cuts.iter().map(|c| c.shape.clone()).collect();
    let mut made = cut(knife, &shapes, &rules.filling);
    if let Some(taper) = &plan.taper {
        made.grinding.taper = Some(taper.clone());
    }
    made
}

fn check(set: &KnifeSet, wanted: Wanted, rules: &PlanRules) -> Result<(), NoPlan> {
    match wanted {
        Wanted::BalanceMm(mm) if mm.is_finite() => {}
        Wanted::MassG(g) if g.is_finite() && g > 0.0 => {}
        _ => return Err(NoPlan::NoNumber),
    }
    let bad = |d: &&UsableDrill| !(d.diameter_mm.is_finite() && d.diameter_mm > 0.0);
    if let Some(drill) = rules.drills.iter().chain(&rules.owned).find(bad) {
        return Err(NoPlan::Drill {
            diameter_mm: drill.diameter_mm,
        });
    }
    match rules.filling.material() {
        Some(key) if set.material(key).is_none() => Err(NoPlan::Material {
            key: key.to_owned(),
        }),
        _ => Ok(()),
    }
}

fn diameters(drills: &[UsableDrill]) -> Vec<f64> {
    let mut all: Vec<f64> = drills.iter().map(|d| d.diameter_mm).collect();
    all.sort_by(f64::total_cmp);
    all
}

/// A draft for every kind that has one.
fn drafts(bench: &Bench<'_>, demand: &Demand) -> Result<Vec<(PlanKind, Draft)>, NoPlan> {
    let drills = diameters(&bench.rules.drills);
    let owned = diameters(&bench.rules.owned);
    let mut found: Vec<(PlanKind, Option<Draft>)> = Vec::new();
    if bench.field.is_open() {
        let fewest = bench.fewest(demand, &drills, Search::Sums)?;
        let met = fewest
            .as_ref()
            .is_some_and(|d| demand.off(d.weight).abs() <= EXACT);
        let fewest = if met {
            fewest
        } else {
            let more = bench.fewest(demand, &drills, Search::Full)?;
            let best = nearer(demand, fewest, more);
            let best = by_smaller_drills(bench, demand, &drills, best)?;
            let short = best
                .as_ref()
                .is_none_or(|d| demand.off(d.weight).abs() > WITHIN);
            let far = if short { bench.farthest(demand)? } else { None };
            nearer(demand, best, far)
        };
        found.push((PlanKind::FewestHoles, fewest));
        if !owned.is_empty() {
            let own = bench.fewest(demand, &owned, Search::Full)?;
            found.push((PlanKind::OwnDrills, own));
        }
        let at_hand = if owned.is_empty() { &drills } else { &owned };
        found.push((PlanKind::OneDrill, one_drill(bench, demand, at_hand)?));
        found.push((PlanKind::EvenRow, even_row(bench, demand, at_hand)?));
        if bench.rules.slots {
            found.push((PlanKind::Slot, slots(bench, demand, &drills)?));
        }
        found.push((PlanKind::MostStrength, strongest(bench, demand, &drills)?));
    }
    fewest_first(demand, &mut found);
    if bench.rules.taper {
        found.push((PlanKind::TangTaper, tapered(bench, demand, End::Butt)?));
        found.push((PlanKind::DistalTaper, tapered(bench, demand, End::Tip)?));
    }
    let mut found: Vec<(PlanKind, Draft)> = found
        .into_iter()
        .filter_map(|(kind, draft)| Some((kind, draft?)))
        .filter(|(_, d)| d.taper.is_some() || !d.shapes.is_empty())
        .collect();
    // The knife as it is stands nearer than a plan that overshoots.
    let now = demand.off(bench.now).abs();
    found.retain(|(_, d)| demand.off(d.weight).abs() < now);
    found.sort_by_key(|(kind, _)| PlanKind::ALL.iter().position(|k| k == kind));
    Ok(found)
}

/// Where another plan of round holes does it with fewer than the first, that is the one with the fewest.
fn fewest_first(demand: &Demand, found: &mut [(PlanKind, Option<Draft>)]) {
    let round = |d: &Draft| d.shapes.iter().all(|s| matches!(s, CutShape::Round { .. }));
    let others: Vec<Draft> = found
        .iter()
        .filter_map(|(_, draft)| draft.clone())
        .filter(round)
        .collect();
    if let Some((PlanKind::FewestHoles, first)) = found.first_mut() {
        for other in others {
            *first = nearer(demand, first.take(), Some(other));
        }
    }
}

/// Few drills make coarse steps: where those of all together do not meet it, those without the largest may.
fn by_smaller_drills(
    bench: &Bench<'_>,
    demand: &Demand,
    drills: &[f64],
    mut best: Option<Draft>,
) -> Result<Option<Draft>, NoPlan> {
    const FEW: usize = 6;
    if drills.len() > FEW {
        return Ok(best);
    }
    for n in (1..drills.len()).rev() {
        let met = best
            .as_ref()
            .is_some_and(|d| demand.off(d.weight).abs() <= EXACT);
        if met {
            break;
        }
        bench.go_on()?;
        let smaller = drills.get(..n).unwrap_or(&[]);
        let draft = bench.fewest(demand, smaller, Search::Full)?;
        best = nearer(demand, best, draft);
    }
    Ok(best)
}

fn keep_within_limit(bench: &Bench<'_>, drafts: &mut Vec<(PlanKind, Draft)>) {
    if let Some(most) = bench.rules.most_removed_g {
        drafts.retain(|(_, d)| bench.now.0 - d.weight.0 <= most + 1e-6);
    }
}

/// The drill that does it with the fewest holes; of two the smaller.
fn one_drill(bench: &Bench<'_>, demand: &Demand, drills: &[f64]) -> Result<Option<Draft>, NoPlan> {
    let mut best = None;
    // From the largest down: each smaller one needs more holes, so after the first few there is nothing to gain.
    for d in bench.fitting(drills).into_iter().rev().take(5) {
        bench.go_on()?;
        let draft = bench.fewest(demand, &[d], Search::Sums)?;
        best = nearer(demand, best, draft);
    }
    Ok(best)
}

/// Of packings by smaller and smaller drills the one that keeps most of the tang's strength.
fn strongest(bench: &Bench<'_>, demand: &Demand, drills: &[f64]) -> Result<Option<Draft>, NoPlan> {
    let fitting = bench.fitting(drills);
    let mut best: Option<(f64, Draft)> = None;
    let n = fitting.len();
    let steps = n.min(6);
    for i in 1..=steps {
        bench.go_on()?;
        let cap = fitting.get(..(n * i).div_ceil(steps)).unwrap_or(&[]);
        let Some(draft) = bench.fewest(demand, cap, Search::Quick)? else {
            continue;
        };
        if demand.off(draft.weight).abs() > WITHIN {
            continue;
        }
        let kept = bench.sections_kept(&draft).unwrap_or(0.0);
        if best.as_ref().is_none_or(|b| kept > b.0 + 1e-6) {
            best = Some((kept, draft));
        }
    }
    Ok(best.map(|b| b.1))
}

fn told(bench: &Bench<'_>, demand: &Demand, kind: PlanKind, draft: &Draft) -> Option<Plan> {
    let weight = bench.proven(draft)?;
    let (strength_kept, stress_kept) = bench.kept(draft);
    let all = bench.rules.owned.iter().chain(&bench.rules.drills);
    let label = |shape: &CutShape| {
        let width = match shape {
            CutShape::Round { diameter_mm, .. } => *diameter_mm,
            CutShape::Slot { width_mm, .. } => *width_mm,
            CutShape::Free { .. } => return None,
        };
        let mut all = all.clone();
        all.find(|d| d.diameter_mm == width)
            .map(|d| d.label.clone())
    };
    Some(Plan {
        kind,
        cuts: draft
            .shapes
            .iter()
            .map(|shape| PlannedCut {
                shape: shape.clone(),
                drill: label(shape),
            })
            .collect(),
        taper: draft.taper.clone(),
        balance_mm: weight.1,
        mass_g: weight.0,
        removed_g: bench.now.0 - weight.0,
        strength_kept,
        stress_kept,
        off: demand.off(weight),
    })
}

/// A plan for most strength is told only while no other keeps as much.
fn keep_strongest(plans: &mut Vec<Plan>) {
    let kept = |p: &Plan| p.strength_kept.unwrap_or(0.0);
    let others = plans
        .iter()
        .filter(|p| p.kind != PlanKind::MostStrength && p.taper.is_none());
    let best = others.map(kept).fold(0.0, f64::max);
    plans.retain(|p| p.kind != PlanKind::MostStrength || kept(p) > best + 1e-6);
}

/// The least and the greatest there is to be had, by any means the rules allow.
fn reachable(bench: &Bench<'_>, wanted: Wanted, plans: &[Plan]) -> Result<(f64, f64), NoPlan> {
    let value = |weight: (f64, f64)| match wanted {
        Wanted::BalanceMm(_) => weight.1,
        Wanted::MassG(_) => weight.0,
    };
    let now = value(bench.now);
    let mut ends = (now, now);
    let mut reach = |v: f64| ends = (ends.0.min(v), ends.1.max(v));
    for plan in plans {
        reach(value((plan.mass_g, plan.balance_mm)));
    }
    let from = match wanted {
        Wanted::BalanceMm(_) => Wanted::BalanceMm(bench.now.1),
        Wanted::MassG(_) => wanted,
    };
    let drills = diameters(&bench.rules.drills);
    for sign in [1.0, -1.0] {
        bench.go_on()?;
        let mut far: Vec<Draft> = Vec::new();
        if bench.field.is_open() {
            far.extend(bench.farthest(&Demand::most(from, sign))?);
            if bench.rules.slots {
                far.extend(slots(bench, &Demand::most(from, sign), &drills)?);
            }
        }
        if bench.rules.taper {
            for end in [End::Butt, End::Tip] {
                far.extend(tapered(bench, &Demand::most(from, sign), end)?);
            }
        }
        let most = bench.rules.most_removed_g.unwrap_or(f64::INFINITY);
        far.retain(|d| bench.now.0 - d.weight.0 <= most + 1e-6);
        for draft in far {
            reach(value(draft.weight));
        }
    }
    Ok(ends)
}
