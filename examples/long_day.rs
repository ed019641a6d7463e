//! A long day at the bench: `cargo run --example long_day -- actions 10000`, `-- edits 10000` or `-- frames 100000`. Says what it found and how much
//! memory was held; stops with a message at the first thing that must not be, growth of memory among it.

#![expect(clippy::print_stdout, reason = "a measurement prints its result")]
#![expect(
    clippy::expect_used,
    reason = "what must not be stops the program with a message"
)]

#[path = "../tests/common/hail.rs"]
mod hail;
#[path = "../tests/common/many_edits.rs"]
mod many_edits;
#[path = "../tests/common/resident.rs"]
mod resident;

use std::time::Instant;

use hail::Hail;
use many_edits::BYTES_A_STEP;
use resident::{SLACK, assert_grown_by_at_most, resident};
use tangwright::edit::History;
use tangwright::knife::orchard_set;

/// So many random actions are played on one window before a new one is opened.
const ACTIONS_A_WINDOW: u64 = 500;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let what = arguments.next().unwrap_or_default();
    let n = arguments
        .next()
        .and_then(|n| n.parse().ok())
        .unwrap_or(1_000);
    let start = Instant::now();
    match what.as_str() {
        "actions" => actions(n),
        "edits" => edits(n),
        "frames" => frames(n),
        _ => println!("give actions, edits or frames, and how many"),
    }
    println!("{:.0} s", start.elapsed().as_secs_f64());
}

/// Frames, and actions, after which what is kept from one to the next is there; memory must not grow from then on.
const FIRST_FRAMES: u64 = 5_000;
const FIRST_ACTIONS: u64 = 2_500;

fn megabytes() -> f64 {
    resident().unwrap_or_default() as f64 / 1e6
}

fn actions(n: u64) {
    let mut done = 0;
    let mut first = None;
    for seed in 0.. {
        let folder = tempfile::tempdir().expect("a folder can be made");
        let mut hail = Hail::new(folder.path(), seed);
        for _ in 0..ACTIONS_A_WINDOW.min(n - done) {
            hail.act();
            hail.check();
            done += 1;
        }
        hail.there_and_back();
        println!("{done} actions, {:.1} MB", megabytes());
        if done >= n {
            break;
        }
        if done == FIRST_ACTIONS {
            first = resident();
        }
    }
    assert_grown_by_at_most(SLACK, first, "actions");
}

fn edits(n: u64) {
    let mut history = History::new(orchard_set());
    let before = resident();
    println!("before: {:.1} MB", megabytes());
    for i in 0..usize::try_from(n).unwrap_or(usize::MAX) {
        let edit = many_edits::edit(history.set(), i);
        history.apply(&edit).expect("the edits are sound");
        if (i + 1).is_multiple_of(2_000) {
            println!(
                "{} edits, {} steps: {:.1} MB",
                i + 1,
                history.undo_depth(),
                megabytes()
            );
        }
    }
    assert_grown_by_at_most(n * BYTES_A_STEP + SLACK, before, "steps of undo");
    while history.undo() {}
    assert!(*history.set() == orchard_set(), "all undone");
}

fn frames(n: u64) {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let mut hail = Hail::new(folder.path(), 1);
    let mut first = None;
    for i in 0..n {
        hail.wander(i);
        if (i + 1).is_multiple_of(n.div_ceil(20)) {
            println!("{} frames: {:.1} MB", i + 1, megabytes());
        }
        if i + 1 == FIRST_FRAMES {
            first = resident();
        }
    }
    assert_grown_by_at_most(SLACK, first, "frames");
}
