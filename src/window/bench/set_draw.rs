//! Knives drawn beside and over each other at one scale, shoulder line under shoulder line.

use egui::{Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::geometry::{Point, Vec2};
use crate::knife::CutShape;
use crate::window::dashes::dashed;
use crate::window::results::{Fill, KnifeResults};
use crate::window::theme::{self, Palette};

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
        around(painter, lie, &results.points, stroke);
        for cut in &results.cut_outs {
            let stroke = Stroke::new(1.2, color);
            if let Some((at, radius)) = round(lie, &cut.cut_out.shape) {
                painter.circle_stroke(at, radius, stroke);
            } else {
                around(painter, lie, &cut.points, stroke);
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
        around(painter, lie, &results.handle_points, quiet);
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
    painter.extend(dashed(&ends, Stroke::new(1.0, color), 3.0, 4.0));
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

/// A line over a knife in whole dashes, as all that belongs to the other one is drawn.
pub(super) fn draw_dashes(painter: &Painter, line: &[Pos2], stroke: Stroke) {
    painter.extend(dashed(line, stroke, 6.0, 4.0));
}

/// A closed line in dashes.
fn around(painter: &Painter, lie: Lie, points: &[Point], stroke: Stroke) {
    let mut line: Vec<Pos2> = points.iter().map(|p| lie.pos(*p)).collect();
    line.extend(line.first().copied());
    draw_dashes(painter, &line, stroke);
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
