//! `table` against numbers worked out by hand.

use super::bench::{folder, plate, run, saved};

/// Three plates of 7.85 g/cm³: 120 × 25 × 4 is 94.2 g, 200 × 30 × 4 is 188.4 g, 100 × 20 × 2 is 31.4 g; each balances at its middle.
fn three() -> (tempfile::TempDir, std::path::PathBuf) {
    let folder = folder();
    let plates = vec![
        plate("middling", 120.0, 25.0, 4.0),
        plate("large", 200.0, 30.0, 4.0),
        plate("small", 100.0, 20.0, 2.0),
    ];
    let file = saved(folder.path(), plates);
    (folder, file)
}

fn cells(csv: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(csv.as_bytes());
    let records = reader.records();
    records
        .map(|r| r.expect("a line").iter().map(str::to_owned).collect())
        .collect()
}

#[test]
fn csv_holds_the_plates_in_the_order_asked_for() {
    let (_folder, file) = three();
    let ran = run(&arguments![
        "table",
        &file,
        "--csv",
        "--by",
        "finished",
        "--falling"
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let cells = cells(&ran.out);
    let names: Vec<&str> = cells[1..4].iter().map(|row| row[0].as_str()).collect();
    assert_eq!(names, ["large", "middling", "small"]);
    let large = &cells[1];
    assert_eq!(large[2..7], ["4.00", "200.00", "200.00", "30.00", "188.4"]);
    assert_eq!(large[8..10], ["188.4", "100.00"]);
    // m·(a² + b²)/12 of a plate: 188.4·(200² + 30²)/12 g·mm² = 6.42 kg·cm².
    assert_eq!(large[10], "6.42");
}

/// Two of each: 2·(120 + 200) mm of a bar 30 wide and 4 thick, 640·30·4 mm³ of 7.85 g/cm³ = 602.88 g; 200 mm of the thin one.
#[test]
fn the_bar_of_all_copies_is_told() {
    let (_folder, file) = three();
    let ran = run(&arguments!["table", &file, "--csv", "--count", "2"]);
    let cells = cells(&ran.out);
    let bars = &cells[5..];
    assert_eq!(bars.len(), 2);
    assert_eq!(
        bars[0][1..7],
        ["cut", "4.00", "30.0", "640.0", "602.9", "4"]
    );
    assert_eq!(bars[0][7], "middling; large");
    assert_eq!(bars[1][2..7], ["2.00", "20.0", "200.0", "62.8", "2"]);
}

#[test]
fn people_get_columns_and_wrong_use_is_told() {
    let (_folder, file) = three();
    let ran = run(&arguments!["table", &file, "--by", "overall"]);
    assert_eq!(ran.code, Some(0));
    let places: Vec<Option<usize>> = ["small", "middling", "large", "bar needed"]
        .iter()
        .map(|word| ran.out.find(word))
        .collect();
    assert!(places.iter().all(Option::is_some), "{}", ran.out);
    assert!(places.is_sorted(), "{}", ran.out);
    for wrong in [
        &["--falling"][..],
        &["--by", "colour"],
        &["--count", "spoon=2"],
    ] {
        let mut arguments = arguments!["table", &file];
        arguments.extend(wrong.iter().map(Into::into));
        assert_eq!(run(&arguments).code, Some(2), "{wrong:?}");
    }
}
