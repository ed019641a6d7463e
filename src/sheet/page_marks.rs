//! What stands on a printed page besides the drawing: border, check bars, join lines, words.
//!
//! ```text
//! +--------------------------+
//! |  | |                     |   left strip: 100 mm and 4 in upright
//! |  | |      window         |
//! |  | |                     |
//! |  --------------------    |   bottom strip: 100 mm and 4 in level,
//! |  -------------------- abc|   words beside them, or above on narrow paper
//! +--------------------------+
//! ```

use std::f64::consts::FRAC_PI_2;

use super::font;
use super::model::{Anchor, Entity, Role, Shape, Sheet, Text};
use super::pages::{BAR_INCH_MM, BAR_MM, Page, page_name};
use super::template::CAUTION;
use crate::geometry::{Contour, Point, Rect, Vec2};

/// From bar to bar, mm.
const BAR_PITCH_MM: f64 = 5.5;
/// Half the length of the strokes at a bar's ends, mm.
const END_MM: f64 = 1.2;
/// Width of a strip that holds both bars, mm.
const STRIP_MM: f64 = 2.0 * BAR_PITCH_MM + 1.0;
/// Height of small words, mm.
const SMALL_MM: f64 = 1.8;
/// How much words may shrink that would else find no room.
const SMALLER: f64 = 0.8;
/// Height of the knife's name, mm.
const NAME_MM: f64 = 3.0;
/// Height the words need, mm.
const WORDS_MM: f64 = 12.0;
/// Room beside the bars from which on the words stand there and not above, mm.
const BESIDE_MM: f64 = 55.0;
/// Air between parts, mm.
const AIR_MM: f64 = 4.0;
/// Dash and gap of join lines, mm.
const DASH_MM: f64 = 3.0;
/// Half the width of the diamonds on join lines, mm.
const DIAMOND_MM: f64 = 2.0;

/// Where a page stands among the others.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    pub column: usize,
    pub row: usize,
    pub columns: usize,
    pub rows: usize,
    pub overlap_mm: f64,
}

/// What is left of the printable part of a page for the drawing; `None` when the bars do not fit.
pub(super) fn window(usable: Rect) -> Option<Rect> {
    let bottom = if words_beside(usable) {
        STRIP_MM
    } else {
        STRIP_MM + WORDS_MM
    };
    let window = Rect {
        x0: usable.x0 + STRIP_MM,
        y0: usable.y0 + bottom,
        ..usable
    };
    (window.width() >= BAR_INCH_MM && window.height() >= BAR_INCH_MM).then_some(window)
}

/// Whether the words have room beside the level bars.
fn words_beside(usable: Rect) -> bool {
    usable.width() - STRIP_MM - BAR_INCH_MM - AIR_MM >= BESIDE_MM
}

/// All marks of a page.
pub(super) fn marks(sheet: &Sheet, page: &Page, grid: &Grid) -> Vec<Entity> {
    let mut out = vec![Entity::new(
        Role::Frame,
        Shape::Contour(Contour::rounded_rect(page.window, 0.0)),
    )];
    bars(page, &mut out);
    joins(page, grid, &mut out);
    words(sheet, page, &mut out);
    out
}

/// The paper's printable part, from the window's upper right corner and the strips.
fn usable(page: &Page) -> Rect {
    let margin_x = page.width_mm / page.scale_x - page.window.x1;
    let margin_y = page.height_mm / page.scale_y - page.window.y1;
    Rect::new(margin_x, margin_y, page.window.x1, page.window.y1)
}

/// Two bars on each axis: a straight line of the exact length, a stroke across each end, its length in words.
fn bars(page: &Page, out: &mut Vec<Entity>) {
    let usable = usable(page);
    let level_is_short = page.width_mm <= page.height_mm;
    let side = |short: bool| if short { "short side" } else { "long side" };
    for (i, (length, name)) in [(BAR_MM, "100 mm"), (BAR_INCH_MM, "4 in")]
        .into_iter()
        .enumerate()
    {
        let off = if i == 0 { BAR_PITCH_MM } else { 0.0 };
        let level = Point::new(page.window.x0, usable.y0 + END_MM + 0.2 + off);
        bar(
            level,
            Vec2::new(1.0, 0.0),
            length,
            format!("{name}, {} of the paper", side(level_is_short)),
            out,
        );
        let upright = Point::new(page.window.x0 - END_MM - 0.8 - off, page.window.y0);
        bar(
            upright,
            Vec2::new(0.0, 1.0),
            length,
            format!("{name}, {} of the paper", side(!level_is_short)),
            out,
        );
    }
}

fn bar(from: Point, along: Vec2, length: f64, name: String, out: &mut Vec<Entity>) {
    let left = Vec2::new(-along.y, along.x);
    let to = from + along * length;
    out.push(Entity::line(Role::Frame, from, to));
    for end in [from, to] {
        out.push(Entity::line(
            Role::Frame,
            end - left * END_MM,
            end + left * END_MM,
        ));
    }
    out.push(Entity::new(
        Role::Label,
        Shape::Text(Text {
            at: from + along * (length / 2.0) + left * 0.8,
            height_mm: SMALL_MM,
            text: name,
            anchor: Anchor::Middle,
            angle_rad: along.atan2(),
        }),
    ));
}

/// Where this page meets its neighbors: a dashed line through the middle of the overlap, with diamonds, at the same place of the
/// drawing on both pages. Cut one page along it and lay it on the other's.
fn joins(page: &Page, grid: &Grid, out: &mut Vec<Entity>) {
    let w = page.window;
    let half = grid.overlap_mm / 2.0;
    let name = |column: usize, row: usize| page_name(row * grid.columns + column);
    let here = (grid.column, grid.row);
    let mut join =
        |at: Point, along: Vec2, length: f64, words_left: bool, pair: (String, String)| {
            join_line(
                at,
                along,
                length,
                words_left,
                &format!("join {}–{}", pair.0, pair.1),
                out,
            );
        };
    let (up, level) = (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0));
    // Words stand on the side of the page itself: left of the line at its right side, and so on.
    if here.0 > 0 {
        let pair = (name(here.0 - 1, here.1), name(here.0, here.1));
        join(Point::new(w.x0 + half, w.y0), up, w.height(), false, pair);
    }
    if here.0 + 1 < grid.columns {
        let pair = (name(here.0, here.1), name(here.0 + 1, here.1));
        join(Point::new(w.x1 - half, w.y0), up, w.height(), true, pair);
    }
    if here.1 > 0 {
        let pair = (name(here.0, here.1 - 1), name(here.0, here.1));
        join(Point::new(w.x0, w.y1 - half), level, w.width(), false, pair);
    }
    if here.1 + 1 < grid.rows {
        let pair = (name(here.0, here.1), name(here.0, here.1 + 1));
        join(Point::new(w.x0, w.y0 + half), level, w.width(), true, pair);
    }
}

fn join_line(
    from: Point,
    along: Vec2,
    length: f64,
    words_left: bool,
    words: &str,
    out: &mut Vec<Entity>,
) {
    let left = Vec2::new(-along.y, along.x);
    let mut at = 0.0;
    while at < length {
        let end = (at + DASH_MM).min(length);
        out.push(Entity::line(
            Role::Frame,
            from + along * at,
            from + along * end,
        ));
        at += 2.0 * DASH_MM;
    }
    for share in [1.0 / 6.0, 5.0 / 6.0] {
        let middle = from + along * (length * share);
        let corners = [along, left, -along, -left].map(|d| middle + d * DIAMOND_MM);
        out.push(Entity::new(
            Role::Frame,
            Shape::Contour(Contour::polygon(&corners)),
        ));
    }
    let off = if words_left { 1.0 } else { -1.0 - SMALL_MM };
    out.push(Entity::new(
        Role::Label,
        Shape::Text(Text {
            // Off the middle, where the knife lies, and clear of the diamond.
            at: from + along * (length / 6.0 + 14.0) + left * off,
            height_mm: SMALL_MM,
            text: words.to_owned(),
            anchor: Anchor::Middle,
            angle_rad: if along.x == 0.0 { FRAC_PI_2 } else { 0.0 },
        }),
    ));
}

/// The knife's name, its stock, the page's place, and what to mind.
fn words(sheet: &Sheet, page: &Page, out: &mut Vec<Entity>) {
    let usable = usable(page);
    let (left, low) = if words_beside(usable) {
        (page.window.x0 + BAR_INCH_MM + AIR_MM, usable.y0)
    } else {
        (page.window.x0, usable.y0 + STRIP_MM + 0.5)
    };
    let room = page.window.x1 - left;
    let mut place = format!("page {}, {} of {}", page.name, page.number, page.of);
    if !sheet.note.is_empty() {
        place = format!("{place}, {}", sheet.note);
    }
    let mind = format!("print at 100 %, not fitted to the page; {CAUTION}");
    let mut lines = vec![(NAME_MM, sheet.name.clone()), (SMALL_MM, place)];
    #[expect(
        clippy::float_cmp,
        reason = "only a factor of exactly one changes nothing"
    )]
    let corrected = page.scale_x != 1.0 || page.scale_y != 1.0;
    if corrected {
        let (x, y) = (page.scale_x, page.scale_y);
        let told = format!("corrected × {x:.4} level, × {y:.4} upright");
        lines.push((SMALL_MM, told));
    }
    lines.push((SMALL_MM, mind));
    let ups: &[f64] = if corrected {
        &[8.3, 5.6, 3.1, 0.6]
    } else {
        &[7.8, 4.5, 1.2]
    };
    for (up, (height, line)) in ups.iter().zip(lines) {
        // Rather a little smaller than cut short.
        let share = room / font::width_mm(line.trim(), height).max(f64::MIN_POSITIVE);
        let height = height * share.clamp(SMALLER, 1.0);
        let line = font::fitted(line.trim(), height, room);
        if !line.is_empty() {
            let at = Point::new(left, low + up);
            out.push(Entity::label(at, height, line, Anchor::Start));
        }
    }
}
