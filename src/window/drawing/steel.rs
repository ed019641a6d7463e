//! The knife itself: steel, cut-outs, landmarks.

use egui::{Align2, Color32, Stroke};

use super::Pen;
use super::comb::draw_comb;
use super::relief::{draw_ground_faces, draw_ground_lines};
use crate::geometry::Piece;
use crate::knife::{CutShape, Filling, Knife, LandmarkKind};
use crate::units::{Mass, print_mass};
use crate::window::commands::picked_nodes;
use crate::window::results::{KnifeResults, ShownCutOut};
use crate::window::session::{Session, Tool};

/// Grams are written in a cut-out that is wider than this, screen points.
const LEAST_ROOM_PX: f32 = 30.0;

/// Draws the knife. Over a picture it is drawn by its lines alone, so that the picture is seen through it.
pub(super) fn draw_steel(
    pen: &Pen<'_>,
    knife: &Knife,
    results: &KnifeResults,
    session: &Session,
    over_picture: bool,
) {
    let palette = pen.palette;
    if !over_picture {
        pen.fill(&results.fill, palette.steel);
    }
    if session.preferences.ground {
        if !over_picture {
            draw_ground_faces(pen, results);
        }
        draw_ground_lines(pen, results);
    }
    if session.preferences.comb {
        draw_comb(pen, results.contour.pieces.iter());
    } else if let Some(pieces) = worked_on(knife, session) {
        draw_comb(pen, pieces.iter());
    }
    for (i, cut) in results.cut_outs.iter().enumerate() {
        draw_cut_out(pen, cut, over_picture);
        let removed = results.weighed.up.cut_outs.get(i).and_then(|w| w.removed_g);
        if let Some(grams) = removed {
            draw_cut_out_mass(pen, cut, grams, results, session);
        }
    }
    pen.closed(&results.points, Stroke::new(1.8, palette.line));
    for kind in LandmarkKind::ALL {
        if let Some(at) = knife.landmark_point(kind) {
            pen.painter.circle_filled(pen.pos(at), 3.0, palette.line);
        }
    }
    for missing in &results.weighed.up.missing {
        if let Some(place) = missing.place() {
            let at = pen.pos(place);
            let stroke = Stroke::new(2.0, palette.stop);
            pen.painter.circle_stroke(at, 11.0, stroke);
        }
    }
}

fn draw_cut_out(pen: &Pen<'_>, cut: &ShownCutOut, over_picture: bool) {
    let stroke = Stroke::new(1.5, pen.palette.line);
    let filling = &cut.cut_out.filling;
    let ground = if over_picture {
        Color32::TRANSPARENT
    } else {
        pen.palette.ground
    };
    let inside = if filling.material().is_some() {
        pen.palette.bar
    } else {
        ground
    };
    let shape = &cut.cut_out.shape;
    let center = pen.pos(shape.center());
    match shape {
        CutShape::Round { diameter_mm, .. } => {
            let radius = pen.px(diameter_mm / 2.0);
            pen.painter.circle(center, radius, inside, stroke);
            match filling {
                Filling::Tube { bore_mm, .. } => {
                    let bore = pen.px(bore_mm / 2.0);
                    pen.painter.circle(center, bore, ground, stroke);
                }
                Filling::Pin {
                    rod_mm: Some(rod_mm),
                    ..
                } => {
                    let rod = pen.px(rod_mm / 2.0);
                    pen.painter.circle(center, radius, ground, stroke);
                    pen.painter.circle(center, rod, inside, stroke);
                }
                _ => {}
            }
        }
        CutShape::Slot { .. } | CutShape::Free { .. } => {
            pen.fill(&cut.fill, inside);
            pen.closed(&cut.points, stroke);
        }
    }
    if let CutShape::Slot { .. } = shape {
        pen.painter.circle_filled(center, 1.5, pen.palette.line);
    }
}

/// The grams a cut-out takes, written in it where there is room, and where no finding is marked.
fn draw_cut_out_mass(
    pen: &Pen<'_>,
    cut: &ShownCutOut,
    grams: f64,
    results: &KnifeResults,
    session: &Session,
) {
    let own = &cut.cut_out;
    let room = match (&own.shape, &own.filling) {
        (CutShape::Round { .. }, Filling::Tube { bore_mm, .. }) => pen.px(*bore_mm),
        (CutShape::Round { diameter_mm, .. }, _) => pen.px(*diameter_mm),
        (CutShape::Slot { width_mm, .. }, _) => pen.px(*width_mm),
        (CutShape::Free { .. }, _) => 0.0,
    };
    let at = pen.pos(own.shape.center());
    let mut marks = results
        .weighed
        .findings
        .iter()
        .filter_map(|finding| finding.place);
    if room <= LEAST_ROOM_PX || marks.any(|place| pen.pos(place).distance(at) < room / 2.0) {
        return;
    }
    let text = print_mass(Mass::g(grams), session.preferences.mass_unit, 1);
    pen.text(at, Align2::CENTER_CENTER, &text, 10.0, pen.palette.quiet);
}

/// The stretch between picked nodes while Scribe is in hand: its comb shows at once what work on it does.
fn worked_on(knife: &Knife, session: &Session) -> Option<Vec<Piece>> {
    let nodes = picked_nodes(session);
    if session.tool != Tool::Scribe || nodes.len() < 2 {
        return None;
    }
    let stretch = knife.outline.stretch_of(&nodes)?;
    knife.outline.pieces_of(stretch)
}
