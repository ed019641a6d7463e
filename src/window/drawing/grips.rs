//! What of the grinds can be held on the drawing: heights on the grind line, plunge lines, the nodes of fullers.

use egui::{EventFilter, Id, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::Pen;
use super::handles::Bench;
use crate::edit::Thing;
use crate::geometry::Vec2;
use crate::knife::{Face, Fuller, Grind, Knife};
use crate::units::{Angle, Length, print_angle};
use crate::window::action::Action;
use crate::window::hands;
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::tools::{GrindGrip, Held, grips, held, nudge_step, start_grip, stepped_grip};

/// Size of the square that takes the pointer for a grip, screen points.
const GRIP_PX: f32 = 15.0;

/// Draws the grips of every grind and takes presses on them.
pub(super) fn grips_ui(
    ui: &mut Ui,
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    for grind in &knife.grinding.grinds {
        for grip in grips(grind) {
            if let Some(held) = held(knife, grip) {
                grip_ui(ui, pen, shown, session, actions, (knife, grind, grip, held));
            }
        }
    }
}

fn grip_ui(
    ui: &mut Ui,
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
    (knife, grind, grip, held): (&Knife, &Grind, GrindGrip, Held),
) {
    let at = pen.pos(held.at);
    let rect = Rect::from_center_size(at, vec2(GRIP_PX, GRIP_PX));
    if !pen.canvas.intersects(rect) {
        return;
    }
    let id = Id::unique(("grip", knife.id, grip));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| {
        let name = spoken(grind, grip, &held, session);
        WidgetInfo::labeled(Role::Button, true, name)
    });
    if response.clicked() {
        response.request_focus();
    }
    if response.drag_started_by(egui::PointerButton::Primary) {
        start_grip(&response, shown, session, grip, actions);
    }
    if response.gained_focus() || response.dragged() {
        session.grind_part = Some(crate::window::cards::GrindPart::Grind(grind.id));
    }
    let palette = pen.palette;
    if response.has_focus() {
        keys(ui, &response, session, knife, grip, actions);
    }
    let lit = response.hovered() || response.dragged() || response.has_focus();
    let far = matches!(
        grip,
        GrindGrip::Rise {
            face: Face::Left,
            ..
        }
    );
    let color = if lit { palette.bright } else { palette.guide };
    if lit || matches!(grip, GrindGrip::Plunge { .. }) {
        let stroke = Stroke::new(1.0, color.gamma_multiply(0.7));
        pen.painter.line_segment([pen.pos(held.foot), at], stroke);
    }
    let fill = if far { palette.quiet } else { palette.ground };
    let stroke = Stroke::new(1.6, color);
    match grip {
        GrindGrip::Rise { .. } => {
            // A wedge that points the way the line goes: up from the run.
            let half = 4.5;
            let corners = vec![
                at + vec2(0.0, -half),
                at + vec2(half, half * 0.8),
                at + vec2(-half, half * 0.8),
            ];
            pen.painter
                .add(egui::Shape::convex_polygon(corners, fill, stroke));
        }
        GrindGrip::Plunge { .. } => {
            pen.painter.circle(at, 4.0, fill, stroke);
        }
    }
}

fn spoken(grind: &Grind, grip: GrindGrip, held: &Held, session: &Session) -> String {
    let lengths = session.preferences.lengths();
    match grip {
        GrindGrip::Rise { face, station, .. } => {
            let face = match face {
                Face::Right => "",
                Face::Left => " on the left face",
            };
            format!(
                "height {} of {}{face}, {}",
                station + 1,
                grind.name,
                lengths.print(Length::mm(held.value))
            )
        }
        GrindGrip::Plunge { at_end, .. } => {
            let end = if at_end { grind.run.to } else { grind.run.from };
            format!(
                "plunge line of {} at the {}, {}",
                grind.name,
                end.name(),
                print_angle(Angle::radians(held.value), 1)
            )
        }
    }
}

/// Arrow keys raise and lower what has the keyboard; a held key is one undo step.
fn keys(
    ui: &Ui,
    response: &egui::Response,
    session: &mut Session,
    knife: &Knife,
    grip: GrindGrip,
    actions: &mut Vec<Action>,
) {
    let steps = arrow_steps(ui, response);
    let by = steps.x + steps.y;
    if by == 0.0 {
        return;
    }
    if let Some(edit) = stepped_grip(knife, grip, by) {
        nudge_step(session, grip.label(), edit, actions);
    }
}

/// Steps of the arrow keys for what has the keyboard, mm, `y` up; Tab goes on to the next thing.
pub(super) fn arrow_steps(ui: &Ui, response: &egui::Response) -> Vec2 {
    let filter = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    ui.input_mut(hands::arrow_steps) * hands::ARROW_MM
}

/// The middle lines of fullers and the nodes that bend them.
pub(super) fn fullers_ui(bench: &mut Bench<'_, '_>, session: &mut Session, knife: &Knife) {
    for fuller in &knife.grinding.fullers {
        draw_middle_line(bench.pen, fuller);
        for (i, node) in fuller.path.nodes.iter().enumerate() {
            let thing = Thing::FullerNode {
                fuller: fuller.id,
                node: node.id,
            };
            let at = bench.pen.pos(node.at);
            let rect = Rect::from_center_size(at, vec2(GRIP_PX, GRIP_PX));
            let name = || format!("node {} of {}", i + 1, fuller.name);
            if let Some(response) = bench.thing(session, knife, thing, rect, name) {
                let color = bench.color(&response, session.is_picked(thing));
                let stroke = Stroke::new(1.5, color);
                let fill = bench.pen.palette.ground;
                bench.pen.painter.circle(at, 3.5, fill, stroke);
            }
        }
    }
}

fn draw_middle_line(pen: &Pen<'_>, fuller: &Fuller) {
    let n = fuller.path.nodes.len();
    let mut line = Vec::new();
    for piece in (0..n.saturating_sub(1)).filter_map(|i| fuller.path.piece(i)) {
        let steps: u8 = match piece {
            crate::geometry::Piece::Line(_) => 1,
            _ => 24,
        };
        if line.is_empty() {
            line.push(pen.pos(piece.start()));
        }
        let along = (1..=steps).map(|i| piece.eval(f64::from(i) / f64::from(steps)));
        line.extend(along.map(|p| pen.pos(p)));
    }
    pen.dashed_path(&line, Stroke::new(1.0, pen.palette.quiet), (3.0, 4.0));
}
