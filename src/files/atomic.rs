//! Writing a file in one step: it is whole or it is not there.

use std::fs::{self, File, Metadata};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::NamedTempFile;

/// How the names of files not yet in place begin and end; the dot hides them from the maker.
const PREFIX: &str = ".tangwright-";
const SUFFIX: &str = ".part";

/// A file not yet in place that is this much older than a new one was left by a process that died; none takes that long to write.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);

/// Most links that are followed to the file itself, as many as the kernel follows (path_resolution(7)).
const MOST_LINKS: usize = 40;

/// Why a file was not written. Whatever stood under its name stands there unharmed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// The path is a folder.
    #[error("{} is a folder: give a file name inside it", .path.display())]
    Folder {
        /// The path.
        path: PathBuf,
    },
    /// The path is a device, a pipe or a socket.
    #[error("{} is a device or a pipe, not a file: choose another name", .path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
    },
    /// The folder is not there.
    #[error("the folder {} is not there: make it again, or choose another one", .folder.display())]
    NoFolder {
        /// The folder.
        folder: PathBuf,
    },
    /// The file was marked so by someone.
    #[error("{} is marked read-only: take the mark off, or choose another name", .path.display())]
    ReadOnlyFile {
        /// The path.
        path: PathBuf,
    },
    /// Nothing can be written there.
    #[error("{} lies on a disk that can only be read: choose another one", .path.display())]
    ReadOnlyDisk {
        /// The path.
        path: PathBuf,
    },
    /// The folder belongs to someone else.
    #[error("no permission to write in the folder {}: choose one of your own", .folder.display())]
    NoPermission {
        /// The folder.
        folder: PathBuf,
    },
    /// The disk or the user's share of it is full.
    #[error("no space left for {}: free some, or choose another disk", .path.display())]
    NoSpace {
        /// The path.
        path: PathBuf,
    },
    /// Links that lead to links without end.
    #[error("{} is a link that leads to no file: choose another name", .path.display())]
    LinksInACircle {
        /// The path.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("{} can't be written ({reason}): choose another name or folder", .path.display())]
    Other {
        /// The path.
        path: PathBuf,
        /// What the system says.
        reason: String,
    },
}

/// Writes a file whole, or leaves what stood there.
///
/// The bytes go to a new file in the same folder, to the disk, and then under the name. An existing file keeps its permissions (and its owner
/// where the system lets us); of a link the file it leads to is written and the link stays.
///
/// # Errors
/// See [`WriteError`].
pub fn write_atomically(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let path = &file_behind(path)?;
    let old = what_stands_there(path)?;
    let folder = match path.parent() {
        Some(folder) if folder.as_os_str().is_empty() => Path::new("."),
        Some(folder) => folder,
        None => return Err(WriteError::Folder { path: path.clone() }),
    };
    let told = |error: io::Error| of_system(&error, path, folder);
    let mut part = new_part(folder).map_err(told)?;
    part.write_all(bytes).map_err(told)?;
    if let Some(old) = &old {
        keep_owner_and_permissions(part.as_file(), old).map_err(told)?;
    }
    part.as_file().sync_all().map_err(told)?;
    let written = part.as_file().metadata();
    part.persist(path).map_err(|failed| told(failed.error))?;
    // The file is in place; what is left to do can fail without harm.
    let _ = sync_folder(folder);
    if let Ok(written) = written {
        let _ = sweep(folder, &written);
    }
    Ok(())
}

/// Follows links to the path of the file itself, which need not be there.
fn file_behind(path: &Path) -> Result<PathBuf, WriteError> {
    let mut at = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(leads_to) = fs::read_link(&at) else {
            return Ok(at);
        };
        at = at.parent().unwrap_or(Path::new("")).join(leads_to);
    }
    Err(WriteError::LinksInACircle {
        path: path.to_owned(),
    })
}

/// What is under the name now, if it may be replaced.
fn what_stands_there(path: &Path) -> Result<Option<Metadata>, WriteError> {
    let path_owned = || path.to_owned();
    match fs::metadata(path) {
        Ok(old) if old.is_dir() => Err(WriteError::Folder { path: path_owned() }),
        Ok(old) if !old.is_file() => Err(WriteError::NotAFile { path: path_owned() }),
        // Putting another file in its place would go round the mark.
        Ok(old) if old.permissions().readonly() => {
            Err(WriteError::ReadOnlyFile { path: path_owned() })
        }
        Ok(old) => Ok(Some(old)),
        // If it matters, making the new file tells it with its reason.
        Err(_) => Ok(None),
    }
}

fn new_part(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // What the system gives any new file, the user's mask taken off; the crate's own choice would hide it from the group.
        builder.permissions(fs::Permissions::from_mode(0o666));
        builder.tempfile_in(folder)
    }
    #[cfg(not(unix))]
    builder.tempfile_in(folder)
}

fn keep_owner_and_permissions(part: &File, old: &Metadata) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, fchown};
        let new = part.metadata()?;
        if (new.uid(), new.gid()) != (old.uid(), old.gid()) {
            // Only the superuser may give a file away; for others it becomes their own, as with any editor.
            let _ = fchown(part, Some(old.uid()), Some(old.gid()));
        }
    }
    part.set_permissions(old.permissions())
}

/// Makes the new name itself last through a power cut. Some file systems can't; the bytes are safe on them all the same.
fn sync_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// Takes away what dead processes left in the folder.
fn sweep(folder: &Path, written: &Metadata) -> io::Result<()> {
    let now = written.modified()?;
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(PREFIX) && name.ends_with(SUFFIX) {
            let left = entry.metadata()?.modified()?;
            if now.duration_since(left).is_ok_and(|age| age > LEFT_BEHIND) {
                fs::remove_file(entry.path())?;
            }
        }
    }
    Ok(())
}

fn of_system(error: &io::Error, path: &Path, folder: &Path) -> WriteError {
    let path = path.to_owned();
    let folder = folder.to_owned();
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            WriteError::NoSpace { path }
        }
        ErrorKind::PermissionDenied => WriteError::NoPermission { folder },
        ErrorKind::ReadOnlyFilesystem => WriteError::ReadOnlyDisk { path },
        ErrorKind::NotFound | ErrorKind::NotADirectory => WriteError::NoFolder { folder },
        ErrorKind::IsADirectory => WriteError::Folder { path },
        _ => WriteError::Other {
            path,
            reason: error.to_string(),
        },
    }
}
