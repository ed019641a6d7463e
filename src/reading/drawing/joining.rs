//! Loose ends joined to chains.
//!
//! 1. Ends that lie within the joining distance of one another share a place; places are found in a grid, so this takes time in proportion to the ends.
//! 2. Chains that hang off a place where others pass (a line drawn on from a corner) are set aside.
//! 3. At each place ends are paired: those that touch exactly first, then those that go straightest on, so that an outline passes a line
//!    that crosses it.
//! 4. Pairs are followed. What comes back to its beginning is a closed contour.

use kurbo::{Point, Vec2};
use smallvec::SmallVec;

use super::contour::Chain;
use super::grid::Grid;
use super::imported::{Mending, Repair};
use super::strokes::{Stroke, Strokes};
use crate::geometry::{Piece, SAME_POINT_MM};

/// Most ends of one place that are all compared; beyond it they are paired in the order of the file.
const MOST_AT_PLACE: usize = 12;

/// What came of joining.
#[derive(Debug)]
pub(super) struct Joined {
    pub closed: Vec<Chain>,
    pub open: Vec<Chain>,
}

/// An end of a stroke: twice its index, plus one for the rear end.
type End = usize;

/// Joins the strokes of a drawing; ends within `join_mm` may be joined. Gaps that were closed are told.
pub(super) fn join(strokes: &Strokes, join_mm: f64, mending: &mut Mending) -> Joined {
    let mut closed: Vec<Chain> = Vec::new();
    let mut loose: Vec<&Stroke> = Vec::new();
    for stroke in &strokes.all {
        if stroke.closed {
            closed.push(Chain {
                pieces: strokes.of(stroke).to_vec(),
            });
        } else if stroke.to > stroke.from {
            loose.push(stroke);
        }
    }
    let ends = Ends::new(strokes, &loose);
    let mut places = Places::new(&ends, join_mm.max(SAME_POINT_MM));
    places.prune();
    let partner = places.paired(&ends, join_mm);
    let mut open = Vec::new();
    follow(strokes, &loose, &partner, &mut closed, &mut open);
    gaps(&ends, &partner, mending);
    Joined { closed, open }
}

/// Places and outward directions of all ends.
struct Ends {
    at: Vec<Point>,
    outward: Vec<Vec2>,
}

impl Ends {
    fn new(strokes: &Strokes, loose: &[&Stroke]) -> Self {
        let mut ends = Self {
            at: Vec::with_capacity(2 * loose.len()),
            outward: Vec::with_capacity(2 * loose.len()),
        };
        for stroke in loose {
            let pieces = strokes.of(stroke);
            let (Some(first), Some(last)) = (pieces.first(), pieces.last()) else {
                continue;
            };
            let unit = |v: Option<Vec2>| v.unwrap_or(Vec2::ZERO);
            ends.at.extend([first.start(), last.end()]);
            ends.outward
                .extend([-unit(first.direction(0.0)), unit(last.direction(1.0))]);
        }
        ends
    }

    fn gap(&self, a: End, b: End) -> f64 {
        match (self.at.get(a), self.at.get(b)) {
            (Some(a), Some(b)) => a.distance(*b),
            _ => f64::INFINITY,
        }
    }

    /// How straight a chain goes on from one end into another: 1 straight on, −1 back.
    fn straightness(&self, a: End, b: End) -> f64 {
        match (self.outward.get(a), self.outward.get(b)) {
            (Some(a), Some(b)) => -a.dot(*b),
            _ => -1.0,
        }
    }
}

/// The places where ends meet.
struct Places {
    /// Place of each end.
    of_end: Vec<usize>,
    /// All ends, those of one place together.
    ends: Vec<End>,
    /// Where the ends of each place begin in that list; one more, where the last ones stop.
    begins: Vec<usize>,
    /// Ends at each place that are not set aside, counted.
    degrees: Vec<usize>,
    /// Strokes set aside.
    pruned: Vec<bool>,
}

impl Places {
    /// Puts each end to the nearest place within the distance, or makes a new one of it.
    fn new(ends: &Ends, within: f64) -> Self {
        let mut grid = Grid::new(within, ends.at.len());
        let mut centers: Vec<Point> = Vec::new();
        let mut places = Self {
            of_end: Vec::with_capacity(ends.at.len()),
            ends: vec![0; ends.at.len()],
            begins: Vec::new(),
            degrees: Vec::new(),
            pruned: vec![false; ends.at.len() / 2],
        };
        for at in &ends.at {
            let mut best: Option<(f64, usize)> = None;
            for place in grid.near(*at) {
                let distance = centers
                    .get(place)
                    .map_or(f64::INFINITY, |c| c.distance(*at));
                if distance <= within && best.is_none_or(|(least, _)| distance < least) {
                    best = Some((distance, place));
                }
            }
            let place = best.map_or_else(
                || {
                    let place = centers.len();
                    centers.push(*at);
                    places.degrees.push(0);
                    grid.add(*at, place);
                    place
                },
                |(_, place)| place,
            );
            places.of_end.push(place);
            if let Some(degree) = places.degrees.get_mut(place) {
                *degree += 1;
            }
        }
        places.gather();
        places
    }

    /// Brings the ends of each place together, in their order.
    fn gather(&mut self) {
        self.begins = Vec::with_capacity(self.degrees.len() + 1);
        let mut sum = 0;
        for degree in &self.degrees {
            self.begins.push(sum);
            sum += degree;
        }
        let mut next = self.begins.clone();
        self.begins.push(sum);
        for (end, place) in self.of_end.iter().enumerate() {
            let Some(next) = next.get_mut(*place) else {
                continue;
            };
            if let Some(own) = self.ends.get_mut(*next) {
                *own = end;
            }
            *next += 1;
        }
    }

    /// The ends at a place that are not set aside.
    fn live(&self, place: usize) -> impl Iterator<Item = End> {
        let range = self.begins.get(place).zip(self.begins.get(place + 1));
        let all = range.and_then(|(from, to)| self.ends.get(*from..*to));
        all.unwrap_or_default()
            .iter()
            .copied()
            .filter(|end| self.pruned.get(end / 2) == Some(&false))
    }

    fn degree(&self, place: usize) -> usize {
        self.degrees.get(place).copied().unwrap_or_default()
    }

    fn place(&self, end: End) -> usize {
        self.of_end.get(end).copied().unwrap_or_default()
    }

    /// Sets aside every chain that begins at a free end and ends where at least two others meet.
    fn prune(&mut self) {
        for end in 0..self.of_end.len() {
            let free =
                self.pruned.get(end / 2) == Some(&false) && self.degree(self.place(end)) == 1;
            if !free {
                continue;
            }
            let mut chain = vec![end / 2];
            let mut far = end ^ 1;
            loop {
                let place = self.place(far);
                match self.degree(place) {
                    2 => {
                        let Some(next) = self.live(place).find(|other| *other != far) else {
                            break;
                        };
                        // Back where it began, or in a loop of its own.
                        if chain.len() > self.pruned.len() || next / 2 == end / 2 {
                            break;
                        }
                        chain.push(next / 2);
                        far = next ^ 1;
                    }
                    0 | 1 => break,
                    _ => {
                        for stroke in chain {
                            self.set_aside(stroke);
                        }
                        break;
                    }
                }
            }
        }
    }

    fn set_aside(&mut self, stroke: usize) {
        if let Some(pruned) = self.pruned.get_mut(stroke) {
            *pruned = true;
        }
        for end in [2 * stroke, 2 * stroke + 1] {
            let place = self.place(end);
            if let Some(degree) = self.degrees.get_mut(place) {
                *degree = degree.saturating_sub(1);
            }
        }
    }

    /// The end each end is joined with.
    fn paired(&self, ends: &Ends, join_mm: f64) -> Vec<Option<End>> {
        let mut partner: Vec<Option<End>> = vec![None; self.of_end.len()];
        let mut pair = |a: End, b: End| {
            if let Some(place) = partner.get_mut(a) {
                *place = Some(b);
            }
            if let Some(place) = partner.get_mut(b) {
                *place = Some(a);
            }
        };
        for place in 0..self.degrees.len() {
            let live: SmallVec<[End; 4]> = self.live(place).collect();
            match live[..] {
                [] | [_] => {}
                [a, b] => {
                    if ends.gap(a, b) <= join_mm || a / 2 != b / 2 {
                        pair(a, b);
                    }
                }
                _ if live.len() > MOST_AT_PLACE => {
                    for two in live.chunks_exact(2) {
                        if let [a, b] = two {
                            pair(*a, *b);
                        }
                    }
                }
                _ => {
                    for (a, b) in best_pairs(&live, ends) {
                        pair(a, b);
                    }
                }
            }
        }
        partner
    }
}

/// Pairs of the ends at one place: touching ones first, then the straightest.
fn best_pairs(live: &[End], ends: &Ends) -> Vec<(End, End)> {
    let mut all: Vec<(bool, f64, End, End)> = Vec::new();
    for (i, a) in live.iter().enumerate() {
        for b in live.iter().skip(i + 1) {
            let apart = ends.gap(*a, *b) > SAME_POINT_MM;
            all.push((apart, ends.straightness(*a, *b), *a, *b));
        }
    }
    all.sort_by(|p, q| p.0.cmp(&q.0).then(q.1.total_cmp(&p.1)));
    let mut taken: Vec<End> = Vec::new();
    let mut pairs = Vec::new();
    for (_, _, a, b) in all {
        if !taken.contains(&a) && !taken.contains(&b) {
            taken.extend([a, b]);
            pairs.push((a, b));
        }
    }
    pairs
}

/// Follows the pairs through all strokes.
fn follow(
    strokes: &Strokes,
    loose: &[&Stroke],
    partner: &[Option<End>],
    closed: &mut Vec<Chain>,
    open: &mut Vec<Chain>,
) {
    let mut done = vec![false; loose.len()];
    let joined = |end: End| partner.get(end).copied().flatten();
    // Chains with a free end first: begun in the middle they would come out in two.
    let begins = (0..2 * loose.len())
        .filter(|end| joined(*end).is_none())
        .chain((0..loose.len()).map(|i| 2 * i));
    for begin in begins {
        if done.get(begin / 2) != Some(&false) {
            continue;
        }
        let mut chain = Chain { pieces: Vec::new() };
        let mut end = begin;
        let round = loop {
            let index = end / 2;
            if let Some(done) = done.get_mut(index) {
                *done = true;
            }
            let pieces = loose.get(index).map(|s| strokes.of(s)).unwrap_or_default();
            if end % 2 == 0 {
                chain.pieces.extend_from_slice(pieces);
            } else {
                chain
                    .pieces
                    .extend(pieces.iter().rev().map(Piece::reversed));
            }
            match joined(end ^ 1) {
                Some(next) if next == begin => break true,
                Some(next) if done.get(next / 2) == Some(&false) => end = next,
                _ => break false,
            }
        };
        if round {
            closed.push(chain);
        } else {
            open.push(chain);
        }
    }
}

/// The gaps that joining closed.
fn gaps(ends: &Ends, partner: &[Option<End>], mending: &mut Mending) {
    let mut count = 0;
    let mut widest: Option<(f64, Point)> = None;
    for (a, b) in partner.iter().enumerate() {
        let Some(b) = b.filter(|b| a < *b) else {
            continue;
        };
        let gap = ends.gap(a, b);
        if gap > SAME_POINT_MM {
            count += 1;
            let Some(at) = ends.at.get(a) else { continue };
            mending.mark(*at);
            if widest.is_none_or(|(most, _)| gap > most) {
                widest = Some((gap, *at));
            }
        }
    }
    if let Some((widest_mm, at)) = widest {
        mending.repaired.push(Repair::GapsClosed {
            count,
            widest_mm,
            at,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::drawing::JOIN_MM;
    use crate::reading::drawing::strokes::Role;
    use proptest::prelude::*;

    fn tried(strokes: &Strokes, join_mm: f64) -> (Joined, Mending) {
        let mut mending = Mending::default();
        (join(strokes, join_mm, &mut mending), mending)
    }

    fn lines(all: &[[f64; 4]]) -> Strokes {
        let mut strokes = Strokes::default();
        for [ax, ay, bx, by] in all {
            let from = strokes.pieces.len();
            strokes
                .pieces
                .push(Piece::line(Point::new(*ax, *ay), Point::new(*bx, *by)));
            strokes.finish(from, false, Role::Plain);
        }
        strokes
    }

    fn area(chain: &Chain) -> f64 {
        crate::geometry::AreaMoments::of_pieces(&chain.pieces)
            .area
            .abs()
    }

    proptest! {
        #[test]
        fn a_polygon_in_pieces_comes_back_whole(
            n in 3_u32..60, order in any::<u64>(), flips in any::<u64>(), gap in 0.0..0.02,
        ) {
            // A regular polygon of radius 50 cut up, shuffled and turned; every end moved by up to `gap`.
            let corner = |i: u32| {
                let angle = std::f64::consts::TAU * f64::from(i % n) / f64::from(n);
                Vec2::from_angle(angle) * 50.0
            };
            let mut sides: Vec<[f64; 4]> = (0..n).map(|i| {
                let (a, b) = (corner(i), corner(i + 1));
                let shift = Vec2::from_angle(f64::from(i)) * gap;
                let (a, b) = if (flips >> (i % 64)) & 1 == 1 { (b + shift, a) } else { (a, b + shift) };
                [a.x, a.y, b.x, b.y]
            }).collect();
            sides.sort_by_key(|s| s[0].to_bits().wrapping_mul(order | 1));
            let (joined, mending) = tried(&lines(&sides), JOIN_MM);
            prop_assert_eq!((joined.closed.len(), joined.open.len()), (1, 0));
            prop_assert_eq!(joined.closed[0].pieces.len(), n as usize);
            // Area of a regular polygon: n/2 r² sin(2π/n); the gaps move it by less than their width times the perimeter.
            let turn = std::f64::consts::TAU / f64::from(n);
            let truth = f64::from(n) / 2.0 * 2500.0 * turn.sin();
            prop_assert!((area(&joined.closed[0]) - truth).abs() <= 2.0 * gap * 320.0 + 1e-9);
            prop_assert_eq!(mending.repaired.is_empty(), gap <= SAME_POINT_MM);
        }
    }

    #[test]
    fn an_outline_passes_lines_that_hang_on_it() {
        let (joined, _) = tried(
            &lines(&[
                [0.0, 0.0, 10.0, 0.0],
                [10.0, 0.0, 10.0, 5.0],
                [10.0, 5.0, 0.0, 5.0],
                [0.0, 5.0, 0.0, 0.0],
                // Straight on from a corner, in two bits, and a line across from corner to corner.
                [10.0, 0.0, 15.0, 0.0],
                [15.0, 0.0, 20.0, 1.0],
            ]),
            JOIN_MM,
        );
        assert_eq!((joined.closed.len(), joined.open.len()), (1, 2));
        assert!((area(&joined.closed[0]) - 50.0).abs() < 1e-12);
    }

    #[test]
    fn an_outline_passes_a_line_across_it() {
        let (joined, _) = tried(
            &lines(&[
                [0.0, 0.0, 5.0, 0.0],
                [5.0, 0.0, 10.0, 0.0],
                [10.0, 0.0, 10.0, 5.0],
                [10.0, 5.0, 5.0, 5.0],
                [5.0, 5.0, 0.0, 5.0],
                [0.0, 5.0, 0.0, 0.0],
                [5.0, 0.0, 5.0, 5.0],
            ]),
            JOIN_MM,
        );
        assert_eq!((joined.closed.len(), joined.open.len()), (1, 1));
        assert!((area(&joined.closed[0]) - 50.0).abs() < 1e-12);
    }

    #[test]
    fn wide_gaps_stay_open() {
        let three = [
            [0.0, 0.0, 10.0, 0.0],
            [10.0, 0.0, 10.0, 5.0],
            [10.0, 5.2, 0.0, 0.0],
        ];
        let (joined, _) = tried(&lines(&three), JOIN_MM);
        assert_eq!((joined.closed.len(), joined.open.len()), (0, 1));
        let (joined, mending) = tried(&lines(&three), 0.25);
        assert_eq!((joined.closed.len(), joined.open.len()), (1, 0));
        assert!(matches!(
            mending.repaired[..],
            [Repair::GapsClosed { count: 1, widest_mm, .. }] if (widest_mm - 0.2).abs() < 1e-9
        ));
        assert_eq!(mending.places, [Point::new(10.0, 5.0)]);
    }

    #[test]
    fn a_crowd_at_one_place_takes_no_square_of_time() {
        // 50,000 lines from one point: were each compared with each, this would take minutes.
        let star: Vec<[f64; 4]> = (0..50_000)
            .map(|i| {
                let end = Vec2::from_angle(f64::from(i) * 1e-4) * 2000.0;
                [0.0, 0.0, end.x, end.y]
            })
            .collect();
        let (joined, _) = tried(&lines(&star), JOIN_MM);
        // Two of them are left to go through the point; all others hang on it.
        assert_eq!((joined.closed.len(), joined.open.len()), (0, 49_999));
    }
}
