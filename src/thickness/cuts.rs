//! Where along a ray the formula of what is taken changes.

use super::cutter::OnRay;
use super::exits::Stretch;
use super::face::FaceHeight;
use super::layers::FaceLayers;
use super::marks::{Cut, Mark};
use super::strip::Ray;
use crate::geometry::{root, straight_root};

/// Stretches shorter than this hold nothing, mm.
pub(super) const NO_STRETCH_MM: f64 = 1e-12;

/// Roots nearer than this to another cut are that cut, mm.
const AT_END_MM: f64 = 1e-10;

/// What lies along one stretch of a ray: the face and the surfaces that cut it.
#[derive(Clone, Copy)]
pub(super) struct Along<'r> {
    pub ray: &'r Ray,
    pub own: &'r FaceHeight,
    /// Height of the face at the foot and how it changes along the ray, where it is straight all along.
    pub face: Option<(f64, f64)>,
    pub layers: &'r FaceLayers,
    /// By their cutters' places in the family.
    pub surfaces: &'r [(usize, OnRay)],
}

impl Along<'_> {
    /// Height of the face, mm over the mid-plane.
    pub(super) fn top(&self, d: f64) -> f64 {
        match self.face {
            Some((top, slope)) => top + slope * d,
            None => self.own.at(self.ray.foot.x + self.ray.n.x * d),
        }
    }

    /// The lowest surface below the face at `d`, by its place among the surfaces.
    pub(super) fn lowest(&self, d: f64) -> Option<usize> {
        let top = self.top(d);
        let mut lowest = (top, None);
        for (k, (_, on)) in self.surfaces.iter().enumerate() {
            let z = on.height(d, top);
            if z < lowest.0 {
                lowest = (z, Some(k));
            }
        }
        lowest.1
    }

    /// Height of the lowest surface by formula alone.
    pub(super) fn own_height(&self, d: f64) -> f64 {
        let top = self.top(d);
        let heights = self.surfaces.iter().map(|(_, on)| on.formula(d, top));
        heights.fold(f64::INFINITY, f64::min)
    }

    /// How what is left climbs along the ray: the lowest surface that acts at a place, or the face, by differences of a step to either side.
    pub(super) fn climb(&self, d: f64, step: f64) -> f64 {
        let lowest = self.lowest(d).and_then(|k| self.surfaces.get(k));
        if let Some(climb) = lowest.and_then(|(_, on)| on.climb(d)) {
            return climb;
        }
        let height = |d: f64| {
            let top = self.top(d);
            lowest.map_or(top, |(_, on)| on.formula(d, top))
        };
        (height(d + step) - height(d - step)) / (2.0 * step)
    }

    /// Fills `cuts` with the ends of a stretch and, in order, every place between at which the own surfaces, the face or the layers change the formula.
    pub(super) fn find_cuts(&self, stretch: &Stretch, cuts: &mut Vec<Cut>) {
        let (from, to) = (stretch.from, stretch.to);
        cuts.clear();
        cuts.push(Cut {
            d: from,
            mark: stretch.begins,
        });
        let mut push = |d: f64, mark: Mark| {
            if d > from && d < to {
                cuts.push(Cut { d, mark });
            }
        };
        let mut face_slope = 0.0;
        let level = self.own.is_level() || self.ray.n.x == 0.0;
        if !level {
            for (i, x) in self.own.bends().enumerate() {
                push((x - self.ray.foot.x) / self.ray.n.x, Mark::bend(i));
            }
            face_slope = (self.top(to) - self.top(from)) / (to - from);
        }
        for (cutter, on) in self.surfaces {
            on.kinks(&mut |d, which| push(d, Mark::kink(*cutter, which)));
            if let Some(d) = on.steep_as(face_slope) {
                push(d, Mark::NONE);
            }
            on.balance_at_walls(face_slope, &mut |d| push(d, Mark::NONE));
        }
        cuts.push(Cut {
            d: to,
            mark: stretch.ends,
        });
        sort(cuts);
        for i in 1..cuts.len() {
            if let (Some(lo), Some(hi)) = (cuts.get(i - 1), cuts.get(i)) {
                let (lo, hi) = (lo.d, hi.d);
                if hi - lo > NO_STRETCH_MM {
                    self.find_roots(lo, hi, !level, cuts);
                }
            }
        }
        sort(cuts);
    }

    /// The places between two cuts where a surface meets the face, a boundary of layers or another surface.
    fn find_roots(&self, lo: f64, hi: f64, tapered: bool, cuts: &mut Vec<Cut>) {
        let mid = f64::midpoint(lo, hi);
        let (top_mid, top_lo, top_hi) = (self.top(mid), self.top(lo), self.top(hi));
        // What lies at an end but for rounding is that end.
        let inner = |d: &f64| *d - lo > AT_END_MM && hi - *d > AT_END_MM;
        let mut found = |d: Option<f64>, mark: Mark| {
            cuts.extend(d.filter(inner).map(|d| Cut { d, mark }));
        };
        for (k, (cutter, on)) in self.surfaces.iter().enumerate() {
            if !on.height(mid, top_mid).is_finite() {
                continue;
            }
            let rivals = self.surfaces.iter().skip(k + 1);
            if on.is_straight() {
                let (a, b) = (on.formula(lo, top_lo), on.formula(hi, top_hi));
                let meets = |p: f64, q: f64| straight_root((lo, a - p), (hi, b - q));
                found(meets(top_lo, top_hi), Mark::face(*cutter));
                for (i, c) in self.layers.boundaries().iter().enumerate() {
                    found(meets(c.height(), c.height()), Mark::layer(*cutter, i));
                }
                for (other, rival) in rivals {
                    let mark = Mark::surfaces(*cutter, *other);
                    if rival.is_straight() {
                        let ends = (rival.formula(lo, top_lo), rival.formula(hi, top_hi));
                        found(meets(ends.0, ends.1), mark);
                    } else {
                        let gap = |d: f64| {
                            let top = self.top(d);
                            on.formula(d, top) - rival.formula(d, top)
                        };
                        found(root(lo, hi, gap), mark);
                    }
                }
                continue;
            }
            let z = |d: f64| on.formula(d, self.top(d));
            found(root(lo, hi, |d| z(d) - self.top(d)), Mark::face(*cutter));
            for (i, c) in self.layers.boundaries().iter().enumerate() {
                found(root(lo, hi, |d| z(d) - c.height()), Mark::layer(*cutter, i));
            }
            for (other, rival) in rivals {
                found(
                    root(lo, hi, |d| z(d) - rival.formula(d, self.top(d))),
                    Mark::surfaces(*cutter, *other),
                );
            }
        }
        if tapered {
            for (i, c) in self.layers.boundaries().iter().enumerate() {
                let c = c.height();
                found(
                    straight_root((lo, top_lo - c), (hi, top_hi - c)),
                    Mark::face_layer(i),
                );
            }
        }
    }
}

/// Puts cuts in the order of the ray.
pub(super) fn sort(cuts: &mut [Cut]) {
    // Mostly they are.
    if cuts.is_sorted_by(|a, b| a.d <= b.d) {
        return;
    }
    cuts.sort_by(|a, b| a.d.total_cmp(&b.d));
}
