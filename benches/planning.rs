//! How long the hole planner takes for wishes near and far, on the orchard knives and on fifty made-up tangs.
//!
//! `cargo bench --bench planning` prints the longest of all wishes for each knife; the goal is 300 ms.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[path = "planning/tangs.rs"]
mod tangs;
#[expect(dead_code, reason = "growth is another benchmark's")]
#[path = "weighing/timing.rs"]
mod timing;

use std::hint::black_box;

use divan::Bencher;
use tangwright::knife::{Knife, KnifeSet, orchard_set};
use tangwright::planning::{PlanRules, Wanted, drills_named, plan};
use tangwright::weighing::weigh;

use tangs::made_up_set;
use timing::least_us;

/// How far the balance is wished to move, mm; the last is out of reach.
const SHIFTS: [f64; 7] = [-5.0, -2.0, -0.5, 0.5, 2.0, 5.0, 60.0];

/// How much of the mass is wished away; the last is out of reach.
const SHARES: [f64; 3] = [0.01, 0.04, 0.5];

fn main() {
    // `cargo test --benches` runs this too, and wants no table.
    if std::env::args().any(|a| a == "--bench") {
        table("orchard", &orchard_set(), usize::MAX);
        table("made up", &made_up_set(), 8);
    }
    divan::main();
}

/// The slowest knives of a set, each with its slowest wish, and how the whole lot did.
fn table(name: &str, set: &KnifeSet, shown: usize) {
    let mut slowest: Vec<(f64, String)> = Vec::new();
    let mut all: Vec<f64> = Vec::new();
    for knife in &set.knives {
        let mut worst = (0.0, String::new());
        for wanted in wishes(knife, set) {
            for rules in [PlanRules::default(), own_drills()] {
                let ms = least_us(2, 1, || planned(knife, set, wanted, &rules)) / 1e3;
                all.push(ms);
                if ms > worst.0 {
                    worst = (ms, format!("{wanted:?}"));
                }
            }
        }
        slowest.push((worst.0, format!("{:24} {}", knife.name, worst.1)));
    }
    slowest.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (ms, words) in slowest.iter().take(shown) {
        println!("{ms:8.1} ms {words}");
    }
    all.sort_by(f64::total_cmp);
    let at = |share: usize| all[(all.len() - 1) * share / 100];
    let (n, half, most) = (all.len(), at(50), at(100));
    let over = all.iter().filter(|ms| **ms > 300.0).count();
    println!("{name}: {n} plans, median {half:.1} ms, most {most:.1} ms, {over} over 300 ms");
}

fn wishes(knife: &Knife, set: &KnifeSet) -> Vec<Wanted> {
    let Some(total) = weigh(knife, set).total else {
        return Vec::new();
    };
    let balances = SHIFTS.map(|by| Wanted::BalanceMm(total.balance_mm + by));
    let masses = SHARES.map(|share| Wanted::MassG(total.mass_g * (1.0 - share)));
    balances.into_iter().chain(masses).collect()
}

/// A maker with a handful of drills.
fn own_drills() -> PlanRules {
    PlanRules {
        owned: drills_named(["3", "4", "5", "6", "1/4", "8", "10"]).unwrap_or_default(),
        ..PlanRules::default()
    }
}

fn planned(knife: &Knife, set: &KnifeSet, wanted: Wanted, rules: &PlanRules) {
    let _ = black_box(plan(knife, set, wanted, rules, &|| true));
}

#[divan::bench(sample_count = 5)]
fn a_wish_for_the_chopper(bencher: Bencher<'_, '_>) {
    let set = orchard_set();
    let knife = &set.knives[0];
    let now = weigh(knife, &set).total.map_or(0.0, |t| t.balance_mm);
    let wanted = Wanted::BalanceMm(now + 1.5);
    bencher.bench(|| planned(knife, &set, wanted, &PlanRules::default()));
}
