//! What a frame is drawn from: the design, its results and the looks, all read-only.

use crate::edit::History;
use crate::knife::{Id, Knife, KnifeSet};

use super::bench::{BuildShelf, Nester, SetShelf};
use super::filing::Filing;
use super::finding_shelf::FindingShelf;
use super::picture::{PictureShelf, Tracer};
use super::planner::Planner;
use super::preview::Preview;
use super::ready_shelf::ReadyShelf;
use super::results::{KnifeResults, Results};
use super::section::SectionShelf;
use super::strength_shelf::StrengthShelf;
use super::theme::Palette;

/// What is worked out beside the results, and kept while what it was made of stays.
#[derive(Debug, Default)]
pub(super) struct Kept {
    /// The template, while it is looked at.
    pub preview: Preview,
    /// What the service would ask about, while the Template card is open.
    pub ready: ReadyShelf,
    /// What mends the finding that is pointed at.
    pub finding: FindingShelf,
    /// The section where the maker looks.
    pub section: SectionShelf,
    /// What a load does to the knife on the drawing.
    pub strength: StrengthShelf,
    /// What the hole planner does and has found.
    pub planner: Planner,
    /// The build sheet, while it is looked at.
    pub build: BuildShelf,
    /// The table of the set, while it is looked at.
    pub set: SetShelf,
    /// What nesting does and has found.
    pub nest: Nester,
    /// Pictures for the drawing.
    pub pictures: PictureShelf,
    /// What tracing does and has found.
    pub tracer: Tracer,
}

/// The read-only side of a frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown<'a> {
    /// The set as it is now.
    pub set: &'a KnifeSet,
    /// Undo and redo, for their names.
    pub history: &'a History,
    /// Weigh-ups, findings and shapes of every knife.
    pub results: &'a Results,
    /// What is worked out beside them.
    pub kept: &'a Kept,
    /// Which file the set belongs to, and whether it is as saved.
    pub filing: &'a Filing,
    /// The colors.
    pub palette: &'a Palette,
}

impl<'a> Shown<'a> {
    /// What a frame is drawn from.
    pub(super) fn new(
        history: &'a History,
        results: &'a Results,
        kept: &'a Kept,
        filing: &'a Filing,
        palette: &'a Palette,
    ) -> Self {
        Self {
            set: history.set(),
            history,
            results,
            kept,
            filing,
            palette,
        }
    }

    /// The knife with this id and its results.
    #[must_use]
    pub(super) fn knife(&self, id: Option<Id>) -> Option<(&'a Knife, &'a KnifeResults)> {
        let id = id?;
        Some((self.set.knife(id)?, self.results.of(id)?))
    }
}
