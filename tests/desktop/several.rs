//! Where the window stands, and several windows at once.

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, Pos2, Rect, ViewportId, vec2};
use egui_kittest::Harness;

use crate::common::{press, set, window};
use tangwright::edit::Edit;
use tangwright::files::{Folders, Over, Settings, WindowPlace, open_design, save_design};
use tangwright::window::{Action, Dialog, StartOptions, Workshop};

type Window = Harness<'static, Workshop>;

fn start(home: &Path, file: Option<PathBuf>) -> Window {
    window(Workshop::start(StartOptions {
        file,
        folders: Some(Folders::under(home)),
        native_dialogs: false,
        set: Some(set()),
    }))
}

fn stand(window: &mut Window, at: Pos2, size: egui::Vec2, full: bool) {
    let root = window.input_mut().viewports.entry(ViewportId::ROOT);
    let info = root.or_default();
    info.inner_rect = Some(Rect::from_min_size(at + vec2(1.0, 30.0), size));
    info.outer_rect = Some(Rect::from_min_size(at, size + vec2(2.0, 31.0)));
    info.maximized = Some(full);
    window.run();
}

#[test]
fn the_place_of_the_window_is_remembered() {
    let home = tempfile::tempdir().unwrap();
    let kept = || Settings::load(&Folders::under(home.path())).settings.window;
    let mut first = start(home.path(), None);
    assert_eq!(kept(), None);
    stand(
        &mut first,
        Pos2::new(40.0, 50.0),
        vec2(1200.0, 800.0),
        false,
    );
    // Not at every step of a drag, but when the window goes to the back.
    first.input_mut().focused = false;
    first.run();
    let place = WindowPlace {
        at: Some((40.0, 50.0)),
        size: (1200.0, 800.0),
        full: false,
    };
    assert_eq!(kept(), Some(place));
    // Filling the screen, it still knows where it stood.
    first.input_mut().focused = true;
    stand(&mut first, Pos2::ZERO, vec2(1920.0, 1050.0), true);
    first.state_mut().end_session();
    assert_eq!(
        kept(),
        Some(WindowPlace {
            full: true,
            ..place
        })
    );
    // A window folded away to nothing is not remembered.
    let mut second = start(home.path(), None);
    stand(&mut second, Pos2::ZERO, vec2(0.0, 0.0), false);
    second.state_mut().end_session();
    assert_eq!(
        kept(),
        Some(WindowPlace {
            full: true,
            ..place
        })
    );
}

#[test]
fn a_place_that_cannot_be_is_told_and_not_used() {
    let home = tempfile::tempdir().unwrap();
    let folders = Folders::under(home.path());
    let own = Settings {
        window: Some(WindowPlace {
            at: None,
            size: (1000.0, 700.0),
            full: false,
        }),
        ..Settings::default()
    };
    own.save(&folders).unwrap();
    assert_eq!(Settings::load(&folders).settings, own);
    let text = std::fs::read_to_string(Settings::path(&folders)).unwrap();
    let wild = text.replace("700.0", "7.0");
    assert_ne!(text, wild);
    tangwright::files::write_atomically(&Settings::path(&folders), wild.as_bytes()).unwrap();
    let loaded = Settings::load(&folders);
    assert_eq!(loaded.settings.window, None);
    assert_eq!(loaded.messages.len(), 1, "{:?}", loaded.messages);
}

fn name(window: &mut Window, name: &str) {
    let name = name.to_owned();
    window.state_mut().ask(Action::Edit(Edit::NameSet { name }));
    window.run();
}

fn heading(window: &Window) -> String {
    match &window.state().session().dialog {
        Dialog::Question(question) => question.heading.clone(),
        _ => String::new(),
    }
}

/// Two windows of one file: the second to save is asked, and nothing of the first is lost until its maker says so.
#[test]
fn two_windows_of_one_file_never_save_over_each_other_unasked() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("set.tangwright");
    save_design(&file, &set(), Over::Anything).unwrap();
    let mut first = start(&home.path().join("home"), Some(file.clone()));
    let mut second = start(&home.path().join("home"), Some(file.clone()));
    name(&mut first, "first hand");
    name(&mut second, "second hand");
    press(&mut first, Modifiers::COMMAND, Key::S);
    assert_eq!(open_design(&file).unwrap().0.name, "first hand");
    press(&mut second, Modifiers::COMMAND, Key::S);
    assert_eq!(heading(&second), "The set is not saved");
    assert_eq!(open_design(&file).unwrap().0.name, "first hand");
    press(&mut second, Modifiers::NONE, Key::Escape);
    assert_eq!(open_design(&file).unwrap().0.name, "first hand");
    assert_eq!(second.state().history().set().name, "second hand");
    // The first is told as soon as the other has saved over it on purpose.
    press(&mut second, Modifiers::COMMAND, Key::S);
    egui_kittest::kittest::Queryable::get_by_label(&second, "Save over it").click();
    second.run();
    assert_eq!(open_design(&file).unwrap().0.name, "second hand");
    first.input_mut().focused = false;
    first.run();
    first.input_mut().focused = true;
    first.run();
    assert!(
        heading(&first).contains("changed by another program"),
        "{}",
        heading(&first)
    );
}

/// Each window keeps its unsaved work in a place of its own, and settings of one do not undo what the other wrote to the design.
#[test]
fn two_windows_keep_unsaved_work_apart() {
    let home = tempfile::tempdir().unwrap();
    let mut first = start(home.path(), None);
    let mut second = start(home.path(), None);
    name(&mut first, "first hand");
    name(&mut second, "second hand");
    first.state().filing().flush();
    second.state().filing().flush();
    let folder = Folders::under(home.path()).recovery;
    let kept: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "kept"))
        .map(|path| String::from_utf8_lossy(&std::fs::read(path).unwrap()).into_owned())
        .collect();
    assert_eq!(kept.len(), 2);
    for name in ["first hand", "second hand"] {
        assert_eq!(kept.iter().filter(|text| text.contains(name)).count(), 1);
    }
}

/// What one window sets and learns stays when another, that knows nothing of it, moves and ends; and the other way round.
#[test]
fn two_windows_never_undo_each_others_settings() {
    let home = tempfile::tempdir().unwrap();
    let kept = || Settings::load(&Folders::under(home.path())).settings;
    let mut first = start(home.path(), None);
    let mut second = start(home.path(), None);
    let own = &mut first.state_mut().session_mut().preferences;
    own.figures.insert("oil-edge".to_owned(), 0.7);
    assert!(own.learned.learn_density("steel_1084", 7.81));
    first.run();
    assert_eq!(kept().thresholds.get("oil-edge"), Some(&0.7));
    // The second moves, goes to the back, and comes again with a figure and a look of its own.
    let at = Pos2::new(40.0, 50.0);
    stand(&mut second, at, vec2(1200.0, 800.0), false);
    second.input_mut().focused = false;
    second.run();
    let own = &mut second.state_mut().session_mut().preferences;
    own.figures.insert("plate-edge".to_owned(), 0.4);
    own.theme = tangwright::window::ThemeChoice::Paper;
    second.run();
    second.state_mut().end_session();
    let now = kept();
    let figures: Vec<(&str, f64)> = now
        .thresholds
        .iter()
        .map(|(k, v)| (k.as_str(), *v))
        .collect();
    assert_eq!(figures, [("oil-edge", 0.7), ("plate-edge", 0.4)]);
    assert_eq!(now.learned.density_g_cm3("steel_1084"), Some(7.81));
    assert_eq!(now.theme, tangwright::files::Theme::Paper);
    assert_eq!(now.window.and_then(|place| place.at), Some((40.0, 50.0)));
    // The first takes its figure back: that of the second stays, and so does its place.
    first.state_mut().session_mut().preferences.figures.clear();
    first.run();
    first.state_mut().end_session();
    let now = kept();
    assert_eq!(now.thresholds.keys().collect::<Vec<_>>(), ["plate-edge"]);
    assert_eq!(now.theme, tangwright::files::Theme::Paper);
    assert_eq!(now.window.and_then(|place| place.at), Some((40.0, 50.0)));
}
