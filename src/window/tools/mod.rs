//! The tools: what pointer and keys do on the drawing.
//!
//! A press starts a [`Gesture`] (while the drawing is drawn); [`follow`] carries it on before the next frame is drawn, so that drawing, cards
//! and beam all show the same instant.

mod lay;
mod nudge;
mod over;
mod pick;
mod rise;
mod round;
mod scribe;
pub(super) mod snap;
mod station;

use egui::{PointerButton, Pos2};

use crate::edit::{Change, Edit, Thing, thing_point};
use crate::geometry::{Point, Vec2};
use crate::knife::{CutShape, Id};

pub(super) use lay::{start as start_lay, turn_grip};
pub(super) use nudge::nudge_step;
pub(super) use pick::{press_on_ground, press_on_thing};
pub use rise::GrindGrip;
pub(super) use rise::{Held, grips, held, start as start_grip, stepped as stepped_grip};
pub use round::Rounding;
pub(super) use round::start_rounding;
pub use scribe::DraftNode;
pub use snap::Snapped;

use super::action::Action;
use super::hands;
use super::session::{Session, Tool};
use super::shown::Shown;
use snap::snap;

/// An unfinished drag or drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Gesture {
    /// Nothing under way.
    #[default]
    Idle,
    /// Things are being moved with the pointer.
    Move {
        /// The thing held by the pointer; the others follow it.
        held: Thing,
        /// All that is moved.
        things: Vec<Thing>,
        /// From the pointer to the point where the thing is held, mm.
        grip: Vec2,
        /// What the pointer last snapped to.
        snapped: Snapped,
    },
    /// A station of the taper is being moved on the knife from above.
    Station {
        /// Its place in the taper.
        place: usize,
        /// From the pointer to the station: along the knife, and through its thickness, mm.
        grip: Vec2,
    },
    /// A grind is held: the height at a station, or a plunge line.
    Grind {
        /// What of it.
        grip: GrindGrip,
        /// From the pointer to the grip, mm.
        off: Vec2,
    },
    /// A corner is being rounded.
    Round {
        /// Which.
        rounding: Rounding,
        /// The radius it has now, mm; 0 while it is sharp.
        radius_mm: f64,
    },
    /// A piece of the outline is being pulled.
    Pull {
        /// The node the piece begins at.
        node: Id,
        /// The point of the piece that is held.
        t: f64,
    },
    /// A box is drawn around things to pick them.
    Band {
        /// First corner.
        from: Point,
    },
    /// A new outline, or a new opening in the steel, is being drawn.
    Draft {
        /// Whether it is an opening.
        opening: bool,
        /// The nodes placed so far.
        nodes: Vec<DraftNode>,
        /// Whether the button is held and pulls the last node's handles.
        pulling: bool,
    },
    /// A stretch of the outline is being drawn over, or waits to be.
    DrawOver {
        /// The stroke so far; empty until the button goes down.
        points: Vec<Point>,
    },
    /// A slot is being drawn.
    Slot {
        /// Middle of its first end.
        from: Point,
    },
    /// A distance is being measured, or was.
    Measure {
        /// First place.
        from: Point,
        /// Second place.
        to: Point,
        /// Whether the button is still held.
        held: bool,
    },
    /// The picture under the drawing is held: moved, or turned about its middle.
    Lay {
        /// Whether it is turned.
        turns: bool,
        /// From the pointer to what is held, mm.
        off: Vec2,
    },
    /// Arrow keys are held.
    Nudge,
}

impl Gesture {
    /// Whether the pointer changes the knife from frame to frame.
    #[must_use]
    pub fn drags(&self) -> bool {
        matches!(
            self,
            Self::Move { .. }
                | Self::Station { .. }
                | Self::Grind { .. }
                | Self::Round { .. }
                | Self::Pull { .. }
        )
    }
}

/// Smallest slot that a drag makes, mm: less is a click that slipped.
const LEAST_SLOT_RUN_MM: f64 = 0.5;

/// Carries on what is under way with the newest state of pointer and keys.
pub(super) fn follow(
    ctx: &egui::Context,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some(canvas) = session.canvas else { return };
    let (pos, down, escape, free) = ctx.input(|i| {
        (
            i.pointer.latest_pos(),
            i.pointer.button_down(PointerButton::Primary),
            hands::DROP.pressed(i),
            hands::PAST_SNAPS.held(i.modifiers),
        )
    });
    let at = pos.map(|pos| session.view().model_from_screen(canvas, pos));
    session.pointer = at.filter(|_| pos.is_some_and(|p| canvas.contains(p)));
    let in_strip = |p: Pos2| session.strip.is_some_and(|strip| strip.rect.contains(p));
    let seen = at.filter(|_| pos.is_some_and(|p| canvas.contains(p) || in_strip(p)));
    section_follows(shown, session, seen);
    if escape && !session.dialog_open() {
        escape_pressed(session, actions);
        return;
    }
    nudge::arrow_keys(ctx, shown, session, actions);
    let gesture = session.gesture.clone();
    match gesture {
        Gesture::Idle | Gesture::Nudge => {}
        Gesture::DrawOver { points } => over::follow(ctx, session, points, at, down, actions),
        Gesture::Draft { .. } => scribe::follow_draft(ctx, shown, session, at, down, actions),
        Gesture::Move {
            held, things, grip, ..
        } => {
            if let Some(at) = at {
                move_things(shown, session, held, &things, at + grip, free, actions);
            }
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Station { place, grip } => {
            if let Some(pos) = pos {
                station::follow(shown, session, (place, grip), pos, free, actions);
            }
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Grind { grip, off } => {
            if let Some(at) = at {
                rise::follow(shown, session, grip, at + off, free, actions);
            }
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Lay { turns, off } => {
            lay::follow(shown, session, turns, at.map(|at| at + off), actions);
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Round { rounding, .. } => {
            if let Some(at) = at {
                round::follow(shown, session, rounding, at, free, actions);
            }
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Pull { node, t } => {
            if let (Some(to), Some(knife)) = (at, session.knife) {
                let change = Change::PullPiece { node, t, to };
                actions.push(Action::Edit(Edit::knife(knife, change)));
            }
            if !down {
                finish(session, actions);
            }
        }
        Gesture::Band { from } if !down => end_band(ctx, shown, session, (from, at), actions),
        Gesture::Slot { from } if !down => {
            session.gesture = Gesture::Idle;
            let to = at.map(|p| snap(shown, session, p, &[], free).at);
            if let (Some(to), Some(knife)) = (to, session.knife) {
                cut_slot(session, knife, from, to, actions);
            }
        }
        Gesture::Band { .. } | Gesture::Slot { .. } => {}
        Gesture::Measure { from, held, .. } => {
            if held && let Some(at) = at {
                let to = snap(shown, session, at, &[], free).at;
                let held = down;
                session.gesture = Gesture::Measure { from, to, held };
            }
        }
    }
}

/// Picks what lies in a frame; with Shift or Ctrl it is added to what is picked.
fn end_band(
    ctx: &egui::Context,
    shown: &Shown<'_>,
    session: &mut Session,
    (from, to): (Point, Option<Point>),
    actions: &mut Vec<Action>,
) {
    if let Some(to) = to {
        let framed = pick::things_in_box(shown, session, from, to);
        let adding = ctx.input(|i| hands::PICK_MORE.held(i.modifiers));
        actions.push(Action::Pick(pick::framed_with(session, framed, adding)));
    }
    session.gesture = Gesture::Idle;
}

/// The section is taken where the pointer is on the knife, unless it is held at a place.
fn section_follows(shown: &Shown<'_>, session: &mut Session, at: Option<Point>) {
    if session.section.pinned {
        return;
    }
    if let (Some(at), Some((_, results))) = (at, shown.knife(session.knife)) {
        let bounds = results.steel.bounds();
        if (bounds.x0..=bounds.x1).contains(&at.x) {
            session.section.x_mm = Some(at.x);
        }
    }
}

fn finish(session: &mut Session, actions: &mut Vec<Action>) {
    session.gesture = Gesture::Idle;
    actions.push(Action::End);
}

fn escape_pressed(session: &mut Session, actions: &mut Vec<Action>) {
    match std::mem::take(&mut session.gesture) {
        Gesture::Move { .. }
        | Gesture::Station { .. }
        | Gesture::Grind { .. }
        | Gesture::Round { .. }
        | Gesture::Pull { .. }
        | Gesture::Lay { .. }
        | Gesture::Nudge => {
            actions.push(Action::Cancel);
        }
        Gesture::Idle if !session.picked.is_empty() || session.finding.is_some() => {
            session.finding = None;
            actions.push(Action::Pick(Vec::new()));
        }
        Gesture::Idle if session.tool != Tool::Shift => actions.push(Action::Take(Tool::Shift)),
        _ => {}
    }
}

fn move_things(
    shown: &Shown<'_>,
    session: &mut Session,
    held: Thing,
    things: &[Thing],
    wanted: Point,
    free: bool,
    actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    let Some(now) = thing_point(knife, held) else {
        return;
    };
    // Landmarks slide on the outline and need no snap.
    let snapped = if matches!(held, Thing::Landmark(_)) {
        Snapped::free(wanted)
    } else {
        snap(shown, session, wanted, things, free)
    };
    let by = snapped.at - now;
    if let Gesture::Move { snapped: last, .. } = &mut session.gesture {
        last.clone_from(&snapped);
    }
    if by.hypot() > 1e-12 {
        let change = match things {
            [only] => Change::Place {
                thing: *only,
                at: snapped.at,
            },
            _ => Change::Shift {
                things: things.to_vec(),
                by,
            },
        };
        actions.push(Action::Edit(Edit::knife(knife.id, change)));
    }
}

fn cut_slot(session: &Session, knife: Id, from: Point, to: Point, actions: &mut Vec<Action>) {
    if from.distance(to) < LEAST_SLOT_RUN_MM {
        actions.push(Action::Say(
            "Press at one end of the slot and drag to the other".to_owned(),
        ));
        return;
    }
    let change = Change::AddCutOut {
        shape: slot_between(from, to, session.drill.slot_width_mm),
        purpose: session.drill.purpose,
        filling: slot_filling(session),
    };
    actions.push(Action::Edit(Edit::knife(knife, change)));
}

/// A tube fills round holes only; a slot drawn while tubes are set up stays empty. A pin fills all of it.
fn slot_filling(session: &Session) -> crate::knife::Filling {
    match &session.drill.filling {
        crate::knife::Filling::Tube { .. } => crate::knife::Filling::Nothing,
        crate::knife::Filling::Pin { material, .. } => crate::knife::Filling::pin(material),
        other => other.clone(),
    }
}

/// The slot whose round ends have their middles at the two places.
pub(super) fn slot_between(from: Point, to: Point, width_mm: f64) -> CutShape {
    CutShape::Slot {
        center: from.midpoint(to),
        length_mm: from.distance(to) + width_mm,
        width_mm,
        angle_rad: (to - from).atan2(),
    }
}

/// Model place of the pointer, snapped.
pub(super) fn snapped_pointer(
    shown: &Shown<'_>,
    session: &Session,
    pos: Pos2,
    free: bool,
) -> Option<Snapped> {
    let canvas = session.canvas?;
    let at = session.view().model_from_screen(canvas, pos);
    Some(snap(shown, session, at, &[], free))
}
