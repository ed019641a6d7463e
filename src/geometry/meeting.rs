//! Whether two monotone stretches meet, and where.
//!
//! 1. Two stretches are apart when their boxes are, or when their chords are further apart than the stretches leave
//!    them. Where that is not so, the one that leaves its chord more is halved. Since that falls to a quarter with
//!    every halving, even curves that run close beside each other are soon told apart.
//! 2. Stretches that follow each other share a point, their joint, which is no meeting. Mostly the cones of their control
//!    points about the joint are apart, which settles it. Otherwise both are halved: the halves away from the joint are
//!    met as in step 1, the halves at the joint as in this step, down to [`JOINT_MM`].
//! 3. Two stretches that leave their joint in the same direction are very near for a while without meeting (the needle
//!    tip of a leaf shape). They are held to [`JOINT_TOUCH_MM`] only, and a touch of stretches that run the same way is
//!    passed over within [`NEEDLE_MM`] of the joint.

use kurbo::{Point, Vec2};

use super::distance::segment_gap;
use super::{Piece, SAME_POINT_MM};

/// Stretches nearer than this touch, mm: a nanometer. It must stay well above the rounding of coordinates, and well
/// below what two contours drawn apart may be apart.
pub(super) const TOUCH_MM: f64 = 1e-6;

/// The same for stretches that follow each other, mm. Above the rounding of coordinates; a spike that doubles back on
/// itself is nearer than this to itself.
const JOINT_TOUCH_MM: f64 = 2e-9;

/// A stretch that leaves its chord by no more than this share of the touching distance is met as its chord.
const FLAT_SHARE: f64 = 0.1;

/// Halvings spent on one pair before the two stretches are taken to run on top of each other. Stretches 1e-5 mm apart
/// for 100 mm need some 2000.
const PAIR_BUDGET: u32 = 6000;

/// Halves at a joint shorter than this are not looked into, mm; nor does what is shorter keep two stretches from being
/// joined.
pub(super) const JOINT_MM: f64 = 4.0 * SAME_POINT_MM;

/// Length of a needle tip that is passed over, mm; see step 3. A tenth of what any shop could cut.
const NEEDLE_MM: f64 = 0.02;

/// Sine of the angle below which two chords count as running the same way in a needle tip.
const NEEDLE_SINE: f64 = 0.02;

/// Sine of the angle by which two cones must be apart; below it a spike that doubles back on itself and is off by
/// rounding would pass.
const APART_SINE: f64 = 1e-9;

/// Which ends two stretches of one chain share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Joints {
    /// None.
    None,
    /// The end of the first is the start of the second.
    EndToStart,
    /// The start of the first is the end of the second.
    StartToEnd,
    /// Both: the two make a closed chain.
    Both,
}

/// First place found where two monotone stretches meet or touch, other than at the joints they share.
pub(super) fn meeting(a: &Piece, b: &Piece, joints: Joints) -> Option<Point> {
    let mut search = Search {
        budget: PAIR_BUDGET,
        joint: None,
        touch: JOINT_TOUCH_MM,
    };
    match joints {
        Joints::None => {
            search.touch = TOUCH_MM;
            search.meet(a, b)
        }
        Joints::EndToStart => search.leave(&a.reversed(), b),
        Joints::StartToEnd => search.leave(a, &b.reversed()),
        Joints::Both => {
            let ((a0, a1), (b0, b1)) = (a.halves(), b.halves());
            search
                .leave(&a1.reversed(), &b0)
                .or_else(|| search.leave(&a0, &b1.reversed()))
                .or_else(|| search.meet(&a0, &b0))
                .or_else(|| search.meet(&a1, &b1))
        }
    }
}

struct Search {
    budget: u32,
    /// The joint the two stretches leave, while they are at it.
    joint: Option<Point>,
    /// Stretches nearer than this meet, mm.
    touch: f64,
}

impl Search {
    /// Step 2: both stretches start at their joint.
    fn leave(&mut self, a: &Piece, b: &Piece) -> Option<Point> {
        let (mut a, mut b) = (*a, *b);
        self.joint = Some(a.start());
        let mut found = None;
        while found.is_none() && !cones_apart(&a, &b) {
            let (near_a, far_a) = a.halves();
            let (near_b, far_b) = b.halves();
            found = self
                .meet(&far_a, &far_b)
                .or_else(|| self.meet(&far_a, &near_b))
                .or_else(|| self.meet(&near_a, &far_b));
            if length_bound(&near_a).max(length_bound(&near_b)) <= JOINT_MM {
                break;
            }
            (a, b) = (near_a, near_b);
        }
        self.joint = None;
        found
    }

    /// Step 1.
    fn meet(&mut self, a: &Piece, b: &Piece) -> Option<Point> {
        let (a_ends, b_ends) = ((a.start(), a.end()), (b.start(), b.end()));
        if boxes_apart(a_ends, b_ends, self.touch) {
            return None;
        }
        let (error_a, error_b) = (a.chord_error(), b.chord_error());
        let (gap, p, q) = segment_gap(a_ends, b_ends);
        if gap > error_a + error_b + self.touch {
            return None;
        }
        if error_a.max(error_b) <= FLAT_SHARE * self.touch || self.budget == 0 {
            let at = shared_middle(a_ends, b_ends, self.touch).unwrap_or_else(|| p.midpoint(q));
            return (!self.at_joint(at, a_ends, b_ends)).then_some(at);
        }
        self.budget -= 1;
        if error_a >= error_b {
            let (front, back) = a.halves();
            self.meet(&front, b).or_else(|| self.meet(&back, b))
        } else {
            let (front, back) = b.halves();
            self.meet(a, &front).or_else(|| self.meet(a, &back))
        }
    }

    /// Whether a meeting of two chords is only the joint, or the needle tip there (step 3).
    fn at_joint(&self, at: Point, a: (Point, Point), b: (Point, Point)) -> bool {
        let Some(joint) = self.joint else {
            return false;
        };
        let distance = joint.distance(at);
        let (u, v) = (a.1 - a.0, b.1 - b.0);
        let sine = u.cross(v).abs();
        distance <= SAME_POINT_MM
            || distance <= NEEDLE_MM && sine <= NEEDLE_SINE * u.hypot() * v.hypot()
    }
}

/// A length the stretch does not exceed by much.
fn length_bound(piece: &Piece) -> f64 {
    piece.start().distance(piece.end()) + piece.chord_error()
}

fn boxes_apart(a: (Point, Point), b: (Point, Point), touch: f64) -> bool {
    let apart = |a0: f64, a1: f64, b0: f64, b1: f64| {
        a0.max(a1) + touch < b0.min(b1) || b0.max(b1) + touch < a0.min(a1)
    };
    apart(a.0.x, a.1.x, b.0.x, b.1.x) || apart(a.0.y, a.1.y, b.0.y, b.1.y)
}

/// For two segments on one line within `touch`, the middle of the part they share.
fn shared_middle(a: (Point, Point), b: (Point, Point), touch: f64) -> Option<Point> {
    let u = a.1 - a.0;
    let len2 = u.hypot2();
    if len2 == 0.0 {
        return None;
    }
    let off = |p: Point| (u.cross(p - a.0)).abs() / len2.sqrt();
    if off(b.0) > touch || off(b.1) > touch {
        return None;
    }
    let along = |p: Point| (p - a.0).dot(u) / len2;
    let (p, q) = (along(b.0), along(b.1));
    let (low, high) = (p.min(q).max(0.0), p.max(q).min(1.0));
    (low <= high).then(|| a.0 + u * f64::midpoint(low, high))
}

/// Whether the cones that hold two stretches, each seen from its start, have only their apex in common.
fn cones_apart(a: &Piece, b: &Piece) -> bool {
    let (rays_a, rays_b) = (rays(a), rays(b));
    // A line through the joint with one stretch on either side: square to the difference of the chords is a good try.
    let unit = |v: Vec2| v / v.hypot();
    let across = unit(rays_a[2]) - unit(rays_b[2]);
    let slack = APART_SINE * APART_SINE * across.hypot2();
    let clear = |d: f64, v: &Vec2| d > 0.0 && d * d > slack * v.hypot2();
    if across.hypot() > APART_SINE
        && rays_a.iter().all(|v| clear(v.dot(across), v))
        && rays_b.iter().all(|v| clear(-v.dot(across), v))
    {
        return true;
    }
    let (Some(left_a), Some(left_b)) = (leftmost(&rays_a), leftmost(&rays_b)) else {
        return false;
    };
    let (Some(right_a), Some(right_b)) = (rightmost(&rays_a), rightmost(&rays_b)) else {
        return false;
    };
    // Both cones are less than half a turn wide. They are apart when neither has a border ray of the other within.
    let within = |v: Vec2, right: Vec2, left: Vec2| {
        let beside = |a: Vec2, b: Vec2| a.cross(b) >= -APART_SINE * a.hypot() * b.hypot();
        beside(right, v) && beside(v, left) && (right.dot(v) > 0.0 || left.dot(v) > 0.0)
    };
    !(within(left_a, right_b, left_b)
        || within(right_a, right_b, left_b)
        || within(left_b, right_a, left_a)
        || within(right_b, right_a, left_a))
}

/// Directions from the start of a stretch whose cone holds all of it: the control points, or for an arc of up to a quarter
/// the tangent and the chord. A handle of no length is left to the next ray.
fn rays(piece: &Piece) -> [Vec2; 3] {
    let rays = match piece {
        Piece::Line(line) => [line.p1 - line.p0; 3],
        Piece::Arc(arc) => {
            let chord = arc.eval(1.0) - arc.eval(0.0);
            [arc.derivative(0.0), chord, chord]
        }
        Piece::Cubic(c) => [c.p1 - c.p0, c.p2 - c.p0, c.p3 - c.p0],
    };
    let short = |v: Vec2| v.hypot2() <= HANDLE_MM * HANDLE_MM;
    let second = if short(rays[1]) { rays[2] } else { rays[1] };
    let first = if short(rays[0]) { second } else { rays[0] };
    [first, second, rays[2]]
}

/// Handles shorter than this are rounding, mm.
const HANDLE_MM: f64 = 1e-12;

/// The ray that has all others to its right, less than half a turn away; `None` when there is none.
fn leftmost(rays: &[Vec2; 3]) -> Option<Vec2> {
    rays.iter()
        .copied()
        .find(|v| rays.iter().all(|w| behind_or_beside(*w, *v)))
}

/// The ray that has all others to its left, less than half a turn away; `None` when there is none.
fn rightmost(rays: &[Vec2; 3]) -> Option<Vec2> {
    rays.iter()
        .copied()
        .find(|v| rays.iter().all(|w| behind_or_beside(*v, *w)))
}

/// Whether a turn of less than half to the left, or none, leads from `v` to `w`.
fn behind_or_beside(v: Vec2, w: Vec2) -> bool {
    let cross = v.cross(w);
    cross > 0.0 || cross == 0.0 && v.dot(w) > 0.0
}
