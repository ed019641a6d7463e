//! What is ground away along one ray: the rays' part of every volume, moment and area.

use kurbo::Vec2;
use smallvec::SmallVec;

use super::blade::GroundBlade;
use super::cuts::{Along, NO_STRETCH_MM};
use super::cutter::{NoSurface, OnRay};
use super::exits::{Meet, Stretch};
use super::face::FaceHeight;
use super::family::Family;
use super::fault::GrindFault;
use super::layers::FaceLayers;
use super::marks::{Cut, Ends, Mark, Trail};
use super::meetings::meeting_depth;
use super::opening::Opening;
use super::relief::PLACES;
use super::ridge::Others;
use super::strip::{Ray, Strip};
use super::sums::{Layout, Sums};

/// What one ray showed, for the lines the maker sees.
#[derive(Clone, Debug, Default)]
pub(super) struct RayTrace {
    pub foot: Vec2,
    pub n: Vec2,
    /// Distances from the first to the last cut, with the slope of the surface there.
    pub course: [(f64, f64); PLACES],
    /// Stretches on which this ray's grinds cut, from the foot outward: from, to, place of the cutter in its family.
    pub cut: SmallVec<[(f64, f64, usize); 2]>,
    /// Whether the last of them ends where the surface meets the face.
    pub meets_face: bool,
    /// Boundaries of layers the ground surface passes: distance, place of the boundary.
    pub reveals: SmallVec<[(f64, usize); 4]>,
}

/// Everything a ray needs besides itself.
pub(super) struct Sweep<'a> {
    pub blade: &'a GroundBlade,
    pub layers: &'a [FaceLayers; 2],
    /// Density of each layer, g/cm³ or any other weight.
    pub weights: &'a [f64],
    pub layout: Layout,
    pub fault: Option<GrindFault>,
    pub others: Others<'a>,
    /// Where the stretches of the last ray begin and end.
    pub ends: Ends,
    surfaces: Vec<(usize, OnRay)>,
    meets: Vec<Meet>,
    inside: Vec<Stretch>,
    cuts: Vec<Cut>,
}

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
            others: Others::new(blade),
            ends: Ends::default(),
            surfaces: Vec::new(),
            meets: Vec::new(),
            inside: Vec::new(),
            cuts: Vec::new(),
        }
    }

    /// Writes to `out` what is ground away on a ray, for each unit of the strip's parameter; within an opening only what would have been ground
    /// away there. Tells what divided the ray.
    pub(super) fn ray(
        &mut self,
        of: RayOf<'_>,
        opening: Option<&Opening>,
        out: &mut [f64],
        mut trace: Option<&mut RayTrace>,
    ) -> Trail {
        out.fill(0.0);
        let mut trail = Trail::default();
        self.ends = Ends::default();
        let blade = self.blade;
        let Some((family, strip)) = blade
            .families
            .get(of.family)
            .and_then(|f| Some((f, f.run.strips.get(of.strip)?)))
        else {
            return trail;
        };
        let t = of.t.clamp(END_SHARE, 1.0 - END_SHARE);
        let ray = strip.ray(t);
        let (own, other) = blade.face_pair(family.face);
        self.lay_surfaces(family, strip, t, &ray, (own, other));
        if self.surfaces.is_empty() {
            return trail;
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
        let end = inside.last().map_or(0.0, |s| s.to);
        if end > family.neighbors.free_of(of.strip)
            && let Some((depth, chain)) = meeting_depth(&family.run, of.strip, &ray, t, end)
        {
            for stretch in &mut inside {
                if depth < stretch.to {
                    stretch.to = depth;
                    stretch.ends = Mark::rival_place(chain);
                }
            }
        }
        for stretch in &inside {
            if stretch.to - stretch.from > NO_STRETCH_MM {
                self.stretch(
                    family,
                    of,
                    &ray,
                    stretch,
                    out,
                    trace.as_deref_mut(),
                    &mut trail,
                );
            }
        }
        self.inside = inside;
        // What else divides a ray that takes nothing makes no difference.
        if self.ends.is_empty() {
            Trail::default()
        } else {
            trail
        }
    }

    fn lay_surfaces(
        &mut self,
        family: &Family,
        strip: &Strip,
        t: f64,
        ray: &Ray,
        (own, other): (&FaceHeight, &FaceHeight),
    ) {
        self.surfaces.clear();
        let mut known = None;
        for (i, cutter) in family.cutters.iter().enumerate() {
            let share = || *known.get_or_insert_with(|| strip.share_at(t));
            match cutter.on_ray(ray.foot, ray.n, share, strip.extension, own, other) {
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
    #[expect(
        clippy::too_many_arguments,
        reason = "one stretch with all that it is made of"
    )]
    fn stretch(
        &mut self,
        family: &Family,
        of: RayOf<'_>,
        ray: &Ray,
        stretch: &Stretch,
        out: &mut [f64],
        mut trace: Option<&mut RayTrace>,
        trail: &mut Trail,
    ) {
        let surfaces = std::mem::take(&mut self.surfaces);
        let mut cuts = std::mem::take(&mut self.cuts);
        let own = self.blade.face_pair(family.face).0;
        let end = ray.foot.x + ray.n.x * stretch.to;
        let along = Along {
            ray,
            own,
            face: own
                .straight_over(ray.foot.x, end)
                .map(|(top, slope)| (top, slope * ray.n.x)),
            layers: &self.layers[super::blade::side(family.face)],
            surfaces: &surfaces,
        };
        along.find_cuts(stretch, &mut cuts);
        let foreign = of.foreign && {
            // Beyond where its own surfaces meet the face nothing of this ray is left to lose.
            let reached = cuts.windows(2).rev().find_map(|pair| match pair {
                [lo, hi] if hi.d - lo.d > NO_STRETCH_MM => {
                    along.lowest(f64::midpoint(lo.d, hi.d)).map(|_| hi.d)
                }
                _ => None,
            });
            reached.is_some_and(|reached| {
                self.others
                    .are_near(family, &along, (stretch.from, reached))
            })
        };
        // Where no other surface acts on the way none is asked for again.
        let foreign = foreign
            && self
                .others
                .find_cuts((family, of.family), &along, &mut cuts);
        let sums = Sums {
            family,
            weights: self.weights,
            layout: self.layout,
        };
        // Whether the segment before was this ray's, and the other family whose it was.
        let (mut open, mut beside) = (false, None);
        for pair in cuts.windows(2) {
            let [lo, hi] = pair else { continue };
            let (span, ends) = ((lo.d, hi.d), hi.mark);
            if span.1 - span.0 <= NO_STRETCH_MM {
                continue;
            }
            let Some(owner) = along.lowest(f64::midpoint(span.0, span.1)) else {
                if let Some(trace) = trace.as_deref_mut() {
                    trace.meets_face |= !trace.cut.is_empty();
                }
                (open, beside) = (false, None);
                continue;
            };
            if foreign && let Some(lower) = self.others.lower(family, of.family, &along, span) {
                trail.add(lower.which);
                self.ends.add_foreign(hi.d);
                if open {
                    trail.ridge(lower.family);
                }
                (open, beside) = (false, Some(lower.family));
                continue;
            }
            if !open {
                trail.mark(lo.mark);
                self.ends.add(lo.d);
                if let Some(other) = beside {
                    trail.ridge(other);
                }
            }
            (open, beside) = (true, None);
            trail.add(1 + owner as u32);
            trail.mark(ends);
            self.ends.add(span.1);
            self.judge_depth(family, &along, owner, span);
            if let Some(trace) = trace.as_deref_mut() {
                note(trace, &along, owner, span);
            }
            sums.add(&along, owner, span, out);
        }
        if let Some(trace) = trace {
            trace.foot = ray.foot;
            trace.n = ray.n;
            note_course(trace, &along);
            // The face itself may end the cut right at the end of the stretch; or the surface ends there by its own height, a step below a face that a taper
            // lets rise along the ray.
            if let Some((_, d, cutter)) = trace.cut.last()
                && let Some((_, on)) = surfaces.iter().find(|(i, _)| i == cutter)
            {
                let top = along.top(*d);
                let comes_out = stretch.ends == Mark::NONE || on.formula(*d, top) >= top - 1e-9;
                trace.meets_face |= *d >= stretch.to - 1e-9 && comes_out;
            }
        }
        self.cuts = cuts;
        self.surfaces = surfaces;
    }

    /// Notes a fault where the two faces pass each other: of several places the one where they do so farthest.
    fn judge_depth(
        &mut self,
        family: &Family,
        along: &Along<'_>,
        owner: usize,
        (lo, hi): (f64, f64),
    ) {
        let Some((cutter, on)) = along.surfaces.get(owner) else {
            return;
        };
        if on.stays_over_middle() {
            return;
        }
        for d in [lo, f64::midpoint(lo, hi), hi] {
            let z = on.formula(d, along.top(d));
            if z >= -ROUNDING_MM {
                continue;
            }
            let at = (along.ray.foot + along.ray.n * d).to_point();
            let behind = if self.blade.mirrored {
                z
            } else {
                let face = match family.face {
                    crate::knife::Face::Right => crate::knife::Face::Left,
                    crate::knife::Face::Left => crate::knife::Face::Right,
                };
                self.blade.height(face, at)
            };
            let through_mm = -(z + behind);
            let farther = match &self.fault {
                Some(GrindFault::ThroughSteel {
                    through_mm: so_far, ..
                }) => through_mm > *so_far,
                Some(_) => false,
                None => through_mm > 2.0 * ROUNDING_MM,
            };
            if farther && let Some(cutter) = family.cutters.get(*cutter) {
                self.fault = Some(GrindFault::ThroughSteel {
                    grind: cutter.name.clone(),
                    through_mm,
                    at,
                });
            }
        }
    }
}

fn note(trace: &mut RayTrace, along: &Along<'_>, owner: usize, (lo, hi): (f64, f64)) {
    let Some((cutter, on)) = along.surfaces.get(owner) else {
        return;
    };
    trace.meets_face = false;
    let z = on.formula(hi, along.top(hi));
    for (i, c) in along.layers.boundaries().iter().enumerate() {
        if (z - c.height()).abs() < 1e-9 {
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
fn note_course(trace: &mut RayTrace, along: &Along<'_>) {
    let Some((from, to)) = trace
        .cut
        .first()
        .zip(trace.cut.last())
        .map(|(a, b)| (a.0, b.1))
    else {
        return;
    };
    if let [(_, _, cutter)] = trace.cut[..]
        && let Some((_, on)) = along.surfaces.iter().find(|(i, _)| *i == cutter)
        && let Some(slope) = on.even_climb()
    {
        let place = |k: usize| from + (to - from) * k as f64 / (PLACES - 1) as f64;
        trace.course = std::array::from_fn(|k| (place(k), slope));
        return;
    }
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
        let slope = along.climb(middle, step);
        *slot = (d, if slope.is_finite() { slope } else { 0.0 });
    }
}
