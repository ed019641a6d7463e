//! The program's window: the state, and the order of a frame.

use std::path::PathBuf;

use egui::{CentralPanel, Panel};

use crate::edit::History;
use crate::files::{Folders, LEAST_WINDOW, WindowPlace};
use crate::knife::KnifeSet;
use crate::planning::Wanted;

use super::action::Action;
use super::bench::{self, BenchPage};
use super::commands::Command;
use super::filing::{Filing, StartOptions};
use super::picture::PictureWish;
use super::results::Results;
use super::session::Session;
use super::shown::{Kept, Shown};
use super::theme::{self, Palette};
use super::{cards, dialogs, drawing, findings_bar, icon, keyboard, menu_bar, rack, tools};

/// Why the window did not open.
#[derive(Debug, thiserror::Error)]
#[error("{reason}")]
pub struct WindowError {
    /// What the desktop said.
    pub reason: String,
}

/// Size of the window until the maker gives it another, screen points.
const FIRST_SIZE: (f32, f32) = (1440.0, 900.0);

/// Width of the rack, screen points.
const RACK_PX: f32 = 172.0;
/// Width of the cards at first, screen points.
const CARDS_PX: f32 = 330.0;
/// A drawing narrower than this is of no use, screen points.
const LEAST_DRAWING_PX: f32 = 280.0;

/// The program's window.
#[derive(Debug)]
pub struct Workshop {
    pub(super) history: History,
    pub(super) results: Results,
    pub(super) kept: Kept,
    pub(super) session: Session,
    pub(super) filing: Filing,
    pub(super) actions: Vec<Action>,
    pub(super) dressed: Option<&'static Palette>,
    /// Whether menus and cards open without motion.
    still: bool,
    /// A wanted balance that waits for the planner, mm.
    pub(super) wish: Option<Wanted>,
    /// Whether nesting waits to be begun.
    pub(super) nest_wanted: bool,
    /// A wish for the picture under the drawing that waits for the next frame.
    pub(super) picture_wish: Option<PictureWish>,
    /// Commands that wait until a field has given up what is typed in it.
    pub(super) waiting: Vec<Command>,
    /// The text size the window has now, percent.
    pub(super) text_percent: u16,
}

/// Opens the window, on a file or on the orchard set, and stays until it is closed.
///
/// # Errors
/// There is no display, or it offers no way to draw.
pub fn run(file: Option<PathBuf>) -> Result<(), WindowError> {
    // Without a home folder the window opens all the same; it says that nothing is kept.
    let folders = Folders::find();
    let trouble = folders.as_ref().err().map(ToString::to_string);
    let start = StartOptions {
        file,
        folders: folders.ok(),
        native_dialogs: true,
        set: None,
    };
    // Made before its window: the settings say where that stood.
    let mut workshop = Workshop::start(start);
    workshop.session.message = trouble.or(workshop.session.message.take());
    let options = eframe::NativeOptions {
        viewport: viewport(workshop.filing.settings().window),
        ..Default::default()
    };
    let made = eframe::run_native(
        "Tangwright",
        options,
        Box::new(move |_| Ok(Box::new(workshop))),
    );
    made.map_err(|error| WindowError {
        reason: error.to_string(),
    })
}

/// The window as it is asked for: with its icon, and where it stood last.
fn viewport(stood: Option<WindowPlace>) -> egui::ViewportBuilder {
    let (width, height) = stood.map_or(FIRST_SIZE, |place| place.size);
    let mut viewport = egui::ViewportBuilder::default()
        .with_title("Tangwright")
        .with_app_id("tangwright")
        .with_inner_size([width, height])
        .with_min_inner_size([LEAST_WINDOW.0, LEAST_WINDOW.1])
        .with_maximized(stood.is_some_and(|place| place.full))
        .with_drag_and_drop(true);
    if let Some((x, y)) = stood.and_then(|place| place.at) {
        viewport = viewport.with_position([x, y]);
    }
    match icon::icon() {
        Some(icon) => viewport.with_icon(icon),
        None => viewport,
    }
}

impl Workshop {
    /// A workshop with a set on the bench.
    #[must_use]
    pub fn new(set: KnifeSet) -> Self {
        let knife = set.knives.first().map(|k| k.id);
        let history = History::new(set);
        Self {
            filing: Filing::new(&history),
            history,
            results: Results::default(),
            kept: Kept::default(),
            session: Session {
                knife,
                ..Session::default()
            },
            actions: Vec::new(),
            dressed: None,
            still: false,
            wish: None,
            nest_wanted: false,
            picture_wish: None,
            waiting: Vec::new(),
            text_percent: 100,
        }
    }

    /// The read-only side, where the session is only read beside it.
    pub(super) fn shown(&self) -> Shown<'_> {
        let palette = self.dressed.unwrap_or(&theme::BLUE);
        Shown::new(
            &self.history,
            &self.results,
            &self.kept,
            &self.filing,
            palette,
        )
    }

    /// The set and its past.
    #[must_use]
    pub fn history(&self) -> &History {
        &self.history
    }

    /// What the window remembers.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// What the window remembers, for tests and scripts to set.
    pub fn session_mut(&mut self) -> &mut Session {
        &mut self.session
    }

    /// Results of the last refresh.
    #[must_use]
    pub fn results(&self) -> &Results {
        &self.results
    }

    /// What the window knows of the disk.
    #[must_use]
    pub fn filing(&self) -> &Filing {
        &self.filing
    }

    /// Asks for something from outside, as a menu would.
    pub fn ask(&mut self, action: Action) {
        self.actions.push(action);
    }
}

impl eframe::App for Workshop {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        let palette = theme::palette(self.session.preferences.theme, ctx.system_theme());
        if self.dressed != Some(palette) {
            theme::dress(ctx, palette);
            self.dressed = Some(palette);
        }
        if self.still != self.session.preferences.still {
            self.still = self.session.preferences.still;
            theme::hold_still(ctx, self.still);
        }
        self.settle();
        self.take_keys(ctx);
        self.set_text_size(ctx);
        self.tend_key_point(ctx);
        self.tend_files(ctx, frame);
        self.tend_picture(ctx);
        self.settle();
        self.tend_planner(ctx);
        self.tend_nester(ctx);
        self.tend_strength(ctx);
        // A drag under way is carried on here, before drawing, so that drawing, cards and beam show the same instant.
        let shown = Shown::new(
            &self.history,
            &self.results,
            &self.kept,
            &self.filing,
            palette,
        );
        let mut actions = Vec::new();
        if self.session.page == BenchPage::Drawing {
            tools::follow(ctx, &shown, &mut self.session, &mut actions);
        }
        // Once: a knife that is dragged is another one after this than before it.
        if actions.is_empty() {
            self.refresh_section();
        } else {
            self.actions = actions;
            self.settle();
        }
        if self.results.is_behind() {
            ctx.request_repaint();
        }
        self.keep_work();
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.end_session();
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let palette = self.dressed.unwrap_or(&theme::BLUE);
        let shown = Shown::new(
            &self.history,
            &self.results,
            &self.kept,
            &self.filing,
            palette,
        );
        let session = &mut self.session;
        let actions = &mut self.actions;
        let bar = egui::Frame::new()
            .fill(palette.bench)
            .inner_margin(egui::Margin::symmetric(10, 6));
        Panel::top("menu bar").frame(bar).show(ui, |ui| {
            menu_bar::menu_bar_ui(ui, &shown, session, actions);
        });
        Panel::bottom("findings").frame(bar).show(ui, |ui| {
            findings_bar::findings_bar_ui(ui, &shown, session, actions);
        });
        let Session { preferences, .. } = session;
        let cards = preferences.cards;
        let drawn = session.page == BenchPage::Drawing;
        // In a narrow window the cards go before the rack, lest nothing is left of the drawing; with the cards away, the
        // rack is there again.
        let narrow = ui.max_rect().width() < RACK_PX + CARDS_PX + LEAST_DRAWING_PX;
        if preferences.rack && !(narrow && cards) {
            Panel::left("rack")
                .frame(bar)
                .resizable(false)
                .exact_size(RACK_PX)
                .show(ui, |ui| rack::rack_ui(ui, &shown, session, actions));
        }
        if cards {
            Panel::right("cards")
                .frame(bar)
                .resizable(true)
                .default_size(CARDS_PX)
                .size_range(270.0..=460.0)
                .show(ui, |ui| {
                    // As wide with little on it as with much.
                    ui.set_min_width(ui.available_width());
                    if drawn {
                        cards::cards_ui(ui, &shown, session, actions);
                    } else {
                        bench::cards_ui(ui, &shown, session, actions);
                    }
                });
        }
        CentralPanel::default()
            .frame(egui::Frame::new().fill(palette.ground))
            .show(ui, |ui| {
                if drawn {
                    drawing::drawing_ui(ui, &shown, session, actions);
                } else {
                    bench::page_ui(ui, &shown, session, actions);
                }
            });
        dialogs::dialogs_ui(ui, &shown, session, actions);
        keyboard::ring_ui(ui.ctx(), palette, &mut session.by_keys);
        if !actions.is_empty() {
            ui.ctx().request_repaint();
        }
        self.results.weigh_beside(self.history.set());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_window_is_asked_for_where_it_stood() {
        let place = WindowPlace {
            at: Some((40.0, 50.0)),
            size: (1200.0, 800.0),
            full: false,
        };
        let asked = viewport(Some(place));
        assert_eq!(asked.position, Some(egui::pos2(40.0, 50.0)));
        assert_eq!(asked.inner_size, Some(egui::vec2(1200.0, 800.0)));
        assert_eq!(asked.maximized, Some(false));
        // Some desktops tell no place.
        let full = viewport(Some(WindowPlace {
            at: None,
            full: true,
            ..place
        }));
        assert_eq!((full.position, full.maximized), (None, Some(true)));
        let first = viewport(None);
        assert_eq!((first.position, first.maximized), (None, Some(false)));
        assert_eq!(first.inner_size, Some(egui::vec2(1440.0, 900.0)));
        let least = egui::vec2(LEAST_WINDOW.0, LEAST_WINDOW.1);
        assert!(
            [asked, full, first]
                .iter()
                .all(|v| v.min_inner_size == Some(least))
        );
    }
}
