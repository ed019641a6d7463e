//! How far each pixel stands off the plain ground.

use super::area::Area;
use super::ground::{Ground, log_of, middle};
use super::light::Lit;
use super::{Stage, TraceError};

/// Less than this no thing stands off the ground, whatever the noise (logarithm of light: an eighth darker).
const LEAST_DARK: f32 = 0.12;
/// Less than this is no color of its own: light from a window and from a lamp differ as much.
const LEAST_HUE: f32 = 0.25;
/// Of how many times the noise a thing must stand off.
const TIMES_NOISE: f32 = 6.0;
/// The ground's own noise is taken from pixels that differ from it by less than this.
const GROUND_WITHIN: f32 = 0.1;
/// Rows between two words on how far it is.
const ROWS_AT_ONCE: usize = 64;

/// What each pixel is against the ground at its place.
#[derive(Debug)]
pub(super) struct Field {
    /// Where it begins on the picture.
    pub(super) origin: (usize, usize),
    pub(super) width: usize,
    pub(super) height: usize,
    /// How much darker than the ground, as a logarithm; below zero where brighter.
    dark: Vec<f32>,
    /// How far its colors part from those of the ground in the same shade.
    hue: Vec<f32>,
    /// Whether the pixel belongs to the area.
    within: Vec<bool>,
    /// Nothing darker by less than this stands off the ground.
    pub(super) least_dark: f32,
    least_hue: f32,
}

impl Field {
    pub(super) fn new(
        lit: &Lit<'_>,
        area: &Area,
        ground: &Ground,
        stage: &mut Stage<'_>,
    ) -> Result<Self, TraceError> {
        let (width, height) = (lit.width(), lit.height());
        let mut field = Self {
            origin: (0, 0),
            width,
            height,
            dark: Vec::with_capacity(width * height),
            hue: Vec::with_capacity(width * height),
            within: Vec::with_capacity(width * height),
            least_dark: LEAST_DARK,
            least_hue: LEAST_HUE,
        };
        for y in 0..height {
            if y % ROWS_AT_ONCE == 0 {
                stage.at(y as f64 / height as f64)?;
            }
            for x in 0..width {
                let (middle_x, middle_y) = (x as f64 + 0.5, y as f64 + 0.5);
                let within = area.contains(middle_x, middle_y);
                let (dark, hue) = if within {
                    against(smooth(lit, x, y), ground.at(middle_x, middle_y))
                } else {
                    (0.0, 0.0)
                };
                field.dark.push(dark);
                field.hue.push(hue);
                field.within.push(within);
            }
        }
        field.judge_noise();
        Ok(field)
    }

    /// Tells by the ground's own noise how far a thing must stand off.
    fn judge_noise(&mut self) {
        // A few ten thousand pixels tell it.
        let every = (self.dark.len() / 40_000).max(1);
        let plain = |i: &usize| {
            let near = self.dark.get(*i).is_some_and(|d| d.abs() < GROUND_WITHIN);
            near && self.within.get(*i) == Some(&true)
        };
        let places: Vec<usize> = (0..self.dark.len()).step_by(every).filter(plain).collect();
        let noise_of = |values: &[f32]| {
            let of = |i: &usize| values.get(*i).map(|v| f64::from(v.abs()));
            let mut sizes: Vec<f64> = places.iter().filter_map(of).collect();
            // The middle of the absolute values of a bell curve is 0.6745 of its width.
            #[expect(clippy::cast_possible_truncation, reason = "a small number")]
            let noise = (middle(&mut sizes) / 0.6745) as f32;
            noise
        };
        self.least_dark = LEAST_DARK.max(TIMES_NOISE * noise_of(&self.dark));
        self.least_hue = LEAST_HUE.max(TIMES_NOISE * noise_of(&self.hue));
    }

    /// The part of the field between two columns and two rows.
    pub(super) fn part(&self, (left, right, top, low): (usize, usize, usize, usize)) -> Self {
        let rows = top..=low.min(self.height.saturating_sub(1));
        let width = (right + 1).min(self.width).saturating_sub(left);
        let height = rows.clone().count();
        let places: Vec<usize> = rows
            .flat_map(|y| (0..width).map(move |x| y * self.width + left + x))
            .collect();
        let of = |values: &[f32]| {
            let one = |i: &usize| values.get(*i).copied().unwrap_or(0.0);
            places.iter().map(one).collect::<Vec<f32>>()
        };
        Self {
            origin: (self.origin.0 + left, self.origin.1 + top),
            width,
            height,
            dark: of(&self.dark),
            hue: of(&self.hue),
            within: places.iter().map(|i| self.within(*i)).collect(),
            least_dark: self.least_dark,
            least_hue: self.least_hue,
        }
    }

    /// How steeply the darkness rises at a pixel, from one side of it to the other.
    pub(super) fn steepness(&self, place: usize) -> f32 {
        let w = self.width;
        let rise = |a: usize, b: usize| self.dark(a) - self.dark(b);
        let across = rise(place + 1, place.saturating_sub(1));
        let down = rise(place + w, place.saturating_sub(w));
        across.hypot(down)
    }

    /// How much darker than the ground a pixel is, as a logarithm.
    pub(super) fn dark(&self, place: usize) -> f32 {
        self.dark.get(place).copied().unwrap_or(0.0)
    }

    /// Whether a pixel belongs to the area.
    pub(super) fn within(&self, place: usize) -> bool {
        self.within.get(place) == Some(&true)
    }

    /// Above zero where a pixel stands off the ground: darker than `dark_from`, or brighter than the ground, or of another color.
    pub(super) fn stands(&self, place: usize, dark_from: f32) -> f32 {
        if !self.within(place) {
            return -1.0;
        }
        let dark = self.dark(place);
        let hue = self.hue.get(place).copied().unwrap_or(0.0);
        (dark - dark_from)
            .max(-dark - self.least_dark)
            .max(hue - self.least_hue)
    }
}

/// The light of a pixel and its neighbors, the nearer ones weighing more.
fn smooth(lit: &Lit<'_>, x: usize, y: usize) -> [f32; 3] {
    #[expect(clippy::cast_possible_wrap, reason = "places on a picture")]
    let (x, y) = (x as isize, y as isize);
    let mut sum = [0.0; 3];
    for (dy, down) in [(-1, 0.25), (0, 0.5), (1, 0.25)] {
        for (dx, across) in [(-1, 0.25), (0, 0.5), (1, 0.25)] {
            let light = lit.at(x + dx, y + dy);
            for (own, part) in sum.iter_mut().zip(light) {
                *own += part * across * down;
            }
        }
    }
    sum
}

/// Darkness and hue of a light against the ground's logarithms.
#[expect(
    clippy::cast_possible_truncation,
    reason = "single precision is enough"
)]
fn against(light: [f32; 3], ground: [f64; 3]) -> (f32, f32) {
    let [r, g, b] = light.map(log_of);
    let off = [r - ground[0], g - ground[1], b - ground[2]];
    let mean = (off[0] + off[1] + off[2]) / 3.0;
    let most = off.iter().fold(f64::MIN, |most, v| most.max(*v));
    let least = off.iter().fold(f64::MAX, |least, v| least.min(*v));
    (-mean as f32, (most - least) as f32)
}
