//! What is ground, on the drawing: faces shaded from their real heights, grind lines, and the lines where layers show.

use egui::{Color32, Mesh, Shape, Stroke};

use super::Pen;
use crate::window::relief::{Relief, Shaded};
use crate::window::theme::Palette;

/// How much of the difference in light is shown: low light on flat faces makes little of it.
const CONTRAST: f32 = 4.0;

/// Draws the ground faces.
pub(super) fn draw_ground_faces(pen: &Pen<'_>, relief: &Relief) {
    draw_shaded(pen, &relief.shaded);
    for reveal in &relief.reveals {
        if let Some(band) = &reveal.band {
            pen.fill(
                band,
                reveal_color(pen.palette, reveal.place).gamma_multiply(0.3),
            );
        }
    }
}

/// Draws the lines on them.
pub(super) fn draw_ground_lines(pen: &Pen<'_>, relief: &Relief) {
    let stroke = Stroke::new(1.1, pen.palette.line.gamma_multiply(0.75));
    for line in &relief.grind_lines {
        draw_line(pen, line, stroke);
    }
    for reveal in &relief.reveals {
        let stroke = Stroke::new(1.4, reveal_color(pen.palette, reveal.place));
        draw_line(pen, &reveal.line, stroke);
    }
}

fn reveal_color(palette: &Palette, place: usize) -> Color32 {
    if place == 0 {
        palette.bright
    } else {
        palette.bright.gamma_multiply(0.6)
    }
}

fn draw_line(pen: &Pen<'_>, line: &[crate::geometry::Point], stroke: Stroke) {
    let points = line.iter().map(|p| pen.pos(*p)).collect();
    pen.painter.add(Shape::line(points, stroke));
}

fn draw_shaded(pen: &Pen<'_>, shaded: &Shaded) {
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(shaded.corners.len());
    for (corner, light) in &shaded.corners {
        mesh.colored_vertex(pen.pos(*corner), pen.palette.lit(*light, CONTRAST));
    }
    mesh.indices.clone_from(&shaded.triangles);
    pen.painter.add(mesh);
}
