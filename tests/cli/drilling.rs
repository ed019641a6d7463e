//! `drills`: the drills for a pin.

use serde_json::Value;

use super::bench::{near, number, run};

/// 1/8 inch is 3.175 mm; number 30 is 0.1285 inch (drill tables of any machinist's handbook), so 0.0889 mm over it.
#[test]
fn drills_for_a_pin_are_told_with_their_clearance() {
    let ran = run(&arguments!["drills", "1/8in", "--show", "8", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    near(number(&answer, "/pin_mm"), 3.175, 1e-12, "pin");
    let fits: Vec<&str> = answer["fits"]
        .as_array()
        .expect("fits")
        .iter()
        .filter_map(|fit| fit["fit"].as_str())
        .collect();
    assert_eq!(fits, ["tight", "slip", "peened"]);
    let find = |fit: usize, mm: f64| -> Value {
        let drills = answer["fits"][fit]["drills"].as_array().expect("drills");
        let found = drills
            .iter()
            .find(|d| (d["diameter_mm"].as_f64().unwrap() - mm).abs() < 1e-9);
        found
            .unwrap_or_else(|| panic!("no {mm} in {drills:?}"))
            .clone()
    };
    let own = find(0, 3.175);
    assert_eq!(
        (own["drill"].as_str(), own["fits"].as_bool()),
        (Some("1/8"), Some(true))
    );
    assert_eq!(number(&own, "/clearance_mm"), 0.0);
    let slip = find(1, 0.1285 * 25.4);
    near(
        number(&slip, "/clearance_mm"),
        0.1285 * 25.4 - 3.175,
        1e-9,
        "clearance",
    );
    assert_eq!(slip["fits"], true);
    // The table says the same.
    let ran = run(&arguments!["drills", "1/8in"]);
    assert_eq!(ran.code, Some(0));
    assert!(
        ran.out.contains("hole less pin") && ran.out.contains("peened"),
        "{}",
        ran.out
    );
}

#[test]
fn what_is_no_pin_is_refused() {
    for pin in ["0", "nan", "thick", "1/0in", "-3"] {
        let ran = run(&arguments!["drills", "--", pin]);
        assert_eq!(ran.code, Some(2), "{pin}");
        assert!(
            !ran.err.is_empty() && ran.out.is_empty(),
            "{pin}: {}",
            ran.err
        );
    }
}
