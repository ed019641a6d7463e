//! What the rules are judged with: a place, and the faults found below it.

use std::collections::BTreeSet;

use kurbo::{Point, Vec2};

use super::{Fault, LARGEST_MM, LONGEST_TEXT, SMALLEST_MM};
use crate::knife::{Id, KnifeSet, Place};

/// Collects faults below a place.
pub(super) struct Judge<'a> {
    pub(super) place: Place<'a>,
    pub(super) faults: &'a mut Vec<Fault>,
}

impl Judge<'_> {
    pub(super) fn at<'b>(&'b mut self, field: &'b str) -> Judge<'b> {
        Judge {
            place: Place::Field(&self.place, field),
            faults: self.faults,
        }
    }

    /// Judges each item of a list below its own place.
    pub(super) fn each<'t, T>(
        &mut self,
        list: &str,
        items: &'t [T],
        mut judge: impl FnMut(&mut Judge<'_>, &'t T),
    ) {
        let list = Place::Field(&self.place, list);
        for (i, item) in items.iter().enumerate() {
            let mut at = Judge {
                place: Place::Item(&list, i),
                faults: self.faults,
            };
            judge(&mut at, item);
        }
    }

    pub(super) fn fault(&mut self, field: &str, message: impl Into<String>) {
        self.faults.push(Fault {
            place: Place::Field(&self.place, field).to_string(),
            message: message.into(),
        });
    }

    /// Whether the value is a size; a fault where it is not.
    pub(super) fn size(&mut self, field: &str, value: f64) -> bool {
        let good = (SMALLEST_MM..=LARGEST_MM).contains(&value);
        if !good {
            self.fault(
                field,
                format!("{value} is not a size between {SMALLEST_MM} and {LARGEST_MM} mm"),
            );
        }
        good
    }

    /// Whether the value is in the range; a fault where it is not.
    pub(super) fn within(&mut self, field: &str, value: f64, low: f64, high: f64) -> bool {
        let good = (low..=high).contains(&value);
        if !good {
            self.fault(field, format!("{value} is not between {low} and {high}"));
        }
        good
    }

    pub(super) fn point(&mut self, field: &str, p: Point) {
        let field = Place::Field(&self.place, field);
        for (axis, value) in [p.x, p.y].into_iter().enumerate() {
            if !(-LARGEST_MM..=LARGEST_MM).contains(&value) {
                self.faults.push(Fault {
                    place: Place::Item(&field, axis).to_string(),
                    message: format!("{value} is not between {} and {LARGEST_MM}", -LARGEST_MM),
                });
            }
        }
    }

    pub(super) fn handle(&mut self, field: &str, v: Option<Vec2>) {
        if let Some(v) = v {
            self.point(field, v.to_point());
        }
    }

    pub(super) fn text(&mut self, field: &str, text: &str) {
        // No text has more characters than bytes.
        if text.len() <= LONGEST_TEXT {
            return;
        }
        let n = text.chars().count();
        if n > LONGEST_TEXT {
            self.fault(
                field,
                format!("the text has {n} characters; at most {LONGEST_TEXT} are kept"),
            );
        }
    }

    /// An id of its own, below the next free one.
    pub(super) fn id(&mut self, seen: &mut BTreeSet<Id>, id: Id, next_id: Id) {
        if !seen.insert(id) {
            self.fault(
                "id",
                format!("id {id} is used twice; give one a number of its own"),
            );
        }
        if id >= next_id {
            self.fault(
                "id",
                format!("id {id} is not below next_id {next_id}; raise next_id"),
            );
        }
    }

    pub(super) fn material(&mut self, field: &str, key: &str, keys: &Keys<'_>) {
        if !keys.contains(key) {
            self.fault(
                field,
                format!("the set has no material '{key}'; add it to materials or name another"),
            );
        }
    }
}

/// The keys of the set's materials; sorted, since a full set looks one up some hundred thousand times.
pub(super) type Keys<'a> = BTreeSet<&'a str>;

pub(super) fn keys_of(set: &KnifeSet) -> Keys<'_> {
    set.materials.iter().map(|m| m.key.as_str()).collect()
}
