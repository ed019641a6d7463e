//! The nest in the middle of the window: the stock, the best nest so far while it is searched, and corners and flaws of an odd piece set with the pointer.

use egui::{PointerButton, Rect, Response, Role, Sense, Ui, WidgetInfo};

use super::nest_draw::Bench;
use super::nest_view::{NestView, PieceFrom, StockKind};
use super::nester::Nester;
use crate::geometry::{self, Point};
use crate::knife::KnifeSet;
use crate::nesting::{Nest, Stock, typed_corners};
use crate::sheet::nest_sheet;
use crate::units::LengthUnit;
use crate::window::commands::Command;
use crate::window::drawing::{Ink, Pen, draw_note, draw_sheet};
use crate::window::hands;
use crate::window::preview::{Lines, drawn};
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::view::View;

/// Share of the page that a fitted stock fills.
const FILLED: f64 = 0.9;
/// A bar is shown so much further than it is used.
const BEYOND: f64 = 1.15;
/// Room that is shown before an odd piece has corners, mm.
const EMPTY_MM: (f64, f64) = (320.0, 160.0);
/// Corners and flaws are set on full parts of this, mm.
const ROUND_MM: f64 = 0.5;
/// A flaw that was only clicked reaches so far, mm.
const CLICKED_FLAW_MM: f64 = 2.0;
/// Zoom for one notch of the wheel, and for one press of a key.
const ZOOM_PER_POINT: f64 = 0.0025;
const ZOOM_STEP: f64 = 1.25;

/// Draws the page.
pub(super) fn page_ui(ui: &mut Ui, shown: &Shown<'_>, session: &mut Session) {
    let canvas = ui.max_rect();
    let nester = &shown.kept.nest;
    let unit = session.preferences.length_unit;
    let stock = session.nest.stock(shown.set, unit);
    let nest = nester.nest().filter(|_| is_of(nester, stock.as_ref().ok()));
    let bounds = bounds_of(stock.as_ref().ok(), nest, &session.nest, unit);
    let kept = session.nest.view_in(canvas.size());
    let mut view = kept.unwrap_or_else(|| fitted(canvas, bounds));
    let response = ui.interact(canvas, ui.scope_id().with("nest"), Sense::click_and_drag());
    let words = spoken(nester);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "nest"));
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_value(words.clone()));
    let moved = look_around(ui, &response, canvas, &mut view, session.nest.marks_flaws);
    session.nest.view = (moved || session.nest.view.is_some()).then_some(view);
    keys(ui, canvas, view, &mut session.nest);
    let sets = session.nest.kind == StockKind::Odd && !nester.works();
    if sets {
        set_with_pointer(&response, canvas, view, unit, &mut session.nest);
    }
    let painter = ui.painter_at(canvas);
    let bench = Bench(Pen::new(painter, canvas, view, shown.palette));
    let lines = |lines: &Lines| {
        let painter = bench.0.painter.clone();
        draw_sheet(painter, canvas, view, shown.palette, lines, Ink::Page);
    };
    if let (Some(nest), Some((drawn, names))) = (nest, nester.lines()) {
        bench.steel(shown, nest);
        lines(drawn);
        bench.names(shown, nest, names);
    } else if let Ok(stock) = &stock {
        lines(&stock_lines(stock));
    }
    if let Ok(stock) = &stock {
        let used_mm = nest.map_or(0.0, |nest| nest.used_length_mm);
        bench.bar_end(stock, used_mm, session.preferences.lengths());
    }
    if sets {
        bench.set_by_hand(&session.nest, unit);
    }
    bench.scale(unit);
    let hovered = response.hover_pos();
    session.pointer = hovered.map(|pos| view.model_from_screen(canvas, pos));
    let bare = sets && session.nest.piece == PieceFrom::Corners;
    if bare && set_corners(&session.nest.corners, unit).len() < 3 {
        let note = "Click where the corners of the piece lie, all round: three or more.";
        draw_note(&bench.0.painter, canvas, note, shown.palette.quiet);
    } else if let Err(reason) = &stock {
        let top = Rect::from_min_max(canvas.min, egui::pos2(canvas.right(), canvas.top() + 90.0));
        draw_note(&bench.0.painter, top, reason, shown.palette.warn);
    }
}

/// Whether what was found was found for this stock.
fn is_of(nester: &Nester, stock: Option<&Stock>) -> bool {
    let for_it = nester.wish().map(|wish| &wish.stock);
    for_it.zip(stock).is_some_and(|(a, b)| a == b)
}

/// The stock alone.
fn stock_lines(stock: &Stock) -> Lines {
    drawn(&nest_sheet("", "", &[], &Nest::default(), stock).entities)
}

/// What there is to see.
fn bounds_of(
    stock: Option<&Stock>,
    nest: Option<&Nest>,
    own: &NestView,
    unit: LengthUnit,
) -> geometry::Rect {
    match stock {
        Some(Stock::Bar {
            width_mm,
            length_mm,
        }) => {
            let used = nest.map_or(*length_mm, |nest| nest.used_length_mm * BEYOND);
            let shown = used.max(3.0 * width_mm).min(*length_mm);
            geometry::Rect::new(0.0, 0.0, shown, *width_mm)
        }
        Some(Stock::Odd { outline, .. }) => outline.bounds(),
        None => {
            let corners = set_corners(&own.corners, unit);
            let empty = geometry::Rect::new(0.0, 0.0, EMPTY_MM.0, EMPTY_MM.1);
            corners.iter().fold(empty, |all, p| all.union_pt(*p))
        }
    }
}

/// The corners set so far, however few.
pub(super) fn set_corners(text: &str, unit: LengthUnit) -> Vec<Point> {
    // Two more make three of any number: what is no corner still is none.
    let padded = format!("{text} 0,0 0,0 0,0");
    let mut corners = typed_corners(&padded, unit).unwrap_or_default();
    corners.truncate(corners.len().saturating_sub(3));
    corners
}

fn fitted(canvas: Rect, bounds: geometry::Rect) -> View {
    let across = f64::from(canvas.width()) * FILLED / bounds.width().max(1.0);
    let up = f64::from(canvas.height()) * FILLED / bounds.height().max(1.0);
    View {
        middle: bounds.center(),
        px_per_mm: across.min(up),
    }
}

/// Wheel, pinch and drag: zoom at the pointer, move the stock; whether any of it was done.
fn look_around(
    ui: &Ui,
    response: &Response,
    canvas: Rect,
    view: &mut View,
    marks_flaws: bool,
) -> bool {
    let mut moved = false;
    let drags = response.dragged_by(PointerButton::Middle)
        || response.dragged_by(PointerButton::Secondary)
        || (response.dragged() && !marks_flaws);
    if drags {
        view.pan(response.drag_delta());
        moved = true;
    }
    if !response.contains_pointer() {
        return moved;
    }
    let (scroll, pinch, pos) = ui.input(|i| {
        let scroll = f64::from(i.smooth_scroll_delta().y);
        (scroll, f64::from(i.zoom_delta()), i.pointer.latest_pos())
    });
    if let Some(pos) = pos
        && (scroll != 0.0 || pinch != 1.0)
    {
        view.zoom_at(canvas, pos, (scroll * ZOOM_PER_POINT).exp() * pinch);
        moved = true;
    }
    moved
}

/// F fits, plus and minus zoom, Backspace takes the last corner or flaw back.
fn keys(ui: &Ui, canvas: Rect, view: View, own: &mut NestView) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let (fit, closer, farther, back) = ui.input_mut(|i| {
        (
            hands::taken(i, Command::Fit.keys()),
            hands::taken(i, Command::Closer.keys()),
            hands::taken(i, Command::Farther.keys()),
            hands::TAKE_BACK.taken(i),
        )
    });
    if fit {
        own.view = None;
    }
    if closer || farther {
        let mut view = view;
        let by = if closer { ZOOM_STEP } else { 1.0 / ZOOM_STEP };
        view.zoom_at(canvas, canvas.center(), by);
        own.view = Some(view);
    }
    if back && own.kind == StockKind::Odd {
        own.take_back();
    }
}

/// A click sets a corner; with flaws in hand a drag marks one and how far it reaches.
fn set_with_pointer(
    response: &Response,
    canvas: Rect,
    view: View,
    unit: LengthUnit,
    own: &mut NestView,
) {
    let at = response
        .interact_pointer_pos()
        .map(|pos| view.model_from_screen(canvas, pos));
    let round = |p: Point| {
        let to = |v: f64| (v / ROUND_MM).round() * ROUND_MM;
        Point::new(to(p.x), to(p.y))
    };
    if own.marks_flaws {
        if response.drag_started_by(PointerButton::Primary) {
            own.flaw_from = at.map(round);
        }
        if response.drag_stopped()
            && let Some((from, to)) = own.flaw_from.take().zip(at)
        {
            let reach = ((to - from).hypot() / ROUND_MM).round() * ROUND_MM;
            own.add_flaw(from, reach.max(ROUND_MM), unit);
        }
        if response.clicked()
            && let Some(at) = at
        {
            own.add_flaw(round(at), CLICKED_FLAW_MM, unit);
        }
    } else if response.clicked()
        && let Some(at) = at
        && own.piece == PieceFrom::Corners
    {
        // What is looked at stays where it is while corners are set.
        own.view = Some(view);
        own.add_corner(round(at), unit);
    }
}

/// What a screen reader is told of the page.
fn spoken(nester: &Nester) -> String {
    let mut words = nester.words().unwrap_or("nothing nested yet").to_owned();
    for line in nester.left_over() {
        words.push('\n');
        words.push_str(&line);
    }
    words
}

/// Whether the knives of a nest have changed since it was searched.
pub(super) fn is_stale(nester: &Nester, set: &KnifeSet) -> bool {
    nester.wish().is_some_and(|wish| {
        wish.counts.iter().any(|(knife, _)| {
            set.knife(knife.id)
                .is_none_or(|now| !std::sync::Arc::ptr_eq(now, knife))
        })
    })
}
