//! `weigh` against numbers worked out by hand.

use std::f64::consts::PI;

use serde_json::Value;

use super::bench::{drilled_plate, folder, hole, near, number, plate, run, saved};

#[test]
fn json_holds_the_numbers_of_the_plate() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let ran = run(&arguments!["weigh", file, "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    // Composite areas: rectangle less four discs; A = 3000 − π(3·25 + 36)/4.
    let area = 3000.0 - PI * (3.0 * 25.0 + 36.0) / 4.0;
    near(area, 2_912.820_804, 1e-9, "the area worked out elsewhere");
    near(number(knife, "/steel/area_mm2"), area, 1e-12, "area");
    near(
        number(knife, "/steel/volume_mm3"),
        4.0 * area,
        1e-12,
        "volume",
    );
    let mass = number(knife, "/steel/drilled_mass_g");
    near(mass, 91.462_573_24, 1e-9, "mass");
    near(number(knife, "/steel/blank_mass_g"), 94.2, 1e-12, "blank");
    near(number(knife, "/steel/length_mm"), 120.0, 1e-12, "length");
    let cut = 2.0 * (120.0 + 25.0) + PI * (3.0 * 5.0 + 6.0);
    near(
        number(knife, "/steel/perimeter_mm"),
        cut,
        1e-12,
        "cut length",
    );
    near(
        number(knife, "/steel/balance_mm"),
        59.765_417_63,
        1e-9,
        "balance",
    );
    near(
        number(knife, "/steel/centroid_mm/0"),
        59.765_417_63,
        1e-9,
        "x",
    );
    near(
        number(knife, "/steel/centroid_mm/1"),
        12.524_267_14,
        1e-9,
        "y",
    );
    assert_eq!(number(knife, "/steel/centroid_mm/2"), 0.0);
    // Thickness 4 ± 0.1 and density 7.80 to 7.90 round 7.85.
    near(
        number(knife, "/steel/mass_band_g/0"),
        mass * 0.975 * 7.80 / 7.85,
        1e-12,
        "low",
    );
    near(
        number(knife, "/steel/mass_band_g/1"),
        mass * 1.025 * 7.90 / 7.85,
        1e-12,
        "high",
    );
    let balance = number(knife, "/steel/balance_mm");
    for end in ["/steel/balance_band_mm/0", "/steel/balance_band_mm/1"] {
        near(number(knife, end), balance, 1e-12, end);
    }
    near(number(knife, "/total/mass_g"), mass, 1e-12, "total");
    near(
        number(knife, "/total/balance_mm"),
        balance,
        1e-12,
        "total balance",
    );
    // One hole alone: π·25/4·4·7.85e-3 g, and a·(x − x_h)/(A − a).
    let first = &knife["cut_outs"][0];
    let a = PI * 25.0 / 4.0;
    near(number(first, "/area_mm2"), a, 1e-12, "hole area");
    near(
        number(first, "/removed_g"),
        a * 4.0 * 7.85e-3,
        1e-12,
        "removed",
    );
    assert_eq!(number(first, "/filling_g"), 0.0);
    let shift = a * (60.0 - 20.0) / (3000.0 - a);
    near(number(first, "/balance_shift_mm"), shift, 1e-9, "shift");
}

#[test]
fn json_holds_the_inertia_of_the_plate() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let ran = run(&arguments!["weigh", file, "--json"]);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    // Parallel axes (Steiner): polar moments about the common center, times grams per mm².
    let (cx, cy) = (59.765_417_63, 12.524_267_14);
    let shifted =
        |own: f64, area: f64, x: f64, y: f64| own + area * ((x - cx).powi(2) + (y - cy).powi(2));
    let disc = |d: f64, x: f64, y: f64| shifted(PI * d.powi(4) / 32.0, PI * d * d / 4.0, x, y);
    let rectangle = 3000.0 * (120.0_f64.powi(2) + 25.0_f64.powi(2)) / 12.0;
    let polar = shifted(rectangle, 3000.0, 60.0, 12.5)
        - disc(5.0, 20.0, 12.5)
        - disc(5.0, 50.0, 12.5)
        - disc(5.0, 80.0, 12.5)
        - disc(6.0, 105.0, 10.0);
    let inertia = polar * 4.0 * 7.85e-3;
    near(
        number(knife, "/steel/inertia_g_mm2"),
        inertia,
        1e-9,
        "inertia",
    );
}

#[test]
fn json_keeps_its_promised_shape() {
    let folder = folder();
    let file = saved(
        folder.path(),
        vec![drilled_plate(), plate("Bare", 100.0, 20.0, 3.0)],
    );
    let ran = run(&arguments!["weigh", file, "--json"]);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let keys = |value: &Value| -> Vec<String> {
        let object = value.as_object().expect("an object");
        let mut keys: Vec<String> = object.keys().cloned().collect();
        keys.sort();
        keys
    };
    assert_eq!(keys(&answer), ["knives"]);
    assert_eq!(answer["knives"].as_array().map(Vec::len), Some(2));
    let knife = &answer["knives"][0];
    assert_eq!(
        keys(knife),
        [
            "cut_outs",
            "error_bound",
            "grinds",
            "grip_mm",
            "layers",
            "missing",
            "name",
            "parts",
            "stages",
            "steel",
            "total"
        ]
    );
    assert_eq!(
        keys(&knife["steel"]),
        [
            "area_mm2",
            "balance_band_mm",
            "balance_mm",
            "blank_mass_g",
            "centroid_mm",
            "drilled_mass_g",
            "ground_balance_band_mm",
            "ground_balance_error_mm",
            "ground_balance_mm",
            "ground_centroid_mm",
            "ground_inertia_g_mm2",
            "ground_mass_band_g",
            "ground_mass_g",
            "ground_volume_mm3",
            "inertia_g_mm2",
            "length_mm",
            "mass_band_g",
            "perimeter_mm",
            "volume_mm3"
        ]
    );
    assert_eq!(
        keys(&knife["total"]),
        [
            "balance_band_mm",
            "balance_mm",
            "centroid_mm",
            "inertia_g_mm2",
            "mass_band_g",
            "mass_g"
        ]
    );
    let hole = &knife["cut_outs"][3];
    assert_eq!(
        keys(hole),
        [
            "area_mm2",
            "balance_shift_mm",
            "filling_g",
            "id",
            "kind",
            "purpose",
            "removed_g"
        ]
    );
    assert_eq!(hole["kind"], "round");
    assert_eq!(hole["purpose"], "lightening");
    assert!(hole["id"].is_string());
    assert_eq!(knife["name"], "Test plate");
    assert_eq!(knife["missing"], Value::Array(Vec::new()));
    // The order of names is part of the promise too: what comes first is read first.
    let place = |name: &str| ran.out.find(name).expect(name);
    assert!(
        place("\"steel\"") < place("\"cut_outs\"") && place("\"cut_outs\"") < place("\"total\"")
    );
}

/// Inertia by composite areas, `m·(l² + h²)/12` of the blank, and the physical pendulum's center of percussion for the hand that is told.
#[test]
fn stages_tell_inertia_and_percussion() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let ran = run(&arguments!["weigh", file, "--grip", "-20", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    assert_eq!(number(knife, "/grip_mm"), -20.0);
    let names: Vec<&str> = knife["stages"]
        .as_array()
        .expect("stages")
        .iter()
        .filter_map(|stage| stage["stage"].as_str())
        .collect();
    assert_eq!(names, ["blank as cut", "drilled", "ground", "finished"]);
    let inertia = 94.2 * (120.0_f64.powi(2) + 25.0_f64.powi(2)) / 12.0;
    near(
        number(knife, "/stages/0/inertia_g_mm2"),
        inertia,
        1e-12,
        "blank",
    );
    let percussion = 60.0 + inertia / (94.2 * 80.0);
    near(
        number(knife, "/stages/0/percussion_mm"),
        percussion,
        1e-12,
        "percussion",
    );
    let drilled = number(knife, "/stages/1/inertia_g_mm2");
    near(
        drilled,
        number(knife, "/steel/inertia_g_mm2"),
        1e-12,
        "drilled",
    );
    assert!(drilled < inertia);
    let ran = run(&arguments!["weigh", file, "--grip", "nan"]);
    assert_eq!(ran.code, Some(2));
}

#[test]
fn what_cannot_be_known_is_null_with_its_reason() {
    let folder = folder();
    let mut knife = plate("Overhang", 100.0, 30.0, 4.0);
    hole(&mut knife, 50.0, 29.0, 6.0);
    let file = saved(folder.path(), vec![knife]);
    let ran = run(&arguments!["weigh", file, "--json"]);
    assert_eq!(ran.code, Some(1));
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let knife = &answer["knives"][0];
    for path in [
        "/steel/area_mm2",
        "/steel/drilled_mass_g",
        "/total/mass_g",
        "/total/balance_mm",
        "/steel/mass_band_g",
    ] {
        assert_eq!(knife.pointer(path), Some(&Value::Null), "{path}");
    }
    near(
        number(knife, "/steel/blank_mass_g"),
        100.0 * 30.0 * 4.0 * 7.85e-3,
        1e-12,
        "blank",
    );
    let reason = knife["missing"][0].as_str().expect("a reason");
    assert!(reason.contains("reaches over"), "{reason}");
    assert!(ran.err.contains(reason), "{}", ran.err);
    assert!(
        ran.err.contains("set.tangwright") && ran.err.contains("Overhang"),
        "{}",
        ran.err
    );
    // The table says so too.
    let ran = run(&arguments!["weigh", file]);
    assert_eq!(ran.code, Some(1));
    assert!(
        ran.out.contains("missing: ") && ran.out.contains('—'),
        "{}",
        ran.out
    );
}

#[test]
fn the_table_is_for_reading() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    let ran = run(&arguments!["weigh", file]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let line = |start: &str| {
        let found = ran
            .out
            .lines()
            .find(|line| line.trim_start().starts_with(start));
        found
            .unwrap_or_else(|| panic!("{start} is not in {}", ran.out))
            .to_owned()
    };
    assert!(
        ran.out
            .starts_with("Test plate: full tang, 4.0 mm Test steel\n")
    );
    assert!(line("overall").ends_with("120.0 mm"));
    assert!(line("area").ends_with("2912.8 mm²"));
    assert!(line("pierces").ends_with('5'));
    // 91.46 g, and +3.2 % −3.1 %: 2.87 g to the wider side.
    assert!(line("drilled").ends_with("91 g ± 3"), "{}", line("drilled"));
    assert!(line("balance").ends_with("+59.8 mm"));
    let columns: Vec<usize> = ["overall", "area", "drilled"]
        .iter()
        .map(|name| line(name).chars().count())
        .collect();
    assert!(columns.iter().all(|c| *c == columns[0]), "{columns:?}");
    assert_eq!(
        ran.out
            .lines()
            .filter(|line| line.contains("lightening"))
            .count(),
        4
    );
    assert!(
        ran.out.lines().all(|line| line == line.trim_end()),
        "no blanks at line ends"
    );
}

#[test]
fn one_knife_can_be_asked_for() {
    let folder = folder();
    let knives = vec![
        plate("Brush chopper", 100.0, 30.0, 4.0),
        plate("Paring knife", 80.0, 20.0, 2.0),
        plate("Paring knife", 90.0, 20.0, 2.0),
    ];
    let file = saved(folder.path(), knives);
    let names = |name: &str| -> Vec<String> {
        let ran = run(&arguments!["weigh", file, "--json", "--knife", name]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
        let knives = answer["knives"].as_array().expect("a list");
        knives.iter().map(|k| k["name"].to_string()).collect()
    };
    assert_eq!(names("Brush chopper"), ["\"Brush chopper\""]);
    assert_eq!(names("brush CHOPPER"), ["\"Brush chopper\""]);
    assert_eq!(names("Paring knife").len(), 2);
    let ran = run(&arguments!["weigh", file, "--knife", "paring nife"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert!(
        ran.err
            .contains("no knife 'paring nife': name one of 'Paring knife', 'Brush chopper'"),
        "{}",
        ran.err
    );
}
