//! The build sheet: what is done to one knife or several, in the order of the work, with the numbers and the cautions of each step.
//!
//! Of several knives each step holds all of them, so that the work goes side by side: everything is drilled before anything is hardened. Room is left
//! to write down what the scale says.

mod layout;
mod steps;
mod tell;

pub use layout::build_sheet;
pub use steps::{BuildStep, Share, build_steps};
