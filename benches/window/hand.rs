//! A hand at the window: all views open, cards opened and shut, things taken and dragged.

use egui::accesskit::Action as Push;
use egui::{Event, Modifiers, PointerButton, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable, by};
use tangwright::edit::{Thing, thing_point};
use tangwright::knife::{Knife, KnifeSet};
use tangwright::window::Workshop;

pub(crate) type Window = Harness<'static, Workshop>;

/// The cards of a knife without a picture.
pub(crate) const CARDS: [&str; 6] = [
    "Profile", "Grind", "Drill", "Handle", "Weigh-up", "Template",
];

/// A window with all views open.
pub(crate) fn window(set: KnifeSet) -> Window {
    let mut workshop = Workshop::new(set);
    let shown = &mut workshop.session_mut().preferences;
    shown.rack = true;
    shown.cards = true;
    shown.comb = true;
    shown.from_above = true;
    shown.section = true;
    shown.ground = true;
    let mut window = Harness::builder()
        .with_size(vec2(1440.0, 900.0))
        .with_step_dt(1.0 / 60.0)
        .build_eframe(|_| workshop);
    window.run_steps(4);
    window
}

/// Opens these cards and shuts the others.
pub(crate) fn open_only(window: &mut Window, cards: &[&str]) {
    for card in CARDS {
        let name = format!("{card} card");
        let head = window.get_by_label(&name);
        let open = head.accesskit_node().data().is_expanded() == Some(true);
        if open != cards.contains(&card) {
            head.click_accesskit();
        }
        window.run_steps(3);
    }
}

/// Opens every part of the cards that opens.
pub(crate) fn open_every_part(window: &mut Window) {
    let shut = by().predicate(|node| {
        node.data().is_expanded() == Some(false) && node.data().supports_action(Push::Click)
    });
    let cards = window.state().session().canvas.map_or(0.0, |c| c.right());
    for part in window.query_all(shut) {
        if part.rect().left() > cards {
            part.click_accesskit();
        }
    }
    window.run_steps(8);
}

/// What is dragged.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Held {
    Node,
    Hole,
}

impl Held {
    fn of(self, knife: &Knife) -> Option<Thing> {
        match self {
            Self::Node => Some(Thing::Node(knife.outline.nodes.get(1)?.id)),
            Self::Hole => Some(Thing::CutOut(knife.cut_outs.get(40)?.id)),
        }
    }
}

/// Where a thing of the knife on the drawing is on the screen.
pub(crate) fn place(window: &Window, held: Held) -> Option<Pos2> {
    let session = window.state().session();
    let knife = window.state().history().set().knife(session.knife?)?;
    let at = thing_point(knife, held.of(knife)?)?;
    Some(session.view().screen_from_model(session.canvas?, at))
}

/// Where a dragging hand is about the place it took hold at, in the `i`-th frame: so fast that the knife changes in nearly every frame.
pub(crate) fn dragged(i: usize) -> Vec2 {
    let turn = i as f32 * 0.37;
    vec2(12.0 * turn.sin(), 8.0 * (1.3 * turn).cos())
}

/// Where a hand that wanders over the drawing is.
pub(crate) fn wandering(window: &Window, i: usize) -> Pos2 {
    let turn = i as f32 * 0.03;
    let canvas = window.state().session().canvas;
    let area = canvas.unwrap_or(egui::Rect::from_min_size(Pos2::ZERO, vec2(1440.0, 900.0)));
    area.center()
        + vec2(
            0.45 * area.width() * turn.cos(),
            0.45 * area.height() * (0.7 * turn).sin(),
        )
}

/// Puts the pointer somewhere; the next frame sees it.
pub(crate) fn point_at(window: &Window, pos: Pos2) {
    window.event(Event::PointerMoved(pos));
}

fn button(window: &Window, pos: Pos2, pressed: bool) {
    window.event(Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    });
}

/// Lets go of the first button; the next frame sees it.
pub(crate) fn let_go(window: &Window, pos: Pos2) {
    button(window, pos, false);
}

/// Takes hold at a place.
pub(crate) fn take_hold(window: &mut Window, pos: Pos2) {
    point_at(window, pos);
    window.step();
    button(window, pos, true);
    window.step();
}
