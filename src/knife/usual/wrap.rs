//! The outline of a handle that goes round its tang.
//!
//! 1. At even places from the front back the tang's lowest and highest points for half a step to either side are taken, and `around` added: what
//!    lies under the smooth curve between two places is covered too. Where the tang is lower than a hand likes, the usual heights count.
//! 2. The rear end is a half oval behind the last place.
//! 3. Where a place of the tang still has less around it, everything is made larger by what is missing, and looked at again.

use kurbo::Point;

use crate::geometry::{Contour, SpanIndex};
use crate::knife::tang::smooth;
use crate::knife::{Joint, Node, Outline};

/// Places along the handle: about one for each breadth of a finger.
const PLACES: u32 = 6;
/// Looks within the reach of one place.
const LOOKS: u32 = 12;
/// How much of the height at the last place the rounded end takes along the knife.
const END_ROUND: f64 = 0.6;
/// Handle length of a quarter circle of radius 1 drawn as a cubic, as in the tangs.
const QUARTER: f64 = 0.552_284_749_830_793_4;
/// Rounds of making it larger; each leaves a small part of what was missing.
const ROUNDS: u32 = 16;
/// Near enough to what was asked for, mm.
const NEAR_MM: f64 = 1e-3;
/// The tang's outline is looked at by chords that leave it by at most this, mm.
const CHORD_MM: f64 = 0.05;

/// The outline from `front` to behind `back` at most, at least `around_mm` away from all steel between, and as high as `heights_mm` (at the front, in
/// the palm, at the butt). Counterclockwise from the upper front corner back.
pub(super) fn outline(
    steel: &Contour,
    index: &SpanIndex,
    (front, back): (f64, f64),
    around_mm: f64,
    heights_mm: [f64; 3],
) -> Option<Outline> {
    let tang: Vec<Point> = steel
        .flattened(CHORD_MM)
        .into_iter()
        .filter(|p| p.x < front)
        .collect();
    let mut wider = 0.0;
    for _ in 0..ROUNDS {
        let all = around_mm + wider;
        let sides = sides(index, (front, back - wider), all, heights_mm)?;
        let made = drawn(&sides, back - wider);
        let short = around_mm - least_around(&made.contour(), &tang, front, around_mm);
        if short <= NEAR_MM {
            return Some(made);
        }
        wider += short;
    }
    None
}

/// A place along the handle: its x, its lower and its upper side.
type Side = (f64, f64, f64);

fn sides(
    index: &SpanIndex,
    (front, back): (f64, f64),
    around: f64,
    heights: [f64; 3],
) -> Option<Vec<Side>> {
    let butt = index.bounds().x0;
    // Just inside, where there is height to measure.
    let (least, most) = (butt + 1e-6, front - 1e-6);
    let end_height = index.depth_at(least.max(back)).map_or(0.0, |(l, h)| h - l);
    let round = END_ROUND * (heights[2].max(end_height + 2.0 * around)) / 2.0;
    let end = back + round.min((front - back) / 3.0);
    let step = (front - end) / f64::from(PLACES);
    let span = |x: f64| -> Option<(f64, f64)> {
        let mut found: Option<(f64, f64)> = None;
        for look in 0..=LOOKS {
            let at = x - step / 2.0 + step * f64::from(look) / f64::from(LOOKS);
            let Some((low, high)) = index.depth_at(at.clamp(least, most)).filter(|_| at >= butt)
            else {
                continue;
            };
            found = Some(found.map_or((low, high), |(l, h)| (l.min(low), h.max(high))));
        }
        found
    };
    let mut middle = index.depth_at(most).map(|(l, h)| f64::midpoint(l, h))?;
    (0..=PLACES)
        .map(|place| {
            let x = front - step * f64::from(place);
            let share = f64::from(place) / f64::from(PLACES);
            let [a, b, c] = heights;
            let usual = if share < 0.5 {
                a + (b - a) * 2.0 * share
            } else {
                b + (c - b) * (2.0 * share - 1.0)
            };
            let (low, high) = span(x).map_or((middle, middle), |(l, h)| {
                middle = f64::midpoint(l, h);
                (l - around, h + around)
            });
            Some((
                x,
                low.min(middle - usual / 2.0),
                high.max(middle + usual / 2.0),
            ))
        })
        .collect()
}

/// The smooth line through the places, with a half oval behind the last.
fn drawn(sides: &[Side], back: f64) -> Outline {
    let upper = sides.iter().map(|(x, _, high)| Point::new(*x, *high));
    let lower = sides.iter().rev().map(|(x, low, _)| Point::new(*x, *low));
    let end = sides.last().copied().unwrap_or_default();
    let rear = Point::new(back, f64::midpoint(end.1, end.2));
    let points: Vec<Point> = upper.chain([rear]).chain(lower).collect();
    let mut outline = smooth(&points);
    let n = sides.len();
    let corner = |node: Option<&mut Node>, into: bool| {
        if let Some(node) = node {
            node.joint = Joint::Corner;
            if into {
                node.handle_in = None;
            } else {
                node.handle_out = None;
            }
        }
    };
    corner(outline.nodes.first_mut(), true);
    corner(outline.nodes.last_mut(), false);
    // The front is one straight face, and the lines leave it level; the end is two quarter ovals.
    let run = (end.0 - back) * QUARTER;
    let level = |node: Option<&mut Node>, into: f64, out: f64| {
        if let Some(node) = node {
            node.handle_in = Some((into, 0.0).into());
            node.handle_out = Some((out, 0.0).into());
        }
    };
    let step = (sides.first().map_or(0.0, |s| s.0) - end.0) / (3.0 * f64::from(PLACES));
    level(outline.nodes.get_mut(n - 1), step, -run);
    level(outline.nodes.get_mut(n + 1), -run, step);
    if let Some(node) = outline.nodes.get_mut(n) {
        node.handle_in = Some((0.0, (end.2 - rear.y) * QUARTER).into());
        node.handle_out = Some((0.0, (end.1 - rear.y) * QUARTER).into());
    }
    outline
}

/// Least distance from the tang to the sides and the end of the handle, mm; negative where the tang stands out. Near the front, where the handle's face is
/// nearer than its sides, it is measured up and down.
fn least_around(handle: &Contour, tang: &[Point], front: f64, around: f64) -> f64 {
    let index = handle.index();
    let each = tang.iter().map(|p| {
        let Some((low, high)) = index.depth_at(p.x) else {
            return index.bounds().x0.min(p.x) - p.x;
        };
        let upright = (p.y - low).min(high - p.y);
        if upright < 0.0 || p.x > front - around {
            return upright;
        }
        let nearest = handle.nearest(*p).map_or(upright, |near| near.distance);
        upright.min(nearest)
    });
    each.fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use crate::geometry::{Point, outline_faults};
    use crate::knife::{
        HiddenTang, Knife, Tang, TangEnd, default_sizes, fit_tang, make_starter, starter_forms,
        wrap_round,
    };

    fn knives() -> Vec<Knife> {
        let mut all = Vec::new();
        for form in starter_forms() {
            let sizes = default_sizes(form.key).unwrap();
            let knife = make_starter(form.key, &sizes, "steel").unwrap();
            let mut partial = knife.clone();
            let tang = HiddenTang {
                length_mm: 60.0,
                shoulder_width_mm: 9.0,
                end_width_mm: 8.0,
                shoulder_radius_mm: 2.0,
                end: TangEnd::Round,
            };
            fit_tang(&mut partial, Tang::Partial(tang)).unwrap();
            all.extend([knife, partial]);
        }
        all
    }

    /// By the definition of the distance between a point and a polygon: no place of the tang is nearer to the handle than was asked.
    #[test]
    fn wood_stands_all_round_every_tang() {
        for knife in knives() {
            for around in [0.0, 2.0, 4.0, 7.5] {
                let outline = wrap_round(&knife, around).unwrap();
                let handle = outline.contour();
                assert!(outline_faults(&handle.pieces).is_empty(), "{}", knife.form);
                let (index, bounds) = (handle.index(), handle.bounds());
                assert!(bounds.x1 <= 1e-9, "{}", knife.form);
                let line = handle.flattened(0.001);
                let least = |p: Point| {
                    let n = line.len();
                    (0..n)
                        .map(|i| (line[i], line[(i + 1) % n]))
                        .filter(|(a, b)| a.x < -1e-9 || b.x < -1e-9)
                        .map(|(a, b)| {
                            let along = b - a;
                            let t = (p - a).dot(along) / along.hypot2().max(1e-30);
                            p.distance(a + along * t.clamp(0.0, 1.0))
                        })
                        .fold(f64::INFINITY, f64::min)
                };
                // Ahead of this the handle's front face is nearer than its sides.
                let from = -around.max(0.1);
                for p in knife.contour().flattened(0.05) {
                    if p.x >= from {
                        continue;
                    }
                    assert!(around == 0.0 || index.contains(p), "{} {p:?}", knife.form);
                    let wall = least(p);
                    assert!(
                        wall >= around - 0.01,
                        "{} {around}: {wall} at {p:?}",
                        knife.form
                    );
                }
            }
        }
    }

    #[test]
    fn nothing_goes_round_a_width_that_is_none() {
        let knife = &knives()[0];
        for around in [-1.0, f64::NAN, f64::INFINITY, 1e9] {
            assert_eq!(wrap_round(knife, around), None);
        }
    }
}
