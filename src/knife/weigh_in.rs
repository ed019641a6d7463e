//! Weigh-ins: what the scale said at a stage of the work.

use super::Id;

/// One weigh-in.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighIn {
    /// Stable within the knife.
    pub id: Id,
    /// How far the work was.
    pub stage: Stage,
    /// The day, as `year-month-day`.
    pub date: String,
    /// What the scale said, g.
    pub mass_g: f64,
    /// Where the knife balanced on a finger, mm from the shoulder line, if that was tried.
    pub balance_mm: Option<f64>,
}

/// A stage of the work at which a knife can be weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// The profile is cut, nothing is drilled.
    Blank,
    /// All holes are drilled.
    Drilled,
    /// Tapers and bevels are ground.
    Ground,
    /// Guard, handle, pins: all together.
    Finished,
}

impl Stage {
    /// All of them, in the order of the work.
    pub const ALL: [Self; 4] = [Self::Blank, Self::Drilled, Self::Ground, Self::Finished];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Blank => "blank as cut",
            Self::Drilled => "drilled",
            Self::Ground => "ground",
            Self::Finished => "finished",
        }
    }
}
