//! Which knives of a set a command is about.

use std::path::Path;
use std::sync::Arc;

use super::complaint::{Complaint, one_line};
use crate::knife::{Knife, KnifeSet};

/// Most names listed when one is not found.
const MOST_LISTED: usize = 8;

/// All knives, or those of the asked name: exactly, or else without regard to capitals.
pub(super) fn knives<'a>(
    set: &'a KnifeSet,
    asked: Option<&str>,
) -> Result<Vec<&'a Arc<Knife>>, Complaint> {
    let Some(asked) = asked else {
        return Ok(set.knives.iter().collect());
    };
    let named = |matches: &dyn Fn(&str) -> bool| -> Vec<&Arc<Knife>> {
        set.knives.iter().filter(|k| matches(&k.name)).collect()
    };
    let folded = asked.trim().to_lowercase();
    let mut found = named(&|name| name == asked);
    if found.is_empty() {
        found = named(&|name| name.trim().to_lowercase() == folded);
    }
    if found.is_empty() {
        return Err(Complaint::wrong_use(no_such_knife(set, asked, &folded)));
    }
    Ok(found)
}

/// The one knife that is meant.
pub(super) fn the_one<'a>(
    set: &'a KnifeSet,
    file: &Path,
    asked: Option<&str>,
) -> Result<&'a Arc<Knife>, Complaint> {
    match knives(set, asked)?[..] {
        [knife] => Ok(knife),
        [] => Err(Complaint::bad_file(
            file,
            &"the set has no knife: draw one first",
        )),
        ref several => {
            let names: Vec<String> = several
                .iter()
                .map(|k| format!("'{}'", one_line(&k.name)))
                .collect();
            Err(Complaint::wrong_use(format!(
                "which knife? choose one with --knife: {}",
                names.join(", ")
            )))
        }
    }
}

fn no_such_knife(set: &KnifeSet, asked: &str, folded: &str) -> String {
    let mut names: Vec<&str> = set.knives.iter().map(|k| k.name.as_str()).collect();
    // The likeliest first; others keep their order.
    names.sort_by_key(|name| unlikeness(&name.to_lowercase(), folded));
    names.dedup();
    let more = names.len().saturating_sub(MOST_LISTED);
    names.truncate(MOST_LISTED);
    let listed: Vec<String> = names
        .iter()
        .map(|name| format!("'{}'", one_line(name)))
        .collect();
    match (listed.is_empty(), more) {
        (true, _) => format!("the set has no knife '{asked}': it has none at all"),
        (false, 0) => format!(
            "the set has no knife '{asked}': name one of {}",
            listed.join(", ")
        ),
        (false, more) => format!(
            "the set has no knife '{asked}': name one of {} or {more} more",
            listed.join(", ")
        ),
    }
}

/// Letters to change, add or leave out to come from one name to the other; none where one holds the other.
///
/// The edit distance of V. Levenshtein, Soviet Physics Doklady 10 (1966), pp. 707-710, row by row, over the first letters.
fn unlikeness(name: &str, asked: &str) -> usize {
    const MOST_LETTERS: usize = 64;
    if !asked.is_empty() && (name.contains(asked) || asked.contains(name)) {
        return 0;
    }
    let letters: Vec<char> = asked.chars().take(MOST_LETTERS).collect();
    let mut row: Vec<usize> = (0..=letters.len()).collect();
    for (i, a) in name.chars().take(MOST_LETTERS).enumerate() {
        let mut next = vec![i + 1];
        for (j, b) in letters.iter().enumerate() {
            let at = |row: &[usize], k: usize| row.get(k).copied().unwrap_or(usize::MAX / 2);
            let swap = at(&row, j) + usize::from(a != *b);
            let add = at(&row, j + 1) + 1;
            let drop = at(&next, j) + 1;
            next.push(swap.min(add).min(drop));
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_those_of_the_textbook() {
        // kitten to sitting is the example of every textbook: 3.
        assert_eq!(unlikeness("kitten", "sitting"), 3);
        assert_eq!(unlikeness("saturday", "sunday"), 3);
        assert_eq!(unlikeness("abc", "abc"), 0);
        assert_eq!(unlikeness("paring knife", "paring"), 0);
        assert_eq!(unlikeness("", "abc"), 0);
    }
}
