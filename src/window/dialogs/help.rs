//! Help: the keys, working safely, and what this program is.

use egui::{Context, Grid, RichText, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog::{self, PracticeRule};
use crate::window::commands::Command;
use crate::window::shown::Shown;

/// Keys and gestures that are no commands of a menu.
const HANDS: [(&str, &str); 16] = [
    ("Wheel", "look closer or from farther away, at the pointer"),
    ("Middle button or Space and drag", "move the paper"),
    ("Arrow keys", "move what is picked by 0.1 mm"),
    ("Alt and arrow keys", "by 0.01 mm"),
    ("Shift and arrow keys", "by 1 mm"),
    ("Alt while dragging", "go past what snaps"),
    ("Drag the arc beside a picked corner", "round it"),
    ("Shift or Ctrl and click, or a frame", "pick more"),
    (
        "+3, \u{2212}2, *1.1, /2 in a number",
        "so much more, less, times, part of what it is now",
    ),
    (
        "now \u{2212} 3 in a place",
        "so much back from where it is now",
    ),
    (
        "Double-click on the knife from above",
        "set a station of the taper",
    ),
    ("Click on the knife from above", "hold the section there"),
    (
        "Tab, Shift and Tab",
        "go to the next or the previous control",
    ),
    ("Enter or double-click on a number", "type it"),
    ("Escape", "drop what is under way, or close a dialog"),
    ("F10", "go to the menus"),
];

/// The catalog's cautions, by heading; the keys are those of the table, without `caution.`.
const CAUTIONS: [(&str, &[&str]); 7] = [
    (
        "Grinding and drilling",
        &[
            "grinding-eyes",
            "grinding-noise",
            "grinder-rest",
            "hardened-grinding",
            "drilling",
            "skates",
        ],
    ),
    (
        "Dust, fumes and glue",
        &[
            "dust",
            "silica",
            "wood-dust",
            "cocobolo",
            "padauk-ipe",
            "metal-fume",
            "epoxy",
        ],
    ),
    ("Heat", &["forge-gas", "heat-treatment"]),
    ("Quenching", &["quench", "quench-fire", "quench-water"]),
    ("Blades", &["sharp-edge", "law"]),
    ("Materials and cutting", &["protected-wood", "laser-skin"]),
    ("Numbers and templates", &["print-scale", "no-certificate"]),
];

/// Who has the last word.
const LAST_WORD: &str = "The steel maker's data sheet for heat treatment, the makers of tools, adhesives and chemicals for their use, your local codes, \
     and licensed practice where it is required have the last word. What this program says never overrules them.";

/// The list of keys.
pub(super) fn keys_ui(ctx: &Context, shown: &Shown<'_>, fresh: bool) -> Turn {
    reading_ui(ctx, shown, "Keys", fresh, |ui| {
        Grid::new("keys")
            .num_columns(2)
            .spacing([24.0, 4.0])
            .show(ui, |ui| {
                for command in Command::ALL {
                    let keys: Vec<String> = command
                        .keys()
                        .iter()
                        .map(|keys| ui.ctx().format_shortcut(keys))
                        .collect();
                    if !keys.is_empty() {
                        row_ui(ui, shown, &keys.join(" or "), command.name());
                    }
                }
                for (keys, what) in HANDS {
                    row_ui(ui, shown, keys, what);
                }
            });
    })
}

fn row_ui(ui: &mut Ui, shown: &Shown<'_>, keys: &str, what: &str) {
    ui.label(RichText::new(keys).color(shown.palette.bright));
    ui.label(what);
    ui.end_row();
}

/// Working safely.
pub(super) fn cautions_ui(ctx: &Context, shown: &Shown<'_>, fresh: bool) -> Turn {
    reading_ui(ctx, shown, "Working safely", fresh, |ui| {
        let cautions: Vec<&PracticeRule> = catalog::cautions().collect();
        ui.label(LAST_WORD);
        for (heading, keys) in CAUTIONS {
            ui.add_space(6.0);
            ui.label(RichText::new(heading).strong().color(shown.palette.warn));
            for key in keys {
                let of_key = |rule: &&&PracticeRule| rule.key.strip_prefix("caution.") == Some(key);
                if let Some(rule) = cautions.iter().find(of_key) {
                    ui.label(&rule.text);
                }
            }
        }
    })
}

/// What this program is.
pub(super) fn about_ui(ctx: &Context, shown: &Shown<'_>, fresh: bool) -> Turn {
    reading_ui(ctx, shown, "Tangwright", fresh, |ui| {
        ui.label(format!("Version {}", env!("CARGO_PKG_VERSION")));
        ui.label(env!("CARGO_PKG_DESCRIPTION"));
        ui.add_space(6.0);
        ui.label(
            "Areas, masses and balance points of flat steel are exact for the outline as drawn, and those of ground steel are held within a bound \
             of their error; what the bar and the hand really are decides the rest, and stands beside each number as ±.",
        );
        ui.label("Nothing leaves this computer: no account, no network.");
        ui.add_space(6.0);
        let license = format!(
            "Free to use, study, change and share: {}",
            env!("CARGO_PKG_LICENSE")
        );
        ui.label(RichText::new(license).color(shown.palette.quiet));
    })
}

fn reading_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    heading: &str,
    fresh: bool,
    body: impl FnOnce(&mut Ui),
) -> Turn {
    let sheet = Sheet {
        heading,
        width: 560.0,
        fresh,
        focus_default: true,
    };
    match sheet_ui(ctx, shown.palette, sheet, body, || {
        vec![FootButton::new("Close")]
    }) {
        Foot::Nothing => Turn::Stay,
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_of_the_catalog_is_shown_once() {
        let mut shown: Vec<&str> = CAUTIONS
            .iter()
            .flat_map(|(_, keys)| *keys)
            .copied()
            .collect();
        let mut known: Vec<&str> = catalog::cautions()
            .filter_map(|rule| rule.key.strip_prefix("caution."))
            .collect();
        shown.sort_unstable();
        known.sort_unstable();
        assert_eq!(shown, known);
    }
}
