//! Cut-outs that reach over the outline or each other: each with its reason, the numbers missing and not zero.

use tangwright::geometry::Motion;
use tangwright::knife::CutOut;
use tangwright::weighing::{Missing, WeighUp, weigh};

use super::bench::{at, chain, free, knife, line, plate, polygon, round, set, slot};

pub(crate) fn with(cut_outs: Vec<CutOut>) -> WeighUp {
    let mut knife = knife(&plate());
    knife.cut_outs = cut_outs;
    weigh(&knife, &set())
}

/// Reasons in short: `across 1`, `outside 1`, `over 1 2`, `shape 1`.
pub(crate) fn reasons(up: &WeighUp) -> Vec<String> {
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
pub(crate) fn drilled_numbers_are_missing(up: &WeighUp) {
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

pub(crate) fn check(cut_outs: Vec<CutOut>, expected: &[&str]) {
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
