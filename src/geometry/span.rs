//! A contour cut into monotone spans and sorted by `x`: the one index behind inside tests, vertical cuts, and crossing searches.

use kurbo::{Point, Rect};

use super::distance::{point_to_segment, segment_gap};
use super::{Piece, SAME_POINT_MM};

/// A stretch of one piece on which both `x` and `y` run one way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    /// Index of the piece in its contour.
    pub piece: usize,
    /// Place in the order of travel, 0 for the first span of the contour.
    pub place: usize,
    /// How far along the contour it starts and ends, mm: the widths and heights of the spans up to there.
    pub way: (f64, f64),
    /// The stretch itself.
    pub curve: Piece,
    /// Where it starts: to the last digit where the span before it ends, so that half-open interval tests see neither
    /// a gap nor an overlap at the seam. Differs from the start of the curve by rounding only.
    start: Point,
    /// Where it ends.
    end: Point,
    /// Box of the end points; monotone, so it holds the whole stretch.
    pub bounds: Rect,
}

impl Span {
    fn new(piece: usize, curve: Piece) -> Self {
        let (start, end) = (curve.start(), curve.end());
        Self {
            piece,
            place: 0,
            way: (0.0, 0.0),
            curve,
            start,
            end,
            bounds: Rect::from_points(start, end),
        }
    }

    fn start_at(&mut self, start: Point) {
        self.start = start;
        self.bounds = self.bounds.union_pt(start);
    }

    /// The height of the stretch at `x`, which must lie in its range.
    pub(super) fn height_at(&self, x: f64) -> f64 {
        self.curve.eval(self.solve(x, |p| p.x)).y
    }

    /// The slope `dy/dx` of the stretch at `x`; infinite or no number where it stands upright.
    pub(super) fn slope_at(&self, x: f64) -> f64 {
        let v = self.curve.derivative(self.solve(x, |p| p.x));
        v.y / v.x
    }

    /// Parameter on the stretch where the chosen coordinate equals `value`; the nearer end where rounding puts the value
    /// just outside its range.
    fn solve(&self, value: f64, coordinate: impl Fn(Point) -> f64) -> f64 {
        // Monotone, so a bracket always closes in; the secant step only makes it quicker, and halving the value at an
        // end that has stayed twice keeps it quick (Illinois rule: Dowell & Jarratt, BIT 11 (1971), pp. 168-174).
        let (mut lo, mut hi) = (0.0, 1.0);
        let mut f_lo = coordinate(self.curve.start()) - value;
        let mut f_hi = coordinate(self.curve.end()) - value;
        if f_lo == 0.0 {
            return lo;
        }
        if f_hi == 0.0 || (f_lo < 0.0) == (f_hi < 0.0) {
            return if f_hi.abs() <= f_lo.abs() { hi } else { lo };
        }
        // Rounding of the coordinates themselves.
        let close_enough = 2.0 * f64::EPSILON * (value.abs() + f_lo.abs() + f_hi.abs());
        let mut stayed = 0;
        for _ in 0..100 {
            // Not `clamp`, which minds numbers that are not finite.
            let t = ((lo * f_hi - hi * f_lo) / (f_hi - f_lo)).max(lo).min(hi);
            let f = coordinate(self.curve.eval(t)) - value;
            if f.abs() <= close_enough || (hi - lo) < 1e-15 {
                return t;
            }
            if (f < 0.0) == (f_hi < 0.0) {
                (hi, f_hi) = (t, f);
                if stayed < 0 {
                    f_lo /= 2.0;
                }
                stayed = -1;
            } else {
                (lo, f_lo) = (t, f);
                if stayed > 0 {
                    f_hi /= 2.0;
                }
                stayed = 1;
            }
        }
        f64::midpoint(lo, hi)
    }
}

/// A contour prepared for many questions: its monotone spans, sorted by their left end.
///
/// Construction guarantees: spans are monotone in `x` and `y`, sorted by `bounds.x0`, and each starts exactly where the
/// one before it in the order of travel ends, unless the contour is open there. Pieces smaller than
/// [`SAME_POINT_MM`](super::SAME_POINT_MM) are left out.
#[derive(Clone, Debug)]
pub struct SpanIndex {
    spans: Vec<Span>,
    bounds: Rect,
}

impl SpanIndex {
    /// Prepares a chain of pieces.
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
            if (span.start.y <= point.y) == (span.end.y <= point.y) {
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
        let mut heights: Vec<f64> = self.cut_at(x).collect();
        heights.sort_by(f64::total_cmp);
        heights
    }

    /// The heights at `x` in no order.
    fn cut_at(&self, x: f64) -> impl Iterator<Item = f64> {
        self.spans
            .iter()
            .take_while(move |span| span.bounds.x0 <= x)
            .filter(move |span| (span.start.x <= x) != (span.end.x <= x))
            .map(move |span| span.height_at(x))
    }

    /// The lowest and highest `y` on a vertical line at `x`, if the line meets the contour.
    #[must_use]
    pub fn depth_at(&self, x: f64) -> Option<(f64, f64)> {
        self.cut_at(x).fold(None, |found, y| {
            Some(found.map_or((y, y), |(low, high): (f64, f64)| (low.min(y), high.max(y))))
        })
    }

    /// Whether any part of the contour comes nearer than `radius` to `center`. Decided by box tests first and
    /// halving where they leave doubt, to 1e-8 mm.
    #[must_use]
    pub fn comes_within(&self, center: Point, radius: f64) -> bool {
        self.comes_near((center, center), radius)
    }

    /// Whether any part of the contour comes nearer than `radius` to the segment between two points, so that a slot
    /// with that middle line and half that width reaches over it. As [`Self::comes_within`], to 1e-8 mm.
    #[must_use]
    pub fn comes_near(&self, core: (Point, Point), radius: f64) -> bool {
        let reach = Rect::from_points(core.0, core.1).inflate(radius, radius);
        self.spans
            .iter()
            .take_while(|span| span.bounds.x0 <= reach.x1)
            .filter(|span| {
                let b = span.bounds;
                b.x1 >= reach.x0 && b.y0 <= reach.y1 && b.y1 >= reach.y0
            })
            .any(|span| piece_comes_near(&span.curve, core, radius, 0))
    }
}

/// Where a stretch leaves its chord by less than this, the chord decides, mm.
const CHORD_DECIDES_MM: f64 = 1e-8;

/// Halvings after which the chord decides whatever it is; 2^-40 of any knife is below its coordinates' rounding.
const MOST_HALVINGS: u32 = 40;

fn piece_comes_near(curve: &Piece, core: (Point, Point), radius: f64, halvings: u32) -> bool {
    let (start, end) = (curve.start(), curve.end());
    let error = curve.chord_error();
    let (distance, ..) = segment_gap((start, end), core);
    if error.is_nan() || error < CHORD_DECIDES_MM || halvings >= MOST_HALVINGS {
        return distance < radius;
    }
    if distance - error >= radius {
        return false;
    }
    if distance + error < radius
        || point_to_segment(start, core).0 < radius
        || point_to_segment(end, core).0 < radius
    {
        return true;
    }
    if let Piece::Arc(arc) = curve
        && core.0 == core.1
    {
        return arc.distance_to(core.0) < radius;
    }
    let (front, back) = curve.halves();
    piece_comes_near(&front, core, radius, halvings + 1)
        || piece_comes_near(&back, core, radius, halvings + 1)
}

/// The monotone stretches of a chain, in chain order.
fn monotone_spans(pieces: &[Piece]) -> Vec<Span> {
    let mut spans = Vec::with_capacity(pieces.len() * 2);
    for (index, piece) in pieces.iter().enumerate() {
        let size = piece.hull_bounds();
        if size.width() <= SAME_POINT_MM && size.height() <= SAME_POINT_MM {
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
                spans.push(Span::new(index, curve));
                from = to;
            } else if to == 1.0
                && let Some(last) = spans.last_mut().filter(|last| last.piece == index)
            {
                last.end = piece.end();
                last.bounds = last.bounds.union_pt(last.end);
            }
        }
    }
    close_seams(&mut spans);
    spans
}

/// Numbers the spans, tells their way, and makes each start exactly where the one before it ends. The pieces left out in between are
/// smaller than [`SAME_POINT_MM`] and so is the gap a closed contour may have; a wider gap is left open.
fn close_seams(spans: &mut [Span]) {
    let Some(mut before) = spans.last().map(|last| last.end) else {
        return;
    };
    let mut way = 0.0;
    for (place, span) in spans.iter_mut().enumerate() {
        span.place = place;
        let size = span.bounds.size();
        span.way = (way, way + size.width + size.height);
        way = span.way.1;
        if before != span.start && before.distance(span.start) <= 4.0 * SAME_POINT_MM {
            span.start_at(before);
        }
        before = span.end;
    }
}
