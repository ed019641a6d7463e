//! How bright the plain ground is everywhere, also where the knife lies on it.
//!
//! 1. The picture is taken in blocks, each the mean of its light, in logarithms: light and shade multiply what the ground reflects.
//! 2. A surface of the second degree is laid through the blocks, by least absolute deviation, so that what stands off the ground does not pull it.
//! 3. Blocks near the surface are ground. What they differ from it is spread smoothly over all others; with that the ground is told anew, and
//!    so it grows into soft shadows, but not over an edge.

use super::area::Area;
use super::light::Lit;
use super::linear::Normal;

/// Blocks along the longer side of the picture: fine enough for a lamp's light, coarse enough for noise.
const BLOCKS: usize = 160;
/// Terms of a surface of the second degree.
const TERMS: usize = 6;
/// Rounds of least absolute deviation.
const ROUNDS: u32 = 24;
/// Rounds in which the ground grows.
const GROWTHS: u32 = 6;
/// Over how many blocks the ground is smooth.
const SMOOTH: f64 = 5.0;
/// Whatever the noise, a block this near the surface is ground, and one this far is not (logarithm of light).
const SURELY: f64 = 0.03;
const SURELY_NOT: f64 = 0.12;
/// Darker than this no light is told from none.
const DARKEST: f32 = 1e-3;

/// The light of the ground, as logarithms, block by block.
#[derive(Debug)]
pub(super) struct Ground {
    step: f64,
    columns: usize,
    rows: usize,
    levels: Vec<[f64; 3]>,
}

/// The logarithm of light.
pub(super) fn log_of(light: f32) -> f64 {
    f64::from(light.max(DARKEST)).ln()
}

impl Ground {
    /// Finds the ground; `None` when the area is too small to tell.
    pub(super) fn find(lit: &Lit<'_>, area: &Area) -> Option<Self> {
        let step = lit.width().max(lit.height()).div_ceil(BLOCKS).max(1);
        let (columns, rows) = (lit.width().div_ceil(step), lit.height().div_ceil(step));
        let mut blocks = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                blocks.push(block(lit, area, column * step, row * step, step));
            }
        }
        let places: Vec<(f64, f64)> = (0..columns * rows)
            .map(|i| {
                let (x, y) = ((i % columns) as f64, (i / columns) as f64);
                let half = columns.max(rows) as f64 / 2.0;
                (x / half - 1.0, y / half - 1.0)
            })
            .collect();
        let surfaces = surfaces(&blocks, &places)?;
        let flat = places
            .iter()
            .map(|p| surfaces.map(|s| height(&s, *p)))
            .collect();
        let mut ground = Self {
            step: step as f64,
            columns,
            rows,
            levels: flat,
        };
        for _ in 0..GROWTHS {
            ground.grow(&blocks);
        }
        Some(ground)
    }

    /// The logarithms of the ground's light at a place, in pixels.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a clamped place in the table of blocks is a small number, not below zero"
    )]
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let place = |v: f64, n: usize| (v / self.step - 0.5).clamp(0.0, n as f64 - 1.0);
        let (x, y) = (place(x, self.columns), place(y, self.rows));
        let (column, row) = (x as usize, y as usize);
        let (u, v) = (x - x.floor(), y - y.floor());
        let level = |c: usize, r: usize| {
            let at = r.min(self.rows - 1) * self.columns + c.min(self.columns - 1);
            self.levels.get(at).copied().unwrap_or([0.0; 3])
        };
        let (a, b) = (level(column, row), level(column + 1, row));
        let (c, d) = (level(column, row + 1), level(column + 1, row + 1));
        let mut mixed = [0.0; 3];
        for (i, own) in mixed.iter_mut().enumerate() {
            let of = |corner: &[f64; 3]| corner.get(i).copied().unwrap_or(0.0);
            let (upper, lower) = (
                of(&a) * (1.0 - u) + of(&b) * u,
                of(&c) * (1.0 - u) + of(&d) * u,
            );
            *own = upper * (1.0 - v) + lower * v;
        }
        mixed
    }

    /// Tells anew which blocks are ground, and lays the levels through them.
    fn grow(&mut self, blocks: &[Option<[f64; 3]>]) {
        let off: Vec<Option<[f64; 3]>> = blocks
            .iter()
            .zip(&self.levels)
            .map(|(block, level)| block.map(|b| sub(b, *level)))
            .collect();
        let mut sizes: Vec<f64> = off.iter().flatten().map(size).collect();
        let most = (6.0 * middle(&mut sizes)).clamp(SURELY, SURELY_NOT);
        let near = off
            .iter()
            .map(|o| o.filter(|o| size(o) <= most))
            .collect::<Vec<_>>();
        let spread = self.spread(&near);
        for (level, more) in self.levels.iter_mut().zip(spread) {
            for (own, part) in level.iter_mut().zip(more) {
                *own += part;
            }
        }
    }

    /// Spreads what is known over what is not: a weighted mean whose weights fall off as a bell, first along rows, then along columns.
    fn spread(&self, known: &[Option<[f64; 3]>]) -> Vec<[f64; 3]> {
        let start: Vec<[f64; 4]> = known
            .iter()
            .map(|k| k.map_or([0.0; 4], |[r, g, b]| [r, g, b, 1.0]))
            .collect();
        let along_rows = bell(&start, self.columns, 1, self.rows, self.columns);
        let both = bell(&along_rows, self.rows, self.columns, self.columns, 1);
        both.iter()
            .map(|[r, g, b, w]| {
                // Far from all ground nothing is added.
                let share = w.max(1e-3);
                [r / share, g / share, b / share]
            })
            .collect()
    }
}

/// Smooths each of `lines` lines of `n` cells that lie `stride` apart, beginning `skip` apart.
fn bell(cells: &[[f64; 4]], n: usize, stride: usize, lines: usize, skip: usize) -> Vec<[f64; 4]> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive constant"
    )]
    let reach = (3.0 * SMOOTH) as usize;
    let weights: Vec<f64> = (0..=reach)
        .map(|d| (-0.5 * (d as f64 / SMOOTH).powi(2)).exp())
        .collect();
    let mut smooth = vec![[0.0; 4]; cells.len()];
    for line in 0..lines {
        for i in 0..n {
            let (from, to) = (i.saturating_sub(reach), (i + reach).min(n - 1));
            let mut sum = [0.0; 4];
            for j in from..=to {
                let weight = weights.get(i.abs_diff(j)).copied().unwrap_or(0.0);
                let cell = cells.get(line * skip + j * stride);
                for (own, part) in sum.iter_mut().zip(cell.into_iter().flatten()) {
                    *own += weight * part;
                }
            }
            if let Some(own) = smooth.get_mut(line * skip + i * stride) {
                *own = sum;
            }
        }
    }
    smooth
}

fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// How far off a block is, in its worst color.
fn size(off: &[f64; 3]) -> f64 {
    off.iter().fold(0.0, |most: f64, v| most.max(v.abs()))
}

/// The middle one of some values; zero for none.
pub(super) fn middle(values: &mut [f64]) -> f64 {
    let half = values.len() / 2;
    if values.is_empty() {
        return 0.0;
    }
    *values.select_nth_unstable_by(half, f64::total_cmp).1
}

/// The mean logarithms of a block, if it lies in the area.
fn block(lit: &Lit<'_>, area: &Area, left: usize, top: usize, step: usize) -> Option<[f64; 3]> {
    let (far_x, far_y) = ((left + step) as f64, (top + step) as f64);
    let corners = [
        (left as f64, top as f64),
        (far_x, top as f64),
        (left as f64, far_y),
        (far_x, far_y),
    ];
    if !corners.iter().all(|(x, y)| area.contains(*x, *y)) {
        return None;
    }
    let mut sum = [0.0_f32; 3];
    for y in top..top + step {
        for x in left..left + step {
            #[expect(clippy::cast_possible_wrap, reason = "places on a picture")]
            let light = lit.at(x as isize, y as isize);
            for (own, part) in sum.iter_mut().zip(light) {
                *own += part;
            }
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "a block has few pixels")]
    let n = (step * step) as f32;
    Some(sum.map(|s| log_of(s / n)))
}

/// The surface of each color.
fn surfaces(blocks: &[Option<[f64; 3]>], places: &[(f64, f64)]) -> Option<[[f64; TERMS]; 3]> {
    let mut found = [[0.0; TERMS]; 3];
    for (i, surface) in found.iter_mut().enumerate() {
        let known: Vec<((f64, f64), f64)> = blocks
            .iter()
            .zip(places)
            .filter_map(|(block, place)| Some((*place, *block.as_ref()?.get(i)?)))
            .collect();
        *surface = least_deviation(&known)?;
    }
    Some(found)
}

/// The surface of least absolute deviation, by weighted least squares, each value weighing less the farther it is off.
///
/// Source: E. J. Schlossmacher, "An iterative technique for absolute deviations curve fitting", J. Amer. Stat. Assoc. 68 (1973) 857–859.
fn least_deviation(known: &[((f64, f64), f64)]) -> Option<[f64; TERMS]> {
    if known.len() < 4 * TERMS {
        return None;
    }
    let mut values: Vec<f64> = known.iter().map(|(_, v)| *v).collect();
    let mut surface = [0.0; TERMS];
    surface[0] = middle(&mut values);
    for _ in 0..ROUNDS {
        let mut normal = Normal::new(TERMS);
        for (place, value) in known {
            let weight = 1.0 / (value - height(&surface, *place)).abs().max(SURELY / 3.0);
            let slopes: Vec<(usize, f64)> = terms(*place).into_iter().enumerate().collect();
            normal.add(&slopes, *value, weight);
        }
        let solved = normal.solve(1e-9)?;
        for (own, new) in surface.iter_mut().zip(solved) {
            *own = new;
        }
    }
    Some(surface)
}

fn terms((x, y): (f64, f64)) -> [f64; TERMS] {
    [1.0, x, y, x * x, x * y, y * y]
}

fn height(surface: &[f64; TERMS], place: (f64, f64)) -> f64 {
    surface.iter().zip(terms(place)).map(|(a, b)| a * b).sum()
}
