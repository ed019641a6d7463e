//! SVG as others write it: units, view boxes, transforms, copies, styles. Truths are closed forms and SVG 1.1 / SVG 2 as cited.

use std::f64::consts::PI;

use tangwright::geometry::Point;
use tangwright::reading::drawing::{
    DrawingUnit, ImportOptions, Imported, OpeningShape, UnitSource, Zero, read_drawing,
};

use super::bench::{good, holes, refused, svg};

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

fn sized(read: &Imported, width: f64, height: f64, within: f64) {
    near(read.size_mm.x, width, within);
    near(read.size_mm.y, height, within);
}

#[test]
fn units_are_those_of_the_document() {
    // CSS: 1in = 96px = 25.4mm = 72pt = 6pc. The rectangle is half as wide as the page, and a tenth as high.
    for (width, height, mm, source) in [
        ("100mm", "100mm", 100.0, UnitSource::File { unit: "mm" }),
        ("10cm", "10cm", 100.0, UnitSource::File { unit: "cm" }),
        ("4in", "4in", 101.6, UnitSource::File { unit: "in" }),
        ("288pt", "288pt", 101.6, UnitSource::File { unit: "pt" }),
        ("24pc", "24pc", 101.6, UnitSource::File { unit: "pc" }),
        ("384", "384", 101.6, UnitSource::Usual),
        ("384px", "384px", 101.6, UnitSource::Usual),
    ] {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 1000 1000\">\
             <rect x=\"100\" y=\"200\" width=\"500\" height=\"100\"/></svg>"
        );
        let read = good(&text);
        sized(&read, mm / 2.0, mm / 10.0, 2e-5);
        assert_eq!(read.unit, source, "{width}");
        near(read.size_in().x, mm / 2.0 / 25.4, 1e-6);
    }
}

#[test]
fn a_unit_can_be_asked_for() {
    let of = |text: &str, unit, scale| {
        let options = ImportOptions {
            unit,
            scale,
            ..ImportOptions::default()
        };
        read_drawing(text.as_bytes(), "a.svg", &options).expect("it is a drawing")
    };
    // The numbers of the drawing are 200 × 30, whatever its page says.
    for page in [
        "width=\"300mm\" height=\"100mm\" viewBox=\"0 0 600 200\"",
        "viewBox=\"0 0 600 200\"",
        "width=\"600\" height=\"200\"",
    ] {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {page}><rect x=\"9\" y=\"9\" width=\"200\" height=\"30\"/></svg>"
        );
        let read = of(&text, Some(DrawingUnit::Mm), 1.0);
        sized(&read, 200.0, 30.0, 1e-4);
        assert_eq!(read.unit, UnitSource::Asked { unit: "mm" });
        sized(&of(&text, Some(DrawingUnit::Inch), 0.1), 508.0, 76.2, 3e-4);
        sized(
            &of(&text, Some(DrawingUnit::Px96), 1.0),
            200.0 * 25.4 / 96.0,
            30.0 * 25.4 / 96.0,
            1e-4,
        );
    }
}

#[test]
fn transforms_add_up_through_groups_and_copies() {
    // A 100 × 20 plate with a hole of 6 mm, drawn at half size, turned by 30° and back, copied to its place.
    let inside = "<defs><g id=\"half\"><rect width=\"50\" height=\"10\"/><circle cx=\"10\" cy=\"5\" r=\"1.5\"/></g></defs>\
                  <g transform=\"translate(20 30)\"><g transform=\"rotate(30)\"><g transform=\"scale(2)\">\
                  <use xlink:href=\"#half\" transform=\"rotate(-30)\"/></g></g></g>";
    let read = good(&svg(inside));
    sized(&read, 100.0, 20.0, 1e-4);
    let found = holes(&read);
    assert_eq!(found.len(), 1);
    near(found[0].1, 6.0, 1e-9);
    let left = read.outline.bounds().x0;
    near(found[0].0.x - left, 20.0, 1e-4);
}

#[test]
fn heights_count_up_and_holes_keep_their_places() {
    // On the page y points down: the hole near the top of the page lies high on the knife.
    let inside = "<path d=\"M10 10H110V40H10Z\"/><circle cx=\"20\" cy=\"15\" r=\"2\"/>";
    let read = good(&svg(inside));
    let b = read.outline.bounds();
    let (at, diameter) = holes(&read)[0];
    near(b.y1 - at.y, 5.0, 1e-4);
    near(at.x - b.x0, 10.0, 1e-4);
    assert_eq!(diameter, 4.0);
    assert_eq!(
        read.openings[0].drill.map(|d| d.label.as_str()),
        Some("4.0 mm")
    );
}

#[test]
fn shapes_have_their_closed_forms() {
    // A rounded rectangle, an ellipse, a path with arcs and quadratics; areas by closed forms.
    let area = |inside: &str| good(&svg(inside)).outline.moments().area;
    near(
        area("<rect x=\"5\" y=\"5\" width=\"100\" height=\"20\" rx=\"4\"/>"),
        2000.0 - (4.0 - PI) * 16.0,
        0.02,
    );
    near(
        area("<ellipse cx=\"80\" cy=\"50\" rx=\"60\" ry=\"20\"/>"),
        PI * 1200.0,
        // `usvg` gives a quarter of an ellipse as one cubic, 2.7e-4 of the radius off.
        1.2,
    );
    near(
        area("<path d=\"M10 50A20 20 0 0 1 50 50L50 60L10 60Z\"/>"),
        PI * 200.0 + 400.0,
        0.2,
    );
    // A parabola over a chord: two thirds of base times height; its control point is twice as high.
    near(
        area("<path d=\"M0 50Q30 10 60 50Z\"/>"),
        2.0 / 3.0 * 60.0 * 20.0,
        0.01,
    );
    near(
        area("<polygon points=\"0,0 60,0 60,10 0,10\"/>"),
        600.0,
        1e-2,
    );
}

#[test]
fn loose_pieces_are_joined_and_told() {
    let inside = "<path d=\"M10 10H110\"/><line x1=\"110\" y1=\"10.02\" x2=\"110\" y2=\"40\"/>\
                  <path d=\"M10 40H110\"/><path d=\"M10 10V40\"/><path d=\"M10 10V40\"/><path d=\"M30 20H40\"/>";
    let read = good(&svg(inside));
    near(read.outline.moments().area, 3000.0, 1.1);
    let told: Vec<String> = read.repaired.iter().map(ToString::to_string).collect();
    assert!(
        told.iter().any(|t| t.contains("1 piece drawn twice")),
        "{told:?}"
    );
    assert!(
        told.iter()
            .any(|t| t.contains("1 gap,") && t.contains("0.02")),
        "{told:?}"
    );
    assert_eq!(read.left_out.len(), 1);
    assert_eq!(read.left_out[0].what, "an open line");
}

#[test]
fn what_is_not_shown_or_not_lines_is_left_out() {
    let inside = "<rect x=\"5\" y=\"5\" width=\"100\" height=\"20\"/>\
                  <rect width=\"190\" height=\"90\" stroke=\"none\"/>\
                  <g display=\"none\"><rect width=\"180\" height=\"80\"/></g>\
                  <text x=\"9\" y=\"9\">words</text>\
                  <style>.off{visibility:hidden}</style><rect class=\"off\" width=\"199\" height=\"99\"/>";
    let read = good(&svg(inside));
    sized(&read, 100.0, 20.0, 1e-4);
    let left: Vec<(&str, usize)> = read
        .left_out
        .iter()
        .map(|l| (l.what.as_str(), l.count))
        .collect();
    assert_eq!(left, [("words", 1), ("hidden lines", 2)]);
}

#[test]
fn filled_shapes_end_where_their_filling_does() {
    // SVG 1.1, 11.3: filling closes open subpaths.
    let inside = "<path fill=\"#123\" stroke=\"none\" d=\"M10 10H110V40H10\"/>";
    near(good(&svg(inside)).outline.moments().area, 3000.0, 0.01);
    assert!(refused(&svg("<path d=\"M10 10H110V40H10\"/>")).contains("no closed outline"));
}

#[test]
fn slots_and_free_shapes_are_told_apart() {
    let inside = "<rect x=\"5\" y=\"5\" width=\"150\" height=\"40\"/>\
                  <rect x=\"20\" y=\"20\" width=\"30\" height=\"8\" rx=\"4\"/>\
                  <path d=\"M70 15h10v10h-10z\"/>\
                  <path transform=\"translate(120 25) rotate(30)\" d=\"M-10 -3H10A3 3 0 0 1 10 3H-10A3 3 0 0 1 -10 -3Z\"/>";
    let read = good(&svg(inside));
    let mut slots: Vec<(f64, f64, f64)> = Vec::new();
    let mut free = 0;
    for opening in &read.openings {
        match opening.shape {
            OpeningShape::Slot {
                length_mm,
                width_mm,
                angle_rad,
                ..
            } => {
                slots.push((length_mm, width_mm, angle_rad.to_degrees()));
            }
            OpeningShape::Free { .. } => free += 1,
            OpeningShape::Round { .. } => panic!("no hole was drawn"),
        }
    }
    slots.sort_by(|a, b| b.0.total_cmp(&a.0));
    assert_eq!(free, 1);
    assert_eq!((slots[0].0, slots[0].1, slots[0].2), (30.0, 8.0, 0.0));
    // Turned by 30° with y down: −30° with y up.
    near(slots[1].0, 26.0, 1e-3);
    near(slots[1].2, -30.0, 1e-3);
}

#[test]
fn a_knife_on_a_page_gets_its_shoulder_line() {
    // A blade of 120 × 30 with a stick tang of 80 × 10 behind it: the step is the shoulder line.
    let inside = "<path d=\"M10 20H90V10H180L210 25V40H90V30H10Z\"/>";
    let text = inside.replace("210", "199");
    let read = good(&svg(&text));
    assert_eq!(read.placing.zero, Zero::Step);
    near(read.outline.bounds().x0, -80.0, 1e-3);
    // The length of the blade can be asked for instead.
    let options = ImportOptions {
        blade_mm: Some(100.0),
        ..ImportOptions::default()
    };
    let asked = read_drawing(svg(&text).as_bytes(), "a.svg", &options).expect("it is a drawing");
    assert_eq!(asked.placing.zero, Zero::Asked);
    near(asked.outline.bounds().x1, 100.0, 1e-9);
    // Mirrored on the page it comes out the same, turned over.
    let mirrored = good(&svg(&format!(
        "<g transform=\"translate(205 0) scale(-1 1)\">{text}</g>"
    )));
    assert!(mirrored.placing.turned_over);
    near(mirrored.outline.bounds().x0, -80.0, 1e-3);
    near(
        mirrored.outline.moments().centroid.x,
        read.outline.moments().centroid.x,
        1e-3,
    );
    near(
        mirrored.outline.moments().centroid.y,
        read.outline.moments().centroid.y,
        1e-3,
    );
}

#[test]
fn an_even_polygon_is_a_hole() {
    let corners: Vec<String> = (0..24)
        .map(|i| {
            let angle = f64::from(i) * PI / 12.0;
            format!(
                "{:.5},{:.5}",
                40.0 + 4.0 * angle.cos(),
                20.0 + 4.0 * angle.sin()
            )
        })
        .collect();
    let inside = format!(
        "<rect x=\"5\" y=\"5\" width=\"150\" height=\"40\"/><polygon points=\"{}\"/>",
        corners.join(" ")
    );
    let read = good(&svg(&inside));
    let (at, diameter) = holes(&read)[0];
    assert_eq!(diameter, 8.0);
    let corner = Point::new(read.outline.bounds().x0, read.outline.bounds().y1);
    near(at.x - corner.x, 35.0, 1e-4);
    near(corner.y - at.y, 15.0, 1e-4);
}

#[test]
fn files_that_are_no_drawings_are_refused_with_a_mend() {
    for (text, words) in [
        ("", "empty"),
        (" \r\n\t", "empty"),
        ("<svg", "not whole"),
        ("<html><body/></html>", "save it again"),
        (
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>",
            "no lines",
        ),
        ("GIF89a", "neither SVG nor DXF"),
        ("{\"tangwright\": 2}", "neither SVG nor DXF"),
        (
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"-1\" height=\"9\"/>",
            "size",
        ),
    ] {
        let message = refused(text);
        assert!(message.contains(words), "{text}: {message}");
        assert!(message.starts_with(|c: char| c.is_lowercase()), "{message}");
    }
    assert!(refused("\u{1f}").contains("neither"));
    let packed = read_drawing(b"\x1f\x8b\x08", "a.svgz", &ImportOptions::default());
    assert!(packed.unwrap_err().to_string().contains("unpack"));
    for scale in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let options = ImportOptions {
            scale,
            ..ImportOptions::default()
        };
        let text = svg("<rect width=\"9\" height=\"9\"/>");
        assert!(read_drawing(text.as_bytes(), "", &options).is_err());
    }
}
