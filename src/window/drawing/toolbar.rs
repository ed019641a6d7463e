//! The tools hanging at the left of the drawing, and the strip of what the tool in hand can do.

use egui::{
    Align2, Color32, Layout, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, UiBuilder,
    WidgetInfo, pos2, vec2,
};

use super::saw_strip::saw_strip_ui;
use crate::edit::{Change, Edit, Thing};
use crate::knife::{Joint, Knife, Spot};
use crate::window::action::Action;
use crate::window::commands::{Command, Work};
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;
use crate::window::theme::Palette;
use crate::window::tools::Gesture;

/// Size of a tool where there is room, screen points.
const TOOL_SIZE: egui::Vec2 = vec2(58.0, 52.0);
/// A tool lower than this shows its picture alone; its name is told when it is pointed at, and to a screen reader.
const NAMED_PX: f32 = 40.0;
/// Least height of a tool, screen points.
const LEAST_TOOL_PX: f32 = 26.0;
/// Height of the strip of the tool in hand until it was drawn once, screen points.
const STRIP_PX: f32 = 34.0;
/// Height that the column needs besides the tools: its margins, and the button below it.
const BESIDE_TOOLS_PX: f32 = 68.0;

/// Draws the tools and takes the one that is pressed.
pub(super) fn toolbar_ui(
    ui: &mut Ui,
    canvas: Rect,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    #[expect(clippy::cast_precision_loss, reason = "a handful of tools")]
    let count = Tool::ALL.len() as f32;
    let room = (canvas.height() - BESIDE_TOOLS_PX) / count;
    let size = vec2(TOOL_SIZE.x, room.clamp(LEAST_TOOL_PX, TOOL_SIZE.y));
    let named = size.y >= NAMED_PX;
    let card = Rect::from_min_size(
        canvas.min + vec2(10.0, 10.0),
        vec2(size.x + 10.0, size.y * count + 10.0),
    );
    let palette = shown.palette;
    let stroke = Stroke::new(1.0, palette.card_edge);
    ui.painter()
        .rect(card, 8.0, palette.bench, stroke, egui::StrokeKind::Inside);
    let mut top = card.min + vec2(5.0, 5.0);
    for tool in Tool::ALL {
        let rect = Rect::from_min_size(top, size);
        let response = ui.interact(rect, ui.scope_id().with(("tool", tool)), Sense::click());
        let in_hand = session.tool == tool;
        response
            .widget_info(|| WidgetInfo::selected(Role::RadioButton, true, in_hand, tool.name()));
        if in_hand || response.hovered() || response.has_focus() {
            let edge = if in_hand || response.has_focus() {
                palette.bright
            } else {
                palette.card_edge
            };
            ui.painter().rect(
                rect.shrink(2.0),
                6.0,
                palette.card,
                Stroke::new(1.2, edge),
                egui::StrokeKind::Inside,
            );
        }
        let color = if in_hand {
            palette.bright
        } else {
            palette.line
        };
        // The lower the tool, the nearer its name comes to its picture and its edge.
        let spare = size.y - NAMED_PX;
        let rise = if named { 9.0 - spare / 12.0 } else { 0.0 };
        draw_icon(ui.painter(), tool, rect.center() - vec2(0.0, rise), color);
        if named {
            let label = if in_hand { palette.line } else { palette.quiet };
            ui.painter().text(
                pos2(rect.center().x, rect.bottom() - 3.5 - spare / 8.0),
                Align2::CENTER_BOTTOM,
                tool.name(),
                egui::FontId::proportional(11.5),
                label,
            );
        }
        let hint = format!("{}: {}", tool.name(), tool.hint());
        if response.on_hover_text(hint).clicked() {
            actions.push(Action::Take(tool));
        }
        top.y += size.y;
    }
    let below = Rect::from_min_size(
        card.left_bottom() + vec2(0.0, 8.0),
        vec2(card.width(), 30.0),
    );
    let middle = Layout::centered_and_justified(egui::Direction::LeftToRight);
    ui.scope_builder(UiBuilder::new().max_rect(below).layout(middle), |ui| {
        let on = session.show_template;
        // Chosen, it is half clear: no line of the template shows through.
        ui.painter().rect_filled(below, 6.0, palette.ground);
        let button = egui::Button::new("Preview")
            .selected(on)
            .frame_when_inactive(true);
        let hint = "Shows the template on the drawing as it will be printed and cut";
        if ui.add(button).on_hover_text(hint).clicked() {
            session.show_template = !on;
        }
    });
    let beside = (card.right() + 12.0, canvas);
    if session.tool == Tool::Saw
        && !session.show_template
        && let Some((knife, _)) = shown.knife(session.knife)
    {
        saw_strip_ui(ui, beside, knife, shown, session, actions);
    }
    if session.tool == Tool::Scribe
        && !session.show_template
        && let Some((knife, _)) = shown.knife(session.knife)
    {
        scribe_strip_ui(ui, beside, knife, palette, session, actions);
    }
}

/// What the tool in hand can do, on a card of its own at the foot of the drawing: it covers no knife that is fitted, and no line strikes through its words.
pub(super) fn strip_ui(
    ui: &mut Ui,
    (left, canvas): (f32, Rect),
    palette: &Palette,
    add: impl FnOnce(&mut Ui),
) {
    // As high as it came out in the last frame; its rows wrap where the window is narrow.
    let id = ui.scope_id().with("height of the strip");
    let height = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(STRIP_PX);
    let top = (canvas.bottom() - 8.0 - height).max(canvas.top() + 10.0);
    let area = Rect::from_min_max(
        pos2(left, top),
        pos2(canvas.right() - 8.0, canvas.bottom() - 8.0),
    );
    let drawn = ui.scope_builder(UiBuilder::new().max_rect(area), |ui| {
        egui::Frame::new()
            .fill(palette.bench)
            .stroke(Stroke::new(1.0, palette.card_edge))
            .corner_radius(8.0)
            .inner_margin(egui::Margin::symmetric(8, 5))
            .show(ui, add)
            .response
    });
    let now = drawn.inner.rect.height();
    if (now - height).abs() > 0.5 {
        ui.data_mut(|d| d.insert_temp(id, now));
        ui.ctx().request_repaint();
    }
}

/// What Scribe can do with the picked node, or with a new outline.
fn scribe_strip_ui(
    ui: &mut Ui,
    beside: (f32, Rect),
    knife: &Knife,
    palette: &Palette,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    strip_ui(ui, beside, palette, |ui| {
        ui.horizontal_wrapped(|ui| {
            if let Gesture::Draft { nodes, .. } = &session.gesture {
                let text = match nodes.len() {
                    0 => "Click the first node; hold and drag to bend",
                    1 | 2 => "Click the next node; Backspace takes one back, Escape drops the drawing",
                    _ => "Click the first node or press Enter to close; Backspace takes one back, Escape drops it",
                };
                ui.colored_label(palette.bright, text);
                return;
            }
            if matches!(session.gesture, Gesture::DrawOver { .. }) {
                let text = "Begin on the outline, draw over the stretch, and end on the outline; Escape drops it";
                ui.colored_label(palette.bright, text);
                return;
            }
            if ui.button("Draw over").on_hover_text("Replaces a stretch of the outline by a stroke over it").clicked() {
                actions.push(Action::Do(Command::DrawOver));
            }
            for (name, opening) in [("New outline", false), ("New opening", true)] {
                if ui.button(name).clicked() {
                    session.gesture = Gesture::Draft {
                        opening,
                        nodes: Vec::new(),
                        pulling: false,
                    };
                }
            }
            let picked: Vec<u32> = session
                .picked
                .iter()
                .filter_map(|t| match t {
                    Thing::Node(id) => Some(*id),
                    _ => None,
                })
                .collect();
            match picked.as_slice() {
                [] => {
                    ui.colored_label(
                        palette.quiet,
                        "or click the outline for a node, drag it to bend, pick nodes",
                    );
                }
                [node] => node_buttons(ui, knife, *node, actions),
                _ => stretch_buttons(ui, actions),
            }
        });
    });
}

/// What can be done with the stretch between several picked nodes.
fn stretch_buttons(ui: &mut Ui, actions: &mut Vec<Action>) {
    for (work, word) in [
        (Work::Straighten, "Straighten"),
        (Work::Fair, "Make fair"),
        (Work::OneCurve, "One curve"),
    ] {
        if ui.button(word).on_hover_text(work.hint()).clicked() {
            actions.push(Action::Do(Command::Work(work)));
        }
    }
}

fn node_buttons(ui: &mut Ui, knife: &Knife, id: u32, actions: &mut Vec<Action>) {
    let Some(node) = knife.outline.node(id) else {
        return;
    };
    let mut change = |change: Change| actions.push(Action::Edit(Edit::knife(knife.id, change)));
    let (other, name) = match node.joint {
        Joint::Smooth => (Joint::Corner, "Corner"),
        Joint::Corner => (Joint::Smooth, "Smooth"),
    };
    if ui.button(name).clicked() {
        change(Change::SetJoint {
            node: id,
            joint: other,
        });
    }
    let curved = knife
        .outline
        .index_of(id)
        .and_then(|i| knife.outline.piece(i))
        .is_some_and(|p| matches!(p, crate::geometry::Piece::Cubic(_)));
    let name = if curved {
        "Straighten the piece ahead"
    } else {
        "Bend the piece ahead"
    };
    if ui.button(name).clicked() {
        change(Change::BendPiece {
            node: id,
            curved: !curved,
        });
    }
    if ui.button("Add node ahead").clicked() {
        change(Change::AddNode {
            spot: Spot { node: id, t: 0.5 },
        });
    }
    if ui.button("Remove node").clicked() {
        change(Change::Remove {
            things: vec![Thing::Node(id)],
        });
    }
}

/// A small picture for each tool, drawn with a few strokes.
fn draw_icon(painter: &Painter, tool: Tool, c: Pos2, color: Color32) {
    let stroke = Stroke::new(1.6, color);
    match tool {
        Tool::Shift => {
            // Four ways to push.
            for (dx, dy) in [(8.0, 0.0), (-8.0, 0.0), (0.0, 8.0), (0.0, -8.0)] {
                let end = c + vec2(dx, dy);
                painter.line_segment([c, end], stroke);
                let back = vec2(dx, dy) * 0.35;
                let side = vec2(dy, dx) * 0.3;
                painter.line_segment([end, end - back + side], stroke);
                painter.line_segment([end, end - back - side], stroke);
            }
        }
        Tool::Scribe => {
            // A scriber and the line it leaves.
            painter.line_segment(
                [c + vec2(-2.0, 2.0), c + vec2(8.0, -9.0)],
                Stroke::new(2.4, color),
            );
            painter.line_segment([c + vec2(-6.0, 6.5), c + vec2(-2.0, 2.0)], stroke);
            painter.line_segment([c + vec2(-11.0, 8.5), c + vec2(6.0, 8.5)], stroke);
        }
        Tool::Drill => {
            painter.circle_stroke(c, 6.0, stroke);
            for (dx, dy) in [(1.0, 0.0), (0.0, 1.0)] {
                let d = vec2(dx, dy);
                painter.line_segment([c - d * 10.0, c - d * 3.0], stroke);
                painter.line_segment([c + d * 3.0, c + d * 10.0], stroke);
            }
        }
        Tool::Slot => {
            let rect = Rect::from_center_size(c, vec2(20.0, 9.0));
            painter.rect_stroke(rect, 4.5, stroke, egui::StrokeKind::Middle);
        }
        Tool::Saw => {
            let ends = [c + vec2(-10.0, -2.0), c + vec2(10.0, -2.0)];
            painter.line_segment(ends, stroke);
            // Teeth below the blade.
            let teeth = (0..=10_u8).map(|i| {
                let down = if i % 2 == 0 { -2.0 } else { 3.0 };
                c + vec2(-10.0 + 2.0 * f32::from(i), down)
            });
            painter.add(Shape::line(teeth.collect(), stroke));
            painter.line_segment(
                [c + vec2(10.0, -7.0), c + vec2(10.0, 5.0)],
                Stroke::new(2.4, color),
            );
        }
        Tool::Trace => {
            // A sheet with a knife on it.
            let rect = Rect::from_center_size(c, vec2(22.0, 17.0));
            painter.rect_stroke(rect, 2.0, stroke, egui::StrokeKind::Middle);
            let blade = [
                (-8.0, 1.0),
                (-1.0, -2.5),
                (8.0, -1.5),
                (2.0, 3.5),
                (-8.0, 2.5),
            ];
            let blade = blade.map(|(x, y)| c + vec2(x, y)).to_vec();
            painter.add(Shape::closed_line(blade, Stroke::new(1.2, color)));
        }
        Tool::Rule => {
            let rect = Rect::from_center_size(c, vec2(22.0, 9.0));
            painter.rect_stroke(rect, 1.0, stroke, egui::StrokeKind::Middle);
            for i in 1..5u8 {
                let x = rect.left() + f32::from(i) * 4.4;
                let long = if i % 2 == 0 { 5.0 } else { 3.0 };
                painter.add(Shape::line_segment(
                    [pos2(x, rect.top()), pos2(x, rect.top() + long)],
                    stroke,
                ));
            }
        }
    }
}
