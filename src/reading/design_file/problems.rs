//! The list of what was found wrong, each with its place.

use std::cell::{Cell, RefCell};

use super::{MOST_PROBLEMS, ReadError};
use crate::knife::{Fault, Place};

/// What was found wrong so far.
#[derive(Default)]
pub(super) struct Problems {
    told: RefCell<Vec<Fault>>,
    more: Cell<usize>,
}

impl Problems {
    /// Notes a problem at a place.
    pub(super) fn add(&self, place: &Place<'_>, message: impl Into<String>) {
        if self.told.borrow().len() < MOST_PROBLEMS {
            self.told.borrow_mut().push(Fault {
                place: place.to_string(),
                message: message.into(),
            });
        } else {
            self.more.set(self.more.get() + 1);
        }
    }

    /// Notes broken rules.
    pub(super) fn extend(&self, faults: Vec<Fault>) {
        let mut told = self.told.borrow_mut();
        for fault in faults {
            if told.len() < MOST_PROBLEMS {
                told.push(fault);
            } else {
                self.more.set(self.more.get() + 1);
            }
        }
    }

    /// Whether nothing was noted.
    pub(super) fn none(&self) -> bool {
        self.told.borrow().is_empty()
    }

    /// The value if nothing was noted, else all that was.
    pub(super) fn unless_any<T>(self, value: T) -> Result<T, ReadError> {
        if self.none() {
            Ok(value)
        } else {
            self.refuse()
        }
    }

    /// All that was noted, as the reason why there is no value.
    pub(super) fn refuse<T>(self) -> Result<T, ReadError> {
        Err(ReadError::Faulty {
            problems: self.told.into_inner(),
            more: self.more.get(),
        })
    }
}
