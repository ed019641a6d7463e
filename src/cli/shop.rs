//! What the maker's settings say about the shop, read once for a command.

use super::args::PaperArgument;
use crate::checks::Thresholds;
use crate::files::{Folders, Loaded, Settings};
use crate::sheet::{PageOptions, PrinterFactors};

/// The shop.
pub(super) struct Shop {
    settings: Settings,
    /// The figures the checks go by here.
    pub figures: Thresholds,
    /// A line for each setting that could not be used.
    pub notes: Vec<String>,
}

impl Shop {
    /// As the settings tell; without a home folder there are none to differ from the usual ones.
    pub(super) fn load() -> Self {
        let Loaded { settings, messages } = Folders::find().map_or_else(
            |_| Loaded {
                settings: Settings::default(),
                messages: Vec::new(),
            },
            |folders| Settings::load(&folders),
        );
        let (figures, passed_over) = Thresholds::with_changes(&settings.thresholds);
        Self {
            settings,
            figures,
            notes: messages.into_iter().chain(passed_over).collect(),
        }
    }

    /// Labels of the drills at hand; empty when the settings do not say.
    pub(super) fn drills(&self) -> &[String] {
        &self.settings.drills_owned
    }

    /// A paper in the shop's own printer.
    pub(super) fn pages(&self, paper: PaperArgument) -> PageOptions {
        let printer = PrinterFactors {
            x: self.settings.printer_x,
            y: self.settings.printer_y,
        };
        PageOptions::printed_on(paper.key(), printer)
    }
}
