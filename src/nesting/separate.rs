//! Pulling overlapping shapes apart in a room of a given size.
//!
//! Guided local search: one overlapping shape at a time goes to the place where its weighted overlap is least; a pair that stays
//! entangled weighs more from round to round, until its shapes part (S. Umetani et al., International Transactions in Operational Research 16 (2009), pp. 661-683;
//! J. Egeblad et al., European Journal of Operational Research 183 (2007), pp. 1249-1266). Places are looked for along level and upright lines in turn.

use crate::geometry::{Point, Rect};

use super::layout::{Layout, Lines, Track};
use super::problem::{Nest, Progress};
use super::random::Random;
use super::table::{Table, anywhere, clamped};
use super::zone::Way;

/// Rounds without a new least overlap after which a layout is given up.
const PATIENCE: usize = 60;

/// Lines tried in turn before a start is settled.
const MOST_LINES: usize = 8;

/// Random starts for each turn of a shape, besides where it stands.
const STARTS: usize = 3;

/// Turns tried for one move when a shape may take many.
const MOST_TURNS: usize = 6;

/// What separating came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Parted {
    /// Nothing overlaps.
    Free,
    /// No way was found.
    Stuck,
    /// The caller wants no more.
    Stopped,
}

/// Everything a search needs besides the layout.
#[derive(Debug)]
pub(super) struct Search<'a> {
    pub table: Table,
    pub lines: Lines,
    pub random: Random,
    /// The shapes of each blank: one for each turn.
    pub turns: Vec<Vec<usize>>,
    /// Whether each blank has room on the whole stock in some turn.
    pub fits: Vec<bool>,
    /// Who looks on.
    pub watch: Watch<'a>,
}

/// Who looks on: is told each round, and may want no more.
pub(super) struct Watch<'a> {
    /// Told after each round.
    pub keep_going: &'a mut dyn FnMut(&Progress<'_>) -> bool,
    /// The best nest so far.
    pub best: Nest,
    /// Rounds done.
    pub rounds: usize,
    /// Whether the caller wants no more.
    pub stopped: bool,
}

impl Watch<'_> {
    /// Tells of a round; whether to go on.
    pub(super) fn go_on(&mut self) -> bool {
        self.rounds += 1;
        let progress = Progress {
            rounds: self.rounds,
            best: &self.best,
        };
        self.stopped = self.stopped || !(self.keep_going)(&progress);
        !self.stopped
    }
}

impl std::fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Watch")
            .field("rounds", &self.rounds)
            .field("stopped", &self.stopped)
            .finish_non_exhaustive()
    }
}

/// A shape at a place, and what it costs there.
#[derive(Clone, Copy, Debug)]
struct Choice {
    shape: usize,
    at: Point,
    cost: f64,
}

impl Search<'_> {
    /// Moves shapes until none overlaps.
    pub(super) fn separate(&mut self, layout: &mut Layout) -> Parted {
        self.lines.measure(&mut self.table, layout);
        let mut least = f64::INFINITY;
        let mut waited = 0;
        loop {
            let overlap = layout.overlap();
            if overlap == 0.0 {
                return Parted::Free;
            }
            if overlap < 0.98 * least {
                least = overlap;
                waited = 0;
            } else {
                waited += 1;
                if waited > PATIENCE {
                    return Parted::Stuck;
                }
            }
            if !self.watch.go_on() {
                return Parted::Stopped;
            }
            self.round(layout);
            reweigh(layout);
        }
    }

    /// Each overlapping shape moves once, in random order.
    fn round(&mut self, layout: &mut Layout) {
        let mut order: Vec<usize> = (0..layout.n_moving)
            .filter(|i| layout.overlap_of(*i) > 0.0)
            .collect();
        self.random.shuffle(&mut order);
        for i in order {
            if layout.overlap_of(i) > 0.0 {
                self.relocate(layout, i);
            }
        }
    }

    /// Puts one shape where it costs least, over its turns and some starts for each.
    fn relocate(&mut self, layout: &mut Layout, i: usize) {
        let Some(item) = layout.items.get(i).copied() else {
            return;
        };
        let mut best = Choice {
            shape: item.shape,
            at: item.at,
            cost: layout.cost_of(i),
        };
        for shape in self.some_turns(item.blank, item.shape) {
            let Some(places) = self.table.places(shape) else {
                continue;
            };
            for start in 0..=STARTS {
                let from = if start == 0 {
                    clamped(item.at, places)
                } else {
                    anywhere(&mut self.random, places)
                };
                self.settle(layout, i, shape, from, places, &mut best);
                if best.cost == 0.0 {
                    break;
                }
            }
        }
        if best.shape != item.shape || best.at != item.at {
            self.lines
                .put(&mut self.table, layout, i, best.shape, best.at);
        }
    }

    /// The turns of a blank to try: all, or if there are many the present one and a random few.
    fn some_turns(&mut self, blank: usize, present: usize) -> Vec<usize> {
        let mut turns = self.turns.get(blank).cloned().unwrap_or_default();
        self.random.shuffle(&mut turns);
        if turns.len() > MOST_TURNS {
            turns.retain(|t| *t != present);
            turns.truncate(MOST_TURNS - 1);
            turns.push(present);
        }
        turns
    }

    /// Slides a shape along level and upright lines in turn while that makes it better, and keeps the best place it passes.
    fn settle(
        &mut self,
        layout: &Layout,
        i: usize,
        shape: usize,
        from: Point,
        places: Rect,
        best: &mut Choice,
    ) {
        let mut at = from;
        let mut cost = f64::INFINITY;
        let mut way = if self.random.below(2) == 0 {
            Way::Level
        } else {
            Way::Upright
        };
        for line in 0..MOST_LINES {
            let track = track(way, at, places);
            let along = self.lines.best(&mut self.table, layout, i, shape, track);
            let next = way.point(along, track.across);
            let found = self
                .lines
                .cost(&mut self.table, layout, i, shape, next, cost);
            if found >= cost && line > 0 {
                return;
            }
            (at, cost) = (next, found);
            if cost < best.cost {
                *best = Choice { shape, at, cost };
                if cost == 0.0 {
                    return;
                }
            }
            way = match way {
                Way::Level => Way::Upright,
                Way::Upright => Way::Level,
            };
        }
    }
}

/// The line through a point from end to end of the places.
pub(super) fn track(way: Way, at: Point, places: Rect) -> Track {
    Track {
        way,
        across: way.across(at),
        low: way.along(places.origin()),
        high: way.along(Point::new(places.x1, places.y1)),
    }
}

/// Pairs that overlap weigh more, in proportion to how deep they are.
fn reweigh(layout: &mut Layout) {
    let n = layout.items.len();
    let mut deepest: f64 = 0.0;
    for i in 0..layout.n_moving {
        for j in i + 1..n {
            deepest = deepest.max(layout.depth(i, j));
        }
    }
    if deepest <= 0.0 {
        return;
    }
    for i in 0..layout.n_moving {
        for j in i + 1..n {
            let depth = layout.depth(i, j);
            let weight = layout.weight(i, j);
            let weight = if depth > 0.0 {
                weight + depth / deepest
            } else {
                (weight * 0.95).max(1.0)
            };
            layout.set_weight(i, j, weight);
        }
    }
}
