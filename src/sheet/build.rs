//! The build sheet: what is done to one knife or several, in the order of the work, with the numbers and the cautions of each step.
//!
//! Of several knives each step holds all of them, so that the work goes side by side: everything is drilled before anything is hardened. Room is left
//! to write down what the scale says. [`ToldKnife`] is one knife told; [`steps_of`] brings several together; [`build_pages`] lays them out on paper.

mod cautions;
mod fire;
mod grinds;
mod holes;
mod layout;
mod parts;
mod rows;
mod steps;
mod tell;
mod work;

pub use layout::build_pages;
pub use steps::{
    BuildOptions, BuildStep, BuildTable, Item, Share, ToldKnife, build_steps, steps_of,
};
