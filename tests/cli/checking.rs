//! `check`: findings in words and as JSON, and the exit code they lead to.

use serde_json::Value;

use super::bench::{at_home, folder, hole, plate, run, saved, written};

#[test]
fn warnings_are_told_and_no_failure() {
    // A 4 mm hole at y = 5.1 of a 5 mm plate: web 3.1 mm, 1.9 short.
    let folder = folder();
    let mut knife = plate("Thin", 100.0, 50.0, 5.0);
    hole(&mut knife, 44.0, 5.1, 4.0);
    let file = saved(folder.path(), vec![knife]);
    let ran = run(&arguments!["check", file]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    assert!(ran.out.starts_with("Thin\n  warn  "), "{}", ran.out);
    assert!(ran.out.contains("Move it 1.90 mm in."), "{}", ran.out);
    let ran = run(&arguments!["check", file, "--json"]);
    assert_eq!(ran.code, Some(0));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    assert_eq!(knife["name"], "Thin");
    let first = &knife["findings"][0];
    let object = first.as_object().expect("an object");
    let mut keys: Vec<&str> = object.keys().map(String::as_str).collect();
    keys.sort_unstable();
    assert_eq!(
        keys,
        ["code", "mend", "place_mm", "severity", "what", "why"]
    );
    assert_eq!(first["severity"], "warn");
    assert_eq!(first["code"], "web-outline");
    assert_eq!(first["mend"], "Move it 1.9 mm in");
    assert!(
        first["what"]
            .as_str()
            .is_some_and(|what| what.contains("3.1 mm"))
    );
    assert!(first["why"].as_str().is_some_and(|why| !why.is_empty()));
    // Halfway across the web: x = 44, y = 3.1 / 2.
    let place = |i: usize| first["place_mm"][i].as_f64().expect("a number");
    assert!((place(0) - 44.0).abs() < 1e-9 && (place(1) - 1.55).abs() < 1e-9);
    let findings = knife["findings"].as_array().expect("a list");
    let place_of = |code: &str| {
        let found = findings.iter().find(|f| f["code"] == code);
        found.map(|f| f["place_mm"].clone())
    };
    // Drilling is told at the first opening's middle.
    let middle = place_of("drill-before-hardening").expect("it is told");
    assert_eq!(middle[0], 44.0);
    // What has no place has null.
    assert_eq!(place_of("landmark-missing"), Some(Value::Null));
}

#[test]
fn a_stop_is_exit_1_and_named_on_the_other_stream() {
    let folder = folder();
    let good = plate("Good", 100.0, 50.0, 5.0);
    let mut bad = plate("Bad", 100.0, 50.0, 5.0);
    hole(&mut bad, 50.0, 49.0, 6.0);
    let file = saved(folder.path(), vec![good, bad]);
    for arguments in [
        arguments!["check", file],
        arguments!["check", file, "--json"],
    ] {
        let ran = run(&arguments);
        assert_eq!(ran.code, Some(1));
        assert!(ran.out.contains("reaches over the outline"), "{}", ran.out);
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
        for word in ["set.tangwright", "Bad", "stop", "Move it"] {
            assert!(ran.err.contains(word), "{word}: {}", ran.err);
        }
    }
}

#[test]
fn a_starter_has_nothing_that_stops_it() {
    for form in tangwright::knife::starter_forms() {
        let folder = folder();
        let file = folder.path().join("new.tangwright");
        let ran = run(&arguments!["new", form.key, "--out", file]);
        assert_eq!(ran.code, Some(0), "{}: {}", form.key, ran.err);
        let ran = run(&arguments!["check", file]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", form.key);
        assert!(
            !ran.out.contains("  stop  ") && !ran.out.contains("  warn  "),
            "{}",
            ran.out
        );
    }
}

#[test]
fn checks_go_by_the_shop_s_own_figures() {
    // A 4 mm hole with a web of 5 mm to the lower side: as thick as the bar, so nothing is found by the usual figures.
    let folder = folder();
    let mut knife = plate("Webbed", 100.0, 50.0, 5.0);
    hole(&mut knife, 44.0, 7.0, 4.0);
    let file = saved(folder.path(), vec![knife]);
    let config = folder.path().join("config");
    std::fs::create_dir(&config).expect("a folder can be made");
    let check = |thresholds: &str| {
        let settings = format!("{{\"tangwright_settings\":1,\"thresholds\":{thresholds}}}");
        written(&config, "settings.json", settings.as_bytes());
        at_home(folder.path(), &arguments!["check", file])
    };
    let usual = check("{}");
    assert_eq!((usual.code, usual.err.as_str()), (Some(0), ""));
    assert!(!usual.out.contains("web"), "{}", usual.out);
    // A shop that wants one and a half thicknesses: 7.5 mm, 2.5 more than there are.
    let strict = check("{\"web-thicknesses\":1.5}");
    assert_eq!((strict.code, strict.err.as_str()), (Some(0), ""));
    assert!(strict.out.contains("Move it 2.50 mm in."), "{}", strict.out);
    // What can't be meant is told, and does no harm.
    let odd = check("{\"web-thicknesses\":-3}");
    assert_eq!((odd.code, odd.out), (Some(0), usual.out));
    assert!(
        odd.err.contains("'Web, in stock thicknesses' can't be -3"),
        "{}",
        odd.err
    );
}

/// A bevel of 20 to an edge of 0.5 mm on the bar of 5 mm: as the usual oil wants it. A shop whose oil wants 0.8 reads a note, one whose plates want 0.7 a warning.
#[test]
fn checks_of_a_grind_go_by_the_shop_s_own_figures() {
    let folder = folder();
    let mut knife = super::ground::bar();
    knife.stock.layering.outer.clear();
    knife.grinding.taper = None;
    let file = saved(folder.path(), vec![knife]);
    let config = folder.path().join("config");
    std::fs::create_dir(&config).expect("a folder can be made");
    let check = |thresholds: &str| {
        let settings = format!("{{\"tangwright_settings\":1,\"thresholds\":{thresholds}}}");
        written(&config, "settings.json", settings.as_bytes());
        let ran = at_home(folder.path(), &arguments!["check", file]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
        ran.out
    };
    assert!(!check("{}").contains("before the quench"));
    let oil = check("{\"oil-edge\":0.8}");
    assert!(
        oil.contains("leaves 0.50 mm before the quench") && oil.contains("oil wants 0.80 mm"),
        "{oil}"
    );
    let plates = check("{\"oil-edge\":0.8,\"plate-edge\":0.7}");
    assert!(
        plates.contains("0.70 mm is the least for plates"),
        "{plates}"
    );
}
