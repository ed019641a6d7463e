//! Plans of made-up tangs against a full search, and plans of the orchard set.

mod laws;
mod quality;
mod rules;
mod stage;
