//! How bright each place of a picture is, linear in light.

use super::Pixels;

/// Red, green and blue, linear in light, 0..1.
pub(super) type Light = [f32; 3];

/// A picture read as light: a pixel is then the mean of the light that fell on it, so that an edge through it can be told from its value.
#[derive(Debug)]
pub(super) struct Lit<'a> {
    pixels: &'a Pixels,
    of_byte: Vec<f32>,
}

impl<'a> Lit<'a> {
    pub(super) fn new(pixels: &'a Pixels) -> Self {
        let of_byte = (0..=u8::MAX).map(linear).collect();
        Self { pixels, of_byte }
    }

    pub(super) fn width(&self) -> usize {
        self.pixels.width()
    }

    pub(super) fn height(&self) -> usize {
        self.pixels.height()
    }

    /// The light of a pixel; past the border that of the nearest one.
    #[expect(
        clippy::cast_possible_wrap,
        clippy::cast_sign_loss,
        reason = "a picture has at most some thousand pixels along a side, and a clamped place is not below zero"
    )]
    pub(super) fn at(&self, x: isize, y: isize) -> Light {
        let column = x.clamp(0, self.width() as isize - 1) as usize;
        let row = y.clamp(0, self.height() as isize - 1) as usize;
        let bytes = self.pixels.rgb().get(row * self.width() + column);
        bytes.map_or([0.0; 3], |rgb| {
            rgb.map(|byte| self.of_byte.get(usize::from(byte)).copied().unwrap_or(0.0))
        })
    }

    /// The light at a place between pixels, straight between the four nearest middles. Places are in pixels here, the first one covering 0..1.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a place on a picture is a small number"
    )]
    pub(super) fn between(&self, x: f64, y: f64) -> Light {
        let (left, top) = ((x - 0.5).floor(), (y - 0.5).floor());
        let (u, v) = ((x - 0.5 - left) as f32, (y - 0.5 - top) as f32);
        let (column, row) = (left as isize, top as isize);
        let corners = [
            (self.at(column, row), (1.0 - u) * (1.0 - v)),
            (self.at(column + 1, row), u * (1.0 - v)),
            (self.at(column, row + 1), (1.0 - u) * v),
            (self.at(column + 1, row + 1), u * v),
        ];
        let mut sum = [0.0; 3];
        for (light, share) in corners {
            for (own, part) in sum.iter_mut().zip(light) {
                *own += part * share;
            }
        }
        sum
    }
}

/// The light of a stored byte: IEC 61966-2-1:1999 (sRGB), section 5.2.
fn linear(byte: u8) -> f32 {
    let stored = f32::from(byte) / 255.0;
    if stored <= 0.040_45 {
        stored / 12.92
    } else {
        ((stored + 0.055) / 1.055).powf(2.4)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn light_is_linear_and_straight_between_pixels() {
        // Middle gray of 18 % is stored as 118 (IEC 61966-2-1 by hand: 0.4613 × 255 = 117.6).
        assert!((linear(118) - 0.181).abs() < 0.001);
        assert_eq!((linear(0), linear(255)), (0.0, 1.0));
        let rows = [[0_u8; 3], [255; 3]];
        let pixels = Pixels::new(2, 1, rows.to_vec(), 1.0).unwrap();
        let lit = Lit::new(&pixels);
        assert_eq!(lit.between(0.5, 0.5), [0.0; 3]);
        assert_eq!(lit.between(1.25, 0.5), [0.75; 3]);
        assert_eq!(lit.between(9.0, -9.0), [1.0; 3]);
    }
}
