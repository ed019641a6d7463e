//! The middle line of the tang, measured once: where columns of holes have room.

use std::cell::RefCell;
use std::collections::HashMap;

use super::field::{Field, Hole};
use crate::geometry::Point;

/// Step of the places along the tang, mm: a binary fraction, so that the way between two places is exact.
pub(super) const STEP_MM: f64 = 0.25;

/// Step where it need not be exact, mm: what stops a plan is told by the size of things.
pub(super) const COARSE_STEP_MM: f64 = 0.5;

/// Columns of several holes stand on every other place only.
const COLUMNS_EVERY: f64 = 2.0;

/// Most places of one tang.
const MOST_PLACES: usize = 8_000;

/// One sort of column: how wide its holes are, and how many stand above each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sort {
    pub d: f64,
    pub rows: usize,
}

/// The places, and where which column fits.
pub(super) struct Strip {
    places: Vec<StripPlace>,
    step_mm: f64,
    /// Diameter of the widest hole on the middle line.
    pub widest: f64,
    /// Whether a column fits at a place, as far as it was asked: place, holes, bits of the diameter.
    known: RefCell<HashMap<(usize, usize, u64), bool>>,
}

struct StripPlace {
    x: f64,
    low: f64,
    high: f64,
    widest: f64,
    /// Whether columns of several holes are looked at here.
    columns: bool,
}

impl Strip {
    /// Measures the middle line of a field. Places with no room for the smallest drill count as having none.
    pub(super) fn new(field: &Field<'_>, step_mm: f64) -> Self {
        let (rear, front) = field.region;
        let smallest = field.rules.smallest();
        let mut places = Vec::new();
        // Whole steps, so that neighboring regions have places in common.
        let mut i = (rear / step_mm).ceil();
        while i * step_mm <= front && places.len() < MOST_PLACES {
            let x = i * step_mm;
            let columns = i % COLUMNS_EVERY == 0.0 || step_mm >= COARSE_STEP_MM;
            i += 1.0;
            let Some((low, high)) = field.index.depth_at(x) else {
                continue;
            };
            let widest = field.widest(Point::new(x, f64::midpoint(low, high)), smallest);
            places.push(StripPlace {
                x,
                low,
                high,
                widest,
                columns,
            });
        }
        let widest = places.iter().map(|p| p.widest).fold(0.0, f64::max);
        Self {
            places,
            step_mm,
            widest,
            known: RefCell::default(),
        }
    }

    /// How many places there are.
    pub(super) fn len(&self) -> usize {
        self.places.len()
    }

    /// How many holes of at least a diameter there can be, in columns of so many.
    pub(super) fn most_holes(&self, field: &Field<'_>, smallest: f64, rows: usize) -> usize {
        let apart = self.steps_apart(field, smallest, smallest).max(1);
        (self.places.len() / apart + 1) * rows
    }

    /// Place along the tang and the widest hole on the middle line there.
    pub(super) fn widths(&self) -> impl Iterator<Item = (f64, f64)> {
        self.places.iter().map(|p| (p.x, p.widest))
    }

    /// Places between the middles of two holes that keep the rules of a field, at least.
    pub(super) fn steps_apart(&self, field: &Field<'_>, a: f64, b: f64) -> usize {
        let steps = (field.pitch(a, b) / self.step_mm - 1e-9).ceil();
        // A pitch longer than the tang keeps everything apart.
        if steps < self.places.len() as f64 {
            steps as usize
        } else {
            self.places.len()
        }
    }

    /// The holes of a column at a place, where it fits.
    pub(super) fn column(&self, field: &Field<'_>, place: usize, sort: Sort) -> Option<Vec<Hole>> {
        let at = self.places.get(place)?;
        let Sort { d, rows } = sort;
        if rows == 1 {
            let middle = Point::new(at.x, f64::midpoint(at.low, at.high));
            return (at.widest >= d).then(|| vec![Hole { at: middle, d }]);
        }
        if !at.columns {
            return None;
        }
        let height = at.high - at.low;
        let n = rows as f64;
        let gap = (height - n * d) / (n + 1.0);
        if gap < field.web(d) {
            return None;
        }
        let hole = |i: usize| Hole {
            at: Point::new(at.x, at.low + gap + d / 2.0 + i as f64 * (gap + d)),
            d,
        };
        let key = (place, rows, d.to_bits());
        let known = self.known.borrow().get(&key).copied();
        let fits = known.unwrap_or_else(|| (0..rows).all(|i| field.widest(hole(i).at, d) >= d));
        if known.is_none() {
            self.known.borrow_mut().insert(key, fits);
        }
        fits.then(|| (0..rows).map(hole).collect())
    }
}
