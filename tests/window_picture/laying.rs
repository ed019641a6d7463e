//! Laid, moved, turned, scaled by two places, squared by a sheet, shown and taken away.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::geometry::{Point, Vec2};
use tangwright::window::{Tool, TrueBy};

use crate::bench::Shop;

#[test]
fn a_dropped_picture_is_laid_under_the_knife_and_its_card_stands_ready() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let before = shop.window.state().history().set().clone();
    let own = shop.lay(&path);
    assert_eq!(own.file, path.display().to_string());
    assert_eq!((own.width_px, own.height_px), (400, 200));
    // It lies across the knife, its middle at the knife's.
    let bounds = shop.knife().contour().bounds();
    assert!(own.middle.distance(bounds.center()) < 1e-9);
    assert!((own.scale * 400.0 - 1.25 * bounds.width()).abs() < 1e-9);
    assert_eq!(shop.tool(), Tool::Trace);
    // Every control is there by its name, without any menu.
    for name in [
        "Another…",
        "Take away",
        "Show",
        "Hold fast",
        "strength",
        "middle x",
        "middle y",
        "turned",
        "Turn the picture over, left to right",
        "by a sheet, true size of the picture",
        "by a distance, true size of the picture",
        "between the marks",
        "Find the outline",
        "turn of picture, 0.0°",
        "place of known distance 1",
        "place of known distance 2",
    ] {
        let found = shop.window.query_all_by_label(name).count();
        assert!(found > 0, "{name}");
    }
    shop.click("by a sheet, true size of the picture");
    for name in [
        "sheet",
        "Knife lies beside it",
        "Square it",
        "corner of the sheet 4",
    ] {
        let found = shop.window.query_all_by_label(name).count();
        assert!(found > 0, "{name}");
    }
    shop.click("Take away");
    assert_eq!(shop.knife().picture, None);
    assert_eq!(shop.undo().as_deref(), Some("remove picture"));
    assert_eq!(shop.picture(), own);
    shop.undo();
    assert_eq!(shop.window.state().history().set(), &before);
}

#[test]
fn it_is_moved_and_turned_by_hand_and_by_keys_one_step_each() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let own = shop.lay(&path);
    // On the picture, beside all grips and the knife.
    let from = shop.pixel(60.0, 30.0);
    shop.drag(from, from + egui::vec2(40.0, -25.0));
    let view = shop.window.state().session().view();
    let by = Vec2::new(view.mm(40.0), view.mm(25.0));
    assert!((shop.picture().middle - own.middle - by).hypot() < 1e-3);
    assert_eq!(shop.undo().as_deref(), Some("move picture"));
    assert_eq!(shop.picture(), own);
    // Escape drops a drag.
    shop.press_at(from);
    shop.move_to(from + egui::vec2(30.0, 0.0));
    shop.move_to(from + egui::vec2(36.0, 0.0));
    assert_ne!(shop.picture(), own);
    shop.key(Key::Escape);
    shop.button(from, false);
    shop.frames(2);
    assert_eq!(shop.picture(), own);
    // The turn is held at its grip: a quarter of a turn.
    let (middle, grip) = (shop.pos(own.middle), egui::vec2(72.0, 0.0));
    shop.drag(middle + grip, middle + egui::vec2(0.0, -72.0));
    assert!((shop.picture().turn_rad - std::f64::consts::FRAC_PI_2).abs() < 0.02);
    assert_eq!(shop.undo().as_deref(), Some("turn picture"));
    // By keys alone.
    shop.window
        .get_by_label_contains("picture, its middle at")
        .focus();
    shop.frames(2);
    shop.key(Key::ArrowRight);
    shop.key(Key::ArrowUp);
    let moved = shop.picture().middle - own.middle;
    assert!((moved - Vec2::new(0.1, 0.1)).hypot() < 1e-9, "{moved:?}");
    shop.type_into("turned", "30");
    assert!((shop.picture().turn_rad - 30_f64.to_radians()).abs() < 1e-9);
    shop.click("Turn the picture over, left to right");
    assert!(shop.picture().mirrored);
    assert!((shop.picture().turn_rad - 150_f64.to_radians()).abs() < 1e-9);
    // Held fast it stays, and says so.
    shop.click("Hold fast");
    let held = shop.picture();
    assert!(held.locked);
    shop.drag(from, from + egui::vec2(40.0, 0.0));
    assert_eq!(shop.picture(), held);
    assert!(shop.says("held fast"));
    assert!(
        shop.window
            .get_by_label("middle x")
            .accesskit_node()
            .is_disabled()
    );
}

#[test]
fn two_places_and_their_distance_scale_it() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let own = shop.lay(&path);
    // The plate's two ends, of which the maker knows that they are 75 mm apart.
    for (mark, (x, y)) in [
        ((100.0, 100.0), (50.0, 100.0)),
        ((300.0, 100.0), (350.0, 100.0)),
    ] {
        let (from, to) = (shop.pixel(mark.0, mark.1), shop.pixel(x, y));
        shop.drag(from, to);
    }
    assert_eq!(shop.picture(), own, "marks alone change nothing");
    let marks = shop.window.state().session().picture.marks;
    assert!(
        marks[0].distance(Point::new(50.0, 100.0)) < 1.0,
        "{marks:?}"
    );
    shop.type_into("between the marks", "75 mm");
    let way = shop.picture().bench_from_picture().unwrap();
    let [a, b] = marks.map(|p| way.apply(p).unwrap());
    assert!((a.distance(b) - 75.0).abs() < 1e-9);
    // The marks' own middle stays where it was.
    let before = own.bench_from_picture().unwrap();
    let [c, d] = marks.map(|p| before.apply(p).unwrap());
    assert!(a.midpoint(b).distance(c.midpoint(d)) < 1e-9);
    assert_eq!(shop.undo().as_deref(), Some("scale picture"));
    assert_eq!(shop.picture(), own);
    shop.type_into("between the marks", "0");
    assert_eq!(shop.picture(), own);
    assert!(shop.says("must lie apart"));
}

#[test]
fn four_corners_of_a_sheet_square_it() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let own = shop.lay(&path);
    shop.click("by a sheet, true size of the picture");
    assert_eq!(shop.window.state().session().picture.by, TrueBy::Sheet);
    // From where the marks wait to a sheet seen from aslant.
    let first = [(60.0, 170.0), (340.0, 170.0), (340.0, 30.0), (60.0, 30.0)];
    let sheet = [(20.0, 185.0), (385.0, 190.0), (330.0, 20.0), (70.0, 15.0)];
    for (from, to) in first.iter().zip(sheet) {
        let (from, to) = (shop.pixel(from.0, from.1), shop.pixel(to.0, to.1));
        shop.drag(from, to);
    }
    assert_eq!(shop.picture(), own);
    shop.click("Square it");
    let squared = shop.picture();
    assert_eq!(squared.scale, 1.0);
    let corners = squared.squared.unwrap().corners;
    for (corner, (x, y)) in corners.iter().zip(sheet) {
        assert!(corner.distance(Point::new(x, y)) < 1.0, "{corner}");
    }
    // ISO 216: A4 is 297 × 210 mm.
    let way = squared.bench_from_picture().unwrap();
    let [a, b, c, d] = corners.map(|p| way.apply(p).unwrap());
    for (one, other, mm) in [(a, b, 297.0), (b, c, 210.0), (c, d, 297.0), (d, a, 210.0)] {
        assert!((one.distance(other) - mm).abs() < 1e-6);
    }
    assert!((a.distance(c) - 297_f64.hypot(210.0)).abs() < 1e-6);
    shop.click("Sides the other way");
    assert_eq!(shop.picture().squared.unwrap().width_mm, 210.0);
    shop.undo();
    shop.click("As taken");
    assert_eq!(shop.picture().squared, None);
    assert_eq!(shop.undo().as_deref(), Some("unsquare picture"));
    assert_eq!(shop.undo().as_deref(), Some("square picture"));
    assert_eq!(shop.picture(), own);
}

#[test]
fn it_is_shown_and_hidden_by_a_key_and_by_its_menu() {
    let mut shop = Shop::new();
    shop.key(Key::P);
    assert!(shop.window.state().session().picture.shown, "none to hide");
    let path = shop.plate();
    shop.lay(&path);
    shop.key(Key::P);
    assert!(!shop.window.state().session().picture.shown);
    assert!(
        shop.window
            .query_by_label("place of known distance 1")
            .is_none()
    );
    shop.click("Show");
    assert!(shop.window.state().session().picture.shown);
}

#[test]
fn the_menu_asks_for_a_picture_and_lists_pictures_alone() {
    let mut shop = Shop::new();
    let path = shop.plate();
    shop.written("notes.txt", b"none");
    crate::shell::choose(&mut shop.window, "File", "Lay a picture under…");
    assert!(shop.says("Choose a picture of a knife"));
    shop.window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    let folder = shop.home.path().display().to_string();
    shop.window.get_by_label("Path").type_text(&folder);
    shop.frames(3);
    assert!(shop.says("plate.png") && !shop.says("notes.txt"));
    shop.window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    let typed = path.display().to_string();
    shop.window.get_by_label("Path").type_text(&typed);
    shop.frames(2);
    shop.key(Key::Enter);
    shop.wait("it is laid", |shop| shop.knife().picture.is_some());
    assert_eq!(shop.picture().file, typed);
}

#[test]
fn the_tool_alone_says_how_to_begin() {
    let mut shop = Shop::new();
    assert!(!shop.says("Lay a picture…"));
    shop.key(Key::Num7);
    assert_eq!(shop.tool(), Tool::Trace);
    assert!(shop.says("Lay a picture…") && shop.says("drop a PNG or JPEG on the window"));
}
