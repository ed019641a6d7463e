//! Drawings read into knives: round trips of our own files, drawings as others write them, hostile ones.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "import/bench.rs"]
mod bench;
#[path = "import/corpus.rs"]
mod corpus;
#[path = "import/dxf_truths.rs"]
mod dxf_truths;
#[path = "import/hostile.rs"]
mod hostile;
#[path = "import/hostile_inputs.rs"]
mod hostile_inputs;
#[path = "import/judging.rs"]
mod judging;
#[path = "import/mutations.rs"]
mod mutations;
#[path = "import/round_trip.rs"]
mod round_trip;
#[path = "import/svg_truths.rs"]
mod svg_truths;
