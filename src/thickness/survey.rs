//! The survey: what all grinds together take from the steel, by layers, with a bound on its own error.
//!
//! Each strip is divided where the grind itself changes its formula; between such places its rays are added up by panels.

use super::blade::GroundBlade;
use super::boxes::boxes_meet;
use super::breaks::Suspect;
use super::family::Family;
use super::fault::GrindFault;
use super::layers::FaceLayers;
use super::opening::Opening;
use super::panels::{
    ALLOWANCE, CHANNEL_PANEL_MM, CONTESTED_WIDEST, Off, PANEL_SHARE, Panel, Quiet,
};
use super::relief::Relief;
use super::strip::Strip;
use super::sums::{EXTRAS, Layout, PER_LAYER};
use super::sweep::{RayTrace, Sweep};
use crate::geometry::{STRIP_LOOKS, crossings_among};
use crate::knife::{CutShape, Face, LaidLayer, Stock};

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

/// As many rays as most blades take: room for them is made at once, and is less than the 64 KiB from which giving memory back becomes dear.
const USUAL_RAYS: usize = 192;

/// Makes surveys of one blade.
#[expect(
    missing_debug_implementations,
    reason = "lives for one survey; its rows of numbers say nothing"
)]
pub struct Surveyor<'a> {
    pub(super) sweep: Sweep<'a>,
    /// Survey only one face and take the other as its mirror.
    mirror: bool,
    /// Error a panel may have, mm³.
    pub(super) panel_error: f64,
    /// Length that stands for the blade when moments are compared, mm.
    pub(super) length: f64,
    /// Whether a round hole is met with few rays at first.
    pub(super) coarse: bool,
    /// How wide any panel may be, as a share of its strip or opening.
    pub(super) widest: f64,
    pub(super) stack: Vec<f64>,
    pub(super) followed: Option<Vec<Followed>>,
    pub(super) rays: usize,
    pub(super) error: Off,
    /// The panels near other families that were added.
    pub(super) quiet: Vec<Quiet>,
    /// Where the families still to come surely have breaks.
    pub(super) suspects: Vec<Suspect>,
}

/// What the rays of one family take.
struct Part {
    sum: Vec<f64>,
    error: Off,
    quiet: Vec<Quiet>,
}

/// A bar's layers as each face sees them.
#[derive(Clone, Debug)]
pub struct BladeLayers {
    pub(super) faces: [FaceLayers; 2],
    mirrored: bool,
}

impl BladeLayers {
    /// The layers of a bar, as [`Stock::laid_layers`] lays them.
    #[must_use]
    pub fn of(stock: &Stock, laid: &[LaidLayer]) -> Self {
        Self {
            faces: Face::ALL.map(|face| FaceLayers::of(stock, laid, face)),
            mirrored: stock.layering.core_offset_mm == 0.0,
        }
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.faces[0].count()
    }
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
            coarse: false,
            widest: f64::INFINITY,
            stack: Vec::new(),
            followed: None,
            rays: 0,
            error: Off::default(),
            quiet: Vec::new(),
            suspects: Vec::new(),
        }
    }

    /// The same surveyor made more careful: each panel may be off by only `share` of what it usually may, and is no wider than `widest` of its strip.
    /// To judge the bound on the error by.
    #[must_use]
    pub fn finer(mut self, share: f64, widest: f64) -> Self {
        self.panel_error *= share;
        self.widest = widest;
        self
    }

    /// The same surveyor made rougher: each panel may be off by so many times what it usually may, and the bound on the error tells of it.
    #[must_use]
    pub fn rougher(mut self, times: f64) -> Self {
        self.panel_error *= times;
        self.coarse = times > 1.0;
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
        self.followed = Some(Vec::with_capacity(USUAL_RAYS));
        let removed = self.whole();
        let rays = self.followed.take().unwrap_or_default();
        let relief = Relief::of(self.sweep.blade, layers, &rays, self.mirror);
        Ok((removed?, relief))
    }

    /// What the grinds take from the whole blade, cut-outs not counted.
    ///
    /// # Errors
    /// A grind that can't be ground, with its place.
    pub fn whole(&mut self) -> Result<Removed, GrindFault> {
        self.begin();
        let families = self.families();
        let mut parts: Vec<Part> = Vec::with_capacity(families.len());
        for family in &families {
            let part = self.part(*family);
            parts.push(part);
        }
        // What one family's rays met may lie between the rays of another, which then is surveyed again with that in mind.
        for (family, part) in families.iter().zip(&mut parts) {
            let quiet = std::mem::take(&mut part.quiet);
            if quiet.iter().any(|q| self.is_contradicted(*family, q)) {
                if let Some(rays) = &mut self.followed {
                    rays.retain(|ray| ray.family != *family);
                }
                *part = self.part(*family);
            }
        }
        let mut sum = vec![0.0; self.sweep.layout.len()];
        for part in &parts {
            for (all, own) in sum.iter_mut().zip(&part.sum) {
                *all += own;
            }
            self.error.add(part.error.times(ALLOWANCE));
        }
        self.finish(&sum)
    }

    /// What the rays of one family take.
    fn part(&mut self, family: usize) -> Part {
        let before = std::mem::take(&mut self.error);
        let mut sum = vec![0.0; self.sweep.layout.len()];
        let blade = self.sweep.blade;
        if let Some(own) = blade.families.get(family) {
            let mut near = Vec::new();
            for (place, strip) in own.run.strips.iter().enumerate() {
                let reach = own.reach_of(strip);
                own.boundary.near(&reach, &mut near);
                let panel = Panel {
                    family,
                    strip: place,
                    opening: None,
                    warp: None,
                    widest: self.widest(own, place, strip),
                    near: &near,
                    foreign: blade.others_meet(own, &reach),
                };
                for pair in own.divisions_of(place).windows(2) {
                    if let [a, b] = pair {
                        self.panel(panel, *a, *b, &mut sum);
                    }
                }
            }
        }
        Part {
            sum,
            error: std::mem::replace(&mut self.error, before),
            quiet: std::mem::take(&mut self.quiet),
        }
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
            let blade = self.sweep.blade;
            let Some(family) = blade.families.get(index) else {
                continue;
            };
            if !boxes_meet(&family.zone, &bounds) {
                continue;
            }
            let foreign = blade.others_meet(family, &family.zone);
            for (place, strip) in family.run.strips.iter().enumerate() {
                if !boxes_meet(&family.reach_of(strip), &bounds) {
                    continue;
                }
                for (a, b) in hit_ranges(strip, opening, family.divisions_of(place)) {
                    let warp = Warp::of(strip, opening, (a, b));
                    let panel = Panel {
                        family: index,
                        strip: place,
                        opening: Some(opening),
                        warp: Some((warp.middle, warp.half)),
                        widest: std::f64::consts::PI * self.widest,
                        near: &[],
                        foreign,
                    };
                    if opening.is_round() && warp.is_whole() && self.round(panel, &mut sum) {
                        continue;
                    }
                    self.panel(panel, warp.from, warp.to, &mut sum);
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

    /// How wide a panel of a strip may be: less where its rays may meet others of their own run, or where a channel comes near, which is easily missed
    /// between two rays.
    fn widest(&self, family: &Family, place: usize, strip: &Strip) -> f64 {
        let mut widest = self.widest;
        if family.neighbors.free_of(place) <= 0.0 {
            widest = widest.min(CONTESTED_WIDEST);
        }
        let reach = family.reach_of(strip);
        let families = &self.sweep.blade.families;
        let mut others = family.foreign.iter().filter_map(|i| families.get(*i));
        if others.any(|other| {
            (family.run.round_ends || other.run.round_ends) && boxes_meet(&other.zone, &reach)
        }) {
            widest = widest.min(CHANNEL_PANEL_MM / strip.length.max(family.reach));
        }
        widest
    }

    fn begin(&mut self) {
        self.error = Off::default();
        self.rays = 0;
        self.quiet.clear();
        self.suspects.clear();
        self.sweep.fault = None;
        self.sweep.others.begin();
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
            mirror(&mut layers);
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
            error: (self.error.volume * times, self.error.moment * times),
            rays: self.rays,
        })
    }
}

/// Makes the layers of both faces of those of the right one: the core, then each outer layer's right and left side, which change places.
fn mirror(layers: &mut [Solid]) {
    let flipped = |solid: &Solid| Solid {
        moment: [solid.moment[0], solid.moment[1], -solid.moment[2]],
        ..*solid
    };
    let Some((core, sides)) = layers.split_first_mut() else {
        return;
    };
    let other = flipped(core);
    core.add(&other, 1.0);
    for pair in sides.chunks_exact_mut(2) {
        let [right, left] = pair else { continue };
        let (of_right, of_left) = (flipped(right), flipped(left));
        right.add(&of_left, 1.0);
        left.add(&of_right, 1.0);
    }
}

/// How a stretch of a strip runs by an angle `φ` between −π/2 and π/2: `t = middle + half·sin φ`. At the rim of a hole the rays' ways through it begin like
/// square roots; by the angle they begin straight.
#[derive(Clone, Copy)]
struct Warp {
    middle: f64,
    half: f64,
    from: f64,
    to: f64,
}

impl Warp {
    /// Of a stretch whose rays meet an opening. Over a round hole the angle is that of its rim, also where only a part of it lies over the stretch.
    fn of(strip: &Strip, opening: &Opening, (a, b): (f64, f64)) -> Self {
        let quarter = std::f64::consts::FRAC_PI_2;
        let whole = Self {
            middle: f64::midpoint(a, b),
            half: (b - a) / 2.0,
            from: -quarter,
            to: quarter,
        };
        if !opening.is_round() {
            return whole;
        }
        let (at_a, radius) = opening.beside(&strip.ray(a));
        let (at_b, _) = opening.beside(&strip.ray(b));
        let slope = (at_b - at_a) / (b - a);
        let (middle, half) = (a - at_a / slope, radius / slope.abs());
        let angle = |t: f64| ((t - middle) / half).clamp(-1.0, 1.0).asin();
        let part = Self {
            middle,
            half,
            from: angle(a),
            to: angle(b),
        };
        // On a strip so curved that the straight line between its ends tells nothing of the hole.
        let fits = |angle: f64, t: f64| (middle + half * angle.sin() - t).abs() <= 1e-12;
        if fits(part.from, a) && fits(part.to, b) && !part.is_whole() {
            part
        } else {
            whole
        }
    }

    /// Whether it goes from rim to rim.
    fn is_whole(&self) -> bool {
        self.to - self.from > std::f64::consts::PI * (1.0 - 1e-6)
    }
}

/// The stretches of a strip, between its breaks, whose rays meet an opening.
fn hit_ranges(strip: &Strip, opening: &Opening, breaks: &[f64]) -> Vec<(f64, f64)> {
    let beside = |t: f64| opening.beside(&strip.ray(t));
    let looks = STRIP_LOOKS.map(|t| (t, beside(t)));
    let mut ends = Vec::with_capacity(breaks.len() + 4);
    ends.extend_from_slice(breaks);
    for sign in [-1.0, 1.0] {
        let off = |(beside, reach): (f64, f64)| beside + sign * reach;
        let known = looks.map(|(t, at)| (t, off(at)));
        crossings_among(&known, |t| off(beside(t)), &mut ends);
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
