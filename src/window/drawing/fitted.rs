//! What is fitted to the steel, drawn around it: the handle's outline and joints; and the flaws marked in it.

use egui::{Align2, Rect, Shape, Stroke, StrokeKind, Ui};

use super::pen::{Pen, named_ui};
use crate::geometry::Point;
use crate::knife::{Engraved, Flaw, Knife};
use crate::units::Length;
use crate::window::results::KnifeResults;
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::theme;

/// Half the width of the teeth a crack is drawn with, screen points.
const TOOTH_PX: f32 = 2.5;

/// Draws the handle behind the shoulder line.
pub(super) fn draw_handle(pen: &Pen<'_>, knife: &Knife, results: &KnifeResults) {
    let Some(handle) = &knife.handle else { return };
    let color = pen.palette.quiet;
    if !results.handle_points.is_empty() {
        let mut points: Vec<_> = results.handle_points.iter().map(|p| pen.pos(*p)).collect();
        points.extend(points.first().copied());
        pen.dashed_path(&points, Stroke::new(1.2, color), (7.0, 4.0));
    }
    for part in &handle.parts {
        let x = part.from_x_mm;
        if let Some((low, high)) = results.handle_sides(x - 1e-3) {
            let (a, b) = (Point::new(x, low), Point::new(x, high));
            pen.dashed(pen.pos(a), pen.pos(b), color);
        }
    }
}

/// Draws the guard from the side: its plate stands behind the shoulder line by its thickness, above and below the blade by its height.
pub(super) fn guard_ui(ui: &Ui, pen: &Pen<'_>, knife: &Knife) {
    let Some(guard) = &knife.guard else { return };
    let (low, high) = guard.sides_mm();
    let front = pen.pos(Point::new(0.0, low));
    let rear = pen.pos(Point::new(-guard.thickness_mm, high));
    let rect = Rect::from_two_pos(front, rear);
    plate(pen, rect, StrokeKind::Middle);
    named_ui(
        ui,
        ("guard", knife.id),
        rect,
        "guard from the side".to_owned(),
    );
}

/// Draws a guard's plate as it is seen from one side.
pub(super) fn plate(pen: &Pen<'_>, plate: Rect, kind: StrokeKind) {
    let fill = pen.palette.bar.gamma_multiply(0.55);
    pen.painter.rect_filled(plate, 0.0, fill);
    let stroke = Stroke::new(1.4, pen.palette.line);
    pen.painter.rect_stroke(plate, 0.0, stroke, kind);
}

/// Marks the weakest sections: a bright line across, its ends turned in.
pub(super) fn weakest_ui(
    ui: &Ui,
    pen: &Pen<'_>,
    results: &KnifeResults,
    shown: &Shown<'_>,
    session: &Session,
) {
    let answer = shown.kept.strength.answer(&results.knife);
    let Some(Ok(answer)) = answer.filter(|_| session.bearing.is_open()) else {
        return;
    };
    let lengths = session.preferences.lengths();
    let stroke = Stroke::new(1.6, pen.palette.warn);
    let weakest = [answer.weakest_edgewise, answer.weakest_flatwise];
    let stations = weakest.into_iter().flatten();
    let places = stations.filter_map(|i| Some(answer.stations.get(i)?.section.x_mm));
    for (place, x) in places.enumerate() {
        let Some((low, high)) = results.steel.depth_at(x) else {
            continue;
        };
        let (a, b) = (pen.pos(Point::new(x, low)), pen.pos(Point::new(x, high)));
        pen.painter.line_segment([a, b], stroke);
        let told = lengths.print_signed(Length::mm(x));
        let name = format!("weakest section at {told}");
        named_ui(ui, ("weakest", place), Rect::from_two_pos(a, b), name);
        for (end, up) in [(a, 5.0), (b, -5.0)] {
            for side in [-4.0, 4.0] {
                let foot = end + egui::vec2(side, up);
                pen.painter.line_segment([end, foot], stroke);
            }
        }
    }
}

/// The box of the name on the tang; `None` for a name that can't be written.
pub(super) fn name_box(knife: &Knife, results: &KnifeResults) -> Option<crate::geometry::Rect> {
    let size = knife.engraving.as_ref()?.size_mm()?;
    let at = results.engraving_held?;
    Some(crate::geometry::Rect::from_center_size(at, size.to_size()))
}

/// Draws the name on the tang, as its strokes are cut; where there is no room, the place it was wanted at.
pub(super) fn draw_name(pen: &Pen<'_>, knife: &Knife, results: &KnifeResults) {
    let Some(Ok(Engraved { strokes, .. })) = &results.engraving else {
        if let Some(room) = name_box(knife, results) {
            let corners = [
                Point::new(room.x0, room.y0),
                Point::new(room.x1, room.y0),
                Point::new(room.x1, room.y1),
                Point::new(room.x0, room.y1),
            ];
            pen.closed(&corners, Stroke::new(1.2, pen.palette.stop));
        }
        return;
    };
    for stroke in strokes {
        let points = stroke.iter().map(|p| pen.pos(*p)).collect();
        let line = Stroke::new(1.2, pen.palette.bright);
        pen.painter.add(Shape::line(points, line));
    }
}

/// Draws the flaws, each with its name.
pub(super) fn draw_flaws(pen: &Pen<'_>, knife: &Knife) {
    for flaw in &knife.flaws {
        draw_flaw(pen, flaw);
    }
}

fn draw_flaw(pen: &Pen<'_>, flaw: &Flaw) {
    let color = pen.palette.stop;
    let reach = pen.px(flaw.reach_mm);
    for (a, b) in flaw.segments() {
        let (a, b) = (pen.pos(a), pen.pos(b));
        if reach > 1.0 {
            let band = Stroke::new(2.0 * reach, color.gamma_multiply(0.25));
            pen.painter.line_segment([a, b], band);
            pen.painter
                .circle_filled(a, reach, color.gamma_multiply(0.25));
        }
        let along = b - a;
        if along.length() < 1.0 {
            pen.painter.circle_stroke(a, 4.0, Stroke::new(2.0, color));
            continue;
        }
        // Teeth to either side, so that a crack never passes for a scribed line.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of teeth on the screen"
        )]
        let n = (along.length() / 6.0).clamp(1.0, 400.0) as u16;
        let across = along.normalized().rot90() * TOOTH_PX;
        let points = (0..=n).map(|i| {
            let at = a + along * (f32::from(i) / f32::from(n));
            let side = match i {
                0 => 0.0,
                i if i == n => 0.0,
                i if i % 2 == 0 => 1.0,
                _ => -1.0,
            };
            at + across * side
        });
        pen.painter
            .add(Shape::line(points.collect(), Stroke::new(2.0, color)));
    }
    if let Some(first) = flaw.line.first() {
        let at = pen.pos(*first) + egui::vec2(6.0, -6.0);
        pen.text(
            at,
            Align2::LEFT_BOTTOM,
            flaw.kind.name(),
            theme::READ_OUT,
            color,
        );
    }
}
