//! The outline while it is fitted: its nodes as numbers that may be moved freely.

use super::pieces::Cuts;
use crate::geometry::{CubicBez, Point, Vec2};
use crate::knife::{Joint, Node, Outline};

/// Shortest handle, as a share of its piece: shorter ones make a corner of a smooth node.
const SHORTEST: f64 = 0.03;
/// Longest handle, as a share of its piece: half a circle takes two thirds, and longer ones make loops.
const LONGEST: f64 = 0.95;

/// Pieces that turn by more than this from one to the next, radians, do not pass smoothly: as much as makes a corner.
const MOST_SMOOTH_TURN: f64 = 0.38;

/// How pieces pass a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pass {
    /// Any way; each curve has a handle of its own (two numbers each).
    Corner,
    /// Two curves in one direction (an angle, the length before, the length after).
    Smooth,
    /// A straight piece arrives, a curve goes on in its direction (its length).
    FromLine,
    /// A curve arrives in the direction of the straight piece that goes on (its length).
    IntoLine,
}

/// Nodes as numbers: for each its place, then what its kind of passing needs.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    passes: Vec<Pass>,
    /// Whether the piece that begins at the node is straight.
    straight: Vec<bool>,
    /// Where the numbers of each node begin.
    begins: Vec<usize>,
    numbers: Vec<f64>,
    /// Where each node was at first, and how far a corner may come from there, mm.
    homes: Vec<Point>,
    leash_mm: f64,
}

impl Shape {
    /// The shape of cut pieces, made smooth at all cuts but corners. Nothing but its own few points holds a corner back along a side that goes straight on
    /// beyond it: it stays on a leash.
    pub(super) fn of(cuts: &Cuts, leash_mm: f64) -> Self {
        let n = cuts.cuts.len();
        let mut shape = Self {
            passes: Vec::with_capacity(n),
            straight: cuts.curves.iter().map(Option::is_none).collect(),
            begins: Vec::with_capacity(n),
            numbers: Vec::new(),
            homes: Vec::with_capacity(n),
            leash_mm,
        };
        for (i, cut) in cuts.cuts.iter().enumerate() {
            let before = cuts.curves.get((i + n - 1) % n).copied().flatten();
            let after = cuts.curves.get(i).copied().flatten();
            // A corner that was not seen as one lies between a short straight piece and a curve that has nothing to do with its direction.
            let corner = cut.corner || turn(cuts, i) > MOST_SMOOTH_TURN;
            let pass = match (corner, before, after) {
                (true, ..) | (_, None, None) => Pass::Corner,
                (_, Some(_), Some(_)) => Pass::Smooth,
                (_, None, Some(_)) => Pass::FromLine,
                (_, Some(_), None) => Pass::IntoLine,
            };
            let into = before.map_or(Vec2::ZERO, |c| c.p2 - c.p3);
            let out = after.map_or(Vec2::ZERO, |c| c.p1 - c.p0);
            shape.push(pass, cut.at, into, out);
        }
        shape
    }

    /// Adds a node with its handles, from the node.
    fn push(&mut self, pass: Pass, at: Point, into: Vec2, out: Vec2) {
        self.passes.push(pass);
        self.homes.push(at);
        self.begins.push(self.numbers.len());
        self.numbers.extend([at.x, at.y]);
        match pass {
            Pass::Corner => self.numbers.extend([into.x, into.y, out.x, out.y]),
            Pass::Smooth => {
                let unit = |v: Vec2| {
                    if v.hypot() > 1e-9 {
                        v.normalize()
                    } else {
                        Vec2::ZERO
                    }
                };
                let angle = (unit(out) - unit(into)).atan2();
                self.numbers.extend([angle, into.hypot(), out.hypot()]);
            }
            Pass::FromLine => self.numbers.push(out.hypot()),
            Pass::IntoLine => self.numbers.push(into.hypot()),
        }
    }

    /// The same shape with a corner at a node.
    pub(super) fn loosened(&self, node: usize) -> Self {
        let mut loose = Self {
            passes: Vec::with_capacity(self.passes.len()),
            straight: self.straight.clone(),
            begins: Vec::with_capacity(self.begins.len()),
            numbers: Vec::new(),
            homes: Vec::with_capacity(self.homes.len()),
            leash_mm: self.leash_mm,
        };
        for (i, pass) in self.passes.iter().enumerate() {
            let (into, out) = self.handles(i);
            let pass = if i == node { Pass::Corner } else { *pass };
            let of = |handle: Option<Vec2>| handle.unwrap_or(Vec2::ZERO);
            loose.push(pass, self.place(i), of(into), of(out));
        }
        // The new corner's home is where it is now, the others keep theirs.
        for (i, (own, home)) in loose.homes.iter_mut().zip(&self.homes).enumerate() {
            if i != node {
                *own = *home;
            }
        }
        loose
    }

    /// How many nodes there are.
    pub(super) fn nodes(&self) -> usize {
        self.passes.len()
    }

    /// How many numbers there are.
    pub(super) fn unknowns(&self) -> usize {
        self.numbers.len()
    }

    /// Whether the outline has a corner at a node.
    pub(super) fn is_corner(&self, node: usize) -> bool {
        self.passes.get(node) == Some(&Pass::Corner)
    }

    /// The shape after its numbers have changed; handles keep a least length and do not turn back, corners stay on their leash.
    pub(super) fn moved(&self, by: &[f64]) -> Self {
        let mut moved = self.clone();
        for (own, step) in moved.numbers.iter_mut().zip(by) {
            *own += step;
        }
        moved.hold_corners();
        let curves = moved.curves();
        let n = self.passes.len();
        for (i, pass) in self.passes.iter().enumerate() {
            let chord = |piece: usize| curves.get(piece).map_or(Vec2::ZERO, |c| c.p3 - c.p0);
            let (back, ahead) = (-chord((i + n - 1) % n), chord(i));
            let (before, after) = (back.hypot(), ahead.hypot());
            let begin = self.begins.get(i).copied().unwrap_or_default();
            let (vectors, lengths): (&[_], &[_]) = match pass {
                Pass::Corner => (&[(2, back), (4, ahead)], &[]),
                Pass::Smooth => (&[], &[(3, before), (4, after)]),
                Pass::FromLine => (&[], &[(2, after)]),
                Pass::IntoLine => (&[], &[(2, before)]),
            };
            for (at, chord) in lengths {
                if let Some(own) = moved.numbers.get_mut(begin + at) {
                    *own = own.clamp(SHORTEST * chord, LONGEST * chord);
                }
            }
            for (at, chord) in vectors {
                if let Some([x, y]) = moved.numbers.get_mut(begin + at..begin + at + 2) {
                    let handle = held(Vec2::new(*x, *y), *chord);
                    (*x, *y) = (handle.x, handle.y);
                }
            }
        }
        moved
    }

    /// Takes corners that went too far back to the end of their leash.
    fn hold_corners(&mut self) {
        for (i, home) in self.homes.iter().enumerate() {
            let begin = self.begins.get(i).copied().unwrap_or_default();
            if self.passes.get(i) == Some(&Pass::Corner)
                && let Some([x, y]) = self.numbers.get_mut(begin..begin + 2)
            {
                let off = Point::new(*x, *y) - *home;
                let at = *home + off * (self.leash_mm / off.hypot().max(1e-12)).min(1.0);
                (*x, *y) = (at.x, at.y);
            }
        }
    }

    /// The shape with one number changed.
    pub(super) fn nudged(&self, unknown: usize, by: f64) -> Self {
        let mut nudged = self.clone();
        if let Some(own) = nudged.numbers.get_mut(unknown) {
            *own += by;
        }
        nudged
    }

    fn number(&self, node: usize, at: usize) -> f64 {
        let begin = self.begins.get(node).copied().unwrap_or_default();
        self.numbers.get(begin + at).copied().unwrap_or_default()
    }

    /// Where a node is.
    pub(super) fn place(&self, node: usize) -> Point {
        Point::new(self.number(node, 0), self.number(node, 1))
    }

    /// The handles of the pieces that arrive and leave, from the node; none where that piece is straight.
    fn handles(&self, node: usize) -> (Option<Vec2>, Option<Vec2>) {
        let n = self.passes.len();
        let (before, after) = ((node + n - 1) % n, (node + 1) % n);
        let curved = |piece: usize| self.straight.get(piece) == Some(&false);
        let along = |from: usize, to: usize| {
            let d = self.place(to) - self.place(from);
            if d.hypot() > 1e-12 {
                d.normalize()
            } else {
                Vec2::ZERO
            }
        };
        let (into, out) = match self.passes.get(node) {
            Some(Pass::Corner) => (
                Vec2::new(self.number(node, 2), self.number(node, 3)),
                Vec2::new(self.number(node, 4), self.number(node, 5)),
            ),
            Some(Pass::Smooth) => {
                let way = Vec2::from_angle(self.number(node, 2));
                (-way * self.number(node, 3), way * self.number(node, 4))
            }
            Some(Pass::FromLine) => (Vec2::ZERO, along(before, node) * self.number(node, 2)),
            Some(Pass::IntoLine) => (-along(node, after) * self.number(node, 2), Vec2::ZERO),
            None => (Vec2::ZERO, Vec2::ZERO),
        };
        (curved(before).then_some(into), curved(node).then_some(out))
    }

    /// All pieces as cubics; a straight one has its handles at its thirds.
    pub(super) fn curves(&self) -> Vec<CubicBez> {
        let n = self.passes.len();
        (0..n)
            .map(|i| {
                let next = (i + 1) % n;
                let (from, to) = (self.place(i), self.place(next));
                let third = (to - from) / 3.0;
                let out = self.handles(i).1.unwrap_or(third);
                let into = self.handles(next).0.unwrap_or(-third);
                CubicBez::new(from, from + out, to + into, to)
            })
            .collect()
    }

    /// For each handle length that is a number of its own: which number, and by how much it is off the third of its piece.
    pub(super) fn handles_off<'a>(
        &'a self,
        curves: &'a [CubicBez],
    ) -> impl Iterator<Item = (usize, f64)> + 'a {
        let n = self.passes.len();
        let third =
            move |piece: usize| curves.get(piece).map_or(0.0, |c| c.p0.distance(c.p3) / 3.0);
        (0..n).flat_map(move |i| {
            let (before, after) = (third((i + n - 1) % n), third(i));
            let own: [Option<(usize, f64)>; 2] = match self.passes.get(i) {
                Some(Pass::Smooth) => [Some((3, before)), Some((4, after))],
                Some(Pass::FromLine) => [Some((2, after)), None],
                Some(Pass::IntoLine) => [Some((2, before)), None],
                _ => [None, None],
            };
            let begin = self.begins.get(i).copied().unwrap_or_default();
            own.into_iter()
                .flatten()
                .map(move |(at, third)| (begin + at, self.number(i, at) - third))
        })
    }

    /// The outline of the shape; nodes are numbered from 1.
    pub(super) fn outline(&self) -> Outline {
        let nodes = (1_u32..).zip(0..self.passes.len()).map(|(id, i)| {
            let (handle_in, handle_out) = self.handles(i);
            let smooth = self.passes.get(i) == Some(&Pass::Smooth);
            Node {
                id,
                at: self.place(i),
                handle_in,
                handle_out,
                joint: if smooth { Joint::Smooth } else { Joint::Corner },
            }
        });
        Outline {
            nodes: nodes.collect(),
        }
    }
}

/// By how much the way turns from the piece before a cut to the one after it, radians.
fn turn(cuts: &Cuts, cut: usize) -> f64 {
    let n = cuts.cuts.len();
    let at = |i: usize| cuts.cuts.get(i % n).map_or(Point::ZERO, |cut| cut.at);
    let curve = |i: usize| cuts.curves.get(i % n).copied().flatten();
    let from = curve(cut + n - 1).map_or(at(cut) - at(cut + n - 1), |c| c.p3 - c.p2);
    let to = curve(cut).map_or(at(cut + 1) - at(cut), |c| c.p1 - c.p0);
    from.cross(to).atan2(from.dot(to)).abs()
}

/// A corner's handle on the way to the piece's other end: not longer than it may be, and not pointing away from that end.
fn held(handle: Vec2, chord: Vec2) -> Vec2 {
    let long = chord.hypot();
    if long < 1e-12 {
        return Vec2::ZERO;
    }
    let along = chord / long;
    let handle = handle - along * handle.dot(along).min(0.0);
    handle * (LONGEST * long / handle.hypot().max(1e-12)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tracing::pieces::CutPlace;

    /// A blade whose tip was cut off by a stub 1 mm long: no corner was seen there, and its sides have nothing to do with the stub's direction.
    #[test]
    fn a_stub_across_the_way_does_not_bend_the_sides() {
        let places = [
            (0.0, 0.0),
            (40.0, 0.0),
            (80.0, 8.0),
            (80.0, 9.0),
            (40.0, 16.0),
        ];
        let at = |i: usize| Point::from(places[i % places.len()]);
        let side = |i: usize, out: Vec2, into: Vec2| {
            let (from, to) = (at(i), at(i + 1));
            Some(CubicBez::new(from, from + out, to + into, to))
        };
        let cuts = Cuts {
            cuts: (0..places.len())
                .map(|i| CutPlace {
                    place: 10 * i,
                    at: at(i),
                    corner: i == 0,
                })
                .collect(),
            curves: vec![
                None,
                side(1, Vec2::new(12.0, 0.0), Vec2::new(-12.0, -4.0)),
                None,
                side(3, Vec2::new(-12.0, 3.0), Vec2::new(12.0, 0.0)),
                side(4, Vec2::new(-12.0, 0.0), Vec2::new(3.0, 12.0)),
            ],
        };
        let shape = Shape::of(&cuts, 1.0);
        let corners: Vec<bool> = (0..places.len()).map(|i| shape.is_corner(i)).collect();
        assert_eq!(corners, [true, false, true, true, false]);
        // The curves are those that were cut.
        let curves = shape.curves();
        for (own, cut) in curves.iter().zip(&cuts.curves) {
            if let Some(cut) = cut {
                assert!((own.p1 - cut.p1).hypot() < 1e-9 && (own.p2 - cut.p2).hypot() < 1e-9);
            }
        }
    }

    #[test]
    fn corners_stay_on_their_leash_and_handles_do_not_turn_back() {
        let corner = |x: f64, y: f64| CutPlace {
            place: 0,
            at: Point::new(x, y),
            corner: true,
        };
        let curve = |a: (f64, f64), b: (f64, f64)| {
            let (a, b) = (Point::from(a), Point::from(b));
            Some(CubicBez::new(a, a.lerp(b, 0.3), a.lerp(b, 0.7), b))
        };
        let cuts = Cuts {
            cuts: vec![corner(0.0, 0.0), corner(30.0, 0.0), corner(0.0, 20.0)],
            curves: vec![
                curve((0.0, 0.0), (30.0, 0.0)),
                curve((30.0, 0.0), (0.0, 20.0)),
                curve((0.0, 20.0), (0.0, 0.0)),
            ],
        };
        let shape = Shape::of(&cuts, 1.5);
        // The second corner is pushed 40 mm on, its incoming handle 20 mm past it.
        let mut by = vec![0.0; shape.unknowns()];
        (by[6], by[8]) = (40.0, 29.0);
        let moved = shape.moved(&by);
        assert!((moved.place(1) - Point::new(31.5, 0.0)).hypot() < 1e-9);
        let (into, _) = moved.handles(1);
        assert!(into.unwrap().x <= 1e-9, "{into:?}");
    }
}
