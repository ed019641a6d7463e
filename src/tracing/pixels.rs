//! The pixels of a picture, in the order they are read, top row first.

use crate::geometry::{Point, Rect};

/// A picture in memory: red, green and blue of each pixel, as stored in files (not linear in light).
///
/// Places on it are in pixels of the picture as it was taken, `x` to the right and `y` down, the first pixel covering 0..1: a picture that was made
/// smaller keeps the places of the large one.
#[derive(Clone, Debug, PartialEq)]
pub struct Pixels {
    width: usize,
    height: usize,
    rgb: Vec<[u8; 3]>,
    /// Pixels of the picture as it was taken along one side of a pixel here.
    shrunk: f64,
}

impl Pixels {
    /// A picture of rows of pixels; `shrunk` is by how much it was made smaller. `None` when the rows do not fill it, or it has no pixel.
    #[must_use]
    pub fn new(width: usize, height: usize, rgb: Vec<[u8; 3]>, shrunk: f64) -> Option<Self> {
        let whole = width.checked_mul(height) == Some(rgb.len());
        let fine = whole && !rgb.is_empty() && shrunk.is_finite() && shrunk > 0.0;
        fine.then_some(Self {
            width,
            height,
            rgb,
            shrunk,
        })
    }

    /// Pixels side by side.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// Rows.
    #[must_use]
    pub fn height(&self) -> usize {
        self.height
    }

    /// The pixels, row by row from the top.
    #[must_use]
    pub fn rgb(&self) -> &[[u8; 3]] {
        &self.rgb
    }

    /// Pixels of the picture as it was taken along one side of a pixel here.
    #[must_use]
    pub fn shrunk(&self) -> f64 {
        self.shrunk
    }

    /// The size of the picture as it was taken, as far as pixels here cover it.
    #[must_use]
    pub fn taken(&self) -> Rect {
        Rect::new(
            0.0,
            0.0,
            self.width as f64 * self.shrunk,
            self.height as f64 * self.shrunk,
        )
    }

    /// A place on the picture as it was taken, in pixels here.
    #[must_use]
    pub fn here(&self, taken: Point) -> Point {
        (taken.to_vec2() / self.shrunk).to_point()
    }

    /// A smaller copy whose longer side has at most so many pixels, each the mean of the pixels it covers; the same one when it is small enough.
    #[must_use]
    pub fn at_most(&self, side: usize) -> Self {
        let longer = self.width.max(self.height);
        let factor = longer.div_ceil(side.max(1)).max(1);
        if factor == 1 {
            return self.clone();
        }
        let at = |x: usize, y: usize| self.rgb.get(y * self.width + x).copied();
        let (width, height, rgb) = block_means(self.width, self.height, factor, at);
        Self {
            width,
            height,
            rgb,
            shrunk: self.shrunk * factor as f64,
        }
    }
}

/// The means of square blocks of pixels, `factor` wide: width, height and pixels of the smaller picture. Blocks at the right and lower side may
/// be cut off by the picture's end.
pub fn block_means(
    width: usize,
    height: usize,
    factor: usize,
    at: impl Fn(usize, usize) -> Option<[u8; 3]>,
) -> (usize, usize, Vec<[u8; 3]>) {
    let (small_width, small_height) = (width.div_ceil(factor), height.div_ceil(factor));
    let mut rgb = Vec::with_capacity(small_width * small_height);
    let mut sums = vec![[0_u32; 4]; small_width];
    for row in 0..small_height {
        sums.fill([0; 4]);
        for y in row * factor..((row + 1) * factor).min(height) {
            for (column, sum) in sums.iter_mut().enumerate() {
                for x in column * factor..((column + 1) * factor).min(width) {
                    if let Some([r, g, b]) = at(x, y) {
                        sum[0] += u32::from(r);
                        sum[1] += u32::from(g);
                        sum[2] += u32::from(b);
                        sum[3] += 1;
                    }
                }
            }
        }
        rgb.extend(sums.iter().map(|[r, g, b, n]| {
            let n = (*n).max(1);
            // A mean of bytes is a byte.
            [r, g, b].map(|sum| u8::try_from((sum + n / 2) / n).unwrap_or(u8::MAX))
        }));
    }
    (small_width, small_height, rgb)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smaller_copy_holds_means_and_keeps_places() {
        // 5 × 2: blocks of 2 leave a half block at the right.
        let gray = |v: u8| [v, 0, 255 - v];
        let rows = [10, 20, 30, 40, 50, 30, 40, 50, 60, 70].map(gray);
        let pixels = Pixels::new(5, 2, rows.to_vec(), 3.0).unwrap();
        let small = pixels.at_most(4);
        assert_eq!((small.width(), small.height()), (3, 1));
        assert_eq!(small.rgb(), [gray(25), gray(45), gray(60)]);
        assert_eq!(small.shrunk(), 6.0);
        assert_eq!(small.here(Point::new(12.0, 6.0)), Point::new(2.0, 1.0));
        assert_eq!(pixels.at_most(5), pixels);
    }

    #[test]
    fn rows_that_do_not_fill_it_make_no_picture() {
        assert_eq!(Pixels::new(2, 2, vec![[0; 3]; 3], 1.0), None);
        assert_eq!(Pixels::new(0, 0, Vec::new(), 1.0), None);
        assert_eq!(Pixels::new(usize::MAX, 2, vec![[0; 3]; 3], 1.0), None);
        assert_eq!(Pixels::new(1, 1, vec![[0; 3]], 0.0), None);
    }
}
