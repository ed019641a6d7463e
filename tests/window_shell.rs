//! The window around the drawing: menus, keys, dialogs and files, driven by name as a maker or a screen reader would.

#[path = "common/shell.rs"]
mod common;
#[path = "window_shell/motion.rs"]
mod motion;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use common::{choose, press, set, window};
use tangwright::edit::Thing;
use tangwright::knife::orchard_set;
use tangwright::units::{LengthUnit, MassUnit};
use tangwright::window::{Action, Dialog, Tool, Workshop};

#[test]
fn the_edit_menu_says_what_undo_takes_back() {
    let mut harness = window(Workshop::new(set()));
    choose(&mut harness, "Edit", "Double knife");
    assert_eq!(harness.state().history().set().knives.len(), 3);
    choose(&mut harness, "Edit", "Undo double knife");
    assert_eq!(harness.state().history().set(), &set());
    choose(&mut harness, "Edit", "Redo double knife");
    assert_eq!(harness.state().history().set().knives.len(), 3);
}

#[test]
fn entries_that_make_no_sense_are_gray() {
    let mut harness = window(Workshop::new(set()));
    harness.get_by_role_and_label(Role::Button, "Edit").click();
    harness.run();
    let disabled = |harness: &Harness<'_, Workshop>, entry: &str| {
        harness.get_by_label(entry).accesskit_node().is_disabled()
    };
    for entry in ["Undo", "Redo", "Remove picked", "Move knife up"] {
        assert!(disabled(&harness, entry), "{entry}");
    }
    for entry in [
        "Pick all",
        "Double knife",
        "Remove knife",
        "Move knife down",
    ] {
        assert!(!disabled(&harness, entry), "{entry}");
    }
}

#[test]
fn menus_open_and_close_by_keys_alone() {
    let mut harness = window(Workshop::new(set()));
    press(&mut harness, Modifiers::NONE, Key::F10);
    assert!(
        harness
            .get_by_role_and_label(Role::Button, "File")
            .is_focused()
    );
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(harness.get_by_label("New set").is_focused());
    press(&mut harness, Modifiers::NONE, Key::ArrowDown);
    assert!(harness.get_by_label("New knife…").is_focused());
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert!(harness.query_by_label("New set").is_none());
    assert!(
        harness
            .get_by_role_and_label(Role::Button, "File")
            .is_focused()
    );
    // And again with the arrow key, as on most desktops.
    press(&mut harness, Modifiers::NONE, Key::ArrowDown);
    assert!(harness.get_by_label("New set").is_focused());
}

#[test]
fn keys_do_what_menus_do() {
    let mut harness = window(Workshop::new(set()));
    press(&mut harness, Modifiers::NONE, Key::Num3);
    assert_eq!(harness.state().session().tool, Tool::Drill);
    press(&mut harness, Modifiers::COMMAND, Key::D);
    assert_eq!(harness.state().history().undo_label(), Some("double knife"));
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(harness.state().history().undo_depth(), 0);
    press(&mut harness, Modifiers::NONE, Key::C);
    assert!(harness.state().session().preferences.comb);
    press(&mut harness, Modifiers::NONE, Key::PageDown);
    let below = harness.state().history().set().knives[1].id;
    assert_eq!(harness.state().session().knife, Some(below));
    press(&mut harness, Modifiers::COMMAND, Key::A);
    let picked = harness.state().session().picked.len();
    assert_eq!(
        picked,
        harness.state().history().set().knives[1]
            .outline
            .nodes
            .len()
    );
}

#[test]
fn keys_wait_while_a_name_is_typed() {
    let mut harness = window(Workshop::new(set()));
    harness.get_by_label("Rename set: Test rack").click();
    harness.run();
    let field = harness.get_by_label("Name of the set");
    assert!(field.is_focused());
    press(&mut harness, Modifiers::COMMAND, Key::A);
    harness.get_by_label("Name of the set").type_text("Set 3");
    harness.run();
    // The digit went into the name, not to the tool of that key.
    assert_eq!(harness.state().session().tool, Tool::Shift);
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert_eq!(harness.state().history().set().name, "Set 3");
    assert_eq!(harness.state().history().undo_label(), Some("name set"));
}

#[test]
fn units_are_switched_in_the_bar() {
    let mut harness = window(Workshop::new(set()));
    harness.get_by_label("Inches, fractions").click();
    harness.get_by_label("Ounces").click();
    harness.run();
    let preferences = &harness.state().session().preferences;
    assert_eq!(preferences.length_unit, LengthUnit::FractionInch);
    assert_eq!(preferences.mass_unit, MassUnit::Ounce);
}

#[test]
fn larger_text_leaves_the_knife_the_size_the_maker_gave_it() {
    let mut harness = window(Workshop::new(set()));
    press(&mut harness, Modifiers::NONE, Key::T);
    let size = |harness: &Harness<'_, Workshop>| {
        let session = harness.state().session();
        let zoom = f64::from(harness.ctx.zoom_factor());
        (
            session.view().px_per_mm * zoom,
            session.preferences.true_px_per_mm * zoom,
        )
    };
    let before = size(&harness);
    for _ in 0..10 {
        press(&mut harness, Modifiers::COMMAND, Key::Plus);
    }
    assert_eq!(harness.ctx.zoom_factor(), 2.0);
    let after = size(&harness);
    assert!(
        (after.0 / before.0 - 1.0).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    assert!(
        (after.1 / before.1 - 1.0).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    press(&mut harness, Modifiers::COMMAND, Key::Num0);
    assert_eq!(harness.ctx.zoom_factor(), 1.0);
}

/// Each knife, whether it is on the drawing then or not: a window that was another size, or larger text, leaves none cut off.
#[test]
fn a_knife_the_maker_left_as_it_was_fitted_is_fitted_again() {
    let mut harness = window(Workshop::new(set()));
    let fits = |harness: &Harness<'_, Workshop>| {
        let session = harness.state().session();
        let canvas = session.canvas.unwrap();
        let knife = session.knife.unwrap();
        let bounds = harness.state().results().of(knife).unwrap().bounds();
        let mut fitted = session.view();
        fitted.fit(canvas, bounds);
        (fitted == session.view(), session.view().px_per_mm)
    };
    press(&mut harness, Modifiers::NONE, Key::PageDown);
    press(&mut harness, Modifiers::NONE, Key::PageUp);
    let (_, large) = fits(&harness);
    harness.set_size(egui::vec2(1000.0, 700.0));
    harness.run();
    let (fit, small) = fits(&harness);
    assert!(fit && small < 0.9 * large, "{small} {large}");
    // Fitted before the window was made smaller.
    press(&mut harness, Modifiers::NONE, Key::PageDown);
    assert!(fits(&harness).0);
    press(&mut harness, Modifiers::COMMAND, Key::Plus);
    assert!(fits(&harness).0);
    // From now on the view is the maker's own.
    press(&mut harness, Modifiers::NONE, Key::Plus);
    let own = harness.state().session().view();
    harness.set_size(egui::vec2(1300.0, 800.0));
    harness.run();
    assert_eq!(harness.state().session().view(), own);
}

/// The Drill card lies below the fold of a low window; its numbers come into sight when the pointer lets go of what was picked.
#[test]
fn what_is_picked_is_brought_into_sight_on_its_card() {
    let mut harness = window(Workshop::new(orchard_set()));
    let set = harness.state().history().set().clone();
    let hole = Thing::CutOut(set.knives[0].cut_outs[0].id);
    // The pointer is still down, on an empty place of the bar at the top.
    let empty = egui::pos2(850.0, 20.0);
    harness.drag_at(empty);
    harness.state_mut().ask(Action::Pick(vec![hole]));
    harness.run_steps(8);
    let low = |harness: &Harness<'_, Workshop>| harness.get_by_label("diameter").rect().bottom();
    assert!(low(&harness) > 690.0, "{}", low(&harness));
    harness.drop_at(empty);
    harness.run();
    assert!(low(&harness) < 690.0, "{}", low(&harness));
}

/// With text at twice its size 1280 pixels are 640 points: nothing of the bar at the top lies over anything else.
#[test]
fn in_a_narrow_window_the_bar_at_the_top_drops_what_has_no_room() {
    let mut harness = window(Workshop::new(set()));
    for width in [1440.0, 1000.0, 860.0, 760.0, 640.0] {
        harness.set_size(egui::vec2(width, 480.0));
        harness.run();
        let pages = harness.get_by_label("Build sheet").rect();
        for switch in ["Millimeters", "Grams"] {
            let Some(node) = harness.query_by_label(switch) else {
                assert!(width < 900.0, "{switch} at {width}");
                continue;
            };
            assert!(node.rect().left() > pages.right(), "{switch} at {width}");
        }
    }
}

#[test]
fn dialogs_take_the_keyboard_and_give_it_back() {
    let mut harness = window(Workshop::new(set()));
    harness.get_by_label("Ounces").focus();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::F1);
    assert_eq!(harness.state().session().dialog, Dialog::Keys);
    assert!(harness.get_by_label("Close").is_focused());
    // Keys of commands rest while a dialog is open.
    press(&mut harness, Modifiers::NONE, Key::Num3);
    assert_eq!(harness.state().session().tool, Tool::Shift);
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert_eq!(harness.state().session().dialog, Dialog::None);
    assert!(harness.get_by_label("Ounces").is_focused());
}

#[test]
fn a_screen_is_calibrated_by_typing_what_the_ruler_says() {
    let mut harness = window(Workshop::new(set()));
    let nominal = harness.state().session().preferences.true_px_per_mm;
    choose(&mut harness, "Bench", "Calibrate screen…");
    let label = "Or type what the ruler says the bar measures:";
    let field = harness.get_by_role_and_label(Role::TextInput, label);
    field.focus();
    harness.run();
    let field = harness.get_by_role_and_label(Role::TextInput, label);
    field.type_text("80 mm");
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    let preferences = &harness.state().session().preferences;
    assert!(preferences.calibrated);
    // The bar was 100 mm long on the nominal screen.
    assert!((preferences.true_px_per_mm / nominal - 100.0 / 80.0).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::T);
    let session = harness.state().session();
    assert!((session.view().px_per_mm - session.preferences.true_px_per_mm).abs() < 1e-12);
}

#[test]
fn rack_and_cards_give_their_room_to_the_drawing() {
    let mut harness = window(Workshop::new(set()));
    let width = |harness: &Harness<'_, Workshop>| {
        let canvas = harness.state().session().canvas;
        canvas.map_or(0.0, |canvas| canvas.width())
    };
    let before = width(&harness);
    press(&mut harness, Modifiers::NONE, Key::R);
    let wider = width(&harness);
    assert!(wider > before + 100.0, "{before} {wider}");
    press(&mut harness, Modifiers::NONE, Key::K);
    assert!(width(&harness) > wider + 200.0);
    press(&mut harness, Modifiers::NONE, Key::R);
    press(&mut harness, Modifiers::NONE, Key::K);
    assert_eq!(width(&harness), before);
}

#[test]
fn in_a_narrow_window_the_cards_go_before_the_rack() {
    let mut window = window(Workshop::new(set()));
    window.set_size(egui::vec2(640.0, 360.0));
    window.run();
    let width = |window: &Harness<'static, Workshop>| {
        window.state().session().canvas.map_or(0.0, |c| c.width())
    };
    assert!(width(&window) >= 280.0, "{}", width(&window));
    assert!(window.query_by_label("Rack").is_none());
    for tool in ["Shift", "Rule", "Preview"] {
        let rect = window.get_by_label(tool).rect();
        assert!(rect.bottom() <= 360.0, "{tool} ends at {}", rect.bottom());
    }
    press(&mut window, Modifiers::NONE, Key::K);
    assert!(window.query_by_label("Rack").is_some());
    assert!(width(&window) >= 280.0, "{}", width(&window));
}

#[test]
fn shop_figures_are_shown_changed_and_put_back() {
    let mut harness = window(Workshop::new(set()));
    let findings = |harness: &Harness<'_, Workshop>| -> Vec<&'static str> {
        let workshop = harness.state();
        let knife = workshop.session().knife;
        let results = knife.and_then(|id| workshop.results().of(id));
        results.map_or_else(Vec::new, |r| {
            r.weighed.findings.iter().map(|f| f.code).collect()
        })
    };
    let usual = findings(&harness);
    choose(&mut harness, "Bench", "Shop figures…");
    assert_eq!(harness.state().session().dialog, Dialog::Figures);
    harness.get_by_label_contains("usually 76.20 mm; what is sold");
    // A shop whose widest bar is 5 mm: every knife needs more.
    let field = harness.get_by_role_and_label(Role::TextInput, "Widest bar");
    field.focus();
    harness.run();
    press(&mut harness, Modifiers::COMMAND, Key::A);
    harness
        .get_by_role_and_label(Role::TextInput, "Widest bar")
        .type_text("5 mm");
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert_eq!(
        harness.state().session().dialog,
        Dialog::Figures,
        "Enter only takes the field"
    );
    let own = &harness.state().session().preferences.figures;
    assert_eq!(own.get("widest-bar"), Some(&5.0));
    let strict = findings(&harness);
    assert!(
        strict.contains(&"bar-width") && !usual.contains(&"bar-width"),
        "{strict:?}"
    );
    harness
        .get_by_role_and_label(Role::Button, "Widest bar as usual")
        .click_accesskit();
    harness.run();
    assert!(harness.state().session().preferences.figures.is_empty());
    assert_eq!(findings(&harness), usual);
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert_eq!(harness.state().session().dialog, Dialog::None);
}

/// A4: the bars are drawn 230 mm and 160 mm.
#[test]
fn the_printer_is_trued_by_typing_what_its_bars_measure() {
    let mut harness = window(Workshop::new(set()));
    let printer = |harness: &Harness<'_, Workshop>| harness.state().session().preferences.printer;
    let plain = printer(&harness);
    let type_into = |harness: &mut Harness<'_, Workshop>, field: &str, text: &str| {
        let field = harness.get_by_role_and_label(Role::TextInput, field);
        field.focus();
        harness.run();
        press(harness, Modifiers::COMMAND, Key::A);
        let focused = harness.get_by(|node| node.is_focused());
        focused.type_text(text);
        harness.run();
    };
    choose(&mut harness, "Bench", "True the printer…");
    harness.get_by_label("drawn 230 mm");
    type_into(&mut harness, "the long bar measures", "228.2");
    type_into(&mut harness, "the short bar measures", "99");
    harness.get_by_label("Use these").click_accesskit();
    harness.run();
    harness.get_by_label_contains("can't measure 99.0 mm");
    assert_eq!(printer(&harness), plain, "nothing is taken over yet");
    type_into(&mut harness, "the short bar measures", "160.8 mm");
    harness.get_by_label("Use these").click_accesskit();
    harness.run();
    assert_eq!(harness.state().session().dialog, Dialog::None);
    let trued = printer(&harness);
    assert!((trued.y - 230.0 / 228.2).abs() < 1e-12 && (trued.x - 160.0 / 160.8).abs() < 1e-12);
    choose(&mut harness, "Bench", "True the printer…");
    harness.get_by_label("Print as drawn").click_accesskit();
    harness.run();
    assert_eq!(printer(&harness), plain);
}

#[test]
fn a_way_of_cutting_is_chosen_among_the_shop_figures() {
    let mut harness = window(Workshop::new(set()));
    choose(&mut harness, "Bench", "Shop figures…");
    let other = tangwright::catalog::cutting_process("plasma").unwrap();
    harness.get_by_label(&other.name).click_accesskit();
    harness.run();
    let own = &harness.state().session().preferences.figures;
    assert_eq!(own, &tangwright::checks::figures_of(other));
    let usual = tangwright::catalog::cutting_process("waterjet").unwrap();
    harness.get_by_label(&usual.name).click_accesskit();
    harness.run();
    assert!(harness.state().session().preferences.figures.is_empty());
}
