//! Shapes and outlines that are none: each with its reason, and no number made up for it.

use tangwright::geometry::{Contour, OutlineFault, Point};
use tangwright::knife::Filling;
use tangwright::weighing::{Missing, WeighUp, weigh};

use super::bench::{at, camp_outline, chain, cubic, free, knife, line, polygon, round, set, slot};
use super::overlaps::{check, drilled_numbers_are_missing, reasons, with};

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
    over.filling = Filling::pin("brass");
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
