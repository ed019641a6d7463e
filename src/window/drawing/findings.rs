//! Where the checks found something, on the drawing: a small mark for each finding that has a place, a thin bar across what was measured, and the one looked
//! at larger, with its figure. Marks of the service's findings are of the same shapes, a little larger.

use egui::{Align2, FontId, Pos2, Shape, Stroke, vec2};

use super::Pen;
use crate::checks::Finding;
use crate::window::cards::Say;
use crate::window::finding_mark::finding_mark;
use crate::window::results::KnifeResults;
use crate::window::session::Session;
use crate::window::shown::Shown;
use crate::window::tools::Gesture;

/// Half the size of a mark, points: of the shop's checks, of the service's, of the one looked at. Small enough that the web it stands on is still seen.
const SHOP: f32 = 4.5;
const SERVICE: f32 = 6.0;
const LOOKED_AT: f32 = 9.0;

/// How near the pointer comes to a mark to look at it, points.
const NEAR: f32 = 8.0;

/// Beyond the drawing by this much, points, nothing of a mark is seen.
const MARGIN: f32 = 16.0;

/// Size of the figure beside a mark, points.
const FIGURE: f32 = 13.0;

/// Draws the findings of the shop's checks: the graver over the others, those looked at over all.
pub(super) fn draw_findings(
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    results: &KnifeResults,
    session: &Session,
) {
    let large = [session.finding, under_pointer(pen, results, session)];
    for (place, finding) in results.weighed.findings.iter().enumerate().rev() {
        if !large.contains(&Some(place)) {
            mark(pen, finding, SHOP, 1.4);
        }
    }
    let say = Say::new(&session.preferences, &results.weighed.up);
    let large = large.iter().flatten();
    for finding in large.filter_map(|place| results.weighed.findings.get(*place)) {
        mark(pen, finding, LOOKED_AT, 2.2);
        figure(pen, finding, say);
    }
    for points in shown.kept.finding.after() {
        after(pen, points);
    }
}

/// The finding under the pointer, in the list or on the drawing.
fn under_pointer(pen: &Pen<'_>, results: &KnifeResults, session: &Session) -> Option<usize> {
    let near = || {
        let pointer = session
            .pointer
            .filter(|_| session.gesture == Gesture::Idle)?;
        let pointer = pen.pos(pointer);
        let at = |finding: &Finding| finding.place.map(|place| pen.pos(place));
        results
            .weighed
            .findings
            .iter()
            .position(|finding| at(finding).is_some_and(|at| at.distance(pointer) <= NEAR))
    };
    session.finding_hovered.or_else(near)
}

/// Draws the findings of the service, while its card is open.
pub(super) fn draw_ready(
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    results: &KnifeResults,
    session: &Session,
) {
    let shelf = &shown.kept.ready;
    if !session.knife.is_some_and(|id| shelf.speaks_of(id)) {
        return;
    }
    for (place, ready) in shelf.lines().iter().enumerate() {
        if session.ready.shown == Some(place) {
            for points in shelf.mended(place).iter().flat_map(|own| &own.after) {
                after(pen, points);
            }
            mark(pen, &ready.finding, LOOKED_AT + 2.0, 2.2);
        } else if !told_by_the_shop(&ready.finding, results) {
            mark(pen, &ready.finding, SERVICE, 1.4);
        }
    }
}

/// Whether the shop's checks found the same there: one mark is enough.
fn told_by_the_shop(of_service: &Finding, results: &KnifeResults) -> bool {
    let same = |own: &Finding| (own.place, own.severity) == (of_service.place, of_service.severity);
    results.weighed.findings.iter().any(same)
}

/// What a mend would make of the knife.
fn after(pen: &Pen<'_>, points: &[crate::geometry::Point]) {
    pen.closed(points, Stroke::new(1.5, pen.palette.guide));
}

/// The bar across what was measured and the mark at the place, each with an edge of the ground around it, which sets it off from scribed lines.
fn mark(pen: &Pen<'_>, finding: &Finding, half: f32, width: f32) {
    let color = pen.palette.finding(finding.severity);
    let strokes = [(width + 2.0, pen.palette.ground), (width, color)];
    let strokes = strokes.map(|(width, color)| Stroke::new(width, color));
    if let Some((from, to)) = finding.across {
        let ends = [pen.pos(from), pen.pos(to)];
        if seen(pen, &ends) {
            let stroke = Stroke::new(width, color);
            pen.painter.add(Shape::line_segment(ends, stroke));
        }
    }
    let Some(at) = finding.place.map(|place| pen.pos(place)) else {
        return;
    };
    if seen(pen, &[at]) {
        for stroke in strokes {
            finding_mark(&pen.painter, at, finding.severity, half, stroke);
        }
    }
}

/// Whether anything between these places can be seen.
fn seen(pen: &Pen<'_>, places: &[Pos2]) -> bool {
    pen.canvas
        .expand(MARGIN)
        .intersects(egui::Rect::from_points(places))
}

/// What was measured, beside the mark.
fn figure(pen: &Pen<'_>, finding: &Finding, say: Say) {
    let (Some(place), Some(measured)) = (finding.place, finding.measured_mm) else {
        return;
    };
    let at = pen.pos(place);
    if !seen(pen, &[at]) {
        return;
    }
    let color = pen.palette.finding(finding.severity);
    let font = FontId::proportional(FIGURE);
    let galley = pen.painter.layout_no_wrap(say.fine(measured), font, color);
    let corner = at + vec2(LOOKED_AT + 4.0, -LOOKED_AT);
    let rect = Align2::LEFT_BOTTOM.anchor_size(corner, galley.size());
    let ground = pen.palette.ground.gamma_multiply(0.85);
    pen.painter.rect_filled(rect.expand(3.0), 3.0, ground);
    pen.painter.galley(rect.min, galley, color);
}
