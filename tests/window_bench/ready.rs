//! The ready check on the Template card: a service is chosen, a finding is looked at, its mend is told, made and undone.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use std::sync::Arc;

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use crate::common::set;
use tangwright::files::Folders;
use tangwright::knife::Node;
use tangwright::sheet::{Counts, ExportKind, ExportOptions, export_set};
use tangwright::window::{StartOptions, Workshop};

type Window = Harness<'static, Workshop>;

/// The first knife with two nodes on one spot of its spine.
fn opened() -> Window {
    let mut set = set();
    let knife = Arc::make_mut(set.knives.first_mut().unwrap());
    let twin = knife.outline.nodes.first().unwrap();
    let (at, out) = (twin.at, twin.handle_out);
    let id = knife.take_id();
    let mut node = Node::corner(id, at);
    node.handle_out = out;
    knife.outline.nodes.insert(1, node);
    if let Some(first) = knife.outline.nodes.first_mut() {
        first.handle_out = None;
    }
    let mut window = Harness::builder()
        .with_size(egui::vec2(1440.0, 2600.0))
        .with_max_steps(60)
        .build_eframe(|_| Workshop::new(set));
    window.run_steps(6);
    window
}

fn nodes(window: &Window) -> usize {
    let state = window.state();
    let id = state.session().knife.unwrap();
    state.history().set().knife(id).unwrap().outline.nodes.len()
}

fn has(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

#[test]
fn a_mend_is_told_then_made_then_undone() {
    let mut window = opened();
    let before = nodes(&window);
    assert!(has(&window, "would be asked"));
    assert!(!has(&window, "nodes now"), "nothing is told unasked");
    window
        .get_by_label_contains("stop: Two nodes of the outline lie on one spot")
        .click();
    window.run_steps(4);
    assert!(has(
        &window,
        &format!("{before} nodes now, {} after", before - 1)
    ));
    assert_eq!(nodes(&window), before, "looking changes nothing");
    window.get_by_label("Join the two nodes").click();
    window.run_steps(4);
    assert_eq!(nodes(&window), before - 1);
    assert!(!has(&window, "stop: Two nodes of the outline"));
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    window.run_steps(4);
    assert_eq!(nodes(&window), before);
}

/// `cutting.csv`, fibre laser, heat: up to 0.508 mm of the edge is heated.
#[test]
fn a_mend_of_the_file_makes_a_service_of_ones_own() {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1440.0, 2600.0))
        .with_max_steps(60)
        .build_eframe(|_| Workshop::new(set()));
    window.run_steps(6);
    window.get_by_label("cut by").click();
    window.run_steps(4);
    window.get_by_label("Fiber laser").click();
    window.run_steps(6);
    window
        .get_by_label_contains("warn: The cut heats the edge")
        .click();
    window.run_steps(4);
    assert!(has(
        &window,
        "0.00\u{a0}mm left on all round now, 0.51\u{a0}mm after"
    ));
    window.get_by_label("Leave steel on").click();
    window.run_steps(6);
    let services = &window.state().session().preferences.services;
    assert_eq!(services.chosen, "Our fiber laser");
    assert_eq!(services.chosen().unwrap().left_on_mm, 0.508);
    assert!(!has(&window, "warn: The cut heats the edge"));
    assert!(has(&window, "0.51 mm left on all round"));
}

#[test]
fn rules_are_typed_and_refused_in_the_dialog() {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1440.0, 2600.0))
        .with_max_steps(60)
        .build_eframe(|_| Workshop::new(set()));
    window.run_steps(6);
    window.get_by_label("Rules…").click();
    window.run_steps(6);
    window.get_by_label("r12, DXF edition").click();
    window.run_steps(6);
    let services = window.state().session().preferences.services.clone();
    assert_eq!(services.chosen, "Our waterjet");
    // A kerf of 3 mm leaves no corner sharper than 1.5 mm: refused beside the field.
    window.get_by_label("Kerf").focus();
    window.run_steps(2);
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    window.run_steps(2);
    window.get_by_label("Kerf").type_text("3");
    window.run_steps(2);
    window.key_press(egui::Key::Enter);
    window.run_steps(4);
    assert!(has(&window, "set inside-radius first"));
    let kept = window.state().session().preferences.services.clone();
    assert_eq!(kept.chosen().unwrap().kerf_mm, 1.0);
}

fn typed(window: &mut Window, label: &str, text: &str) {
    window.get_by_label(label).focus();
    window.run_steps(2);
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    window.run_steps(2);
    window.get_by_label(label).type_text(text);
    window.run_steps(2);
    window.key_press(egui::Key::Enter);
    window.run_steps(6);
}

/// Three of the hunter and one paring knife: the cutting files of the whole rack are those the command line writes for such counts, with three times the hunter's
/// lines and once the paring knife's in them.
#[test]
fn how_many_to_cut_is_typed_on_the_card() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = Harness::builder()
        .with_size(egui::vec2(1440.0, 2600.0))
        .with_max_steps(60)
        .build_eframe(|_| {
            Workshop::start(StartOptions {
                file: None,
                folders: Some(Folders::under(&folder.path().join("home"))),
                native_dialogs: false,
                set: Some(set()),
            })
        });
    window.run_steps(6);
    let set = set();
    let [hunter, paring] = [0, 1].map(|place: usize| &set.knives[place]);
    typed(&mut window, "how many to cut", "3");
    assert_eq!(window.state().session().nest.count_of(hunter.id), 3);
    assert_eq!(window.state().session().nest.count_of(paring.id), 1);
    window.get_by_label("Cut whole rack").click();
    window.run_steps(6);
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    typed(&mut window, "Path", &out.display().to_string());
    let counts = Counts {
        of: [(hunter.id, 3), (paring.id, 1)].into(),
    };
    let wanted = |kinds, together, counts: &Counts| {
        let options = ExportOptions {
            kinds,
            together,
            counts: counts.clone(),
            ..ExportOptions::default()
        };
        export_set(set.knives.iter().map(AsRef::as_ref), &set, &options).unwrap()
    };
    let files = wanted(vec![ExportKind::Dxf], true, &counts);
    assert!(!files.is_empty());
    let mut lines = 0;
    for file in &files {
        let written = std::fs::read(out.join(&file.name)).unwrap();
        assert!(written == file.bytes, "{}", file.name);
        lines += outlines(&written);
    }
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), files.len());
    // Each alone, once.
    let each = wanted(vec![ExportKind::Dxf], false, &Counts::default());
    let of = |name: &str| {
        let own = each.iter().filter(|file| file.name.starts_with(name));
        own.map(|file| outlines(&file.bytes)).sum::<usize>()
    };
    assert!(of("hunter") > 0 && of("paring") > 0);
    assert_eq!(lines, 3 * of("hunter") + of("paring"));
    // A knife that is not nested at all is not said to be cut once.
    window
        .state_mut()
        .session_mut()
        .nest
        .counts
        .insert(hunter.id, 0);
    window.run_steps(4);
    let field = window.get_by_label("how many to cut");
    assert_eq!(field.value().as_deref(), Some("0"));
}

/// Closed lines of a DXF.
fn outlines(bytes: &[u8]) -> usize {
    let text = String::from_utf8_lossy(bytes);
    text.lines()
        .filter(|line| line.trim() == "LWPOLYLINE")
        .count()
}
