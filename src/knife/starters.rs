//! Starters: blade forms by use, each made whole from four sizes.
//!
//! Every form is a drawing of our own at one size. It is stretched to the asked sizes along and across the blade separately, which keeps what
//! makes a line fair: smooth joints stay smooth, straight stays straight, and a line that bends one way goes on bending one way.

mod draw;
mod forms;
mod stroke;
#[cfg(test)]
mod tests;

use super::{Knife, TangError};
use crate::geometry::OutlineFault;

/// A blade form to start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StarterForm {
    /// Short stable name; a knife made from the form keeps it in [`Knife::form`].
    pub key: &'static str,
    /// The name the maker reads.
    pub name: &'static str,
    /// One line that says what the form is for.
    pub hint: &'static str,
}

/// The sizes a form is made from, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StarterSizes {
    /// From the butt to the tip, tang and all.
    pub overall_mm: f64,
    /// From the shoulder line to the tip.
    pub blade_mm: f64,
    /// Largest depth of the blade.
    pub height_mm: f64,
    /// Thickness of the bar.
    pub stock_mm: f64,
}

/// Why a form can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StarterError {
    /// There is no such form.
    #[error("there is no form '{key}': choose one of the listed forms")]
    UnknownForm {
        /// The asked key.
        key: String,
    },
    /// A size is not a number, or is too small or too large for anything on a bench.
    #[error("the {what} of {value:.1} mm is out of range: give it between {least} and {most} mm")]
    OutOfRange {
        /// Which size.
        what: &'static str,
        /// The asked value, mm.
        value: f64,
        /// Least allowed, mm.
        least: f64,
        /// Most allowed, mm.
        most: f64,
    },
    /// The blade leaves nothing for the handle.
    #[error(
        "the blade of {blade_mm:.1} mm leaves no handle within {overall_mm:.1} mm overall: shorten the blade or lengthen the knife"
    )]
    NoHandle {
        /// Asked blade length, mm.
        blade_mm: f64,
        /// Asked overall length, mm.
        overall_mm: f64,
    },
    /// The blade is deeper than it is long.
    #[error(
        "the blade of {blade_mm:.1} mm is not longer than its height of {height_mm:.1} mm: lengthen it or lower the height"
    )]
    TooDeep {
        /// Asked blade length, mm.
        blade_mm: f64,
        /// Asked height, mm.
        height_mm: f64,
    },
    /// The tang does not fit the sizes.
    #[error("{0}")]
    Tang(#[from] TangError),
    /// The sizes make an outline that can't be cut.
    #[error("{fault}: choose sizes nearer to those the form is usually made in")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
}

/// All forms, in the order lists show them: from the kitchen to the field.
#[must_use]
pub fn starter_forms() -> &'static [StarterForm] {
    &forms::NAMES
}

/// Middling sizes for a form, of the kind most makers would start with; `None` for an unknown key. Common practice, no source.
#[must_use]
pub fn default_sizes(key: &str) -> Option<StarterSizes> {
    Some(forms::drawing(key)?.sizes)
}

/// Makes a knife of a form: outline, landmarks and tang for the asked sizes, of a bar of `material_key`.
///
/// The knife is named after its form and has id 0; a set gives it its own. Overall length, blade length and height come out
/// within 1e-9 mm.
///
/// # Errors
/// The key is unknown, or the sizes can't be made; the message names the size and the mend.
pub fn make_starter(
    key: &str,
    sizes: &StarterSizes,
    material_key: &str,
) -> Result<Knife, StarterError> {
    draw::make(key, sizes, material_key)
}
