//! Why a picture was not read.

use super::{LEAST_SIDE_PX, MOST_BYTES, MOST_MEGAPIXELS, MOST_SCANNED_MEGAPIXELS};

/// Why a picture was not read. Each message names the mend.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// No bytes.
    #[error("the file is empty: take the picture again, or choose another file")]
    Empty,
    /// More than [`MOST_BYTES`].
    #[error(
        "the file is larger than {} MB: save the picture smaller",
        MOST_BYTES >> 20
    )]
    TooLarge,
    /// What phones write when they are not told otherwise.
    #[error(
        "this is a {kind} picture: set the camera to write JPEG, or save this one as PNG or JPEG"
    )]
    OtherPicture {
        /// What it is.
        kind: &'static str,
    },
    /// Neither format.
    #[error("this is neither PNG nor JPEG: save the picture as one of the two")]
    Unknown,
    /// More than [`MOST_MEGAPIXELS`].
    #[error(
        "the picture has {width} × {height} pixels; at most {MOST_MEGAPIXELS} million are read: save it smaller"
    )]
    TooManyPixels {
        /// Pixels side by side.
        width: u32,
        /// Rows.
        height: u32,
    },
    /// Less than [`LEAST_SIDE_PX`] along a side.
    #[error(
        "the picture has only {width} × {height} pixels; a side takes at least {LEAST_SIDE_PX}: choose a larger one"
    )]
    TooFewPixels {
        /// Pixels side by side.
        width: u32,
        /// Rows.
        height: u32,
    },
    /// A JPEG in so many passes that reading it would take minutes.
    #[error(
        "the JPEG is written in {scans} passes over {megapixels} million pixels, more than {MOST_SCANNED_MEGAPIXELS} million together: save it again as an ordinary JPEG"
    )]
    TooManyScans {
        /// Passes.
        scans: u32,
        /// Pixels, millions.
        megapixels: u32,
    },
    /// More memory than reading a picture may take.
    #[error("the picture takes too much memory: save it with 8 bits a color, or smaller")]
    Memory,
    /// The data are damaged, or of a kind that is not read.
    #[error("the picture is damaged ({reason}): copy it from the camera again, or save it anew")]
    Broken {
        /// What the reader met.
        reason: String,
    },
}
