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

/// What was painted, in words, and where.
type Painted = Vec<(Rect, String)>;

/// Everything painted that touches a place, in words, with where it is.
fn painted_at(window: &Window, place: Rect) -> Painted {
    let near = place.expand(4.0);
    let mut found = Vec::new();
    for clipped in &window.output().shapes {
        flat(&clipped.shape, &mut |shape| {
            let rect = shape.visual_bounding_rect();
            if rect.intersects(near) {
                found.push((rect, format!("{shape:?}")));
            }
        });
    }
    found
}

pub(crate) fn flat(shape: &Shape, visit: &mut impl FnMut(&Shape)) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| flat(shape, visit)),
        shape => visit(shape),
    }
}

/// Whether two paintings of a place differ but for what lies about another: the mark of the next one does not count for this one, unless they overlap.
fn differ(a: &[(Rect, String)], b: &[(Rect, String)], at: Rect, but: Rect) -> bool {
    let but = if but.expand(6.0).intersects(at.expand(4.0)) {
        Rect::NOTHING
    } else {
        but
    };
    let kept = |painted: &[(Rect, String)]| -> Vec<String> {
        let far = painted
            .iter()
            .filter(|(rect, _)| !but.expand(6.0).contains_rect(*rect));
        far.map(|(_, words)| words.clone()).collect()
    };
    kept(a) != kept(b)
}

/// Goes round with Tab, from the first control until one comes again, and tells which were reached.
pub(crate) fn tab_round(
    window: &mut Window,
    controls: usize,
    mut at: impl FnMut(&Window, Rect, String),
) -> BTreeSet<String> {
    // From the first: things on the drawing are picked as the keyboard comes to them, and what is picked changes the cards.
    window.ctx.memory_mut(|m| {
        if let Some(id) = m.focused() {
            m.surrender_focus(id);
        }
    });
    window.run_steps(2);
    let mut reached = BTreeSet::new();
    // A node that is come to shows its handles, so there is more on the way than was there at first.
    for _ in 0..4 * controls + 40 {
        press(window, Key::Tab);
        let Some((id, rect, name)) = focused(window) else {
            continue;
        };
        if !reached.insert(id) {
            break;
        }
        at(window, rect, name);
    }
    reached
}

#[test]
fn tab_reaches_everything_and_shows_where_it_is() {
    let mut window = orchard(ThemeChoice::Blue);
    let mut missed: BTreeSet<String> = BTreeSet::new();
    let mut unseen: BTreeSet<String> = BTreeSet::new();
    let mut stops = 0;
    // What lies behind a dialog is not reached while it is open.
    let mut behind: BTreeSet<String> = BTreeSet::new();
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
        let wanted: BTreeSet<(String, String)> = if window.state().session().dialog_open() {
            wanted
                .into_iter()
                .filter(|(id, _)| !behind.contains(id))
                .collect()
        } else {
            behind.extend(wanted.iter().map(|(id, _)| id.clone()));
            wanted
        };
        assert!(!wanted.is_empty(), "{screen} has nothing to reach");
        let mut before: Option<(String, Rect, Painted)> = None;
        let reached = tab_round(window, wanted.len(), |window, rect, name| {
            stops += 1;
            // What was just left looks otherwise than while the keyboard was on it.
            let here = painted_at(window, rect);
            if let Some((left, old, with)) = before.take()
                && !differ(&painted_at(window, old), &with, old, rect)
            {
                unseen.insert(format!("{screen}: {left}"));
            }
            before = Some((name, rect, here));
        });
        if !window.state().session().dialog_open() {
            // What was picked on the way may have put more on the cards.
            let nodes = window.root().children_recursive();
            behind.extend(nodes.map(|node| format!("{:?}", node.accesskit_node().id())));
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
