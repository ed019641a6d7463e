//! Truing the printer: what the two bars of the printer page measure on paper becomes the factors every page is printed by.

use egui::{Context, RichText, TextEdit, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::sheet::{PageOptions, PrinterBars, PrinterFactors};
use crate::units::{Length, LengthFormat, LengthUnit, print_number, read_length};
use crate::window::cards::sentence;
use crate::window::session::Preferences;
use crate::window::shown::Shown;

/// Width of a field, points.
const FIELD_PX: f32 = 96.0;

/// A printer being trued.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TruePrinter {
    /// What is typed for the long and the short bar.
    typed: [String; 2],
    trouble: Option<String>,
}

impl TruePrinter {
    /// The factors that follow from what is typed, or what is the matter with it.
    fn factors(&self, preferences: &Preferences) -> Result<PrinterFactors, String> {
        let bars = bars(preferences)?;
        let read = |typed: &String| {
            read_length(typed, preferences.length_unit)
                .map(Length::to_mm)
                .map_err(|error| error.to_string())
        };
        let [long, short] = &self.typed;
        bars.factors(read(long)?, read(short)?)
            .map_err(|error| error.to_string())
    }
}

fn bars(preferences: &Preferences) -> Result<PrinterBars, String> {
    let options = PageOptions::printed_on(&preferences.paper, PrinterFactors::PLAIN);
    PrinterBars::on(&options).map_err(|error| error.to_string())
}

/// Draws the dialog; on "Use these" the preferences take the result.
pub(super) fn printer_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    state: &mut TruePrinter,
    fresh: bool,
    preferences: &mut Preferences,
) -> Turn {
    let sheet = Sheet {
        heading: "True the printer",
        width: 560.0,
        fresh,
        focus_default: false,
    };
    let now = preferences.printer;
    let corrected = now != PrinterFactors::PLAIN;
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| body_ui(ui, shown, state, fresh, preferences),
        || {
            let plain = FootButton {
                label: "Print as drawn",
                enabled: corrected,
            };
            vec![
                FootButton::new("Use these"),
                plain,
                FootButton::new("Cancel"),
            ]
        },
    );
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(0) => match state.factors(preferences) {
            Ok(factors) => {
                preferences.printer = factors;
                Turn::Done
            }
            Err(trouble) => {
                state.trouble = Some(trouble);
                Turn::Stay
            }
        },
        Foot::Button(1) => {
            preferences.printer = PrinterFactors::PLAIN;
            Turn::Done
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

fn body_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    state: &mut TruePrinter,
    fresh: bool,
    preferences: &Preferences,
) {
    ui.label("Write the printer page (Bench, Write printer page), print it at 100 %, and measure its two bars from line to line.");
    ui.add_space(6.0);
    let drawn = match bars(preferences) {
        Ok(bars) => [bars.long_mm, bars.short_mm],
        Err(trouble) => {
            ui.label(RichText::new(trouble).color(shown.palette.stop));
            return;
        }
    };
    let format = LengthFormat {
        unit: preferences.length_unit,
        decimals: if preferences.length_unit == LengthUnit::Mm {
            0
        } else {
            3
        },
    };
    egui::Grid::new(ui.scope_id().with("bars"))
        .num_columns(3)
        .min_col_width(FIELD_PX)
        .spacing([12.0, 6.0])
        .show(ui, |ui| {
            let sides = ["the long bar measures", "the short bar measures"];
            for ((typed, side), drawn) in state.typed.iter_mut().zip(sides).zip(drawn) {
                let label = ui.label(side);
                let field = TextEdit::singleline(typed).desired_width(FIELD_PX);
                let field = ui.add(field).labelled_by(label.id);
                if fresh && side.contains("long") {
                    field.request_focus();
                }
                if field.changed() {
                    state.trouble = None;
                }
                let drawn = format.print(Length::mm(drawn));
                ui.label(RichText::new(format!("drawn {drawn}")).color(shown.palette.quiet));
                ui.end_row();
            }
        });
    if let Some(trouble) = &state.trouble {
        ui.label(RichText::new(sentence(trouble)).color(shown.palette.stop));
    }
    ui.add_space(6.0);
    let PrinterFactors { x, y } = preferences.printer;
    let now = if preferences.printer == PrinterFactors::PLAIN {
        "Now every page is printed as drawn.".to_owned()
    } else {
        format!(
            "Now every page is printed × {} along the shorter side of the paper and × {} along the longer.",
            print_number(x, 4),
            print_number(y, 4)
        )
    };
    ui.label(RichText::new(now).color(shown.palette.quiet));
}
