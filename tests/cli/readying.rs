//! `ready` and `service`: what a service would ask about, the mends, and rules of one's own.

use serde_json::Value;
use tangwright::geometry::Point;
use tangwright::knife::Node;

use super::bench::{at_home, folder, hole, plate, run, saved, written};

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

/// 4 mm stock, a hole of 3.9 mm: a laser wants `max(1.0 x T, 1 mm)` (`cutting.csv`, fibre laser, guide B), a waterjet 2 mm.
#[test]
fn a_knife_is_held_against_the_rules_of_a_service() {
    let folder = folder();
    let mut knife = plate("Thin", 100.0, 50.0, 4.0);
    hole(&mut knife, 44.0, 25.0, 3.9);
    let file = saved(folder.path(), vec![knife]);
    let ran = run(&arguments!["ready", file, "--service", "waterjet"]);
    assert_eq!(
        (ran.code, ran.out.as_str()),
        (Some(0), "Thin: ready for Waterjet\n")
    );
    let ran = run(&arguments!["ready", file, "--service", "laser", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let answer = json(&ran.out);
    let found = answer["knives"][0]["findings"].as_array().unwrap().clone();
    let small = found
        .iter()
        .find(|f| f["code"] == "small-for-cutting")
        .unwrap();
    assert_eq!(small["threshold_mm"], 4.0);
    assert_eq!(small["place_mm"], serde_json::json!([44.0, 25.0]));
    assert_eq!(small["rule"], "Fiber laser: minimum hole or slot (guide B)");
    assert_eq!(small["offer"]["to"], "file");
    let ran = run(&arguments!["ready", file, "--service", "chisel"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err.contains("waterjet, laser, plasma, bandsaw"),
        "{}",
        ran.err
    );
}

/// A hole there twice and two nodes on one spot: nothing changes until it is asked, then both are mended and the file they were read from is as it was.
#[test]
fn mends_are_told_first_and_made_when_asked() {
    let folder = folder();
    let mut knife = plate("Twice", 100.0, 50.0, 4.0);
    hole(&mut knife, 44.0, 25.0, 6.0);
    hole(&mut knife, 44.0, 25.0, 6.0);
    let id = knife.take_id();
    let node = Node::corner(id, Point::new(100.0, 0.0));
    knife.outline.nodes.insert(2, node);
    let file = saved(folder.path(), vec![knife]);
    let before = std::fs::read(&file).unwrap();
    let ran = run(&arguments!["ready", file, "--service", "waterjet"]);
    assert_eq!(ran.code, Some(1));
    assert!(
        ran.out
            .contains("--mend would join the two nodes: 5 nodes now, 4 after"),
        "{}",
        ran.out
    );
    let out = folder.path().join("mended.tangwright");
    let ran = run(&arguments![
        "ready",
        file,
        "--service",
        "waterjet",
        "--mend",
        "--out",
        out
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(ran.out.contains("mended  drop the double"), "{}", ran.out);
    assert!(ran.out.contains("2 cut-outs now, 1 after"), "{}", ran.out);
    let ran = run(&arguments!["ready", out, "--service", "waterjet"]);
    assert_eq!(ran.out, "Twice: ready for Waterjet\n");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    // Neither is anything written over.
    let ran = run(&arguments![
        "ready",
        file,
        "--service",
        "waterjet",
        "--mend",
        "--out",
        out
    ]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("there already"), "{}", ran.err);
    let ran = run(&arguments!["ready", file, "--mend"]);
    assert_eq!(ran.code, Some(2));
}

/// A rectangle of four lines, one drawn twice, with a gap of 0.02 mm: what the reader mends is told.
#[test]
fn a_drawing_is_made_ready_as_it_is_read() {
    let folder = folder();
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="40mm" viewBox="0 0 100 40"><g stroke="black" fill="none">
        <path d="M0 0H100"/><path d="M0 0H100"/><path d="M100 0V40"/><path d="M100 40.02H0"/><path d="M0 40.02V0"/></g></svg>"#;
    let file = written(folder.path(), "part.svg", svg.as_bytes());
    let ran = run(&arguments!["ready", file, "--service", "waterjet"]);
    assert!(
        ran.out.contains("mended  dropped 1 piece drawn twice"),
        "{} {}",
        ran.out,
        ran.err
    );
    assert!(ran.out.contains("mended  closed 1 gap,"), "{}", ran.out);
}

#[test]
fn a_service_of_ones_own_is_kept_and_gone_by() {
    let (folder, home) = (folder(), folder_for_home());
    let at = |words: &[std::ffi::OsString]| at_home(home.path(), words);
    let ran = at(&arguments![
        "service",
        "River cutters",
        "--from",
        "laser",
        "--set",
        "kerf=0.3",
        "--set",
        "hole-times=0.5",
        "--set",
        "left-on=0.6",
        "--set",
        "dxf=r12",
        "--set",
        "layers=cut:PROFILE",
        "--set",
        "unit=inch",
        "--choose"
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(
        ran.out
            .starts_with("River cutters: files are written for it\n"),
        "{}",
        ran.out
    );
    let rules = json(&at(&arguments!["service", "River cutters", "--json"]).out);
    assert_eq!(rules[0]["rules"]["kerf"], "0.3");
    assert_eq!(rules[0]["chosen"], true);
    // 4 mm stock: 0.5 T is 2 mm, so 3.9 mm is fine; 0.6 mm are left on a 0.508 mm deep edge.
    let mut knife = plate("Thin", 100.0, 50.0, 4.0);
    hole(&mut knife, 44.0, 25.0, 3.9);
    let file = saved(folder.path(), vec![knife]);
    let ran = at(&arguments!["ready", file]);
    assert_eq!(ran.out, "Thin: ready for River cutters\n", "{}", ran.err);
    let out = folder.path().join("files");
    let ran = at(&arguments!["template", file, "--dxf", "--out", out]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let dxf = std::fs::read_to_string(out.join("thin.dxf")).unwrap();
    assert!(dxf.contains("AC1009") && dxf.contains("PROFILE"));
    // 100 mm with 0.6 mm on either side are 101.2 mm: 3.9842519685 in.
    assert!(dxf.contains("$INSUNITS\r\n 70\r\n1\r\n"), "inches");
    let drawing: Vec<f64> = dxf.lines().filter_map(|l| l.trim().parse().ok()).collect();
    assert!(drawing.iter().any(|x| (x - 100.6 / 25.4).abs() < 1e-6));
    let ran = at(&arguments!["service", "River cutters", "--set", "kerf=3"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("set inside-radius first"), "{}", ran.err);
    let ran = at(&arguments!["service", "River cutters", "--set", "speed=3"]);
    assert!(
        ran.err.contains("name one of process, hole-times"),
        "{}",
        ran.err
    );
    let ran = at(&arguments!["service", "Waterjet", "--set", "kerf=0.8"]);
    assert!(ran.err.contains("another name"), "{}", ran.err);
    assert_eq!(
        at(&arguments!["service", "River cutters", "--remove"]).code,
        Some(0)
    );
    let listed = at(&arguments!["service"]).out;
    assert!(
        listed.starts_with("Waterjet") && !listed.contains("River"),
        "{listed}"
    );
}

fn folder_for_home() -> tempfile::TempDir {
    folder()
}
