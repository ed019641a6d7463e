//! What is refused, and where the message points. Laws over random sets are in `tests/design_file.rs`.

mod engraving;
mod forging;
mod grinding;
mod heat;
mod laid_picture;
mod tang;

use super::*;
use crate::knife::LandmarkKind;

/// A small design as a maker's editor would show it; the tests break one place of it at a time.
const GOOD: &str = r#"{
  "tangwright": 3,
  "name": "Bench",
  "next_id": 2,
  "materials": [
    {"key": "steel", "name": "Steel", "density_g_cm3": 7.85, "density_low": 7.8, "density_high": 7.87},
    {"key": "brass", "name": "Brass", "density_g_cm3": 8.5, "density_low": 8.4, "density_high": 8.6}
  ],
  "knives": [
    {
      "id": 1,
      "name": "Paring knife",
      "form": "paring",
      "notes": "",
      "stock": {
        "thickness_mm": 2.0,
        "tolerance_mm": 0.1,
        "material": "steel",
        "layering": {
          "outer": [
            {"name": "cladding", "material": "brass", "thickness_mm": 0.6}
          ],
          "core_offset_mm": 0.05,
          "waviness_mm": 0.02
        }
      },
      "tang": {"kind": "hidden", "length_mm": 60.0, "shoulder_width_mm": 9.0, "end_width_mm": 6.0, "shoulder_radius_mm": 1.0, "end": "square"},
      "outline": {
        "nodes": [
          {"id": 1, "at": [0.0, -10.0], "joint": "corner"},
          {"id": 2, "at": [90.0, 0.0], "out": [-10.0, 8.0], "joint": "corner"},
          {"id": 3, "at": [0.0, 10.0], "in": [20.0, 0.5], "joint": "smooth"}
        ]
      },
      "landmarks": [
        {"kind": "tip", "node": 2, "t": 0.0},
        {"kind": "heel", "node": 1, "t": 0.125}
      ],
      "grinding": {
        "taper": {
          "faces": "both",
          "stations": [
            {"x_mm": 0.0, "thickness_mm": 1.9},
            {"x_mm": 90.0, "thickness_mm": 0.9}
          ]
        },
        "grinds": [
          {
            "id": 8,
            "name": "bevel",
            "run": {"from": "heel", "to": "tip"},
            "sides": {
              "kind": "each",
              "right": {
                "form": {"kind": "hollow", "wheel_radius_mm": 125.0},
                "rise": {
                  "kind": "height",
                  "stations": [
                    {"at": 0.0, "height_mm": 12.0},
                    {"at": 1.0, "height_mm": 7.5}
                  ]
                }
              },
              "left": {
                "form": {"kind": "convex", "radius_mm": 300.0},
                "rise": {
                  "kind": "height",
                  "stations": [
                    {"at": 0.5, "height_mm": 9.0}
                  ]
                }
              }
            },
            "edge_mm": 0.3,
            "edge_offset_mm": -0.1,
            "plunge_from": {"angle_rad": 1.25, "wheel_radius_mm": 6.0},
            "plunge_to": {"angle_rad": 1.5, "wheel_radius_mm": 0.0},
            "after_hardening": false
          },
          {
            "id": 9,
            "name": "second bevel",
            "run": {"from": "heel", "to": "tip"},
            "sides": {
              "kind": "right",
              "cut": {
                "form": {"kind": "flat"},
                "rise": {
                  "kind": "angle",
                  "stations": [
                    {"at": 0.0, "angle_rad": 0.25}
                  ]
                }
              }
            },
            "edge_mm": 0.0,
            "edge_offset_mm": 0.0,
            "after_hardening": true
          }
        ],
        "fullers": [
          {
            "id": 10,
            "name": "fuller",
            "faces": "left",
            "nose_radius_mm": 4.0,
            "depth_mm": 0.35,
            "path": {
              "nodes": [
                {"id": 11, "at": [15.0, 4.0], "out": [12.5, 1.5], "joint": "corner"},
                {"id": 12, "at": [60.0, 3.0], "joint": "corner"}
              ]
            }
          }
        ],
        "tolerance_mm": 0.04
      },
      "cut_outs": [
        {"id": 4, "kind": "round", "center": [10.0, 0.0], "diameter_mm": 3.2, "purpose": "pin", "filling": {"kind": "pin", "material": "brass"}},
        {"id": 5, "kind": "slot", "center": [20.0, 0.0], "length_mm": 8.0, "width_mm": 3.0, "angle_rad": 0.5, "purpose": "lightening"}
      ],
      "rows": [
        {"id": 6, "along": "tang_middle", "from_x": -50.0, "to_x": -10.0, "count": 3, "first_diameter_mm": 3.0, "last_diameter_mm": 2.0, "purpose": "lightening"}
      ],
      "guard": {
        "id": 7,
        "name": "Guard",
        "width_mm": 12.0,
        "height_mm": 30.0,
        "middle_y_mm": 0.0,
        "corner_radius_mm": 6.0,
        "thickness_mm": 5.0,
        "material": "brass",
        "clearance_mm": 0.05,
        "slot_corner_mm": 0.5
      },
      "handle": {
        "fixing": {"kind": "block", "hole": {"kind": "drilled", "width_mm": 4.0, "height_mm": 10.0, "depth_mm": 62.0}},
        "outline": {
          "nodes": [
            {"id": 13, "at": [-5.0, -12.0], "joint": "corner"},
            {"id": 14, "at": [-5.0, 12.0], "joint": "corner"},
            {"id": 15, "at": [-80.0, 0.0], "joint": "corner"}
          ]
        },
        "stations": [
          {"x_mm": -80.0, "thickness_mm": 18.0},
          {"x_mm": -5.0, "thickness_mm": 20.5}
        ],
        "rounding": 2.5,
        "parts": [
          {"id": 16, "kind": "bolster", "material": "brass", "from_x_mm": -5.0},
          {"id": 17, "kind": "grip", "material": "brass", "from_x_mm": -12.0}
        ],
        "glue": {"material": "brass", "gap_mm": 0.2}
      },
      "flaws": [
        {
          "id": 18,
          "kind": "crack",
          "line": [
            {"at": [-20.0, 4.0]},
            {"at": [-18.0, 0.5]}
          ],
          "reach_mm": 0.0,
          "faces": "both",
          "depth_mm": 1.5
        }
      ],
      "weigh_ins": [
        {"id": 19, "stage": "drilled", "date": "2026-11-26", "mass_g": 61.5, "balance_mm": -12.0}
      ],
      "next_id": 20
    }
  ]
}
"#;

fn refused(text: &str) -> String {
    read(text.as_bytes())
        .expect_err("it must be refused")
        .to_string()
}

/// Replaces `old` in the good file, checks that it is there once, and gives the lines of the refusal.
fn broken(old: &str, new: &str) -> Vec<String> {
    assert_eq!(GOOD.matches(old).count(), 1, "`{old}` must be there once");
    refused(&GOOD.replace(old, new))
        .lines()
        .map(str::to_owned)
        .collect()
}

/// The problems, and their lines are these.
fn check(old: &str, new: &str, line: &str) {
    assert_eq!(
        broken(old, new),
        line.lines().collect::<Vec<_>>(),
        "{old} -> {new}"
    );
}

#[test]
fn the_written_form_is_stable() {
    let set = read(GOOD.as_bytes()).expect("a good file");
    assert_eq!(write(&set), GOOD);
}

#[test]
fn a_byte_order_mark_is_passed_over() {
    let with_mark = format!("\u{feff}{GOOD}");
    assert_eq!(read(with_mark.as_bytes()), read(GOOD.as_bytes()));
}

#[test]
fn any_order_of_fields_and_blanks_is_read() {
    let landmarks = r#""landmarks": [{"t": 1, "node": 3, "kind": "butt"}, {"node": 1, "kind": "heel", "t": 0}, {"kind": "tip", "node": 2, "t": 0}]"#;
    let text = GOOD.replace(
        "\"landmarks\": [\n        {\"kind\": \"tip\", \"node\": 2, \"t\": 0.0},\n        {\"kind\": \"heel\", \"node\": 1, \"t\": 0.125}\n      ]",
        landmarks,
    );
    assert!(text.contains(landmarks), "the landmarks must be replaced");
    let set = read(text.as_bytes()).expect("a good file");
    // They stand in the order of kinds again.
    let marks = &set.knives[0].landmarks;
    assert_eq!(
        marks.iter().map(|m| m.kind.name()).collect::<Vec<_>>(),
        ["tip", "heel", "butt"]
    );
}

#[test]
fn problems_name_the_place_and_the_mend() {
    check(
        "\"diameter_mm\": 3.2",
        "\"diameter_mm\": \"wide\"",
        "knives[0].cut_outs[0].diameter_mm: must be a number, found the text 'wide'",
    );
    check(
        "\"diameter_mm\": 3.2, ",
        "",
        "knives[0].cut_outs[0].diameter_mm: is missing; add a number",
    );
    check(
        "\"diameter_mm\": 3.2",
        "\"diameter_mm\": 3.2, \"diameter_mm\": 4",
        "knives[0].cut_outs[0].diameter_mm: is given twice; keep one",
    );
    check(
        "\"diameter_mm\": 3.2",
        "\"diameter_mm\": -3.2",
        "knives[0].cut_outs[0].diameter_mm: -3.2 is not a size between 0.01 and 10000 mm",
    );
    check(
        "\"diameter_mm\": 3.2",
        "\"diameter_mm\": 0",
        "knives[0].cut_outs[0].diameter_mm: 0 is not a size between 0.01 and 10000 mm",
    );
    check(
        "\"at\": [0.0, -10.0]",
        "\"at\": [0.0]",
        "knives[0].outline.nodes[0].at: must be a point [x, y] of two numbers, found a list of 1",
    );
    check(
        "\"out\": [-10.0, 8.0]",
        "\"out\": [-10.0, 1e300]",
        &format!(
            "knives[0].outline.nodes[1].out[1]: {} is not between -10000 and 10000",
            1e300
        ),
    );
    check(
        "\"in\": [20.0, 0.5]",
        "\"in\": null",
        "knives[0].outline.nodes[2].in: must be a point [x, y] of two numbers, found null",
    );
    check(
        "\"purpose\": \"pin\"",
        "\"purpose\": \"fun\"",
        "knives[0].cut_outs[0].purpose: must be one of \"pin\", \"tube\", \"lanyard\", \"lightening\", \"guard_pin\", \"alignment\", \"tooling\", found the text 'fun'",
    );
    check(
        "\"filling\": {\"kind\": \"pin\", \"material\": \"brass\"}",
        "\"filling\": 2",
        "knives[0].cut_outs[0].filling: must be a record in braces, found 2",
    );
    check(
        "\"id\": 5, ",
        "\"id\": 5.5, ",
        "knives[0].cut_outs[1].id: must be a whole number from 0 to 4294967295, found 5.5",
    );
    check(
        "\"id\": 5, ",
        "\"id\": 4294967296, ",
        "knives[0].cut_outs[1].id: must be a whole number from 0 to 4294967295, found 4294967296",
    );
    check(
        "\"id\": 5, ",
        "\"id\": 4, ",
        "knives[0].cut_outs[1].id: id 4 is used twice; give one a number of its own",
    );
    check(
        "\"slot_corner_mm\": 0.5",
        "\"slot_corner_mm\": 0.5, \"rivet\": 1",
        "knives[0].guard.rivet: is not a field of this program; take it out or correct its name (known here: id, name, width_mm, height_mm, middle_y_mm, corner_radius_mm, thickness_mm, material, clearance_mm, slot_corner_mm)",
    );
    check(
        "\"name\": \"Bench\"",
        "\"name\": \"Bench\", \"nmae\": \"\"",
        "nmae: is not a field of this program; take it out or correct its name (known here: tangwright, name, next_id, materials, knives)",
    );
    check(
        "{\"kind\": \"pin\", \"material\": \"brass\"}",
        "{\"kind\": \"pin\", \"material\": \"lead\"}",
        "knives[0].cut_outs[0].filling.material: the set has no material 'lead'; add it to materials or name another",
    );
}

#[test]
fn every_problem_is_told_at_once() {
    let text = GOOD
        .replace("\"thickness_mm\": 2.0", "\"thickness_mm\": true")
        .replace("\"count\": 3", "\"count\": []")
        .replace("\"node\": 2", "\"mode\": 2")
        .replace("\"density_low\": 7.8", "\"density_low\": \"\"");
    let told = refused(&text);
    let places: Vec<&str> = told
        .lines()
        .map(|line| line.split(':').next().expect("a place"))
        .collect();
    assert_eq!(
        places,
        [
            "materials[0].density_low",
            "knives[0].stock.thickness_mm",
            "knives[0].landmarks[0].node",
            "knives[0].landmarks[0].mode",
            "knives[0].rows[0].count",
        ]
    );
}

#[test]
fn a_whole_knife_is_judged_beside_a_broken_one() {
    let start = GOOD.find("    {\n      \"id\": 1,").expect("the knife");
    let end = GOOD.rfind("  ]\n}").expect("the end");
    let knife = GOOD[start..end].trim_end();
    let second = knife
        .replacen("\"id\": 1,", "\"id\": 0,", 1)
        .replace("\"thickness_mm\": 2.0", "\"thickness_mm\": 0");
    let text = GOOD
        .replace(knife, &format!("{knife},\n{second}"))
        .replacen("\"form\": \"paring\"", "\"form\": 1", 1);
    assert_eq!(
        refused(&text).lines().collect::<Vec<_>>(),
        [
            "knives[0].form: must be a text in quotes, found 1",
            "knives[1].stock.thickness_mm: 0 is not between 0.1 and 100",
        ]
    );
}

#[test]
fn many_problems_are_counted() {
    let text = GOOD.replace(
        "\"name\": \"Bench\"",
        &format!("\"name\": \"Bench\"{}", ", \"x\": 1".repeat(1_000)),
    );
    let fault = read(text.as_bytes()).expect_err("it must be refused");
    let ReadError::Faulty { problems, more } = &fault else {
        panic!("{fault}");
    };
    assert_eq!(
        (problems.len(), *more),
        (MOST_PROBLEMS, 1_000 - MOST_PROBLEMS)
    );
    assert!(fault.to_string().ends_with("\nand 950 more"), "{fault}");
}

#[test]
fn versions_are_told_apart() {
    let of = |version: &str| refused(&GOOD.replace("\"tangwright\": 3", version));
    assert_eq!(
        of("\"tangwright\": 7, \"from the future\": [[{}]]"),
        "was made by a newer Tangwright (version 7); this one reads up to 3: get the newer program to open it"
    );
    assert_eq!(
        of("\"tangwright\": 0"),
        "tangwright: 0 is not a version; put 3 there"
    );
    assert_eq!(
        of("\"tangwright\": \"one\""),
        "tangwright: the text 'one' is not a version; put 3 there"
    );
    assert_eq!(
        of("\"tangwright\": 3, \"tangwright\": 3"),
        "tangwright: is given twice; keep one"
    );
    for other in ["\"version\": 1", "\"name\": \"\""] {
        assert!(of(other).starts_with("this is JSON but not a design file"));
    }
    for other in ["[]", "1", "\"tangwright\"", "null", "{}"] {
        assert!(refused(other).starts_with("this is JSON but not a design file"));
    }
}

#[test]
fn broken_json_gives_line_and_column() {
    let mend = "mend this place in a text editor, or open the copy kept beside the file (its name ends in .bak)";
    assert_eq!(
        broken("\"next_id\": 2,", "\"next_id\": 2"),
        [format!("line 5, column 3: expected `,` or `}}`; {mend}")]
    );
    for (number, said) in [
        ("NaN", "expected value"),
        ("inf", "expected value"),
        ("-Infinity", "invalid number"),
        ("03", "invalid number"),
        ("1e999", "the number is too large"),
    ] {
        let line = broken("\"next_id\": 2,", &format!("\"next_id\": {number},"));
        assert_eq!(line.len(), 1);
        assert!(line[0].starts_with("line 4, column "), "{line:?}");
        assert!(line[0].contains(said), "{line:?}");
    }
    assert_eq!(
        refused("{\"tangwright\": 1,\n"),
        "line 2, column 0: the file ends in the middle; its rest was lost: open the copy kept beside it (its name ends in .bak)"
    );
    assert!(refused(&format!("{GOOD} x")).contains("trailing characters"));
}

#[test]
fn what_is_not_text_is_refused() {
    for blank in ["", " \n\t ", "\u{feff}"] {
        assert_eq!(read(blank.as_bytes()), Err(ReadError::Empty));
    }
    assert_eq!(read(&[0; 100]), Err(ReadError::NotText { byte: 1 }));
    assert_eq!(read(b"{\xff\xfe}"), Err(ReadError::NotText { byte: 2 }));
    // A picture's first bytes (PNG signature, ISO/IEC 15948, 5.2).
    assert_eq!(
        read(b"\x89PNG\r\n\x1a\n\0\0"),
        Err(ReadError::NotText { byte: 1 })
    );
}

#[test]
fn too_much_is_refused() {
    assert_eq!(read(&vec![b' '; MOST_BYTES + 1]), Err(ReadError::TooLarge));
    let deep = "[".repeat(100_000);
    assert!(matches!(
        read(deep.as_bytes()),
        Err(ReadError::TooDeep { line: 1, .. })
    ));
    let many = format!("[{}1]", "1,".repeat(MOST_VALUES));
    assert_eq!(read(many.as_bytes()), Err(ReadError::TooManyValues));
    let knives = format!("\"knives\": [{}{{", "{},".repeat(10_000));
    assert_eq!(
        broken("\"knives\": [\n    {", &knives),
        ["knives: lists 10001; at most 1000 are read, take some out"]
    );
    // A record of every kind of list has its own cap.
    let materials = format!("\"materials\": [{}{{", "{},".repeat(MOST_MATERIALS));
    let landmarks = format!(
        "\"landmarks\": [{}{{",
        "{},".repeat(LandmarkKind::ALL.len())
    );
    assert_eq!(
        broken("\"materials\": [\n    {", &materials),
        ["materials: lists 1002; at most 1000 are read, take some out"]
    );
    assert_eq!(
        broken("\"landmarks\": [\n        {", &landmarks),
        ["knives[0].landmarks: lists 10; at most 8 are read, take some out"]
    );
}

#[test]
fn numbers_that_are_none_are_not_written() {
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    set.materials[0].density_g_cm3 = f64::NAN;
    assert_eq!(
        refused(&write(&set)),
        "materials[0].density_g_cm3: must be a number, found null"
    );
}
