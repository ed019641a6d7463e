//! What one unit of a drawing's numbers is in millimeters.

use kurbo::Rect;

use super::{ImportError, ImportOptions, UnitSource};
use crate::units::MM_PER_INCH;

/// CSS pixels to the inch (CSS Values and Units Module Level 3, section 5.2: 1in = 96px).
pub(super) const PX_PER_INCH: f64 = 96.0;

/// A unit that can be asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawingUnit {
    /// Millimeters.
    Mm,
    /// Inches.
    Inch,
    /// Pixels, 96 to the inch.
    Px96,
}

impl DrawingUnit {
    /// Its length in mm.
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Inch => MM_PER_INCH,
            Self::Px96 => MM_PER_INCH / PX_PER_INCH,
        }
    }

    /// The word it is asked for by.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
            Self::Px96 => "px96",
        }
    }
}

/// What a file says about its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum UnitFound {
    /// It names one. `mm` is the length of one unit of the strokes' coordinates; `per_unit` of them make one of the file's own numbers.
    Told {
        name: &'static str,
        mm: f64,
        per_unit: f64,
    },
    /// It names none, but its format has a usual one.
    Usual { mm: f64, per_unit: f64 },
    /// It names none.
    Untold,
}

/// Length of one unit of the coordinates in mm, and where that is known from.
pub(super) fn decide(
    found: &UnitFound,
    options: &ImportOptions,
    bounds: Rect,
) -> Result<(f64, UnitSource), ImportError> {
    let asked = |per_unit: f64| {
        options.unit.map(|unit| {
            (
                unit.mm() / per_unit,
                UnitSource::Asked { unit: unit.word() },
            )
        })
    };
    match *found {
        UnitFound::Told { name, mm, per_unit } => {
            Ok(asked(per_unit).unwrap_or((mm, UnitSource::File { unit: name })))
        }
        UnitFound::Usual { mm, per_unit } => Ok(asked(per_unit).unwrap_or((mm, UnitSource::Usual))),
        UnitFound::Untold => asked(1.0).ok_or(ImportError::UnitNeeded {
            width: bounds.width() * options.scale,
            height: bounds.height() * options.scale,
        }),
    }
}
