//! `printer`: the page, and what it measures taken into the settings and into every later page.

use crate::bench::{at_home, drilled_plate, folder, saved};

#[test]
fn what_the_bars_measure_corrects_every_later_page() {
    let (home, work) = (folder(), folder());
    let page = work.path().join("printer.pdf");
    let ran = at_home(home.path(), &arguments!["printer", "--out", page]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let plain = std::fs::read(&page).expect("written");
    assert!(plain.starts_with(b"%PDF"));
    // The bars of an A4 page: 230 mm and 160 mm, so 230/228.2 and 160/160.8.
    let ran = at_home(
        home.path(),
        &arguments!["printer", "--long", "228.2", "--short", "160.8"],
    );
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(
        ran.out.contains("× 0.9950") && ran.out.contains("× 1.0079"),
        "{}",
        ran.out
    );
    let design = saved(work.path(), vec![drilled_plate()]);
    let out = work.path().join("template");
    let ran = at_home(
        home.path(),
        &arguments!["template", design, "--pdf", "--out", out],
    );
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    // The printer page itself stays as drawn.
    let again = work.path().join("again.pdf");
    at_home(home.path(), &arguments!["printer", "--out", again]);
    assert_eq!(std::fs::read(&again).expect("written"), plain);
}

#[test]
fn a_length_no_bar_can_have_changes_nothing() {
    let home = folder();
    let ran = at_home(
        home.path(),
        &arguments!["printer", "--long", "25", "--short", "16"],
    );
    assert_eq!(ran.code, Some(1));
    assert!(
        ran.err.contains("the long bar is drawn 230 mm"),
        "{}",
        ran.err
    );
    assert!(!home.path().join("config").join("settings.json").exists());
    let ran = at_home(home.path(), &arguments!["printer", "--long", "228"]);
    assert_eq!(ran.code, Some(2), "one bar alone is not enough");
    let ran = at_home(home.path(), &arguments!["printer"]);
    assert_eq!(ran.code, Some(2), "nothing was asked for");
}
