//! `weigh --forge-bar` and `--forge-billet`: bar length and pieces of a billet by constant volume, worked out by hand.

use std::f64::consts::PI;
use std::ffi::OsString;
use std::path::Path;

use serde_json::Value;

use tangwright::knife::{ForgePlan, ForgeStart, ForgingLosses, Knife, Layer, OwnRatio};

use super::bench::{folder, near, number, plate, run, saved};

/// A strip of 200 × 30 × 3 mm, of three layers of 1 mm when it is clad.
fn strip(clad: bool) -> Knife {
    let mut knife = plate("Strip", 200.0, 30.0, 3.0);
    if clad {
        knife.stock.layering.outer.push(Layer {
            name: "cladding".to_owned(),
            material: "steel".to_owned(),
            thickness_mm: 1.0,
        });
    }
    knife
}

fn answer(folder: &Path, knife: Knife, flags: &[&str]) -> Value {
    let file = saved(folder, vec![knife]);
    let mut arguments: Vec<OsString> = arguments!["weigh", file, "--json"];
    arguments.extend(flags.iter().map(OsString::from));
    let ran = run(&arguments);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    serde_json::from_str(&ran.out).expect("JSON")
}

/// With 0.75 mm on each face and 2 mm all round the strip grows to (6000 + 460·2 + 4π)·4.5 mm³; three sets of heats at 2.5 % leave 0.975³ of what went in.
#[test]
fn a_bar_is_as_long_as_the_volume_asks() {
    let folder = folder();
    let forged = (6920.0 + 4.0 * PI) * 4.5;
    for (flags, left) in [
        (&["--forge-bar", "25x6"][..], 0.975_f64.powi(3)),
        (&["--forge-bar", "25x6", "--heats", "0"], 1.0),
        (
            &["--forge-bar", "25 x 6 mm", "--heats", "4"],
            0.975_f64.powi(4),
        ),
    ] {
        let told = answer(folder.path(), strip(false), flags);
        let forging = &told["knives"][0]["forging"];
        near(number(forging, "/forged_mm3"), forged, 1e-12, "forged");
        near(number(forging, "/forged_thickness_mm"), 4.5, 1e-12, "thick");
        near(number(forging, "/start_mm3"), forged / left, 1e-12, "start");
        near(
            number(forging, "/length_mm"),
            forged / left / 150.0,
            1e-12,
            "length",
        );
        let lost = number(forging, "/share_lost");
        assert!((lost - (1.0 - left)).abs() < 1e-12);
        assert_eq!(forging["pieces"], Value::Array(Vec::new()));
    }
    let told = answer(folder.path(), strip(false), &[]);
    assert_eq!(told["knives"][0].get("forging"), None, "nothing is forged");
}

/// The usual billet: 5 % lost in the weld, 5 mm off each end, 0.75 mm on each face. Thinned five times the core is 5 mm, the claddings (1 + 0.75)·5 = 8.75.
#[test]
fn a_billet_is_stacked_of_its_layers() {
    let folder = folder();
    let flags = ["--forge-billet", "40", "--thinned", "5"];
    let told = answer(folder.path(), strip(true), &flags);
    let forging = &told["knives"][0]["forging"];
    let stack = |i: usize| number(forging, &format!("/pieces/{i}/stack_mm"));
    for (i, (name, thick)) in [
        ("cladding, left", 8.75),
        ("core", 5.0),
        ("cladding, right", 8.75),
    ]
    .into_iter()
    .enumerate()
    {
        assert_eq!(forging["pieces"][i]["name"], name);
        near(stack(i), thick, 1e-12, name);
    }
    near(number(forging, "/stack_mm"), 22.5, 1e-12, "stack");
    let start = (6920.0 + 4.0 * PI) * 4.5 / (0.975_f64.powi(3) * 0.95);
    let length = start / (40.0 * 22.5) + 10.0;
    near(number(forging, "/length_mm"), length, 1e-12, "length");
}

/// The plan in the file is told without any flag, in JSON and in the table, and a flag goes before it. Claddings that thin to a sixth: pieces of 6, 5 and 6 without losses,
/// 18,000/(40·17) = 26.5 mm long.
#[test]
fn the_plan_in_the_file_is_told() {
    let folder = folder();
    let mut knife = strip(true);
    knife.forging = Some(ForgePlan {
        start: ForgeStart::Billet {
            width_mm: 40.0,
            reduction: 5.0,
            own_ratios: vec![OwnRatio {
                layer: 1,
                ratio: 6.0,
            }],
        },
        losses: ForgingLosses::none(),
    });
    let told = answer(folder.path(), knife.clone(), &[]);
    let forging = &told["knives"][0]["forging"];
    near(number(forging, "/stack_mm"), 17.0, 1e-12, "stack");
    near(
        number(forging, "/length_mm"),
        18_000.0 / 680.0,
        1e-12,
        "length",
    );
    let file = saved(folder.path(), vec![knife.clone()]);
    let ran = run(&arguments!["weigh", file]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let line = |start: &str| {
        let mut lines = ran.out.lines().map(str::trim);
        lines
            .find(|line| line.starts_with(start))
            .unwrap_or_else(|| panic!("{start} is not in {}", ran.out))
            .to_owned()
    };
    assert!(line("cladding, left  ").ends_with('g'), "its weight first");
    assert!(ran.out.contains("stack together") && line("stack together").ends_with("17.00 mm"));
    assert!(line("each piece long").ends_with("26.5 mm"));
    assert!(line("forged down to").ends_with("3.00 mm"));
    let told = answer(folder.path(), knife, &["--forge-bar", "25x6"]);
    assert_eq!(told["knives"][0]["forging"]["stack_mm"], Value::Null);
}

#[test]
fn what_can_not_be_forged_is_wrong_use() {
    let folder = folder();
    let file = saved(folder.path(), vec![strip(true)]);
    for (flags, words) in [
        (
            &["--forge-billet", "40", "--thinned", "0.5"][..],
            "not between 1 and",
        ),
        (&["--forge-bar", "25"], "two sizes"),
        (&["--forge-bar", "25x0"], "not between"),
        (&["--forge-bar", "25x6", "--heats", "1000"], "sets of heats"),
        (&["--thinned", "4"], "--forge-billet"),
        (
            &["--forge-bar", "25x6", "--forge-billet", "40"],
            "cannot be used",
        ),
    ] {
        let mut arguments: Vec<OsString> = arguments!["weigh", file];
        arguments.extend(flags.iter().map(OsString::from));
        let ran = run(&arguments);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{flags:?}");
        assert!(ran.err.contains(words), "{flags:?}: {}", ran.err);
    }
}
