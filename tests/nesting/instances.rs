//! Open instances of strip packing, nested to at least 95 % of the best density published (see `README.md` beside the data).
//!
//! The number of rounds is fixed, not the time, so that every run does the same. Overlaps are measured by `geo`.

use geo::{Area, BooleanOps, LineString, Polygon};
use tangwright::nesting::{Blank, Nest, NestOptions, Stock, nest};

use super::reading::read;

/// The share of the best published density that is to be reached.
const SHARE: f64 = 0.95;
/// The most any two pieces may overlap, mm².
const MOST_OVERLAP_MM2: f64 = 1e-6;

fn polygons(blanks: &[Blank], nest: &Nest) -> Vec<Polygon<f64>> {
    nest.placed
        .iter()
        .map(|placed| {
            let moved = blanks[placed.blank].outline.moved(&placed.motion);
            let corners: Vec<(f64, f64)> =
                moved.flattened(1.0).iter().map(|p| (p.x, p.y)).collect();
            Polygon::new(LineString::from(corners), Vec::new())
        })
        .collect()
}

fn check(text: &str, pieces: usize, area: f64, best_density: f64, seed: u64, rounds: usize) {
    let (blanks, width_mm) = read(text);
    let stock = Stock::Bar {
        width_mm,
        length_mm: 500.0,
    };
    let options = NestOptions {
        gap_mm: 0.0,
        edge_mm: 0.0,
        seed,
    };
    let wanted = SHARE * best_density;
    let nest = nest(&blanks, &stock, &options, &mut |progress| {
        progress.rounds < rounds
            && (progress.best.placed.len() < pieces || progress.best.density < wanted)
    })
    .expect("the instance is sound");
    let placed = polygons(&blanks, &nest);
    assert_eq!(placed.len(), pieces);
    let total: f64 = placed.iter().map(Area::unsigned_area).sum();
    assert!((total - area).abs() < 1e-6, "the pieces measure {total}");
    let mut length: f64 = 0.0;
    for (i, a) in placed.iter().enumerate() {
        for corner in a.exterior() {
            assert!(corner.x > -1e-9 && corner.y > -1e-9 && corner.y < width_mm + 1e-9);
            length = length.max(corner.x);
        }
        for b in &placed[i + 1..] {
            let overlap = a.intersection(b).unsigned_area();
            assert!(overlap <= MOST_OVERLAP_MM2, "{overlap}: {a:?} {b:?}");
        }
    }
    assert!((length - nest.used_length_mm).abs() < 1e-9);
    let density = total / (length * width_mm);
    assert!((density - nest.density).abs() < 1e-9);
    assert!(density >= wanted, "{density} of {wanted} on {length}");
}

#[test]
fn fu_is_nested_to_95_percent_of_the_best_published() {
    check(include_str!("fu.json"), 12, 1083.0, 0.9240, 5, 20_000);
}

#[test]
fn jakobs1_is_nested_to_95_percent_of_the_best_published() {
    check(include_str!("jakobs1.json"), 25, 392.0, 0.8925, 1, 8_000);
}
