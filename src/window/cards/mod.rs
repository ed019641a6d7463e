//! The cards at the right, in the order of the work: Profile, Grind, Drill, Handle, Weigh-up, Template.

mod asked;
mod bearing;
mod choice;
mod drill;
mod drill_pick;
mod engrave;
mod flaws;
mod grind;
mod grip;
mod group;
mod guard;
mod handle;
mod learned;
mod order;
mod picture;
mod pin_fit;
mod plan;
mod profile;
mod profile_pick;
mod ready;
mod resize;
mod say;
mod stretch;
mod switch;
mod template;
mod weigh_ins;
mod weigh_up;
mod wrap;

pub(in crate::window) use choice::choice_ui;
pub(super) use choice::{bench_material, with_materials};
pub(in crate::window) use ready::as_own;
pub(super) use template::paper_ui;

use std::sync::Arc;

use egui::collapsing_header::CollapsingState;
use egui::{Align2, RichText, Role, ScrollArea, Sense, TextStyle, Ui, WidgetInfo};

use super::action::Action;
use super::desk::Desk;
use super::fields;
use super::keyboard::keep_in_sight;
use super::next::Next;
use super::results::KnifeResults;
use super::session::Session;
use super::shown::Shown;
use super::theme;
use super::tools::Gesture;
use crate::checks::Subject;
use crate::edit::Thing;
use crate::knife::{Knife, KnifeSet};

pub(in crate::window) use bearing::Bearing;
pub(in crate::window) use drill::NearDrills;
pub use grind::GrindPart;
pub(in crate::window) use grind::{Forging, Wanted};
pub(in crate::window) use grip::{FIRST_GLUE, FIRST_WOOD};
pub(in crate::window) use pin_fit::PinRod;
pub(in crate::window) use plan::{PlanWish, shown_plan};
pub(in crate::window) use say::{Say, capital, sentence, unparted, with_plus};
pub(in crate::window) use weigh_ins::NewWeighIn;
pub(in crate::window) use wrap::WrapWish;

/// So much of what is picked is brought into sight on its card, points.
const PICKED_PX: f32 = 330.0;

/// The knife a card speaks of.
#[derive(Clone, Copy)]
struct OnCard<'a> {
    knife: &'a Knife,
    results: &'a KnifeResults,
    say: Say,
}

/// Brings up to date what the cards were asked about a knife beyond its results.
pub(super) fn look_anew(session: &mut Session, knife: &Arc<Knife>, set: &KnifeSet) {
    session.weigh_in.look_anew(knife, set);
}

/// Draws the cards of the knife on the drawing.
pub(super) fn cards_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let mut desk = Desk {
        shown,
        session,
        actions,
    };
    fields::end_steps(ui, &mut desk);
    let Some((knife, results)) = shown.knife(desk.session.knife) else {
        hint_ui(
            ui,
            &desk,
            "Press + in the rack for a first knife: its numbers stand here.",
        );
        return;
    };
    let on = OnCard {
        knife,
        results,
        say: Say::new(&desk.session.preferences, &results.weighed.up),
    };
    open_for_pick(ui, desk.session);
    // The Template card says so while it is open.
    desk.session.ready.open = false;
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            // Room for the scroll bar, so that it never lies over a number.
            ui.set_max_width(ui.available_width() - 6.0);
            picture::card_ui(ui, &mut desk, on);
            profile::card_ui(ui, &mut desk, on);
            grind::card_ui(ui, &mut desk, on);
            drill::card_ui(ui, &mut desk, on);
            handle::card_ui(ui, &mut desk, on);
            weigh_up::card_ui(ui, &mut desk, on);
            template::card_ui(ui, &mut desk, on);
            keep_in_sight(ui);
        });
}

/// The cards, in their order.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Card {
    Picture,
    Profile,
    Grind,
    Drill,
    Handle,
    WeighUp,
    Template,
}

impl Card {
    fn title(self) -> &'static str {
        match self {
            Self::Picture => "Picture",
            Self::Profile => "Profile",
            Self::Grind => "Grind",
            Self::Drill => "Drill",
            Self::Handle => "Handle",
            Self::WeighUp => "Weigh-up",
            Self::Template => "Template",
        }
    }

    fn id(self) -> egui::Id {
        egui::Id::unique(("card", self.title()))
    }

    /// The card of the next step.
    fn of_next(next: Next) -> Option<Self> {
        match next {
            Next::Bevel => Some(Self::Grind),
            Next::Pins => Some(Self::Drill),
            Next::Handle => Some(Self::Handle),
            Next::Template => Some(Self::Template),
            Next::Rack | Next::Findings | Next::Save => None,
        }
    }

    fn open_at_first(self) -> bool {
        self != Self::Handle
    }
}

/// The card that shows a picked thing.
fn card_of(thing: Thing) -> Card {
    match thing {
        Thing::Node(_) | Thing::Handle { .. } | Thing::Landmark(_) => Card::Profile,
        Thing::CutOut(_) | Thing::CutOutNode { .. } | Thing::Row(_) | Thing::RowEnd { .. } => {
            Card::Drill
        }
        Thing::TaperStation(_) | Thing::FullerNode { .. } => Card::Grind,
        Thing::Name => Card::Template,
    }
}

/// Opens the card of what was just picked.
fn open_for_pick(ui: &Ui, session: &mut Session) {
    if session.picked == session.picked_on_cards {
        return;
    }
    session.picked_on_cards.clone_from(&session.picked);
    session.pick_to_show = !session.picked.is_empty();
    if let Some(thing) = session.picked.first() {
        open(ui, card_of(*thing));
        if let Some(part) = grind::part_of(*thing) {
            session.grind_part = Some(part);
        }
    }
}

/// Draws what is picked, and brings it into sight once the pointer has let go. After a drag the cards stay where they are: the maker may be reading its effect
/// on another one.
fn in_sight<R>(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    card: Card,
    add: impl FnOnce(&mut Ui, &mut Desk<'_>) -> R,
) -> R {
    let drawn = ui.scope(|ui| add(ui, desk));
    let session = &mut *desk.session;
    session.pick_to_show &= session.gesture == Gesture::Idle;
    let own = session.picked.first().is_some_and(|t| card_of(*t) == card);
    if session.pick_to_show && own && !ui.input(|i| i.pointer.any_down()) {
        session.pick_to_show = false;
        let mut rect = drawn.response.rect;
        rect.max.y = rect.max.y.min(rect.top() + PICKED_PX);
        ui.scroll_to_rect(rect, None);
    }
    drawn.inner
}

fn open(ui: &Ui, card: Card) {
    let mut state =
        CollapsingState::load_with_default_open(ui.ctx(), card.id(), card.open_at_first());
    state.set_open(true);
    state.store(ui.ctx());
}

/// Opens the card where what a finding speaks of is mended.
pub(super) fn open_for_subject(ui: &Ui, session: &mut Session, subject: &Subject) {
    match subject {
        Subject::Tang | Subject::Guard => open(ui, Card::Handle),
        Subject::Stock | Subject::Knife => open(ui, Card::Profile),
        Subject::Grind(id) => {
            open(ui, Card::Grind);
            session.grind_part = Some(GrindPart::Grind(*id));
        }
        // What is picked opens its own card.
        Subject::Node(_) | Subject::Piece(_) | Subject::CutOuts(_) | Subject::Landmark(_) => {}
    }
}

/// A card: its header always, its body while it is open.
fn card_frame_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    card: Card,
    summary: &str,
    body: impl FnOnce(&mut Ui, &mut Desk<'_>),
) {
    if desk.session.gesture.drags() && keep_room(ui, card) {
        return;
    }
    let mut state =
        CollapsingState::load_with_default_open(ui.ctx(), card.id(), card.open_at_first());
    let palette = desk.shown.palette;
    let mut frame = theme::card_frame(palette);
    if !state.is_open() {
        frame = frame.fill(palette.bench);
    }
    let next = desk.session.next;
    let pointed_at = next.and_then(Card::of_next) == Some(card);
    if pointed_at {
        frame = frame.stroke(egui::Stroke::new(2.0, palette.bright));
    }
    // In a scope of its own a card counts as one thing, as the room that is kept for it does: whatever comes after it stays the same to the window.
    let drawn = ui.scope(|ui| {
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            if header_ui(ui, desk, card, summary, state.is_open()) {
                state.toggle(ui);
                state.store(ui.ctx());
            } else if state.is_open() {
                ui.add_space(2.0);
                body(ui, desk);
            }
        });
    });
    let height = drawn.response.rect.height();
    ui.data_mut(|data| data.insert_temp(card.id(), height));
    // Each step brings its card into sight once; then the maker looks where he likes.
    if pointed_at && desk.session.next_seen != next {
        desk.session.next_seen = next;
        let head = drawn.response.rect;
        let head = egui::Rect::from_min_size(head.min, egui::vec2(head.width(), 60.0));
        ui.scroll_to_rect(head, Some(egui::Align::Center));
    }
}

/// Keeps the room of a card that is out of sight, as high as it was drawn last; `false` where it has to be drawn. While the pointer drags something on the drawing
/// nobody sees such a card nor reaches it, and drawing it would hold the drag up.
fn keep_room(ui: &mut Ui, card: Card) -> bool {
    let Some(height) = ui.data(|data| data.get_temp::<f32>(card.id())) else {
        return false;
    };
    let size = egui::vec2(ui.available_width(), height);
    let room = egui::Rect::from_min_size(ui.cursor().min, size);
    if ui.is_rect_visible(room) {
        return false;
    }
    ui.allocate_space(size);
    true
}

/// The header line; `true` when it was clicked.
fn header_ui(ui: &mut Ui, desk: &Desk<'_>, card: Card, summary: &str, open: bool) -> bool {
    let font = TextStyle::Button.resolve(ui.style());
    let title = RichText::new(card.title()).strong().size(font.size);
    let spoken = format!("{} card", card.title());
    line_ui(ui, desk, title, font.size + 6.0, &spoken, summary, open)
}

/// The line of a part of a card that opens and shuts; `true` when it was clicked.
fn fold_line_ui(ui: &mut Ui, desk: &Desk<'_>, title: &str, summary: &str, open: bool) -> bool {
    let words = RichText::new(capital(title)).size(theme::READ_OUT);
    let words = if open { words.strong() } else { words };
    let spoken = format!("{title}: {summary}");
    line_ui(
        ui,
        desk,
        words,
        theme::READ_OUT + 6.0,
        &spoken,
        summary,
        open,
    )
}

/// A line with a mark that tells whether what is under it is open.
fn line_ui(
    ui: &mut Ui,
    desk: &Desk<'_>,
    title: RichText,
    height: f32,
    spoken: &str,
    summary: &str,
    open: bool,
) -> bool {
    let palette = desk.shown.palette;
    let size = egui::vec2(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken));
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_expanded(open));
    if ui.is_rect_visible(rect) {
        let lit = response.hovered() || response.has_focus();
        let mark = if lit { palette.bright } else { palette.quiet };
        let painter = ui.painter();
        let (x, y) = (rect.left() + 4.0, rect.center().y);
        let corners = if open {
            [(-4.0, -2.0), (0.0, 2.0), (4.0, -2.0)]
        } else {
            [(-2.0, -4.0), (2.0, 0.0), (-2.0, 4.0)]
        };
        let line = corners.map(|(dx, dy)| egui::pos2(x + dx, y + dy)).to_vec();
        painter.line(line, egui::Stroke::new(1.5, mark));
        let title = egui::WidgetText::from(title).into_galley(
            ui,
            Some(egui::TextWrapMode::Truncate),
            0.7 * rect.width(),
            TextStyle::Button,
        );
        let left = egui::pos2(rect.left() + 16.0, y - title.size().y / 2.0);
        let room = rect.width() - 30.0 - title.size().x;
        ui.painter().galley(left, title, palette.line);
        let words = egui::WidgetText::from(RichText::new(summary).small());
        let words = words.into_galley(
            ui,
            Some(egui::TextWrapMode::Truncate),
            room,
            TextStyle::Small,
        );
        let at = Align2::RIGHT_CENTER.anchor_size(rect.right_center(), words.size());
        ui.painter().galley(at.min, words, palette.quiet);
    }
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

/// One line that says what to do next.
fn hint_ui(ui: &mut Ui, desk: &Desk<'_>, text: &str) {
    ui.label(RichText::new(text).small().color(desk.shown.palette.quiet));
}

/// A caution.
fn caution_ui(ui: &mut Ui, desk: &Desk<'_>, text: &str) {
    ui.label(RichText::new(text).small().color(desk.shown.palette.warn));
}

/// A small heading within a card.
fn heading_ui(ui: &mut Ui, desk: &Desk<'_>, text: &str) {
    ui.add_space(2.0);
    ui.label(
        RichText::new(text)
            .strong()
            .small()
            .color(desk.shown.palette.bright),
    );
}

/// A name at the left and a value at the right.
fn read_out_ui(ui: &mut Ui, desk: &Desk<'_>, name: &str, value: &str) {
    ui.horizontal(|ui| {
        let quiet = desk.shown.palette.quiet;
        ui.label(RichText::new(name).size(theme::READ_OUT).color(quiet));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new(value).size(theme::READ_OUT));
        });
    });
}
