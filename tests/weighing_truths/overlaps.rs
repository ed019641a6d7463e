//! Outlines and cut-outs that can't be counted: each with its reason, the numbers missing and not zero.

use tangwright::geometry::{Contour, Motion, OutlineFault, Point};
use tangwright::knife::{CutOut, Filling};
use tangwright::weighing::{Missing, WeighUp, weigh};

use super::bench::{
    at, camp_outline, chain, cubic, free, knife, line, plate, polygon, round, set, slot,
};

fn with(cut_outs: Vec<CutOut>) -> WeighUp {
    let mut knife = knife(&plate());
    knife.cut_outs = cut_outs;
    weigh(&knife, &set())
}

/// Reasons in short: `across 1`, `outside 1`, `over 1 2`, `shape 1`.
fn reasons(up: &WeighUp) -> Vec<String> {
    let short = |missing: &Missing| match missing {
        Missing::AcrossOutline { cut_out, .. } => format!("across {cut_out}"),
        Missing::OutsideSteel { cut_out, .. } => format!("outside {cut_out}"),
        Missing::OverCutOut { cut_out, other, .. } => format!("over {cut_out} {other}"),
        Missing::CutOutShape { cut_out, .. } => format!("shape {cut_out}"),
        other => other.to_string(),
    };
    up.missing.iter().map(short).collect()
}

/// The steel's drilled numbers are missing; what does not depend on cut-outs is there.
fn drilled_numbers_are_missing(up: &WeighUp) {
    let s = &up.steel;
    assert_eq!(
        (s.area_mm2, s.volume_mm3, s.drilled_mass_g),
        (None, None, None)
    );
    assert_eq!(
        (s.balance_mm, s.centroid_mm, s.inertia_g_mm2),
        (None, None, None)
    );
    assert_eq!(
        (s.mass_band_g, s.balance_band_mm, up.total),
        (None, None, None)
    );
    assert!(s.blank_mass_g.is_some_and(|g| g > 0.0));
    assert!(s.bar_mass_g.is_some_and(|g| g > 0.0));
}

fn check(cut_outs: Vec<CutOut>, expected: &[&str]) {
    let up = with(cut_outs);
    assert_eq!(reasons(&up), expected);
    if expected.is_empty() {
        assert!(up.total.is_some());
        return;
    }
    drilled_numbers_are_missing(&up);
    for cut in &up.cut_outs {
        let named = up
            .missing
            .iter()
            .any(|m| m.cut_out() == Some(cut.name.as_str()));
        assert_eq!(cut.removed_g.is_none(), named, "{}", cut.name);
        assert_eq!(cut.balance_shift_mm.is_none(), named, "{}", cut.name);
    }
    for missing in &up.missing {
        assert!(missing.place().is_some() && missing.cut_out().is_some());
    }
}

#[test]
fn round_holes_against_the_outline() {
    check(vec![round(1, 0.0, 0.0, 10.0)], &[]);
    check(vec![round(1, 0.0, 10.0, 10.0)], &["across 1"]);
    check(vec![round(1, 0.0, 12.5, 10.0)], &["across 1"]);
    check(vec![round(1, 0.0, 30.0, 10.0)], &["outside 1"]);
    check(vec![round(1, 200.0, 0.0, 10.0)], &["outside 1"]);
    // Over a corner only; a hair off the edge, and a hair over it.
    check(vec![round(1, 62.0, 14.0, 10.0)], &["across 1"]);
    check(vec![round(1, 0.0, 7.499_999, 10.0)], &[]);
    check(vec![round(1, 0.0, 7.500_001, 10.0)], &["across 1"]);
    // Touching the edge from inside takes away just itself; touching from outside takes nothing.
    check(vec![round(1, 0.0, 7.5, 10.0)], &[]);
    check(vec![round(1, 0.0, 17.5, 10.0)], &["outside 1"]);
    check(vec![round(1, 65.0, 0.0, 10.0)], &["outside 1"]);
    check(vec![round(1, -65.0, 0.0, 10.0)], &["outside 1"]);
    // Holes that touch each other, and the edge, in any direction.
    for i in 0..60 {
        let u = kurbo::Vec2::from_angle(0.1047 * f64::from(i)) * 2.5;
        check(
            vec![round(1, -u.x, -u.y, 5.0), round(2, u.x, u.y, 5.0)],
            &[],
        );
        let turned =
            polygon(&[(-60.0, -12.5), (60.0, -12.5), (60.0, 12.5), (-60.0, 12.5)]).moved(&Motion {
                mirrored: false,
                turn_rad: u.x,
                shift: u,
            });
        let mut knife = knife(&turned);
        let touching = Motion {
            mirrored: false,
            turn_rad: u.x,
            shift: u,
        }
        .apply(at(f64::from(i - 30), 8.5));
        knife.cut_outs = vec![round(1, touching.x, touching.y, 8.0)];
        assert_eq!(weigh(&knife, &set()).missing, vec![]);
    }
    // A hole that swallows the knife.
    check(vec![round(1, 0.0, 0.0, 300.0)], &["across 1"]);
}

#[test]
fn slots_and_free_shapes_against_the_outline() {
    check(vec![slot(1, 0.0, 0.0, 30.0, 8.0, 0.4)], &[]);
    check(vec![slot(1, 0.0, 0.0, 30.0, 8.0, 1.2)], &["across 1"]);
    check(vec![slot(1, 0.0, 0.0, 200.0, 8.0, 0.0)], &["across 1"]);
    check(vec![slot(1, 0.0, 40.0, 30.0, 8.0, 0.0)], &["outside 1"]);
    check(vec![slot(1, 0.0, 0.0, 500.0, 400.0, 0.0)], &["across 1"]);
    let kite = |x: f64, y: f64, r: f64| polygon(&[(x - r, y), (x, y - r), (x + r, y), (x, y + r)]);
    check(vec![free(1, &kite(10.0, 0.0, 5.0))], &[]);
    check(vec![free(1, &kite(10.0, 10.0, 5.0))], &["across 1"]);
    check(vec![free(1, &kite(10.0, 40.0, 5.0))], &["outside 1"]);
    check(vec![free(1, &kite(0.0, 0.0, 400.0))], &["across 1"]);
    check(vec![free(1, &kite(10.0, 0.0, 5.0).reversed())], &[]);
}

#[test]
fn cut_outs_over_each_other() {
    check(
        vec![round(1, 0.0, 0.0, 10.0), round(2, 8.0, 0.0, 10.0)],
        &["over 1 2", "over 2 1"],
    );
    check(
        vec![round(1, 0.0, 0.0, 10.0), round(2, 10.001, 0.0, 10.0)],
        &[],
    );
    check(
        vec![round(1, 0.0, 0.0, 10.0), round(2, 1.0, 0.0, 2.0)],
        &["over 1 2", "over 2 1"],
    );
    check(
        vec![round(1, 0.0, 0.0, 10.0), round(2, 0.0, 0.0, 10.0)],
        &["over 1 2", "over 2 1"],
    );
    // A slot over a hole, with the hole in its middle, at its end, and just beside it.
    check(
        vec![slot(1, 0.0, 0.0, 40.0, 8.0, 0.1), round(2, 0.0, 0.0, 3.0)],
        &["over 1 2", "over 2 1"],
    );
    check(
        vec![slot(1, 0.0, 0.0, 40.0, 8.0, 0.0), round(2, 21.0, 0.0, 3.0)],
        &["over 1 2", "over 2 1"],
    );
    check(
        vec![slot(1, 0.0, 0.0, 40.0, 8.0, 0.0), round(2, 21.51, 0.0, 3.0)],
        &[],
    );
    check(
        vec![
            slot(1, 0.0, 0.0, 40.0, 8.0, 0.0),
            slot(2, 0.0, 7.9, 40.0, 8.0, 0.0),
        ],
        &["over 1 2", "over 2 1"],
    );
    // Slots end to end in one slanted line: apart, whatever rounding makes of their directions.
    for i in 0..40 {
        let angle = -0.3 + 0.017 * f64::from(i);
        let along = kurbo::Vec2::from_angle(angle) * 15.5;
        let (a, b) = (at(0.0, 0.0) - along, at(0.0, 0.0) + along);
        check(
            vec![
                slot(1, a.x, a.y, 30.0, 4.0, angle),
                slot(2, b.x, b.y, 30.0, 4.0, angle),
            ],
            &[],
        );
    }
}

#[test]
fn free_shapes_over_each_other() {
    // Free shapes: one in the other, crossing, a hole in one, one in a slot.
    let square = |x: f64, r: f64| polygon(&[(x - r, -r), (x + r, -r), (x + r, r), (x - r, r)]);
    let both = ["over 1 2", "over 2 1"];
    check(
        vec![free(1, &square(0.0, 8.0)), free(2, &square(0.0, 3.0))],
        &both,
    );
    check(
        vec![free(1, &square(0.0, 3.0)), free(2, &square(0.0, 8.0))],
        &both,
    );
    check(
        vec![free(1, &square(0.0, 5.0)), free(2, &square(7.0, 5.0))],
        &both,
    );
    check(
        vec![free(1, &square(0.0, 5.0)), free(2, &square(11.0, 5.0))],
        &[],
    );
    check(
        vec![free(1, &square(0.0, 5.0)), round(2, 1.0, 1.0, 2.0)],
        &both,
    );
    check(
        vec![free(1, &square(0.0, 2.0)), round(2, 0.0, 0.0, 20.0)],
        &both,
    );
    check(
        vec![
            free(1, &square(0.0, 2.0)),
            slot(2, 0.0, 0.0, 30.0, 9.0, 0.2),
        ],
        &both,
    );
    // Only those that overlap are named; the one beside keeps its numbers.
    check(
        vec![
            round(1, -40.0, 0.0, 6.0),
            round(2, 0.0, 0.0, 6.0),
            round(3, 3.0, 0.0, 6.0),
        ],
        &["over 2 3", "over 3 2"],
    );
    // Across the edge and over another: each with one reason, the edge first.
    check(
        vec![round(1, 0.0, 11.0, 6.0), round(2, 0.0, 7.0, 6.0)],
        &["across 1", "over 2 1"],
    );
}

#[test]
fn a_ring_shaped_opening_holds_no_other() {
    // A horseshoe: a hole between its arms is in its box but not in it.
    let shoe = chain(vec![
        line((-10.0, -6.0), (10.0, -6.0)),
        line((10.0, -6.0), (10.0, -4.0)),
        line((10.0, -4.0), (-8.0, -4.0)),
        line((-8.0, -4.0), (-8.0, 4.0)),
        line((-8.0, 4.0), (10.0, 4.0)),
        line((10.0, 4.0), (10.0, 6.0)),
        line((10.0, 6.0), (-10.0, 6.0)),
        line((-10.0, 6.0), (-10.0, -6.0)),
    ]);
    check(vec![free(1, &shoe), round(2, 0.0, 0.0, 7.0)], &[]);
    check(
        vec![free(1, &shoe), round(2, 0.0, 0.0, 9.0)],
        &["over 1 2", "over 2 1"],
    );
}

#[test]
fn shapes_that_are_none() {
    let eight = polygon(&[(0.0, 0.0), (8.0, 6.0), (8.0, 0.0), (0.0, 6.0)]);
    check(vec![free(1, &eight)], &["shape 1"]);
    let loops = chain(vec![
        cubic([(0.0, 0.0), (18.0, 9.0), (-6.0, 9.0), (12.0, 0.0)]),
        line((12.0, 0.0), (6.0, -5.0)),
        line((6.0, -5.0), (0.0, 0.0)),
    ]);
    check(
        vec![free(1, &loops), round(2, -30.0, 0.0, 5.0)],
        &["shape 1"],
    );
    let up = with(vec![
        round(1, 0.0, 0.0, 0.0),
        round(2, 5.0, 0.0, -4.0),
        slot(3, 0.0, 0.0, 5.0, f64::NAN, 0.0),
    ]);
    assert_eq!(reasons(&up), ["shape 1", "shape 2", "shape 3"]);
    drilled_numbers_are_missing(&up);
    let up = with(vec![
        round(1, f64::NAN, 0.0, 5.0),
        free(2, &polygon(&[(0.0, 0.0), (f64::NAN, 1.0), (2.0, 3.0)])),
    ]);
    assert_eq!(reasons(&up), ["shape 1", "shape 2"]);
    drilled_numbers_are_missing(&up);
    let up = with(vec![free(1, &Contour::default())]);
    assert_eq!(reasons(&up), ["shape 1"]);
}

#[test]
fn an_opening_that_can_not_be_counted_has_no_filling_either() {
    let mut over = round(1, 0.0, 12.0, 6.0);
    over.filling = Filling::Pin {
        material: "brass".to_owned(),
    };
    let up = with(vec![over, round(2, 0.0, 12.0, 6.0)]);
    assert_eq!(up.cut_outs[0].filling_g, None);
    // Nothing is nothing wherever it is.
    assert_eq!(up.cut_outs[1].filling_g, Some(0.0));
}

/// All numbers of the steel are missing, and so is the total.
fn nothing_is_weighed(up: &WeighUp) {
    let s = &up.steel;
    assert_eq!(
        (s.area_mm2, s.perimeter_mm, s.volume_mm3),
        (None, None, None)
    );
    assert_eq!(
        (s.bar_mass_g, s.blank_mass_g, s.drilled_mass_g),
        (None, None, None)
    );
    assert_eq!(
        (s.mass_band_g, s.balance_mm, s.balance_band_mm),
        (None, None, None)
    );
    assert_eq!(
        (s.centroid_mm, s.inertia_g_mm2, up.total),
        (None, None, None)
    );
    assert!(
        up.cut_outs
            .iter()
            .all(|c| c.removed_g.is_none() && c.balance_shift_mm.is_none())
    );
}

#[test]
fn outlines_that_are_none() {
    let hole = round(500, 5.0, 2.0, 1.0);
    let weighed = |contour: &Contour| {
        let mut knife = knife(contour);
        knife.cut_outs = vec![hole.clone()];
        weigh(&knife, &set())
    };
    let up = weighed(&polygon(&[
        (0.0, 0.0),
        (20.0, 10.0),
        (20.0, 0.0),
        (0.0, 10.0),
    ]));
    nothing_is_weighed(&up);
    let [
        Missing::Outline {
            fault: OutlineFault::Crossing { crossing },
        },
    ] = &up.missing[..]
    else {
        panic!("{:?}", up.missing);
    };
    assert!(crossing.at.distance(at(10.0, 5.0)) < 1e-9);
    assert_eq!(up.missing[0].place(), Some(crossing.at));
    assert_eq!(up.missing[0].cut_out(), None);
    let up = weighed(&polygon(&[(0.0, 0.0), (20.0, f64::NAN), (20.0, 10.0)]));
    nothing_is_weighed(&up);
    assert!(matches!(
        up.missing[..],
        [
            Missing::Outline {
                fault: OutlineFault::NotFinite { .. }
            },
            ..
        ]
    ));
    let up = weighed(&Contour::default());
    nothing_is_weighed(&up);
    assert!(up.missing.contains(&Missing::Outline {
        fault: OutlineFault::TooFew
    }));
    // A spike, and a piece of no length.
    let up = weighed(&polygon(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (30.0, 0.0),
        (20.0, 0.0),
        (20.0, 9.0),
    ]));
    nothing_is_weighed(&up);
    let up = weighed(&polygon(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, 0.0),
        (20.0, 9.0),
    ]));
    nothing_is_weighed(&up);
    assert!(matches!(
        up.missing[..],
        [Missing::Outline {
            fault: OutlineFault::ZeroPiece { .. }
        }]
    ));
}

#[test]
fn reasons_say_what_to_do() {
    let up = with(vec![round(1, 0.0, 12.0, 6.0), round(2, 0.0, 40.0, 6.0)]);
    let said: Vec<String> = up.missing.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "cut-out 1 reaches over the edge of the steel: move it in or make it smaller",
            "cut-out 2 lies outside the steel: move it in or remove it",
        ]
    );
    assert_eq!(up.missing[0].place(), Some(Point::new(0.0, 12.0)));
}

#[test]
fn a_clean_knife_lacks_nothing() {
    let up = weigh(&knife(&camp_outline()), &set());
    assert_eq!(up.missing, vec![]);
    assert!(up.total.is_some());
}

#[test]
fn sizes_beyond_any_bench_still_come_back() {
    for size in [1e30, 1e150, 1e300] {
        let mut huge = knife(&polygon(&[
            (0.0, 0.0),
            (size, 0.0),
            (size, size),
            (0.0, size),
        ]));
        huge.cut_outs = vec![
            round(1, size / 2.0, size / 2.0, size / 4.0),
            slot(2, 0.0, 0.0, size, 1.0, 0.3),
        ];
        let bow = chain(vec![
            cubic([(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)]),
            line((0.0, size), (0.0, 0.0)),
        ]);
        // Any answer will do; it must come, and soon.
        for knife in [huge, knife(&bow)] {
            let up = weigh(&knife, &set());
            assert_eq!(up.steel.pierces, 1 + knife.cut_outs.len());
        }
    }
}
