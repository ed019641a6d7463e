//! The command line, run as makers run it: the real program, real files.

#![expect(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

#[macro_use]
#[path = "common/arguments.rs"]
mod arguments;

#[path = "cli/bench.rs"]
mod bench;

#[path = "cli/asking.rs"]
mod asking;
#[path = "cli/bad_input.rs"]
mod bad_input;
#[path = "cli/bearing.rs"]
mod bearing;
#[path = "cli/checking.rs"]
mod checking;
#[path = "cli/drilling.rs"]
mod drilling;
#[path = "cli/engraving.rs"]
mod engraving;
#[path = "cli/forging.rs"]
mod forging;
#[path = "cli/ground.rs"]
mod ground;
#[path = "cli/importing.rs"]
mod importing;
#[path = "cli/making.rs"]
mod making;
#[path = "common/mask.rs"]
mod mask;
#[path = "cli/named.rs"]
mod named;
#[path = "common/pictured.rs"]
mod pictured;
#[path = "cli/printer.rs"]
mod printer;
#[path = "cli/readying.rs"]
mod readying;
#[path = "common/scene.rs"]
mod scene;
#[path = "cli/tabling.rs"]
mod tabling;
#[path = "traces/bench.rs"]
#[expect(dead_code, reason = "shared with the tests of tracing")]
mod traces;
#[path = "cli/tracing.rs"]
mod tracing;
#[path = "cli/weighing.rs"]
mod weighing;
