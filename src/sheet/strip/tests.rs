use kurbo::Shape as _;

use super::*;
use crate::geometry::{Contour, Rect};
use crate::knife::{
    Cut, CutForm, Faces, Grind, LandmarkKind, Layer, Rise, Run, Sides, Taper, ThicknessStation,
};
use crate::sheet::bench::{STEEL, chopper, set};
use crate::sheet::svg_back::{DPI, paths, read};
use crate::sheet::{PageOptions, Role, Shape, SvgOptions, Text, tiles, write_svg};

fn bevel(name: &str, from: LandmarkKind, to: LandmarkKind, sides: fn(Cut) -> Sides) -> Grind {
    Grind {
        id: 90,
        name: name.to_owned(),
        run: Run { from, to },
        sides: sides(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(20.0),
        }),
        edge_mm: 0.5,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

fn taper(faces: Faces, stations: &[(f64, f64)]) -> Option<Taper> {
    Some(Taper {
        stations: stations
            .iter()
            .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .collect(),
        faces,
    })
}

/// A chopper of 4 mm bar, its edge from x = 6 to x = 226, 4 mm thick at the heel and 2 mm at the tip.
fn ground() -> Knife {
    let mut knife = chopper();
    knife.grinding.taper = taper(Faces::Both, &[(6.0, 4.0), (226.0, 2.0)]);
    knife.grinding.grinds = vec![bevel(
        "bevel",
        LandmarkKind::Heel,
        LandmarkKind::Tip,
        Sides::Both,
    )];
    knife
}

fn strip_of(knife: &Knife) -> Sheet {
    let set = set(vec![knife.clone()]);
    scribing_strip(knife, &set, LengthFormat::default())
        .expect("a sound knife")
        .expect("a ground one")
}

fn texts(sheet: &Sheet) -> Vec<&Text> {
    sheet
        .entities
        .iter()
        .filter_map(|entity| match &entity.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
        .collect()
}

fn says(sheet: &Sheet, words: &str) -> bool {
    texts(sheet).iter().any(|text| text.text.contains(words))
}

fn outlines(sheet: &Sheet) -> Vec<&Contour> {
    sheet
        .of_role(Role::Cut)
        .filter_map(|entity| match &entity.shape {
            Shape::Contour(contour) => Some(contour),
            _ => None,
        })
        .collect()
}

/// Straight single lines longer than 100 mm.
fn long_lines(sheet: &Sheet) -> Vec<(Point, Point)> {
    sheet
        .of_role(Role::Scribe)
        .filter_map(|entity| match &entity.shape {
            Shape::Open(pieces) => pieces.first().map(|p| (p.start(), p.end())),
            _ => None,
        })
        .filter(|(a, b)| a.distance(*b) > 100.0)
        .collect()
}

/// The strip of the edge is a trapezoid 220 long, 4 and 2 wide: 660 mm². Its lines lie (T − e)/2 from the faces: 1.75 at the heel, 0.75 at the tip.
/// Behind it the bar's spine is 4 mm wide all along.
#[test]
fn the_strip_comes_back_at_true_size() {
    let knife = ground();
    let overall = knife.contour().bounds().width();
    let svg = write_svg(&strip_of(&knife), &SvgOptions::default());
    let tree = read(&svg);
    let cut = paths(&tree, "cut");
    assert_eq!(cut.len(), 2);
    // usvg counts in single precision.
    let b = cut[0].bounding_box();
    assert!(
        (cut[0].area().abs() - 660.0).abs() < 0.05,
        "{}",
        cut[0].area()
    );
    assert!((b.width() - 220.0).abs() < 2e-3 && (b.height() - 4.0).abs() < 1e-3);
    let spine = cut[1].bounding_box();
    assert!((spine.width() - overall).abs() < 2e-3 && (spine.height() - 4.0).abs() < 1e-3);
    assert!((cut[1].area().abs() - 4.0 * overall).abs() < 0.1);
    // Long lines of the edge's strip: the two sides of the edge.
    let mut lines: Vec<Rect> = paths(&tree, "scribe")
        .iter()
        .map(kurbo::Shape::bounding_box)
        .filter(|line| (line.width() - 220.0).abs() < 2e-3)
        .filter(|line| line.y0 > b.y0 - 0.01 && line.y1 < b.y1 + 0.01)
        .collect();
    lines.sort_by(|a, b| a.y0.total_cmp(&b.y0));
    assert_eq!(lines.len(), 2);
    for line in &lines {
        assert!((line.x0 - b.x0).abs() < 2e-3);
        // Level: the edge stays in the middle of steel that thins on both faces.
        assert!(line.height() < 1e-3);
    }
    assert!((lines[0].y0 - b.y0 - 1.75).abs() < 1e-3);
    assert!((lines[1].y0 - lines[0].y0 - 0.5).abs() < 1e-3);
    // The page is as large as it says, in true millimeters.
    let bounds = strip_of(&knife).bounds().expect("not empty");
    let width_mm = f64::from(tree.size().width()) * 25.4 / DPI;
    assert!((width_mm - bounds.width() - 4.0).abs() < 2e-3);
}

#[test]
fn strips_lie_where_they_belong_along_the_knife() {
    let knife = ground();
    let sheet = strip_of(&knife);
    let found = outlines(&sheet);
    let (edge, spine) = (found[0].bounds(), found[1].bounds());
    assert!((edge.x0 - 6.0).abs() < 1e-9 && (edge.x1 - 226.0).abs() < 1e-9);
    let knife = knife.contour().bounds();
    assert!((spine.x0 - knife.x0).abs() < 1e-9 && (spine.x1 - knife.x1).abs() < 1e-9);
    assert!(sheet.is_finite());
}

#[test]
fn stations_are_told_in_the_makers_unit() {
    let sheet = strip_of(&ground());
    for words in [
        "1.75 | 0.50 | 1.75",
        "0.75 | 0.50 | 0.75",
        "edge left 0.50 mm",
        "bevel, seen from below; at each station: right face to its line | edge | left face to its line, in mm",
        SCRIBE_FIRST,
        // The taper at the tip: 1 mm deep on each face, 2 mm left.
        "1.00 | 2.00 | 1.00",
        "taper, seen from above",
    ] {
        assert!(says(&sheet, words), "{words}");
    }
    let knife = ground();
    let inches = scribing_strip(
        &knife,
        &set(vec![knife.clone()]),
        LengthFormat {
            unit: LengthUnit::FractionInch,
            decimals: 0,
        },
    );
    // 1.75 mm are 0.0689 in, 0.5 mm are 0.0197 in.
    let inches = inches.expect("sound").expect("ground");
    assert!(says(&inches, "0.069 | 0.020 | 0.069"));
    assert!(says(&inches, "its line, in in") && says(&inches, "stock 0.157 in"));
}

/// Ground on the right face only, the edge lies on the left one, which is the lower side of a strip seen from below; on the spine, seen from above, it is
/// the upper side.
#[test]
fn a_strip_shows_its_faces_as_they_are_seen() {
    let mut knife = chopper();
    let chisel = |from, to| bevel("chisel", from, to, Sides::Right);
    knife.grinding.grinds = vec![
        chisel(LandmarkKind::Heel, LandmarkKind::Tip),
        chisel(LandmarkKind::Tip, LandmarkKind::UpperShoulder),
    ];
    let sheet = strip_of(&knife);
    let bounds: Vec<Rect> = outlines(&sheet).iter().map(|c| c.bounds()).collect();
    assert_eq!(bounds.len(), 2);
    let lines = long_lines(&sheet);
    let inside = |b: &Rect| -> Vec<f64> {
        let within = |y: f64| b.y0 - 1e-9 <= y && y <= b.y1 + 1e-9;
        let ys = lines.iter().map(|(a, _)| a.y).filter(|y| within(*y));
        ys.map(|y| y - b.y0).collect()
    };
    let near = |found: Vec<f64>, wanted: [f64; 2]| {
        assert!(
            found.len() == 2 && found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9),
            "{found:?}"
        );
    };
    near(inside(&bounds[0]), [0.5, 0.0]);
    near(inside(&bounds[1]), [3.5, 4.0]);
    assert!(says(&sheet, "3.50 | 0.50 | 0.00") && says(&sheet, "0.00 | 0.50 | 3.50"));
}

#[test]
fn a_laminated_bar_has_its_core_in_the_table() {
    let mut knife = ground();
    knife.grinding.taper = None;
    knife.stock.layering.outer = vec![Layer {
        name: "cladding".to_owned(),
        material: STEEL.to_owned(),
        thickness_mm: 1.3,
    }];
    knife.stock.layering.core_offset_mm = 0.1;
    let sheet = strip_of(&knife);
    // Claddings of 1.2 and 1.4 mm.
    for words in ["core begins, off the", "1.20", "1.40"] {
        assert!(says(&sheet, words), "{words}");
    }
    assert!(!says(&strip_of(&ground()), "core"));
}

#[test]
fn words_of_many_stations_stay_apart() {
    let mut knife = ground();
    let stations: Vec<(f64, f64)> = (0..30)
        .map(|i| (f64::from(i * i) * 0.25, 4.0 - f64::from(i) * 0.1))
        .collect();
    knife.grinding.taper = taper(Faces::Right, &stations);
    let sheet = strip_of(&knife);
    let boxes: Vec<Rect> = texts(&sheet)
        .iter()
        .filter_map(|text| Shape::Text((*text).clone()).bounds())
        .collect();
    assert!(boxes.len() > 300);
    for (i, a) in boxes.iter().enumerate() {
        for b in &boxes[i + 1..] {
            let apart = a.x1 <= b.x0 || b.x1 <= a.x0 || a.y1 <= b.y0 || b.y1 <= a.y0;
            assert!(apart, "{a:?} {b:?}");
        }
    }
    // No tick runs through words above a strip.
    let ticks = sheet.of_role(Role::Scribe).filter_map(|e| match &e.shape {
        Shape::Open(pieces) => pieces.first().map(|p| (p.start(), p.end())),
        _ => None,
    });
    for (a, b) in ticks.filter(|(a, b)| a.x == b.x) {
        let line = Rect::from_points(a, b);
        assert!(boxes.iter().all(|words| !words.overlaps(line)), "{a:?}");
    }
    assert!(tiles(&sheet, &PageOptions::default()).is_ok());
}

#[test]
fn what_has_no_strip() {
    let knife = chopper();
    let of =
        |knife: &Knife| scribing_strip(knife, &set(vec![knife.clone()]), LengthFormat::default());
    assert_eq!(of(&knife), Ok(None));
    let mut broken = ground();
    broken.outline.nodes.swap(1, 3);
    assert!(of(&broken).is_err());
    // A grind that has no run is told in words.
    let mut lost = ground();
    lost.landmarks.retain(|l| l.kind != LandmarkKind::Heel);
    let sheet = of(&lost).expect("sound").expect("tapered");
    assert!(says(&sheet, "'bevel' has no heel to run to"));
    assert_eq!(outlines(&sheet).len(), 1);
}
