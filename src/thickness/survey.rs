//! The survey: what all grinds together take from the steel, by layers, with a bound on its own error.
//!
//! Along each strip the rays' parts are added up by a four-point Lobatto rule and its seven-point Kronrod extension (Gander & Gautschi, BIT 40
//! (2000), pp. 84-101); their difference, which is the coarse rule's error and far above the fine one's, decides whether a panel is halved, and is what is
//! reported.

use kurbo::Rect;

use super::blade::{GroundBlade, boxes_meet, side};
use super::fault::GrindFault;
use super::layers::FaceLayers;
use super::opening::Opening;
use super::relief::Relief;
use super::strip::{Source, Strip};
use super::sweep::{EXTRAS, Layout, PER_LAYER, RayOf, RayTrace, Sweep};
use crate::knife::{CutShape, Face, Stock};

/// Volume of one layer, or of a part of it, with its moments.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Solid {
    /// Volume, mm³.
    pub volume: f64,
    /// First moments `∫x, ∫y, ∫z dV`, mm⁴.
    pub moment: [f64; 3],
    /// `∫(x² + y²) dV`, mm⁵.
    pub polar: f64,
}

impl Solid {
    /// Adds another solid, `times` over.
    pub fn add(&mut self, other: &Self, times: f64) {
        self.volume += other.volume * times;
        for (own, theirs) in self.moment.iter_mut().zip(other.moment) {
            *own += theirs * times;
        }
        self.polar += other.polar * times;
    }
}

/// What grinds take away.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Removed {
    /// From each layer, in the order of [`Stock::laid_layers`].
    pub layers: Vec<Solid>,
    /// By each grind and fuller in the order of grinding: the weight it takes of what those before it left, mm³ times the weights given.
    pub by_grind: Vec<f64>,
    /// Area of ground face, both faces together, and its moment `∫x dA`.
    pub ground_area: (f64, f64),
    /// How the volume taken follows the bar's thickness, mm³ for each mm, and the moment of that along x.
    pub follows_stock: (f64, f64),
    /// Bounds of the error in the volume, mm³, and in its moment along x, mm⁴.
    pub error: (f64, f64),
    /// Rays that were followed.
    pub rays: usize,
}

/// One ray as the survey followed it, for lines and shading.
#[derive(Clone, Debug)]
pub(super) struct Followed {
    pub family: usize,
    pub strip: usize,
    pub t: f64,
    pub trace: RayTrace,
}

/// Makes surveys of one blade.
#[expect(
    missing_debug_implementations,
    reason = "lives for one survey; its rows of numbers say nothing"
)]
pub struct Surveyor<'a> {
    sweep: Sweep<'a>,
    /// Survey only one face and take the other as its mirror.
    mirror: bool,
    /// Error a panel may have, mm³.
    panel_error: f64,
    /// Length that stands for the blade when moments are compared, mm.
    length: f64,
    /// Halvings every panel gets anyway.
    least_halvings: u32,
    stack: Vec<f64>,
    followed: Option<Vec<Followed>>,
    rays: usize,
    error: (f64, f64),
}

/// A bar's layers as each face sees them.
#[derive(Clone, Debug)]
pub struct BladeLayers {
    pub(super) faces: [FaceLayers; 2],
    mirrored: bool,
}

impl BladeLayers {
    /// The layers of a bar.
    #[must_use]
    pub fn of(stock: &Stock) -> Self {
        Self {
            faces: Face::ALL.map(|face| FaceLayers::of(stock, face)),
            mirrored: stock.layering.core_offset_mm == 0.0,
        }
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.faces[0].count()
    }
}

/// Share of the blank's volume that one panel may be off by.
const PANEL_SHARE: f64 = 5e-8;

/// Halvings of a panel whose rays may meet others, whatever its error seems to be: what happens close to a corner could pass between the nodes.
const CONTESTED_HALVINGS: u32 = 3;

/// The same for a fuller of which none of the first rays shows anything, where another grind may be why.
const EMPTY_HALVINGS: u32 = 3;

/// A row of weights on the seven nodes that gives nothing for any polynomial of the fourth degree and is odd about the middle, as large as the difference
/// of the two rules, which is even. A kink between two nodes can hide from the one or from the other, hardly from both (Berntsen & Espelid, ACM Trans. Math.
/// Softw. 17 (1991), pp. 233-252, call such rows null rules).
const SKEW: [f64; 7] = [-0.2158, 0.4531, -0.3447, 0.0, 0.3447, -0.4531, 0.2158];

/// How much of that decides whether a panel is halved: on smooth panels it lies far above the error.
const SKEW_COUNTS: f64 = 0.5;

/// What is reported over what the rules show: where a kink lies close to a node both show too little. Over thousands of random blades the true error
/// came close to half of what this allows.
const ALLOWANCE: f64 = 3.0;

/// Halvings of a strip.
const MOST_HALVINGS: u32 = 34;

/// A panel of a strip.
#[derive(Clone, Copy)]
struct Panel<'p> {
    family: usize,
    strip: usize,
    opening: Option<&'p Opening>,
    /// Parameter of the strip by the panel's own variable, so that a round hole's rays begin and end smoothly.
    warp: Option<(f64, f64)>,
    /// Halvings it gets anyway.
    least_halvings: u32,
}

impl<'a> Surveyor<'a> {
    /// A surveyor of a blade. `weights` are those of the layers in what each grind takes; `blank_volume` sets the scale of the error.
    #[must_use]
    pub fn new(
        blade: &'a GroundBlade,
        layers: &'a BladeLayers,
        weights: &'a [f64],
        blank_volume: f64,
    ) -> Self {
        let layout = Layout {
            layers: layers.count(),
            orders: blade.names.len(),
        };
        Self {
            sweep: Sweep::new(blade, &layers.faces, weights, layout),
            mirror: blade.mirrored && layers.mirrored,
            panel_error: blank_volume * PANEL_SHARE,
            length: blade.bounds.width().max(1.0),
            least_halvings: 0,
            stack: Vec::new(),
            followed: None,
            rays: 0,
            error: (0.0, 0.0),
        }
    }

    /// The same surveyor made more careful: each panel may be off by only `share` of what it usually may, and is halved at least `halvings`
    /// times whatever its error seems to be. To judge the bound on the error by.
    #[must_use]
    pub fn finer(mut self, share: f64, halvings: u32) -> Self {
        self.panel_error *= share;
        self.least_halvings = halvings;
        self
    }

    /// What the grinds take from the whole blade, with the lines and patches of its faces, from the same rays.
    ///
    /// # Errors
    /// As [`Self::whole`].
    pub fn whole_with_relief(
        &mut self,
        layers: &BladeLayers,
    ) -> Result<(Removed, Relief), GrindFault> {
        self.followed = Some(Vec::new());
        let removed = self.whole();
        let rays = self.followed.take().unwrap_or_default();
        let relief = Relief::of(self.sweep.blade, layers, rays, self.mirror);
        Ok((removed?, relief))
    }

    /// What the grinds take from the whole blade, cut-outs not counted.
    ///
    /// # Errors
    /// A grind that can't be ground, with its place.
    pub fn whole(&mut self) -> Result<Removed, GrindFault> {
        let mut sum = vec![0.0; self.sweep.layout.len()];
        self.begin();
        for family in self.families() {
            let strips = self
                .sweep
                .blade
                .families
                .get(family)
                .map_or(0, |f| f.run.strips.len());
            for strip in 0..strips {
                let panel = Panel {
                    family,
                    strip,
                    opening: None,
                    warp: None,
                    least_halvings: self.least_halvings(family, strip),
                };
                let breaks = self.breaks(family, strip);
                for pair in breaks.windows(2) {
                    if let [a, b] = pair {
                        self.panel(panel, *a, *b, &mut sum);
                    }
                }
            }
        }
        self.finish(&sum)
    }

    /// What the grinds would have taken from the place of an opening.
    ///
    /// # Errors
    /// As [`Self::whole`].
    pub fn within(&mut self, shape: &CutShape) -> Result<Removed, GrindFault> {
        self.within_opening(&Opening::of(shape))
    }

    fn within_opening(&mut self, opening: &Opening) -> Result<Removed, GrindFault> {
        let mut sum = vec![0.0; self.sweep.layout.len()];
        self.begin();
        let bounds = opening.bounds();
        for index in self.families() {
            let Some(family) = self.sweep.blade.families.get(index) else {
                continue;
            };
            if !boxes_meet(&family.zone, &bounds) {
                continue;
            }
            for (strip_index, strip) in family.run.strips.iter().enumerate() {
                let reach = strip.bounds.inflate(family.reach, family.reach);
                if !boxes_meet(&reach, &bounds) {
                    continue;
                }
                let breaks = self.breaks(index, strip_index);
                for (a, b) in hit_ranges(strip, opening, &breaks) {
                    let panel = Panel {
                        family: index,
                        strip: strip_index,
                        opening: Some(opening),
                        warp: Some((f64::midpoint(a, b), (b - a) / 2.0)),
                        least_halvings: self.least_halvings,
                    };
                    let quarter = std::f64::consts::FRAC_PI_2;
                    self.panel(panel, -quarter, quarter, &mut sum);
                }
            }
        }
        self.finish(&sum)
    }

    fn families(&self) -> Vec<usize> {
        let blade = self.sweep.blade;
        (0..blade.families.len())
            .filter(|i| {
                !self.mirror
                    || blade
                        .families
                        .get(*i)
                        .is_some_and(|f| f.face == Face::Right)
            })
            .collect()
    }

    fn least_halvings(&self, family: usize, strip: usize) -> u32 {
        let contested = self
            .sweep
            .blade
            .families
            .get(family)
            .is_some_and(|f| f.neighbors.free_of(strip) <= 0.0);
        self.least_halvings + if contested { CONTESTED_HALVINGS } else { 0 }
    }

    fn begin(&mut self) {
        self.error = (0.0, 0.0);
        self.rays = 0;
        self.sweep.fault = None;
    }

    fn finish(&mut self, sum: &[f64]) -> Result<Removed, GrindFault> {
        if let Some(fault) = self.sweep.fault.take() {
            return Err(fault);
        }
        let layout = self.sweep.layout;
        let solid = |layer: usize| {
            sum.get(layer * PER_LAYER..(layer + 1) * PER_LAYER)
                .map_or_else(Solid::default, |s| match s {
                    [v, x, y, z, q] => Solid {
                        volume: *v,
                        moment: [*x, *y, *z],
                        polar: *q,
                    },
                    _ => Solid::default(),
                })
        };
        let mut layers: Vec<Solid> = (0..layout.layers).map(solid).collect();
        let times = if self.mirror { 2.0 } else { 1.0 };
        if self.mirror {
            layers = mirrored(&layers);
        }
        let extra = |i: usize| sum.get(layout.extras() + i).copied().unwrap_or(0.0) * times;
        Ok(Removed {
            layers,
            by_grind: sum
                .get(layout.orders_at()..)
                .unwrap_or_default()
                .iter()
                .map(|g| g * times)
                .collect(),
            ground_area: (extra(0), extra(1)),
            follows_stock: (extra(2), extra(3)),
            error: (self.error.0 * times, self.error.1 * times),
            rays: self.rays,
        })
    }

    /// Parameters of a strip between which nothing of the grind itself changes its formula.
    fn breaks(&self, family: usize, strip_index: usize) -> Vec<f64> {
        let mut breaks = vec![0.0, 1.0];
        let blade = self.sweep.blade;
        let Some((family, strip)) = blade
            .families
            .get(family)
            .and_then(|f| Some((f, f.run.strips.get(strip_index)?)))
        else {
            return breaks;
        };
        if matches!(strip.source, Source::Fan { .. }) {
            return breaks;
        }
        for cutter in &family.cutters {
            if let super::cutter::CutterKind::Rising { rise, .. } = &cutter.kind {
                for station in rise.stations() {
                    if station.at > strip.share.0 && station.at < strip.share.1 {
                        breaks.push(strip.parameter_at(station.at));
                    }
                }
            }
            for wall in &cutter.walls {
                for u in [0.0, wall.radius] {
                    let off = |t: f64| (strip.ray(t).foot - wall.through).dot(wall.across) + u;
                    crossings_of(off, &mut breaks);
                }
            }
        }
        // Beside a corner that pinches, rays up to this far from it meet those of the other side before their reach.
        let next = family
            .run
            .strips
            .get(strip_index + 1)
            .map_or(0.0, |s| s.pinch);
        for (pinch, from_end) in [(strip.pinch, false), (next, true)] {
            let t = family.reach * (pinch / 2.0).tan() / strip.length;
            if t > 0.0 && t < 1.0 {
                breaks.push(if from_end { 1.0 - t } else { t });
            }
        }
        for x in blade.faces[side(family.face)].bends() {
            if x > strip.bounds.x0 && x < strip.bounds.x1 {
                crossings_of(|t| strip.ray(t).foot.x - x, &mut breaks);
            }
        }
        breaks.sort_by(f64::total_cmp);
        breaks.dedup_by(|a, b| *a - *b < 1e-9);
        breaks
    }

    /// Adds one panel of a strip, halving it until its error is small enough.
    fn panel(&mut self, panel: Panel<'_>, a: f64, b: f64, sum: &mut [f64]) {
        let len = self.sweep.layout.len();
        self.stack.clear();
        self.stack.resize(2 * len, 0.0);
        let mut near = Vec::new();
        let mut reach = None;
        if panel.opening.is_none()
            && let Some((family, strip)) = self
                .sweep
                .blade
                .families
                .get(panel.family)
                .and_then(|f| Some((f, f.run.strips.get(panel.strip)?)))
        {
            let box_of = strip.bounds.inflate(family.reach, family.reach);
            family.boundary.near(&box_of, &mut near);
            reach = Some(box_of);
        }
        let foreign = self.meets_foreign(panel, reach);
        self.evaluate(panel, a, 0, &near, foreign);
        self.evaluate(panel, b, 1, &near, foreign);
        self.halve(panel, (a, 0), (b, 1), 0, &near, foreign, sum);
    }

    fn meets_foreign(&self, panel: Panel<'_>, reach: Option<Rect>) -> bool {
        let Some(family) = self.sweep.blade.families.get(panel.family) else {
            return false;
        };
        let reach = reach.unwrap_or(family.zone);
        family.foreign.iter().any(|i| {
            self.sweep
                .blade
                .families
                .get(*i)
                .is_some_and(|other| boxes_meet(&other.zone, &reach))
        })
    }

    /// Follows one ray into a slot of the stack.
    fn evaluate(&mut self, panel: Panel<'_>, at: f64, slot: usize, near: &[usize], foreign: bool) {
        let len = self.sweep.layout.len();
        let (t, speed) = match panel.warp {
            Some((middle, half)) => (middle + half * at.sin(), half * at.cos()),
            None => (at, 1.0),
        };
        let mut trace = self.followed.is_some().then(RayTrace::default);
        let of = RayOf {
            family: panel.family,
            strip: panel.strip,
            t,
            near,
            foreign,
        };
        self.rays += 1;
        let Some(out) = self.stack.get_mut(slot * len..(slot + 1) * len) else {
            return;
        };
        self.sweep.ray(of, panel.opening, out, trace.as_mut());
        if panel.warp.is_some() {
            out.iter_mut().for_each(|v| *v *= speed);
        }
        if let Some((rays, trace)) = self.followed.as_mut().zip(trace) {
            rays.push(Followed {
                family: panel.family,
                strip: panel.strip,
                t,
                trace,
            });
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "a panel with its two ends and what its rays may meet"
    )]
    fn halve(
        &mut self,
        panel: Panel<'_>,
        (a, slot_a): (f64, usize),
        (b, slot_b): (f64, usize),
        depth: u32,
        near: &[usize],
        foreign: bool,
        sum: &mut [f64],
    ) {
        let len = self.sweep.layout.len();
        let first = self.stack.len() / len;
        self.stack.resize((first + 5) * len, 0.0);
        let (m, h) = (f64::midpoint(a, b), (b - a) / 2.0);
        let (alpha, beta) = ((2.0_f64 / 3.0).sqrt(), 1.0 / 5.0_f64.sqrt());
        for (i, x) in [-alpha, -beta, 0.0, beta, alpha].into_iter().enumerate() {
            self.evaluate(panel, m + h * x, first + i, near, foreign);
        }
        let fine = [77.0, 432.0, 625.0, 672.0, 625.0, 432.0, 77.0];
        let coarse = [1.0, 0.0, 5.0, 0.0, 5.0, 0.0, 1.0];
        let slots = [
            slot_a,
            first,
            first + 1,
            first + 2,
            first + 3,
            first + 4,
            slot_b,
        ];
        let layers = self.sweep.layout.layers;
        let (mut error, mut error_x) = (0.0, 0.0);
        let value = |stack: &[f64], k: usize| {
            let (mut i7, mut i4, mut skew) = (0.0, 0.0, 0.0);
            for (((slot, f), c), o) in slots.iter().zip(fine).zip(coarse).zip(SKEW) {
                let v = stack.get(slot * len + k).copied().unwrap_or(0.0);
                i7 += f * v;
                i4 += c * v;
                skew += o * v;
            }
            (i7 * h / 1470.0, i4 * h / 6.0, skew * h)
        };
        let (mut shift, mut skew, mut skew_x) = (0.0, 0.0, 0.0);
        for layer in 0..layers {
            let (v7, v4, vs) = value(&self.stack, layer * PER_LAYER);
            let (x7, x4, xs) = value(&self.stack, layer * PER_LAYER + 1);
            error += (v7 - v4).abs();
            skew += vs.abs();
            shift += x7 - x4;
            skew_x += xs;
        }
        error_x += f64::abs(shift);
        // Where nothing of a fuller shows, another grind may leave something between the nodes.
        let blade = self.sweep.blade;
        let family = blade.families.get(panel.family);
        let empty = foreign
            && family.is_some_and(|f| f.run.round_ends)
            && slots
                .iter()
                .all(|s| self.stack.get(s * len..(s + 1) * len).is_none_or(is_zero));
        let least = panel
            .least_halvings
            .max(if empty { EMPTY_HALVINGS } else { 0 });
        let good = error.max(skew * SKEW_COUNTS) <= self.panel_error
            && error_x <= self.panel_error * self.length;
        let spent = depth >= MOST_HALVINGS;
        if (good && depth >= least) || spent {
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += value(&self.stack, k).0;
            }
            self.error.0 += error.max(skew) * ALLOWANCE;
            self.error.1 += error_x.max(skew_x.abs()) * ALLOWANCE;
        } else {
            // The middle node is an end of both halves.
            let middle = (m, first + 2);
            self.halve(panel, (a, slot_a), middle, depth + 1, near, foreign, sum);
            self.halve(panel, middle, (b, slot_b), depth + 1, near, foreign, sum);
        }
        self.stack.truncate(first * len);
    }
}

fn is_zero(row: &[f64]) -> bool {
    row.iter().all(|v| *v == 0.0)
}

/// The layers of both faces from those of the right one: each side's layer changes places with the other's.
fn mirrored(layers: &[Solid]) -> Vec<Solid> {
    let partner = |i: usize| match i {
        0 => 0,
        odd if odd % 2 == 1 => odd + 1,
        even => even - 1,
    };
    (0..layers.len())
        .map(|i| {
            let (mut both, other) = match (layers.get(i), layers.get(partner(i))) {
                (Some(own), Some(other)) => (*own, *other),
                _ => return Solid::default(),
            };
            let flipped = Solid {
                moment: [other.moment[0], other.moment[1], -other.moment[2]],
                ..other
            };
            both.add(&flipped, 1.0);
            both
        })
        .collect()
}

/// Adds the parameters at which a function along a strip changes its sign.
fn crossings_of(f: impl Fn(f64) -> f64, found: &mut Vec<f64>) {
    const STEPS: u32 = 8;
    let mut before = (0.0, f(0.0));
    for i in 1..=STEPS {
        let t = f64::from(i) / f64::from(STEPS);
        let now = (t, f(t));
        if (before.1 < 0.0) != (now.1 < 0.0) {
            let (mut lo, mut hi) = (before, now);
            for _ in 0..60 {
                let secant = lo.0 + (hi.0 - lo.0) * lo.1 / (lo.1 - hi.1);
                let t = if secant > lo.0 && secant < hi.0 {
                    secant
                } else {
                    f64::midpoint(lo.0, hi.0)
                };
                let v = f(t);
                if v.abs() < 1e-12 || hi.0 - lo.0 < 1e-14 {
                    lo.0 = t;
                    break;
                }
                if (v < 0.0) == (lo.1 < 0.0) {
                    lo = (t, v);
                } else {
                    hi = (t, v);
                }
            }
            if lo.0 > 0.0 && lo.0 < 1.0 {
                found.push(lo.0);
            }
        }
        before = now;
    }
}

/// The stretches of a strip, between its breaks, whose rays meet an opening.
fn hit_ranges(strip: &Strip, opening: &Opening, breaks: &[f64]) -> Vec<(f64, f64)> {
    let mut ends = breaks.to_vec();
    for sign in [-1.0, 1.0] {
        let off = |t: f64| {
            let (beside, reach) = opening.beside(&strip.ray(t));
            beside + sign * reach
        };
        crossings_of(off, &mut ends);
    }
    ends.sort_by(f64::total_cmp);
    let mut hit = Vec::new();
    for pair in ends.windows(2) {
        let [a, b] = pair else { continue };
        if b - a <= 1e-12 {
            continue;
        }
        let ray = strip.ray(f64::midpoint(*a, *b));
        let (beside, reach) = opening.beside(&ray);
        if beside.abs() <= reach {
            hit.push((*a, *b));
        }
    }
    hit
}

const _: () = assert!(
    PER_LAYER == 5 && EXTRAS == 4,
    "rows of numbers are read by these sizes"
);
