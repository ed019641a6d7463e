//! `strength` against a plate worked out by hand.

use serde_json::Value;

use super::bench::{drilled_plate, folder, plate, run, saved};

/// A plate 120 × 25 × 4 from the shoulder line on, held in a vise at its rear end, 200 N at the other: M = 24 N·m, edgewise Z = 4·625/6, flatwise
/// 25·16/6. Its hole of 5 leaves 20 of 25 flatwise and 25³ − 5³ of 25³ edgewise.
#[test]
fn json_holds_the_sections_of_the_plate() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let ran = run(&arguments!["strength", file, "--load", "200", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let number = |path: &str| {
        let value = answer.pointer(path).and_then(Value::as_f64);
        value.unwrap_or_else(|| panic!("{path} is no number"))
    };
    let near = |path: &str, wanted: f64| {
        let found = number(path);
        assert!(
            (found - wanted).abs() < 1e-9 * wanted.abs(),
            "{path}: {found}, not {wanted}"
        );
    };
    near("/knives/0/force_n", 200.0);
    near("/knives/0/load_mm", 120.0);
    near("/knives/0/stations/0/moment_nmm", 24_000.0);
    near("/knives/0/stations/0/area_mm2", 100.0);
    near("/knives/0/stations/0/edgewise_mm3", 4.0 * 625.0 / 6.0);
    near("/knives/0/stations/0/flatwise_mm3", 25.0 * 16.0 / 6.0);
    near(
        "/knives/0/weakest_edgewise/edgewise_peak_mpa",
        24_000.0 / (4.0 * 625.0 / 6.0),
    );
    near("/knives/0/openings/0/flatwise_kept", 0.8);
    near("/knives/0/openings/0/edgewise_kept", 1.0 - 1.0 / 125.0);
    assert_eq!(answer["knives"][0]["weakest_flatwise"]["what"], "cut-out");
    let caution = answer["caution"].as_str().expect("a caution");
    assert!(caution.contains("not a promise"), "{caution}");
}

#[test]
fn the_table_marks_the_weakest_section() {
    let folder = folder();
    let file = saved(
        folder.path(),
        vec![drilled_plate(), plate("Other", 100.0, 20.0, 3.0)],
    );
    let ran = run(&arguments!["strength", file, "--at", "60"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    for line in [
        "Test plate: 100 N at",
        "Other: 100 N at",
        "weakest edgewise",
        "keeps flatwise",
    ] {
        assert!(ran.out.contains(line), "{line}: {}", ran.out);
    }
    assert!(
        ran.out.trim_end().ends_with("nothing is certified"),
        "{}",
        ran.out
    );
    let ran = run(&arguments!["strength", file, "--knife", "other"]);
    assert!(!ran.out.contains("Test plate"), "{}", ran.out);
}

#[test]
fn loads_that_are_none_are_refused() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    for wrong in [&["--load", "0"][..], &["--load=-5"], &["--at", "middle"]] {
        let mut arguments = arguments!["strength", file];
        arguments.extend(wrong.iter().map(std::ffi::OsString::from));
        let ran = run(&arguments);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{wrong:?}");
    }
    let ran = run(&arguments!["strength", file, "--at", "-3"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("not ahead of the hold"), "{}", ran.err);
}
