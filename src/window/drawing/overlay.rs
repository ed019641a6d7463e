//! What lies over the knife while something is under way: ghosts, guides, and the tip beside the pointer.

use egui::{Align2, FontId, Pos2, Rect, Stroke, Ui, vec2};

use super::Pen;
use super::SawLine;
use crate::edit::thing_point;
use crate::geometry::{Contour, Point};
use crate::knife::CutShape;
use crate::units::{Angle, Length, Mass, print_angle, print_mass};
use crate::weighing::opening_effect;
use crate::window::hands;
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;
use crate::window::tools::{
    DraftNode, Gesture, GrindGrip, held, slot_between, snap::Snapped, snapped_pointer,
};

/// Says one line in the middle of an empty drawing.
pub(super) fn draw_empty(pen: &Pen<'_>, text: &str) {
    let at = pen.canvas.center();
    pen.text_on_plate(at, Align2::CENTER_CENTER, text, 15.0, pen.palette.quiet);
}

/// Draws what is under way.
pub(super) fn draw_gesture(ui: &Ui, pen: &Pen<'_>, shown: &Shown<'_>, session: &Session) {
    let pos = ui.input(|i| i.pointer.latest_pos());
    if let Some(at) = session.key_point {
        draw_key_point(pen, at);
    }
    match &session.gesture {
        Gesture::Move { held, snapped, .. } => {
            draw_guides(pen, snapped);
            let at = shown
                .knife(session.knife)
                .and_then(|(knife, _)| thing_point(knife, *held));
            if let (Some(at), Some(pos)) = (at, pos) {
                let mut lines = vec![place_line(session, at)];
                lines.extend(change_line(shown, session));
                lines.extend(snapped.why.map(str::to_owned));
                draw_tip(pen, pos, &lines);
            }
        }
        Gesture::Station { place, .. } => {
            if let Some(pos) = pos {
                let mut lines: Vec<String> =
                    station_line(shown, session, *place).into_iter().collect();
                lines.extend(change_line(shown, session));
                draw_tip(pen, pos, &lines);
            }
        }
        Gesture::Grind { grip, .. } => {
            if let Some(pos) = pos {
                let mut lines: Vec<String> = grip_line(shown, session, *grip).into_iter().collect();
                lines.extend(change_line(shown, session));
                draw_tip(pen, pos, &lines);
            }
        }
        // The picture itself shows where it lies.
        Gesture::Lay { .. } => {}
        Gesture::Round { radius_mm, .. } => {
            if let Some(pos) = pos {
                let fine = session.preferences.fine_lengths();
                let mut lines = vec![format!("radius {}", fine.print(Length::mm(*radius_mm)))];
                lines.extend(change_line(shown, session));
                draw_tip(pen, pos, &lines);
            }
        }
        Gesture::Pull { .. } | Gesture::Nudge => {
            if let Some(pos) = pos {
                let lines: Vec<String> = change_line(shown, session).into_iter().collect();
                draw_tip(pen, pos, &lines);
            }
        }
        Gesture::Band { from } => {
            if let Some(pos) = pos {
                let band = Rect::from_two_pos(pen.pos(*from), pos);
                let fill = pen.palette.bright.gamma_multiply(0.12);
                let stroke = Stroke::new(1.0, pen.palette.bright);
                pen.painter.rect_filled(band, 0.0, fill);
                pen.painter
                    .rect_stroke(band, 0.0, stroke, egui::StrokeKind::Middle);
            }
        }
        Gesture::DrawOver { .. } => {}
        Gesture::Draft { nodes, .. } => draw_draft(pen, session, nodes, pos),
        // The curve of a saw that was bent aside is drawn in its place.
        Gesture::Measure { .. } if session.saw.as_ref().is_some_and(SawLine::is_bowed) => {}
        Gesture::Measure { from, to, held } => {
            draw_measured(pen, *from, *to);
            // What the saw's line does is told by its strip, once it is drawn.
            if *held || session.tool != Tool::Saw {
                tell_measured(pen, session, *from, *to);
            }
        }
        Gesture::Slot { from } => {
            if let Some((pos, snapped)) = aim(ui, shown, session) {
                let width = session.drill.slot_width_mm;
                let shape = slot_between(*from, snapped.at, width);
                draw_ghost(pen, &shape);
                draw_guides(pen, &snapped);
                draw_tip(pen, pos, &opening_lines(shown, session, &shape));
            }
        }
        Gesture::Idle => draw_aim(ui, pen, shown, session),
    }
}

/// The point that keys move: two scribed lines, open where they cross.
fn draw_key_point(pen: &Pen<'_>, at: Pos2) {
    let stroke = Stroke::new(1.5, pen.palette.bright);
    for way in [
        vec2(1.0, 0.0),
        vec2(-1.0, 0.0),
        vec2(0.0, 1.0),
        vec2(0.0, -1.0),
    ] {
        pen.painter
            .line_segment([at + way * 3.0, at + way * 12.0], stroke);
    }
}

/// The pointer over the drawing, and where it snaps.
fn aim(ui: &Ui, shown: &Shown<'_>, session: &Session) -> Option<(Pos2, Snapped)> {
    let (pos, free) = ui.input(|i| (i.pointer.latest_pos(), hands::PAST_SNAPS.held(i.modifiers)));
    let pos = pos.filter(|_| session.over_ground)?;
    Some((pos, snapped_pointer(shown, session, pos, free)?))
}

/// The ghost of a hole under a waiting Drill, with what it would take.
fn draw_aim(ui: &Ui, pen: &Pen<'_>, shown: &Shown<'_>, session: &Session) {
    let Some((pos, snapped)) = aim(ui, shown, session) else {
        return;
    };
    match session.tool {
        Tool::Drill => {
            let shape = CutShape::Round {
                center: snapped.at,
                diameter_mm: session.drill.diameter_mm,
            };
            draw_ghost(pen, &shape);
            draw_guides(pen, &snapped);
            let mut lines = vec![place_line(session, snapped.at)];
            lines.extend(opening_lines(shown, session, &shape));
            lines.extend(snapped.why.map(str::to_owned));
            draw_tip(pen, pos, &lines);
        }
        Tool::Slot | Tool::Rule | Tool::Saw => {
            draw_guides(pen, &snapped);
            let at = pen.pos(snapped.at);
            pen.painter
                .circle_stroke(at, 4.0, Stroke::new(1.5, pen.palette.bright));
        }
        Tool::Shift | Tool::Scribe | Tool::Trace => {}
    }
}

fn draw_ghost(pen: &Pen<'_>, shape: &CutShape) {
    let points = shape.contour().flattened(0.02);
    pen.closed(&points, Stroke::new(1.8, pen.palette.bright));
}

fn draw_guides(pen: &Pen<'_>, snapped: &Snapped) {
    for mark in &snapped.guides {
        pen.dashed(pen.pos(snapped.at), pen.pos(*mark), pen.palette.guide);
        pen.painter
            .circle_stroke(pen.pos(*mark), 5.0, Stroke::new(1.2, pen.palette.guide));
    }
}

fn place_line(session: &Session, at: Point) -> String {
    let lengths = session.preferences.fine_lengths();
    format!(
        "{}, {}",
        lengths.print_bare(Length::mm(at.x)),
        lengths.print(Length::mm(at.y))
    )
}

/// How high a held grind rises, or how its plunge line stands.
fn grip_line(shown: &Shown<'_>, session: &Session, grip: GrindGrip) -> Option<String> {
    let (knife, _) = shown.knife(session.knife)?;
    let value = held(knife, grip)?.value;
    Some(match grip {
        GrindGrip::Rise { .. } => {
            let fine = session.preferences.fine_lengths();
            format!("{} high", fine.print(Length::mm(value)))
        }
        GrindGrip::Plunge { .. } => print_angle(Angle::radians(value), 1),
    })
}

/// Where a station of the taper is, and how thick the steel is there.
fn station_line(shown: &Shown<'_>, session: &Session, place: usize) -> Option<String> {
    let (knife, _) = shown.knife(session.knife)?;
    let station = knife.grinding.taper.as_ref()?.stations.get(place)?;
    let lengths = session.preferences.lengths();
    let fine = session.preferences.fine_lengths();
    Some(format!(
        "at {}, {} thick",
        lengths.print_signed(Length::mm(station.x_mm)),
        fine.print(Length::mm(station.thickness_mm))
    ))
}

/// How mass and balance have changed since the gesture began.
fn change_line(shown: &Shown<'_>, session: &Session) -> Option<String> {
    let baseline = session.baseline?;
    let (_, results) = shown.knife(session.knife)?;
    let Some(total) = results.weighed.up.total else {
        return results.weighed.up.missing.first().map(ToString::to_string);
    };
    Some(effect_line(
        session,
        total.mass_g - baseline.mass_g?,
        total.balance_mm - baseline.balance_mm?,
    ))
}

fn opening_lines(shown: &Shown<'_>, session: &Session, shape: &CutShape) -> Vec<String> {
    let Some((_, results)) = shown.knife(session.knife) else {
        return Vec::new();
    };
    // Beside the steel there is nothing to take.
    let at = shape.center();
    let depth = results.steel.depth_at(at.x);
    if !depth.is_some_and(|(low, high)| (low..=high).contains(&at.y)) {
        return Vec::new();
    }
    opening_effect(&results.weighed.scale, &results.weighed.up, shape)
        .map(|effect| effect_line(session, -effect.removed_g, effect.balance_shift_mm))
        .into_iter()
        .collect()
}

fn effect_line(session: &Session, mass_g: f64, balance_mm: f64) -> String {
    let mass = print_mass(Mass::g(mass_g), session.preferences.mass_unit, 1);
    let sign = if mass_g > 0.0 { "+" } else { "" };
    let lengths = session.preferences.fine_lengths();
    format!(
        "{sign}{mass}   balance {}",
        lengths.print_signed(Length::mm(balance_mm))
    )
}

/// A small card beside the pointer.
fn draw_tip(pen: &Pen<'_>, pos: Pos2, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let text = lines.join("\n");
    let galley = pen
        .painter
        .layout(text, FontId::proportional(12.5), pen.palette.line, 320.0);
    let size = galley.size() + vec2(20.0, 14.0);
    let mut rect = Rect::from_min_size(pos + vec2(18.0, 16.0), size);
    if rect.right() > pen.canvas.right() {
        rect = rect.translate(vec2(-size.x - 36.0, 0.0));
    }
    if rect.bottom() > pen.canvas.bottom() {
        rect = rect.translate(vec2(0.0, -size.y - 32.0));
    }
    let stroke = Stroke::new(1.0, pen.palette.card_edge);
    pen.painter.rect(
        rect,
        6.0,
        pen.palette.field,
        stroke,
        egui::StrokeKind::Inside,
    );
    pen.painter
        .galley(rect.min + vec2(10.0, 7.0), galley, pen.palette.line);
}

fn draw_draft(pen: &Pen<'_>, session: &Session, nodes: &[DraftNode], pos: Option<Pos2>) {
    let stroke = Stroke::new(1.8, pen.palette.bright);
    for pair in nodes.windows(2) {
        let [a, b] = pair else { continue };
        let points = match (a.handle, b.handle) {
            (None, None) => vec![a.at, b.at],
            (out, into) => {
                let out = out.unwrap_or_default();
                let into = into.unwrap_or_default();
                let piece = crate::geometry::Piece::Cubic(crate::geometry::CubicBez::new(
                    a.at,
                    a.at + out,
                    b.at - into,
                    b.at,
                ));
                let mut points = Contour {
                    pieces: vec![piece],
                }
                .flattened(0.05);
                points.push(b.at);
                points
            }
        };
        let points = points.iter().map(|p| pen.pos(*p)).collect();
        pen.painter.add(egui::Shape::line(points, stroke));
    }
    for (i, node) in nodes.iter().enumerate() {
        let at = pen.pos(node.at);
        if let Some(handle) = node.handle {
            pen.line(
                node.at - handle,
                node.at + handle,
                Stroke::new(1.0, pen.palette.quiet),
            );
        }
        let size = if i == 0 { 6.0 } else { 4.0 };
        pen.painter.circle_filled(at, size, pen.palette.bright);
    }
    if let (Some(last), Some(pos)) = (nodes.last(), pos) {
        pen.dashed(pen.pos(last.at), pos, pen.palette.bright);
        let here = session
            .pointer
            .map(|p| place_line(session, p))
            .into_iter()
            .collect::<Vec<_>>();
        draw_tip(pen, pos, &here);
    }
}

fn draw_measured(pen: &Pen<'_>, from: Point, to: Point) {
    let stroke = Stroke::new(1.8, pen.palette.bright);
    pen.line(from, to, stroke);
    for end in [from, to] {
        pen.painter
            .circle_stroke(pen.pos(end), 4.0, Stroke::new(1.5, pen.palette.bright));
    }
}

fn tell_measured(pen: &Pen<'_>, session: &Session, from: Point, to: Point) {
    let d = to - from;
    let lengths = session.preferences.fine_lengths();
    let angle = if d.hypot() > 0.0 { d.atan2() } else { 0.0 };
    let lines = [
        lengths.print(Length::mm(d.hypot())),
        format!(
            "along {}, up {}",
            lengths.print_bare(Length::mm(d.x)),
            lengths.print(Length::mm(d.y))
        ),
        print_angle(Angle::radians(angle), 1),
    ];
    draw_tip(pen, pen.pos(to), &lines);
}
