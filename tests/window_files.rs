//! The window and the disk: opening, saving, exporting, other programs, closing, and the work a crash leaves.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/shell.rs"]
mod common;
#[path = "common/dropped.rs"]
mod dropped;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use common::{choose, press, set, window};
use dropped::Dropped;
use egui::{Key, Modifiers, ViewportCommand, ViewportEvent, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::files::{Folders, Over, open_design, save_design};
use tangwright::knife::{CutShape, LandmarkKind};
use tangwright::units::LengthUnit;
use tangwright::window::{Dialog, Purpose, StartOptions, ThemeChoice, Workshop};

type Window = Harness<'static, Workshop>;

/// A folder for one test, gone when the test ends.
struct Home(tempfile::TempDir);

impl Home {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// A window as the program starts it, with all it keeps in this folder.
    fn start(&self, file: Option<&Path>) -> Window {
        window(Workshop::start(StartOptions {
            file: file.map(Path::to_owned),
            folders: Some(Folders::under(&self.path("home"))),
            native_dialogs: false,
            set: Some(set()),
        }))
    }

    /// A saved design.
    fn saved(&self, name: &str) -> PathBuf {
        let path = self.path(name);
        save_design(&path, &set(), Over::Anything).unwrap();
        path
    }
}

/// Another program writes the file; not ours, so by the plainest means.
fn write_by_hand(path: &Path, text: &str) {
    use std::io::Write;
    let mut file = std::fs::File::create(path).unwrap();
    file.write_all(text.as_bytes()).unwrap();
}

/// Types a path into the dialog that asks for one.
fn type_path(window: &mut Window, path: &Path) {
    press(window, Modifiers::COMMAND, Key::A);
    window
        .get_by_label("Path")
        .type_text(&path.display().to_string());
    window.run();
    press(window, Modifiers::NONE, Key::Enter);
}

/// The heading and the text of the open question.
fn asked(window: &Window) -> String {
    match &window.state().session().dialog {
        Dialog::Question(question) => {
            format!("{}\n{}", question.heading, question.lines.join("\n"))
        }
        _ => String::new(),
    }
}

fn answer(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.run();
}

/// The desktop asks the window to close; whether the window lets itself be closed.
fn close(window: &mut Window) -> bool {
    let root = window.input_mut().viewports.entry(ViewportId::ROOT);
    root.or_default().events.push(ViewportEvent::Close);
    window.step();
    let stays = commands(window).contains(&ViewportCommand::CancelClose);
    window.run();
    !stays
}

fn commands(window: &Window) -> Vec<ViewportCommand> {
    let output = &window.output().viewport_output;
    output[&ViewportId::ROOT].commands.clone()
}

#[test]
fn a_bad_file_gives_a_message_and_leaves_the_design_alone() {
    let home = Home::new();
    let bad = home.path("bad.tangwright");
    write_by_hand(&bad, r#"{"tangwright": 1, "name": 7}"#);
    let mut window = home.start(None);
    choose(&mut window, "Edit", "Double knife");
    let before = window.state().history().set().clone();
    press(&mut window, Modifiers::COMMAND, Key::O);
    // There are unsaved changes, so they come first.
    assert!(
        asked(&window).contains("Save the changes"),
        "{}",
        asked(&window)
    );
    answer(&mut window, "Go on without saving");
    type_path(&mut window, &bad);
    let text = asked(&window);
    assert!(text.contains("not opened"), "{text}");
    assert!(
        text.contains("bad.tangwright") && text.contains("name"),
        "{text}"
    );
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().session().dialog, Dialog::None);
    assert_eq!(window.state().history().set(), &before);
    assert_eq!(window.state().history().undo_label(), Some("double knife"));
    assert!(window.state().filing().changed());
}

#[test]
fn bad_files_of_every_kind_are_survived_at_the_start() {
    let home = Home::new();
    let folder = home.path("folder.tangwright");
    std::fs::create_dir(&folder).unwrap();
    let empty = home.path("empty.tangwright");
    write_by_hand(&empty, "");
    let newer = home.path("newer.tangwright");
    write_by_hand(&newer, r#"{"tangwright": 99}"#);
    for path in [folder, empty, newer, home.path("missing.tangwright")] {
        let window = home.start(Some(&path));
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(asked(&window).contains(&name), "{}", asked(&window));
        assert_eq!(window.state().history().set(), &set());
        assert_eq!(window.state().filing().path(), None);
    }
}

#[test]
fn the_last_good_state_of_a_damaged_file_is_offered() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    // The second saving keeps the first state beside the file.
    let mut later = set();
    later.name = "Later".into();
    save_design(&path, &later, Over::Anything).unwrap();
    write_by_hand(&path, "{\"tangwright\": 1, \"na");
    let mut window = home.start(Some(&path));
    answer(&mut window, "Open its last good state");
    assert_eq!(window.state().history().set(), &set());
    assert!(window.state().filing().changed());
    assert_eq!(window.state().filing().path(), None);
}

#[test]
fn what_is_saved_opens_the_same() {
    let home = Home::new();
    let path = home.path("sub.dir");
    std::fs::create_dir(&path).unwrap();
    let path = path.join("rack");
    let mut window = home.start(None);
    choose(&mut window, "Edit", "Double knife");
    assert!(window.state().filing().changed());
    press(&mut window, Modifiers::COMMAND, Key::S);
    type_path(&mut window, &path);
    let path = path.with_extension("tangwright");
    assert_eq!(window.state().filing().path(), Some(path.as_path()));
    assert!(!window.state().filing().changed());
    assert_eq!(
        window.state().filing().recent(),
        std::slice::from_ref(&path)
    );
    let (read, _) = open_design(&path).unwrap();
    assert_eq!(&read, window.state().history().set());
    // Undo after saving is a change, and redo brings back the saved state.
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(window.state().filing().changed());
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!(!window.state().filing().changed());
    // Another start finds it among the recent files.
    drop(window);
    let mut window = home.start(None);
    window.get_by_label("File").click();
    window.run();
    window.get_by_label("Open recent").hover();
    window.run();
    window.get_by_label_contains("rack.tangwright").click();
    window.run();
    assert_eq!(window.state().history().set(), &read);
}

#[test]
fn saving_asks_before_it_replaces_another_file() {
    let home = Home::new();
    let other = home.path("other.tangwright");
    write_by_hand(&other, "something else");
    let mut window = home.start(None);
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    type_path(&mut window, &other);
    assert!(asked(&window).contains("Replace other.tangwright?"));
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "something else");
    assert_eq!(window.state().filing().path(), None);
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    type_path(&mut window, &other);
    answer(&mut window, "Replace");
    assert_eq!(open_design(&other).unwrap().0, set());
}

#[test]
fn closing_with_unsaved_changes_asks() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    assert!(close(&mut window), "nothing has changed");

    let mut window = home.start(Some(&path));
    choose(&mut window, "Edit", "Double knife");
    assert!(!close(&mut window));
    assert!(
        asked(&window).contains("rack.tangwright"),
        "{}",
        asked(&window)
    );
    // Asking twice is still one question, and staying is staying.
    assert!(!close(&mut window));
    answer(&mut window, "Stay");
    assert_eq!(window.state().session().dialog, Dialog::None);
    assert!(!close(&mut window));
    window.get_by_label("Save").click();
    window.step();
    window.step();
    assert!(commands(&window).contains(&ViewportCommand::Close));
    assert_eq!(
        &open_design(&path).unwrap().0,
        window.state().history().set()
    );
}

#[test]
fn closing_without_saving_leaves_nothing_behind() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    choose(&mut window, "Edit", "Double knife");
    press(&mut window, Modifiers::COMMAND, Key::Q);
    window.get_by_label("Close without saving").click();
    window.step();
    window.step();
    assert!(commands(&window).contains(&ViewportCommand::Close));
    window.state_mut().end_session();
    drop(window);
    assert_eq!(open_design(&path).unwrap().0, set());
    assert_eq!(asked(&home.start(None)), "");
}

#[test]
fn after_a_crash_the_next_start_offers_the_work() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    choose(&mut window, "Edit", "Double knife");
    let work = window.state().history().set().clone();
    window.state().filing().flush();
    // Gone without a word: nothing is ended, nothing is asked.
    drop(window);

    let mut window = home.start(None);
    assert!(
        asked(&window).contains("rack.tangwright"),
        "{}",
        asked(&window)
    );
    // Not now: the next start asks again.
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert_eq!(window.state().history().set(), &set());
    drop(window);

    let mut window = home.start(None);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().history().set(), &work);
    assert_eq!(window.state().filing().path(), Some(path.as_path()));
    assert!(window.state().filing().changed());
    // The recovered work is safe from the next crash too.
    window.state().filing().flush();
    drop(window);
    let mut window = home.start(None);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().history().set(), &work);
    // Saved and ended in good order, nothing is offered any more.
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert_eq!(open_design(&path).unwrap().0, work);
    window.state_mut().end_session();
    drop(window);
    assert_eq!(asked(&home.start(None)), "");
}

#[test]
fn work_of_a_crash_can_be_thrown_away() {
    let home = Home::new();
    let mut window = home.start(None);
    choose(&mut window, "Edit", "Double knife");
    drop(window);
    let mut window = home.start(None);
    assert!(asked(&window).contains("never saved"), "{}", asked(&window));
    answer(&mut window, "Throw it away");
    window.state().filing().flush();
    drop(window);
    assert_eq!(asked(&home.start(None)), "");
}

/// The window goes to the back and comes to the front again.
fn come_to_front(window: &mut Window) {
    window.input_mut().focused = false;
    window.run();
    window.input_mut().focused = true;
    window.run();
}

#[test]
fn a_file_changed_by_another_program_is_noticed() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    come_to_front(&mut window);
    assert_eq!(asked(&window), "");
    let mut theirs = set();
    theirs.name = "Theirs".into();
    save_design(&path, &theirs, Over::Anything).unwrap();
    come_to_front(&mut window);
    assert!(asked(&window).contains("changed by another program"));
    answer(&mut window, "Keep mine");
    assert_eq!(window.state().history().set(), &set());
    assert!(window.state().filing().changed());
    // Once is enough, but saving still does not go over it unasked.
    come_to_front(&mut window);
    assert_eq!(asked(&window), "");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(asked(&window).contains("changed by another program"));
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert_eq!(open_design(&path).unwrap().0, theirs);
    press(&mut window, Modifiers::COMMAND, Key::S);
    answer(&mut window, "Save over it");
    assert_eq!(open_design(&path).unwrap().0, set());
}

#[test]
fn what_another_program_wrote_can_be_opened() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    let mut theirs = set();
    theirs.name = "Theirs".into();
    save_design(&path, &theirs, Over::Anything).unwrap();
    come_to_front(&mut window);
    answer(&mut window, "Open what is there");
    assert_eq!(window.state().history().set(), &theirs);
    assert!(!window.state().filing().changed());
}

#[test]
fn a_vanished_file_is_noticed_and_saved_again() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(Some(&path));
    std::fs::remove_file(&path).unwrap();
    come_to_front(&mut window);
    assert!(asked(&window).contains("is gone"), "{}", asked(&window));
    answer(&mut window, "Save it again");
    assert_eq!(open_design(&path).unwrap().0, set());
}

#[test]
fn a_file_dropped_on_the_window_opens() {
    let home = Home::new();
    let path = home.path("dropped.tangwright");
    let mut theirs = set();
    theirs.name = "Dropped".into();
    save_design(&path, &theirs, Over::Anything).unwrap();
    let mut window = home.start(None);
    let file = Dropped(path.clone());
    window.input_mut().dropped_files.push(Arc::new(file));
    window.run();
    assert_eq!(window.state().history().set(), &theirs);
    assert_eq!(window.state().filing().path(), Some(path.as_path()));
}

/// A plate of 100 by 20 mm with a hole of 5 mm, drawn in inches by another program: its size shows before anything is taken in.
#[test]
fn a_drawing_dropped_on_the_window_is_looked_at_first() {
    let home = Home::new();
    let path = home.path("Plate.svg");
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='20mm' viewBox='0 0 100 20'>\
        <path d='M0 0H100V20H0Z'/><circle cx='30' cy='10' r='2.5'/></svg>";
    tangwright::files::write_atomically(&path, svg.as_bytes()).unwrap();
    let mut window = home.start(None);
    let before = window.state().history().set().clone();
    let drop = |window: &mut Harness<'_, Workshop>, path: &std::path::Path| {
        let file = Dropped(path.to_owned());
        window.input_mut().dropped_files.push(Arc::new(file));
        window.run();
    };
    drop(&mut window, &path);
    window.get_by_label_contains("100.0 × 20.0 mm, 3.94 × 0.79 in");
    assert_eq!(window.state().history().set(), &before, "nothing unasked");
    window.get_by_label("Add to the rack").click();
    window.run();
    let set = window.state().history().set();
    let knife = set.knives.last().unwrap();
    assert_eq!(knife.name, "Plate");
    assert!((knife.contour().moments().area - 2000.0).abs() < 1e-3);
    let CutShape::Round { diameter_mm, .. } = knife.cut_outs[0].shape else {
        panic!("a round hole: {:?}", knife.cut_outs);
    };
    assert!((diameter_mm - 5.0).abs() < 1e-3);
    // Rubbish says what it is, and can't be added.
    let bad = home.path("bad.dxf");
    tangwright::files::write_atomically(&bad, b"no drawing at all").unwrap();
    drop(&mut window, &bad);
    let add = window.get_by_label("Add to the rack");
    assert!(add.accesskit_node().is_disabled());
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert_eq!(
        window.state().history().set().knives.len(),
        before.knives.len() + 1
    );
}

/// A knife of loose lines, drawn by hand: a gap of 0.02 mm, a line drawn twice, and one that hangs open. Each is shown at its place before anything is taken in,
/// what hangs open stays out, and the landmarks that were guessed can be moved.
#[test]
fn what_was_wrong_with_a_dropped_drawing_is_shown_at_its_place() {
    let home = Home::new();
    let path = home.path("Loose.svg");
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='40mm' viewBox='0 0 200 40'><g stroke='black' fill='none'>\
        <path d='M0 10H90V5H180L199 15L180 30H90V25H0'/><path d='M0 25.02V10'/><path d='M0 25.02V10'/><path d='M20 17H50'/></g></svg>";
    tangwright::files::write_atomically(&path, svg.as_bytes()).unwrap();
    let mut window = home.start(None);
    let file = Dropped(path.clone());
    window.input_mut().dropped_files.push(Arc::new(file));
    window.run();
    window.get_by_label_contains("left out an open line");
    let marks = window.query_all_by_label_contains("mended at x").count();
    assert_eq!(marks, 2, "the doubled line and the gap");
    window.get_by_label("Add to the rack").click();
    window.run();
    let knife = window
        .state()
        .history()
        .set()
        .knives
        .last()
        .unwrap()
        .clone();
    assert!(knife.cut_outs.is_empty());
    let area = 90.0 * 15.0 + 90.0 * 25.0 + 19.0 * 25.0 / 2.0;
    assert!((knife.contour().moments().area - area).abs() < 3.0);
    // Opened as any other file it is looked at just so.
    let opened = home.start(Some(&path));
    opened.get_by_label_contains("left out an open line");
    // A guessed landmark is a thing on the drawing; the arrow keys move it along the outline.
    let heel = |window: &Harness<'_, Workshop>| {
        let set = window.state().history().set();
        set.knives
            .last()
            .unwrap()
            .landmark_point(LandmarkKind::Heel)
            .unwrap()
    };
    let before = heel(&window);
    window.get_by_label("heel landmark").focus();
    window.run();
    for _ in 0..4 {
        press(&mut window, Modifiers::NONE, Key::ArrowRight);
    }
    assert!(heel(&window).distance(before) > 0.05, "{before:?}");
}

#[test]
fn settings_come_back_at_the_next_start() {
    let home = Home::new();
    let mut window = home.start(None);
    window.get_by_label("Inches, decimal").click();
    window.run();
    window.get_by_label("Bench").click();
    window.run();
    window.get_by_label("Colors").hover();
    window.run();
    window.get_by_label("Paper").click();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::Plus);
    let wide = window.state().session().preferences.true_px_per_mm;
    drop(window);
    let window = home.start(None);
    let preferences = &window.state().session().preferences;
    assert_eq!(preferences.length_unit, LengthUnit::DecimalInch);
    assert_eq!(preferences.theme, ThemeChoice::Paper);
    assert_eq!(preferences.text_percent, 115);
    assert!((preferences.true_px_per_mm - wide).abs() < 1e-9);
}

#[test]
fn exports_go_into_a_folder_and_replace_only_when_told() {
    let home = Home::new();
    let out = home.path("out");
    std::fs::create_dir(&out).unwrap();
    let mut window = home.start(None);
    press(&mut window, Modifiers::COMMAND, Key::E);
    type_path(&mut window, &out);
    let message = window.state().session().message.clone().unwrap();
    assert!(
        message.contains("out") && message.contains("hunter.dxf"),
        "{message}"
    );
    let names = |out: &Path| {
        let mut names: Vec<String> = std::fs::read_dir(out)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    };
    let all = names(&out);
    for name in ["hunter.svg", "hunter-a4.pdf", "paring-knife.dxf"] {
        assert!(all.iter().any(|own| own == name), "{name} in {all:?}");
    }
    write_by_hand(&out.join("hunter.dxf"), "mine");
    press(&mut window, Modifiers::COMMAND, Key::E);
    type_path(&mut window, &out);
    assert!(asked(&window).contains("Replace what is there?"));
    press(&mut window, Modifiers::NONE, Key::Escape);
    let dxf = || std::fs::read_to_string(out.join("hunter.dxf")).unwrap();
    assert_eq!(dxf(), "mine");
    press(&mut window, Modifiers::COMMAND, Key::E);
    type_path(&mut window, &out);
    answer(&mut window, "Replace");
    assert!(dxf().contains("LWPOLYLINE"));
    assert_eq!(names(&out), all);
}

/// What the buttons of the Template card print: the knife folded over its spine, the whole rack on few sheets.
#[test]
fn the_template_card_prints_folded_and_together() {
    let home = Home::new();
    let out = home.path("out");
    std::fs::create_dir(&out).unwrap();
    let mut window = home.start(None);
    for (button, wanted) in [
        ("Print folded", "hunter-folded-a4.pdf"),
        ("Print whole rack", "-together-a4.pdf"),
    ] {
        window.get_by_label(button).scroll_to_me();
        window.run();
        window.get_by_label(button).click();
        window.run();
        type_path(&mut window, &out);
        let message = window.state().session().message.clone().unwrap();
        assert!(message.contains(wanted), "{message}");
    }
    for entry in std::fs::read_dir(&out).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        assert!(bytes.starts_with(b"%PDF"));
    }
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 2);
}

#[test]
fn a_new_set_and_its_first_knife() {
    let home = Home::new();
    let mut window = home.start(None);
    press(&mut window, Modifiers::COMMAND, Key::N);
    assert!(window.state().history().set().knives.is_empty());
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    window.get_by_label("Chopper").click();
    window.run();
    window.get_by_label("Blade length").focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label("Blade length").type_text("9 1/2in");
    window.run();
    answer(&mut window, "Add to the rack");
    let state = window.state();
    let knives = &state.history().set().knives;
    assert_eq!(knives.len(), 1);
    assert_eq!(knives[0].form, "chopper");
    assert_eq!(state.session().knife, Some(knives[0].id));
    let extent = state.results().of(knives[0].id).unwrap();
    let tip = extent.steel.bounds().x1;
    // 9 1/2 in of 25.4 mm.
    assert!((tip - 241.3).abs() < 1e-6, "{tip}");
    assert_eq!(state.history().undo_label(), Some("add knife"));
}

#[test]
fn a_desktop_without_dialogs_gets_ours_with_the_keyboard_in_it() {
    let home = Home::new();
    let path = home.saved("rack.tangwright");
    let mut window = home.start(None);
    // As when the desktop's dialog is waited for and the maker will not wait.
    window.state_mut().session_mut().dialog = Dialog::Waiting(Purpose::Open);
    window.run();
    answer(&mut window, "Type a path instead");
    assert!(window.get_by_label("Path").is_focused());
    type_path(&mut window, &path);
    assert_eq!(window.state().filing().path(), Some(path.as_path()));
}

/// Counts what a maker does with hand or key.
struct Hand {
    window: Window,
    actions: usize,
}

impl Hand {
    fn key(&mut self, modifiers: Modifiers, key: Key) {
        press(&mut self.window, modifiers, key);
        self.actions += 1;
    }

    fn button(&mut self, label: &str) {
        answer(&mut self.window, label);
        self.actions += 1;
    }

    fn click_on(&mut self, x_mm: f64, y_mm: f64) {
        let session = self.window.state().session();
        let canvas = session.canvas.unwrap();
        let place = tangwright::geometry::Point::new(x_mm, y_mm);
        let pos = session.view().screen_from_model(canvas, place);
        self.window.event(egui::Event::PointerMoved(pos));
        self.window.run();
        self.window.drag_at(pos);
        self.window.step();
        self.window.event(egui::Event::PointerButton {
            pos,
            button: egui::PointerButton::Primary,
            pressed: false,
            modifiers: Modifiers::NONE,
        });
        self.window.run();
        self.actions += 1;
    }
}

#[test]
fn a_first_knife_from_empty_to_exported_in_fifteen_actions() {
    let home = Home::new();
    let out = home.path("out");
    std::fs::create_dir(&out).unwrap();
    let mut hand = Hand {
        window: home.start(None),
        actions: 0,
    };
    hand.key(Modifiers::COMMAND, Key::N);
    hand.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    hand.button("Chopper");
    hand.button("Add to the rack");
    hand.button("Drill");
    for x_mm in [-20.0, -55.0, -90.0] {
        hand.click_on(x_mm, 0.0);
    }
    hand.key(Modifiers::COMMAND, Key::E);
    type_path(&mut hand.window, &out);
    // The path is typed and taken with Enter.
    hand.actions += 2;
    assert!(hand.actions <= 15, "{} actions", hand.actions);
    let knife = &hand.window.state().history().set().knives[0];
    assert_eq!(knife.cut_outs.len(), 3);
    for name in ["chopper.dxf", "chopper.svg", "chopper-a4.pdf"] {
        let bytes = std::fs::read(out.join(name)).unwrap();
        assert!(bytes.len() > 500, "{name}: {} bytes", bytes.len());
    }
}
