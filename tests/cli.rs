//! The command line, run as makers run it: the real program, real files.

#![expect(
    clippy::expect_used,
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
#[path = "cli/named.rs"]
mod named;
#[path = "cli/printer.rs"]
mod printer;
#[path = "cli/readying.rs"]
mod readying;
#[path = "cli/weighing.rs"]
mod weighing;
