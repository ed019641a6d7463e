//! Starts the program: the window, or the command line.

use std::process::ExitCode;

fn main() -> ExitCode {
    match tangwright::window::run(None) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_) => ExitCode::from(2),
    }
}
