//! How long a drawing of 100,000 pieces takes to be read, beside `usvg` alone on the same text.
//!
//! `cargo bench --bench import` prints the ratio, then the timings by `divan`. The goal: at most twice the time of `usvg`. Reading includes what `usvg`
//! is not asked for: judging the bytes, dropping what is doubled, joining loose ends, sorting and recognizing the contours.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[path = "weighing/timing.rs"]
#[expect(dead_code, reason = "the growth of times is asked elsewhere")]
mod timing;

use std::f64::consts::TAU;
use std::fmt::Write as _;
use std::hint::black_box;

use divan::Bencher;
use tangwright::reading::drawing::{ImportOptions, Imported, read_drawing};

use timing::least_us;

/// Pieces of the drawing.
const PIECES: u32 = 100_000;
/// Pieces of each of its contours.
const OF_ONE: u32 = 100;

fn main() {
    // `cargo test --benches` runs this too, and wants no table.
    if std::env::args().any(|a| a == "--bench") {
        print_ratio("loose pieces", &loose(PIECES));
        print_ratio("whole paths", &whole(PIECES));
    }
    divan::main();
}

fn print_ratio(name: &str, text: &str) {
    let ours = least_us(5, 1, || {
        black_box(read(black_box(text)));
    });
    let alone = least_us(5, 1, || {
        black_box(by_usvg(black_box(text)));
    });
    println!(
        "{PIECES} {name}: read {:.0} ms, usvg alone {:.0} ms, ratio {:.2}",
        ours / 1e3,
        alone / 1e3,
        ours / alone
    );
}

fn read(text: &str) -> Option<Imported> {
    read_drawing(text.as_bytes(), "bench.svg", &ImportOptions::default()).ok()
}

fn by_usvg(text: &str) -> Option<usvg::Tree> {
    usvg::Tree::from_str(text, &usvg::Options::default()).ok()
}

const HEAD: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1000mm\" height=\"1000mm\" viewBox=\"0 0 1000 1000\" fill=\"none\" stroke=\"black\">";

/// A large plate and wavy rings in it, every piece an element of its own: lines and curves by turns.
fn loose(pieces: u32) -> String {
    let mut text = String::from(HEAD);
    text.push_str("<rect width=\"1000\" height=\"1000\"/>");
    for ring in 0..pieces / OF_ONE {
        for i in 0..OF_ONE {
            let ((ax, ay), (bx, by)) = (at(ring, i), at(ring, (i + 1) % OF_ONE));
            let (mx, my) = (f64::midpoint(ax, bx), f64::midpoint(ay, by) + 0.1);
            let _ = if i % 2 == 0 {
                write!(text, "<path d=\"M{ax:.4} {ay:.4}L{bx:.4} {by:.4}\"/>")
            } else {
                write!(
                    text,
                    "<path d=\"M{ax:.4} {ay:.4}C{mx:.4} {my:.4} {mx:.4} {my:.4} {bx:.4} {by:.4}\"/>"
                )
            };
        }
    }
    text + "</svg>"
}

/// The same rings, each one path.
fn whole(pieces: u32) -> String {
    let mut text = String::from(HEAD);
    text.push_str("<rect width=\"1000\" height=\"1000\"/>");
    for ring in 0..pieces / OF_ONE {
        let _ = write!(text, "<path d=\"M");
        for i in 0..OF_ONE {
            let (x, y) = at(ring, i);
            let _ = write!(text, "{x:.4} {y:.4} ");
        }
        text.push_str("Z\"/>");
    }
    text + "</svg>"
}

/// A corner of a ring; rings stand in rows of 32 and do not touch.
fn at(ring: u32, i: u32) -> (f64, f64) {
    let angle = TAU * f64::from(i) / f64::from(OF_ONE);
    let radius = 10.0 + 3.0 * (5.0 * angle).cos();
    let (x, y) = (f64::from(ring % 32), f64::from(ring / 32));
    (
        20.0 + 30.0 * x + radius * angle.cos(),
        20.0 + 30.0 * y + radius * angle.sin(),
    )
}

#[divan::bench(sample_count = 10)]
fn read_100_000_loose_pieces(bencher: Bencher<'_, '_>) {
    let text = loose(PIECES);
    bencher.bench(|| read(black_box(&text)));
}

#[divan::bench(sample_count = 10)]
fn usvg_alone_100_000_loose_pieces(bencher: Bencher<'_, '_>) {
    let text = loose(PIECES);
    bencher.bench(|| by_usvg(black_box(&text)));
}
