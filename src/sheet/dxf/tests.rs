//! Read back by the `dxf` crate; areas are worked out from what it read.

use std::collections::BTreeSet;

use dxf::Drawing;
use dxf::entities::{Entity as Read, EntityType};
use kurbo::{BezPath, Shape as _};
use proptest::prelude::*;

use super::super::bench::{chopper, paring, set};
use super::super::model::{Anchor, Entity, Shape};
use super::super::{TemplateOptions, cutting_sheet, template};
use super::*;
use crate::geometry::{Contour, Point};
use crate::knife::Knife;
use crate::units::LengthFormat;
use crate::weighing::weigh;

fn splines() -> DxfOptions {
    DxfOptions {
        curves: DxfCurves::Splines,
        roles: Role::ALL.to_vec(),
        ..DxfOptions::default()
    }
}

fn r12() -> DxfOptions {
    DxfOptions {
        version: DxfVersion::R12,
        roles: Role::ALL.to_vec(),
        ..DxfOptions::default()
    }
}

fn cutting(knife: &Knife) -> Sheet {
    let set = set(vec![knife.clone()]);
    cutting_sheet(knife, &set, LengthFormat::default()).expect("a sound knife")
}

fn read(text: &str) -> Drawing {
    assert!(text.is_ascii());
    Drawing::load(&mut text.as_bytes()).expect("the dxf crate reads it")
}

fn written(sheet: &Sheet, options: &DxfOptions) -> Drawing {
    read(&write_dxf(sheet, options))
}

/// Area of a closed chain of corners with bulges: the polygon (shoelace formula) and the circular segment over each
/// chord, `r²(θ − sin θ)/2` with `θ = 4·atan(bulge)` and `r = chord/(2·sin(θ/2))`.
fn bulged_area(corners: &[(f64, f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|((x, y, bulge), (u, v, _))| {
            let straight = (x * v - u * y) / 2.0;
            let theta = 4.0 * bulge.atan();
            let segment = if theta == 0.0 {
                0.0
            } else {
                let r = (u - x).hypot(v - y) / (2.0 * (theta / 2.0).sin());
                r * r * (theta - theta.sin()) / 2.0
            };
            straight + segment
        })
        .sum()
}

/// Area inside one entity as read; `None` for entities that enclose nothing.
fn area(entity: &Read) -> Option<f64> {
    match &entity.specific {
        EntityType::Circle(circle) => Some(std::f64::consts::PI * circle.radius * circle.radius),
        EntityType::LwPolyline(line) => {
            assert!(line.is_closed());
            let corners: Vec<_> = line.vertices.iter().map(|v| (v.x, v.y, v.bulge)).collect();
            Some(bulged_area(&corners))
        }
        EntityType::Polyline(line) => {
            assert!(line.is_closed());
            let corners: Vec<_> = line
                .vertices()
                .map(|v| (v.location.x, v.location.y, v.bulge))
                .collect();
            Some(bulged_area(&corners))
        }
        EntityType::Spline(spline) => {
            assert!(spline.is_closed());
            assert_eq!(spline.degree_of_curve, 3);
            let points: Vec<Point> = spline
                .control_points
                .iter()
                .map(|p| Point::new(p.x, p.y))
                .collect();
            let n = (points.len() - 1) / 3;
            // A B-spline of degree 3 whose inner knots are threefold is a chain of Bézier pieces on its own control points.
            let whole = |i: usize| f64::from(u32::try_from(i).expect("small"));
            let mut knots = vec![0.0];
            knots.extend((0..=n).flat_map(|i| [whole(i); 3]));
            knots.push(whole(n));
            assert_eq!(spline.knot_values, knots);
            let mut path = BezPath::new();
            path.move_to(points[0]);
            for piece in points[1..].chunks(3) {
                path.curve_to(piece[0], piece[1], piece[2]);
            }
            assert_eq!(points.first(), points.last());
            Some(path.area())
        }
        _ => None,
    }
}

/// Area of the outline less that of everything inside it, as read.
fn steel_area(drawing: &Drawing) -> f64 {
    let mut areas: Vec<f64> = drawing.entities().filter_map(area).map(f64::abs).collect();
    areas.sort_by(f64::total_cmp);
    let outline = areas.pop().expect("an outline");
    outline - areas.iter().sum::<f64>()
}

fn weighed_area(knife: &Knife) -> f64 {
    weigh(knife, &set(vec![knife.clone()]))
        .steel
        .area_mm2
        .expect("weighed")
}

#[test]
fn splines_hold_exactly_the_weighed_area() {
    for knife in [chopper(), paring()] {
        let read = written(&cutting(&knife), &splines());
        let (found, model) = (steel_area(&read), weighed_area(&knife));
        assert!((found / model - 1.0).abs() < 1e-9, "{found} for {model}");
    }
}

#[test]
fn arcs_hold_the_area_within_their_tolerance() {
    for knife in [chopper(), paring()] {
        let sheet = cutting(&knife);
        let length: f64 = weigh(&knife, &set(vec![knife.clone()]))
            .steel
            .perimeter_mm
            .expect("weighed");
        for version in [DxfVersion::R2000, DxfVersion::R12] {
            for tolerance_mm in [0.1, 0.01, 0.001] {
                let options = DxfOptions {
                    version,
                    curves: DxfCurves::Arcs { tolerance_mm },
                    ..DxfOptions::default()
                };
                let found = steel_area(&written(&sheet, &options));
                // A boundary that moves by less than the tolerance encloses less than that times its length more or less.
                let off = (found - weighed_area(&knife)).abs();
                assert!(off < tolerance_mm * length, "{off} at {tolerance_mm}");
            }
        }
    }
}

#[test]
fn each_contour_is_one_entity() {
    let sheet = cutting(&chopper());
    let count = |options: &DxfOptions| {
        let mut kinds = [0; 5];
        for entity in written(&sheet, options).entities() {
            let kind = match &entity.specific {
                EntityType::LwPolyline(_) => 0,
                EntityType::Polyline(_) => 1,
                EntityType::Spline(_) => 2,
                EntityType::Circle(_) => 3,
                _ => 4,
            };
            kinds[kind] += 1;
        }
        kinds
    };
    // Outline, free shape and slot; six round holes.
    assert_eq!(count(&DxfOptions::default()), [3, 0, 0, 6, 0]);
    // The slot has arcs, which a polyline keeps exactly.
    assert_eq!(count(&splines()), [1, 0, 2, 6, 0]);
    assert_eq!(count(&r12()), [0, 3, 0, 6, 0]);
}

#[test]
fn a_slot_is_exact_in_every_edition() {
    let slot = Contour::slot(Point::new(-20.0, 7.0), 30.0, 8.0, 0.4);
    let sheet = Sheet {
        entities: vec![Entity::new(Role::Cut, Shape::Contour(slot))],
        ..Sheet::default()
    };
    // An obround is a rectangle and a disc.
    let exact = 22.0 * 8.0 + std::f64::consts::PI * 16.0;
    for options in [DxfOptions::default(), splines(), r12()] {
        let read = written(&sheet, &options);
        let areas: Vec<f64> = read.entities().filter_map(area).collect();
        assert_eq!(areas.len(), 1);
        assert!((areas[0] / exact - 1.0).abs() < 1e-9, "{areas:?}");
    }
}

#[test]
fn units_version_and_extents_are_set() {
    let sheet = cutting(&chopper());
    let bounds = sheet.bounds().expect("not empty");
    for (options, version) in [
        (splines(), dxf::enums::AcadVersion::R2000),
        (r12(), dxf::enums::AcadVersion::R12),
    ] {
        let drawing = written(&sheet, &options);
        assert_eq!(drawing.header.version, version);
        assert_eq!(
            drawing.header.default_drawing_units,
            dxf::enums::Units::Millimeters
        );
        assert_eq!(
            drawing.header.drawing_units,
            dxf::enums::DrawingUnits::Metric
        );
        let low = &drawing.header.minimum_drawing_extents;
        let high = &drawing.header.maximum_drawing_extents;
        assert!((high.x - low.x - bounds.width()).abs() < 1e-9);
        assert!((high.y - low.y - bounds.height()).abs() < 1e-9);
    }
}

#[test]
fn layers_follow_the_roles_or_are_one() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    let layers = |options: &DxfOptions| {
        let drawing = written(&sheet, options);
        let known: BTreeSet<String> = drawing.layers().map(|layer| layer.name.clone()).collect();
        let used: BTreeSet<String> = drawing
            .entities()
            .map(|entity| entity.common.layer.clone())
            .collect();
        assert!(used.is_subset(&known), "{used:?} {known:?}");
        used.into_iter().collect::<Vec<_>>()
    };
    for version in [DxfVersion::R2000, DxfVersion::R12] {
        let all = DxfOptions {
            version,
            roles: Role::ALL.to_vec(),
            ..DxfOptions::default()
        };
        assert_eq!(layers(&all), ["cut", "drill", "label", "scribe"]);
        let cut_only = DxfOptions {
            version,
            ..DxfOptions::default()
        };
        assert_eq!(layers(&cut_only), ["cut", "drill"]);
        let one = DxfOptions {
            layers: FileLayers::One("all of it".to_owned()),
            ..all
        };
        assert_eq!(layers(&one), ["all_of_it"]);
    }
}

#[test]
fn handles_are_unique_and_owners_exist() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    let text = write_dxf(&sheet, &splines());
    let lines: Vec<&str> = text.lines().collect();
    let mut seen = BTreeSet::new();
    let mut owners = BTreeSet::new();
    let mut seed = None;
    let mut kind = "";
    for (i, pair) in lines.chunks(2).enumerate() {
        let [code, value] = pair else {
            panic!("line {i} has no value");
        };
        match code.trim() {
            "0" => kind = value,
            "5" if i > 0 && lines[2 * i - 1] == "$HANDSEED" => seed = Some(*value),
            "5" if kind != "DIMSTYLE" => assert!(seen.insert(*value), "{value} twice"),
            "105" => assert!(seen.insert(*value), "{value} twice"),
            "330" | "340" | "350" | "390" if *value != "0" => {
                owners.insert(*value);
            }
            _ => {}
        }
    }
    assert!(owners.is_subset(&seen), "{:?}", owners.difference(&seen));
    let number = |hex: &str| u32::from_str_radix(hex, 16).expect("a hex number");
    let highest = seen.iter().map(|hex| number(hex)).max();
    assert!(highest < seed.map(number), "{highest:?} {seed:?}");
}

#[test]
fn numbers_are_plain() {
    let text = write_dxf(&cutting(&chopper()), &splines());
    let lines: Vec<&str> = text.lines().collect();
    let mut reals = 0;
    for pair in lines.chunks(2) {
        let [code, value] = pair else {
            panic!("a code without a value");
        };
        let code: u16 = code.trim().parse().expect("a code");
        if matches!(code, 10..=59 | 140..=149 | 210..=239) {
            reals += 1;
            assert!(
                value.contains('.') && !value.contains(['e', 'E']),
                "{value}"
            );
            assert_ne!(*value, "-0.0");
        }
    }
    assert!(reals > 100);
}

#[test]
fn any_words_come_through() {
    let long = "a very long name ".repeat(500);
    for words in ["a & <b>", "🔪 Ω", "%%d ^J", "line\r\n  0\r\nEOF", &long] {
        let sheet = Sheet {
            entities: vec![
                Entity::label(Point::ORIGIN, 3.0, words, Anchor::End),
                Entity::line(Role::Scribe, Point::ORIGIN, Point::new(1.0, 1.0)),
            ],
            ..Sheet::default()
        };
        for options in [splines(), r12()] {
            let drawing = written(&sheet, &options);
            // The words must not break the file: what stands behind them is still there.
            assert_eq!(drawing.entities().count(), 2, "{words}");
        }
    }
    let sheet = Sheet {
        entities: vec![Entity::label(
            Point::new(4.0, 5.0),
            3.0,
            "heel",
            Anchor::Middle,
        )],
        ..Sheet::default()
    };
    let drawing = written(&sheet, &splines());
    let text = drawing
        .entities()
        .find_map(|entity| match &entity.specific {
            EntityType::Text(text) => Some(text.clone()),
            _ => None,
        })
        .expect("the words");
    assert_eq!((text.value.as_str(), text.text_height), ("heel", 3.0));
    assert_eq!(
        text.horizontal_text_justification,
        dxf::enums::HorizontalTextJustification::Center
    );
    assert_eq!(
        (text.second_alignment_point.x, text.second_alignment_point.y),
        (4.0, 5.0)
    );
}

#[test]
fn an_empty_sheet_is_an_empty_drawing() {
    for options in [splines(), r12()] {
        let text = write_dxf(&Sheet::default(), &options);
        assert_eq!(read(&text).entities().count(), 0);
        assert!(text.ends_with("  0\r\nEOF\r\n"));
    }
}

#[test]
fn a_tolerance_that_is_none_gets_the_usual_one() {
    let sheet = cutting(&paring());
    let with = |tolerance_mm| {
        let curves = DxfCurves::Arcs { tolerance_mm };
        write_dxf(
            &sheet,
            &DxfOptions {
                curves,
                ..DxfOptions::default()
            },
        )
    };
    assert_eq!(with(f64::NAN), with(DXF_TOLERANCE_MM));
    assert_eq!(with(0.0), with(FINEST_TOLERANCE_MM));
}

proptest! {
    #[test]
    fn any_closed_curve_keeps_its_area(
        radii in prop::collection::vec(10.0..60.0, 3..9), bend in 0.1..0.6, x in -200.0..200.0
    ) {
        // A star-shaped ring of cubics around a point never crosses itself while the handles are short.
        let n = f64::from(u32::try_from(radii.len()).expect("small"));
        let at = |i: usize| {
            let i = i % radii.len();
            let angle = std::f64::consts::TAU * f64::from(u32::try_from(i).expect("small")) / n;
            let out = crate::geometry::Vec2::from_angle(angle);
            let side = crate::geometry::Vec2::new(-out.y, out.x);
            (Point::new(x, 3.0) + out * radii[i], side * (radii[i] * bend))
        };
        let pieces = (0..radii.len())
            .map(|i| {
                let ((a, from), (b, to)) = (at(i), at(i + 1));
                crate::geometry::Piece::Cubic(crate::geometry::CubicBez::new(a, a + from, b - to, b))
            })
            .collect();
        let contour = Contour { pieces };
        let model = contour.moments().area;
        let sheet = Sheet {
            entities: vec![Entity::new(Role::Cut, Shape::Contour(contour.clone()))],
            ..Sheet::default()
        };
        let found: Vec<f64> = written(&sheet, &splines()).entities().filter_map(area).collect();
        prop_assert!((found[0] / model - 1.0).abs() < 1e-9);
        let found: Vec<f64> = written(&sheet, &r12()).entities().filter_map(area).collect();
        prop_assert!((found[0] - model).abs() < DXF_TOLERANCE_MM * contour.perimeter());
    }
}
