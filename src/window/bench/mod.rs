//! The pages of the bench: the drawing, and what else takes its place in the middle of the window.

mod build_card;
mod build_page;
mod build_shelf;

use egui::Ui;

use super::action::Action;
use super::session::Session;
use super::shown::Shown;

pub(super) use build_page::BuildView;
pub(super) use build_shelf::{BuildShelf, BuildWish, build_file};

/// What lies in the middle of the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BenchPage {
    /// The knife, drawn at true size.
    #[default]
    Drawing,
    /// The work step by step, as it is printed.
    Build,
}

impl BenchPage {
    /// All of them, in the order they lie.
    pub const ALL: [Self; 2] = [Self::Drawing, Self::Build];

    /// Its name in menus and on the bar.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Drawing => "Drawing",
            Self::Build => "Build sheet",
        }
    }

    /// One line on what to do there.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Drawing => "",
            Self::Build => {
                "Page Up and Page Down turn the pages; the words at the right are yours to change"
            }
        }
    }
}

/// Draws the page that lies in the middle, which is not the drawing.
pub(super) fn page_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    // Nothing of the drawing has the pointer or the keyboard now.
    session.over_ground = false;
    session.object_has_focus = false;
    session.pointer = None;
    match session.page {
        BenchPage::Drawing => {}
        BenchPage::Build => build_page::page_ui(ui, shown, session, actions),
    }
}

/// Draws the cards of that page.
pub(super) fn cards_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    match session.page {
        BenchPage::Drawing => {}
        BenchPage::Build => build_card::cards_ui(ui, shown, session, actions),
    }
}
