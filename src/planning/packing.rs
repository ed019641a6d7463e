//! How to pack the most along a tang: columns of holes on its middle line.
//!
//! A column is one hole on the middle line, or two or three evenly spread above each other. The best sequence of columns for each number of holes is
//! found by dynamic programming over the places along the tang: what a sequence brings is the best up to a place far enough behind, plus the
//! last column.

use super::demand::Demand;
use super::field::{Field, Hole};
use super::strip::{Sort, Strip};

/// Drills the columns are made of: more would only cost time, as holes are resized afterwards.
const MOST_SIZES: usize = 7;

/// Most holes in a column.
const MOST_ROWS: usize = 3;

/// What columns may be made of: diameters in rising order.
pub(super) struct Sizes(Vec<f64>);

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
            return Self(fitting);
        }
        let steps = MOST_SIZES - 1;
        let picked = (0..=steps).filter_map(|i| fitting.get(i * (n - 1) / steps).copied());
        Self(picked.collect())
    }

    pub(super) fn drills(&self) -> &[f64] {
        &self.0
    }

    /// Places between columns of each two of the drills, at least: that of `a` and `b` at `a · len + b`.
    pub(super) fn apart(&self, field: &Field<'_>, strip: &Strip) -> Vec<usize> {
        let pairs = self
            .0
            .iter()
            .flat_map(|a| self.0.iter().map(move |b| (a, b)));
        pairs
            .map(|(a, b)| strip.steps_apart(field, *a, *b))
            .collect()
    }
}

/// A column that fits somewhere and brings something.
struct Column {
    /// Index of its drill among the sizes.
    drill: usize,
    rows: usize,
    worth: f64,
}

/// The columns that bring something at each place.
fn columns(
    field: &Field<'_>,
    strip: &Strip,
    demand: &Demand,
    sizes: &Sizes,
    rows_most: usize,
) -> Vec<Vec<Column>> {
    let at = |place: usize| {
        let each = sizes.drills().iter().enumerate();
        let sorts = each.flat_map(|(drill, d)| {
            (1..=rows_most.min(MOST_ROWS)).map(move |rows| (drill, Sort { d: *d, rows }))
        });
        let found = sorts.filter_map(|(drill, sort)| {
            let holes = strip.column(field, place, sort)?;
            let worth = demand.worth_of(field, &holes);
            (worth > 0.0).then_some(Column {
                drill,
                rows: sort.rows,
                worth,
            })
        });
        found.collect()
    };
    (0..strip.len()).map(at).collect()
}

/// Packings with this many holes more than are needed are tried where the first can't be tuned.
pub(super) const SPARE_HOLES: usize = 3;

/// The best packings by columns: the one at place `k` brings most with at most `k + 1` holes. `most` is the largest number of holes; where places
/// matter, packings that bring more than the demand by [`SPARE_HOLES`] are the last.
pub(super) fn best_by_count(
    field: &Field<'_>,
    strip: &Strip,
    demand: &Demand,
    sizes: &Sizes,
    most: usize,
    rows_most: usize,
) -> Vec<Vec<Hole>> {
    let Some(smallest) = sizes.drills().first() else {
        return Vec::new();
    };
    let most = most.min(strip.most_holes(field, *smallest, rows_most));
    let columns = columns(field, strip, demand, sizes, rows_most);
    let apart = sizes.apart(field, strip);
    let n_drills = sizes.drills().len();
    let mut table = Table::new(most, strip.len(), n_drills);
    let (mut after, mut last) = (0, 0);
    for k in 1..=most {
        for (place, here) in columns.iter().enumerate() {
            table.carry(k, place);
            for column in here.iter().filter(|c| c.rows <= k) {
                let own = apart.get(column.drill * n_drills..).unwrap_or(&[]);
                table.put(k, place, column, own);
            }
        }
        if demand.has_lever() && table.best(k) >= demand.amount {
            after += 1;
        }
        last = k;
        if after > SPARE_HOLES {
            break;
        }
    }
    (1..=last)
        .map(|k| {
            let mut holes = Vec::new();
            for (place, column) in table.sequence(k) {
                let d = sizes.drills().get(column.0).copied().unwrap_or_default();
                let sort = Sort { d, rows: column.1 };
                holes.extend(strip.column(field, place, sort).unwrap_or_default());
            }
            holes.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
            holes
        })
        .collect()
}

/// The best sequences with at most `k` holes that end at or before a place with a column of one drill.
struct Table {
    worth: Vec<f64>,
    link: Vec<Link>,
    n_places: usize,
    n_drills: usize,
}

/// The last column of a sequence, and the slot of what stands before it.
#[derive(Clone, Copy, Default)]
struct Link {
    place: u32,
    rows: u32,
    before: Option<u32>,
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a dozen holes on some thousand places by seven drills"
)]
impl Table {
    fn new(most: usize, n_places: usize, n_drills: usize) -> Self {
        let n = (most + 1) * n_places * n_drills;
        Self {
            worth: vec![0.0; n],
            link: vec![Link::default(); n],
            n_places,
            n_drills,
        }
    }

    fn slot(&self, k: usize, place: usize) -> usize {
        (k * self.n_places + place) * self.n_drills
    }

    /// What was best up to the place before is so here, until something better is put.
    fn carry(&mut self, k: usize, place: usize) {
        let Some(before) = place.checked_sub(1) else {
            return;
        };
        let (from, to) = (self.slot(k, before), self.slot(k, place));
        self.worth.copy_within(from..from + self.n_drills, to);
        self.link.copy_within(from..from + self.n_drills, to);
    }

    /// Puts a column after the best that stands far enough before it, if that is better. `apart` begins with the places to each drill.
    fn put(&mut self, k: usize, place: usize, column: &Column, apart: &[usize]) {
        let mut best = (column.worth, None);
        for (drill, apart) in apart.iter().take(self.n_drills).enumerate() {
            let Some(back) = place.checked_sub(*apart) else {
                continue;
            };
            let slot = self.slot(k - column.rows, back) + drill;
            let known = self.worth.get(slot).copied().unwrap_or_default();
            if known > 0.0 && column.worth + known > best.0 {
                best = (column.worth + known, Some(slot as u32));
            }
        }
        let slot = self.slot(k, place) + column.drill;
        if let (Some(worth), Some(link)) = (self.worth.get_mut(slot), self.link.get_mut(slot))
            && best.0 > *worth
        {
            *worth = best.0;
            *link = Link {
                place: place as u32,
                rows: column.rows as u32,
                before: best.1,
            };
        }
    }

    /// What the best sequence with at most `k` holes brings.
    fn best(&self, k: usize) -> f64 {
        let last = self.slot(k, self.n_places.saturating_sub(1));
        let all = self.worth.get(last..last + self.n_drills);
        all.unwrap_or(&[]).iter().copied().fold(0.0, f64::max)
    }

    /// Place, drill and rows of each column of the best sequence with at most `k` holes.
    fn sequence(&self, k: usize) -> Vec<(usize, (usize, usize))> {
        let mut found = Vec::new();
        let last = self.slot(k, self.n_places.saturating_sub(1));
        let worth = |slot: &usize| self.worth.get(*slot).copied().unwrap_or_default();
        let best = (last..last + self.n_drills)
            .filter(|slot| worth(slot) > 0.0)
            .max_by(|a, b| worth(a).total_cmp(&worth(b)));
        let mut at = best;
        while let Some(slot) = at
            && let Some(link) = self.link.get(slot)
        {
            let drill = slot % self.n_drills;
            found.push((link.place as usize, (drill, link.rows as usize)));
            at = link.before.map(|slot| slot as usize);
        }
        found
    }
}
