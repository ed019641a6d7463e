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
        let evenly = |(x, w): (f64, f64)| (lo + half * (1.0 + x), w * half);
        match on.course(f64::midpoint(lo, hi)) {
            Course::Straight => self.add_at(along, on, GAUSS_3.map(evenly), out),
            Course::Smooth => self.add_at(along, on, GAUSS_8.map(evenly), out),
            // Along the circle's own angle its height and the way along the ray are smooth, also where it stands upright.
            Course::Round { middle, radius: r } => {
                let angle = |d: f64| ((d - middle) / r).clamp(-1.0, 1.0).asin();
                let (a, b) = (angle(lo), angle(hi));
                let half = (b - a) / 2.0;
                let places = GAUSS_8.map(|(x, w)| {
                    let (sin, cos) = (a + half * (1.0 + x)).sin_cos();
                    (middle + r * sin, w * half * r * cos)
                });
                self.add_at(along, on, places, out);
            }
        }
    }

    /// Adds what is taken at some places of the ray, each with its weight.
    fn add_at<const N: usize>(
        &self,
        along: &Along<'_>,
        on: &OnRay,
        places: [(f64, f64); N],
        out: &mut [f64],
    ) {
        // Written one by one: mapping an array of places costs more than the places.
        let mut made = [Place::default(); N];
        for (place, (d, weight)) in made.iter_mut().zip(places) {
            *place = Place::of(along, on, d, weight);
        }
        let places = made;
        let outward = match self.family.face {
            Face::Right => 1.0,
            Face::Left => -1.0,
        };
        let lowest = places
            .iter()
            .map(|place| place.z)
            .fold(f64::INFINITY, f64::min);
        let mut taken = 0.0;
        let mut sums = out.chunks_exact_mut(PER_LAYER);
        for (layer, weight) in (0..self.layout.layers).zip(self.weights) {
            let sums = sums.next();
            if along.layers.is_below(layer, lowest) {
                continue;
            }
            let mut own = [0.0; PER_LAYER];
            for place in &places {
                let (height, moment) = along.layers.share(layer, place.z, place.top);
                if height > 0.0 {
                    let volume = place.area * height;
                    own[0] += volume;
                    own[1] += volume * place.at.x;
                    own[2] += volume * place.at.y;
                    own[3] += outward * place.area * moment;
                    own[4] += volume * place.at.hypot2();
                }
            }
            taken += own[0] * weight;
            for (sum, own) in sums.into_iter().flatten().zip(own) {
                *sum += own;
            }
        }
        let extras = self.layout.extras();
        if let Some([ground, ground_x, follows, follows_x]) = out.get_mut(extras..extras + EXTRAS) {
            for place in &places {
                *ground += place.area;
                *ground_x += place.area * place.at.x;
                let part = place.area * place.follows;
                *follows += part;
                *follows_x += part * place.at.x;
            }
        }
        if let [(only, _)] = along.surfaces {
            if let Some(sum) = self.taken_by(*only, out) {
                *sum += taken;
            }
            return;
        }
        for place in &places {
            self.add_by_grind(along, place, out);
        }
    }

    /// Adds what each grind takes at a place of what those before it left.
    fn add_by_grind(&self, along: &Along<'_>, place: &Place, out: &mut [f64]) {
        let mut left = place.top;
        for (cutter, on) in along.surfaces {
            let z = on.height(place.d, place.top);
            if z < left {
                let taken: f64 = (0..self.layout.layers)
                    .zip(self.weights)
                    .map(|(layer, weight)| along.layers.share(layer, z, left).0 * weight)
                    .sum();
                if let Some(sum) = self.taken_by(*cutter, out) {
                    *sum += place.area * taken;
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

/// A place of a ray.
#[derive(Clone, Copy, Default)]
struct Place {
    d: f64,
    at: Vec2,
    /// The area it stands for.
    area: f64,
    /// Heights of the face and of the ground surface.
    top: f64,
    z: f64,
    /// How what is taken there follows the bar's thickness.
    follows: f64,
}

impl Place {
    fn of(along: &Along<'_>, on: &OnRay, d: f64, weight: f64) -> Self {
        let ray = along.ray;
        let top = along.top(d);
        // The face follows the bar by half its change; the ground surface by as much of that as it has climbed.
        let face = if along.own.is_untouched(top) {
            0.5
        } else {
            0.0
        };
        let surface = (0.5 * on.follows_per_mm * d).min(0.5);
        Self {
            d,
            at: ray.foot + ray.n * d,
            area: weight * (ray.j0 + ray.j1 * d),
            top,
            z: on.formula(d, top),
            follows: face - surface,
        }
    }
}
