//! Nesting held against published instances, and the command that nests knives.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

/// Arguments of different kinds as one list.
macro_rules! arguments {
    ($($argument:expr),* $(,)?) => {
        Vec::from([$(std::ffi::OsString::from(&$argument)),*])
    };
}

#[path = "cli/bench.rs"]
#[expect(dead_code, reason = "shared with the tests of the other commands")]
mod bench;

#[path = "nesting/command.rs"]
mod command;
#[path = "nesting/instances.rs"]
mod instances;
