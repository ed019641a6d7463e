//! The hole planner at work: on a thread of its own, for the knife as it was when it was asked; an answer for another knife is dropped.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use crate::edit::{Change, Edit};
use crate::knife::{Filling, Id, Knife, KnifeSet, Purpose};
use crate::planning::{NoPlan, Plan, PlanRules, Planning, Wanted, plan};

use super::beside::work_beside;

/// What the planner has been asked, does and has found.
#[derive(Debug, Default)]
pub(super) struct Planner {
    run: Option<Run>,
    answer: Option<Answer>,
}

/// Planning under way.
#[derive(Debug)]
struct Run {
    stop: Arc<AtomicBool>,
    answer: Receiver<Result<Planning, NoPlan>>,
    of: Arc<Knife>,
}

/// An answer, and the knife it is for.
#[derive(Debug)]
struct Answer {
    of: Arc<Knife>,
    planning: Result<Planning, NoPlan>,
}

impl Planner {
    /// Begins to plan for a knife, and drops what was planned before.
    pub(super) fn start(
        &mut self,
        knife: &Arc<Knife>,
        set: &KnifeSet,
        wanted: Wanted,
        rules: PlanRules,
        awake: impl Fn() + Send + 'static,
    ) {
        self.drop_all();
        let stop = Arc::new(AtomicBool::new(false));
        let (sender, answer) = channel();
        let (own, of, set, stopped) = (
            Arc::clone(knife),
            Arc::clone(knife),
            set.clone(),
            Arc::clone(&stop),
        );
        let work = move || {
            let keep_going = || !stopped.load(Ordering::Relaxed);
            let planning = plan(&own, &set, wanted, &rules, &keep_going);
            // Nobody waits any more when it was dropped.
            let _ = sender.send(planning);
            awake();
        };
        if work_beside("hole planner", work).is_ok() {
            self.run = Some(Run { stop, answer, of });
        }
    }

    /// Takes an answer that has come; `true` while one is waited for.
    pub(super) fn tend(&mut self) -> bool {
        let Some(run) = &self.run else { return false };
        match run.answer.try_recv() {
            Ok(planning) => {
                let of = Arc::clone(&run.of);
                self.run = None;
                self.answer = Some(Answer { of, planning });
                false
            }
            Err(TryRecvError::Empty) => true,
            Err(TryRecvError::Disconnected) => {
                self.run = None;
                false
            }
        }
    }

    /// Stops what is under way and forgets what was found.
    pub(super) fn drop_all(&mut self) {
        if let Some(run) = self.run.take() {
            run.stop.store(true, Ordering::Relaxed);
        }
        self.answer = None;
    }

    /// Whether it is at work.
    #[must_use]
    pub(super) fn works(&self) -> bool {
        self.run.is_some()
    }

    /// The answer for this very knife, if there is one.
    #[must_use]
    pub(super) fn answer(&self, knife: &Arc<Knife>) -> Option<&Result<Planning, NoPlan>> {
        let answer = self.answer.as_ref()?;
        Arc::ptr_eq(&answer.of, knife).then_some(&answer.planning)
    }
}

impl Drop for Planner {
    fn drop(&mut self) {
        self.drop_all();
    }
}

/// The edits that carry a plan out.
pub(super) fn edits_of(knife: Id, plan: &Plan) -> Vec<Edit> {
    let cuts = plan.cuts.iter().map(|cut| Change::AddCutOut {
        shape: cut.shape.clone(),
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
    let taper = plan.taper.iter().map(|taper| Change::SetTaper {
        taper: Some(taper.clone()),
    });
    cuts.chain(taper)
        .map(|change| Edit::knife(knife, change))
        .collect()
}
