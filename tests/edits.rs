//! Edits under a hail of random input: nothing panics, nothing invalid gets in, nothing is lost.

#[cfg(test)]
#[path = "edits/aside.rs"]
mod aside;
#[cfg(test)]
#[path = "edits/bench.rs"]
mod bench;
#[cfg(test)]
#[path = "edits/carry.rs"]
mod carry;
#[cfg(test)]
#[path = "edits/dice.rs"]
mod dice;
#[cfg(test)]
#[path = "edits/fitted.rs"]
mod fitted;
#[cfg(test)]
#[path = "edits/grinding.rs"]
mod grinding;
#[cfg(test)]
#[path = "edits/grown.rs"]
mod grown;
#[cfg(test)]
#[path = "edits/naming.rs"]
mod naming;
#[cfg(test)]
#[path = "edits/order.rs"]
mod order;
#[cfg(test)]
#[path = "edits/outline.rs"]
mod outline;
#[cfg(test)]
#[path = "edits/rack.rs"]
mod rack;
#[cfg(test)]
#[path = "edits/rounded.rs"]
mod rounded;
#[cfg(test)]
#[path = "edits/sizes.rs"]
mod sizes;
#[cfg(test)]
#[path = "edits/stretches.rs"]
mod stretches;
#[cfg(test)]
#[path = "edits/things.rs"]
mod things;
#[cfg(test)]
#[path = "edits/whole.rs"]
mod whole;

use std::collections::BTreeMap;
use std::sync::Arc;

use bench::material;
use dice::{Dice, KINDS};
use tangwright::checks::{Thresholds, check};
use tangwright::edit::History;
use tangwright::knife::{KnifeSet, set_faults};
use tangwright::weighing::weigh;

const RUNS: u64 = 32;
const EDITS_A_RUN: u32 = 700;
/// Every how many edits the set is weighed and checked.
const WEIGH_EVERY: u32 = 20;

/// Two starters and three materials.
fn start(dice: &mut Dice) -> KnifeSet {
    let hostile = std::mem::take(&mut dice.hostile);
    let knives = [0, 1].map(|id| {
        let mut knife = dice.starter();
        knife.id = id;
        Arc::new(knife)
    });
    dice.hostile = hostile;
    KnifeSet {
        name: "orchard set".to_owned(),
        knives: knives.to_vec(),
        materials: vec![
            material("steel", 7.85),
            material("brass", 8.5),
            material("walnut", 0.65),
        ],
        next_id: 2,
    }
}

/// What the history should hold, kept in the simplest way: whole sets in a list.
struct Ledger {
    past: Vec<KnifeSet>,
    future: Vec<KnifeSet>,
    gesture: Option<KnifeSet>,
}

impl Ledger {
    fn close(&mut self, now: &KnifeSet) {
        if let Some(before) = self.gesture.take()
            && before != *now
        {
            self.past.push(before);
            self.future.clear();
        }
    }
}

struct Run {
    dice: Dice,
    history: History,
    ledger: Ledger,
    /// How often each kind of edit was taken and refused.
    counts: BTreeMap<&'static str, (u32, u32)>,
}

impl Run {
    fn edit(&mut self) {
        let crowded = self.history.set().knives.len() > 4;
        let kind = match self.dice.pick(&KINDS).unwrap_or("NameSet") {
            "AddKnife" | "DoubleKnife" if crowded => "RemoveKnife",
            // Most knives should live long enough to be edited much.
            "RemoveKnife" | "SetOutline" if self.dice.once_in(2) => "Shift many",
            // Roundings between straight sides are rare.
            "SetNotes" | "SetHeatWords" if self.dice.once_in(2) => "ChangeRadius",
            kind => kind,
        };
        let before = self.history.set().clone();
        let revision = self.history.revision();
        let edit = self.dice.edit(kind, &before);
        let counts = self.counts.entry(kind).or_default();
        match self.history.apply(&edit) {
            Ok(()) => {
                counts.0 += 1;
                let faults = set_faults(self.history.set());
                assert_eq!(faults, vec![], "{kind} was taken");
                if self.ledger.gesture.is_none() && before != *self.history.set() {
                    self.ledger.past.push(before.clone());
                    self.ledger.future.clear();
                }
            }
            Err(error) => {
                counts.1 += 1;
                assert_eq!(before, *self.history.set(), "{kind} was refused");
                assert!(!error.to_string().is_empty(), "{kind} says why");
            }
        }
        let changed = before != *self.history.set();
        assert_eq!(changed, revision != self.history.revision(), "{kind}");
    }

    fn gesture(&mut self) {
        let now = self.history.set().clone();
        match self.dice.below(6) {
            0 | 1 => {
                self.ledger.close(&now);
                self.ledger.gesture = Some(now);
                self.history.begin_gesture("drag");
            }
            2 | 3 => {
                self.ledger.close(&now);
                self.history.end_gesture();
            }
            4 => {
                let expected = self.ledger.gesture.take().unwrap_or(now);
                self.history.cancel_gesture();
                assert_eq!(expected, *self.history.set(), "a canceled gesture");
            }
            _ => {
                for _ in 0..self.dice.below(4) {
                    self.undo();
                }
                // A drag that begins with an undone future behind it, and cuts it off.
                if self.dice.once_in(2) {
                    let now = self.history.set().clone();
                    self.ledger.close(&now);
                    self.ledger.gesture = Some(now);
                    self.history.begin_gesture("drag");
                    for _ in 0..3 {
                        self.edit();
                    }
                }
                for _ in 0..self.dice.below(5) {
                    self.redo();
                }
            }
        }
    }

    fn undo(&mut self) -> bool {
        let now = self.history.set().clone();
        self.ledger.close(&now);
        let expected = self.ledger.past.pop();
        let done = self.history.undo();
        assert_eq!(done, expected.is_some(), "something to undo");
        if let Some(expected) = expected {
            self.ledger.future.push(now);
            assert!(expected == *self.history.set(), "undo returns exactly");
        }
        done
    }

    fn redo(&mut self) -> bool {
        let now = self.history.set().clone();
        self.ledger.close(&now);
        let expected = self.ledger.future.pop();
        let done = self.history.redo();
        assert_eq!(done, expected.is_some(), "something to redo");
        if let Some(expected) = expected {
            self.ledger.past.push(now);
            assert!(expected == *self.history.set(), "redo returns exactly");
        }
        done
    }

    fn weigh(&self) {
        let set = self.history.set();
        for knife in &set.knives {
            let up = weigh(knife, set);
            let _ = check(knife, set, &up, &Thresholds::default());
        }
    }
}

#[test]
fn thousands_of_random_edits_leave_valid_sets_and_undo_exactly() {
    let mut counts = BTreeMap::new();
    for seed in 0..RUNS {
        let mut dice = Dice::new(seed);
        let set = start(&mut dice);
        assert_eq!(set_faults(&set), vec![], "the start is sound");
        let mut run = Run {
            dice,
            history: History::new(set.clone()),
            ledger: Ledger {
                past: Vec::new(),
                future: Vec::new(),
                gesture: None,
            },
            counts,
        };
        for n in 0..EDITS_A_RUN {
            run.edit();
            if run.dice.once_in(8) {
                run.gesture();
            }
            if n % WEIGH_EVERY == 0 {
                run.weigh();
            }
        }
        run.ledger.close(run.history.set());
        run.history.end_gesture();
        let end = run.history.set().clone();
        // What was undone by hand before stays ahead of the end; going there first makes the way back whole.
        while run.undo() {}
        assert!(set == *run.history.set(), "back at the start");
        while run.redo() {}
        let steps = run.history.undo_depth();
        assert!(run.ledger.past.contains(&end) || end == *run.history.set());
        assert!(steps > 20, "enough was done: {steps} steps");
        counts = run.counts;
    }
    // The test is worth something only if every kind was both taken and, where it can be, refused.
    for kind in KINDS {
        let (taken, refused) = counts.get(kind).copied().unwrap_or_default();
        assert!(taken >= 20, "{kind} was taken {taken} times only");
        assert!(refused >= 1, "{kind} was never refused");
    }
}
