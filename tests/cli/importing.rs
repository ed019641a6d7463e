//! `import`: drawings to a design, what is said of them, and that nothing is written when anything is wrong.

use std::fs;

use serde_json::Value;
use tangwright::reading::design_file;

use super::bench::{folder, names_in, run, written};

const PLATE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"50mm\" viewBox=\"0 0 200 50\" fill=\"none\" stroke=\"black\">\
     <path d=\"M10 20H90V10H180L199 25V40H90V30H10Z\"/><circle cx=\"30\" cy=\"25\" r=\"1.6\"/><path d=\"M100 12H120\"/></svg>";

/// A DXF that does not say its unit: 8 × 1.5 of something.
const UNITLESS: &str = "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\n0\n70\n1\n10\n0\n20\n0\n10\n8\n20\n0\n10\n8\n20\n1.5\n10\n0\n20\n1.5\n0\nENDSEC\n0\nEOF\n";

#[test]
fn a_drawing_becomes_a_design_that_can_be_weighed() {
    let folder = folder();
    let drawing = written(folder.path(), "grafting_knife.svg", PLATE.as_bytes());
    let out = folder.path().join("set.tangwright");
    let ran = run(&arguments!["import", drawing, "--out", out]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    for words in [
        "grafting knife: SVG grafting_knife.svg; unit mm, as the file says",
        "189.00 × 30.00 mm (7.441 × 1.181 in)",
        "round 3.20 mm",
        "drill 3.2 mm",
        "step where the tang begins",
        "an open line: its ends are 20.00 mm apart",
        "set.tangwright",
    ] {
        assert!(ran.out.contains(words), "{words}\n{}", ran.out);
    }
    let set = design_file::read(&fs::read(&out).expect("it was written")).expect("a design");
    assert_eq!((set.name.as_str(), set.knives.len()), ("set", 1));
    assert_eq!(set.knives[0].landmarks.len(), 7 + 1);
    let ran = run(&arguments!["weigh", out]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    // The drawing itself is as it was.
    assert_eq!(fs::read(&drawing).expect("still there"), PLATE.as_bytes());
}

#[test]
fn the_answer_is_the_same_as_data() {
    let folder = folder();
    let one = written(folder.path(), "a.svg", PLATE.as_bytes());
    let two = written(folder.path(), "a.dxf", UNITLESS.as_bytes());
    let out = folder.path().join("set.tangwright");
    let ran = run(&arguments![
        "import", one, two, one, "--out", out, "--units", "in", "--scale", "0.5", "--json"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knives = answer["knives"].as_array().expect("a list");
    let names: Vec<&str> = knives.iter().filter_map(|k| k["name"].as_str()).collect();
    assert_eq!(names, ["a", "a 2", "a 3"]);
    // 8 × 1.5 in at half size.
    let size = |i: usize, axis: usize| knives[i]["size_mm"][axis].as_f64().expect("a number");
    assert!((size(1, 0) - 101.6).abs() < 1e-9 && (size(1, 1) - 19.05).abs() < 1e-9);
    assert_eq!(knives[1]["unit_from"], "asked");
    let hole = &knives[0]["cut_outs"][0];
    assert_eq!(hole["kind"], "round");
    assert!((hole["diameter_mm"].as_f64().expect("a number") - 3.2 * 12.7).abs() < 1e-3);
    assert_eq!(knives[0]["left_out"][0]["what"], "an open line");
    assert_eq!(answer["out"], out.display().to_string());
}

/// A plate of 100 by 40 of four lines, its lower one drawn twice, with a gap of 0.02 mm at its upper right corner: what was wrong is told with its place, as is
/// what hangs open.
#[test]
fn what_was_found_wrong_is_told_with_its_place() {
    let folder = folder();
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='40mm' viewBox='0 0 100 40'><g stroke='black' fill='none'>\
        <path d='M0 40H100'/><path d='M0 40H100'/><path d='M100 40V0.02'/><path d='M100 0H0'/><path d='M0 0V40'/><path d='M20 20H50'/></g></svg>";
    let drawing = written(folder.path(), "a.svg", svg.as_bytes());
    let out = folder.path().join("set.tangwright");
    let ran = run(&arguments!["import", drawing, "--out", out, "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    let place = |value: &Value| {
        let axis = |i: usize| value[i].as_f64().expect("a number");
        (axis(0), axis(1))
    };
    // The plate lies with its left end at x = 0, and y counts up from the page's lower edge or from its middle: told by the open line's own place.
    let open = place(&knife["left_out"][0]["at_mm"]);
    let near = |at: (f64, f64), x: f64, y: f64| {
        (at.0 - open.0 - x).abs() < 0.02 && (at.1 - open.1 - y).abs() < 0.02
    };
    let places: Vec<(f64, f64)> = knife["mended_at_mm"]
        .as_array()
        .expect("a list")
        .iter()
        .map(place)
        .collect();
    assert_eq!(places.len(), 2, "{places:?}");
    // The middle of the doubled line and the corner with the gap, against the open line's middle at (35, 20).
    assert!(
        places
            .iter()
            .any(|p| near(*p, 15.0, -20.0) || near(*p, -15.0, -20.0)),
        "{places:?} {open:?}"
    );
    assert!(
        places
            .iter()
            .any(|p| near(*p, 65.0, 20.0) || near(*p, -65.0, 20.0)),
        "{places:?} {open:?}"
    );
    let out = folder.path().join("again.tangwright");
    let ran = run(&arguments!["import", drawing, "--out", out]);
    assert!(
        ran.out.contains("dropped 1 piece drawn twice"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("x 50.00, y"), "{}", ran.out);
}

#[test]
fn a_unit_that_is_not_told_is_asked_for() {
    let folder = folder();
    let drawing = written(folder.path(), "a.dxf", UNITLESS.as_bytes());
    let out = folder.path().join("set.tangwright");
    let ran = run(&arguments!["import", drawing, "--out", out]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    for words in [
        "a.dxf",
        "8.0 × 1.5 mm",
        "203.2 × 38.1 mm (8.00 × 1.50 in)",
        "inches are likely",
        "(--units mm, or --units in)",
    ] {
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
    assert_eq!(names_in(folder.path()), ["a.dxf"]);
    let ran = run(&arguments![
        "import", drawing, "--out", out, "--units", "in"
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
}

#[test]
fn nothing_is_written_over_or_by_halves() {
    let folder = folder();
    let good = written(folder.path(), "a.svg", PLATE.as_bytes());
    let bad = written(folder.path(), "b.svg", b"<svg");
    let empty = written(folder.path(), "c.dxf", b"");
    let out = folder.path().join("set.tangwright");
    let ran = run(&arguments!["import", good, bad, empty, "--out", out]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    assert!(
        ran.err.contains("b.svg") && ran.err.contains("c.dxf: the file is empty"),
        "{}",
        ran.err
    );
    assert!(!out.exists());
    // Neither an input nor a design that is there is written over.
    let ran = run(&arguments!["import", good, "--out", good]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("there already"), "{}", ran.err);
    assert_eq!(fs::read(&good).expect("still there"), PLATE.as_bytes());
    let ran = run(&arguments![
        "import",
        folder.path().join("none.svg"),
        "--out",
        out
    ]);
    assert_eq!(ran.code, Some(1));
    for wrong in [
        ["--scale", "-1"],
        ["--scale", "0"],
        ["--join", "99"],
        ["--scale", "nan"],
        ["--blade", "-3"],
    ] {
        let ran = run(&arguments![
            "import", good, "--out", out, wrong[0], wrong[1]
        ]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{wrong:?}");
        assert!(!ran.err.is_empty());
    }
}
