//! The handle's parts: volume, mass and middle of scales or a block, of liners and glue, and of the pins where they go through them.
//!
//! Sections are superellipses in closed form (`section`); along the knife they are summed by eight Gauss–Legendre points on each stretch between
//! places where anything bends: nodes of the outline, stations, parts, ends of the tang. Each stretch is run through as `3s² − 2s³`, so that round ends,
//! where heights rise as a root, cost no accuracy. The error of a volume is below 1e-6 of it on handles as they are drawn; the tests hold 1e-4.

mod section;

use std::f64::consts::PI;

use super::bands::Band;
use super::flat::G_PER_MM3;
use super::weigh_up::PartWeight;
use crate::geometry::{GAUSS_8, Point, SpanIndex};
use crate::knife::{CutOut, CutShape, Filling, Fixing, Handle, Knife, KnifeSet, Purpose, TangHole};
use section::Superellipse;

/// A stretch between bends is cut in so many, so that curved sides are followed.
const STRETCHES: u32 = 4;
/// Rings and spokes of the sum over a round hole.
const RINGS: [(f64, f64); 3] = [
    // Gauss–Legendre in r² on 0..1, three points: nodes 1/2 ∓ √(3/5)/2, weights 5/18, 8/18, 5/18 (Abramowitz and Stegun, table 25.4).
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];
const SPOKES: u32 = 12;

/// Sums over a body: volume, `∫x`, `∫y`, `∫(x² + y²)`.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    volume: f64,
    x: f64,
    y: f64,
    polar: f64,
}

impl Sums {
    /// Adds so many mm³ at a place, with their own `∫y²` about it.
    fn add(&mut self, volume: f64, at: Point, own: f64) {
        self.volume += volume;
        self.x += volume * at.x;
        self.y += volume * at.y;
        self.polar += volume * (at.x * at.x + at.y * at.y) + own;
    }

    /// What a body of these sums weighs; `None` where nothing is left, or its material is unknown, which is told elsewhere.
    fn weight(
        &self,
        name: String,
        kind: &'static str,
        key: &str,
        set: &KnifeSet,
    ) -> Option<PartWeight> {
        let material = set.material(key).filter(|_| self.volume > 0.0)?;
        let per = |density: f64| self.volume * density * G_PER_MM3;
        let (x, y) = (self.x / self.volume, self.y / self.volume);
        let polar = (self.polar - self.volume * (x * x + y * y)).max(0.0);
        Some(PartWeight {
            name,
            kind,
            material: key.to_owned(),
            mass_g: per(material.density_g_cm3),
            mass_band_g: Band {
                low: per(material.density_low),
                high: per(material.density_high),
            },
            center_mm: [x, y, 0.0],
            volume_mm3: self.volume,
            inertia_g_mm2: polar * material.density_g_cm3 * G_PER_MM3,
        })
    }
}

/// A handle without its holes: what stays while only cut-outs change.
#[derive(Clone, Debug)]
pub(super) struct HandleBlank {
    handle: Handle,
    /// Index of its own outline.
    own: Option<SpanIndex>,
    /// Each part, from the front back.
    bodies: Vec<Sums>,
    liners: Sums,
    glue: Sums,
}

impl HandleBlank {
    /// Sums the parts of a knife's handle; `None` when it covers nothing.
    pub(super) fn new(knife: &Knife, handle: &Handle, steel: &SpanIndex) -> Option<Self> {
        let own = handle.outline.as_ref().map(|o| o.contour().index());
        let fitted = Fitted::new(knife, handle, steel, own.as_ref());
        let bends = fitted.bends()?;
        let bodies = fitted
            .parts()
            .map(|between| fitted.body(&bends, between))
            .collect();
        let liners = handle.liner().map_or(0.0, |liner| liner.thickness_mm);
        let glue = handle
            .glue
            .as_ref()
            .map(|glue| fitted.glue(&bends, glue.gap_mm));
        Some(Self {
            bodies,
            liners: fitted.sheet(&bends, 2.0 * liners),
            glue: glue.unwrap_or_default(),
            handle: handle.clone(),
            own,
        })
    }

    /// Whether these are the sums of this very handle.
    pub(super) fn is_of(&self, handle: &Handle) -> bool {
        self.handle == *handle
    }

    /// The parts of the handle, in order from the front; then liners, glue, and the fillings of holes outside the steel. Openings are the
    /// knife's, which must be the one it was made of but for these.
    pub(super) fn weigh(
        &self,
        knife: &Knife,
        set: &KnifeSet,
        steel: &SpanIndex,
        openings: &[(String, CutOut)],
    ) -> Vec<PartWeight> {
        let handle = &self.handle;
        let fitted = Fitted::new(knife, handle, steel, self.own.as_ref());
        let through: Vec<&(String, CutOut)> = openings
            .iter()
            .filter(|(_, cut)| goes_through(cut) && fitted.covers(cut.shape.center().x))
            .collect();
        let mut parts = Vec::new();
        let mut put = |name: String, kind: &'static str, key: &str, sums: &Sums| {
            parts.extend(sums.weight(name, kind, key, set));
        };
        let each = handle.parts.iter().zip(fitted.parts()).zip(&self.bodies);
        for (place, ((part, (front, back)), body)) in each.enumerate() {
            let mut sums = *body;
            for (_, cut) in &through {
                let at = cut.shape.center();
                if at.x <= front && at.x > back {
                    sums.add(-fitted.through(&cut.through_handle(), Layer::Body), at, 0.0);
                }
            }
            let name = format!("{} {}", part.kind.name(), place + 1);
            put(name, part.kind.name(), &part.material, &sums);
        }
        if let Some(liner) = handle.liner() {
            let mut sums = self.liners;
            for (_, cut) in &through {
                let area = cut.through_handle().moments().area;
                sums.add(-area * 2.0 * liner.thickness_mm, cut.shape.center(), 0.0);
            }
            put("liners".to_owned(), "liner", &liner.material, &sums);
        }
        if let Some(glue) = &handle.glue {
            put("glue".to_owned(), "glue", &glue.material, &self.glue);
        }
        for (name, cut) in through {
            let Some(key) = cut.filling.material() else {
                continue;
            };
            let mut sums = Sums::default();
            sums.add(fitted.filled_outside(cut), cut.shape.center(), 0.0);
            let kind = match cut.filling {
                Filling::Tube { .. } => "tube",
                Filling::Pin { .. } => "pin",
                Filling::Nothing | Filling::Epoxy { .. } => "filling",
            };
            put(format!("{kind} {name}, in the handle"), kind, key, &sums);
        }
        parts
    }
}

/// A handle on its knife, for questions about its shape.
struct Fitted<'a> {
    knife: &'a Knife,
    handle: &'a Handle,
    steel: &'a SpanIndex,
    /// The handle's own outline.
    own: Option<&'a SpanIndex>,
    shape: Superellipse,
    /// Where it ends, mm.
    back: f64,
}

/// Whether a hole of the steel goes on through the handle: what holds it or hangs from it does, what only takes weight away does not.
fn goes_through(cut: &CutOut) -> bool {
    match cut.purpose {
        Purpose::Pin | Purpose::Tube | Purpose::Lanyard => true,
        Purpose::Lightening | Purpose::GuardPin | Purpose::Alignment | Purpose::Tooling => false,
    }
}

/// What of a handle a hole is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Layer {
    /// Scales or block, without liners and glue.
    Body,
    /// All there is outside the steel.
    All,
}

impl<'a> Fitted<'a> {
    fn new(
        knife: &'a Knife,
        handle: &'a Handle,
        steel: &'a SpanIndex,
        own: Option<&'a SpanIndex>,
    ) -> Self {
        Self {
            knife,
            handle,
            steel,
            own,
            shape: Superellipse::new(handle.rounding),
            back: own.unwrap_or(steel).bounds().x0,
        }
    }

    /// Places where anything bends, rising; `None` when the handle covers nothing.
    fn bends(&self) -> Option<Vec<f64>> {
        let (front, back) = (self.handle.front_x_mm(), self.back);
        if front - back <= 0.0 {
            return None;
        }
        let mut bends = vec![front, back, self.steel.bounds().x0];
        bends.extend(self.handle.stations.iter().map(|s| s.x_mm));
        bends.extend(self.handle.parts.iter().map(|p| p.from_x_mm));
        let taper = self.knife.grinding.taper.iter();
        bends.extend(taper.flat_map(|t| t.stations.iter().map(|s| s.x_mm)));
        if let Fixing::Block {
            hole: TangHole::Drilled { depth_mm, .. },
        } = self.handle.fixing
        {
            bends.push(front - depth_mm);
        }
        let own = self
            .handle
            .outline
            .as_ref()
            .map(|outline| outline.contour());
        let steel = self.knife.contour();
        for piece in own.iter().flat_map(|c| &c.pieces).chain(&steel.pieces) {
            bends.push(piece.start().x);
            let turns = piece.turning_parameters().into_iter();
            bends.extend(turns.map(|t| piece.eval(t).x));
        }
        bends.retain(|x| (back..=front).contains(x));
        bends.sort_by(f64::total_cmp);
        bends.dedup();
        Some(bends)
    }

    /// Front and back of each part, from the front back.
    fn parts(&self) -> impl Iterator<Item = (f64, f64)> {
        let parts = &self.handle.parts;
        let starts = parts.iter().map(|part| part.from_x_mm.max(self.back));
        let ends = starts.clone().skip(1).chain([self.back]);
        starts.zip(ends)
    }

    fn covers(&self, x: f64) -> bool {
        x <= self.handle.front_x_mm() && x > self.back
    }

    /// Bottom and top of the handle at a place.
    fn sides(&self, x: f64) -> (f64, f64) {
        self.own
            .unwrap_or(self.steel)
            .depth_at(x)
            .unwrap_or((0.0, 0.0))
    }

    /// Bottom and top of the tang at a place; of no height where it has ended.
    fn tang(&self, x: f64) -> (f64, f64) {
        self.steel.depth_at(x).unwrap_or((0.0, 0.0))
    }

    /// What lies between the scales besides the tang, both faces together.
    fn between(&self) -> f64 {
        let liner = self.handle.liner().map_or(0.0, |liner| liner.thickness_mm);
        2.0 * (liner + self.gap())
    }

    fn gap(&self) -> f64 {
        self.handle.glue.as_ref().map_or(0.0, |glue| glue.gap_mm)
    }

    /// Whether the handle goes round the tang, rather than lying flush with its sides.
    fn goes_round(&self) -> bool {
        self.own.is_some()
    }

    /// The hole for the tang at a place: height, width, middle.
    fn cavity(&self, x: f64) -> (f64, f64, f64) {
        let (low, high) = self.tang(x);
        let middle = f64::midpoint(low, high);
        match self.handle.fixing {
            Fixing::Block {
                hole:
                    TangHole::Drilled {
                        width_mm,
                        height_mm,
                        depth_mm,
                    },
            } => {
                let front = self.handle.front_x_mm();
                if x > front - depth_mm {
                    // Where the tang has ended the hole goes on where its end was.
                    let end = self.tang(self.steel.bounds().x0 + 1e-6);
                    let middle = if high > low {
                        middle
                    } else {
                        f64::midpoint(end.0, end.1)
                    };
                    (height_mm, width_mm, middle)
                } else {
                    (0.0, 0.0, middle)
                }
            }
            _ if high > low => {
                let gap = 2.0 * self.gap();
                let liners = self.between() - gap;
                (
                    high - low + gap,
                    self.knife.thickness_at(x) + gap + liners,
                    middle,
                )
            }
            _ => (0.0, 0.0, middle),
        }
    }

    /// Sums of one material over a stretch: `at` gives, at a place, areas with their middles and their own second moments.
    fn along(
        &self,
        bends: &[f64],
        (front, back): (f64, f64),
        at: impl Fn(f64, &mut dyn FnMut(f64, f64, f64)),
    ) -> Sums {
        let mut sums = Sums::default();
        for pair in bends.windows(2) {
            let [a, b] = pair else { continue };
            let (a, b) = (a.max(back), b.min(front));
            if b - a <= 0.0 {
                continue;
            }
            for i in 0..STRETCHES {
                for (node, weight) in GAUSS_8 {
                    let s = (f64::from(i) + 0.5 + 0.5 * node) / f64::from(STRETCHES);
                    let x = a + (b - a) * s * s * (3.0 - 2.0 * s);
                    let dx = (b - a) * 6.0 * s * (1.0 - s) * weight * 0.5 / f64::from(STRETCHES);
                    at(x, &mut |area, middle, second| {
                        sums.add(area * dx, Point::new(x, middle), second * dx);
                    });
                }
            }
        }
        sums
    }

    /// Scales or block between two places.
    fn body(&self, bends: &[f64], between: (f64, f64)) -> Sums {
        self.along(bends, between, |x, put| {
            let (low, high) = self.sides(x);
            let (height, middle) = (high - low, f64::midpoint(low, high));
            let thick = self.handle.thickness_at(x);
            if self.goes_round() {
                put(
                    self.shape.area(height, thick),
                    middle,
                    self.shape.second_moment(height, thick),
                );
                let (h, w, m) = self.cavity(x);
                put(-h * w, m, -w * h.powi(3) / 12.0);
            } else {
                let slabs = (thick - self.knife.thickness_at(x) - self.between()).max(0.0);
                put(
                    self.shape.area(height, slabs),
                    middle,
                    self.shape.second_moment(height, slabs),
                );
            }
        })
    }

    /// Sheets as high as the tang, all of them together so thick.
    fn sheet(&self, bends: &[f64], thickness: f64) -> Sums {
        self.along(bends, (self.handle.front_x_mm(), self.back), |x, put| {
            let (low, high) = self.tang(x);
            let height = high - low;
            put(
                height * thickness,
                f64::midpoint(low, high),
                thickness * height.powi(3) / 12.0,
            );
        })
    }

    /// A film on both faces of the tang, or what the hole for it leaves around it.
    fn glue(&self, bends: &[f64], gap: f64) -> Sums {
        if !self.goes_round() {
            return self.sheet(bends, 2.0 * gap);
        }
        let liners = self.between() - 2.0 * self.gap();
        self.along(bends, (self.handle.front_x_mm(), self.back), |x, put| {
            let (h, w, m) = self.cavity(x);
            put(h * w, m, w * h.powi(3) / 12.0);
            let (low, high) = self.tang(x);
            let (height, thick) = (high - low, self.knife.thickness_at(x) + liners);
            put(
                -height * thick,
                f64::midpoint(low, high),
                -thick * height.powi(3) / 12.0,
            );
        })
    }

    /// Thickness of the handle outside the steel at a point, both sides together.
    fn outside(&self, at: Point, layer: Layer) -> f64 {
        let (low, high) = self.sides(at.x);
        let height = high - low;
        if height <= 0.0 {
            return 0.0;
        }
        let u = (2.0 * at.y - low - high) / height;
        let share = self.shape.share(u.clamp(-1.0, 1.0));
        let thick = self.handle.thickness_at(at.x);
        let between = self.between();
        if self.goes_round() {
            let (h, w, m) = self.cavity(at.x);
            let hollow = if (at.y - m).abs() <= h / 2.0 { w } else { 0.0 };
            let body = (thick * share - hollow).max(0.0);
            let (tang_low, tang_high) = self.tang(at.x);
            let steel = if (tang_low..=tang_high).contains(&at.y) {
                self.knife.thickness_at(at.x)
            } else {
                0.0
            };
            match layer {
                Layer::Body => body,
                Layer::All => body + (hollow - steel).max(0.0),
            }
        } else {
            let slabs = (thick - self.knife.thickness_at(at.x) - between).max(0.0) * share;
            match layer {
                Layer::Body => slabs,
                Layer::All => slabs + between,
            }
        }
    }

    /// Volume of the handle within a hole that goes through it: over rings and spokes for a round one, by its area times the thickness at its
    /// middle for any other.
    fn through(&self, shape: &CutShape, layer: Layer) -> f64 {
        let CutShape::Round {
            center,
            diameter_mm,
        } = shape
        else {
            return shape.moments().area * self.outside(shape.center(), layer);
        };
        let r = diameter_mm / 2.0;
        let mut mean = 0.0;
        for (square, weight) in RINGS {
            for i in 0..SPOKES {
                let turn = 2.0 * PI * (f64::from(i) + 0.5) / f64::from(SPOKES);
                let at = *center + kurbo::Vec2::from_angle(turn) * (r * square.sqrt());
                mean += weight * self.outside(at, layer) / f64::from(SPOKES);
            }
        }
        PI * r * r * mean
    }

    /// Volume of a filling outside the steel.
    fn filled_outside(&self, cut: &CutOut) -> f64 {
        let whole = self.through(&cut.through_handle(), Layer::All);
        match (&cut.filling, &cut.shape) {
            (Filling::Tube { bore_mm, .. }, CutShape::Round { center, .. }) => {
                let bore = CutShape::Round {
                    center: *center,
                    diameter_mm: *bore_mm,
                };
                whole - self.through(&bore, Layer::All)
            }
            _ => whole,
        }
    }
}

#[cfg(test)]
mod tests;
