//! Every edit as plain data, one function that applies it, and the history that undoes it.
//!
//! A dragged node goes one way: pointer → window tool → an [`Edit`] → [`apply`] → a new set → weighing → the drawing. Nothing else
//! changes a design.

mod apply;
mod change;
mod fitted;
mod grinding;
mod history;
mod moving;
mod outline_edits;
mod rack;
mod removing;
mod saw;
mod saw_path;
mod sizes;
mod thing;

pub use apply::{EditError, apply};
pub use change::{Change, Edit};
pub use history::{History, Revision};
pub(crate) use rack::first_free;
pub use saw::{AfterSaw, lost_by_sawing};
pub use thing::{Thing, thing_point, whole_things};
