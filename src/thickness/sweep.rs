//! What is ground away along one ray: the rays' part of every volume, moment and area.

use kurbo::{Point, Vec2};

use super::blade::{Family, GroundBlade, passes};
use super::cutter::{Course, NoSurface, OnRay};
use super::exits::Stretch;
use super::face::FaceHeight;
use super::fault::GrindFault;
use super::layers::FaceLayers;
use super::meetings::meeting_depth;
use super::opening::Opening;
use super::relief::PLACES;
use super::strip::{Ray, Source};
use crate::geometry::GAUSS_8;

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

/// What one ray showed, for the lines the maker sees.
#[derive(Clone, Debug, Default)]
pub(super) struct RayTrace {
    pub foot: Vec2,
    pub n: Vec2,
    /// Distances from the first to the last cut, with the slope of the surface there.
    pub course: [(f64, f64); PLACES],
    /// Stretches on which this ray's grinds cut, from the foot outward: from, to, place of the cutter in its family.
    pub cut: Vec<(f64, f64, usize)>,
    /// Whether the last of them ends where the surface meets the face.
    pub meets_face: bool,
    /// Boundaries of layers the ground surface passes: distance, place of the boundary.
    pub reveals: Vec<(f64, usize)>,
}

/// Everything a ray needs besides itself.
pub(super) struct Sweep<'a> {
    pub blade: &'a GroundBlade,
    pub layers: &'a [FaceLayers; 2],
    /// Density of each layer, g/cm³ or any other weight.
    pub weights: &'a [f64],
    pub layout: Layout,
    pub fault: Option<GrindFault>,
    surfaces: Vec<(usize, OnRay)>,
    meets: Vec<f64>,
    inside: Vec<Stretch>,
    cuts: Vec<f64>,
    roots: Vec<f64>,
}

/// Three-point Gauss–Legendre rule on −1..1, exact to the fifth degree.
const GAUSS_3: [(f64, f64); 3] = [
    (-0.774_596_669_241_483_4, 5.0 / 9.0),
    (0.0, 8.0 / 9.0),
    (0.774_596_669_241_483_4, 5.0 / 9.0),
];

/// Stretches shorter than this hold nothing, mm.
const NO_STRETCH_MM: f64 = 1e-12;

/// Faces may pass each other by this much, mm: rounding where a bevel comes to nothing.
const ROUNDING_MM: f64 = 1e-7;

/// Which ray of which family.
#[derive(Clone, Copy)]
pub(super) struct RayOf<'a> {
    pub family: usize,
    pub strip: usize,
    pub t: f64,
    /// Edges of the outline it may meet.
    pub near: &'a [usize],
    /// Whether it may come into the zone of another family.
    pub foreign: bool,
}

/// Feet are kept this far from the ends of their strip: at the very end of a run a ray lies on the next piece of the outline.
const END_SHARE: f64 = 1e-9;

impl<'a> Sweep<'a> {
    pub(super) fn new(
        blade: &'a GroundBlade,
        layers: &'a [FaceLayers; 2],
        weights: &'a [f64],
        layout: Layout,
    ) -> Self {
        Self {
            blade,
            layers,
            weights,
            layout,
            fault: None,
            surfaces: Vec::new(),
            meets: Vec::new(),
            inside: Vec::new(),
            cuts: Vec::new(),
            roots: Vec::new(),
        }
    }

    /// Writes to `out` what is ground away on a ray, for each unit of the strip's parameter; within an opening only what would have been ground
    /// away there.
    pub(super) fn ray(
        &mut self,
        of: RayOf<'_>,
        opening: Option<&Opening>,
        out: &mut [f64],
        mut trace: Option<&mut RayTrace>,
    ) {
        out.fill(0.0);
        let blade = self.blade;
        let Some(family) = blade.families.get(of.family) else {
            return;
        };
        let Some(strip) = family.run.strips.get(of.strip) else {
            return;
        };
        let t = of.t.clamp(END_SHARE, 1.0 - END_SHARE);
        let ray = strip.ray(t);
        let (own, other) = blade.face_pair(family.face);
        self.lay_surfaces(family, &ray, strip.extension, own, other);
        if self.surfaces.is_empty() {
            return;
        }
        let greatest = own.greatest();
        let longest = self
            .surfaces
            .iter()
            .map(|(_, on)| on.reach(greatest))
            .fold(0.0, f64::max)
            .min(family.reach);
        let mut inside = std::mem::take(&mut self.inside);
        match opening {
            Some(opening) => opening.stretches(&ray, longest, &mut inside),
            None => family
                .boundary
                .stretches(&ray, longest, of.near, &mut self.meets, &mut inside),
        }
        let end = inside.last().map_or(0.0, |s| s.1);
        if end > family.neighbors.free_of(of.strip) {
            let depth = meeting_depth(&family.run, of.strip, &ray, t, end);
            for stretch in &mut inside {
                stretch.1 = stretch.1.min(depth);
            }
        }
        for (from, to) in inside.iter().copied() {
            if to - from > NO_STRETCH_MM {
                self.stretch(family, of, &ray, (from, to), out, trace.as_deref_mut());
            }
        }
        self.inside = inside;
    }

    fn lay_surfaces(
        &mut self,
        family: &Family,
        ray: &Ray,
        extension: bool,
        own: &FaceHeight,
        other: &FaceHeight,
    ) {
        self.surfaces.clear();
        for (i, cutter) in family.cutters.iter().enumerate() {
            match cutter.on_ray(ray.foot, ray.n, ray.share, extension, own, other) {
                Ok(on) => self.surfaces.push((i, on)),
                Err(NoSurface::Idle) => {}
                Err(NoSurface::RadiusTooSmall { radius, least }) => {
                    self.fault
                        .get_or_insert_with(|| GrindFault::RadiusTooSmall {
                            grind: cutter.name.clone(),
                            radius_mm: radius,
                            least_mm: least,
                            at: ray.foot.to_point(),
                        });
                }
            }
        }
    }

    /// One stretch of a ray within the steel, cut where anything changes its formula.
    fn stretch(
        &mut self,
        family: &Family,
        mut of: RayOf<'_>,
        ray: &Ray,
        (from, to): Stretch,
        out: &mut [f64],
        mut trace: Option<&mut RayTrace>,
    ) {
        let (own, _) = self.blade.face_pair(family.face);
        let layers = &self.layers[super::blade::side(family.face)];
        let mut cuts = std::mem::take(&mut self.cuts);
        cuts.clear();
        cuts.extend([from, to]);
        let mut push = |d: f64| {
            if d > from && d < to {
                cuts.push(d);
            }
        };
        let mut face_slope = 0.0;
        if !own.is_level() && ray.n.x != 0.0 {
            own.bends().for_each(|x| push((x - ray.foot.x) / ray.n.x));
            face_slope = own.at(ray.foot.x + ray.n.x * to) - own.at(ray.foot.x + ray.n.x * from);
            face_slope /= to - from;
        }
        for (_, on) in &self.surfaces {
            on.kinks(&mut push);
            if let Some(d) = on.steep_as(face_slope) {
                push(d);
            }
            on.balance_at_walls(face_slope, &mut push);
        }
        cuts.sort_by(f64::total_cmp);
        let top = |d: f64| own.at(ray.foot.x + ray.n.x * d);
        self.find_roots(&cuts, layers, !own.is_level(), &top);
        cuts.append(&mut self.roots);
        cuts.sort_by(f64::total_cmp);
        of.foreign = of.foreign && {
            // Beyond where its own surfaces meet the face nothing of this ray is left to lose.
            let reached = cuts.windows(2).rev().find_map(|pair| match pair {
                [lo, hi] if hi - lo > NO_STRETCH_MM => {
                    let mid = f64::midpoint(*lo, *hi);
                    self.lowest(mid, top(mid)).map(|_| *hi)
                }
                _ => None,
            });
            reached.is_some_and(|reached| self.comes_near_foreign(family, ray, (from, reached)))
        };
        if of.foreign {
            self.foreign_limits(family, ray, (from, to));
            cuts.append(&mut self.roots);
            cuts.sort_by(f64::total_cmp);
            self.find_foreign_roots(family, of.family, ray, &cuts, &top);
            cuts.append(&mut self.roots);
            cuts.sort_by(f64::total_cmp);
        }
        for pair in cuts.windows(2) {
            let [lo, hi] = pair else { continue };
            if hi - lo <= NO_STRETCH_MM {
                continue;
            }
            let mid = f64::midpoint(*lo, *hi);
            let Some(owner) = self.lowest(mid, top(mid)) else {
                if let Some(trace) = trace.as_deref_mut() {
                    trace.meets_face |= !trace.cut.is_empty();
                }
                continue;
            };
            if of.foreign && self.foreign_is_lower(family, of.family, ray, mid, &top) {
                continue;
            }
            self.judge_depth(family, ray, owner, (*lo, *hi), &top);
            if let Some(trace) = trace.as_deref_mut() {
                self.note(trace, owner, (*lo, *hi), layers, &top);
            }
            self.add(family, ray, owner, (*lo, *hi), &top, layers, out);
        }
        if let Some(trace) = trace {
            trace.foot = ray.foot;
            trace.n = ray.n;
            self.note_course(trace, &top);
            // The face itself may end the cut right at the end of the stretch.
            if let Some((_, d, cutter)) = trace.cut.last()
                && let Some((_, on)) = self.surfaces.iter().find(|(i, _)| i == cutter)
            {
                trace.meets_face |= *d >= to - 1e-9 && on.formula(*d, top(*d)) >= top(*d) - 1e-9;
            }
        }
        self.cuts = cuts;
    }

    /// Whether a stretch comes near any strip of another family.
    fn comes_near_foreign(&self, family: &Family, ray: &Ray, stretch: Stretch) -> bool {
        let others = family
            .foreign
            .iter()
            .filter_map(|i| self.blade.families.get(*i));
        others
            .flat_map(|other| &other.strip_zones)
            .any(|zone| passes(ray.foot, ray.n, stretch, zone))
    }

    /// Between each two cuts, the places where a surface meets the face, a boundary of layers or another surface.
    fn find_roots(
        &mut self,
        cuts: &[f64],
        layers: &FaceLayers,
        tapered: bool,
        top: &impl Fn(f64) -> f64,
    ) {
        let roots = &mut self.roots;
        roots.clear();
        for pair in cuts.windows(2) {
            let [lo, hi] = pair else { continue };
            if hi - lo <= NO_STRETCH_MM {
                continue;
            }
            let mid = f64::midpoint(*lo, *hi);
            for (k, (_, on)) in self.surfaces.iter().enumerate() {
                if !on.height(mid, top(mid)).is_finite() {
                    continue;
                }
                let straight = on.is_straight();
                let z = |d: f64| on.formula(d, top(d));
                roots.extend(root(*lo, *hi, straight, |d| z(d) - top(d)));
                for c in layers.boundaries() {
                    roots.extend(root(*lo, *hi, straight, |d| z(d) - c.height()));
                }
                for (_, rival) in self.surfaces.iter().skip(k + 1) {
                    let straight = straight && rival.is_straight();
                    roots.extend(root(*lo, *hi, straight, |d| {
                        z(d) - rival.formula(d, top(d))
                    }));
                }
            }
            if tapered {
                for c in layers.boundaries() {
                    roots.extend(root(*lo, *hi, true, |d| top(d) - c.height()));
                }
            }
        }
    }

    /// The lowest surface below the face at `d`, by its place among the surfaces on the ray.
    fn lowest(&self, d: f64, top: f64) -> Option<usize> {
        let mut lowest = (top, None);
        for (k, (_, on)) in self.surfaces.iter().enumerate() {
            let z = on.height(d, top);
            if z < lowest.0 {
                lowest = (z, Some(k));
            }
        }
        lowest.1
    }

    /// Height of the surfaces of other families, and whether ties are theirs; infinite where none acts.
    fn foreign_height(&self, family: &Family, own: usize, at: Point) -> (f64, bool) {
        let mut lowest = (f64::INFINITY, false);
        for &i in &family.foreign {
            let Some(other) = self.blade.families.get(i) else {
                continue;
            };
            if let Some((z, _)) = self.blade.height_in(other, at)
                && z < lowest.0
            {
                lowest = (z, i < own);
            }
        }
        lowest
    }

    fn foreign_is_lower(
        &self,
        family: &Family,
        own: usize,
        ray: &Ray,
        d: f64,
        top: &impl Fn(f64) -> f64,
    ) -> bool {
        let at = (ray.foot + ray.n * d).to_point();
        let (z, ties) = self.foreign_height(family, own, at);
        let mine = self
            .surfaces
            .iter()
            .map(|(_, on)| on.height(d, top(d)))
            .fold(f64::INFINITY, f64::min);
        if ties {
            z <= mine + 1e-12
        } else {
            z < mine - 1e-12
        }
    }

    /// Where the ray passes lines at which other families begin or end, and the paths of their fullers: between them a foreign surface comes and
    /// goes once.
    fn foreign_limits(&mut self, family: &Family, ray: &Ray, (from, to): Stretch) {
        self.roots.clear();
        for other in family
            .foreign
            .iter()
            .filter_map(|i| self.blade.families.get(*i))
        {
            for (through, across) in &other.limits {
                let d = (*through - ray.foot).dot(*across) / ray.n.dot(*across);
                if d > from && d < to {
                    self.roots.push(d);
                }
            }
            if other.run.round_ends {
                // Beyond the ends of a path its channel comes nearest where the ray passes the end.
                for strip in &other.run.strips {
                    if let Source::Fan { corner, .. } = strip.source {
                        let d = (corner - ray.foot).dot(ray.n);
                        if d > from && d < to {
                            self.roots.push(d);
                        }
                    }
                }
                self.meets.clear();
                other.run.meets(ray, &mut self.meets);
                let within = self.meets.iter().filter(|d| **d > from && **d < to);
                self.roots.extend(within);
            }
        }
    }

    /// Where the surface of another family becomes the lower one.
    fn find_foreign_roots(
        &mut self,
        family: &Family,
        own: usize,
        ray: &Ray,
        cuts: &[f64],
        top: &impl Fn(f64) -> f64,
    ) {
        let mut roots = std::mem::take(&mut self.roots);
        roots.clear();
        let gap = |d: f64| {
            let at = (ray.foot + ray.n * d).to_point();
            // Where the other does not act, the face itself stands for it.
            let z = self.foreign_height(family, own, at).0.min(top(d));
            let mine = self
                .surfaces
                .iter()
                .map(|(_, on)| on.formula(d, top(d)))
                .fold(f64::INFINITY, f64::min);
            z - mine
        };
        for pair in cuts.windows(2) {
            let [lo, hi] = pair else { continue };
            let mid = f64::midpoint(*lo, *hi);
            if hi - lo <= NO_STRETCH_MM || self.lowest(mid, top(mid)).is_none() {
                continue;
            }
            // A little inside, where the surfaces of this stretch act.
            let step = (hi - lo) * 1e-9;
            let ends = [
                lo + step,
                lo + (hi - lo) / 3.0,
                hi - (hi - lo) / 3.0,
                hi - step,
            ];
            let mut before = (ends[0], gap(ends[0]));
            for d in ends.into_iter().skip(1) {
                let now = (d, gap(d));
                if (before.1 < 0.0) != (now.1 < 0.0) {
                    roots.extend(root_between(before, now, &gap));
                }
                before = now;
            }
        }
        self.roots = roots;
    }

    /// Notes a fault where the two faces pass each other.
    fn judge_depth(
        &mut self,
        family: &Family,
        ray: &Ray,
        owner: usize,
        (lo, hi): (f64, f64),
        top: &impl Fn(f64) -> f64,
    ) {
        let Some((cutter, on)) = self.surfaces.get(owner) else {
            return;
        };
        if self.fault.is_some() {
            return;
        }
        for d in [lo, f64::midpoint(lo, hi), hi] {
            let z = on.formula(d, top(d));
            if z >= -ROUNDING_MM {
                continue;
            }
            let at = (ray.foot + ray.n * d).to_point();
            let behind = if self.blade.mirrored {
                z
            } else {
                let face = match family.face {
                    crate::knife::Face::Right => crate::knife::Face::Left,
                    crate::knife::Face::Left => crate::knife::Face::Right,
                };
                self.blade.height(face, at)
            };
            if z + behind < -2.0 * ROUNDING_MM {
                self.fault = family
                    .cutters
                    .get(*cutter)
                    .map(|c| GrindFault::ThroughSteel {
                        grind: c.name.clone(),
                        through_mm: -(z + behind),
                        at,
                    });
                return;
            }
        }
    }

    fn note(
        &self,
        trace: &mut RayTrace,
        owner: usize,
        (lo, hi): (f64, f64),
        layers: &FaceLayers,
        top: &impl Fn(f64) -> f64,
    ) {
        let Some((cutter, on)) = self.surfaces.get(owner) else {
            return;
        };
        trace.meets_face = false;
        for (i, c) in layers.boundaries().iter().enumerate() {
            if (on.formula(hi, top(hi)) - c.height()).abs() < 1e-9 {
                trace.reveals.push((hi, i));
            }
        }
        match trace.cut.last_mut() {
            Some(last) if last.2 == *cutter && (last.1 - lo).abs() < 1e-12 => last.1 = hi,
            _ => trace.cut.push((lo, hi, *cutter)),
        }
    }

    /// Notes the slope of the lowest surface at even distances; where one grind passes into the next, on both sides of that place, so that the
    /// edge between them stays sharp.
    fn note_course(&self, trace: &mut RayTrace, top: &impl Fn(f64) -> f64) {
        let Some((from, to)) = trace
            .cut
            .first()
            .zip(trace.cut.last())
            .map(|(a, b)| (a.0, b.1))
        else {
            return;
        };
        let height = |d: f64| {
            self.surfaces
                .iter()
                .map(|(_, on)| on.height(d, top(d)))
                .fold(top(d), f64::min)
        };
        let step = (to - from) * 1e-4;
        let passes = (trace.cut.len() > 1).then(|| trace.cut.first().map_or(to, |c| c.1));
        for (k, slot) in trace.course.iter_mut().enumerate() {
            let even = from + (to - from) * k as f64 / (PLACES - 1) as f64;
            let (d, beside) = match (passes, k) {
                (None, _) | (Some(_), 0) => (even, even),
                (Some(d), 1) => (d, d - 2.0 * step),
                (Some(d), 2) => (d, d + 2.0 * step),
                (Some(d), 3) => (f64::midpoint(d, to), f64::midpoint(d, to)),
                (Some(_), _) => (to, to),
            };
            // Within the cut on either side.
            let middle = beside.clamp(from + step, to - step);
            let slope = (height(middle + step) - height(middle - step)) / (2.0 * step);
            *slot = (d, if slope.is_finite() { slope } else { 0.0 });
        }
    }

    /// Adds the integral over one stretch on which one formula holds.
    #[expect(
        clippy::too_many_arguments,
        reason = "one stretch with all that it is made of"
    )]
    fn add(
        &self,
        family: &Family,
        ray: &Ray,
        owner: usize,
        (lo, hi): (f64, f64),
        top: &impl Fn(f64) -> f64,
        layers: &FaceLayers,
        out: &mut [f64],
    ) {
        let Some((_, on)) = self.surfaces.get(owner) else {
            return;
        };
        let half = (hi - lo) / 2.0;
        match on.course(f64::midpoint(lo, hi)) {
            Course::Straight => {
                for (x, w) in GAUSS_3 {
                    self.add_at(
                        family,
                        ray,
                        on,
                        lo + half * (1.0 + x),
                        w * half,
                        top,
                        layers,
                        out,
                    );
                }
            }
            Course::Smooth => {
                for (x, w) in GAUSS_8 {
                    let d = lo + half * (1.0 + x);
                    self.add_at(family, ray, on, d, w * half, top, layers, out);
                }
            }
            // Along the circle's own angle its height and the way along the ray are smooth, also where it stands upright.
            Course::Round { middle, radius: r } => {
                let angle = |d: f64| ((d - middle) / r).clamp(-1.0, 1.0).asin();
                let (a, b) = (angle(lo), angle(hi));
                let half = (b - a) / 2.0;
                for (x, w) in GAUSS_8 {
                    let (sin, cos) = (a + half * (1.0 + x)).sin_cos();
                    let weight = w * half * r * cos;
                    self.add_at(family, ray, on, middle + r * sin, weight, top, layers, out);
                }
            }
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one point with all that it is made of"
    )]
    fn add_at(
        &self,
        family: &Family,
        ray: &Ray,
        on: &OnRay,
        d: f64,
        weight: f64,
        top: &impl Fn(f64) -> f64,
        layers: &FaceLayers,
        out: &mut [f64],
    ) {
        let at: Vec2 = ray.foot + ray.n * d;
        let area = weight * (ray.j0 + ray.j1 * d);
        let top = top(d);
        let z = on.formula(d, top);
        let (own, _) = self.blade.face_pair(family.face);
        let outward = match family.face {
            crate::knife::Face::Right => 1.0,
            crate::knife::Face::Left => -1.0,
        };
        let mut sums = out.chunks_exact_mut(PER_LAYER);
        for layer in 0..self.layout.layers {
            let (height, moment) = layers.share(layer, z, top);
            if let Some([v, x, y, m, q]) = sums.next()
                && height > 0.0
            {
                let volume = area * height;
                *v += volume;
                *x += volume * at.x;
                *y += volume * at.y;
                *m += area * moment * outward;
                *q += volume * at.hypot2();
            }
        }
        let extras = self.layout.extras();
        if let Some([ground, ground_x, follows, follows_x]) = out.get_mut(extras..extras + EXTRAS) {
            *ground += area;
            *ground_x += area * at.x;
            // The face follows the bar by half its change; the ground surface by as much of that as it has climbed.
            let face = if own.is_untouched_at(at.x) { 0.5 } else { 0.0 };
            let surface = (0.5 * on.follows_per_mm * d).min(0.5);
            *follows += area * (face - surface);
            *follows_x += area * (face - surface) * at.x;
        }
        // Each grind takes what those before it left.
        let mut left = top;
        for (cutter, on) in &self.surfaces {
            let z = on.height(d, top);
            if z < left {
                let taken: f64 = (0..self.layout.layers)
                    .zip(self.weights)
                    .map(|(layer, weight)| layers.share(layer, z, left).0 * weight)
                    .sum();
                if let Some(sum) = family
                    .cutters
                    .get(*cutter)
                    .and_then(|c| out.get_mut(self.layout.orders_at() + c.order))
                {
                    *sum += area * taken;
                }
                left = z;
            }
        }
    }
}

/// A root in a stretch on which `f` runs one way; none where it keeps its sign. A straight `f` needs no search.
fn root(lo: f64, hi: f64, straight: bool, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (a, b) = (f(lo), f(hi));
    if (a < 0.0) == (b < 0.0) || a == 0.0 || b == 0.0 {
        return None;
    }
    if straight {
        return Some(lo + (hi - lo) * a / (a - b));
    }
    root_between((lo, a), (hi, b), &f)
}

/// A root between two places where `f` has opposite signs, by the Illinois rule (Dowell & Jarratt, BIT 11 (1971), pp. 168-174); halving where
/// that stalls.
fn root_between(
    (mut lo, mut f_lo): (f64, f64),
    (mut hi, mut f_hi): (f64, f64),
    f: &impl Fn(f64) -> f64,
) -> Option<f64> {
    let close = 1e-13 * (lo.abs() + hi.abs()).max(1.0);
    let mut stayed = 0_i32;
    for round in 0..80 {
        let secant = (lo * f_hi - hi * f_lo) / (f_hi - f_lo);
        let d = if round % 3 == 2 || !(lo..=hi).contains(&secant) {
            f64::midpoint(lo, hi)
        } else {
            secant
        };
        let value = f(d);
        if value.abs() < 1e-14 || hi - lo < close {
            return Some(d);
        }
        if (value < 0.0) == (f_hi < 0.0) {
            (hi, f_hi) = (d, value);
            if stayed < 0 {
                f_lo /= 2.0;
            }
            stayed = -1;
        } else {
            (lo, f_lo) = (d, value);
            if stayed > 0 {
                f_hi /= 2.0;
            }
            stayed = 1;
        }
    }
    Some(f64::midpoint(lo, hi))
}
