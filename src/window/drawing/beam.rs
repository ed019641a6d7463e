//! The beam under the knife, with its fulcrum at the balance point.

use egui::{Align2, Shape, Stroke, pos2};

use super::Pen;
use crate::geometry::Point;
use crate::units::{Length, LengthUnit};
use crate::window::results::KnifeResults;
use crate::window::session::Session;

/// How far below the knife the beam hangs, screen points.
const DROP_PX: f32 = 64.0;

/// Bands narrower than half of what is printed are not worth a word, mm.
const LEAST_BAND_MM: f64 = 0.05;

/// Draws the beam; gives its height on the screen.
pub(super) fn draw_beam(pen: &Pen<'_>, results: &KnifeResults, session: &Session) -> f32 {
    let bounds = results.steel.bounds();
    let palette = pen.palette;
    let below = pen.pos(Point::new(0.0, bounds.y0)).y + DROP_PX;
    let y = below.clamp(pen.canvas.top() + 40.0, pen.canvas.bottom() - 44.0);
    let (left, right) = (
        pen.pos(Point::new(bounds.x0, 0.0)).x,
        pen.pos(Point::new(bounds.x1, 0.0)).x,
    );
    let stroke = Stroke::new(2.0, palette.line);
    pen.painter.hline(left..=right, y, stroke);
    for x in [left, right] {
        pen.painter.vline(x, y - 4.0..=y + 4.0, stroke);
    }
    let Some(total) = results.weighed.up.total else {
        let why = results
            .weighed
            .up
            .missing
            .first()
            .map_or_else(String::new, ToString::to_string);
        let text = format!("no balance yet: {why}");
        let at = pos2(f32::midpoint(left, right), y + 10.0);
        pen.text_on_plate(at, Align2::CENTER_TOP, &text, 12.0, palette.stop);
        return y;
    };
    let x = pen.pos(Point::new(total.balance_mm, 0.0)).x;
    let top = pen.pos(Point::new(0.0, bounds.y1)).y - 26.0;
    pen.dashed(pos2(x, top), pos2(x, y), palette.bright);
    let fulcrum = vec![
        pos2(x, y + 1.0),
        pos2(x + 11.0, y + 20.0),
        pos2(x - 11.0, y + 20.0),
    ];
    pen.painter
        .add(Shape::convex_polygon(fulcrum, palette.bright, Stroke::NONE));
    let lengths = session.preferences.lengths();
    let balance = Length::mm(total.balance_mm);
    let half = total.balance_band_mm.half_width();
    // A fraction has a ± of its own.
    let told = half >= LEAST_BAND_MM && lengths.unit != LengthUnit::FractionInch;
    let text = if told {
        let sign = if total.balance_mm > 0.0 { "+" } else { "" };
        let (value, half) = (lengths.print_bare(balance), lengths.print(Length::mm(half)));
        format!("balance {sign}{value} ± {half}")
    } else {
        format!("balance {}", lengths.print_signed(balance))
    };
    let at = pos2(x, y + 24.0);
    pen.text_on_plate(at, Align2::CENTER_TOP, &text, 13.0, palette.bright);
    y
}
