//! The picture under the drawing in the window: laid, moved, made true, traced, taken over, and what happens when its file is gone.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "pictures/bench.rs"]
#[expect(dead_code, reason = "shared with the tests of pictures")]
mod camera;
#[path = "common/dropped.rs"]
mod dropped;
#[path = "common/mask.rs"]
mod mask;
#[path = "common/pictured.rs"]
#[expect(dead_code, reason = "shared with the tests of the command line")]
mod pictured;
#[path = "common/scene.rs"]
mod scene;
#[path = "common/shell.rs"]
#[expect(dead_code, reason = "shared with other tests of the window")]
mod shell;
#[path = "traces/bench.rs"]
#[expect(dead_code, reason = "shared with the tests of tracing")]
mod traces;

#[path = "window_picture/bench.rs"]
mod bench;
#[path = "window_picture/files.rs"]
mod files;
#[path = "window_picture/laying.rs"]
mod laying;
#[path = "window_picture/sheets.rs"]
mod sheets;
#[path = "window_picture/tracing.rs"]
mod tracing;
