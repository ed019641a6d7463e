//! Knives drawn beside and over each other at one scale, shoulder line under shoulder line.

use egui::{Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::geometry::{Point, Vec2};
use crate::knife::CutShape;
use crate::window::results::{Fill, KnifeResults};
use crate::window::theme::{self, Palette};

/// A point of a line no farther off the straight way between its neighbors is not needed, screen points.
const STRAIGHT_PX: f32 = 0.05;
/// Half the width of a fulcrum, screen points.
const FULCRUM_PX: f32 = 7.0;

/// Where a knife lies on the page: screen place of its shoulder line and of `y = 0`, and the scale all share.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lie {
    pub at: Pos2,
    pub px_per_mm: f64,
}

impl Lie {
    /// Screen place of a point of the knife.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen places are single precision"
    )]
    pub(super) fn pos(self, p: Point) -> Pos2 {
        let d = p.to_vec2() * self.px_per_mm;
        self.at + egui::vec2(d.x as f32, -d.y as f32)
    }
}

/// How a knife is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// With its steel.
    Whole,
    /// The knife on the drawing, its steel and a bright line.
    Here,
    /// Its line alone, in dashes, over another.
    Dashes,
}

/// Draws a knife: steel, holes, outline, and its fulcrum under it.
pub(super) fn draw_knife(
    painter: &Painter,
    palette: &Palette,
    lie: Lie,
    results: &KnifeResults,
    look: Look,
) {
    let color = line_color(palette, look);
    let width = if look == Look::Whole { 1.3 } else { 1.8 };
    let stroke = Stroke::new(width, color);
    let outline = |points: &[Point]| {
        let points: Vec<Pos2> = points.iter().map(|p| lie.pos(*p)).collect();
        painter.add(Shape::closed_line(points, stroke));
    };
    if look == Look::Dashes {
        dashed(painter, lie, &results.points, stroke);
        for cut in &results.cut_outs {
            let stroke = Stroke::new(1.2, color);
            if let Some((at, radius)) = round(lie, &cut.cut_out.shape) {
                painter.circle_stroke(at, radius, stroke);
            } else {
                dashed(painter, lie, &cut.points, stroke);
            }
        }
        return;
    }
    fill(painter, lie, &results.fill, palette.steel);
    for cut in &results.cut_outs {
        if let Some((at, radius)) = round(lie, &cut.cut_out.shape) {
            painter.circle(at, radius, palette.ground, Stroke::new(1.0, color));
        } else {
            fill(painter, lie, &cut.fill, palette.ground);
            outline(&cut.points);
        }
    }
    outline(&results.points);
    if !results.handle_points.is_empty() {
        let quiet = Stroke::new(1.0, palette.quiet);
        dashed(painter, lie, &results.handle_points, quiet);
    }
}

/// The color a knife's lines have.
pub(super) fn line_color(palette: &Palette, look: Look) -> Color32 {
    match look {
        Look::Whole => palette.line,
        Look::Here => palette.bright,
        Look::Dashes => palette.guide,
    }
}

/// The fulcrum where a knife balances: filled, or its outline alone for one in dashes.
pub(super) fn draw_fulcrum(painter: &Painter, at: Pos2, color: Color32, look: Look) {
    let corners = vec![
        at,
        at + egui::vec2(FULCRUM_PX, 1.8 * FULCRUM_PX),
        at + egui::vec2(-FULCRUM_PX, 1.8 * FULCRUM_PX),
    ];
    painter.add(if look == Look::Dashes {
        Shape::closed_line(corners, Stroke::new(1.5, color))
    } else {
        Shape::convex_polygon(corners, color, Stroke::NONE)
    });
}

/// Small words on the page, on a plate that no line strikes them through; `at` is their upper left corner.
pub(super) fn words(painter: &Painter, palette: &Palette, at: Pos2, text: &str, color: Color32) {
    let font = FontId::proportional(theme::READ_OUT);
    let galley = painter.layout_no_wrap(text.to_owned(), font, color);
    let plate = Rect::from_min_size(at, galley.size()).expand2(egui::vec2(3.0, 0.0));
    painter.rect_filled(plate, 2.0, palette.ground);
    painter.galley(at, galley, color);
}

/// An upright line in dashes.
pub(super) fn upright(painter: &Painter, x: f32, y: std::ops::Range<f32>, color: Color32) {
    let ends = [pos2(x, y.start), pos2(x, y.end)];
    painter.extend(Shape::dashed_line(&ends, Stroke::new(1.0, color), 3.0, 4.0));
}

/// Middle and radius of a round hole on the page; results hold no points of those.
fn round(lie: Lie, shape: &CutShape) -> Option<(Pos2, f32)> {
    let CutShape::Round {
        center,
        diameter_mm,
    } = shape
    else {
        return None;
    };
    let at = lie.pos(*center);
    let rim = lie.pos(*center + Vec2::new(diameter_mm / 2.0, 0.0));
    Some((at, rim.x - at.x))
}

/// A line without the points that lie on a straight stretch of it: dashes of several short pieces are drawn with gaps of their own.
pub(super) fn straightened(line: &[Pos2]) -> Vec<Pos2> {
    let mut kept: Vec<Pos2> = Vec::with_capacity(line.len());
    for (i, at) in line.iter().enumerate() {
        let on_the_way = kept.last().zip(line.get(i + 1)).is_some_and(|(from, to)| {
            let way = *to - *from;
            (*at - *from).dot(way.rot90()).abs() <= STRAIGHT_PX * way.length()
        });
        if !on_the_way {
            kept.push(*at);
        }
    }
    kept
}

fn dashed(painter: &Painter, lie: Lie, points: &[Point], stroke: Stroke) {
    let mut line: Vec<Pos2> = points.iter().map(|p| lie.pos(*p)).collect();
    line.extend(line.first().copied());
    painter.extend(Shape::dashed_line(&line, stroke, 6.0, 4.0));
}

fn fill(painter: &Painter, lie: Lie, fill: &Fill, color: Color32) {
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(fill.corners.len());
    for corner in &fill.corners {
        mesh.colored_vertex(lie.pos(*corner), color);
    }
    mesh.indices.clone_from(&fill.triangles);
    painter.add(mesh);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_stretch_keeps_its_ends_and_a_bend_all_its_points() {
        let level = (0..40).map(|i| pos2(f32::from(u8::try_from(i).unwrap()), 5.0));
        let bend = [pos2(41.0, 6.0), pos2(42.0, 8.0), pos2(43.0, 11.0)];
        let line: Vec<Pos2> = level.chain(bend).collect();
        let kept = straightened(&line);
        assert_eq!(kept[..2], [pos2(0.0, 5.0), pos2(39.0, 5.0)]);
        assert_eq!(kept[2..], bend);
        assert!(straightened(&[]).is_empty());
    }
}
