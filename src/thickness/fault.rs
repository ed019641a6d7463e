//! Why a blade can't be ground as it is designed.

use kurbo::Point;

/// What keeps a grind from being ground, each with its grind and the mend.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GrindFault {
    /// A landmark of its run is not set, or the run has no length.
    #[error(
        "{grind} has no run to start from: set its {from} and {to} landmarks apart on the outline"
    )]
    NoRun {
        /// Name of the grind.
        grind: String,
        /// The landmark the run begins at.
        from: &'static str,
        /// The landmark it ends at.
        to: &'static str,
    },
    /// A fuller's path has no length.
    #[error("{grind} has no path: move its nodes apart or remove it")]
    NoPath {
        /// Name of the fuller.
        grind: String,
    },
    /// No circle of that radius goes from the edge to the grind line.
    #[error(
        "{grind}: a radius of {radius_mm:.1} mm can't reach from the edge to the grind line: take at least {least_mm:.1} mm, or lower the bevel"
    )]
    RadiusTooSmall {
        /// Name of the grind.
        grind: String,
        /// The radius asked for, mm.
        radius_mm: f64,
        /// The least that reaches, mm.
        least_mm: f64,
        /// The foot of the place.
        at: Point,
    },
    /// The grind takes more than there is.
    #[error(
        "{grind} goes through the steel by {through_mm:.2} mm: make it shallower, take a larger wheel, or thicker stock"
    )]
    ThroughSteel {
        /// Name of the grind.
        grind: String,
        /// How far the two faces have passed each other, mm.
        through_mm: f64,
        /// Where.
        at: Point,
    },
}

impl GrindFault {
    /// The place it speaks of, if it has one.
    #[must_use]
    pub fn place(&self) -> Option<Point> {
        match self {
            Self::RadiusTooSmall { at, .. } | Self::ThroughSteel { at, .. } => Some(*at),
            Self::NoRun { .. } | Self::NoPath { .. } => None,
        }
    }
}
