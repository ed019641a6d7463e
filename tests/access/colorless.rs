//! Color never tells anything alone: what stands one way or the other differs in shape or words too.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use egui::{Color32, Rect, Shape};
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::edit::Thing;
use tangwright::window::{Action, Command, ThemeChoice, Tool, Work};

use crate::keys::flat;
use crate::screens::{Window, act, orchard};

/// Everything painted within a place, in words that name no colors, but whether there is one.
fn colorless(window: &Window, place: Rect) -> Vec<String> {
    let mut found = Vec::new();
    for clipped in &window.output().shapes {
        flat(&clipped.shape, &mut |shape| {
            let rect = shape.visual_bounding_rect();
            if place.expand(8.0).contains(rect.center()) {
                found.push(words(shape));
            }
        });
    }
    found.sort();
    found
}

fn words(shape: &Shape) -> String {
    let nothing = format!("{:?}", Color32::TRANSPARENT);
    let told = format!("{shape:?}").replace(&nothing, "no color");
    // A color is told as #RR_GG_BB_AA.
    let mut parts = told.split('#');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |so_far, part| {
        let rest = part.get("RR_GG_BB_AA".len()..).unwrap_or_default();
        so_far + "a color" + rest
    })
}

fn place(window: &Window, label: &str) -> Rect {
    window.get_by_label(label).rect()
}

#[test]
fn a_color_is_told_from_none_and_from_no_other() {
    let line = |color| {
        words(&Shape::line_segment(
            [egui::Pos2::ZERO, egui::pos2(3.0, 4.0)],
            egui::Stroke::new(1.0, color),
        ))
    };
    assert_eq!(line(Color32::RED), line(Color32::GREEN));
    assert_ne!(line(Color32::RED), line(Color32::TRANSPARENT));
}

/// Each state in turn: what is looked at, and what makes it otherwise.
#[test]
fn what_stands_otherwise_looks_otherwise_without_its_color() {
    let mut window = orchard(ThemeChoice::Paper);
    let set = window.state().history().set().clone();
    let knife = set
        .knives
        .iter()
        .find(|knife| !knife.cut_outs.is_empty())
        .expect("one of the set is drilled");
    act(&mut window, Action::ShowKnife(knife.id));
    let node = Thing::Node(knife.outline.nodes[1].id);
    let hole = Thing::CutOut(knife.cut_outs[0].id);
    let landmark = Thing::Landmark(knife.landmarks[0].kind);
    let mut alike = Vec::new();
    let mut judge = |window: &mut Window, what: &str, place: Rect, changes: Vec<Action>| {
        let before = colorless(window, place);
        assert!(!before.is_empty(), "nothing is painted for {what}");
        for change in changes {
            act(window, change);
        }
        if colorless(window, place) == before {
            alike.push(what.to_owned());
        }
    };
    for (what, thing) in [
        ("a picked node", node),
        ("a picked hole", hole),
        ("a picked landmark", landmark),
    ] {
        act(&mut window, Action::Pick(Vec::new()));
        let at = on_drawing(&window, thing);
        judge(&mut window, what, at, vec![Action::Pick(vec![thing])]);
    }
    act(&mut window, Action::Pick(vec![hole]));
    let at = on_drawing(&window, hole);
    let clamp = Action::Do(Command::Work(Work::Clamp));
    judge(&mut window, "a clamped hole", at, vec![clamp]);
    act(&mut window, Action::Pick(Vec::new()));
    let tool = place(&window, Tool::Rule.name());
    let take = Action::Take(Tool::Rule);
    judge(&mut window, "the tool in hand", tool, vec![take]);
    let unit = place(&window, "Ounces");
    let ounces = Action::Do(Command::Masses(tangwright::units::MassUnit::Ounce));
    judge(&mut window, "the chosen unit", unit, vec![ounces]);
    let other = set.knives.iter().find(|k| k.id != knife.id).expect("two");
    let tile = window
        .root()
        .children_recursive()
        .find(|node| {
            let label = node.accesskit_node().label();
            label.is_some_and(|label| label.starts_with(&other.name))
        })
        .map(|node| node.rect())
        .expect("its place in the rack");
    let show = Action::ShowKnife(other.id);
    judge(&mut window, "the knife that is shown", tile, vec![show]);
    assert!(alike.is_empty(), "told by color alone: {alike:?}");
}

/// The place of a thing on the drawing.
fn on_drawing(window: &Window, thing: Thing) -> Rect {
    let session = window.state().session();
    let set = window.state().history().set();
    let knife = session.knife.and_then(|id| set.knife(id)).expect("shown");
    let at = tangwright::edit::thing_point(knife, thing).expect("it is there");
    let canvas = session.canvas.expect("laid out");
    let at = session.view().screen_from_model(canvas, at);
    // A landmark is held by a flag beside the outline.
    let size = if matches!(thing, Thing::Landmark(_)) {
        60.0
    } else {
        14.0
    };
    Rect::from_center_size(at, egui::vec2(size, size))
}
