//! What the desktop gets: the entry for its menus, the kind of file, the icon; and the window's place and files among several windows.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/shell.rs"]
#[expect(dead_code, reason = "shared with other tests of the window")]
mod common;
#[path = "desktop/entry.rs"]
mod entry;
#[path = "../examples/icon.rs"]
#[expect(dead_code, reason = "an example that writes files when it is run")]
mod icon;
#[path = "desktop/several.rs"]
mod several;
