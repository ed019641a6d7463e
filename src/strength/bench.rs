//! The strength of a knife: every section from the hand to the load, its stresses, and what each opening costs.

mod kept;

use super::beam::{Hold, deflection_mm};
use super::net::{NetSection, Sums};
use super::opening::{Opening, left_of};
use super::raisers::{
    HOLE_IN_EDGEWISE_BENDING, across, hole_in_flatwise_bending, hole_in_tension,
    shoulder_in_edgewise_bending,
};
use super::told::{
    LoadAt, NoStrength, OpeningCost, Station, StationKind, Strength, StrengthOptions, Stress,
};
use crate::geometry::{Point, SpanIndex};
use crate::knife::{Knife, KnifeSet};
use crate::thickness::GroundBlade;
use crate::weighing::{Scale, WeighUp, percussion_beyond_mm};

/// The strength of a knife of a set.
///
/// # Errors
/// The steel can't be weighed, or load and hold do not fit the knife.
pub fn strength(
    knife: &Knife,
    set: &KnifeSet,
    options: &StrengthOptions,
) -> Result<Strength, NoStrength> {
    let mut scale = Scale::default();
    let up = scale.weigh(knife, set);
    let blade = scale.blade().ok_or(NoStrength::NotWeighed)?;
    let steel = knife.contour().index();
    Ok(StrengthBench::new(knife, &up, blade, &steel, options)?.look())
}

/// A knife laid out for the question what it bears; asked again and again while openings come and go.
#[derive(Debug)]
pub struct StrengthBench<'a> {
    blade: &'a GroundBlade,
    steel: &'a SpanIndex,
    options: StrengthOptions,
    hold: Hold,
    load_mm: f64,
    openings: Vec<Opening>,
    shoulder: Option<Shoulder>,
}

#[derive(Clone, Copy, Debug)]
struct Shoulder {
    x_mm: f64,
    factor: f64,
}

/// Stations from the rear of the hold to the load, besides those at openings.
const STATIONS: u32 = 160;

impl<'a> StrengthBench<'a> {
    /// Lays a knife out. `up` and `blade` are of the same knife, `steel` is the index of its outline.
    ///
    /// # Errors
    /// As [`strength`].
    pub fn new(
        knife: &Knife,
        up: &WeighUp,
        blade: &'a GroundBlade,
        steel: &'a SpanIndex,
        options: &StrengthOptions,
    ) -> Result<Self, NoStrength> {
        let positive = |v: f64| v.is_finite() && v > 0.0;
        if !positive(options.force_n) || !positive(options.modulus_gpa) {
            return Err(NoStrength::NoNumber);
        }
        let bounds = steel.bounds();
        let hold = options.hold.unwrap_or_else(|| Hold::usual(bounds.x0));
        let (front_mm, rear_mm) = (hold.front_mm(), hold.rear_mm());
        let held = rear_mm >= bounds.x0 && front_mm < bounds.x1;
        let in_order = match hold {
            Hold::Clamped { .. } => true,
            Hold::Hand { .. } => rear_mm < front_mm,
        };
        if !held || !in_order {
            return Err(NoStrength::Hold { rear_mm, front_mm });
        }
        let load_mm = match options.load_at {
            LoadAt::Tip => bounds.x1,
            LoadAt::Place(x) => x.min(bounds.x1),
            LoadAt::Percussion => {
                let ground = up.ground.ok_or(NoStrength::NotWeighed)?;
                let grip = hold.grip_mm();
                let arm = ground.balance_mm - grip;
                percussion_mm(ground.mass_g, ground.inertia_g_mm2, arm)
                    .map(|q| (grip + q).min(bounds.x1))
                    .ok_or(NoStrength::NoPercussion)?
            }
        };
        if load_mm.is_nan() || load_mm <= front_mm {
            return Err(NoStrength::Load { load_mm, front_mm });
        }
        let all = knife.all_cut_outs(steel);
        Ok(Self {
            blade,
            steel,
            options: *options,
            hold,
            load_mm,
            openings: all
                .iter()
                .map(|(name, cut)| Opening::new(name, &cut.shape))
                .collect(),
            shoulder: shoulder_of(knife, steel),
        })
    }

    /// The net section at a place with the knife's own openings.
    #[must_use]
    pub fn section(&self, x_mm: f64) -> Option<NetSection> {
        self.net(x_mm, &self.all(&[]), None)
    }

    /// Everything there is to tell.
    #[must_use]
    pub fn look(&self) -> Strength {
        let openings = self.all(&[]);
        let range = (self.hold.rear_mm(), self.load_mm);
        let mut stations = self.stations(range, STATIONS, &openings);
        stations.retain(|s| self.bears(&s.section));
        let weakest = |stress: fn(&Station) -> f64| {
            let with = stations.iter().enumerate();
            with.max_by(|a, b| stress(a.1).total_cmp(&stress(b.1)))
                .map(|(i, _)| i)
        };
        let give = |moment: fn(&NetSection) -> f64| {
            let places: Vec<(f64, f64)> = stations
                .iter()
                .map(|s| (s.section.x_mm, moment(&s.section)))
                .collect();
            let o = &self.options;
            deflection_mm(&self.hold, o.force_n, self.load_mm, &places, o.modulus_gpa)
        };
        Strength {
            force_n: self.options.force_n,
            load_mm: self.load_mm,
            hold: self.hold,
            weakest_edgewise: weakest(|s| s.edgewise.peak_mpa),
            weakest_flatwise: weakest(|s| s.flatwise.peak_mpa),
            openings: self.costs(&openings),
            shoulder_factor: self.shoulder.map(|s| s.factor),
            deflection_edgewise_mm: give(|s| s.edgewise_mm4),
            deflection_flatwise_mm: give(|s| s.flatwise_mm4),
            stations,
        }
    }

    /// Whether a section bears the load as a beam does: within its own height of the load it does not.
    fn bears(&self, section: &NetSection) -> bool {
        let (low, high) = section.span_mm;
        self.load_mm - section.x_mm >= high - low || section.x_mm <= self.hold.front_mm()
    }

    fn all<'b>(&'b self, more: &'b [Opening]) -> Vec<&'b Opening> {
        self.openings.iter().chain(more).collect()
    }

    fn moment(&self, x: f64) -> f64 {
        self.hold.moment_nmm(self.options.force_n, self.load_mm, x)
    }

    /// The net section with all openings but one.
    fn net(&self, x: f64, openings: &[&Opening], but: Option<usize>) -> Option<NetSection> {
        let counted = openings.iter().enumerate().filter(|(i, _)| Some(*i) != but);
        let taken: Vec<(f64, f64)> = counted.flat_map(|(_, o)| o.takes(x)).collect();
        let heights = |y: f64| {
            let place = self.blade.place_at(Point::new(x, y));
            (place.right_mm, place.left_mm)
        };
        let mut sums = Sums::default();
        for pair in self.steel.heights_at(x).chunks_exact(2) {
            if let [low, high] = pair {
                for (low, high) in left_of((*low, *high), &taken) {
                    sums.add(low, high, &heights);
                }
            }
        }
        sums.section(x)
    }

    /// Places to look at between two, in order.
    fn places(&self, (from, to): (f64, f64), steps: u32, openings: &[&Opening]) -> Vec<f64> {
        let mut places: Vec<f64> = (0..=steps)
            .map(|i| from + (to - from) * f64::from(i) / f64::from(steps))
            .collect();
        places.push(self.hold.front_mm());
        places.extend(self.shoulder.map(|s| s.x_mm));
        places.extend(openings.iter().flat_map(|o| o.stations()));
        places.retain(|x| (from..=to).contains(x));
        places.sort_by(f64::total_cmp);
        places.dedup();
        places
    }

    fn stations(&self, range: (f64, f64), steps: u32, openings: &[&Opening]) -> Vec<Station> {
        let places = self.places(range, steps, openings);
        places
            .into_iter()
            .filter_map(|x| self.station(x, openings))
            .collect()
    }

    fn station(&self, x: f64, openings: &[&Opening]) -> Option<Station> {
        let section = self.net(x, openings, None)?;
        let moment = self.moment(x);
        let plain = |modulus: f64| Stress {
            net_mpa: moment / modulus,
            peak_mpa: moment / modulus,
        };
        let mut station = Station {
            kind: StationKind::Plain,
            moment_nmm: moment,
            edgewise: plain(section.edgewise_mm3()),
            flatwise: plain(section.flatwise_mm3()),
            section,
        };
        if let Some(shoulder) = self.shoulder.filter(|s| s.x_mm == x) {
            station.edgewise.peak_mpa *= shoulder.factor;
            station.kind = StationKind::Shoulder;
        }
        for opening in openings.iter().filter(|o| o.peaks().contains(&x)) {
            self.raise(&mut station, opening);
        }
        Some(station)
    }

    /// Puts what an opening does to the stress where it is tallest into a station.
    ///
    /// Edgewise, the stress about a hole off the middle is that of even tension `σ = M(y_h − y_c)/I` over the hole and of bending about the
    /// hole's own middle `M·r/I`, each with its factor, added up (superposition; the width is twice what lies between the hole's middle and the
    /// nearer side).
    fn raise(&self, station: &mut Station, opening: &Opening) {
        let x = station.section.x_mm;
        let sides = self.steel.heights_at(x);
        for (low, high) in opening.takes(x) {
            let (middle, half) = (f64::midpoint(low, high), (high - low) / 2.0);
            let pair = sides.chunks_exact(2).find_map(|pair| match pair {
                [a, b] if *a <= middle && middle <= *b => Some((*a, *b)),
                _ => None,
            });
            let Some((below, above)) = pair else { continue };
            let near = (middle - below).min(above - middle);
            let share = if near > 0.0 { half / near } else { 1.0 };
            let shape = across(half, opening.end_radius(half));
            let s = &station.section;
            let per_mm = station.moment_nmm / s.edgewise_mm4;
            let even = per_mm * (middle - s.centroid_mm.0).abs() * hole_in_tension(share);
            let own = per_mm * half * HOLE_IN_EDGEWISE_BENDING;
            let edgewise = shape * (even + own);
            let place = self.blade.place_at(Point::new(x, middle));
            let thick = place.thickness_mm();
            let factor = if thick > 0.0 {
                shape * hole_in_flatwise_bending(2.0 * half / thick, share)
            } else {
                1.0
            };
            let flatwise = station.flatwise.net_mpa * factor;
            station.edgewise.peak_mpa = station.edgewise.peak_mpa.max(edgewise);
            station.flatwise.peak_mpa = station.flatwise.peak_mpa.max(flatwise);
            station.kind = StationKind::Opening(opening.name.clone());
        }
    }

    fn costs(&self, openings: &[&Opening]) -> Vec<OpeningCost> {
        (0..openings.len())
            .filter_map(|i| self.cost(openings, i))
            .collect()
    }

    fn cost(&self, openings: &[&Opening], own: usize) -> Option<OpeningCost> {
        let opening = openings.get(own)?;
        let least = |but: Option<usize>| {
            let sections = opening.stations().into_iter();
            sections
                .map(|x| {
                    let s = self.net(x, openings, but);
                    s.map_or((0.0, 0.0), |s| (s.edgewise_mm3(), s.flatwise_mm3()))
                })
                .reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))
        };
        let (with, without) = (least(None)?, least(Some(own))?);
        (without.0 > 0.0 && without.1 > 0.0).then(|| OpeningCost {
            name: opening.name.clone(),
            x_mm: opening.center.x,
            edgewise_kept: with.0 / without.0,
            flatwise_kept: with.1 / without.1,
        })
    }
}

/// How far ahead of the pivot a free body is struck without the pivot feeling it, mm: [`percussion_beyond_mm`] beyond its center of mass, which
/// lies `arm_mm` ahead of the pivot. `None` unless mass and arm are positive.
#[must_use]
pub fn percussion_mm(mass_g: f64, inertia_g_mm2: f64, arm_mm: f64) -> Option<f64> {
    let sound = mass_g > 0.0 && arm_mm > 0.0;
    let beyond = percussion_beyond_mm(mass_g, inertia_g_mm2, arm_mm);
    beyond.filter(|_| sound).map(|beyond| arm_mm + beyond)
}

/// How far ahead of the shoulder line the blade's full height is taken, mm.
const AHEAD_MM: f64 = 1e-3;

/// The step of a tang narrower than its handle: where its rounding ends, and the factor there. The larger step of both sides counts for both.
fn shoulder_of(knife: &Knife, steel: &SpanIndex) -> Option<Shoulder> {
    let tang = knife.tang.narrow()?;
    let radius = tang.shoulder_radius_mm.max(0.0);
    let x_mm = -radius - AHEAD_MM;
    let (blade, narrow) = (steel.depth_at(AHEAD_MM)?, steel.depth_at(x_mm)?);
    let step = (narrow.0 - blade.0).max(blade.1 - narrow.1);
    (step > 0.0).then(|| Shoulder {
        x_mm,
        factor: shoulder_in_edgewise_bending(step, radius, narrow.1 - narrow.0),
    })
}

#[cfg(test)]
mod tests;
