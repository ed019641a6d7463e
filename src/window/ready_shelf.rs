//! What the service would ask about the knife on the drawing: looked for only while the Template card is open, and kept until knife or rules change.

use std::sync::Arc;

use super::results::{DRAWN_WITHIN_MM, Results};
use crate::catalog::Service;
use crate::checks::{Ready, ReadyMend, Words, ready_check};
use crate::geometry::Point;
use crate::knife::{Id, Knife, KnifeSet};

/// What the window remembers of the ready check.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReadyView {
    /// Whether the card was open when the cards were last drawn.
    pub open: bool,
    /// The finding that is looked at, by its place in the list.
    pub shown: Option<usize>,
}

/// What the mend of a finding would do: tried on a copy of the knife, so only of the one that is looked at.
#[derive(Clone, Debug)]
pub(super) struct ReadyMended {
    /// Before and after in words, when there is a mend.
    pub told: Option<Words>,
    /// The closed lines of the knife after a mend of the design.
    pub after: Vec<Vec<Point>>,
}

/// The findings last looked for, and what they belong to.
#[derive(Debug, Default)]
pub(super) struct ReadyShelf {
    of: Option<(Arc<Knife>, Service)>,
    lines: Vec<Ready>,
    /// The place of the finding that is looked at, with its mend.
    mended: Option<(usize, ReadyMended)>,
}

impl ReadyShelf {
    /// The findings, the gravest first; nothing while the card is closed.
    pub(super) fn lines(&self) -> &[Ready] {
        &self.lines
    }

    /// What the mend of the finding at a place would do, if that is the one looked at.
    pub(super) fn mended(&self, place: usize) -> Option<&ReadyMended> {
        let (own, mended) = self.mended.as_ref()?;
        (*own == place).then_some(mended)
    }

    /// Whether the findings are those of this knife.
    pub(super) fn speaks_of(&self, knife: Id) -> bool {
        self.of.as_ref().is_some_and(|(of, _)| of.id == knife)
    }

    /// Looks for findings on a knife, and for the mend of the one that is looked at, unless they are there already; without a knife forgets them.
    pub(super) fn refresh(
        &mut self,
        set: &KnifeSet,
        id: Option<Id>,
        looked_at: Option<usize>,
        results: &Results,
    ) {
        let found = id.and_then(|id| set.knife(id).zip(results.of(id)));
        let (Some((knife, own)), Some(service)) = (found, results.service()) else {
            *self = Self::default();
            return;
        };
        let known = self
            .of
            .as_ref()
            .is_some_and(|(of, by)| Arc::ptr_eq(of, knife) && *by == service);
        if !known {
            self.lines = ready_check(knife, set, &own.weighed.up, results.thresholds(), &service);
            self.mended = None;
            self.of = Some((Arc::clone(knife), service.clone()));
        }
        if self.mended.as_ref().map(|(place, _)| *place) != looked_at {
            self.mended = looked_at.and_then(|place| {
                let ready = self.lines.get(place)?;
                Some((place, mended(ready, knife, &service)))
            });
        }
    }
}

fn mended(ready: &Ready, knife: &Knife, service: &Service) -> ReadyMended {
    let told = ready.mend.as_ref().map(|mend| mend.told(knife, service));
    let after = match &ready.mend {
        Some(ReadyMend::Knife(mend)) => {
            let mut mended = knife.clone();
            let made = mend.make(&mut mended).is_ok();
            if made {
                closed_lines(&mended)
            } else {
                Vec::new()
            }
        }
        _ => Vec::new(),
    };
    ReadyMended { told, after }
}

/// The outline and the cut-outs, flattened.
pub(super) fn closed_lines(knife: &Knife) -> Vec<Vec<Point>> {
    let contour = knife.contour();
    let openings = knife.all_cut_outs(&contour.index());
    let openings = openings.iter().map(|(_, cut)| cut.shape.contour());
    std::iter::once(contour)
        .chain(openings)
        .map(|contour| contour.flattened(DRAWN_WITHIN_MM))
        .collect()
}
