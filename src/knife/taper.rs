//! Thickness along the knife: the distal taper toward the tip, the tapered tang toward the butt.

use super::Faces;
use super::station::value_between;

/// Thickness the bar is ground to along the knife, before any bevel; piecewise linear through its stations, level beyond the
/// first and the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Taper {
    /// At least one station, in rising order of place.
    pub stations: Vec<ThicknessStation>,
    /// Both faces alike, or all of it from one face.
    pub faces: Faces,
}

/// A place along the knife and the thickness there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThicknessStation {
    /// Place along the knife from the shoulder line, mm.
    pub x_mm: f64,
    /// Thickness there, mm. Where it is more than the bar has, the bar stays as it is.
    pub thickness_mm: f64,
}

impl Taper {
    /// Thickness at a place, mm, of a bar of `stock_mm`.
    #[must_use]
    pub fn thickness_at(&self, x_mm: f64, stock_mm: f64) -> f64 {
        value_between(&self.stations, x_mm, |s| (s.x_mm, s.thickness_mm))
            .map_or(stock_mm, |wanted| wanted.min(stock_mm))
    }
}
