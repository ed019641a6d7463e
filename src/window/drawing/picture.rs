//! The picture under the drawing, what can be held of it, and the outline that was found in it.

use egui::{Color32, CursorIcon, Id, Mesh, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo};
use egui::{pos2, vec2};

use super::Pen;
use super::grips::arrow_steps;
use crate::geometry::{Motion, Point, Projection, Vec2};
use crate::knife::{Knife, LaidPicture};
use crate::units::{Angle, Length, print_angle};
use crate::window::action::Action;
use crate::window::picture::{Looks, TrueBy, lay, mark_within};
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::tools::{nudge_step, start_lay, turn_grip};

/// A picture in perspective is drawn in so many strips each way: between their corners the screen goes in straight lines.
const STRIPS: u16 = 32;
/// What lies farther from a picture's middle than this is not drawn, mm: toward the horizon a picture never ends.
const FARTHEST_MM: f64 = 3_000.0;
/// Size of the square that takes the pointer, screen points.
const GRIP_PX: f32 = 20.0;

/// Draws the picture of a knife, if it is at hand and shall be seen; whether it did.
pub(super) fn draw_picture(
    pen: &Pen<'_>,
    knife: &Knife,
    shown: &Shown<'_>,
    session: &Session,
) -> bool {
    let (Some(picture), Some(looks)) = (&knife.picture, shown.kept.pictures.looks()) else {
        return false;
    };
    let (true, Some(way)) = (session.picture.shown, picture.bench_from_picture()) else {
        return false;
    };
    let strips = if picture.squared.is_some() { STRIPS } else { 1 };
    pen.painter.add(mesh(pen, picture, looks, &way, strips));
    true
}

fn mesh(
    pen: &Pen<'_>,
    picture: &LaidPicture,
    looks: &Looks,
    way: &Projection,
    strips: u16,
) -> Mesh {
    let mut mesh = Mesh::with_texture(looks.texture.id());
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a strength lies between 0 and 1"
    )]
    let tint = Color32::from_white_alpha((picture.strength * 255.0).round() as u8);
    let (width, height) = (f64::from(picture.width_px), f64::from(picture.height_px));
    // A picture written anew in another size is drawn in the place of the old one.
    let (now_width, now_height) = looks.size_px();
    let (wide, high) = (f64::from(now_width), f64::from(now_height));
    let place = |i: u16, j: u16| {
        let (u, v) = (
            f64::from(i) / f64::from(strips),
            f64::from(j) / f64::from(strips),
        );
        let at = way.apply(Point::new(u * width, v * height))?;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "places on a texture are single precision"
        )]
        let uv = pos2(
            (u * wide / looks.covers.x) as f32,
            (v * high / looks.covers.y) as f32,
        );
        (at.distance(picture.middle) <= FARTHEST_MM).then(|| (pen.pos(at), uv))
    };
    for j in 0..strips {
        for i in 0..strips {
            let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
            let [Some(a), Some(b), Some(c), Some(d)] = corners.map(|(i, j)| place(i, j)) else {
                continue;
            };
            let Ok(first) = u32::try_from(mesh.vertices.len()) else {
                return mesh;
            };
            for (pos, uv) in [a, b, c, d] {
                mesh.vertices.push(egui::epaint::Vertex {
                    pos,
                    uv,
                    color: tint,
                });
            }
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first, first + 2, first + 3);
        }
    }
    mesh
}

/// The outline that was found and was not taken yet.
pub(super) fn draw_found(pen: &Pen<'_>, shown: &Shown<'_>) {
    let Some(ghost) = shown.kept.tracer.ghost() else {
        return;
    };
    // Dark under bright: seen on any picture.
    pen.closed(
        &ghost.points,
        Stroke::new(4.0, pen.palette.ground.gamma_multiply(0.7)),
    );
    pen.closed(&ghost.points, Stroke::new(2.0, pen.palette.bright));
    for node in &ghost.traced.outline.nodes {
        let at = pen.pos(node.at);
        pen.painter.circle_filled(at, 3.0, pen.palette.bright);
    }
}

/// What can be held of the picture: its middle, its turn, and the marks on it.
pub(super) fn grips_ui(
    ui: &mut Ui,
    pen: &Pen<'_>,
    knife: &Knife,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some(picture) = knife.picture.as_ref().filter(|_| session.picture.shown) else {
        return;
    };
    let Some(way) = picture.bench_from_picture() else {
        return;
    };
    if !picture.locked {
        for turns in [false, true] {
            lie_ui(ui, pen, (knife, picture), turns, shown, session, actions);
        }
    }
    marks_ui(ui, pen, picture, &way, session);
}

/// A place that can be held.
fn grip_ui(ui: &Ui, pen: &Pen<'_>, at: Point, key: (&str, usize), name: String) -> Response {
    let rect = Rect::from_center_size(pen.pos(at), vec2(GRIP_PX, GRIP_PX));
    let response = ui.interact(rect, Id::unique(("picture", key)), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name.clone()));
    if response.clicked() {
        response.request_focus();
    }
    response.on_hover_cursor(CursorIcon::Grab)
}

fn color(pen: &Pen<'_>, response: &Response) -> Color32 {
    if response.hovered() || response.dragged() || response.has_focus() {
        pen.palette.bright
    } else {
        pen.palette.line
    }
}

/// The grip at the middle, which moves the picture, or the one beside it, which turns it.
fn lie_ui(
    ui: &Ui,
    pen: &Pen<'_>,
    (knife, picture): (&Knife, &LaidPicture),
    turns: bool,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let (held, key) = if turns {
        (turn_grip(picture, session), "turn")
    } else {
        (picture.middle, "middle")
    };
    let response = grip_ui(ui, pen, held, (key, 0), spoken(picture, turns, session));
    let origin = ui.input(|i| i.pointer.press_origin());
    if let Some(origin) = origin
        && response.drag_started_by(egui::PointerButton::Primary)
    {
        start_lay(shown, session, origin, turns, actions);
    }
    if response.has_focus() {
        let by = arrow_steps(ui, &response);
        let (label, next) = if turns {
            // A tenth of a degree where other things go a tenth of a millimeter.
            let turned = picture.turned((by.x + by.y).to_radians());
            ("turn picture", turned)
        } else {
            ("move picture", picture.moved(&Motion::shift(by)))
        };
        if next != *picture {
            nudge_step(session, label, lay(knife.id, next), actions);
        }
    }
    let stroke = Stroke::new(1.8, color(pen, &response));
    let (at, middle) = (pen.pos(held), pen.pos(picture.middle));
    if turns {
        let along = (at - middle).normalized();
        pen.painter
            .line_segment([middle + along * 12.0, at - along * 6.0], stroke);
        pen.painter.circle(at, 5.0, pen.palette.ground, stroke);
        return;
    }
    pen.painter.circle(at, 7.0, pen.palette.ground, stroke);
    for arm in [vec2(11.0, 0.0), vec2(0.0, 11.0)] {
        pen.painter.line_segment([at - arm, at + arm], stroke);
    }
}

fn spoken(picture: &LaidPicture, turns: bool, session: &Session) -> String {
    if turns {
        let turn = print_angle(Angle::radians(picture.turn_rad), 1);
        return format!("turn of picture, {turn}");
    }
    let lengths = session.preferences.lengths();
    format!(
        "picture, its middle at {}, {}",
        lengths.print_bare(Length::mm(picture.middle.x)),
        lengths.print(Length::mm(picture.middle.y))
    )
}

/// The marks the picture is made true by. They lie on the picture and change nothing by themselves.
fn marks_ui(
    ui: &Ui,
    pen: &Pen<'_>,
    picture: &LaidPicture,
    way: &Projection,
    session: &mut Session,
) {
    let Some(back) = way.inverse() else { return };
    let view = session.view();
    let by = session.picture.by;
    let marks = session.picture.marks_mut();
    let seen: Vec<_> = marks.iter().filter_map(|p| way.apply(*p)).collect();
    let line = Stroke::new(1.4, pen.palette.bright.gamma_multiply(0.8));
    if by == TrueBy::Sheet {
        pen.closed(&seen, line);
    } else if let [a, b] = seen.as_slice() {
        pen.line(*a, *b, line);
    }
    for (i, mark) in marks.iter_mut().enumerate() {
        let Some(at) = way.apply(*mark) else { continue };
        let response = grip_ui(
            ui,
            pen,
            at,
            (word(by), i),
            format!("{} {}", word(by), i + 1),
        );
        let mut to = None;
        if response.dragged_by(egui::PointerButton::Primary)
            && let Some(pos) = response.interact_pointer_pos()
        {
            to = Some(view.model_from_screen(pen.canvas, pos));
        } else if response.has_focus() {
            let steps = arrow_steps(ui, &response);
            to = (steps != Vec2::ZERO).then(|| at + steps);
        }
        if let Some(place) = to.and_then(|to| back.apply(to)) {
            *mark = mark_within(picture, place);
        }
        // A ring with a dot: the place itself stays in sight.
        let stroke = Stroke::new(2.0, color(pen, &response));
        let at = pen.pos(at);
        pen.painter.circle_stroke(at, 8.0, stroke);
        pen.painter.circle_filled(at, 1.5, stroke.color);
    }
}

/// What a mark is called.
fn word(by: TrueBy) -> &'static str {
    match by {
        TrueBy::Places => "place of known distance",
        TrueBy::Sheet => "corner of the sheet",
    }
}
