//! The build sheet in the middle of the window: its pages one below the other, as they are printed.

use egui::{Rect, ScrollArea, Sense, StrokeKind, Ui, vec2};

use super::EMPTY;
use super::build_shelf::SheetPage;
use crate::geometry::Point;
use crate::window::action::Action;
use crate::window::drawing::{Ink, draw_note, draw_sheet};
use crate::window::hands::{self, arrow_steps};
use crate::window::keyboard::keep_in_sight;
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::view::View;

/// Air around the pages, screen points.
const AIR_PX: f32 = 14.0;
/// A page wider than this is read no better, screen points.
const WIDEST_PX: f32 = 1400.0;
/// How far an arrow key scrolls, screen points.
const ARROW_PX: f32 = 60.0;

/// What the window remembers of the build sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BuildView {
    /// Only the knife on the drawing; else the whole set.
    pub one_knife: bool,
    /// Whether whole pages are shown; else as wide as there is room.
    pub whole_pages: bool,
    /// The page that is looked at, counted from 0.
    pub page: usize,
    /// The page to be brought to the top.
    pub go_to: Option<usize>,
    /// How far it was rolled in the last frame, screen points, and the scale of its first page then.
    rolled: (f32, f32),
    /// The same as it shall be, while the window is being resized.
    anew: Option<(f32, f32)>,
    /// How far it can be rolled, as of the last frame, screen points.
    farthest: f32,
}

/// Draws the pages.
pub(super) fn page_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    _actions: &mut Vec<Action>,
) {
    let shelf = &shown.kept.build;
    let whole = ui.max_rect();
    if let Some(trouble) = shelf.trouble() {
        draw_note(ui.painter(), whole, trouble, shown.palette.stop);
        return;
    }
    if shelf.pages().is_empty() {
        draw_note(ui.painter(), whole, EMPTY, shown.palette.quiet);
        return;
    }
    keys(ui, shelf.pages().len(), &mut session.build);
    let view = &mut session.build;
    let go_to = view.go_to.take();
    let room = vec2(whole.width() - 3.0 * AIR_PX, whole.height() - 2.0 * AIR_PX);
    let first = (shelf.pages().first()).map_or(0.0, |page| scale_of(page, room, view.whole_pages));
    let mut area = ScrollArea::vertical()
        .id_salt("build sheet")
        .auto_shrink([false, false]);
    // In a window of another size the same place of the sheet is read on. It is rolled there twice: at first only as far as the old pages reach, for what is
    // rolled beyond the last one springs back.
    let again = view.anew.take();
    let (offset, scale) = again.unwrap_or(view.rolled);
    if let Some(page) = shelf.pages().first()
        && go_to.is_none()
        && scale > 0.0
        && scale != first
    {
        let offset = rolled_anew(page, offset, scale, first);
        area = area.vertical_scroll_offset(offset.min(view.farthest));
        view.anew = Some((offset, first));
        ui.ctx().request_repaint();
    } else if again.is_some() {
        area = area.vertical_scroll_offset(offset);
    }
    let rolled = area.show(ui, |ui| {
        let arrows = arrows(ui);
        if arrows != 0.0 {
            ui.scroll_with_delta(vec2(0.0, arrows));
        }
        let top = ui.clip_rect().top();
        let mut at = None;
        ui.add_space(AIR_PX);
        for (place, page) in shelf.pages().iter().enumerate() {
            let scale = scale_of(page, room, view.whole_pages);
            let rect = one_page_ui(ui, shown, page, scale, (place, shelf.pages().len()));
            if go_to == Some(place) {
                let above = Rect::from_min_max(rect.min - vec2(0.0, AIR_PX), rect.max);
                ui.scroll_to_rect(above, Some(egui::Align::TOP));
            }
            if at.is_none() && rect.bottom() > top + 0.5 * whole.height() {
                at = Some(place);
            }
            ui.add_space(AIR_PX);
        }
        view.page = go_to.or(at).unwrap_or(view.page);
        keep_in_sight(ui);
    });
    view.rolled = (rolled.state.clamped_offset().y, first);
    view.farthest = (rolled.content_size.y - rolled.inner_rect.height()).max(0.0);
}

/// How far the pages are rolled at another scale when the same place lies at the top: pages grow, the air between them does not.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen lengths are single precision"
)]
fn rolled_anew(page: &SheetPage, offset: f32, before: f32, now: f32) -> f32 {
    let height = page.size_mm.1 as f32;
    let above = (offset / (height * before + AIR_PX)).floor();
    let within = offset - above * (height * before + AIR_PX) - AIR_PX;
    let rolled = above * (height * now + AIR_PX) + AIR_PX + within * now / before;
    rolled.max(0.0)
}

/// Screen points to the millimeter.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen lengths are single precision"
)]
fn scale_of(page: &SheetPage, room: egui::Vec2, whole: bool) -> f32 {
    let (width, height) = (page.size_mm.0 as f32, page.size_mm.1 as f32);
    let by_width = room.x.min(WIDEST_PX) / width;
    let scale = if whole {
        by_width.min(room.y / height)
    } else {
        by_width
    };
    scale.max(0.3)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "screen lengths are single precision"
)]
fn one_page_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    page: &SheetPage,
    scale: f32,
    (place, of): (usize, usize),
) -> Rect {
    let (width, height) = page.size_mm;
    let size = vec2(width as f32 * scale, height as f32 * scale);
    let (room, _) = ui.allocate_exact_size(vec2(ui.available_width(), size.y), Sense::hover());
    let rect = Rect::from_min_size(egui::pos2(room.center().x - 0.5 * size.x, room.top()), size);
    let response = ui.interact(
        rect,
        ui.scope_id().with(("page", place)),
        Sense::focusable_noninteractive(),
    );
    let name = format!("build sheet, page {} of {of}", place + 1);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &name));
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_value(page.words.clone()));
    if ui.is_rect_visible(rect) {
        let palette = shown.palette;
        let stroke = egui::Stroke::new(1.0, palette.card_edge);
        ui.painter()
            .rect(rect, 2.0, palette.card, stroke, StrokeKind::Outside);
        let view = View {
            middle: Point::new(width / 2.0, height / 2.0),
            px_per_mm: f64::from(scale),
        };
        let painter = ui.painter_at(rect);
        draw_sheet(painter, rect, view, palette, &page.lines, Ink::Page);
    }
    rect
}

/// Page Up and Down, Home and End turn the pages.
fn keys(ui: &Ui, pages: usize, view: &mut BuildView) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let last = pages.saturating_sub(1);
    let turned = ui.input_mut(|i| {
        if hands::NEXT_PAGE.taken(i) {
            Some((view.page + 1).min(last))
        } else if hands::PREVIOUS_PAGE.taken(i) {
            Some(view.page.saturating_sub(1))
        } else if hands::FIRST_PAGE.taken(i) {
            Some(0)
        } else if hands::LAST_PAGE.taken(i) {
            Some(last)
        } else {
            None
        }
    });
    view.go_to = turned.or(view.go_to);
}

/// How far the arrow keys scroll now, screen points.
fn arrows(ui: &Ui) -> f32 {
    let taken = ui.memory(|m| m.focused()).is_some();
    if taken {
        return 0.0;
    }
    ARROW_PX * ui.input_mut(arrow_steps).y as f32
}
