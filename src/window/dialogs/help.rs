//! Help: the keys, working safely, and what this program is.

use egui::{Context, Grid, RichText, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog::{self, PracticeRule};
use crate::window::commands::Command;
use crate::window::hands;
use crate::window::shown::Shown;

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
                for (keys, what) in key_rows(ui.ctx()) {
                    ui.label(RichText::new(keys).color(shown.palette.bright));
                    ui.label(what);
                    ui.end_row();
                }
            });
    })
}

/// Every key there is with what it does: commands first, then what no menu names.
fn key_rows(ctx: &Context) -> Vec<(String, &'static str)> {
    let commands = Command::ALL.into_iter().filter_map(|command| {
        let keys = command.keys().iter().map(|keys| ctx.format_shortcut(keys));
        let keys = keys.collect::<Vec<_>>().join(" or ");
        (!keys.is_empty()).then(|| (keys, command.name()))
    });
    let hands = hands::ALL.iter().map(|hand| (hand.told(ctx), hand.does));
    commands.chain(hands).collect()
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
    fn help_lists_every_key_once() {
        let ctx = Context::default();
        let rows = key_rows(&ctx);
        for command in Command::ALL {
            let listed = rows.iter().filter(|(_, what)| *what == command.name());
            let keys: Vec<&str> = listed.map(|(keys, _)| keys.as_str()).collect();
            let [keys] = keys.as_slice() else {
                assert!(keys.is_empty() && command.keys().is_empty(), "{command:?}");
                continue;
            };
            for key in command.keys() {
                assert!(keys.contains(&ctx.format_shortcut(key)), "{command:?}");
            }
        }
        for hand in hands::ALL {
            let row = (hand.told(&ctx), hand.does);
            assert_eq!(rows.iter().filter(|r| **r == row).count(), 1, "{row:?}");
        }
    }

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
