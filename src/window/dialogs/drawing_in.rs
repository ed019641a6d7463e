//! A drawing from elsewhere before it becomes a knife: its picture and size, what became of what, what was mended and what was left out.

use std::sync::Arc;

use egui::{Context, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo};

use super::new_knife::USUAL_STEEL;
use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog;
use crate::edit::Edit;
use crate::geometry::{Contour, Piece, Point, Rect};
use crate::reading::drawing::{
    DrawingUnit, FIRST_THICKNESS_MM, ImportError, ImportOptions, Imported, read_drawing,
};
use crate::units::print_number;
use crate::window::action::Action;
use crate::window::cards::{bench_material, sentence};
use crate::window::shown::Shown;
use crate::window::theme::Palette;

/// Chords of the picture leave the curve by at most this, mm.
const DRAWN_WITHIN_MM: f64 = 0.1;
/// Height of the picture, points.
const PICTURE_PX: f32 = 150.0;
/// Most lines that are listed of what was mended or left out.
const MOST_LISTED: usize = 12;
/// Radius of the ring round what was mended, points.
const RING_PX: f32 = 5.0;

/// A drawing that is looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawingIn {
    file_name: String,
    bytes: Arc<[u8]>,
    /// The unit the maker said; none for what the file says.
    unit: Option<DrawingUnit>,
    read: Result<Imported, ImportError>,
    /// Outline and cut-outs, flattened.
    shapes: Vec<Vec<Point>>,
    /// What is left out, flattened, with its words.
    left: Vec<(Vec<Point>, String)>,
}

impl DrawingIn {
    /// Reads a drawing to look at it.
    #[must_use]
    pub fn new(file_name: String, bytes: Vec<u8>) -> Self {
        let mut dialog = Self {
            file_name,
            bytes: bytes.into(),
            unit: None,
            read: Err(ImportError::Empty),
            shapes: Vec::new(),
            left: Vec::new(),
        };
        dialog.read();
        dialog
    }

    fn read(&mut self) {
        let options = ImportOptions {
            unit: self.unit,
            ..ImportOptions::default()
        };
        self.read = read_drawing(&self.bytes, &self.file_name, &options);
        self.shapes = match &self.read {
            Ok(read) => {
                let own = read.openings.iter().map(|opening| opening.shape.contour());
                std::iter::once(read.outline.clone())
                    .chain(own)
                    .map(|contour| contour.flattened(DRAWN_WITHIN_MM))
                    .collect()
            }
            Err(_) => Vec::new(),
        };
        let left_out = self.read.iter().flat_map(|read| &read.left_out);
        let drawn = left_out.filter(|left| !left.lines.is_empty());
        self.left = drawn
            .map(|left| {
                let lines = Contour {
                    pieces: left.lines.clone(),
                };
                (open_chain(&lines), left.to_string())
            })
            .collect();
    }
}

/// The corners of an open line, with its last end.
fn open_chain(lines: &Contour) -> Vec<Point> {
    let end = lines.pieces.last().map(Piece::end);
    let corners = lines.flattened(DRAWN_WITHIN_MM);
    corners.into_iter().chain(end).collect()
}

/// Draws the dialog.
pub(super) fn drawing_in_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    dialog: &mut DrawingIn,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: "A drawing from elsewhere",
        width: 640.0,
        fresh,
        focus_default: true,
    };
    let add = FootButton {
        label: "Add to the rack",
        enabled: dialog.read.is_ok(),
    };
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| body_ui(ui, shown.palette, dialog),
        || vec![add, FootButton::new("Cancel")],
    );
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(0) => {
            let Ok(read) = &dialog.read else {
                return Turn::Stay;
            };
            let used = shown.set.knives.last().map(|k| k.stock.material.as_str());
            let key = used.unwrap_or(USUAL_STEEL);
            let knife = Box::new(read.knife(&read.name(), FIRST_THICKNESS_MM, key));
            let materials = catalog::material(key)
                .map(bench_material)
                .into_iter()
                .collect();
            actions.push(Action::Edit(Edit::AddKnife { knife, materials }));
            Turn::Done
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

fn body_ui(ui: &mut Ui, palette: &Palette, dialog: &mut DrawingIn) {
    ui.label(RichText::new(&dialog.file_name).color(palette.quiet));
    let mut unit = dialog.unit;
    ui.horizontal_wrapped(|ui| {
        // Each mark stands nearer to its own words than to those before it.
        ui.spacing_mut().item_spacing.x = 16.0;
        ui.label("Its numbers are");
        ui.radio_value(&mut unit, None, "as the file says");
        ui.radio_value(&mut unit, Some(DrawingUnit::Mm), "mm");
        ui.radio_value(&mut unit, Some(DrawingUnit::Inch), "inch");
        ui.radio_value(&mut unit, Some(DrawingUnit::Px96), "pixels, 96 to the inch");
    });
    if unit != dialog.unit {
        dialog.unit = unit;
        dialog.read();
    }
    match &dialog.read {
        Err(reason) => {
            ui.add_space(6.0);
            let told = sentence(&reason.to_string());
            ui.label(RichText::new(told).color(palette.stop));
        }
        Ok(read) => {
            picture_ui(ui, palette, dialog, read);
            let (mm, inch) = (read.size_mm, read.size_in());
            let size = format!(
                "{} × {} mm, {} × {} in",
                print_number(mm.x, 1),
                print_number(mm.y, 1),
                print_number(inch.x, 2),
                print_number(inch.y, 2)
            );
            ui.label(RichText::new(size).strong().color(palette.line));
            let openings = match read.openings.len() {
                1 => "1 cut-out".to_owned(),
                n => format!("{n} cut-outs"),
            };
            let told = format!("{}; {openings}; unit {}", read.placing, read.unit);
            ui.label(RichText::new(sentence(&told)).color(palette.quiet));
            list_ui(
                ui,
                palette,
                "Mended",
                read.repaired.iter().map(ToString::to_string),
            );
            list_ui(
                ui,
                palette,
                "Left out",
                read.left_out.iter().map(ToString::to_string),
            );
        }
    }
}

fn list_ui(ui: &mut Ui, palette: &Palette, heading: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    if lines.is_empty() {
        return;
    }
    ui.add_space(4.0);
    ui.label(RichText::new(heading).strong().color(palette.warn));
    for line in lines.iter().take(MOST_LISTED) {
        ui.label(RichText::new(line).small());
    }
    if lines.len() > MOST_LISTED {
        let more = format!("and {} more", lines.len() - MOST_LISTED);
        ui.label(RichText::new(more).small().color(palette.quiet));
    }
}

/// Outline and cut-outs, fitted into a strip with what is left out; rings where something was mended.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen places are single precision"
)]
fn picture_ui(ui: &mut Ui, palette: &Palette, dialog: &DrawingIn, read: &Imported) {
    let size = egui::vec2(ui.available_width(), PICTURE_PX);
    let (area, _) = ui.allocate_exact_size(size, Sense::hover());
    ui.painter().rect_filled(area, 6.0, palette.field);
    let mut bounds: Option<Rect> = None;
    let left = dialog.left.iter().map(|(line, _)| line);
    for p in dialog.shapes.iter().take(1).chain(left).flatten() {
        let dot = Rect::from_points(*p, *p);
        bounds = Some(bounds.map_or(dot, |b| b.union(dot)));
    }
    let Some(bounds) = bounds.filter(|b| b.width() > 0.0 && b.height() > 0.0) else {
        return;
    };
    let room = area.shrink(14.0);
    let scale =
        (f64::from(room.width()) / bounds.width()).min(f64::from(room.height()) / bounds.height());
    let at = |p: &Point| {
        let d = *p - bounds.center();
        room.center() + egui::vec2((d.x * scale) as f32, (-d.y * scale) as f32)
    };
    for shape in &dialog.shapes {
        let points = shape.iter().map(at).collect();
        let stroke = Stroke::new(1.6, palette.line);
        ui.painter().add(Shape::closed_line(points, stroke));
    }
    for (place, (line, words)) in dialog.left.iter().enumerate() {
        let points: Vec<egui::Pos2> = line.iter().map(at).collect();
        let room = egui::Rect::from_points(&points).expand(RING_PX);
        let stroke = Stroke::new(1.6, palette.stop);
        ui.painter().add(Shape::line(points, stroke));
        mark_ui(ui, ("left out", place), room, &format!("left out {words}"));
    }
    for (place, p) in read.mended_at.iter().enumerate() {
        let stroke = Stroke::new(1.4, palette.warn);
        ui.painter().circle_stroke(at(p), RING_PX, stroke);
        let room = egui::Rect::from_center_size(at(p), egui::Vec2::splat(2.0 * RING_PX));
        let words = format!(
            "mended at x {}, y {} mm",
            print_number(p.x, 1),
            print_number(p.y, 1)
        );
        mark_ui(ui, ("mended", place), room, &words);
    }
}

/// A place of the picture that tells what is there.
fn mark_ui(ui: &Ui, key: (&str, usize), room: egui::Rect, words: &str) {
    let id = ui.scope_id().with(key);
    let seen = ui.interact(room, id, Sense::hover());
    seen.widget_info(|| WidgetInfo::labeled(Role::Image, true, words.to_owned()));
    seen.on_hover_text(words);
}
