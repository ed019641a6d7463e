//! From a picture of a knife on plain ground to its outline.
//!
//! 1. `light` reads the pixels as light, `ground` tells how bright the plain ground is everywhere, `field` how far each pixel stands off it.
//! 2. `blob` finds the largest patch that stands off, away from the border of the `area`; `shadow` tells its shadow from it.
//! 3. `rim` follows the patch round, `edge` moves the rim between the pixels to where the light is halfway, `chain` lays it on the bench.
//! 4. `corners` finds the corners, `pieces` the fewest lines and curves between them, `fair` brings all of them as near as they can come, smooth where there is no
//!    corner.
//!
//! Every loop is bounded by the pixels; the caller is asked again and again whether to go on.

mod area;
mod blob;
mod chain;
mod corners;
mod cubic;
mod edge;
mod fair;
mod field;
mod ground;
mod light;
mod linear;
mod patch;
mod pieces;
mod pixels;
mod rim;
mod shadow;
mod shape;
mod trim;

use crate::geometry::{Projection, outline_faults};
use crate::knife::Outline;

use area::Area;
use chain::Chain;
use field::Field;
use ground::Ground;
use light::Lit;
use pieces::Within;

pub use area::GroundArea;
pub use pixels::{Pixels, block_means};

/// An outline has at most so many pieces.
pub const MOST_PIECES: usize = 40;
/// A knife has at least so many points on its edge.
const LEAST_POINTS: usize = 60;
/// When there are too many pieces they may be farther off by this factor, so many times.
const WIDER: f64 = 1.35;
const WIDENINGS: u32 = 7;
/// An outline that is off the edge by more than so many times what was allowed, on the mean, has gone astray.
const MOST_OFF: f64 = 5.0;
/// When pieces cross or go astray they must be nearer by the same factor, so many times.
const NARROWINGS: u32 = 4;

/// What is traced.
#[derive(Clone, Copy, Debug)]
pub struct TraceJob<'a> {
    /// The picture.
    pub pixels: &'a Pixels,
    /// From pixels of the picture as it was taken to millimeters on the bench.
    pub bench_from_picture: Projection,
    /// Where the plain ground is.
    pub ground: GroundArea,
    /// From which darkness on a pixel belongs to the knife, 0 (whatever stands off) to 1 (only the darkest); told from its shadow if none.
    pub darkness: Option<f64>,
}

/// An outline found in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// The outline on the bench, counterclockwise; nodes are numbered from 1.
    pub outline: Outline,
    /// How far the edge in the picture wanders about the outline, mm (root of the mean square).
    pub wander_mm: f64,
    /// One pixel on the bench, mm.
    pub pixel_mm: f64,
    /// From which darkness on a pixel was taken for the knife, as asked for in [`TraceJob::darkness`].
    pub darkness: f64,
    /// Whether a shadow was told from the knife.
    pub shadow: bool,
}

/// Why no outline was found. Each message names the mend.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TraceError {
    /// The maker stopped it.
    #[error("tracing was stopped")]
    Stopped,
    /// Too little ground.
    #[error(
        "there is too little of the picture to look at: mark the sheet's corners anew, or look on the whole picture"
    )]
    NoGround,
    /// Nothing stands off.
    #[error(
        "nothing stands off the ground: lay the knife on plain ground that is much lighter or darker than it"
    )]
    Nothing,
    /// What stands off reaches the border.
    #[error(
        "what stands off the ground reaches the border of the {0}: leave plain ground all round the knife"
    )]
    Touches(&'static str),
    /// Part of it can't be on the bench.
    #[error(
        "part of the knife lies beyond the horizon of the picture: mark the sheet's corners anew"
    )]
    BeyondHorizon,
    /// The edge is too rough.
    #[error(
        "the edge is too rough to be followed by {MOST_PIECES} pieces: take the picture in even light, sharper or from nearer"
    )]
    TooRough,
    /// The fitted outline is not sound.
    #[error(
        "the outline that was found crosses itself: take the picture in even light, or set the darkness by hand"
    )]
    Crosses,
}

/// Part of the work, and whether to go on.
pub(crate) struct Stage<'a> {
    keep_going: &'a mut dyn FnMut(f64) -> bool,
    from: f64,
    to: f64,
    done: f64,
}

impl Stage<'_> {
    /// Goes to the next part, which ends when this share of all is done.
    fn next(&mut self, to: f64) {
        (self.from, self.to) = (self.to, to);
    }

    /// Tells how much of this part is done, 0..1, and asks whether to go on.
    fn at(&mut self, share: f64) -> Result<(), TraceError> {
        self.done = self.from + (self.to - self.from) * share;
        self.going()
    }

    /// Asks whether to go on.
    fn going(&mut self) -> Result<(), TraceError> {
        if (self.keep_going)(self.done) {
            Ok(())
        } else {
            Err(TraceError::Stopped)
        }
    }
}

/// Finds the outline of the largest thing on the plain ground of a picture.
///
/// `keep_going` is told how much is done, 0..1, and answers whether to go on. Takes about a second for each three million pixels.
///
/// # Errors
/// See [`TraceError`].
pub fn trace(
    job: &TraceJob<'_>,
    keep_going: &mut dyn FnMut(f64) -> bool,
) -> Result<Traced, TraceError> {
    let mut stage = Stage {
        keep_going,
        from: 0.0,
        to: 0.0,
        done: 0.0,
    };
    let lit = Lit::new(job.pixels);
    let area = Area::new(job.pixels, job.ground);
    stage.next(0.1);
    stage.going()?;
    let ground = Ground::find(&lit, &area).ok_or(TraceError::NoGround)?;
    stage.next(0.4);
    let field = Field::new(&lit, &area, &ground, &mut stage)?;
    stage.next(0.6);
    stage.at(0.0)?;
    let found = patch::find(job, field, &mut stage)?;
    stage.next(0.8);
    let rim = rim::rim(&found.patch, |i| found.field.stands(i, found.from));
    let edge = edge::edge(&lit, &found.patch, &rim, &mut stage)?;
    let chain = Chain::lay(job.pixels, &edge, &job.bench_from_picture)?;
    if chain.len() < LEAST_POINTS {
        return Err(TraceError::Nothing);
    }
    let (outline, wander_mm) = fitted(&chain, &mut stage)?;
    Ok(Traced {
        outline,
        wander_mm,
        pixel_mm: chain.pixel_mm,
        darkness: found.darkness,
        shadow: found.shadow,
    })
}

/// The outline with the fewest pieces that follows the chain.
fn fitted(chain: &Chain, stage: &mut Stage<'_>) -> Result<(Outline, f64), TraceError> {
    let corners = corners::corners(chain);
    let mut within = Within::of(chain);
    stage.next(0.9);
    let mut cuts = pieces::cut(chain, &corners, within, stage)?;
    for _ in 0..WIDENINGS {
        if cuts.cuts.len() <= MOST_PIECES {
            break;
        }
        within = within.wider(WIDER);
        cuts = pieces::cut(chain, &corners, within, stage)?;
    }
    stage.next(1.0);
    let mut near = false;
    for _ in 0..NARROWINGS {
        if cuts.cuts.len() > MOST_PIECES || cuts.cuts.len() < 2 {
            return Err(TraceError::TooRough);
        }
        let (shape, off) = fair::fair(chain, &cuts, stage)?;
        let outline = trim::trimmed(shape.outline());
        near |= off <= MOST_OFF * within.rms;
        let sound = outline_faults(&outline.contour().pieces).is_empty();
        if sound && off <= MOST_OFF * within.rms {
            return Ok((outline, off));
        }
        // More pieces, held nearer, have less room to loop.
        within = within.wider(1.0 / WIDER);
        cuts = pieces::cut(chain, &corners, within, stage)?;
    }
    Err(if near {
        TraceError::Crosses
    } else {
        TraceError::TooRough
    })
}
