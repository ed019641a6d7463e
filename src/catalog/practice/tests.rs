//! Tests of the rules of practice.

use std::collections::BTreeSet;

use super::super::drill::drill_named;
use super::*;

#[test]
fn every_embedded_row_is_sound() {
    let rows = parse(TABLE).expect("practice.csv must parse");
    assert_eq!(rows.len(), 154);
    let keys: BTreeSet<&str> = rows.iter().map(|row| row.key.as_str()).collect();
    assert_eq!(keys.len(), rows.len(), "keys must differ");
    for row in &rows {
        let (low, high) = row.range();
        assert!(low <= high, "{}", row.key);
        assert!(
            row.verified == Verified::Memory
                || row.source.contains("http")
                || row.source.contains("store id")
        );
    }
}

#[test]
fn every_use_has_its_sizes() {
    for purpose in BladeUse::ALL {
        let sizes = size_range(purpose);
        for (low, high) in [sizes.length_mm, sizes.height_mm, sizes.stock_mm] {
            assert!(
                low > 0.0 && low < high && high.is_finite(),
                "{}",
                purpose.label()
            );
        }
        // A blade is longer than high, and higher than thick.
        assert!(
            sizes.length_mm.0 > sizes.height_mm.1 && sizes.height_mm.0 > sizes.stock_mm.1,
            "{}",
            purpose.label()
        );
        assert_eq!(BladeUse::from_key(purpose.key()), Some(purpose));
    }
    assert_eq!(BladeUse::from_key("spoon"), None);
    let labels: BTreeSet<&str> = BladeUse::ALL
        .iter()
        .map(|purpose| purpose.label())
        .collect();
    assert_eq!(labels.len(), BladeUse::ALL.len());
}

#[test]
fn sizes_hold_published_knives() {
    let holds = |(low, high): (f64, f64), value: f64| low <= value && value <= high;
    // A published bowie: blade 8.25 in, stock 0.243 in, 16.0 oz; https://w.jayfisher.com/O1_Oil_Hardened_Blued_Beauty.htm
    let bowie = size_range(BladeUse::Bowie);
    assert!(holds(bowie.length_mm, 8.25 * 25.4) && holds(bowie.stock_mm, 0.243 * 25.4));
    assert!(holds(
        mass_range_g(BladeUse::Bowie).expect("mass"),
        16.0 * 28.349_523_125
    ));
    // A kitchen knife: blade 6 in; https://freepatentsgr.blogspot.com/2014/09/blog-post_55.html?m=1
    assert!(holds(size_range(BladeUse::Utility).length_mm, 6.0 * 25.4));
    // A hidden tang stays under the stub tang's width and over its length; http://www.rayrogers.com/stubtang.htm
    let stub = practice_rule("tang.stub.length").expect("stub").range();
    assert!(hidden_tang().length_mm.0 > stub.1 && hidden_tang().width_mm.0 < 12.7);
    assert!(hidden_tang().shoulder_radius_mm.0 > 0.0);
}

#[test]
fn mass_and_balance_are_given_where_there_is_a_rule() {
    assert_eq!(balance_range_mm(BladeUse::Hunter), Some((-25.0, 0.0)));
    assert_eq!(balance_range_mm(BladeUse::Chopper), Some((20.0, 60.0)));
    assert_eq!(balance_range_mm(BladeUse::Machete), None);
    assert_eq!(mass_range_g(BladeUse::Paring), Some((40.0, 90.0)));
    assert_eq!(mass_range_g(BladeUse::Carving), None);
    let counted =
        |of: fn(BladeUse) -> Option<(f64, f64)>| BladeUse::ALL.into_iter().filter_map(of).count();
    assert_eq!((counted(balance_range_mm), counted(mass_range_g)), (6, 8));
}

/// The finer the work, the thinner the edge.
#[test]
fn edges_are_left_as_the_use_wants() {
    let range = |purpose| edge_class(purpose).map(EdgeClass::range_mm);
    assert_eq!(range(BladeUse::Chef), Some((0.13, 0.25)));
    assert_eq!(range(BladeUse::Cleaver), None);
    let most = |purpose| range(purpose).expect("a range").1;
    let fine_to_coarse = [
        BladeUse::Carving,
        BladeUse::Paring,
        BladeUse::Hunter,
        BladeUse::Chopper,
    ];
    assert!(fine_to_coarse.map(most).is_sorted_by(|a, b| a < b));
}

#[test]
fn webs_follow_the_hole_and_the_stock() {
    assert_eq!(smallest_web_mm(6.0, 4.0), 6.0);
    assert_eq!(smallest_web_mm(2.0, 4.0), 4.0);
    // Bolted steel (AISC 360, J3.3): 2 2/3 d between centers leaves a web of 1 2/3 d, which is more, as it carries load.
    let pitch = practice_rule("bolt.pitch")
        .and_then(|rule| rule.low)
        .expect("pitch");
    assert!((pitch - 8.0 / 3.0).abs() < 1e-3);
    assert!(smallest_web_mm(6.0, 1.0) < (pitch - 1.0) * 6.0);
}

#[test]
fn pins_get_the_drills_makers_name() {
    // A 3/16 in pin in a 1/4 in hole; https://www.bladeforums.com/threads/peening-pins-and-handle-construction.1544794/
    let (low, high) = tang_hole_range_mm(3.0 / 16.0 * 25.4);
    assert!(low <= 6.35 && 6.35 <= high, "{low} {high}");
    assert_eq!(tang_hole_range_mm(4.0), (5.0, 6.0));
    // Rod, number or letter drill, metric drill.
    let named = [
        ("1/16", "#52", "1.6 mm"),
        ("3/32", "#41", "2.45 mm"),
        ("1/8", "#30", "3.25 mm"),
        ("5/32", "#21", "4.0 mm"),
        ("3/16", "#11", "4.8 mm"),
        ("1/4", "F", "6.4 mm"),
        ("5/16", "O", "8.0 mm"),
        ("3/8", "V", "9.6 mm"),
    ];
    for (rod, inch_drill, metric_drill) in named {
        let pin = drill_named(rod).expect(rod).diameter_mm;
        let fits = slip_fit_drills(pin);
        assert!(fits.is_sorted_by(|a, b| a.diameter_mm <= b.diameter_mm));
        let rule = practice_rule(&format!("pin.drill.{rod}")).expect(rod);
        for label in [inch_drill, metric_drill] {
            let drill = drill_named(label).expect(label);
            assert!(fits.contains(&drill), "{rod}: {label}");
            let (low, high) = rule.range();
            assert!(
                low <= drill.diameter_mm && drill.diameter_mm <= high,
                "{rod}: {label}"
            );
        }
        // The same nominal size does not enter.
        assert!(fits.iter().all(|drill| drill.diameter_mm > pin), "{rod}");
    }
    assert!(slip_fit_drills(f64::NAN).is_empty());
}

#[test]
fn cautions_are_sentences() {
    assert_eq!(cautions().count(), 24);
    for caution in cautions() {
        assert!(caution.text.ends_with('.'), "{}", caution.key);
        assert!(
            caution.text.starts_with(char::is_uppercase),
            "{}",
            caution.key
        );
    }
}

#[test]
fn bad_rows_are_refused() {
    let column = |line: &str| {
        let text = format!("key,value_low,value_high,unit,text,source,verified\n{line}\n");
        match parse(&text) {
            Err(TableError::Field { column, row: 1, .. }) => column,
            other => panic!("expected a named field, got {other:?}"),
        }
    };
    assert_eq!(column("a,2,1,mm,t,s,memory"), "value_high");
    assert_eq!(column("a,1,2,,t,s,memory"), "unit");
    assert_eq!(column("a,,,,t,s,memory"), "value_low");
    assert_eq!(column("a,1,2,mm,,s,memory"), "text");
    assert_eq!(column("a,x,2,mm,t,s,memory"), "value_low");
}
