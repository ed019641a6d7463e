//! The disk: design files, the recovery of unsaved work, and the maker's settings. No other room but the command line touches it.
//!
//! Every file is written to a neighbor first and then put in place in one step, so a reader finds either the old file or the new one, and never a
//! half. Every error names the path, the reason and the mend.

mod atomic;
mod design;
mod folders;
mod keeper;
mod learned;
mod merging;
mod picture;
mod recovery;
mod services;
mod settings;
mod window_place;

pub use atomic::{WriteError, write_atomically};
pub use design::{
    Change, OpenError, Over, SaveError, Stamp, backup_path, changed_since, open_bytes, open_design,
    save_design,
};
pub use folders::{FolderError, Folders, HOME_VARIABLE};
pub use keeper::Keeper;
pub use learned::{Learned, LearnedBar};
pub use picture::{PictureFileError, open_picture, picture_places};
pub use recovery::{Found, Recovery, RecoveryError};
pub use services::Services;
pub use settings::{Loaded, MOST_RECENT, Settings, Theme};
pub use window_place::{LEAST_WINDOW, WindowPlace};
