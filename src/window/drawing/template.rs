//! The template on the drawing, as it will be printed and cut.

use egui::{Align2, Color32, Shape, Stroke, pos2, vec2};

use super::Pen;
use crate::sheet::{Anchor, Role, Text};
use crate::window::preview::{Lines, Preview};

/// Letters smaller than this on the screen are not drawn, points.
const LEAST_LETTER_PX: f32 = 4.0;

/// Draws the template, or says why there is none.
pub(super) fn draw_template(pen: &Pen<'_>, preview: &Preview) {
    match preview.lines() {
        None => {}
        Some(Err(why)) => {
            let at = pos2(pen.canvas.center().x, pen.canvas.top() + 40.0);
            pen.text(at, Align2::CENTER_CENTER, why, 13.0, pen.palette.stop);
        }
        Some(Ok(lines)) => draw_lines(pen, lines, Ink::Drawing),
    }
}

/// How strongly a sheet is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::window) enum Ink {
    /// On the drawing: the knife stands out, words and frames stand back.
    Drawing,
    /// On a page that is read: words and frames stand out.
    Page,
}

/// Draws lines and words of a sheet.
pub(super) fn draw_lines(pen: &Pen<'_>, lines: &Lines, strength: Ink) {
    let (words, frame) = match strength {
        Ink::Drawing => (pen.palette.quiet, pen.palette.card_edge),
        Ink::Page => (pen.palette.line, pen.palette.quiet),
    };
    for stroke in &lines.strokes {
        let (width, color) = match stroke.role {
            Role::Frame => (1.0, frame),
            role => ink(pen, role),
        };
        let points = stroke.points.iter().map(|p| pen.pos(*p)).collect();
        let line = Stroke::new(width, color);
        pen.painter.add(if stroke.closed {
            Shape::closed_line(points, line)
        } else {
            Shape::line(points, line)
        });
    }
    for text in &lines.texts {
        draw_words(pen, text, words);
    }
}

fn ink(pen: &Pen<'_>, role: Role) -> (f32, Color32) {
    match role {
        Role::Cut => (1.8, pen.palette.line),
        Role::Drill => (1.6, pen.palette.bright),
        Role::Engrave | Role::Scribe => (1.0, pen.palette.guide),
        Role::Label => (1.0, pen.palette.quiet),
        Role::Frame => (1.0, pen.palette.card_edge),
    }
}

/// Capital letters of the screen's font are this share of its size high: that of the sheets' own typeface, which it is.
const CAPITAL_SHARE: f32 = 0.693;

fn draw_words(pen: &Pen<'_>, text: &Text, color: Color32) {
    let size = pen.px(text.height_mm) / CAPITAL_SHARE;
    if size < LEAST_LETTER_PX {
        return;
    }
    let font = egui::FontId::proportional(size.min(60.0));
    let galley = pen.painter.layout_no_wrap(text.text.clone(), font, color);
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -galley.size().x / 2.0,
        Anchor::End => -galley.size().x,
    };
    // The letters stand on their point: a line of text reaches a quarter of its height below.
    let offset = vec2(left, -galley.size().y * 0.78);
    #[expect(clippy::cast_possible_truncation, reason = "a screen angle")]
    let angle = -text.angle_rad as f32;
    let turn = egui::emath::Rot2::from_angle(angle);
    let at = pen.pos(text.at) + turn * offset;
    pen.painter
        .add(egui::epaint::TextShape::new(at, galley, color).with_angle(angle));
}
