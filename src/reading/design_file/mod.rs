//! Design files (`*.tangwright`): readable JSON text to a [`KnifeSet`] and back.
//!
//! A file begins with its version, `"tangwright": 3`. [`read`] goes three ways down: JSON text to a tree of plain values, the tree to a set by
//! the module of the file's version, and the set through the rules of the knife room. Whatever is not right is named with its place, and all of it
//! at once. [`write`](fn@write) is exact: every number comes back as the very same `f64`, and the same set always gives the same text.
//!
//! A version, once in makers' hands, keeps its module: its reader fills what later versions added with what the file meant in its day, so old
//! files open for ever; only the newest version has a writer.

mod layout;
mod problems;
mod record;
mod tree;
mod v1;
mod v2;
mod v3;

use crate::knife::{Fault, KnifeSet, Place, set_faults};

use problems::Problems;
use record::Record;
use tree::Value;

pub use v1::MOST_MATERIALS;

/// The newest version this program reads, and the one it writes.
pub const NEWEST_VERSION: u32 = 3;
/// Largest file that is read, bytes. A knife of a thousand nodes takes about a hundred thousand; more than this would only fill the memory.
pub const MOST_BYTES: usize = 64 << 20;
/// Most values (numbers, texts, lists, records) in one file: a thousand knives of 160 curved nodes each. With [`MOST_BYTES`] it bounds the memory
/// and the time that reading takes.
pub const MOST_VALUES: usize = 2_000_000;
/// Most problems that are told of one file; beyond it they are only counted.
pub const MOST_PROBLEMS: usize = 50;

/// The field that makes a JSON file a design file, and holds its version.
const VERSION: &str = "tangwright";

/// Why a design file was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// Nothing but blanks.
    #[error(
        "the file is empty: open the copy kept beside it (its name ends in .bak), or an older one"
    )]
    Empty,
    /// More than [`MOST_BYTES`].
    #[error(
        "the file is larger than {} MB, which no design needs: choose a design file, or split the set in several files",
        MOST_BYTES >> 20
    )]
    TooLarge,
    /// More than [`MOST_VALUES`].
    #[error(
        "the file holds more than {MOST_VALUES} values, too many to open: split the set in several files"
    )]
    TooManyValues,
    /// The bytes are not text.
    #[error(
        "byte {byte} is not text: choose a design file, or save this one as UTF-8 text if another program wrote it"
    )]
    NotText {
        /// Place of the first wrong byte, from 1.
        byte: usize,
    },
    /// The text is not JSON.
    #[error("line {line}, column {column}: {reason}; {mend}")]
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column in bytes, from 1; 0 when the line had not begun.
        column: usize,
        /// What the JSON reader met.
        reason: String,
        /// What to do.
        mend: &'static str,
    },
    /// Lists in lists without end.
    #[error(
        "line {line}, column {column}: lists and records are nested deeper than any design has them: choose a design file"
    )]
    TooDeep {
        /// Line, from 1.
        line: usize,
        /// Column in bytes, from 1.
        column: usize,
    },
    /// JSON, but no version is told.
    #[error(
        "this is JSON but not a design file: it does not begin with \"{VERSION}\" and a version; choose another file, or put \"{VERSION}\": {NEWEST_VERSION} back as the first field"
    )]
    NoVersion,
    /// The version is not one of the known numbers.
    #[error("{VERSION}: {found} is not a version; put {NEWEST_VERSION} there")]
    BadVersion {
        /// What stands there.
        found: String,
    },
    /// Made by a program that knows more.
    #[error(
        "was made by a newer Tangwright (version {found}); this one reads up to {known}: get the newer program to open it"
    )]
    Newer {
        /// The file's version.
        found: u64,
        /// The newest this program knows.
        known: u32,
    },
    /// Fields are missing, unknown or against the rules.
    #[error("{}", list_of(.problems, *.more))]
    Faulty {
        /// Each problem with its place, in the order of the file; never empty.
        problems: Vec<Fault>,
        /// How many more were found.
        more: usize,
    },
}

fn list_of(problems: &[Fault], more: usize) -> String {
    let mut lines: Vec<String> = problems.iter().map(Fault::to_string).collect();
    if more > 0 {
        lines.push(format!("and {more} more"));
    }
    lines.join("\n")
}

/// Reads a design file. A byte order mark in front of the text is passed over.
///
/// Memory stays below 500 MB whatever the bytes hold; at usual sizes it is a few times the file.
///
/// # Errors
/// See [`ReadError`]; faults of fields come all at once, up to [`MOST_PROBLEMS`] told in words.
pub fn read(bytes: &[u8]) -> Result<KnifeSet, ReadError> {
    let problems = Problems::default();
    // The tree is gone before the rules are judged: a hostile file could make either large, and both never stand side by side.
    let set = {
        let tree = tree::parse(bytes)?;
        of_any_version(&tree, &problems)?
    };
    match set {
        Some(set) if problems.none() => {
            problems.extend(set_faults(&set));
            problems.unless_any(set)
        }
        _ => problems.refuse(),
    }
}

/// Reads the tree by the module of its version; `None` when a problem was noted.
fn of_any_version(tree: &Value<'_>, problems: &Problems) -> Result<Option<KnifeSet>, ReadError> {
    let Value::Record(fields) = tree else {
        return Err(ReadError::NoVersion);
    };
    let version = fields
        .iter()
        .find(|(name, _)| name == VERSION)
        .map(|(_, value)| value)
        .ok_or(ReadError::NoVersion)?;
    let place = Place::Root;
    let root = Record::of(fields, &place, problems);
    match version {
        Value::Whole(1) => Ok(v1::read(root)),
        Value::Whole(2) => Ok(v2::read(root)),
        Value::Whole(3) => Ok(v3::read(root)),
        Value::Whole(found) if *found > u64::from(NEWEST_VERSION) => Err(ReadError::Newer {
            found: *found,
            known: NEWEST_VERSION,
        }),
        other => Err(ReadError::BadVersion {
            found: other.described(),
        }),
    }
}

/// The text of a design file in the newest version.
///
/// The set must keep the rules of the knife room, or the file would not be read again: a number that is not finite is written as `null`.
#[must_use]
pub fn write(set: &KnifeSet) -> String {
    layout::print(&v3::write(set))
}

#[cfg(test)]
mod tests;
