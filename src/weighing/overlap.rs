//! Cut-outs that reach over the outline or into each other: found before anything is counted twice.

use super::weigh_up::Missing;
use crate::geometry::{
    AreaMoments, OutlineFault, Point, Rect, SpanIndex, crossings_between, indexed_faults,
    not_finite, segment_gap,
};
use crate::knife::{CutOut, CutShape};

/// Round holes and slots that only touch take away just themselves; this much of reaching over is rounding, mm. What
/// might be counted twice for it is below a billionth of a square millimeter.
const ROUNDING_MM: f64 = 1e-9;

/// A cut-out made ready: its moments, and what overlap questions need.
pub(super) struct Opening<'a> {
    pub name: &'a str,
    pub cut: &'a CutOut,
    /// Moments of the opening, of positive area.
    pub moments: AreaMoments,
    /// Cut length, mm.
    pub perimeter_mm: f64,
    bounds: Rect,
    /// Index of the boundary of a free shape; round holes and slots do without.
    boundary: Option<SpanIndex>,
    /// Core segment and radius of a round hole or slot: the shape is all points within the radius of the segment.
    capsule: Option<((Point, Point), f64)>,
    /// What is wrong with its shape.
    fault: Option<OutlineFault>,
}

impl<'a> Opening<'a> {
    pub(super) fn new(name: &'a str, cut: &'a CutOut) -> Self {
        let mut opening = Self {
            name,
            cut,
            moments: AreaMoments::default(),
            perimeter_mm: cut.shape.perimeter_mm(),
            bounds: Rect::ZERO,
            boundary: None,
            capsule: cut.shape.capsule(),
            fault: None,
        };
        if let Some((core, radius)) = opening.capsule {
            opening.moments = cut.shape.moments();
            opening.bounds = Rect::from_points(core.0, core.1).inflate(radius, radius);
            let sound = radius > 0.0 && (opening.bounds.area() + core.0.x + core.0.y).is_finite();
            opening.fault = (!sound).then_some(OutlineFault::TooFew);
            return opening;
        }
        let contour = cut.shape.contour();
        opening.fault = not_finite(&contour.pieces).into_iter().next();
        if opening.fault.is_none() {
            opening.moments = contour.moments().turned_positive();
            let index = contour.index();
            opening.bounds = index.bounds();
            opening.fault = indexed_faults(&contour.pieces, &index).into_iter().next();
            opening.boundary = Some(index);
        }
        opening
    }

    /// Whether its shape can be weighed.
    pub(super) fn is_sound(&self) -> bool {
        self.fault.is_none()
    }

    /// Hands the boundary's index to a question; a round hole or slot builds it for the occasion.
    fn ask<T>(&self, question: impl FnOnce(&SpanIndex) -> T) -> T {
        match &self.boundary {
            Some(index) => question(index),
            None => question(&self.cut.shape.contour().index()),
        }
    }

    /// A point that is in the opening or on its boundary: as good as any other to tell where an opening is that
    /// crosses nothing. The middle of a hole or slot is safely off a boundary it only just touches.
    fn some_point(&self) -> Point {
        match &self.cut.shape {
            CutShape::Round { center, .. } | CutShape::Slot { center, .. } => *center,
            CutShape::Free { outline } => outline
                .nodes
                .first()
                .map_or(self.bounds.center(), |node| node.at),
        }
    }

    fn overlaps(&self, other: &Self) -> bool {
        if let (Some((a, ra)), Some((b, rb))) = (self.capsule, other.capsule) {
            return segment_gap(a, b).0 < ra + rb - ROUNDING_MM;
        }
        self.ask(|a| {
            other.ask(|b| {
                !crossings_between(a, b).is_empty()
                    || a.contains(other.some_point())
                    || b.contains(self.some_point())
            })
        })
    }

    /// Why it can't be counted for its place in the steel, if so.
    fn misplaced(&self, steel: &SpanIndex) -> Option<Missing> {
        let across = || Missing::AcrossOutline {
            cut_out: self.name.to_owned(),
            at: self.bounds.center(),
        };
        // One that holds all of the steel crosses nothing and leaves nothing.
        if self.bounds.contains_rect(steel.bounds()) {
            return Some(across());
        }
        let crosses = match self.capsule {
            Some((core, radius)) => steel.comes_near(core, radius - ROUNDING_MM),
            None => self.ask(|boundary| !crossings_between(steel, boundary).is_empty()),
        };
        if crosses {
            return Some(across());
        }
        (!steel.contains(self.some_point())).then(|| Missing::OutsideSteel {
            cut_out: self.name.to_owned(),
            at: self.bounds.center(),
        })
    }
}

/// For each cut-out the reason why it can't be counted, if there is one. Its place is judged only in a `sound` outline.
pub(super) fn uncountable(
    openings: &[Opening<'_>],
    steel: &SpanIndex,
    sound: bool,
) -> Vec<Option<Missing>> {
    let mut reasons: Vec<Option<Missing>> = openings
        .iter()
        .map(|opening| match &opening.fault {
            Some(fault) => Some(Missing::CutOutShape {
                cut_out: opening.name.to_owned(),
                fault: fault.clone(),
            }),
            None if sound => opening.misplaced(steel),
            None => None,
        })
        .collect();
    let mut order: Vec<usize> = (0..openings.len())
        .filter(|i| openings[*i].fault.is_none())
        .collect();
    order.sort_by(|a, b| {
        let x0 = |i: &usize| openings[*i].bounds.x0;
        x0(a).total_cmp(&x0(b))
    });
    let mut active: Vec<usize> = Vec::new();
    for i in order {
        let opening = &openings[i];
        active.retain(|j| openings[*j].bounds.x1 > opening.bounds.x0);
        for &j in &active {
            let other = &openings[j];
            let apart = other.bounds.y1 < opening.bounds.y0 || opening.bounds.y1 < other.bounds.y0;
            if apart || !opening.overlaps(other) {
                continue;
            }
            for (a, b) in [(i, j), (j, i)] {
                reasons[a].get_or_insert_with(|| Missing::OverCutOut {
                    cut_out: openings[a].name.to_owned(),
                    other: openings[b].name.to_owned(),
                    at: openings[a].bounds.center(),
                });
            }
        }
        active.push(i);
    }
    reasons
}
