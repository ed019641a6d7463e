//! The start of a window: settings, the work a crash left, and the file it was asked to open.

use std::path::PathBuf;

use super::settings::{Shelf, preferences};
use crate::checks::Thresholds;
use crate::files::{Folders, Keeper, Recovery};
use crate::knife::{KnifeSet, orchard_set};
use crate::window::app::Workshop;

/// What a window starts with.
#[derive(Clone, Debug, Default)]
pub struct StartOptions {
    /// The file to open; without one the orchard set lies on the bench.
    pub file: Option<PathBuf>,
    /// Where settings and unsaved work are kept; without it nothing is.
    pub folders: Option<Folders>,
    /// Whether the desktop is asked for its file dialogs.
    pub native_dialogs: bool,
    /// What lies on the bench when no file is opened, in place of the orchard set.
    pub set: Option<KnifeSet>,
}

impl Workshop {
    /// A workshop as the program starts it: with the maker's settings, unsaved work kept, and what a crash left offered.
    #[must_use]
    pub fn start(options: StartOptions) -> Self {
        let mut workshop = Self::new(options.set.unwrap_or_else(orchard_set));
        workshop.filing.picker.native = options.native_dialogs;
        if let Some(folders) = options.folders {
            workshop.take_folders(folders);
        }
        if let Some(path) = options.file {
            workshop.open(&path);
        }
        workshop.offer_found();
        workshop
    }

    fn take_folders(&mut self, folders: Folders) {
        let (shelf, messages) = Shelf::load(folders.clone());
        self.session.preferences = preferences(shelf.settings());
        self.filing.shelf = shelf;
        let mut troubles = messages;
        troubles.extend(Thresholds::with_changes(&self.session.preferences.figures).1);
        match Recovery::start(&folders) {
            Ok(recovery) => {
                self.filing.found = recovery.found();
                match Keeper::start(recovery) {
                    Ok(keeper) => self.filing.keeper = Some(keeper),
                    Err(error) => troubles.push(format!(
                        "unsaved work is not kept ({error}): save often, and start the program again"
                    )),
                }
            }
            Err(error) => troubles.push(error.to_string()),
        }
        if !troubles.is_empty() {
            self.session.message = Some(troubles.join("; "));
        }
    }
}
