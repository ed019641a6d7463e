//! A finding of the shop is pointed at: its mend is told and shown before it is made, made by one click, and undone in one step.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::common::{press, window};
use tangwright::edit::{Change, Edit};
use tangwright::geometry::Point;
use tangwright::knife::{CutOut, CutShape, Filling, Purpose, orchard_set};
use tangwright::window::{Action, Workshop};

type Window = Harness<'static, Workshop>;

/// The chopper with a hole of 0.9 mm high on its blade, away from all else, far too small to be cut, and pointed at in the list.
fn pointed_at() -> Window {
    let mut window = window(Workshop::new(orchard_set()));
    let id = window.state().session().knife.unwrap();
    let steel = window.state().results().of(id).unwrap().steel.clone();
    let (low, high) = steel.depth_at(60.0).unwrap();
    let change = Change::AddCutOut {
        shape: CutShape::Round {
            center: Point::new(60.0, low + 0.75 * (high - low)),
            diameter_mm: 0.9,
        },
        purpose: Purpose::Tooling,
        filling: Filling::Nothing,
    };
    window
        .state_mut()
        .ask(Action::Edit(Edit::knife(id, change)));
    window.run();
    point_at_small(&mut window, "0.90");
    window
}

/// Takes the finding that a hole of so many millimeters is too small to be cut from the list.
fn point_at_small(window: &mut Window, size: &str) {
    window.get_by_label_contains("findings: ").click();
    window.run();
    let start = format!("is {size} mm across; ");
    let found = window.query_all_by_label_contains(&start).find(|node| {
        let label = node.accesskit_node().label();
        label.is_some_and(|label| label.contains("makes at least"))
    });
    found.unwrap().click();
    window.run();
}

fn smallest(window: &Window) -> f64 {
    let state = window.state();
    let id = state.session().knife.unwrap();
    let cut_outs = &state.history().set().knife(id).unwrap().cut_outs;
    let round = cut_outs.iter().filter_map(|cut| match cut.shape {
        CutShape::Round { diameter_mm, .. } => Some(diameter_mm),
        _ => None,
    });
    round.fold(f64::INFINITY, f64::min)
}

#[test]
fn a_findings_mend_is_told_then_made_by_one_click_then_undone() {
    let mut window = pointed_at();
    assert_eq!(smallest(&window), 0.9);
    let depth = window.state().history().undo_depth();
    // Told before it is done: what it will be.
    assert!(
        window
            .query_all_by_label_contains("mm after")
            .next()
            .is_some()
    );
    window.get_by_label("Size the hole").click();
    window.run();
    assert!(smallest(&window) >= 1.5, "{}", smallest(&window));
    let history = window.state().history();
    assert_eq!(history.undo_depth(), depth + 1);
    assert_eq!(history.undo_label(), Some("size the hole"));
    // Mended, it is offered no more.
    assert!(window.query_by_label("Size the hole").is_none());
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(smallest(&window), 0.9);
}

/// Other figures of the shop, another mend: what was told by the old ones is never made.
#[test]
fn a_mend_follows_the_shops_figures() {
    let mut window = pointed_at();
    let told =
        |window: &Window, words: &str| window.query_all_by_label_contains(words).next().is_some();
    assert!(!told(&window, "3.70 mm after"));
    let figures = &mut window.state_mut().session_mut().preferences.figures;
    figures.insert("cut-hole-times".to_owned(), 0.0);
    figures.insert("cut-hole-least".to_owned(), 3.7);
    window.run();
    assert!(told(&window, "3.70 mm after"));
    window.get_by_label("Size the hole").click();
    window.run();
    assert_eq!(smallest(&window), 3.7);
}

/// While something is dragged no mend is told: the one that was found is of the knife before.
#[test]
fn a_drag_is_waited_out_without_a_mend() {
    let mut window = pointed_at();
    window.state_mut().ask(Action::Begin("move".to_owned()));
    window.run();
    assert!(window.query_by_label("Size the hole").is_none());
    window.state_mut().ask(Action::End);
    window.run();
    window.get_by_label("Size the hole");
}

/// A pin's hole that can't be cut is drilled: its size is the pin's, and no button makes it another. The finding is pointed at all the same.
#[test]
fn what_takes_judgment_has_no_button() {
    let mut set = orchard_set();
    let knife = std::sync::Arc::make_mut(&mut set.knives[0]);
    let (low, high) = knife.contour().index().depth_at(60.0).unwrap();
    let id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: Point::new(60.0, low + 0.75 * (high - low)),
            diameter_mm: 1.6,
        },
        purpose: Purpose::Pin,
        filling: Filling::Pin {
            material: knife.stock.material.clone(),
            rod_mm: Some(1.5),
        },
    });
    let mut window = window(Workshop::new(set));
    point_at_small(&mut window, "1.60");
    assert!(window.state().session().finding.is_some());
    for word in ["Size", "Set", "Round", "Drop", "Join", "Fit"] {
        let button = window.query_all_by_role(Role::Button).find(|node| {
            let label = node.accesskit_node().label();
            label.is_some_and(|label| label.starts_with(&format!("{word} the ")))
        });
        assert!(button.is_none(), "{word}");
    }
    assert_eq!(window.state().history().undo_depth(), 0);
}
