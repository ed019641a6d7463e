//! A file let go over the window.

use std::path::{Path, PathBuf};

/// A file let go over the window.
#[derive(Debug)]
pub(crate) struct Dropped(pub(crate) PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("only its path is looked at".into())
    }
}
