//! What grinds take, against closed forms.

#[path = "common/bare_knife.rs"]
mod bare_knife;
#[path = "ground_truths/bench.rs"]
mod bench;
#[path = "ground_truths/columns.rs"]
mod columns;
#[path = "ground_truths/solids.rs"]
mod solids;
#[path = "ground_truths/unlike.rs"]
mod unlike;
