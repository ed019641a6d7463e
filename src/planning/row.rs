//! An even row: holes of one drill in even steps along the middle line of the tang.

use super::bench::{Bench, Draft, nearer};
use super::demand::Demand;
use super::field::{Field, Hole, SPARE_MM};
use super::plan::NoPlan;

/// A row has this many holes at least.
const LEAST_HOLES: usize = 3;

/// Spacings tried, as multiples of the closest the rules allow.
const SPACINGS: [f64; 6] = [2.5, 2.0, 1.7, 1.4, 1.2, 1.0];

#[derive(Clone, Copy)]
struct Even {
    n: usize,
    d: f64,
    pitch: f64,
}

impl Even {
    fn holes(&self, field: &Field<'_>, middle_x: f64) -> Option<Vec<Hole>> {
        let first = middle_x - self.pitch * (self.n as f64 - 1.0) / 2.0;
        (0..self.n)
            .map(|i| {
                let at = field.middle(first + i as f64 * self.pitch)?;
                Some(Hole { at, d: self.d })
            })
            .collect()
    }

    /// The row at a place, if it keeps the rules there.
    fn fitting(&self, field: &Field<'_>, middle_x: f64) -> Option<Vec<Hole>> {
        let holes = self.holes(field, middle_x)?;
        let fit = holes.iter().enumerate();
        fit.into_iter()
            .all(|(i, h)| field.fits(h, &holes, Some(i)))
            .then_some(holes)
    }
}

/// The row of fewest holes that brings what is wanted, as widely spaced as it goes; or the nearest to it.
pub(super) fn even_row(
    bench: &Bench<'_>,
    demand: &Demand,
    drills: &[f64],
) -> Result<Option<Draft>, NoPlan> {
    let fitting = bench.fitting(drills);
    let mut best: Option<Draft> = None;
    for n in LEAST_HOLES..=bench.rules.most_holes {
        bench.go_on()?;
        let mut reached = false;
        for spread in SPACINGS {
            for d in &fitting {
                let pitch = (bench.field.pitch(*d, *d) + SPARE_MM) * spread;
                let even = Even { n, d: *d, pitch };
                let Some(draft) = placed(bench, demand, even) else {
                    continue;
                };
                reached |= demand.off(draft.weight).abs() <= 0.01;
                best = nearer(demand, best, Some(draft));
                if reached {
                    return Ok(best);
                }
            }
        }
    }
    Ok(best)
}

/// Where the row brings what is wanted, by the field and then by the scale; where it can't, as far out as it fits.
fn placed(bench: &Bench<'_>, demand: &Demand, even: Even) -> Option<Draft> {
    let (rear, front) = bench.field.region;
    let half = even.pitch * (even.n as f64 - 1.0) / 2.0 + even.d / 2.0;
    let (low, high) = (rear + half, front - half);
    if low >= high {
        return None;
    }
    let worth =
        |field: &Field<'_>, x: f64| even.holes(field, x).map(|h| demand.worth_of(field, &h));
    let (inner, outer) = if demand.outward(&bench.field) < 0.0 {
        (high, low)
    } else {
        (low, high)
    };
    let (least, most) = (worth(&bench.field, inner)?, worth(&bench.field, outer)?);
    if demand.amount > most {
        // It can't bring enough anywhere; only the longest such rows are worth a look.
        if most < 0.5 * demand.amount {
            return None;
        }
        let holes = even.fitting(&bench.field, outer)?;
        return bench.draft(&holes);
    }
    if !demand.has_lever() {
        // Anywhere it fits, as far back as it goes.
        let steps = ((high - low) / 2.0).ceil().clamp(1.0, 200.0);
        let mut at = 0.0;
        while at <= steps {
            let x = low + (high - low) * at / steps;
            at += 1.0;
            if let Some(holes) = even.fitting(&bench.field, x) {
                return bench.draft(&holes);
            }
        }
        return None;
    }
    if demand.amount < least {
        return None;
    }
    let mut ask = demand.amount;
    let mut draft = None;
    for _ in 0..3 {
        let (mut near, mut far) = (inner, outer);
        for _ in 0..40 {
            let x = f64::midpoint(near, far);
            if worth(&bench.field, x)? < ask {
                near = x;
            } else {
                far = x;
            }
        }
        let holes = even.fitting(&bench.field, f64::midpoint(near, far))?;
        let model = demand.worth_of(&bench.field, &holes);
        let made = bench.draft(&holes)?;
        let brought = demand.brought(bench.now, made.weight);
        draft = nearer(demand, draft, Some(made));
        if brought <= 0.0 {
            break;
        }
        ask = demand.amount * model / brought;
    }
    draft
}
