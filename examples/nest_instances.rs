//! Nests the open instances as the program does: `cargo run --example nest_instances -- SECONDS|enough OUT.json INSTANCE.json...`.
//!
//! Two searches side by side, seeds 1 and 2, as `tangwright nest` and the window run them, each instance for SECONDS, or until it is
//! good enough and a minute at most. Tells how long it took to come to 95 % of
//! the best density published (`tests/nesting/README.md`) and how far it came, and writes where every piece lies, for another reader to measure.

#![expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a tool for the bench that speaks and may stop"
)]

use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tangwright::files::write_atomically;
use tangwright::nesting::{Nest, NestOptions, Stock, nest};

#[path = "../tests/nesting/reading.rs"]
mod reading;

/// Best densities published, by the file's stem; see `tests/nesting/README.md`.
const BEST: [(&str, f64); 2] = [("fu", 0.9240), ("jakobs1", 0.8925)];
/// The share of them that is wanted.
const SHARE: f64 = 0.95;

/// The time within which that is wanted.
const LONGEST: Duration = Duration::from_secs(60);

/// The best nest so far of both searches, and when it first was good enough.
#[derive(Default)]
struct Best {
    nest: Option<Nest>,
    reached: Option<Duration>,
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [seconds, out, instances @ ..] = words.as_slice() else {
        println!("give SECONDS or 'enough', OUT.json, INSTANCE.json...");
        return;
    };
    let enough = seconds == "enough";
    let seconds = if enough {
        LONGEST
    } else {
        Duration::from_secs_f64(seconds.parse().expect("seconds"))
    };
    let answers: Vec<Value> = instances
        .iter()
        .map(|instance| searched(Path::new(instance), seconds, enough))
        .collect();
    let text = serde_json::to_string_pretty(&answers).expect("plain values");
    write_atomically(Path::new(out), text.as_bytes()).expect("it can be written");
}

fn searched(path: &Path, seconds: Duration, enough: bool) -> Value {
    let text = std::fs::read_to_string(path).expect("the instance can be read");
    let (blanks, width_mm) = reading::read(&text);
    let stem = path.file_stem().map(|s| s.to_string_lossy().into_owned());
    let stem = stem.unwrap_or_default();
    let published = BEST.iter().find(|(name, _)| *name == stem);
    let published = published.map_or(1.0, |(_, density)| *density);
    let pieces: usize = blanks.iter().map(|blank| blank.count).sum();
    let stock = Stock::Bar {
        width_mm,
        length_mm: 500.0,
    };
    let best = Mutex::new(Best::default());
    let begun = Instant::now();
    std::thread::scope(|scope| {
        for seed in 1..=2 {
            let (best, blanks, stock) = (&best, &blanks, &stock);
            scope.spawn(move || {
                let options = NestOptions {
                    gap_mm: 0.0,
                    edge_mm: 0.0,
                    seed,
                };
                let _ = nest(blanks, stock, &options, &mut |progress| {
                    let mut best = best.lock().expect("no search panics");
                    let better = best
                        .nest
                        .as_ref()
                        .is_none_or(|n| progress.best.is_better_than(n));
                    if better {
                        best.nest = Some(progress.best.clone());
                    }
                    let whole = progress.best.placed.len() == pieces;
                    if whole && progress.best.density >= SHARE * published {
                        best.reached.get_or_insert(begun.elapsed());
                    }
                    begun.elapsed() < seconds && !(enough && best.reached.is_some())
                });
            });
        }
    });
    let took = begun.elapsed();
    let best = best.into_inner().expect("no search panics");
    let nest = best.nest.expect("a nest");
    let share = nest.density / published;
    match best.reached {
        Some(at) => println!(
            "{stem}: 95 % after {:.2} s, {:.2} % after {:.0} s",
            at.as_secs_f64(),
            100.0 * share,
            took.as_secs_f64()
        ),
        None => println!(
            "{stem}: only {:.2} % after {:.0} s",
            100.0 * share,
            took.as_secs_f64()
        ),
    }
    let placed: Vec<Value> = nest
        .placed
        .iter()
        .filter_map(|placed| Some((placed, blanks.get(placed.blank)?)))
        .map(|(placed, blank)| {
            let corners = blank.outline.moved(&placed.motion).flattened(1.0);
            json!(corners.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>())
        })
        .collect();
    json!({
        "instance": stem,
        "pieces": pieces,
        "width": width_mm,
        "used_length": nest.used_length_mm,
        "density": nest.density,
        "published": published,
        "seconds_to_95": best.reached.map(|at| at.as_secs_f64()),
        "placed": placed,
    })
}
