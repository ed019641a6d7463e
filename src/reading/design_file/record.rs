//! Fields of a record asked for by name; whatever is missing, doubled, unknown or of the wrong kind is noted with its place, and reading goes on.

use std::fmt::Display;

use kurbo::{Point, Vec2};

use super::problems::Problems;
use super::tree::{Field, Value, clipped};
use crate::knife::Place;

/// Most names listed as known in a message about an unknown field.
const MOST_NAMES: usize = 12;

/// A record being read. Each question notes its own problem and gives `None`; [`Record::close`] notes the fields nobody asked for.
pub(super) struct Record<'t> {
    fields: &'t [Field<'t>],
    place: &'t Place<'t>,
    problems: &'t Problems,
    asked: Vec<&'static str>,
}

impl<'t> Record<'t> {
    /// A record whose fields are at hand.
    pub(super) fn of(
        fields: &'t [Field<'t>],
        place: &'t Place<'t>,
        problems: &'t Problems,
    ) -> Self {
        Self {
            fields,
            place,
            problems,
            asked: Vec::new(),
        }
    }

    /// The value as a record.
    pub(super) fn open(
        value: &'t Value<'t>,
        place: &'t Place<'t>,
        problems: &'t Problems,
    ) -> Option<Self> {
        match value {
            Value::Record(fields) => Some(Self::of(fields, place, problems)),
            other => {
                let found = other.described();
                problems.add(place, format!("must be a record in braces, found {found}"));
                None
            }
        }
    }

    /// Where problems of this record go.
    pub(super) fn problems(&self) -> &'t Problems {
        self.problems
    }

    /// Notes a problem at a field.
    pub(super) fn note(&self, name: &str, message: impl Into<String>) {
        self.problems.add(&Place::Field(self.place, name), message);
    }

    /// The field, if the record has it.
    fn find(&mut self, name: &'static str) -> Option<&'t Value<'t>> {
        self.asked.push(name);
        let mut found = self.fields.iter().filter(|(own, _)| own == name);
        let (_, value) = found.next()?;
        if found.next().is_some() {
            self.note(name, "is given twice; keep one");
        }
        Some(value)
    }

    /// The field, or a note that it is missing.
    fn need(&mut self, name: &'static str, wanted: impl Display) -> Option<&'t Value<'t>> {
        let found = self.find(name);
        if found.is_none() {
            self.note(name, format!("is missing; add {wanted}"));
        }
        found
    }

    fn wrong(&self, name: &str, wanted: impl Display, found: &Value<'_>) {
        self.note(
            name,
            format!("must be {wanted}, found {}", found.described()),
        );
    }

    /// A number.
    pub(super) fn number(&mut self, name: &'static str) -> Option<f64> {
        let value = self.need(name, "a number")?;
        let number = as_number(value);
        if number.is_none() {
            self.wrong(name, "a number", value);
        }
        number
    }

    /// A number that may be left out.
    pub(super) fn optional_number(&mut self, name: &'static str) -> Option<Option<f64>> {
        let Some(value) = self.find(name) else {
            return Some(None);
        };
        let number = as_number(value);
        if number.is_none() {
            self.wrong(name, "a number", value);
        }
        number.map(Some)
    }

    /// A whole number that fits an id or a count.
    pub(super) fn whole(&mut self, name: &'static str) -> Option<u32> {
        const WANTED: &str = "a whole number from 0 to 4294967295";
        let value = self.need(name, WANTED)?;
        let whole = match value {
            Value::Whole(number) => u32::try_from(*number).ok(),
            _ => None,
        };
        if whole.is_none() {
            self.wrong(name, WANTED, value);
        }
        whole
    }

    /// `true` or `false`.
    pub(super) fn truth(&mut self, name: &'static str) -> Option<bool> {
        let value = self.need(name, "true or false")?;
        if let Value::Truth(truth) = value {
            return Some(*truth);
        }
        self.wrong(name, "true or false", value);
        None
    }

    /// A text.
    pub(super) fn text(&mut self, name: &'static str) -> Option<String> {
        let value = self.need(name, "a text in quotes")?;
        if let Value::Text(text) = value {
            return Some(text.clone().into_owned());
        }
        self.wrong(name, "a text in quotes", value);
        None
    }

    /// A text that may be left out; empty then.
    pub(super) fn optional_text(&mut self, name: &'static str) -> Option<String> {
        let Some(value) = self.find(name) else {
            return Some(String::new());
        };
        if let Value::Text(text) = value {
            return Some(text.clone().into_owned());
        }
        self.wrong(name, "a text in quotes", value);
        None
    }

    /// One of a few words.
    pub(super) fn word<T: Copy>(
        &mut self,
        name: &'static str,
        words: &[(&'static str, T)],
    ) -> Option<T> {
        let wanted = || {
            let all: Vec<String> = words
                .iter()
                .map(|(word, _)| format!("\"{word}\""))
                .collect();
            format!("one of {}", all.join(", "))
        };
        // The list of words is only made when it is told.
        let Some(value) = self.find(name) else {
            self.note(name, format!("is missing; add {}", wanted()));
            return None;
        };
        let meant = match value {
            Value::Text(text) => words.iter().find(|(word, _)| text == word),
            _ => None,
        };
        if meant.is_none() {
            self.wrong(name, wanted(), value);
        }
        meant.map(|(_, meaning)| *meaning)
    }

    /// A point, written as `[x, y]`.
    pub(super) fn point(&mut self, name: &'static str) -> Option<Point> {
        let value = self.need(name, "a point [x, y]")?;
        self.pair(name, value)
    }

    /// A vector that may be left out.
    pub(super) fn optional_vector(&mut self, name: &'static str) -> Option<Option<Vec2>> {
        match self.find(name) {
            None => Some(None),
            Some(value) => Some(Some(self.pair(name, value)?.to_vec2())),
        }
    }

    fn pair(&self, name: &'static str, value: &Value<'_>) -> Option<Point> {
        let pair = match value {
            Value::List(items) => match &**items {
                [x, y] => as_number(x).zip(as_number(y)),
                _ => None,
            },
            _ => None,
        };
        if pair.is_none() {
            self.wrong(name, "a point [x, y] of two numbers", value);
        }
        pair.map(Point::from)
    }

    /// A record inside this one.
    pub(super) fn inner<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(Record<'_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.need(name, "a record in braces")?;
        let place = Place::Field(self.place, name);
        read(Record::open(value, &place, self.problems)?)
    }

    /// A record inside this one that may be left out.
    pub(super) fn optional_inner<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(Record<'_>) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.find(name) {
            None => Some(None),
            Some(value) => {
                let place = Place::Field(self.place, name);
                read(Record::open(value, &place, self.problems)?).map(Some)
            }
        }
    }

    /// A list of records of at most `most`; longer ones are refused before anything is built. All items are read even when some are faulty;
    /// those are `None`.
    pub(super) fn each<T>(
        &mut self,
        name: &'static str,
        most: usize,
        read: impl Fn(Record<'_>) -> Option<T>,
    ) -> Option<Vec<Option<T>>> {
        let value = self.need(name, "a list in brackets, [] if there is nothing to list")?;
        let Value::List(items) = value else {
            self.wrong(name, "a list in brackets", value);
            return None;
        };
        if items.len() > most {
            let n = items.len();
            self.note(
                name,
                format!("lists {n}; at most {most} are read, take some out"),
            );
            return None;
        }
        let list = Place::Field(self.place, name);
        let one = |(index, item)| {
            let place = Place::Item(&list, index);
            read(Record::open(item, &place, self.problems)?)
        };
        Some(items.iter().enumerate().map(one).collect())
    }

    /// Like [`Record::each`], but `None` as soon as one item is faulty.
    pub(super) fn list<T>(
        &mut self,
        name: &'static str,
        most: usize,
        read: impl Fn(Record<'_>) -> Option<T>,
    ) -> Option<Vec<T>> {
        self.each(name, most, read)?.into_iter().collect()
    }

    /// Like [`Record::list`]; empty where it is left out.
    pub(super) fn optional_list<T>(
        &mut self,
        name: &'static str,
        most: usize,
        read: impl Fn(Record<'_>) -> Option<T>,
    ) -> Option<Vec<T>> {
        match self.find(name) {
            None => Some(Vec::new()),
            Some(_) => self.list(name, most, read),
        }
    }

    /// Notes every field that was not asked for.
    pub(super) fn close(self) {
        for (name, _) in self.fields {
            if !self.asked.contains(&&**name) {
                let mut known = self.asked.clone();
                known.truncate(MOST_NAMES);
                self.note(
                    &clipped(name),
                    format!(
                        "is not a field of this program; take it out or correct its name (known here: {})",
                        known.join(", ")
                    ),
                );
            }
        }
    }
}

fn as_number(value: &Value<'_>) -> Option<f64> {
    match value {
        Value::Number(number) => Some(*number),
        Value::Whole(number) => Some(*number as f64),
        _ => None,
    }
}
