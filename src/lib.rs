//! Tangwright: draw a blade with its tang at true size, and know what it weighs before any steel is cut.

pub mod catalog;
pub mod checks;
pub mod cli;
pub mod edit;
pub mod files;
pub mod geometry;
pub mod knife;
pub mod nesting;
pub mod planning;
pub mod reading;
pub mod sheet;
pub mod strength;
pub mod thickness;
pub mod tracing;
pub mod units;
pub mod weighing;
pub mod window;
