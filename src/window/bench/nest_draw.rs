//! What the nest page draws on its stock: the knives' steel and names, corners and flaws, and where a bar goes on beyond what is seen.

use std::sync::Arc;

use egui::{Align2, FontId, Mesh, Rect, Shape, Stroke, pos2, vec2};

use super::nest_page::set_corners;
use super::nest_view::{NestView, PieceFrom};
use super::nester::Nester;
use crate::geometry::Point;
use crate::nesting::{Nest, Stock, typed_flaws};
use crate::sheet::Text;
use crate::units::{Length, LengthFormat, LengthUnit, MM_PER_INCH, print_number};
use crate::window::drawing::Pen;
use crate::window::results::KnifeResults;
use crate::window::shown::Shown;
use crate::window::theme;

/// Least and most size of a knife's name, screen points.
const NAME: (f32, f32) = (9.0, 17.0);
/// Share of a knife's length its name may take when it is set larger than on the sheet.
const NAME_SHARE: f32 = 0.9;
/// Capital letters are this share of their font's size high.
const CAPITAL_SHARE: f32 = 0.693;
/// Room for the mark of a bar that goes on, from the edge of the page, and how far the mark reaches beyond the bar.
const BREAK: f32 = 44.0;
const BEYOND: f32 = 7.0;
/// The bar that tells the scale is no longer than this.
const SCALE: f32 = 160.0;

/// Draws on the page.
pub(super) struct Bench<'a>(pub Pen<'a>);

impl Bench<'_> {
    /// The steel of the knives as they are drawn, within the lines that are cut.
    pub(super) fn steel(&self, shown: &Shown<'_>, nest: &Nest) {
        for (place, placed) in nest.placed.iter().enumerate() {
            // A knife that has changed since lies there as it was: as lines alone.
            let Some(results) = laid(shown, nest, place) else {
                continue;
            };
            let mut mesh = Mesh::default();
            for corner in &results.fill.corners {
                let at = self.0.pos(placed.motion.apply(*corner));
                mesh.colored_vertex(at, self.0.palette.steel);
            }
            mesh.indices.clone_from(&results.fill.triangles);
            self.0.painter.add(mesh);
        }
    }

    /// The names on the knives, larger than on the sheet where that is too small to be read; one that finds no room is left out.
    pub(super) fn names(&self, shown: &Shown<'_>, nest: &Nest, names: &[Text]) {
        for (place, name) in names.iter().enumerate() {
            let usual = self.0.px(name.height_mm) / CAPITAL_SHARE;
            // Not larger than it must be to be read: its place is as long as on the sheet.
            let mut size = usual.clamp(theme::LABEL, NAME.1);
            let of_size = |size: f32| {
                let font = FontId::proportional(size);
                (self.0.painter).layout_no_wrap(name.text.clone(), font, self.0.palette.line)
            };
            let mut galley = of_size(size);
            if let Some(results) = laid(shown, nest, place) {
                let room = NAME_SHARE * self.0.px(results.bounds().width());
                if galley.size().x > room {
                    size *= room / galley.size().x;
                    if size < NAME.0 {
                        continue;
                    }
                    galley = of_size(size);
                }
            }
            #[expect(clippy::cast_possible_truncation, reason = "a screen angle")]
            let angle = -name.angle_rad as f32;
            let turn = egui::emath::Rot2::from_angle(angle);
            // The middle of its capitals lies on the middle of the steel.
            let middle = self.0.pos(name.at) - turn * vec2(0.0, 0.5 * self.0.px(name.height_mm));
            let at = middle - turn * (0.5 * galley.size());
            self.0.painter.add(
                egui::epaint::TextShape::new(at, galley, self.0.palette.line).with_angle(angle),
            );
        }
    }

    /// Where a bar goes on beyond what is seen: it is broken off there, and said how long it is; and how much of it is used.
    pub(super) fn bar_end(&self, stock: &Stock, used_mm: f64, lengths: LengthFormat) {
        let Stock::Bar {
            width_mm,
            length_mm,
        } = stock
        else {
            return;
        };
        let print = |mm: f64| lengths.print(Length::mm(mm));
        let (low, high) = (
            self.0.pos(Point::ZERO).y,
            self.0.pos(Point::new(0.0, *width_mm)).y,
        );
        let say = |x: f32, align: Align2, words: &str| {
            let under = align.y() == egui::Align::Min;
            // Over the mark of a bar that goes on, not touched by it.
            let y = if under {
                low + BEYOND
            } else {
                high - BEYOND - 2.0
            };
            let at = pos2(x, y);
            let font = FontId::proportional(theme::READ_OUT);
            (self.0.painter).text(at, align, words, font, self.0.palette.quiet)
        };
        let used = self.0.pos(Point::new(used_mm, 0.0)).x;
        if used_mm <= 0.0 {
            let words = format!("{} by {}", print(*width_mm), print(*length_mm));
            say(self.0.pos(Point::ZERO).x, Align2::LEFT_TOP, &words);
        } else if used_mm < *length_mm {
            say(used, Align2::RIGHT_TOP, &format!("{} used", print(used_mm)));
        }
        let end = self.0.pos(Point::new(*length_mm, 0.0)).x;
        let x = self.0.canvas.right() - BREAK;
        if end <= self.0.canvas.right() || used + BEYOND > x {
            return;
        }
        let beyond = Rect::from_min_max(
            pos2(x, high - BEYOND),
            pos2(self.0.canvas.right(), low + BEYOND),
        );
        self.0
            .painter
            .rect_filled(beyond, 0.0, self.0.palette.ground);
        let middle = 0.5 * (low + high);
        let mark = [
            vec2(0.0, high - BEYOND - middle),
            vec2(0.0, -9.0),
            vec2(-6.0, -4.0),
            vec2(6.0, 4.0),
            vec2(0.0, 9.0),
            vec2(0.0, low + BEYOND - middle),
        ];
        let mark = mark.iter().map(|by| pos2(x, middle) + *by).collect();
        let stroke = Stroke::new(1.0, self.0.palette.quiet);
        self.0.painter.add(Shape::line(mark, stroke));
        let words = format!("goes on to {}", print(*length_mm));
        // Above the bar: what is used is told below it.
        say(self.0.canvas.right() - 12.0, Align2::RIGHT_BOTTOM, &words);
    }

    /// A bar of a round length in the corner, by which sizes on the page are judged.
    pub(super) fn scale(&self, unit: LengthUnit) {
        let (per_mm, lengths, name): (f64, &[f64], &str) = match unit {
            LengthUnit::Mm => (1.0, &[10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0], "mm"),
            LengthUnit::DecimalInch | LengthUnit::FractionInch => {
                (MM_PER_INCH, &[0.5, 1.0, 2.0, 4.0, 8.0, 20.0, 40.0], "in")
            }
        };
        let fits = |length: &&f64| self.0.px(**length * per_mm) <= SCALE;
        let Some(length) = lengths.iter().rev().find(fits) else {
            return;
        };
        let left = self.0.canvas.left_bottom() + vec2(16.0, -14.0);
        let right = left + vec2(self.0.px(length * per_mm), 0.0);
        let stroke = Stroke::new(1.0, self.0.palette.quiet);
        let ends = [left, right].map(|end| [end - vec2(0.0, 4.0), end + vec2(0.0, 4.0)]);
        for line in [[left, right], ends[0], ends[1]] {
            self.0.painter.line_segment(line, stroke);
        }
        let decimals = u8::from(length.fract() != 0.0);
        let words = format!("{} {name}", print_number(*length, decimals));
        let font = FontId::proportional(theme::READ_OUT);
        let at = right + vec2(8.0, 0.0);
        (self.0.painter).text(at, Align2::LEFT_CENTER, words, font, self.0.palette.quiet);
    }

    /// The corners and flaws set so far, and the flaw that is being drawn.
    pub(super) fn set_by_hand(&self, own: &NestView, unit: LengthUnit) {
        let palette = self.0.palette;
        if own.piece == PieceFrom::Corners {
            let corners = set_corners(&own.corners, unit);
            let line = corners.iter().map(|p| self.0.pos(*p)).collect();
            let stroke = Stroke::new(1.0, palette.guide);
            // Three corners make a piece: then its last side is one as the others are.
            self.0.painter.add(if corners.len() < 3 {
                Shape::line(line, stroke)
            } else {
                Shape::closed_line(line, stroke)
            });
            for corner in &corners {
                let stroke = Stroke::new(1.5, palette.bright);
                self.0
                    .painter
                    .circle(self.0.pos(*corner), 4.0, palette.ground, stroke);
            }
        }
        for flaw in typed_flaws(&own.flaws, unit).unwrap_or_default() {
            let bounds = flaw.bounds();
            let reach = self.0.px(bounds.width() / 2.0);
            let stroke = Stroke::new(1.5, palette.stop);
            self.0
                .painter
                .circle_stroke(self.0.pos(bounds.center()), reach, stroke);
        }
        let pointer = self.0.painter.ctx().input(|i| i.pointer.latest_pos());
        if let Some((from, pointer)) = own.flaw_from.zip(pointer) {
            let reach = self.0.pos(from).distance(pointer);
            let stroke = Stroke::new(1.5, palette.bright);
            self.0
                .painter
                .circle_stroke(self.0.pos(from), reach, stroke);
        }
    }
}

/// What is known of the knife at a place of the nest, as long as it is the one that was laid there.
fn laid<'a>(shown: &Shown<'a>, nest: &Nest, place: usize) -> Option<&'a KnifeResults> {
    let nester: &Nester = &shown.kept.nest;
    let placed = nest.placed.get(place)?;
    let (knife, _) = nester.wish()?.counts.get(placed.blank)?;
    let results = shown.results.of(knife.id)?;
    Arc::ptr_eq(&results.knife, knife).then_some(results)
}
