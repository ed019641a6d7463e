//! What still fits beside columns: holes anywhere on the tang, put where they bring most.
//!
//! 1. The hole that brings most goes wherever it still fits, on a grid over the tang, then the next.
//! 2. [`improve`] takes out one hole at a time, or two neighbors, fills again, and keeps what brings more.

use super::demand::Demand;
use super::field::{Field, Hole};
use crate::geometry::Point;

/// Places all over the tang where a hole fits, with the widest one.
pub(super) struct Ground {
    places: Vec<(Point, f64)>,
}

/// Step of the grid over the tang, mm.
const GROUND_MM: f64 = 1.0;

impl Ground {
    /// Places with room for the smallest drill; none when holes must sit even about the middle line.
    pub(super) fn new(field: &Field<'_>, smallest: f64) -> Self {
        let mut places = Vec::new();
        if field.rules.symmetric {
            return Self { places };
        }
        let (rear, front) = field.region;
        let mut i = (rear / GROUND_MM).ceil();
        while i * GROUND_MM <= front && places.len() < 40_000 {
            let x = i * GROUND_MM;
            i += 1.0;
            let Some((low, high)) = field.index.depth_at(x) else {
                continue;
            };
            let room = field.web(smallest) + smallest / 2.0;
            let mut j = ((low + room) / GROUND_MM).ceil();
            while j * GROUND_MM <= high - room {
                let at = Point::new(x, j * GROUND_MM);
                j += 1.0;
                let widest = field.widest(at, smallest);
                if widest >= smallest {
                    places.push((at, widest));
                }
            }
        }
        Self { places }
    }
}

/// The largest drill of a diameter or less.
fn largest(drills: &[f64], diameter: f64) -> Option<f64> {
    let i = drills.partition_point(|d| *d <= diameter);
    drills.get(i.checked_sub(1)?).copied()
}

/// Places of the ground by what the widest hole there would bring, most first.
struct Ranked {
    places: Vec<RankedPlace>,
}

struct RankedPlace {
    at: Point,
    widest: f64,
    /// What a hole of 1 mm brings.
    areal: f64,
    most: f64,
}

impl Ranked {
    fn new(field: &Field<'_>, ground: &Ground, demand: &Demand, drills: &[f64]) -> Self {
        let places = ground.places.iter().filter_map(|&(at, widest)| {
            let one = field.per_mm2(at.x) * std::f64::consts::FRAC_PI_4;
            let areal = one * demand.lever(at.x);
            let d = largest(drills, widest)?;
            (areal > 0.0).then_some(RankedPlace {
                at,
                widest,
                areal,
                most: areal * d * d,
            })
        });
        let mut places: Vec<RankedPlace> = places.collect();
        places.sort_by(|a, b| b.most.total_cmp(&a.most));
        Self { places }
    }

    /// Adds the hole that brings most where it still fits, again and again.
    fn fill(&self, field: &Field<'_>, drills: &[f64], most: usize, holes: &mut Vec<Hole>) {
        while holes.len() < most {
            let mut best: Option<(f64, Hole)> = None;
            for place in &self.places {
                let least = best.map_or(0.0, |b| b.0);
                if place.most <= least {
                    break;
                }
                let mut room = place.widest;
                for other in holes.iter() {
                    room = room.min(field.widest_beside(place.at, other));
                    if room <= 0.0 || place.areal * room * room <= least {
                        break;
                    }
                }
                let Some(d) = largest(drills, room) else {
                    continue;
                };
                let worth = place.areal * d * d;
                if worth > least {
                    best = Some((worth, Hole { at: place.at, d }));
                }
            }
            let Some((_, hole)) = best else { break };
            holes.push(hole);
        }
    }
}

/// Takes out each hole, and each with the one nearest to it, fills again, and keeps what brings more; until nothing does.
pub(super) fn improve(
    field: &Field<'_>,
    ground: &Ground,
    demand: &Demand,
    drills: &[f64],
    most: usize,
    mut holes: Vec<Hole>,
    keep_going: &dyn Fn() -> bool,
) -> Vec<Hole> {
    const ROUNDS: usize = 4;
    if ground.places.is_empty() {
        return holes;
    }
    let ranked = Ranked::new(field, ground, demand, drills);
    ranked.fill(field, drills, most, &mut holes);
    let mut best = demand.worth_of(field, &holes);
    for _ in 0..ROUNDS {
        let mut better = false;
        let mut i = 0;
        while i < holes.len() {
            for pair in [false, true] {
                if !keep_going() {
                    return holes;
                }
                let mut tried = without(&holes, i, pair);
                ranked.fill(field, drills, most, &mut tried);
                let worth = demand.worth_of(field, &tried);
                if worth > best * (1.0 + 1e-9) {
                    (best, holes, better) = (worth, tried, true);
                }
            }
            i += 1;
        }
        if !better {
            break;
        }
    }
    holes
}

/// The holes without one of them, or without it and its nearest neighbor.
fn without(holes: &[Hole], i: usize, pair: bool) -> Vec<Hole> {
    let mut left = holes.to_vec();
    if i >= left.len() {
        return left;
    }
    let gone = left.remove(i);
    if pair {
        let near = left.iter().enumerate().min_by(|a, b| {
            let far = |h: &Hole| h.at.distance(gone.at);
            far(a.1).total_cmp(&far(b.1))
        });
        if let Some(j) = near.map(|(j, _)| j) {
            left.remove(j);
        }
    }
    left
}
