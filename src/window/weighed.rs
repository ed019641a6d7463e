//! What follows from putting a knife on the scale, and what of it is drawn.

use std::sync::Arc;

use super::results::{Fill, filled};
use crate::checks::{Finding, Thresholds, check};
use crate::geometry::Point;
use crate::knife::{Face, GuardSlot, Knife, KnifeSet};
use crate::thickness::{LineKind, Relief, RevealPart, SurfaceLine};
use crate::weighing::{ForgeStock, ForgingError, Scale, WeighUp, forge_stock};

/// From one place of a drawn line on a ground face to the next, mm.
const GROUND_STEP_MM: f64 = 2.0;

/// A rough survey of more rays than this takes about a millisecond or more.
const MANY_RAYS: usize = 400;

/// A knife that was weighed.
#[derive(Clone, Debug)]
pub struct Weighed {
    /// The very knife.
    pub knife: Arc<Knife>,
    /// The scale it was weighed on, with what stays while only cut-outs change.
    pub scale: Scale,
    /// Mass, balance and what is missing.
    pub up: WeighUp,
    /// What the checks have to say, the worst first.
    pub findings: Vec<Finding>,
    /// What to take to the forge, when the blank is forged and can be weighed.
    pub forge: Option<Result<ForgeStock, ForgingError>>,
    /// The guard's slot, when there is a guard and it finds the tang.
    pub guard_slot: Option<GuardSlot>,
    /// Where hammered boundaries between layers wander on the face toward the viewer: the boundary over the mid-plane, mm, and the band.
    pub wandering: Vec<(f64, Fill)>,
    /// The lines on the ground faces as they are drawn, in the order of [`Relief::lines`]; empty for the bounds of wandering boundaries.
    pub ground_lines: Vec<Vec<Point>>,
}

impl Weighed {
    /// Weighs and checks a knife; what was known of it before and still holds is kept.
    pub(super) fn new(
        knife: &Arc<Knife>,
        set: &KnifeSet,
        thresholds: &Thresholds,
        old: Option<Self>,
        roughly: bool,
    ) -> Self {
        let mut old = old;
        let mut scale = old
            .as_mut()
            .map(|old| std::mem::take(&mut old.scale))
            .unwrap_or_default();
        let was_rough = scale.is_rough();
        let up = if roughly {
            scale.weigh_roughly(knife, set)
        } else {
            scale.weigh(knife, set)
        };
        // While holes are dragged what is ground of the outline stays; its lines need not be made again.
        let (wandering, ground_lines) = old
            .filter(|old| was_rough == scale.is_rough() && ground_alike(&old.knife, knife))
            .map_or_else(
                || {
                    let relief = scale.relief();
                    (
                        relief.map(wandering_bands).unwrap_or_default(),
                        relief.map(drawn_lines).unwrap_or_default(),
                    )
                },
                |old| (old.wandering, old.ground_lines),
            );
        Self {
            findings: check(knife, set, &up, thresholds),
            forge: forge_stock(knife, &knife.contour(), &up),
            guard_slot: scale.guard_slot(),
            knife: Arc::clone(knife),
            scale,
            up,
            wandering,
            ground_lines,
        }
    }

    /// Whether to weigh the knife this one has become takes longer than a frame of a drag should wait: the last frame tells what the next will take.
    pub(super) fn takes_long(&self, next: &Knife, set: &KnifeSet) -> bool {
        self.scale.is_rough()
            && self.scale.rays() > MANY_RAYS
            && !self.scale.knows_blank_of(next, set)
    }
}

/// Whether two knives have the same blank, ground alike.
fn ground_alike(a: &Knife, b: &Knife) -> bool {
    a.outline == b.outline
        && a.landmarks == b.landmarks
        && a.stock == b.stock
        && a.grinding == b.grinding
}

/// The lines on the ground faces, bent as they are drawn. Only the middle of a wandering boundary is a line.
fn drawn_lines(relief: &Relief) -> Vec<Vec<Point>> {
    let seen = |kind: LineKind| match kind {
        LineKind::Grind { .. } => true,
        LineKind::Reveal { part, .. } => part == RevealPart::Middle,
    };
    let drawn = |line: &SurfaceLine| {
        if seen(line.kind) {
            line.drawn(GROUND_STEP_MM)
        } else {
            Vec::new()
        }
    };
    relief.lines.iter().map(drawn).collect()
}

/// The bands between the inner and the outer line of each wandering boundary on the right face, where both are whole.
fn wandering_bands(relief: &Relief) -> Vec<(f64, Fill)> {
    let lines = |wanted: RevealPart| {
        relief
            .lines
            .iter()
            .filter(|line| line.face == Face::Right)
            .filter_map(move |line| match line.kind {
                LineKind::Reveal { boundary_mm, part } if part == wanted => {
                    Some((boundary_mm, &line.points))
                }
                _ => None,
            })
    };
    lines(RevealPart::Inner)
        .filter_map(|(boundary, inner)| {
            let near = |points: &[Point]| {
                let ends = points.first().zip(inner.first());
                ends.map_or(f64::INFINITY, |(p, q)| p.distance(*q))
            };
            let outer = lines(RevealPart::Outer)
                .filter(|(other, _)| *other == boundary)
                .min_by(|(_, p), (_, q)| near(p).total_cmp(&near(q)))?
                .1;
            let around: Vec<Point> = inner.iter().chain(outer.iter().rev()).copied().collect();
            Some((boundary, filled(&around)))
        })
        .collect()
}
