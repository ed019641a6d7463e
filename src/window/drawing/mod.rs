//! The drawing: ground and ruler, the knife, its beam, what the tools lay over it, and under it the knife from above and its section.

mod aids;
mod beam;
mod comb;
mod findings;
mod fitted;
mod from_above;
mod grips;
mod ground;
mod handles;
mod names;
mod overlay;
mod pen;
mod picture;
mod relief;
mod rounding;
mod saw_strip;
mod section;
mod steel;
mod template;
mod toolbar;
mod wish;

use std::sync::Arc;

use egui::{PointerButton, Rect, Role, Sense, WidgetInfo};

use super::action::Action;
use super::hands;
use super::preview::Lines;
use super::session::{Preferences, Session, Tool};
use super::shown::Shown;
use super::theme::Palette;
use super::tools;
use super::view::View;
use crate::knife::Knife;
pub(super) use pen::Pen;
pub(super) use saw_strip::SawLine;
pub(super) use template::Ink;

/// Height of the ruler, screen points.
const RULER_PX: f32 = 26.0;

/// Height of the knife from above, screen points.
const FROM_ABOVE_PX: f32 = 96.0;
/// Height of the section: this share of the whole, within bounds, screen points.
const SECTION_SHARE: f32 = 0.24;
const SECTION_PX: std::ops::RangeInclusive<f32> = 140.0..=240.0;
/// The drawing keeps at least this height; what lies under it goes first, screen points.
const LEAST_CANVAS_PX: f32 = 300.0;

/// Zoom for one notch of the wheel.
const ZOOM_PER_POINT: f64 = 0.0025;

/// Draws lines and words of a sheet into a part of the window.
pub(super) fn draw_sheet(
    painter: egui::Painter,
    canvas: Rect,
    view: View,
    palette: &Palette,
    lines: &Lines,
    ink: Ink,
) {
    template::draw_lines(&Pen::new(painter, canvas, view, palette), lines, ink);
}

/// Says something in the middle of an empty part of the window.
pub(super) fn draw_note(painter: &egui::Painter, area: Rect, words: &str, color: egui::Color32) {
    let font = egui::FontId::proportional(15.0);
    let galley = painter.layout(words.to_owned(), font, color, 0.8 * area.width());
    let at = egui::Align2::CENTER_CENTER.anchor_size(area.center(), galley.size());
    painter.galley(at.min, galley, color);
}

/// Brings up to date what the tools were asked about a knife beyond its results.
pub(super) fn look_anew(session: &mut Session, knife: &Arc<Knife>) {
    saw_strip::look_anew(session, knife);
}

/// Draws the drawing and takes what the pointer does on it.
pub(super) fn drawing_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let whole = ui.max_rect();
    let bare = session.show_template || shown.knife(session.knife).is_none();
    let parts = Parts::of(whole, &session.preferences, bare);
    let canvas = parts.canvas;
    // A knife is fitted into another size of the drawing before the next frame, which nothing else may ask for.
    if session
        .canvas
        .is_none_or(|before| before.size() != canvas.size())
    {
        ui.ctx().request_repaint();
    }
    session.canvas = Some(canvas);
    let name = shown
        .knife(session.knife)
        .map_or_else(|| "no knife".to_owned(), |(knife, _)| knife.name.clone());
    let response = ui.interact(
        canvas,
        ui.scope_id().with("ground"),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, format!("drawing of {name}")));
    session.over_ground = response.contains_pointer();
    let over = session.over_ground;
    look_around(ui, &response, over, session, canvas);

    let view = session.view();
    let upper = Rect::from_min_max(whole.min, egui::pos2(whole.right(), canvas.bottom()));
    let mut pen = Pen::new(ui.painter_at(upper), canvas, view, shown.palette);
    ground::draw_ground(&pen, session);
    session.strip = None;
    let Some((knife, results)) = shown.knife(session.knife) else {
        overlay::draw_empty(&pen, super::bench::EMPTY);
        ground::draw_ruler(&pen, whole, session);
        return;
    };
    if session.over_ground {
        let icon = match session.tool {
            Tool::Shift => egui::CursorIcon::Default,
            _ => egui::CursorIcon::Crosshair,
        };
        ui.set_cursor_icon(icon);
    }
    if session.show_template {
        template::draw_template(&pen, &shown.kept.preview);
        ground::draw_ruler(&pen, whole, session);
        toolbar::toolbar_ui(ui, canvas, shown, session, actions);
        return;
    }
    let over_picture = picture::draw_picture(&pen, knife, shown, session);
    pen.veiled = over_picture;
    steel::draw_steel(&pen, knife, results, session, over_picture);
    fitted::draw_handle(&pen, knife, results);
    fitted::guard_ui(ui, &pen, knife);
    fitted::draw_name(&pen, knife, results);
    fitted::draw_flaws(&pen, knife);
    fitted::weakest_ui(ui, &pen, results, shown, session);
    aids::draw_aids(&pen, knife, results, session);
    // Words come after the lines that would strike them through.
    draw_section_line(&pen, canvas, shown, session);
    let beam_y = beam::draw_beam(&pen, results, session);
    handles::things_ui(ui, &pen, shown, session, actions);
    names::draw_names(&pen, knife, results, session);
    wish::wish_ui(ui, &pen, (knife, results), beam_y, shown, session, actions);
    if session.tool == Tool::Shift && session.preferences.ground {
        grips::grips_ui(ui, &pen, shown, session, actions);
    }
    if session.tool == Tool::Trace {
        picture::grips_ui(ui, &pen, knife, shown, session, actions);
    }
    picture::draw_found(&pen, shown);
    saw_strip::saw_bow_ui(ui, &pen, session);
    tools::press_on_ground(&response, shown, session, actions);
    if let Some(rect) = parts.from_above {
        from_above::from_above_ui(ui, rect, &pen, shown, session, actions);
    }
    if let Some(rect) = parts.section {
        section::section_ui(ui, rect, &pen, shown, session, actions);
    }
    findings::draw_findings(&pen, shown, results, session);
    findings::draw_ready(&pen, shown, results, session);
    let over_all = Pen::new(ui.painter_at(whole), canvas, view, shown.palette);
    overlay::draw_gesture(ui, &over_all, shown, session);
    pen.veiled = false;
    ground::draw_ruler(&pen, whole, session);
    toolbar::toolbar_ui(ui, canvas, shown, session, actions);
}

/// A dotted line where the section is taken, through the drawing or the knife from above.
fn draw_section_line(pen: &Pen<'_>, area: Rect, shown: &Shown<'_>, session: &Session) {
    let Some(section) = shown.kept.section.section() else {
        return;
    };
    let x = pen.pos(crate::geometry::Point::new(section.x_mm, 0.0)).x;
    if !area.x_range().contains(x) {
        return;
    }
    let width = if session.section.pinned { 1.6 } else { 1.0 };
    let stroke = egui::Stroke::new(width, pen.palette.guide);
    let ends = [area.top(), area.bottom()].map(|y| egui::pos2(x, y));
    pen.dashed_path(&ends, stroke, (1.5, 4.0));
}

/// What lies where.
struct Parts {
    canvas: Rect,
    from_above: Option<Rect>,
    section: Option<Rect>,
}

impl Parts {
    /// Shares the room out. In a low window the section goes first, then the knife from above; under a template, or where there is no knife, there
    /// is neither.
    fn of(whole: Rect, preferences: &Preferences, bare: bool) -> Self {
        let top = whole.top() + RULER_PX;
        let mut bottom = whole.bottom();
        let mut take = |wanted: bool, height: f32| {
            if !wanted || bare || bottom - top - height < LEAST_CANVAS_PX {
                return None;
            }
            let lower = bottom;
            bottom -= height;
            Some(Rect::from_min_max(
                egui::pos2(whole.left(), bottom),
                egui::pos2(whole.right(), lower),
            ))
        };
        let height = (SECTION_SHARE * whole.height()).clamp(*SECTION_PX.start(), *SECTION_PX.end());
        // The knife from above lies nearer, so that it comes after the section when room is taken from below.
        let with_both = whole.bottom() - top - FROM_ABOVE_PX - height >= LEAST_CANVAS_PX;
        let section = take(
            preferences.section && (with_both || !preferences.from_above),
            height,
        );
        let from_above = take(preferences.from_above, FROM_ABOVE_PX);
        Self {
            canvas: Rect::from_min_max(
                egui::pos2(whole.left(), top),
                egui::pos2(whole.right(), bottom),
            ),
            from_above,
            section,
        }
    }
}

/// Wheel, pinch and the other buttons: zoom at the pointer, move the paper.
fn look_around(
    ui: &egui::Ui,
    response: &egui::Response,
    over: bool,
    session: &mut Session,
    canvas: Rect,
) {
    if !over && !response.dragged() {
        return;
    }
    let (scroll, pinch, pos, sideways, space) = ui.input(|i| {
        (
            i.smooth_scroll_delta(),
            f64::from(i.zoom_delta()),
            i.pointer.latest_pos(),
            hands::ASIDE.held(i.modifiers),
            hands::PAPER.down(i),
        )
    });
    let drag = response.drag_delta();
    let by_other = response.dragged_by(PointerButton::Middle)
        || response.dragged_by(PointerButton::Secondary)
        || (space && response.dragged());
    let Some(view) = session.view_mut() else {
        return;
    };
    if by_other {
        view.pan(drag);
    }
    // Under the drawing only the place along the knife counts.
    let Some(pos) = pos.map(|p| egui::pos2(p.x, p.y.min(canvas.bottom()))) else {
        return;
    };
    if sideways || scroll.x != 0.0 {
        view.pan(egui::vec2(
            scroll.x + if sideways { scroll.y } else { 0.0 },
            0.0,
        ));
    } else if scroll.y != 0.0 {
        view.zoom_at(canvas, pos, (f64::from(scroll.y) * ZOOM_PER_POINT).exp());
    }
    if pinch != 1.0 {
        view.zoom_at(canvas, pos, pinch);
    }
}
