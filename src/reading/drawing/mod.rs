//! Drawings made elsewhere, SVG and DXF, read into knives.
//!
//! A drawing is read in five steps: the file becomes strokes in its own unit (`svg` and `dxf`); the strokes become millimeters; what is doubled
//! or empty is dropped and loose ends are joined (`doubles`, `joining`); the largest closed contour becomes the outline and those inside it
//! cut-outs (`sorting`, `recognizing`); the whole is laid tip to the right (`placing`). What was mended and what was left out is told. Nothing of a
//! file is trusted: its size, its numbers and its counts are bounded before anything large is made of them.

mod builds;
mod contour;
mod doubles;
mod dxf;
mod error;
mod grid;
mod imported;
mod joining;
mod placing;
mod recognizing;
mod sorting;
mod strokes;
mod svg;
mod units;

use std::path::Path;

use kurbo::{Point, Rect, Vec2};

use crate::knife::{LARGEST_MM, SMALLEST_MM};
use strokes::{Role, Strokes};
use units::UnitFound;

pub use builds::{knife_of_outline, name_of_file};
pub use error::ImportError;
pub use imported::{
    DrawingFormat, Imported, LeftOut, Opening, OpeningShape, Placing, Repair, UnitSource, Zero,
};
pub use placing::level_motion;
pub use units::DrawingUnit;

/// Largest drawing that is read, bytes: a knife takes thousands, a crowded sheet some millions.
pub const MOST_BYTES: usize = 50 << 20;
/// Most pieces (lines, arcs, curves) of one drawing, after blocks and copies are laid out.
pub const MOST_PIECES: usize = 200_000;
/// Ends nearer than this are joined unless asked otherwise, mm: half of what a cutter's kerf wanders, and far above the rounding of
/// drawings to two decimals.
pub const JOIN_MM: f64 = 0.05;
/// Widest gap that may be asked to be closed, mm: beyond it the wrong ends would meet.
pub const WIDEST_JOIN_MM: f64 = 5.0;
/// Thickness of the bar until the maker says another, mm: a drawing does not tell it.
pub const FIRST_THICKNESS_MM: f64 = 4.0;
/// Most entries in the list of what was left out; the rest is counted.
pub const MOST_LEFT_OUT: usize = 200;

/// Whether a file's name ends as that of a drawing; capitals do not matter.
#[must_use]
pub fn is_drawing(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str());
    ending.is_some_and(|own| ["svg", "dxf"].iter().any(|e| own.eq_ignore_ascii_case(e)))
}

/// How a drawing is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ImportOptions {
    /// What one unit of the drawing's own numbers is; by default what the file says.
    pub unit: Option<DrawingUnit>,
    /// Every length is multiplied by this; positive.
    pub scale: f64,
    /// Ends nearer than this are joined, mm, between 0 and [`WIDEST_JOIN_MM`].
    pub join_mm: f64,
    /// From the shoulder line to the tip, mm, positive; by default the shoulder line is guessed.
    pub blade_mm: Option<f64>,
    /// Leaves everything where it lies in the file: for a piece of stock, which has neither tip nor shoulder.
    pub as_drawn: bool,
}

impl Default for ImportOptions {
    fn default() -> Self {
        Self {
            unit: None,
            scale: 1.0,
            join_mm: JOIN_MM,
            blade_mm: None,
            as_drawn: false,
        }
    }
}

/// What a reader found in a file, in the file's own unit, `y` up.
#[derive(Debug)]
struct Drawn {
    format: DrawingFormat,
    strokes: Strokes,
    unit: UnitFound,
    left_out: Vec<LeftOut>,
    /// Whether the numbers passed through single precision on their way.
    coarse: bool,
}

/// Reads one drawing. `file_name` is only told back, and names the knife; what the file is, is told by its content.
///
/// The result lies in millimeters, tip to the right where that can be guessed, and is a preview: [`Imported::knife`] makes a knife of it. Takes
/// at most about two seconds and 500 MB whatever the bytes hold.
///
/// # Errors
/// See [`ImportError`]; each names what is wrong and the mend.
pub fn read_drawing(
    bytes: &[u8],
    file_name: &str,
    options: &ImportOptions,
) -> Result<Imported, ImportError> {
    judge_options(options)?;
    let drawn = read_strokes(bytes)?;
    let Drawn {
        format,
        mut strokes,
        unit,
        mut left_out,
        coarse,
    } = drawn;
    let bounds = strokes.bounds().ok_or(ImportError::NoLines)?;
    let (unit_mm, unit_source) = units::decide(&unit, options, bounds)?;
    let scale = unit_mm * options.scale;
    judge_size(bounds, scale)?;
    strokes.scale(scale);
    for one in &mut left_out {
        one.scale(scale);
    }
    set_aside(&mut strokes, &mut left_out);
    let mut mending = doubles::drop_empty_and_doubled(&mut strokes, options.join_mm);
    let joined = joining::join(&strokes, options.join_mm, &mut mending);
    let mut sorted = sorting::sort(joined.closed, joined.open, &mut left_out, coarse)?;
    let placing = if options.as_drawn {
        Placing::AS_DRAWN
    } else {
        placing::lay(&mut sorted, options.blade_mm, &mut mending, &mut left_out)
    };
    builds::judge(&sorted)?;
    Ok(Imported::new(
        file_name,
        format,
        unit_source,
        sorted,
        placing,
        mending,
        left_out,
    ))
}

/// Tells the kind of a file by its first bytes and reads it.
fn read_strokes(bytes: &[u8]) -> Result<Drawn, ImportError> {
    if bytes.len() > MOST_BYTES {
        return Err(ImportError::TooLarge);
    }
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let begin = text.trim_ascii_start();
    if begin.is_empty() {
        return Err(ImportError::Empty);
    }
    if begin.starts_with(b"\x1f\x8b") {
        return Err(ImportError::Packed);
    }
    if begin.starts_with(b"AutoCAD Binary DXF") {
        return Err(ImportError::BinaryDxf);
    }
    if begin.starts_with(b"<") {
        return svg::read(text);
    }
    if dxf::looks_like(begin) {
        return dxf::read(text);
    }
    Err(ImportError::Unknown)
}

fn judge_options(options: &ImportOptions) -> Result<(), ImportError> {
    if !(options.scale.is_finite() && options.scale > 0.0) {
        return Err(ImportError::BadScale {
            scale: options.scale,
        });
    }
    if !(0.0..=WIDEST_JOIN_MM).contains(&options.join_mm) {
        return Err(ImportError::BadJoin {
            join_mm: options.join_mm,
        });
    }
    if let Some(blade_mm) = options.blade_mm
        && !(SMALLEST_MM..=LARGEST_MM).contains(&blade_mm)
    {
        return Err(ImportError::BadBlade { blade_mm });
    }
    Ok(())
}

/// Whether the drawing has a size that can be worked with. Sheets of many parts may be larger than a knife; the outline is judged later.
fn judge_size(bounds: Rect, scale: f64) -> Result<(), ImportError> {
    let (width, height) = (bounds.width() * scale, bounds.height() * scale);
    let far = [bounds.x0, bounds.x1, bounds.y0, bounds.y1]
        .into_iter()
        .fold(0.0, |most: f64, v| most.max((v * scale).abs()));
    // Beyond this the digits of a coordinate no longer hold a hundredth of a millimeter after squaring.
    let most = 1000.0 * LARGEST_MM;
    if !(far <= most && width.max(height) <= most) {
        return Err(ImportError::TooWide {
            width_mm: width,
            height_mm: height,
        });
    }
    Ok(())
}

/// Takes out what our own files mark as not to be cut: scribe lines, words, frames. Only where the file marks what is to be cut, too; in other
/// files such a name means nothing.
fn set_aside(strokes: &mut Strokes, left_out: &mut Vec<LeftOut>) {
    let ours = strokes.all.iter().any(|s| s.role == Role::Cutting);
    let role_of = |stroke: &strokes::Stroke| match stroke.role {
        Role::Aside(name) if ours => Some(name),
        _ => None,
    };
    for name in strokes::ASIDE {
        let of_name = strokes.all.iter().filter(|s| role_of(s) == Some(name));
        let count = of_name.clone().count();
        let bounds = of_name
            .filter_map(|s| strokes.bounds_of(s))
            .reduce(|a, b| a.union(b));
        if let Some(bounds) = bounds {
            left_out.push(LeftOut::boxed(
                format!("lines of '{name}'"),
                "they are not to be cut".to_owned(),
                count,
                bounds,
            ));
        }
    }
    let keep = |stroke: &strokes::Stroke| role_of(stroke).is_none();
    let kept: Vec<strokes::Stroke> = strokes.all.iter().filter(|s| keep(s)).copied().collect();
    strokes.all = kept;
}

/// Middle and size of a box.
fn middle_and_size(bounds: Rect) -> (Point, Vec2) {
    (bounds.center(), Vec2::new(bounds.width(), bounds.height()))
}
