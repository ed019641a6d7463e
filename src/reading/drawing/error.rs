//! Why a drawing was not read.

use crate::knife::{LARGEST_MM, MOST_CUT_OUTS, MOST_NODES};
use crate::units::MM_PER_INCH;

use super::imported::counted;
use super::{MOST_BYTES, MOST_PIECES, WIDEST_JOIN_MM};

/// Why a drawing was not read. Each message names the mend.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ImportError {
    /// Nothing but blanks.
    #[error("the file is empty: save the drawing again, or choose another file")]
    Empty,
    /// More than [`MOST_BYTES`].
    #[error(
        "the file is larger than {} MB, which no knife needs: save the knife alone",
        MOST_BYTES >> 20
    )]
    TooLarge,
    /// A packed SVG.
    #[error("the file is packed (gzip): unpack it, or save it as plain SVG")]
    Packed,
    /// A DXF in its binary form.
    #[error("this is a binary DXF: save it as a text (ASCII) DXF")]
    BinaryDxf,
    /// Neither format.
    #[error("this is neither SVG nor DXF: save the drawing as one of the two")]
    Unknown,
    /// The scale is no scale.
    #[error("the scale {scale} is not a positive number: give one, 1 for true size")]
    BadScale {
        /// What was asked.
        scale: f64,
    },
    /// The joining distance is no such distance.
    #[error(
        "ends {join_mm} mm apart can't be asked to be joined: give between 0 and {WIDEST_JOIN_MM} mm"
    )]
    BadJoin {
        /// What was asked, mm.
        join_mm: f64,
    },
    /// The blade length is none.
    #[error(
        "a blade of {blade_mm} mm can't be cut: give its length from the shoulder line to the tip, mm"
    )]
    BadBlade {
        /// What was asked, mm.
        blade_mm: f64,
    },
    /// The SVG is broken, or uses what is not read.
    #[error("{reason}")]
    Svg {
        /// What is wrong and the mend.
        reason: String,
    },
    /// The DXF is broken.
    #[error("line {line}: {reason}")]
    Dxf {
        /// Line of the file, from 1.
        line: usize,
        /// What is wrong and the mend.
        reason: String,
    },
    /// A number that no drawing has.
    #[error(
        "{place}: '{number}' is not a number a drawing can have: save the drawing again, or take that part out"
    )]
    BadNumber {
        /// Where.
        place: String,
        /// What stands there.
        number: String,
    },
    /// More than [`MOST_PIECES`].
    #[error(
        "the drawing has more than {MOST_PIECES} lines and curves, blocks and copies counted: save the knife alone"
    )]
    TooManyPieces,
    /// No line at all.
    #[error(
        "there are no lines in the drawing: draw the outline as lines or curves, not as a picture or words"
    )]
    NoLines,
    /// The file does not say what its numbers are.
    #[error("{}", unit_needed(*.width, *.height))]
    UnitNeeded {
        /// Width of everything drawn, in the drawing's unit.
        width: f64,
        /// Height of it.
        height: f64,
    },
    /// Larger than anything on a bench.
    #[error("{}", too_wide(*.width_mm, *.height_mm))]
    TooWide {
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
    },
    /// No closed contour.
    #[error("{}", no_outline(*.open, *.gap_mm))]
    NoOutline {
        /// Open bits found.
        open: usize,
        /// The least gap between the two ends of one of them, mm.
        gap_mm: Option<f64>,
    },
    /// Too small to be a knife, or anything.
    #[error(
        "the outline is {width_mm:.4} × {height_mm:.4} mm, too small to be cut: the unit may be another one"
    )]
    TooSmall {
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
    },
    /// An outline with more nodes than a set keeps.
    #[error(
        "{what} has {nodes} nodes; at most {MOST_NODES} are kept: draw it with curves, or simplify it"
    )]
    TooManyNodes {
        /// Which outline.
        what: String,
        /// How many.
        nodes: usize,
    },
    /// A point or a handle farther off than a set keeps.
    #[error(
        "{what} has a point or a handle farther than {LARGEST_MM} mm from where it belongs: mend that curve in the drawing"
    )]
    TooFar {
        /// Which outline.
        what: String,
    },
    /// More closed contours inside the outline than a knife keeps.
    #[error(
        "{cut_outs} closed shapes lie inside the outline; at most {MOST_CUT_OUTS} cut-outs are kept: take some out of the drawing"
    )]
    TooManyCutOuts {
        /// How many.
        cut_outs: usize,
    },
}

fn in_both(width_mm: f64, height_mm: f64) -> String {
    format!(
        "{width_mm:.1} × {height_mm:.1} mm ({:.2} × {:.2} in)",
        width_mm / MM_PER_INCH,
        height_mm / MM_PER_INCH
    )
}

fn unit_needed(width: f64, height: f64) -> String {
    let inch = in_both(width * MM_PER_INCH, height * MM_PER_INCH);
    let mm = in_both(width, height);
    // The longer side of a knife is between a thumb and an arm.
    let (least, most) = (60.0, 1000.0);
    let likely = |unit: f64| (least..=most).contains(&(width.max(height) * unit));
    let guess = match (likely(1.0), likely(MM_PER_INCH)) {
        (true, false) => ", which is likely",
        (false, true) => "; inches are likely",
        _ => "",
    };
    let (mm_guess, inch_guess) = if guess.starts_with(',') {
        (guess, "")
    } else {
        ("", guess)
    };
    format!(
        "the drawing does not say its unit: say whether it is mm, for {mm}{mm_guess}, or inches, for {inch}{inch_guess}"
    )
}

fn too_wide(width_mm: f64, height_mm: f64) -> String {
    if (width_mm + height_mm).is_finite() {
        format!(
            "the drawing is {}, and no knife is longer than {LARGEST_MM} mm: the unit may be another one",
            in_both(width_mm, height_mm)
        )
    } else {
        "the drawing has no size that can be told: its numbers are out of all measure; save it again".to_owned()
    }
}

fn no_outline(open: usize, gap_mm: Option<f64>) -> String {
    let gap = gap_mm.map_or(String::new(), |gap| {
        format!("; the least open one lacks {gap:.3} mm")
    });
    format!(
        "no closed outline was found among {}{gap}: close the outline in the drawing",
        counted(open, "open line")
    )
}
