//! The command line, run as makers run it: the real program, real files.

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
mod bench;

#[path = "cli/asking.rs"]
mod asking;
#[path = "cli/bad_input.rs"]
mod bad_input;
#[path = "cli/bearing.rs"]
mod bearing;
#[path = "cli/checking.rs"]
mod checking;
#[path = "cli/ground.rs"]
mod ground;
#[path = "cli/importing.rs"]
mod importing;
#[path = "cli/making.rs"]
mod making;
#[path = "cli/weighing.rs"]
mod weighing;
