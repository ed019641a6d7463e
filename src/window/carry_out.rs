//! What each command does.

use super::action::Action;
use super::app::Workshop;
use super::commands::{Command, TEXT_SIZES, Work, text_size_beside};
use super::dialogs::{Calibrate, Dialog, NewKnife, TruePrinter};
use super::filing::{After, FileWish, Purpose};
use super::session::{Session, Tool};
use super::tools::Gesture;
use crate::edit::{Change, Edit, whole_things};
use crate::knife::{Id, MiddleLine};

/// One step closer or farther.
const LOOK_STEP: f64 = 1.25;

impl Workshop {
    /// Does a command, if it makes sense now.
    pub(super) fn carry_out(&mut self, command: Command) {
        if !command.enabled(&self.shown(), &self.session) {
            return;
        }
        let knife = self.session.knife;
        match command {
            Command::NewSet => self.act(Action::File(FileWish::Ask(After::NewSet))),
            Command::Open => self.act(Action::File(FileWish::Ask(After::AskAndOpen))),
            Command::OpenByPath => self.act(Action::File(FileWish::Ask(After::AskPathAndOpen))),
            Command::Close => self.act(Action::File(FileWish::Ask(After::Close))),
            Command::LayPicture => self.pick(Purpose::Picture),
            Command::Save => self.act(Action::File(FileWish::Save)),
            Command::SaveAs => self.act(Action::File(FileWish::SaveAs(None))),
            Command::SaveByPath => self.act(Action::File(FileWish::SaveByPath)),
            Command::NewKnife => {
                let new = NewKnife::new(
                    self.history.set(),
                    self.session.preferences.lengths(),
                    &self.session.preferences.learned,
                );
                self.session.dialog = Dialog::NewKnife(Box::new(new));
            }
            Command::Export(wish) => self.act(Action::Export(wish)),
            Command::Page(page) => self.act(Action::ShowPage(page)),
            Command::Undo => self.act(Action::Undo),
            Command::Redo => self.act(Action::Redo),
            Command::PickAll => self.pick_all(),
            Command::RemovePicked => self.remove_picked(),
            Command::Work(work) => self.work(work),
            Command::Both(line) => self.keep_alike(line),
            Command::DrawOver => {
                self.act(Action::Take(Tool::Scribe));
                self.session.gesture = Gesture::DrawOver { points: Vec::new() };
            }
            Command::DoubleKnife => self.each(knife, |knife| Edit::DoubleKnife { knife }),
            Command::RemoveKnife => self.each(knife, |knife| Edit::RemoveKnife { knife }),
            Command::KnifeUp => self.move_knife(-1),
            Command::KnifeDown => self.move_knife(1),
            Command::KnifeAbove => self.show_knife(-1),
            Command::KnifeBelow => self.show_knife(1),
            Command::Take(tool) => self.act(Action::Take(tool)),
            Command::Fit => self.act(Action::Fit),
            Command::TrueSize => self.act(Action::TrueSize),
            Command::Closer => self.look(LOOK_STEP),
            Command::Farther => self.look(1.0 / LOOK_STEP),
            _ => self.choose(command),
        }
    }

    /// Commands that only concern the window.
    fn choose(&mut self, command: Command) {
        let Session {
            preferences,
            picture,
            dialog,
            ..
        } = &mut self.session;
        match command {
            Command::Rack => preferences.rack = !preferences.rack,
            Command::Cards => preferences.cards = !preferences.cards,
            Command::Comb => preferences.comb = !preferences.comb,
            Command::FromAbove => preferences.from_above = !preferences.from_above,
            Command::Section => preferences.section = !preferences.section,
            Command::Ground => preferences.ground = !preferences.ground,
            Command::Picture => picture.shown = !picture.shown,
            Command::NextStep => preferences.next_step = !preferences.next_step,
            Command::Snap(snap) => snap.flip(&mut preferences.snaps),
            Command::Theme(theme) => preferences.theme = theme,
            Command::Lengths(unit) => preferences.length_unit = unit,
            Command::Masses(unit) => preferences.mass_unit = unit,
            Command::LargerText | Command::SmallerText => {
                let steps = if command == Command::LargerText {
                    1
                } else {
                    -1
                };
                if let Some(size) = text_size_beside(preferences, steps) {
                    preferences.text_percent = size;
                }
            }
            Command::UsualText => preferences.text_percent = TEXT_SIZES[2],
            Command::Still => preferences.still = !preferences.still,
            Command::Calibrate => {
                *dialog = Dialog::Calibrate(Calibrate::new(preferences.true_px_per_mm));
            }
            Command::Printer => *dialog = Dialog::Printer(TruePrinter::default()),
            Command::Figures => *dialog = Dialog::Figures,
            Command::Keys => *dialog = Dialog::Keys,
            Command::Cautions => *dialog = Dialog::Cautions,
            Command::About => *dialog = Dialog::About,
            // All others were done by the caller.
            _ => {}
        }
    }

    fn each(&mut self, knife: Option<Id>, edit: impl FnOnce(Id) -> Edit) {
        if let Some(id) = knife {
            self.act(Action::Edit(edit(id)));
        }
    }

    fn pick_all(&mut self) {
        if let Some(knife) = self.knife_on_drawing() {
            self.session.picked = whole_things(knife).collect();
        }
    }

    fn remove_picked(&mut self) {
        let things = self.session.picked.clone();
        self.each(self.session.knife, |id| {
            Edit::knife(id, Change::Remove { things })
        });
    }

    /// Keeps both sides of a middle line alike from now on, or no longer, and says what can't follow.
    fn keep_alike(&mut self, line: MiddleLine) {
        if self.session.both == Some(line) {
            self.session.both = None;
            self.session.message = None;
            return;
        }
        self.session.both = Some(line);
        let alone = self.knife_on_drawing().map(|knife| knife.nodes_alone(line));
        self.session.message = match alone {
            Some(Ok(0)) | None => None,
            Some(Ok(n)) => Some(format!(
                "{n} nodes have nothing across from them and move alone: mirror one side to begin with"
            )),
            Some(Err(reason)) => Some(reason.to_string()),
        };
    }

    /// Does some work on what is picked, and says what came of it.
    fn work(&mut self, work: Work) {
        let Some(knife) = self.knife_on_drawing() else {
            return;
        };
        let (id, before) = (knife.id, knife.outline.nodes.len());
        let Some(change) = work.change(knife, &self.session) else {
            return;
        };
        self.act(Action::Edit(Edit::knife(id, change)));
        let knife = self.history.set().knife(id);
        let now = knife.map_or(before, |knife| knife.outline.nodes.len());
        if self.session.message.is_none() && now != before {
            self.session.message = Some(format!("{now} nodes where there were {before}"));
        }
    }

    /// Place of the knife on the drawing, and of the one so many places below it.
    fn neighbor(&self, steps: isize) -> Option<(Id, usize)> {
        let id = self.session.knife?;
        let knives = &self.history.set().knives;
        let place = knives.iter().position(|k| k.id == id)?;
        let other = place.checked_add_signed(steps)?;
        (other < knives.len()).then_some((id, other))
    }

    fn move_knife(&mut self, steps: isize) {
        if let Some((knife, place)) = self.neighbor(steps) {
            self.act(Action::Edit(Edit::MoveKnife { knife, place }));
        }
    }

    fn show_knife(&mut self, steps: isize) {
        let other = self
            .neighbor(steps)
            .and_then(|(_, place)| self.history.set().knives.get(place))
            .map(|knife| knife.id);
        if let Some(id) = other {
            self.act(Action::ShowKnife(id));
        }
    }

    fn look(&mut self, factor: f64) {
        if let Some(canvas) = self.session.canvas
            && let Some(view) = self.session.view_mut()
        {
            view.zoom_at(canvas, canvas.center(), factor);
        }
    }
}
