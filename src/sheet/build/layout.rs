//! The steps laid out on paper, from the top down; pages are cut from it like those of any other sheet, between lines.

use super::steps::BuildStep;
use crate::geometry::Point;
use crate::sheet::font;
use crate::sheet::model::{Anchor, Entity, Role, Shape, Sheet};

/// Heights of capitals: the title, a step, a line, mm.
const TITLE_MM: f64 = 5.0;
const HEADING_MM: f64 = 3.4;
const LINE_MM: f64 = 2.3;
/// From line to line, mm.
const PITCH_MM: f64 = 4.6;
/// How far lines stand in from their heading, mm.
const INDENT_MM: f64 = 5.0;
/// The box to tick beside a step, mm.
const BOX_MM: f64 = 4.0;

/// Pages of a build sheet, each of so much room, mm: a sheet for each page, the steps kept whole where one page holds them.
#[must_use]
pub fn build_sheet(title: &str, steps: &[BuildStep], width_mm: f64, height_mm: f64) -> Vec<Sheet> {
    let mut pages: Vec<Vec<Entity>> = vec![Vec::new()];
    let mut y = 0.0;
    for (place, step) in steps.iter().enumerate() {
        let lines = lines_of(step, width_mm);
        let head = if place == 0 { 2.0 * PITCH_MM } else { 0.0 };
        let needed = head + 2.0 * PITCH_MM + PITCH_MM * count(lines.len());
        if -y + needed > height_mm && y < 0.0 {
            pages.push(Vec::new());
            y = 0.0;
        }
        if place == 0 {
            y -= TITLE_MM;
            let text = font::fitted(title, TITLE_MM, width_mm);
            put(
                &mut pages,
                Entity::label(Point::new(0.0, y), TITLE_MM, text, Anchor::Start),
            );
        }
        y -= 1.6 * PITCH_MM;
        for side in square(Point::new(0.0, y)) {
            put(&mut pages, Entity::new(Role::Frame, side));
        }
        let heading = format!("{}  {}", place + 1, step.heading);
        let at = Point::new(BOX_MM + 2.0, y);
        put(
            &mut pages,
            Entity::label(at, HEADING_MM, heading, Anchor::Start),
        );
        for (indent, text) in lines {
            if -y + PITCH_MM > height_mm {
                pages.push(Vec::new());
                y = 0.0;
            }
            y -= PITCH_MM;
            let at = Point::new(indent, y);
            put(&mut pages, Entity::label(at, LINE_MM, text, Anchor::Start));
        }
    }
    let of = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(i, entities)| Sheet {
            name: format!("{title}, sheet {} of {of}", i + 1),
            note: String::new(),
            entities,
        })
        .collect()
}

fn put(pages: &mut [Vec<Entity>], entity: Entity) {
    if let Some(page) = pages.last_mut() {
        page.push(entity);
    }
}

/// Lines with how far they stand in, each short enough for the page.
fn lines_of(step: &BuildStep, width_mm: f64) -> Vec<(f64, String)> {
    let mut lines = Vec::new();
    let mut wrap = |indent: f64, text: &str| {
        for line in font::wrapped(text, LINE_MM, width_mm - indent) {
            lines.push((indent, line));
        }
    };
    for caution in &step.cautions {
        wrap(INDENT_MM, &format!("! {caution}"));
    }
    for share in &step.shares {
        wrap(INDENT_MM, &share.knife);
        for line in &share.lines {
            wrap(2.0 * INDENT_MM, line);
        }
    }
    lines
}

/// An empty square on the line.
fn square(at: Point) -> [Shape; 4] {
    let corner = |x: f64, y: f64| Point::new(at.x + x * BOX_MM, at.y + y * BOX_MM);
    let corners = [
        corner(0.0, 0.0),
        corner(1.0, 0.0),
        corner(1.0, 1.0),
        corner(0.0, 1.0),
    ];
    [0, 1, 2, 3].map(|i: usize| Shape::line(corners[i], corners[(i + 1) % 4]))
}

#[expect(clippy::cast_precision_loss, reason = "a few hundred lines at most")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;
    use crate::sheet::build::build_steps;
    use crate::units::LengthFormat;

    #[test]
    fn everything_is_on_the_page_and_every_line_is_there() {
        let set = orchard_set();
        let knives = set.knives.iter().map(AsRef::as_ref);
        let steps = build_steps(knives, &set, LengthFormat::default());
        let pages = build_sheet("Orchard set", &steps, 170.0, 240.0);
        assert!(pages.len() > 1);
        let mut words = String::new();
        for page in &pages {
            assert!(page.is_finite());
            let bounds = page.bounds().unwrap();
            assert!(bounds.x0 > -0.01 && bounds.x1 < 170.5, "{bounds:?}");
            assert!(bounds.y0 > -241.0 && bounds.y1 < 1.0, "{bounds:?}");
            for entity in &page.entities {
                if let Shape::Text(text) = &entity.shape {
                    words.push_str(&text.text);
                    words.push(' ');
                }
            }
        }
        for (place, step) in steps.iter().enumerate() {
            assert!(words.contains(&format!("{}  {}", place + 1, step.heading)));
            for share in &step.shares {
                assert!(words.contains(&share.knife));
            }
        }
    }
}
