//! The picture's file: bad ones, missing ones, and a design that is saved and moved with it.

use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::files::{Over, open_design, save_design};
use tangwright::window::Dialog;

use crate::bench::{Shop, started};

#[test]
fn what_is_no_picture_is_told_and_nothing_is_laid() {
    let mut shop = Shop::new();
    let bad = shop.written("bad.jpg", b"\xff\xd8 and no more");
    let phone = shop.written("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0");
    for (path, words) in [(bad, "bad.jpg"), (phone, "HEIC")] {
        shop.drop(&path);
        shop.wait("it is told", |shop| {
            matches!(shop.window.state().session().dialog, Dialog::Question(_))
        });
        let Dialog::Question(told) = &shop.window.state().session().dialog else {
            panic!("it asks nothing");
        };
        assert_eq!(told.heading, "This picture was not laid");
        assert!(told.lines.join(" ").contains(words), "{:?}", told.lines);
        assert_eq!(shop.knife().picture, None);
        shop.frames(3);
        shop.click("All right");
    }
    assert_eq!(shop.window.state().history().undo_label(), None);
}

#[test]
fn a_missing_file_is_told_and_its_place_is_kept() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let own = shop.lay(&path);
    let design = shop.home.path().join("set.tangwright");
    let set = shop.window.state().history().set().clone();
    save_design(&design, &set, Over::Anything).unwrap();
    let away = shop.home.path().join("away.png");
    std::fs::rename(&path, &away).unwrap();
    shop.window = started(shop.home.path(), Some(&design));
    shop.wait("it is missed", |shop| shop.says("is not there"));
    assert_eq!(shop.picture(), own, "how it lies is kept");
    assert!(shop.says("plate.png is not there") && shop.says("How it lies is kept"));
    // The knife is drawn and can be worked on; what is saved keeps the place.
    let kept = shop.window.state().history().set().clone();
    save_design(&design, &kept, Over::Anything).unwrap();
    assert_eq!(open_design(&design).unwrap().0, set);
    std::fs::rename(&away, &path).unwrap();
    shop.click("Look again");
    shop.wait("it is found", |shop| !shop.says("is not there"));
    assert_eq!(shop.picture(), own);
    // Another one of the same size takes its place; one of another size is laid anew.
    let other = shop.gray("other.png", |_| 90);
    shop.drop(&other);
    shop.wait("it is laid", |shop| shop.picture().file.contains("other"));
    assert_eq!(shop.picture().middle, own.middle);
    assert_eq!(shop.picture().scale, own.scale);
}

#[test]
fn a_picture_of_another_size_in_the_files_place_is_told() {
    let mut shop = Shop::new();
    let path = shop.plate();
    shop.lay(&path);
    let design = shop.home.path().join("set.tangwright");
    let set = shop.window.state().history().set().clone();
    save_design(&design, &set, Over::Anything).unwrap();
    let pixels = tangwright::tracing::Pixels::new(60, 40, vec![[9; 3]; 2400], 1.0).unwrap();
    shop.written("plate.png", &crate::pictured::png(&pixels));
    shop.window = started(shop.home.path(), Some(&design));
    shop.wait("it is read", |shop| shop.says("another size"));
    let find = shop.window.get_by_label("Find the outline");
    assert!(find.accesskit_node().is_disabled());
}

/// Opened by its path, a picture goes under the drawing as one that is dropped; the set stays.
#[test]
fn a_picture_that_is_opened_is_laid() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let before = shop.window.state().history().set().clone();
    shop.window = started(shop.home.path(), Some(&path));
    shop.wait("it is laid", |shop| shop.knife().picture.is_some());
    assert_eq!(shop.undo().as_deref(), Some("lay picture"));
    assert_eq!(shop.window.state().history().set(), &before);
}
