//! How a drawing is laid on the bench: level, tip to the right, `x = 0` at the shoulder line, as far as its shape tells.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Affine, Rect, Vec2};

use super::imported::{LeftOut, Mending, OpeningShape, Placing, Zero};
use super::sorting::Sorted;
use crate::geometry::{Contour, Motion, Piece, SpanIndex};

/// Upright drawings are taller than wide by at least this.
const UPRIGHT: f64 = 1.2;
/// Stations along the knife at which its depth is taken.
const STATIONS: u32 = 240;
/// A shoulder steps by at least this share of the greatest depth ...
const STEP: f64 = 0.2;
/// ... within this many stations.
const STEP_STATIONS: usize = 4;
/// Shoulders lie in this part of the length.
const SHOULDER_AT: (f64, f64) = (0.12, 0.88);
/// A neck is narrower than what lies ahead and behind by at least this share of the greatest depth.
const NECK: f64 = 0.06;
/// Signs weaker than this do not turn a drawing over.
const UNSURE: f64 = 0.05;
/// The drawing's own zero is kept in this part of the length.
const OWN_ZERO: (f64, f64) = (0.05, 0.95);

/// Lays everything; places told in repairs and left out things move along.
pub(super) fn lay(
    sorted: &mut Sorted,
    blade_mm: Option<f64>,
    mending: &mut Mending,
    left_out: &mut [LeftOut],
) -> Placing {
    let mut motion = still();
    let bounds = bounds(&sorted.outline);
    let quarter_turns = u8::from(bounds.height() > UPRIGHT * bounds.width());
    if quarter_turns == 1 {
        motion.turn_rad = FRAC_PI_2;
    }
    move_all(sorted, &motion);
    let turned_over = tip_is_left(sorted);
    let over = if turned_over { OVER } else { still() };
    move_all(sorted, &over);
    let (shift, zero) = shift(sorted, blade_mm);
    move_all(sorted, &Motion::shift(shift));
    for step in [motion, over, Motion::shift(shift)] {
        for one in left_out.iter_mut() {
            one.moved(&step);
        }
        mending.moved(&step);
    }
    Placing {
        quarter_turns,
        turned_over,
        zero,
    }
}

/// The motion that lays a traced outline: its long axis level, tip to the right, `x = 0` at a shoulder's step, at a neck or at the rear end. Which
/// side the edge is on it leaves as it is.
///
/// The long axis is that of the least second moment of the area.
#[must_use]
pub fn level_motion(outline: &Contour) -> Motion {
    let m = outline.moments();
    let axis = 0.5 * (2.0 * m.ixy).atan2(m.iyy - m.ixx);
    let level = Motion::turn(-axis);
    let mut sorted = Sorted {
        outline: moved(&outline.pieces, &level),
        openings: Vec::new(),
    };
    let over = tip_is_left(&sorted);
    if over {
        move_all(&mut sorted, &OVER);
    }
    // Clear of the bench's own zero, which says nothing about a picture.
    let bounds = bounds(&sorted.outline);
    let clear = Vec2::new(1.0 - bounds.x0, 1.0 - bounds.y0);
    move_all(&mut sorted, &Motion::shift(clear));
    let shift = clear + shift(&sorted, None).0;
    if over {
        // Turned by `−axis` and then over is mirrored and then turned by `π + axis`.
        Motion {
            mirrored: true,
            turn_rad: PI + axis,
            shift,
        }
    } else {
        Motion { shift, ..level }
    }
}

/// Mirrored about the x axis and turned by half: x changes its sign, y stays.
const OVER: Motion = Motion {
    mirrored: true,
    turn_rad: PI,
    shift: Vec2::ZERO,
};

fn still() -> Motion {
    Motion::shift(Vec2::ZERO)
}

fn bounds(pieces: &[Piece]) -> Rect {
    let boxes = pieces.iter().map(Piece::bounds);
    boxes.reduce(|a, b| a.union(b)).unwrap_or_default()
}

fn move_all(sorted: &mut Sorted, motion: &Motion) {
    if *motion == still() {
        return;
    }
    sorted.outline = moved(&sorted.outline, motion);
    for opening in &mut sorted.openings {
        match opening {
            OpeningShape::Round { center, .. } => *center = motion.apply(*center),
            OpeningShape::Slot {
                center, angle_rad, ..
            } => {
                *center = motion.apply(*center);
                let along = motion.apply_vec(Vec2::from_angle(*angle_rad));
                // A slot has no front: of its two directions the one to the right is told.
                let right = along.x > 1e-12 || (along.x > -1e-12 && along.y > 0.0);
                *angle_rad = if right { along } else { -along }.atan2();
            }
            OpeningShape::Free { pieces } => *pieces = moved(pieces, motion),
        }
    }
}

fn moved(pieces: &[Piece], motion: &Motion) -> Vec<Piece> {
    // Shifts alone keep every digit that a turn by nothing would touch.
    let shift_only = motion.turn_rad == 0.0 && !motion.mirrored;
    if shift_only {
        return pieces
            .iter()
            .map(|piece| match piece {
                Piece::Line(line) => Piece::Line(*line + motion.shift),
                Piece::Cubic(cubic) => Piece::Cubic(Affine::translate(motion.shift) * *cubic),
                Piece::Arc(_) => piece.moved(motion),
            })
            .collect();
    }
    let contour = Contour {
        pieces: pieces.to_vec(),
    };
    contour.moved(motion).pieces
}

/// Depths of the steel at even stations from the rear end to the front.
struct Profile {
    from: f64,
    step: f64,
    depths: Vec<f64>,
    greatest: f64,
}

impl Profile {
    fn of(steel: &SpanIndex) -> Self {
        let b = steel.bounds();
        let step = b.width() / f64::from(STATIONS);
        let from = b.x0 + step / 2.0;
        let depths: Vec<f64> = (0..STATIONS)
            .map(|i| from + step * f64::from(i))
            .map(|x| steel.depth_at(x).map_or(0.0, |(low, high)| high - low))
            .collect();
        let greatest = depths.iter().copied().fold(0.0, f64::max);
        Self {
            from,
            step,
            depths,
            greatest,
        }
    }

    /// Station of a shoulder seen from the rear, and by how much of the greatest depth it steps up toward the front; the stations behind it are
    /// those of a tang, nowhere as deep as the blade.
    fn step_up(depths: &[f64], greatest: f64) -> Option<(usize, f64)> {
        let n = depths.len();
        let mut deepest_behind = 0.0_f64;
        let mut best: Option<(usize, f64)> = None;
        for (i, behind) in depths.iter().enumerate() {
            deepest_behind = deepest_behind.max(*behind);
            let Some(ahead) = depths.get(i + STEP_STATIONS) else {
                break;
            };
            let rise = (ahead - behind) / greatest;
            let share = i as f64 / n as f64;
            let placed = (SHOULDER_AT.0..=SHOULDER_AT.1).contains(&share);
            // What is behind stays below what the step rises to.
            if placed
                && rise >= STEP
                && deepest_behind < *ahead
                && best.is_none_or(|(_, most)| rise > most)
            {
                best = Some((i, rise));
            }
        }
        best
    }

    /// Station of the narrowest place that is narrower than both what lies ahead and what lies behind.
    fn neck(&self) -> Option<usize> {
        let n = self.depths.len();
        let mut before = Vec::with_capacity(n);
        let mut most = 0.0_f64;
        for depth in &self.depths {
            most = most.max(*depth);
            before.push(most);
        }
        let mut ahead = 0.0_f64;
        let mut best: Option<(usize, f64)> = None;
        for i in (0..n).rev() {
            let (Some(depth), Some(behind)) = (self.depths.get(i), before.get(i)) else {
                continue;
            };
            ahead = ahead.max(*depth);
            let dent = (behind.min(ahead) - depth) / self.greatest;
            let share = i as f64 / n as f64;
            let placed = (0.2..=0.75).contains(&share);
            if placed && dent >= NECK && best.is_none_or(|(_, most)| dent > most) {
                best = Some((i, dent));
            }
        }
        best.map(|(i, _)| i)
    }

    fn x(&self, station: usize) -> f64 {
        self.from + self.step * station as f64
    }
}

/// Whether the tip more likely points to the left.
fn tip_is_left(sorted: &Sorted) -> bool {
    let steel = SpanIndex::new(&sorted.outline);
    let profile = Profile::of(&steel);
    let mut back = profile.depths.clone();
    back.reverse();
    let step = |depths: &[f64]| Profile::step_up(depths, profile.greatest).map_or(0.0, |s| s.1);
    let (right, left) = (step(&profile.depths), step(&back));
    if right != left {
        // A tang behind a shoulder tells more than all else.
        return left > right;
    }
    let b = steel.bounds();
    // Pins, tubes and lanyards are in the handle.
    let centers: Vec<f64> = sorted
        .openings
        .iter()
        .map(|o| o.contour().bounds().center().x)
        .collect();
    let n = centers.len().max(1) as f64;
    let mean = centers.iter().sum::<f64>() / n;
    let holes = if centers.is_empty() {
        0.0
    } else {
        2.0 * (mean - b.center().x) / b.width().max(f64::MIN_POSITIVE)
    };
    // A tip comes to a point; a butt is blunt.
    let near_end = |depths: &[f64]| depths.iter().take(8).sum::<f64>() / 8.0;
    let blunt =
        (near_end(&back) - near_end(&profile.depths)) / profile.greatest.max(f64::MIN_POSITIVE);
    // Without a clear sign a drawing is left as it is.
    holes + blunt > UNSURE
}

/// The shift that puts the shoulder line at `x = 0`, and how it was found.
fn shift(sorted: &Sorted, blade_mm: Option<f64>) -> (Vec2, Zero) {
    let steel = SpanIndex::new(&sorted.outline);
    let b = steel.bounds();
    let share = -b.x0 / b.width().max(f64::MIN_POSITIVE);
    let inside = b.y0 < 0.0 && b.y1 > 0.0;
    let y = if inside { 0.0 } else { -b.center().y };
    if let Some(blade_mm) = blade_mm {
        return (Vec2::new(blade_mm - b.x1, y), Zero::Asked);
    }
    if (OWN_ZERO.0..=OWN_ZERO.1).contains(&share) {
        return (Vec2::new(0.0, y), Zero::Kept);
    }
    let profile = Profile::of(&steel);
    let (x, zero) = if let Some((station, _)) = Profile::step_up(&profile.depths, profile.greatest)
    {
        (step_at(&steel, &profile, station), Zero::Step)
    } else if let Some(station) = profile.neck() {
        (profile.x(station), Zero::Neck)
    } else {
        (b.x0, Zero::RearEnd)
    };
    let middle = steel
        .depth_at(x)
        .map_or(b.center().y, |(low, high)| f64::midpoint(low, high));
    (Vec2::new(-x, -middle), zero)
}

/// Where the step of a shoulder stands: halving between its two stations, by the depth just below that ahead, so that a rounding at
/// the foot of the step does not pull it back.
fn step_at(steel: &SpanIndex, profile: &Profile, station: usize) -> f64 {
    let (mut low, mut high) = (profile.x(station), profile.x(station + STEP_STATIONS));
    let depth = |x: f64| steel.depth_at(x).map_or(0.0, |(l, h)| h - l);
    let wanted = depth(low) + 0.9 * (depth(high) - depth(low));
    for _ in 0..60 {
        let x = f64::midpoint(low, high);
        if depth(x) < wanted {
            low = x;
        } else {
            high = x;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{default_sizes, make_starter};

    #[test]
    fn an_outline_however_it_lies_is_laid_level_with_its_tip_to_the_right() {
        let mut laid = Vec::new();
        let sizes = default_sizes("chopper").unwrap();
        let own = make_starter("chopper", &sizes, "steel").unwrap().contour();
        for turn_rad in [0.0, 0.3, -0.9, 1.4] {
            for mirrored in [false, true] {
                let thrown = Motion {
                    mirrored,
                    turn_rad,
                    shift: Vec2::new(310.0, -40.0),
                };
                let thrown = own.moved(&thrown);
                let now = thrown.moved(&level_motion(&thrown));
                let m = now.moments();
                assert!(m.ixy.abs() < 1e-6 * m.iyy, "its long axis is level");
                assert!((m.area - own.moments().area).abs() < 1e-6 && m.area > 0.0);
                let bounds = now.bounds();
                assert!(bounds.x0 < 0.0 && bounds.x1 > 0.0, "{bounds:?}");
                laid.push((bounds.x0, bounds.x1));
            }
        }
        // However it lay, it comes to lie the same, but perhaps upside down.
        for (x0, x1) in &laid {
            assert!(
                (x0 - laid[0].0).abs() < 0.6 && (x1 - laid[0].1).abs() < 0.6,
                "{laid:?}"
            );
        }
        // The tip is right, and the shoulder, which is told by the shape alone, near its own place.
        let blade = own.bounds().x1;
        assert!(
            (laid[0].1 - blade).abs() < 0.1 * blade,
            "{laid:?}, blade {blade}"
        );
    }
}
