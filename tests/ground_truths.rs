//! What grinds take, against closed forms.

#[path = "ground_truths/bench.rs"]
mod bench;
#[path = "ground_truths/solids.rs"]
mod solids;
