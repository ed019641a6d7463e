//! Drawing over a stretch of the outline: the stroke is kept while the button is held, and replaces the stretch when it is let go.

use super::Gesture;
use crate::edit::{Change, Edit};
use crate::geometry::Point;
use crate::window::action::Action;
use crate::window::session::Session;

/// Points of the stroke nearer than this on the screen are one, points.
const LEAST_PX: f32 = 1.5;
/// A hand on the screen trembles by about this, points: curves need not be nearer to the stroke.
const TREMBLE_PX: f32 = 1.5;

/// Carries the stroke on.
pub(super) fn follow(
    ctx: &egui::Context,
    session: &mut Session,
    mut points: Vec<Point>,
    at: Option<Point>,
    down: bool,
    actions: &mut Vec<Action>,
) {
    let Some(at) = at else { return };
    let pressed = ctx.input(|i| i.pointer.primary_pressed());
    let begun = !points.is_empty();
    let begins = pressed && session.over_ground;
    if !(begun || begins) {
        return;
    }
    let least = session.view().mm(LEAST_PX);
    if points.last().is_none_or(|last| last.distance(at) >= least) {
        points.push(at);
    }
    if down {
        session.gesture = Gesture::DrawOver { points };
        return;
    }
    session.gesture = Gesture::Idle;
    let Some(knife) = session.knife else { return };
    let within_mm = session.work.within_mm.max(session.view().mm(TREMBLE_PX));
    let stroke = points;
    let change = Change::Redraw { stroke, within_mm };
    actions.push(Action::Edit(Edit::knife(knife, change)));
}
