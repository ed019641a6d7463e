//! Opening and saving design files, and telling whether another program changed one in between.

use std::fs::{self, File};
use std::hash::{DefaultHasher, Hasher};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::atomic::{WriteError, write_atomically};
use super::picture::{spell_out_pictures, with_pictures_named};
use crate::knife::KnifeSet;
use crate::reading::design_file::{self, MOST_BYTES, ReadError};

/// What a file was like when it was read or written, to tell later whether it is still the same. Good within one run of the program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    modified: Option<SystemTime>,
    len: usize,
    hash: u64,
}

impl Stamp {
    fn of(bytes: &[u8], modified: Option<SystemTime>) -> Self {
        let mut hasher = DefaultHasher::new();
        hasher.write(bytes);
        Self {
            modified,
            len: bytes.len(),
            hash: hasher.finish(),
        }
    }

    /// When the file was last written, if the system knows.
    #[must_use]
    pub fn modified(&self) -> Option<SystemTime> {
        self.modified
    }

    /// The same content; merely touching a file changes nothing.
    fn same_content(&self, other: &Self) -> bool {
        (self.len, self.hash) == (other.len, other.hash)
    }
}

/// What happened to a file since its stamp was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Nothing, or it was only touched.
    None,
    /// Its content is another one, or can't be read any more.
    Changed,
    /// There is no file under this name.
    Vanished,
}

/// What may be saved over.
#[derive(Debug, Clone, Copy)]
pub enum Over<'a> {
    /// Only the file this stamp was taken of, or nothing at all.
    Known(&'a Stamp),
    /// Whatever stands there: the maker was asked.
    Anything,
}

/// Why a design was not opened.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OpenError {
    /// No file under this name.
    #[error("{} is not there: it was moved, renamed or deleted; look for it and open it again", .path.display())]
    NotFound {
        /// The path.
        path: PathBuf,
    },
    /// A folder.
    #[error("{} is a folder: choose a design file inside it", .path.display())]
    Folder {
        /// The path.
        path: PathBuf,
    },
    /// A device, a pipe or a socket.
    #[error("{} is a device or a pipe, not a file: choose a design file", .path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
    },
    /// The file belongs to someone else.
    #[error("no permission to read {}: ask its owner for it, or open a copy of your own", .path.display())]
    NoPermission {
        /// The path.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("{} can't be read ({reason}): check the disk, or open a copy", .path.display())]
    Unreadable {
        /// The path.
        path: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// The file was read, but it is not a good design.
    #[error("{}: {problem}{}", .path.display(), offer(.backup.as_deref()))]
    Bad {
        /// The path.
        path: PathBuf,
        /// What is wrong in it.
        problem: ReadError,
        /// The last good state of it, if there is a file with one.
        backup: Option<PathBuf>,
    },
}

fn offer(backup: Option<&Path>) -> String {
    backup.map_or_else(String::new, |backup| {
        format!(
            "\nits last good state is kept in {}: open that",
            backup.display()
        )
    })
}

/// Why a design was not saved. The file on the disk is unharmed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SaveError {
    /// Someone else wrote the file in between.
    #[error("{} was changed by another program since it was opened: save under another name, or save over it and lose that change", .path.display())]
    Changed {
        /// The path.
        path: PathBuf,
    },
    /// What would be written could not be read again.
    #[error("the design was not saved, since it could not be opened again: {problem}")]
    WouldNotOpen {
        /// What is wrong with it.
        problem: ReadError,
    },
    /// The state before could not be kept.
    #[error("the design was not saved, since its state before could not be kept: {problem}")]
    NoBackup {
        /// What happened to the backup.
        problem: WriteError,
    },
    /// The file could not be written.
    #[error("the design was not saved: {problem}")]
    NotWritten {
        /// What happened.
        problem: WriteError,
    },
}

/// Where [`save_design`] keeps the last good state: the name with `.bak` added.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// Opens a design file. Files too large to be designs are refused unread. Pictures it names from its own folder get their whole paths.
///
/// # Errors
/// See [`OpenError`]; of a damaged file it tells where its last good state is, if that is kept and good.
pub fn open_design(path: &Path) -> Result<(KnifeSet, Stamp), OpenError> {
    let bad = |problem| {
        let backup = Some(backup_path(path)).filter(|backup| {
            load(backup).is_ok_and(|(bytes, _)| design_file::read(&bytes).is_ok())
        });
        OpenError::Bad {
            path: path.to_owned(),
            problem,
            backup,
        }
    };
    let (bytes, modified) = load(path)?;
    let mut set = design_file::read(&bytes).map_err(bad)?;
    spell_out_pictures(&mut set, path);
    Ok((set, Stamp::of(&bytes, modified)))
}

/// Saves a design in one step and gives the new stamp. The file's state before is kept beside it as [`backup_path`], if it was a good
/// design; saving the same again leaves both files alone. Pictures below the file's folder are named from there.
///
/// # Errors
/// See [`SaveError`].
pub fn save_design(path: &Path, set: &KnifeSet, over: Over<'_>) -> Result<Stamp, SaveError> {
    let text = design_file::write(&with_pictures_named(set, path));
    // A design that breaks a rule must not take the place of a good file.
    design_file::read(text.as_bytes()).map_err(|problem| SaveError::WouldNotOpen { problem })?;
    let new = Stamp::of(text.as_bytes(), None);
    let before = load(path);
    if let Over::Known(known) = over {
        let same = match &before {
            Ok((bytes, _)) => known.same_content(&Stamp::of(bytes, None)),
            Err(OpenError::NotFound { .. }) => true,
            // What is there can't be the file; writing tells what it is.
            Err(OpenError::Folder { .. } | OpenError::NotAFile { .. }) => true,
            Err(_) => false,
        };
        if !same {
            return Err(SaveError::Changed {
                path: path.to_owned(),
            });
        }
    }
    if let Ok((bytes, modified)) = &before {
        if bytes == text.as_bytes() {
            return Ok(Stamp {
                modified: *modified,
                ..new
            });
        }
        if design_file::read(bytes).is_ok() {
            write_atomically(&backup_path(path), bytes)
                .map_err(|problem| SaveError::NoBackup { problem })?;
        }
    }
    write_atomically(path, text.as_bytes()).map_err(|problem| SaveError::NotWritten { problem })?;
    let modified = fs::metadata(path).and_then(|now| now.modified()).ok();
    Ok(Stamp { modified, ..new })
}

/// Tells whether a file is still what it was. It reads the file, so ask when the window comes to the front, not in every frame.
#[must_use]
pub fn changed_since(path: &Path, stamp: &Stamp) -> Change {
    match load(path) {
        Ok((bytes, _)) if stamp.same_content(&Stamp::of(&bytes, None)) => Change::None,
        Err(OpenError::NotFound { .. }) => Change::Vanished,
        _ => Change::Changed,
    }
}

/// All bytes of a file, whatever they are; no more than a design file may have.
///
/// # Errors
/// See [`OpenError`]: it is not there, no file, not readable or too large.
pub fn open_bytes(path: &Path) -> Result<Vec<u8>, OpenError> {
    load(path).map(|(bytes, _)| bytes)
}

/// The bytes of a file, and when it was written if the system knows.
type Loaded = (Vec<u8>, Option<SystemTime>);

/// Reads a file that may be a design.
pub(super) fn load(path: &Path) -> Result<Loaded, OpenError> {
    load_at_most(path, MOST_BYTES)?.ok_or_else(|| OpenError::Bad {
        path: path.to_owned(),
        problem: ReadError::TooLarge,
        backup: None,
    })
}

/// Reads a file; nothing when it has more than so many bytes.
pub(super) fn load_at_most(path: &Path, most: usize) -> Result<Option<Loaded>, OpenError> {
    let told = |error: io::Error| of_system(&error, path);
    let known = fs::metadata(path).map_err(told)?;
    if known.is_dir() {
        return Err(OpenError::Folder {
            path: path.to_owned(),
        });
    }
    // Opening a pipe would wait for its writer, perhaps for ever.
    if !known.is_file() {
        return Err(OpenError::NotAFile {
            path: path.to_owned(),
        });
    }
    if known.len() > most as u64 {
        return Ok(None);
    }
    let mut bytes = Vec::new();
    // The file may grow while it is read.
    File::open(path)
        .and_then(|file| file.take(most as u64 + 1).read_to_end(&mut bytes))
        .map_err(told)?;
    Ok((bytes.len() <= most).then(|| (bytes, known.modified().ok())))
}

fn of_system(error: &io::Error, path: &Path) -> OpenError {
    let path = path.to_owned();
    match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => OpenError::NotFound { path },
        ErrorKind::PermissionDenied => OpenError::NoPermission { path },
        ErrorKind::IsADirectory => OpenError::Folder { path },
        _ => OpenError::Unreadable {
            path,
            reason: error.to_string(),
        },
    }
}
