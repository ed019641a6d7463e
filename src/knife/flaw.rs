//! Flaws of the steel: cracks, pits and places where layers have come apart, as far as the maker sees them.

use kurbo::Point;

use super::{Faces, Id};

/// Most points of one flaw.
pub const MOST_FLAW_POINTS: usize = 500;

/// A flaw marked on the knife: all points within [`Flaw::reach_mm`] of its line.
#[derive(Clone, Debug, PartialEq)]
pub struct Flaw {
    /// Stable within the knife.
    pub id: Id,
    /// What it is.
    pub kind: FlawKind,
    /// Its line, from end to end; one point for a pit.
    pub line: Vec<Point>,
    /// How far it reaches to either side of the line, mm; nothing for a hair crack.
    pub reach_mm: f64,
    /// Where it is seen.
    pub faces: Faces,
    /// How deep it goes, mm, if that is known.
    pub depth_mm: Option<f64>,
}

/// What a flaw is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FlawKind {
    /// The steel has parted.
    Crack,
    /// A hole in the face.
    Pit,
    /// Layers have come apart.
    OpenWeld,
}

impl FlawKind {
    /// All of them, the worst first.
    pub const ALL: [Self; 3] = [Self::Crack, Self::OpenWeld, Self::Pit];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Crack => "crack",
            Self::Pit => "pit",
            Self::OpenWeld => "open weld",
        }
    }
}

impl Flaw {
    /// The flaw's straight pieces: `(from, to)`, one without length for a single point.
    pub fn segments(&self) -> impl Iterator<Item = (Point, Point)> {
        let single = match self.line.as_slice() {
            [only] => Some((*only, *only)),
            _ => None,
        };
        let pairs = self.line.windows(2).filter_map(|pair| match pair {
            [a, b] => Some((*a, *b)),
            _ => None,
        });
        single.into_iter().chain(pairs)
    }
}
