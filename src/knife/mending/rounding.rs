//! A corner rounded: the arc of a radius that touches both sides, put in between them.
//!
//! The middle of the arc lies at the radius from both sides, on the side the corner opens to. Going back from the corner along the side that arrives, the
//! circle that touches it there comes clear of the other side once; that place is closed in on by halving, and the nearest point of the other side is where the
//! arc ends. For two straight sides that turn by φ it is r·tan(φ/2) from the corner (Euclid III.17: two tangents from one point are equal).

use std::f64::consts::FRAC_PI_2;

use crate::geometry::{Piece, Point, Vec2};
use crate::knife::outline::{Joint, Node, Outline};
use crate::knife::{Id, Spot};

use super::MendError;

/// A turn below this is no corner, radians.
const NO_TURN: f64 = 1e-6;
/// Looks along a side for where the circle comes clear.
const LOOKS: u32 = 64;
/// Halvings of the step it comes clear in: down to rounding.
const HALVINGS: u32 = 60;
/// Parameter of a side below which nothing of it is left.
const NOTHING: f64 = 1e-6;

/// Where an arc leaves one side and meets the next.
struct Touch {
    /// On the side that arrives.
    t: f64,
    /// On the side that leaves.
    u: f64,
    center: Point,
    /// Signed, as the direction turns.
    sweep: f64,
}

/// Gives the corner at a node a radius. The node goes, two new ones stand where the arc begins and ends, and one halfway where it turns by more than a
/// right angle.
pub(super) fn round(
    outline: &mut Outline,
    node: Id,
    radius_mm: f64,
    ids: &mut Id,
) -> Result<(), MendError> {
    let n = outline.nodes.len();
    let corner = outline.index_of(node).ok_or(MendError::Gone)?;
    let before = (corner + n - 1) % n;
    let sides = outline.piece(before).zip(outline.piece(corner));
    let (arriving, leaving) = sides.ok_or(MendError::Gone)?;
    let no_room = MendError::NoRoom {
        radius_mm,
        at: leaving.start(),
    };
    if !(radius_mm.is_finite() && radius_mm > 0.0 && arriving.is_finite() && leaving.is_finite()) {
        return Err(no_room);
    }
    let touch = touch(&arriving, &leaving, radius_mm).ok_or(no_room)?;
    let from = outline.nodes.get(before).map(|n| n.id);
    let from = from.ok_or(MendError::Gone)?;
    // The side that leaves first: the index of the corner then still holds.
    let end = split(outline, node, touch.u, ids)?;
    let start = split(outline, from, touch.t, ids)?;
    outline.nodes.retain(|own| own.id != node);
    put_arc(outline, start, end, &touch, ids)
}

fn split(outline: &mut Outline, node: Id, t: f64, ids: &mut Id) -> Result<Id, MendError> {
    let n = outline.nodes.len();
    let index = outline
        .split(Spot { node, t }, *ids)
        .ok_or(MendError::Gone)?;
    if outline.nodes.len() > n {
        *ids = ids.saturating_add(1);
    }
    outline
        .nodes
        .get(index)
        .map(|n| n.id)
        .ok_or(MendError::Gone)
}

/// The arc that touches both sides; `None` where they turn too little or are too short.
fn touch(arriving: &Piece, leaving: &Piece, radius: f64) -> Option<Touch> {
    let (from, to) = (arriving.direction(1.0)?, leaving.direction(0.0)?);
    let turn = from.cross(to).atan2(from.dot(to));
    if turn.abs() < NO_TURN {
        return None;
    }
    let side = turn.signum();
    let center_at = |t: f64| {
        let u = arriving.direction(t)?;
        Some(arriving.eval(t) + Vec2::new(-u.y, u.x) * (side * radius))
    };
    let clear = |t: f64| Some(leaving.nearest(center_at(t)?).1 - radius);
    let step = 1.0 / f64::from(LOOKS);
    let mut near = 1.0;
    let mut far = (1..=LOOKS).map(|i| 1.0 - f64::from(i) * step).find(|t| {
        let is_clear = clear(*t).is_some_and(|gap| gap >= 0.0);
        if !is_clear {
            near = *t;
        }
        is_clear
    })?;
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(near, far);
        if clear(middle)? >= 0.0 {
            far = middle;
        } else {
            near = middle;
        }
    }
    let center = center_at(far)?;
    let u = leaving.nearest(center).0;
    if far < NOTHING || !(NOTHING..=1.0 - NOTHING).contains(&u) {
        return None;
    }
    let (a, b) = (arriving.direction(far)?, leaving.direction(u)?);
    let sweep = a.cross(b).atan2(a.dot(b));
    (sweep * side > 0.0).then_some(Touch {
        t: far,
        u,
        center,
        sweep,
    })
}

/// Puts the arc between two nodes that follow each other, as one cubic for each right angle: with handles of 4/3·tan(φ/4)·r a cubic is within 0.03 % of its
/// circle (A. Riškus, Information Technology and Control 35 (2006), eq. 9).
fn put_arc(
    outline: &mut Outline,
    start: Id,
    end: Id,
    touch: &Touch,
    ids: &mut Id,
) -> Result<(), MendError> {
    let arms = if touch.sweep.abs() > FRAC_PI_2 + 1e-9 {
        2.0
    } else {
        1.0
    };
    let share = touch.sweep / arms;
    let length = 4.0 / 3.0 * (share / 4.0).tan();
    let first = outline.index_of(start).ok_or(MendError::Gone)?;
    let spoke = outline.nodes.get(first).map(|n| n.at - touch.center);
    let spoke = spoke.ok_or(MendError::Gone)?;
    let spoke_at = |angle: f64| {
        let turn = Vec2::from_angle(angle);
        Vec2::new(
            spoke.x * turn.x - spoke.y * turn.y,
            spoke.x * turn.y + spoke.y * turn.x,
        )
    };
    // A quarter turn of the spoke, times the signed length, points along the travel.
    let handle = |angle: f64| {
        let s = spoke_at(angle);
        Vec2::new(-s.y, s.x) * length
    };
    if arms > 1.0 {
        let middle = Node {
            id: *ids,
            at: touch.center + spoke_at(share),
            handle_in: Some(-handle(share)),
            handle_out: Some(handle(share)),
            joint: Joint::Smooth,
        };
        *ids = ids.saturating_add(1);
        outline.nodes.insert(first + 1, middle);
    }
    let own = outline.node_mut(start).ok_or(MendError::Gone)?;
    own.handle_out = Some(handle(0.0));
    if own.handle_in.is_some() {
        own.joint = Joint::Smooth;
    }
    let own = outline.node_mut(end).ok_or(MendError::Gone)?;
    own.handle_in = Some(-handle(touch.sweep));
    if own.handle_out.is_some() {
        own.joint = Joint::Smooth;
    }
    Ok(())
}
