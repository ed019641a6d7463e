//! Where the service would ask, on the drawing: a ring for each finding, and what the mend of the one looked at would make of the outline.

use egui::{Shape, Stroke};

use super::Pen;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// Radius of a finding's ring, points; of the one looked at.
const RING: f32 = 7.0;
const RING_SHOWN: f32 = 13.0;

/// Draws what the mend of the finding pointed at would make of the knife.
pub(super) fn draw_mend(pen: &Pen<'_>, shown: &Shown<'_>) {
    for points in shown.kept.finding.after() {
        let points = points.iter().map(|p| pen.pos(*p)).collect();
        let stroke = Stroke::new(1.5, pen.palette.guide);
        pen.painter.add(Shape::closed_line(points, stroke));
    }
}

/// Draws the marks of the knife on the drawing.
pub(super) fn draw_ready(pen: &Pen<'_>, shown: &Shown<'_>, session: &Session) {
    let shelf = &shown.kept.ready;
    if !session.knife.is_some_and(|id| shelf.speaks_of(id)) {
        return;
    }
    for (place, line) in shelf.lines().iter().enumerate() {
        let looked_at = session.ready.shown == Some(place);
        let color = pen.palette.finding(line.ready.finding.severity);
        if looked_at {
            for points in &line.after {
                let points = points.iter().map(|p| pen.pos(*p)).collect();
                let stroke = Stroke::new(1.5, pen.palette.guide);
                pen.painter.add(Shape::closed_line(points, stroke));
            }
            if let Some((from, to)) = line.ready.finding.across {
                let ends = [pen.pos(from), pen.pos(to)];
                pen.painter.line_segment(ends, Stroke::new(2.5, color));
            }
        }
        if let Some(at) = line.ready.finding.place {
            let radius = if looked_at { RING_SHOWN } else { RING };
            let width = if looked_at { 2.5 } else { 1.5 };
            pen.painter
                .circle_stroke(pen.pos(at), radius, Stroke::new(width, color));
        }
    }
}
