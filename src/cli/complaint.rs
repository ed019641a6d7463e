//! Why a command was not done.

use std::path::Path;

use super::{BAD_INPUT, WRONG_USE};

/// A message for standard error and the exit code that goes with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Complaint {
    /// One line or more, each complete.
    pub message: String,
    /// 1 or 2.
    pub code: u8,
}

impl Complaint {
    /// Something read or written is bad.
    pub(super) fn bad(message: impl std::fmt::Display) -> Self {
        Self {
            message: format!("tangwright: {message}"),
            code: BAD_INPUT,
        }
    }

    /// The same, about a file, which each line names.
    pub(super) fn bad_file(path: &Path, reason: &impl std::fmt::Display) -> Self {
        Self {
            message: about(path, &reason.to_string()),
            code: BAD_INPUT,
        }
    }

    /// The program was called wrongly.
    pub(super) fn wrong_use(message: impl std::fmt::Display) -> Self {
        Self {
            message: format!("tangwright: {message}"),
            code: WRONG_USE,
        }
    }
}

/// Text from a file on one line, and without anything a terminal would obey.
pub(super) fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// A reason of one line or more; a line that does not name the path already begins with it.
pub(super) fn about(path: &Path, reason: &str) -> String {
    let path = one_line(&path.display().to_string());
    let lines: Vec<String> = reason
        .lines()
        .map(one_line)
        .map(|line| {
            if line.contains(&path) {
                format!("tangwright: {line}")
            } else {
                format!("tangwright: {path}: {line}")
            }
        })
        .collect();
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_names_the_file_once() {
        let path = Path::new("a/b.tangwright");
        let reason = "a/b.tangwright: knives[0].name: too long\nknives[1].id: used\ttwice";
        assert_eq!(
            about(path, reason),
            "tangwright: a/b.tangwright: knives[0].name: too long\n\
             tangwright: a/b.tangwright: knives[1].id: used twice"
        );
    }
}
