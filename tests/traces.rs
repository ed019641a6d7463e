//! Tracing held against pictures rendered from known outlines, in perspective, with noise and shadows.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests may"
)]

#[path = "traces/bench.rs"]
mod bench;
#[path = "common/mask.rs"]
mod mask;
#[path = "traces/refusals.rs"]
mod refusals;
#[path = "common/scene.rs"]
mod scene;
#[path = "traces/truths.rs"]
mod truths;
