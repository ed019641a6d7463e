//! The steps laid out on pages, from the top down, knives side by side where two find room.

use super::rows::{INDENT_MM, Row, caution_rows, fits_in, height_of, share_rows, square};
use super::steps::BuildStep;
use crate::geometry::{Point, Rect};
use crate::sheet::font;
use crate::sheet::model::{Anchor, Entity, Sheet};
use crate::sheet::pages::{Page, PageError, PageOptions, Place, on_one_page, room};

/// Heights of capitals: the title, a step, mm.
const TITLE_MM: f64 = 4.6;
const HEADING_MM: f64 = 3.2;
/// Below the title, and from what is above a heading to its line, mm.
const TITLE_PITCH_MM: f64 = 8.0;
const HEADING_PITCH_MM: f64 = 8.6;
/// Air above a share, and between two that stand side by side, mm.
const SHARE_AIR_MM: f64 = 1.4;
const BESIDE_MM: f64 = 6.0;
/// The box to tick beside a step, mm.
const BOX_MM: f64 = 4.0;

/// The build sheet on as many upright pages as it takes, each filled from the top down; a step is kept whole where one page holds it.
///
/// # Errors
/// The paper is too small, or a measure of it is none.
pub fn build_pages(
    title: &str,
    steps: &[BuildStep],
    options: &PageOptions,
) -> Result<Vec<Page>, PageError> {
    let (width, height) = room(options, false)?;
    let sheets = sheets(title, steps, width, height);
    let of = sheets.len();
    let area = Rect::new(0.0, -height, width, 0.0);
    sheets
        .iter()
        .enumerate()
        .map(|(i, sheet)| {
            let place = Place { number: i + 1, of };
            on_one_page(sheet, area, options, false, place)
        })
        .collect()
}

/// A sheet for each page, within `0..width` and `-height..0`.
fn sheets(title: &str, steps: &[BuildStep], width: f64, height: f64) -> Vec<Sheet> {
    let mut flow = Flow {
        pages: vec![Vec::new()],
        y: 0.0,
        height,
    };
    let name = font::fitted(title, TITLE_MM, width);
    flow.y -= TITLE_MM;
    if !name.is_empty() {
        let at = Point::new(0.0, flow.y);
        flow.put(Entity::label(at, TITLE_MM, name, Anchor::Start));
    }
    flow.y -= TITLE_PITCH_MM - HEADING_PITCH_MM.min(TITLE_PITCH_MM);
    for (place, step) in steps.iter().enumerate() {
        flow.step(place + 1, step, width);
    }
    flow.pages
        .into_iter()
        .map(|entities| Sheet {
            name: format!("{title}: build sheet"),
            note: "tick what is done, write what the scale says".to_owned(),
            entities,
        })
        .collect()
}

/// Rows that stay together, alone or two beside each other.
enum Block {
    Alone(Vec<Row>),
    Beside(Vec<Row>, Vec<Row>),
}

impl Block {
    fn height(&self) -> f64 {
        SHARE_AIR_MM
            + match self {
                Self::Alone(rows) => height_of(rows),
                Self::Beside(left, right) => height_of(left).max(height_of(right)),
            }
    }
}

/// Pages while they are filled.
struct Flow {
    pages: Vec<Vec<Entity>>,
    /// Lower end of what is on the last page.
    y: f64,
    height: f64,
}

impl Flow {
    fn put(&mut self, entity: Entity) {
        if let Some(page) = self.pages.last_mut() {
            page.push(entity);
        }
    }

    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = 0.0;
    }

    fn holds(&self, more: f64) -> bool {
        -self.y + more <= self.height
    }

    fn step(&mut self, number: usize, step: &BuildStep, width: f64) {
        let cautions: Vec<Row> = step
            .cautions
            .iter()
            .flat_map(|caution| caution_rows(caution, width))
            .collect();
        let blocks = blocks(step, width, self.height - HEADING_PITCH_MM);
        let head = HEADING_PITCH_MM + height_of(&cautions);
        let whole = head + blocks.iter().map(Block::height).sum::<f64>();
        let first = head + blocks.first().map_or(0.0, Block::height);
        // Whole where a page holds it; else it begins here if its head and its first share do.
        let wanted = if whole <= self.height { whole } else { first };
        if !self.holds(wanted) && self.y < 0.0 {
            self.new_page();
        }
        self.y -= HEADING_PITCH_MM;
        let at = Point::new(0.0, self.y);
        for side in square(at, BOX_MM) {
            self.put(side);
        }
        let heading = format!("{number}  {}", step.heading);
        let at = Point::new(BOX_MM + 2.0, self.y);
        self.put(Entity::label(at, HEADING_MM, heading, Anchor::Start));
        self.rows(&cautions, 0.0);
        for block in blocks {
            self.block(&block, width);
        }
    }

    /// A block on this page where it fits, on the next where that holds it, else row by row.
    fn block(&mut self, block: &Block, width: f64) {
        if !self.holds(block.height()) && block.height() <= self.height {
            self.new_page();
        }
        self.y -= SHARE_AIR_MM;
        match block {
            Block::Alone(rows) => self.rows(rows, 0.0),
            Block::Beside(left, right) => {
                let top = self.y;
                self.rows(left, 0.0);
                let low = self.y;
                self.y = top;
                self.rows(right, f64::midpoint(width, BESIDE_MM));
                self.y = self.y.min(low);
            }
        }
    }

    fn rows(&mut self, rows: &[Row], x: f64) {
        for row in rows {
            if !self.holds(row.pitch_mm) {
                self.new_page();
            }
            self.y -= row.pitch_mm;
            let at = Point::new(x, self.y);
            if let Some(page) = self.pages.last_mut() {
                row.draw(at, page);
            }
        }
    }
}

/// The shares of a step, two beside each other where there are several and all their tables find room in half the width.
fn blocks(step: &BuildStep, width: f64, height: f64) -> Vec<Block> {
    let half = (width - BESIDE_MM) / 2.0;
    let narrow = half > 8.0 * INDENT_MM
        && step.shares.len() > 1
        && step.shares.iter().all(|share| fits_in(share, half));
    let alone = |share| Block::Alone(share_rows(share, width));
    if !narrow {
        return step.shares.iter().map(alone).collect();
    }
    step.shares
        .chunks(2)
        .flat_map(|pair| match pair {
            [left, right] => {
                let both = Block::Beside(share_rows(left, half), share_rows(right, half));
                // What no page holds is broken between rows, one below the other.
                if both.height() <= height {
                    vec![both]
                } else {
                    vec![alone(left), alone(right)]
                }
            }
            _ => pair
                .iter()
                .map(|share| Block::Alone(share_rows(share, half)))
                .collect(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::orchard_set;
    use crate::sheet::build::{BuildOptions, build_steps};
    use crate::sheet::model::Shape;

    fn words_of<'a>(entities: impl IntoIterator<Item = &'a Entity>) -> String {
        let mut words = String::new();
        for entity in entities {
            if let Shape::Text(text) = &entity.shape {
                words.push_str(&text.text);
                words.push(' ');
            }
        }
        words
    }

    #[test]
    fn everything_is_on_the_page_and_every_line_is_there() {
        let set = orchard_set();
        let knives = set.knives.iter().map(AsRef::as_ref);
        let steps = build_steps(knives, &set, BuildOptions::default());
        for (width, height) in [(170.0, 240.0), (110.0, 150.0), (260.0, 360.0)] {
            let pages = sheets("Orchard set", &steps, width, height);
            assert!(pages.len() > 1);
            let mut words = String::new();
            for page in &pages {
                assert!(page.is_finite());
                let bounds = page.bounds().unwrap();
                assert!(bounds.x0 > -0.01 && bounds.x1 < width + 0.01, "{bounds:?}");
                assert!(bounds.y0 > -height - 1.1 && bounds.y1 < 0.01, "{bounds:?}");
                words.push_str(&words_of(&page.entities));
            }
            assert!(!words.contains('…'), "cut short on {width}: {words}");
            for (place, step) in steps.iter().enumerate() {
                assert!(words.contains(&format!("{}  {}", place + 1, step.heading)));
                for share in &step.shares {
                    assert!(words.contains(&share.knife));
                    for line in share.lines() {
                        // Lines may be broken, so word by word.
                        for word in line.split_whitespace() {
                            assert!(words.contains(word), "{word} of {line}");
                        }
                    }
                    let heads = share.tables().flat_map(|t| &t.columns);
                    let cells = share.tables().flat_map(|t| t.rows.iter().flatten());
                    for cell in heads.chain(cells) {
                        assert!(words.contains(cell.as_str()), "{cell} on {width}");
                    }
                }
            }
        }
    }

    /// Words of a page by hand: two knives share a line of the page where both have room.
    #[test]
    fn several_knives_stand_side_by_side() {
        let set = orchard_set();
        let knives = set.knives.iter().map(AsRef::as_ref);
        let steps = build_steps(knives, &set, BuildOptions::default());
        let pages = sheets("Orchard set", &steps, 170.0, 240.0);
        let at = |name: &str| {
            pages[0]
                .entities
                .iter()
                .find_map(|entity| match &entity.shape {
                    Shape::Text(text) if text.text == name => Some(text.at),
                    _ => None,
                })
        };
        let (one, two) = (at("Brush chopper").unwrap(), at("Grafting knife").unwrap());
        assert!(
            (one.y - two.y).abs() < 1e-9 && two.x - one.x > 80.0,
            "{one:?} {two:?}"
        );
    }

    #[test]
    fn a_text_longer_than_a_page_goes_on_over_the_next() {
        let mut set = orchard_set();
        let knife = std::sync::Arc::make_mut(&mut set.knives[0]);
        knife.heat_words = "a long story of fire ".repeat(900);
        let knives = set.knives.iter().map(AsRef::as_ref);
        let steps = build_steps(knives, &set, BuildOptions::default());
        let pages = sheets("Orchard set", &steps, 170.0, 240.0);
        let told: String = pages.iter().map(|page| words_of(&page.entities)).collect();
        assert_eq!(told.matches("story").count(), 900);
        for page in &pages {
            assert!(
                page.bounds().is_none_or(|b| b.y0 > -241.1),
                "{:?}",
                page.bounds()
            );
        }
    }

    /// The pages are numbered through and lie upright, each with its check bars; the drawing keeps within its window.
    #[test]
    fn pages_are_numbered_and_upright() {
        let set = orchard_set();
        let knives = set.knives.iter().map(AsRef::as_ref);
        let steps = build_steps(knives, &set, BuildOptions::default());
        let options = PageOptions::default();
        let pages = build_pages("Orchard set", &steps, &options).unwrap();
        for (i, page) in pages.iter().enumerate() {
            assert_eq!((page.number, page.of), (i + 1, pages.len()));
            assert!(page.height_mm > page.width_mm);
            let place = format!("{} of {}", i + 1, pages.len());
            let marks = words_of(&page.marks);
            assert!(marks.contains(&place) && !marks.contains('…'), "{marks}");
            for entity in &page.drawing {
                let bounds = entity.shape.bounds().unwrap();
                assert!(
                    page.window.inflate(0.1, 0.1).contains_rect(bounds),
                    "{bounds:?}"
                );
            }
        }
    }
}
