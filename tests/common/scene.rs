//! A bench seen by a camera, rendered: a knife on a sheet or beside a card, in light that falls off, with the shadows of the knife and of a hand, through a lens that
//! blurs, with the noise of the pixels.
//!
//! Nothing of the tracing is used: the camera is a pinhole (R. Hartley and A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd ed., 6.1), coverage is
//! counted on a fine mask, shade and noise are as said below.

use tangwright::geometry::{Contour, Point, Vec2};
use tangwright::tracing::Pixels;

use super::mask::{Mask, blurred};

/// Cells of the mask to the millimeter.
const FINE: f64 = 16.0;
/// Cells of the shadow mask to the millimeter.
const COARSE: f64 = 4.0;
/// Rays through each pixel along a side.
const RAYS: u32 = 3;

/// Numbers that look random and are always the same: splitmix64.
#[derive(Clone, Debug)]
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.next() % from.len() as u64) as usize]
    }

    /// Nearly a bell curve: the sum of twelve.
    fn bell(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// A pinhole camera over the bench.
#[derive(Clone, Debug)]
pub(crate) struct Camera {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Focal length, pixels.
    pub(crate) focal: f64,
    /// Above the place it looks at, mm.
    pub(crate) distance: f64,
    pub(crate) looks_at: Point,
    /// Off the upright, radians, and in which direction.
    pub(crate) tilt: f64,
    pub(crate) toward: f64,
    /// Turned about its own axis, radians.
    pub(crate) roll: f64,
}

impl Camera {
    /// The camera's axes on the bench: right, down, and the way it looks.
    fn axes(&self) -> [[f64; 3]; 3] {
        let (s, c) = self.tilt.sin_cos();
        let (t, u) = self.toward.sin_cos();
        let look = [s * u, s * t, -c];
        // Right and down before rolling: right is level.
        let right = [t, -u, 0.0];
        let down = cross(look, right);
        // Rolled so that the bench stands upright in the picture, but for the camera's own roll.
        let (r, q) = (self.roll + self.toward - std::f64::consts::FRAC_PI_2).sin_cos();
        let mix = |a: [f64; 3], b: [f64; 3], p: f64, o: f64| [0, 1, 2].map(|i| a[i] * p + b[i] * o);
        [mix(right, down, q, r), mix(right, down, -r, q), look]
    }

    fn eye(&self) -> [f64; 3] {
        let look = self.axes()[2];
        [
            self.looks_at.x - look[0] * self.distance,
            self.looks_at.y - look[1] * self.distance,
            -look[2] * self.distance,
        ]
    }

    /// Where a place of the bench is seen, pixels.
    pub(crate) fn sees(&self, p: Point) -> Point {
        let (eye, [right, down, look]) = (self.eye(), self.axes());
        let d = [p.x - eye[0], p.y - eye[1], -eye[2]];
        let depth = dot(d, look);
        Point::new(
            self.width as f64 / 2.0 + self.focal * dot(d, right) / depth,
            self.height as f64 / 2.0 + self.focal * dot(d, down) / depth,
        )
    }

    /// The place of the bench seen at a pixel, from the camera's eye and axes.
    fn seen_at(&self, (eye, axes): ([f64; 3], [[f64; 3]; 3]), x: f64, y: f64) -> Point {
        let [right, down, look] = axes;
        let (u, v) = (
            (x - self.width as f64 / 2.0) / self.focal,
            (y - self.height as f64 / 2.0) / self.focal,
        );
        let ray = [0, 1, 2].map(|i| look[i] + right[i] * u + down[i] * v);
        let far = -eye[2] / ray[2];
        Point::new(eye[0] + ray[0] * far, eye[1] + ray[1] * far)
    }
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// What lies on the bench and how it is lit. Colors are reflectances, linear.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) outline: Contour,
    pub(crate) holes: Vec<Contour>,
    /// Lower left and upper right of the paper; the bench lies around it.
    pub(crate) paper: (Point, Point),
    pub(crate) paper_color: [f64; 3],
    pub(crate) bench_color: [f64; 3],
    /// Steel ahead of `x = 0` in the knife's own axes, and the handle behind it.
    pub(crate) steel: [f64; 3],
    pub(crate) handle: [f64; 3],
    /// From the bench to the knife's own axes: turned back by this, after shifting back.
    pub(crate) turned: f64,
    pub(crate) shifted: Vec2,
    /// How far the steel shines unevenly.
    pub(crate) streaks: f64,
    /// How the light falls off over 100 mm, and in which direction.
    pub(crate) fall: Vec2,
    /// The brightest light from the ground in the picture's corners, of what a pixel can hold: above 1 it is overexposed there.
    pub(crate) exposure: f64,
    /// The shadow: how far it reaches, how soft its end is (mm), how much light it takes (0..1).
    pub(crate) shadow: (Vec2, f64, f64),
    /// A hand's soft shadow: its middle, its width (mm), how much light it takes.
    pub(crate) hand: (Point, f64, f64),
    /// Blur of the lens, pixels.
    pub(crate) blur: f64,
    /// Noise of a pixel at full light (standard deviation, share of full light).
    pub(crate) noise: f64,
    pub(crate) camera: Camera,
    pub(crate) seed: u64,
}

impl Scene {
    /// The corners of the paper as the camera sees them, from the lower left counterclockwise.
    pub(crate) fn paper_seen(&self) -> [Point; 4] {
        self.paper_corners().map(|p| self.camera.sees(p))
    }

    /// The corners of the paper on the bench, from the lower left counterclockwise.
    pub(crate) fn paper_corners(&self) -> [Point; 4] {
        let (a, c) = self.paper;
        [a, Point::new(c.x, a.y), c, Point::new(a.x, c.y)]
    }

    /// The picture.
    pub(crate) fn rendered(&self) -> Pixels {
        let flat = |c: &Contour| c.flattened(0.003);
        let all: Vec<Vec<Point>> = std::iter::once(&self.outline)
            .chain(&self.holes)
            .map(flat)
            .collect();
        let thing = Mask::filled(&all, FINE, 2.0);
        let (by, soft, _) = self.shadow;
        let shade = Mask::filled(
            &[flat(&self.outline)],
            COARSE,
            by.hypot() + 4.0 * soft + 2.0,
        )
        .swept(by)
        .blurred(soft);
        let (width, height) = (self.camera.width, self.camera.height);
        let gain = self.gain();
        let stand = (self.camera.eye(), self.camera.axes());
        let mut planes = [(); 3].map(|()| Vec::with_capacity(width * height));
        for y in 0..height {
            for x in 0..width {
                let light = self.pixel(stand, (x, y), &thing, &shade).map(|v| v * gain);
                for (plane, own) in planes.iter_mut().zip(light) {
                    plane.push(own as f32);
                }
            }
        }
        let planes = planes.map(|plane| blurred(&plane, width, height, self.blur));
        let mut dice = Dice(self.seed);
        let rgb = (0..width * height)
            .map(|i| [0, 1, 2].map(|c| self.stored(f64::from(planes[c][i]), &mut dice)))
            .collect();
        Pixels::new(width, height, rgb, 1.0).expect("it is filled")
    }

    /// The light through one pixel.
    fn pixel(
        &self,
        stand: ([f64; 3], [[f64; 3]; 3]),
        (x, y): (usize, usize),
        thing: &Mask,
        shade: &Mask,
    ) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for i in 0..RAYS * RAYS {
            let part = |k: u32| (f64::from(k) + 0.5) / f64::from(RAYS);
            let p =
                self.camera
                    .seen_at(stand, x as f64 + part(i % RAYS), y as f64 + part(i / RAYS));
            let on_thing = thing.at(p) > 0.5;
            let color = if on_thing {
                self.of_thing(p)
            } else {
                self.of_ground(p)
            };
            let shaded = if on_thing {
                0.0
            } else {
                f64::from(shade.at(p)) * self.shadow.2
            };
            let light = self.light(p) * (1.0 - shaded);
            for (own, part) in sum.iter_mut().zip(color) {
                *own += part * light / f64::from(RAYS * RAYS);
            }
        }
        sum
    }

    fn of_thing(&self, p: Point) -> [f64; 3] {
        let d = p - self.shifted;
        let (s, c) = self.turned.sin_cos();
        let own = Point::new(d.x * c + d.y * s, d.y * c - d.x * s);
        let color = if own.x < 0.0 { self.handle } else { self.steel };
        // Streaks along the blade, as grinding leaves them.
        let shine =
            1.0 + self.streaks * ((own.y * 1.7).sin() + (own.y * 0.63 + own.x * 0.02).sin()) / 2.0;
        color.map(|v| v * shine)
    }

    fn of_ground(&self, p: Point) -> [f64; 3] {
        let (a, c) = self.paper;
        if (a.x..=c.x).contains(&p.x) && (a.y..=c.y).contains(&p.y) {
            self.paper_color
        } else {
            self.bench_color
        }
    }

    /// What the light is multiplied by to expose the picture.
    fn gain(&self) -> f64 {
        let seen = self
            .paper_corners()
            .into_iter()
            .chain([self.camera.looks_at]);
        let fall = |p: Point| (-(p - self.camera.looks_at).dot(self.fall) / 100.0).exp();
        let steel = self.steel[0] * (1.0 + self.streaks);
        let light = |p: Point| fall(p) * self.of_ground(p).into_iter().fold(steel, f64::max);
        self.exposure / seen.map(light).fold(0.0, f64::max)
    }

    fn light(&self, p: Point) -> f64 {
        let fall = (-(p - self.camera.looks_at).dot(self.fall) / 100.0).exp();
        let (middle, width, takes) = self.hand;
        let hand = 1.0 - takes * (-0.5 * (p - middle).hypot2() / (width * width)).exp();
        fall * hand
    }

    /// A byte: noise that grows with the root of the light, and sRGB (IEC 61966-2-1).
    fn stored(&self, light: f64, dice: &mut Dice) -> u8 {
        let noisy = light + dice.bell() * self.noise * (0.02 + light.max(0.0)).sqrt();
        let v = noisy.clamp(0.0, 1.0);
        let stored = if v <= 0.003_130_8 {
            12.92 * v
        } else {
            1.055 * v.powf(1.0 / 2.4) - 0.055
        };
        (stored * 255.0).round() as u8
    }
}
