//! The wish on the beam: an open marker that is dragged to the wanted balance, and the ghosts of the plan that brings it about.

use egui::{Align2, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::Pen;
use super::pen::named_ui;
use crate::geometry::Point;
use crate::knife::{Id, Knife};
use crate::planning::{PlannedCut, Wanted};
use crate::units::Length;
use crate::window::action::Action;
use crate::window::cards::shown_plan;
use crate::window::hands::arrow_steps;
use crate::window::results::KnifeResults;
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;

/// Size of the marker, screen points.
const MARKER_PX: f32 = 10.0;
/// One press of an arrow key, mm.
const STEP_MM: f64 = 0.5;

/// One cut of a plan as a ghost, which a screen reader knows by its drill.
fn ghost_ui(ui: &Ui, pen: &Pen<'_>, key: (Id, usize), cut: &PlannedCut) {
    let points = cut.shape.contour().flattened(0.02);
    pen.closed(&points, Stroke::new(2.0, pen.palette.bright));
    let mut rect = Rect::NOTHING;
    points.iter().for_each(|at| rect.extend_with(pen.pos(*at)));
    let drill = cut.drill.as_deref().unwrap_or("cut");
    let name = format!("planned {}: {drill}", key.1 + 1);
    named_ui(ui, ("ghost", key), rect, name);
}

/// Draws marker and ghosts, and takes the drag. `beam_y` is where the beam hangs.
pub(super) fn wish_ui(
    ui: &mut Ui,
    pen: &Pen<'_>,
    (knife, results): (&Knife, &KnifeResults),
    beam_y: f32,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some(total) = results.weighed.up.total else {
        return;
    };
    if let Some(plan) = shown_plan(shown, &session.plan, &results.knife) {
        for (place, cut) in plan.cuts.iter().enumerate() {
            ghost_ui(ui, pen, (knife.id, place), cut);
        }
    }
    if session.tool != Tool::Shift {
        return;
    }
    if let Some(plan) = shown_plan(shown, &session.plan, &results.knife) {
        let at = pos2(pen.pos(Point::new(plan.balance_mm, 0.0)).x, beam_y - 8.0);
        pen.painter
            .circle_stroke(at, 4.0, Stroke::new(1.5, pen.palette.bright));
    }
    let wanted = session.plan.balance_of(knife.id);
    let mm = wanted.unwrap_or(total.balance_mm);
    // Above the beam, so that it never lies on the fulcrum.
    let tip: Pos2 = pos2(pen.pos(Point::new(mm, 0.0)).x, beam_y - 2.0);
    let rect = Rect::from_center_size(tip - vec2(0.0, MARKER_PX), vec2(2.4, 2.2) * MARKER_PX);
    let response = ui.interact(
        rect,
        ui.scope_id().with(("wanted balance", knife.id)),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::slider(true, mm, "wanted balance"));
    let mut new = None;
    if response.dragged()
        && let Some(pos) = response.interact_pointer_pos()
    {
        let at = session.view().model_from_screen(pen.canvas, pos).x;
        new = Some((at * 10.0).round() / 10.0);
    }
    let mut settled = response.drag_stopped();
    if response.has_focus() {
        let steps = ui.input_mut(arrow_steps).x;
        if steps != 0.0 {
            new = Some(mm + steps * STEP_MM);
            settled = true;
        }
        ui.memory_mut(|m| {
            let arrows = egui::EventFilter {
                horizontal_arrows: true,
                ..Default::default()
            };
            m.set_focus_lock_filter(response.id, arrows);
        });
    }
    if let Some(mm) = new {
        session.plan.wanted = Some((knife.id, Wanted::BalanceMm(mm)));
        session.plan.shown = 0;
        session.plan.open();
    }
    if settled && let Some(wanted) = session.plan.wanted_of(knife.id) {
        actions.push(Action::Plan(wanted));
    }
    let lit = response.hovered() || response.dragged();
    let color = match (wanted, lit) {
        (Some(_), _) | (None, true) => pen.palette.bright,
        (None, false) => pen.palette.quiet,
    };
    let marker = vec![
        tip,
        tip + vec2(-0.7 * MARKER_PX, -1.3 * MARKER_PX),
        tip + vec2(0.7 * MARKER_PX, -1.3 * MARKER_PX),
    ];
    // Open, so that the line of the balance ends at it.
    let stroke = Stroke::new(1.6, color);
    pen.painter
        .add(Shape::convex_polygon(marker, pen.palette.ground, stroke));
    if wanted.is_some() {
        let text = format!(
            "wanted {}",
            session.preferences.lengths().print_signed(Length::mm(mm))
        );
        let at = tip - vec2(0.0, 1.5 * MARKER_PX);
        pen.text_on_plate(at, Align2::CENTER_BOTTOM, &text, 12.0, pen.palette.bright);
    }
    let held = response.dragged();
    let response = response.on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
    // Held, it would hide the balance it is held against.
    if !held {
        response.on_hover_text("Drag to where the knife shall balance");
    }
}
