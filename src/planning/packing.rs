//! How to pack the most into a tang: columns of holes along its middle line, exactly, then what still fits between them.
//!
//! 1. A column is one hole on the middle line, or two or three evenly spread above each other. The best sequence of columns for each number of
//!    holes is found by dynamic programming over a grid along the tang: what a sequence brings is the best up to a place far enough behind, plus
//!    the last column.
//! 2. What is left is filled: the hole that brings most goes wherever it still fits, on a grid over the tang, then the next.
//! 3. [`improve`] takes out one hole at a time, or two neighbors, fills again, and keeps what brings more.

use super::demand::Demand;
use super::field::{Field, Hole};
use crate::geometry::Point;

/// Step of the columns along the tang, mm.
const STEP_MM: f64 = 0.5;

/// Drills the columns are made of: more would only cost time, as holes are resized afterwards.
const MOST_SIZES: usize = 7;

/// Most holes in a column.
const MOST_ROWS: usize = 3;

/// What columns may be made of.
pub(super) struct Sizes {
    /// Diameters in rising order.
    drills: Vec<f64>,
}

impl Sizes {
    /// Those of the drills that fit anywhere, thinned out, the largest always among them.
    pub(super) fn new(strip: &Strip, drills: &[f64]) -> Self {
        let fitting: Vec<f64> = drills
            .iter()
            .copied()
            .filter(|d| *d <= strip.widest)
            .collect();
        let n = fitting.len();
        if n <= MOST_SIZES {
            return Self { drills: fitting };
        }
        let steps = MOST_SIZES - 1;
        let picked = (0..=steps).filter_map(|i| fitting.get(i * (n - 1) / steps).copied());
        Self {
            drills: picked.collect(),
        }
    }
}

/// The middle line of the tang, measured once.
pub(super) struct Strip {
    places: Vec<StripPlace>,
    pub widest: f64,
}

struct StripPlace {
    x: f64,
    low: f64,
    high: f64,
    widest: f64,
}

impl Strip {
    pub(super) fn new(field: &Field<'_>) -> Self {
        let (rear, front) = field.region;
        let mut places = Vec::new();
        // Whole steps, so that neighboring regions have places in common.
        let mut i = (rear / STEP_MM).ceil();
        while i * STEP_MM <= front && places.len() < 4_000 {
            let x = i * STEP_MM;
            i += 1.0;
            let Some((low, high)) = field.index.depth_at(x) else {
                continue;
            };
            let widest = field.widest(Point::new(x, f64::midpoint(low, high)));
            places.push(StripPlace {
                x,
                low,
                high,
                widest,
            });
        }
        let widest = places.iter().map(|p| p.widest).fold(0.0, f64::max);
        Self { places, widest }
    }
}

/// One sort of column.
#[derive(Clone, Copy)]
struct Sort {
    d: f64,
    rows: usize,
}

/// The holes of a column, where it fits.
fn column(field: &Field<'_>, place: &StripPlace, sort: Sort) -> Option<Vec<Hole>> {
    let Sort { d, rows } = sort;
    if rows == 1 {
        let at = Point::new(place.x, f64::midpoint(place.low, place.high));
        return (place.widest >= d).then(|| vec![Hole { at, d }]);
    }
    let height = place.high - place.low;
    let n = rows as f64;
    let gap = (height - n * d) / (n + 1.0);
    if gap < field.web(d) {
        return None;
    }
    let holes: Vec<Hole> = (0..rows)
        .map(|i| {
            let y = place.low + gap + d / 2.0 + i as f64 * (gap + d);
            Hole {
                at: Point::new(place.x, y),
                d,
            }
        })
        .collect();
    holes
        .iter()
        .all(|h| field.widest(h.at) >= d)
        .then_some(holes)
}

/// The best packings by columns: the one at place `k` brings most with at most `k + 1` holes.
pub(super) fn best_by_count(
    field: &Field<'_>,
    strip: &Strip,
    demand: &Demand,
    sizes: &Sizes,
    most: usize,
    rows_most: usize,
) -> Vec<Vec<Hole>> {
    best_within(field, &strip.places, demand, sizes, most, rows_most)
}

/// The same without the places nearest to the outward end.
pub(super) fn best_inward(
    field: &Field<'_>,
    strip: &Strip,
    demand: &Demand,
    sizes: &Sizes,
    most: usize,
    left_out: usize,
) -> Vec<Vec<Hole>> {
    let n = strip.places.len().saturating_sub(left_out);
    let places = if demand.outward(field) < 0.0 {
        strip.places.get(left_out..)
    } else {
        strip.places.get(..n)
    };
    best_within(field, places.unwrap_or(&[]), demand, sizes, most, 1)
}

fn best_within(
    field: &Field<'_>,
    places: &[StripPlace],
    demand: &Demand,
    sizes: &Sizes,
    most: usize,
    rows_most: usize,
) -> Vec<Vec<Hole>> {
    let sorts: Vec<Sort> = (1..=rows_most.min(MOST_ROWS))
        .flat_map(|rows| sizes.drills.iter().map(move |&d| Sort { d, rows }))
        .collect();
    let somewhere = |sort: &Sort| places.iter().any(|p| column(field, p, *sort).is_some());
    let sorts: Vec<Sort> = sorts.into_iter().filter(somewhere).collect();
    let (n_places, n_sorts) = (places.len(), sorts.len());
    // What each column brings, `None` where it does not fit or brings nothing.
    let worth: Vec<Option<f64>> = places
        .iter()
        .flat_map(|place| sorts.iter().map(move |sort| (place, *sort)))
        .map(|(place, sort)| {
            let holes = column(field, place, sort)?;
            let worth = demand.worth_of(field, &holes);
            (worth > 0.0).then_some(worth)
        })
        .collect();
    let steps_apart: Vec<usize> = sorts
        .iter()
        .flat_map(|a| sorts.iter().map(move |b| (a, b)))
        .map(|(a, b)| {
            let steps = (field.pitch(a.d, b.d) / STEP_MM - 1e-9).ceil();
            // A pitch longer than the tang keeps everything apart.
            (0..n_places)
                .find(|i| *i as f64 >= steps)
                .unwrap_or(n_places)
        })
        .collect();
    let mut table = Table::new(most, n_places, n_sorts);
    for k in 1..=most {
        for place in 0..n_places {
            for (s, sort) in sorts.iter().enumerate() {
                let here = worth.get(place * n_sorts + s).copied().flatten();
                let mut cell = table.before(k, place, s);
                if let Some(worth) = here.filter(|_| sort.rows <= k) {
                    let mut own = Cell {
                        worth,
                        column: Some((place, s)),
                        from: None,
                    };
                    for t in 0..n_sorts {
                        let apart = steps_apart.get(s * n_sorts + t).copied();
                        let back = apart.and_then(|apart| place.checked_sub(apart));
                        let Some(back) = back else { continue };
                        let known = table.at(k - sort.rows, back, t);
                        if known.worth > 0.0 && worth + known.worth > own.worth {
                            own.worth = worth + known.worth;
                            own.from = Some((k - sort.rows, back, t));
                        }
                    }
                    if own.worth > cell.worth {
                        cell = own;
                    }
                }
                table.set(k, place, s, cell);
            }
        }
    }
    (1..=most)
        .map(|k| {
            let last = n_places.saturating_sub(1);
            let best = (0..n_sorts).max_by(|a, b| {
                let worth = |t: usize| table.at(k, last, t).worth;
                worth(*a).total_cmp(&worth(*b))
            });
            let mut holes = Vec::new();
            let mut at = best.map(|t| (k, last, t));
            while let Some((k, place, t)) = at {
                let cell = table.at(k, place, t);
                if let Some((place, s)) = cell.column
                    && let (Some(place), Some(sort)) = (places.get(place), sorts.get(s))
                {
                    holes.extend(column(field, place, *sort).unwrap_or_default());
                }
                at = cell.from;
            }
            holes.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
            holes
        })
        .collect()
}

/// The best that ends at or before a place with a column of one sort.
#[derive(Clone, Copy, Default)]
struct Cell {
    worth: f64,
    column: Option<(usize, usize)>,
    from: Option<(usize, usize, usize)>,
}

struct Table {
    cells: Vec<Cell>,
    n_places: usize,
    n_sorts: usize,
}

impl Table {
    fn new(most: usize, n_places: usize, n_sorts: usize) -> Self {
        Self {
            cells: vec![Cell::default(); (most + 1) * n_places * n_sorts],
            n_places,
            n_sorts,
        }
    }

    fn slot(&self, k: usize, place: usize, s: usize) -> usize {
        (k * self.n_places + place) * self.n_sorts + s
    }

    fn at(&self, k: usize, place: usize, s: usize) -> Cell {
        let slot = self.slot(k, place, s);
        self.cells.get(slot).copied().unwrap_or_default()
    }

    fn before(&self, k: usize, place: usize, s: usize) -> Cell {
        place
            .checked_sub(1)
            .map_or_else(Cell::default, |place| self.at(k, place, s))
    }

    fn set(&mut self, k: usize, place: usize, s: usize, cell: Cell) {
        let slot = self.slot(k, place, s);
        if let Some(own) = self.cells.get_mut(slot) {
            *own = cell;
        }
    }
}

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
                let widest = field.widest(at);
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
                    room = room.min(room_beside(field, place.at, other, drills, room));
                    if place.areal * room * room <= least {
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

/// Diameter of the widest drill about a point beside a hole, up to one; 0 where there is none.
fn room_beside(field: &Field<'_>, at: Point, other: &Hole, drills: &[f64], up_to: f64) -> f64 {
    let distance = at.distance(other.at);
    let fits = |d: f64| distance >= field.pitch(d, other.d);
    if fits(up_to) {
        return up_to;
    }
    let n = drills.partition_point(|d| fits(*d));
    n.checked_sub(1)
        .and_then(|i| drills.get(i).copied())
        .unwrap_or(0.0)
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

impl Strip {
    /// How many places there are.
    pub(super) fn len(&self) -> usize {
        self.places.len()
    }

    /// Place along the tang and the widest hole on the middle line there.
    pub(super) fn widths(&self) -> impl Iterator<Item = (f64, f64)> {
        self.places.iter().map(|p| (p.x, p.widest))
    }
}
