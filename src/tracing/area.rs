//! The part of a picture in which a knife is looked for.

use super::Pixels;
use crate::geometry::{Point, is_convex};
use crate::knife::LaidPicture;

/// Where the plain ground is that the knife lies on. Corners are in pixels of the picture as it was taken.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum GroundArea {
    /// The whole picture.
    #[default]
    Whole,
    /// Inside a sheet with these corners.
    Within([Point; 4]),
    /// All but a sheet or card with these corners, which lies beside the knife.
    Beside([Point; 4]),
}

impl GroundArea {
    /// Where the ground of a picture under the drawing is: on the sheet it is squared by, or beside that sheet.
    #[must_use]
    pub fn of(picture: &LaidPicture) -> Self {
        match &picture.squared {
            None => Self::Whole,
            Some(sheet) if sheet.beside => Self::Beside(sheet.corners),
            Some(sheet) => Self::Within(sheet.corners),
        }
    }
}

/// Rows of a picture as stretches that belong to the area.
#[derive(Clone, Debug)]
pub(super) struct Area {
    ground: GroundArea,
    width: usize,
    height: usize,
}

/// The picture's own border is left out this far, pixels: cameras sharpen and darken it.
const BORDER_PX: f64 = 2.0;
/// A sheet is left out to this share of its sides within its corners, or taken out to beyond them: its edge casts a shadow, and corners are marked by
/// hand.
const SHEET_RIM: f64 = 0.012;

impl Area {
    pub(super) fn new(pixels: &Pixels, ground: GroundArea) -> Self {
        let scaled = |corners: [Point; 4], grown: f64| {
            let middle = corners
                .iter()
                .fold(Point::ZERO, |sum, p| sum + p.to_vec2() / 4.0);
            corners.map(|p| pixels.here(middle + (p - middle) * grown))
        };
        let ground = match ground {
            GroundArea::Within(corners) if is_convex(corners) => {
                GroundArea::Within(scaled(corners, 1.0 - 2.0 * SHEET_RIM))
            }
            GroundArea::Beside(corners) if is_convex(corners) => {
                GroundArea::Beside(scaled(corners, 1.0 + 4.0 * SHEET_RIM))
            }
            _ => GroundArea::Whole,
        };
        Self {
            ground,
            width: pixels.width(),
            height: pixels.height(),
        }
    }

    /// Whether a place, in pixels here, belongs to the area.
    pub(super) fn contains(&self, x: f64, y: f64) -> bool {
        let (right, low) = (
            self.width as f64 - BORDER_PX,
            self.height as f64 - BORDER_PX,
        );
        if !((BORDER_PX..=right).contains(&x) && (BORDER_PX..=low).contains(&y)) {
            return false;
        }
        match self.ground {
            GroundArea::Whole => true,
            GroundArea::Within(corners) => inside(corners, Point::new(x, y)),
            GroundArea::Beside(corners) => !inside(corners, Point::new(x, y)),
        }
    }
}

/// Whether a point lies in a convex figure, either way round.
fn inside([a, b, c, d]: [Point; 4], p: Point) -> bool {
    let side = |from: Point, to: Point| (to - from).cross(p - from);
    let sides = [side(a, b), side(b, c), side(c, d), side(d, a)];
    sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0)
}
