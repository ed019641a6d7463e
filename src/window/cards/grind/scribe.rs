//! What to scribe on the run of a grind before it is ground, on the Grind card.

use egui::{Grid, RichText, Ui};

use crate::knife::Grind;
use crate::units::{Length, LengthFormat, LengthUnit, MISSING};
use crate::weighing::{FromFaces, SCRIBE_FIRST, ScribingRow, edge_scribing};
use crate::window::cards::{OnCard, caution_ui, fold_line_ui, sentence};
use crate::window::desk::Desk;
use crate::window::theme;

/// Draws the line and, when it is open, the table.
pub(super) fn scribe_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, grind: &Grind) {
    let open = desk.session.scribe_open;
    if fold_line_ui(ui, desk, "Scribe first", "lines off the faces", open) {
        desk.session.scribe_open = !open;
    }
    if !open {
        return;
    }
    match edge_scribing(on.knife, grind) {
        Err(why) => caution_ui(ui, desk, &sentence(&why.to_string())),
        Ok(scribing) => {
            table_ui(ui, desk, on, &scribing.rows);
            caution_ui(ui, desk, &sentence(SCRIBE_FIRST));
        }
    }
}

fn table_ui(ui: &mut Ui, desk: &Desk<'_>, on: OnCard<'_>, rows: &[ScribingRow]) {
    let caliper = desk.session.preferences.caliper_lengths();
    let quiet = desk.shown.palette.quiet;
    let even = rows.windows(2).all(|pair| match pair {
        [a, b] => a.faces == b.faces,
        _ => true,
    });
    // Where the bar is as thick all along, one row says it all.
    let rows = if even {
        rows.get(..1).unwrap_or(rows)
    } else {
        rows
    };
    Grid::new("scribing")
        .num_columns(4)
        .spacing(egui::vec2(14.0, 3.0))
        .show(ui, |ui| {
            for title in ["at", "middle", "edge lines", "core"] {
                if title != "core" || rows.iter().any(|row| row.core.is_some()) {
                    ui.label(RichText::new(title).small().color(quiet));
                }
            }
            ui.end_row();
            for row in rows {
                let place = if even {
                    "all along".to_owned()
                } else {
                    on.say.signed(row.x_mm)
                };
                let mut cells = vec![
                    place,
                    off(row.middle, caliper),
                    pair(row.right_line, row.left_line, caliper),
                ];
                if let Some(core) = row.core {
                    cells.push(pair(core.right, core.left, caliper));
                }
                for cell in cells {
                    ui.label(RichText::new(cell).size(theme::READ_OUT));
                }
                ui.end_row();
            }
        });
    let unit = if caliper.unit == LengthUnit::Mm {
        "mm"
    } else {
        "inches"
    };
    let text = format!(
        "Measured in {unit} off the right face; off the left face each is what is left of the thickness."
    );
    ui.label(RichText::new(text).small().color(quiet));
}

/// A line's distance off the right face.
fn off(line: Option<FromFaces>, format: LengthFormat) -> String {
    line.map_or(MISSING.to_owned(), |line| {
        format.print_bare(Length::mm(line.right_mm))
    })
}

fn pair(a: Option<FromFaces>, b: Option<FromFaces>, format: LengthFormat) -> String {
    match (a, b) {
        (Some(_), Some(_)) if a == b => off(a, format),
        _ => format!("{}, {}", off(a, format), off(b, format)),
    }
}
