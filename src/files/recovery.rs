//! What is kept of unsaved work, so that a crash costs at most a moment.
//!
//! Every running program holds a *slot*: a lock file `7.lock`, locked as long as the process lives, and beside it `7.kept`, the newest state of
//! its design. The system drops the lock when a process dies however it dies, so a `.kept` whose lock is free was left by a crash. Lock files
//! stay when they are free: taking one away while another process opens it would give two processes the same slot.
//!
//! A `.kept` is one line of JSON that names the design file, followed by the text of a design file; one file, so that both change in one step.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::atomic::{WriteError, write_atomically};
use super::design::{OpenError, load};
use super::folders::Folders;
use crate::knife::KnifeSet;
use crate::reading::design_file::{self, ReadError};

/// Most slots: running windows and crashes nobody has looked at.
const MOST_SLOTS: u32 = 1_000;

/// Why unsaved work is not kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecoveryError {
    /// The folder or a lock in it can't be made.
    #[error("unsaved work can't be kept in {} ({reason}): save often, and make that folder writable", .folder.display())]
    Folder {
        /// The recovery folder.
        folder: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// A thousand windows and forgotten crashes fill it.
    #[error("unsaved work can't be kept, {} is full: take old files out of it", .folder.display())]
    Full {
        /// The recovery folder.
        folder: PathBuf,
    },
    /// The state could not be written.
    #[error("unsaved work is not kept: {problem}")]
    NotWritten {
        /// What happened.
        problem: WriteError,
    },
}

/// Work a crashed process left.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Its slot, to call it by.
    pub slot: u32,
    /// The design file it belongs to; `None` if it was never saved, or that is no longer known.
    pub design: Option<PathBuf>,
    /// When it was kept, if the system knows.
    pub saved: Option<SystemTime>,
    /// The work, or why it can't be read.
    pub set: Result<KnifeSet, OpenError>,
}

/// The first line of a `.kept` file. A path that is not text is kept as the system's own bytes.
#[derive(Serialize, Deserialize)]
struct Head {
    design: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    design_bytes: Option<OsString>,
}

/// A slot held by this process: others find its lock taken until the file is closed.
#[derive(Debug)]
struct Slot {
    number: u32,
    _lock: File,
}

/// The slot of this process, and those that crashed ones left.
#[derive(Debug)]
pub struct Recovery {
    folder: PathBuf,
    own: Slot,
    left: Vec<Slot>,
}

impl Recovery {
    /// Takes a slot for this process, and takes over those left by crashed ones so that no other window offers them too.
    ///
    /// # Errors
    /// See [`RecoveryError`]; the program can go on without.
    pub fn start(folders: &Folders) -> Result<Self, RecoveryError> {
        let folder = folders.recovery.clone();
        fs::create_dir_all(&folder).map_err(|error| RecoveryError::Folder {
            folder: folder.clone(),
            reason: error.to_string(),
        })?;
        let mut left = Vec::new();
        let mut own = None;
        for number in 0..MOST_SLOTS {
            let kept_before = kept_path(&folder, number).exists();
            // All left ones lie below the first that never was: slots are taken from below.
            if own.is_some() && !kept_before && !lock_path(&folder, number).exists() {
                break;
            }
            if own.is_some() && !kept_before {
                continue;
            }
            let Some(slot) = take(&folder, number)? else {
                continue;
            };
            // Looked at again under the lock: its holder may have died in between.
            if kept_path(&folder, number).exists() {
                left.push(slot);
            } else if own.is_none() {
                own = Some(slot);
            }
        }
        match own {
            Some(own) => Ok(Self { folder, own, left }),
            None => Err(RecoveryError::Full { folder }),
        }
    }

    /// Keeps the state of the design, in place of what this process kept before. `design` is the file it belongs to.
    ///
    /// # Errors
    /// [`RecoveryError::NotWritten`]; what was kept before is still there.
    pub fn keep(&mut self, set: &KnifeSet, design: Option<&Path>) -> Result<(), RecoveryError> {
        // The next start may have another working folder.
        let design = design.map(|path| std::path::absolute(path).unwrap_or(path.to_owned()));
        let head = match design.map(|path| path.into_os_string().into_string()) {
            None => (None, None),
            Some(Ok(text)) => (Some(text), None),
            Some(Err(bytes)) => (None, Some(bytes)),
        };
        let head = Head {
            design: head.0,
            design_bytes: head.1,
        };
        // Texts and bytes always have a JSON form; without a head the work is kept all the same.
        let mut text = serde_json::to_string(&head).unwrap_or_else(|_| "{}".to_owned());
        text.push('\n');
        text.push_str(&design_file::write(set));
        write_atomically(&kept_path(&self.folder, self.own.number), text.as_bytes())
            .map_err(|problem| RecoveryError::NotWritten { problem })
    }

    /// What crashed processes left, newest last.
    #[must_use]
    pub fn found(&self) -> Vec<Found> {
        let mut found: Vec<Found> = self
            .left
            .iter()
            .map(|slot| found(&self.folder, slot.number))
            .collect();
        found.sort_by_key(|found| found.saved);
        found
    }

    /// Throws away what a crashed process left, once it is kept elsewhere or the maker does not want it.
    ///
    /// # Errors
    /// [`RecoveryError::Folder`] if the file can't be taken away; it will be offered again.
    pub fn discard(&mut self, slot: u32) -> Result<(), RecoveryError> {
        if self.left.iter().any(|left| left.number == slot) {
            self.remove(slot)?;
            self.left.retain(|left| left.number != slot);
        }
        Ok(())
    }

    /// Forgets what this process kept: its design is saved, or not wanted.
    ///
    /// # Errors
    /// [`RecoveryError::Folder`] if the file can't be taken away; it would be offered at the next start.
    pub fn clear(&mut self) -> Result<(), RecoveryError> {
        self.remove(self.own.number)
    }

    fn remove(&self, number: u32) -> Result<(), RecoveryError> {
        match fs::remove_file(kept_path(&self.folder, number)) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(RecoveryError::Folder {
                folder: self.folder.clone(),
                reason: error.to_string(),
            }),
            _ => Ok(()),
        }
    }
}

fn lock_path(folder: &Path, number: u32) -> PathBuf {
    folder.join(format!("{number}.lock"))
}

fn kept_path(folder: &Path, number: u32) -> PathBuf {
    folder.join(format!("{number}.kept"))
}

/// Takes a slot; `None` if a living process holds it.
fn take(folder: &Path, number: u32) -> Result<Option<Slot>, RecoveryError> {
    let failed = |error: std::io::Error| RecoveryError::Folder {
        folder: folder.to_owned(),
        reason: error.to_string(),
    };
    let lock = OpenOptions::new()
        .create(true)
        .truncate(false)
        .write(true)
        .open(lock_path(folder, number))
        .map_err(failed)?;
    match lock.try_lock() {
        Ok(()) => Ok(Some(Slot {
            number,
            _lock: lock,
        })),
        Err(TryLockError::WouldBlock) => Ok(None),
        Err(TryLockError::Error(error)) => Err(failed(error)),
    }
}

fn found(folder: &Path, number: u32) -> Found {
    let path = kept_path(folder, number);
    let mut found = Found {
        slot: number,
        design: None,
        saved: None,
        set: Err(OpenError::NotFound { path: path.clone() }),
    };
    let bytes = match load(&path) {
        Ok((bytes, saved)) => {
            found.saved = saved;
            bytes
        }
        Err(problem) => {
            found.set = Err(problem);
            return found;
        }
    };
    let split = bytes.iter().position(|byte| *byte == b'\n');
    let (head, text) = bytes.split_at(split.unwrap_or(0));
    if let Ok(head) = serde_json::from_slice::<Head>(head) {
        let design = head.design.map(OsString::from).or(head.design_bytes);
        found.design = design.map(PathBuf::from);
    }
    found.set = design_file::read(text).map_err(|problem: ReadError| OpenError::Bad {
        path,
        problem,
        backup: None,
    });
    found
}
