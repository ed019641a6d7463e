//! The finding that is pointed at, and what its mend would make of the knife: looked for when the finding, the knife or the shop's figures change.

use std::sync::Arc;

use super::ready_shelf::closed_lines;
use super::results::Results;
use crate::checks::{Finding, ShopMend, Thresholds, shop_mend};
use crate::geometry::Point;
use crate::knife::{Id, Knife, KnifeSet};

/// What the mend was looked for by.
#[derive(Debug)]
struct Known {
    knife: Arc<Knife>,
    finding: Finding,
    figures: Thresholds,
}

/// The mend last looked for.
#[derive(Debug, Default)]
pub(super) struct FindingShelf {
    of: Option<Known>,
    mend: Option<ShopMend>,
    after: Vec<Vec<Point>>,
}

impl FindingShelf {
    /// The mend of the finding that is pointed at, where there is one.
    pub(super) fn mend(&self) -> Option<&ShopMend> {
        self.mend.as_ref()
    }

    /// The closed lines of the knife after it.
    pub(super) fn after(&self) -> &[Vec<Point>] {
        &self.after
    }

    /// Looks for the mend of a finding by its place in the list, unless it is known; without one forgets it.
    pub(super) fn refresh(
        &mut self,
        set: &KnifeSet,
        results: &Results,
        pointed: Option<(Id, usize)>,
    ) {
        let found = pointed.and_then(|(id, place)| {
            let own = results.of(id)?;
            Some((set.knife(id)?, own, own.weighed.findings.get(place)?))
        });
        let Some((knife, own, finding)) = found else {
            if self.of.is_some() {
                *self = Self::default();
            }
            return;
        };
        let figures = results.thresholds();
        let known = self.of.as_ref().is_some_and(|known| {
            Arc::ptr_eq(&known.knife, knife)
                && known.finding == *finding
                && known.figures == *figures
        });
        if known {
            return;
        }
        self.mend = shop_mend(knife, set, &own.weighed.up, finding, figures);
        self.after.clear();
        if let Some(own) = &self.mend {
            let mut mended = Knife::clone(knife);
            if own.mend.make(&mut mended).is_ok() {
                self.after = closed_lines(&mended);
            }
        }
        self.of = Some(Known {
            knife: Arc::clone(knife),
            finding: finding.clone(),
            figures: figures.clone(),
        });
    }
}
