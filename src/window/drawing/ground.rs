//! The ground under the knife: grid, shoulder line, and the ruler in the maker's unit.

use egui::{FontId, Rect, Stroke, pos2};

use super::Pen;
use crate::geometry::Point;
use crate::units::{LengthUnit, MM_PER_INCH, print_number};
use crate::window::session::Session;

/// Least distance of drawn ruler ticks and grid lines, screen points.
const TICK_PX: f64 = 7.0;
/// Least distance of ruler numbers, screen points.
const NUMBER_PX: f64 = 56.0;

/// Length of a tick that bears a number, screen points.
const LONG_TICK_PX: f32 = 12.0;

/// Steps of the ruler, mm, finest first.
fn steps(unit: LengthUnit) -> Vec<f64> {
    match unit {
        LengthUnit::Mm => vec![0.1, 0.5, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0, 5000.0],
        LengthUnit::DecimalInch => [0.01, 0.05, 0.1, 0.5, 1.0, 2.0, 5.0, 10.0, 50.0, 100.0]
            .iter()
            .map(|s| s * MM_PER_INCH)
            .collect(),
        LengthUnit::FractionInch => [
            1.0 / 64.0,
            1.0 / 32.0,
            1.0 / 16.0,
            1.0 / 8.0,
            0.25,
            0.5,
            1.0,
            2.0,
            6.0,
            12.0,
            60.0,
        ]
        .iter()
        .map(|s| s * MM_PER_INCH)
        .collect(),
    }
}

fn step_for(session: &Session, least_px: f64) -> f64 {
    let least = session.view().mm(1.0) * least_px;
    let steps = steps(session.preferences.length_unit);
    steps
        .iter()
        .copied()
        .find(|s| *s >= least)
        .or_else(|| steps.last().copied())
        .unwrap_or(10.0)
}

/// Multiples of `step` between two values, at most a few thousand.
fn multiples(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    let mut i = (from / step).ceil();
    std::iter::from_fn(move || {
        let value = i * step;
        i += 1.0;
        (value <= to).then_some(value)
    })
    .take(4000)
}

/// Draws the grid and the shoulder line.
pub(super) fn draw_ground(pen: &Pen<'_>, session: &Session) {
    let step = step_for(session, 34.0);
    let low = pen
        .view
        .model_from_screen(pen.canvas, pen.canvas.left_bottom());
    let high = pen
        .view
        .model_from_screen(pen.canvas, pen.canvas.right_top());
    let stroke = Stroke::new(1.0, pen.palette.grid);
    for x in multiples(low.x, high.x, step) {
        let sx = pen.pos(Point::new(x, 0.0)).x;
        pen.painter.vline(sx, pen.canvas.y_range(), stroke);
    }
    for y in multiples(low.y, high.y, step) {
        let sy = pen.pos(Point::new(0.0, y)).y;
        pen.painter.hline(pen.canvas.x_range(), sy, stroke);
    }
    // A template has a shoulder line of its own, and words this one would strike through.
    if session.show_template {
        return;
    }
    let x = pen.pos(Point::ZERO).x;
    pen.dashed(
        pos2(x, pen.canvas.top()),
        pos2(x, pen.canvas.bottom()),
        pen.palette.quiet.gamma_multiply(0.7),
    );
}

/// Draws the ruler along the top.
pub(super) fn draw_ruler(pen: &Pen<'_>, whole: Rect, session: &Session) {
    let strip = Rect::from_min_max(whole.min, pos2(whole.right(), pen.canvas.top()));
    pen.painter.rect_filled(strip, 0.0, pen.palette.bench);
    let low = pen.view.model_from_screen(pen.canvas, strip.left_top()).x;
    let high = pen.view.model_from_screen(pen.canvas, strip.right_top()).x;
    let (fine, coarse) = (step_for(session, TICK_PX), step_for(session, NUMBER_PX));
    let stroke = Stroke::new(1.0, pen.palette.quiet);
    for x in multiples(low, high, fine) {
        let sx = pen.pos(Point::new(x, 0.0)).x;
        let turn = x / coarse;
        let long = (turn - turn.round()).abs() < 1e-6;
        let length = if long { LONG_TICK_PX } else { 5.0 };
        pen.painter
            .vline(sx, strip.bottom() - length..=strip.bottom(), stroke);
        if long {
            let text = if x.abs() < 1e-9 {
                "0 shoulder".to_owned()
            } else {
                ruler_number(x, session.preferences.length_unit)
            };
            let at = pos2(sx + 4.0, strip.top() + 1.0);
            let font = FontId::proportional(11.0);
            let galley = pen.painter.layout_no_wrap(text, font, pen.palette.quiet);
            // Rather no number than half of one.
            if at.x + galley.size().x <= strip.right() {
                pen.painter.galley(at, galley, pen.palette.quiet);
            }
        }
    }
    if let Some(pointer) = session.pointer {
        let sx = pen.pos(pointer).x;
        let mark = Stroke::new(1.5, pen.palette.bright);
        // Below the numbers, which it would strike through.
        pen.painter
            .vline(sx, strip.bottom() - LONG_TICK_PX..=strip.bottom(), mark);
    }
    let edge = Stroke::new(1.0, pen.palette.card_edge);
    pen.painter.hline(strip.x_range(), strip.bottom(), edge);
}

fn ruler_number(x_mm: f64, unit: LengthUnit) -> String {
    let value = match unit {
        LengthUnit::Mm => x_mm,
        LengthUnit::DecimalInch | LengthUnit::FractionInch => x_mm / MM_PER_INCH,
    };
    let decimals = (0..=3)
        .find(|d| {
            let scale = 10f64.powi(*d);
            ((value * scale) - (value * scale).round()).abs() < 1e-6
        })
        .unwrap_or(3);
    print_number(value, u8::try_from(decimals).unwrap_or(3))
}
