//! Where contours cross themselves or each other, and whether an outline is fit to be weighed.
//!
//! Method: pieces are cut into monotone spans ([`super::SpanIndex`]); a sweep along `x` pairs spans whose boxes overlap, and each
//! pair is settled by [`super::meeting`].

use kurbo::{Point, Rect};

use super::meeting::{JOINT_MM, Joints, TOUCH_MM, meeting};
use super::span::Span;
use super::{Piece, SAME_POINT_MM, SpanIndex};

/// Most faults of one kind that are listed; an outline with more is not mended one by one.
const MOST_LISTED: usize = 32;

/// Two pieces that meet twice within this touch once, mm: curves of a radius of a meter are within a nanometer of their
/// tangent for this long.
const ONE_TOUCH_MM: f64 = 0.1;

/// A place where two pieces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Index of the first piece.
    pub piece_a: usize,
    /// Index of the second piece.
    pub piece_b: usize,
    /// Where they meet.
    pub at: Point,
}

impl Crossing {
    /// Whether two crossings are one place: the same point, or the same two pieces touching along a short way, which
    /// shows in each of their stretches there.
    fn same_place(&self, other: &Self) -> bool {
        let pieces = |c: &Self| (c.piece_a.min(c.piece_b), c.piece_a.max(c.piece_b));
        let distance = self.at.distance(other.at);
        distance <= SAME_POINT_MM || distance <= ONE_TOUCH_MM && pieces(self) == pieces(other)
    }
}

/// What makes a chain of pieces unfit as an outline, each with its place.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineFault {
    /// Fewer than two pieces, or none with any extent.
    #[error("the outline has no area: it needs at least two pieces with some extent")]
    TooFew,
    /// A coordinate is not a finite number.
    #[error("piece {piece} has a coordinate that is not a number")]
    NotFinite {
        /// Index of the piece.
        piece: usize,
    },
    /// A piece does not begin where the one before it ends.
    #[error("the outline is open: a gap of {gap_mm:.4} mm before piece {piece}")]
    Open {
        /// Index of the piece after the gap.
        piece: usize,
        /// Width of the gap, mm.
        gap_mm: f64,
        /// Where.
        at: Point,
    },
    /// A piece without extent.
    #[error("piece {piece} has no length")]
    ZeroPiece {
        /// Index of the piece.
        piece: usize,
        /// Where.
        at: Point,
    },
    /// Two pieces that run over the same ground.
    #[error("pieces {piece} and {twin} run over the same ground")]
    Doubled {
        /// Index of the first piece.
        piece: usize,
        /// Index of its double.
        twin: usize,
        /// Where.
        at: Point,
    },
    /// The outline crosses or touches itself.
    #[error("the outline crosses itself: piece {} meets piece {}", .crossing.piece_a, .crossing.piece_b)]
    Crossing {
        /// Which pieces, and where.
        crossing: Crossing,
    },
}

impl OutlineFault {
    /// Where the fault is, if it has one place.
    #[must_use]
    pub fn place(&self) -> Option<Point> {
        match self {
            Self::TooFew | Self::NotFinite { .. } => None,
            Self::Open { at, .. } | Self::ZeroPiece { at, .. } | Self::Doubled { at, .. } => {
                Some(*at)
            }
            Self::Crossing { crossing } => Some(crossing.at),
        }
    }
}

/// Everything that makes the chain unfit as an outline; empty when it is closed, simple, and free of empty and doubled
/// pieces. Stretches that come nearer than a nanometer touch, and touching counts as crossing; the joint of two
/// pieces does not, even where they leave it in the same direction. A chain with a number that is not finite is told
/// that alone. At most a few dozen faults of one kind are listed.
#[must_use]
pub fn outline_faults(pieces: &[Piece]) -> Vec<OutlineFault> {
    let wild = not_finite(pieces);
    if wild.is_empty() {
        indexed_faults(pieces, &SpanIndex::new(pieces))
    } else {
        wild
    }
}

/// The pieces with a number that is not finite, as faults.
pub(crate) fn not_finite(pieces: &[Piece]) -> Vec<OutlineFault> {
    let wild = pieces.iter().enumerate().filter(|(_, p)| !p.is_finite());
    wild.take(MOST_LISTED)
        .map(|(piece, _)| OutlineFault::NotFinite { piece })
        .collect()
}

/// [`outline_faults`] of finite pieces whose index is at hand.
pub(crate) fn indexed_faults(pieces: &[Piece], index: &SpanIndex) -> Vec<OutlineFault> {
    let mut faults = Vec::new();
    let (mut gaps, mut zeros) = (0, 0);
    let Some(mut before) = pieces.last() else {
        return vec![OutlineFault::TooFew];
    };
    for (piece, curve) in pieces.iter().enumerate() {
        let at = curve.start();
        let gap_mm = before.end().distance(at);
        if gap_mm > SAME_POINT_MM && gaps < MOST_LISTED {
            gaps += 1;
            faults.push(OutlineFault::Open { piece, gap_mm, at });
        }
        let size = curve.hull_bounds();
        let zero = size.width() <= SAME_POINT_MM && size.height() <= SAME_POINT_MM;
        if zero && zeros < MOST_LISTED {
            zeros += 1;
            faults.push(OutlineFault::ZeroPiece { piece, at });
        }
        before = curve;
    }
    let doubles = doubled_pieces(pieces);
    for &(piece, twin) in &doubles {
        let at = pieces[piece].eval(0.5);
        faults.push(OutlineFault::Doubled { piece, twin, at });
    }
    if index.spans().len() < 2 {
        faults.push(OutlineFault::TooFew);
        return faults;
    }
    for crossing in self_crossings(index, &doubles) {
        faults.push(OutlineFault::Crossing { crossing });
    }
    faults
}

/// Where two contours meet, touching counted: one place for each two stretches that meet, at most a few dozen in all.
#[must_use]
pub fn crossings_between(a: &SpanIndex, b: &SpanIndex) -> Vec<Crossing> {
    let mut found = Vec::new();
    if !overlap(a.bounds(), b.bounds()) {
        return found;
    }
    for sa in a.spans() {
        if !overlap(sa.bounds, b.bounds()) {
            continue;
        }
        for sb in b.spans() {
            if sb.bounds.x0 > sa.bounds.x1 + TOUCH_MM {
                break;
            }
            if overlap(sa.bounds, sb.bounds)
                && let Some(at) = meeting(&sa.curve, &sb.curve, Joints::None)
            {
                found.push(Crossing {
                    piece_a: sa.piece,
                    piece_b: sb.piece,
                    at,
                });
                if found.len() >= MOST_LISTED {
                    return found;
                }
            }
        }
    }
    found
}

/// Pairs of pieces that are the same curve, run either way.
fn doubled_pieces(pieces: &[Piece]) -> Vec<(usize, usize)> {
    let mut middles: Vec<(Point, usize)> = pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| p.start().distance(p.end()) > SAME_POINT_MM)
        .map(|(i, p)| (p.eval(0.5), i))
        .collect();
    middles.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let mut pairs = Vec::new();
    for (k, (middle, i)) in middles.iter().enumerate() {
        for (other, j) in &middles[k + 1..] {
            if other.x - middle.x > SAME_POINT_MM || pairs.len() >= MOST_LISTED {
                break;
            }
            let (a, b) = (&pieces[*i], &pieces[*j]);
            let same = |b: &Piece| {
                [0.0, 0.25, 0.75, 1.0]
                    .iter()
                    .all(|t| a.eval(*t).distance(b.eval(*t)) <= SAME_POINT_MM)
            };
            if middle.distance(*other) <= SAME_POINT_MM && (same(b) || same(&b.reversed())) {
                pairs.push((*i.min(j), *i.max(j)));
            }
        }
    }
    pairs
}

fn self_crossings(index: &SpanIndex, doubles: &[(usize, usize)]) -> Vec<Crossing> {
    let spans = index.spans();
    let whole = spans.iter().map(|span| span.way.1).fold(0.0, f64::max);
    let mut active: Vec<usize> = Vec::new();
    let mut found: Vec<Crossing> = Vec::new();
    for (i, span) in spans.iter().enumerate() {
        active.retain(|j| spans[*j].bounds.x1 + TOUCH_MM >= span.bounds.x0);
        for &j in &active {
            let other = &spans[j];
            if !overlap(span.bounds, other.bounds) {
                continue;
            }
            let pair = (span.piece.min(other.piece), span.piece.max(other.piece));
            if doubles.contains(&pair) {
                continue;
            }
            let (first, second) = if span.place < other.place {
                (span, other)
            } else {
                (other, span)
            };
            let joints = joints(first, second, whole);
            if let Some(at) = meeting(&first.curve, &second.curve, joints) {
                let crossing = Crossing {
                    piece_a: first.piece,
                    piece_b: second.piece,
                    at,
                };
                if !found.iter().any(|known| known.same_place(&crossing)) {
                    found.push(crossing);
                }
            }
            if found.len() >= MOST_LISTED {
                return found;
            }
        }
        active.push(i);
    }
    found
}

/// Which ends two spans of one chain share; `first` comes before `second`, and `whole` is the way round the chain.
///
/// Spans follow each other where nothing but rounding lies between: at a cusp, or where a piece turns right behind its
/// start, there are spans without extent.
fn joints(first: &Span, second: &Span, whole: f64) -> Joints {
    let near = |way: f64, a: &Span, b: &Span| {
        way <= JOINT_MM && a.curve.end().distance(b.curve.start()) <= JOINT_MM
    };
    let on = near(second.way.0 - first.way.1, first, second);
    // The last span of a closed chain is followed by the first; with two spans in all, both joints are shared.
    let round = near(whole - second.way.1 + first.way.0, second, first);
    match (on, round) {
        (true, true) => Joints::Both,
        (true, false) => Joints::EndToStart,
        (false, true) => Joints::StartToEnd,
        (false, false) => Joints::None,
    }
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 + TOUCH_MM
        && b.x0 <= a.x1 + TOUCH_MM
        && a.y0 <= b.y1 + TOUCH_MM
        && b.y0 <= a.y1 + TOUCH_MM
}
