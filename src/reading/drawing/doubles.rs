//! Pieces that are nothing, drawn twice, or lie along another: taken out before ends are joined, where they would lead astray.

use kurbo::{Point, Vec2};

use super::MOST_LEFT_OUT;
use super::grid::Grid;
use super::imported::{Mending, Repair};
use super::strokes::{Role, Stroke, Strokes, straightened};
use crate::geometry::{Piece, SAME_POINT_MM};

/// Two pieces are the same when they lie within this share of the joining distance: copies are mostly true to the last digit.
const SAME_SHARE: f64 = 0.1;
/// Most pieces of one place that a piece is compared with; a star of lines through one point has no more copies to find.
const MOST_COMPARED: usize = 32;
/// Lines whose directions differ by less may lie along each other, radians.
const SAME_DIRECTION: f64 = 1e-5;
/// Lines that lie over each other by less than this many times the distance within which points are one only touch.
const LEAST_OVERLAP: f64 = 8.0;
/// Straight curves become lines where their control points lie within this of the chord, mm.
const STRAIGHT_MM: f64 = 1e-7;

/// Takes out what is nothing or doubled, merges lines that lie along each other, and tells what was done.
pub(super) fn drop_empty_and_doubled(strokes: &mut Strokes, join_mm: f64) -> Mending {
    for piece in &mut strokes.pieces {
        *piece = straightened(piece, STRAIGHT_MM);
    }
    let within = (join_mm * SAME_SHARE).max(SAME_POINT_MM);
    let mut gone: Vec<bool> = strokes.pieces.iter().map(is_nothing).collect();
    let empty = gone.iter().filter(|gone| **gone).count();
    mark_doubled(strokes, within, &mut gone);
    let doubled = gone.iter().filter(|gone| **gone).count() - empty;
    let mut mending = Mending::default();
    mark(strokes, &gone, None, &mut mending);
    let before = gone.clone();
    let merged = merge_lines(strokes, within, &mut gone);
    if merged > 0 {
        mark(strokes, &gone, Some(&before), &mut mending);
    }
    take_out(strokes, &gone, within);
    let repaired = &mut mending.repaired;
    if empty > 0 {
        repaired.push(Repair::EmptyDropped { count: empty });
    }
    if doubled > 0 {
        repaired.push(Repair::DoubledDropped { count: doubled });
    }
    if merged > 0 {
        repaired.push(Repair::LinesMerged { count: merged });
    }
    mending
}

/// Marks the places of the pieces that go, without those that went before.
fn mark(strokes: &Strokes, gone: &[bool], before: Option<&[bool]>, mending: &mut Mending) {
    let known = |i: usize| before.is_some_and(|before| before.get(i) == Some(&true));
    let going = gone
        .iter()
        .enumerate()
        .filter(|(i, gone)| **gone && !known(*i));
    for (i, _) in going.take(MOST_LEFT_OUT) {
        if let Some(piece) = strokes.pieces.get(i) {
            mending.mark(piece.eval(0.5));
        }
    }
}

fn is_nothing(piece: &Piece) -> bool {
    let size = piece.hull_bounds();
    size.width().max(size.height()) <= SAME_POINT_MM
}

/// Marks every piece of an open stroke that is another one over again; the longest strokes are kept first. Closed strokes stay: one that is another
/// over again is told when contours are sorted, wherever it begins.
fn mark_doubled(strokes: &Strokes, within: f64, gone: &mut [bool]) {
    if strokes.all.iter().all(|stroke| stroke.closed) {
        return;
    }
    let mut order: Vec<&Stroke> = strokes.all.iter().collect();
    order.sort_by_key(|stroke| (!stroke.closed, std::cmp::Reverse(stroke.to - stroke.from)));
    let mut known = Grid::new(within, strokes.pieces.len());
    for stroke in order {
        for (i, piece) in (stroke.from..).zip(strokes.of(stroke)) {
            let Some(gone) = gone.get_mut(i).filter(|gone| !**gone) else {
                continue;
            };
            let middle = piece.eval(0.5);
            let same = |other: usize| {
                let other = strokes.pieces.get(other);
                other.is_some_and(|other| is_same(piece, other, within))
            };
            if !stroke.closed && known.near(middle).take(MOST_COMPARED).any(same) {
                *gone = true;
            } else {
                known.add(middle, i);
            }
        }
    }
}

/// Whether two pieces are the same line, in either direction.
fn is_same(a: &Piece, b: &Piece, within: f64) -> bool {
    let near = |p: Point, q: Point| p.distance(q) <= within;
    let along = near(a.start(), b.start()) && near(a.end(), b.end());
    let against = near(a.start(), b.end()) && near(a.end(), b.start());
    let quarter = |t: f64| {
        let other = if along { t } else { 1.0 - t };
        near(a.eval(t), b.eval(other))
    };
    (along || against) && quarter(0.25) && quarter(0.5) && quarter(0.75)
}

/// A line seen along its own direction.
#[derive(Clone, Copy, Debug)]
struct Run {
    index: usize,
    /// Direction, to the right or straight up.
    angle: f64,
    /// Distance from the origin, to the left of the direction.
    off: f64,
    /// Where it begins and ends along the direction.
    from: f64,
    to: f64,
}

/// Merges lines that are strokes of their own and lie over each other in part, and drops those that lie in another; gives how many went.
fn merge_lines(strokes: &mut Strokes, within: f64, gone: &mut [bool]) -> usize {
    let origin = strokes.bounds().map_or(Point::ZERO, |b| b.center());
    let mut runs: Vec<Run> = Vec::new();
    for stroke in &strokes.all {
        if stroke.to == stroke.from + 1
            && gone.get(stroke.from) == Some(&false)
            && let Some(Piece::Line(line)) = strokes.pieces.get(stroke.from)
        {
            runs.push(run_of(stroke.from, line.p0 - origin, line.p1 - origin));
        }
    }
    // Rounded, so that lines of nearly the same direction and distance come together and then in order of their beginnings. Adding zero makes one zero of both.
    let step = |value: f64, step: f64| (value / step).round() + 0.0;
    let mut keyed: Vec<(f64, f64, Run)> = runs
        .into_iter()
        .map(|run| (step(run.angle, SAME_DIRECTION), step(run.off, within), run))
        .collect();
    keyed.sort_by(|a, b| {
        let by_line = a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1));
        by_line.then(a.2.from.total_cmp(&b.2.from))
    });
    let mut merged = 0;
    let mut last: Option<Run> = None;
    for (_, _, run) in keyed {
        if let Some(kept) = &mut last
            && over_each_other(kept, &run, within)
        {
            if let Some(place) = gone.get_mut(run.index) {
                *place = true;
                merged += 1;
            }
            if run.to > kept.to {
                kept.to = run.to;
                if let Some(piece) = strokes.pieces.get_mut(kept.index) {
                    *piece = line_of(kept, origin);
                }
            }
        } else {
            last = Some(run);
        }
    }
    merged
}

fn over_each_other(kept: &Run, run: &Run, within: f64) -> bool {
    let overlap = run.to.min(kept.to) - run.from;
    // Both ends of the second have to lie on the first.
    let turned = (run.angle - kept.angle).abs() * (run.to - run.from);
    (run.off - kept.off).abs() + turned <= within
        && (run.angle - kept.angle).abs() <= 2.0 * SAME_DIRECTION
        && overlap > LEAST_OVERLAP * within
}

fn run_of(index: usize, a: Vec2, b: Vec2) -> Run {
    let mut along = b - a;
    let (mut from, mut to) = (a, b);
    // Upright lines point up, also those that lean back by a rounding.
    let upright = along.x.abs() <= SAME_DIRECTION * along.y.abs();
    if (upright && along.y < 0.0) || (!upright && along.x < 0.0) {
        along = -along;
        (from, to) = (b, a);
    }
    let unit = along / along.hypot().max(f64::MIN_POSITIVE);
    Run {
        index,
        angle: along.atan2(),
        off: unit.cross(from),
        from: unit.dot(from),
        to: unit.dot(to),
    }
}

fn line_of(run: &Run, origin: Point) -> Piece {
    let unit = Vec2::from_angle(run.angle);
    let foot = origin + Vec2::new(-unit.y, unit.x) * run.off;
    Piece::line(foot + unit * run.from, foot + unit * run.to)
}

/// Takes the marked pieces out; a chain that loses a piece within falls in two, unless what it lost had no length.
fn take_out(strokes: &mut Strokes, gone: &[bool], within: f64) {
    if !gone.contains(&true) {
        return;
    }
    let old = std::mem::take(strokes);
    for stroke in &old.all {
        let is_gone = |i: &usize| gone.get(*i).copied().unwrap_or(true);
        let broken = (stroke.from..stroke.to)
            .any(|i| is_gone(&i) && old.pieces.get(i).is_some_and(|p| !is_nothing(p)));
        let mut from = strokes.pieces.len();
        for i in stroke.from..stroke.to {
            let Some(piece) = old.pieces.get(i) else {
                continue;
            };
            if !is_gone(&i) {
                strokes.pieces.push(*piece);
            } else if !is_nothing(piece) {
                push_chain(strokes, &mut from, false, stroke.role);
            }
        }
        let closed = stroke.closed && !broken && strokes.pieces.len() > from;
        // What had no length may still have held two ends apart by a rounding.
        let gap = strokes
            .pieces
            .get(from)
            .zip(strokes.pieces.last())
            .map_or(0.0, |(first, last)| first.start().distance(last.end()));
        push_chain(strokes, &mut from, closed && gap <= within, stroke.role);
    }
}

fn push_chain(strokes: &mut Strokes, from: &mut usize, closed: bool, role: Role) {
    let to = strokes.pieces.len();
    if to > *from {
        strokes.all.push(Stroke {
            from: *from,
            to,
            closed,
            role,
        });
        *from = to;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::drawing::JOIN_MM;

    type Place = (f64, f64);

    fn lines(all: &[(Place, Place)]) -> Strokes {
        let mut strokes = Strokes::default();
        for (a, b) in all {
            let from = strokes.pieces.len();
            strokes.pieces.push(Piece::line((*a).into(), (*b).into()));
            strokes.finish(from, false, Role::Plain);
        }
        strokes
    }

    #[test]
    fn copies_go_in_either_direction() {
        let mut strokes = lines(&[
            ((0.0, 0.0), (10.0, 0.0)),
            ((10.0, 0.0), (0.0, 0.001)),
            ((0.0, 0.0), (10.0, 5.0)),
            ((3.0, 3.0), (3.0, 3.0)),
        ]);
        let mending = drop_empty_and_doubled(&mut strokes, JOIN_MM);
        // The middles of the copy and of the line without length.
        let at = [(5.0, 0.0005), (3.0, 3.0)].map(Point::from);
        assert_eq!(mending.places, at);
        let repaired = mending.repaired;
        assert_eq!(strokes.all.len(), 2);
        assert_eq!(
            repaired,
            [
                Repair::EmptyDropped { count: 1 },
                Repair::DoubledDropped { count: 1 }
            ]
        );
    }

    #[test]
    fn lines_along_each_other_become_one() {
        for turn in [0.0, 0.7, 1.5, std::f64::consts::FRAC_PI_2, 2.5, 3.1] {
            let at = |x: f64| {
                let p = Vec2::from_angle(turn) * x + Vec2::new(40.0, -7.0);
                (p.x, p.y)
            };
            let mut strokes = lines(&[
                (at(0.0), at(10.0)),
                (at(15.0), at(5.0)),
                (at(7.0), at(8.0)),
                // These only touch.
                (at(15.0), at(20.0)),
            ]);
            let repaired = drop_empty_and_doubled(&mut strokes, JOIN_MM).repaired;
            assert_eq!(repaired, [Repair::LinesMerged { count: 2 }], "{turn}");
            let mut lengths: Vec<f64> = strokes.pieces.iter().map(Piece::length).collect();
            lengths.sort_by(f64::total_cmp);
            assert!(
                (lengths[0] - 5.0).abs() < 1e-9 && (lengths[1] - 15.0).abs() < 1e-9,
                "{lengths:?}"
            );
        }
    }

    #[test]
    fn closed_strokes_stay_and_take_their_loose_copies() {
        let mut strokes = lines(&[((0.0, 0.0), (10.0, 0.0)), ((20.0, 0.0), (30.0, 0.0))]);
        for shift in [0.0, 0.0] {
            let from = strokes.pieces.len();
            let square = kurbo::Rect::new(shift, 0.0, shift + 10.0, 10.0);
            strokes
                .pieces
                .extend(crate::geometry::Contour::rounded_rect(square, 0.0).pieces);
            strokes.finish(from, true, Role::Plain);
        }
        let repaired = drop_empty_and_doubled(&mut strokes, JOIN_MM).repaired;
        assert_eq!(strokes.all.iter().filter(|s| s.closed).count(), 2);
        assert_eq!(strokes.all.len(), 3);
        assert_eq!(repaired, [Repair::DoubledDropped { count: 1 }]);
    }

    #[test]
    fn nothing_is_taken_from_a_clean_drawing() {
        let mut strokes = lines(&[
            ((0.0, 0.0), (10.0, 0.0)),
            ((10.0, 0.0), (20.0, 0.0)),
            ((5.0, -5.0), (5.0, 5.0)),
        ]);
        let before = strokes.all.clone();
        assert_eq!(
            drop_empty_and_doubled(&mut strokes, JOIN_MM),
            Mending::default()
        );
        assert_eq!(strokes.all, before);
    }
}
