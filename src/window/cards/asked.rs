//! An answer beyond a knife's results, kept until the knife or a material changes.

use std::sync::Arc;

use crate::knife::{Knife, KnifeSet, Material};

/// An answer, and the very knife and materials it was worked out for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked<T> {
    knife: Arc<Knife>,
    materials: Vec<Material>,
    answer: T,
}

impl<T> Asked<T> {
    pub(super) fn new(knife: &Arc<Knife>, set: &KnifeSet, answer: T) -> Self {
        Self {
            knife: Arc::clone(knife),
            materials: set.materials.clone(),
            answer,
        }
    }

    /// Whether it still holds.
    pub(super) fn holds(&self, knife: &Arc<Knife>, set: &KnifeSet) -> bool {
        Arc::ptr_eq(&self.knife, knife) && self.materials == set.materials
    }

    /// The answer, if it is for this very knife.
    pub(super) fn of(&self, knife: &Arc<Knife>) -> Option<&T> {
        Arc::ptr_eq(&self.knife, knife).then_some(&self.answer)
    }
}
