//! What is told as rows of letters: lines broken to the width they have, tables in columns.

use super::steps::{BuildTable, Item, Share};
use crate::geometry::Point;
use crate::sheet::font;
use crate::sheet::model::{Anchor, Entity, Role, Shape};

/// Heights of capitals: a knife's name, a line, a cell of a table, mm.
const NAME_MM: f64 = 2.6;
const LINE_MM: f64 = 2.2;
const CELL_MM: f64 = 2.0;
/// Smallest letters of a table that would else be too wide, mm.
const LEAST_CELL_MM: f64 = 1.5;
/// How much a table's letters may shrink so that two knives stand side by side.
const NARROWED: f64 = 0.87;
/// From row to row, mm.
const NAME_PITCH_MM: f64 = 5.4;
const PITCH_MM: f64 = 4.3;
const CELL_PITCH_MM: f64 = 3.8;
/// Air above and below a table, mm.
const TABLE_AIR_MM: f64 = 1.2;
/// Air between two columns, mm.
const GAP_MM: f64 = 3.2;
/// The box to tick beside a knife, and how far its lines stand in, mm.
const BOX_MM: f64 = 3.0;
pub(super) const INDENT_MM: f64 = 5.0;

/// Words of a row: where they begin, how high their capitals are.
#[derive(Clone, Debug)]
struct Words {
    x_mm: f64,
    height_mm: f64,
    text: String,
}

/// One row, to be put somewhere on a page.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    /// From the row above, mm.
    pub pitch_mm: f64,
    words: Vec<Words>,
    /// Whether a box to tick stands before it.
    ticked: bool,
    /// A line under it, from and to, mm.
    rule: Option<(f64, f64)>,
}

impl Row {
    /// Words alone.
    pub(super) fn words(x_mm: f64, height_mm: f64, pitch_mm: f64, text: String) -> Self {
        Self {
            pitch_mm,
            words: vec![Words {
                x_mm,
                height_mm,
                text,
            }],
            ..Self::default()
        }
    }

    /// Draws the row on its line.
    pub(super) fn draw(&self, at: Point, out: &mut Vec<Entity>) {
        for words in &self.words {
            let place = Point::new(at.x + words.x_mm, at.y);
            out.push(Entity::label(
                place,
                words.height_mm,
                words.text.clone(),
                Anchor::Start,
            ));
        }
        if self.ticked {
            out.extend(square(Point::new(at.x, at.y - 0.2), BOX_MM));
        }
        if let Some((from, to)) = self.rule {
            let y = at.y - 1.0;
            out.push(Entity::line(
                Role::Frame,
                Point::new(at.x + from, y),
                Point::new(at.x + to, y),
            ));
        }
    }
}

/// Height of rows together, mm.
pub(super) fn height_of(rows: &[Row]) -> f64 {
    rows.iter().map(|row| row.pitch_mm).sum()
}

/// An empty square to be ticked, its lower left corner given.
pub(super) fn square(at: Point, side_mm: f64) -> [Entity; 4] {
    let corner = |x: f64, y: f64| Point::new(at.x + x * side_mm, at.y + y * side_mm);
    let corners = [
        corner(0.0, 0.0),
        corner(1.0, 0.0),
        corner(1.0, 1.0),
        corner(0.0, 1.0),
    ];
    [0, 1, 2, 3]
        .map(|i: usize| Entity::new(Role::Frame, Shape::line(corners[i], corners[(i + 1) % 4])))
}

/// A caution, behind an exclamation mark.
pub(super) fn caution_rows(text: &str, width_mm: f64) -> Vec<Row> {
    let lines = font::wrapped(text, LINE_MM, width_mm - INDENT_MM - 3.0);
    lines
        .into_iter()
        .enumerate()
        .map(|(i, line)| {
            let mut row = Row::words(INDENT_MM + 3.0, LINE_MM, PITCH_MM, line);
            if i == 0 {
                row.words.push(Words {
                    x_mm: INDENT_MM,
                    height_mm: LINE_MM,
                    text: "!".to_owned(),
                });
            }
            row
        })
        .collect()
}

/// A knife's share of a step within a width.
pub(super) fn share_rows(share: &Share, width_mm: f64) -> Vec<Row> {
    let name = font::fitted(&share.knife, NAME_MM, width_mm - INDENT_MM);
    let mut rows = vec![Row {
        ticked: true,
        ..Row::words(INDENT_MM, NAME_MM, NAME_PITCH_MM, name)
    }];
    for item in &share.items {
        match item {
            Item::Line(line) => {
                let lines = font::wrapped(line, LINE_MM, width_mm - INDENT_MM);
                rows.extend(
                    lines
                        .into_iter()
                        .map(|line| Row::words(INDENT_MM, LINE_MM, PITCH_MM, line)),
                );
            }
            Item::Table(table) => rows.extend(table_rows(table, width_mm - INDENT_MM)),
        }
    }
    rows
}

/// Whether all tables of a share fit into a width with letters that are hardly smaller than usual.
pub(super) fn fits_in(share: &Share, width_mm: f64) -> bool {
    share
        .tables()
        .all(|table| table_width(&columns_of(table, CELL_MM)) * NARROWED <= width_mm - INDENT_MM)
}

/// Widths of the columns with letters so high, mm.
fn columns_of(table: &BuildTable, height_mm: f64) -> Vec<f64> {
    table
        .columns
        .iter()
        .enumerate()
        .map(|(i, head)| {
            let cells = table.rows.iter().filter_map(|row| row.get(i));
            cells
                .chain([head])
                .map(|cell| font::width_mm(cell, height_mm))
                .fold(0.0, f64::max)
        })
        .collect()
}

fn table_width(columns: &[f64]) -> f64 {
    let gaps = columns.iter().skip(1).map(|_| GAP_MM).sum::<f64>();
    columns.iter().sum::<f64>() + gaps
}

fn table_rows(table: &BuildTable, width_mm: f64) -> Vec<Row> {
    let mut rows: Vec<Row> = font::wrapped(&table.title, LINE_MM, width_mm)
        .into_iter()
        .map(|line| Row::words(INDENT_MM, LINE_MM, PITCH_MM, line))
        .collect();
    let usual = columns_of(table, CELL_MM);
    let shrink = (width_mm / table_width(&usual).max(1.0)).min(1.0);
    let height_mm = (CELL_MM * shrink).max(LEAST_CELL_MM);
    let columns = columns_of(table, height_mm);
    let mut starts = Vec::with_capacity(columns.len());
    let mut x = INDENT_MM;
    for width in &columns {
        starts.push(x);
        x += width + GAP_MM * shrink;
    }
    let row_of = |cells: &[String]| {
        let words = cells.iter().zip(&starts).map(|(text, x)| {
            // A column that even small letters can't fit is cut short at the width.
            let room = INDENT_MM + width_mm - x;
            Words {
                x_mm: *x,
                height_mm,
                text: font::fitted(text, height_mm, room.max(0.0)),
            }
        });
        Row {
            pitch_mm: CELL_PITCH_MM,
            words: words.filter(|w| !w.text.is_empty()).collect(),
            ..Row::default()
        }
    };
    let mut head = row_of(&table.columns);
    head.pitch_mm += TABLE_AIR_MM;
    head.rule = Some((INDENT_MM, (x - GAP_MM * shrink).min(INDENT_MM + width_mm)));
    rows.push(head);
    rows.extend(table.rows.iter().map(|cells| row_of(cells)));
    // Air below the last one.
    rows.push(Row {
        pitch_mm: TABLE_AIR_MM / 2.0,
        ..Row::default()
    });
    rows
}
