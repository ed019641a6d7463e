//! Nesting in the window: laid out, searched off the window's thread, stopped, written.

use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::common::{press, window};
use crate::dropped::Dropped;
use crate::filed::write_into;
use crate::set_drawn::shapes;
use tangwright::files::Folders;
use tangwright::knife::orchard_set;
use tangwright::window::{Action, BenchPage, PieceFrom, StartOptions, StockKind, Workshop};

type Window = Harness<'static, Workshop>;

fn at_the_nest(home: &std::path::Path) -> Window {
    let mut window = window(Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(home)),
        native_dialogs: false,
        set: Some(orchard_set()),
    }));
    press(&mut window, Modifiers::NONE, Key::F7);
    assert_eq!(window.state().session().page, BenchPage::Nest);
    window
}

/// What the page tells a screen reader.
fn words(window: &Window) -> String {
    let page = window.get_by_role_and_label(Role::Canvas, "nest");
    page.accesskit_node().value().unwrap_or_default()
}

/// Steps frames until something is so; a search never takes this long to begin or to stop.
fn wait(window: &mut Window, what: &str, so: impl Fn(&Window) -> bool) {
    let end = Instant::now() + Duration::from_secs(60);
    while !so(window) {
        assert!(Instant::now() < end, "{what}: {}", words(window));
        std::thread::sleep(Duration::from_millis(5));
        window.step();
    }
}

fn start(window: &mut Window) {
    window.get_by_label("Lay them out").click();
    window.step();
    window.step();
}

fn stop(window: &mut Window) {
    window.get_by_label("Stop, keep the best").click();
    window.step();
    wait(window, "it stops", |w| {
        w.query_by_label("Lay them out").is_some()
    });
}

#[test]
fn knives_are_laid_out_while_the_window_goes_on_and_stopping_keeps_the_best() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_nest(&folder.path().join("home"));
    assert_eq!(words(&window), "nothing nested yet");
    assert!(
        window
            .get_by_label("Write cutting files")
            .accesskit_node()
            .is_disabled()
    );
    window.get_by_label("One Paring knife more").click();
    window.run();
    start(&mut window);
    // The best so far is there while the search goes on, and the window answers: its longest frame is far below a search's.
    let begun = Instant::now();
    wait(&mut window, "something is found", |w| {
        words(w).contains("placed on")
    });
    assert!(
        window.query_by_label("Stop, keep the best").is_some(),
        "it still searches"
    );
    let mut longest = Duration::ZERO;
    for _ in 0..40 {
        let frame = Instant::now();
        window.step();
        longest = longest.max(frame.elapsed());
    }
    assert!(
        longest < Duration::from_millis(500),
        "{longest:?} of {:?}",
        begun.elapsed()
    );
    stop(&mut window);
    let found = words(&window);
    assert!(found.starts_with("5 placed on "), "{found}");
    // Written: five outlines.
    write_into(&mut window, "Write cutting files", folder.path());
    let drawing = dxf::Drawing::load_file(folder.path().join("nest.dxf")).unwrap();
    let outlines = drawing
        .entities()
        .filter(|entity| matches!(entity.specific, dxf::entities::EntityType::LwPolyline(_)));
    assert!(outlines.count() >= 5);
    assert!(folder.path().join("nest.svg").exists());
    // A knife that is changed now is not the one that was laid out.
    press(&mut window, Modifiers::COMMAND, Key::D);
    window.run();
    assert!(
        window
            .query_by_label_contains("have changed since")
            .is_none(),
        "a copy changes none"
    );
    let knife = window.state().history().set().knives[0].id;
    let change = tangwright::edit::Change::SetBladeLength { length_mm: 240.0 };
    window
        .state_mut()
        .ask(Action::Edit(tangwright::edit::Edit::knife(knife, change)));
    window.run();
    window.get_by_label_contains("have changed since");
}

/// On the whole bar names would be a few screen points high, and knives that lie end for end would bear them upside down.
#[test]
fn names_on_the_nest_can_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_nest(folder.path());
    start(&mut window);
    wait(&mut window, "all are placed", |w| {
        words(w).starts_with("4 placed on ")
    });
    stop(&mut window);
    window.run();
    let page = window.get_by_role_and_label(Role::Canvas, "nest").rect();
    let shapes = shapes(&window);
    for knife in orchard_set().knives {
        let name = shapes.iter().find_map(|shape| match shape {
            egui::Shape::Text(text) if text.galley.text() == knife.name => {
                page.contains(text.pos).then_some(text)
            }
            _ => None,
        });
        let name = name.unwrap_or_else(|| panic!("{} bears its name", knife.name));
        assert!(name.angle.abs() < 1.6, "{}: {}", knife.name, name.angle);
        assert!(name.galley.size().y > 10.0, "{}", knife.name);
    }
}

#[test]
fn what_can_not_be_nested_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_nest(folder.path());
    for knife in orchard_set().knives {
        let fewer = format!("One {} less", knife.name);
        window.get_by_label(&fewer).click();
        window.run();
        assert!(window.get_by_label(&fewer).accesskit_node().is_disabled());
    }
    start(&mut window);
    wait(&mut window, "it says why", |w| {
        w.query_by_label_contains("there is nothing to nest")
            .is_some()
    });
    wait(&mut window, "it ends", |w| {
        w.query_by_label("Lay them out").is_some()
    });
    // A piece needs corners.
    window.get_by_label("Odd piece").click();
    window.run();
    start(&mut window);
    window.run();
    window.get_by_label_contains("0 corners enclose nothing");
}

#[test]
fn an_odd_piece_is_set_on_the_page_and_kept_out_of_its_flaws() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_nest(folder.path());
    window.get_by_label("Odd piece").click();
    window.run();
    let page = window.get_by_role_and_label(Role::Canvas, "nest").rect();
    let at = |x: f32, y: f32| page.left_top() + egui::vec2(x * page.width(), y * page.height());
    let click = |window: &mut Window, pos: egui::Pos2| {
        window.event(egui::Event::PointerMoved(pos));
        for pressed in [true, false] {
            window.event(egui::Event::PointerButton {
                pos,
                button: egui::PointerButton::Primary,
                pressed,
                modifiers: Modifiers::NONE,
            });
        }
        window.run();
        // Two clicks in a row are not one double click.
        window.step();
    };
    for (x, y) in [(0.1, 0.8), (0.9, 0.8), (0.9, 0.3), (0.1, 0.3)] {
        click(&mut window, at(x, y));
    }
    assert_eq!(window.state().session().nest.corners.split(' ').count(), 4);
    window.get_by_label("Mark flaws").click();
    window.run();
    click(&mut window, at(0.5, 0.55));
    assert!(window.state().session().nest.flaws.ends_with(",2.0"));
    press(&mut window, Modifiers::NONE, Key::Backspace);
    assert_eq!(window.state().session().nest.flaws, "");
    click(&mut window, at(0.5, 0.55));
    start(&mut window);
    wait(&mut window, "something is found", |w| {
        words(w).contains("placed on the piece")
    });
    if window.query_by_label("Stop, keep the best").is_some() {
        stop(&mut window);
    }
    assert!(words(&window).contains("placed on the piece"));
}

#[test]
fn a_knife_of_the_rack_or_a_dropped_drawing_is_the_piece() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_nest(&folder.path().join("home"));
    window.state_mut().session_mut().nest.kind = StockKind::Odd;
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="800mm" height="220mm" viewBox="0 0 800 220">
        <path d="M0 220 L800 220 L800 60 L100 0 L0 0 Z"/><circle cx="300" cy="60" r="10"/></svg>"#;
    let path = folder.path().join("piece.svg");
    {
        use std::io::Write;
        let mut file = std::fs::File::create(&path).unwrap();
        file.write_all(svg.as_bytes()).unwrap();
    }
    window.run();
    window
        .input_mut()
        .dropped_files
        .push(std::sync::Arc::new(Dropped(path)));
    window.run();
    let piece = &window.state().session().nest.piece;
    assert!(
        matches!(piece, PieceFrom::Drawing { name, .. } if name == "piece.svg"),
        "{piece:?}"
    );
    start(&mut window);
    wait(&mut window, "something is found", |w| {
        words(w).contains("placed on the piece")
    });
    if window.query_by_label("Stop, keep the best").is_some() {
        stop(&mut window);
    }
    assert!(words(&window).starts_with("4 placed"), "{}", words(&window));
}
