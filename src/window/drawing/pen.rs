//! A painter that takes model millimeters.

use egui::{
    Align2, Color32, FontId, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2,
};

use crate::geometry::Point;

use crate::window::dashes::dashed;
use crate::window::results::Fill;
use crate::window::theme::Palette;
use crate::window::view::View;

/// How far the plate under words reaches beyond them at either side, screen points.
const PLATE_PX: f32 = 3.0;
/// How much of a picture a veil hides: under it every color of words keeps its contrast, whatever the picture shows.
const VEIL: f32 = 0.92;

/// Paints in model millimeters on the screen.
pub(in crate::window) struct Pen<'a> {
    pub painter: Painter,
    pub canvas: Rect,
    pub view: View,
    pub palette: &'a Palette,
    /// Whether a picture lies under what is drawn: words stand on a veil of the ground then.
    pub veiled: bool,
}

impl<'a> Pen<'a> {
    pub(in crate::window) fn new(
        painter: Painter,
        canvas: Rect,
        view: View,
        palette: &'a Palette,
    ) -> Self {
        Self {
            painter,
            canvas,
            view,
            palette,
            veiled: false,
        }
    }

    /// Screen place of a point.
    pub(in crate::window) fn pos(&self, p: Point) -> Pos2 {
        self.view.screen_from_model(self.canvas, p)
    }

    /// Screen length of so many millimeters.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen lengths are single precision"
    )]
    pub(in crate::window) fn px(&self, mm: f64) -> f32 {
        (mm * self.view.px_per_mm) as f32
    }

    pub(super) fn closed(&self, points: &[Point], stroke: Stroke) {
        let points = points.iter().map(|p| self.pos(*p)).collect();
        self.painter.add(Shape::closed_line(points, stroke));
    }

    pub(super) fn line(&self, a: Point, b: Point, stroke: Stroke) {
        self.painter
            .line_segment([self.pos(a), self.pos(b)], stroke);
    }

    pub(super) fn dashed(&self, a: Pos2, b: Pos2, color: Color32) {
        self.dashed_path(&[a, b], Stroke::new(1.0, color), (3.0, 4.0));
    }

    /// A path in dashes so long and so far apart, screen points.
    pub(super) fn dashed_path(&self, path: &[Pos2], stroke: Stroke, (dash, gap): (f32, f32)) {
        self.painter.extend(dashed(path, stroke, dash, gap));
    }

    pub(super) fn fill(&self, fill: &Fill, color: Color32) {
        let mut mesh = egui::Mesh::default();
        mesh.reserve_vertices(fill.corners.len());
        for corner in &fill.corners {
            mesh.colored_vertex(self.pos(*corner), color);
        }
        mesh.indices.clone_from(&fill.triangles);
        self.painter.add(mesh);
    }

    pub(super) fn text(
        &self,
        at: Pos2,
        align: Align2,
        text: &str,
        size: f32,
        color: Color32,
    ) -> Rect {
        let font = FontId::proportional(size);
        if !self.veiled {
            return self.painter.text(at, align, text, font, color);
        }
        self.plated(
            at,
            align,
            (text, size, color),
            self.palette.ground.gamma_multiply(VEIL),
        )
    }

    /// Words that lie over lines: a plate of the ground under them keeps them from being struck through.
    pub(super) fn text_on_plate(
        &self,
        at: Pos2,
        align: Align2,
        text: &str,
        size: f32,
        color: Color32,
    ) -> Rect {
        self.plated(at, align, (text, size, color), self.palette.ground)
    }

    fn plated(
        &self,
        at: Pos2,
        align: Align2,
        (text, size, color): (&str, f32, Color32),
        fill: Color32,
    ) -> Rect {
        let font = FontId::proportional(size);
        let galley = self.painter.layout_no_wrap(text.to_owned(), font, color);
        let rect = align.anchor_size(at, galley.size());
        let plate = rect.expand2(vec2(PLATE_PX, 0.0));
        self.painter.rect_filled(plate, 3.0, fill);
        self.painter.galley(rect.min, galley, color);
        rect
    }
}

/// Gives what is drawn in a rectangle a name, for a screen reader.
pub(super) fn named_ui(ui: &Ui, key: impl egui::AsIdSalt, rect: Rect, name: String) {
    let id = ui.scope_id().with(key);
    let seen = ui.interact(rect, id, Sense::hover());
    seen.widget_info(|| WidgetInfo::labeled(Role::Image, true, name.clone()));
}
