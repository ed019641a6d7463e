//! One finding: what is the matter, where, how much, why, and how to mend it.

use super::Words;
use crate::geometry::Point;
use crate::knife::{Id, LandmarkKind};

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The design can't be made, or its numbers can't be known.
    Stop,
    /// It can be made, but is likely to fail or to disappoint.
    Warn,
    /// Worth knowing before the saw is switched on.
    Note,
}

impl Severity {
    /// The word the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Warn => "warn",
            Self::Note => "note",
        }
    }
}

/// What a finding speaks of, so that it can be shown and picked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The knife as a whole.
    Knife,
    /// A node of the steel outline.
    Node(Id),
    /// The piece of the steel outline that begins at this node.
    Piece(Id),
    /// Cut-outs by name: `12`, or `12.3` for the third hole of row 12.
    CutOuts(Vec<String>),
    /// A landmark that is set.
    Landmark(LandmarkKind),
    /// The tang.
    Tang,
    /// The bar.
    Stock,
    /// The guard.
    Guard,
    /// A grind.
    Grind(Id),
}

/// One finding.
///
/// The texts are phrases without a full stop; lengths in them are kept as numbers (see [`Words`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// Stable short name of the check: `web-outline`.
    pub code: &'static str,
    /// What is the matter.
    pub what: Words,
    /// Where, on the knife.
    pub place: Option<Point>,
    /// The two ends of what was measured, on the knife.
    pub across: Option<(Point, Point)>,
    /// What it speaks of.
    pub about: Option<Subject>,
    /// What was measured, mm.
    pub measured_mm: Option<f64>,
    /// What is wanted instead, mm.
    pub wanted_mm: Option<f64>,
    /// Why it matters.
    pub why: Words,
    /// How to mend it.
    pub mend: Words,
}

impl Finding {
    /// What is the matter and how to mend it, in one line; lengths as `format_length` writes them.
    #[must_use]
    pub fn text(&self, format_length: &dyn Fn(f64) -> String) -> String {
        format!(
            "{}. {}.",
            self.what.text(format_length),
            self.mend.text(format_length)
        )
    }

    /// The graver first, then from butt to tip, those without a place last.
    pub(super) fn told_first(&self, other: &Self) -> std::cmp::Ordering {
        let x = |finding: &Self| finding.place.map_or(f64::INFINITY, |place| place.x);
        let severity = self.severity.cmp(&other.severity);
        severity.then(x(self).total_cmp(&x(other)))
    }

    pub(super) fn new(severity: Severity, code: &'static str, what: Words) -> Self {
        Self {
            severity,
            code,
            what,
            place: None,
            across: None,
            about: None,
            measured_mm: None,
            wanted_mm: None,
            why: Words::default(),
            mend: Words::default(),
        }
    }

    pub(super) fn why(mut self, why: Words) -> Self {
        self.why = why;
        self
    }

    pub(super) fn mend(mut self, mend: Words) -> Self {
        self.mend = mend;
        self
    }

    pub(super) fn at(mut self, place: Option<Point>) -> Self {
        self.place = place;
        self
    }

    /// Sets what was measured between two points; the place is halfway.
    pub(super) fn across(mut self, from: Point, to: Point) -> Self {
        self.across = Some((from, to));
        self.place = Some(from.midpoint(to));
        self
    }

    pub(super) fn about(mut self, subject: Subject) -> Self {
        self.about = Some(subject);
        self
    }

    pub(super) fn measured(mut self, measured_mm: f64, wanted_mm: f64) -> Self {
        self.measured_mm = Some(measured_mm);
        self.wanted_mm = Some(wanted_mm);
        self
    }
}
