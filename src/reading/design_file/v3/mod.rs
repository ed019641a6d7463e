//! Version 3 of the design file: version 2, with the handle, the flaws of the steel and the weigh-ins.
//!
//! The names and words here are the file's own and never change, whatever the model or the window call things later. Places match those of
//! the knife room's rules, so that a broken rule points at the field it is about.

mod fitted_reader;
mod fitted_writer;
mod forging;
mod grinding_writer;
mod laid_picture;
mod reader;
mod words;
mod writer;

pub(super) use reader::read;
pub(super) use writer::write;
