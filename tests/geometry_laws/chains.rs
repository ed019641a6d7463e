//! Chains that are empty, open, wild, tiny or very long, and what `outline_faults` says of them.

use std::f64::consts::TAU;

use tangwright::geometry::{Contour, OutlineFault, Piece, SAME_POINT_MM, Vec2, outline_faults};

use super::faults::{crossings, polygon};
use super::shapes::{arc_between, at, cubic, line};

#[test]
fn empty_open_and_wild_chains_are_told() {
    assert_eq!(outline_faults(&[]), vec![OutlineFault::TooFew]);
    let open = [
        line((0.0, 0.0), (10.0, 0.0)),
        line((10.0, 0.0), (10.0, 10.0)),
        line((10.0, 10.1), (0.0, 0.0)),
    ];
    let faults = outline_faults(&open);
    assert!(
        matches!(faults[..], [OutlineFault::Open { piece: 2, gap_mm, at: place }]
            if (gap_mm - 0.1).abs() < 1e-12 && place == at(10.0, 10.1)),
        "{faults:?}"
    );
    // A gap of less than SAME_POINT_MM is none.
    let nearly = SAME_POINT_MM * 0.9;
    let closed = [
        line((0.0, 0.0), (10.0, 0.0)),
        line((10.0 + nearly, 0.0), (10.0, 10.0)),
        line((10.0, 10.0), (0.0, nearly)),
    ];
    assert_eq!(outline_faults(&closed), vec![]);
    // One straight piece alone.
    let faults = outline_faults(&[line((0.0, 0.0), (1.0, 0.0))]);
    assert!(faults.contains(&OutlineFault::TooFew), "{faults:?}");
    // Zero pieces are told, and nothing else because of them.
    let mut pieces = polygon(&[(0.0, 0.0), (9.0, 1.0), (3.0, 7.0)]);
    pieces.insert(1, line((9.0, 1.0), (9.0, 1.0)));
    pieces.insert(1, cubic([(9.0, 1.0); 4]));
    pieces.insert(1, line((9.0, 1.0), (9.000_001, 1.0)));
    let faults = outline_faults(&pieces);
    let zeros: Vec<usize> = faults
        .iter()
        .map(|f| match f {
            OutlineFault::ZeroPiece { piece, .. } => *piece,
            other => panic!("unexpected {other:?}"),
        })
        .collect();
    assert_eq!(zeros, [1, 2, 3]);
    // Numbers that are not finite are told by piece, in any of its numbers.
    let good = polygon(&[(0.0, 0.0), (9.0, 1.0), (3.0, 7.0)]);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for wild in [
            line((bad, 0.0), (9.0, 1.0)),
            line((0.0, 0.0), (9.0, bad)),
            cubic([(0.0, 0.0), (bad, 1.0), (2.0, 2.0), (9.0, 1.0)]),
            cubic([(0.0, 0.0), (1.0, 1.0), (2.0, bad), (9.0, 1.0)]),
            arc_between(at(0.0, 0.0), at(9.0, bad), 1.0),
        ] {
            let mut pieces = good.clone();
            pieces[0] = wild;
            assert_eq!(
                outline_faults(&pieces),
                vec![OutlineFault::NotFinite { piece: 0 }]
            );
        }
    }
}

#[test]
fn tiny_outlines_are_judged_like_large_ones() {
    for size in [1e-3, 1e-2, 1.0, 1e4] {
        let scaled = |corners: &[(f64, f64)]| -> Vec<Piece> {
            let c: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (x * size, y * size)).collect();
            polygon(&c)
        };
        assert_eq!(
            outline_faults(&scaled(&[(0.0, 0.0), (1.0, 0.1), (0.4, 0.8)])),
            vec![]
        );
        assert_eq!(
            outline_faults(&Contour::circle(at(5.0, 5.0), size).pieces),
            vec![]
        );
        let eight = scaled(&[(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)]);
        assert_eq!(crossings(&eight).len(), 1, "{size}");
    }
}

/// A star of `n` nodes, straight or curved, whose sides lie close together.
fn star(n: u32, curved: bool) -> Vec<Piece> {
    let node = |i: u32| {
        let r = if i.is_multiple_of(2) { 60.0 } else { 90.0 };
        at(0.0, 0.0) + Vec2::from_angle(TAU * f64::from(i % n) / f64::from(n)) * r
    };
    (0..n)
        .map(|i| {
            let (a, b) = (node(i), node(i + 1));
            if curved {
                let side = Vec2::new(-(b - a).y, (b - a).x) * 1e-4;
                Piece::Cubic(kurbo::CubicBez::new(
                    a,
                    a.lerp(b, 0.3) + side,
                    a.lerp(b, 0.7) - side,
                    b,
                ))
            } else {
                Piece::line(a, b)
            }
        })
        .collect()
}

#[test]
fn ten_thousand_nodes_are_judged_whole() {
    for curved in [false, true] {
        let mut pieces = star(10_000, curved);
        assert_eq!(outline_faults(&pieces), vec![]);
        // One node pulled out over its neighbors.
        let far = at(75.0, 8.0);
        let (before, after) = (pieces[4000].start(), pieces[4001].end());
        pieces[4000] = Piece::line(before, far);
        pieces[4001] = Piece::line(far, after);
        assert!(!outline_faults(&pieces).is_empty());
    }
    // Far more faults than anyone mends one by one: the list stays short.
    let zigzag: Vec<(f64, f64)> = (0..2000)
        .map(|i| (f64::from(i * 37 % 2000), f64::from(i * 91 % 1999)))
        .collect();
    let found = outline_faults(&polygon(&zigzag)).len();
    assert!((20..200).contains(&found), "{found}");
}
