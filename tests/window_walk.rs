//! A first knife from an empty rack to its printed template: the window points at each next step, and at nothing once the maker knows the way. Help lists
//! every key there is.

#![expect(
    clippy::panic,
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
use tangwright::checks::{Finding, Severity};
use tangwright::edit::{Edit, Thing};
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

/// The gravest finding of the only knife.
fn worst(window: &Window) -> Finding {
    let state = window.state();
    let knife = &state.history().set().knives[0];
    state.results().of(knife.id).unwrap().weighed.findings[0].clone()
}

/// Takes the tool that moves things, points at a finding in the list and does what it says.
fn mend(window: &mut Window, finding: &Finding) {
    press_button(window, "Shift");
    window.get_by_label_contains("findings: ").click();
    window.run();
    let text = finding.text(&|mm| format!("{mm:.2} mm").replace('-', "−"));
    let row = window.query_all_by_label_contains(&text).last();
    assert!(row.is_some(), "{} {text}", finding.code);
    row.unwrap().click();
    window.run();
    // A hole too near the rim: it is picked now, and the arrow keys bring it in by a millimeter.
    assert_eq!(finding.code, "web-outline", "{text}");
    let knife = window.state().history().set().knives[0].clone();
    let [Thing::CutOut(hole)] = window.state().session().picked.as_slice() else {
        panic!("the hole is picked: {:?}", window.state().session().picked)
    };
    let center = knife.cut_out(*hole).unwrap().shape.center();
    let up = finding.place.unwrap().y < center.y;
    let key = if up { Key::ArrowUp } else { Key::ArrowDown };
    press(window, Modifiers::SHIFT, key);
    let moved = window.state().history().set().knives[0].clone();
    assert_ne!(moved.cut_outs, knife.cut_outs, "{text}");
    // Seen to: what comes next is told again.
    press(window, Modifiers::NONE, Key::Escape);
    assert_eq!(window.state().session().finding, None);
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
    drop(knife);
    points_at(&window, Next::Handle);
    // The card is opened where it is pointed at.
    press_button(&mut window, "Handle card");
    window.get_by_label("Add scales").scroll_to_me();
    window.run();
    press_button(&mut window, "Add scales");
    // What the checks find is looked at before anything is kept or printed, one after the other, the gravest first.
    points_at(&window, Next::Findings);
    let mut mended = Vec::new();
    while window.state().session().next == Some(Next::Findings) {
        let worst = worst(&window);
        assert_ne!(worst.severity, Severity::Note, "a note holds nobody up");
        let known = (worst.code, worst.about.clone());
        assert!(!mended.contains(&known), "{known:?} again");
        mended.push(known);
        mend(&mut window, &worst);
        assert!(mended.len() < 8, "{mended:?}");
    }
    // Kept and printed in the same window, on the same knife.
    points_at(&window, Next::Save);
    press(&mut window, Modifiers::COMMAND, Key::S);
    type_path(&mut window, &home.path().join("first"));
    points_at(&window, Next::Template);
    press(&mut window, Modifiers::COMMAND, Key::P);
    type_path(&mut window, home.path());
    assert_eq!(window.state().session().next, None);
    let (kept, _) = tangwright::files::open_design(&home.path().join("first.tangwright")).unwrap();
    assert_eq!(kept.knives.len(), 1);
    assert_eq!(kept.knives[0].cut_outs.len(), 3);
    let printed = std::fs::read_dir(home.path()).unwrap();
    let names = printed.map(|entry| entry.unwrap().file_name().display().to_string());
    assert!(names.filter(|name| name.ends_with(".pdf")).count() >= 1);
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
    window.get_by_label_contains("and its numbers stand here");
    for (key, words) in [
        (Key::F7, "press + there and choose a blade"),
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
    // Nothing was weighed, nothing was typed.
    press_button(&mut tall, "On the scale: none yet");
    assert!(
        tall.query_all_by_label_contains("Type what the scale says")
            .count()
            >= 1
    );
    // An outline that can't be weighed nor cut: both cards say what comes first.
    let mut crossing = set();
    let knife = std::sync::Arc::make_mut(&mut crossing.knives[0]);
    let n = knife.outline.nodes.len();
    let (a, b) = (knife.outline.nodes[1].at, knife.outline.nodes[n / 2].at);
    knife.outline.nodes[1].at = b;
    knife.outline.nodes[n / 2].at = a;
    let mut tall: Window = Harness::builder()
        .with_size(egui::vec2(1440.0, 3000.0))
        .build_eframe(|_| Workshop::new(crossing));
    tall.run();
    for words in [
        "Not weighed yet: a click on the finding below the drawing shows where to mend",
        "Mend the outline first",
    ] {
        assert!(
            tall.query_all_by_label_contains(words).count() >= 1,
            "{words}"
        );
    }
}
