//! How long a ground, tapered, three-layer blade takes to be weighed with all its lines, how long after one hole has moved, and how that grows.
//!
//! `cargo bench --bench ground` prints the table, then the timings by `divan`. The goals: 25 pieces, two grinds on both faces, taper, three layers,
//! twelve holes in 200 µs; 20 µs after one hole has moved; growth with no more than the power 1.1 of pieces and of holes.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[path = "ground/blades.rs"]
mod blades;
#[path = "weighing/timing.rs"]
mod timing;

use std::hint::black_box;

use divan::Bencher;
use tangwright::knife::{CutShape, Knife};
use tangwright::weighing::{Scale, weigh};

use timing::{least_us, slope};

const PIECES: u32 = 25;
const HOLES: u32 = 12;
const SIZES: [u32; 4] = [12, 24, 48, 96];

fn main() {
    // `cargo test --benches` runs this too, and wants no table.
    if std::env::args().any(|a| a == "--bench") {
        print_table();
        print_growth("pieces, 12 holes", |n| (n, HOLES));
        print_growth("holes, 25 pieces", |n| (PIECES, n));
    }
    divan::main();
}

/// The blade with its last hole moved a little, there and back.
fn moved(knife: &Knife) -> [Knife; 2] {
    let mut other = knife.clone();
    if let Some(CutShape::Round { center, .. }) = other.cut_outs.last_mut().map(|c| &mut c.shape) {
        center.x += 0.3;
    }
    [other, knife.clone()]
}

fn print_table() {
    let (set, knife) = (blades::set(), blades::blade(PIECES, HOLES));
    let up = weigh(&knife, &set);
    for missing in &up.missing {
        println!("missing: {missing}");
    }
    if let Some(ground) = up.ground {
        println!(
            "ground mass {:.3} g, error bound {:.1e}, of the balance {:.1e} mm",
            ground.mass_g, ground.error_bound, ground.balance_error_mm
        );
    }
    let whole = least_us(400, 5, || {
        black_box(weigh(black_box(&knife), &set));
    });
    let mut scale = Scale::default();
    let both = moved(&knife);
    let mut turn = 0;
    let again = least_us(400, 5, || {
        turn = 1 - turn;
        black_box(scale.weigh(black_box(&both[turn]), &set));
    });
    println!(
        "{} pieces, {HOLES} holes, two grinds, taper, three layers:",
        knife.outline.nodes.len()
    );
    println!("  weighed with all lines         {whole:8.1} µs");
    println!("  again after a hole has moved   {again:8.1} µs");
}

fn print_growth(what: &str, sizes: impl Fn(u32) -> (u32, u32)) {
    let set = blades::set();
    println!("growth with {what}:");
    let mut points = Vec::new();
    for n in SIZES {
        let (pieces, holes) = sizes(n);
        let knife = blades::blade(pieces, holes);
        let us = least_us(400, 5, || {
            black_box(weigh(black_box(&knife), &set));
        });
        println!("  {n:4}  {us:8.1} µs");
        points.push((f64::from(n).ln(), us.ln()));
    }
    let last = points.len().saturating_sub(2);
    println!(
        "  exponent {:5.2}, over the last doubling {:5.2}",
        slope(&points),
        slope(&points[last..])
    );
}

#[divan::bench]
fn ground_blade_weighed(bencher: Bencher<'_, '_>) {
    let (set, knife) = (blades::set(), blades::blade(PIECES, HOLES));
    bencher.bench(|| weigh(black_box(&knife), &set));
}

#[divan::bench]
fn ground_blade_after_a_hole_moved(bencher: Bencher<'_, '_>) {
    let (set, knife) = (blades::set(), blades::blade(PIECES, HOLES));
    let both = moved(&knife);
    let mut scale = Scale::default();
    let mut turn = 0;
    bencher.bench_local(|| {
        turn = 1 - turn;
        scale.weigh(black_box(&both[turn]), &set)
    });
}
