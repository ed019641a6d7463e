//! Where the drawing is looked at: scale and place, and the way between millimeters and the screen.

use egui::{Pos2, Rect};

use crate::geometry::{self, Point};

/// Closest look, screen points per mm.
const MOST_PX_PER_MM: f64 = 400.0;
/// Farthest look, screen points per mm.
const LEAST_PX_PER_MM: f64 = 0.05;

/// Scale and place of the drawing. `y` is up in the model and down on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The place shown at the middle of the drawing, mm.
    pub middle: Point,
    /// Screen points for one millimeter.
    pub px_per_mm: f64,
}

impl Default for View {
    fn default() -> Self {
        Self {
            middle: Point::ZERO,
            px_per_mm: 3.0,
        }
    }
}

impl View {
    /// Screen place of a point of the model.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen places are single precision"
    )]
    pub fn screen_from_model(&self, canvas: Rect, p: Point) -> Pos2 {
        let d = (p - self.middle) * self.px_per_mm;
        canvas.center() + egui::vec2(d.x as f32, -d.y as f32)
    }

    /// Model place of a point on the screen.
    #[must_use]
    pub fn model_from_screen(&self, canvas: Rect, pos: Pos2) -> Point {
        let d = pos - canvas.center();
        self.middle + geometry::Vec2::new(f64::from(d.x), -f64::from(d.y)) / self.px_per_mm
    }

    /// Millimeters of so many screen points.
    #[must_use]
    pub fn mm(&self, px: f32) -> f64 {
        f64::from(px) / self.px_per_mm
    }

    /// Zooms by a factor, keeping the place under `at` where it is.
    pub fn zoom_at(&mut self, canvas: Rect, at: Pos2, factor: f64) {
        let held = self.model_from_screen(canvas, at);
        self.px_per_mm = (self.px_per_mm * factor).clamp(LEAST_PX_PER_MM, MOST_PX_PER_MM);
        let moved = self.model_from_screen(canvas, at);
        self.middle += held - moved;
    }

    /// Moves the paper by so many screen points.
    pub fn pan(&mut self, by: egui::Vec2) {
        self.middle -= geometry::Vec2::new(f64::from(by.x), -f64::from(by.y)) / self.px_per_mm;
    }

    /// Fits a box of the model into the drawing with some air around.
    pub fn fit(&mut self, canvas: Rect, bounds: geometry::Rect) {
        if bounds.width() <= 0.0 || canvas.width() < 40.0 || canvas.height() < 40.0 {
            return;
        }
        let air = 0.86;
        let by_width = f64::from(canvas.width()) * air / bounds.width();
        // The beam hangs below the knife and wants its share of the height.
        let by_height = f64::from(canvas.height()) * 0.5 / bounds.height().max(1.0);
        self.px_per_mm = by_width
            .min(by_height)
            .clamp(LEAST_PX_PER_MM, MOST_PX_PER_MM);
        self.middle = bounds.center();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn screen_and_model_are_inverse_and_zoom_keeps_its_place() {
        let canvas = Rect::from_min_size(egui::pos2(100.0, 50.0), egui::vec2(800.0, 600.0));
        let mut view = View {
            middle: Point::new(30.0, -4.0),
            px_per_mm: 2.5,
        };
        let p = Point::new(81.25, 12.5);
        let pos = view.screen_from_model(canvas, p);
        assert!(view.model_from_screen(canvas, pos).distance(p) < 1e-4);
        // Up in the model is up on the screen.
        let above = view.screen_from_model(canvas, Point::new(81.25, 13.5));
        assert!((pos.y - above.y - 2.5).abs() < 1e-3);
        view.zoom_at(canvas, pos, 3.0);
        assert!(view.model_from_screen(canvas, pos).distance(p) < 1e-4);
    }
}
