//! The window's side of the disk: which file the set belongs to, whether it is as saved, what is kept of unsaved work, and the settings.

mod export;
mod flow;
mod listing;
mod picker;
mod settings;
mod start;
mod tend;
mod wish;

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::dialogs::Question;
use crate::edit::{History, Revision};
use crate::files::{Found, Keeper, Settings, Stamp};
use crate::knife::KnifeSet;

pub(super) use listing::{Entry, listing, spelled_out};
use picker::Picker;
use settings::Shelf;
pub use start::StartOptions;
pub use wish::{After, FileWish, Purpose};

/// What the window knows of the disk.
#[derive(Debug)]
pub struct Filing {
    /// The file of the set; none for a set that was never saved.
    path: Option<PathBuf>,
    /// What that file was like when it was last read or written.
    stamp: Option<Stamp>,
    /// The set as the file has it, or as it was put on the bench; none when no file has it.
    saved: Option<KnifeSet>,
    /// Whether the set differs from the saved one, and at which revision that was found.
    compared: (Revision, bool),
    /// The revision that was last given to the keeper.
    kept: Revision,
    /// Keeps unsaved work.
    keeper: Option<Keeper>,
    /// What the keeper complained of last.
    trouble: Option<String>,
    /// Work that crashes left and nobody has decided about.
    found: Vec<Found>,
    /// The maker's settings and where they are kept.
    shelf: Shelf,
    /// The desktop's file dialog.
    picker: Picker,
    /// Questions and messages that wait for the open dialog to close.
    questions: VecDeque<Question>,
    /// Whether the maker was told that another program changed the file.
    told: bool,
    /// Whether the window had the desktop's attention in the last frame.
    in_front: bool,
    /// What the window's title was made from.
    titled: Option<tend::Titled>,
    /// Whether the window shall close; nothing is asked any more.
    closing: bool,
    /// Whether the desktop has been told to close it.
    close_sent: bool,
    /// The folder exports went to last.
    export_folder: Option<PathBuf>,
}

impl Filing {
    /// A desk for a set that has no file, without settings, recovery or desktop dialogs.
    #[must_use]
    pub fn new(history: &History) -> Self {
        Self {
            path: None,
            stamp: None,
            saved: Some(history.set().clone()),
            compared: (history.revision(), false),
            kept: history.revision(),
            keeper: None,
            trouble: None,
            found: Vec::new(),
            shelf: Shelf::default(),
            picker: Picker::default(),
            questions: VecDeque::new(),
            told: false,
            in_front: true,
            titled: None,
            closing: false,
            close_sent: false,
            export_folder: None,
        }
    }

    /// The file of the set.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Whether the set differs from what the file has, as of the last time the two were compared.
    #[must_use]
    pub fn changed(&self) -> bool {
        self.compared.1
    }

    /// Files opened or saved lately, newest first.
    #[must_use]
    pub fn recent(&self) -> &[PathBuf] {
        &self.settings().recent
    }

    /// The maker's settings.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        self.shelf.settings()
    }

    /// Waits until what was given to be kept is on the disk; for tests that end without warning.
    pub fn flush(&self) {
        if let Some(keeper) = &self.keeper {
            keeper.flush();
        }
    }

    /// Finds out whether the set differs from the saved one; looks only when the set has changed since the last time.
    pub(super) fn compare(&mut self, history: &History) {
        if self.compared.0 != history.revision() {
            self.compare_now(history);
        }
    }

    fn compare_now(&mut self, history: &History) {
        let saved = self.saved.as_ref();
        let changed = saved.is_none_or(|saved| !same(history.set(), saved));
        self.compared = (history.revision(), changed);
    }

    /// Puts a question behind those that wait.
    pub(in crate::window) fn question(&mut self, question: Question) {
        self.questions.push_back(question);
    }

    /// Name of the set's file, or of the set.
    fn name(&self, set: &KnifeSet) -> String {
        let file = self.path.as_ref().and_then(|path| path.file_name());
        match file {
            Some(name) => name.to_string_lossy().into_owned(),
            None if set.name.is_empty() => "the set".to_owned(),
            None => set.name.clone(),
        }
    }
}

/// Whether two sets are equal; knives that are one and the same are not looked into.
fn same(a: &KnifeSet, b: &KnifeSet) -> bool {
    a.name == b.name
        && a.materials == b.materials
        && a.knives.len() == b.knives.len()
        && a.knives
            .iter()
            .zip(&b.knives)
            .all(|(a, b)| Arc::ptr_eq(a, b) || a == b)
}
