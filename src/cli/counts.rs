//! How many of each knife: for all, or by name.

use clap::Args;

use super::complaint::{Complaint, one_line};
use crate::nesting::MOST_BLANKS;

/// How many of each.
#[derive(Debug, Args)]
pub(super) struct CountArguments {
    /// How many of each knife, or of the knife of this name; may be given again
    #[arg(long, value_name = "N|NAME=N", value_parser = count)]
    count: Vec<Count>,
}

/// How many of all knives, or of one.
#[derive(Clone, Debug, PartialEq)]
struct Count {
    name: Option<String>,
    n: usize,
}

impl CountArguments {
    /// How many are wanted of a knife: as its own name says, else as all, else one.
    pub(super) fn of(&self, knife: &str) -> usize {
        let last = |own: &dyn Fn(&Count) -> bool| self.count.iter().rev().find(|c| own(c));
        last(&|c| c.name.as_deref() == Some(knife))
            .or_else(|| last(&|c| c.name.is_none()))
            .map_or(1, |count| count.n)
    }

    /// Whether any was given.
    pub(super) fn is_given(&self) -> bool {
        !self.count.is_empty()
    }

    /// Refuses a count for a name that no knife has.
    pub(super) fn judge<'a>(
        &self,
        knives: impl Iterator<Item = &'a str> + Clone,
    ) -> Result<(), Complaint> {
        for name in self.count.iter().filter_map(|count| count.name.as_deref()) {
            if !knives.clone().any(|knife| knife == name) {
                return Err(Complaint::wrong_use(format!(
                    "--count '{}': no knife has that name",
                    one_line(name)
                )));
            }
        }
        Ok(())
    }
}

/// `3`, or `Paring knife=3`.
fn count(text: &str) -> Result<Count, String> {
    let (name, number) = match text.rsplit_once('=') {
        Some((name, number)) => (Some(name.trim().to_owned()), number),
        None => (None, text),
    };
    match number.trim().parse::<usize>() {
        Ok(n) if n <= MOST_BLANKS => Ok(Count { name, n }),
        _ => Err(format!(
            "give a whole number up to {MOST_BLANKS}, or a knife's name and one: 'Paring knife=3'"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_for_all_or_for_one() {
        assert_eq!(count("3").map(|c| (c.name, c.n)), Ok((None, 3)));
        let own = count("Paring knife = 4").map(|c| (c.name, c.n));
        assert_eq!(own, Ok((Some("Paring knife".to_owned()), 4)));
        for bad in ["", "many", "-1", "1.5", "Paring=", "401"] {
            assert!(count(bad).is_err(), "{bad}");
        }
    }
}
