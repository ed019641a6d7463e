//! Starts the program: the window, or the command line.

use std::io::Write;
use std::process::ExitCode;

use tangwright::cli::{self, Next};

fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    match cli::run(std::env::args_os(), &mut out, &mut err) {
        Next::Exit { code } => ExitCode::from(code),
        Next::OpenWindow { file } => match tangwright::window::run(file) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                // With nobody reading, there is nobody to tell.
                let _ = writeln!(err, "{}", cli::no_window(&error.reason));
                ExitCode::from(cli::WRONG_USE)
            }
        },
    }
}
