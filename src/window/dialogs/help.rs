//! Help: the keys, working safely, and what this program is.

use egui::{Context, RichText, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog::{self, PracticeRule};
use crate::window::cards::unparted;
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

/// Width of the column of keys, and room for the scroll bar, points.
const KEYS_PX: f32 = 252.0;
const BAR_PX: f32 = 8.0;

/// Who has the last word.
const LAST_WORD: &str = "The steel maker's data sheet for heat treatment, the makers of tools, adhesives and chemicals for their use, your local codes, \
     and licensed practice where it is required have the last word. What this program says never overrules them.";

/// The list of keys, in two columns whose words are wrapped: with large text no line is longer than the window.
pub(super) fn keys_ui(ctx: &Context, shown: &Shown<'_>, fresh: bool) -> Turn {
    reading_ui(ctx, shown, "Keys", fresh, |ui| {
        ui.spacing_mut().item_spacing = egui::vec2(24.0, 6.0);
        let what_px = (ui.available_width() - KEYS_PX - 24.0 - BAR_PX).max(KEYS_PX / 2.0);
        let mut heading = "";
        for row in key_rows(ui.ctx()) {
            if row.heading != heading {
                ui.add_space(if heading.is_empty() { 0.0 } else { 8.0 });
                heading = row.heading;
                ui.label(RichText::new(heading).strong().color(shown.palette.warn));
            }
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| {
                    ui.set_width(KEYS_PX);
                    ui.label(RichText::new(row.keys).color(shown.palette.bright));
                });
                ui.vertical(|ui| {
                    ui.set_width(what_px);
                    ui.label(unparted(row.what));
                });
            });
        }
    })
}

/// A line of the list of keys.
#[derive(Debug, PartialEq)]
struct KeyRow {
    heading: &'static str,
    keys: String,
    what: &'static str,
}

/// Every key there is with what it does: commands first, then what no menu names.
fn key_rows(ctx: &Context) -> Vec<KeyRow> {
    let commands = Command::ALL.into_iter().filter_map(|command| {
        let keys = command.keys().iter().map(|keys| ctx.format_shortcut(keys));
        let keys = keys.collect::<Vec<_>>().join(" or ");
        (!keys.is_empty()).then(|| KeyRow {
            heading: heading_of(command),
            keys,
            what: command.name(),
        })
    });
    let hands = hands::ALL.iter().map(|hand| KeyRow {
        heading: "Hands",
        keys: hand.told(ctx),
        what: hand.does,
    });
    commands.chain(hands).collect()
}

/// Under which heading a command's keys are listed.
fn heading_of(command: Command) -> &'static str {
    match command {
        Command::NewSet
        | Command::NewKnife
        | Command::Open
        | Command::OpenByPath
        | Command::LayPicture
        | Command::Save
        | Command::SaveAs
        | Command::SaveByPath
        | Command::Export(_)
        | Command::Close => "Files",
        Command::Undo | Command::Redo | Command::PickAll | Command::RemovePicked => "Edit",
        Command::Work(_) | Command::DrawOver | Command::Both(_) => "Work on what is picked",
        Command::DoubleKnife
        | Command::RemoveKnife
        | Command::KnifeUp
        | Command::KnifeDown
        | Command::KnifeAbove
        | Command::KnifeBelow => "Knives",
        Command::Take(_) => "Tools",
        Command::Page(_) => "Pages",
        Command::Snap(_) => "Snaps",
        Command::Fit
        | Command::TrueSize
        | Command::Closer
        | Command::Farther
        | Command::Rack
        | Command::Cards
        | Command::Comb
        | Command::FromAbove
        | Command::Section
        | Command::Ground
        | Command::Picture => "What is seen",
        Command::Theme(_)
        | Command::Lengths(_)
        | Command::Masses(_)
        | Command::LargerText
        | Command::SmallerText
        | Command::UsualText
        | Command::Still
        | Command::Calibrate
        | Command::Printer
        | Command::Figures
        | Command::NextStep
        | Command::Keys
        | Command::Cautions
        | Command::About => "Window",
    }
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
        ui.label(format!("{}.", env!("CARGO_PKG_DESCRIPTION")));
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
            let listed = rows.iter().filter(|row| row.what == command.name());
            let keys: Vec<&str> = listed.map(|row| row.keys.as_str()).collect();
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
            let listed = rows.iter().filter(|r| (r.keys.clone(), r.what) == row);
            assert_eq!(listed.count(), 1, "{row:?}");
        }
        // A heading stands once, over all of its own.
        let mut headings: Vec<&str> = rows.iter().map(|row| row.heading).collect();
        headings.dedup();
        let each: std::collections::HashSet<&str> = headings.iter().copied().collect();
        assert_eq!(each.len(), headings.len(), "{headings:?}");
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
