//! What a load does to the knife on the drawing: worked out on a thread of its own, for it takes longer than a frame.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use super::beside::work_beside;
use crate::knife::{Id, Knife, KnifeSet, Material};
use crate::strength::{NoStrength, Strength, StrengthOptions, strength};

/// What was asked.
#[derive(Debug)]
struct Question {
    knife: Arc<Knife>,
    materials: Vec<Material>,
    options: StrengthOptions,
}

impl Question {
    fn is(&self, knife: &Arc<Knife>, set: &KnifeSet, options: &StrengthOptions) -> bool {
        Arc::ptr_eq(&self.knife, knife)
            && self.materials == set.materials
            && self.options == *options
    }
}

type Answer = Result<Strength, NoStrength>;

/// The question under way, and the last answer.
#[derive(Debug, Default)]
pub(super) struct StrengthShelf {
    run: Option<(Question, Receiver<Answer>)>,
    last: Option<(Question, Answer)>,
}

impl StrengthShelf {
    /// The last answer for a knife as it is, or as it was before its last change.
    pub(super) fn last(&self, knife: Id) -> Option<&Answer> {
        let (question, answer) = self.last.as_ref()?;
        (question.knife.id == knife).then_some(answer)
    }

    /// The answer for this very knife.
    pub(super) fn answer(&self, knife: &Arc<Knife>) -> Option<&Answer> {
        let (question, answer) = self.last.as_ref()?;
        Arc::ptr_eq(&question.knife, knife).then_some(answer)
    }

    /// Whether the last answer is for this very knife and load.
    pub(super) fn knows(&self, knife: &Arc<Knife>, options: &StrengthOptions) -> bool {
        self.last.as_ref().is_some_and(|(question, _)| {
            Arc::ptr_eq(&question.knife, knife) && question.options == *options
        })
    }

    /// Takes over what was worked out, and begins with what is wanted if that is not known; `true` while it works.
    pub(super) fn tend(
        &mut self,
        wanted: Option<(&Arc<Knife>, &KnifeSet, StrengthOptions)>,
        awake: impl Fn() + Send + 'static,
    ) -> bool {
        if let Some((question, answer)) = self.run.take() {
            match answer.try_recv() {
                Ok(answer) => self.last = Some((question, answer)),
                Err(TryRecvError::Empty) => {
                    self.run = Some((question, answer));
                    return true;
                }
                Err(TryRecvError::Disconnected) => {}
            }
        }
        let Some((knife, set, options)) = wanted else {
            return false;
        };
        let known = self.last.as_ref();
        if known.is_some_and(|(question, _)| question.is(knife, set, &options)) {
            return false;
        }
        let (tell, answer) = channel();
        let (own, all) = (Arc::clone(knife), set.clone());
        let work = move || {
            // Nobody waits any more where the window was shut.
            let _ = tell.send(strength(&own, &all, &options));
            awake();
        };
        if work_beside("strength", work).is_ok() {
            let question = Question {
                knife: Arc::clone(knife),
                materials: set.materials.clone(),
                options,
            };
            self.run = Some((question, answer));
        }
        self.run.is_some()
    }
}
