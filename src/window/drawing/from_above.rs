//! The knife from above, under the drawing and in line with it: its layers, and the stations of its taper.

use egui::{
    Align2, Mesh, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::handles::Bench;
use super::{Pen, draw_section_line, fitted, look_around};
use crate::edit::{Change, Edit, Thing};
use crate::geometry::Point;
use crate::knife::{Knife, Taper};
use crate::units::{Length, print_number};
use crate::window::action::Action;
use crate::window::bar::{Bar, LayerAt, station_z_mm};
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::strip::Strip;
use crate::window::usual_grind;

/// Size of the square that takes the pointer for a station, screen points.
const GRIP_PX: f32 = 16.0;

/// Draws the strip and takes what the pointer does on it.
pub(super) fn from_above_ui(
    ui: &mut Ui,
    rect: Rect,
    drawing: &Pen<'_>,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some((knife, results)) = shown.knife(session.knife) else {
        return;
    };
    let strip = Strip::new(rect, drawing.view.px_per_mm, knife.stock.thickness_mm);
    session.strip = Some(strip);
    let response = ui.interact(
        rect,
        ui.scope_id().with("from above"),
        Sense::click_and_drag(),
    );
    response.widget_info(|| {
        let name = format!("{} from above", knife.name);
        WidgetInfo::labeled(Role::Canvas, true, name)
    });
    look_around(
        ui,
        &response,
        response.contains_pointer(),
        session,
        drawing.canvas,
    );
    let pen = Pen::new(
        ui.painter_at(rect),
        drawing.canvas,
        session.view(),
        shown.palette,
    );
    press(&response, &pen, knife, session, actions);
    draw_bar(&pen, &strip, &results.bar);
    draw_guard(&pen, &strip, knife);
    draw_shoulder_line(&pen, rect);
    draw_section_line(&pen, rect, shown, session);
    draw_words(&pen, &strip, knife);
    if let Some(taper) = &knife.grinding.taper {
        let mut bench = Bench {
            ui,
            pen: &pen,
            area: rect,
            shown,
            actions,
        };
        stations_ui(&mut bench, session, knife, taper, &strip);
    }
    let edge = Stroke::new(1.0, shown.palette.card_edge);
    pen.painter.hline(rect.x_range(), rect.top() + 0.5, edge);
}

/// A double click sets a station; a click holds the section there.
fn press(
    response: &egui::Response,
    pen: &Pen<'_>,
    knife: &Knife,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some(pos) = response.interact_pointer_pos() else {
        return;
    };
    let x_mm = pen.view.model_from_screen(pen.canvas, pos).x;
    if response.double_clicked() {
        // Its first click was not meant for the section.
        session.section.pinned = false;
        let taper = Some(usual_grind::with_station_at(knife, x_mm));
        let edit = Edit::knife(knife.id, Change::SetTaper { taper });
        actions.push(Action::Edit(edit));
    } else if response.clicked() {
        session.section.x_mm = Some(x_mm);
        session.section.pinned = true;
        actions.push(Action::Pick(Vec::new()));
    }
}

fn draw_words(pen: &Pen<'_>, strip: &Strip, knife: &Knife) {
    let decimals = if strip.factor < 1.0 { 2 } else { 0 };
    let mut text = format!(
        "from above, thickness × {}",
        print_number(strip.factor, decimals)
    );
    if knife.grinding.taper.is_none() {
        text.push_str(" · double-click it to taper the bar");
    }
    let at = strip.rect.min + vec2(12.0, 5.0);
    pen.text_on_plate(at, Align2::LEFT_TOP, &text, 11.0, pen.palette.quiet);
}

fn draw_bar(pen: &Pen<'_>, strip: &Strip, bar: &Bar) {
    let at =
        |x_mm: f64, z_mm: f64| -> Pos2 { pos2(pen.pos(Point::new(x_mm, 0.0)).x, strip.y(z_mm)) };
    for band in &bar.bands {
        let color = pen.palette.layer(band.place, bar.n_layers);
        let mut mesh = Mesh::default();
        for LayerAt {
            at_mm,
            left_mm,
            right_mm,
        } in &band.along
        {
            mesh.colored_vertex(at(*at_mm, *left_mm), color);
            mesh.colored_vertex(at(*at_mm, *right_mm), color);
        }
        fill_between(&mut mesh, band.along.len());
        pen.painter.add(mesh);
    }
    let left = bar.faces.iter().map(|f| at(f.at_mm, f.left_mm));
    let right = bar.faces.iter().rev().map(|f| at(f.at_mm, f.right_mm));
    let outline: Vec<Pos2> = left.chain(right).collect();
    let stroke = Stroke::new(1.4, pen.palette.line);
    pen.painter.add(Shape::closed_line(outline, stroke));
}

/// The guard's plate, as wide as it stands out of the bar on the strip's own scale; cut off where the strip ends.
fn draw_guard(pen: &Pen<'_>, strip: &Strip, knife: &Knife) {
    let Some(guard) = &knife.guard else { return };
    let half = guard.width_mm / 2.0;
    let x = |mm: f64| pen.pos(Point::new(mm, 0.0)).x;
    let plate = Rect::from_two_pos(
        pos2(x(-guard.thickness_mm), strip.y(half)),
        pos2(x(0.0), strip.y(-half)),
    );
    fitted::plate(pen, plate, StrokeKind::Inside);
}

/// Fills between the pairs of corners a mesh begins with.
pub(super) fn fill_between(mesh: &mut Mesh, n_pairs: usize) {
    let n = u32::try_from(n_pairs).unwrap_or(0);
    for i in 0..n.saturating_sub(1) {
        let a = 2 * i;
        mesh.add_triangle(a, a + 1, a + 2);
        mesh.add_triangle(a + 1, a + 3, a + 2);
    }
}

fn draw_shoulder_line(pen: &Pen<'_>, rect: Rect) {
    let x = pen.pos(Point::ZERO).x;
    let color = pen.palette.quiet.gamma_multiply(0.7);
    pen.dashed(pos2(x, rect.top()), pos2(x, rect.bottom()), color);
}

fn stations_ui(
    bench: &mut Bench<'_, '_>,
    session: &mut Session,
    knife: &Knife,
    taper: &Taper,
    strip: &Strip,
) {
    let lengths = session.preferences.lengths();
    let fine = session.preferences.fine_lengths();
    let mut number_ends = f32::NEG_INFINITY;
    for (i, station) in taper.stations.iter().enumerate() {
        let thing = Thing::TaperStation(i);
        let x = bench.pen.pos(Point::new(station.x_mm, 0.0)).x;
        let at = pos2(x, strip.y(station_z_mm(knife, *station)));
        let rect = Rect::from_center_size(at, vec2(GRIP_PX, GRIP_PX));
        let name = || {
            format!(
                "thickness station {} at {}, {} thick",
                i + 1,
                lengths.print(Length::mm(station.x_mm)),
                fine.print(Length::mm(station.thickness_mm))
            )
        };
        let Some(response) = bench.thing(session, knife, thing, rect, name) else {
            continue;
        };
        let picked = session.is_picked(thing);
        let lit = picked || response.hovered() || response.dragged();
        let palette = bench.pen.palette;
        let fill = if lit { palette.bright } else { palette.ground };
        let stroke = Stroke::new(1.8, palette.bright);
        bench.pen.painter.circle(at, 4.5, fill, stroke);
        let text = fine.print_bare(Length::mm(station.thickness_mm));
        let color = if lit { palette.bright } else { palette.quiet };
        let under = pos2(x, strip.rect.bottom() - 4.0);
        let font = egui::FontId::proportional(11.0);
        let galley = bench.pen.painter.layout_no_wrap(text, font, color);
        let number = Align2::CENTER_BOTTOM.anchor_size(under, galley.size());
        if number.left() > number_ends + 4.0 {
            number_ends = number.right();
            let plate = number.expand2(vec2(3.0, 0.0));
            bench.pen.painter.rect_filled(plate, 3.0, palette.ground);
            bench.pen.painter.galley(number.min, galley, color);
        }
    }
}
