//! What is added up along a ray: by layers, by grinds, and what the bands need.

use kurbo::Vec2;

use super::cuts::Along;
use super::cutter::{Course, OnRay};
use super::family::Family;
use crate::geometry::{GAUSS_3, GAUSS_8};
use crate::knife::Face;

/// Where the sums of a survey stand in its row of numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layout {
    pub layers: usize,
    pub orders: usize,
}

/// Numbers for each layer: volume, its moments about the y, x and mid-plane, and about the z axis.
pub(super) const PER_LAYER: usize = 5;
/// Ground area and its moment along x; how the volume follows the bar's thickness, and the moment of that.
pub(super) const EXTRAS: usize = 4;

impl Layout {
    pub(super) fn len(self) -> usize {
        self.layers * PER_LAYER + EXTRAS + self.orders
    }

    pub(super) fn extras(self) -> usize {
        self.layers * PER_LAYER
    }

    pub(super) fn orders_at(self) -> usize {
        self.layers * PER_LAYER + EXTRAS
    }
}

/// Adds up the rays of one family.
#[derive(Clone, Copy)]
pub(super) struct Sums<'a> {
    pub family: &'a Family,
    /// Density of each layer, g/cm³ or any other weight.
    pub weights: &'a [f64],
    pub layout: Layout,
}

impl Sums<'_> {
    /// Adds the integral over one stretch on which one formula holds.
    pub(super) fn add(
        &self,
        along: &Along<'_>,
        owner: usize,
        (lo, hi): (f64, f64),
        out: &mut [f64],
    ) {
        let Some((_, on)) = along.surfaces.get(owner) else {
            return;
        };
        let half = (hi - lo) / 2.0;
        match on.course(f64::midpoint(lo, hi)) {
            Course::Straight => {
                for (x, w) in GAUSS_3 {
                    self.add_at(along, on, lo + half * (1.0 + x), w * half, out);
                }
            }
            Course::Smooth => {
                for (x, w) in GAUSS_8 {
                    self.add_at(along, on, lo + half * (1.0 + x), w * half, out);
                }
            }
            // Along the circle's own angle its height and the way along the ray are smooth, also where it stands upright.
            Course::Round { middle, radius: r } => {
                let angle = |d: f64| ((d - middle) / r).clamp(-1.0, 1.0).asin();
                let (a, b) = (angle(lo), angle(hi));
                let half = (b - a) / 2.0;
                for (x, w) in GAUSS_8 {
                    let (sin, cos) = (a + half * (1.0 + x)).sin_cos();
                    self.add_at(along, on, middle + r * sin, w * half * r * cos, out);
                }
            }
        }
    }

    fn add_at(&self, along: &Along<'_>, on: &OnRay, d: f64, weight: f64, out: &mut [f64]) {
        let ray = along.ray;
        let at: Vec2 = ray.foot + ray.n * d;
        let area = weight * (ray.j0 + ray.j1 * d);
        let top = along.top(d);
        let z = on.formula(d, top);
        let outward = match self.family.face {
            Face::Right => area,
            Face::Left => -area,
        };
        let far = at.hypot2();
        let mut taken = 0.0;
        let mut sums = out.chunks_exact_mut(PER_LAYER);
        for (layer, weight) in (0..self.layout.layers).zip(self.weights) {
            let (height, moment) = along.layers.share(layer, z, top);
            if let Some([v, x, y, m, q]) = sums.next()
                && height > 0.0
            {
                let volume = area * height;
                *v += volume;
                *x += volume * at.x;
                *y += volume * at.y;
                *m += outward * moment;
                *q += volume * far;
                taken += volume * weight;
            }
        }
        let extras = self.layout.extras();
        if let Some([ground, ground_x, follows, follows_x]) = out.get_mut(extras..extras + EXTRAS) {
            *ground += area;
            *ground_x += area * at.x;
            // The face follows the bar by half its change; the ground surface by as much of that as it has climbed.
            let face = if along.own.is_untouched(top) {
                0.5
            } else {
                0.0
            };
            let surface = (0.5 * on.follows_per_mm * d).min(0.5);
            *follows += area * (face - surface);
            *follows_x += area * (face - surface) * at.x;
        }
        if let [(only, _)] = along.surfaces {
            if let Some(sum) = self.taken_by(*only, out) {
                *sum += taken;
            }
            return;
        }
        // Each grind takes what those before it left.
        let mut left = top;
        for (cutter, on) in along.surfaces {
            let z = on.height(d, top);
            if z < left {
                let taken: f64 = (0..self.layout.layers)
                    .zip(self.weights)
                    .map(|(layer, weight)| along.layers.share(layer, z, left).0 * weight)
                    .sum();
                if let Some(sum) = self.taken_by(*cutter, out) {
                    *sum += area * taken;
                }
                left = z;
            }
        }
    }

    fn taken_by<'o>(&self, cutter: usize, out: &'o mut [f64]) -> Option<&'o mut f64> {
        let order = self.family.cutters.get(cutter)?.order;
        out.get_mut(self.layout.orders_at() + order)
    }
}
