//! Text in columns.

/// Which side a column keeps straight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// Rows in columns two blanks apart, each line behind `indent` and without blanks at its end. Cells beyond the given sides are
/// left.
pub(super) fn aligned(rows: &[Vec<String>], sides: &[Side], indent: &str) -> String {
    let mut widths: Vec<usize> = Vec::new();
    for row in rows {
        for (i, cell) in row.iter().enumerate() {
            let width = cell.chars().count();
            match widths.get_mut(i) {
                Some(old) => *old = width.max(*old),
                None => widths.push(width),
            }
        }
    }
    let mut text = String::new();
    for row in rows {
        let mut line = String::from(indent);
        for (i, (cell, width)) in row.iter().zip(&widths).enumerate() {
            if i > 0 {
                line.push_str("  ");
            }
            let blanks = " ".repeat(width.saturating_sub(cell.chars().count()));
            match sides.get(i) {
                Some(Side::Right) => {
                    line.push_str(&blanks);
                    line.push_str(cell);
                }
                _ => {
                    line.push_str(cell);
                    line.push_str(&blanks);
                }
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_straight() {
        let row = |cells: &[&str]| cells.iter().map(|c| (*c).to_owned()).collect::<Vec<_>>();
        let rows = [
            row(&["blank as cut", "561 g"]),
            row(&["balance", "−8.2 mm", "ok"]),
        ];
        assert_eq!(
            aligned(&rows, &[Side::Left, Side::Right], "  "),
            "  blank as cut    561 g\n  balance       −8.2 mm  ok\n"
        );
    }
}
