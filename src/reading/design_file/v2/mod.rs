//! Version 2 of the design file: version 1, with the layers of the bar and all that is ground off it.
//!
//! The names and words here are the file's own and never change, whatever the model or the window call things later. Places match those of
//! the knife room's rules, so that a broken rule points at the field it is about.

mod grinding_reader;
pub(super) mod reader;
pub(super) mod words;

pub(super) use reader::read;
