//! The grip in the angle of a picked corner: dragged inward it rounds the corner.

use egui::{Id, Rect, Role, Sense, Stroke, WidgetInfo, vec2};

use super::handles::Bench;
use crate::knife::Knife;
use crate::window::session::Session;
use crate::window::tools::{Gesture, Rounding, start_rounding};

/// How far from the corner the grip stands, screen points.
const OUT_PX: f32 = 26.0;
/// Its radius, and the size of what takes the pointer, screen points.
const GRIP_PX: f32 = 5.0;
const REACH_PX: f32 = 15.0;

/// Draws the grip of a corner and takes a press on it.
pub(super) fn rounding_ui(
    bench: &mut Bench<'_, '_>,
    session: &mut Session,
    knife: &Knife,
    rounding: Rounding,
    name: &str,
) {
    if session.gesture != Gesture::Idle {
        return;
    }
    let Some(corner) = rounding.corner(knife) else {
        return;
    };
    let pen = bench.pen;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen lengths are single precision"
    )]
    let inward = vec2(corner.inward.x as f32, -corner.inward.y as f32);
    let base = pen.pos(corner.at);
    let at = base + inward * OUT_PX;
    let rect = Rect::from_center_size(at, vec2(REACH_PX, REACH_PX));
    if !bench.area.intersects(rect) {
        return;
    }
    let id = Id::unique(("rounding", knife.id, rounding.of, rounding.node));
    let response = bench.ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("rounding of {name}")));
    let lit = response.hovered() || response.has_focus();
    let color = if lit {
        pen.palette.bright
    } else {
        pen.palette.guide
    };
    let stroke = Stroke::new(1.4, color);
    pen.painter
        .line_segment([base, at], Stroke::new(1.0, color.gamma_multiply(0.5)));
    pen.painter.circle(at, GRIP_PX, pen.palette.ground, stroke);
    // A quarter of an arc in it, so that it is not taken for a handle.
    let arc = (0..=6u8).map(|i| {
        let turn = std::f32::consts::FRAC_PI_2 * f32::from(i) / 6.0;
        at + vec2(-1.5, 1.5) + 3.0 * vec2(turn.sin(), -turn.cos())
    });
    pen.painter
        .add(egui::Shape::line(arc.collect(), Stroke::new(1.2, color)));
    let response = response.on_hover_text(
        "Drag inward to round the corner; its radius can be typed on the Profile card",
    );
    start_rounding(&response, session, rounding, bench.actions);
}
