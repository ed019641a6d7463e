//! The window's side of the disk: which file the set belongs to, and whether it is as saved.

mod wish;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::edit::{History, Revision};
use crate::knife::KnifeSet;

pub use wish::{After, FileWish};

/// What the window knows of the disk.
#[derive(Debug)]
pub struct Filing {
    /// The file of the set; none for a set that was never saved.
    path: Option<PathBuf>,
    /// The set as the file has it, or as it was put on the bench.
    saved: KnifeSet,
    /// Whether the set differs from the saved one, and at which revision that was found.
    compared: (Revision, bool),
    /// Files opened or saved lately, newest first.
    recent: Vec<PathBuf>,
}

impl Filing {
    /// A filing for a set that has no file.
    #[must_use]
    pub fn new(history: &History) -> Self {
        Self {
            path: None,
            saved: history.set().clone(),
            compared: (history.revision(), false),
            recent: Vec::new(),
        }
    }

    /// The file of the set.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Whether the set differs from what the file has, as of the last [`Filing::compare`].
    #[must_use]
    pub fn changed(&self) -> bool {
        self.compared.1
    }

    /// Files opened or saved lately, newest first.
    #[must_use]
    pub fn recent(&self) -> &[PathBuf] {
        &self.recent
    }

    /// Finds out whether the set differs from the saved one; looks only when the set has changed since the last time.
    pub fn compare(&mut self, history: &History) {
        if self.compared.0 != history.revision() {
            self.compared = (history.revision(), !same(history.set(), &self.saved));
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
