//! What helps the hand beside the knife itself: the middle line whose sides are kept alike, the jaws on what is clamped, the stroke drawn over the outline.

use egui::{Align2, Shape, Stroke, pos2, vec2};

use super::Pen;
use crate::edit::{Thing, is_clamped};
use crate::geometry::Point;
use crate::knife::Knife;
use crate::window::results::KnifeResults;
use crate::window::session::Session;
use crate::window::tools::Gesture;

/// Half the way between the jaws of a clamp where they hold a node, and half their height, screen points.
const JAW_PX: egui::Vec2 = vec2(8.0, 6.0);
/// From a hole to the jaws that hold it, screen points.
const BESIDE_HOLE_PX: f32 = 4.0;

/// What a screen reader adds to the name of a clamped thing.
pub(super) fn clamped(knife: &Knife, thing: Thing) -> &'static str {
    if is_clamped(knife, thing) {
        ", clamped"
    } else {
        ""
    }
}

/// Draws them.
pub(super) fn draw_aids(pen: &Pen<'_>, knife: &Knife, results: &KnifeResults, session: &Session) {
    draw_middle_line(pen, knife, session);
    let held = |id| knife.clamped.contains(&id);
    for node in knife.outline.nodes.iter().filter(|n| held(n.id)) {
        draw_jaws(pen, node.at, JAW_PX.x);
    }
    let cut_outs = results.cut_outs.iter();
    for cut in cut_outs.filter(|c| held(c.row.unwrap_or(c.cut_out.id))) {
        let shape = &cut.cut_out.shape;
        // Outside the hole, which may bear a number.
        let half = pen.px(shape.contour().bounds().width() / 2.0);
        draw_jaws(pen, shape.center(), JAW_PX.x.max(half + BESIDE_HOLE_PX));
    }
    if let Gesture::DrawOver { points } = &session.gesture {
        let line = points.iter().map(|p| pen.pos(*p)).collect();
        pen.painter
            .add(Shape::line(line, Stroke::new(2.2, pen.palette.bright)));
    }
}

/// Two jaws that hold a place between them, each so far from it, screen points.
fn draw_jaws(pen: &Pen<'_>, at: Point, reach: f32) {
    let stroke = Stroke::new(1.8, pen.palette.guide);
    let middle = pen.pos(at);
    for side in [-1.0, 1.0] {
        let x = side * reach;
        let foot = x - side * 3.0;
        let jaw = [
            (foot, -JAW_PX.y),
            (x, -JAW_PX.y),
            (x, JAW_PX.y),
            (foot, JAW_PX.y),
        ];
        let line = jaw.map(|(x, y)| middle + vec2(x, y)).to_vec();
        pen.painter.add(Shape::line(line, stroke));
    }
}

fn draw_middle_line(pen: &Pen<'_>, knife: &Knife, session: &Session) {
    let Some(line) = session.both else { return };
    let words = match knife.middle_y_mm(line) {
        Ok(y_mm) => {
            let y = pen.pos(Point::new(0.0, y_mm)).y;
            let ends = [pos2(pen.canvas.left(), y), pos2(pen.canvas.right(), y)];
            let stroke = Stroke::new(1.2, pen.palette.guide);
            pen.dashed_path(&ends, stroke, (12.0, 5.0));
            let at = pos2(pen.canvas.right() - 10.0, y - 4.0);
            let words = "alike";
            pen.text(at, Align2::RIGHT_BOTTOM, words, 11.5, pen.palette.guide);
            return;
        }
        Err(reason) => reason.to_string(),
    };
    let at = pos2(pen.canvas.right() - 10.0, pen.canvas.top() + 8.0);
    pen.text(at, Align2::RIGHT_TOP, &words, 11.5, pen.palette.warn);
}
