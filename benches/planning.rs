//! How long the hole planner takes for a wanted balance of the orchard knives.
//!
//! `cargo bench --bench planning` prints the longest of several wishes for each knife; the goal is 300 ms.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[expect(dead_code, reason = "growth is another benchmark's")]
#[path = "weighing/timing.rs"]
mod timing;

use std::hint::black_box;

use divan::Bencher;
use tangwright::knife::{Knife, KnifeSet, orchard_set};
use tangwright::planning::{PlanRules, Wanted, plan};
use tangwright::weighing::weigh;

use timing::least_us;

/// How far the balance is wished to move, mm.
const SHIFTS: [f64; 4] = [-2.0, -0.5, 0.5, 2.0];

fn main() {
    // `cargo test --benches` runs this too, and wants no table.
    if std::env::args().any(|a| a == "--bench") {
        let set = orchard_set();
        for knife in &set.knives {
            let all = SHIFTS.map(|by| least_us(3, 1, || planned(knife, &set, by)));
            let most = all.into_iter().fold(0.0, f64::max);
            println!("{:16} {:8.1} ms at most", knife.name, most / 1e3);
        }
    }
    divan::main();
}

fn planned(knife: &Knife, set: &KnifeSet, by_mm: f64) {
    let now = weigh(knife, set)
        .total
        .map_or(0.0, |total| total.balance_mm);
    let wanted = Wanted::BalanceMm(now + by_mm);
    let _ = black_box(plan(knife, set, wanted, &PlanRules::default(), &|| true));
}

#[divan::bench(sample_count = 5)]
fn a_wish_for_the_chopper(bencher: Bencher<'_, '_>) {
    let set = orchard_set();
    bencher.bench(|| planned(&set.knives[0], &set, 1.5));
}
