//! Nesting at work: two searches on threads of their own, the best nest so far taken over as it comes, stopped at any time.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

use crate::knife::{Knife, KnifeSet};
use crate::nesting::{Blank, LeftOver, Nest, NestError, NestOptions, Stock, Why, nest};
use crate::sheet::{
    ExportFile, LeftForBench, Sheet, Text, as_cut, knife_blank, nest_bars, nest_files, nest_sheet,
    nest_words,
};
use crate::units::LengthFormat;
use crate::window::beside::work_beside;
use crate::window::preview::{Lines, drawn};

/// Searches that run side by side, each with its own seed; the best nest is kept.
const SEARCHES: u64 = 2;
/// A better nest is drawn no sooner than so long after the one before.
const DRAWN_EVERY: Duration = Duration::from_millis(80);

/// What is nested, on what, and how.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::window) struct NestWish {
    /// Which knives, and how many of each.
    pub counts: Vec<(Arc<Knife>, usize)>,
    /// What is cut from.
    pub stock: Stock,
    /// Least distance between two knives, mm.
    pub gap_mm: f64,
    /// Least distance from the edge of the stock and from flaws, mm.
    pub edge_mm: f64,
    /// Whether knives may lie across the rolling direction.
    pub any_turn: bool,
    /// Whether knives may be cut with the other face up.
    pub mirror: bool,
    /// What is left on for the bench.
    pub left: LeftForBench,
    /// How lengths are told.
    pub lengths: LengthFormat,
}

/// A nest that was found, ready for the screen.
#[derive(Debug)]
struct Found {
    nest: Nest,
    drawn: Sheet,
    lines: Lines,
    /// The names of the knives, one for each that is placed.
    names: Vec<Text>,
}

/// A search under way.
#[derive(Debug)]
struct Run {
    stop: Arc<AtomicBool>,
    rounds: Arc<AtomicUsize>,
    told: Receiver<Told>,
    /// Searches that have not ended yet.
    left: usize,
    since: Instant,
    /// A better nest that was not drawn yet.
    better: Option<Nest>,
    drawn: Option<Instant>,
}

/// What a search has to tell.
enum Told {
    /// The sheets of the knives, and how many searches there are.
    Begun(Vec<Sheet>, usize),
    /// Why a knife can't be cut.
    Refused(String),
    Better(Nest),
    Ended(Result<Nest, NestError>),
    /// A search found no thread.
    Gone,
}

/// What nesting was asked, does and has found.
#[derive(Debug, Default)]
pub(in crate::window) struct Nester {
    run: Option<Run>,
    wish: Option<NestWish>,
    sheets: Vec<Sheet>,
    found: Option<Found>,
    trouble: Option<String>,
    /// Rounds the last search did, and how long it took, so far.
    rounds: usize,
    took: Duration,
}

impl Nester {
    /// Begins a search; what was found before is forgotten.
    pub(in crate::window) fn start(
        &mut self,
        wish: NestWish,
        set: &KnifeSet,
        awake: impl Fn() + Clone + Send + 'static,
    ) {
        self.drop_all();
        let (tell, told) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let rounds = Arc::new(AtomicUsize::new(0));
        let search = OneSearch {
            blanks: Vec::new(),
            stock: wish.stock.clone(),
            options: NestOptions {
                gap_mm: wish.gap_mm,
                edge_mm: wish.edge_mm,
                seed: 1,
            },
            stop: Arc::clone(&stop),
            rounds: Arc::clone(&rounds),
            tell,
        };
        let (own, set) = (wish.clone(), set.clone());
        // Sheets of many holes take longer than a frame has.
        let begun = work_beside("nesting 1", move || match blanks(&own, &set) {
            Ok((sheets, blanks)) => OneSearch { blanks, ..search }.with_others(sheets, &awake),
            Err(trouble) => {
                // Nobody listens any more when it was dropped.
                let _ = search.tell.send(Told::Refused(trouble));
                awake();
            }
        });
        if begun.is_err() {
            self.trouble =
                Some("the search can't be started: close something and try again".to_owned());
            return;
        }
        self.run = Some(Run {
            stop,
            rounds,
            told,
            left: 1,
            since: Instant::now(),
            better: None,
            drawn: None,
        });
        self.wish = Some(wish);
    }

    /// Takes over what was found; `true` while a search goes on.
    pub(in crate::window) fn tend(&mut self) -> bool {
        let Some(run) = &mut self.run else {
            return false;
        };
        self.took = run.since.elapsed();
        self.rounds = run.rounds.load(Ordering::Relaxed);
        loop {
            match run.told.try_recv() {
                Ok(Told::Begun(sheets, searches)) => {
                    self.sheets = sheets;
                    run.left = searches;
                }
                Ok(Told::Refused(trouble)) => {
                    self.trouble = Some(trouble);
                    self.wish = None;
                    run.left = 0;
                }
                Ok(Told::Better(nest)) => run.take(nest, self.found.as_ref()),
                Ok(Told::Ended(answer)) => {
                    run.left = run.left.saturating_sub(1);
                    match answer {
                        Ok(nest) => run.take(nest, self.found.as_ref()),
                        Err(error) => self.trouble = Some(error.to_string()),
                    }
                }
                Ok(Told::Gone) => run.left = run.left.saturating_sub(1),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => {
                    run.left = 0;
                    break;
                }
            }
        }
        let over = run.left == 0;
        let due = run.drawn.is_none_or(|at| at.elapsed() >= DRAWN_EVERY);
        if (over || due)
            && let Some(better) = run.better.take()
        {
            run.drawn = Some(Instant::now());
            self.show(better);
        }
        if over {
            self.run = None;
        }
        !over
    }

    fn show(&mut self, nest: Nest) {
        let Some(wish) = &self.wish else { return };
        let words = nest_words(&nest, &wish.stock, wish.lengths);
        let drawn_sheet = nest_sheet("nest", &words, &self.sheets, &nest, &wish.stock);
        let mut lines = drawn(&drawn_sheet.entities);
        self.found = Some(Found {
            names: std::mem::take(&mut lines.texts),
            lines,
            drawn: drawn_sheet,
            nest,
        });
    }

    /// Says why nothing is nested; what was found before is forgotten.
    pub(in crate::window) fn refuse(&mut self, trouble: String) {
        self.drop_all();
        self.trouble = Some(trouble);
    }

    /// Stops the search; the best nest so far stays.
    pub(in crate::window) fn stop(&mut self) {
        if let Some(run) = &self.run {
            run.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Stops the search and forgets what was found.
    pub(in crate::window) fn drop_all(&mut self) {
        self.stop();
        *self = Self::default();
    }

    /// Whether a search goes on.
    #[must_use]
    pub(in crate::window) fn works(&self) -> bool {
        self.run.is_some()
    }

    /// Rounds done, and for how long the search has gone on or took.
    #[must_use]
    pub(super) fn progress(&self) -> (usize, Duration) {
        (self.rounds, self.took)
    }

    /// Why nothing is nested.
    #[must_use]
    pub(super) fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// The lines of the best nest so far, and the names of its knives.
    #[must_use]
    pub(super) fn lines(&self) -> Option<(&Lines, &[Text])> {
        let found = self.found.as_ref()?;
        Some((&found.lines, found.names.as_slice()))
    }

    /// The best nest so far.
    #[must_use]
    pub(super) fn nest(&self) -> Option<&Nest> {
        self.found.as_ref().map(|found| &found.nest)
    }

    /// What the present nest was made for.
    #[must_use]
    pub(super) fn wish(&self) -> Option<&NestWish> {
        self.wish.as_ref()
    }

    /// The best nest so far in a line.
    #[must_use]
    pub(super) fn words(&self) -> Option<&str> {
        self.found.as_ref().map(|found| found.drawn.note.as_str())
    }

    /// The bars the knives are of, each with the first knife of it.
    #[must_use]
    pub(super) fn bars(&self) -> Vec<String> {
        nest_bars(&self.sheets)
    }

    /// What is left over, a line for each knife.
    #[must_use]
    pub(super) fn left_over(&self) -> Vec<String> {
        let Some(found) = &self.found else {
            return Vec::new();
        };
        let line = |left: &LeftOver| {
            let name = self
                .sheets
                .get(left.blank)
                .map_or("", |sheet| sheet.name.as_str());
            let why = match left.why {
                Why::TooLarge => "too large for the stock in any turn allowed",
                Why::NoRoom => "no room was found",
                Why::Stopped => "its turn has not come",
            };
            format!("{name}: {} left over, {why}", left.count)
        };
        found.nest.left_over.iter().map(line).collect()
    }

    /// The cutting files of the best nest so far.
    #[must_use]
    pub(in crate::window) fn files(&self) -> Vec<ExportFile> {
        let drawn = self.found.as_ref().map(|found| &found.drawn);
        drawn.map_or_else(Vec::new, |drawn| nest_files(drawn).into())
    }
}

impl Drop for Nester {
    fn drop(&mut self) {
        self.stop();
    }
}

impl Run {
    /// Keeps a nest if it is better than all there were.
    fn take(&mut self, nest: Nest, found: Option<&Found>) {
        let than_shown = found.is_none_or(|found| nest.is_better_than(&found.nest));
        let than_waiting = self
            .better
            .as_ref()
            .is_none_or(|own| nest.is_better_than(own));
        if than_shown && than_waiting {
            self.better = Some(nest);
        }
    }
}

/// One search, to be run on a thread.
#[derive(Clone)]
struct OneSearch {
    blanks: Vec<Blank>,
    stock: Stock,
    options: NestOptions,
    stop: Arc<AtomicBool>,
    rounds: Arc<AtomicUsize>,
    tell: Sender<Told>,
}

impl OneSearch {
    /// Begins the other searches, each with its own seed, tells of them, and runs this one.
    fn with_others(self, sheets: Vec<Sheet>, awake: &(impl Fn() + Clone + Send + 'static)) {
        let mut others = Vec::new();
        for seed in 2..=SEARCHES {
            let (mut other, awake) = (self.clone(), awake.clone());
            other.options.seed = seed;
            others.push((seed, move || other.run(&awake)));
        }
        // Told first, so that it is heard before anything a search has found.
        let count = 1 + others.len();
        let _ = self.tell.send(Told::Begun(sheets, count));
        for (seed, other) in others {
            if work_beside(&format!("nesting {seed}"), other).is_err() {
                let _ = self.tell.send(Told::Gone);
            }
        }
        self.run(awake);
    }

    fn run(self, awake: &impl Fn()) {
        let mut last: Option<Nest> = None;
        let found = nest(&self.blanks, &self.stock, &self.options, &mut |progress| {
            self.rounds.fetch_add(1, Ordering::Relaxed);
            let best = progress.best;
            let worth = last.as_ref().is_none_or(|last| best.is_better_than(last));
            if worth && !best.placed.is_empty() {
                last = Some(best.clone());
                // Nobody listens any more once it was dropped; the flag below ends the search then.
                let _ = self.tell.send(Told::Better(best.clone()));
                awake();
            }
            !self.stop.load(Ordering::Relaxed)
        });
        let _ = self.tell.send(Told::Ended(found));
        awake();
    }
}

/// The knives as blanks, with their cutting sheets; or why one can't be cut.
fn blanks(wish: &NestWish, set: &KnifeSet) -> Result<(Vec<Sheet>, Vec<Blank>), String> {
    let mut sheets = Vec::new();
    let mut blanks = Vec::new();
    for (knife, count) in &wish.counts {
        let sheet = as_cut(knife, set, &wish.left, wish.lengths).map_err(|e| e.to_string())?;
        let blank = knife_blank(knife, &sheet, *count, wish.any_turn, wish.mirror);
        blanks.extend(blank);
        sheets.push(sheet);
    }
    Ok((sheets, blanks))
}
