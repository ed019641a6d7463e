//! A long day at the bench, in short: random hands, as many as `TANGWRIGHT_ACTIONS` says, many edits with unlimited undo, many frames. `examples/long_day.rs` runs
//! the same for hours.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/hail.rs"]
mod hail;
#[path = "common/many_edits.rs"]
mod many_edits;
#[path = "common/resident.rs"]
mod resident;

use hail::Hail;
use many_edits::BYTES_A_STEP;
use resident::{SLACK, assert_grown_by_at_most, resident};
use tangwright::edit::History;
use tangwright::knife::orchard_set;

const ACTIONS: u32 = 250;
/// Says how many instead.
const ACTIONS_VARIABLE: &str = "TANGWRIGHT_ACTIONS";
/// Windows they are played on, and how many on one at most: with every other one a picture lies under the knife.
const WINDOWS: u32 = 2;
const MOST_A_WINDOW: u32 = 500;
const EDITS: usize = 1_500;
const FRAMES: u64 = 300;
/// The first frames fill what is kept from frame to frame.
const FIRST_FRAMES: u64 = 100;
/// What a growing program would pass by far: a thousand bytes a frame.
const BYTES_A_FRAME: u64 = 1_000;

/// One test, for memory is that of the whole process.
#[test]
fn a_long_day_in_short() {
    many_edits_cost_little();
    random_hands_break_nothing();
    frames_cost_nothing();
}

fn many_edits_cost_little() {
    let mut history = History::new(orchard_set());
    let before = resident();
    for i in 0..EDITS {
        let edit = many_edits::edit(history.set(), i);
        history.apply(&edit).expect("the edits are sound");
    }
    assert!(history.undo_depth() > EDITS * 9 / 10, "each is a step");
    let most = BYTES_A_STEP * EDITS as u64 + SLACK;
    assert_grown_by_at_most(most, before, &format!("{EDITS} steps"));
    while history.undo() {}
    assert_eq!(*history.set(), orchard_set());
}

fn random_hands_break_nothing() {
    let asked = std::env::var(ACTIONS_VARIABLE).ok();
    let actions = asked.map_or(ACTIONS, |n| n.parse().expect("a number of actions"));
    let a_window = actions.div_ceil(WINDOWS).min(MOST_A_WINDOW);
    let mut left = actions;
    for seed in 7.. {
        let folder = tempfile::tempdir().expect("a folder");
        let mut hail = Hail::new(folder.path(), seed);
        for _ in 0..a_window.min(left) {
            hail.act();
            hail.check();
            left -= 1;
        }
        hail.there_and_back();
        if left == 0 {
            break;
        }
    }
}

fn frames_cost_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut hail = Hail::new(folder.path(), 1);
    (0..FIRST_FRAMES).for_each(|i| hail.wander(i));
    let before = resident();
    (FIRST_FRAMES..FIRST_FRAMES + FRAMES).for_each(|i| hail.wander(i));
    let most = BYTES_A_FRAME * FRAMES + SLACK;
    assert_grown_by_at_most(most, before, &format!("{FRAMES} frames"));
}
