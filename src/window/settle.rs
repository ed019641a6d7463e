//! Bringing everything up to date before a frame is drawn: results, what is kept beside them, and what the session points at.

use super::app::Workshop;
use super::bench::BenchPage;
use super::findings_bar::keep_finding;
use super::next::Next;
use super::{cards, drawing};

/// Until the maker says where, the section is taken at this share of the blade.
const USUAL_SECTION_SHARE: f64 = 0.4;

impl Workshop {
    /// Finds the next step of a first knife. Printed, the walk is over.
    fn point_on(&mut self) {
        let next = Next::of(&self.shown(), &self.session);
        let printed = self.session.printed && self.session.next == Some(Next::Template);
        if printed && next.is_none() {
            self.session.preferences.next_step = false;
        }
        self.session.next = next;
    }

    /// Works out what the maker asked of the knife beyond its results; a gesture is waited out, for it may ask much.
    fn look_anew(&mut self) {
        let results = self.session.knife.and_then(|id| self.results.of(id));
        if let (Some(results), None) = (results, self.session.baseline) {
            let set = self.history.set();
            cards::look_anew(&mut self.session, &results.knife, set);
            drawing::look_anew(&mut self.session, &results.knife);
        }
    }

    /// Keeps pointing at the same finding, and looks for its mend. A drag is waited out without one: the mend is tried on a copy, which takes a weigh-up and
    /// all checks, and one of the knife as it was would be told of another.
    fn look_for_mend(&mut self) {
        let results = self.session.knife.and_then(|id| self.results.of(id));
        let findings = results.map_or(&[][..], |results| results.weighed.findings.as_slice());
        keep_finding(&mut self.session, findings);
        let resting = self.session.baseline.is_none();
        let pointed = self.session.knife.zip(self.session.finding);
        self.kept.finding.refresh(
            self.history.set(),
            &self.results,
            pointed.filter(|_| resting),
        );
    }

    pub(super) fn refresh_section(&mut self) {
        let results = self
            .session
            .knife
            .filter(|_| self.session.preferences.section)
            .and_then(|id| self.results.of(id));
        let usual = results.map_or(0.0, |r| USUAL_SECTION_SHARE * r.steel.bounds().x1);
        // A place that lies off this knife was meant for another one.
        let on_it = |x: &f64| {
            results.is_some_and(|r| (r.steel.bounds().x0..=r.steel.bounds().x1).contains(x))
        };
        let x_mm = self.session.section.x_mm.filter(on_it).unwrap_or(usual);
        let behind = self.session.preferences.behind_edge_mm;
        self.kept.section.refresh(results, x_mm, behind);
    }

    /// Carries out what was asked, then brings results and picks up to date.
    pub(super) fn settle(&mut self) {
        for action in std::mem::take(&mut self.actions) {
            self.act(action);
        }
        let preferences = &self.session.preferences;
        self.results
            .go_by(&preferences.figures, preferences.services.chosen());
        // Each frame of a drag makes another knife of it; at its end all is weighed as it is told.
        if self.history.in_gesture() && self.session.gesture.drags() {
            self.results.refresh_roughly(self.history.set());
        } else {
            self.results.refresh(self.history.set());
        }
        self.filing.compare(&self.history);
        let set = self.history.set();
        let here = self.session.knife.and_then(|id| set.knife(id));
        if here.is_none() {
            self.session.knife = set.knives.first().map(|k| k.id);
            self.session.picked.clear();
        }
        if let Some(knife) = self.session.knife.and_then(|id| set.knife(id)) {
            self.session
                .picked
                .retain(|thing| crate::edit::thing_point(knife, *thing).is_some());
        }
        let looked_at = self.session.knife.filter(|_| self.session.show_template);
        let lengths = self.session.preferences.lengths();
        self.kept
            .preview
            .refresh(self.history.set(), looked_at, lengths);
        let build = (self.session.page == BenchPage::Build).then(|| self.build_wish());
        self.kept.build.refresh(self.history.set(), build);
        let table = (self.session.page == BenchPage::Set).then(|| self.set_wish());
        self.kept
            .set
            .refresh(self.history.set(), &self.results, table);
        self.refresh_section();
        let ready = self.session.ready;
        let on_card = self.session.knife.filter(|_| ready.open);
        let set = self.history.set();
        self.kept
            .ready
            .refresh(set, on_card, ready.shown, &self.results);
        self.look_anew();
        self.look_for_mend();
        self.point_on();
        let fitted = self
            .session
            .knife
            .and_then(|id| self.session.fitted.get(&id));
        let resized = fitted.is_some_and(|(size, view)| {
            let canvas = self.session.canvas.map(|canvas| canvas.size());
            *view == self.session.view() && canvas.is_some_and(|now| now != *size)
        });
        let unseen = self.session.canvas.is_some()
            && self
                .session
                .knife
                .is_some_and(|id| !self.session.views.contains_key(&id));
        if unseen || resized {
            self.fit();
        }
    }
}
