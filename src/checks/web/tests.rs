//! Tests of the webs, against distances worked out by hand.

use proptest::prelude::*;

use super::super::testing::{codes, find, findings, findings_by, free, hole, plate, slot};
use super::super::{Severity, Subject, Thresholds};
use crate::catalog::Limit;
use crate::geometry::Point;
use crate::knife::{CutShape, Filling, Knife, Purpose, Row, RowPath};

#[test]
fn a_web_to_the_outline_is_measured_and_mended() {
    // Plate 5 mm thick, 50 high. A 4 mm hole at y = 5.1: web 5.1 − 2 = 3.1 to the lower side, 1.9 short of the thickness.
    let mut knife = plate(100.0, 50.0, 5.0);
    hole(&mut knife, 44.0, 5.1, 4.0);
    let f = find(&knife, "web-outline");
    assert_eq!(f.severity, Severity::Warn);
    assert!((f.measured_mm.unwrap() - 3.1).abs() < 1e-9);
    assert_eq!(f.wanted_mm, Some(5.0));
    assert_eq!(f.mend.to_string(), "Move it 1.9 mm in");
    assert_eq!(
        f.what.to_string(),
        "Web between the hole at 44 mm and the outline is 3.1 mm; keep at least the stock thickness, 5 mm"
    );
    let (p, q) = f.across.unwrap();
    assert!(p.distance(Point::new(44.0, 3.1)) < 1e-9 && q.distance(Point::new(44.0, 0.0)) < 1e-9);
    // Moved by what it asked, it is silent.
    let mut mended = plate(100.0, 50.0, 5.0);
    hole(&mut mended, 44.0, 5.1 + 1.9, 4.0);
    assert!(!codes(&mended).contains(&"web-outline"));
}

#[test]
fn a_web_between_holes_is_measured_and_mended() {
    // Centers 18 mm apart, radii 9 and 5.9: 3.1 mm between them.
    let mut knife = plate(200.0, 80.0, 5.0);
    hole(&mut knife, 44.0, 40.0, 18.0).purpose = Purpose::Tooling;
    hole(&mut knife, 62.0, 40.0, 11.8).purpose = Purpose::Tooling;
    let f = find(&knife, "web-holes");
    assert_eq!(f.severity, Severity::Warn);
    assert!((f.measured_mm.unwrap() - 3.1).abs() < 1e-9);
    assert_eq!(
        f.text(&|mm| format!("{mm:.1} mm")),
        "Web between the holes at 44.0 mm and 62.0 mm is 3.1 mm; keep at least the stock thickness, 5.0 mm. \
         Move one 1.9 mm away."
    );
    assert!(f.place.unwrap().distance(Point::new(54.55, 40.0)) < 1e-9);
    assert!(matches!(&f.about, Some(Subject::CutOuts(names)) if names.len() == 2));
}

#[test]
fn a_hole_that_carries_load_wants_its_diameter() {
    // 8 mm hole in 5 mm stock, web 6: enough steel for the thickness, less than one diameter.
    let mut knife = plate(100.0, 50.0, 5.0);
    hole(&mut knife, 50.0, 10.0, 8.0).purpose = Purpose::Pin;
    let f = find(&knife, "web-outline");
    assert_eq!((f.severity, f.wanted_mm), (Severity::Warn, Some(8.0)));
    assert_eq!(f.mend.to_string(), "Move it 2 mm in");
    knife.cut_outs[0].purpose = Purpose::Lightening;
    let f = find(&knife, "web-outline");
    assert_eq!((f.severity, f.wanted_mm), (Severity::Note, Some(8.0)));
    // 12 mm up, the web is exactly one diameter.
    let mut enough = plate(100.0, 50.0, 5.0);
    hole(&mut enough, 50.0, 12.0, 8.0).purpose = Purpose::Pin;
    assert!(!codes(&enough).contains(&"web-outline"));
}

#[test]
fn where_there_is_no_room_the_hole_must_shrink() {
    // Tang 16 mm high, stock 5: a 9 mm hole in the middle leaves 3.5 each side; 6 mm is the largest that leaves 5.
    let mut knife = plate(100.0, 16.0, 5.0);
    hole(&mut knife, 50.0, 8.0, 9.0);
    let f = find(&knife, "web-outline");
    assert_eq!(f.mend.to_string(), "Make it 6 mm or smaller, in the middle");
    let mut low = plate(100.0, 9.0, 5.0);
    hole(&mut low, 50.0, 4.5, 3.0);
    assert!(
        find(&low, "web-outline")
            .mend
            .to_string()
            .contains("no room")
    );
}

#[test]
fn slots_and_free_shapes_are_measured_from_their_sides() {
    // Level slot 20 × 4 at y = 6: its flat side is 4 above the lower side of a 5 mm plate.
    let mut knife = plate(200.0, 60.0, 5.0);
    slot(&mut knife, 50.0, 6.0, 20.0, 4.0);
    let f = find(&knife, "web-outline");
    assert!(
        (f.measured_mm.unwrap() - 4.0).abs() < 1e-4,
        "{:?}",
        f.measured_mm
    );
    // Its round end reaches x = 60; a square from x = 63 leaves 3.
    let mut pair = plate(200.0, 60.0, 5.0);
    slot(&mut pair, 50.0, 30.0, 20.0, 4.0);
    free(
        &mut pair,
        &[(63.0, 25.0), (73.0, 25.0), (73.0, 35.0), (63.0, 35.0)],
    );
    let f = find(&pair, "web-holes");
    assert!(
        (f.measured_mm.unwrap() - 3.0).abs() < 1e-4,
        "{:?}",
        f.measured_mm
    );
    assert!(f.what.to_string().contains("slot") && f.what.to_string().contains("cut-out"));
    // Two parallel slots, 10 mm between their middle lines, 4 wide: 6 mm of steel, enough.
    let mut apart = plate(200.0, 60.0, 5.0);
    slot(&mut apart, 50.0, 25.0, 20.0, 4.0);
    slot(&mut apart, 55.0, 35.0, 20.0, 4.0);
    assert!(!codes(&apart).contains(&"web-holes"));
}

fn row(knife: &mut Knife, pitch: f64, count: u32, diameter: f64) {
    let id = knife.take_id();
    let from = Point::new(30.0, 25.0);
    knife.rows.push(Row {
        id,
        path: RowPath::Line {
            from,
            to: Point::new(30.0 + pitch * f64::from(count - 1), 25.0),
        },
        count,
        first_diameter_mm: diameter,
        last_diameter_mm: diameter,
        purpose: Purpose::Lightening,
        filling: Filling::Nothing,
    });
}

#[test]
fn a_row_is_told_once() {
    // Ten 6 mm holes at 9 mm: nine webs of 3 mm, one finding.
    let mut knife = plate(200.0, 50.0, 5.0);
    row(&mut knife, 9.0, 10, 6.0);
    let f = find(&knife, "web-holes");
    assert!((f.measured_mm.unwrap() - 3.0).abs() < 1e-9);
    assert_eq!(f.mend.to_string(), "Space the row 2 mm wider");
    let mut wide = plate(200.0, 50.0, 5.0);
    row(&mut wide, 12.0, 10, 6.0);
    assert!(!codes(&wide).contains(&"web-holes"));
}

#[test]
fn a_cutting_process_that_needs_more_says_so() {
    let process_web = Limit {
        times_thickness: 2.0,
        at_least_mm: 6.0,
    };
    let plasma = Thresholds {
        process: "Plasma".to_owned(),
        process_web,
        ..Thresholds::default()
    };
    // Web 8 in 5 mm stock: plasma wants 10.
    let mut knife = plate(100.0, 60.0, 5.0);
    hole(&mut knife, 50.0, 11.0, 6.0);
    let all = findings_by(&knife, &plasma);
    let f = all.iter().find(|f| f.code == "web-outline").unwrap();
    assert_eq!(f.wanted_mm, Some(10.0));
    assert!(
        f.what.to_string().contains("plasma leaves at least 10 mm"),
        "{}",
        f.what
    );
    assert!(!codes(&knife).contains(&"web-outline"));
}

#[test]
fn a_broken_outline_is_mended_first() {
    let mut knife = plate(100.0, 30.0, 4.0);
    hole(&mut knife, 30.0, 15.0, 6.0);
    hole(&mut knife, 37.0, 15.0, 6.0);
    assert!(codes(&knife).contains(&"web-holes"));
    knife.outline.nodes.swap(2, 3);
    assert!(!codes(&knife).contains(&"web-holes"));
}

/// Every size of a knife times `k`.
fn scaled(knife: &Knife, k: f64) -> Knife {
    let mut big = knife.clone();
    big.stock.thickness_mm *= k;
    for node in &mut big.outline.nodes {
        node.at = (node.at.to_vec2() * k).to_point();
    }
    for cut in &mut big.cut_outs {
        if let CutShape::Round {
            center,
            diameter_mm,
        } = &mut cut.shape
        {
            *center = (center.to_vec2() * k).to_point();
            *diameter_mm *= k;
        }
    }
    big
}

/// Webs found, by a rule without floors in mm.
fn webs(knife: &Knife) -> Vec<(&'static str, Severity, f64)> {
    let floorless = Thresholds {
        process_web: Limit {
            times_thickness: 0.0,
            at_least_mm: 0.0,
        },
        ..Thresholds::default()
    };
    let mut webs: Vec<_> = findings_by(knife, &floorless)
        .iter()
        .filter(|f| f.code.starts_with("web"))
        .map(|f| (f.code, f.severity, f.measured_mm.unwrap()))
        .collect();
    webs.sort_by(|a, b| a.2.total_cmp(&b.2));
    webs
}

/// All webs of round holes in a plate by trying every hole against every other and the four sides.
fn webs_by_hand(knife: &Knife, length: f64, height: f64, slack: f64) -> Vec<f64> {
    let t = knife.stock.thickness_mm;
    let holes: Vec<(Point, f64)> = knife
        .cut_outs
        .iter()
        .filter_map(|cut| match cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => Some((center, diameter_mm)),
            _ => None,
        })
        .collect();
    let mut thin = Vec::new();
    for (i, (c, d)) in holes.iter().enumerate() {
        let side = c.x.min(c.y).min(length - c.x).min(height - c.y) - d / 2.0;
        if side < t.max(*d) - slack {
            thin.push(side);
        }
        for (c2, d2) in &holes[i + 1..] {
            let web = c.distance(*c2) - (d + d2) / 2.0;
            if web < t.max(*d).max(*d2) - slack {
                thin.push(web);
            }
        }
    }
    thin.sort_by(f64::total_cmp);
    thin
}

/// Holes on a jittered grid, so that they neither overlap nor leave the plate.
fn grid(jitter: &[(f64, f64, f64)]) -> Knife {
    let mut knife = plate(160.0, 100.0, 4.0);
    for (i, (dx, dy, d)) in jitter.iter().enumerate() {
        let (column, line) = ((i % 8) as f64, (i / 8) as f64);
        hole(
            &mut knife,
            10.0 + 20.0 * column + dx,
            10.0 + 20.0 * line + dy,
            *d,
        );
    }
    knife
}

proptest! {
    #[test]
    fn every_thin_web_is_found_and_no_other(
        jitter in prop::collection::vec((-4.0..4.0_f64, -4.0..4.0_f64, 2.0..10.0_f64), 1..40)
    ) {
        let knife = grid(&jitter);
        let found: Vec<f64> = webs(&knife).iter().map(|w| w.2).collect();
        let wanted = webs_by_hand(&knife, 160.0, 100.0, 1e-3);
        prop_assert_eq!(found.len(), wanted.len());
        for (a, b) in found.iter().zip(&wanted) {
            prop_assert!((a - b).abs() < 1e-6, "{} {}", a, b);
        }
    }

    #[test]
    fn a_knife_twice_as_large_has_the_same_webs_twice_as_wide(
        jitter in prop::collection::vec((-4.0..4.0_f64, -4.0..4.0_f64, 2.0..10.0_f64), 1..20),
        k in 1.5..4.0_f64
    ) {
        let knife = grid(&jitter);
        let (small, large) = (webs(&knife), webs(&scaled(&knife, k)));
        // The slack does not grow with the knife: leave out knives with a web that close to its limit.
        let counted = |slack| webs_by_hand(&knife, 160.0, 100.0, slack).len();
        prop_assume!(counted(-0.01) == counted(0.01));
        // Nor at the stock's thickness, where a note becomes a warning.
        let at_thickness = |web: &f64| (web - 4.0).abs() < 0.01;
        prop_assume!(!webs_by_hand(&knife, 160.0, 100.0, -0.01).iter().any(at_thickness));
        prop_assert_eq!(small.len(), large.len());
        for (a, b) in small.iter().zip(&large) {
            prop_assert_eq!((a.0, a.1), (b.0, b.1));
            prop_assert!((a.2 * k - b.2).abs() < 1e-6 * k);
        }
    }
}

#[test]
fn found_in_order_stop_warn_note_and_along_x() {
    let mut knife = plate(200.0, 60.0, 5.0);
    hole(&mut knife, 150.0, 4.0, 4.0);
    hole(&mut knife, 30.0, 4.0, 4.0);
    hole(&mut knife, 90.0, -1.0, 4.0);
    let all = findings(&knife);
    let order: Vec<_> = all
        .iter()
        .map(|f| (f.severity, f.place.map_or(f64::INFINITY, |p| p.x)))
        .collect();
    assert!(order.is_sorted(), "{order:?}");
    assert_eq!(order[0].0, Severity::Stop);
    assert!(order.iter().filter(|o| o.0 == Severity::Warn).count() >= 2);
}

#[test]
fn a_sieve_is_told_by_its_thinnest_webs() {
    // 20 × 20 holes of 2 mm at 3 mm: 760 webs of 1 mm; one of them, by a hole moved 0.5 mm over, is thinner.
    let mut knife = plate(200.0, 100.0, 4.0);
    for i in 0..400 {
        let nudge = if i == 210 { 0.5 } else { 0.0 };
        let (column, line) = (f64::from(i % 20), f64::from(i / 20));
        hole(
            &mut knife,
            20.0 + 3.0 * column + nudge,
            20.0 + 3.0 * line,
            2.0,
        );
    }
    let all = findings(&knife);
    let webs: Vec<f64> = all
        .iter()
        .filter(|f| f.code == "web-holes")
        .filter_map(|f| f.measured_mm)
        .collect();
    assert_eq!(webs.len(), 100);
    assert!(webs.iter().any(|web| (web - 0.5).abs() < 1e-9));
}
