//! What is looked after in every frame: unsaved work, settings, dropped files, other programs' changes, and closing.

use std::path::{Path, PathBuf};

use egui::{Context, ViewportCommand};

use super::flow::{answer, leave};
use super::picker::Outcome;
use super::{After, FileWish, Purpose};
use crate::files::{Change, WindowPlace, changed_since, open_bytes};
use crate::reading::drawing::is_drawing;
use crate::reading::picture::is_picture;
use crate::window::action::Action;
use crate::window::app::Workshop;
use crate::window::bench::{BenchPage, StockKind};
use crate::window::dialogs::{Dialog, DrawingIn, Question};
use crate::window::picture::PictureWish;

/// What the window's title was made from.
#[derive(Debug, PartialEq)]
pub(super) struct Titled {
    path: Option<PathBuf>,
    set: String,
    changed: bool,
}

impl Workshop {
    /// Looks after files. Cheap when nothing happened: no disk, no copies.
    pub(in crate::window) fn tend_files(&mut self, ctx: &Context, frame: &eframe::Frame) {
        self.take_dropped(ctx);
        self.hear_picker(ctx, frame);
        self.tend_place(ctx);
        self.watch_file(ctx);
        self.keep_settings(ctx);
        self.tend_closing(ctx);
        self.tend_title(ctx);
        if !self.session.dialog.is_open()
            && let Some(question) = self.filing.questions.pop_front()
        {
            self.session.dialog = Dialog::Question(question);
        }
    }

    /// Opens the first file dropped on the window.
    fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input(|i| {
            let first = i.raw.dropped_files.first();
            first.map(|file| file.path().to_owned())
        });
        let Some(path) = dropped else { return };
        if is_drawing(&path) {
            self.look_at_drawing(&path);
        } else if is_picture(&path) {
            self.act(Action::Picture(PictureWish::Lay(path)));
        } else {
            self.ask_before(After::Open(path));
        }
    }

    /// Reads a drawing made elsewhere and shows what it is; nothing changes until the maker says so.
    pub(super) fn look_at_drawing(&mut self, path: &Path) {
        match open_bytes(path) {
            Ok(bytes) => {
                let name = path
                    .file_name()
                    .map(|name| name.to_string_lossy().into_owned());
                let name = name.unwrap_or_default();
                let nest = &mut self.session.nest;
                if self.session.page == BenchPage::Nest && nest.kind == StockKind::Odd {
                    // Dropped on the odd piece, it is the odd piece.
                    self.session.message = nest.take_drawing(&name, &bytes).err();
                    return;
                }
                let own = DrawingIn::new(name, bytes);
                self.session.dialog = Dialog::DrawingIn(Box::new(own));
            }
            Err(error) => self.session.message = Some(error.to_string()),
        }
    }

    fn hear_picker(&mut self, ctx: &Context, frame: &eframe::Frame) {
        let Some(outcome) = self.filing.picker.turn(ctx, frame) else {
            return;
        };
        if matches!(self.session.dialog, Dialog::Waiting(_)) {
            self.session.dialog = Dialog::None;
        }
        match outcome {
            Outcome::Chosen(purpose, path) => self.file(FileWish::Picked(purpose, path)),
            Outcome::Canceled => {}
            Outcome::None(purpose) => self.type_path(purpose),
        }
    }

    /// When the window comes to the front, looks whether another program has changed the file meanwhile.
    fn watch_file(&mut self, ctx: &Context) {
        let focused = ctx.input(|i| i.focused);
        let came = focused && !self.filing.in_front;
        self.filing.in_front = focused;
        if !came || self.filing.told {
            return;
        }
        let (Some(path), Some(stamp)) = (&self.filing.path, &self.filing.stamp) else {
            return;
        };
        let change = changed_since(path, stamp);
        let place = path.display().to_string();
        let name = self.filing.name(self.history.set());
        let question = match change {
            Change::None => return,
            Change::Vanished => Question {
                heading: format!("{name} is gone"),
                lines: vec![
                    format!("{place} was moved, renamed or deleted by another program."),
                    "The set is still here on the bench.".to_owned(),
                ],
                answers: vec![
                    answer("Save it again", FileWish::SaveOver(None)),
                    answer("Save as…", FileWish::SaveAs(None)),
                    answer("Go on", FileWish::KeepMine),
                ],
            },
            Change::Changed => {
                let load = answer("Open what is there", FileWish::Reload);
                let keep = answer("Keep mine", FileWish::KeepMine);
                let (lines, answers) = if self.filing.changed() {
                    let line = "Opening what is there loses your unsaved changes; keeping yours leaves the file alone until you save.";
                    (line, vec![keep.clone(), load, leave("Decide later")])
                } else {
                    let line = "You have no unsaved changes.";
                    (line, vec![load, keep])
                };
                Question {
                    heading: format!("{name} was changed by another program"),
                    lines: vec![place, lines.to_owned()],
                    answers,
                }
            }
        };
        self.filing.told = true;
        self.filing.question(question);
    }

    /// Gives the keeper what changed since it was last asked, and says when it can't keep it.
    pub(in crate::window) fn keep_work(&mut self) {
        let Some(keeper) = &self.filing.keeper else {
            return;
        };
        let revision = self.history.revision();
        if self.filing.kept != revision {
            self.filing.kept = revision;
            if self.filing.compared.1 {
                keeper.keep(self.history.set().clone(), self.filing.path.clone());
            } else {
                keeper.clear();
            }
        }
        let trouble = keeper.problem();
        if trouble != self.filing.trouble {
            if trouble.is_some() {
                self.session.message.clone_from(&trouble);
            }
            self.filing.trouble = trouble;
        }
    }

    /// Remembers where the window stands; written when it goes to the back.
    fn tend_place(&mut self, ctx: &Context) {
        let zoom = ctx.zoom_factor();
        let focused = ctx.input(|i| i.focused);
        let place = ctx.input(|i| {
            let own = i.viewport();
            let inside = own.inner_rect? * zoom;
            let corner = own.outer_rect.map(|outer| outer.min * zoom);
            Some(WindowPlace {
                at: corner.map(|corner| (corner.x, corner.y)),
                size: (inside.width(), inside.height()),
                full: own.maximized == Some(true) || own.fullscreen == Some(true),
            })
        });
        // A window that fills the screen goes back to where it stood before.
        let place = place.map(|place| match self.filing.settings().window {
            Some(old) if place.full => WindowPlace { full: true, ..old },
            _ => place,
        });
        if let Some(place) = place.filter(WindowPlace::is_sound) {
            self.filing.shelf.stand(place);
        }
        if self.filing.in_front && !focused {
            self.filing.shelf.keep_place();
        }
    }

    /// Keeps the settings when something was chosen, not while something is dragged.
    fn keep_settings(&mut self, ctx: &Context) {
        if ctx.input(|i| i.pointer.any_down()) {
            return;
        }
        self.filing.shelf.take(&self.session.preferences);
        if let Some(trouble) = self.filing.shelf.keep() {
            self.session.message = Some(trouble);
        }
    }

    /// Names the window after the set's file.
    fn tend_title(&mut self, ctx: &Context) {
        let set = self.history.set();
        let filing = &self.filing;
        let known = filing.titled.as_ref().is_some_and(|titled| {
            (titled.path.as_deref(), titled.changed) == (filing.path(), filing.changed())
                && titled.set == set.name
        });
        if known {
            return;
        }
        let mark = if filing.changed() { " (changed)" } else { "" };
        let title = format!("{}{mark} · Tangwright", filing.name(set));
        let titled = Titled {
            path: filing.path.clone(),
            set: set.name.clone(),
            changed: filing.changed(),
        };
        ctx.send_viewport_cmd(ViewportCommand::Title(title));
        self.filing.titled = Some(titled);
    }

    /// Asks before the window closes with unsaved changes.
    fn tend_closing(&mut self, ctx: &Context) {
        let asked = ctx.input(|i| i.viewport().close_requested());
        if asked && !self.filing.closing {
            self.ask_before(After::Close);
            // Nothing to lose: the window goes by itself.
            self.filing.close_sent = self.filing.closing;
            if !self.filing.closing {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            }
        } else if self.filing.closing && !self.filing.close_sent {
            self.filing.close_sent = true;
            ctx.send_viewport_cmd(ViewportCommand::Close);
        }
    }

    /// Ends the session: nothing is left to be offered at the next start, unless the window goes without having asked.
    pub fn end_session(&mut self) {
        self.filing.shelf.keep_place();
        // On the way out there is nobody left to tell.
        let _ = self.filing.shelf.keep();
        self.filing.compare(&self.history);
        let wanted_gone = self.filing.closing || !self.filing.changed();
        if let Some(keeper) = self.filing.keeper.take()
            && wanted_gone
        {
            keeper.finish();
        }
    }

    /// Opens the work a crash left, and keeps it as this window's own before the old copy is thrown away.
    pub(super) fn recover(&mut self, slot: u32) {
        let place = self.filing.found.iter().position(|f| f.slot == slot);
        let Some(found) = place.map(|place| self.filing.found.remove(place)) else {
            return;
        };
        let Ok(set) = found.set else {
            return;
        };
        self.put(set.clone(), None);
        // Not as any file has it, unless the file turns out to be the same.
        self.filing.saved = None;
        if let Some(path) = found.design {
            if let Ok((saved, stamp)) = crate::files::open_design(&path) {
                self.filing.saved = Some(saved);
                self.filing.stamp = Some(stamp);
            }
            self.filing.path = Some(path);
        }
        self.filing.compare_now(&self.history);
        if let Some(keeper) = &self.filing.keeper {
            if self.filing.compared.1 {
                keeper.keep(set, self.filing.path.clone());
            }
            keeper.discard(slot);
        }
        self.session.message = Some("This is the work from before: save it to keep it".into());
        self.offer_found();
    }

    pub(super) fn discard(&mut self, slot: u32) {
        self.filing.found.retain(|found| found.slot != slot);
        if let Some(keeper) = &self.filing.keeper {
            keeper.discard(slot);
        }
        self.offer_found();
    }

    /// Asks about the newest work that a crash left.
    pub(super) fn offer_found(&mut self) {
        let Some(found) = self.filing.found.last() else {
            return;
        };
        let of = match &found.design {
            Some(path) => path.display().to_string(),
            None => "a set that was never saved".to_owned(),
        };
        let slot = found.slot;
        let throw = answer("Throw it away", FileWish::Discard(slot));
        let question = match &found.set {
            Ok(set) => {
                let names: Vec<&str> = set.knives.iter().map(|k| k.name.as_str()).collect();
                Question {
                    heading: "Unsaved work was found".to_owned(),
                    lines: vec![
                        "Tangwright ended without saving this:".to_owned(),
                        format!("{of}, with {}", named(&names)),
                        "Opening it leaves the saved file as it is until you save.".to_owned(),
                    ],
                    answers: vec![
                        answer("Open it", FileWish::Recover(slot)),
                        throw,
                        leave("Ask again next time"),
                    ],
                }
            }
            Err(error) => Question {
                heading: "Unsaved work was found, but it can't be read".to_owned(),
                lines: vec![of, error.to_string()],
                answers: vec![leave("Keep it for now"), throw, leave("Later")],
            },
        };
        self.filing.question(question);
    }
}

/// What design files end with.
pub(super) const ENDING: &str = "tangwright";

/// A few names, and how many more there are.
fn named(names: &[&str]) -> String {
    match names {
        [] => "no knives".to_owned(),
        [a] => (*a).to_owned(),
        [a, b] => format!("{a} and {b}"),
        [a, b, rest @ ..] => format!("{a}, {b} and {} more", rest.len()),
    }
}

impl Purpose {
    /// What the maker is doing, as a heading.
    pub(in crate::window) fn heading(&self) -> &'static str {
        match self {
            Self::Open => "Open a design",
            Self::Save(_) => "Save the set",
            Self::Export(_) => "Choose a folder for the files",
            Self::Picture => "Choose a picture of a knife",
        }
    }

    /// Whether a file is one to choose.
    pub(in crate::window) fn shows(&self, file: &Path) -> bool {
        match self {
            Self::Open => is_design(file) || is_drawing(file),
            Self::Save(_) => is_design(file),
            Self::Export(_) => false,
            Self::Picture => is_picture(file),
        }
    }
}

fn is_design(file: &Path) -> bool {
    file.extension().is_some_and(|e| e == ENDING)
}
