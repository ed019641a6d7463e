//! The table below a strip: one line for each station.

use super::super::model::{Anchor, Entity, Role};
use crate::geometry::Point;
use crate::units::MISSING;
use crate::weighing::{EdgeScribing, FromFaces, TaperRow};

/// Height of the letters, mm.
const SMALL_MM: f64 = 1.8;
/// From line to line, mm.
const PITCH_MM: f64 = 3.4;
/// From column to column, mm.
const COLUMN_MM: f64 = 17.0;

/// Columns under headings of two lines, and rows of numbers.
pub(super) struct Table {
    /// What some columns have in common, with the first and one past the last of them.
    groups: Vec<(&'static str, usize, usize)>,
    columns: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(super) fn of_edge(edge: &EdgeScribing, number: &dyn Fn(f64) -> String) -> Self {
        let mut groups = vec![("off the right face", 2, 5), ("off the left face", 5, 8)];
        let mut columns = vec![
            "from shoulder",
            "thickness",
            "near line",
            "middle",
            "far line",
            "near line",
            "middle",
            "far line",
        ];
        let laminated = edge.rows.iter().any(|row| row.core.is_some());
        if laminated {
            groups.push(("core begins, off the", 8, 10));
            columns.extend(["right face", "left face"]);
        }
        let print = |mm: Option<f64>| mm.map_or_else(|| MISSING.to_owned(), number);
        let right = |line: Option<FromFaces>| print(line.map(|line| line.right_mm));
        let left = |line: Option<FromFaces>| print(line.map(|line| line.left_mm));
        let rows = edge.rows.iter().map(|row| {
            let mut cells = vec![
                number(row.x_mm),
                number(row.faces.thickness_mm()),
                right(row.right_line),
                right(row.middle),
                right(row.left_line),
                left(row.left_line),
                left(row.middle),
                left(row.right_line),
            ];
            if let Some(core) = row.core {
                cells.extend([right(core.right), left(core.left)]);
            }
            cells
        });
        Self {
            groups,
            columns,
            rows: rows.collect(),
        }
    }

    pub(super) fn of_taper(rows: &[TaperRow], number: &dyn Fn(f64) -> String) -> Self {
        Self {
            groups: vec![("below the bar's", 2, 4)],
            columns: vec!["from shoulder", "thickness", "right face", "left face"],
            rows: rows
                .iter()
                .map(|row| {
                    [
                        row.x_mm,
                        row.faces.thickness_mm(),
                        row.off_right_mm,
                        row.off_left_mm,
                    ]
                    .map(number)
                    .to_vec()
                })
                .collect(),
        }
    }

    /// Draws it below `y`, from `left` on, and gives its lower end.
    pub(super) fn draw(&self, left: f64, y: f64, out: &mut Vec<Entity>) -> f64 {
        let column = |i: usize| left + COLUMN_MM * u32::try_from(i).map_or(0.0, f64::from);
        let mut y = y - PITCH_MM;
        let mut say = |x: f64, y: f64, words: &str| {
            let at = Point::new(x, y);
            out.push(Entity::label(at, SMALL_MM, words, Anchor::Start));
        };
        for (words, first, _) in &self.groups {
            say(column(*first), y, words);
        }
        let under_groups = y - 0.9;
        y -= PITCH_MM;
        for (i, words) in self.columns.iter().enumerate() {
            say(column(i), y, words);
        }
        let under = y - 0.9;
        for row in &self.rows {
            y -= PITCH_MM;
            for (i, words) in row.iter().enumerate() {
                say(column(i), y, words);
            }
        }
        let mut rule = |from: f64, to: f64, y: f64| {
            out.push(Entity::line(
                Role::Frame,
                Point::new(from, y),
                Point::new(to, y),
            ));
        };
        for (_, first, end) in &self.groups {
            rule(column(*first), column(*end) - 2.0, under_groups);
        }
        rule(left, column(self.columns.len()) - 2.0, under);
        y - 1.0
    }
}
