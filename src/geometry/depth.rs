//! The largest depth of a contour: how far its top is above its bottom on one vertical line.
//!
//! Between two neighboring ends of spans the top of a simple contour is one span, and so is its bottom. Both are monotone, so their
//! values at the two ends bound the depth between them; only the few intervals whose bound beats the best depth so far
//! are looked into, where the slopes of top and bottom are equal.

use kurbo::Rect;

use super::SpanIndex;
use super::span::Span;

/// Parts of an interval looked at before the peaks among them are closed in on: between two monotone cubics there may be more than one.
const LOOKS: usize = 8;

/// Width at which the place of the largest depth is near enough, mm: the depth itself, level there, is then right to
/// 1e-10 mm unless the sides bend more sharply than a radius of 1 mm.
const PLACE_MM: f64 = 1e-5;

/// Depths nearer than this are one depth, mm.
const SAME_DEPTH_MM: f64 = 1e-10;

/// A stretch of `x` between two neighboring span ends, and the box of the spans over it.
struct Interval {
    from: f64,
    to: f64,
    bound: f64,
}

impl SpanIndex {
    /// The largest distance straight up from the lowest to the highest point of a simple contour at one `x` in
    /// `from..=to`, mm; zero when nothing of it is there. Within 1e-9 mm where it is rounder than a radius of 1 mm.
    #[must_use]
    pub fn largest_depth(&self, from: f64, to: f64) -> f64 {
        let mut intervals = self.intervals(from, to);
        intervals.sort_by(|a, b| b.bound.total_cmp(&a.bound));
        let mut best = 0.0;
        for interval in &intervals {
            if interval.bound <= best + SAME_DEPTH_MM {
                break;
            }
            best = self.deepest_in(interval, best);
        }
        best
    }

    fn intervals(&self, from: f64, to: f64) -> Vec<Interval> {
        let spans = self.spans();
        let mut ends: Vec<f64> = Vec::with_capacity(spans.len() * 2 + 2);
        ends.extend(spans.iter().flat_map(|s| [s.bounds.x0, s.bounds.x1]));
        ends.extend([from, to]);
        ends.retain(|x| (from..=to).contains(x));
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let mut coming = spans.iter().peekable();
        let mut active: Vec<Rect> = Vec::new();
        let mut intervals = Vec::with_capacity(ends.len());
        for pair in ends.windows(2) {
            let &[from, to] = pair else { continue };
            while let Some(span) = coming.next_if(|s| s.bounds.x0 <= from) {
                active.push(span.bounds);
            }
            active.retain(|b| b.x1 >= to);
            let (low, high) = active
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), b| {
                    (low.min(b.y0), high.max(b.y1))
                });
            let bound = high - low;
            intervals.push(Interval { from, to, bound });
        }
        intervals
    }

    /// The largest depth in an interval, if it beats `best`; else `best`.
    fn deepest_in(&self, interval: &Interval, best: f64) -> f64 {
        let (from, to) = (interval.from, interval.to);
        let Some((bottom, top)) = self.sides_at(f64::midpoint(from, to)) else {
            return best;
        };
        let at_from = (bottom.height_at(from), top.height_at(from));
        let at_to = (bottom.height_at(to), top.height_at(to));
        let mut best = best.max(at_from.1 - at_from.0).max(at_to.1 - at_to.0);
        let bound = at_from.1.max(at_to.1) - at_from.0.min(at_to.0);
        if bound <= best + SAME_DEPTH_MM {
            return best;
        }
        let depth = |x: f64| top.height_at(x) - bottom.height_at(x);
        let step = (to - from) / LOOKS as f64;
        let at = |i: usize| {
            if i == LOOKS {
                to
            } else {
                from + step * i as f64
            }
        };
        let depths: [f64; LOOKS + 1] = std::array::from_fn(|i| depth(at(i)));
        for (i, own) in depths.iter().enumerate() {
            let beside = [i.checked_sub(1), Some(i + 1)];
            let mut beside = beside.into_iter().flatten().filter_map(|k| depths.get(k));
            if beside.any(|other| other > own) {
                continue;
            }
            best = best.max(*own);
            let (mut low, mut high) = ((at(i) - step).max(from), (at(i) + step).min(to));
            while high - low > PLACE_MM.max(4.0 * f64::EPSILON * high.abs()) {
                let x = f64::midpoint(low, high);
                if top.slope_at(x) > bottom.slope_at(x) {
                    low = x;
                } else {
                    high = x;
                }
            }
            best = best.max(depth(f64::midpoint(low, high)));
        }
        best
    }

    /// The lowest and the highest span over `x`, where no span ends.
    fn sides_at(&self, x: f64) -> Option<(&Span, &Span)> {
        let mut over = self
            .spans()
            .iter()
            .take_while(|span| span.bounds.x0 <= x)
            .filter(|span| span.bounds.x1 >= x && span.bounds.x0 < span.bounds.x1)
            .map(|span| (span.height_at(x), span));
        let first = over.next()?;
        let (low, high) = over.fold((first, first), |(low, high), here| {
            (
                if here.0 < low.0 { here } else { low },
                if here.0 > high.0 { here } else { high },
            )
        });
        Some((low.1, high.1))
    }
}
