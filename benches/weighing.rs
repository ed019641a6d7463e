//! How long a knife takes to be weighed, beside `geo` on the same knife flattened, and how that grows.
//!
//! `cargo bench --bench weighing` prints the ratios and the growth, then the timings by `divan`. The goals: 40 pieces and 30
//! cut-outs in 50 µs, and a cost that grows with no more than the power 1.1 of the pieces and of the cut-outs.
//!
//! Weighing includes what `geo` is not asked for: the judgment of outline and cut-outs, second moments, cut length, bands,
//! lengths and heights. `geo` is asked for area and centroid only, once with the polygon at hand and once with the flattening
//! that every dragged node would need.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[path = "weighing/knives.rs"]
mod knives;
#[path = "weighing/timing.rs"]
mod timing;

use std::hint::black_box;

use divan::Bencher;
use geo::{Area, Centroid, Polygon};
use tangwright::geometry::outline_faults;
use tangwright::weighing::weigh;

use timing::{least_us, slope};

const PIECES: u32 = 40;
const CUT_OUTS: u32 = 30;
const SIZES: [u32; 5] = [10, 20, 40, 80, 160];
const FLAT_MM: f64 = 0.001;

fn main() {
    // `cargo test --benches` runs this too, and wants no table.
    if std::env::args().any(|a| a == "--bench") {
        print_ratios();
        print_growth("pieces, 30 cut-outs", |n| (n, CUT_OUTS));
        print_growth("cut-outs, 40 pieces", |n| (PIECES, n));
    }
    divan::main();
}

fn by_geo(polygon: &Polygon<f64>) -> (f64, Option<geo::Point<f64>>) {
    (polygon.unsigned_area(), polygon.centroid())
}

fn print_ratios() {
    let (set, knife) = (knives::set(), knives::knife(PIECES, CUT_OUTS));
    let ready = knives::polygon(&knife, FLAT_MM);
    let ours = least_us(300, 20, || {
        black_box(weigh(black_box(&knife), &set));
    });
    let at_hand = least_us(300, 20, || {
        black_box(by_geo(black_box(&ready)));
    });
    let flattened = least_us(300, 20, || {
        black_box(by_geo(&knives::polygon(black_box(&knife), FLAT_MM)));
    });
    println!("{PIECES} pieces, {CUT_OUTS} cut-outs, least of many runs:");
    println!("  weigh                                {ours:8.1} µs");
    println!("  geo, polygon at hand                 {at_hand:8.1} µs");
    println!("  geo, flattened to {FLAT_MM} mm first    {flattened:8.1} µs");
    println!(
        "  geo flattened / weigh                {:8.1}",
        flattened / ours
    );
    if let (Some(area), theirs) = (weigh(&knife, &set).steel.area_mm2, ready.unsigned_area()) {
        println!(
            "  geo's area is off by                 {:8.1e}",
            (theirs / area - 1.0).abs()
        );
    }
}

fn print_growth(what: &str, sizes: impl Fn(u32) -> (u32, u32)) {
    let set = knives::set();
    println!("growth with {what}:");
    let mut points = Vec::new();
    for n in SIZES {
        let (pieces, cut_outs) = sizes(n);
        let knife = knives::knife(pieces, cut_outs);
        let us = least_us(300, 20, || {
            black_box(weigh(black_box(&knife), &set));
        });
        println!("  {n:4}  {us:8.1} µs");
        points.push((f64::from(n).ln(), us.ln()));
    }
    println!("  exponent over all    {:5.2}", slope(&points));
    println!("  exponent 40 to 160   {:5.2}", slope(&points[2..]));
}

#[divan::bench]
fn weigh_40_pieces_30_cut_outs(bencher: Bencher<'_, '_>) {
    let (set, knife) = (knives::set(), knives::knife(PIECES, CUT_OUTS));
    bencher.bench(|| weigh(black_box(&knife), &set));
}

#[divan::bench]
fn geo_polygon_at_hand(bencher: Bencher<'_, '_>) {
    let ready = knives::polygon(&knives::knife(PIECES, CUT_OUTS), FLAT_MM);
    bencher.bench(|| by_geo(black_box(&ready)));
}

#[divan::bench]
fn geo_flattened_first(bencher: Bencher<'_, '_>) {
    let knife = knives::knife(PIECES, CUT_OUTS);
    bencher.bench(|| by_geo(&knives::polygon(black_box(&knife), FLAT_MM)));
}

#[divan::bench(args = SIZES)]
fn weigh_with_pieces(bencher: Bencher<'_, '_>, n: u32) {
    let (set, knife) = (knives::set(), knives::knife(n, CUT_OUTS));
    bencher.bench(|| weigh(black_box(&knife), &set));
}

#[divan::bench(args = SIZES)]
fn weigh_with_cut_outs(bencher: Bencher<'_, '_>, n: u32) {
    let (set, knife) = (knives::set(), knives::knife(PIECES, n));
    bencher.bench(|| weigh(black_box(&knife), &set));
}

#[divan::bench]
fn outline_judged(bencher: Bencher<'_, '_>) {
    let pieces = knives::knife(PIECES, 0).contour().pieces;
    bencher.bench(|| outline_faults(black_box(&pieces)));
}
