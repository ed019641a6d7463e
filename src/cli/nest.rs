//! `nest`: knives laid on a bar or a sheet, with as little of its length as possible.

use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use serde::Serialize;

use super::complaint::{Complaint, about, one_line};
use super::nest_args::NestArguments;
use super::shop::Shop;
use super::template::write_all;
use super::{Answer, BAD_INPUT, check, open};
use crate::checks::Thresholds;
use crate::geometry::Rect;
use crate::nesting::{Blank, Nest, NestError, NestOptions, Placed, Stock, Turns, Why, nest};
use crate::sheet::exports::ExportFile;
use crate::sheet::{
    DxfOptions, Sheet, SvgOptions, cutting_sheet, nest_sheet, write_dxf, write_svg,
};
use crate::units::{Length, LengthFormat};

/// Searches that run side by side, each with its own seed; the best nest is kept.
const SEARCHES: u64 = 2;

pub(super) fn run(asked: &NestArguments, err: &mut dyn Write) -> Result<Answer, Complaint> {
    let Shop { figures, notes, .. } = Shop::load();
    let (blanks, sheets) = blanks(asked, &figures)?;
    let size = asked.stock();
    let stock = Stock::Bar {
        width_mm: size.height(),
        length_mm: size.width(),
    };
    let nest = searched(&blanks, &stock, asked, err).map_err(|error| refused(&error, &sheets))?;
    let drawn = nest_sheet("nest", &told(&nest, size), &sheets, &nest, size);
    let files = [
        ("nest.dxf", write_dxf(&drawn, &DxfOptions::default())),
        ("nest.svg", write_svg(&drawn, &SvgOptions::default())),
    ]
    .map(|(name, text)| ExportFile {
        name: name.to_owned(),
        bytes: text.into_bytes(),
    });
    let written = write_all(&asked.out, &files)?;
    let text = if asked.json {
        open::json(&NestAnswer::new(&nest, &sheets))?
    } else {
        format!("{}\n{written}", told(&nest, size))
    };
    Ok(Answer {
        text,
        complaints: left_over(&nest, &sheets),
        notes,
    })
}

/// All knives of all files as blanks, with their cutting sheets.
fn blanks(
    asked: &NestArguments,
    figures: &Thresholds,
) -> Result<(Vec<Blank>, Vec<Sheet>), Complaint> {
    let mut blanks = Vec::new();
    let mut sheets = Vec::new();
    let mut stops = Vec::new();
    for file in &asked.files {
        let set = open::design(file)?;
        for knife in &set.knives {
            let found = check::stops(knife, &check::findings(knife, &set, figures));
            if !found.is_empty() {
                stops.extend(found.iter().map(|stop| about(file, stop)));
                continue;
            }
            let sheet = cutting_sheet(knife, &set, LengthFormat::default())
                .map_err(|error| Complaint::bad_file(file, &error))?;
            sheets.push(sheet);
            blanks.push(Blank {
                outline: knife.contour(),
                count: asked.count,
                turns: if asked.any_turn {
                    Turns::Free
                } else {
                    Turns::Along
                },
                // Cut with the other face up and turned over in the hand it is the same blank, unless the bar's faces differ.
                mirror: asked.mirror && knife.stock.layering.core_offset_mm == 0.0,
            });
        }
    }
    if stops.is_empty() {
        Ok((blanks, sheets))
    } else {
        Err(Complaint {
            message: stops.join("\n"),
            code: BAD_INPUT,
        })
    }
}

/// The best nest that the searches find in time. On a terminal each gain is told, and Enter stops the search.
fn searched(
    blanks: &[Blank],
    stock: &Stock,
    asked: &NestArguments,
    err: &mut dyn Write,
) -> Result<Nest, NestError> {
    let end = Instant::now() + Duration::from_secs_f64(asked.seconds);
    let stop = Arc::new(AtomicBool::new(false));
    let watched = std::io::stderr().is_terminal();
    if watched && std::io::stdin().is_terminal() {
        stop_on_enter(&stop);
        let _ = writeln!(err, "press Enter to stop and keep the best so far");
    }
    let (tell, told) = mpsc::channel();
    let found: Vec<Result<Nest, NestError>> = thread::scope(|scope| {
        let searches: Vec<_> = (0..SEARCHES)
            .map(|k| {
                let (tell, stop) = (tell.clone(), Arc::clone(&stop));
                let options = NestOptions {
                    gap_mm: asked.gap,
                    edge_mm: asked.edge(),
                    seed: k + 1,
                };
                scope.spawn(move || {
                    let mut last = (0, 0.0);
                    nest(blanks, stock, &options, &mut |progress| {
                        let best = progress.best;
                        let now = (best.placed.len(), best.used_length_mm);
                        if now != last {
                            last = now;
                            // Nobody listens any more only when all is over.
                            let _ = tell.send(now);
                        }
                        Instant::now() < end && !stop.load(Ordering::Relaxed)
                    })
                })
            })
            .collect();
        drop(tell);
        let mut best = (0, f64::INFINITY);
        for (placed, length) in told {
            if watched && (placed > best.0 || (placed == best.0 && length < best.1)) {
                best = (placed, length);
                let _ = writeln!(err, "{placed} placed on {}", print(length));
            }
        }
        searches
            .into_iter()
            .filter_map(|search| search.join().ok())
            .collect()
    });
    found
        .into_iter()
        .reduce(|a, b| match (a, b) {
            (Ok(a), Ok(b)) => Ok(if better(&b, &a) { b } else { a }),
            (Ok(a), Err(_)) | (Err(_), Ok(a)) => Ok(a),
            (Err(a), Err(_)) => Err(a),
        })
        .unwrap_or(Err(NestError::Nothing))
}

/// Whether `a` places more than `b`, or as much on less.
fn better(a: &Nest, b: &Nest) -> bool {
    let (placed, than) = (a.placed.len(), b.placed.len());
    placed > than || (placed == than && a.used_length_mm < b.used_length_mm)
}

/// Sets the flag once a line comes in. The thread is left waiting when none does; it ends with the program.
fn stop_on_enter(stop: &Arc<AtomicBool>) {
    let stop = Arc::clone(stop);
    // Without the thread the search only can't be stopped early.
    let _ = thread::Builder::new()
        .name("stop on enter".to_owned())
        .spawn(move || {
            let mut line = String::new();
            if std::io::stdin().read_line(&mut line).is_ok_and(|n| n > 0) {
                stop.store(true, Ordering::Relaxed);
            }
        });
}

fn refused(error: &NestError, sheets: &[Sheet]) -> Complaint {
    match error {
        NestError::Outline { index, .. } | NestError::TooFine { index, .. } => {
            let name = sheets.get(*index).map_or("", |sheet| &sheet.name);
            Complaint::bad(format!("{}: {error}", one_line(name)))
        }
        error => Complaint::wrong_use(error),
    }
}

fn print(mm: f64) -> String {
    LengthFormat::default().print(Length::mm(mm))
}

/// The nest in a line.
fn told(nest: &Nest, size: Rect) -> String {
    format!(
        "{} placed on {} of {} by {}, {:.1} % of it steel of knives",
        nest.placed.len(),
        print(nest.used_length_mm),
        print(size.height()),
        print(size.width()),
        100.0 * nest.density
    )
}

fn why(why: Why) -> &'static str {
    match why {
        Why::TooLarge => "too large for the stock between its margins in any turn allowed",
        Why::NoRoom => "no room was found",
        Why::Stopped => "the time was over before its turn came",
    }
}

/// A line for each knife that was left over.
fn left_over(nest: &Nest, sheets: &[Sheet]) -> Vec<String> {
    let mend = |reason| match reason {
        Why::TooLarge => "take larger stock, or allow any turn",
        Why::NoRoom => "take longer stock, or fewer knives",
        Why::Stopped => "give it more seconds",
    };
    nest.left_over
        .iter()
        .map(|left| {
            let name = sheets.get(left.blank).map_or("", |sheet| &sheet.name);
            format!(
                "tangwright: {}: {} left over: {}; {}",
                one_line(name),
                left.count,
                why(left.why),
                mend(left.why)
            )
        })
        .collect()
}

/// The answer as JSON. Names and nesting are a promise to other programs: fields may be added, none renamed or taken away.
#[derive(Debug, Serialize)]
struct NestAnswer<'a> {
    /// Length of stock taken, margins on both ends included.
    used_length_mm: f64,
    /// Area of the knives' outlines over used length times width.
    density: f64,
    pieces: Vec<PieceAnswer<'a>>,
    left_over: Vec<LeftOverAnswer<'a>>,
}

/// Where a knife lies: its own coordinates (shoulder line at `x = 0`) are mirrored about the x axis if `mirrored`, then turned
/// counterclockwise about the origin, then shifted, and are those of the stock then, whose corner is at 0, 0 and whose length runs along x.
#[derive(Debug, Serialize)]
struct PieceAnswer<'a> {
    knife: &'a str,
    x_mm: f64,
    y_mm: f64,
    turn_deg: f64,
    mirrored: bool,
}

#[derive(Debug, Serialize)]
struct LeftOverAnswer<'a> {
    knife: &'a str,
    count: usize,
    reason: &'static str,
}

impl<'a> NestAnswer<'a> {
    fn new(nest: &Nest, sheets: &'a [Sheet]) -> Self {
        let name = |blank: usize| sheets.get(blank).map_or("", |sheet| sheet.name.as_str());
        let piece = |placed: &Placed| PieceAnswer {
            knife: name(placed.blank),
            x_mm: placed.motion.shift.x,
            y_mm: placed.motion.shift.y,
            turn_deg: placed.motion.turn_rad.to_degrees(),
            mirrored: placed.motion.mirrored,
        };
        Self {
            used_length_mm: nest.used_length_mm,
            density: nest.density,
            pieces: nest.placed.iter().map(piece).collect(),
            left_over: nest
                .left_over
                .iter()
                .map(|left| LeftOverAnswer {
                    knife: name(left.blank),
                    count: left.count,
                    reason: why(left.why),
                })
                .collect(),
        }
    }
}
