//! From the tree of a version 3 file to a set.

use super::super::record::Record;
use super::super::v1::reader::{material_with, read_knife, read_set};
use super::super::v2::reader::{ground, stock};
use super::super::v2::words::LANDMARKS;
use super::fitted_reader::fitted;
use super::words::TANGS;
use crate::knife::KnifeSet;

/// Reads the set; `None` when a problem was noted.
pub(in super::super) fn read(root: Record<'_>) -> Option<KnifeSet> {
    let material = |from: Record<'_>| material_with(from, |from| from.optional_text("data_sheet"));
    read_set(root, material, |from| {
        read_knife(from, (LANDMARKS, TANGS), stock, ground, fitted)
    })
}
