//! What is scribed before grinding, as the Grind card tells it: by station where the bar tapers, of the edge and of the false edge.

use tangwright::knife::LandmarkKind;

use super::bench::{Bench, beveled, tapered_and_beveled};

/// 5 mm with 0.5 mm left on the edge: the middle at 2.5, the edge's sides at (5 ∓ 0.5)/2 off the right face.
#[test]
fn what_to_scribe_first_stands_with_the_grind() {
    let mut bench = Bench::new(beveled());
    bench.open("bevel: ");
    bench.open("Scribe first: ");
    assert!(bench.has("2.50") && bench.has("2.25, 2.75"));
    assert!(bench.has("before any grinding starts"));
}

/// Thickness of the tapered chopper: 3 mm at the butt up to 5 at the shoulder line, down to 2 at 240.
fn thickness(x: f64) -> f64 {
    if x < 0.0 {
        5.0 + 2.0 * x / 110.0
    } else {
        5.0 - 3.0 * x.min(240.0) / 240.0
    }
}

/// A row of the card's table at a place, with an edge of e: the middle T/2 off the right face, the edge's sides (T ∓ e)/2.
#[track_caller]
fn row(bench: &Bench, x: f64, edge: f64) {
    let place = format!("{x:+.1} mm");
    let t = thickness(x);
    let middle = bench.beside(&place);
    assert_eq!(
        middle.first(),
        Some(&format!("{:.2}", t / 2.0)),
        "at {place}"
    );
    let lines = format!("{:.2}, {:.2}", (t - edge) / 2.0, (t + edge) / 2.0);
    assert!(bench.has(&lines), "{lines} at {place}");
}

#[test]
fn a_taper_is_scribed_by_station() {
    let mut bench = Bench::new(tapered_and_beveled());
    bench.open("bevel: ");
    bench.open("Scribe first: ");
    let knife = bench.knife();
    let x = |kind| knife.landmark_point(kind).unwrap().x;
    let (plunge, tip) = (x(LandmarkKind::Plunge), x(LandmarkKind::Tip));
    row(&bench, plunge, 0.5);
    row(&bench, tip, 0.5);
    if tip > 240.0 {
        row(&bench, 240.0, 0.5);
    }
    assert!(!bench.has("all along"));
    // The false edge has its own run and its own edge.
    bench.click("False edge");
    let edge = bench.grind(1).edge_mm;
    assert!(edge > 0.5);
    let knife = bench.knife();
    let back = knife.landmark_point(LandmarkKind::FalseEdge).unwrap().x;
    row(&bench, back, edge);
    row(&bench, tip, edge);
    assert!(bench.has("before any grinding starts"));
}
