//! The ready check on the Template card: a service is chosen, a finding is looked at, its mend is told, made and undone.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use std::sync::Arc;

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use crate::common::set;
use tangwright::knife::Node;
use tangwright::window::Workshop;

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
    assert!(has(&window, "0.00 mm left on all round now, 0.51 mm after"));
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
