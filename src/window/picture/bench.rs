//! What the maker is doing with the picture: marks on it that wait to be used, and whether it is seen.

use crate::catalog::{KnownSheet, known_sheet};
use crate::geometry::Point;
use crate::knife::{Id, LaidPicture};

/// What a picture is made true by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum TrueBy {
    /// Two places whose distance is known.
    #[default]
    Places,
    /// The four corners of a sheet of known size.
    Sheet,
}

/// Marks on a picture that wait to be used. Places are in pixels of the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureBench {
    /// The knife whose picture it is, and its file.
    of: Option<(Id, String)>,
    /// Whether pictures are seen.
    pub shown: bool,
    /// Whether the Picture card shall come into sight.
    pub wanted: bool,
    /// What the picture is made true by.
    pub by: TrueBy,
    /// Key of the sheet.
    pub sheet: String,
    /// Whether the knife lies beside the sheet.
    pub beside: bool,
    /// The sheet's corners.
    pub corners: [Point; 4],
    /// Two places.
    pub marks: [Point; 2],
    /// From which darkness on a pixel is knife, 0..1; told from the shadow if none.
    pub darkness: Option<f64>,
}

impl Default for PictureBench {
    fn default() -> Self {
        Self {
            of: None,
            shown: true,
            wanted: false,
            by: TrueBy::default(),
            sheet: "a4".to_owned(),
            beside: false,
            corners: [Point::ZERO; 4],
            marks: [Point::ZERO; 2],
            darkness: None,
        }
    }
}

/// Where marks wait at first, as shares of the picture's sides.
const FIRST_CORNERS: [(f64, f64); 4] = [(0.15, 0.85), (0.85, 0.85), (0.85, 0.15), (0.15, 0.15)];
const FIRST_MARKS: [(f64, f64); 2] = [(0.25, 0.5), (0.75, 0.5)];
/// Marks may lie so far beyond the picture's sides, as a share of them: a corner of a sheet may be cut off.
const BEYOND: f64 = 0.5;

impl PictureBench {
    /// Lays the marks out for a picture they were not laid out for yet.
    pub(super) fn look_at(&mut self, knife: Id, picture: &LaidPicture) {
        let of = self.of.as_ref();
        if of.is_some_and(|(id, file)| *id == knife && *file == picture.file) {
            return;
        }
        let at = |(x, y): (f64, f64)| {
            Point::new(
                x * f64::from(picture.width_px),
                y * f64::from(picture.height_px),
            )
        };
        let corners = picture.squared.map(|sheet| sheet.corners);
        *self = Self {
            of: Some((knife, picture.file.clone())),
            corners: corners.unwrap_or(FIRST_CORNERS.map(at)),
            marks: FIRST_MARKS.map(at),
            darkness: None,
            ..self.clone()
        };
        if let Some(sheet) = picture.squared {
            self.beside = sheet.beside;
            self.by = TrueBy::Sheet;
        }
    }

    /// The chosen sheet.
    #[must_use]
    pub(in crate::window) fn known_sheet(&self) -> Option<KnownSheet> {
        known_sheet(&self.sheet)
    }

    /// The marks that can be dragged now: corners, or places.
    pub(in crate::window) fn marks_mut(&mut self) -> &mut [Point] {
        match self.by {
            TrueBy::Places => &mut self.marks,
            TrueBy::Sheet => &mut self.corners,
        }
    }
}

/// The place on a picture that is nearest to a wanted one and where a mark may be.
#[must_use]
pub(in crate::window) fn mark_within(picture: &LaidPicture, wanted: Point) -> Point {
    let near = |value: f64, side: u32| {
        let side = f64::from(side);
        value.clamp(-BEYOND * side, (1.0 + BEYOND) * side)
    };
    Point::new(
        near(wanted.x, picture.width_px),
        near(wanted.y, picture.height_px),
    )
}
