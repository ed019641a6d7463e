//! `tangwright plan`, run as makers run it: what it prints, what it writes, and how it ends.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "helpers of a test may stop it"
)]

#[macro_use]
#[path = "common/arguments.rs"]
mod arguments;

#[expect(dead_code, reason = "shared with the other tests of the command line")]
#[path = "cli/bench.rs"]
mod bench;

use std::path::Path;

use bench::{folder, hole, names_in, plate, run, saved};
use serde_json::Value;
use tangwright::files::open_design;
use tangwright::knife::{CutShape, Knife, Purpose};
use tangwright::weighing::weigh;

/// A plate 220 × 24 × 3, a hundred of it behind the shoulder line: 124.344 g that balance at +10.
fn tanged(name: &str) -> Knife {
    let mut knife = plate(name, 220.0, 24.0, 3.0);
    for node in &mut knife.outline.nodes {
        node.at.x -= 100.0;
        node.at.y -= 12.0;
    }
    knife
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

fn number(value: &Value, path: &str) -> f64 {
    let found = value.pointer(path).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("{path} is no number in {value}"))
}

fn balance_of(path: &Path) -> f64 {
    let (set, _) = open_design(path).expect("it opens");
    let up = weigh(&set.knives[0], &set);
    up.total.expect("it can be weighed").balance_mm
}

#[test]
fn json_holds_plans_that_do_what_they_say() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("Plate")]);
    let ran = run(&arguments!["plan", file, "--balance", "11.5", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer = json(&ran.out);
    assert_eq!(number(&answer, "/target_mm"), 11.5);
    assert!((number(&answer, "/balance_mm") - 10.0).abs() < 1e-9);
    assert!(number(&answer, "/reachable/0") <= 10.0 && number(&answer, "/reachable/1") >= 11.5);
    assert_eq!(answer["stopped_by"], Value::Array(vec![]));
    let plans = answer["plans"].as_array().expect("plans");
    assert!(plans.len() >= 4, "{plans:?}");
    let (mass, moment) = (220.0 * 24.0 * 3.0 * 7.85e-3, 1_243.44);
    let mut round_plans = 0;
    for plan in plans {
        assert!((number(plan, "/balance_mm") - 11.5).abs() <= 0.1, "{plan}");
        // A taper leaves the square of the thickness.
        let least = if plan["taper"].is_null() { 0.3 } else { 0.05 };
        assert!(
            (least..=1.0).contains(&number(plan, "/strength_kept")),
            "{plan}"
        );
        let holes = plan["holes"].as_array().expect("holes");
        let is_round = |hole: &&Value| hole.get("length_mm").is_none();
        if holes.is_empty() || !holes.iter().all(|hole| is_round(&hole)) {
            continue;
        }
        round_plans += 1;
        // The lever law, by hand: each hole takes π/4·d²·3·7.85e-3 g at x.
        let (mut m, mut mx) = (mass, moment);
        for hole in holes {
            let d = number(hole, "/diameter_mm");
            let g = std::f64::consts::FRAC_PI_4 * d * d * 3.0 * 7.85e-3;
            m -= g;
            mx -= g * number(hole, "/x_mm");
        }
        assert!(
            (number(plan, "/balance_mm") - mx / m).abs() < 1e-6,
            "{plan}"
        );
        assert!(
            (number(plan, "/removed_g") - (mass - m)).abs() < 1e-6,
            "{plan}"
        );
    }
    assert!(round_plans >= 2, "{plans:?}");
    // The same question, the same bytes.
    let again = run(&arguments!["plan", file, "--balance", "11.5", "--json"]);
    assert_eq!(again.out, ran.out);
}

#[test]
fn a_mass_can_be_asked_for() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("Plate")]);
    let ran = run(&arguments!["plan", file, "--mass", "121", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer = json(&ran.out);
    assert_eq!(
        (number(&answer, "/target_g"), &answer["target_mm"]),
        (121.0, &Value::Null)
    );
    let plans = answer["plans"].as_array().expect("plans");
    assert!(
        plans
            .iter()
            .all(|p| (number(p, "/mass_g") - 121.0).abs() <= 0.1)
    );
    assert!(!plans.is_empty());
}

#[test]
fn what_is_out_of_reach_is_told_and_still_answered() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("Plate")]);
    let out = folder.path().join("out.tangwright");
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "60",
        "--only-holes",
        "--json",
        "--apply",
        out
    ]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("can't be reached"), "{}", ran.err);
    assert!(
        ran.err.contains("web:") && ran.err.contains("not written"),
        "{}",
        ran.err
    );
    assert!(!out.exists());
    let answer = json(&ran.out);
    let most = number(&answer, "/reachable/1");
    assert!(most > 10.5 && most < 20.0, "{most}");
    assert!((number(&answer, "/plans/0/balance_mm") - most).abs() < 0.1);
    // Backward, holes behind the shoulder line are of no use.
    let ran = run(&arguments!["plan", file, "--balance", "-5", "--only-holes"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("side:"), "{}", ran.err);
    assert!(ran.out.contains("no plan comes nearer"), "{}", ran.out);
}

#[test]
fn a_plan_is_carried_out_in_a_file_of_its_own() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("Plate")]);
    let before = std::fs::read(&file).expect("it can be read");
    let out = folder.path().join("out.tangwright");
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11.2",
        "--apply",
        out
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!(ran.out.contains("fewest holes in"), "{}", ran.out);
    assert!((balance_of(&out) - 11.2).abs() <= 0.1);
    assert_eq!(std::fs::read(&file).expect("it can be read"), before);
    let (set, _) = open_design(&out).expect("it opens");
    let cuts = &set.knives[0].cut_outs;
    assert!(!cuts.is_empty());
    for cut in cuts {
        assert_eq!(cut.purpose, Purpose::Lightening);
        assert!(matches!(cut.shape, CutShape::Round { .. }));
    }
    // A file that is there is kept.
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11.2",
        "--apply",
        out
    ]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("there already"), "{}", ran.err);
    // Another plan by its name.
    let slot = folder.path().join("slot.tangwright");
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11.2",
        "--apply",
        slot,
        "--plan",
        "Slot"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let (set, _) = open_design(&slot).expect("it opens");
    assert!(matches!(
        set.knives[0].cut_outs[0].shape,
        CutShape::Slot { .. }
    ));
    // The file itself only when it is named.
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11.2",
        "--apply",
        file
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!((balance_of(&file) - 11.2).abs() <= 0.1);
    let ran = run(&arguments!["plan", file, "--balance", "11.2"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
}

#[test]
fn several_knives_ask_which() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("One"), tanged("Two")]);
    let ran = run(&arguments!["plan", file, "--balance", "11"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert!(
        ran.err.contains("'One'") && ran.err.contains("'Two'"),
        "{}",
        ran.err
    );
    let out = folder.path().join("out.tangwright");
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11",
        "--knife",
        "two",
        "--apply",
        out
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!(ran.out.starts_with("Two: "), "{}", ran.out);
    let (set, _) = open_design(&out).expect("it opens");
    assert!(set.knives[0].cut_outs.is_empty() && !set.knives[1].cut_outs.is_empty());
}

#[test]
fn rules_of_the_command_line_are_kept() {
    let folder = folder();
    let mut knife = tanged("Plate");
    hole(&mut knife, -50.0, 0.0, 5.0);
    let file = saved(folder.path(), vec![knife]);
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11.2",
        "--json",
        "--only-holes",
        "--drills",
        "5,1/4",
        "--rear",
        "-90",
        "--keep-off",
        "-80,0,3",
        "--most-holes",
        "6"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer = json(&ran.out);
    let mut seen = 0;
    for plan in answer["plans"].as_array().expect("plans") {
        let holes = plan["holes"].as_array().expect("holes");
        assert!(!holes.is_empty() && holes.len() <= 6);
        for hole in holes {
            seen += 1;
            let (x, y, d) = (
                number(hole, "/x_mm"),
                number(hole, "/y_mm"),
                number(hole, "/diameter_mm"),
            );
            assert!(d == 5.0 || d == 6.35, "{hole}");
            assert!(x - d / 2.0 >= -90.0 && (x + 80.0).hypot(y) >= 3.0 + d / 2.0 + 3.0 - 1e-9);
            assert!(
                (x + 50.0).hypot(y) - d / 2.0 - 2.5 >= d.max(5.0) - 1e-9,
                "{hole}"
            );
        }
    }
    assert!(seen > 2);
}

#[test]
fn wrong_use_is_refused() {
    let folder = folder();
    let file = saved(folder.path(), vec![tanged("Plate")]);
    let out = folder.path().join("out.tangwright");
    for wrong in [
        &[][..],
        &["--balance", "11", "--mass", "100"],
        &["--balance", "far"],
        &["--balance", "NaN"],
        &["--mass", "0"],
        &["--mass=-3"],
        &["--balance", "11", "--plan", "slot"],
        &["--balance", "11", "--drills", "30th"],
        &["--balance", "11", "--keep-off", "1,2"],
        &["--balance", "11", "--fill", "butter"],
        &["--balance", "11", "--knife", "nobody"],
        &["--balance", "11", "--most-holes", "0"],
    ] {
        let mut arguments = arguments!["plan", file];
        arguments.extend(wrong.iter().map(std::ffi::OsString::from));
        let ran = run(&arguments);
        assert_eq!(
            (ran.code, ran.out.as_str()),
            (Some(2), ""),
            "{wrong:?} {}",
            ran.err
        );
    }
    let ran = run(&arguments![
        "plan",
        file,
        "--balance",
        "11",
        "--apply",
        out,
        "--plan",
        "magic"
    ]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err.contains("choose one of fewest holes"),
        "{}",
        ran.err
    );
    assert_eq!(names_in(folder.path()), ["set.tangwright"]);
}
