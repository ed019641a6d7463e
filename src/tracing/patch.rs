//! Which pixels are the knife.

use super::blob::{Blob, largest};
use super::field::Field;
use super::rim::rim;
use super::shadow::shadow_border;
use super::{GroundArea, Stage, TraceError, TraceJob};

/// A knife covers at least this share of the picture; less is dirt.
const LEAST_SHARE: f64 = 0.001;
/// Room kept around the knife, pixels.
const ROOM_PX: usize = 12;
/// Darknesses tried as its border.
const TRIES: u32 = 12;
/// A border that leaves less than this share of it cuts part of it off.
const LEAST_LEFT: f64 = 0.85;
/// When this share of it is brighter than the ground or of another color, nothing darker belongs to it.
const ALL_BRIGHT: f64 = 0.93;
/// The border is where the rim is this share as steep as at the best.
const STEEP: f32 = 0.85;

/// The pixels that are the knife.
#[derive(Debug)]
pub(super) struct Patch {
    /// The field about it.
    pub(super) field: Field,
    pub(super) patch: Blob,
    /// From which darkness on, as in the field.
    pub(super) from: f32,
    /// The same as a share, as in [`TraceJob::darkness`].
    pub(super) darkness: f64,
    /// Whether it was told from its shadow.
    pub(super) shadow: bool,
}

/// Finds the largest thing that stands off the ground, without its shadow.
pub(super) fn find(
    job: &TraceJob<'_>,
    field: Field,
    stage: &mut Stage<'_>,
) -> Result<Patch, TraceError> {
    let least = LEAST_SHARE * (field.width * field.height) as f64;
    let (free_patch, touching) = free(&field, field.least_dark);
    let whole = match free_patch {
        Some(whole) if whole.count as f64 >= least => whole,
        _ if touching as f64 >= least => {
            return Err(TraceError::Touches(match job.ground {
                GroundArea::Within(_) => "sheet",
                _ => "picture",
            }));
        }
        _ => return Err(TraceError::Nothing),
    };
    stage.at(0.4)?;
    let (left, right, top, low) = whole.bounds().ok_or(TraceError::Nothing)?;
    let room = |v: usize| v.saturating_sub(ROOM_PX);
    let field = field.part((room(left), right + ROOM_PX, room(top), low + ROOM_PX));
    let whole = free(&field, field.least_dark)
        .0
        .ok_or(TraceError::Nothing)?;
    let darkest = darkest_of(&field, &whole);
    let span = (darkest - field.least_dark).max(1e-3);
    let (from, shadow) = if let Some(asked) = job.darkness {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "single precision is enough"
        )]
        let share = asked.clamp(0.0, 0.95) as f32;
        (field.least_dark + share * span, false)
    } else {
        let border = shadow_border(&field, &whole);
        stage.at(0.7)?;
        let from = border.unwrap_or(field.least_dark);
        (steepest(&field, from, darkest, stage)?, border.is_some())
    };
    let patch = free(&field, from).0.ok_or(TraceError::Nothing)?;
    // Also for a border darker than everything.
    let darkness = f64::from(((from - field.least_dark) / span).clamp(0.0, 1.0));
    Ok(Patch {
        field,
        patch,
        from,
        darkness,
        shadow,
    })
}

/// The largest patch that keeps away from the border, and how large the largest is that touches it.
fn free(field: &Field, from: f32) -> (Option<Blob>, usize) {
    let size = (field.width, field.height);
    let found = largest(size, |i| field.stands(i, from) > 0.0, |i| field.within(i));
    let placed = |free| Blob {
        origin: field.origin,
        ..free
    };
    (found.free.map(placed), found.touching)
}

/// The darkness from `from` on at which the rim is nearly as steep as anywhere, without a part cut off: in a soft shadow's end it is flat.
fn steepest(
    field: &Field,
    from: f32,
    darkest: f32,
    stage: &mut Stage<'_>,
) -> Result<f32, TraceError> {
    #[expect(clippy::cast_precision_loss, reason = "a dozen tries")]
    let step = (1.2 * darkest - from).max(0.0) / TRIES as f32;
    // The last is only what is brighter than the ground, or of another color.
    let levels: Vec<f32> = (0..TRIES)
        .map(|i| from + step * i as f32)
        .chain([f32::INFINITY])
        .collect();
    let mut tries: Vec<(f32, f32)> = Vec::new();
    let mut first = None;
    let mut bright = false;
    for (i, level) in levels.into_iter().enumerate() {
        stage.at(0.7 + 0.3 * i as f64 / f64::from(TRIES))?;
        let (Some(patch), _) = free(field, level) else {
            continue;
        };
        let first = *first.get_or_insert(patch.count);
        if patch.count as f64 >= LEAST_LEFT * first as f64 {
            tries.push((level, flattest(field, &patch, level)));
            bright = level.is_infinite() && patch.count as f64 >= ALL_BRIGHT * first as f64;
        }
    }
    if bright {
        return Ok(f32::INFINITY);
    }
    let best = tries.iter().map(|t| t.1).fold(0.0, f32::max);
    let good = tries.iter().find(|(_, steep)| *steep >= STEEP * best);
    Ok(good.map_or(from, |(level, _)| *level))
}

/// How steep the rim of a patch is where it is rather flat: an eighth of it is flatter.
fn flattest(field: &Field, patch: &Blob, level: f32) -> f32 {
    let (left, top) = patch.origin;
    let mut steep: Vec<f32> = rim(patch, |i| field.stands(i, level))
        .iter()
        .step_by(3)
        .map(|p| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a rim lies on the picture"
            )]
            let (x, y) = (p.x as usize, p.y as usize);
            let place = y.saturating_sub(top) * field.width + x.saturating_sub(left);
            field.steepness(place)
        })
        .collect();
    steep.sort_by(f32::total_cmp);
    steep.get(steep.len() / 8).copied().unwrap_or(0.0)
}

/// The darkness that nine tenths of what is darker than the ground in a patch stay below.
fn darkest_of(field: &Field, patch: &Blob) -> f32 {
    let every = (patch.inside.len() / 200_000).max(1);
    let mut levels: Vec<f32> = (0..patch.inside.len())
        .step_by(every)
        .filter(|i| patch.inside.get(*i) == Some(&true))
        .map(|i| field.dark(i))
        .filter(|dark| *dark > field.least_dark)
        .collect();
    levels.sort_by(f32::total_cmp);
    levels
        .get(levels.len() * 9 / 10)
        .copied()
        .unwrap_or(field.least_dark)
}
