//! Which amounts holes on the middle line can bring together, and by which holes.
//!
//! The most that a number of holes can bring is one packing; a wish that is less must be met by another one, and between two numbers of holes, beside pins
//! and with few drills, it may be none that is near to it. For each number of holes, place and drill of the last hole, a row of bits holds
//! the sums that can be made up to there, on a scale of [`WANTED`] steps: one hole more shifts the row by what it brings (the subset sums of R.
//! Bellman, Dynamic Programming, 1957, with places). What a sum was made of is then found backward.

use super::demand::Demand;
use super::field::{Field, Hole};
use super::packing::Sizes;
use super::strip::{Sort, Strip};

/// Step of the scale that is wanted: finer than any hole is slid to settle the rest.
const WANTED: usize = 448;

/// Words of a row; what lies beyond the last bit brings too much.
const WORDS: usize = 8;

/// One row of bits, the lowest first.
type Row = [u64; WORDS];

/// Steps over what is wanted that are looked at, besides those that rounding may have put it off by.
const OVER: usize = 6;

/// Packings given for one number of holes.
const GIVEN: usize = 3;

/// Columns of one hole, and of two.
const ROWS: usize = 2;

/// The sums that can be made, hole by hole.
pub(super) struct Sums<'a> {
    field: &'a Field<'a>,
    strip: &'a Strip,
    demand: &'a Demand,
    sizes: &'a Sizes,
    apart: Vec<usize>,
    /// What the columns of each drill bring at each place, in steps; none where they do not fit, or bring nothing or too much.
    steps: Vec<Option<usize>>,
    /// For each number of holes from one on: the rows of each place and drill.
    levels: Vec<Vec<Row>>,
}

impl<'a> Sums<'a> {
    /// For an amount that is wanted; `None` where none is, or no hole brings anything.
    pub(super) fn new(
        field: &'a Field<'a>,
        strip: &'a Strip,
        demand: &'a Demand,
        sizes: &'a Sizes,
    ) -> Option<Self> {
        if !(demand.amount.is_finite() && demand.amount > 0.0) {
            return None;
        }
        let per_step = demand.amount / WANTED as f64;
        let each = (0..strip.len()).flat_map(|place| {
            let drills = sizes.drills().iter();
            drills.flat_map(move |d| (1..=ROWS).map(move |rows| (place, Sort { d: *d, rows })))
        });
        let steps: Vec<Option<usize>> = each
            .map(|(place, sort)| {
                let holes = strip.column(field, place, sort)?;
                let steps = (demand.worth_of(field, &holes) / per_step).round();
                (1.0..(64 * WORDS) as f64)
                    .contains(&steps)
                    .then_some(steps as usize)
            })
            .collect();
        steps.iter().any(Option::is_some).then(|| Self {
            apart: sizes.apart(field, strip),
            field,
            strip,
            demand,
            sizes,
            steps,
            levels: Vec::new(),
        })
    }

    fn n_drills(&self) -> usize {
        self.sizes.drills().len()
    }

    /// The rows of a number of holes up to a place.
    fn row(&self, k: usize, place: usize, drill: usize) -> Option<&Row> {
        self.levels
            .get(k.checked_sub(1)?)?
            .get(place * self.n_drills() + drill)
    }

    /// What a column brings, in steps.
    fn steps(&self, place: usize, drill: usize, rows: usize) -> Option<usize> {
        let slot = (place * self.n_drills() + drill) * ROWS + rows - 1;
        self.steps.get(slot).copied().flatten()
    }

    /// Adds what can be made with a column at a place as the last of `k` holes.
    fn with_column(&self, k: usize, (place, drill, rows): (usize, usize, usize), row: &mut Row) {
        let Some(steps) = self.steps(place, drill, rows) else {
            return;
        };
        if k == rows {
            set(row, steps);
            return;
        }
        for (other, back) in self.before(place, drill) {
            if let Some(known) = self.row(k - rows, back, other) {
                add_shifted(row, known, steps);
            }
        }
    }

    /// For each drill the last place a hole of it may have before this one.
    fn before(&self, place: usize, drill: usize) -> impl Iterator<Item = (usize, usize)> {
        let apart = self.apart.get(drill * self.n_drills()..).unwrap_or(&[]);
        let each = apart.iter().take(self.n_drills()).enumerate();
        each.filter_map(move |(other, apart)| Some((other, place.checked_sub(*apart)?)))
    }

    /// Adds one more hole to what is looked at.
    pub(super) fn deeper(&mut self) {
        let k = self.levels.len() + 1;
        let n = self.n_drills();
        let mut level: Vec<Row> = Vec::with_capacity(self.strip.len() * n);
        for place in 0..self.strip.len() {
            for drill in 0..n {
                let before = level.len().checked_sub(n).and_then(|i| level.get(i));
                let mut row = before.copied().unwrap_or_default();
                for rows in 1..=ROWS.min(k) {
                    self.with_column(k, (place, drill, rows), &mut row);
                }
                level.push(row);
            }
        }
        self.levels.push(level);
    }

    /// Packings of as many holes as were last looked at, whose sums come nearest to what is wanted, the nearest first; those a little over it before those
    /// under it.
    pub(super) fn nearest(&self) -> Vec<Vec<Hole>> {
        let k = self.levels.len();
        let last = self.strip.len().saturating_sub(1);
        // Each hole is rounded by half a step at most.
        let rounding = k.div_ceil(2);
        let near = (WANTED - rounding..=WANTED + rounding + OVER).rev();
        let under = (1..WANTED - rounding).rev();
        let mut found: Vec<(f64, Vec<Hole>)> = Vec::new();
        let ends: Vec<(usize, Row)> = (0..self.n_drills())
            .filter_map(|drill| Some((drill, *self.row(k, last, drill)?)))
            .collect();
        for sum in near.chain(under) {
            // Under what rounding does the first sum is the nearest.
            if sum < WANTED - rounding && !found.is_empty() {
                break;
            }
            let drills = ends.iter().filter(|(_, row)| has(row, sum));
            for (drill, _) in drills {
                let (place, drill) = (last, *drill);
                let holes = self.made_of(End {
                    k,
                    place,
                    drill,
                    sum,
                });
                let spare = self.demand.worth_of(self.field, &holes) - self.demand.amount;
                // A slide makes up for what is spare, nothing for what is short.
                let off = if spare < 0.0 { -2.0 * spare } else { spare };
                found.push((off, holes));
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.truncate(GIVEN);
        found.into_iter().map(|(_, holes)| holes).collect()
    }

    /// The holes that make a sum.
    fn made_of(&self, end: End) -> Vec<Hole> {
        let mut holes = Vec::new();
        let mut left = Some(end);
        while let Some(mut end) = left {
            // The first place where the sum can be made has the column that makes it.
            while let Some(before) = end.place.checked_sub(1)
                && (self.row(end.k, before, end.drill)).is_some_and(|row| has(row, end.sum))
            {
                end.place = before;
            }
            let Some((rows, before)) = self.last_column(&end) else {
                break;
            };
            let drills = self.sizes.drills();
            let d = drills.get(end.drill).copied().unwrap_or_default();
            let column = self.strip.column(self.field, end.place, Sort { d, rows });
            holes.extend(column.unwrap_or_default());
            left = before;
        }
        holes
    }

    /// The column at the last place that makes a sum, and what stands before it, if anything.
    fn last_column(&self, end: &End) -> Option<(usize, Option<End>)> {
        let &End {
            k, place, drill, ..
        } = end;
        (1..=ROWS.min(k)).find_map(|rows| {
            let sum = end.sum.checked_sub(self.steps(place, drill, rows)?)?;
            if k == rows {
                return (sum == 0).then_some((rows, None));
            }
            let k = k - rows;
            let mut all = self.before(place, drill);
            let (drill, place) = all.find(|(other, back)| {
                let row = self.row(k, *back, *other);
                row.is_some_and(|row| has(row, sum))
            })?;
            let before = End {
                k,
                place,
                drill,
                sum,
            };
            Some((rows, Some(before)))
        })
    }
}

/// A sum of so many holes, the last of them of one drill and at or before a place.
#[derive(Clone, Copy)]
struct End {
    k: usize,
    place: usize,
    drill: usize,
    sum: usize,
}

fn set(row: &mut Row, bit: usize) {
    if let Some(word) = row.get_mut(bit / 64) {
        *word |= 1 << (bit % 64);
    }
}

fn has(row: &Row, bit: usize) -> bool {
    row.get(bit / 64)
        .is_some_and(|word| (word >> (bit % 64)) & 1 == 1)
}

/// Adds the bits of another row, each moved up by so many.
fn add_shifted(row: &mut Row, other: &Row, by: usize) {
    let (words, bits) = (by / 64, by % 64);
    for (i, word) in row.iter_mut().enumerate().skip(words) {
        let low = other.get(i - words).copied().unwrap_or_default();
        *word |= low << bits;
        if bits > 0
            && let Some(below) = i.checked_sub(words + 1)
        {
            *word |= other.get(below).copied().unwrap_or_default() >> (64 - bits);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against sums counted one by one.
    #[test]
    fn shifted_rows_hold_shifted_sums() {
        let mut row = Row::default();
        let bits = [0, 1, 63, 64, 200, 447, 511];
        bits.iter().for_each(|bit| set(&mut row, *bit));
        for by in [0, 1, 63, 64, 65, 130, 500, 511] {
            let mut moved = Row::default();
            add_shifted(&mut moved, &row, by);
            for bit in 0..512 {
                let wanted = bits.iter().any(|own| own + by == bit);
                assert_eq!(has(&moved, bit), wanted, "{bit} by {by}");
            }
        }
    }
}
