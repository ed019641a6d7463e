//! What is in a folder, for choosing a path without the desktop's dialog.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Most entries that are listed: more is no list a person reads.
const MOST_ENTRIES: usize = 500;

/// A folder or a file in a folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::window) struct Entry {
    /// Folders come first.
    pub(in crate::window) file: bool,
    pub(in crate::window) name: String,
    pub(in crate::window) path: PathBuf,
}

/// Folders and the files wanted in a folder, in the order of names. Hidden ones are left out.
///
/// # Errors
/// What the system says when the folder can't be read, with the mend.
pub(in crate::window) fn listing(
    folder: &Path,
    wanted: impl Fn(&Path) -> bool,
) -> Result<Vec<Entry>, String> {
    let read = fs::read_dir(folder).map_err(|error| {
        let folder = folder.display();
        if error.kind() == io::ErrorKind::NotFound {
            return format!("there is no folder {folder}: type another one");
        }
        format!("{folder} can't be listed ({error}): type another one")
    })?;
    let mut entries: Vec<Entry> = read
        .flatten()
        .filter_map(|found| {
            let path = found.path();
            let name = found.file_name().to_string_lossy().into_owned();
            let folder = path.is_dir();
            let wanted = folder || wanted(&path);
            (wanted && !name.starts_with('.')).then_some(Entry {
                file: !folder,
                name,
                path,
            })
        })
        .collect();
    entries.sort();
    entries.truncate(MOST_ENTRIES);
    Ok(entries)
}

/// A typed path in full: `~` is the home folder, and what is not absolute lies in the working folder.
#[must_use]
pub(in crate::window) fn spelled_out(typed: &str) -> PathBuf {
    let typed = typed.trim();
    let path = match typed.strip_prefix('~') {
        Some(rest) if rest.is_empty() || rest.starts_with(['/', '\\']) => {
            let home = directories::BaseDirs::new().map(|dirs| dirs.home_dir().to_owned());
            home.map(|home| home.join(rest.trim_start_matches(['/', '\\'])))
        }
        _ => None,
    };
    let path = path.unwrap_or_else(|| PathBuf::from(typed));
    std::path::absolute(&path).unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::action::ExportWish;
    use crate::window::filing::Purpose;

    #[test]
    fn folders_come_first_and_only_what_is_wanted_is_shown() {
        let home = tempfile::tempdir().unwrap();
        for folder in ["b", ".hidden"] {
            fs::create_dir(home.path().join(folder)).unwrap();
        }
        for file in [
            "a.tangwright",
            "c.tangwright",
            "notes.txt",
            ".d.tangwright",
            "e.JPG",
            "f.svg",
        ] {
            fs::File::create(home.path().join(file)).unwrap();
        }
        let names = |purpose: Purpose| -> Vec<String> {
            let entries = listing(home.path(), |path| purpose.shows(path)).unwrap();
            entries.into_iter().map(|entry| entry.name).collect()
        };
        assert_eq!(
            names(Purpose::Open),
            ["b", "a.tangwright", "c.tangwright", "f.svg"]
        );
        assert_eq!(names(Purpose::Export(ExportWish::All)), ["b"]);
        assert_eq!(names(Purpose::Picture), ["b", "e.JPG"]);
        let missing = listing(&home.path().join("nowhere"), |_| true).unwrap_err();
        assert!(missing.contains("nowhere"), "{missing}");
    }

    #[test]
    fn typed_paths_are_spelled_out() {
        assert!(spelled_out("a.tangwright").is_absolute());
        assert!(!spelled_out("~/a").to_string_lossy().contains('~'));
        assert!(spelled_out("~a").ends_with("~a"));
    }
}
