//! Which stored pixel stands where once the picture is upright.

use image::DynamicImage;
use image::metadata::Orientation;

/// The way from places on the upright picture to those on the stored one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Upright {
    width: usize,
    height: usize,
    noted: Orientation,
}

impl Upright {
    /// For a stored picture of this size, which the camera says is to be turned so.
    pub(super) fn new(width: usize, height: usize, noted: Orientation) -> Self {
        Self {
            width,
            height,
            noted,
        }
    }

    /// Width and height once it is upright.
    pub(super) fn size(&self) -> (usize, usize) {
        match self.noted {
            Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH => (self.height, self.width),
            _ => (self.width, self.height),
        }
    }

    /// The stored pixel that stands at a place of the upright picture.
    ///
    /// Source: JEITA CP-3451 (Exif 2.2), section 4.6.4, tag Orientation: which side of the seen picture row 0 and column 0 are.
    pub(super) fn stored(&self, x: usize, y: usize) -> (usize, usize) {
        let right = |v: usize| self.width.saturating_sub(v + 1);
        let low = |v: usize| self.height.saturating_sub(v + 1);
        match self.noted {
            Orientation::NoTransforms => (x, y),
            Orientation::FlipHorizontal => (right(x), y),
            Orientation::Rotate180 => (right(x), low(y)),
            Orientation::FlipVertical => (x, low(y)),
            Orientation::Rotate90FlipH => (y, x),
            Orientation::Rotate90 => (y, low(x)),
            Orientation::Rotate270FlipH => (right(y), low(x)),
            Orientation::Rotate270 => (right(y), x),
        }
    }
}

/// Red, green and blue of a stored pixel; what is seen through lies on white.
pub(super) fn color(stored: &DynamicImage, x: usize, y: usize) -> Option<[u8; 3]> {
    let (column, row) = (u32::try_from(x).ok()?, u32::try_from(y).ok()?);
    match stored {
        DynamicImage::ImageRgb8(own) => own.get_pixel_checked(column, row).map(|p| p.0),
        DynamicImage::ImageLuma8(own) => own.get_pixel_checked(column, row).map(|p| [p.0[0]; 3]),
        other => {
            let fits = column < other.width() && row < other.height();
            let image::Rgba([r, g, b, a]) =
                fits.then(|| image::GenericImageView::get_pixel(other, column, row))?;
            let on_white = |v: u8| {
                let (v, a) = (u16::from(v), u16::from(a));
                u8::try_from((v * a + 255 * (255 - a) + 127) / 255).unwrap_or(u8::MAX)
            };
            Some([r, g, b].map(on_white))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_note_turns_as_the_picture_library_does() {
        let mut stored = image::RgbImage::new(3, 2);
        for (x, y, pixel) in stored.enumerate_pixels_mut() {
            *pixel = image::Rgb([x as u8, y as u8, 7]);
        }
        for note in 1..=8 {
            let noted = Orientation::from_exif(note).unwrap();
            let stored = DynamicImage::ImageRgb8(stored.clone());
            let mut expected = stored.clone();
            expected.apply_orientation(noted);
            let upright = Upright::new(3, 2, noted);
            let (width, height) = upright.size();
            assert_eq!(
                (width as u32, height as u32),
                (expected.width(), expected.height())
            );
            for y in 0..height {
                for x in 0..width {
                    let (sx, sy) = upright.stored(x, y);
                    let own = color(&stored, sx, sy).unwrap();
                    let other = expected.as_rgb8().unwrap().get_pixel(x as u32, y as u32).0;
                    assert_eq!(own, other, "note {note} at {x}, {y}");
                }
            }
        }
    }

    #[test]
    fn what_is_seen_through_lies_on_white() {
        let mut own = image::RgbaImage::new(1, 2);
        own.put_pixel(0, 0, image::Rgba([10, 20, 30, 0]));
        own.put_pixel(0, 1, image::Rgba([10, 20, 30, 255]));
        let own = DynamicImage::ImageRgba8(own);
        assert_eq!(color(&own, 0, 0), Some([255; 3]));
        assert_eq!(color(&own, 0, 1), Some([10, 20, 30]));
        assert_eq!(color(&own, 0, 2), None);
    }
}
