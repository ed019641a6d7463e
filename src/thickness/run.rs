//! A run made ready: its strips in order, and where on it a point has its nearest place.

use std::cell::Cell;
use std::f64::consts::PI;

use kurbo::{Point, Rect, Vec2};

use super::boxes::{box_distance, box_distance2};
use super::meetings::Neighbors;
use super::powers::{Square, length};
use super::strip::{Ray, SMOOTH_TURN, SQUARE_MM, Source, Strip, left_of, unwound};
use crate::geometry::{Piece, SAME_POINT_MM};
use crate::knife::{Fuller, Knife, Run};

/// The strips of a run or of a fuller's path.
#[derive(Clone, Debug)]
pub(super) struct RunPath {
    pub strips: Vec<Strip>,
    /// Box of the run.
    pub bounds: Rect,
    /// Whether the ends are rounded off by fans (a fuller's path); a run of the outline ends square.
    pub round_ends: bool,
    /// Strips on each side of a fuller's path: those of the one side come first, then the same pieces on the other.
    sides: usize,
}

/// The nearest place of a run to a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    /// The strip it is on, and the parameter there.
    pub strip: usize,
    pub t: f64,
    pub at: Vec2,
    pub distance: f64,
}

/// A place to which a point lies square.
enum Beside {
    /// No other place of the run is nearer.
    Nearest(Foot),
    /// Another may be nearer, if there is one at all.
    Perhaps(Option<Foot>),
}

/// Where a foot was found last: the next one is looked for from there.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hint {
    pub strip: usize,
    pub t: f64,
}

impl Foot {
    fn hint(self) -> Hint {
        Hint {
            strip: self.strip,
            t: self.t,
        }
    }
}

impl RunPath {
    /// The run of an outline between two landmarks; `None` when one is missing or nothing lies between them.
    pub(super) fn of_run(knife: &Knife, run: Run, extend: (f64, f64)) -> Option<Self> {
        let parts = knife.run_parts(run)?.into_iter();
        let pieces: Vec<Piece> = parts.filter_map(|p| p.piece(&knife.outline)).collect();
        let mut path = Self::of_pieces(&pieces, 1.0)?;
        path.extend(extend);
        Some(path)
    }

    /// Both sides of a fuller's path and its round ends.
    pub(super) fn of_fuller(fuller: &Fuller) -> Option<Self> {
        let count = fuller.path.nodes.len().checked_sub(1)?;
        let pieces: Vec<Piece> = (0..count).filter_map(|i| fuller.path.piece(i)).collect();
        let mut left = Self::of_pieces(&pieces, 1.0)?;
        let right = Self::of_pieces(&pieces, -1.0)?;
        let begin = left.strips.first()?;
        let (start, ahead) = (begin.ray(0.0).foot, begin.heading_at(0.0)?);
        let end = left.strips.last()?;
        let (stop, onward) = (end.ray(1.0).foot, end.heading_at(1.0)?);
        left.sides = left.strips.len();
        left.strips.extend(right.strips);
        left.strips.push(Strip::fan(start, left_of(ahead), PI, 0.0));
        left.strips
            .push(Strip::fan(stop, left_of(onward), -PI, 1.0));
        left.round_ends = true;
        Some(left)
    }

    fn of_pieces(pieces: &[Piece], side: f64) -> Option<Self> {
        let mut strips: Vec<Strip> = Vec::with_capacity(pieces.len() + 2);
        let mut length = 0.0;
        let mut chain = 0;
        let mut last: Option<Vec2> = None;
        for piece in pieces {
            let size = piece.hull_bounds();
            if size.width().max(size.height()) <= SAME_POINT_MM {
                continue;
            }
            let Some(mut strip) = Strip::of_piece(piece, side) else {
                continue;
            };
            let begin = strip.heading_at(0.0)?;
            if let Some(before) = last {
                let turn = before.cross(begin).atan2(before.dot(begin));
                if side * turn < -SMOOTH_TURN {
                    let from = before.atan2() + side * PI / 2.0;
                    strips.push(Strip::fan(piece.start().to_vec2(), from, turn, length));
                    chain += 1;
                } else if side * turn > SMOOTH_TURN {
                    strip.pinch = turn.abs();
                }
            }
            last = strip.heading_at(1.0);
            let smooth = strips.last().is_some_and(|s| s.is_piece()) && strip.pinch == 0.0;
            chain += u32::from(!smooth);
            strip.chain = chain;
            strip.share = (length, length + strip.length);
            length += strip.length;
            strips.push(strip);
        }
        if strips.is_empty() || length <= SAME_POINT_MM {
            return None;
        }
        let mut bounds = strips.first()?.bounds;
        for strip in &mut strips {
            strip.share = (strip.share.0 / length, strip.share.1 / length);
            bounds = bounds.union(strip.bounds);
        }
        let mut path = Self {
            strips,
            bounds,
            round_ends: false,
            sides: 0,
        };
        path.unwind();
        Some(path)
    }

    /// Unwinds the headings along the run, so that their range tells how far it turns.
    fn unwind(&mut self) {
        let mut last: Option<f64> = None;
        for strip in &mut self.strips {
            if matches!(strip.source, Source::Fan { .. }) {
                continue;
            }
            if let Some(last) = last {
                let turn = unwound(strip.heading.0 - last) - (strip.heading.0 - last);
                strip.heading.0 += turn;
                strip.heading.1 += turn;
            }
            last = Some(f64::midpoint(strip.heading.0, strip.heading.1));
        }
    }

    /// Straight continuations before the run's beginning and past its end, mm; none for 0.
    fn extend(&mut self, (before, after): (f64, f64)) {
        let begin = self
            .strips
            .first()
            .and_then(|s| Some((s.ray(0.0).foot, s.heading_at(0.0)?)));
        let end = self
            .strips
            .last()
            .and_then(|s| Some((s.ray(1.0).foot, s.heading_at(1.0)?)));
        if before > 0.0
            && let Some((at, ahead)) = begin
            && let Some(mut strip) = Strip::extension(at - ahead * before, at, 0.0)
        {
            if let Some(first) = self.strips.first() {
                let turn = unwound(strip.heading.0 - first.heading.0);
                strip.heading = (first.heading.0 + turn, first.heading.0 + turn);
            }
            self.strips.insert(0, strip);
        }
        if after > 0.0
            && let Some((at, ahead)) = end
            && let Some(mut strip) = Strip::extension(at, at + ahead * after, 1.0)
        {
            if let Some(last) = self.strips.last() {
                let turn = unwound(strip.heading.0 - last.heading.1);
                strip.heading = (last.heading.1 + turn, last.heading.1 + turn);
            }
            self.strips.push(strip);
        }
        for strip in &self.strips {
            self.bounds = self.bounds.union(strip.bounds);
        }
    }

    /// Adds the distances at which a ray passes over the run itself.
    pub(super) fn meets(&self, ray: &Ray, meets: &mut Vec<f64>) {
        for strip in &self.strips {
            if let Source::Along { curve, side } = strip.source
                && side > 0.0
            {
                curve.meet(ray, &mut |d| meets.push(d));
            }
        }
    }

    /// The ray from the place of the run nearest to a point that lies within `near` of it.
    pub(super) fn ray_near(&self, q: Point, near: f64) -> Option<(Foot, Ray)> {
        let q = q.to_vec2();
        self.strips.iter().enumerate().find_map(|(i, strip)| {
            if box_distance(&strip.bounds, q) > near {
                return None;
            }
            let (t, distance) = strip.nearest(q).filter(|(_, d)| *d <= near)?;
            let t = t.clamp(1e-9, 1.0 - 1e-9);
            let ray = strip.ray(t);
            let foot = Foot {
                strip: i,
                t,
                at: ray.foot,
                distance,
            };
            Some((foot, ray))
        })
    }

    /// Where the run acts on a point: its nearest place, if that is not an end beside which the point does not lie square, and if the point lies
    /// on the steel's side. The search begins at the hint, and leaves it where the foot was found. `free` tells for each strip how far from it the nearest
    /// place surely is the one to which the point lies square.
    pub(super) fn foot_of(
        &self,
        q: Vec2,
        within: f64,
        free: &Neighbors,
        hint: &Cell<Hint>,
    ) -> Option<Foot> {
        match self.beside(q, free, hint) {
            Beside::Nearest(foot) => {
                let strip = self.strips.get(foot.strip)?;
                (self.round_ends || strip.is_over(q, foot.t)).then_some(foot)
            }
            Beside::Perhaps(foot) => self.search(q, within, foot, hint),
        }
    }

    /// Distance of a point from the run, mm. The search begins at the hint.
    pub(super) fn distance(&self, q: Vec2, free: &Neighbors, hint: &Cell<Hint>) -> f64 {
        let known = match self.beside(q, free, hint) {
            Beside::Nearest(foot) => return foot.distance,
            Beside::Perhaps(foot) => foot,
        };
        let mut least = known.map_or(f64::INFINITY, |foot| foot.distance);
        for strip in &self.strips {
            if box_distance2(&strip.bounds, q) < least * least
                && let Some((_, d)) = strip.nearest(q)
            {
                least = least.min(d);
            }
        }
        least
    }

    /// The place beside the hint to which a point lies square; the hint is left there.
    fn beside(&self, q: Vec2, free: &Neighbors, hint: &Cell<Hint>) -> Beside {
        let Some(mut foot) = self.walk(q, hint.get()) else {
            return Beside::Perhaps(None);
        };
        if self.round_ends {
            foot = self.sided(q, foot);
        }
        hint.set(foot.hint());
        if foot.distance <= free.free_of(foot.strip) {
            Beside::Nearest(foot)
        } else {
            Beside::Perhaps(Some(foot))
        }
    }

    /// The same foot on the side of a fuller's path on which the point lies.
    fn sided(&self, q: Vec2, mut foot: Foot) -> Foot {
        let other = if foot.strip < self.sides {
            foot.strip + self.sides
        } else {
            foot.strip - self.sides
        };
        let over = self
            .strips
            .get(foot.strip)
            .is_none_or(|s| s.is_over(q, foot.t));
        if self.round_ends && !over && other < 2 * self.sides {
            foot.strip = other;
        }
        foot
    }

    /// From a place along the run to one to which the point lies square; `None` where there is none before the run ends or the way turns back.
    fn walk(&self, q: Vec2, from: Hint) -> Option<Foot> {
        let (mut i, mut t) = (from.strip, from.t);
        let mut went = 0_i32;
        loop {
            let strip = self.strips.get(i)?;
            let way = match strip.square_near(q, t)? {
                Square::On(t) => {
                    let at = strip.foot_at(t);
                    return Some(Foot {
                        strip: i,
                        t,
                        at,
                        distance: length(q - at),
                    });
                }
                Square::Before => -1,
                Square::Past => 1,
            };
            // Back and forth over a joint: a corner, or rounding.
            if way == -went {
                return None;
            }
            went = way;
            i = if way < 0 { i.checked_sub(1)? } else { i + 1 };
            t = if way < 0 { 1.0 } else { 0.0 };
        }
    }

    /// The nearest place among all strips; none farther away than the known one.
    fn search(&self, q: Vec2, within: f64, known: Option<Foot>, hint: &Cell<Hint>) -> Option<Foot> {
        let near = |i: &usize| {
            let strip = self.strips.get(*i);
            strip.map_or(f64::INFINITY, |s| box_distance2(&s.bounds, q))
        };
        let mut best = known.map(|foot| (foot.strip, foot.t, foot.distance));
        let mut limit = known.map_or(within, |foot| foot.distance);
        let mut asked = None;
        if best.is_none() {
            // The strip whose box is nearest goes first: most others are then too far to be asked.
            let i = (0..self.strips.len()).min_by(|a, b| near(a).total_cmp(&near(b)))?;
            asked = Some(i);
            if let Some((t, d)) = self.strips.get(i)?.nearest(q) {
                (best, limit) = (Some((i, t, d)), d);
            }
        }
        for (i, strip) in self.strips.iter().enumerate() {
            if Some(i) == asked || near(&i) > limit * limit {
                continue;
            }
            let Some((t, d)) = strip.nearest(q) else {
                continue;
            };
            if d < limit || best.is_none() {
                limit = d;
                best = Some((i, t, d));
            }
        }
        let (i, t, distance) = best?;
        hint.set(Hint { strip: i, t });
        let strip = self.strips.get(i)?;
        let ray = strip.ray(t);
        let foot = Foot {
            strip: i,
            t,
            at: ray.foot,
            distance,
        };
        if self.round_ends {
            let foot = self.sided(q, foot);
            hint.set(foot.hint());
            return Some(foot);
        }
        let off = q - ray.foot;
        let along = off.cross(ray.n).abs();
        if along <= SQUARE_MM.max(1e-7 * distance) {
            return (off.dot(ray.n) >= -SQUARE_MM).then_some(foot);
        }
        // Not square to the curve, so the foot is an end of the strip: a corner inside the run counts, an end of the run does not.
        let inner = if t <= 0.5 {
            self.strips.get(i.checked_sub(1)?)
        } else {
            self.strips.get(i + 1)
        }?;
        let beyond = inner.ray(if t <= 0.5 { 1.0 } else { 0.0 });
        let inside = off.dot(ray.n) > 0.0 || off.dot(beyond.n) > 0.0;
        inside.then_some(foot)
    }
}
