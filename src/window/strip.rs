//! Where the knife lies from above: a strip under the drawing with the drawing's own `x`, its thickness drawn larger.

use egui::Rect;

/// Height kept free for words over the bar, screen points.
const WORDS_OVER_PX: f32 = 20.0;
/// Height kept free for numbers under the bar, screen points.
const NUMBERS_UNDER_PX: f32 = 20.0;

/// What thickness may be drawn larger by, the most first: round numbers that are said beside it.
const FACTORS: [f64; 14] = [
    20.0, 15.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05,
];

/// The strip of the last frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// The whole strip.
    pub rect: Rect,
    /// What thickness is drawn larger by than lengths along the knife.
    pub factor: f64,
    /// Screen points for one millimeter of thickness.
    pub px_per_mm: f64,
}

impl Strip {
    /// A strip that has room for so much thickness.
    #[must_use]
    pub fn new(rect: Rect, px_per_mm_along: f64, thickness_mm: f64) -> Self {
        let room = f64::from((rect.height() - WORDS_OVER_PX - NUMBERS_UNDER_PX).max(4.0));
        let fits = |factor: &f64| thickness_mm * px_per_mm_along * factor <= room;
        let last = FACTORS[FACTORS.len() - 1];
        let factor = FACTORS.into_iter().find(fits).unwrap_or(last);
        Self {
            rect,
            factor,
            px_per_mm: factor * px_per_mm_along,
        }
    }

    /// Screen height of the mid-plane.
    #[must_use]
    pub fn middle_y(&self) -> f32 {
        f32::midpoint(
            self.rect.top() + WORDS_OVER_PX,
            self.rect.bottom() - NUMBERS_UNDER_PX,
        )
    }

    /// Screen height of a place over the mid-plane. Seen from above with the tip to the right, the right face lies below.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen places are single precision"
    )]
    pub fn y(&self, z_mm: f64) -> f32 {
        self.middle_y() + (z_mm * self.px_per_mm) as f32
    }

    /// Place over the mid-plane of a screen height, mm.
    #[must_use]
    pub fn z_mm(&self, y: f32) -> f64 {
        f64::from(y - self.middle_y()) / self.px_per_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thickness_fits_and_screen_and_model_are_inverse() {
        let rect = Rect::from_min_size(egui::pos2(100.0, 500.0), egui::vec2(800.0, 90.0));
        for along in [0.05, 0.4, 2.0, 9.0, 60.0] {
            for thickness in [1.5, 5.0, 12.0] {
                let strip = Strip::new(rect, along, thickness);
                let (top, bottom) = (strip.y(-thickness / 2.0), strip.y(thickness / 2.0));
                assert!(top >= rect.top() && bottom <= rect.bottom(), "{strip:?}");
                assert!((strip.px_per_mm - strip.factor * along).abs() < 1e-12);
                assert!((strip.z_mm(bottom) - thickness / 2.0).abs() < 1e-3);
            }
        }
    }
}
