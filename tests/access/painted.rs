//! What a frame painted: each text with its color, and the color of what was painted under its middle.

use egui::epaint::{ClippedShape, TextShape};
use egui::{Color32, Pos2, Rect, Shape};

/// A text as it was painted.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    pub words: String,
    pub color: Color32,
    pub behind: Color32,
    pub rect: Rect,
}

/// All texts of a frame, first painted first.
pub(crate) fn texts(shapes: &[ClippedShape]) -> Vec<Text> {
    let mut flat: Vec<(Rect, &Shape)> = Vec::new();
    for clipped in shapes {
        flatten(clipped.clip_rect, &clipped.shape, &mut flat);
    }
    let mut texts = Vec::new();
    for (i, (clip, shape)) in flat.iter().enumerate() {
        let Shape::Text(text) = shape else { continue };
        let rect = text.visual_bounding_rect().intersect(*clip);
        if text.galley.text().trim().is_empty() || rect.width() < 1.0 || rect.height() < 1.0 {
            continue;
        }
        let middle = rect.center();
        let behind = flat[..i]
            .iter()
            .filter(|(clip, _)| clip.contains(middle))
            .fold(Color32::BLACK, |under, (_, shape)| {
                fill_at(shape, middle).map_or(under, |fill| over(fill, under))
            });
        for color in colors_of(text) {
            texts.push(Text {
                words: text.galley.text().to_owned(),
                color: over(color, behind),
                behind,
                rect,
            });
        }
    }
    texts
}

fn flatten<'s>(clip: Rect, shape: &'s Shape, flat: &mut Vec<(Rect, &'s Shape)>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| flatten(clip, shape, flat)),
        shape => flat.push((clip, shape)),
    }
}

fn colors_of(text: &TextShape) -> Vec<Color32> {
    let mut colors: Vec<Color32> = match text.override_text_color {
        Some(color) => vec![color],
        None => {
            let sections = text.galley.job.sections.iter();
            let sections = sections.filter(|s| !s.byte_range.is_empty());
            let own = sections.map(|s| {
                if s.format.color == Color32::PLACEHOLDER {
                    text.fallback_color
                } else {
                    s.format.color
                }
            });
            own.collect()
        }
    };
    colors.dedup();
    colors
        .into_iter()
        .map(|color| color.gamma_multiply(text.opacity_factor))
        .collect()
}

/// The color a shape lays over a point, if it covers it.
fn fill_at(shape: &Shape, at: Pos2) -> Option<Color32> {
    let fill = match shape {
        Shape::Rect(rect) if rect.rect.contains(at) => rect.fill,
        Shape::Circle(circle) if circle.center.distance(at) < circle.radius => circle.fill,
        Shape::Path(path) if path.closed && is_within(&path.points, at) => path.fill,
        Shape::Mesh(mesh) => {
            // Pictures of letters and the like are no ground for words.
            let corner = |i: u32| mesh.vertices.get(i as usize);
            return mesh.indices.chunks_exact(3).rev().find_map(|three| {
                let [a, b, c] = <[u32; 3]>::try_from(three).ok()?.map(corner);
                let (a, b, c) = (a?, b?, c?);
                is_within(&[a.pos, b.pos, c.pos], at).then_some(a.color)
            });
        }
        _ => return None,
    };
    (fill != Color32::TRANSPARENT).then_some(fill)
}

/// Whether a point lies within a polygon, by the number of its edges to the right.
fn is_within(points: &[Pos2], at: Pos2) -> bool {
    let mut inside = false;
    for (i, a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        if (a.y > at.y) != (b.y > at.y) {
            inside ^= at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x);
        }
    }
    inside
}

/// One color laid over another that covers; colors are premultiplied.
fn over(top: Color32, under: Color32) -> Color32 {
    let keep = f32::from(255 - top.a()) / 255.0;
    let mix = |t: u8, u: u8| (f32::from(t) + f32::from(u) * keep).round().min(255.0) as u8;
    Color32::from_rgb(
        mix(top.r(), under.r()),
        mix(top.g(), under.g()),
        mix(top.b(), under.b()),
    )
}
