//! What is to be nested, on what, and what comes of it.

use crate::geometry::{Contour, Motion, OutlineFault};

/// Most kinds of blanks in one nest.
pub const MOST_KINDS: usize = 40;
/// Most blanks in one nest.
pub const MOST_BLANKS: usize = 400;
/// The longest bar, mm: what the coordinates of a nest are exact enough for.
pub const LONGEST_BAR_MM: f64 = 20_000.0;
/// The widest gap or margin, mm.
pub const WIDEST_GAP_MM: f64 = 500.0;
/// Most flaws marked on a forging.
pub const MOST_FLAWS: usize = 200;
/// Most turns listed for a blank.
pub const MOST_TURNS: usize = 72;

/// Which turns a blank may take.
#[derive(Clone, Debug, PartialEq)]
pub enum Turns {
    /// As drawn or turned end for end: along the rolling direction.
    Along,
    /// Every 15 degrees.
    Free,
    /// These, radians counterclockwise.
    Listed(Vec<f64>),
}

impl Turns {
    /// The turns, radians.
    pub(super) fn angles(&self) -> Vec<f64> {
        match self {
            Self::Along => vec![0.0, std::f64::consts::PI],
            Self::Free => (0..24)
                .map(|k| f64::from(k) * 15.0_f64.to_radians())
                .collect(),
            Self::Listed(turns) => turns.clone(),
        }
    }
}

/// An outline to be cut out, so many times.
#[derive(Clone, Debug, PartialEq)]
pub struct Blank {
    /// Outline, closed and simple, mm; holes in it do not matter, nothing is put into them.
    pub outline: Contour,
    /// How many.
    pub count: usize,
    /// Turns it may take.
    pub turns: Turns,
    /// Whether it may be cut mirrored (the other face up). Not for a knife whose faces differ.
    pub mirror: bool,
}

/// What is cut from.
#[derive(Clone, Debug, PartialEq)]
pub enum Stock {
    /// A bar or sheet with its corner at the origin: its length runs along x, and as little of it as possible is used.
    Bar {
        /// Along y, mm.
        width_mm: f64,
        /// Along x, mm.
        length_mm: f64,
    },
    /// An odd piece, such as a forging: as many blanks as possible are placed.
    Odd {
        /// Its outline, closed and simple, mm.
        outline: Contour,
        /// Areas to be kept out of, closed and simple, mm.
        flaws: Vec<Contour>,
    },
}

/// How the blanks are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NestOptions {
    /// Least distance between two blanks, mm.
    pub gap_mm: f64,
    /// Least distance of a blank from the edge of the stock and from flaws, mm.
    pub edge_mm: f64,
    /// Another seed, another search; the same seed, the same nest.
    pub seed: u64,
}

/// A blank at its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Index of the blank.
    pub blank: usize,
    /// From the blank's own coordinates to those of the stock.
    pub motion: Motion,
}

/// Why blanks were left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Even alone it does not fit between the margins in any turn it may take.
    TooLarge,
    /// No room was found for it.
    NoRoom,
    /// The search was stopped before it came to it.
    Stopped,
}

/// Blanks that were left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeftOver {
    /// Index of the blank.
    pub blank: usize,
    /// How many of it.
    pub count: usize,
    /// Why.
    pub why: Why,
}

/// A nest: nothing overlaps, gaps and margins are kept.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nest {
    /// What is placed.
    pub placed: Vec<Placed>,
    /// What is not.
    pub left_over: Vec<LeftOver>,
    /// Length of bar it takes, margins on both ends included, mm; of an odd piece, how far its blanks reach along x.
    pub used_length_mm: f64,
    /// Area of the outlines placed over that of the stock they take: length used times width, or the whole odd piece less its flaws.
    pub density: f64,
}

impl Nest {
    /// Whether it places more than another one, or as much on less.
    #[must_use]
    pub fn is_better_than(&self, other: &Self) -> bool {
        let (placed, than) = (self.placed.len(), other.placed.len());
        placed > than || (placed == than && self.used_length_mm < other.used_length_mm)
    }
}

/// How far a search has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress<'a> {
    /// Rounds done.
    pub rounds: usize,
    /// The best nest so far; a whole and valid one.
    pub best: &'a Nest,
}

/// Why nothing can be nested.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NestError {
    /// There is nothing to do.
    #[error("there is nothing to nest: give at least one blank")]
    Nothing,
    /// More than can be nested in useful time.
    #[error("{count} {what} are more than the {most} that can be nested at once: take fewer")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// How many.
        count: usize,
        /// The limit.
        most: usize,
    },
    /// A size that is none.
    #[error("{what} of {mm} mm is not between {least} and {most} mm")]
    Size {
        /// Which.
        what: &'static str,
        /// As given, mm.
        mm: f64,
        /// The least it may be, mm.
        least: f64,
        /// The most it may be, mm.
        most: f64,
    },
    /// A turn that is no angle.
    #[error("blank {blank} has a turn that is not an angle")]
    Turn {
        /// Index of the blank.
        blank: usize,
    },
    /// An outline that encloses nothing or crosses itself.
    #[error("{what} {index}: {fault}: mend the outline first")]
    Outline {
        /// Whose.
        what: &'static str,
        /// Index among its kind.
        index: usize,
        /// What is wrong.
        fault: OutlineFault,
    },
    /// An outline that is too long or too fine.
    #[error("{what} {index} has too long or too fine an outline to be nested: simplify it")]
    TooFine {
        /// Whose.
        what: &'static str,
        /// Index among its kind.
        index: usize,
    },
}
