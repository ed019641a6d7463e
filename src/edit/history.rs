//! Undo and redo without limit: whole-set snapshots, one for each finished gesture.
//!
//! A snapshot shares every knife that did not change, and the materials while they stay, so a step costs about one knife. There are no inverse edits,
//! hence nothing to get wrong.

use std::sync::Arc;

use crate::knife::{Id, Knife, KnifeSet, Material};

use super::{Edit, EditError, apply};

/// Counts states of the set; a new number for every change, also by undo. Results are cached by it.
pub type Revision = u64;

/// A set as it is kept for undo: neighbors share what is the same in both.
#[derive(Clone, Debug)]
struct Kept {
    name: String,
    knives: Vec<Arc<Knife>>,
    materials: Arc<Vec<Material>>,
    next_id: Id,
}

impl Kept {
    fn new(set: KnifeSet, neighbor: Option<&Step>) -> Self {
        let shared = neighbor.map(|step| &step.kept.materials);
        let materials = match shared.filter(|own| ***own == set.materials) {
            Some(own) => Arc::clone(own),
            None => Arc::new(set.materials),
        };
        Self {
            name: set.name,
            knives: set.knives,
            materials,
            next_id: set.next_id,
        }
    }

    fn into_set(self) -> KnifeSet {
        KnifeSet {
            name: self.name,
            knives: self.knives,
            materials: Arc::unwrap_or_clone(self.materials),
            next_id: self.next_id,
        }
    }
}

#[derive(Clone, Debug)]
struct Step {
    label: String,
    kept: Kept,
}

impl Step {
    /// A step on top of others.
    fn push(steps: &mut Vec<Self>, label: String, set: KnifeSet) {
        let kept = Kept::new(set, steps.last());
        steps.push(Self { label, kept });
    }
}

#[derive(Clone, Debug)]
struct Gesture {
    label: String,
    before: KnifeSet,
}

/// The set, its past and its undone future.
#[derive(Clone, Debug)]
pub struct History {
    set: KnifeSet,
    revision: Revision,
    undo: Vec<Step>,
    redo: Vec<Step>,
    gesture: Option<Gesture>,
}

impl History {
    /// Begins with a set and no past.
    #[must_use]
    pub fn new(set: KnifeSet) -> Self {
        Self {
            set,
            revision: 1,
            undo: Vec::new(),
            redo: Vec::new(),
            gesture: None,
        }
    }

    /// The set as it is now.
    #[must_use]
    pub fn set(&self) -> &KnifeSet {
        &self.set
    }

    /// The number of the present state.
    #[must_use]
    pub fn revision(&self) -> Revision {
        self.revision
    }

    /// Applies an edit. Outside a gesture it becomes one undo step; inside, it is part of the gesture's step. An edit that
    /// changes nothing leaves no step.
    ///
    /// # Errors
    /// The edit can't be done or would break a rule; the set is unchanged then.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), EditError> {
        let next = apply(&self.set, edit)?;
        if same(&next, &self.set) {
            return Ok(());
        }
        let before = std::mem::replace(&mut self.set, next);
        self.revision += 1;
        if self.gesture.is_none() {
            Step::push(&mut self.undo, edit.label().to_owned(), before);
            self.redo.clear();
        }
        Ok(())
    }

    /// Applies an edit to the set as it was when the open gesture began, in the place of all the gesture has changed; nothing takes all of that back.
    /// Outside a gesture it is applied as it is.
    ///
    /// # Errors
    /// The edit can't be done or would break a rule; the set stays as the gesture has left it.
    pub fn apply_anew(&mut self, edit: Option<&Edit>) -> Result<(), EditError> {
        let Some(gesture) = &self.gesture else {
            return edit.map_or(Ok(()), |edit| self.apply(edit));
        };
        let next = match edit {
            Some(edit) => apply(&gesture.before, edit)?,
            None => gesture.before.clone(),
        };
        if !same(&next, &self.set) {
            self.set = next;
            self.revision += 1;
        }
        Ok(())
    }

    /// Begins a gesture (a drag, a held arrow key, typing in one field): all edits until [`History::end_gesture`] are one step. A
    /// gesture still open is ended first.
    pub fn begin_gesture(&mut self, label: &str) {
        self.end_gesture();
        self.gesture = Some(Gesture {
            label: label.to_owned(),
            before: self.set.clone(),
        });
    }

    /// Whether a gesture is open.
    #[must_use]
    pub fn in_gesture(&self) -> bool {
        self.gesture.is_some()
    }

    /// The set as it was when the open gesture began.
    #[must_use]
    pub fn before_gesture(&self) -> Option<&KnifeSet> {
        self.gesture.as_ref().map(|g| &g.before)
    }

    /// Ends the open gesture; it becomes one undo step if anything changed.
    pub fn end_gesture(&mut self) {
        let Some(gesture) = self.gesture.take() else {
            return;
        };
        if !same(&gesture.before, &self.set) {
            Step::push(&mut self.undo, gesture.label, gesture.before);
            self.redo.clear();
        }
    }

    /// Drops the open gesture and everything it changed.
    pub fn cancel_gesture(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && !same(&gesture.before, &self.set)
        {
            self.set = gesture.before;
            self.revision += 1;
        }
    }

    /// The open gesture, if it has changed anything so far.
    fn begun(&self) -> Option<&Gesture> {
        self.gesture
            .as_ref()
            .filter(|gesture| !same(&gesture.before, &self.set))
    }

    /// What undo would take back: the open gesture first, if it changed anything.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        match self.begun() {
            Some(gesture) => Some(&gesture.label),
            None => self.undo.last().map(|step| step.label.as_str()),
        }
    }

    /// What redo would do again; nothing while an open gesture has changed something.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        match self.begun() {
            Some(_) => None,
            None => self.redo.last().map(|step| step.label.as_str()),
        }
    }

    /// How many steps can be undone, counting an open gesture that changed something.
    #[must_use]
    pub fn undo_depth(&self) -> usize {
        self.undo.len() + usize::from(self.begun().is_some())
    }

    /// Takes the last step back. An open gesture is ended first, so that it is what is undone. `false` with nothing to undo.
    pub fn undo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.undo.pop() else {
            return false;
        };
        let set = std::mem::replace(&mut self.set, step.kept.into_set());
        Step::push(&mut self.redo, step.label, set);
        self.revision += 1;
        true
    }

    /// Does the last undone step again. `false` with nothing to redo.
    pub fn redo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.redo.pop() else {
            return false;
        };
        let set = std::mem::replace(&mut self.set, step.kept.into_set());
        Step::push(&mut self.undo, step.label, set);
        self.revision += 1;
        true
    }
}

/// Whether two sets are equal. Knives that two states share are not looked into, so that during a drag only the dragged one is.
fn same(a: &KnifeSet, b: &KnifeSet) -> bool {
    let KnifeSet {
        name,
        knives,
        materials,
        next_id,
    } = a;
    let shared = |(a, b): (&Arc<Knife>, &Arc<Knife>)| Arc::ptr_eq(a, b) || a == b;
    *next_id == b.next_id
        && *name == b.name
        && knives.len() == b.knives.len()
        && knives.iter().zip(&b.knives).all(shared)
        && *materials == b.materials
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Edit {
        Edit::NameSet {
            name: name.to_owned(),
        }
    }

    #[test]
    fn a_gesture_is_one_step_and_undo_returns_exactly() {
        let start = KnifeSet::default();
        let mut history = History::new(start.clone());
        history.begin_gesture("type name");
        for name in ["o", "or", "orc"] {
            history.apply(&named(name)).unwrap();
        }
        history.end_gesture();
        history.apply(&named("orchard")).unwrap();
        assert_eq!(history.undo_depth(), 2);
        assert_eq!(history.undo_label(), Some("name set"));
        assert!(history.undo());
        assert_eq!(history.undo_label(), Some("type name"));
        assert!(history.undo());
        assert_eq!(history.set(), &start);
        assert!(!history.undo());
        assert!(history.redo() && history.redo() && !history.redo());
        assert_eq!(history.set().name, "orchard");
    }

    #[test]
    fn an_edit_that_changes_nothing_leaves_no_step() {
        let mut history = History::new(KnifeSet::default());
        history.apply(&named("a")).unwrap();
        let revision = history.revision();
        history.apply(&named("a")).unwrap();
        history.begin_gesture("nothing");
        history.end_gesture();
        assert_eq!((history.undo_depth(), history.revision()), (1, revision));
    }

    #[test]
    fn a_canceled_gesture_leaves_no_trace() {
        let mut history = History::new(KnifeSet::default());
        history.apply(&named("a")).unwrap();
        assert!(history.undo());
        history.begin_gesture("drag");
        history.apply(&named("b")).unwrap();
        history.cancel_gesture();
        assert_eq!(history.set().name, "");
        // What was undone before can still be done again.
        assert!(history.redo());
        assert_eq!(history.set().name, "a");
    }
}
