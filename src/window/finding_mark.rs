//! The mark of a finding: a shape for each severity, so that no color ever tells alone.

use egui::{Painter, Pos2, Shape, Stroke, vec2};

use crate::checks::Severity;

/// Half the height of a triangle over its half width, so that it looks as large as the other marks.
const TRIANGLE_RISE: f32 = 0.9;

/// The dot within a ring or a triangle, as a share of it. It tells the triangle from the grips of a grind.
const DOT_SHARE: f32 = 0.3;

/// Draws a mark that reaches `half` to each side of its place: a scribed cross for a stop, a triangle round a dot for a
/// warning, a ring round a dot for a note.
pub(super) fn finding_mark(
    painter: &Painter,
    at: Pos2,
    severity: Severity,
    half: f32,
    stroke: Stroke,
) {
    match severity {
        Severity::Stop => {
            for arm in [vec2(half, half), vec2(half, -half)] {
                painter.line_segment([at - arm, at + arm], stroke);
            }
        }
        Severity::Warn => {
            let rise = half * TRIANGLE_RISE;
            let corners = vec![
                at + vec2(0.0, -half),
                at + vec2(half, rise),
                at + vec2(-half, rise),
            ];
            painter.add(Shape::closed_line(corners, stroke));
            let middle = at + vec2(0.0, half * DOT_SHARE);
            painter.circle_filled(middle, half * DOT_SHARE, stroke.color);
        }
        Severity::Note => {
            painter.circle_stroke(at, half, stroke);
            painter.circle_filled(at, half * DOT_SHARE, stroke.color);
        }
    }
}
