//! Slots along the middle line of the tang: the longer, the more they take, so that any amount up to the longest is met exactly.

use super::bench::{Bench, Draft, nearer};
use super::demand::Demand;
use super::plan::NoPlan;
use crate::geometry::Point;
use crate::knife::CutShape;

/// A slot is this many times as long as wide at least; a shorter one is better drilled.
const LEAST_SHAPE: f64 = 2.0;

/// Step along the middle of a slot at which its webs are looked at, mm, and what is kept to spare between.
const LOOK_MM: f64 = 0.5;
const SPARE_MM: f64 = 0.02;

/// A stretch of the middle line, from its outward end inward.
#[derive(Clone, Copy)]
struct Stretch {
    outer: f64,
    inner: f64,
}

/// The narrowest single slot that brings what is wanted; else as few slots as do; else the most they can.
pub(super) fn slots(
    bench: &Bench<'_>,
    demand: &Demand,
    drills: &[f64],
) -> Result<Option<Draft>, NoPlan> {
    let mut best: Option<(usize, Draft)> = None;
    for width in bench.fitting(drills) {
        bench.go_on()?;
        let Some(draft) = of_width(bench, demand, width) else {
            continue;
        };
        let n = draft.shapes.len();
        if demand.off(draft.weight).abs() <= 0.01 {
            let met = |d: &Draft| demand.off(d.weight).abs() <= 0.01;
            if best.as_ref().is_none_or(|b| !met(&b.1) || n < b.0) {
                best = Some((n, draft));
            }
            if n == 1 {
                break;
            }
        } else if best.is_none()
            || nearer(
                demand,
                best.as_ref().map(|b| b.1.clone()),
                Some(draft.clone()),
            )
            .is_some_and(|d| d == draft)
        {
            best = Some((n, draft));
        }
    }
    Ok(best.map(|b| b.1))
}

fn of_width(bench: &Bench<'_>, demand: &Demand, width: f64) -> Option<Draft> {
    let mut stretches = stretches(bench, demand, width);
    let whole = |s: &Stretch| worth(bench, demand, width, *s);
    stretches.sort_by(|a, b| whole(b).total_cmp(&whole(a)));
    stretches.truncate(bench.rules.most_holes);
    let mut ask = demand.amount;
    let mut best = None;
    for _ in 0..4 {
        let mut left = ask;
        let mut model = 0.0;
        let mut shapes = Vec::new();
        for stretch in &stretches {
            if left <= 0.0 {
                break;
            }
            let Some(used) = enough_of(bench, demand, width, *stretch, left) else {
                continue;
            };
            let brings = worth(bench, demand, width, used);
            left -= brings;
            model += brings;
            shapes.push(shape(bench, width, used)?);
        }
        if shapes.is_empty() {
            break;
        }
        let weight = bench.weighed(&shapes)?;
        let brought = demand.brought(bench.now, weight);
        let draft = Draft {
            shapes,
            taper: None,
            weight,
        };
        let near = demand.off(weight).abs() <= 0.0005;
        best = nearer(demand, best, Some(draft));
        if near || brought <= 0.0 || !ask.is_finite() {
            break;
        }
        ask = demand.amount * model / brought;
    }
    best.filter(|d: &Draft| {
        let removed = bench.now.0 - d.weight.0;
        bench
            .rules
            .most_removed_g
            .is_none_or(|most| removed <= most)
    })
}

/// Where a slot's middle may run: stretches in which a hole of its width fits all along, and that bring something.
fn stretches(bench: &Bench<'_>, demand: &Demand, width: f64) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let mut open: Option<(f64, f64)> = None;
    let mut close = |open: &mut Option<(f64, f64)>| {
        if let Some((from, to)) = open.take() {
            let (outer, inner) = if demand.outward(&bench.field) < 0.0 {
                (from, to)
            } else {
                (to, from)
            };
            found.push(Stretch { outer, inner });
        }
    };
    for (x, widest) in bench.strip.widths() {
        if widest >= width + SPARE_MM && demand.lever(x) * bench.field.per_mm2(x) > 0.0 {
            open = Some(open.map_or((x, x), |(from, _)| (from, x)));
        } else {
            close(&mut open);
        }
    }
    close(&mut open);
    found.retain(|s| (s.outer - s.inner).abs() >= (LEAST_SHAPE - 1.0) * width);
    found
        .into_iter()
        .filter_map(|s| straight(bench, width, s))
        .collect()
}

/// The longest part of a stretch, from its outward end, along which the straight slot keeps its webs.
fn straight(bench: &Bench<'_>, width: f64, stretch: Stretch) -> Option<Stretch> {
    let mut part = stretch;
    // Each round takes a tenth off; after thirty less than a twentieth is left.
    for _ in 0..30 {
        if (part.outer - part.inner).abs() < (LEAST_SHAPE - 1.0) * width {
            return None;
        }
        if keeps_webs(bench, width, part) {
            return Some(part);
        }
        part.inner = part.outer + 0.9 * (part.inner - part.outer);
    }
    None
}

fn keeps_webs(bench: &Bench<'_>, width: f64, part: Stretch) -> bool {
    let (Some(a), Some(b)) = (
        bench.field.middle(part.outer),
        bench.field.middle(part.inner),
    ) else {
        return false;
    };
    let steps = (a.distance(b) / LOOK_MM).ceil().clamp(1.0, 2_000.0);
    let mut i = 0.0;
    while i <= steps {
        if bench.field.widest(a.lerp(b, i / steps), width) < width + SPARE_MM {
            return false;
        }
        i += 1.0;
    }
    true
}

fn ends(bench: &Bench<'_>, part: Stretch) -> Option<(Point, Point)> {
    let (a, b) = (
        bench.field.middle(part.outer)?,
        bench.field.middle(part.inner)?,
    );
    Some(if a.x <= b.x { (a, b) } else { (b, a) })
}

fn shape(bench: &Bench<'_>, width: f64, part: Stretch) -> Option<CutShape> {
    let (a, b) = ends(bench, part)?;
    Some(CutShape::Slot {
        center: a.midpoint(b),
        length_mm: a.distance(b) + width,
        width_mm: width,
        angle_rad: (b - a).atan2(),
    })
}

/// What a slot brings by the field.
fn worth(bench: &Bench<'_>, demand: &Demand, width: f64, part: Stretch) -> f64 {
    let Some((a, b)) = ends(bench, part) else {
        return 0.0;
    };
    let area = a.distance(b) * width + std::f64::consts::FRAC_PI_4 * width * width;
    let at = |p: f64| {
        let x = a.x + (b.x - a.x) * p;
        bench.field.per_mm2(x) * demand.lever(x)
    };
    area * (at(0.0) + 4.0 * at(0.5) + at(1.0)) / 6.0
}

/// As much of a stretch, from its outward end, as brings an amount; all of it when that is not enough. `None` where even the shortest slot brings
/// more.
fn enough_of(
    bench: &Bench<'_>,
    demand: &Demand,
    width: f64,
    stretch: Stretch,
    amount: f64,
) -> Option<Stretch> {
    let brings = |part: Stretch| worth(bench, demand, width, part);
    if brings(stretch) <= amount {
        return Some(stretch);
    }
    let inward = (stretch.inner - stretch.outer).signum();
    let part = |length: f64| Stretch {
        inner: stretch.outer + inward * length,
        ..stretch
    };
    let (mut short, mut long) = (
        (LEAST_SHAPE - 1.0) * width,
        (stretch.inner - stretch.outer).abs(),
    );
    if brings(part(short)) > amount {
        // The shortest slot there is, slid inward until it brings no more than that.
        return slid(bench, demand, width, stretch, amount);
    }
    for _ in 0..40 {
        let length = f64::midpoint(short, long);
        if brings(part(length)) < amount {
            short = length;
        } else {
            long = length;
        }
    }
    let used = part(f64::midpoint(short, long));
    keeps_webs(bench, width, used).then_some(used)
}

fn slid(
    bench: &Bench<'_>,
    demand: &Demand,
    width: f64,
    stretch: Stretch,
    amount: f64,
) -> Option<Stretch> {
    if !demand.has_lever() {
        return None;
    }
    let inward = (stretch.inner - stretch.outer).signum();
    let length = (LEAST_SHAPE - 1.0) * width;
    let room = (stretch.inner - stretch.outer).abs() - length;
    let at = |by: f64| Stretch {
        outer: stretch.outer + inward * by,
        inner: stretch.outer + inward * (by + length),
    };
    let brings = |by: f64| worth(bench, demand, width, at(by));
    if room <= 0.0 || brings(room) > amount {
        return None;
    }
    let (mut low, mut high) = (0.0, room);
    for _ in 0..40 {
        let by = f64::midpoint(low, high);
        if brings(by) > amount {
            low = by;
        } else {
            high = by;
        }
    }
    let used = at(f64::midpoint(low, high));
    keeps_webs(bench, width, used).then_some(used)
}
