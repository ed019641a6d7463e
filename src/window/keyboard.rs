//! Where the keyboard is: one ring round it wherever that is, and what rolls is rolled until it is seen.

use egui::{Context, Event, Id, LayerId, Order, Stroke, StrokeKind, Ui};

use super::hands;
use super::theme::Palette;

/// Room between the ring and what it goes round, and what is left visible beyond that when something is rolled, screen points.
const ROOM_PX: f32 = 2.0;
const SIGHT_PX: f32 = 14.0;
const WIDTH_PX: f32 = 1.5;

/// Draws the ring, once keys have moved the keyboard; a press of the pointer takes it away. `by_keys` is whether keys did.
pub(super) fn ring_ui(ctx: &Context, palette: &Palette, by_keys: &mut bool) {
    ctx.input(|input| {
        for event in &input.events {
            match event {
                Event::Key {
                    key, pressed: true, ..
                } if hands::NEXT_CONTROL.has(*key) || hands::ARROWS.has(*key) => *by_keys = true,
                Event::PointerButton { pressed: true, .. } => *by_keys = false,
                _ => {}
            }
        }
    });
    let focused = ctx.memory(egui::Memory::focused).filter(|_| *by_keys);
    let Some(at) = focused.and_then(|id| ctx.read_response(id)) else {
        return;
    };
    let ring = at.interact_rect.expand(ROOM_PX);
    let ring = ring.intersect(ctx.content_rect().shrink(WIDTH_PX));
    if ring.is_positive() {
        let layer = LayerId::new(Order::Tooltip, Id::unique("keyboard"));
        let stroke = Stroke::new(WIDTH_PX, palette.bright);
        ctx.layer_painter(layer)
            .rect_stroke(ring, 4.0, stroke, StrokeKind::Inside);
    }
}

/// Rolls to what the keyboard has just come to, if it is one of the things drawn on `ui` so far. To be called last in what rolls.
pub(super) fn keep_in_sight(ui: &Ui) {
    let focused = ui.memory(egui::Memory::focused);
    let Some(at) = focused.and_then(|id| ui.ctx().read_response(id)) else {
        return;
    };
    if at.gained_focus() && at.layer_id == ui.layer_id() && ui.min_rect().contains_rect(at.rect) {
        ui.scroll_to_rect(at.rect.expand(SIGHT_PX), None);
    }
}
