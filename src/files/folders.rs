//! Where the program keeps what is the maker's own.

use std::path::{Path, PathBuf};

/// Environment variable that names one folder for all the program keeps, in place of the system's usual ones.
pub const HOME_VARIABLE: &str = "TANGWRIGHT_HOME";

/// The system names no folder for the user's files.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "the system names no home folder, so settings and recovery can't be kept: set {HOME_VARIABLE} to a folder of your own"
)]
pub struct FolderError;

/// The folders of the program; they need not be there yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folders {
    /// Settings.
    pub config: PathBuf,
    /// What is kept of unsaved work.
    pub recovery: PathBuf,
}

impl Folders {
    /// The folders of this user: under [`HOME_VARIABLE`] if it is set, else where the system wants them.
    ///
    /// # Errors
    /// [`FolderError`] if the system names none.
    pub fn find() -> Result<Self, FolderError> {
        if let Some(home) = std::env::var_os(HOME_VARIABLE).filter(|home| !home.is_empty()) {
            return Ok(Self::under(Path::new(&home)));
        }
        let system = directories::ProjectDirs::from("", "", "tangwright").ok_or(FolderError)?;
        Ok(Self {
            config: system.config_dir().to_owned(),
            recovery: system.data_local_dir().join("recovery"),
        })
    }

    /// All of them under one folder.
    #[must_use]
    pub fn under(home: &Path) -> Self {
        Self {
            config: home.join("config"),
            recovery: home.join("recovery"),
        }
    }
}
