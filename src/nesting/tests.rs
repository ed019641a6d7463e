//! Nests that can be worked out by hand, and what a nest promises whatever comes of the search.

use std::f64::consts::PI;

use super::*;
use crate::geometry::{Contour, GAP_ACCURACY_MM, Point, Rect, contour_gap};
use crate::knife::orchard_set;

/// Rounding of sums of a few lengths, mm.
const ROUNDING: f64 = 1e-9;

fn polygon(corners: &[(f64, f64)]) -> Contour {
    let corners: Vec<Point> = corners.iter().map(|c| Point::from(*c)).collect();
    Contour::polygon(&corners)
}

fn rectangle(width: f64, height: f64) -> Contour {
    polygon(&[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
}

fn blank(outline: Contour, count: usize) -> Blank {
    Blank {
        outline,
        count,
        turns: Turns::Along,
        mirror: false,
    }
}

fn bar(width_mm: f64, length_mm: f64) -> Stock {
    Stock::Bar {
        width_mm,
        length_mm,
    }
}

fn set(gap_mm: f64, edge_mm: f64) -> NestOptions {
    NestOptions {
        gap_mm,
        edge_mm,
        seed: 1,
    }
}

/// A nest after at most so many rounds, checked: nothing nearer than it may be.
fn nested(blanks: &[Blank], stock: &Stock, options: NestOptions, rounds: usize) -> Nest {
    let nest = nest(blanks, stock, &options, &mut |p| p.rounds < rounds).expect("a sound problem");
    let outlines: Vec<Contour> = nest
        .placed
        .iter()
        .map(|p| blanks[p.blank].outline.moved(&p.motion))
        .collect();
    for (i, a) in outlines.iter().enumerate() {
        for b in &outlines[i + 1..] {
            let gap = apart(a, b);
            assert!(gap >= options.gap_mm - GAP_ACCURACY_MM, "{gap}: {nest:?}");
        }
        match stock {
            Stock::Bar {
                width_mm,
                length_mm,
            } => {
                let room =
                    Rect::new(0.0, 0.0, *length_mm, *width_mm).inset(-options.edge_mm + ROUNDING);
                assert_eq!(a.bounds().union(room), room, "{nest:?}");
            }
            Stock::Odd { outline, flaws } => {
                let (edge, _, _) = contour_gap(a, outline).expect("two outlines");
                assert!(edge >= options.edge_mm - GAP_ACCURACY_MM, "{nest:?}");
                let middle = a.bounds().center();
                assert!(outline.index().contains(middle), "{nest:?}");
                for flaw in flaws {
                    assert!(apart(a, flaw) >= options.edge_mm - GAP_ACCURACY_MM);
                }
            }
        }
    }
    let placed = nest.placed.len();
    let left: usize = nest.left_over.iter().map(|l| l.count).sum();
    assert_eq!(placed + left, blanks.iter().map(|b| b.count).sum::<usize>());
    nest
}

/// How far two outlines are apart; negative when one lies in the other. Those that only touch may be told as crossing, so the
/// crossing itself is judged by the caller's density and the checks of other programs.
fn apart(a: &Contour, b: &Contour) -> f64 {
    let inside = |a: &Contour, b: &Contour| b.index().contains(a.moments().centroid);
    if inside(a, b) || inside(b, a) {
        return f64::NEG_INFINITY;
    }
    contour_gap(a, b).map_or(f64::INFINITY, |gap| gap.0)
}

#[test]
fn two_rectangles_lie_side_by_side_or_in_a_row() {
    let blanks = [blank(rectangle(30.0, 10.0), 2)];
    let wide = nested(&blanks, &bar(20.0, 500.0), set(0.0, 0.0), 50);
    assert!((wide.used_length_mm - 30.0).abs() < ROUNDING, "{wide:?}");
    assert!((wide.density - 1.0).abs() < ROUNDING);
    let narrow = nested(&blanks, &bar(19.0, 500.0), set(0.0, 0.0), 50);
    assert!(
        (narrow.used_length_mm - 60.0).abs() < ROUNDING,
        "{narrow:?}"
    );
    assert!((narrow.density - 600.0 / (60.0 * 19.0)).abs() < ROUNDING);
}

#[test]
fn right_triangles_pair_by_a_half_turn() {
    let triangle = polygon(&[(0.0, 0.0), (40.0, 0.0), (0.0, 20.0)]);
    for count in [2_u32, 6] {
        // One that is too long for the bar does not keep the others from being moved together.
        let blanks = [
            blank(triangle.clone(), count as usize),
            blank(rectangle(501.0, 5.0), 1),
        ];
        let nest = nested(&blanks, &bar(20.0, 500.0), set(0.0, 0.0), 2000);
        let length = 20.0 * f64::from(count);
        assert!((nest.used_length_mm - length).abs() < 1e-6, "{nest:?}");
        assert!((nest.density - 1.0).abs() < 1e-6);
    }
}

/// The piece of steel is the blank's own outline turned over, a millimeter larger all round: no turn brings the blank into it (turned by half it is handed the
/// same), so it has to be mirrored. Unasked it is left over.
#[test]
fn a_blank_is_mirrored_where_only_that_fits() {
    let hook = [
        (0.0, 0.0),
        (80.0, 0.0),
        (80.0, 20.0),
        (30.0, 20.0),
        (30.0, 30.0),
        (0.0, 30.0),
    ];
    // The same turned over, moved out by 1 mm: by hand, as all its sides are level or upright.
    let room = [
        (-81.0, -1.0),
        (1.0, -1.0),
        (1.0, 31.0),
        (-31.0, 31.0),
        (-31.0, 21.0),
        (-81.0, 21.0),
    ];
    let stock = Stock::Odd {
        outline: polygon(&room),
        flaws: Vec::new(),
    };
    let mut blanks = [Blank {
        turns: Turns::Free,
        ..blank(polygon(&hook), 1)
    }];
    let unasked = nested(&blanks, &stock, set(0.0, 0.5), 300);
    assert_eq!(unasked.placed, [], "no turn fits");
    blanks[0].mirror = true;
    let asked = nested(&blanks, &stock, set(0.0, 0.5), 300);
    let [only] = &asked.placed[..] else {
        panic!("it is not placed: {asked:?}");
    };
    assert!(only.motion.mirrored);
}

#[test]
fn gap_and_margin_are_kept() {
    let blanks = [blank(rectangle(30.0, 10.0), 2)];
    // 1.5 + 30 + 2 + 30 + 1.5 in a row; 1.5 + 10 + 2 + 10 + 1.5 = 25 across.
    let row = nested(&blanks, &bar(20.0, 500.0), set(2.0, 1.5), 50);
    assert!((row.used_length_mm - 65.0).abs() < ROUNDING, "{row:?}");
    let across = nested(&blanks, &bar(25.0, 500.0), set(2.0, 1.5), 50);
    assert!(
        (across.used_length_mm - 33.0).abs() < ROUNDING,
        "{across:?}"
    );
}

#[test]
fn corners_keep_the_gap_as_a_circle_does() {
    // Two squares of 10 in a room 16 high overlap in height, so 4 lie between them along the bar.
    let blanks = [blank(rectangle(10.0, 10.0), 2)];
    let nest = nested(&blanks, &bar(16.0, 500.0), set(4.0, 0.0), 300);
    assert!((nest.used_length_mm - 24.0).abs() < ROUNDING, "{nest:?}");
    // In a room 23 high one goes 3 above the other; corner to corner, 4² − 3² is left for the way along. The corners of grown zones
    // are cut within 0.02 mm, which slants to a little more along the bar.
    let nest = nested(&blanks, &bar(23.0, 500.0), set(4.0, 0.0), 300);
    let least = 20.0 + 7.0_f64.sqrt();
    assert!(nest.used_length_mm >= least - ROUNDING, "{nest:?}");
    assert!(nest.used_length_mm <= least + 0.04, "{nest:?}");
}

#[test]
fn what_does_not_fit_is_left_over_with_its_reason() {
    let blanks = [
        blank(rectangle(30.0, 10.0), 3),
        blank(rectangle(90.0, 5.0), 1),
        blank(rectangle(20.0, 10.5), 2),
    ];
    let nest = nested(&blanks, &bar(10.0, 65.0), set(0.0, 0.0), 500);
    assert_eq!(nest.placed.len(), 2);
    let told = |blank, count, why| LeftOver { blank, count, why };
    assert_eq!(
        nest.left_over,
        [
            told(0, 1, Why::NoRoom),
            told(1, 1, Why::TooLarge),
            told(2, 2, Why::TooLarge)
        ]
    );
    let none = nested(&blanks[1..2], &bar(10.0, 65.0), set(0.0, 0.0), 500);
    assert_eq!((none.used_length_mm, none.density), (0.0, 0.0));
}

#[test]
fn a_half_turn_is_all_that_the_rolling_direction_allows() {
    // 10 × 30 fits on a bar 10 wide only when turned a quarter.
    let mut blanks = [blank(rectangle(10.0, 30.0), 1)];
    let along = nested(&blanks, &bar(12.0, 100.0), set(0.0, 0.0), 50);
    assert_eq!(along.left_over.len(), 1);
    blanks[0].turns = Turns::Free;
    let free = nested(&blanks, &bar(12.0, 100.0), set(0.0, 0.0), 50);
    assert!((free.used_length_mm - 30.0).abs() < ROUNDING, "{free:?}");
}

#[test]
fn mirrored_only_when_asked() {
    // Trapezoids 40 below and 20 above: one upside down saves 10, and no turn but 0 is allowed.
    let mut blanks = [blank(
        polygon(&[(0.0, 0.0), (40.0, 0.0), (30.0, 10.0), (10.0, 10.0)]),
        2,
    )];
    blanks[0].turns = Turns::Listed(vec![0.0]);
    let plain = nested(&blanks, &bar(10.0, 500.0), set(0.0, 0.0), 500);
    assert!((plain.used_length_mm - 80.0).abs() < ROUNDING, "{plain:?}");
    assert!(plain.placed.iter().all(|p| !p.motion.mirrored));
    blanks[0].mirror = true;
    let mirrored = nested(&blanks, &bar(10.0, 500.0), set(0.0, 0.0), 500);
    assert!(
        (mirrored.used_length_mm - 70.0).abs() < 1e-6,
        "{mirrored:?}"
    );
    let n = mirrored.placed.iter().filter(|p| p.motion.mirrored).count();
    assert_eq!(n, 1);
}

#[test]
fn flaws_are_kept_out_of() {
    // 100 × 20 with a flaw from 41 to 59: two of three blanks of 40 × 20 find room, none with a margin to the edge.
    let stock = Stock::Odd {
        outline: rectangle(100.0, 20.0),
        flaws: vec![polygon(&[
            (41.0, 5.0),
            (59.0, 5.0),
            (59.0, 15.0),
            (41.0, 15.0),
        ])],
    };
    let blanks = [blank(rectangle(40.0, 20.0), 3)];
    let nest = nested(&blanks, &stock, set(0.0, 0.0), 500);
    assert_eq!(nest.placed.len(), 2, "{nest:?}");
    assert!((nest.density - 1600.0 / (2000.0 - 180.0)).abs() < ROUNDING);
    // A margin of 0.5 leaves 41 − 0.5 − 0.5 = 40 between edge and flaw, but only 19 of height.
    let blanks = [blank(rectangle(40.0, 19.0), 3)];
    let nest = nested(&blanks, &stock, set(0.0, 0.5), 500);
    assert_eq!(nest.placed.len(), 2, "{nest:?}");
    let nest = nested(&blanks, &stock, set(0.0, 0.51), 500);
    assert_eq!(nest.placed.len(), 0, "{nest:?}");
}

#[test]
fn hollows_of_an_odd_piece_are_outside() {
    // An L of three squares of 20 holds three squares of 20 and not four.
    let corner = [
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 20.0),
        (20.0, 20.0),
        (20.0, 40.0),
        (0.0, 40.0),
    ];
    let stock = Stock::Odd {
        outline: polygon(&corner),
        flaws: Vec::new(),
    };
    let nest = nested(
        &[blank(rectangle(20.0, 20.0), 4)],
        &stock,
        set(0.0, 0.0),
        2000,
    );
    assert_eq!(nest.placed.len(), 3, "{nest:?}");
    assert!((nest.density - 1.0).abs() < ROUNDING);
}

#[test]
fn knives_keep_gap_and_margin_on_their_true_curves() {
    let blanks: Vec<Blank> = orchard_set()
        .knives
        .iter()
        .map(|knife| Blank {
            mirror: true,
            ..blank(knife.contour(), 2)
        })
        .collect();
    let first = nested(&blanks, &bar(120.0, 2000.0), set(3.0, 5.0), 10);
    assert_eq!(first.placed.len(), 8);
    let later = nested(&blanks, &bar(120.0, 2000.0), set(3.0, 5.0), 100);
    assert!(later.used_length_mm <= first.used_length_mm);
    // The same input gives the same nest.
    assert_eq!(
        later,
        nested(&blanks, &bar(120.0, 2000.0), set(3.0, 5.0), 100)
    );
    let free: Vec<Blank> = blanks
        .iter()
        .map(|b| Blank {
            turns: Turns::Free,
            count: 1,
            ..b.clone()
        })
        .collect();
    nested(&free, &bar(300.0, 2000.0), set(1.0, 0.0), 20);
}

#[test]
fn a_search_can_be_stopped_at_once() {
    let blanks = [blank(rectangle(30.0, 10.0), 5)];
    let nest = nested(&blanks, &bar(20.0, 500.0), set(0.0, 0.0), 0);
    // Stopped after the first blank; what is there is whole.
    assert_eq!(nest.placed.len(), 1);
    assert_eq!(nest.left_over[0].why, Why::Stopped);
}

#[test]
fn progress_shows_whole_nests_that_get_no_longer() {
    let blanks = [blank(polygon(&[(0.0, 0.0), (31.0, 0.0), (9.0, 17.0)]), 7)];
    let mut last = f64::INFINITY;
    let stock = bar(40.0, 500.0);
    let found = nest(&blanks, &stock, &set(1.0, 1.0), &mut |p| {
        if p.best.placed.len() == 7 {
            assert!(p.best.used_length_mm <= last, "it got longer");
            last = p.best.used_length_mm;
        }
        p.rounds < 400
    });
    assert_eq!(found.map(|n| n.used_length_mm), Ok(last));
}

#[test]
fn what_is_no_problem_is_refused() {
    let one = [blank(rectangle(30.0, 10.0), 1)];
    let refused = |blanks: &[Blank], stock: &Stock, options: NestOptions| {
        nest(blanks, stock, &options, &mut |_| true).expect_err("it must be refused")
    };
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e9] {
        for stock in [bar(bad, 100.0), bar(100.0, bad)] {
            let error = refused(&one, &stock, set(0.0, 0.0));
            assert!(matches!(error, NestError::Size { .. }), "{error}");
        }
    }
    for bad in [f64::NAN, -0.1, 1e4] {
        for options in [set(bad, 0.0), set(0.0, bad)] {
            let error = refused(&one, &bar(50.0, 50.0), options);
            assert!(matches!(error, NestError::Size { .. }), "{error}");
        }
    }
    let stock = bar(50.0, 50.0);
    let none = [blank(rectangle(1.0, 1.0), 0)];
    assert_eq!(refused(&none, &stock, set(0.0, 0.0)), NestError::Nothing);
    let many = [blank(rectangle(1.0, 1.0), usize::MAX), one[0].clone()];
    let error = refused(&many, &stock, set(0.0, 0.0));
    assert!(matches!(error, NestError::TooMany { .. }), "{error}");
    let crossing = polygon(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
    let error = refused(&[blank(crossing, 1)], &stock, set(0.0, 0.0));
    assert!(
        matches!(error, NestError::Outline { index: 0, .. }),
        "{error}"
    );
    let mut turned = one.clone();
    turned[0].turns = Turns::Listed(vec![f64::NAN]);
    let error = refused(&turned, &stock, set(0.0, 0.0));
    assert_eq!(error, NestError::Turn { blank: 0 });
    // A margin wider than the bar leaves no room, which is no error.
    let nest = nested(&one, &stock, set(0.0, 30.0), 10);
    assert_eq!(nest.left_over[0].why, Why::TooLarge);
}

#[test]
fn turns_are_those_asked_for() {
    assert_eq!(Turns::Along.angles(), [0.0, PI]);
    assert_eq!(Turns::Free.angles().len(), 24);
}

#[test]
fn covers_hold_all_of_the_outline() {
    for knife in &orchard_set().knives {
        let contour = knife.contour();
        let Ok(cover) = cover::cover(&contour) else {
            panic!("{} is sound", knife.name);
        };
        let parts: Vec<Vec<Point>> = convex::convex_parts(&cover.corners)
            .iter()
            .map(|part| convex::grown(part, cover.tolerance_mm, 0.001))
            .collect();
        for at in contour.flattened(1e-4) {
            let held = parts.iter().any(|part| {
                let next = part.iter().cycle().skip(1);
                part.iter()
                    .zip(next)
                    .all(|(p, q)| (*q - *p).cross(at - *p) >= -1e-9)
            });
            assert!(held, "{} reaches out at {at:?}", knife.name);
        }
        // The parts lie apart, so their areas add up to that of the cover.
        let whole = Contour::polygon(&cover.corners).moments().area;
        let sum: f64 = convex::convex_parts(&cover.corners)
            .iter()
            .map(|part| Contour::polygon(part).moments().area)
            .sum();
        assert!(
            (whole - sum).abs() < 1e-6 * whole,
            "{}: {whole} {sum}",
            knife.name
        );
        // Little more than the outline: a few hundredths all round, and hollows filled by some tenths.
        let exact = contour.moments().area;
        assert!(whole > exact - 0.02 * contour.perimeter() && whole < 1.01 * exact);
    }
}
