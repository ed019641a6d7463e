//! Tests of the starters: sound, fair and complete over the sizes they are made in. Fairness is judged by the curvature of the pieces, whose
//! closed form is kurbo's; a smooth joint by equal directions.

use std::collections::BTreeSet;

use super::*;
use crate::geometry::{Piece, outline_faults};
use crate::knife::{
    Joint, KnifeSet, LandmarkKind, Material, Outline, Tang, knife_faults, starters::forms::drawing,
};

/// Blade length, height and stock from, to, and handle lengths from, to: ordinary sizes for the form, common practice.
type Range = (f64, f64);

fn ranges(key: &str) -> (Range, Range, Range, Range) {
    match key {
        "paring" => ((75.0, 100.0), (18.0, 25.0), (1.5, 2.5), (70.0, 110.0)),
        "utility" => ((120.0, 160.0), (25.0, 32.0), (1.8, 2.5), (115.0, 135.0)),
        "kitchen" => ((200.0, 250.0), (45.0, 55.0), (2.0, 3.0), (115.0, 135.0)),
        "slicer" => ((240.0, 300.0), (30.0, 40.0), (2.0, 3.0), (115.0, 135.0)),
        "grafting" => ((55.0, 80.0), (14.0, 22.0), (2.0, 3.2), (100.0, 120.0)),
        "hunter" => ((90.0, 115.0), (24.0, 32.0), (3.0, 4.0), (100.0, 120.0)),
        "bush" => ((90.0, 115.0), (24.0, 30.0), (3.2, 4.5), (100.0, 120.0)),
        "skinner" => ((75.0, 110.0), (28.0, 38.0), (2.5, 4.0), (100.0, 120.0)),
        "camp" => ((180.0, 250.0), (38.0, 50.0), (4.8, 6.4), (120.0, 140.0)),
        "chopper" => ((250.0, 330.0), (45.0, 60.0), (5.0, 6.4), (120.0, 140.0)),
        other => panic!("form '{other}' has no ranges here"),
    }
}

/// Every form at the corners and the middle of its range, and at its default sizes.
fn grid() -> Vec<Knife> {
    let mut knives = Vec::new();
    for form in starter_forms() {
        let usual = default_sizes(form.key).unwrap();
        knives.push(make_starter(form.key, &usual, "steel").unwrap());
        let (blade, height, stock, handle) = ranges(form.key);
        let steps = |(a, b): Range| [a, f64::midpoint(a, b), b];
        for blade_mm in steps(blade) {
            for height_mm in steps(height) {
                for handle_mm in steps(handle) {
                    let sizes = StarterSizes {
                        overall_mm: blade_mm + handle_mm,
                        blade_mm,
                        height_mm,
                        stock_mm: stock.0,
                    };
                    knives.push(make_starter(form.key, &sizes, "steel").unwrap());
                }
            }
        }
    }
    knives
}

fn set() -> KnifeSet {
    KnifeSet {
        materials: vec![Material {
            key: "steel".to_owned(),
            name: "steel".to_owned(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        ..KnifeSet::default()
    }
}

fn at(knife: &Knife, kind: LandmarkKind) -> kurbo::Point {
    knife.landmark_point(kind).unwrap()
}

#[test]
fn forms_are_many_and_told_apart() {
    let keys: BTreeSet<&str> = starter_forms().iter().map(|f| f.key).collect();
    assert_eq!(keys.len(), starter_forms().len(), "keys are unique");
    for wanted in [
        "paring", "kitchen", "slicer", "hunter", "bush", "skinner", "camp", "chopper", "grafting",
    ] {
        assert!(keys.contains(wanted), "{wanted}");
    }
    for form in starter_forms() {
        assert!(!form.name.is_empty(), "{}", form.key);
        assert!(form.hint.len() > 15 && !form.hint.contains('\n'));
        assert_eq!(drawing(form.key).unwrap().form, *form);
    }
    assert_eq!(default_sizes("spoon"), None);
}

#[test]
fn every_form_is_sound_and_complete() {
    for knife in grid() {
        let contour = knife.contour();
        assert_eq!(outline_faults(&contour.pieces), vec![], "{}", knife.form);
        assert_eq!(knife_faults(&knife, &set()), vec![], "{}", knife.form);
        assert!(contour.moments().area > 0.0, "counterclockwise");
        for kind in LandmarkKind::ON_EVERY_KNIFE {
            assert!(knife.landmark(kind).is_some(), "{}", kind.name());
        }
        let bounds = contour.bounds();
        let (tip, butt) = (
            at(&knife, LandmarkKind::Tip),
            at(&knife, LandmarkKind::Butt),
        );
        assert!((tip.x - bounds.x1).abs() < 1e-9, "tip is foremost");
        assert!((butt.x - bounds.x0).abs() < 1e-9, "butt is rearmost");
        assert!((tip.x - butt.x - bounds.width()).abs() < 1e-9);
        let (low, high) = (
            at(&knife, LandmarkKind::LowerShoulder),
            at(&knife, LandmarkKind::UpperShoulder),
        );
        assert!(low.x.abs() < 1e-12 && high.x.abs() < 1e-12);
        assert!((low.y + high.y).abs() < 1e-9, "the shoulder's middle is 0");
        // The edge lies below the handle, and the heel ahead of the shoulder line.
        let heel = at(&knife, LandmarkKind::Heel);
        assert!(
            heel.y < low.y - 0.5 && heel.x > 2.0,
            "{} {heel:?}",
            knife.form
        );
        let start = at(&knife, LandmarkKind::SpineStart);
        assert!(start.x > 0.2 * tip.x && start.x < 0.85 * tip.x, "{start:?}");
        assert_eq!(knife.stock.material, "steel");
        assert!(knife.stock.tolerance_mm > 0.0 && knife.stock.tolerance_mm < 0.3);
        let hidden = matches!(knife.tang, Tang::Hidden(_));
        assert_eq!(hidden, knife.form == "paring", "{}", knife.form);
    }
}

#[test]
fn smooth_nodes_are_smooth() {
    for knife in grid() {
        let pieces = knife.contour().pieces;
        let n = pieces.len();
        let mut count = 0;
        for (i, node) in knife.outline.nodes.iter().enumerate() {
            if node.joint == Joint::Smooth {
                let before = pieces[(i + n - 1) % n].direction(1.0).unwrap();
                let after = pieces[i].direction(0.0).unwrap();
                assert!((before - after).hypot() < 1e-9, "kink at {:?}", node.at);
                count += 1;
            }
        }
        assert!(count >= 1, "{}", knife.form);
    }
}

/// The pieces between two landmarks that sit on nodes.
fn run(knife: &Knife, from: LandmarkKind, to: LandmarkKind) -> Vec<Piece> {
    let outline: &Outline = &knife.outline;
    let index = |kind| {
        let spot = knife.landmark(kind).unwrap();
        assert!(spot.t == 0.0, "{} sits on a node", LandmarkKind::name(kind));
        outline.index_of(spot.node).unwrap()
    };
    (index(from)..index(to))
        .map(|i| outline.piece(i).unwrap())
        .collect()
}

/// Curvatures along a run, in order of travel.
fn curvatures(pieces: &[Piece]) -> Vec<f64> {
    let along = |piece: &Piece| -> Vec<f64> {
        (0..=64)
            .map(|i| piece.curvature(f64::from(i) / 64.0))
            .collect()
    };
    pieces.iter().flat_map(along).collect()
}

/// How often a list of numbers turns from rising to falling or back, leaving out changes below a thousandth of its range.
fn turns(values: &[f64]) -> usize {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let slack = (most - least) * 1e-3;
    let (mut turned, mut direction) = (0, 0.0);
    let mut extreme = values.first().copied().unwrap_or(0.0);
    for value in values {
        let step = value - extreme;
        if direction * step > 0.0 {
            extreme = *value;
        } else if step.abs() > slack {
            if direction != 0.0 {
                turned += 1;
            }
            direction = step.signum();
            extreme = *value;
        }
    }
    turned
}

#[test]
fn edge_and_spine_are_fair() {
    use LandmarkKind::{Heel, Tip, UpperShoulder};
    // Straight pieces show curvature only by rounding.
    const STRAIGHT: f64 = 1e-9;
    for knife in grid() {
        let edge = curvatures(&run(&knife, Heel, Tip));
        let spine = curvatures(&run(&knife, Tip, UpperShoulder));
        // Outlines run counterclockwise: bending outward is positive. Only the skinner's spine is hollow, all along.
        let hollow = knife.form == "skinner";
        for k in &edge {
            assert!(*k > -STRAIGHT, "{}: edge wavers by {k}", knife.form);
        }
        for k in &spine {
            let outward = if hollow { -k } else { *k };
            assert!(outward > -STRAIGHT, "{}: spine wavers by {k}", knife.form);
        }
        // One belly, one fall: curvature gathers once and lets go once, at most.
        assert!(turns(&edge) <= 1, "{}: {edge:?}", knife.form);
        assert!(turns(&spine) <= 1, "{}: {spine:?}", knife.form);
        let drawn = if knife.form == "grafting" { 0.0 } else { 1e-3 };
        let strongest = edge.iter().copied().fold(0.0, f64::max);
        assert!(strongest >= drawn, "{}: {strongest}", knife.form);
    }
}

#[test]
fn turns_are_counted() {
    assert_eq!(turns(&[0.0, 1.0, 2.0]), 0);
    assert_eq!(turns(&[0.0, 2.0, 1.0]), 1);
    assert_eq!(turns(&[0.0, 2.0, 1.0, 3.0, 3.0]), 2);
}

#[test]
fn ids_are_in_use_once_and_below_the_next() {
    let knife = make_starter("hunter", &default_sizes("hunter").unwrap(), "steel").unwrap();
    let ids: BTreeSet<u32> = knife.outline.nodes.iter().map(|n| n.id).collect();
    assert_eq!(ids.len(), knife.outline.nodes.len());
    assert!(ids.iter().all(|id| *id < knife.next_id));
    assert_eq!(knife.form, "hunter");
    assert_eq!(knife.name, "Hunter");
}

fn check_refused(key: &str, sizes: StarterSizes, expected: &StarterError) {
    assert_eq!(make_starter(key, &sizes, "steel").as_ref(), Err(expected));
}

#[test]
fn refuses_what_cannot_be_made() {
    let usual = default_sizes("hunter").unwrap();
    let unknown = StarterError::UnknownForm {
        key: "spoon".to_owned(),
    };
    check_refused("spoon", usual, &unknown);
    for blade_mm in [212.0, 300.0] {
        let error = StarterError::NoHandle {
            blade_mm,
            overall_mm: 212.0,
        };
        check_refused("hunter", StarterSizes { blade_mm, ..usual }, &error);
    }
    let error = StarterError::TooDeep {
        blade_mm: 100.0,
        height_mm: 100.0,
    };
    let deep = StarterSizes {
        height_mm: 100.0,
        ..usual
    };
    check_refused("hunter", deep, &error);
    // The handle left over is shorter than a butt is round.
    let stub = StarterSizes {
        overall_mm: 100.5,
        ..usual
    };
    let refused = make_starter("paring", &stub, "steel");
    let expected = StarterError::Tang(TangError::TooShort { length_mm: 0.5 });
    assert_eq!(refused, Err(expected));
}

#[test]
fn refuses_sizes_out_of_range() {
    type Field = fn(&mut StarterSizes) -> &mut f64;
    let fields: [(&'static str, Field, f64, f64); 4] = [
        ("overall length", |s| &mut s.overall_mm, 5.0, 10_000.0),
        ("blade length", |s| &mut s.blade_mm, 5.0, 10_000.0),
        ("height", |s| &mut s.height_mm, 5.0, 10_000.0),
        ("stock thickness", |s| &mut s.stock_mm, 0.2, 30.0),
    ];
    for (what, field, least, most) in fields {
        for value in [0.0, -3.0, f64::INFINITY, 1e300] {
            let mut sizes = default_sizes("camp").unwrap();
            *field(&mut sizes) = value;
            let error = StarterError::OutOfRange {
                what,
                value,
                least,
                most,
            };
            check_refused("camp", sizes, &error);
        }
        let mut sizes = default_sizes("camp").unwrap();
        *field(&mut sizes) = f64::NAN;
        let refused = make_starter("camp", &sizes, "steel");
        assert!(matches!(refused, Err(StarterError::OutOfRange { .. })));
    }
}

#[test]
fn odd_sizes_are_made_sound_or_refused() {
    let (mut made, mut refused) = (0, 0);
    for form in starter_forms() {
        for blade_mm in [6.0, 40.0, 400.0, 9000.0] {
            for height_mm in [5.5, 30.0, 200.0] {
                for handle_mm in [0.01, 1.0, 10.0, 60.0, 900.0] {
                    let sizes = StarterSizes {
                        overall_mm: blade_mm + handle_mm,
                        blade_mm,
                        height_mm,
                        stock_mm: 3.0,
                    };
                    match make_starter(form.key, &sizes, "steel") {
                        Ok(knife) => {
                            assert_eq!(outline_faults(&knife.contour().pieces), vec![]);
                            made += 1;
                        }
                        Err(error) => {
                            assert!(!error.to_string().is_empty());
                            let crossed = matches!(error, StarterError::Outline { .. });
                            assert!(!crossed, "{} {sizes:?}: {error}", form.key);
                            refused += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(made > 50 && refused > 50, "{made} made, {refused} refused");
}
