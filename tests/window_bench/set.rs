//! The set in the window: side by side, one over the other, the table, copying, shared materials, the way out.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::common::{press, window};
use crate::filed::{at_home, write_into};
use tangwright::edit::Carried;
use tangwright::knife::{Knife, KnifeSet, orchard_set};
use tangwright::weighing::{BarWork, bars_needed, weigh};
use tangwright::window::{BenchPage, Workshop};

type Window = Harness<'static, Workshop>;

pub(crate) fn at_the_set(set: KnifeSet) -> Window {
    let mut window = window(Workshop::new(set));
    press(&mut window, Modifiers::NONE, Key::F9);
    assert_eq!(window.state().session().page, BenchPage::Set);
    window
}

/// Names of the rows of the table from top to bottom: only a row tells a depth.
fn rows(window: &Window) -> Vec<String> {
    let mut rows: Vec<(f32, String)> = window
        .get_all_by_role(Role::Button)
        .filter_map(|node| {
            let label = node.accesskit_node().label()?;
            let (name, _) = label.split_once(", thick ")?;
            Some((node.rect().top(), name.to_owned()))
        })
        .collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows.into_iter().map(|(_, name)| name).collect()
}

#[test]
fn the_table_is_put_in_the_order_of_a_heading_and_back() {
    let set = orchard_set();
    let in_rack: Vec<String> = set.knives.iter().map(|k| k.name.clone()).collect();
    let mut by_mass: Vec<(f64, String)> = set
        .knives
        .iter()
        .map(|k| (weigh(k, &set).total.unwrap().mass_g, k.name.clone()))
        .collect();
    by_mass.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rising: Vec<String> = by_mass.into_iter().map(|(_, name)| name).collect();
    let mut window = at_the_set(set);
    assert_eq!(rows(&window), in_rack);
    window.get_by_label("order by finished").click();
    window.run();
    assert_eq!(rows(&window), rising);
    window.get_by_label("order by finished, rising").click();
    window.run();
    let falling: Vec<String> = rising.into_iter().rev().collect();
    assert_eq!(rows(&window), falling);
    window.get_by_label("order by finished, falling").click();
    window.run();
    assert_eq!(rows(&window), in_rack);
}

#[test]
fn numbers_of_the_table_are_those_of_the_weigh_up() {
    let set = orchard_set();
    let window = at_the_set(set.clone());
    for knife in &set.knives {
        let up = weigh(knife, &set);
        let start = format!("{}, thick ", knife.name);
        let row = window.get_by_label_contains(&start);
        let label = row.accesskit_node().label().unwrap();
        let overall = format!("overall {:.1} mm", up.steel.extent.overall_mm);
        assert!(label.contains(&overall), "{label}: {overall}");
        let grams = up.total.unwrap().mass_g;
        let told = label.split("finished ").nth(1).unwrap();
        let told: f64 = told.split(' ').next().unwrap().parse().unwrap();
        assert!((told - grams).abs() < 0.02 * grams, "{label}: {grams}");
    }
}

#[test]
fn a_click_takes_a_knife_and_keys_reach_every_row() {
    let set = orchard_set();
    let last = set.knives[3].clone();
    let mut window = at_the_set(set);
    let start = format!("{}, thick ", last.name);
    window.get_by_label_contains(&start).click();
    window.run();
    assert_eq!(window.state().session().knife, Some(last.id));
    window.get_by_label("order by knife").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(window.state().session().set.sort.is_some());
    // The large drawing of a knife is clicked as well.
    let first = window.state().history().set().knives[0].clone();
    let start = format!("{}  ·  ", first.name);
    window.get_by_label_contains(&start).click();
    window.run();
    assert_eq!(window.state().session().knife, Some(first.id));
}

#[test]
fn two_lie_one_over_the_other_with_balance_and_mass_along_them() {
    let mut window = at_the_set(orchard_set());
    window.get_by_label("One over the other").click();
    window.run();
    let told = |window: &Window| {
        let node = window.get_by_label("one over the other");
        node.accesskit_node().value().unwrap()
    };
    let words = told(&window);
    assert!(
        words.contains("Brush chopper (full)") && words.contains("Grafting knife (dashed)"),
        "{words}"
    );
    assert!(
        words.contains("steel along the knife, at most") && words.contains("to the cm"),
        "{words}"
    );
    window
        .get_by_role_and_label(Role::ComboBox, "Brush chopper compared with")
        .click();
    window.run();
    let other = window.state().history().set().knives[3].name.clone();
    let option = window.get_all_by_label(&other).last().unwrap();
    option.click();
    window.run();
    assert!(told(&window).contains(&format!("{other} (dashed)")));
}

/// What is copied stands on the knife it is copied from, and the other is without it or has another.
#[test]
fn grind_holes_and_handle_are_copied_in_one_step_each() {
    for what in Carried::ALL {
        let mut set = orchard_set();
        let here = set.knives[0].id;
        let source = set.knives[1..].iter().find(|k| what.is_on(k));
        let from = source.map(|k| k.id).unwrap();
        bare(Arc::make_mut(&mut set.knives[0]), what);
        let mut window = at_the_set(set.clone());
        window.state_mut().session_mut().set.with = Some(from);
        window.run();
        window
            .get_by_label(&format!("Copy {}", what.name()))
            .click();
        window.run();
        let history = window.state().history();
        assert_eq!(history.undo_depth(), 1, "{what:?}");
        let label = format!("copy {}", what.name());
        assert_eq!(history.undo_label(), Some(label.as_str()));
        let (own, from) = (history.set().knife(here).unwrap(), set.knife(from).unwrap());
        assert_eq!(n_of(own, what), n_of(from, what), "{what:?}");
        // Nothing but the one knife changed.
        assert_eq!(history.set().knives[1..], set.knives[1..]);
        press(&mut window, Modifiers::COMMAND, Key::Z);
        assert_eq!(*window.state().history().set(), set);
    }
}

/// A knife that has nothing of a kind gives nothing, and says so.
#[test]
fn what_is_not_there_can_not_be_copied() {
    for what in Carried::ALL {
        let mut set = orchard_set();
        bare(Arc::make_mut(&mut set.knives[1]), what);
        let mut window = at_the_set(set.clone());
        let label = format!("Copy {}", what.name());
        let button = window.get_by_label(&label);
        let gray = button.accesskit_node().is_disabled();
        button.click();
        window.run();
        assert!(gray, "{what:?}");
        assert_eq!(window.state().history().undo_depth(), 0, "{what:?}");
        assert_eq!(*window.state().history().set(), set);
    }
}

/// Takes what can be copied off a knife.
fn bare(knife: &mut Knife, what: Carried) {
    match what {
        Carried::Grind => knife.grinding.grinds.clear(),
        Carried::Holes => {
            knife.cut_outs.clear();
            knife.rows.clear();
        }
        Carried::Handle => knife.handle = None,
    }
    assert!(!what.is_on(knife));
}

/// How many of it a knife has.
fn n_of(knife: &Knife, what: Carried) -> usize {
    match what {
        Carried::Grind => knife.grinding.grinds.len(),
        Carried::Holes => knife.cut_outs.len() + knife.rows.len(),
        Carried::Handle => usize::from(knife.handle.is_some()),
    }
}

#[test]
fn a_shared_material_is_changed_once_for_all_its_knives() {
    let mut window = at_the_set(orchard_set());
    let set = window.state().history().set().clone();
    let own = set.material("steel_52100").unwrap().clone();
    window.state_mut().session_mut().set.material = Some(own.key.clone());
    window.run();
    let masses = |window: &Window| -> Vec<f64> {
        let state = window.state();
        let knives = state.history().set().knives.iter();
        knives
            .map(|k| {
                state
                    .results()
                    .of(k.id)
                    .unwrap()
                    .weighed
                    .up
                    .ground
                    .unwrap()
                    .mass_g
            })
            .collect()
    };
    let before = masses(&window);
    window.get_by_label("density, g/cm³").focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label("density, g/cm³").type_text("7.5");
    press(&mut window, Modifiers::NONE, Key::Enter);
    window.run();
    let now = window
        .state()
        .history()
        .set()
        .material(&own.key)
        .unwrap()
        .clone();
    assert_eq!(now.density_g_cm3, 7.5);
    // The span it is met in goes with it, as on the Profile card.
    assert_eq!(now, own.with_density(7.5));
    assert!((now.density_low / own.density_low - 7.5 / own.density_g_cm3).abs() < 1e-12);
    assert_eq!(window.state().history().undo_depth(), 1);
    let mut changed = 0;
    for ((before, after), knife) in before.iter().zip(masses(&window)).zip(&set.knives) {
        let plain = knife.stock.material == own.key && !knife.stock.is_laminated();
        if plain {
            let wanted = before * 7.5 / own.density_g_cm3;
            assert!((after - wanted).abs() < 1e-6 * wanted, "{}", knife.name);
            changed += 1;
        }
    }
    assert_eq!(changed, 2, "several knives share it");
}

#[test]
fn the_table_is_written_in_the_order_that_is_seen() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_home(folder.path());
    press(&mut window, Modifiers::NONE, Key::F9);
    window.get_by_label("order by overall").click();
    window.run();
    let seen = rows(&window);
    window.get_by_label("Save table as CSV").scroll_to_me();
    window.run();
    write_into(&mut window, "Save table as CSV", folder.path());
    let file = folder.path().join("orchard-set-table.csv");
    let text = std::fs::read_to_string(&file).unwrap();
    let names: Vec<&str> = text
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap())
        .collect();
    assert_eq!(names[..4], seen);
    assert!(text.contains("\r\n\r\nbar,work,thick mm"), "{text}");
}

#[test]
fn an_empty_rack_and_a_single_knife_say_the_next_step() {
    let mut one = orchard_set();
    one.knives.truncate(1);
    let window = at_the_set(one);
    assert!(
        window
            .query_all_by_label_contains("Put a second knife in the rack")
            .count()
            >= 1
    );
    let mut none = orchard_set();
    none.knives.clear();
    let window = at_the_set(none);
    window.get_by_label_contains("The bar the knives are cut from stands here");
    assert!(window.query_by_label("Save table as CSV").is_none());
}

/// What the card tells of each bar is what adds up to it, worked out here from outline and density: all blanks end to end, on the width of the widest.
#[test]
fn the_bar_needed_is_told_with_its_mass() {
    let set = orchard_set();
    let window = at_the_set(set.clone());
    let ups: Vec<_> = set.knives.iter().map(|k| weigh(k, &set)).collect();
    let weighed = set.knives.iter().map(AsRef::as_ref).zip(&ups);
    let (bars, left_out) = bars_needed(weighed, &set, |_| 1);
    assert!(left_out.is_empty() && !bars.is_empty());
    for bar in &bars {
        let start = format!("{:.1} mm of {:.1} mm × ", bar.length_mm, bar.width_mm);
        let end = format!(": {:.0} g", bar.mass_g.unwrap());
        let told = window.query_all_by_label_contains(&start).any(|node| {
            let label = node
                .accesskit_node()
                .label()
                .or(node.accesskit_node().value());
            label.is_some_and(|label| label.ends_with(&end))
        });
        assert!(told, "{start}…{end}");
        if bar.work == BarWork::Cut && !bar.stock.is_laminated() {
            let density = set.material(&bar.stock.material).unwrap().density_g_cm3;
            let mm3 = bar.length_mm * bar.width_mm * bar.thickness_mm;
            assert!((bar.mass_g.unwrap() - mm3 * density / 1000.0).abs() < 1e-6);
        }
    }
}

/// A difference of 0.05 mm in thickness is seen, where lengths are told to a tenth.
#[test]
fn thicknesses_are_compared_as_finely_as_they_are_told() {
    let mut set = orchard_set();
    let thick = set.knives[0].stock.thickness_mm;
    let second = std::sync::Arc::make_mut(&mut set.knives[1]);
    second.stock = second.stock.rolled_to(thick + 0.05);
    let window = at_the_set(set);
    window.get_by_label("+0.05 mm");
}
