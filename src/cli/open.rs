//! Designs from files, and answers to text.

use std::path::Path;

use serde::Serialize;

use super::complaint::Complaint;
use crate::files::open_design;
use crate::knife::KnifeSet;

/// Reads a design file.
pub(super) fn design(path: &Path) -> Result<KnifeSet, Complaint> {
    match open_design(path) {
        Ok((set, _)) => Ok(set),
        Err(error) => Err(Complaint::bad_file(path, &error)),
    }
}

/// An answer as JSON for other programs, on lines that people can read too.
pub(super) fn json(answer: &impl Serialize) -> Result<String, Complaint> {
    match serde_json::to_string_pretty(answer) {
        Ok(mut text) => {
            text.push('\n');
            Ok(text)
        }
        Err(error) => Err(Complaint::bad(format!(
            "the answer can't be put in JSON: {error}"
        ))),
    }
}
