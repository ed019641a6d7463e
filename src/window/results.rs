//! Everything computed from the design for drawing: filled before drawing, kept per knife until that knife changes.

use std::collections::BTreeMap;
use std::sync::Arc;

use lyon::math::point;
use lyon::path::Path;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers,
};

use crate::catalog::Service;
use crate::checks::Thresholds;
use crate::geometry::{Contour, Point, Rect, SpanIndex};
use crate::knife::{CutOut, CutShape, Engraved, EngravingError, Id, Knife, KnifeSet, Material};

use super::bar::Bar;
use super::opening::{OpeningGroup, opening_groups};
use super::weighed::Weighed;
use super::weigher::Weigher;

/// Chords of drawn curves leave them by at most this, mm: half a screen point at the closest useful look.
pub(super) const DRAWN_WITHIN_MM: f64 = 0.005;

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
    /// The very knife that is drawn.
    pub knife: Arc<Knife>,
    /// What follows from weighing it. While a knife that takes long to weigh is dragged, this is of the knife it was a frame or two before.
    pub weighed: Weighed,
    /// Its outline.
    pub contour: Contour,
    /// Its outline's index.
    pub steel: SpanIndex,
    /// The outline, flattened for drawing.
    pub points: Vec<Point>,
    /// The outline, filled.
    pub fill: Fill,
    /// Cut-outs, the holes of rows spread out.
    pub cut_outs: Vec<ShownCutOut>,
    /// Cut-outs that are alike, together.
    pub openings: Vec<OpeningGroup>,
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

    /// A knife ready to draw; what was made of its outline before is kept.
    fn new(knife: &Arc<Knife>, weighed: Weighed, outline: Option<DrawnOutline>) -> Self {
        let DrawnOutline {
            contour,
            steel,
            points,
            fill,
        } = outline.unwrap_or_else(|| DrawnOutline::of(knife));
        let cut_outs = shown_cut_outs(knife, &steel);
        let bounds = steel.bounds();
        let engraving = knife.engraving.as_ref();
        let engraving_held = engraving.map(|name| name.held_at(knife));
        let engraving = engraving.map(|name| name.on(knife, &contour, &steel));
        let handle = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
        let handle = handle.map(|outline| outline.contour());
        let handle_points = handle
            .as_ref()
            .map(|contour| contour.flattened(DRAWN_WITHIN_MM))
            .unwrap_or_default();
        Self {
            openings: opening_groups(&knife.rows, &cut_outs, &weighed.up),
            bar: Bar::of(knife, bounds.x0, bounds.x1),
            engraving,
            engraving_held,
            handle_points,
            handle: handle.map(|contour| contour.index()),
            knife: Arc::clone(knife),
            weighed,
            contour,
            steel,
            points,
            fill,
            cut_outs,
        }
    }

    /// Whether the knife it was weighed as is another one than that which is drawn.
    fn is_behind(&self) -> bool {
        !Arc::ptr_eq(&self.weighed.knife, &self.knife)
    }

    /// Takes a later weigh-up over.
    fn take_over(&mut self, weighed: Weighed) {
        self.openings = opening_groups(&self.knife.rows, &self.cut_outs, &weighed.up);
        self.weighed = weighed;
    }

    /// Its weigh-up, and what of the outline may be kept for the knife that comes after it.
    fn parted(self, next: &Knife) -> (Weighed, Option<DrawnOutline>) {
        // While holes are dragged the outline stays; its triangles need not be made again.
        let outline = (self.knife.outline == next.outline).then_some(DrawnOutline {
            contour: self.contour,
            steel: self.steel,
            points: self.points,
            fill: self.fill,
        });
        (self.weighed, outline)
    }
}

/// An outline with what is made of it for drawing.
struct DrawnOutline {
    contour: Contour,
    steel: SpanIndex,
    points: Vec<Point>,
    fill: Fill,
}

impl DrawnOutline {
    fn of(knife: &Knife) -> Self {
        let contour = knife.contour();
        let points = contour.flattened(DRAWN_WITHIN_MM);
        Self {
            fill: filled(&points),
            steel: contour.index(),
            points,
            contour,
        }
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
    thresholds: Arc<Thresholds>,
    weigher: Weigher,
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
        let (mut thresholds, _) = Thresholds::with_changes(figures);
        if let Some(service) = &service {
            thresholds = thresholds.for_service(service);
        }
        self.thresholds = Arc::new(thresholds);
        self.service = service;
        self.forget();
    }

    /// Brings everything up to date with the set; knives that did not change are not looked at again.
    pub fn refresh(&mut self, set: &KnifeSet) {
        self.weigher.forget();
        self.refresh_with(set, false);
    }

    /// The same for one frame of a drag, until [`Self::refresh`] is asked for: a knife that has changed may be weighed roughly, and one that takes long to weigh
    /// is weighed beside the window ([`Self::weigh_beside`]); until that is done its last weigh-up stays.
    pub fn refresh_roughly(&mut self, set: &KnifeSet) {
        if let Some(weighed) = self.weigher.take()
            && let Some(results) = self.by_knife.get_mut(&weighed.knife.id)
            && results.is_behind()
        {
            results.take_over(weighed);
        }
        self.refresh_with(set, true);
    }

    /// Begins to weigh a knife beside the window, where one is behind: once its frame is drawn, lest the two get into each other's way.
    pub fn weigh_beside(&mut self, set: &KnifeSet) {
        let behind = self.by_knife.values().find(|results| results.is_behind());
        if let Some(results) = behind {
            self.weigher.ask(&results.knife, set, &self.thresholds);
        }
    }

    /// Whether a knife is weighed beside the window.
    #[must_use]
    pub fn is_behind(&self) -> bool {
        self.by_knife.values().any(KnifeResults::is_behind)
    }

    fn forget(&mut self) {
        self.weigher.forget();
        self.by_knife.clear();
    }

    fn refresh_with(&mut self, set: &KnifeSet, roughly: bool) {
        if self.materials != set.materials {
            self.materials.clone_from(&set.materials);
            self.forget();
        }
        for knife in &set.knives {
            let known = self.by_knife.get(&knife.id);
            let is_up_to_date = |own: &KnifeResults| {
                Arc::ptr_eq(&own.knife, knife)
                    && (roughly || !own.is_behind() && !own.weighed.scale.is_rough())
            };
            if known.is_some_and(is_up_to_date) {
                continue;
            }
            let old = self.by_knife.remove(&knife.id);
            let (before, outline) = old.map(|old| old.parted(knife)).unzip();
            let weighed = match before {
                Some(before) if roughly && before.takes_long(knife, set) => before,
                before => Weighed::new(knife, set, &self.thresholds, before, roughly),
            };
            let results = KnifeResults::new(knife, weighed, outline.flatten());
            self.by_knife.insert(knife.id, results);
        }
        self.by_knife.retain(|id, _| set.knife(*id).is_some());
    }
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
pub(super) fn filled(points: &[Point]) -> Fill {
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
