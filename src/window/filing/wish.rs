//! What menus and dialogs ask of the disk.

use std::path::PathBuf;

use crate::window::action::ExportWish;

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

/// What a file or folder is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// To open it.
    Open,
    /// To save the set to it, and go on with something.
    Save(Option<After>),
    /// To put exported files into it.
    Export(ExportWish),
    /// To lay it under the drawing.
    Picture,
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
    /// Ask for a file and save to it, and go on with something.
    SaveAs(Option<After>),
    /// Ask for a path and save to it.
    SaveByPath,
    /// Save to the set's own file whatever stands there, and go on with something.
    SaveOver(Option<After>),
    /// A path was chosen or typed.
    Picked(Purpose, PathBuf),
    /// Save to this file though it is there already, and go on with something.
    Replace(PathBuf, Option<After>),
    /// Write exports into this folder though files of these names are there already.
    ReplaceExports(ExportWish, PathBuf),
    /// Do not wait for the desktop's dialog: type a path.
    TypePath(Purpose),
    /// Do not wait for the desktop's dialog.
    GiveUpPicking,
    /// Open the last good state of a damaged file.
    OpenBackup(PathBuf),
    /// Open what another program has put into the set's file; changes are lost.
    Reload,
    /// Go on with the set as it is, whatever happened to its file.
    KeepMine,
    /// Open the work a crash left.
    Recover(u32),
    /// Throw away the work a crash left.
    Discard(u32),
}
