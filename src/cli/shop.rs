//! What the maker's settings say about the shop.

use super::args::PaperArgument;
use crate::catalog;
use crate::checks::Thresholds;
use crate::files::{Folders, Settings};
use crate::sheet::PageOptions;

/// Labels of the drills at hand; empty when the settings do not say.
pub(super) fn drills() -> Vec<String> {
    Folders::find().map_or_else(
        |_| Vec::new(),
        |folders| Settings::load(&folders).settings.drills_owned,
    )
}

/// Paper and printer as the settings know them.
pub(super) fn pages(paper: PaperArgument) -> PageOptions {
    let mut options =
        catalog::paper(paper.key()).map_or_else(PageOptions::default, PageOptions::on);
    if let Ok(folders) = Folders::find() {
        let settings = Settings::load(&folders).settings;
        (options.correction_x, options.correction_y) = (settings.printer_x, settings.printer_y);
    }
    options
}

/// The figures the checks go by here, and a line for each setting that could not be used.
pub(super) fn figures() -> (Thresholds, Vec<String>) {
    // Without a home folder there are no settings to differ from the usual ones.
    let Ok(folders) = Folders::find() else {
        return (Thresholds::default(), Vec::new());
    };
    let loaded = Settings::load(&folders);
    let (figures, passed_over) = Thresholds::with_changes(&loaded.settings.thresholds);
    let notes = loaded.messages.into_iter().chain(passed_over).collect();
    (figures, notes)
}
