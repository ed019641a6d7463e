//! What works on threads of its own: begun when it was asked for, and its answers taken over, once a frame.

use super::app::Workshop;
use super::bench::NestWish;
use crate::checks::{Finding, Severity};
use crate::planning::{PlanRules, drills_named};
use crate::units::Length;

/// What can work beside the window, on threads of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Beside {
    /// The hole planner.
    Planner,
    /// The search for a nest.
    Nester,
    /// The search for an outline in a picture.
    Tracer,
}

impl Workshop {
    /// Whether something worked beside the window when the last frame began: it was asked for, and its last answer was not taken over yet.
    #[must_use]
    pub fn is_at_work(&self, beside: Beside) -> bool {
        match beside {
            Beside::Planner => self.kept.planner.works(),
            Beside::Nester => self.kept.nest.works(),
            Beside::Tracer => self.kept.tracer.progress().is_some(),
        }
    }

    /// Starts planning for a wish, and looks for an answer.
    pub(super) fn tend_planner(&mut self, ctx: &egui::Context) {
        if let Some(wanted) = self.wish.take()
            && let Some(results) = self.session.knife.and_then(|id| self.results.of(id))
        {
            let awake = {
                let ctx = ctx.clone();
                move || ctx.request_repaint()
            };
            let (knife, set) = (&results.knife, self.history.set());
            let figures = self.results.thresholds();
            let (session, own) = (&self.session, &self.session.plan);
            // A drill no list knows is passed over; the field says so where it is typed.
            let at_hand = session.preferences.drills.iter();
            let owned =
                at_hand.flat_map(|label| drills_named([label.as_str()]).unwrap_or_default());
            let rules = PlanRules {
                web_diameters: figures.web_diameters,
                web_thicknesses: figures.web_thicknesses,
                owned: owned.collect(),
                symmetric: own.even,
                front_mm: own.region_of(knife.id).map(|(front, _)| front),
                rear_mm: own.region_of(knife.id).map(|(_, rear)| rear),
                ..PlanRules::default()
            };
            self.kept.planner.start(knife, set, wanted, rules, awake);
        }
        if self.kept.planner.tend() {
            ctx.request_repaint_after(std::time::Duration::from_millis(30));
        }
    }

    /// Has worked out what a load does to the knife on the drawing, while the maker looks at that; a gesture is waited out.
    pub(super) fn tend_strength(&mut self, ctx: &egui::Context) {
        let wish = self.session.bearing.take_wish();
        let wish = wish.filter(|_| self.session.baseline.is_none());
        let set = self.history.set();
        let results = self.session.knife.and_then(|id| self.results.of(id));
        let wanted = results
            .zip(wish)
            .map(|(results, options)| (&results.knife, set, options));
        let awake = {
            let ctx = ctx.clone();
            move || ctx.request_repaint()
        };
        if self.kept.strength.tend(wanted, awake) {
            ctx.request_repaint_after(std::time::Duration::from_millis(30));
        }
    }

    /// Begins to nest when that was asked for, and takes over what was found.
    pub(super) fn tend_nester(&mut self, ctx: &egui::Context) {
        if std::mem::take(&mut self.nest_wanted) {
            match self.nest_wish() {
                Ok(wish) => {
                    let ctx = ctx.clone();
                    let awake = move || ctx.request_repaint();
                    self.kept.nest.start(wish, self.history.set(), awake);
                }
                Err(trouble) => self.kept.nest.refuse(trouble),
            }
        }
        if self.kept.nest.tend() {
            ctx.request_repaint_after(std::time::Duration::from_millis(50));
        }
    }

    /// What is to be nested, unless something stops it.
    fn nest_wish(&self) -> Result<NestWish, String> {
        let session = &self.session;
        let left = self.left_for_bench().whole();
        let wish = session
            .nest
            .wish(self.history.set(), &session.preferences, left)?;
        for (knife, _) in &wish.counts {
            let findings = self.results.of(knife.id).map(|r| &r.weighed.findings);
            let stops = |f: &&Finding| f.severity == Severity::Stop;
            if let Some(stop) = findings.into_iter().flatten().find(stops) {
                let lengths = session.preferences.lengths();
                let print = |mm: f64| lengths.print(Length::mm(mm));
                return Err(format!("{}: {}", knife.name, stop.text(&print)));
            }
        }
        Ok(wish)
    }
}
