//! The whole search: a first layout, then more blanks or less length, round by round.

use super::layout::{Item, Layout, Lines};
use super::prepare::{Ready, ready};
use super::problem::{Blank, LeftOver, Nest, NestError, NestOptions, Progress, Stock, Why};
use super::random::Random;
use super::separate::{Parted, Search, Watch};
use super::table::{anywhere, clamped};

/// Shares of the length that are tried to be saved, in turn.
const STEPS: [f64; 4] = [0.02, 0.006, 0.012, 0.003];

/// Attempts at one step, each from where the one before got stuck, before the next step is tried from the best layout.
const SAME_STEP: usize = 4;

/// Most pairs of blanks that change places before an attempt.
const MOST_SWAPS: usize = 3;

/// Attempts without success after which a length, or a left over blank, is given up.
const MOST_ATTEMPTS: usize = 150;

/// Tries to place one more blank before it stays left over.
const MOST_TRIES: usize = 12;

/// Lengths no more than this above what is possible are not worth a search, mm.
const NO_GAIN_MM: f64 = 1e-6;

/// Nests blanks on a stock: on a bar or sheet with as little length as possible, on an odd piece as many as possible.
///
/// `keep_going` is told after each round of the search, which takes milliseconds, and stops it by `false`; the best nest until then is kept. Without a
/// stop the search ends by itself when nothing has been gained for long. The same input gives the same nest after the same number
/// of rounds.
///
/// # Errors
/// Sizes, counts or outlines that can't be used; see [`NestError`].
pub fn nest(
    blanks: &[Blank],
    stock: &Stock,
    options: &NestOptions,
    keep_going: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Nest, NestError> {
    let (ready, shapes) = ready(blanks, stock, options)?;
    let fits = |turns: &Vec<usize>| turns.iter().any(|s| shapes.table.places(*s).is_some());
    let fits = shapes.turns.iter().map(fits).collect();
    let mut search = Search {
        fits,
        table: shapes.table,
        lines: Lines::default(),
        random: Random::new(options.seed),
        turns: shapes.turns,
        watch: Watch {
            keep_going,
            best: Nest::default(),
            rounds: 0,
            stopped: false,
        },
    };
    search.run(&ready);
    Ok(search.watch.best)
}

impl Search<'_> {
    fn run(&mut self, ready: &Ready) {
        let (mut layout, mut left_over) = self.first(ready);
        self.report(ready, &layout, &left_over);
        self.fill(ready, &mut layout, &mut left_over);
        let hopeless = left_over.iter().all(|blank| !self.fits_alone(*blank));
        if hopeless && ready.width_mm.is_some() {
            self.shorten(ready, &mut layout, &left_over);
        }
    }

    /// The first layout: of the largest blanks first and, if not all find room, of the smallest first too.
    fn first(&mut self, ready: &Ready) -> (Layout, Vec<usize>) {
        let mut order = ready.largest_first();
        let first = self.start(&order, &ready.fixed);
        if first.1.is_empty() {
            return first;
        }
        order.reverse();
        let second = self.start(&order, &ready.fixed);
        if second.1.len() < first.1.len() {
            second
        } else {
            first
        }
    }

    fn report(&mut self, ready: &Ready, layout: &Layout, left_over: &[usize]) {
        let listed = (0..ready.counts.len())
            .filter_map(|blank| {
                let count = left_over.iter().filter(|b| **b == blank).count();
                let why = match (self.fits_alone(blank), self.watch.stopped) {
                    (false, _) => Why::TooLarge,
                    (true, true) => Why::Stopped,
                    (true, false) => Why::NoRoom,
                };
                (count > 0).then_some(LeftOver { blank, count, why })
            })
            .collect();
        self.watch.best = ready.nest(layout.moving(), listed);
    }

    /// Whether a blank has room on the whole stock in some turn.
    fn fits_alone(&self, blank: usize) -> bool {
        self.fits.get(blank).copied().unwrap_or(false)
    }

    /// Makes room for blanks that were left over, the smallest first.
    fn fill(&mut self, ready: &Ready, layout: &mut Layout, left_over: &mut Vec<usize>) {
        // The list ends with the smallest; those that even alone don't fit are never tried.
        let order = ready.largest_first();
        let rank = |blank: &usize| order.iter().position(|b| b == blank);
        left_over.sort_by_key(rank);
        let mut hopeless: Vec<usize> = (0..ready.counts.len())
            .filter(|blank| !self.fits_alone(*blank))
            .collect();
        while let Some(k) = left_over.iter().rposition(|b| !hopeless.contains(b)) {
            let Some(blank) = left_over.get(k).copied() else {
                return;
            };
            let grown = (0..MOST_TRIES).find_map(|_| self.with_one_more(ready, layout, blank));
            if self.watch.stopped {
                return;
            }
            match grown {
                Some(grown) => {
                    *layout = grown;
                    left_over.remove(k);
                    self.report(ready, layout, left_over);
                }
                None => hopeless.push(blank),
            }
        }
    }

    /// The layout with a blank put anywhere and all pulled apart, if that can be done.
    fn with_one_more(&mut self, ready: &Ready, layout: &Layout, blank: usize) -> Option<Layout> {
        let shapes = self.turns.get(blank)?.clone();
        let fitting: Vec<usize> = shapes
            .into_iter()
            .filter(|shape| self.table.places(*shape).is_some())
            .collect();
        let shape = *fitting.get(self.random.below(fitting.len()))?;
        let places = self.table.places(shape)?;
        if self.watch.stopped {
            return None;
        }
        let mut items = layout.moving().to_vec();
        items.push(Item {
            blank,
            shape,
            at: anywhere(&mut self.random, places),
        });
        let mut grown = Layout::new(items, &ready.fixed);
        (self.separate(&mut grown) == Parted::Free).then_some(grown)
    }

    /// Saves length, step by step, until nothing is gained any more.
    fn shorten(&mut self, ready: &Ready, best: &mut Layout, left_over: &[usize]) {
        let room = self.table.room();
        let least = self.least_length(ready, best.moving());
        let length_of = |layout: &Layout| ready.reach(layout.moving()) - room.x0;
        let mut length = length_of(best);
        let mut attempts = 0;
        let mut from = best.clone();
        while length > least + NO_GAIN_MM && attempts < MOST_ATTEMPTS {
            if attempts % SAME_STEP == 0 {
                from = best.clone();
            }
            let step = STEPS[attempts / SAME_STEP % STEPS.len()];
            self.table.set_length((length * (1.0 - step)).max(least));
            let mut trial = Layout::new(from.moving().to_vec(), &ready.fixed);
            if attempts > 0 {
                self.stir(&mut trial, 1 + attempts % MOST_SWAPS);
            }
            self.push_in(&mut trial);
            match self.separate(&mut trial) {
                Parted::Free => {
                    *best = trial;
                    length = length_of(best);
                    attempts = 0;
                    self.report(ready, best, left_over);
                }
                Parted::Stuck => {
                    attempts += 1;
                    from = trial;
                }
                Parted::Stopped => return,
            }
        }
    }

    /// No length can be less than this: the area over the width, or the longest blank in its shortest turn.
    fn least_length(&self, ready: &Ready, placed: &[Item]) -> f64 {
        let room = self.table.room();
        let area: f64 = placed
            .iter()
            .filter_map(|item| ready.areas.get(item.blank))
            .sum();
        let shortest = |item: &Item| {
            self.turns
                .get(item.blank)
                .into_iter()
                .flatten()
                .filter(|shape| self.table.places(**shape).is_some())
                .map(|shape| self.table.bounds(*shape).width())
                .fold(f64::INFINITY, f64::min)
        };
        let longest = placed
            .iter()
            .map(shortest)
            .filter(|length| length.is_finite())
            .fold(0.0, f64::max);
        if room.height() > 0.0 {
            longest.max(area / room.height())
        } else {
            longest
        }
    }

    /// Exchanges the places of some shapes.
    fn stir(&mut self, layout: &mut Layout, times: usize) {
        for _ in 0..times {
            let (i, j) = (
                self.random.below(layout.n_moving),
                self.random.below(layout.n_moving),
            );
            if let (Some(a), Some(b)) = (layout.items.get(i).copied(), layout.items.get(j).copied())
            {
                for (k, at) in [(i, b.at), (j, a.at)] {
                    if let Some(item) = layout.items.get_mut(k) {
                        item.at = at;
                    }
                }
            }
        }
    }

    /// Moves all shapes into the room; one too long for it in its present turn takes another.
    fn push_in(&mut self, layout: &mut Layout) {
        for k in 0..layout.n_moving {
            let Some(item) = layout.items.get_mut(k) else {
                continue;
            };
            let turns = self.turns.get(item.blank).into_iter().flatten();
            let found = std::iter::once(&item.shape)
                .chain(turns)
                .find_map(|shape| Some((*shape, self.table.places(*shape)?)));
            if let Some((shape, places)) = found {
                item.shape = shape;
                item.at = clamped(item.at, places);
            }
        }
    }
}
