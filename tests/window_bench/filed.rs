//! Files that leave the window of a test.

use std::path::Path;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use crate::common::{press, window};
use tangwright::files::Folders;
use tangwright::knife::orchard_set;
use tangwright::window::{StartOptions, Workshop};

/// A window with the orchard set that keeps its settings below a folder.
pub(crate) fn at_home(folder: &Path) -> Harness<'static, Workshop> {
    window(Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(&folder.join("home"))),
        native_dialogs: false,
        set: Some(orchard_set()),
    }))
}

/// Presses the button that writes files, and types the folder it asks for.
pub(crate) fn write_into(window: &mut Harness<'static, Workshop>, button: &str, folder: &Path) {
    window.get_by_label(button).click();
    window.run();
    press(window, Modifiers::COMMAND, Key::A);
    let path = folder.display().to_string();
    window.get_by_label("Path").type_text(&path);
    window.run();
    press(window, Modifiers::NONE, Key::Enter);
}
