//! The picture under the drawing in hand: moved, or turned about its middle.

use egui::Pos2;

use super::Gesture;
use crate::geometry::{Motion, Point, Vec2};
use crate::knife::LaidPicture;
use crate::window::action::Action;
use crate::window::picture::lay;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// The grip that turns a picture stands so far from its middle, screen points.
const TURN_GRIP_PX: f32 = 72.0;

/// Where a picture is held to turn it.
pub(in crate::window) fn turn_grip(picture: &LaidPicture, session: &Session) -> Point {
    let far = session.view().mm(TURN_GRIP_PX);
    picture.middle + Vec2::from_angle(picture.turn_rad) * far
}

/// Takes hold of the picture, if there is one that is seen and not held fast.
pub(in crate::window) fn start(
    shown: &Shown<'_>,
    session: &mut Session,
    origin: Pos2,
    turns: bool,
    actions: &mut Vec<Action>,
) {
    let (Some((knife, _)), Some(canvas)) = (shown.knife(session.knife), session.canvas) else {
        return;
    };
    let Some(picture) = knife.picture.as_ref().filter(|_| session.picture.shown) else {
        return;
    };
    if picture.locked {
        let held = "The picture is held fast: let it go on the Picture card to move it";
        actions.push(Action::Say(held.to_owned()));
        return;
    }
    let at = session.view().model_from_screen(canvas, origin);
    let (label, held) = if turns {
        ("turn picture", turn_grip(picture, session))
    } else {
        ("move picture", picture.middle)
    };
    actions.push(Action::Begin(label.to_owned()));
    session.gesture = Gesture::Lay {
        turns,
        off: held - at,
    };
}

/// Brings what is held of the picture to a place.
pub(super) fn follow(
    shown: &Shown<'_>,
    session: &Session,
    turns: bool,
    to: Option<Point>,
    actions: &mut Vec<Action>,
) {
    let (Some(to), Some((knife, _))) = (to, shown.knife(session.knife)) else {
        return;
    };
    let Some(picture) = &knife.picture else {
        return;
    };
    let moved = if turns {
        let from_middle = to - picture.middle;
        if from_middle.hypot2() == 0.0 {
            return;
        }
        picture.turned(from_middle.atan2() - picture.turn_rad)
    } else {
        picture.moved(&Motion::shift(to - picture.middle))
    };
    if moved != *picture {
        actions.push(lay(knife.id, moved));
    }
}
