//! A chain of pieces made fair: the fewest curves that stay within a distance of it, smooth where they meet.
//!
//! 1. The chain is sampled evenly along its length.
//! 2. A curve through a stretch of samples has its handles by least squares, the places of the samples on it moved to where they are nearest after each
//!    round (P. J. Schneider, "An Algorithm for Automatically Fitting Digitized Curves", Graphics Gems, 1990, 612–626); from the second round on only
//!    distances square to the curve count, which closes in faster (W. Wang, H. Pottmann, Y. Liu, ACM Trans. Graphics 25, 2006, 214–238).
//! 3. From the start, each curve reaches as far as it stays within the distance; then the distance is drawn in as far as the same number of curves
//!    allows, so that the last one is not left a stub.
//! 4. Where two curves meet both have the direction of the chain about that place.
//! 5. What came out is held against the chain, both ways; where it lies too far off, all is done again within less.

use super::{CubicBez, Piece, Point, Vec2};
use kurbo::ParamCurve as _;

/// Samples are about this far apart, mm, and there are this few and this many of them.
const STRIDE_MM: f64 = 0.5;
const SAMPLES: (f64, f64) = (24.0, 400.0);
/// Rounds of moving samples to their nearest places.
const ROUNDS: u32 = 16;
/// The least damping of a step, and that of the first that only counts distances square to the curve (K. Levenberg, Quarterly of Applied Mathematics 2, 1944).
const DAMPING: (f64, f64) = (1e-9, 1e-3);
/// Halvings of the distance while it is drawn in.
const DRAWN_IN: u32 = 6;
/// How often all is done again within less, and how much less.
const AGAIN: u32 = 4;
const LESS: f64 = 0.85;
/// The direction at a joint is that of a chord over this share of the samples to either side.
const ABOUT: f64 = 0.04;
/// A handle longer than this share of its stretch would bulge between the samples.
const LONGEST_HANDLE: f64 = 0.9;
/// A handle in a direction that is kept is at least this share of the chord.
const LEAST_HANDLE: f64 = 0.02;
/// Looks at a curve that came out, to hold it against the chain.
const LOOKS: u32 = 48;
/// Most curves: past it the chain is not one to be made fair.
const MOST_CURVES: usize = 60;

/// A chain made fair.
#[derive(Clone, Debug, PartialEq)]
pub struct Faired {
    /// The curves, or one straight line, from the chain's start to its end.
    pub pieces: Vec<Piece>,
    /// How far they and the chain are apart at most, mm.
    pub off_mm: f64,
}

/// Makes a chain fair within a distance, mm. The pieces must follow each other, with a length each; `ends` are the unit directions of travel that its two
/// ends must keep, where they must. `None` where it can't be: no length, numbers that are not finite, or more corners than curves allow.
#[must_use]
pub fn faired(chain: &[Piece], ends: [Option<Vec2>; 2], within_mm: f64) -> Option<Faired> {
    let samples = sampled(chain)?;
    if !(within_mm.is_finite() && within_mm > 0.0) {
        return None;
    }
    let mut within = within_mm;
    for _ in 0..AGAIN {
        let pieces = fewest(&samples, ends, within)?;
        let off_mm = apart(chain, &pieces);
        if off_mm <= within_mm {
            return Some(Faired { pieces, off_mm });
        }
        within *= LESS;
    }
    None
}

/// The one curve that follows a chain best, its ends and their directions kept as [`faired`] keeps them, with how far off it is.
#[must_use]
pub fn one_curve(chain: &[Piece], ends: [Option<Vec2>; 2]) -> Option<Faired> {
    let samples = sampled(chain)?;
    let (cubic, _) = fit(&samples, ends)?;
    let pieces = vec![Piece::Cubic(cubic)];
    let off_mm = apart(chain, &pieces);
    Some(Faired { pieces, off_mm })
}

/// Points evenly along a chain, its ends among them.
pub(super) fn sampled(chain: &[Piece]) -> Option<Vec<Point>> {
    if chain.is_empty() || chain.iter().any(|p| !p.is_finite()) {
        return None;
    }
    let lengths: Vec<f64> = chain.iter().map(Piece::length).collect();
    let whole: f64 = lengths.iter().sum();
    if !(whole.is_finite() && whole > super::SAME_POINT_MM) {
        return None;
    }
    let count = (whole / STRIDE_MM).clamp(SAMPLES.0, SAMPLES.1);
    let mut points = vec![chain.first()?.start()];
    for (piece, length) in chain.iter().zip(&lengths) {
        let n = (count * length / whole).ceil().max(1.0);
        let mut k = 1.0;
        while k <= n {
            points.push(piece.eval(piece.at_share(k / n, *length)));
            k += 1.0;
        }
    }
    Some(points)
}

/// The fewest curves within a distance of samples, drawn in as far as their number allows.
fn fewest(samples: &[Point], ends: [Option<Vec2>; 2], within: f64) -> Option<Vec<Piece>> {
    if let Some(line) = straight(samples, ends, within) {
        return Some(vec![line]);
    }
    let mut best = reached(samples, ends, within)?;
    let (mut low, mut high) = (0.0, within);
    for _ in 0..DRAWN_IN {
        let middle = f64::midpoint(low, high);
        match reached(samples, ends, middle) {
            Some(curves) if curves.len() <= best.len() => {
                best = curves;
                high = middle;
            }
            _ => low = middle,
        }
    }
    Some(best.into_iter().map(Piece::Cubic).collect())
}

/// The straight line between the ends, where the samples allow it and no end must keep another direction.
fn straight(samples: &[Point], ends: [Option<Vec2>; 2], within: f64) -> Option<Piece> {
    let (from, to) = (*samples.first()?, *samples.last()?);
    let chord = to - from;
    if chord.hypot() <= super::SAME_POINT_MM {
        return None;
    }
    let along = chord.normalize();
    let kept = ends
        .iter()
        .flatten()
        .all(|end| end.cross(along).abs() < 1e-9 && end.dot(along) > 0.0);
    let line = Piece::line(from, to);
    let near = samples.iter().all(|p| line.nearest(*p).1 <= within);
    (kept && near).then_some(line)
}

/// Curves that each reach as far as they stay within the distance.
fn reached(samples: &[Point], ends: [Option<Vec2>; 2], within: f64) -> Option<Vec<CubicBez>> {
    let last = samples.len().checked_sub(1)?;
    let mut curves = Vec::new();
    let (mut from, mut leaving) = (0, ends[0]);
    while from < last {
        if curves.len() >= MOST_CURVES {
            return None;
        }
        let try_to = |to: usize| {
            let arriving = if to == last {
                ends[1]
            } else {
                direction(samples, to)
            };
            let (cubic, off) = fit(samples.get(from..=to)?, [leaving, arriving])?;
            (off <= within).then_some((cubic, arriving))
        };
        let (to, (cubic, arriving)) = match try_to(last) {
            Some(found) => (last, found),
            None => farthest(from, last, try_to)?,
        };
        curves.push(cubic);
        (from, leaving) = (to, arriving);
    }
    Some(curves)
}

/// The farthest sample a curve reaches, by halving; what the last step gives always counts, so that it never stands still.
fn farthest<T>(
    from: usize,
    last: usize,
    try_to: impl Fn(usize) -> Option<T>,
) -> Option<(usize, T)> {
    let (mut near, mut far) = (from, last);
    let mut found = None;
    while far - near > 1 {
        let middle = near + (far - near) / 2;
        match try_to(middle) {
            Some(fit) => {
                found = Some((middle, fit));
                near = middle;
            }
            None => far = middle,
        }
    }
    found
}

/// Direction of travel about a sample, over a chord wide enough to pass over a wobble.
fn direction(samples: &[Point], at: usize) -> Option<Vec2> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small share of a small count"
    )]
    let reach = ((samples.len() as f64 * ABOUT) as usize).max(2);
    let before = samples.get(at.saturating_sub(reach))?;
    let after = samples.get((at + reach).min(samples.len() - 1))?;
    let chord = *after - *before;
    (chord.hypot() > super::SAME_POINT_MM).then(|| chord.normalize())
}

/// The curve between the first and the last sample, with how far the samples are off it at most.
fn fit(samples: &[Point], ends: [Option<Vec2>; 2]) -> Option<(CubicBez, f64)> {
    let (from, to) = (*samples.first()?, *samples.last()?);
    let mut places = by_chords(samples);
    let length = samples.windows(2).map(|p| match p {
        [a, b] => a.distance(*b),
        _ => 0.0,
    });
    let length: f64 = length.sum();
    let mut cubic = first_guess(from, to, ends, length);
    let mut best: Option<(CubicBez, f64)> = None;
    let (mut damping, mut least) = (DAMPING.1, f64::INFINITY);
    for round in 0..ROUNDS {
        let held = if round < 2 { DAMPING.0 } else { damping };
        let next = solved(&cubic, samples, &places, ends, (round > 1, held))?;
        let mut moved = places.clone();
        let (mut off, mut squares) = (0.0_f64, 0.0);
        for (t, point) in moved.iter_mut().zip(samples) {
            *t = nearer(&next, nearer(&next, *t, *point), *point);
            let own = next.eval(*t).distance(*point);
            off = off.max(own);
            squares += own * own;
        }
        // A step that does not help is not taken; the next one is held back more.
        if squares.is_nan() || squares >= least {
            damping *= 6.0;
            continue;
        }
        damping = (damping / 5.0).max(DAMPING.0);
        (cubic, places, least) = (next, moved, squares);
        if best.is_none_or(|(_, most)| off < most) {
            best = Some((cubic, off));
        }
    }
    let bulges =
        |c: &CubicBez| c.p1.distance(c.p0).max(c.p3.distance(c.p2)) > LONGEST_HANDLE * length;
    best.filter(|(c, _)| c.is_finite() && !bulges(c))
}

/// Handles at the thirds, in the directions that are kept.
fn first_guess(from: Point, to: Point, ends: [Option<Vec2>; 2], length: f64) -> CubicBez {
    let third = (to - from) / 3.0;
    let out = ends[0].map_or(third, |d| d * (length / 3.0));
    let into = ends[1].map_or(third, |d| d * (length / 3.0));
    CubicBez::new(from, from + out, to - into, to)
}

/// Shares of the way by the lengths of chords.
fn by_chords(samples: &[Point]) -> Vec<f64> {
    let mut gone = 0.0;
    let mut places = vec![0.0];
    places.extend(samples.windows(2).map(|p| {
        if let [a, b] = p {
            gone += a.distance(*b);
        }
        gone
    }));
    let whole = f64::max(gone, 1e-12);
    for t in &mut places {
        *t /= whole;
    }
    places
}

/// The curve whose handles bring it nearest to the samples at their places: a kept direction leaves one unknown, a free one two. `square_only` counts only
/// distances square to the curve as it was; `held` is the weight, as a share, that keeps the handles as they are.
fn solved(
    cubic: &CubicBez,
    samples: &[Point],
    places: &[f64],
    ends: [Option<Vec2>; 2],
    (square_only, held): (bool, f64),
) -> Option<CubicBez> {
    // What each unknown moves: the outgoing handle or the incoming one, and in which direction.
    let mut moves: Vec<(bool, Vec2)> = Vec::with_capacity(4);
    for (first, end) in [(true, ends[0]), (false, ends[1].map(|d| -d))] {
        match end {
            Some(direction) => moves.push((first, direction)),
            None => moves.extend([(first, Vec2::new(1.0, 0.0)), (first, Vec2::new(0.0, 1.0))]),
        }
    }
    let n = moves.len();
    let mut table = vec![vec![0.0; n + 1]; n];
    let mut row = vec![0.0; n + 1];
    let mut add = |shares: (f64, f64), rest: Vec2, axis: Vec2| {
        for (cell, (first, direction)) in row.iter_mut().zip(&moves) {
            *cell = direction.dot(axis) * if *first { shares.0 } else { shares.1 };
        }
        if let Some(cell) = row.last_mut() {
            *cell = rest.dot(axis);
        }
        for (line, own) in table.iter_mut().zip(&row) {
            for (cell, other) in line.iter_mut().zip(&row) {
                *cell += own * other;
            }
        }
    };
    for (point, t) in samples.iter().zip(places) {
        let s = 1.0 - t;
        let (a, b) = (3.0 * s * s * t, 3.0 * s * t * t);
        let (w0, w3) = (s * s * s + a, t * t * t + b);
        let rest = point.to_vec2() - cubic.p0.to_vec2() * w0 - cubic.p3.to_vec2() * w3;
        if square_only {
            add((a, b), rest, square(cubic, *t));
        } else {
            add((a, b), rest, Vec2::new(1.0, 0.0));
            add((a, b), rest, Vec2::new(0.0, 1.0));
        }
    }
    // Some weight on the handles as they are: what the samples do not tell stays.
    let diagonal = table.iter().enumerate().filter_map(|(i, row)| row.get(i));
    let weight = held * diagonal.sum::<f64>() / n as f64 + 1e-12;
    for (i, (first, direction)) in moves.iter().enumerate() {
        let now = if *first {
            cubic.p1 - cubic.p0
        } else {
            cubic.p2 - cubic.p3
        };
        let line = table.get_mut(i)?;
        *line.get_mut(i)? += weight;
        *line.get_mut(n)? += weight * now.dot(*direction);
    }
    let by = eliminated(table)?;
    let (mut out, mut into) = (Vec2::ZERO, Vec2::ZERO);
    // A kept direction needs a handle to show it.
    let least = LEAST_HANDLE * cubic.p0.distance(cubic.p3);
    for ((first, direction), length) in moves.iter().zip(by) {
        let kept = if *first { ends[0] } else { ends[1] };
        let length = if kept.is_some() {
            length.max(least)
        } else {
            length
        };
        *(if *first { &mut out } else { &mut into }) += *direction * length;
    }
    let next = CubicBez::new(cubic.p0, cubic.p0 + out, cubic.p3 + into, cubic.p3);
    next.is_finite().then_some(next)
}

/// Solves a few equations, each a row with its right side last: elimination with the largest pivot of the column.
fn eliminated(mut table: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = table.len();
    for column in 0..n {
        let size = |row: &Vec<f64>| row.get(column).copied().unwrap_or(0.0).abs();
        let rows = table.iter().enumerate().skip(column);
        let (pivot, _) = rows.max_by(|a, b| size(a.1).total_cmp(&size(b.1)))?;
        table.swap(column, pivot);
        let own = table.get(column)?.clone();
        let head = *own.get(column)?;
        if head.abs() < 1e-30 || !head.is_finite() {
            return None;
        }
        for (i, row) in table.iter_mut().enumerate() {
            if i == column {
                continue;
            }
            let times = row.get(column)? / head;
            for (cell, other) in row.iter_mut().zip(&own) {
                *cell -= times * other;
            }
        }
    }
    let solved = table
        .iter()
        .enumerate()
        .map(|(i, row)| Some(row.get(n)? / row.get(i)?));
    solved.collect()
}

/// The unit direction a quarter turn to the left of a curve's travel.
fn square(cubic: &CubicBez, t: f64) -> Vec2 {
    let along = Piece::Cubic(*cubic).direction(t);
    along.map_or(Vec2::new(0.0, 1.0), |u| Vec2::new(-u.y, u.x))
}

/// A place on a curve nearer to a point: one step of Newton's method on the distance, kept on the curve.
fn nearer(cubic: &CubicBez, t: f64, point: Point) -> f64 {
    let (at, first) = Piece::Cubic(*cubic).eval_with_derivative(t);
    let off = at - point;
    let (a, b, c) = (
        cubic.p1 - cubic.p0,
        cubic.p2 - cubic.p1,
        cubic.p3 - cubic.p2,
    );
    let second = 6.0 * ((b - a) * (1.0 - t) + (c - b) * t);
    let bent = first.hypot2() + off.dot(second);
    // Where the distance bends the wrong way the curve's own speed is the safer guide.
    let slope = bent.max(0.1 * first.hypot2());
    if slope <= 0.0 {
        return t;
    }
    (t - off.dot(first) / slope).clamp(0.0, 1.0)
}

/// How far two chains are apart at most: from looks along each to the other.
#[must_use]
pub fn apart(a: &[Piece], b: &[Piece]) -> f64 {
    let one_way = |from: &[Piece], to: &[Piece]| {
        let looks = from
            .iter()
            .flat_map(|piece| (0..=LOOKS).map(|i| piece.eval(f64::from(i) / f64::from(LOOKS))));
        let off = looks.map(|p| {
            to.iter()
                .map(|q| q.nearest(p).1)
                .fold(f64::INFINITY, f64::min)
        });
        off.fold(0.0, f64::max)
    };
    one_way(a, b).max(one_way(b, a))
}

#[cfg(test)]
mod tests;
