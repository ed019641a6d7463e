//! `tangwright nest`: what it says, what it writes, what it refuses.

use std::path::Path;

use tangwright::geometry::{Motion, Point, Vec2};
use tangwright::knife::orchard_set;
use tangwright::reading::design_file;

use super::bench::{Ran, drilled_plate, folder, names_in, plate, run, saved, written};

/// A run with `--json`, which must end with the code.
fn nested(file: &Path, more: &[&str], code: i32) -> (serde_json::Value, Ran) {
    let out = file.with_file_name("out");
    let mut arguments = arguments!["nest", file, "--out", out, "--json", "--seconds", "0.3"];
    arguments.extend(more.iter().map(std::ffi::OsString::from));
    let ran = run(&arguments);
    assert_eq!(ran.code, Some(code), "{}", ran.err);
    let answer = serde_json::from_str(&ran.out).expect("the answer is JSON");
    (answer, ran)
}

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn two_plates_lie_one_behind_the_other() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let options = [
        "--bar", "30x500", "--gap", "2", "--edge", "1.5", "--count", "2",
    ];
    let (answer, ran) = nested(&file, &options, 0);
    // 1.5 + 120 + 2 + 120 + 1.5; the plates are 120 × 25.
    assert!((number(&answer["used_length_mm"]) - 245.0).abs() < 1e-6);
    assert!((number(&answer["density"]) - 6000.0 / (245.0 * 30.0)).abs() < 1e-9);
    let pieces = answer["pieces"].as_array().expect("a list");
    assert_eq!(pieces.len(), 2);
    for piece in pieces {
        assert_eq!(piece["knife"], "Test plate");
        assert_eq!(piece["mirrored"], false);
        // As documented: turned about the knife's origin, then shifted; the far corner must lie on the bar too.
        let motion = Motion {
            mirrored: false,
            turn_rad: number(&piece["turn_deg"]).to_radians(),
            shift: Vec2::new(number(&piece["x_mm"]), number(&piece["y_mm"])),
        };
        for corner in [Point::ORIGIN, Point::new(120.0, 25.0)] {
            let at = motion.apply(corner);
            assert!(at.x > 1.5 - 1e-6 && at.x < 243.5 + 1e-6, "{at:?}");
            assert!(at.y > 1.5 - 1e-6 && at.y < 28.5 + 1e-6, "{at:?}");
        }
    }
    assert_eq!(answer["left_over"].as_array().map(Vec::len), Some(0));
    let fields = answer.as_object().expect("an object");
    assert_eq!(fields.len(), 4, "{fields:?}");
    assert_eq!(ran.err, "");
    assert_eq!(
        names_in(&folder.path().join("out")),
        ["nest.dxf", "nest.svg"]
    );
}

#[test]
fn the_cutting_file_holds_every_outline_and_hole_and_nothing_else() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    nested(
        &file,
        &["--sheet", "300x60", "--gap", "2", "--count", "3"],
        0,
    );
    let path = folder.path().join("out").join("nest.dxf");
    let drawing = dxf::Drawing::load_file(path).expect("the file is DXF");
    let mut outlines = 0;
    let mut holes = 0;
    for entity in drawing.entities() {
        match &entity.specific {
            dxf::entities::EntityType::LwPolyline(line) => {
                outlines += 1;
                assert_eq!(line.vertices.len(), 4);
                assert_eq!(entity.common.layer, "cut");
                for v in &line.vertices {
                    assert!(v.x > 2.0 - 1e-4 && v.x < 298.0 + 1e-4);
                    assert!(v.y > 2.0 - 1e-4 && v.y < 58.0 + 1e-4);
                }
            }
            dxf::entities::EntityType::Circle(circle) => {
                holes += 1;
                assert!(circle.radius > 2.0 && circle.radius < 3.1);
                assert_eq!(entity.common.layer, "drill");
            }
            other => panic!("no {other:?} belongs in a cutting file"),
        }
    }
    assert_eq!((outlines, holes), (3, 12));
}

#[test]
fn what_finds_no_room_is_told_and_the_rest_written() {
    let folder = folder();
    let knives = vec![drilled_plate(), plate("Long plate", 400.0, 20.0, 3.0)];
    let file = saved(folder.path(), knives);
    let (answer, ran) = nested(&file, &["--bar", "30x130", "--gap", "1", "--count", "2"], 1);
    assert_eq!(answer["pieces"].as_array().map(Vec::len), Some(1));
    let left = answer["left_over"].as_array().expect("a list");
    let told: Vec<_> = left.iter().map(|l| (&l["knife"], &l["count"])).collect();
    assert_eq!(
        told,
        [
            (&"Test plate".into(), &1.into()),
            (&"Long plate".into(), &2.into())
        ]
    );
    assert!(
        ran.err.contains("Test plate: 1 left over: no room"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("Long plate: 2 left over: too large"),
        "{}",
        ran.err
    );
    assert_eq!(names_in(&folder.path().join("out")).len(), 2);
}

#[test]
fn knives_lie_along_the_bar_unless_any_turn_is_allowed() {
    let folder = folder();
    let text = design_file::write(&orchard_set());
    let file = written(folder.path(), "set.tangwright", text.as_bytes());
    let turns = |more: &[&str]| -> Vec<(f64, bool)> {
        let (answer, _) = nested(&file, more, 0);
        let pieces = answer["pieces"].as_array().expect("a list").clone();
        pieces
            .iter()
            .map(|p| (number(&p["turn_deg"]), p["mirrored"] == true))
            .collect()
    };
    let along = turns(&["--bar", "100x2000", "--gap", "3"]);
    assert_eq!(along.len(), 4);
    assert!(
        along
            .iter()
            .all(|(t, mirrored)| (*t == 0.0 || *t == 180.0) && !mirrored)
    );
    // A bar longer than wide takes them; a sheet too short for the longest only when it may lie across.
    let across = turns(&["--sheet", "160x900", "--gap", "3", "--any-turn"]);
    assert!(across.iter().any(|(t, _)| *t != 0.0 && *t != 180.0));
    assert!(across.iter().all(|(_, mirrored)| !mirrored));
}

#[test]
fn several_files_are_laid_together() {
    let (one, two) = (folder(), folder());
    let first = saved(one.path(), vec![plate("First", 100.0, 20.0, 3.0)]);
    let second = saved(two.path(), vec![plate("Second", 90.0, 20.0, 3.0)]);
    let out = one.path().join("out");
    let ran = run(&arguments![
        "nest",
        first,
        second,
        "--bar",
        "25x300",
        "--gap",
        "2",
        "--seconds",
        "0.1",
        "--out",
        out
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    // 2 + 100 + 2 + 90 + 2.
    assert!(
        ran.out
            .starts_with("2 placed on 196.0 mm of 25.0 mm by 300.0 mm, 77.6 %"),
        "{}",
        ran.out
    );
    assert_eq!(ran.out.lines().count(), 3, "{}", ran.out);
}

/// The plates are 120 × 25; with a millimeter left on all round they are 122 × 27, and the holes stay where they are.
#[test]
fn what_is_nested_is_what_is_cut() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let options = [
        "--bar", "40x500", "--gap", "2", "--edge", "1.5", "--count", "2",
    ];
    let more = [&options[..], &["--allowance", "1", "--holes-under", "0.5"]].concat();
    let (answer, _) = nested(&file, &more, 0);
    // 1.5 + 122 + 2 + 122 + 1.5.
    assert!(
        (number(&answer["used_length_mm"]) - 249.0).abs() < 0.05,
        "{answer}"
    );
    let path = folder.path().join("out").join("nest.dxf");
    let drawing = dxf::Drawing::load_file(path).expect("the file is DXF");
    let mut low = (f64::INFINITY, f64::INFINITY);
    let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut radii = Vec::new();
    for entity in drawing.entities() {
        match &entity.specific {
            dxf::entities::EntityType::LwPolyline(line) => {
                for v in &line.vertices {
                    low = (low.0.min(v.x), low.1.min(v.y));
                    high = (high.0.max(v.x), high.1.max(v.y));
                }
            }
            dxf::entities::EntityType::Circle(circle) => radii.push(circle.radius),
            other => panic!("no {other:?} belongs in a cutting file"),
        }
    }
    assert!(
        (low.0 - 1.5).abs() < 0.05 && (high.0 - 247.5).abs() < 0.05,
        "{low:?} {high:?}"
    );
    assert!(high.1 - low.1 >= 27.0 - 1e-6);
    let (plain, _) = nested(&file, &options, 0);
    assert!((number(&plain["used_length_mm"]) - 245.0).abs() < 1e-6);
    let drawing = dxf::Drawing::load_file(folder.path().join("out").join("nest.dxf")).unwrap();
    let mut drawn: Vec<f64> = drawing
        .entities()
        .filter_map(|entity| match &entity.specific {
            dxf::entities::EntityType::Circle(circle) => Some(circle.radius),
            _ => None,
        })
        .collect();
    drawn.sort_by(f64::total_cmp);
    radii.sort_by(f64::total_cmp);
    assert_eq!(drawn.len(), radii.len());
    for (plain, under) in drawn.iter().zip(&radii) {
        assert!((plain - under - 0.25).abs() < 1e-6, "{plain} {under}");
    }
    // As the shop's own figures say, without a word on the command line.
    let figures = r#"{"tangwright_settings": 1, "thresholds": {"left-on": 1.0}}"#;
    let home = folder.path().join("home");
    std::fs::create_dir_all(home.join("config")).unwrap();
    written(&home.join("config"), "settings.json", figures.as_bytes());
    let out = folder.path().join("shop");
    let mut asked = arguments!["nest", file, "--out", out, "--json", "--seconds", "0.3"];
    asked.extend(options.iter().map(std::ffi::OsString::from));
    let ran = super::bench::at_home(&home, &asked);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert!(
        (number(&answer["used_length_mm"]) - 249.0).abs() < 0.05,
        "{answer}"
    );
}

/// A corner piece: 300 × 60 with its upper right taken off, a pit in the middle of what is left.
#[test]
fn odd_pieces_are_typed_drawn_or_designed() {
    let folder = folder();
    let knives = vec![plate("Small plate", 60.0, 15.0, 3.0)];
    let file = saved(folder.path(), knives);
    let corners = "0,0 300,0 300,20 100,60 0,60";
    let free = |answer: &serde_json::Value| -> Vec<(Point, Point)> {
        let pieces = answer["pieces"].as_array().expect("a list").clone();
        pieces
            .iter()
            .map(|piece| {
                let motion = Motion {
                    mirrored: piece["mirrored"] == true,
                    turn_rad: number(&piece["turn_deg"]).to_radians(),
                    shift: Vec2::new(number(&piece["x_mm"]), number(&piece["y_mm"])),
                };
                (
                    motion.apply(Point::ORIGIN),
                    motion.apply(Point::new(60.0, 15.0)),
                )
            })
            .collect()
    };
    let options = ["--gap", "2", "--count", "12", "--any-turn"];
    let typed = [&options[..], &["--piece", corners, "--flaw", "60,30,8"]].concat();
    let (answer, _) = nested(&file, &typed, 1);
    let placed = free(&answer);
    assert!((3..12).contains(&placed.len()), "{answer}");
    for (a, b) in &placed {
        for corner in [a, b] {
            let inside =
                corner.x > 1.99 && corner.y > 1.99 && corner.x < 298.01 && corner.y < 58.01;
            // Under the line from (300, 20) to (100, 60), by its distance from there.
            let off = (60.0 - corner.y) * 200.0 - (corner.x - 100.0) * 40.0;
            assert!(inside && off / 200.0_f64.hypot(40.0) > 1.99, "{corner:?}");
        }
        let middle = a.midpoint(*b);
        // Half of the plate's height and the flaw's reach and the margin keep its middle away.
        assert!(
            middle.distance(Point::new(60.0, 30.0)) > 7.5 + 8.0 + 1.9,
            "{middle:?}"
        );
    }
    // The same piece as a drawing, the pit a circle within it.
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="60mm" viewBox="0 0 300 60">
        <path d="M0 60 L300 60 L300 40 L100 0 L0 0 Z"/><circle cx="60" cy="30" r="8"/></svg>"#;
    let drawing = written(folder.path(), "piece.svg", svg.as_bytes());
    let path = drawing.display().to_string();
    let drawn = [&options[..], &["--piece", &path]].concat();
    let (again, _) = nested(&file, &drawn, 1);
    assert_eq!(free(&again).len(), placed.len(), "{again}");
    // And as the first knife of a design, with the flaw marked on it.
    let mut forging = plate("Forging", 300.0, 60.0, 5.0);
    forging.flaws.push(tangwright::knife::Flaw {
        id: 90,
        kind: tangwright::knife::FlawKind::Crack,
        line: vec![Point::new(60.0, 0.0), Point::new(60.0, 60.0)],
        reach_mm: 1.0,
        faces: tangwright::knife::Faces::Both,
        depth_mm: None,
    });
    forging.next_id = 100;
    let own = super::bench::folder();
    let design = saved(own.path(), vec![forging]).display().to_string();
    let (answer, _) = nested(
        &file,
        &["--gap", "2", "--count", "12", "--piece", &design],
        1,
    );
    for (a, b) in free(&answer) {
        let (low, high) = (a.x.min(b.x), a.x.max(b.x));
        assert!(
            high < 57.1 || low > 62.9,
            "{a:?} {b:?}: the crack is kept out of"
        );
    }
}

#[test]
fn counts_are_given_for_all_or_by_name() {
    let folder = folder();
    let knives = vec![
        plate("First", 60.0, 20.0, 3.0),
        plate("Second", 50.0, 20.0, 3.0),
    ];
    let file = saved(folder.path(), knives);
    let options = [
        "--bar", "25x900", "--gap", "2", "--count", "3", "--count", "Second=1",
    ];
    let (answer, _) = nested(&file, &options, 0);
    let pieces = answer["pieces"].as_array().expect("a list");
    let of = |name: &str| pieces.iter().filter(|p| p["knife"] == name).count();
    assert_eq!((of("First"), of("Second")), (3, 1));
}

#[test]
fn wrong_use_says_so_and_writes_nothing() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let out = folder.path().join("out");
    let lists: &[&[&str]] = &[
        &["--gap", "2"],
        &["--bar", "50x500"],
        &["--bar", "50x500", "--sheet", "50x500", "--gap", "2"],
        &["--bar", "50", "--gap", "2"],
        &["--bar", "0x500", "--gap", "2"],
        &["--bar", "NaNx500", "--gap", "2"],
        &["--bar", "50x1e9", "--gap", "2"],
        &["--bar", "50x-500", "--gap", "2"],
        &["--bar", "50x500", "--gap", "NaN"],
        &["--bar", "50x500", "--gap=-1"],
        &["--bar", "50x500", "--gap", "2", "--edge", "1e6"],
        &["--bar", "50x500", "--gap", "2", "--count", "0"],
        &["--bar", "50x500", "--gap", "2", "--count", "-3"],
        &["--bar", "50x500", "--gap", "2", "--count", "100000000000"],
        &["--bar", "50x500", "--gap", "2", "--seconds", "NaN"],
        &["--bar", "50x500", "--gap", "2", "--seconds", "-1"],
        &["--bar", "50x500", "--gap", "2", "--count", "Nobody=2"],
        &["--bar", "50x500", "--gap", "2", "--flaw", "1,1,1"],
        &["--bar", "50x500", "--gap", "2", "--allowance", "NaN"],
        &["--piece", "0,0 10,0", "--gap", "2"],
        &["--piece", "wide", "--gap", "2"],
        &["--piece", "0,0 300,60 300,0 0,60", "--gap", "2"],
        &["--piece", "0,0 300,0 300,60", "--flaw", "1,1", "--gap", "2"],
    ];
    for list in lists {
        let mut arguments = arguments!["nest", file, "--out", out];
        arguments.extend(list.iter().map(std::ffi::OsString::from));
        let ran = run(&arguments);
        assert_eq!(ran.code, Some(2), "{list:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{list:?}");
        assert!(!ran.err.is_empty(), "{list:?}");
    }
    assert_eq!(names_in(&out), [""; 0]);
    let missing = folder.path().join("missing.tangwright");
    let ran = run(&arguments![
        "nest", missing, "--out", out, "--bar", "50x500", "--gap", "2"
    ]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("missing.tangwright"), "{}", ran.err);
}
