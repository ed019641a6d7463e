//! Shapes at their places, how deep each pair overlaps, and the best place of one shape on a line.

use crate::geometry::Point;

use super::table::Table;
use super::zone::{TOUCH_MM, Way};

/// A shape at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Item {
    /// Which blank.
    pub blank: usize,
    /// Its shape in the table: the blank in one turn.
    pub shape: usize,
    /// Where the shape's origin stands.
    pub at: Point,
}

/// Shapes that move, then shapes that do not.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    /// All of them.
    pub items: Vec<Item>,
    /// How many move; they come first.
    pub n_moving: usize,
    /// Depths of overlap of all pairs, row by row.
    depths: Vec<f64>,
    /// What each pair's depth counts.
    weights: Vec<f64>,
}

impl Layout {
    /// A layout with nothing known yet of its overlaps.
    pub(super) fn new(moving: Vec<Item>, fixed: &[Item]) -> Self {
        let n_moving = moving.len();
        let mut items = moving;
        items.extend_from_slice(fixed);
        let pairs = items.len() * items.len();
        Self {
            items,
            n_moving,
            depths: vec![0.0; pairs],
            weights: vec![1.0; pairs],
        }
    }

    /// The shapes that move.
    pub(super) fn moving(&self) -> &[Item] {
        self.items.get(..self.n_moving).unwrap_or_default()
    }

    fn index(&self, i: usize, j: usize) -> usize {
        i * self.items.len() + j
    }

    pub(super) fn weight(&self, i: usize, j: usize) -> f64 {
        self.weights.get(self.index(i, j)).copied().unwrap_or(1.0)
    }

    pub(super) fn depth(&self, i: usize, j: usize) -> f64 {
        self.depths.get(self.index(i, j)).copied().unwrap_or(0.0)
    }

    fn set(values: &mut [f64], places: [usize; 2], value: f64) {
        for place in places {
            if let Some(v) = values.get_mut(place) {
                *v = value;
            }
        }
    }

    pub(super) fn set_weight(&mut self, i: usize, j: usize, value: f64) {
        let places = [self.index(i, j), self.index(j, i)];
        Self::set(&mut self.weights, places, value);
    }

    pub(super) fn set_depth(&mut self, i: usize, j: usize, value: f64) {
        let places = [self.index(i, j), self.index(j, i)];
        Self::set(&mut self.depths, places, value);
    }

    /// Sum of the depths of one shape.
    pub(super) fn overlap_of(&self, i: usize) -> f64 {
        (0..self.items.len()).map(|j| self.depth(i, j)).sum()
    }

    /// The same, each depth times its weight.
    pub(super) fn cost_of(&self, i: usize) -> f64 {
        (0..self.items.len())
            .map(|j| self.depth(i, j) * self.weight(i, j))
            .sum()
    }

    /// Sum of the depths of all pairs.
    pub(super) fn overlap(&self) -> f64 {
        (0..self.n_moving)
            .map(|i| {
                (i + 1..self.items.len())
                    .map(|j| self.depth(i, j))
                    .sum::<f64>()
            })
            .sum()
    }
}

/// A stretch of a line where a shape would overlap another.
#[derive(Clone, Copy, Debug)]
struct Span {
    low: f64,
    high: f64,
    weight: f64,
}

/// The workspace of searches along lines; kept, so that nothing is allocated anew.
#[derive(Debug, Default)]
pub(super) struct Lines {
    spans: Vec<Span>,
    cuts: Vec<(f64, f64)>,
    ends: Vec<f64>,
}

/// A line a shape may be pushed along: its direction, its place and both its ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Track {
    /// Direction.
    pub way: Way,
    /// The coordinate that stays.
    pub across: f64,
    /// Least coordinate along it.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

impl Lines {
    /// Collects where the shape `shape`, item `i` of the layout, would overlap others on a track.
    fn gather(&mut self, table: &mut Table, layout: &Layout, i: usize, shape: usize, track: Track) {
        self.spans.clear();
        for (j, other) in layout.items.iter().enumerate() {
            if j == i {
                continue;
            }
            let Some(no_fit) = table.no_fit(other.shape, shape) else {
                continue;
            };
            let across = track.across - track.way.across(other.at);
            let off = track.way.along(other.at);
            let (low, high) = no_fit.reach(track.way);
            if !no_fit.meets(track.way, across) || low + off > track.high || high + off < track.low
            {
                continue;
            }
            no_fit.cuts(track.way, across, &mut self.cuts);
            let weight = layout.weight(i, j);
            self.spans.extend(
                self.cuts
                    .iter()
                    .map(|cut| Span {
                        low: cut.0 + off,
                        high: cut.1 + off,
                        weight,
                    })
                    .filter(|span| span.high > track.low && span.low < track.high),
            );
        }
    }

    /// The place on a track where the shape overlaps least, counting for each other shape the way out along the track times the pair's weight;
    /// the lowest of equal places.
    ///
    /// Between two ends of stretches the sum is concave, so one of the ends is best (J. Egeblad, B. K. Nielsen and A. Odgaard, "Fast
    /// neighborhood search for two- and three-dimensional nesting problems", European Journal of Operational Research 183 (2007), for areas;
    /// S. Umetani et al., "Solving the irregular strip packing problem via guided local search for overlap minimization", International
    /// Transactions in Operational Research 16 (2009), for depths).
    pub(super) fn best(
        &mut self,
        table: &mut Table,
        layout: &Layout,
        i: usize,
        shape: usize,
        track: Track,
    ) -> f64 {
        self.gather(table, layout, i, shape, track);
        self.ends.clear();
        self.ends.push(track.low);
        self.ends.push(track.high);
        for span in &self.spans {
            for end in [span.low, span.high] {
                if end > track.low && end < track.high {
                    self.ends.push(end);
                }
            }
        }
        self.ends.sort_unstable_by(f64::total_cmp);
        let mut best = (track.low, f64::INFINITY);
        for at in &self.ends {
            let mut cost = 0.0;
            for span in &self.spans {
                let out = (at - span.low).min(span.high - at);
                if out > TOUCH_MM {
                    cost += out * span.weight;
                    if cost >= best.1 {
                        break;
                    }
                }
            }
            if cost < best.1 {
                best = (*at, cost);
                if cost == 0.0 {
                    break;
                }
            }
        }
        best.0
    }

    /// The lowest place on a track where the shape overlaps nothing.
    pub(super) fn first_free(
        &mut self,
        table: &mut Table,
        layout: &Layout,
        i: usize,
        shape: usize,
        track: Track,
    ) -> Option<f64> {
        self.gather(table, layout, i, shape, track);
        self.spans.sort_unstable_by(|a, b| a.low.total_cmp(&b.low));
        let mut at = track.low;
        for span in &self.spans {
            if span.low >= at - TOUCH_MM {
                break;
            }
            if span.high > at + TOUCH_MM {
                at = span.high;
            }
        }
        (at <= track.high + TOUCH_MM).then_some(at.min(track.high))
    }

    /// How deep item `i`, were it `shape` at `at`, would overlap item `j`.
    pub(super) fn depth(
        &mut self,
        table: &mut Table,
        layout: &Layout,
        i: usize,
        j: usize,
        shape: usize,
        at: Point,
    ) -> f64 {
        let Some(other) = layout.items.get(j) else {
            return 0.0;
        };
        table
            .no_fit(other.shape, shape)
            .filter(|_| i != j)
            .map_or(0.0, |no_fit| {
                no_fit.depth((at - other.at).to_point(), &mut self.cuts)
            })
    }

    /// What item `i` would cost there; more than `limit` when it is no less than that.
    pub(super) fn cost(
        &mut self,
        table: &mut Table,
        layout: &Layout,
        i: usize,
        shape: usize,
        at: Point,
        limit: f64,
    ) -> f64 {
        let mut cost = 0.0;
        for j in 0..layout.items.len() {
            cost += self.depth(table, layout, i, j, shape, at) * layout.weight(i, j);
            if cost >= limit {
                break;
            }
        }
        cost
    }

    /// Puts item `i` there and measures its overlaps.
    pub(super) fn put(
        &mut self,
        table: &mut Table,
        layout: &mut Layout,
        i: usize,
        shape: usize,
        at: Point,
    ) {
        if let Some(item) = layout.items.get_mut(i) {
            item.shape = shape;
            item.at = at;
        }
        for j in 0..layout.items.len() {
            let depth = self.depth(table, layout, i, j, shape, at);
            layout.set_depth(i, j, depth);
        }
    }

    /// Measures all overlaps.
    pub(super) fn measure(&mut self, table: &mut Table, layout: &mut Layout) {
        for i in 0..layout.n_moving {
            let Some(item) = layout.items.get(i).copied() else {
                continue;
            };
            for j in i + 1..layout.items.len() {
                let depth = self.depth(table, layout, i, j, item.shape, item.at);
                layout.set_depth(i, j, depth);
            }
        }
    }
}
