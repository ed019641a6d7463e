//! Version 1 of the design file: the words of its fields, and the way to the model. Its knives are of plain steel, and nothing is ground off.
//!
//! The names and words here are the file's own and never change, whatever the model or the window call things later. Places match those of
//! the knife room's rules, so that a broken rule points at the field it is about.

pub(super) mod reader;
pub(super) mod words;

pub(super) use reader::read;

pub use reader::MOST_MATERIALS;
