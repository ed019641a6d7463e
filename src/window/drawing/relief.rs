//! What is ground, on the drawing: faces shaded from their real slope, grind lines, and the lines where layers show.

use egui::{Color32, Mesh, Shape, Stroke};

use super::Pen;
use crate::geometry::{Point, Vec2};
use crate::knife::Face;
use crate::thickness::{LineKind, Patch, RevealPart};
use crate::window::results::KnifeResults;

/// Where the light comes from: over the spine, from the tip's side; low, so that slopes of a few degrees can be told apart.
const LIGHT: [f64; 3] = [0.25, 0.85, 0.75];

/// How much the differences in light are spread: bevels are nearly level.
const CONTRAST: f32 = 6.0;

/// Light on a surface that climbs so toward the viewer, against that on a level one: the cosine to its normal.
fn light(climb: Vec2) -> f64 {
    let [lx, ly, lz] = LIGHT;
    let length = (1.0 + climb.x * climb.x + climb.y * climb.y).sqrt();
    (lz - climb.x * lx - climb.y * ly) / (lz * length)
}

/// Draws the ground faces toward the viewer.
pub(super) fn draw_ground_faces(pen: &Pen<'_>, results: &KnifeResults) {
    let Some(relief) = results.weighed.scale.relief() else {
        return;
    };
    for patch in relief.patches.iter().filter(|p| p.face == Face::Right) {
        draw_patch(pen, patch);
    }
    for (boundary, band) in &results.weighed.wandering {
        let color = reveal_color(pen, results, *boundary);
        pen.fill(band, color.gamma_multiply(0.28));
    }
}

/// Draws the lines on them.
pub(super) fn draw_ground_lines(pen: &Pen<'_>, results: &KnifeResults) {
    let Some(relief) = results.weighed.scale.relief() else {
        return;
    };
    let alike = results
        .weighed
        .scale
        .blade()
        .is_some_and(|b| b.is_mirrored());
    for (line, points) in relief.lines.iter().zip(&results.weighed.ground_lines) {
        match line.kind {
            LineKind::Grind { .. } if line.face == Face::Right => {
                let color = pen.palette.line.gamma_multiply(0.75);
                draw_line(pen, points, Stroke::new(1.1, color));
            }
            // What the far face has otherwise shows through, dotted.
            LineKind::Grind { .. } if !alike => {
                let points: Vec<_> = points.iter().map(|p| pen.pos(*p)).collect();
                let stroke = Stroke::new(1.0, pen.palette.quiet);
                pen.dashed_path(&points, stroke, (2.0, 4.0));
            }
            LineKind::Reveal {
                boundary_mm,
                part: RevealPart::Middle,
            } if line.face == Face::Right => {
                let color = reveal_color(pen, results, boundary_mm);
                draw_line(pen, points, Stroke::new(1.4, color));
            }
            _ => {}
        }
    }
}

/// The core's boundary is the brightest; those of shims are quieter.
fn reveal_color(pen: &Pen<'_>, results: &KnifeResults, boundary_mm: f64) -> Color32 {
    let stock = &results.knife.stock;
    let core = stock.layering.core_offset_mm + stock.core_thickness_mm() / 2.0;
    if (boundary_mm - core).abs() < 1e-9 {
        pen.palette.bright
    } else {
        pen.palette.bright.gamma_multiply(0.6)
    }
}

fn draw_line(pen: &Pen<'_>, points: &[Point], stroke: Stroke) {
    let points = points.iter().map(|p| pen.pos(*p)).collect();
    pen.painter.add(Shape::line(points, stroke));
}

fn draw_patch(pen: &Pen<'_>, patch: &Patch) {
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(patch.corners.len());
    for corner in &patch.corners {
        #[expect(clippy::cast_possible_truncation, reason = "a share for the screen")]
        let lit = light(corner.climb) as f32;
        mesh.colored_vertex(pen.pos(corner.at), pen.palette.lit(lit, CONTRAST));
    }
    mesh.indices.clone_from(&patch.triangles);
    pen.painter.add(mesh);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lambert's law: the light goes with the cosine to the surface's normal.
    #[test]
    fn a_face_that_leans_toward_the_light_is_brighter() {
        assert!((light(Vec2::ZERO) - 1.0).abs() < 1e-12);
        // The edge's bevel climbs upward, so it turns away from a light above; a false edge turns toward it.
        assert!(light(Vec2::new(0.0, 0.07)) < 1.0 && light(Vec2::new(0.0, -0.07)) > 1.0);
        let [lx, ly, lz] = LIGHT;
        let full = (lx * lx + ly * ly + lz * lz).sqrt() / lz;
        assert!((light(Vec2::new(-lx / lz, -ly / lz)) - full).abs() < 1e-12);
    }
}
