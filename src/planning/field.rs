//! The field: where holes may be drilled, how wide, and how much a square millimeter of it weighs.

use super::rules::PlanRules;
use crate::geometry::{Contour, Point, SpanIndex, segment_gap};
use crate::knife::{CutOut, CutShape, Filling, Knife, KnifeSet, Purpose};
use crate::weighing::{Scale, WeighUp, opening_effect};

/// A round hole of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hole {
    pub at: Point,
    pub d: f64,
}

impl Hole {
    pub(super) fn area(&self) -> f64 {
        std::f64::consts::PI * self.d * self.d / 4.0
    }

    pub(super) fn shape(&self) -> CutShape {
        CutShape::Round {
            center: self.at,
            diameter_mm: self.d,
        }
    }
}

/// An opening that is there already.
enum Kept {
    Capsule { core: (Point, Point), radius: f64 },
    Free { contour: Contour },
}

impl Kept {
    fn of(shape: &CutShape) -> Self {
        match shape.capsule() {
            Some((core, radius)) => Self::Capsule { core, radius },
            None => Self::Free {
                contour: shape.contour(),
            },
        }
    }

    /// Distance from a point to its rim, mm, and its width.
    fn from(&self, p: Point) -> (f64, f64) {
        match self {
            Self::Capsule { core, radius } => (segment_gap((p, p), *core).0 - radius, 2.0 * radius),
            Self::Free { contour } => {
                let near = contour.nearest(p).map_or(f64::INFINITY, |n| n.distance);
                (near, 0.0)
            }
        }
    }
}

/// Every this far along the tang the steel is weighed, mm.
const WEIGH_EVERY_MM: f64 = 4.0;

/// Diameter of the hole it is weighed by, mm.
const PROBE_MM: f64 = 1.0;

/// A web is kept with this to spare, mm, so that rounding never breaks a rule.
pub(super) const SPARE_MM: f64 = 1e-6;

pub(super) struct Field<'a> {
    pub rules: &'a PlanRules,
    steel: Contour,
    pub index: SpanIndex,
    stock_mm: f64,
    kept: Vec<Kept>,
    /// Flaws and other places to keep off: a segment each, and how far it reaches.
    flaws: Vec<((Point, Point), f64)>,
    /// Rear and front limit for the rims of holes, mm.
    pub region: (f64, f64),
    /// Place and what a square millimeter of opening takes off the finished knife, g: steel less what fills it.
    areal: Vec<(f64, f64)>,
}

impl<'a> Field<'a> {
    /// `scale` has just weighed the knife as `up`.
    pub(super) fn new(
        knife: &Knife,
        set: &KnifeSet,
        scale: &Scale,
        up: &WeighUp,
        rules: &'a PlanRules,
    ) -> Self {
        let steel = knife.contour();
        let index = steel.index();
        let region = rules.region_mm(knife, index.bounds().x0);
        let kept = knife.all_cut_outs(&index);
        let marked = knife.flaws.iter().flat_map(|flaw| {
            let reach = flaw.reach_mm;
            flaw.segments().map(move |core| (core, reach))
        });
        let off = rules.keep_off.iter();
        let off = off.map(|o| ((o.center, o.center), o.radius_mm));
        let flaws = marked.chain(off).collect();
        let mut field = Self {
            flaws,
            rules,
            kept: kept.iter().map(|(_, cut)| Kept::of(&cut.shape)).collect(),
            stock_mm: knife.stock.thickness_mm,
            steel,
            index,
            region,
            areal: Vec::new(),
        };
        let filling = rules.filling.material().and_then(|key| set.material(key));
        let blade = scale.blade();
        let span = region.1 - region.0;
        if span.is_nan() || span <= 0.0 {
            return field;
        }
        let mut x = region.0 + PROBE_MM;
        while x < region.1 {
            if let Some(at) = field.middle(x)
                && let Some(effect) = opening_effect(
                    scale,
                    up,
                    &CutShape::Round {
                        center: at,
                        diameter_mm: PROBE_MM,
                    },
                )
            {
                let area = std::f64::consts::PI * PROBE_MM * PROBE_MM / 4.0;
                let fill = match (filling, blade, &rules.filling) {
                    (None, ..) | (_, None, _) | (.., Filling::Nothing) => 0.0,
                    (Some(material), Some(blade), _) => {
                        material.density_g_cm3 * 1e-3 * blade.place_at(at).thickness_mm()
                    }
                };
                field.areal.push((x, effect.removed_g / area - fill));
            }
            x += WEIGH_EVERY_MM;
        }
        field
    }

    /// What a square millimeter takes off, g.
    pub(super) fn per_mm2(&self, x: f64) -> f64 {
        let i = self.areal.partition_point(|a| a.0 <= x);
        let before = i.checked_sub(1).and_then(|i| self.areal.get(i));
        match (before, self.areal.get(i)) {
            (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0),
            (Some(a), None) | (None, Some(a)) => a.1,
            (None, None) => 0.0,
        }
    }

    /// Whether anything can be drilled at all.
    pub(super) fn is_open(&self) -> bool {
        !self.areal.is_empty()
    }

    /// Halfway between the lower and the upper side.
    pub(super) fn middle(&self, x: f64) -> Option<Point> {
        self.place(x, 0.5)
    }

    /// A share of the way from the lower to the upper side.
    pub(super) fn place(&self, x: f64, share: f64) -> Option<Point> {
        let (low, high) = self.index.depth_at(x)?;
        Some(Point::new(x, low + share * (high - low)))
    }

    /// The web kept beside a hole, mm.
    pub(super) fn web(&self, d: f64) -> f64 {
        self.rules.web_mm(d, self.stock_mm)
    }

    /// How far apart the middles of two new holes are at least, mm.
    pub(super) fn pitch(&self, a: f64, b: f64) -> f64 {
        f64::midpoint(a, b) + self.web(a.max(b))
    }

    pub(super) fn apart(&self, a: &Hole, b: &Hole) -> bool {
        let least = self.pitch(a.d, b.d) + SPARE_MM;
        (a.at - b.at).hypot2() >= least * least
    }

    /// Diameter of the widest hole about a point that keeps the rules beside another hole; less than 0 where none does.
    ///
    /// The rule solved for the diameter: `d/2 + web(max(d, other)) = gap`, `gap` being what lies between the point and the other's rim.
    pub(super) fn widest_beside(&self, p: Point, other: &Hole) -> f64 {
        let gap = p.distance(other.at) - other.d / 2.0 - SPARE_MM;
        let smaller = 2.0 * (gap - self.web(other.d));
        if smaller <= other.d {
            return smaller;
        }
        let least = self.rules.web_thicknesses * self.stock_mm;
        let by_diameter = 0.5 + self.rules.web_diameters;
        (2.0 * (gap - least)).min(gap / by_diameter).max(other.d)
    }

    /// Diameter of the widest hole about a point that keeps the rules against all that is there; 0 or less where none of `smallest` does.
    pub(super) fn widest(&self, p: Point, smallest: f64) -> f64 {
        let (rear, front) = self.region;
        // A rim may touch the region's ends; nothing is measured there.
        let mut radius = (p.x - rear).min(front - p.x) + SPARE_MM;
        if radius <= SPARE_MM || !self.index.contains(p) {
            return 0.0;
        }
        let least = self.rules.web_thicknesses * self.stock_mm;
        let by_diameter = 1.0 + 2.0 * self.rules.web_diameters;
        let mut near = |gap: f64, width: f64| {
            radius = radius
                .min(gap - least)
                .min(gap / by_diameter)
                .min(gap - self.rules.web_diameters * width);
        };
        for kept in &self.kept {
            let (gap, width) = kept.from(p);
            near(gap, width);
        }
        for (core, reach) in &self.flaws {
            near(segment_gap((p, p), *core).0 - reach, 0.0);
        }
        if 2.0 * radius < smallest {
            return 0.0;
        }
        // A side that is farther off than this takes nothing more.
        let far = (radius + least).max(radius * by_diameter);
        if let Some(side) = self.steel.nearest_within(p, far) {
            let gap = side.distance;
            radius = radius.min(gap - least).min(gap / by_diameter);
        }
        2.0 * (radius - SPARE_MM)
    }

    /// Whether a hole keeps the rules against all that is there and all others of its plan.
    pub(super) fn fits(&self, hole: &Hole, others: &[Hole], but: Option<usize>) -> bool {
        let clear = others
            .iter()
            .enumerate()
            .all(|(i, other)| Some(i) == but || self.apart(hole, other));
        clear && self.widest(hole.at, hole.d) >= hole.d
    }
}

/// The knife with more openings.
pub(super) fn cut(knife: &Knife, shapes: &[CutShape], filling: &Filling) -> Knife {
    let mut cut = knife.clone();
    for shape in shapes {
        let id = cut.take_id();
        cut.cut_outs.push(CutOut {
            id,
            shape: shape.clone(),
            purpose: Purpose::Lightening,
            filling: filling.clone(),
        });
    }
    cut
}
