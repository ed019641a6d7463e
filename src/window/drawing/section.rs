//! The section under the drawing: the true shape across the knife, lying on its right face, edge to the left, and its numbers.

use egui::{Align2, Mesh, Pos2, Rect, RichText, Shape, Stroke, Ui, UiBuilder, pos2, vec2};

use super::Pen;
use crate::units::{Angle, Length, MISSING, print_angle, print_number};
use crate::window::action::Action;
use crate::window::bar::{Bar, LayerAt};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, signed_field};
use crate::window::section::SectionView;
use crate::window::session::{Preferences, Session};
use crate::window::shown::Shown;
use crate::window::theme;

/// Width of the words at the left of the figure, screen points.
const WORDS_PX: f32 = 128.0;
/// Width of the numbers at its right, as a share of the whole, within bounds.
const NUMBERS_SHARE: f32 = 0.36;
const NUMBERS_PX: std::ops::RangeInclusive<f32> = 210.0..=330.0;
/// Height of a line of numbers, screen points.
const NUMBER_PX: f32 = 15.0;
/// Room over a figure for words, and under it for the marks behind the edge, screen points.
const WORDS_OVER_PX: f32 = 15.0;
const TICKS_PX: f32 = 16.0;
/// Share of the height for the whole section; the rest shows its edge enlarged.
const WHOLE_SHARE: f32 = 0.44;
/// The edge is drawn a second time if it comes out so much larger.
const WORTH_A_SECOND: f32 = 1.3;
/// The enlarged edge shows no less than this, mm.
const LEAST_EDGE_MM: f64 = 3.0;

/// Draws the strip.
pub(super) fn section_ui(
    ui: &mut Ui,
    rect: Rect,
    pen: &Pen<'_>,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some((knife, _)) = shown.knife(session.knife) else {
        return;
    };
    let palette = shown.palette;
    let card = rect.shrink2(vec2(8.0, 6.0));
    let edge = Stroke::new(1.0, palette.card_edge);
    ui.painter().rect_filled(rect, 0.0, palette.ground);
    ui.painter()
        .rect(card, 8.0, palette.bench, edge, egui::StrokeKind::Inside);
    let inner = card.shrink2(vec2(12.0, 8.0));
    let numbers_px = (NUMBERS_SHARE * inner.width()).clamp(*NUMBERS_PX.start(), *NUMBERS_PX.end());
    let words = Rect::from_min_max(inner.min, pos2(inner.left() + WORDS_PX, inner.bottom()));
    let numbers = Rect::from_min_max(pos2(inner.right() - numbers_px, inner.top()), inner.max);
    let figure = Rect::from_min_max(
        pos2(words.right() + 14.0, inner.top()),
        pos2(numbers.left() - 14.0, inner.bottom()),
    );
    let section = shown.kept.section.section();
    let mut desk = Desk {
        shown,
        session,
        actions,
    };
    let id = knife.id;
    part(ui, words, |ui| words_ui(ui, &mut desk, id, section));
    part(ui, numbers, |ui| numbers_ui(ui, &mut desk, section));
    if let Some(section) = section {
        let figure_pen = Pen::new(ui.painter_at(figure), pen.canvas, pen.view, palette);
        draw_figures(&figure_pen, figure, section, desk.session);
    }
}

fn part(ui: &mut Ui, rect: Rect, add: impl FnOnce(&mut Ui)) {
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        ui.set_clip_rect(ui.clip_rect().intersect(rect.expand(4.0)));
        add(ui);
    });
}

/// Screen points for one millimeter of a section, and where it lies.
#[derive(Clone, Copy)]
struct Scale {
    px_per_mm: f32,
    left: f32,
    middle: f32,
    low_mm: f64,
}

impl Scale {
    /// So much of a section from the edge up, as large as it fits.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen lengths are single precision"
    )]
    fn fitting(low_mm: f64, depth_mm: f64, thickness_mm: f64, room: Rect) -> Self {
        let (depth, thickness) = (depth_mm.max(0.1) as f32, thickness_mm.max(0.1) as f32);
        let px_per_mm = (room.width() / depth)
            .min(room.height() / thickness)
            .max(0.01);
        Self {
            px_per_mm,
            left: room.left(),
            middle: room.center().y,
            low_mm,
        }
    }

    /// Where a height in the blade and a place over its mid-plane come to lie.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen places are single precision"
    )]
    fn pos(self, y_mm: f64, z_mm: f64) -> Pos2 {
        pos2(
            self.left + (y_mm - self.low_mm) as f32 * self.px_per_mm,
            self.middle + z_mm as f32 * self.px_per_mm,
        )
    }
}

/// Where the section is taken, whether it stays there, and how large it is drawn.
fn words_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    knife: crate::knife::Id,
    section: Option<&SectionView>,
) {
    let field = FieldId::new(knife, "section at");
    let lengths = desk.session.preferences.lengths();
    let now = section.map(|s| s.x_mm).or(desk.session.section.x_mm);
    field_row(ui, desk, 1, &[field], |columns, desk| {
        let [only] = columns else { return };
        let typed = signed_field(only, desk, field, "section at", now.unwrap_or(0.0), lengths);
        if let Some(x_mm) = typed {
            desk.session.section.x_mm = Some(x_mm);
            desk.session.section.pinned = true;
        }
    });
    let pinned = desk.session.section.pinned;
    let hint = if pinned {
        "Lets the section follow the pointer again"
    } else {
        "Holds the section here; a click on the knife from above does the same"
    };
    let button = egui::Button::new("Pin")
        .selected(pinned)
        .frame_when_inactive(true);
    if ui.add(button).on_hover_text(hint).clicked() {
        desk.session.section.pinned = !pinned;
        if desk.session.section.x_mm.is_none() {
            desk.session.section.x_mm = now;
        }
    }
    if let Some(section) = section {
        let preferences = &desk.session.preferences;
        let spine = Length::mm(section.at_spine_mm);
        let spine = preferences.caliper_lengths().print(spine);
        let deep = Length::mm(section.high_mm - section.low_mm);
        let deep = preferences.lengths().print(deep);
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.spacing_mut().interact_size.y = NUMBER_PX;
        number_ui(ui, desk, "spine", &spine);
        number_ui(ui, desk, "deep", &deep);
    }
}

/// What the section measures.
fn numbers_ui(ui: &mut Ui, desk: &mut Desk<'_>, section: Option<&SectionView>) {
    let palette = desk.shown.palette;
    let Some(section) = section else {
        let text = "No steel here, or the outline is not sound.";
        ui.label(RichText::new(text).small().color(palette.quiet));
        return;
    };
    let numbers = numbers(section, &desk.session.preferences);
    let usual = (ui.spacing().item_spacing, ui.spacing().interact_size.y);
    ui.spacing_mut().item_spacing = vec2(18.0, 1.0);
    ui.spacing_mut().interact_size.y = NUMBER_PX;
    for pair in numbers.chunks(2) {
        ui.columns(2, |columns| {
            for (ui, (name, value)) in columns.iter_mut().zip(pair) {
                number_ui(ui, desk, name, value);
            }
        });
    }
    ui.spacing_mut().item_spacing = usual.0;
    ui.spacing_mut().interact_size.y = usual.1;
    if !numbers.is_empty() {
        ui.add_space(4.0);
    }
    behind_ui(ui, desk, section);
}

/// The numbers of a section, in the order they are read.
fn numbers(section: &SectionView, preferences: &Preferences) -> Vec<(&'static str, String)> {
    let caliper = preferences.caliper_lengths();
    let length = |mm: f64| caliper.print(Length::mm(mm));
    let usual = |mm: f64| preferences.lengths().print(Length::mm(mm));
    let angle = |rad: f64| print_angle(Angle::radians(rad), 1);
    let mut numbers = Vec::new();
    if let Some(edge) = section.edge {
        numbers.push(("edge", length(edge.thickness_mm)));
        numbers.push(("together", angle(edge.included_rad())));
        let sides = [("right side", edge.right), ("left side", edge.left)];
        let alike = match (edge.right, edge.left) {
            (Some(a), Some(b)) => {
                (a.angle_rad - b.angle_rad).abs() < 1e-6 && (a.width_mm - b.width_mm).abs() < 1e-3
            }
            _ => false,
        };
        for (name, side) in sides {
            let Some(side) = side else { continue };
            let name = if alike { "each side" } else { name };
            numbers.push((name, angle(side.angle_rad)));
            numbers.push(("bevel wide", usual(side.width_mm)));
            if alike {
                break;
            }
        }
    }
    if let Some(core) = section.core {
        let text = if core.from_mm > 0.0 {
            let from = preferences.lengths().print_bare(Length::mm(core.from_mm));
            format!("{from} to {}", usual(core.to_mm))
        } else {
            usual(core.to_mm)
        };
        numbers.push(("core shows", text));
    }
    if let Some(edge) = section.false_edge {
        numbers.push(("false edge", angle(edge.included_rad())));
    }
    numbers
}

fn number_ui(ui: &mut Ui, desk: &Desk<'_>, name: &str, value: &str) {
    ui.horizontal(|ui| {
        let quiet = desk.shown.palette.quiet;
        ui.label(RichText::new(name).small().color(quiet));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new(value).size(theme::READ_OUT));
        });
    });
}

/// Thickness at three distances behind the edge, which the maker sets.
fn behind_ui(ui: &mut Ui, desk: &mut Desk<'_>, section: &SectionView) {
    let fields = ["behind 1", "behind 2", "behind 3"].map(FieldId::plain);
    let (lengths, fine) = (
        desk.session.preferences.lengths(),
        desk.session.preferences.caliper_lengths(),
    );
    let distances = desk.session.preferences.behind_edge_mm;
    field_row(ui, desk, 3, &fields, |columns, desk| {
        for (i, ui) in columns.iter_mut().enumerate() {
            let (Some(field), Some(distance)) = (fields.get(i), distances.get(i)) else {
                continue;
            };
            let label = ["behind edge", "further", "furthest"];
            let label = label.get(i).copied().unwrap_or_default();
            let typed = length_field(ui, desk, *field, label, *distance, lengths);
            if let (Some(mm), Some(own)) = (
                typed.filter(|mm| *mm >= 0.0),
                desk.session.preferences.behind_edge_mm.get_mut(i),
            ) {
                *own = mm;
            }
            let thick = section.behind_edge_mm.get(i).copied().flatten();
            let text = thick.map_or(MISSING.to_owned(), |mm| fine.print(Length::mm(mm)));
            ui.label(RichText::new(text).size(theme::READ_OUT));
        }
    });
}

/// The whole section over the edge alone, enlarged more.
fn draw_figures(pen: &Pen<'_>, figure: Rect, section: &SectionView, session: &Session) {
    let words = WORDS_OVER_PX;
    let split = figure.top() + WHOLE_SHARE * figure.height();
    let between = |top: f32, bottom: f32| {
        let (left, right) = (figure.left() + 2.0, figure.right() - 2.0);
        Rect::from_min_max(pos2(left, top), pos2(right, bottom))
    };
    let depth = section.high_mm - section.low_mm;
    let fitted = |depth_mm: f64, thickness_mm: f64, room: Rect| {
        Scale::fitting(section.low_mm, depth_mm, thickness_mm, room)
    };
    let alone = between(figure.top() + words, figure.bottom() - TICKS_PX);
    let upper = between(figure.top() + words, split - 6.0);
    let lower = between(split + words, figure.bottom() - TICKS_PX);
    let distances = session.preferences.behind_edge_mm;
    let farthest = distances.iter().copied().fold(LEAST_EDGE_MM, f64::max);
    let zone = (farthest * 1.12).min(depth);
    let whole = fitted(depth, section.thickest_mm, upper);
    let edge = fitted(zone, section.thickest_within(zone), lower);
    // Where the edge would hardly be larger, the whole has all the room.
    let once = edge.px_per_mm < WORTH_A_SECOND * whole.px_per_mm;
    let whole = if once {
        fitted(depth, section.thickest_mm, alone)
    } else {
        whole
    };
    let true_px = session.preferences.true_px_per_mm;
    let larger = |scale: Scale| print_number(f64::from(scale.px_per_mm) / true_px, 1);
    draw_one(pen, section, whole, figure);
    let quiet = pen.palette.quiet;
    let (left, right) = (figure.left() + 2.0, whole.pos(section.high_mm, 0.0).x);
    // Behind the shoulder line, and on a blank that is not ground, there is no edge.
    let low = if section.edge.is_some() {
        "edge"
    } else {
        "lower side"
    };
    let text = format!("{low}, × {}", larger(whole));
    let at = pos2(left, figure.top());
    let said = pen.text(at, Align2::LEFT_TOP, &text, 10.5, quiet);
    if right > said.right() + 40.0 {
        let at = pos2(right, figure.top());
        pen.text(at, Align2::RIGHT_TOP, "spine", 10.5, quiet);
        // The right face lies below, as it does on the knife from above.
        if right > said.right() + 160.0 {
            let at = pos2(f32::midpoint(said.right(), right), figure.top());
            pen.text(at, Align2::CENTER_TOP, "left face", 10.5, quiet);
        }
    }
    if once {
        draw_ticks(pen, section, whole, session, figure.bottom());
        return;
    }
    // Beyond the zone the steel goes on; it is cut off where the zone ends.
    let end = edge.pos(section.low_mm + zone, 0.0).x;
    let clip = Rect::from_min_max(figure.min, pos2(end, figure.bottom()));
    draw_one(pen, section, edge, clip);
    let behind = if section.edge.is_some() {
        "behind the edge"
    } else {
        "at that side"
    };
    let text = format!("{behind}, × {}", larger(edge));
    pen.text(pos2(left, split), Align2::LEFT_TOP, &text, 10.5, quiet);
    draw_ticks(pen, section, edge, session, figure.bottom());
}

fn draw_one(pen: &Pen<'_>, section: &SectionView, scale: Scale, clip: Rect) {
    let painter = pen.painter.with_clip_rect(clip);
    let pen = Pen::new(painter, pen.canvas, pen.view, pen.palette);
    for steel in &section.steel {
        draw_steel(&pen, steel, scale);
    }
    for opening in &section.openings {
        for steel in &section.steel {
            draw_opening(&pen, steel, *opening, scale);
        }
    }
    let (from, to) = (
        scale.pos(section.low_mm, 0.0),
        scale.pos(section.high_mm, 0.0),
    );
    let quiet = pen.palette.quiet.gamma_multiply(0.6);
    pen.dashed(from - vec2(6.0, 0.0), to + vec2(6.0, 0.0), quiet);
}

/// Marks the distances behind the edge where the thickness is told.
fn draw_ticks(pen: &Pen<'_>, section: &SectionView, scale: Scale, session: &Session, bottom: f32) {
    let palette = pen.palette;
    let lengths = session.preferences.lengths();
    let mut words_end = f32::NEG_INFINITY;
    for (distance, thick) in session
        .preferences
        .behind_edge_mm
        .iter()
        .zip(section.behind_edge_mm)
    {
        let Some(thick) = thick else { continue };
        let at = scale.pos(section.low_mm + distance, 0.0);
        #[expect(clippy::cast_possible_truncation, reason = "a screen length")]
        let half = (thick / 2.0) as f32 * scale.px_per_mm;
        let stroke = Stroke::new(1.0, palette.guide);
        // Short of the words above.
        let (top, low) = (at.y - half - 2.0, at.y + half + 4.0);
        pen.painter.vline(at.x, top..=low, stroke);
        let text = lengths.print_bare(Length::mm(*distance));
        let font = egui::FontId::proportional(10.0);
        let galley = pen.painter.layout_no_wrap(text, font, palette.guide);
        let under = pos2(at.x, (low + 1.0).min(bottom - galley.size().y));
        let place = Align2::CENTER_TOP.anchor_size(under, galley.size());
        if place.left() > words_end + 3.0 {
            words_end = place.right();
            pen.painter.galley(place.min, galley, palette.guide);
        }
    }
}

fn draw_steel(pen: &Pen<'_>, steel: &Bar, scale: Scale) {
    for band in &steel.bands {
        let color = pen.palette.layer(band.place, steel.n_layers);
        let mut mesh = Mesh::default();
        for LayerAt {
            at_mm,
            left_mm,
            right_mm,
        } in &band.along
        {
            mesh.colored_vertex(scale.pos(*at_mm, *left_mm), color);
            mesh.colored_vertex(scale.pos(*at_mm, *right_mm), color);
        }
        super::from_above::fill_between(&mut mesh, band.along.len());
        pen.painter.add(mesh);
    }
    let solid = |f: &&LayerAt| f.right_mm >= f.left_mm;
    let faces = || steel.faces.iter().filter(solid);
    let left = faces().map(|f| scale.pos(f.at_mm, f.left_mm));
    let right = faces().rev().map(|f| scale.pos(f.at_mm, f.right_mm));
    let outline: Vec<Pos2> = left.chain(right).collect();
    let stroke = Stroke::new(1.4, pen.palette.line);
    pen.painter.add(Shape::closed_line(outline, stroke));
}

/// A cut-out lets the light through; its walls stand at both ends.
fn draw_opening(pen: &Pen<'_>, steel: &Bar, (low, high): (f64, f64), scale: Scale) {
    let (Some(first), Some(last)) = (steel.faces_at(low), steel.faces_at(high)) else {
        return;
    };
    let within = steel
        .faces
        .iter()
        .filter(|f| f.at_mm > low && f.at_mm < high);
    let faces: Vec<LayerAt> = std::iter::once(first)
        .chain(within.copied())
        .chain([last])
        .collect();
    let mut mesh = Mesh::default();
    for f in &faces {
        // A little more, so that the outline of the steel goes too.
        let over = 1.5 / f64::from(scale.px_per_mm);
        mesh.colored_vertex(scale.pos(f.at_mm, f.left_mm - over), pen.palette.bench);
        mesh.colored_vertex(scale.pos(f.at_mm, f.right_mm + over), pen.palette.bench);
    }
    super::from_above::fill_between(&mut mesh, faces.len());
    pen.painter.add(mesh);
    let stroke = Stroke::new(1.4, pen.palette.line);
    for f in [first, last] {
        let wall = [
            scale.pos(f.at_mm, f.left_mm),
            scale.pos(f.at_mm, f.right_mm),
        ];
        pen.painter.line_segment(wall, stroke);
    }
}
