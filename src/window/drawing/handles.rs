//! Things on the drawing that can be picked and moved: each a control of its own, with a name, reachable by keyboard.

use egui::{Color32, EventFilter, Id, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::Pen;
use super::aids::clamped;
use super::rounding::rounding_ui;
use crate::edit::{Thing, thing_point};
use crate::geometry::Point;
use crate::knife::{CutShape, Joint, Knife, LandmarkKind};
use crate::units::Length;
use crate::window::action::Action;
use crate::window::results::KnifeResults;
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;
use crate::window::tools::{Gesture, Rounding, press_on_thing};

/// Size of the square that takes the pointer for a thing, screen points.
const GRIP_PX: f32 = 16.0;

/// Draws the handles of the knife on the drawing and takes presses on them.
pub(super) fn things_ui(
    ui: &mut Ui,
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some((knife, results)) = shown.knife(session.knife) else {
        return;
    };
    session.object_has_focus = false;
    // A stroke over the outline begins on it as often as not on a node.
    if matches!(session.gesture, Gesture::DrawOver { .. }) {
        return;
    }
    let mut bench = Bench {
        ui,
        pen,
        area: pen.canvas,
        shown,
        actions,
    };
    match session.tool {
        Tool::Shift => {
            bench.cut_outs(session, knife, results);
            super::grips::fullers_ui(&mut bench, session, knife);
            bench.landmarks(session, knife);
            bench.name(session, knife, results);
            bench.nodes(session, knife);
        }
        Tool::Scribe => bench.nodes(session, knife),
        Tool::Drill | Tool::Slot | Tool::Saw | Tool::Rule | Tool::Trace => {}
    }
}

/// What a thing needs to become a control.
pub(super) struct Bench<'a, 'b> {
    pub ui: &'a mut Ui,
    pub pen: &'a Pen<'b>,
    /// Things beyond it are not seen.
    pub area: Rect,
    pub shown: &'a Shown<'b>,
    pub actions: &'a mut Vec<Action>,
}

impl Bench<'_, '_> {
    /// One thing: takes the pointer in `rect`, and tells its name.
    pub(super) fn thing(
        &mut self,
        session: &mut Session,
        knife: &Knife,
        thing: Thing,
        rect: Rect,
        name: impl Fn() -> String,
    ) -> Option<Response> {
        if !self.area.intersects(rect) {
            return None;
        }
        let id = Id::unique(("thing", knife.id, thing));
        let response = self.ui.interact(rect, id, Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name()));
        if response.has_focus() {
            session.object_has_focus = true;
            // The arrow keys move the thing; Tab goes on to the next one.
            let filter = EventFilter {
                horizontal_arrows: true,
                vertical_arrows: true,
                ..EventFilter::default()
            };
            self.ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        }
        press_on_thing(&response, self.shown, session, thing, self.actions);
        Some(response)
    }

    pub(super) fn color(&self, response: &Response, picked: bool) -> Color32 {
        if picked || response.hovered() || response.dragged() {
            self.pen.palette.bright
        } else {
            self.pen.palette.line
        }
    }

    fn nodes(&mut self, session: &mut Session, knife: &Knife) {
        let lengths = session.preferences.fine_lengths();
        for (i, node) in knife.outline.nodes.iter().enumerate() {
            let thing = Thing::Node(node.id);
            let picked = session.is_picked(thing);
            let rect = grip(self.pen, node.at, GRIP_PX);
            let at = node.at;
            let response = self.thing(session, knife, thing, rect, || {
                format!(
                    "node {} at {}, {}{}",
                    i + 1,
                    lengths.print_bare(Length::mm(at.x)),
                    lengths.print(Length::mm(at.y)),
                    clamped(knife, thing)
                )
            });
            if session.is_open(thing) {
                self.handles_of(session, knife, node.id);
                let rounding = Rounding {
                    of: None,
                    node: node.id,
                };
                rounding_ui(self, session, knife, rounding, &format!("node {}", i + 1));
            }
            let Some(response) = response else { continue };
            let color = self.color(&response, picked);
            let center = self.pen.pos(node.at);
            let size = if picked { 9.0 } else { 7.0 };
            match node.joint {
                Joint::Smooth => {
                    self.pen.painter.circle(
                        center,
                        size / 2.0,
                        self.pen.palette.ground,
                        Stroke::new(1.5, color),
                    );
                }
                Joint::Corner => {
                    let square = Rect::from_center_size(center, vec2(size, size));
                    self.pen.painter.rect_filled(square, 1.0, color);
                }
            }
        }
    }

    fn handles_of(&mut self, session: &mut Session, knife: &Knife, node: crate::knife::Id) {
        for outgoing in [false, true] {
            let thing = Thing::Handle { node, outgoing };
            let (Some(base), Some(at)) = (
                thing_point(knife, Thing::Node(node)),
                thing_point(knife, thing),
            ) else {
                continue;
            };
            let stroke = Stroke::new(1.2, self.pen.palette.bright);
            self.pen.line(base, at, stroke);
            let rect = grip(self.pen, at, GRIP_PX);
            let response = self.thing(session, knife, thing, rect, || {
                let which = if outgoing { "outgoing" } else { "incoming" };
                format!("{which} handle")
            });
            if let Some(response) = response {
                let color = self.color(&response, session.is_picked(thing));
                let fill = self.pen.palette.ground;
                let stroke = Stroke::new(1.5, color);
                self.pen.painter.circle(self.pen.pos(at), 4.5, fill, stroke);
            }
        }
    }

    /// The engraved name: held anywhere in its box.
    fn name(&mut self, session: &mut Session, knife: &Knife, results: &KnifeResults) {
        let (Some(room), Some(name)) = (
            super::fitted::name_box(knife, results),
            knife.engraving.as_ref(),
        ) else {
            return;
        };
        let rect = Rect::from_two_pos(
            self.pen.pos(Point::new(room.x0, room.y0)),
            self.pen.pos(Point::new(room.x1, room.y1)),
        );
        let response = self.thing(session, knife, Thing::Name, rect, || {
            format!("engraved name {}", name.words)
        });
        let picked = session.is_picked(Thing::Name);
        if let Some(response) = response
            && (picked || response.hovered())
        {
            let stroke = Stroke::new(1.0, self.pen.palette.bright);
            let frame = rect.expand(3.0);
            self.pen
                .painter
                .rect_stroke(frame, 2.0, stroke, egui::StrokeKind::Outside);
        }
    }

    fn landmarks(&mut self, session: &mut Session, knife: &Knife) {
        for kind in LandmarkKind::ALL {
            let Some(at) = knife.landmark_point(kind) else {
                continue;
            };
            let thing = Thing::Landmark(kind);
            // Landmarks sit on nodes as often as not: they are held by a flag beside the outline.
            let pos = self.pen.pos(at) + vec2(0.0, landmark_flag(kind));
            let rect = Rect::from_center_size(pos, vec2(13.0, 13.0));
            let response = self.thing(session, knife, thing, rect, || {
                format!("{} landmark", kind.name())
            });
            let Some(response) = response else { continue };
            let picked = session.is_picked(thing);
            let color = self.color(&response, picked);
            let stroke = Stroke::new(1.2, color);
            self.pen
                .painter
                .line_segment([self.pen.pos(at), pos], stroke);
            let half = if picked { 5.5 } else { 4.0 };
            let diamond = vec![
                pos + vec2(0.0, -half),
                pos + vec2(half, 0.0),
                pos + vec2(0.0, half),
                pos + vec2(-half, 0.0),
            ];
            self.pen.painter.add(egui::Shape::convex_polygon(
                diamond,
                self.pen.palette.ground,
                stroke,
            ));
        }
    }

    fn cut_outs(&mut self, session: &mut Session, knife: &Knife, results: &KnifeResults) {
        let lengths = session.preferences.fine_lengths();
        for cut in &results.cut_outs {
            let thing = match cut.row {
                Some(row) => Thing::Row(row),
                None => Thing::CutOut(cut.cut_out.id),
            };
            let picked = session.is_picked(thing);
            let shape = &cut.cut_out.shape;
            let rect = self.cut_out_rect(shape);
            let response = if cut.row.is_some() {
                self.row_hole(session, knife, thing, &cut.name, rect)
            } else {
                self.thing(session, knife, thing, rect, || {
                    let name = cut_out_name(&cut.name, shape, lengths);
                    name + clamped(knife, thing)
                })
            };
            if let Some(response) = response
                && (picked || response.hovered())
            {
                let stroke = Stroke::new(2.2, self.pen.palette.bright);
                match shape {
                    CutShape::Round {
                        center,
                        diameter_mm,
                    } => {
                        let r = self.pen.px(diameter_mm / 2.0);
                        self.pen
                            .painter
                            .circle_stroke(self.pen.pos(*center), r, stroke);
                    }
                    _ => self.pen.closed(&cut.points, stroke),
                }
                let center = shape.center();
                let arm = self.pen.view.mm(5.0);
                for (dx, dy) in [(arm, 0.0), (0.0, arm)] {
                    let d = crate::geometry::Vec2::new(dx, dy);
                    self.pen.line(
                        center - d,
                        center + d,
                        Stroke::new(1.0, self.pen.palette.bright),
                    );
                }
            }
        }
        self.free_nodes(session, knife);
        for row in &knife.rows {
            if !session.is_open(Thing::Row(row.id)) {
                continue;
            }
            for last in [false, true] {
                let thing = Thing::RowEnd { row: row.id, last };
                if let Some(at) = thing_point(knife, thing) {
                    let rect = grip(self.pen, at, 12.0);
                    let which = if last { "last" } else { "first" };
                    self.thing(session, knife, thing, rect, || {
                        format!("{which} hole of row {}", row.id)
                    });
                    self.pen
                        .painter
                        .circle_filled(self.pen.pos(at), 4.0, self.pen.palette.bright);
                }
            }
        }
    }

    /// Nodes of free shapes that are picked, or one of whose nodes is.
    fn free_nodes(&mut self, session: &mut Session, knife: &Knife) {
        for cut in &knife.cut_outs {
            let CutShape::Free { outline } = &cut.shape else {
                continue;
            };
            if !session.is_open(Thing::CutOut(cut.id)) {
                continue;
            }
            for (i, node) in outline.nodes.iter().enumerate() {
                let thing = Thing::CutOutNode {
                    cut_out: cut.id,
                    node: node.id,
                };
                let rect = grip(self.pen, node.at, 12.0);
                let response = self.thing(session, knife, thing, rect, || {
                    format!("node {} of shape {}", i + 1, cut.id)
                });
                if session.is_picked(thing) {
                    let rounding = Rounding {
                        of: Some(cut.id),
                        node: node.id,
                    };
                    let name = format!("node {} of shape {}", i + 1, cut.id);
                    rounding_ui(self, session, knife, rounding, &name);
                }
                if let Some(response) = response {
                    let color = self.color(&response, session.is_picked(thing));
                    let square = Rect::from_center_size(self.pen.pos(node.at), vec2(6.0, 6.0));
                    self.pen.painter.rect_filled(square, 1.0, color);
                }
            }
        }
    }

    /// A hole of a row: pressing it takes the whole row, but each hole has a control of its own.
    fn row_hole(
        &mut self,
        session: &mut Session,
        knife: &Knife,
        thing: Thing,
        name: &str,
        rect: Rect,
    ) -> Option<Response> {
        if !self.area.intersects(rect) {
            return None;
        }
        let id = Id::unique(("hole of a row", knife.id, name));
        let response = self.ui.interact(rect, id, Sense::click_and_drag());
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("hole {name} of a row"))
        });
        session.object_has_focus |= response.has_focus();
        press_on_thing(&response, self.shown, session, thing, self.actions);
        Some(response)
    }

    fn cut_out_rect(&self, shape: &CutShape) -> Rect {
        let bounds = match shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => crate::geometry::Rect::from_center_size(*center, (*diameter_mm, *diameter_mm)),
            other => other.contour().bounds(),
        };
        let rect = Rect::from_two_pos(
            self.pen.pos(Point::new(bounds.x0, bounds.y0)),
            self.pen.pos(Point::new(bounds.x1, bounds.y1)),
        );
        let grow = ((GRIP_PX - rect.width().min(rect.height())) / 2.0).max(0.0);
        rect.expand(grow)
    }
}

fn grip(pen: &Pen<'_>, at: Point, size: f32) -> Rect {
    Rect::from_center_size(pen.pos(at), vec2(size, size))
}

/// How far below its place (above where negative) a landmark's flag stands, screen points. Heel and plunge often share a place,
/// and a false edge begins near the spine's start, so their flags stand at different depths.
pub(super) fn landmark_flag(kind: LandmarkKind) -> f32 {
    match kind {
        LandmarkKind::Heel | LandmarkKind::LowerShoulder => 16.0,
        LandmarkKind::Plunge => 34.0,
        LandmarkKind::FalseEdge => -34.0,
        _ => -16.0,
    }
}

fn cut_out_name(name: &str, shape: &CutShape, lengths: crate::units::LengthFormat) -> String {
    match shape {
        CutShape::Round { diameter_mm, .. } => {
            format!("hole {name}, {}", lengths.print(Length::mm(*diameter_mm)))
        }
        CutShape::Slot {
            length_mm,
            width_mm,
            ..
        } => format!(
            "slot {name}, {} by {}",
            lengths.print(Length::mm(*length_mm)),
            lengths.print(Length::mm(*width_mm))
        ),
        CutShape::Free { .. } => format!("shape {name}"),
    }
}
