//! The picture of a new knife, drawn while its sizes are typed.

use egui::{Sense, Shape, Stroke, Ui};

use crate::geometry::{self, Point};
use crate::window::dashes::dashed;
use crate::window::theme::Palette;

/// A knife fitted into a strip: its outline, and that of its handle if it has one of its own. Quiet where the knife can't be made as asked.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen places are single precision"
)]
pub(super) fn picture_ui(
    ui: &mut Ui,
    palette: &Palette,
    [steel, handle]: [&[Point]; 2],
    sound: bool,
) {
    // Low where the window is low, so that the sizes stay in sight.
    let height = (ui.ctx().content_rect().height() * 0.22).min(150.0);
    let size = egui::vec2(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, "Picture of the new knife")
    });
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 6.0, palette.ground);
    let all: Vec<Point> = [steel, handle].concat();
    let Some(bounds) = bounds_of(&all) else {
        return;
    };
    let room = rect.shrink(rect.height() * 0.1);
    let scale =
        (f64::from(room.width()) / bounds.width()).min(f64::from(room.height()) / bounds.height());
    let center = bounds.center();
    let on_screen = |p: Point| {
        let d = (p - center) * scale;
        rect.center() + egui::vec2(d.x as f32, -d.y as f32)
    };
    let outline: Vec<egui::Pos2> = steel.iter().map(|p| on_screen(*p)).collect();
    let color = if sound { palette.line } else { palette.quiet };
    let shoulder = on_screen(Point::new(0.0, center.y)).x;
    let ends = [rect.top(), rect.bottom()].map(|y| egui::pos2(shoulder, y));
    let quiet = Stroke::new(1.0, palette.quiet);
    painter.extend(dashed(&ends, quiet, 3.0, 4.0));
    painter.add(Shape::closed_line(outline, Stroke::new(1.5, color)));
    let mut handle: Vec<egui::Pos2> = handle.iter().map(|p| on_screen(*p)).collect();
    handle.extend(handle.first().copied());
    let quiet = Stroke::new(1.2, palette.quiet);
    painter.extend(dashed(&handle, quiet, 7.0, 4.0));
}

/// The box around points; none when it has no size.
fn bounds_of(points: &[Point]) -> Option<geometry::Rect> {
    let first = points.first()?;
    let bounds = points
        .iter()
        .fold(geometry::Rect::from_points(*first, *first), |all, p| {
            all.union_pt(*p)
        });
    (bounds.width() > 0.0 && bounds.height() > 0.0).then_some(bounds)
}
