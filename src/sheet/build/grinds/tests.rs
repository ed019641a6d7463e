//! Grind numbers by station against the geometry of flats: the angle of a flat that rises from half the edge to half the bar over its height.

use super::*;
use crate::knife::{Cut, KnifeSet, Sides, orchard_set};
use crate::sheet::build::{BuildOptions, BuildStep};

fn table_of(knife: &Knife, set: &KnifeSet, place: usize) -> BuildTable {
    let work = Work::new(knife, set, BuildOptions::default());
    match grind_item(&work, place, &knife.grinding.grinds[place]) {
        Item::Table(table) => table,
        Item::Line(line) => panic!("a table, not {line}"),
    }
}

fn number(cell: &str) -> f64 {
    let plain = cell.trim_end_matches('°').replace('\u{2212}', "-");
    plain.parse().unwrap_or_else(|_| panic!("{cell}"))
}

/// The chopper's false edge is flat: at each station tan(angle) = (T/2 − e/2)/h, T being the tapered bar there.
#[test]
fn angle_height_and_thickness_of_a_flat_agree() {
    let set = orchard_set();
    let knife = &set.knives[0];
    let grind = &knife.grinding.grinds[1];
    let table = table_of(knife, &set, 1);
    assert_eq!(table.columns, ["at, mm", "bar thick", "high", "angle"]);
    assert!(table.rows.len() >= 5, "{table:?}");
    for row in &table.rows {
        let (x, thick, high, angle) = (
            number(&row[0]),
            number(&row[1]),
            number(&row[2]),
            number(&row[3]),
        );
        // The place is printed to a tenth of a millimeter, over which the taper takes less than a hundredth.
        assert!((thick - knife.thickness_at(x)).abs() < 0.006, "{row:?}");
        // Heights are printed to a tenth, angles to a tenth of a degree.
        let slope = |high: f64| ((thick - grind.edge_mm) / 2.0 / high).atan().to_degrees();
        let (least, most) = (slope(high + 0.05) - 0.2, slope(high - 0.05) + 0.2);
        assert!((least..=most).contains(&angle), "{row:?}: {least}..{most}");
    }
}

/// The chopper's false edge was given 4, 6.5, 5.5 and 3 mm at its stations.
#[test]
fn the_makers_own_stations_are_told() {
    let set = orchard_set();
    let table = table_of(&set.knives[0], &set, 1);
    let heights: Vec<f64> = table.rows.iter().map(|row| number(&row[2])).collect();
    for wanted in [4.0, 6.5, 5.5, 3.0] {
        assert!(
            heights.iter().any(|h| (h - wanted).abs() < 0.051),
            "{wanted} in {heights:?}"
        );
    }
    let places: Vec<f64> = table.rows.iter().map(|row| number(&row[0])).collect();
    assert!(
        places.windows(2).all(|pair| pair[0] < pair[1]),
        "{places:?}"
    );
}

/// Ground on the right face only, nothing is told of the left; ground on both unlike, both are.
#[test]
fn each_face_is_told_where_they_differ() {
    let set = orchard_set();
    let grafting = table_of(&set.knives[1], &set, 0);
    assert_eq!(grafting.columns.len(), 4);
    assert!(
        grafting.rows.iter().all(|row| row[2] != MISSING),
        "{grafting:?}"
    );
    let mut knife = Knife::clone(&set.knives[3]);
    let Sides::Both(cut) = knife.grinding.grinds[0].sides.clone() else {
        panic!("ground on both faces");
    };
    knife.grinding.grinds[0].sides = Sides::Each {
        right: cut.clone(),
        left: Cut {
            rise: Rise::even_height(9.0),
            ..cut
        },
    };
    let table = table_of(&knife, &set, 0);
    assert_eq!(table.columns.len(), 6, "{table:?}");
    let middle = &table.rows[table.rows.len() / 2];
    assert!((number(&middle[4]) - 9.0).abs() < 0.06, "{middle:?}");
}

/// T = 2.5 mm, e, ground on one face: the edge lies on the left face, so its lines are T − e and T off the right face.
#[test]
fn scribing_lines_of_a_chisel_are_told_off_both_faces() {
    let set = orchard_set();
    let knife = &set.knives[1];
    let work = Work::new(knife, &set, BuildOptions::default());
    let found = scribe(&work);
    let Item::Table(table) = &found[0] else {
        panic!("a table");
    };
    let edge = knife.grinding.grinds[0].edge_mm;
    for row in &table.rows {
        assert!((number(&row[1]) - 2.5).abs() < 1e-9);
        assert!((number(&row[2]) - (2.5 - edge)).abs() < 0.006, "{row:?}");
        assert!((number(&row[4]) - 2.5).abs() < 0.006, "{row:?}");
        assert!(
            (number(&row[5])).abs() < 0.006 && (number(&row[6]) - edge).abs() < 0.006,
            "{row:?}"
        );
    }
}

#[test]
fn a_grind_that_runs_nowhere_is_told_in_a_line() {
    let set = orchard_set();
    let mut knife = Knife::clone(&set.knives[3]);
    let from = knife.grinding.grinds[0].run.from;
    knife.landmarks.retain(|l| l.kind != from);
    let work = Work::new(&knife, &set, BuildOptions::default());
    let items = grind_soft(&work);
    assert!(
        matches!(&items[0], Item::Line(line) if line.contains("high") || line.contains('°')),
        "{items:?}"
    );
}

/// Bar and edge of the chopper by hand: 3 mm at the butt, and so on, straight between its stations.
fn thickness(knife: &Knife, x: f64) -> f64 {
    let stations = &knife.grinding.taper.as_ref().unwrap().stations;
    let (first, last) = (stations.first().unwrap(), stations.last().unwrap());
    let pair = stations
        .windows(2)
        .find(|pair| (pair[0].x_mm..=pair[1].x_mm).contains(&x));
    match pair {
        Some([a, b]) => {
            let t = (x - a.x_mm) / (b.x_mm - a.x_mm);
            a.thickness_mm + t * (b.thickness_mm - a.thickness_mm)
        }
        _ if x < first.x_mm => first.thickness_mm,
        _ => last.thickness_mm,
    }
}

/// The chopper is scribed in three tables: its edge and its false edge, each with its middle at T/2 and its lines at (T ∓ e)/2 off either face, and what the taper takes,
/// (T₀ − T)/2 off each, by station. The caution stands beside them.
#[test]
fn edge_false_edge_and_taper_are_scribed_by_station() {
    let set = orchard_set();
    let knife = set.knives[0].as_ref();
    let steps = crate::sheet::build::build_steps([knife], &set, BuildOptions::default());
    let step = steps
        .iter()
        .find(|step| step.heading == "Scribe before grinding")
        .unwrap();
    assert_eq!(
        step.cautions,
        ["Scribe the lines on every edge before any grinding starts."]
    );
    let tables: Vec<&BuildTable> = step.shares[0].tables().collect();
    let [edge, false_edge, taper] = tables[..] else {
        panic!("{} tables", tables.len());
    };
    for (table, place) in [(edge, 0), (false_edge, 1)] {
        let grind = &knife.grinding.grinds[place];
        assert!(
            table
                .title
                .starts_with(&format!("{}: edge left", grind.name)),
            "{}",
            table.title
        );
        assert!(table.title.contains("off either face"), "{}", table.title);
        let columns = ["at", "thick", "near line", "middle", "far line"];
        assert_eq!(table.columns, columns);
        assert!(table.rows.len() >= 2, "{table:?}");
        for row in &table.rows {
            let cells: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
            // Places are printed to a tenth, over which the taper takes less than 0.003 mm.
            let t = thickness(knife, cells[0]);
            let e = grind.edge_mm;
            let wanted = [t, (t - e) / 2.0, t / 2.0, (t + e) / 2.0];
            for (found, wanted) in cells[1..].iter().zip(wanted) {
                assert!((found - wanted).abs() < 0.009, "{row:?}: {wanted}");
            }
        }
    }
    // The edge runs over a bend of the taper: its stations within the run are rows.
    let (from, to) = knife
        .run_path(knife.grinding.grinds[0].run)
        .unwrap()
        .reach_mm();
    let stations = &knife.grinding.taper.as_ref().unwrap().stations;
    for station in stations.iter().filter(|s| (from..=to).contains(&s.x_mm)) {
        let told = edge
            .rows
            .iter()
            .any(|row| (number(&row[0]) - station.x_mm).abs() < 0.06);
        assert!(told, "{station:?} in {:?}", edge.rows);
    }
    assert_eq!(taper.columns, ["at", "thick", "off right", "off left"]);
    for station in stations {
        let row = taper
            .rows
            .iter()
            .find(|row| (number(&row[0]) - station.x_mm).abs() < 0.06);
        let row = row.unwrap_or_else(|| panic!("{station:?} in {:?}", taper.rows));
        let off = (knife.stock.thickness_mm - station.thickness_mm) / 2.0;
        for (cell, wanted) in row[1..].iter().zip([station.thickness_mm, off, off]) {
            assert!((number(cell) - wanted).abs() < 0.006, "{row:?}: {wanted}");
        }
    }
}

/// The picnic knife's core of 0.9 in 2.4 mm ends 0.75 below either face.
#[test]
fn the_core_of_a_laminated_bar_is_scribed_too() {
    let set = orchard_set();
    let work = Work::new(&set.knives[2], &set, BuildOptions::default());
    let found = scribe(&work);
    let Item::Table(table) = &found[0] else {
        panic!("a table");
    };
    assert_eq!(table.columns[5..], ["core, right", "core, left"]);
    for row in &table.rows {
        assert!((number(&row[1]) - 2.4).abs() < 1e-9, "{row:?}");
        assert!((number(&row[5]) - 0.75).abs() < 1e-9, "{row:?}");
        assert!((number(&row[6]) - 0.75).abs() < 1e-9, "{row:?}");
    }
}

fn hard(knife: &Knife, place: usize) -> Knife {
    let mut knife = knife.clone();
    knife.grinding.grinds[place].after_hardening = true;
    knife
}

/// The chopper with its bevel ground hard: that grind, its caution and the weighing of the ground blade come after the fire; taper and false edge stay before it.
#[test]
fn what_is_ground_hard_is_told_after_the_fire_and_not_before() {
    let set = orchard_set();
    let told =
        |knife: &Knife| crate::sheet::build::build_steps([knife], &set, BuildOptions::default());
    let plain = told(&set.knives[0]);
    let chopper = hard(&set.knives[0], 0);
    let steps = told(&chopper);
    let place = |heading: &str| steps.iter().position(|s| s.heading == heading).unwrap();
    let (soft, fire, late) = (
        place("Grind"),
        place("Heat treatment"),
        place("Grind after hardening"),
    );
    assert!(soft < fire && fire + 1 == late);
    let tables =
        |step: &BuildStep| -> Vec<BuildTable> { step.shares[0].tables().cloned().collect() };
    let before = plain.iter().find(|s| s.heading == "Grind").unwrap();
    let [bevel, false_edge] = &tables(before)[..] else {
        panic!("bevel and false edge");
    };
    assert!(bevel.title.starts_with("bevel") && false_edge.title.starts_with("false edge"));
    assert_eq!(tables(&steps[soft]), std::slice::from_ref(false_edge));
    assert_eq!(tables(&steps[late]), std::slice::from_ref(bevel));
    let lines =
        |step: &BuildStep| -> Vec<String> { step.shares[0].lines().map(str::to_owned).collect() };
    let [taper] = &lines(&steps[soft])[..] else {
        panic!(
            "the taper alone, not weighed yet: {:?}",
            lines(&steps[soft])
        );
    };
    assert!(taper.starts_with("taper first"), "{taper}");
    // The blade is ground once both are done, so that line is the same.
    let [cool, weighed] = &lines(&steps[late])[..] else {
        panic!("{:?}", lines(&steps[late]));
    };
    assert_eq!(cool, "Keep the steel cool: bare hands, frequent water");
    assert_eq!(Some(weighed), lines(before).last());
    let cool = |step: &BuildStep| {
        let of = |c: &&String| c.starts_with("After hardening grind cool");
        step.cautions.iter().filter(of).count()
    };
    assert_eq!((cool(&steps[soft]), cool(&steps[late])), (0, 1));
}

/// The paring knife ground all hard: the guard's seat is still filed while the steel is soft. Without a guard nothing is left to do before the fire.
#[test]
fn the_seat_of_a_guard_is_filed_soft_whatever_is_ground_hard() {
    let set = orchard_set();
    let told = |knife: &Knife| {
        let knife = hard(knife, 0);
        crate::sheet::build::build_steps([&knife], &set, BuildOptions::default())
    };
    let paring = told(&set.knives[3]);
    let soft = paring.iter().find(|s| s.heading == "Grind").unwrap();
    let lines: Vec<&str> = soft.shares[0].lines().collect();
    assert_eq!(
        lines,
        ["File the guard's seat square on the shoulders now, while the steel is soft"]
    );
    assert_eq!(soft.shares[0].tables().count(), 0);
    let grafting = told(&set.knives[1]);
    assert!(grafting.iter().all(|s| s.heading != "Grind"));
    assert!(
        grafting
            .iter()
            .any(|s| s.heading == "Grind after hardening")
    );
}
