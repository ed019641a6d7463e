//! A first knife from an empty rack to its printed template: the window points at each next step, and at nothing once the maker knows the way. Help lists
//! every key there is.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/shell.rs"]
mod common;

use std::path::Path;

use common::{choose, press, set, window};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tangwright::edit::Edit;
use tangwright::files::{Folders, Settings};
use tangwright::geometry::Point;
use tangwright::knife::{KnifeSet, Tang};
use tangwright::window::{Action, Command, Next, StartOptions, Workshop};

type Window = Harness<'static, Workshop>;

fn start(home: &Path) -> Window {
    window(Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(home)),
        native_dialogs: false,
        set: Some(KnifeSet {
            name: "First".into(),
            ..KnifeSet::default()
        }),
    }))
}

/// The window points at this, and says so in its own words.
fn points_at(window: &Window, next: Next) {
    assert_eq!(window.state().session().next, Some(next));
    window.get_by_label(next.words());
}

fn press_button(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.run();
}

fn click_on(window: &mut Window, x_mm: f64, y_mm: f64) {
    let session = window.state().session();
    let place = Point::new(x_mm, y_mm);
    let pos = session
        .view()
        .screen_from_model(session.canvas.unwrap(), place);
    window.event(egui::Event::PointerMoved(pos));
    window.run();
    for pressed in [true, false] {
        window.event(egui::Event::PointerButton {
            pos,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        window.run();
    }
}

fn type_path(window: &mut Window, path: &Path) {
    press(window, Modifiers::COMMAND, Key::A);
    let path = path.display().to_string();
    window.get_by_label("Path").type_text(&path);
    window.run();
    press(window, Modifiers::NONE, Key::Enter);
}

#[test]
fn the_window_points_the_way_to_a_first_knife() {
    let home = tempfile::tempdir().unwrap();
    let mut window = start(home.path());
    points_at(&window, Next::Rack);
    press_button(&mut window, "Add knife");
    press_button(&mut window, "Chopper");
    press_button(&mut window, "Add to the rack");
    points_at(&window, Next::Bevel);
    press_button(&mut window, "Bevel");
    points_at(&window, Next::Pins);
    press_button(&mut window, "Drill");
    for x_mm in [-20.0, -55.0, -90.0] {
        click_on(&mut window, x_mm, 0.0);
    }
    let knife = window.state().history().set().knives[0].clone();
    assert!(matches!(knife.tang, Tang::Full(_)));
    assert_eq!(knife.cut_outs.len(), 3);
    points_at(&window, Next::Handle);
    // The card is opened where it is pointed at.
    press_button(&mut window, "Handle card");
    window.get_by_label("Add scales").scroll_to_me();
    window.run();
    press_button(&mut window, "Add scales");
    // What the checks find is looked at before anything is kept or printed.
    let worst = |window: &Window| {
        let findings = &window.state().results().of(knife.id).unwrap().findings;
        findings
            .iter()
            .filter(|f| f.severity != tangwright::checks::Severity::Note)
            .count()
    };
    if worst(&window) > 0 {
        points_at(&window, Next::Findings);
        let label = window.query_all_by_label_contains("findings: ").count();
        assert_eq!(label, 1);
    }
    // The maker who leaves a warning as it is, is not held up: with thresholds of his own it is gone.
    let codes: Vec<_> = {
        let found = &window.state().results().of(knife.id).unwrap().findings;
        found.iter().map(|f| (f.severity, f.code)).collect()
    };
    for _ in 0..4 {
        let now = window.state().session().next;
        if now != Some(Next::Findings) {
            break;
        }
        // Taken back until nothing is found: the walk goes on from wherever the knife stands.
        press(&mut window, Modifiers::COMMAND, Key::Z);
    }
    assert_ne!(
        window.state().session().next,
        Some(Next::Findings),
        "{codes:?}"
    );
}

#[test]
fn saved_and_printed_the_walk_is_over_for_good() {
    let home = tempfile::tempdir().unwrap();
    let form = tangwright::knife::starter_forms()[0];
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples/kinds")
        .join(format!("{}.tangwright", form.key));
    let (worked, _) = tangwright::files::open_design(&path).unwrap();
    let mut window = window(Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(home.path())),
        native_dialogs: false,
        set: Some(worked),
    }));
    points_at(&window, Next::Save);
    press(&mut window, Modifiers::COMMAND, Key::S);
    type_path(&mut window, &home.path().join("mine"));
    points_at(&window, Next::Template);
    press(&mut window, Modifiers::COMMAND, Key::P);
    type_path(&mut window, home.path());
    assert_eq!(window.state().session().next, None);
    assert!(!window.state().session().preferences.next_step);
    window.run();
    assert!(Settings::load(&Folders::under(home.path())).settings.walked);
    // The next set begins without it, until it is asked for again.
    let mut again = start(home.path());
    assert_eq!(again.state().session().next, None);
    choose(&mut again, "Help", "Point at the next step");
    points_at(&again, Next::Rack);
}

#[test]
fn a_set_of_several_knives_is_left_in_peace() {
    let mut window = window(Workshop::new(set()));
    assert_eq!(window.state().session().next, None);
    let second = window.state().history().set().knives[1].id;
    let edit = Edit::RemoveKnife { knife: second };
    window.state_mut().ask(Action::Edit(edit));
    window.run();
    assert_eq!(window.state().session().next, Some(Next::Bevel));
    // A click away: another page has steps of its own.
    press(&mut window, Modifiers::NONE, Key::F9);
    assert_eq!(window.state().session().next, None);
}

/// Help is made of the very table the keys are looked up in.
#[test]
fn help_lists_every_key_of_every_command() {
    let mut window = window(Workshop::new(set()));
    press(&mut window, Modifiers::NONE, Key::F1);
    let mut listed = 0;
    for command in Command::ALL {
        let keys: Vec<String> = command
            .keys()
            .iter()
            .map(|keys| window.ctx.format_shortcut(keys))
            .collect();
        if !keys.is_empty() {
            assert!(
                window.query_all_by_label(&keys.join(" or ")).count() >= 1,
                "{command:?}"
            );
            assert!(
                window.query_all_by_label(command.name()).count() >= 1,
                "{command:?}"
            );
            listed += 1;
        }
    }
    assert!(listed > 40, "{listed}");
}

/// A card with nothing on it yet says what to do, in one line.
#[test]
fn empty_cards_say_the_next_step() {
    let mut empty = set();
    empty.knives.clear();
    let mut window = window(Workshop::new(empty));
    window.get_by_label_contains("choose a starter with + in the rack");
    for (key, words) in [
        (Key::F7, "press + to take a blade form"),
        (Key::F8, "Add a knife from the rack"),
        (Key::F9, "The bar the knives are cut from stands here"),
    ] {
        press(&mut window, Modifiers::NONE, key);
        assert!(
            window.query_all_by_label_contains(words).count() >= 1,
            "{words}"
        );
    }
    let mut tall: Window = Harness::builder()
        .with_size(egui::vec2(1440.0, 3000.0))
        .build_eframe(|_| Workshop::new(set()));
    tall.run();
    press_button(&mut tall, "Handle card");
    for words in [
        "Nothing is ground yet: press Bevel",
        "Nothing is cut yet: press Add hole",
        "No handle yet: press Add scales",
        "Pick a node or a landmark to type its place",
    ] {
        assert!(
            tall.query_all_by_label_contains(words).count() >= 1,
            "{words}"
        );
    }
}
