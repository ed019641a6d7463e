//! A corner rounded by dragging: the arc runs under the pointer, anew from the sharp corner in every frame.

use egui::Response;

use super::Gesture;
use crate::edit::{Change, Edit};
use crate::geometry::Point;
use crate::knife::{Corner, CutShape, Id, Knife, Mend, Outline};
use crate::window::action::Action;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// Radii are round numbers of this, mm, unless Alt is held.
const RADIUS_STEP_MM: f64 = 0.1;
/// Less than this is a slip of the hand, mm.
const LEAST_RADIUS_MM: f64 = 0.05;

/// A corner that can be rounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounding {
    /// The free cut-out it is of; none for the steel's outline.
    pub of: Option<Id>,
    /// Its node.
    pub node: Id,
}

impl Rounding {
    /// The corner on a knife, if it is one.
    #[must_use]
    pub fn corner(self, knife: &Knife) -> Option<Corner> {
        self.outline(knife)?.corner_at(self.node)
    }

    fn outline(self, knife: &Knife) -> Option<&Outline> {
        let Some(id) = self.of else {
            return Some(&knife.outline);
        };
        match &knife.cut_out(id)?.shape {
            CutShape::Free { outline } => Some(outline),
            _ => None,
        }
    }
}

/// Begins to round a corner, when its grip was dragged.
pub(in crate::window) fn start_rounding(
    response: &Response,
    session: &mut Session,
    rounding: Rounding,
    actions: &mut Vec<Action>,
) {
    if response.drag_started_by(egui::PointerButton::Primary) {
        actions.push(Action::Begin("round the corner".to_owned()));
        session.gesture = Gesture::Round {
            rounding,
            radius_mm: 0.0,
        };
    }
}

/// Carries on a rounding: its radius is that of the arc under the pointer.
pub(super) fn follow(
    shown: &Shown<'_>,
    session: &mut Session,
    rounding: Rounding,
    at: Point,
    free: bool,
    actions: &mut Vec<Action>,
) {
    let Some(id) = session.knife else { return };
    let before = shown.history.before_gesture().and_then(|set| set.knife(id));
    let Some(corner) = before.and_then(|knife| rounding.corner(knife)) else {
        return;
    };
    let under = corner.radius_under(at);
    let wanted = if free || !session.preferences.snaps.grid {
        under
    } else {
        (under / RADIUS_STEP_MM).round() * RADIUS_STEP_MM
    };
    let edit = (wanted >= LEAST_RADIUS_MM).then(|| {
        let mend = Mend::RoundCorners {
            of: rounding.of,
            nodes: vec![rounding.node],
            radius_mm: wanted,
        };
        Edit::knife(id, Change::Mend { mend })
    });
    if let Gesture::Round { radius_mm, .. } = &mut session.gesture {
        *radius_mm = if edit.is_some() { wanted } else { 0.0 };
    }
    actions.push(Action::EditAnew(edit));
}
