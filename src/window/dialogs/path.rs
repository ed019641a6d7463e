//! Choosing a path without the desktop's dialog: a line to type in, and what is in its folder; and waiting for the desktop's dialog.

use std::path::{Path, PathBuf};

use egui::{Button, Context, RichText, ScrollArea, TextEdit, Ui};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::window::action::Action;
use crate::window::cards::sentence;
use crate::window::filing::{Entry, FileWish, Purpose, listing, spelled_out};
use crate::window::keyboard::keep_in_sight;
use crate::window::shown::Shown;
use crate::window::theme::Palette;

/// A path being chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct PathDialog {
    purpose: Purpose,
    typed: String,
    /// The folder that was listed last, and what is in it.
    folder: PathBuf,
    entries: Result<Vec<Entry>, String>,
    trouble: Option<String>,
}

impl PathDialog {
    /// Begins with a path; a folder is listed.
    #[must_use]
    pub fn new(purpose: Purpose, path: &Path) -> Self {
        let mut dialog = Self {
            purpose,
            typed: path.display().to_string(),
            folder: PathBuf::new(),
            entries: Ok(Vec::new()),
            trouble: None,
        };
        dialog.look();
        dialog
    }

    /// Lists the folder of what is typed, if it is another one than before.
    fn look(&mut self) {
        let typed = spelled_out(&self.typed);
        let folder = if typed.is_dir() {
            typed
        } else {
            typed.parent().map(Path::to_owned).unwrap_or(typed)
        };
        if folder != self.folder {
            self.entries = listing(&folder, |path| self.purpose.shows(path));
            self.folder = folder;
        }
    }

    fn go_to(&mut self, path: &Path) {
        self.typed = path.display().to_string();
        self.trouble = None;
        self.look();
    }

    /// The typed path if it fits the purpose, else the trouble is noted.
    fn take(&mut self) -> Option<PathBuf> {
        let path = spelled_out(&self.typed);
        let folder = path.is_dir();
        let trouble = match self.purpose {
            _ if self.typed.trim().is_empty() => "type a path",
            Purpose::Open if folder => "that is a folder: choose a design in it",
            Purpose::Picture if folder => "that is a folder: choose a picture in it",
            Purpose::Save(_) if folder => "that is a folder: add a file name",
            Purpose::Export(_) if !folder => "there is no such folder: choose one that is there",
            _ => return Some(path),
        };
        self.trouble = Some(trouble.to_owned());
        self.look();
        None
    }
}

/// Draws the dialog.
pub(super) fn path_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    dialog: &mut PathDialog,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: dialog.purpose.heading(),
        width: 620.0,
        fresh,
        focus_default: false,
    };
    let take = match dialog.purpose {
        Purpose::Open => "Open",
        Purpose::Save(_) => "Save",
        Purpose::Export(_) => "Write here",
        Purpose::Picture => "Lay it",
    };
    let mut chosen = false;
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| chosen = body_ui(ui, shown.palette, dialog, fresh),
        || vec![FootButton::new(take), FootButton::new("Cancel")],
    );
    match foot {
        Foot::Nothing if !chosen => Turn::Stay,
        Foot::Nothing | Foot::Button(0) => match dialog.take() {
            Some(path) => {
                let wish = FileWish::Picked(dialog.purpose.clone(), path);
                actions.push(Action::File(wish));
                Turn::Done
            }
            None => Turn::Stay,
        },
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

/// Draws the line and the list; whether a file was chosen by a double click.
fn body_ui(ui: &mut Ui, palette: &Palette, dialog: &mut PathDialog, fresh: bool) -> bool {
    let label = ui.label("Path");
    let field = TextEdit::singleline(&mut dialog.typed).desired_width(f32::INFINITY);
    let field = ui.add(field).labelled_by(label.id);
    if fresh {
        field.request_focus();
    }
    if field.changed() {
        dialog.trouble = None;
        dialog.look();
    }
    if let Some(trouble) = &dialog.trouble {
        ui.label(RichText::new(sentence(trouble)).color(palette.stop));
    }
    ui.add_space(4.0);
    let mut next: Option<PathBuf> = None;
    let mut chosen = false;
    ui.horizontal(|ui| {
        let above = dialog.folder.parent().map(Path::to_owned);
        let up = ui.add_enabled(above.is_some(), Button::new("Folder above"));
        if up.clicked() {
            next = above;
        }
        ui.add(
            egui::Label::new(
                RichText::new(dialog.folder.display().to_string()).color(palette.quiet),
            )
            .truncate(),
        );
    });
    match &dialog.entries {
        Err(reason) => {
            ui.label(RichText::new(sentence(reason)).color(palette.stop));
        }
        Ok(entries) => {
            let frame = egui::Frame::new()
                .fill(palette.field)
                .corner_radius(6.0)
                .inner_margin(6.0);
            frame.show(ui, |ui| {
                ui.set_min_height(200.0);
                ScrollArea::vertical()
                    .id_salt("entries")
                    .max_height(260.0)
                    .auto_shrink([false, false])
                    .show(ui, |ui| {
                        if entries.is_empty() {
                            let none = match dialog.purpose {
                                Purpose::Export(_) => {
                                    "No folders in this one. Write here writes into it."
                                }
                                _ => "Nothing to choose in this folder.",
                            };
                            ui.label(RichText::new(none).color(palette.quiet));
                        }
                        for entry in entries {
                            let name = if entry.file {
                                RichText::new(&entry.name)
                            } else {
                                RichText::new(format!("{}/", entry.name)).color(palette.quiet)
                            };
                            let row = ui.add(
                                Button::new(name)
                                    .frame_when_inactive(false)
                                    .min_size(egui::vec2(ui.available_width(), 0.0)),
                            );
                            if row.clicked() {
                                next = Some(entry.path.clone());
                            }
                            chosen |= entry.file && row.double_clicked();
                        }
                        keep_in_sight(ui);
                    });
            });
        }
    }
    if let Some(path) = next {
        dialog.go_to(&path);
    }
    chosen
}

/// Draws what is shown while the desktop's dialog is open.
pub(super) fn waiting_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    purpose: &Purpose,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: purpose.heading(),
        width: 420.0,
        fresh,
        focus_default: false,
    };
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| {
            ui.label("The desktop's file dialog is open, perhaps behind this window.");
        },
        || {
            vec![
                FootButton::new("Type a path instead"),
                FootButton::new("Cancel"),
            ]
        },
    );
    let wish = match foot {
        Foot::Nothing => return Turn::Stay,
        Foot::Button(0) => FileWish::TypePath(purpose.clone()),
        Foot::Button(_) | Foot::Escape => FileWish::GiveUpPicking,
    };
    actions.push(Action::File(wish));
    Turn::Done
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_are_entered_and_files_taken() {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join("a.tangwright");
        std::fs::File::create(&file).unwrap();
        let mut dialog = PathDialog::new(Purpose::Open, home.path());
        let names = |dialog: &PathDialog| -> Vec<String> {
            let entries = dialog.entries.clone().unwrap();
            entries.into_iter().map(|entry| entry.name).collect()
        };
        assert_eq!(names(&dialog), ["a.tangwright"]);
        assert_eq!(dialog.take(), None);
        assert!(dialog.trouble.as_deref().unwrap().contains("folder"));
        dialog.go_to(&file);
        assert_eq!(dialog.take(), Some(file));
        // A folder for files to be written into must be there.
        let wish = crate::window::action::ExportWish::All;
        let mut dialog = PathDialog::new(Purpose::Export(wish), &home.path().join("none"));
        assert_eq!(dialog.take(), None);
        dialog.go_to(home.path());
        assert_eq!(dialog.take(), Some(home.path().to_owned()));
    }
}
