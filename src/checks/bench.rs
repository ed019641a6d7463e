//! What every check needs, made ready once.

use std::collections::BTreeSet;

use super::Thresholds;
use super::opening::{Opening, openings};
use crate::geometry::{Contour, SpanIndex};
use crate::knife::{Knife, KnifeSet};
use crate::weighing::{Missing, WeighUp};

/// A knife laid out for checking.
pub(super) struct Bench<'a> {
    pub knife: &'a Knife,
    pub set: &'a KnifeSet,
    pub up: &'a WeighUp,
    pub thresholds: &'a Thresholds,
    /// The steel outline.
    pub steel: Contour,
    pub index: SpanIndex,
    /// Whether the outline is fit to be measured against.
    pub sound: bool,
    /// 1 for an outline that runs counterclockwise, −1 for the other way.
    pub sense: f64,
    pub openings: Vec<Opening<'a>>,
    /// Whether the opening of the same index may be measured: it lies within the steel and overlaps no other.
    pub countable: Vec<bool>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(
        knife: &'a Knife,
        set: &'a KnifeSet,
        up: &'a WeighUp,
        thresholds: &'a Thresholds,
    ) -> Self {
        let steel = knife.contour();
        let index = steel.index();
        let openings = openings(knife, &index);
        let sound = !up
            .missing
            .iter()
            .any(|reason| matches!(reason, Missing::Outline { .. }));
        let bad: BTreeSet<&str> = up.missing.iter().filter_map(Missing::cut_out).collect();
        let countable = openings
            .iter()
            .map(|o| sound && (bad.is_empty() || !bad.contains(o.name().as_str())))
            .collect();
        let sense = if steel.moments().area < 0.0 {
            -1.0
        } else {
            1.0
        };
        Self {
            knife,
            set,
            up,
            thresholds,
            steel,
            index,
            sound,
            sense,
            openings,
            countable,
        }
    }

    pub(super) fn thickness_mm(&self) -> f64 {
        self.knife.stock.thickness_mm
    }

    /// The lowest and highest `y` of the steel at `x`; at either end of the knife, of what is just within it.
    pub(super) fn depth_at(&self, x: f64) -> Option<(f64, f64)> {
        const WITHIN_MM: f64 = 1e-6;
        let bounds = self.index.bounds();
        let within = x.min(bounds.x1 - WITHIN_MM).max(bounds.x0 + WITHIN_MM);
        self.index.depth_at(within)
    }

    /// The openings that may be measured, with their indexes.
    pub(super) fn countable(&self) -> impl Iterator<Item = (usize, &Opening<'a>)> {
        self.openings
            .iter()
            .enumerate()
            .filter(|(i, _)| self.countable.get(*i) == Some(&true))
    }
}
