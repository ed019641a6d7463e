//! Why a knife is not drawn.

use std::fmt;

use crate::geometry::{OffsetError, OutlineFault};
use crate::knife::EngravingError;
use crate::weighing::Missing;

/// Reasons listed in one message before the rest is only counted.
const MOST_SHOWN: usize = 3;

/// One thing that keeps a knife from the paper or the cutter.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Reason {
    /// The outline is not fit to be drawn.
    #[error("{fault}: mend the outline first")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// The outline of a free cut-out is not fit to be drawn.
    #[error("cut-out {cut_out}: {fault}: mend its outline first")]
    CutOutOutline {
        /// Name of the cut-out.
        cut_out: String,
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// A cut-out or the guard does not fit.
    #[error("{missing}")]
    DoesNotFit {
        /// What does not fit, in the words of the weigh-up.
        missing: Missing,
    },
    /// No outline lies outside the drawn one by the steel that is to be left on.
    #[error("{fault}")]
    Allowance {
        /// Why.
        fault: OffsetError,
    },
    /// An opening is narrower than the cut.
    #[error(
        "an opening is too narrow for the kerf the file allows for: widen it, or leave the kerf to the service"
    )]
    Kerf {
        /// Why nothing is left of it.
        fault: OffsetError,
    },
    /// The name on the tang.
    #[error("{fault}")]
    Engraving {
        /// Why it is not engraved.
        fault: EngravingError,
    },
    /// Tabs that find no straight cut to stand on.
    #[error(
        "{asked} tabs find no room on straight cuts off the edge, {found} would: ask for fewer or narrower ones"
    )]
    NoRoomForTabs {
        /// How many were asked for.
        asked: u32,
        /// How many there is room for.
        found: usize,
    },
    /// A measure is not a number that can be drawn.
    #[error("{what} has a measure that is not a positive number: type it again")]
    NotANumber {
        /// Which part.
        what: String,
    },
}

/// A knife that is not drawn, with every reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// Name of the knife.
    pub knife: String,
    /// Why; never empty.
    pub reasons: Vec<Reason>,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "'{}' is not drawn", self.knife)?;
        for (i, reason) in self.reasons.iter().take(MOST_SHOWN).enumerate() {
            write!(f, "{} {reason}", if i == 0 { ":" } else { ";" })?;
        }
        match self.reasons.len().saturating_sub(MOST_SHOWN) {
            0 => Ok(()),
            more => write!(f, "; and {more} more"),
        }
    }
}

impl std::error::Error for Refused {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_names_the_knife_and_not_too_many_reasons() {
        let reason = |n: usize| Reason::NotANumber {
            what: format!("cut-out {n}"),
        };
        let refused = |n| Refused {
            knife: "paring".to_owned(),
            reasons: (0..n).map(reason).collect(),
        };
        assert_eq!(
            refused(1).to_string(),
            "'paring' is not drawn: cut-out 0 has a measure that is not a positive number: type it again"
        );
        assert!(refused(5).to_string().ends_with("; and 2 more"));
    }
}
