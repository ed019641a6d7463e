//! The command line: what the library knows, without a window.
//!
//! [`run`] reads the arguments, does the work and says what is left to do: open the window, or end with an exit code. 0: done. 1: the
//! design has a `stop` finding, or what was read or written is bad. 2: wrong use. Everything printed is made up first and written at
//! once; a reader that goes away early is no error.

mod args;
mod build;
mod check;
mod choose;
mod complaint;
mod counts;
mod drills;
mod engrave;
mod import;
mod import_json;
mod left;
mod nest;
mod nest_args;
mod new;
mod open;
mod plan;
mod plan_json;
mod printer;
mod rack_table;
mod ready;
mod service;
mod shop;
mod strength;
mod strength_json;
mod table;
mod template;
mod trace;
mod trace_args;
mod weigh;
mod weigh_forge;
mod weigh_json;

use std::ffi::OsString;
use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use clap::Parser;

use args::{Arguments, Command};
use complaint::{Complaint, one_line};

/// What is left to do after the arguments are read.
#[derive(Debug, PartialEq, Eq)]
pub enum Next {
    /// Open the window, on a file if one was given.
    OpenWindow {
        /// The file.
        file: Option<PathBuf>,
    },
    /// End with this exit code.
    Exit {
        /// 0, 1 or 2.
        code: u8,
    },
}

/// Exit code when all went well.
pub const DONE: u8 = 0;
/// Exit code when the design can't be made as it stands, or what was read or written is bad.
pub const BAD_INPUT: u8 = 1;
/// Exit code when the program was called wrongly, or there is no display to open a window on.
pub const WRONG_USE: u8 = 2;

/// What a command has to say.
#[derive(Debug, Default)]
struct Answer {
    /// For standard output.
    text: String,
    /// For standard error: why the exit code is not 0.
    complaints: Vec<String>,
    /// For standard error: what the maker should know, though all went well.
    notes: Vec<String>,
}

/// Does what the arguments ask, the first being the program's own name. Answers go to `out`, complaints to `err`.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Next {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(refusal) => return refused(&refusal, out, err),
    };
    let answer = match arguments.command {
        None => {
            return Next::OpenWindow {
                file: arguments.file,
            };
        }
        Some(Command::Weigh(asked)) => weigh::run(&asked),
        Some(Command::Table(asked)) => rack_table::run(&asked),
        Some(Command::Check(asked)) => check::run(&asked),
        Some(Command::Ready(asked)) => ready::run(&asked),
        Some(Command::Service(asked)) => service::run(&asked),
        Some(Command::Engrave(asked)) => engrave::run(&asked),
        Some(Command::Drills(asked)) => drills::run(&asked),
        Some(Command::Plan(asked)) => plan::run(&asked),
        Some(Command::Strength(asked)) => strength::run(&asked),
        Some(Command::Build(asked)) => build::run(&asked),
        Some(Command::Template(asked)) => template::run(&asked),
        Some(Command::Printer(asked)) => printer::run(&asked),
        Some(Command::Nest(asked)) => nest::run(&asked, err),
        Some(Command::New(asked)) => new::run(&asked),
        Some(Command::Import(asked)) => import::run(&asked),
        Some(Command::Trace(asked)) => trace::run(&asked),
    };
    let code = match answer {
        Ok(answer) => {
            let spoken = speak(out, &answer.text);
            complain(err, &answer.notes);
            complain(err, &answer.complaints);
            match spoken {
                Ok(()) if answer.complaints.is_empty() => DONE,
                Ok(()) => BAD_INPUT,
                Err(complaint) => {
                    complain(err, &[complaint.message]);
                    complaint.code
                }
            }
        }
        Err(complaint) => {
            complain(err, &[complaint.message]);
            complaint.code
        }
    };
    Next::Exit { code }
}

/// The line for a window that did not open: what is the matter, and what works all the same. `reason` is what the desktop said.
#[must_use]
pub fn no_window(reason: &str) -> String {
    let reason = reason.lines().next().unwrap_or_default();
    let what = if reason.contains("DISPLAY") {
        "there is no display to open a window on".to_owned()
    } else {
        format!("the window can't be opened: {}", one_line(reason))
    };
    format!(
        "tangwright: {what}; `tangwright weigh FILE` works without one, and `tangwright --help` lists more"
    )
}

/// Help and version are answers; anything else clap says is a complaint.
fn refused(refusal: &clap::Error, out: &mut dyn Write, err: &mut dyn Write) -> Next {
    let text = refusal.render().to_string();
    if refusal.use_stderr() {
        complain(err, &[text.trim_end().to_owned()]);
        return Next::Exit { code: WRONG_USE };
    }
    let code = match speak(out, &text) {
        Ok(()) => DONE,
        Err(complaint) => {
            complain(err, &[complaint.message]);
            complaint.code
        }
    };
    Next::Exit { code }
}

/// Writes an answer. A reader that has gone away (`| head`) has what it wanted.
fn speak(out: &mut dyn Write, text: &str) -> Result<(), Complaint> {
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Complaint::bad(format!(
            "the answer could not be written: {error}; make room, or send it elsewhere"
        ))),
        _ => Ok(()),
    }
}

/// Writes complaints, one a line and more; where that fails there is nobody left to tell.
fn complain(err: &mut dyn Write, complaints: &[String]) {
    for complaint in complaints {
        for line in complaint.lines() {
            let _ = writeln!(err, "{line}");
        }
    }
    let _ = err.flush();
}
