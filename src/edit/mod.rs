//! Every edit as plain data, one function that applies it, and the history that undoes it.
//!
//! A dragged node goes one way: pointer → window tool → an [`Edit`] → [`apply`] → a new set → weighing → the drawing. Nothing else
//! changes a design.

mod apply;
mod both;
mod carry;
mod change;
mod clamping;
mod copy_aside;
mod error;
mod fitted;
mod following;
mod grinding;
mod history;
mod holes;
mod label;
mod moving;
mod outline_edits;
mod rack;
mod redraw;
mod removing;
mod saw;
mod saw_path;
mod sizes;
mod stretches;
mod thing;

pub use apply::apply;
pub use carry::Carried;
pub use change::{Change, Edit, StepAlong};
pub use clamping::is_clamped;
pub use error::EditError;
pub use history::{History, Revision};
pub use holes::MOST_COPIES;
pub(crate) use rack::first_free;
pub use saw::{AfterSaw, lost_by_sawing};
pub use stretches::MOST_SPLIT;
pub use thing::{Thing, thing_point, whole_things};
