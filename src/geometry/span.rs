//! A contour cut into monotone spans and sorted by `x`: the one index behind inside tests, vertical cuts, and crossing searches.

use kurbo::{Point, Rect};

use super::{CircularArc, Piece};

/// A stretch of one piece on which both `x` and `y` run one way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    /// Index of the piece in its contour.
    pub piece: usize,
    /// Where on that piece it begins.
    pub t0: f64,
    /// The stretch itself.
    pub curve: Piece,
    /// Box of the end points; monotone, so it holds the whole stretch.
    pub bounds: Rect,
}

impl Span {
    fn new(piece: usize, t0: f64, curve: Piece) -> Self {
        Self {
            piece,
            t0,
            curve,
            bounds: Rect::from_points(curve.start(), curve.end()),
        }
    }

    /// Parameter on the stretch where the chosen coordinate equals `value`, which must lie in its range.
    fn solve(&self, value: f64, coordinate: impl Fn(Point) -> f64) -> f64 {
        if let Piece::Line(line) = self.curve {
            let (a, b) = (coordinate(line.p0), coordinate(line.p1));
            return if a == b {
                0.0
            } else {
                ((value - a) / (b - a)).clamp(0.0, 1.0)
            };
        }
        // Monotone, so bisection always closes in; the secant step only makes it quicker (Illinois rule:
        // Dowell & Jarratt, BIT 11 (1971), pp. 168-174).
        let (mut lo, mut hi) = (0.0, 1.0);
        let mut f_lo = coordinate(self.curve.eval(lo)) - value;
        let mut f_hi = coordinate(self.curve.eval(hi)) - value;
        if f_lo == 0.0 {
            return lo;
        }
        if f_hi == 0.0 {
            return hi;
        }
        for _ in 0..100 {
            let t = if f_lo == f_hi {
                f64::midpoint(lo, hi)
            } else {
                ((lo * f_hi - hi * f_lo) / (f_hi - f_lo)).clamp(lo, hi)
            };
            let f = coordinate(self.curve.eval(t)) - value;
            if f == 0.0 || (hi - lo) < 1e-15 || f.abs() < 1e-13 {
                return t;
            }
            if (f < 0.0) == (f_hi < 0.0) {
                (hi, f_hi) = (t, f);
                f_lo /= 2.0;
            } else {
                (lo, f_lo) = (t, f);
                f_hi /= 2.0;
            }
        }
        f64::midpoint(lo, hi)
    }
}

/// A contour prepared for many questions: its monotone spans, sorted by their left end.
///
/// Construction guarantees: spans are monotone in `x` and `y`, and sorted by `bounds.x0`.
#[derive(Clone, Debug)]
pub struct SpanIndex {
    spans: Vec<Span>,
    bounds: Rect,
}

impl SpanIndex {
    /// Prepares a chain of pieces. Pieces without extent are left out.
    #[must_use]
    pub fn new(pieces: &[Piece]) -> Self {
        let mut spans = monotone_spans(pieces);
        spans.sort_by(|a, b| a.bounds.x0.total_cmp(&b.bounds.x0));
        let bounds = spans
            .iter()
            .map(|span| span.bounds)
            .reduce(|a, b| a.union(b))
            .unwrap_or(Rect::ZERO);
        Self { spans, bounds }
    }

    /// The smallest upright box around the contour.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.bounds
    }

    pub(super) fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// Whether a point lies inside the closed contour (even–odd). A point exactly on the contour may fall either way.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        if !self.bounds.contains(point) {
            return false;
        }
        let mut inside = false;
        for span in &self.spans {
            // A ray to the left: spans that begin right of the point cannot meet it, nor can any after them.
            if span.bounds.x0 > point.x {
                break;
            }
            let (a, b) = (span.curve.start().y, span.curve.end().y);
            if (a <= point.y) == (b <= point.y) {
                continue;
            }
            let left = span.bounds.x1 <= point.x || {
                let t = span.solve(point.y, |p| p.y);
                span.curve.eval(t).x <= point.x
            };
            inside ^= left;
        }
        inside
    }

    /// The heights `y` at which a vertical line at `x` meets the contour, ascending; an even number for a closed contour.
    #[must_use]
    pub fn heights_at(&self, x: f64) -> Vec<f64> {
        let mut heights = Vec::new();
        for span in &self.spans {
            if span.bounds.x0 > x {
                break;
            }
            let (a, b) = (span.curve.start().x, span.curve.end().x);
            if (a <= x) == (b <= x) {
                continue;
            }
            let t = span.solve(x, |p| p.x);
            heights.push(span.curve.eval(t).y);
        }
        heights.sort_by(f64::total_cmp);
        heights
    }

    /// The lowest and highest `y` on a vertical line at `x`, if the line meets the contour.
    #[must_use]
    pub fn depth_at(&self, x: f64) -> Option<(f64, f64)> {
        let heights = self.heights_at(x);
        Some((*heights.first()?, *heights.last()?))
    }

    /// Whether any part of the contour comes nearer than `radius` to `center`. Decided by box tests first and
    /// subdivision where they leave doubt, to 1e-7 mm.
    #[must_use]
    pub fn comes_within(&self, center: Point, radius: f64) -> bool {
        for span in &self.spans {
            if span.bounds.x0 > center.x + radius {
                break;
            }
            if span_comes_within(&span.curve, center, radius, 0) {
                return true;
            }
        }
        false
    }
}

/// Depth at which a stretch of 1 m is shorter than 1e-7 mm.
const MAX_HALVINGS: u32 = 34;

fn span_comes_within(curve: &Piece, center: Point, radius: f64, depth: u32) -> bool {
    let box_ = Rect::from_points(curve.start(), curve.end());
    let nearest = Point::new(
        center.x.clamp(box_.x0, box_.x1),
        center.y.clamp(box_.y0, box_.y1),
    );
    let r2 = radius * radius;
    if nearest.distance_squared(center) >= r2 {
        return false;
    }
    if curve.start().distance_squared(center) < r2 || curve.end().distance_squared(center) < r2 {
        return true;
    }
    match curve {
        Piece::Line(_) => curve.nearest(center).1 < radius,
        Piece::Arc(CircularArc {
            center: c,
            radius: r,
            ..
        }) if c.distance(center) <= 1e-12 => *r < radius,
        _ if depth >= MAX_HALVINGS => false,
        _ => {
            span_comes_within(&curve.part(0.0, 0.5), center, radius, depth + 1)
                || span_comes_within(&curve.part(0.5, 1.0), center, radius, depth + 1)
        }
    }
}

/// The monotone stretches of a chain, in chain order.
pub(super) fn monotone_spans(pieces: &[Piece]) -> Vec<Span> {
    let mut spans = Vec::with_capacity(pieces.len() * 2);
    for (index, piece) in pieces.iter().enumerate() {
        if let Piece::Line(line) = piece {
            if line.p0 != line.p1 {
                spans.push(Span::new(index, 0.0, *piece));
            }
            continue;
        }
        let mut from = 0.0;
        for to in piece.turning_parameters().into_iter().chain([1.0]) {
            // Two turning points a rounding apart make a stretch that no question can be asked about.
            if to - from > 1e-9 {
                let curve = if from == 0.0 && to == 1.0 {
                    *piece
                } else {
                    piece.part(from, to)
                };
                spans.push(Span::new(index, from, curve));
                from = to;
            } else if to == 1.0
                && let Some(last) = spans.last_mut().filter(|last| last.piece == index)
            {
                *last = Span::new(index, last.t0, piece.part(last.t0, 1.0));
            }
        }
    }
    close_seams(&mut spans);
    spans
}

/// Makes neighboring stretches of one piece end and start at the very same point, so that half-open interval tests
/// see neither a gap nor an overlap.
fn close_seams(spans: &mut [Span]) {
    for i in 1..spans.len() {
        let (before, after) = spans.split_at_mut(i);
        let (Some(a), Some(b)) = (before.last_mut(), after.first_mut()) else {
            continue;
        };
        let seam = a.curve.end();
        if let Piece::Cubic(cubic) = &mut b.curve
            && a.piece == b.piece
        {
            cubic.p0 = seam;
            b.bounds = Rect::from_points(seam, cubic.p3);
        }
    }
}
