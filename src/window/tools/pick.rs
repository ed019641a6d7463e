//! Presses: on a thing, and on the ground beside all things.

use egui::{Modifiers, Pos2, Response};

use crate::edit::{Change, Edit, Thing, thing_point, whole_things};
use crate::geometry::{Point, Rect};
use crate::knife::{CutShape, Joint};

use super::snap::{Snapped, snap};
use super::{Gesture, lay, scribe, snapped_pointer, station};
use crate::window::action::Action;
use crate::window::hands;
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;

/// How near to the outline a press counts as on it, screen points.
pub(super) const REACH_PX: f32 = 9.0;

/// A click, double click or drag that began on a thing.
pub(in crate::window) fn press_on_thing(
    response: &Response,
    shown: &Shown<'_>,
    session: &mut Session,
    thing: Thing,
    actions: &mut Vec<Action>,
) {
    let modifiers = response.ctx.input(|i| i.modifiers);
    if response.gained_focus() && !response.clicked() && !response.is_pointer_button_down_on() {
        actions.push(Action::Pick(vec![thing]));
    }
    if response.double_clicked()
        && let Thing::Node(node) = thing
        && let Some((knife, _)) = shown.knife(session.knife)
    {
        let joint = match knife.outline.node(node).map(|n| n.joint) {
            Some(Joint::Smooth) => Joint::Corner,
            _ => Joint::Smooth,
        };
        let change = Change::SetJoint { node, joint };
        actions.push(Action::Edit(Edit::knife(knife.id, change)));
        return;
    }
    if response.clicked() {
        actions.push(Action::Pick(picked_with(session, thing, modifiers)));
        response.request_focus();
    }
    if response.drag_started_by(egui::PointerButton::Primary) {
        if let Thing::TaperStation(place) = thing {
            station::start(response, shown, session, place, actions);
            return;
        }
        let things = if session.is_picked(thing) {
            session.picked.clone()
        } else {
            picked_with(session, thing, modifiers)
        };
        start_move(response, shown, session, thing, things, actions);
    }
}

/// What is picked after a click on a thing: it alone, or with Shift or Ctrl it is added or taken away.
fn picked_with(session: &Session, thing: Thing, modifiers: Modifiers) -> Vec<Thing> {
    if !(hands::PICK_MORE.held(modifiers)) {
        return vec![thing];
    }
    let mut picked = session.picked.clone();
    if let Some(place) = picked.iter().position(|t| *t == thing) {
        picked.remove(place);
    } else {
        picked.push(thing);
    }
    picked
}

fn start_move(
    response: &Response,
    shown: &Shown<'_>,
    session: &mut Session,
    held: Thing,
    things: Vec<Thing>,
    actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    let origin = response.ctx.input(|i| i.pointer.press_origin());
    let (Some(origin), Some(canvas), Some(at)) = (origin, session.canvas, thing_point(knife, held))
    else {
        return;
    };
    let grip = at - session.view().model_from_screen(canvas, origin);
    let label = Change::Shift {
        things: things.clone(),
        by: grip,
    }
    .label();
    actions.push(Action::Pick(things.clone()));
    actions.push(Action::Begin(label.to_owned()));
    session.gesture = Gesture::Move {
        held,
        things,
        grip,
        snapped: Snapped::free(at),
    };
}

/// A click or drag on the ground: what it does depends on the tool in hand.
pub(in crate::window) fn press_on_ground(
    response: &Response,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let (origin, free) = response.ctx.input(|i| {
        (
            i.pointer.press_origin(),
            hands::PAST_SNAPS.held(i.modifiers),
        )
    });
    let origin = origin.or_else(|| response.interact_pointer_pos());
    let Some(origin) = origin else { return };
    if matches!(
        session.gesture,
        Gesture::Draft { .. } | Gesture::DrawOver { .. }
    ) {
        return;
    }
    let drag = response.drag_started_by(egui::PointerButton::Primary);
    let click = response.clicked();
    if !(drag || click) {
        return;
    }
    match session.tool {
        Tool::Shift => shift_ground(session, origin, drag, actions),
        Tool::Scribe => scribe::press(shown, session, origin, drag, actions),
        Tool::Drill => {
            if let Some(snapped) = snapped_pointer(shown, session, origin, free) {
                drill(session, snapped.at, actions);
            }
        }
        Tool::Slot => {
            if let Some(snapped) = snapped_pointer(shown, session, origin, free) {
                if drag {
                    session.gesture = Gesture::Slot { from: snapped.at };
                } else {
                    actions.push(Action::Say(
                        "Press at one end of the slot and drag to the other".to_owned(),
                    ));
                }
            }
        }
        Tool::Saw | Tool::Rule => measure(shown, session, origin, free, drag),
        Tool::Trace if drag => lay::start(shown, session, origin, false, actions),
        Tool::Trace => {}
    }
}

/// A press beside everything: a drag draws a frame, a click lets go of what is picked.
pub(super) fn shift_ground(
    session: &mut Session,
    origin: Pos2,
    drag: bool,
    actions: &mut Vec<Action>,
) {
    if drag {
        if let Some(canvas) = session.canvas {
            let from = session.view().model_from_screen(canvas, origin);
            session.gesture = Gesture::Band { from };
        }
    } else {
        actions.push(Action::Pick(Vec::new()));
    }
}

fn drill(session: &Session, at: Point, actions: &mut Vec<Action>) {
    let Some(knife) = session.knife else { return };
    let change = Change::AddCutOut {
        shape: CutShape::Round {
            center: at,
            diameter_mm: session.drill.diameter_mm,
        },
        purpose: session.drill.purpose,
        filling: session.drill.filling.clone(),
    };
    actions.push(Action::Edit(Edit::knife(knife, change)));
}

fn measure(shown: &Shown<'_>, session: &mut Session, origin: Pos2, free: bool, drag: bool) {
    let Some(canvas) = session.canvas else { return };
    let at = session.view().model_from_screen(canvas, origin);
    let from = snap(shown, session, at, &[], free).at;
    session.gesture = if drag {
        let to = from;
        Gesture::Measure {
            from,
            to,
            held: true,
        }
    } else {
        Gesture::Idle
    };
}

/// What is picked after a frame was drawn: what lies in it, with Shift or Ctrl added to what was picked before.
pub(super) fn framed_with(session: &Session, framed: Vec<Thing>, adding: bool) -> Vec<Thing> {
    if !adding {
        return framed;
    }
    let mut picked = session.picked.clone();
    picked.extend(framed.into_iter().filter(|t| !session.is_picked(*t)));
    picked
}

/// Everything that can be moved and whose holding point lies in the box.
pub(super) fn things_in_box(
    shown: &Shown<'_>,
    session: &Session,
    from: Point,
    to: Point,
) -> Vec<Thing> {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return Vec::new();
    };
    let area = Rect::from_points(from, to);
    whole_things(knife)
        .filter(|thing| thing_point(knife, *thing).is_some_and(|p| area.contains(p)))
        .collect()
}
