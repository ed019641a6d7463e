//! The drawing: ground and ruler, the knife, its beam, and what the tools lay over it.

mod beam;
mod ground;
mod handles;
mod overlay;
mod pen;
mod steel;
mod template;
mod toolbar;

use egui::{PointerButton, Rect, Role, Sense, WidgetInfo};

use super::action::Action;
use super::session::{Session, Tool};
use super::shown::Shown;
use super::tools;
use pen::Pen;

/// Height of the ruler, screen points.
const RULER_PX: f32 = 26.0;

/// Zoom for one notch of the wheel.
const ZOOM_PER_POINT: f64 = 0.0025;

/// Draws the drawing and takes what the pointer does on it.
pub(super) fn drawing_ui(
    ui: &mut egui::Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let whole = ui.max_rect();
    let canvas = Rect::from_min_max(whole.min + egui::vec2(0.0, RULER_PX), whole.max);
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
    look_around(ui, &response, session, canvas);

    let view = session.view();
    let pen = Pen::new(ui.painter_at(whole), canvas, view, shown.palette);
    ground::draw_ground(&pen, session);
    let Some((knife, results)) = shown.knife(session.knife) else {
        overlay::draw_empty(&pen, "The rack is empty: press + to take a blade form");
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
        template::draw_template(&pen, shown.preview);
        ground::draw_ruler(&pen, whole, session);
        toolbar::toolbar_ui(ui, canvas, shown, session, actions);
        return;
    }
    steel::draw_steel(&pen, knife, results, session);
    beam::draw_beam(&pen, results, session);
    handles::things_ui(ui, &pen, shown, session, actions);
    tools::press_on_ground(&response, shown, session, actions);
    overlay::draw_gesture(ui, &pen, shown, session);
    ground::draw_ruler(&pen, whole, session);
    toolbar::toolbar_ui(ui, canvas, shown, session, actions);
}

/// Wheel, pinch and the other buttons: zoom at the pointer, move the paper.
fn look_around(ui: &egui::Ui, response: &egui::Response, session: &mut Session, canvas: Rect) {
    if !session.over_ground && !response.dragged() {
        return;
    }
    let (scroll, pinch, pos, sideways, space) = ui.input(|i| {
        (
            i.smooth_scroll_delta(),
            f64::from(i.zoom_delta()),
            i.pointer.latest_pos(),
            i.modifiers.shift,
            i.key_down(egui::Key::Space),
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
    let Some(pos) = pos else { return };
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
