//! The screens of the window, each as a maker comes to it: cards, pages, menus, dialogs.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Key, Modifiers, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tangwright::edit::Thing;
use tangwright::files::open_design;
use tangwright::window::{Action, BenchPage, Command, GrindPart, ThemeChoice, Tool, Workshop};

use crate::dropped::Dropped;

pub(crate) type Window = Harness<'static, Workshop>;

/// A window on the orchard set, tall enough for every card to be read without scrolling.
pub(crate) fn orchard(theme: ThemeChoice) -> Window {
    orchard_in(vec2(1440.0, 2400.0), 1.0, theme)
}

/// A window on the orchard set of so many points, on a screen of so many pixels to a point.
pub(crate) fn orchard_in(size: Vec2, pixels_per_point: f32, theme: ThemeChoice) -> Window {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard-set.tangwright");
    let (set, _) = open_design(&path).unwrap();
    let mut workshop = Workshop::new(set);
    workshop.session_mut().preferences.theme = theme;
    let mut window = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(pixels_per_point)
        .with_max_steps(60)
        .build_eframe(|_| workshop);
    window.run_steps(6);
    window
}

/// Visits every screen of a window, by its name.
pub(crate) fn each(window: &mut Window, mut visit: impl FnMut(&str, &mut Window)) {
    visit_knives(window, &mut visit);
    visit_picks(window, &mut visit);
    for page in BenchPage::ALL {
        act(window, Action::ShowPage(page));
        visit(page.name(), window);
    }
    act(window, Action::ShowPage(BenchPage::Drawing));
    for menu in ["File", "Edit", "Bench", "Help"] {
        window.get_by_role_and_label(Role::Button, menu).click();
        window.run_steps(4);
        visit(menu, window);
        window.key_press(Key::Escape);
        window.run_steps(4);
    }
    each_dialog(window, &mut visit);
    let folder = tempfile::tempdir().unwrap();
    visit_picture(window, folder.path(), &mut visit);
    visit_dropped(window, folder.path(), &mut visit);
    visit_ready(window, &mut visit);
    visit_findings(window, &mut visit);
    visit_odd_piece(window, &mut visit);
    visit_one_over_the_other(window, &mut visit);
}

/// Visits every dialog that a command opens.
pub(crate) fn each_dialog(window: &mut Window, mut visit: impl FnMut(&str, &mut Window)) {
    for command in [
        Command::NewKnife,
        Command::OpenByPath,
        Command::SaveByPath,
        Command::Calibrate,
        Command::Printer,
        Command::Figures,
        Command::Keys,
        Command::Cautions,
        Command::About,
    ] {
        act(window, Action::Do(command));
        visit(command.name(), window);
        window.key_press(Key::Escape);
        window.run_steps(4);
        assert!(!window.state().session().dialog_open(), "{command:?}");
    }
}

/// Steps frames until something is so; reading and tracing never take this long.
fn wait(window: &mut Window, what: &str, so: impl Fn(&Window) -> bool) {
    let end = Instant::now() + Duration::from_secs(100);
    while !so(window) {
        assert!(Instant::now() < end, "waited in vain: {what}");
        std::thread::sleep(Duration::from_millis(5));
        window.step();
    }
    window.run_steps(6);
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click_accesskit();
    window.run_steps(8);
}

fn has(window: &Window, label: &str) -> bool {
    window.query_by_label(label).is_some()
}

fn drop_file(window: &mut Window, path: &Path) {
    let file = Arc::new(Dropped(path.to_owned()));
    window.input_mut().dropped_files.push(file);
    window.run_steps(6);
}

/// Trace in hand: without a picture, with one and either way to make it true, and with the outline that was found.
fn visit_picture(window: &mut Window, folder: &Path, visit: &mut impl FnMut(&str, &mut Window)) {
    act(window, Action::Do(Command::Take(Tool::Trace)));
    visit("Trace, no picture", window);
    let plate = image::GrayImage::from_fn(400, 200, |x, y| {
        let dark = (50..350).contains(&x) && (60..140).contains(&y);
        image::Luma([if dark { 30 } else { 200 }])
    });
    let path = folder.join("plate.png");
    plate.save(&path).unwrap();
    drop_file(window, &path);
    wait(window, "it is laid", |w| has(w, "Find the outline"));
    visit("Trace, by a sheet", window);
    click(window, "by a distance, true size of the picture");
    click(window, "Find the outline");
    wait(window, "it is found", |w| has(w, "Take it over"));
    visit("Trace, by a distance, found", window);
    click(window, "Drop it");
    click(window, "Take away");
    act(window, Action::Do(Command::Take(Tool::Shift)));
}

/// A drawing from elsewhere with a loose end and something that is left out.
fn visit_dropped(window: &mut Window, folder: &Path, visit: &mut impl FnMut(&str, &mut Window)) {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="60mm" viewBox="0 0 200 60">
        <path d="M0 40 L0 20 L120 20 L200 35 L120 45 L0.05 40.02"/><circle cx="30" cy="30" r="3"/><path d="M60 2 L90 4"/></svg>"#;
    let path = folder.join("dropped.svg");
    tangwright::files::write_atomically(&path, svg.as_bytes()).unwrap();
    drop_file(window, &path);
    assert!(window.state().session().dialog_open(), "it is looked at");
    visit("a dropped drawing", window);
    window.key_press(Key::Escape);
    window.run_steps(4);
}

/// The ready check with a finding looked at, and the rules of its service.
fn visit_ready(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    let (id, _) = knives(window).remove(0);
    act(window, Action::ShowKnife(id));
    window.state_mut().session_mut().preferences.services.chosen = "Fiber laser".to_owned();
    window.run_steps(12);
    let asked = |w: &Window| w.query_all_by_label_contains("would be asked").count();
    assert_eq!(asked(window), 1, "a laser heats the edge");
    let line = window.get_by_label_contains("warn: The cut heats the edge");
    line.click_accesskit();
    window.run_steps(8);
    visit("ready check, looked at", window);
    click(window, "Rules…");
    assert!(window.state().session().dialog_open(), "its rules");
    visit("rules of a service", window);
    window.key_press(Key::Escape);
    window.run_steps(4);
}

fn visit_findings(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    let counts = window.get_all_by_label_contains("findings: ").next();
    counts.unwrap().click_accesskit();
    window.run_steps(8);
    visit("findings, the list open", window);
    window.key_press(Key::Escape);
    window.run_steps(4);
}

fn visit_odd_piece(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    act(window, Action::ShowPage(BenchPage::Nest));
    click(window, "Odd piece");
    let nest = &mut window.state_mut().session_mut().nest;
    nest.corners = "0,0 900,0 900,300 0,280".to_owned();
    nest.flaws = "120,30,4".to_owned();
    click(window, "Lay them out");
    wait(window, "something is found", |w| {
        let told = w.query_all_by_label_contains("placed on the piece");
        told.count() > 0
    });
    if has(window, "Stop, keep the best") {
        click(window, "Stop, keep the best");
    }
    wait(window, "it stops", |w| has(w, "Lay them out"));
    visit("Nest, an odd piece", window);
}

fn visit_one_over_the_other(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    act(window, Action::ShowPage(BenchPage::Set));
    click(window, "One over the other");
    visit("Set, one over the other", window);
    act(window, Action::ShowPage(BenchPage::Drawing));
}

fn visit_knives(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    // The Handle card is shut at first.
    window.get_by_label("Handle card").click();
    window.run_steps(6);
    let ids: Vec<_> = knives(window);
    for (id, name) in ids {
        act(window, Action::ShowKnife(id));
        visit(&name, window);
    }
}

fn knives(window: &Window) -> Vec<(u32, String)> {
    let set = window.state().history().set();
    set.knives.iter().map(|k| (k.id, k.name.clone())).collect()
}

/// With things picked, and with the parts of the Grind card open.
fn visit_picks(window: &mut Window, visit: &mut impl FnMut(&str, &mut Window)) {
    for (id, name) in knives(window) {
        act(window, Action::ShowKnife(id));
        let set = window.state().history().set();
        let knife = set.knife(id).unwrap().clone();
        let mut things = vec![Thing::Node(knife.outline.nodes[1].id)];
        things.extend(knife.cut_outs.first().map(|c| Thing::CutOut(c.id)));
        things.extend(knife.rows.first().map(|r| Thing::Row(r.id)));
        things.extend(knife.landmarks.first().map(|l| Thing::Landmark(l.kind)));
        for thing in things {
            act(window, Action::Pick(vec![thing]));
            visit(&format!("{name}, {thing:?}"), window);
        }
        act(window, Action::Pick(Vec::new()));
        let grind = knife
            .grinding
            .grinds
            .first()
            .map(|g| GrindPart::Grind(g.id));
        if let Some(part) = grind {
            window.state_mut().session_mut().grind_part = Some(part);
            window.run_steps(6);
            visit(&format!("{name}, a grind"), window);
        }
    }
}

pub(crate) fn act(window: &mut Window, action: Action) {
    window.state_mut().ask(action);
    // Results are worked out beside the window, and cards open over some frames.
    for _ in 0..3 {
        window.run_steps(4);
    }
}

/// Presses a key a number of frames long enough to be seen.
pub(crate) fn press(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::NONE, key);
    window.run_steps(2);
}
