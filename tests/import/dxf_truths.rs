//! DXF as others write it: every kind of entity, units, blocks, layers. Files come from `dxf`, another library, or are written out by hand after the
//! DXF Reference; truths are closed forms and what that library reads.

use std::f64::consts::{FRAC_PI_2, PI};
use std::io::Cursor;

use dxf::entities::{Arc, Circle, Entity, EntityType, Line, LwPolyline};
use dxf::{Drawing, LwPolylineVertex, Point as P};
use proptest::prelude::*;
use tangwright::geometry::Point;
use tangwright::reading::drawing::{
    DrawingUnit, ImportError, ImportOptions, Imported, UnitSource, read_drawing,
};

use super::bench::{dxf as sheet, dxf_with, good, holes, plate, read, refused};

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

fn area(read: &Imported) -> f64 {
    read.outline.moments().area
}

/// The bytes the other library writes for some entities, in millimeters.
fn written(entities: Vec<EntityType>, version: dxf::enums::AcadVersion) -> Vec<u8> {
    let mut drawing = Drawing::new();
    drawing.header.version = version;
    drawing.header.default_drawing_units = dxf::enums::Units::Millimeters;
    for specific in entities {
        drawing.add_entity(Entity::new(specific));
    }
    let mut bytes = Cursor::new(Vec::new());
    drawing.save(&mut bytes).expect("it is written");
    bytes.into_inner()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A stadium of lines and arcs, or a polyline with bulges, as another library writes it in any version, is read with its area and size.
    #[test]
    fn what_another_library_writes_is_read(
        length in 20.0_f64..300.0, radius in 2.0_f64..30.0, x in -500.0_f64..500.0, old in any::<bool>(), hole in 1.0_f64..3.0,
    ) {
        let y = 7.0;
        let line = |ax: f64, ay: f64, bx: f64, by: f64| {
            EntityType::Line(Line::new(P::new(ax, ay, 0.0), P::new(bx, by, 0.0)))
        };
        let loose = vec![
            line(x, y - radius, x + length, y - radius),
            EntityType::Arc(Arc::new(P::new(x + length, y, 0.0), radius, 270.0, 90.0)),
            line(x, y + radius, x + length, y + radius),
            EntityType::Arc(Arc::new(P::new(x, y, 0.0), radius, 90.0, 270.0)),
            EntityType::Circle(Circle::new(P::new(x, y, 0.0), hole / 2.0)),
        ];
        let vertex = |x: f64, y: f64, bulge: f64| LwPolylineVertex { x, y, bulge, ..Default::default() };
        let mut polyline = LwPolyline {
            vertices: vec![
                vertex(x, y - radius, 0.0),
                vertex(x + length, y - radius, 1.0),
                vertex(x + length, y + radius, 0.0),
                vertex(x, y + radius, 1.0),
            ],
            ..Default::default()
        };
        polyline.set_is_closed(true);
        let one = vec![
            EntityType::LwPolyline(polyline),
            EntityType::Circle(Circle::new(P::new(x, y, 0.0), hole / 2.0)),
        ];
        let truth = 2.0 * radius * length + PI * radius * radius;
        let version = if old { dxf::enums::AcadVersion::R12 } else { dxf::enums::AcadVersion::R2013 };
        let mut files = vec![written(loose, version)];
        if !old {
            files.push(written(one, version));
        }
        for bytes in files {
            // R12 as that library writes it says no unit.
            let options = ImportOptions { unit: Some(DrawingUnit::Mm), ..ImportOptions::default() };
            let read = read_drawing(&bytes, "a.dxf", &options).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!((area(&read) / truth - 1.0).abs() < 1e-6, "{} {truth}", area(&read));
            prop_assert!((read.size_mm.x - length - 2.0 * radius).abs() < 1e-5);
            let found = holes(&read);
            prop_assert_eq!(found.len(), 1);
            prop_assert!((found[0].1 - hole).abs() < 1e-9);
        }
    }
}

#[test]
fn the_unit_comes_from_the_header_or_is_asked() {
    // Codes of $INSUNITS by the DXF Reference; the plate is 100 × 20 of them.
    for (code, mm, name) in [
        (1, 25.4, "in"),
        (4, 1.0, "mm"),
        (5, 10.0, "cm"),
        (14, 100.0, "dm"),
    ] {
        let text = sheet(&plate(0.0, 0.0, 10.0, 2.0))
            .replace("$INSUNITS\n70\n4", &format!("$INSUNITS\n70\n{code}"));
        let read = good(&text);
        near(read.size_mm.x, 10.0 * mm, 1e-9);
        assert_eq!(read.unit, UnitSource::File { unit: name });
    }
    for told in ["", "$INSUNITS\n70\n0\n", "$INSUNITS\n70\n18\n"] {
        let text = sheet(&plate(0.0, 0.0, 8.0, 1.5)).replace(
            "$INSUNITS\n70\n4\n",
            if told.is_empty() {
                "$ORTHOMODE\n70\n4\n"
            } else {
                told
            },
        );
        let message = refused(&text);
        assert!(
            message.contains("203.2 × 38.1 mm (8.00 × 1.50 in); inches are likely"),
            "{message}"
        );
        assert!(
            message.contains("say whether it is mm, for") && message.contains("or inches, for"),
            "{message}"
        );
        let options = ImportOptions {
            unit: Some(DrawingUnit::Inch),
            ..ImportOptions::default()
        };
        let read = read_drawing(text.as_bytes(), "a.dxf", &options).expect("now it is told");
        near(read.size_mm.x, 203.2, 1e-9);
    }
}

#[test]
fn every_kind_of_curve_has_its_closed_form() {
    // Half discs, ellipses and splines closed by a line. Areas: π r²/2; π a b/2; a cubic bow by its moments.
    near(
        area(&good(&sheet(
            "0|ARC|8|0|10|50|20|5|40|20|50|0|51|180|0|LINE|8|0|10|30|20|5|11|70|21|5|",
        ))),
        PI * 200.0,
        1e-4,
    );
    let ellipse = format!(
        "0|ELLIPSE|8|0|10|50|20|5|11|30|21|0|40|0.5|41|0|42|{PI}|0|LINE|8|0|10|20|20|5|11|80|21|5|"
    );
    near(area(&good(&sheet(&ellipse))), PI * 225.0, 1e-3);
    // Its normal turned down, the ellipse runs the other way: the lower half.
    let down = ellipse.replace("0|ELLIPSE|8|0|", "0|ELLIPSE|8|0|210|0|220|0|230|-1|");
    let read = good(&sheet(&down));
    near(area(&read), PI * 225.0, 1e-3);
    // The cubic Bézier curve (0,0) (0,30) (60,30) (60,0).
    let spline = "0|SPLINE|8|0|70|8|71|3|72|8|73|4|40|0|40|0|40|0|40|0|40|1|40|1|40|1|40|1|\
                  10|0|20|0|10|0|20|30|10|60|20|30|10|60|20|0|0|LINE|8|0|10|0|20|0|11|60|21|0|";
    // ∫ y dx with y = 90·t(1−t), x = 60·(3t² − 2t³): 90·60·6·∫ t²(1−t)² dt = 90·60·6/30.
    near(area(&good(&sheet(spline))), 1080.0, 1e-6);
}

#[test]
fn old_polylines_and_their_curve_frames_are_read() {
    let vertex = |x: f64, y: f64, more: &str| format!("0|VERTEX|8|0|10|{x}|20|{y}|{more}");
    let old = format!(
        "0|POLYLINE|8|0|66|1|70|1|{}{}{}{}{}0|SEQEND|8|0|",
        vertex(0.0, 0.0, ""),
        vertex(50.0, 0.0, "42|1|"),
        vertex(50.0, 20.0, ""),
        // A control point of a fitted curve is not on it.
        vertex(25.0, 90.0, "70|16|"),
        vertex(0.0, 20.0, ""),
    );
    near(area(&good(&sheet(&old))), 1000.0 + PI * 50.0, 1e-4);
    let mesh = format!(
        "0|POLYLINE|8|0|66|1|70|16|{}0|SEQEND|8|0|{}",
        vertex(1.0, 1.0, ""),
        plate(0.0, 0.0, 60.0, 10.0)
    );
    let read = good(&sheet(&mesh));
    near(area(&read), 600.0, 1e-9);
    assert!(read.left_out[0].why.contains("mesh"));
}

#[test]
fn blocks_are_laid_out_with_scale_turn_and_copies() {
    // A plate of 10 × 2 about its base point, and a hole of 1 in a block of its own, three times in a row.
    let blocks = format!(
        "0|BLOCK|8|0|2|hole|70|0|10|0|20|0|0|CIRCLE|8|0|10|0|20|0|40|0.5|0|ENDBLK|8|0|\
         0|BLOCK|8|0|2|plate|70|0|10|5|20|1|{}0|INSERT|8|0|2|hole|10|2|20|1|70|3|44|3|0|ENDBLK|8|0|",
        plate(0.0, 0.0, 10.0, 2.0)
    );
    let whole = good(&dxf_with(
        &blocks,
        "0|INSERT|8|0|2|plate|10|100|20|50|41|10|42|10|50|0|",
    ));
    near(area(&whole), 2000.0, 1e-6);
    let (found, b) = (holes(&whole), whole.outline.bounds());
    assert_eq!(found.len(), 3);
    for (i, (at, diameter)) in found.iter().enumerate() {
        let i = f64::from(u32::try_from(i).expect("three"));
        near(at.x - b.x0, 20.0 + 30.0 * i, 1e-6);
        near(*diameter, 10.0, 1e-9);
    }
    // Turned by a quarter and mirrored: the same after it is laid level.
    let turned = good(&dxf_with(
        &blocks,
        "0|INSERT|8|0|2|plate|10|0|20|0|41|-10|42|10|50|90|",
    ));
    near(area(&turned), 2000.0, 1e-6);
    assert_eq!((holes(&turned).len(), turned.placing.quarter_turns), (3, 1));
    // Stretched unevenly, holes become ellipses: free shapes of area π a b.
    let stretched = good(&dxf_with(
        &blocks,
        "0|INSERT|8|0|2|plate|10|0|20|0|41|10|42|5|",
    ));
    assert_eq!(holes(&stretched).len(), 0);
    assert_eq!(stretched.openings.len(), 3);
    near(
        stretched.openings[0].shape.contour().moments().area,
        PI * 5.0 * 2.5,
        1e-4,
    );
}

#[test]
fn mirrored_entities_lie_where_their_plane_says() {
    // Extrusion (0, 0, −1): by the arbitrary axis rule x counts the other way.
    let hole = "0|CIRCLE|8|0|10|-20|20|5|40|2|210|0|220|0|230|-1|";
    let read = good(&sheet(&format!("{}{hole}", plate(0.0, 0.0, 100.0, 10.0))));
    let at = holes(&read)[0].0;
    near(at.x - read.outline.bounds().x0, 20.0, 1e-9);
    let tilted = hole.replace("210|0|", "210|0.7|");
    let read = good(&sheet(&format!("{}{tilted}", plate(0.0, 0.0, 100.0, 10.0))));
    assert!(
        read.left_out[0].why.contains("tilted"),
        "{:?}",
        read.left_out
    );
}

#[test]
fn unseen_layers_paper_and_words_are_left_out() {
    let layers = "0|SECTION|2|TABLES|0|TABLE|2|LAYER|70|2|0|LAYER|2|old|70|0|62|-7|0|LAYER|2|ice|70|1|62|7|0|ENDTAB|0|ENDSEC|".replace('|', "\n");
    let big = |layer: &str, more: &str| {
        plate(-50.0, -50.0, 500.0, 50.0).replace("|8|0|", &format!("|8|{layer}|{more}"))
    };
    let entities = format!(
        "{}{}{}{}{}0|TEXT|8|0|10|1|20|1|40|3|1|words|0|POINT|8|0|10|1|20|1|0|MTEXT|8|0|10|1|20|1|70|nonsense|",
        plate(0.0, 0.0, 100.0, 10.0),
        big("old", ""),
        big("ice", ""),
        big("0", "67|1|"),
        big("0", "60|1|"),
    );
    let text = sheet(&entities);
    let at = text.find("0\nSECTION\n2\nBLOCKS").expect("blocks");
    let text = format!("{}{layers}{}", &text[..at], &text[at..]);
    let read = good(&text);
    near(area(&read), 1000.0, 1e-9);
    let left: usize = read.left_out.iter().map(|one| one.count).sum();
    assert_eq!(left, 7, "{:?}", read.left_out);
}

#[test]
fn roles_count_only_in_files_of_our_own_kind() {
    let frame = plate(-50.0, -50.0, 500.0, 50.0).replace("|8|0|", "|8|frame|");
    let ours = plate(0.0, 0.0, 100.0, 10.0).replace("|8|0|", "|8|cut|");
    let theirs = plate(0.0, 0.0, 100.0, 10.0).replace("|8|0|", "|8|profile|");
    near(area(&good(&sheet(&format!("{frame}{ours}")))), 1000.0, 1e-9);
    near(
        area(&good(&sheet(&format!("{frame}{theirs}")))),
        55_000.0,
        1e-9,
    );
}

#[test]
fn joints_between_lines_and_curves_close() {
    // A knife of loose pieces, ends rounded to two decimals as some programs write them.
    let loose = "0|LINE|8|0|10|-80|20|-10|11|0|21|-10|0|LINE|8|0|10|0|20|-10|11|100|21|-10.004|\
                 0|ARC|8|0|10|100|20|0|40|10|50|270|51|90|0|LINE|8|0|10|100|20|10.004|11|-80|21|10|0|LINE|8|0|10|-80|20|10|11|-80|21|-10|";
    let read = good(&sheet(loose));
    assert!(
        read.repaired[0].to_string().contains("closed 2 gaps"),
        "{:?}",
        read.repaired
    );
    near(area(&read), 180.0 * 20.0 + FRAC_PI_2 * 100.0, 1.0);
    let gap = read.outline.largest_gap();
    assert!(gap < 1e-9, "{gap}");
    near(read.outline.bounds().x0, -80.0, 1e-9);
    let open = ImportOptions {
        join_mm: 0.001,
        ..ImportOptions::default()
    };
    let error = read_drawing(sheet(loose).as_bytes(), "a.dxf", &open).unwrap_err();
    assert!(matches!(error, ImportError::NoOutline { .. }), "{error}");
}

#[test]
fn broken_files_are_named_with_their_line() {
    let whole = sheet(&plate(0.0, 0.0, 100.0, 10.0));
    for (from, to, words) in [
        ("0\nEOF\n", "", "EOF"),
        ("90\n4", "ninety\n4", "'ninety' is not a group code"),
        ("10\n100", "10\nnan", "'nan' is not a number"),
        ("10\n100", "10\n1e308", "'1e308' is not a number"),
        (
            "$INSUNITS\n70\n4",
            "$INSUNITS\n70\nfour",
            "'four' is not a number",
        ),
        ("2\nENTITIES", "3\nENTITIES", "without a name"),
    ] {
        assert!(whole.contains(from), "{from}");
        let message = refused(&whole.replace(from, to));
        assert!(
            message.contains("line ") && message.contains(words),
            "{message}"
        );
    }
    assert!(refused("AutoCAD Binary DXF\r\n\u{1a}\0").contains("binary"));
    assert!(refused(&sheet("")).contains("no lines"));
    assert!(refused("0\nEOF\n").contains("no lines"));
    assert!(refused(&sheet(&plate(0.0, 0.0, 100.0, 0.0))).contains("no closed outline"));
    assert!(refused(&sheet(&plate(0.0, 0.0, 20_000.0, 9.0))).contains("another one"));
}

#[test]
fn another_library_reads_the_same_entities_from_our_files() {
    use tangwright::knife::orchard_set;
    use tangwright::sheet::exports::{ExportKind, ExportOptions, export_knife};
    let set = orchard_set();
    let options = ExportOptions {
        kinds: vec![ExportKind::Dxf],
        ..ExportOptions::default()
    };
    for knife in &set.knives {
        let files = export_knife(knife, &set, &options).expect("it can be exported");
        let bytes = &files.first().expect("a file").bytes;
        let other = Drawing::load(&mut Cursor::new(bytes)).expect("another library reads it");
        let theirs: Vec<(Point, f64)> = other
            .entities()
            .filter_map(|entity| match &entity.specific {
                EntityType::Circle(c) => Some((Point::new(c.center.x, c.center.y), 2.0 * c.radius)),
                _ => None,
            })
            .collect();
        let text = String::from_utf8(bytes.clone()).expect("it is text");
        let ours = holes(&read(&text).expect("it is read"));
        assert_eq!(ours.len(), theirs.len());
        for (at, diameter) in theirs {
            assert!(
                ours.iter()
                    .any(|(o, d)| o.distance(at) < 1e-9 && (d - diameter).abs() < 1e-9)
            );
        }
    }
}
