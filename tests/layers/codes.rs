//! Every code in the source of the checks is raised by a test: a new check has to bring its knife along.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::source_files;

/// Words that are written as codes are, and are none: a noun.
const NOUNS: [&str; 1] = ["cut-out"];

fn checks() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checks")
}

/// The texts in a piece of source that are written as codes are.
fn coded(source: &str) -> impl Iterator<Item = &str> {
    let texts = source.split('"').skip(1).step_by(2);
    texts.filter(|word| {
        word.contains('-') && word.chars().all(|c| c == '-' || c.is_ascii_lowercase())
    })
}

/// A file of the checks: its path below their folder, what is built into the program, and its tests.
struct Source {
    name: String,
    own: String,
    tests: String,
}

fn sources() -> Vec<Source> {
    let mut files = Vec::new();
    source_files(&checks(), &mut files).expect("src/checks can be read");
    let read = |file: &PathBuf| {
        let name = file.strip_prefix(checks()).expect("it was found there");
        let name = name.to_string_lossy().replace('\\', "/");
        let all = std::fs::read_to_string(file).expect("a source file can be read");
        let only_tests = name.starts_with("every") || name.ends_with("tests.rs");
        let (own, tests) = match all.split_once("#[cfg(test)]") {
            _ if only_tests => ("", all.as_str()),
            Some((own, tests)) => (own, tests),
            None => (all.as_str(), ""),
        };
        Source {
            name,
            own: own.to_owned(),
            tests: tests.to_owned(),
        }
    };
    files.iter().map(read).collect()
}

/// Codes of the checks are raised by a case of `every.rs`, those of what leaves for the cutter by a test of its own room. Figures have keys that are written
/// alike, and so have rules of a service, which `basis` asks for.
#[test]
fn no_code_is_left_out() {
    let sources = sources();
    let of_ready = |source: &&Source| source.name.starts_with("ready");
    let cases: String = sources
        .iter()
        .filter(|source| source.name.starts_with("every"))
        .flat_map(|source| source.tests.split_whitespace())
        .collect();
    let ready: BTreeSet<&str> = sources
        .iter()
        .filter(of_ready)
        .flat_map(|source| coded(&source.tests))
        .collect();
    let keys: BTreeSet<&str> = sources
        .iter()
        .filter(|source| source.name.starts_with("figures"))
        .flat_map(|source| coded(&source.own))
        .collect();
    let raised = |word: &str| cases.contains(&format!("(\"{word}\","));
    let (mut n, mut n_ready) = (0, 0);
    let mut left_out = Vec::new();
    for source in &sources {
        if source.name.starts_with("figures") {
            continue;
        }
        for word in coded(&source.own) {
            let rule = source.own.contains(&format!("basis(\"{word}\")"));
            // The beginning of several codes is none of its own.
            if rule || word.ends_with('-') || NOUNS.contains(&word) {
                continue;
            }
            if raised(word) {
                n += 1;
            } else if of_ready(&source) && ready.contains(word) {
                n_ready += 1;
            } else if !keys.contains(word) {
                left_out.push(format!("{}: {word}", source.name));
            }
        }
    }
    assert!(left_out.is_empty(), "raised by no knife: {left_out:?}");
    assert!(n >= 60 && n_ready >= 10, "{n} {n_ready}");
}
