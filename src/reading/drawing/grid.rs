//! Things found by their place: a grid of square cells, each with a list of what lies in it.

use std::collections::HashMap;
use std::hash::{BuildHasher, Hasher, RandomState};

use kurbo::{Point, Vec2};

/// Side of a cell, in units of the distance that is asked for: so large that most questions stay in one cell.
const CELL: f64 = 8.0;

/// No item follows.
const END: usize = usize::MAX;

/// Items by place. All lists lie in one vector, each item with the place of the one before it in its cell.
#[derive(Debug)]
pub(super) struct Grid {
    within: f64,
    last: HashMap<(i64, i64), usize, CellHash>,
    links: Vec<(usize, usize)>,
}

impl Grid {
    /// A grid to be asked for things within a distance, mm, positive; with room for some items.
    pub(super) fn new(within: f64, room: usize) -> Self {
        Self {
            within,
            last: HashMap::with_capacity_and_hasher(room, CellHash::new()),
            links: Vec::with_capacity(room),
        }
    }

    /// Adds an item at a point.
    pub(super) fn add(&mut self, at: Point, item: usize) {
        let own = self.links.len();
        let before = self.last.insert(self.cell(at), own);
        self.links.push((item, before.unwrap_or(END)));
    }

    /// The items of the cells that come within the distance of a point; the latest of each cell first.
    pub(super) fn near(&self, at: Point) -> impl Iterator<Item = usize> {
        let reach = Vec2::new(self.within, self.within);
        let (low, high) = (self.cell(at - reach), self.cell(at + reach));
        let cells = (low.0..=high.0).flat_map(move |x| (low.1..=high.1).map(move |y| (x, y)));
        cells.flat_map(move |cell| {
            let mut next = self.last.get(&cell).copied().unwrap_or(END);
            std::iter::from_fn(move || {
                let (item, before) = *self.links.get(next)?;
                next = before;
                Some(item)
            })
        })
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "a cast of a float saturates, and far drawings are refused before"
    )]
    fn cell(&self, p: Point) -> (i64, i64) {
        let side = CELL * self.within;
        ((p.x / side).floor() as i64, (p.y / side).floor() as i64)
    }
}

/// Hashes cells with a seed of its own, so that no file can be made whose cells all fall together; no answer depends on it.
///
/// Both halves of the product of two 64-bit words, folded together: the mixing step of W. Yi's `wyhash` (public domain), some five times as quick as the usual
/// hash, which guards more than is asked for here.
#[derive(Clone, Copy, Debug)]
struct CellHash(u64);

impl CellHash {
    fn new() -> Self {
        Self(RandomState::new().hash_one(0_u8) | 1)
    }
}

impl BuildHasher for CellHash {
    type Hasher = Self;

    fn build_hasher(&self) -> Self {
        *self
    }
}

impl Hasher for CellHash {
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    fn write_u64(&mut self, word: u64) {
        /// The golden ratio's 64 binary places: no word of it stands out.
        const PHI: u64 = 0x9E37_79B9_7F4A_7C15;
        let product = u128::from(self.0 ^ word) * u128::from(PHI ^ self.0.rotate_left(32));
        #[expect(
            clippy::cast_possible_truncation,
            reason = "the lower half is one of the two that are folded"
        )]
        let low = product as u64;
        let high = (product >> 64) as u64;
        self.0 = low ^ high;
    }

    fn write_i64(&mut self, word: i64) {
        self.write_u64(word.cast_unsigned());
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_near_is_missed(
            points in prop::collection::vec((-20.0_f64..20.0, -20.0_f64..20.0), 1..80), x in -20.0_f64..20.0, y in -20.0_f64..20.0, within in 0.01_f64..5.0,
        ) {
            let asked = Point::new(x, y);
            let mut grid = Grid::new(within, 0);
            for (i, at) in points.iter().enumerate() {
                grid.add((*at).into(), i);
            }
            let found: Vec<usize> = grid.near(asked).collect();
            for (i, at) in points.iter().enumerate() {
                let times = found.iter().filter(|f| **f == i).count();
                let near = Point::from(*at).distance(asked) <= within;
                prop_assert!(times == 1 || (times == 0 && !near));
            }
        }
    }
}
