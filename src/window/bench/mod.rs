//! The pages of the bench: the drawing, and what else takes its place in the middle of the window.

mod build_card;
mod build_page;
mod build_shelf;
mod nest_card;
mod nest_draw;
mod nest_page;
mod nest_view;
mod nester;
mod set_card;
mod set_draw;
mod set_page;
mod set_shelf;
mod set_table;

use egui::{Button, RichText, Role, ScrollArea, Ui, WidgetInfo};

use super::action::Action;
use super::desk::Desk;
use super::fields::end_steps;
use super::keyboard::keep_in_sight;
use super::session::Session;
use super::shown::Shown;
use super::theme;

pub(super) use build_page::BuildView;
pub(super) use build_shelf::{BuildShelf, BuildWish, build_file};
pub use nest_view::{NestView, PieceFrom, StockKind};
pub(super) use nester::{NestWish, Nester};
pub use set_shelf::SetView;
pub(super) use set_shelf::{SetShelf, SetWish};

/// What lies in the middle of the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BenchPage {
    /// The knife, drawn at true size.
    #[default]
    Drawing,
    /// All knives of the set side by side, and their table.
    Set,
    /// Knives laid on a bar, a sheet or an odd piece.
    Nest,
    /// The work step by step, as it is printed.
    Build,
}

impl BenchPage {
    /// All of them, in the order they lie.
    pub const ALL: [Self; 4] = [Self::Drawing, Self::Set, Self::Nest, Self::Build];

    /// Its name in menus and on the bar.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Drawing => "Drawing",
            Self::Set => "Set",
            Self::Nest => "Nest",
            Self::Build => "Build sheet",
        }
    }

    /// One line on what to do there.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Drawing => "",
            Self::Set => {
                "Click a knife to work on it, a heading to put the table in that order; two can lie one over the other"
            }
            Self::Nest => {
                "Wheel and drag look around, F fits; what is searched can be stopped at any time"
            }
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
        BenchPage::Set => set_page::page_ui(ui, shown, session, actions),
        BenchPage::Nest => nest_page::page_ui(ui, shown, session),
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
        BenchPage::Set => set_card::cards_ui(ui, shown, session, actions),
        BenchPage::Nest => nest_card::cards_ui(ui, shown, session, actions),
        BenchPage::Build => build_card::cards_ui(ui, shown, session, actions),
    }
}

/// The column such cards stand in.
fn column_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
    cards: impl FnOnce(&mut Ui, &mut Desk<'_>),
) {
    let mut desk = Desk {
        shown,
        session,
        actions,
    };
    end_steps(ui, &mut desk);
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            // Room for the scroll bar, so that it never lies over a number.
            ui.set_max_width(ui.available_width() - 6.0);
            cards(ui, &mut desk);
            keep_in_sight(ui);
        });
}

/// What drawing and pages say while there is no knife, as the rack does.
pub(super) const EMPTY: &str = "The rack is empty: press + there and choose a blade to start from.";

/// Words of which one is chosen, side by side; gives the one that was newly chosen.
fn one_of_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    words: impl IntoIterator<Item = (T, &'static str)>,
    now: T,
) -> Option<T> {
    let mut new = None;
    ui.horizontal_wrapped(|ui| {
        for (each, name) in words {
            let chosen = each == now;
            let button = ui.add(Button::selectable(chosen, name));
            button.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, name));
            if button.clicked() {
                new = Some(each);
            }
        }
    });
    new
}

/// A card of such a page.
fn card_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    title: &str,
    body: impl FnOnce(&mut Ui, &mut Desk<'_>),
) {
    theme::card_frame(desk.shown.palette).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new(title).strong().size(theme::READ_OUT + 1.0));
        ui.add_space(2.0);
        body(ui, desk);
    });
}
