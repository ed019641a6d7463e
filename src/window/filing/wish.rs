//! What menus and dialogs ask of the disk.

use std::path::PathBuf;

/// What waits until unsaved changes are dealt with.
#[derive(Clone, Debug, PartialEq)]
pub enum After {
    /// Put an empty set on the bench.
    NewSet,
    /// Ask for a file and open it.
    AskAndOpen,
    /// Ask for a path and open it.
    AskPathAndOpen,
    /// Open this file.
    Open(PathBuf),
    /// Close the window.
    Close,
}

/// A wish that concerns files.
#[derive(Clone, Debug, PartialEq)]
pub enum FileWish {
    /// Go on with this, but ask first if changes would be lost.
    Ask(After),
    /// Save, then go on with this if that went well.
    SaveThen(After),
    /// Go on with this; changes are lost.
    Drop(After),
    /// Save to the set's own file; ask for one if it has none.
    Save,
    /// Ask for a file and save to it.
    SaveAs,
    /// Ask for a path and save to it.
    SaveByPath,
}
