//! At twice the size: nothing that can be worked is out of sight when the keyboard comes to it.

use std::collections::BTreeSet;

use egui::accesskit::{Action, Role};
use egui::{Rect, vec2};
use egui_kittest::kittest::NodeT;
use tangwright::window::ThemeChoice;

use crate::keys::tab_round;
use crate::screens::{each, each_dialog, orchard_in};

/// What of a control must be seen: its middle and most of its height; of what is higher than the window, as a page of paper is, half a window.
fn in_sight(rect: Rect, sheet: Rect) -> bool {
    let seen = rect.intersect(sheet).height();
    let wanted = (0.9 * rect.height()).min(0.5 * sheet.height());
    sheet.contains(rect.center()) && seen >= wanted
}

/// A screen of 1920 × 1080 pixels at 200 % leaves 960 × 540 points.
#[test]
fn at_twice_the_size_tab_comes_to_everything_in_sight() {
    let size = vec2(960.0, 540.0);
    let mut window = orchard_in(size, 2.0, ThemeChoice::Paper);
    let sheet = Rect::from_min_size(egui::Pos2::ZERO, size);
    let mut hidden: BTreeSet<String> = BTreeSet::new();
    let mut missed: BTreeSet<String> = BTreeSet::new();
    let mut stops = 0;
    each(&mut window, |screen, window| {
        let dialog = window.state().session().dialog_open();
        let controls: Vec<(String, String)> = window
            .root()
            .children_recursive()
            .filter(|node| {
                let own = node.accesskit_node();
                own.data().supports_action(Action::Focus) && !own.is_disabled()
            })
            .map(|node| {
                let own = node.accesskit_node();
                let name = format!("{:?} {:?}", own.role(), own.label());
                (format!("{:?}", own.id()), name)
            })
            .collect();
        let reached = tab_round(window, controls.len(), |_, rect, name| {
            stops += 1;
            if !in_sight(rect, sheet) {
                hidden.insert(format!("{screen}: {name} at {rect:?}"));
            }
        });
        // Behind a dialog nothing is to be reached.
        if !dialog {
            let left = controls.into_iter().filter(|(id, _)| !reached.contains(id));
            missed.extend(left.map(|(_, name)| format!("{screen}: {name}")));
        }
    });
    assert!(stops > 300, "{stops} stops");
    assert!(hidden.is_empty(), "{} hidden: {hidden:#?}", hidden.len());
    assert!(missed.is_empty(), "{} missed: {missed:#?}", missed.len());
}

/// A screen of 1280 × 720 pixels at 200 % leaves 640 × 360 points: every dialog still fits, with its buttons.
#[test]
fn at_twice_the_size_dialogs_fit_a_small_screen() {
    let size = vec2(640.0, 360.0);
    let mut window = orchard_in(size, 2.0, ThemeChoice::Blue);
    let sheet = Rect::from_min_size(egui::Pos2::ZERO, size);
    let (mut seen, mut stops) = (0, 0);
    each_dialog(&mut window, |screen, window| {
        tab_round(window, 100, |_, rect, name| {
            assert!(in_sight(rect, sheet), "{screen}: {name} at {rect:?}");
            stops += 1;
        });
        let close = ["Close", "Cancel"].iter().find_map(|name| {
            window.root().children_recursive().find(|node| {
                let own = node.accesskit_node();
                own.role() == Role::Button && own.label().as_deref() == Some(name)
            })
        });
        let close = close.unwrap_or_else(|| panic!("{screen} has no way out"));
        assert!(
            sheet.contains_rect(close.rect()),
            "{screen} {:?}",
            close.rect()
        );
        seen += 1;
    });
    assert!(seen >= 9 && stops > 40, "{seen} dialogs, {stops} stops");
}
