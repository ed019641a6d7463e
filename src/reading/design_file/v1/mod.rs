//! Version 1 of the design file: the words of its fields, and the way to and from the model.
//!
//! The names and words here are the file's own and never change, whatever the model or the window call things later. Places match those of
//! the knife room's rules, so that a broken rule points at the field it is about.

mod reader;
mod words;
mod writer;

pub(super) use reader::read;
pub(super) use writer::write;

pub use reader::MOST_MATERIALS;
