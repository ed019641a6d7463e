//! A sheet spread over printed pages: tiles that overlap, join lines, check bars, page names.
//!
//! Everything on a page is in true millimeters as they shall come out on paper, from the page's lower left corner, `y` up. What the
//! printer makes of lengths is put right by two factors the page carries: a writer multiplies `x` and `y` by them about that corner, bars
//! and words included, so that the paper measures true.

use std::f64::consts::FRAC_PI_2;

use super::model::{Entity, Sheet};
use super::page_marks;
use super::printer::PrinterFactors;
use crate::catalog::{self, PRINTER_MARGIN_MM, PaperSize, TILE_OVERLAP_MM};
use crate::geometry::{Point, Rect, Vec2};
use crate::units::MM_PER_INCH;

/// The metric check bar, mm.
pub const BAR_MM: f64 = 100.0;
/// The inch check bar, mm: 4 in.
pub const BAR_INCH_MM: f64 = 4.0 * MM_PER_INCH;

/// Free rim kept around the sheet, mm, so that no line runs under the edge of a page.
const RIM_MM: f64 = 2.0;
/// The most pages laid out; a knife of a meter on A5 needs fewer than twenty.
const MOST_PAGES: usize = 500;
/// Correction factors outside this are a wrong entry: fit-to-page is off by less than a tenth.
const CORRECTIONS: std::ops::RangeInclusive<f64> = 0.8..=1.25;

/// Paper and printer.
#[derive(Clone, Debug, PartialEq)]
pub struct PageOptions {
    /// Width of the upright paper, mm.
    pub paper_width_mm: f64,
    /// Height of the upright paper, mm.
    pub paper_height_mm: f64,
    /// What the printer leaves free on every side, mm.
    pub margin_mm: f64,
    /// How far neighboring pages show the same, mm.
    pub overlap_mm: f64,
    /// Factor for lengths along the width of the upright paper: wanted over measured. It stays with that side of the paper
    /// when a page lies on its side.
    pub correction_x: f64,
    /// Factor for lengths along the height of the upright paper.
    pub correction_y: f64,
}

impl PageOptions {
    /// The usual margins and overlap on a paper, and a printer that is true.
    #[must_use]
    pub fn on(paper: &PaperSize) -> Self {
        Self {
            paper_width_mm: paper.width_mm,
            paper_height_mm: paper.height_mm,
            ..Self::default()
        }
    }
}

impl PageOptions {
    /// The usual margins and overlap on the paper of this name, A4 if there is none, printed by a printer with these factors.
    #[must_use]
    pub fn printed_on(paper: &str, printer: PrinterFactors) -> Self {
        let paper = catalog::paper(paper);
        Self {
            correction_x: printer.x,
            correction_y: printer.y,
            ..paper.map_or_else(Self::default, Self::on)
        }
    }
}

/// A4 (ISO 216), the usual margins, a printer that is true.
impl Default for PageOptions {
    fn default() -> Self {
        Self {
            paper_width_mm: 210.0,
            paper_height_mm: 297.0,
            margin_mm: PRINTER_MARGIN_MM,
            overlap_mm: TILE_OVERLAP_MM,
            correction_x: 1.0,
            correction_y: 1.0,
        }
    }
}

/// Why a sheet can't be laid out on pages.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PageError {
    /// The check bars or the overlaps find no room.
    #[error(
        "paper of {width_mm:.0} × {height_mm:.0} mm leaves no room for the check bars inside its margins: take larger paper or smaller margins"
    )]
    PaperTooSmall {
        /// Width of the upright paper, mm.
        width_mm: f64,
        /// Its height, mm.
        height_mm: f64,
    },
    /// A measure that is none.
    #[error("{what} is not usable: {value}: type it again")]
    BadMeasure {
        /// Which measure.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// The sheet is too large for the paper.
    #[error("the drawing would take more than {MOST_PAGES} pages: take larger paper")]
    TooManyPages,
}

/// One printed page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its name: `A`, `B` ...
    pub name: String,
    /// Its number, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// Width of the paper as the page lies, mm.
    pub width_mm: f64,
    /// Height of the paper as the page lies, mm.
    pub height_mm: f64,
    /// What a writer multiplies every `x` by.
    pub scale_x: f64,
    /// What a writer multiplies every `y` by.
    pub scale_y: f64,
    /// Where the drawing shows; it is clipped to this.
    pub window: Rect,
    /// Quarter turn of the sheet on the page, radians: 0 or π/2.
    pub turn_rad: f64,
    /// Shift of the turned sheet onto the page.
    pub shift: Vec2,
    /// The entities of the sheet that may show here.
    pub drawing: Vec<Entity>,
    /// Border, join lines, bars and words, drawn over it and not clipped.
    pub marks: Vec<Entity>,
}

impl Page {
    /// Where a point of the sheet lies on the page.
    #[must_use]
    pub fn place(&self, p: Point) -> Point {
        let (sin, cos) = self.turn_rad.sin_cos();
        Point::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y) + self.shift
    }
}

/// One way to lay the sheet out.
#[derive(Clone, Copy, Debug)]
struct Plan {
    turned: bool,
    /// Paper as it lies.
    paper: (f64, f64),
    scale: (f64, f64),
    window: Rect,
    columns: usize,
    rows: usize,
}

/// The sheet on as few pages as possible: paper upright or on its side, sheet level or turned a quarter, whichever needs
/// fewer. Pages come left to right, top row first. An empty sheet gives one page with its check bars, to true a printer with.
///
/// # Errors
/// The paper is too small, a measure is none, or the pages would be too many.
pub fn tiles(sheet: &Sheet, options: &PageOptions) -> Result<Vec<Page>, PageError> {
    judge(options)?;
    let area = sheet.bounds().unwrap_or(Rect::ZERO).inflate(RIM_MM, RIM_MM);
    let plan = [(false, true), (false, false), (true, false), (true, true)]
        .into_iter()
        .filter_map(|(turned, on_its_side)| plan(area, options, turned, on_its_side))
        .min_by_key(|plan| plan.columns.saturating_mul(plan.rows))
        .ok_or(too_small(options))?;
    if plan.columns.saturating_mul(plan.rows) > MOST_PAGES {
        return Err(PageError::TooManyPages);
    }
    Ok(lay_out(sheet, area, options, &plan, None))
}

/// Where a page stands among pages that are laid out one by one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    /// Its number, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
}

/// Room for a drawing on one page, upright or on its side, mm.
pub(super) fn room(options: &PageOptions, on_its_side: bool) -> Result<(f64, f64), PageError> {
    judge(options)?;
    let plan = plan(Rect::ZERO, options, false, on_its_side).ok_or(too_small(options))?;
    let (width, height) = (plan.window.width(), plan.window.height());
    Ok((width - 2.0 * RIM_MM, height - 2.0 * RIM_MM))
}

/// One page with what lies within `area` of a sheet, which must be as large as [`room`] says.
pub(super) fn on_one_page(
    sheet: &Sheet,
    area: Rect,
    options: &PageOptions,
    on_its_side: bool,
    place: Place,
) -> Result<Page, PageError> {
    judge(options)?;
    let plan = plan(Rect::ZERO, options, false, on_its_side).ok_or(too_small(options))?;
    let pages = lay_out(sheet, area, options, &plan, Some(place));
    pages.into_iter().next().ok_or(too_small(options))
}

fn too_small(options: &PageOptions) -> PageError {
    PageError::PaperTooSmall {
        width_mm: options.paper_width_mm,
        height_mm: options.paper_height_mm,
    }
}

fn judge(options: &PageOptions) -> Result<(), PageError> {
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let zero_or_more = |v: f64| v.is_finite() && v >= 0.0;
    let corrected = |v: f64| CORRECTIONS.contains(&v);
    for (what, value, sound) in [
        (
            "the paper's width",
            options.paper_width_mm,
            positive(options.paper_width_mm),
        ),
        (
            "the paper's height",
            options.paper_height_mm,
            positive(options.paper_height_mm),
        ),
        (
            "the margin",
            options.margin_mm,
            zero_or_more(options.margin_mm),
        ),
        (
            "the overlap",
            options.overlap_mm,
            zero_or_more(options.overlap_mm),
        ),
        (
            "the correction across the paper",
            options.correction_x,
            corrected(options.correction_x),
        ),
        (
            "the correction along the paper",
            options.correction_y,
            corrected(options.correction_y),
        ),
    ] {
        if !sound {
            return Err(PageError::BadMeasure { what, value });
        }
    }
    Ok(())
}

/// A plan, or `None` when the bars do not fit or nothing is left beside the overlaps.
fn plan(area: Rect, options: &PageOptions, turned: bool, on_its_side: bool) -> Option<Plan> {
    let (short, long) = (options.paper_width_mm, options.paper_height_mm);
    let (paper, scale) = if on_its_side {
        ((long, short), (options.correction_y, options.correction_x))
    } else {
        ((short, long), (options.correction_x, options.correction_y))
    };
    // The printer's margins hold on the paper, so they shrink and grow with the correction here.
    let usable = Rect::new(
        options.margin_mm / scale.0,
        options.margin_mm / scale.1,
        (paper.0 - options.margin_mm) / scale.0,
        (paper.1 - options.margin_mm) / scale.1,
    );
    let window = page_marks::window(usable)?;
    let (width, height) = if turned {
        (area.height(), area.width())
    } else {
        (area.width(), area.height())
    };
    Some(Plan {
        turned,
        paper,
        scale,
        window,
        columns: tiles_needed(width, window.width(), options.overlap_mm)?,
        rows: tiles_needed(height, window.height(), options.overlap_mm)?,
    })
}

/// How many windows with the given overlap cover a length.
fn tiles_needed(length: f64, window: f64, overlap: f64) -> Option<usize> {
    if length <= window {
        return Some(1);
    }
    let step = window - overlap;
    if step < 1.0 {
        return None;
    }
    let mut n = 1;
    while window + step * as_f64(n - 1) < length {
        n += 1;
        if n > MOST_PAGES {
            break;
        }
    }
    Some(n)
}

fn as_f64(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::from(u32::MAX), f64::from)
}

fn lay_out(
    sheet: &Sheet,
    area: Rect,
    options: &PageOptions,
    plan: &Plan,
    among: Option<Place>,
) -> Vec<Page> {
    let turn_rad = if plan.turned { FRAC_PI_2 } else { 0.0 };
    // The middle of the sheet, turned, comes to the middle of all windows together.
    let middle = if plan.turned {
        Vec2::new(-area.center().y, area.center().x)
    } else {
        area.center().to_vec2()
    };
    let step = Vec2::new(
        plan.window.width() - options.overlap_mm,
        plan.window.height() - options.overlap_mm,
    );
    let span = Vec2::new(
        plan.window.width() + step.x * as_f64(plan.columns - 1),
        plan.window.height() + step.y * as_f64(plan.rows - 1),
    );
    let of = plan.columns * plan.rows;
    let mut pages = Vec::with_capacity(of);
    for row in 0..plan.rows {
        for column in 0..plan.columns {
            // Lower left corner of this window in the turned sheet; rows are counted from the top.
            let corner = middle - span / 2.0
                + Vec2::new(
                    step.x * as_f64(column),
                    step.y * as_f64(plan.rows - 1 - row),
                );
            let place = among.unwrap_or(Place {
                number: pages.len() + 1,
                of,
            });
            let mut page = Page {
                name: page_name(place.number - 1),
                number: place.number,
                of: place.of,
                width_mm: plan.paper.0,
                height_mm: plan.paper.1,
                scale_x: plan.scale.0,
                scale_y: plan.scale.1,
                window: plan.window,
                turn_rad,
                shift: plan.window.origin().to_vec2() - corner,
                drawing: Vec::new(),
                marks: Vec::new(),
            };
            page.drawing = shown(sheet, &page);
            let grid = page_marks::Grid {
                column,
                row,
                columns: plan.columns,
                rows: plan.rows,
                overlap_mm: options.overlap_mm,
            };
            page.marks = page_marks::marks(sheet, &page, &grid);
            pages.push(page);
        }
    }
    pages
}

/// The entities whose box meets the page's window, on the page.
fn shown(sheet: &Sheet, page: &Page) -> Vec<Entity> {
    let window = page.window.inflate(1.0, 1.0);
    sheet
        .entities
        .iter()
        .filter_map(|entity| {
            let bounds = entity.shape.bounds()?;
            let corners = [
                page.place(Point::new(bounds.x0, bounds.y0)),
                page.place(Point::new(bounds.x1, bounds.y1)),
            ];
            let placed = Rect::from_points(corners[0], corners[1]);
            placed
                .overlaps(window)
                .then(|| Entity::new(entity.role, entity.shape.moved(page.turn_rad, page.shift)))
        })
        .collect()
}

/// `A` to `Z`, then `AA`, `AB` ...
pub(super) fn page_name(index: usize) -> String {
    let letter = |i: usize| u8::try_from(i).map_or('?', |i| char::from(b'A' + i));
    let mut name = String::new();
    let mut rest = index;
    loop {
        name.insert(0, letter(rest % 26));
        if rest < 26 {
            return name;
        }
        rest = rest / 26 - 1;
    }
}

#[cfg(test)]
mod tests;
