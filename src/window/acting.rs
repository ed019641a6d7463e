//! What each wish pushed while drawing does.

use std::sync::Arc;

use super::action::Action;
use super::app::Workshop;
use super::bench::BenchPage;
use super::results::KnifeResults;
use super::session::{Baseline, Tool};
use super::tools;
use crate::edit::{Change, Edit, EditError};
use crate::knife::{Knife, Mend};
use crate::weighing::scale_for_mass;

impl Workshop {
    pub(super) fn act(&mut self, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(&edit),
            Action::EditAnew(edit) => {
                let edit = edit.map(|edit| self.on_both_sides(&edit));
                let done = self.history.apply_anew(edit.as_ref());
                self.told(done);
            }
            Action::ScaleToMass(mass_g) => self.scale_to_mass(mass_g),
            Action::Begin(label) => {
                self.history.begin_gesture(&label);
                self.session.baseline = Some(self.present());
            }
            Action::End => {
                self.history.end_gesture();
                self.session.baseline = None;
            }
            Action::Cancel => {
                self.history.cancel_gesture();
                self.session.baseline = None;
            }
            Action::Pick(things) => {
                if !things.is_empty() {
                    self.session.page = BenchPage::Drawing;
                }
                self.session.picked = things;
            }
            Action::ShowPage(page) => {
                self.session.page = page;
                self.leave_gesture();
            }
            Action::ShowKnife(id) => {
                if self.session.knife != Some(id) {
                    self.session.knife = Some(id);
                    self.session.picked.clear();
                    self.leave_gesture();
                }
            }
            Action::Take(tool) => {
                let anew = self.session.tool != tool;
                self.session.picture.wanted |= anew && tool == Tool::Trace;
                // What was said was of the tool laid aside.
                if anew {
                    self.session.message = None;
                }
                self.session.page = BenchPage::Drawing;
                // No tool works on the template.
                self.session.show_template = false;
                self.session.tool = tool;
                self.leave_gesture();
            }
            Action::Undo => {
                self.leave_gesture();
                self.history.undo();
            }
            Action::Redo => {
                self.leave_gesture();
                self.history.redo();
            }
            Action::Fit => self.fit(),
            Action::TrueSize => {
                let px_per_mm = self.session.preferences.true_px_per_mm;
                if let Some(view) = self.session.view_mut() {
                    view.px_per_mm = px_per_mm;
                }
            }
            Action::Export(wish) => self.export(wish),
            Action::Do(command) => self.carry_out(command),
            Action::File(wish) => self.file(wish),
            Action::Say(text) => self.session.message = Some(text),
            Action::Picture(wish) => self.picture(wish),
            Action::Plan(wanted) => self.wish = Some(wanted),
            Action::DropPlans => self.kept.planner.drop_all(),
            Action::StartNest => self.nest_wanted = true,
            Action::StopNest => self.kept.nest.stop(),
        }
    }

    /// Ends what is under way with what it has changed so far: it stays one undo step, and later edits do not join it.
    fn leave_gesture(&mut self) {
        self.session.gesture = tools::Gesture::Idle;
        self.session.baseline = None;
        self.history.end_gesture();
    }

    fn edit(&mut self, edit: &Edit) {
        let before = self.history.set().knives.len();
        let done = self.history.apply(&self.on_both_sides(edit));
        self.told(done);
        // A new knife comes onto the drawing.
        let set = self.history.set();
        if set.knives.len() > before {
            let newest = set.knives.iter().max_by_key(|k| k.id).map(|k| k.id);
            self.session.knife = newest;
            self.session.picked.clear();
        }
    }

    /// The edit as it is done: while both sides of a middle line are kept alike, a change of the outline or of a hole is made across from it too.
    fn on_both_sides(&self, edit: &Edit) -> Edit {
        match (self.session.both, edit) {
            (Some(line), Edit::Knife { knife, change }) if mirrors(change) => {
                let change = Box::new(change.clone());
                Edit::knife(*knife, Change::Both { line, change })
            }
            _ => edit.clone(),
        }
    }

    /// Makes the whole design weigh so much.
    fn scale_to_mass(&mut self, mass_g: f64) {
        let Some(knife) = self.knife_on_drawing() else {
            return;
        };
        let id = knife.id;
        match scale_for_mass(knife, self.history.set(), mass_g) {
            Ok(factor) => self.edit(&Edit::knife(id, Change::Scale { factor })),
            Err(error) => self.refused(error.to_string()),
        }
    }

    /// Says why an edit was not done, beside the field it came from and below the drawing.
    fn told(&mut self, done: Result<(), EditError>) {
        match done {
            Ok(()) => {
                self.session.message = None;
                self.session.fields.accepted();
            }
            Err(error) => self.refused(error.to_string()),
        }
    }

    fn refused(&mut self, reason: String) {
        self.session.fields.refused(&reason);
        self.session.message = Some(reason);
    }

    /// The knife on the drawing.
    pub(super) fn knife_on_drawing(&self) -> Option<&Arc<Knife>> {
        self.history.set().knife(self.session.knife?)
    }

    /// Mass and balance as they stand.
    fn present(&self) -> Baseline {
        let results = self.session.knife.and_then(|id| self.results.of(id));
        let total = results.and_then(|r| r.weighed.up.total);
        Baseline {
            mass_g: total.map(|t| t.mass_g),
            balance_mm: total.map(|t| t.balance_mm),
        }
    }

    pub(super) fn fit(&mut self) {
        let bounds = self
            .session
            .knife
            .and_then(|id| self.results.of(id))
            .map(KnifeResults::bounds);
        let bounds = bounds.map(|own| match self.picture_in_hand() {
            Some(picture) => own.union(picture),
            None => own,
        });
        if let (Some(bounds), Some(canvas)) = (bounds, self.session.canvas)
            && let Some(view) = self.session.view_mut()
        {
            view.fit(canvas, bounds);
            let fitted = (canvas.size(), *view);
            self.session
                .fitted
                .extend(self.session.knife.map(|id| (id, fitted)));
        }
    }
}

/// Whether a change is made on both sides while they are kept alike.
fn mirrors(change: &Change) -> bool {
    matches!(
        change,
        Change::Shift { .. }
            | Change::Place { .. }
            | Change::Remove { .. }
            | Change::AddNode { .. }
            | Change::SetJoint { .. }
            | Change::SetHandle { .. }
            | Change::BendPiece { .. }
            | Change::PullPiece { .. }
            | Change::Straighten { .. }
            | Change::Fair { .. }
            | Change::JoinPieces { .. }
            | Change::SplitPiece { .. }
            | Change::AddCutOut { .. }
            | Change::Mend {
                mend: Mend::RoundCorners { of: None, .. }
            }
    )
}
