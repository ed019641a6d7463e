//! Everything computed from the design for drawing: filled before drawing, kept per knife until that knife changes.

use std::collections::BTreeMap;
use std::sync::Arc;

use lyon::math::point;
use lyon::path::Path;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers,
};

use crate::catalog::Service;
use crate::checks::{Finding, Thresholds, check};
use crate::geometry::{Contour, Point, Rect, SpanIndex};
use crate::knife::{
    CutOut, CutShape, Engraved, EngravingError, Face, GuardSlot, Id, Knife, KnifeSet, Material,
};
use crate::thickness::{LineKind, Relief, RevealPart, SurfaceLine};
use crate::weighing::{ForgeStock, ForgingError, Scale, WeighUp, forge_stock};

use super::bar::Bar;
use super::opening::{OpeningGroup, opening_groups};

/// Chords of drawn curves leave them by at most this, mm: half a screen point at the closest useful look.
pub(super) const DRAWN_WITHIN_MM: f64 = 0.005;

/// From one place of a drawn line on a ground face to the next, mm.
const GROUND_STEP_MM: f64 = 2.0;

/// A filled shape as triangles in model millimeters.
#[derive(Clone, Debug, Default)]
pub struct Fill {
    /// Corners of the triangles.
    pub corners: Vec<Point>,
    /// Three indices for each triangle.
    pub triangles: Vec<u32>,
}

/// A cut-out ready to draw.
#[derive(Clone, Debug)]
pub struct ShownCutOut {
    /// Its name in weigh-ups and findings.
    pub name: String,
    /// The cut-out.
    pub cut_out: CutOut,
    /// The row it belongs to, if any.
    pub row: Option<Id>,
    /// Its boundary, flattened; empty for round holes.
    pub points: Vec<Point>,
    /// Its filled shape; empty for round holes.
    pub fill: Fill,
}

/// Everything computed from one knife.
#[derive(Clone, Debug)]
pub struct KnifeResults {
    /// The very knife these belong to.
    pub knife: Arc<Knife>,
    /// Its outline.
    pub contour: Contour,
    /// Its outline's index.
    pub steel: SpanIndex,
    /// The scale it was weighed on, with what stays while only cut-outs change.
    pub scale: Scale,
    /// Mass, balance and what is missing.
    pub weigh: WeighUp,
    /// What to take to the forge, when the blank is forged and can be weighed.
    pub forge: Option<Result<ForgeStock, ForgingError>>,
    /// The outline, flattened for drawing.
    pub points: Vec<Point>,
    /// The outline, filled.
    pub fill: Fill,
    /// Cut-outs, the holes of rows spread out.
    pub cut_outs: Vec<ShownCutOut>,
    /// What the checks have to say, the worst first.
    pub findings: Vec<Finding>,
    /// Cut-outs that are alike, together.
    pub openings: Vec<OpeningGroup>,
    /// Where hammered boundaries between layers wander on the face toward the viewer: the boundary over the mid-plane, mm, and the band.
    pub wandering: Vec<(f64, Fill)>,
    /// The lines on the ground faces as they are drawn, in the order of [`Relief::lines`]; empty for the bounds of wandering boundaries.
    pub ground_lines: Vec<Vec<Point>>,
    /// The bar from above.
    pub bar: Bar,
    /// The handle's own outline, flattened for drawing; empty when it has none.
    pub handle_points: Vec<Point>,
    /// That outline's index.
    handle: Option<SpanIndex>,
    /// The name on the tang with its middle, or why it can't be engraved; none without one.
    pub engraving: Option<Result<Engraved, EngravingError>>,
    /// Where the name is held to be moved, though it may find no room there.
    pub engraving_held: Option<Point>,
    /// The guard's slot, when there is a guard and it finds the tang.
    pub guard_slot: Option<GuardSlot>,
}

impl KnifeResults {
    /// The box around the steel and a handle that reaches beyond it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let steel = self.steel.bounds();
        let handle = self.handle.as_ref();
        handle.map_or(steel, |handle| steel.union(handle.bounds()))
    }

    /// Bottom and top of the handle at a place: its own outline's, or the tang's.
    #[must_use]
    pub fn handle_sides(&self, x_mm: f64) -> Option<(f64, f64)> {
        self.handle.as_ref().unwrap_or(&self.steel).depth_at(x_mm)
    }
}

/// Results of every knife of the set.
#[derive(Debug, Default)]
pub struct Results {
    by_knife: BTreeMap<Id, KnifeResults>,
    materials: Vec<Material>,
    /// What the maker changed of the thresholds, by their keys.
    figures: BTreeMap<String, f64>,
    /// The service that is chosen, which sets the figures of cutting.
    service: Option<Service>,
    thresholds: Thresholds,
}

impl Results {
    /// Results of one knife.
    #[must_use]
    pub fn of(&self, id: Id) -> Option<&KnifeResults> {
        self.by_knife.get(&id)
    }

    /// The figures the checks go by.
    #[must_use]
    pub fn thresholds(&self) -> &Thresholds {
        &self.thresholds
    }

    /// The rules cutting files are written by: those of the chosen service, or what the shop's figures say.
    #[must_use]
    pub fn service(&self) -> Option<Service> {
        self.service.clone().or_else(|| self.thresholds.service())
    }

    /// Checks by these figures from now on: those the maker changed, by their keys, and those of the service work goes to. Cheap when they are the same as
    /// before.
    pub fn go_by(&mut self, figures: &BTreeMap<String, f64>, service: Option<Service>) {
        if self.figures == *figures && self.service == service {
            return;
        }
        self.figures.clone_from(figures);
        (self.thresholds, _) = Thresholds::with_changes(figures);
        if let Some(service) = &service {
            self.thresholds = self.thresholds.clone().for_service(service);
        }
        self.service = service;
        self.by_knife.clear();
    }

    /// Brings everything up to date with the set; knives that did not change are not looked at again.
    pub fn refresh(&mut self, set: &KnifeSet) {
        self.refresh_with(set, false);
    }

    /// The same for one frame of a drag: a knife that has changed may be weighed roughly, until [`Self::refresh`] is asked for.
    pub fn refresh_roughly(&mut self, set: &KnifeSet) {
        self.refresh_with(set, true);
    }

    fn refresh_with(&mut self, set: &KnifeSet, roughly: bool) {
        if self.materials != set.materials {
            self.materials.clone_from(&set.materials);
            self.by_knife.clear();
        }
        for knife in &set.knives {
            let known = self.by_knife.get(&knife.id);
            let good = |results: &KnifeResults| roughly || !results.scale.is_rough();
            if known.is_some_and(|r| Arc::ptr_eq(&r.knife, knife) && good(r)) {
                continue;
            }
            let old = self.by_knife.remove(&knife.id);
            let results = compute(knife, set, &self.thresholds, old, roughly);
            self.by_knife.insert(knife.id, results);
        }
        self.by_knife.retain(|id, _| set.knife(*id).is_some());
    }
}

fn compute(
    knife: &Arc<Knife>,
    set: &KnifeSet,
    thresholds: &Thresholds,
    old: Option<KnifeResults>,
    roughly: bool,
) -> KnifeResults {
    let mut old = old;
    let mut scale = old
        .as_mut()
        .map(|old| std::mem::take(&mut old.scale))
        .unwrap_or_default();
    let was_rough = scale.is_rough();
    let weigh = if roughly {
        scale.weigh_roughly(knife, set)
    } else {
        scale.weigh(knife, set)
    };
    let findings = check(knife, set, &weigh, thresholds);
    // While holes are dragged the outline and what is ground of it stay; their triangles and lines need not be made again.
    let kept = old.filter(|old| old.knife.outline == knife.outline);
    let mut ground = None;
    let (contour, steel, points, fill) = match kept {
        Some(old) => {
            let same = was_rough == scale.is_rough() && ground_alike(&old.knife, knife);
            ground = same.then_some((old.wandering, old.ground_lines));
            (old.contour, old.steel, old.points, old.fill)
        }
        None => {
            let contour = knife.contour();
            let points = contour.flattened(DRAWN_WITHIN_MM);
            let fill = filled(&points);
            let steel = contour.index();
            (contour, steel, points, fill)
        }
    };
    let cut_outs = shown_cut_outs(knife, &steel);
    let openings = opening_groups(&knife.rows, &cut_outs, &weigh);
    let guard_slot = scale.guard_slot();
    let bounds = steel.bounds();
    let bar = Bar::of(knife, bounds.x0, bounds.x1);
    let forge = forge_stock(knife, &contour, &weigh);
    let (wandering, ground_lines) = ground.unwrap_or_else(|| {
        let relief = scale.relief();
        (
            relief.map(wandering_bands).unwrap_or_default(),
            relief.map(drawn_lines).unwrap_or_default(),
        )
    });
    let engraving = knife.engraving.as_ref();
    let engraving_held = engraving.map(|name| name.held_at(knife));
    let engraving = engraving.map(|name| name.on(knife, &contour, &steel));
    let handle = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
    let handle = handle.map(|outline| outline.contour());
    let handle_points = handle
        .as_ref()
        .map(|contour| contour.flattened(DRAWN_WITHIN_MM))
        .unwrap_or_default();
    KnifeResults {
        engraving,
        engraving_held,
        handle_points,
        handle: handle.map(|contour| contour.index()),
        knife: Arc::clone(knife),
        contour,
        steel,
        scale,
        weigh,
        forge,
        points,
        fill,
        cut_outs,
        findings,
        openings,
        wandering,
        ground_lines,
        bar,
        guard_slot,
    }
}

/// Whether two knives of one outline are ground alike.
fn ground_alike(a: &Knife, b: &Knife) -> bool {
    a.landmarks == b.landmarks && a.stock == b.stock && a.grinding == b.grinding
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

fn shown_cut_outs(knife: &Knife, steel: &SpanIndex) -> Vec<ShownCutOut> {
    knife
        .all_cut_outs(steel)
        .into_iter()
        .map(|(name, cut_out)| {
            let row = knife
                .rows
                .iter()
                .find(|row| row.id == cut_out.id)
                .map(|row| row.id);
            let (points, fill) = match &cut_out.shape {
                CutShape::Round { .. } => (Vec::new(), Fill::default()),
                shape => {
                    let points = shape.contour().flattened(DRAWN_WITHIN_MM);
                    let fill = filled(&points);
                    (points, fill)
                }
            };
            ShownCutOut {
                name,
                cut_out,
                row,
                points,
                fill,
            }
        })
        .collect()
}

/// The inside of a closed chain of points as triangles; empty when it can't be filled.
#[expect(
    clippy::cast_possible_truncation,
    reason = "triangles are for the screen, which works in single precision"
)]
fn filled(points: &[Point]) -> Fill {
    let mut builder = Path::builder();
    let mut corners = points
        .iter()
        .filter(|p| p.is_finite())
        .map(|p| point(p.x as f32, p.y as f32));
    let Some(first) = corners.next() else {
        return Fill::default();
    };
    builder.begin(first);
    for corner in corners {
        builder.line_to(corner);
    }
    builder.end(true);
    let mut buffers: VertexBuffers<Point, u32> = VertexBuffers::new();
    let options = FillOptions::tolerance(0.01).with_fill_rule(FillRule::NonZero);
    let made = FillTessellator::new().tessellate_path(
        &builder.build(),
        &options,
        &mut BuffersBuilder::new(&mut buffers, |v: FillVertex<'_>| {
            let p = v.position();
            Point::new(f64::from(p.x), f64::from(p.y))
        }),
    );
    match made {
        Ok(()) => Fill {
            corners: buffers.vertices,
            triangles: buffers.indices,
        },
        Err(_) => Fill::default(),
    }
}
