//! `nest`: knives laid on a bar or a sheet, with as little of its length as possible.

use std::io::{IsTerminal, Write};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use serde::Serialize;

use super::args::UnitArgument;
use super::complaint::{Complaint, about, one_line};
use super::import::read_all;
use super::nest_args::NestArguments;
use super::shop::Shop;
use super::template::write_all;
use super::{Answer, BAD_INPUT, check, open};
use crate::geometry::Contour;
use crate::nesting::{
    Blank, Nest, NestError, NestOptions, Placed, Stock, Why, nest, typed_corners, typed_flaws,
};
use crate::reading::drawing::{ImportOptions, is_drawing};
use crate::sheet::{
    Sheet, as_cut, knife_blank, nest_files, nest_of_several_bars, nest_sheet, nest_words,
};
use crate::units::{Length, LengthFormat, LengthUnit};

/// Searches that run side by side, each with its own seed; the best nest is kept.
const SEARCHES: u64 = 2;

pub(super) fn run(asked: &NestArguments, err: &mut dyn Write) -> Result<Answer, Complaint> {
    let shop = Shop::load();
    let mut notes = shop.notes.clone();
    let stock = stock(asked)?;
    let (blanks, sheets) = blanks(asked, &shop)?;
    let cut: Vec<Sheet> = blanks
        .iter()
        .zip(&sheets)
        .filter(|(blank, _)| blank.count > 0)
        .map(|(_, sheet)| sheet.clone())
        .collect();
    notes.extend(nest_of_several_bars(&cut).map(|told| format!("tangwright: {told}")));
    let nest = searched(&blanks, &stock, asked, err).map_err(|error| refused(&error, &sheets))?;
    let told = nest_words(&nest, &stock, LengthFormat::default());
    let drawn = nest_sheet("nest", &told, &sheets, &nest, &stock);
    let written = write_all(&asked.out, &nest_files(&drawn))?;
    let text = if asked.json {
        open::json(&NestAnswer::new(&nest, &sheets))?
    } else {
        format!("{told}\n{written}")
    };
    Ok(Answer {
        text,
        complaints: left_over(&nest, &sheets),
        notes,
    })
}

/// What is cut from.
fn stock(asked: &NestArguments) -> Result<Stock, Complaint> {
    if let Some(bar) = asked.bar.or(asked.sheet) {
        // The parser can't say so: what is needed for a flaw is in conflict with the bar.
        if !asked.flaw.is_empty() || asked.units.is_some() {
            return Err(Complaint::wrong_use(
                "--flaw and --units speak of an odd piece: give it with --piece",
            ));
        }
        return Ok(Stock::Bar {
            width_mm: bar.width_mm,
            length_mm: bar.length_mm,
        });
    }
    let told = asked.piece.as_deref().unwrap_or_default();
    let mut stock = piece(told, asked)?;
    if let Stock::Odd { flaws, .. } = &mut stock {
        for text in &asked.flaw {
            flaws.extend(typed_flaws(text, LengthUnit::Mm).map_err(Complaint::wrong_use)?);
        }
    }
    Ok(stock)
}

/// An odd piece: a file, or corners as typed.
fn piece(told: &str, asked: &NestArguments) -> Result<Stock, Complaint> {
    let path = Path::new(told);
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("tangwright") => {
            let set = open::design(path)?;
            let knife = set.knives.first().ok_or_else(|| {
                Complaint::bad_file(
                    path,
                    &"it has no knife: draw the piece as one, with its flaws",
                )
            })?;
            Ok(Stock::of_knife(knife))
        }
        _ if is_drawing(path) => {
            let options = ImportOptions {
                unit: asked.units.map(UnitArgument::unit),
                as_drawn: true,
                ..ImportOptions::default()
            };
            let mut read = read_all(&[path.to_owned()], &options)?;
            let read = read
                .pop()
                .ok_or_else(|| Complaint::bad_file(path, &"nothing was read"))?;
            let flaws = read.openings.iter().map(|o| o.shape.contour());
            Ok(Stock::Odd {
                flaws: flaws.collect(),
                outline: read.outline,
            })
        }
        _ => {
            let corners = typed_corners(told, LengthUnit::Mm).map_err(|error| {
                Complaint::wrong_use(format!(
                    "--piece: {error}; or name an SVG, DXF or design file"
                ))
            })?;
            Ok(Stock::Odd {
                outline: Contour::polygon(&corners),
                flaws: Vec::new(),
            })
        }
    }
}

/// All knives of all files as blanks, with their cutting sheets.
fn blanks(asked: &NestArguments, shop: &Shop) -> Result<(Vec<Blank>, Vec<Sheet>), Complaint> {
    let left = asked.left.left(shop)?.whole();
    let mut blanks = Vec::new();
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut stops = Vec::new();
    for file in &asked.files {
        let set = open::design(file)?;
        for knife in &set.knives {
            let count = asked.counts.of(&knife.name);
            let found = check::stops(knife, &check::findings(knife, &set, &shop.figures));
            if !found.is_empty() {
                stops.extend(found.iter().map(|stop| about(file, stop)));
                continue;
            }
            let sheet = as_cut(knife, &set, &left, LengthFormat::default())
                .map_err(|error| Complaint::bad_file(file, &error))?;
            let blank = knife_blank(knife, &sheet, count, asked.any_turn, asked.mirror);
            blanks.extend(blank);
            sheets.push(sheet);
        }
    }
    if !stops.is_empty() {
        return Err(Complaint {
            message: stops.join("\n"),
            code: BAD_INPUT,
        });
    }
    asked.counts.judge(sheets.iter().map(|s| s.name.as_str()))?;
    Ok((blanks, sheets))
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
            (Ok(a), Ok(b)) => Ok(if b.is_better_than(&a) { b } else { a }),
            (Ok(a), Err(_)) | (Err(_), Ok(a)) => Ok(a),
            (Err(a), Err(_)) => Err(a),
        })
        .unwrap_or(Err(NestError::Nothing))
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
        NestError::Outline { what, index, .. } | NestError::TooFine { what, index }
            if *what == "blank" =>
        {
            let name = sheets.get(*index).map_or("", |sheet| &sheet.name);
            Complaint::bad(format!("{}: {error}", one_line(name)))
        }
        error => Complaint::wrong_use(error),
    }
}

fn print(mm: f64) -> String {
    LengthFormat::default().print(Length::mm(mm))
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
