//! How dark the shadow is that the knife casts on the ground.
//!
//! A shadow is as neutral as dark steel and lies right against it, so that its darkness alone does not tell it. What does is its shape: the shadow of a
//! flat thing is what the thing sweeps over when it is pushed along the ground. So several darknesses are tried as the border between shadow and thing; where the
//! darker part, swept in some direction, covers the lighter part and little else, the lighter part is its shadow.

use super::blob::{Blob, largest};
use super::field::Field;

/// Cells along the longer side of the coarse grid on which it is looked for.
const CELLS: usize = 480;
/// Darknesses tried.
const TRIES: u32 = 16;
/// Directions tried.
const WAYS: u32 = 24;
/// Longest shadow, cells.
const LONGEST: usize = 44;
/// So many cells around the patch count as wrongly covered when a sweep reaches them.
const AROUND: isize = 3;
/// A shadow is at least this share of what stands off, and leaves at least that share.
const LEAST_SHADOW: f64 = 0.012;
const LEAST_THING: f64 = 0.35;
/// How well the sweep must cover the lighter part: what both share, of what either has.
const GOOD: f64 = 0.55;
/// Darknesses nearly as good as the best one are all borders between shadow and thing; the middle one is the safest.
const NEARLY: f64 = 0.05;

/// A coarse look at what stands off the ground.
struct Coarse {
    width: usize,
    height: usize,
    /// Darkness of each cell; none outside the patch.
    dark: Vec<Option<f32>>,
    /// Whether the middle of a cell stands off by its color or brightness.
    bright: Vec<bool>,
}

/// From which darkness a pixel of the patch is the knife itself and not its shadow; `None` when it casts none.
pub(super) fn shadow_border(field: &Field, patch: &Blob) -> Option<f32> {
    let coarse = Coarse::of(field, patch)?;
    let mut levels: Vec<f32> = coarse.dark.iter().flatten().copied().collect();
    levels.retain(|d| *d > field.least_dark);
    levels.sort_by(f32::total_cmp);
    let darkest = levels.get(levels.len() * 9 / 10)?;
    #[expect(clippy::cast_precision_loss, reason = "a dozen tries")]
    let step = (1.25 * darkest - field.least_dark) / TRIES as f32;
    // A thing brighter than the ground is told from its shadow by that alone.
    let never = f32::INFINITY;
    let of_bright = coarse.swept(never);
    let tries: Vec<(f32, f64)> = (1..TRIES)
        .map(|i| field.least_dark + step * i as f32)
        .map(|from| (from, coarse.swept(from)))
        .collect();
    // The first that are good: what is darker still only parts the thing itself.
    let run: Vec<&(f32, f64)> = tries
        .iter()
        .skip_while(|(_, fit)| *fit < GOOD)
        .take_while(|(_, fit)| *fit >= GOOD)
        .collect();
    let best = run.iter().map(|(_, fit)| *fit).fold(0.0, f64::max);
    if of_bright >= GOOD.max(best - NEARLY) {
        return Some(never);
    }
    let as_good: Vec<f32> = run
        .iter()
        .filter(|(_, fit)| *fit >= best - NEARLY)
        .map(|(from, _)| *from)
        .collect();
    as_good.get(as_good.len() / 2).copied()
}

impl Coarse {
    fn of(field: &Field, patch: &Blob) -> Option<Self> {
        let (left, right, top, low) = patch.bounds()?;
        let longer = (right - left).max(low - top) + 1;
        let step = longer.div_ceil(CELLS).max(1);
        // Room around, for sweeps that go astray.
        let room = 4;
        let (width, height) = (
            (right - left) / step + 1 + 2 * room,
            (low - top) / step + 1 + 2 * room,
        );
        let mut coarse = Self {
            width,
            height,
            dark: vec![None; width * height],
            bright: vec![false; width * height],
        };
        for row in 0..height - 2 * room {
            for column in 0..width - 2 * room {
                let (x, y) = (left + column * step + step / 2, top + row * step + step / 2);
                let place = y * patch.width + x;
                let at = (row + room) * width + column + room;
                if x < patch.width && patch.inside.get(place) == Some(&true) {
                    let never = f32::INFINITY;
                    if let (Some(dark), Some(bright)) =
                        (coarse.dark.get_mut(at), coarse.bright.get_mut(at))
                    {
                        *dark = Some(field.dark(place));
                        *bright = field.stands(place, never) > 0.0;
                    }
                }
            }
        }
        Some(coarse)
    }

    /// How well what is darker than `from` sweeps over the rest: what the sweep and the rest share, of what either has.
    fn swept(&self, from: f32) -> f64 {
        let size = (self.width, self.height);
        let is_thing = |i: usize| {
            self.dark
                .get(i)
                .copied()
                .flatten()
                .is_some_and(|d| d > from)
                || self.bright.get(i) == Some(&true)
        };
        let Some(thing) = largest(size, is_thing, |_| true).free else {
            return 0.0;
        };
        let patch = self.dark.iter().flatten().count();
        let shadow = patch.saturating_sub(thing.count);
        let share = |n: usize| n as f64 / patch.max(1) as f64;
        if share(shadow) < LEAST_SHADOW || share(thing.count) < LEAST_THING {
            return 0.0;
        }
        let ring = self.ring(&thing);
        let ways = (0..WAYS).map(|i| f64::from(i) * std::f64::consts::TAU / f64::from(WAYS));
        ways.map(|way| sweep_fit(&thing, &ring, way))
            .fold(0.0, f64::max)
    }

    /// The cells of the patch and around it that are not the thing, and whether they are of the patch.
    fn ring(&self, thing: &Blob) -> Vec<(isize, isize, bool)> {
        let of_patch = |x: isize, y: isize| {
            let on_grid = x >= 0 && y >= 0 && x.unsigned_abs() < self.width;
            let place = y.unsigned_abs() * self.width + x.unsigned_abs();
            on_grid && self.dark.get(place).is_some_and(Option::is_some)
        };
        let mut ring = Vec::new();
        for y in 0..self.height.cast_signed() {
            for x in 0..self.width.cast_signed() {
                if thing.has(x, y) {
                    continue;
                }
                let own = of_patch(x, y);
                let around = [(AROUND, 0), (-AROUND, 0), (0, AROUND), (0, -AROUND)];
                if own || around.iter().any(|(dx, dy)| of_patch(x + dx, y + dy)) {
                    ring.push((x, y, own));
                }
            }
        }
        ring
    }
}

/// The cells from one to those ahead of it, as far as the longest shadow reaches.
fn steps(way: f64) -> Vec<(isize, isize)> {
    let (dx, dy) = (way.cos(), way.sin());
    let step = |on: usize| {
        let (x, y) = (on as f64 * dx, on as f64 * dy);
        #[expect(clippy::cast_possible_truncation, reason = "at most some dozen cells")]
        let step = (x.round() as isize, y.round() as isize);
        step
    };
    (1..=LONGEST).map(step).collect()
}

/// For one direction and its best length: the share of ring cells that the sweep and the shadow have in common.
fn sweep_fit(thing: &Blob, ring: &[(isize, isize, bool)], way: f64) -> f64 {
    let steps = steps(way);
    // How many cells lie so far behind the thing, of the patch and beside it.
    let mut own = [0_u32; LONGEST];
    let mut astray = [0_u32; LONGEST];
    let mut whole = 0_u32;
    for (x, y, of_patch) in ring {
        whole += u32::from(*of_patch);
        let hit = steps.iter().position(|(dx, dy)| thing.has(x - dx, y - dy));
        // The light comes in over open ground: what lies between two parts of the thing is no shadow.
        let open = || !steps.iter().any(|(dx, dy)| thing.has(x + dx, y + dy));
        if let Some(back) = hit.filter(|_| !*of_patch || open()) {
            let counts = if *of_patch { &mut own } else { &mut astray };
            if let Some(count) = counts.get_mut(back) {
                *count += 1;
            }
        }
    }
    let (mut both, mut beyond, mut best) = (0_u32, 0_u32, 0.0_f64);
    for (a, b) in own.iter().zip(astray) {
        both += a;
        beyond += b;
        best = best.max(f64::from(both) / f64::from((whole + beyond).max(1)));
    }
    best
}
