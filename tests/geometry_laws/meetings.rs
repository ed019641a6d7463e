//! Crossings of wild chains and of two contours, against brute force on fine polylines.

use proptest::prelude::*;
use tangwright::geometry::{
    Contour, Crossing, Motion, OutlineFault, Piece, Point, crossings_between, outline_faults,
};

use super::shapes::{at, blob, cubic, line, wild_contour};

/// Chords of a fine polyline with the piece and the share of the whole way they stand for.
fn chords(contour: &Contour) -> Vec<(usize, Point, Point)> {
    let steps = 160;
    let mut out = Vec::new();
    for (i, piece) in contour.pieces.iter().enumerate() {
        let on = |k: u32| piece.eval(f64::from(k) / f64::from(steps));
        out.extend((0..steps).map(|k| (i, on(k), on(k + 1))));
    }
    out
}

/// Whether two chords cross well inside both and at a clear angle, so that the curves must cross too.
fn clearly_cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, b.0 - a.0);
    let cross = u.cross(v);
    if cross.abs() < 0.3 * u.hypot() * v.hypot() {
        return false;
    }
    let (s, t) = (w.cross(v) / cross, w.cross(u) / cross);
    (0.2..0.8).contains(&s) && (0.2..0.8).contains(&t)
}

/// Whether both pieces of a crossing really pass its place.
fn confirmed(crossing: &Crossing, a: &Contour, b: &Contour) -> bool {
    let off = |piece: &Piece| piece.nearest(crossing.at).1;
    off(&a.pieces[crossing.piece_a]) < 3e-6 && off(&b.pieces[crossing.piece_b]) < 3e-6
}

proptest! {
    /// A clear crossing of the polyline is always found, and each crossing found is really there.
    #[test]
    fn self_crossings_agree_with_a_fine_polyline(contour in wild_contour()) {
        let chords = chords(&contour);
        let n = chords.len();
        let crosses = (0..n).any(|i| {
            (i + 2..n).any(|j| {
                (i, j) != (0, n - 1)
                    && clearly_cross((chords[i].1, chords[i].2), (chords[j].1, chords[j].2))
            })
        });
        let faults = outline_faults(&contour.pieces);
        if crosses {
            prop_assert!(!faults.is_empty());
        }
        for fault in &faults {
            if let OutlineFault::Crossing { crossing } = fault {
                prop_assert!(confirmed(crossing, &contour, &contour), "{:?}", crossing);
            }
        }
    }

    /// Simple by construction, wherever it begins and whichever way it runs.
    #[test]
    fn blobs_are_sound(contour in blob(), first in 0usize..12, turn in 0.0..7.0) {
        let motion = Motion { mirrored: false, turn_rad: turn, shift: Default::default() };
        let mut pieces = contour.moved(&motion).pieces;
        let n = pieces.len();
        pieces.rotate_left(first % n);
        prop_assert_eq!(outline_faults(&pieces), vec![]);
        let back = Contour { pieces }.reversed();
        prop_assert_eq!(outline_faults(&back.pieces), vec![]);
    }

    /// Cutting a sound outline at any place leaves it sound.
    #[test]
    fn cut_outlines_stay_sound(contour in blob(), which in 0usize..12, t in 0.001..0.999) {
        let mut pieces = contour.pieces;
        let i = which % pieces.len();
        let piece = pieces[i];
        pieces.splice(i..=i, [piece.part(0.0, t), piece.part(t, 1.0)]);
        prop_assert_eq!(outline_faults(&pieces), vec![]);
    }

    /// Two contours: as with one.
    #[test]
    fn crossings_between_agree_with_fine_polylines(a in wild_contour(), b in wild_contour()) {
        let found = crossings_between(&a.index(), &b.index());
        let back = crossings_between(&b.index(), &a.index());
        prop_assert_eq!(found.is_empty(), back.is_empty());
        let (ca, cb) = (chords(&a), chords(&b));
        let crosses = ca.iter().any(|p| cb.iter().any(|q| clearly_cross((p.1, p.2), (q.1, q.2))));
        if crosses {
            prop_assert!(!found.is_empty());
        }
        for crossing in &found {
            prop_assert!(confirmed(crossing, &a, &b), "{:?}", crossing);
        }
    }

    /// Two discs meet when their centers are between the difference and the sum of the radii apart; the two places are
    /// where r1² = |p|² and r2² = |p − c|².
    #[test]
    fn circles_meet_where_algebra_says(r1 in 1.0..20.0, r2 in 1.0..20.0, d in 0.1..45.0, turn in 0.0..7.0) {
        let c = at(0.0, 0.0) + kurbo::Vec2::from_angle(turn) * d;
        let (a, b) = (Contour::circle(at(0.0, 0.0), r1), Contour::circle(c, r2));
        let found = crossings_between(&a.index(), &b.index());
        let margin = (d - (r1 - r2).abs()).min(r1 + r2 - d);
        if margin > 1e-5 {
            prop_assert!((1..=2).contains(&found.len()), "{:?}", found);
            for crossing in &found {
                prop_assert!((crossing.at.distance(at(0.0, 0.0)) - r1).abs() < 3e-6);
                prop_assert!((crossing.at.distance(c) - r2).abs() < 3e-6);
            }
        } else if margin < -1e-5 {
            prop_assert!(found.is_empty(), "{:?}", found);
        }
    }
}

#[test]
fn circles_that_touch_meet_and_near_misses_do_not() {
    for turn in 0..40 {
        let u = kurbo::Vec2::from_angle(f64::from(turn) * 0.157_3);
        for (d, meets) in [
            (12.0, true),
            (12.001, false),
            (12.0001, false),
            (2.0, true),
            (1.999, false),
        ] {
            let a = Contour::circle(at(3.0, 4.0), 7.0).index();
            let b = Contour::circle(at(3.0, 4.0) + u * d, 5.0).index();
            assert_eq!(!crossings_between(&a, &b).is_empty(), meets, "{turn} {d}");
        }
    }
}

#[test]
fn contours_that_share_a_stretch_meet() {
    let a = Contour::polygon(&[at(0.0, 0.0), at(30.0, 10.0), at(0.0, 20.0)]);
    let b = Contour::polygon(&[at(6.0, 2.0), at(15.0, 5.0), at(20.0, -30.0)]);
    assert!(!crossings_between(&a.index(), &b.index()).is_empty());
    let curve = cubic([(0.0, 0.0), (10.0, 20.0), (30.0, 20.0), (40.0, 0.0)]);
    let close = |piece: Piece, low: f64| Contour {
        pieces: vec![
            piece,
            Piece::line(piece.end(), at(20.0, low)),
            Piece::line(at(20.0, low), piece.start()),
        ],
    };
    let (a, b) = (close(curve, -5.0), close(curve.part(0.2, 0.7), -9.0));
    assert!(!crossings_between(&a.index(), &b.index()).is_empty());
    // One inside the other, and one beside the other, meet nowhere.
    let hole = Contour::circle(at(20.0, 8.0), 2.0);
    assert!(crossings_between(&a.index(), &hole.index()).is_empty());
    let beside = Contour {
        pieces: vec![
            line((100.0, 0.0), (110.0, 0.0)),
            line((110.0, 0.0), (100.0, 9.0)),
            line((100.0, 9.0), (100.0, 0.0)),
        ],
    };
    assert!(crossings_between(&a.index(), &beside.index()).is_empty());
    assert!(crossings_between(&a.index(), &Contour::default().index()).is_empty());
}
