//! Scribe: drawing a new outline, and adding, bending, smoothing nodes of the present one.

use egui::Pos2;

use crate::edit::{Change, Edit};
use crate::geometry::{Point, Vec2};
use crate::knife::{CutShape, Joint, Node, Outline};

use super::Gesture;
use super::pick::REACH_PX;
use super::snap::snap;
use crate::window::action::Action;
use crate::window::hands;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// A node of an outline being drawn: its place, and the outgoing handle pulled while the button was held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DraftNode {
    /// Where it is.
    pub at: Point,
    /// Its outgoing handle; the incoming one mirrors it.
    pub handle: Option<Vec2>,
}

/// Handles shorter than this were not meant, screen points.
const LEAST_PULL_PX: f32 = 5.0;

/// A press with Scribe beside all nodes: on the outline a click adds a node and a drag bends the piece.
pub(super) fn press(
    shown: &Shown<'_>,
    session: &mut Session,
    origin: Pos2,
    drag: bool,
    actions: &mut Vec<Action>,
) {
    let (Some((knife, results)), Some(canvas)) = (shown.knife(session.knife), session.canvas)
    else {
        return;
    };
    let view = session.view();
    let at = view.model_from_screen(canvas, origin);
    let Some(nearest) = results.contour.nearest(at) else {
        return;
    };
    let Some(spot) = knife.outline.spot_of(&nearest) else {
        return;
    };
    if nearest.distance > view.mm(REACH_PX) {
        super::pick::shift_ground(session, origin, drag, actions);
        return;
    }
    if drag {
        let change = Change::PullPiece {
            node: spot.node,
            t: spot.t,
            to: at,
        };
        actions.push(Action::Begin(change.label().to_owned()));
        session.gesture = Gesture::Pull {
            node: spot.node,
            t: spot.t,
        };
    } else {
        actions.push(Action::Edit(Edit::knife(
            knife.id,
            Change::AddNode { spot },
        )));
    }
}

/// Carries on an outline being drawn. A click places a node, holding and dragging pulls its handles, a click on the first node or Enter
/// closes it, Backspace takes the last node back.
pub(super) fn follow_draft(
    ctx: &egui::Context,
    shown: &Shown<'_>,
    session: &mut Session,
    at: Option<Point>,
    down: bool,
    actions: &mut Vec<Action>,
) {
    let (pressed, enter, back, free) = ctx.input(|i| {
        (
            i.pointer.primary_pressed(),
            hands::FINISH.pressed(i),
            hands::TAKE_BACK.pressed(i),
            hands::PAST_SNAPS.held(i.modifiers),
        )
    });
    let inside = session.over_ground;
    let reach = session.view().mm(REACH_PX);
    let snapped = at.map(|p| snap(shown, session, p, &[], free).at);
    let Gesture::Draft {
        opening,
        mut nodes,
        mut pulling,
    } = std::mem::take(&mut session.gesture)
    else {
        return;
    };
    if back {
        nodes.pop();
    }
    let mut close = enter;
    if pressed
        && inside
        && let (Some(raw), Some(snapped)) = (at, snapped)
    {
        let on_first = nodes.first().is_some_and(|n| n.at.distance(raw) <= reach);
        if on_first && nodes.len() >= 3 {
            close = true;
        } else {
            let node = DraftNode {
                at: snapped,
                handle: None,
            };
            nodes.push(node);
            pulling = true;
        }
    }
    if pulling
        && down
        && let (Some(at), Some(last)) = (at, nodes.last_mut())
    {
        let pull = at - last.at;
        let long = pull.hypot() > session.view().mm(LEAST_PULL_PX);
        last.handle = long.then_some(pull);
    }
    pulling &= down;
    if close {
        close_draft(session, &nodes, opening, actions);
    } else {
        session.gesture = Gesture::Draft {
            opening,
            nodes,
            pulling,
        };
    }
}

fn close_draft(
    session: &mut Session,
    nodes: &[DraftNode],
    opening: bool,
    actions: &mut Vec<Action>,
) {
    let Some(knife) = session.knife else { return };
    if nodes.len() < 3 {
        actions.push(Action::Say(
            "A closed shape needs at least three nodes; the drawing was dropped".to_owned(),
        ));
        return;
    }
    let outline = Outline {
        nodes: nodes
            .iter()
            .zip(0u32..)
            .map(|(n, id)| Node {
                id,
                at: n.at,
                handle_in: n.handle.map(|h| -h),
                handle_out: n.handle,
                joint: if n.handle.is_some() {
                    Joint::Smooth
                } else {
                    Joint::Corner
                },
            })
            .collect(),
    };
    let change = if opening {
        Change::AddCutOut {
            shape: CutShape::Free { outline },
            purpose: session.drill.purpose,
            filling: super::slot_filling(session),
        }
    } else {
        Change::SetOutline { outline }
    };
    actions.push(Action::Edit(Edit::knife(knife, change)));
}
