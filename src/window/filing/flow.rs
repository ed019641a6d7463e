//! What is done with files: opening, saving, exporting, and asking before anything is lost.

use std::path::{Path, PathBuf};

use super::picker::Beginning;
use super::tend::ENDING;
use super::{After, FileWish, Filing, Purpose};
use crate::edit::History;
use crate::files::{OpenError, Over, SaveError, Stamp, open_design, save_design};
use crate::knife::KnifeSet;
use crate::reading::drawing::is_drawing;
use crate::reading::picture::is_picture;
use crate::sheet::slug;
use crate::window::action::Action;
use crate::window::app::Workshop;
use crate::window::cards::sentence;
use crate::window::dialogs::{Answer, Dialog, PathDialog, Question};
use crate::window::picture::PictureWish;
use crate::window::session::Session;

/// An answer that leads to a wish.
pub(super) fn answer(label: &'static str, wish: FileWish) -> Answer {
    Answer {
        label,
        action: Some(Action::File(wish)),
    }
}

/// An answer that leaves all as it is.
pub(super) fn leave(label: &'static str) -> Answer {
    Answer {
        label,
        action: None,
    }
}

/// A complaint, line by line; each ends as a sentence does, and the first begins as one.
fn lines_of(text: impl ToString) -> Vec<String> {
    let told = text.to_string();
    let lines: Vec<&str> = told.lines().collect();
    sentence(&lines.join(".\n"))
        .lines()
        .map(str::to_owned)
        .collect()
}

impl Workshop {
    /// Carries out a wish that concerns files.
    pub(in crate::window) fn file(&mut self, wish: FileWish) {
        match wish {
            FileWish::Ask(after) => self.ask_before(after),
            FileWish::SaveThen(after) => self.save(Some(after)),
            FileWish::Drop(after) => self.go_on(after),
            FileWish::Save => self.save(None),
            FileWish::SaveAs(after) => self.pick(Purpose::Save(after)),
            FileWish::SaveByPath => self.type_path(Purpose::Save(None)),
            FileWish::SaveOver(after) => {
                if let Some(path) = self.filing.path.clone() {
                    self.write(&path, Anyhow::Yes, after);
                }
            }
            FileWish::Picked(purpose, path) => self.picked(purpose, path),
            FileWish::Replace(path, after) => self.write(&path, Anyhow::Yes, after),
            FileWish::ReplaceExports(wish, folder) => self.export_into(wish, &folder, true),
            FileWish::TypePath(purpose) => {
                self.filing.picker.give_up();
                self.type_path(purpose);
            }
            FileWish::GiveUpPicking => self.filing.picker.give_up(),
            FileWish::OpenBackup(path) => self.open_backup(&path),
            FileWish::Reload => {
                if let Some(path) = self.filing.path.clone() {
                    self.open(&path);
                }
            }
            FileWish::KeepMine => {
                self.filing.saved = None;
                self.filing.compare_now(&self.history);
            }
            FileWish::Recover(slot) => self.recover(slot),
            FileWish::Discard(slot) => self.discard(slot),
        }
    }

    /// Goes on at once when nothing would be lost, else asks first.
    pub(super) fn ask_before(&mut self, after: After) {
        // A drag under way counts as done.
        self.act(Action::End);
        self.filing.compare(&self.history);
        if !self.filing.changed() {
            self.go_on(after);
            return;
        }
        let name = self.filing.name(self.history.set());
        let drop = if after == After::Close {
            "Close without saving"
        } else {
            "Go on without saving"
        };
        let question = Question {
            heading: format!("Save the changes to {name}?"),
            lines: vec!["What is not saved is lost.".to_owned()],
            answers: vec![
                answer("Save", FileWish::SaveThen(after.clone())),
                answer(drop, FileWish::Drop(after)),
                leave("Stay"),
            ],
        };
        // This one can't wait for another dialog to close: the maker may be on the way out.
        self.session.dialog = Dialog::Question(question);
    }

    fn go_on(&mut self, after: After) {
        match after {
            After::NewSet => {
                let name = "New set".to_owned();
                let set = KnifeSet {
                    name,
                    ..KnifeSet::default()
                };
                self.put(set, None);
                // The empty rack says how to go on.
                self.session.message = None;
            }
            After::AskAndOpen => self.pick(Purpose::Open),
            After::AskPathAndOpen => self.type_path(Purpose::Open),
            After::Open(path) => self.open(&path),
            After::Close => self.filing.closing = true,
        }
    }

    /// Opens a file; if it is no good, the set on the bench stays as it is.
    pub(super) fn open(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        if is_drawing(&path) {
            // Not opened in place of the set, but offered to its rack.
            self.look_at_drawing(&path);
            return;
        }
        if is_picture(&path) {
            // Nor is a picture: it goes under the drawing, as one that is dropped.
            self.act(Action::Picture(PictureWish::Lay(path)));
            return;
        }
        match open_design(&path) {
            Ok((set, stamp)) => {
                self.put(set, Some((path.clone(), stamp)));
                self.filing.shelf.remember(&path);
            }
            Err(error) => {
                if matches!(error, OpenError::NotFound { .. }) {
                    self.filing.shelf.forget(&path);
                }
                let mut question = Question::message("This file was not opened", lines_of(&error));
                if let OpenError::Bad {
                    backup: Some(_), ..
                } = error
                {
                    let wish = FileWish::OpenBackup(path);
                    question
                        .answers
                        .insert(0, answer("Open its last good state", wish));
                }
                self.filing.question(question);
            }
        }
    }

    /// Opens the last good state of a damaged file as a set without a file, so that saving asks where.
    fn open_backup(&mut self, path: &Path) {
        match open_design(&crate::files::backup_path(path)) {
            Ok((set, _)) => {
                self.put(set, None);
                self.filing.saved = None;
                self.filing.compare_now(&self.history);
                self.session.message = Some(format!(
                    "This is the last good state of {}: save it where you want to keep it",
                    path.display()
                ));
            }
            Err(error) => {
                let question = Question::message("This file was not opened", lines_of(&error));
                self.filing.question(question);
            }
        }
    }

    /// Puts another set on the bench, with its file if it has one.
    pub(super) fn put(&mut self, set: KnifeSet, file: Option<(PathBuf, Stamp)>) {
        let (path, stamp) = file.unzip();
        self.filing.saved = Some(set.clone());
        self.filing.path = path;
        self.filing.stamp = stamp;
        self.filing.told = false;
        self.history = History::new(set);
        self.filing.compare_now(&self.history);
        self.filing.kept = self.history.revision();
        if let Some(keeper) = &self.filing.keeper {
            keeper.clear();
        }
        self.kept.nest.drop_all();
        self.kept.tracer.drop_all();
        let old = std::mem::take(&mut self.session);
        self.session = Session {
            knife: self.history.set().knives.first().map(|knife| knife.id),
            tool: old.tool,
            drill: old.drill,
            preferences: old.preferences,
            canvas: old.canvas,
            menu_bar: old.menu_bar,
            dialog: old.dialog,
            dialog_focus: old.dialog_focus,
            ..Session::default()
        };
    }

    /// Saves to the set's own file, or asks for one.
    fn save(&mut self, after: Option<After>) {
        match self.filing.path.clone() {
            Some(path) => self.write(&path, Anyhow::No, after),
            None => self.pick(Purpose::Save(after)),
        }
    }

    /// Saves to a file. What stands there is only written over if it is the set's own file as we know it, or if the maker said so.
    fn write(&mut self, path: &Path, anyhow: Anyhow, after: Option<After>) {
        self.act(Action::End);
        let known = self.filing.stamp.clone();
        let own = self.filing.path.as_deref() == Some(path);
        let over = match (&known, anyhow) {
            (Some(stamp), Anyhow::No) if own => Over::Known(stamp),
            (_, Anyhow::No) if path.exists() => {
                self.ask_to_replace(path, after);
                return;
            }
            _ => Over::Anything,
        };
        match save_design(path, self.history.set(), over) {
            Ok(stamp) => {
                let filing = &mut self.filing;
                filing.path = Some(path.to_owned());
                filing.stamp = Some(stamp);
                filing.saved = Some(self.history.set().clone());
                filing.told = false;
                filing.compare_now(&self.history);
                filing.kept = self.history.revision();
                if let Some(keeper) = &filing.keeper {
                    keeper.clear();
                }
                filing.shelf.remember(path);
                self.session.message = Some(format!("Saved to {}", path.display()));
                if let Some(after) = after {
                    self.go_on(after);
                }
            }
            Err(error) => self.not_saved(&error, after),
        }
    }

    fn ask_to_replace(&mut self, path: &Path, after: Option<After>) {
        let name = path.file_name().unwrap_or(path.as_os_str());
        self.filing.question(Question {
            heading: format!("Replace {}?", name.to_string_lossy()),
            lines: vec![format!("{} is there already.", path.display())],
            answers: vec![
                answer("Replace", FileWish::Replace(path.to_owned(), after.clone())),
                answer("Another name…", FileWish::SaveAs(after)),
                leave("Stay"),
            ],
        });
    }

    fn not_saved(&mut self, error: &SaveError, after: Option<After>) {
        let mut answers = vec![
            answer("Save as…", FileWish::SaveAs(after.clone())),
            leave("Stay"),
        ];
        if matches!(error, SaveError::Changed { .. }) {
            answers.insert(1, answer("Save over it", FileWish::SaveOver(after)));
        }
        self.filing.question(Question {
            heading: "The set is not saved".to_owned(),
            lines: lines_of(error),
            answers,
        });
    }

    /// Asks for a path: with the desktop's dialog, or with our own where there is none.
    pub(in crate::window) fn pick(&mut self, purpose: Purpose) {
        if !self.filing.picker.native {
            self.type_path(purpose);
            return;
        }
        let beginning = Beginning {
            folder: self.filing.folder_for(&purpose),
            file_name: self.filing.file_name(self.history.set()),
        };
        self.session.dialog = Dialog::Waiting(purpose.clone());
        self.filing.picker.want(purpose, beginning);
    }

    pub(super) fn type_path(&mut self, purpose: Purpose) {
        let folder = self.filing.folder_for(&purpose);
        let folder = folder.unwrap_or_else(|| super::spelled_out("~"));
        let name = match purpose {
            Purpose::Save(_) => self.filing.file_name(self.history.set()),
            Purpose::Open | Purpose::Export(_) | Purpose::Picture => String::new(),
        };
        self.session.dialog = Dialog::Path(PathDialog::new(purpose, &folder.join(name)));
    }

    fn picked(&mut self, purpose: Purpose, path: PathBuf) {
        match purpose {
            Purpose::Open => self.open(&path),
            Purpose::Save(after) => {
                let bare = path.extension().is_none();
                let path = if bare {
                    path.with_extension(ENDING)
                } else {
                    path
                };
                self.write(&path, Anyhow::No, after);
            }
            Purpose::Export(wish) => self.export_into(wish, &path, false),
            Purpose::Picture => self.act(Action::Picture(PictureWish::Lay(path))),
        }
    }
}

/// Whether a file is written over whatever it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Anyhow {
    Yes,
    No,
}

impl Filing {
    /// The folder a dialog begins in.
    fn folder_for(&self, purpose: &Purpose) -> Option<PathBuf> {
        let of = |path: &Path| path.parent().map(Path::to_owned);
        let own = || self.path.as_deref().and_then(of);
        let last = || self.recent().first().map(PathBuf::as_path).and_then(of);
        match purpose {
            Purpose::Export(_) => self.export_folder.clone().or_else(own).or_else(last),
            Purpose::Open | Purpose::Save(_) | Purpose::Picture => own().or_else(last),
        }
    }

    /// The file name that is offered for the set.
    fn file_name(&self, set: &KnifeSet) -> String {
        let own = self.path.as_ref().and_then(|path| path.file_name());
        match own {
            Some(name) => name.to_string_lossy().into_owned(),
            None => format!("{}.{ENDING}", slug(&set.name)),
        }
    }
}
