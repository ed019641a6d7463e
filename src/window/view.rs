//! Where the drawing is looked at: scale and place, and the way between millimeters and the screen.

use egui::{Pos2, Rect};

use crate::geometry::{self, Point};

/// Closest look, screen points per mm.
const MOST_PX_PER_MM: f64 = 400.0;
/// Farthest look, screen points per mm.
const LEAST_PX_PER_MM: f64 = 0.05;

/// Width at the left that the tools cover, screen points.
const TOOLS_PX: f32 = 84.0;
/// Height below the knife that the beam takes, screen points.
const BEAM_PX: f32 = 130.0;
/// Least from what was brought into view to the edge of the drawing, screen points.
const AIR_PX: f32 = 40.0;
/// Share of the free room that a fitted knife fills; the rest is air for names beside it.
const FILLED: f64 = 0.8;

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

    /// Shows the same part on a drawing of another size, screen points; nothing was shown on one without size.
    pub fn resize(&mut self, before: egui::Vec2, now: egui::Vec2) {
        if before == now || before.min_elem() <= 0.0 || now.min_elem() <= 0.0 {
            return;
        }
        let by = f64::from((now / before).min_elem());
        self.px_per_mm = (self.px_per_mm * by).clamp(LEAST_PX_PER_MM, MOST_PX_PER_MM);
    }

    /// Moves the paper by so many screen points.
    pub fn pan(&mut self, by: egui::Vec2) {
        self.middle -= geometry::Vec2::new(f64::from(by.x), -f64::from(by.y)) / self.px_per_mm;
    }

    /// Fits a box of the model into the drawing with some air around, clear of the tools at the left and with room for the
    /// beam below.
    pub fn fit(&mut self, canvas: Rect, bounds: geometry::Rect) {
        let free = Rect::from_min_max(
            canvas.min + egui::vec2(TOOLS_PX, 0.0),
            canvas.max - egui::vec2(0.0, BEAM_PX),
        );
        if bounds.width() <= 0.0 || free.width() < 40.0 || free.height() < 40.0 {
            return;
        }
        let by_width = f64::from(free.width()) * FILLED / bounds.width();
        let by_height = f64::from(free.height()) * FILLED / bounds.height().max(1.0);
        self.px_per_mm = by_width
            .min(by_height)
            .clamp(LEAST_PX_PER_MM, MOST_PX_PER_MM);
        self.middle = bounds.center();
        self.pan(free.center() - canvas.center());
    }

    /// Moves the paper so that a box of the model, which may be a single point, is seen clear of the tools and of the edges. What is seen stays where it is; what
    /// is too large to be seen at this scale is fitted.
    pub fn bring(&mut self, canvas: Rect, bounds: geometry::Rect) {
        let mut free = canvas.shrink(AIR_PX);
        free.min.x = canvas.left() + TOOLS_PX;
        let low = self.screen_from_model(canvas, Point::new(bounds.x0, bounds.y0));
        let high = self.screen_from_model(canvas, Point::new(bounds.x1, bounds.y1));
        let own = Rect::from_two_pos(low, high);
        if free.contains_rect(own) {
            return;
        }
        if own.width() > free.width() || own.height() > free.height() {
            self.fit(canvas, bounds);
        } else {
            self.pan(free.center() - own.center());
        }
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

    #[test]
    fn a_fitted_box_is_clear_of_the_tools_and_the_beam() {
        for (width, height) in [(905.0, 780.0), (778.0, 620.0), (310.0, 250.0)] {
            let canvas = Rect::from_min_size(egui::pos2(172.0, 60.0), egui::vec2(width, height));
            let bounds = geometry::Rect::new(-120.0, -31.0, 250.0, 24.0);
            let mut view = View::default();
            view.fit(canvas, bounds);
            let low = view.screen_from_model(canvas, Point::new(bounds.x0, bounds.y0));
            let high = view.screen_from_model(canvas, Point::new(bounds.x1, bounds.y1));
            assert!(low.x > canvas.left() + TOOLS_PX && high.x < canvas.right());
            assert!(high.y > canvas.top() && low.y < canvas.bottom() - BEAM_PX);
        }
    }

    #[test]
    fn on_a_drawing_of_another_size_the_same_part_is_seen() {
        let size = |width, height| egui::vec2(width, height);
        let mut view = View::default();
        view.resize(size(800.0, 600.0), size(400.0, 450.0));
        assert_eq!(view.px_per_mm, View::default().px_per_mm / 2.0);
        view.resize(size(400.0, 450.0), size(800.0, 900.0));
        assert_eq!(view, View::default());
        // Before the first frame there was no drawing.
        view.resize(egui::Vec2::ZERO, size(800.0, 600.0));
        assert_eq!(view, View::default());
    }

    #[test]
    fn what_is_brought_into_view_is_moved_only_if_it_is_not_seen() {
        let canvas = Rect::from_min_size(egui::pos2(172.0, 60.0), egui::vec2(800.0, 420.0));
        let seen = geometry::Rect::new(10.0, 2.0, 10.0, 6.0);
        let mut view = View::default();
        view.bring(canvas, seen);
        assert_eq!(view, View::default());
        // A point far off comes to the middle of what is free, at the same scale.
        let far = Point::new(500.0, -90.0);
        view.bring(canvas, geometry::Rect::from_points(far, far));
        assert_eq!(view.px_per_mm, View::default().px_per_mm);
        let at = view.screen_from_model(canvas, far);
        assert!((at.y - canvas.center().y).abs() < 1e-3, "{at}");
        assert!(at.x > canvas.center().x && at.x < canvas.right(), "{at}");
        // What is longer than the drawing at this scale is fitted.
        let long = geometry::Rect::new(-200.0, 0.0, 300.0, 0.0);
        view.bring(canvas, long);
        for x in [long.x0, long.x1] {
            let end = view.screen_from_model(canvas, Point::new(x, 0.0));
            assert!(canvas.shrink(10.0).contains(end), "{end}");
        }
    }
}
