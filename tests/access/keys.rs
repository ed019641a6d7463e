//! Keys alone reach all that can be worked, and what they are on is seen.

use std::collections::BTreeSet;

use egui::accesskit::Action;
use egui::{Key, Rect, Shape};
use egui_kittest::kittest::NodeT;
use tangwright::window::ThemeChoice;

use crate::screens::{Window, each, orchard, press};

/// Where the keyboard is.
fn focused(window: &Window) -> Option<(String, Rect, String)> {
    window.root().children_recursive().find_map(|node| {
        let own = node.accesskit_node();
        let name = own.label().unwrap_or_default();
        own.is_focused_in_tree()
            .then(|| (format!("{:?}", own.id()), node.rect(), name))
    })
}

/// Everything painted that touches a place, in words.
fn painted_at(window: &Window, place: Rect) -> String {
    let near = place.expand(4.0);
    let shapes = window.output().shapes.iter();
    let near = shapes.filter(|s| shape_rect(&s.shape).intersects(near));
    near.map(|s| format!("{:?}\n", s.shape)).collect()
}

fn shape_rect(shape: &Shape) -> Rect {
    shape.visual_bounding_rect()
}

#[test]
fn tab_reaches_everything_and_shows_where_it_is() {
    let mut window = orchard(ThemeChoice::Blue);
    let mut missed: BTreeSet<String> = BTreeSet::new();
    let mut unseen: BTreeSet<String> = BTreeSet::new();
    let mut stops = 0;
    each(&mut window, |screen, window| {
        let wanted: BTreeSet<(String, String)> = window
            .root()
            .children_recursive()
            .filter_map(|node| {
                let own = node.accesskit_node();
                let can = own.data().supports_action(Action::Focus) && !own.is_disabled();
                can.then(|| {
                    (
                        format!("{:?}", own.id()),
                        format!("{:?} {:?}", own.role(), own.label()),
                    )
                })
            })
            .collect();
        let mut reached = BTreeSet::new();
        let mut before: Option<(Rect, String)> = None;
        for _ in 0..wanted.len() + 20 {
            press(window, Key::Tab);
            let Some((id, rect, name)) = focused(window) else {
                continue;
            };
            if !reached.insert(id) {
                break;
            }
            stops += 1;
            // What was just left looks otherwise than while the keyboard was on it.
            let here = painted_at(window, rect);
            if let Some((old, with)) = before.take()
                && painted_at(window, old) == with
            {
                unseen.insert(format!("{screen}: before {name}"));
            }
            before = Some((rect, here));
        }
        for (id, name) in &wanted {
            if !reached.contains(id) {
                missed.insert(format!("{screen}: {name}"));
            }
        }
    });
    assert!(stops > 300, "{stops} stops");
    assert!(missed.is_empty(), "{} missed: {missed:#?}", missed.len());
    assert!(unseen.is_empty(), "{} unseen: {unseen:#?}", unseen.len());
}
