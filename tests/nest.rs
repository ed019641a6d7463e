//! Nesting held against published instances, and the command that nests knives.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

#[macro_use]
#[path = "common/arguments.rs"]
mod arguments;

#[path = "cli/bench.rs"]
#[expect(dead_code, reason = "shared with the tests of the other commands")]
mod bench;

#[path = "nesting/command.rs"]
mod command;
#[path = "nesting/instances.rs"]
mod instances;
#[path = "nesting/reading.rs"]
mod reading;
