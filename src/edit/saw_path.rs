//! The way a saw goes: straight from point to point, or one curve through a bow, and on straight past both ends.
//!
//! A curve is the parabola from the first point to the last that passes the bow halfway. Crossings are found on chords of it; what is left on the knife
//! is the parabola itself, as a cubic.

use super::EditError;
use crate::geometry::{Piece, Point, SpanIndex, Vec2, crossings_between};
use crate::knife::{Id, Joint, LARGEST_MM, Node};

/// Crossings nearer than this along the line are one: a line through a node meets both its pieces, mm.
pub(super) const SAME_CROSSING_MM: f64 = 1e-4;

/// Chords of a curve. On one a hand long that bows by a finger they leave it by less than a hundredth of a millimeter.
const CHORDS: u32 = 64;

/// The way, taken far past the knife.
pub(super) struct SawPath {
    points: Vec<Point>,
    /// First point, control point and last point of the curve.
    curve: Option<[Point; 3]>,
}

/// Where the way crosses the outline.
#[derive(Clone, Copy)]
pub(super) struct Crossing {
    leg: usize,
    along_mm: f64,
    pub(super) at: Point,
}

/// A place on the cut, with the handles that shape it there; `before` and `after` in the order of the way.
#[derive(Clone, Copy)]
pub(super) struct Step {
    pub(super) at: Point,
    before: Option<Vec2>,
    after: Option<Vec2>,
}

impl Step {
    /// The handle on the side where the cut goes on, run forward or back.
    pub(super) fn onward(&self, back: bool) -> Option<Vec2> {
        if back { self.before } else { self.after }
    }

    /// A node of the cut, run forward or back.
    pub(super) fn node(&self, id: Id, back: bool) -> Node {
        let (handle_in, handle_out) = (self.onward(!back), self.onward(back));
        Node {
            id,
            at: self.at,
            handle_in,
            handle_out,
            joint: Joint::Corner,
        }
    }
}

impl SawPath {
    /// # Errors
    /// Fewer than two points, or one off the bench.
    pub(super) fn new(line: &[Point], bow: Option<Point>) -> Result<Self, EditError> {
        let on_bench = |p: &Point| {
            (-LARGEST_MM..=LARGEST_MM).contains(&p.x) && (-LARGEST_MM..=LARGEST_MM).contains(&p.y)
        };
        if !line.iter().chain(&bow).all(on_bench) {
            return Err(EditError::OffBench);
        }
        let ends = line.first().copied().zip(line.last().copied());
        let curve = bow.zip(ends).map(|(bow, (first, last))| {
            let control = bow + (bow - first.midpoint(last));
            [first, control, last]
        });
        let mut points: Vec<Point> = match curve {
            None => line.to_vec(),
            Some(curve) => (0..=CHORDS)
                .map(|i| on_curve(curve, f64::from(i) / f64::from(CHORDS)))
                .collect(),
        };
        if curve.is_none() {
            points.dedup_by(|a, b| a.distance(*b) <= SAME_CROSSING_MM);
        }
        let n = points.len();
        let (Some(first), Some(second), Some(last), Some(previous)) = (
            points.first().copied(),
            points.get(1).copied(),
            points.last().copied(),
            n.checked_sub(2).and_then(|i| points.get(i)).copied(),
        ) else {
            return Err(EditError::NoCut);
        };
        if ends.is_none_or(|(a, b)| a.distance(b) <= SAME_CROSSING_MM && curve.is_some()) {
            return Err(EditError::NoCut);
        }
        // Past its ends a curve goes on as it runs there.
        let runs = |t: f64, chord: Vec2| {
            let own = curve.map(|curve| along(curve, t));
            own.filter(|v| v.hypot() > SAME_CROSSING_MM)
                .unwrap_or(chord)
        };
        let far = |v: Vec2| v * (2.0 * LARGEST_MM / v.hypot());
        points.insert(0, first - far(runs(0.0, second - first)));
        points.push(last + far(runs(1.0, last - previous)));
        Ok(Self { points, curve })
    }

    /// Where it crosses an outline, in order.
    pub(super) fn crossings(&self, steel: &SpanIndex) -> Vec<Crossing> {
        let mut found: Vec<Crossing> = Vec::new();
        for (leg, pair) in self.points.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            let line = SpanIndex::new(&[Piece::line(*a, *b)]);
            let met = crossings_between(&line, steel).into_iter();
            found.extend(met.map(|crossing| Crossing {
                leg,
                along_mm: crossing.at.distance(*a),
                at: crossing.at,
            }));
        }
        found.sort_by(|a, b| a.leg.cmp(&b.leg).then(a.along_mm.total_cmp(&b.along_mm)));
        found.dedup_by(|a, b| a.at.distance(b.at) <= SAME_CROSSING_MM);
        found
    }

    /// The way between two crossings, by chords.
    pub(super) fn chords(&self, a: Crossing, b: Crossing) -> Vec<Point> {
        let mut chords = vec![a.at];
        chords.extend(self.points.get(a.leg + 1..=b.leg).unwrap_or_default());
        chords.push(b.at);
        chords
    }

    /// The way between two crossings as it is cut.
    pub(super) fn steps(&self, a: Crossing, b: Crossing) -> Vec<Step> {
        let Some(curve) = self.curve else {
            let bare = |at| Step {
                at,
                before: None,
                after: None,
            };
            return self.chords(a, b).into_iter().map(bare).collect();
        };
        let (from, to) = (self.share(a), self.share(b));
        let mut places = vec![(from, a.at)];
        let ends = [(0.0, curve[0]), (1.0, curve[2])];
        places.extend(ends.into_iter().filter(|(t, _)| from < *t && *t < to));
        places.push((to, b.at));
        // Between two places on the curve it is the part of the parabola between them; ahead of it and past it, straight.
        let shaped = |from: f64, to: f64, at: f64| {
            let on_it = from >= 0.0 && to <= 1.0;
            on_it.then(|| along(curve, at) * ((to - from) / 3.0))
        };
        (0..places.len())
            .filter_map(|i| {
                let (t, at) = *places.get(i)?;
                let last = i.checked_sub(1).and_then(|i| places.get(i));
                let before = last.and_then(|(from, _)| shaped(*from, t, t)).map(|v| -v);
                let after = places.get(i + 1).and_then(|(to, _)| shaped(t, *to, t));
                Some(Step { at, before, after })
            })
            .collect()
    }

    /// Where on the curve a crossing lies, 0 to 1; less ahead of it, more past it.
    fn share(&self, crossing: Crossing) -> f64 {
        let leg = u32::try_from(crossing.leg).unwrap_or(u32::MAX);
        let is_at =
            |end: Option<&Point>| end.is_some_and(|p| p.distance(crossing.at) <= SAME_CROSSING_MM);
        if is_at(self.points.get(1)) {
            return 0.0;
        }
        if is_at(self.points.iter().rev().nth(1)) {
            return 1.0;
        }
        let ends = (
            self.points.get(crossing.leg),
            self.points.get(crossing.leg + 1),
        );
        match (leg, ends) {
            (1..=CHORDS, (Some(a), Some(b))) => {
                let part = crossing.along_mm / a.distance(*b).max(f64::MIN_POSITIVE);
                (f64::from(leg - 1) + part.clamp(0.0, 1.0)) / f64::from(CHORDS)
            }
            (0, _) => -1.0,
            _ => 2.0,
        }
    }
}

fn on_curve([a, b, c]: [Point; 3], t: f64) -> Point {
    a.lerp(b, t).lerp(b.lerp(c, t), t)
}

/// The curve's velocity.
fn along([a, b, c]: [Point; 3], t: f64) -> Vec2 {
    2.0 * ((b - a) * (1.0 - t) + (c - b) * t)
}
