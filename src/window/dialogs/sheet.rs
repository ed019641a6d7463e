//! What all dialogs share: the frame with its heading, a body that scrolls when the window is small, and a row of buttons.

use egui::{Align, Button, Context, Id, Layout, Margin, Modal, RichText, ScrollArea, Ui};

use crate::window::action::Action;
use crate::window::desk::Desk;
use crate::window::hands;
use crate::window::keyboard::keep_in_sight;
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::theme::Palette;

/// Whether a dialog goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    /// It stays open.
    Stay,
    /// It is closed.
    Done,
}

/// A button at the foot of a dialog.
#[derive(Clone, Copy, Debug)]
pub(super) struct FootButton<'a> {
    pub(super) label: &'a str,
    pub(super) enabled: bool,
}

impl<'a> FootButton<'a> {
    pub(super) fn new(label: &'a str) -> Self {
        Self {
            label,
            enabled: true,
        }
    }
}

/// How a dialog looks and opens.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet<'a> {
    pub(super) heading: &'a str,
    /// Width of the body, points; less when the window is narrower.
    pub(super) width: f32,
    /// Whether it was opened in this frame.
    pub(super) fresh: bool,
    /// Whether the default button takes the focus when the dialog opens; otherwise a field of the body does.
    pub(super) focus_default: bool,
}

/// What was done at the foot of a dialog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Foot {
    Nothing,
    /// The button of this place was taken; 0 is the default.
    Button(usize),
    /// Escape.
    Escape,
}

/// Draws a dialog. The buttons are given with the default first; it stands at the right.
pub(super) fn sheet_ui(
    ctx: &Context,
    palette: &Palette,
    sheet: Sheet<'_>,
    body: impl FnOnce(&mut Ui),
    buttons: impl FnOnce() -> Vec<FootButton<'static>>,
) -> Foot {
    let window = ctx.content_rect();
    // Enter in a field, or with nothing in focus, takes the default; on a button it presses that button.
    let loose = ctx.text_edit_focused() || ctx.memory(|m| m.focused().is_none());
    let enter = loose && ctx.input(|i| hands::FINISH.pressed(i));
    let popup = egui::Popup::is_any_open(ctx);
    let frame = egui::Frame::popup(&ctx.global_style())
        .fill(palette.card)
        .stroke(egui::Stroke::new(1.0, palette.card_edge))
        .corner_radius(10.0)
        .inner_margin(Margin::symmetric(20, 16));
    let mut foot = Foot::Nothing;
    let shown = Modal::new(Id::unique(("dialog", sheet.heading)))
        .frame(frame)
        .backdrop_color(palette.bench.gamma_multiply(0.72))
        .show(ctx, |ui| {
            ui.set_width(sheet.width.min(window.width() - 72.0));
            // What the dialog measured in the last frame must not hold it down when it has more to say now.
            ui.set_max_height(window.height() - 40.0);
            ui.label(
                RichText::new(sheet.heading)
                    .size(17.0)
                    .strong()
                    .color(palette.line),
            );
            ui.add_space(6.0);
            ScrollArea::vertical()
                .max_height((window.height() - 180.0).max(80.0))
                .auto_shrink([false, true])
                .show(ui, |ui| {
                    body(ui);
                    keep_in_sight(ui);
                });
            ui.add_space(10.0);
            foot = foot_ui(ui, palette, sheet, &buttons());
        });
    ctx.accesskit_node_builder(shown.response.id, |node| {
        node.set_role(egui::Role::Dialog);
        node.set_label(sheet.heading);
    });
    if foot == Foot::Nothing && enter && !popup {
        foot = Foot::Button(0);
    }
    let escape = shown.is_top_modal && !popup && ctx.input_mut(|i| hands::DROP.taken(i));
    if escape { Foot::Escape } else { foot }
}

/// Draws a dialog whose fields act as they are typed, with Close and one more button. Enter in a field takes what is typed there and leaves the dialog open.
pub(super) fn acting_ui(
    ctx: &Context,
    (shown, session, actions): (&Shown<'_>, &mut Session, &mut Vec<Action>),
    sheet: Sheet<'_>,
    other: FootButton<'static>,
    body: impl FnOnce(&mut Ui, &mut Desk<'_>),
) -> Foot {
    let typing = session.fields.typing();
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| {
            let mut desk = Desk {
                shown,
                session,
                actions,
            };
            body(ui, &mut desk);
        },
        || vec![FootButton::new("Close"), other],
    );
    match foot {
        Foot::Button(0) if typing => Foot::Nothing,
        foot => foot,
    }
}

fn foot_ui(ui: &mut Ui, palette: &Palette, sheet: Sheet<'_>, buttons: &[FootButton<'_>]) -> Foot {
    let mut foot = Foot::Nothing;
    let row = egui::vec2(ui.available_width(), 30.0);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        for (place, button) in buttons.iter().enumerate() {
            let made = if place == 0 && button.enabled {
                let text = RichText::new(button.label)
                    .color(palette.on_bright)
                    .strong();
                Button::new(text).fill(palette.bright)
            } else {
                Button::new(button.label)
            };
            let response = ui.add_enabled(button.enabled, made.min_size(egui::vec2(84.0, 28.0)));
            if place == 0 && sheet.fresh && sheet.focus_default {
                response.request_focus();
            }
            if response.clicked() {
                foot = Foot::Button(place);
            }
        }
    });
    foot
}
