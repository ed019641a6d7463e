//! A run made ready: its strips in order, and where on it a point has its nearest place.

use std::f64::consts::PI;

use kurbo::{Point, Rect, Vec2};

use super::strip::{Ray, SMOOTH_TURN, Source, Strip, left_of, unwound};
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
}

/// The nearest place of a run to a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    pub share: f64,
    pub at: Vec2,
    pub distance: f64,
    pub extension: bool,
}

/// How far off square a point may lie from an end of the run and still be counted as square to it; rounding, mm.
const SQUARE_MM: f64 = 1e-9;

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
                } else if side * turn > SMOOTH_TURN {
                    strip.pinch = turn.abs();
                }
            }
            last = strip.heading_at(1.0);
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
                curve.meet(ray, meets);
            }
        }
    }

    /// The ray from the place of the run nearest to a point that lies within `near` of it.
    pub(super) fn ray_near(&self, q: Point, near: f64) -> Option<(Foot, Ray)> {
        let q = q.to_vec2();
        self.strips.iter().find_map(|strip| {
            if box_distance(&strip.bounds, q) > near {
                return None;
            }
            let (t, distance) = strip.nearest(q).filter(|(_, d)| *d <= near)?;
            let ray = strip.ray(t.clamp(1e-9, 1.0 - 1e-9));
            let foot = Foot {
                share: ray.share,
                at: ray.foot,
                distance,
                extension: strip.extension,
            };
            Some((foot, ray))
        })
    }

    /// Where the run acts on a point: its nearest place, if that is not an end beside which the point does not lie square, and if the point lies
    /// on the steel's side.
    pub(super) fn foot_of(&self, at: Point, within: f64, zones: &[Rect]) -> Option<Foot> {
        if !zones.iter().any(|zone| zone.contains(at)) {
            return None;
        }
        let q = at.to_vec2();
        // The strip whose box is nearest goes first: most others are then too far to be asked.
        let near = |strip: &Strip| box_distance(&strip.bounds, q);
        let first = (0..self.strips.len())
            .filter_map(|i| Some((i, near(self.strips.get(i)?))))
            .min_by(|a, b| a.1.total_cmp(&b.1))?
            .0;
        let mut best: Option<(usize, f64, f64)> = None;
        let mut limit = within;
        let order = std::iter::once(first).chain((0..self.strips.len()).filter(|i| *i != first));
        for i in order {
            let Some(strip) = self.strips.get(i).filter(|s| near(s) <= limit) else {
                continue;
            };
            let Some((t, d)) = strip.nearest(q) else {
                continue;
            };
            if d < limit || best.is_none() {
                limit = d;
                best = Some((i, t, d));
            }
        }
        let (i, t, distance) = best?;
        let strip = self.strips.get(i)?;
        let ray = strip.ray(t);
        let foot = Foot {
            share: ray.share,
            at: ray.foot,
            distance,
            extension: strip.extension,
        };
        if self.round_ends {
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

/// Distance of a point from a box, mm; 0 inside.
pub(super) fn box_distance(b: &Rect, q: Vec2) -> f64 {
    let dx = (b.x0 - q.x).max(q.x - b.x1).max(0.0);
    let dy = (b.y0 - q.y).max(q.y - b.y1).max(0.0);
    dx.hypot(dy)
}
