//! Pictures, PNG and JPEG, read to be laid under the drawing.
//!
//! Nothing of a file is trusted: its pixels and passes are counted before any is read, and what is read is made smaller at once when it is larger than
//! tracing can use. A picture that a camera took on its side is turned upright by what the camera noted in it (Exif orientation).

mod error;
mod scans;
mod upright;

use std::io::Cursor;
use std::path::Path;

use image::codecs::jpeg::JpegDecoder;
use image::codecs::png::PngDecoder;
use image::error::{ImageError, LimitErrorKind};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, Limits};

use crate::tracing::{Pixels, block_means};
pub use error::PictureError;
use upright::{Upright, color};

/// Largest file that is read, bytes: more than a hundred million pixels of noise as JPEG.
pub const MOST_BYTES: usize = 200 << 20;
/// Most pixels of a picture, millions.
pub const MOST_MEGAPIXELS: u32 = 100;
/// Least pixels along a side of a picture.
pub const LEAST_SIDE_PX: u32 = 16;
/// Most pixels times passes of a JPEG, millions: the largest picture in the ten or so passes that programs write.
pub const MOST_SCANNED_MEGAPIXELS: u32 = 1_600;
/// A picture keeps at most so many pixels along its longer side: half a meter of bench at ten to the millimeter. More would not be seen, and
/// nothing finer can be traced.
pub const MOST_SIDE_PX: usize = 5_000;
/// Most memory for the pixels as they stand in the file, bytes: a hundred million in four colors.
const MOST_MEMORY: u64 = 420 << 20;

/// Whether a file's name ends as that of a picture, one that is read or one that is told to be another kind; capitals do not matter.
#[must_use]
pub fn is_picture(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str());
    ending.is_some_and(|own| ENDINGS.iter().any(|e| own.eq_ignore_ascii_case(e)))
}

/// Endings of pictures; the first three are read.
const ENDINGS: [&str; 11] = [
    "png", "jpg", "jpeg", "heic", "heif", "avif", "webp", "gif", "bmp", "tif", "tiff",
];

/// Begins of pictures that are none of ours, and what they are.
const OTHERS: &[(usize, &[u8], &str)] = &[
    (4, b"ftypheic", "HEIC"),
    (4, b"ftypheix", "HEIC"),
    (4, b"ftypmif1", "HEIF"),
    (4, b"ftypavif", "AVIF"),
    (0, b"RIFF", "WebP"),
    (0, b"GIF8", "GIF"),
    (0, b"BM", "BMP"),
    (0, b"II*\0", "TIFF or raw"),
    (0, b"MM\0*", "TIFF or raw"),
];

/// Reads a picture, upright. What the file is, is told by its content.
///
/// At most about 1 GB of memory is taken while it is read, and a fifth of it kept.
///
/// # Errors
/// See [`PictureError`]; each names what is wrong and the mend.
pub fn read_picture(bytes: &[u8]) -> Result<Pixels, PictureError> {
    if bytes.is_empty() {
        return Err(PictureError::Empty);
    }
    if bytes.len() > MOST_BYTES {
        return Err(PictureError::TooLarge);
    }
    let limits = || {
        let mut limits = Limits::default();
        limits.max_alloc = Some(MOST_MEMORY);
        limits
    };
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        // Asked before the decoder makes room for a row.
        if let Some([w0, w1, w2, w3, h0, h1, h2, h3]) = bytes.get(16..24) {
            let width = u32::from_be_bytes([*w0, *w1, *w2, *w3]);
            judge_size(width, u32::from_be_bytes([*h0, *h1, *h2, *h3]))?;
        }
        let decoder = PngDecoder::with_limits(Cursor::new(bytes), limits()).map_err(problem)?;
        return read(decoder, limits());
    }
    if bytes.starts_with(b"\xff\xd8") {
        let decoder = JpegDecoder::new(Cursor::new(bytes)).map_err(problem)?;
        judge_scans(bytes, decoder.dimensions())?;
        return read(decoder, limits());
    }
    let known = |(at, begin, _): &&(usize, &[u8], &str)| {
        bytes.get(*at..).is_some_and(|rest| rest.starts_with(begin))
    };
    Err(match OTHERS.iter().find(known) {
        Some((.., kind)) => PictureError::OtherPicture { kind },
        None => PictureError::Unknown,
    })
}

fn judge_scans(bytes: &[u8], (width, height): (u32, u32)) -> Result<(), PictureError> {
    judge_size(width, height)?;
    let scans = scans::scans_of(bytes).count;
    let pixels = u64::from(width) * u64::from(height) * u64::from(scans);
    if pixels > u64::from(MOST_SCANNED_MEGAPIXELS) * 1_000_000 {
        let megapixels = (width / 1000).saturating_mul(height) / 1000;
        return Err(PictureError::TooManyScans { scans, megapixels });
    }
    Ok(())
}

fn judge_size(width: u32, height: u32) -> Result<(), PictureError> {
    if u64::from(width) * u64::from(height) > u64::from(MOST_MEGAPIXELS) * 1_000_000 {
        return Err(PictureError::TooManyPixels { width, height });
    }
    if width.min(height) < LEAST_SIDE_PX {
        return Err(PictureError::TooFewPixels { width, height });
    }
    Ok(())
}

fn read(mut decoder: impl ImageDecoder, limits: Limits) -> Result<Pixels, PictureError> {
    let (width, height) = decoder.dimensions();
    judge_size(width, height)?;
    let mut limits = limits;
    limits.reserve(decoder.total_bytes()).map_err(problem)?;
    // A note that can't be read is no note; the picture is then shown as it is stored.
    let noted = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let stored = DynamicImage::from_decoder(decoder).map_err(problem)?;
    let upright = Upright::new(stored.width() as usize, stored.height() as usize, noted);
    let (width, height) = upright.size();
    let factor = width.max(height).div_ceil(MOST_SIDE_PX).max(1);
    let (width, height, rgb) = block_means(width, height, factor, |x, y| {
        let (x, y) = upright.stored(x, y);
        color(&stored, x, y)
    });
    Pixels::new(width, height, rgb, factor as f64).ok_or(PictureError::Memory)
}

fn problem(error: ImageError) -> PictureError {
    match error {
        ImageError::Limits(limit) if limit.kind() == LimitErrorKind::InsufficientMemory => {
            PictureError::Memory
        }
        other => PictureError::Broken {
            reason: first_line(&other.to_string()),
        },
    }
}

/// The beginning of what a reader says: some quote what they met, at any length.
fn first_line(text: &str) -> String {
    const MOST: usize = 160;
    let line = text.lines().next().unwrap_or_default();
    let mut cut: String = line.chars().take(MOST).collect();
    if cut.len() < line.len() {
        cut.push('…');
    }
    cut
}
