//! The pages of the bench besides the drawing: the set, the nest, the build sheet.

#[path = "common/shell.rs"]
#[expect(dead_code, reason = "shared with other tests of the window")]
mod common;
#[path = "common/dropped.rs"]
mod dropped;

#[path = "window_bench/build.rs"]
mod build;
#[path = "window_bench/filed.rs"]
mod filed;
#[path = "window_bench/mends.rs"]
mod mends;
#[path = "window_bench/nest.rs"]
mod nest;
#[path = "window_bench/ready.rs"]
mod ready;
#[path = "window_bench/set.rs"]
mod set;
#[path = "window_bench/set_drawn.rs"]
mod set_drawn;
#[path = "window_bench/shown.rs"]
mod shown;
