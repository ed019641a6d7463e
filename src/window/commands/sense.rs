//! When a command makes sense, and whether it is a choice that is made.

use super::{Command, TEXT_SIZES};
use crate::edit::Thing;
use crate::window::bench::BenchPage;
use crate::window::session::{Preferences, Session};
use crate::window::shown::Shown;

impl Command {
    /// Whether it concerns only what is seen on the drawing.
    #[must_use]
    pub(super) fn is_of_the_drawing(self) -> bool {
        matches!(
            self,
            Self::PickAll
                | Self::RemovePicked
                | Self::Work(_)
                | Self::DrawOver
                | Self::Both(_)
                | Self::Fit
                | Self::TrueSize
                | Self::Closer
                | Self::Farther
                | Self::Comb
                | Self::FromAbove
                | Self::Section
                | Self::Ground
                | Self::Picture
                | Self::Snap(_)
                | Self::KnifeAbove
                | Self::KnifeBelow
        )
    }

    /// Whether it would do something that can't be seen while another page of the bench lies over the drawing.
    fn acts_on_what_is_drawn(self) -> bool {
        self.is_of_the_drawing() && !matches!(self, Self::KnifeAbove | Self::KnifeBelow)
    }

    /// Whether it makes sense now.
    #[must_use]
    pub(in crate::window) fn enabled(self, shown: &Shown<'_>, session: &Session) -> bool {
        let place = || {
            let id = session.knife?;
            shown.set.knives.iter().position(|k| k.id == id)
        };
        let below = |place: usize| place + 1 < shown.set.knives.len();
        if session.page != BenchPage::Drawing && self.acts_on_what_is_drawn() {
            return false;
        }
        match self {
            Self::Undo => shown.history.undo_label().is_some(),
            Self::Redo => shown.history.redo_label().is_some(),
            Self::Save => shown.filing.changed() || shown.filing.path().is_none(),
            Self::Picture => {
                let knife = session.knife.and_then(|id| shown.set.knife(id));
                knife.is_some_and(|knife| knife.picture.is_some())
            }
            Self::Export(_)
            | Self::LayPicture
            | Self::PickAll
            | Self::DrawOver
            | Self::Both(_)
            | Self::DoubleKnife
            | Self::RemoveKnife
            | Self::Fit
            | Self::TrueSize
            | Self::Closer
            | Self::Farther => place().is_some(),
            Self::RemovePicked => session
                .picked
                .iter()
                .any(|thing| !matches!(thing, Thing::Landmark(_))),
            Self::Work(work) => session
                .knife
                .and_then(|id| shown.set.knife(id))
                .is_some_and(|knife| work.change(knife, session).is_some()),
            Self::KnifeUp | Self::KnifeAbove => place().is_some_and(|p| p > 0),
            Self::KnifeDown | Self::KnifeBelow => place().is_some_and(below),
            Self::LargerText => text_size_beside(&session.preferences, 1).is_some(),
            Self::SmallerText => text_size_beside(&session.preferences, -1).is_some(),
            _ => true,
        }
    }

    /// Whether it is a choice that is made now; `None` when it is no choice.
    #[must_use]
    pub(in crate::window) fn chosen(self, session: &Session) -> Option<bool> {
        let preferences = &session.preferences;
        match self {
            Self::Take(tool) => Some(session.tool == tool),
            Self::Page(page) => Some(session.page == page),
            Self::Both(line) => Some(session.both == Some(line)),
            Self::Rack => Some(preferences.rack),
            Self::Cards => Some(preferences.cards),
            Self::Comb => Some(preferences.comb),
            Self::FromAbove => Some(preferences.from_above),
            Self::Section => Some(preferences.section),
            Self::Ground => Some(preferences.ground),
            Self::Picture => Some(session.picture.shown),
            Self::NextStep => Some(preferences.next_step),
            Self::Snap(snap) => Some(snap.of(preferences.snaps)),
            Self::Theme(theme) => Some(preferences.theme == theme),
            Self::Still => Some(preferences.still),
            Self::Lengths(unit) => Some(preferences.length_unit == unit),
            Self::Masses(unit) => Some(preferences.mass_unit == unit),
            _ => None,
        }
    }
}

/// The next text size up or down from the present one; `None` at the end of the list.
#[must_use]
pub(in crate::window) fn text_size_beside(preferences: &Preferences, steps: isize) -> Option<u16> {
    let now = preferences.text_percent;
    if steps > 0 {
        TEXT_SIZES.into_iter().find(|size| *size > now)
    } else {
        TEXT_SIZES.into_iter().rev().find(|size| *size < now)
    }
}
