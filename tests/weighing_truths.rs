//! Outside truths for everything that is weighed: published closed forms, other libraries, laws that hold whatever the
//! numbers are, and cut-outs that can't be counted.

#[path = "common/bare_knife.rs"]
mod bare_knife;
#[path = "weighing_truths/bench.rs"]
mod bench;
#[path = "weighing_truths/flattened.rs"]
mod flattened;
#[path = "weighing_truths/guard_seat.rs"]
mod guard_seat;
#[path = "weighing_truths/handle_mesh.rs"]
mod handle_mesh;
#[path = "weighing_truths/laws.rs"]
mod laws;
#[path = "weighing_truths/overlaps.rs"]
mod overlaps;
#[path = "weighing_truths/parts.rs"]
mod parts;
#[path = "weighing_truths/plane_figures.rs"]
mod plane_figures;
#[path = "weighing_truths/round_figures.rs"]
mod round_figures;
#[path = "weighing_truths/unsound.rs"]
mod unsound;
