//! Tracing at work: the outline is looked for on a thread of its own, stopped at any time, and shown before it is taken.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use crate::geometry::{Motion, Point, Projection};
use crate::knife::{Id, LaidPicture};
use crate::reading::drawing::level_motion;
use crate::tracing::{GroundArea, Pixels, TraceError, TraceJob, Traced, trace};
use crate::window::beside::work_beside;

/// Chords of what is shown leave the outline by at most this, mm.
const DRAWN_WITHIN_MM: f64 = 0.02;
/// Progress is told in so many parts.
const PARTS: f64 = 1000.0;

/// What is traced.
#[derive(Clone, Debug)]
pub(super) struct TraceWish {
    /// The knife whose picture it is.
    pub knife: Id,
    /// How the picture lies.
    pub picture: LaidPicture,
    /// Its pixels.
    pub pixels: Arc<Pixels>,
    /// From which darkness on a pixel is knife, 0..1; told from the shadow if none.
    pub darkness: Option<f64>,
}

/// An outline that was found, and was not taken yet.
#[derive(Debug)]
pub(in crate::window) struct Ghost {
    /// What was found.
    pub traced: Traced,
    /// What lays it level, its tip to the right.
    pub level: Motion,
    /// Its outline, ready for the screen.
    pub points: Vec<Point>,
}

/// A search under way.
#[derive(Debug)]
struct Run {
    stop: Arc<AtomicBool>,
    done: Arc<AtomicU32>,
    told: Receiver<Result<Ghost, TraceError>>,
}

/// What tracing was asked, does and has found.
#[derive(Debug, Default)]
pub(in crate::window) struct Tracer {
    run: Option<Run>,
    of: Option<(Id, LaidPicture)>,
    ghost: Option<Ghost>,
    trouble: Option<String>,
}

impl Tracer {
    /// Begins to trace; what was found before is forgotten.
    pub(super) fn start(&mut self, wish: TraceWish, awake: impl Fn() + Send + 'static) {
        self.drop_all();
        let Some(bench_from_picture) = wish.picture.bench_from_picture() else {
            self.trouble = Some(TraceError::BeyondHorizon.to_string());
            return;
        };
        self.of = Some((wish.knife, wish.picture.clone()));
        let (tell, told) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let done = Arc::new(AtomicU32::new(0));
        let (own_stop, own_done) = (Arc::clone(&stop), Arc::clone(&done));
        let begun = work_beside("tracing", move || {
            let found = look(&wish, bench_from_picture, &own_stop, &own_done);
            // Nobody listens any more once it was dropped.
            let _ = tell.send(found);
            awake();
        });
        if begun.is_err() {
            self.trouble =
                Some("tracing can't be started: close something and try again".to_owned());
            return;
        }
        self.run = Some(Run { stop, done, told });
    }

    /// Takes over what was found; `true` while it goes on.
    pub(super) fn tend(&mut self) -> bool {
        let Some(run) = &self.run else {
            return false;
        };
        match run.told.try_recv() {
            Ok(Ok(ghost)) => self.ghost = Some(ghost),
            Ok(Err(TraceError::Stopped)) => {}
            Ok(Err(reason)) => self.trouble = Some(reason.to_string()),
            Err(TryRecvError::Empty) => return true,
            Err(TryRecvError::Disconnected) => {
                self.trouble = Some("tracing ended without an outline: try again".to_owned());
            }
        }
        self.run = None;
        false
    }

    /// Forgets all that is not of a knife's picture as it lies now; looks alone make no difference.
    pub(super) fn keep_only(&mut self, knife: Option<Id>, picture: Option<&LaidPicture>) {
        let same = |(id, own): &(Id, LaidPicture)| {
            picture.is_some_and(|now| knife == Some(*id) && lies_alike(own, now))
        };
        if self.of.is_some() && !self.of.as_ref().is_some_and(same) {
            self.drop_all();
        }
    }

    /// Stops, and forgets what was found.
    pub(in crate::window) fn drop_all(&mut self) {
        if let Some(run) = &self.run {
            run.stop.store(true, Ordering::Relaxed);
        }
        *self = Self::default();
    }

    /// How much is done, 0..1, while it traces.
    #[must_use]
    pub(in crate::window) fn progress(&self) -> Option<f64> {
        let done = self.run.as_ref()?.done.load(Ordering::Relaxed);
        Some(f64::from(done) / PARTS)
    }

    /// Why no outline was found.
    #[must_use]
    pub(in crate::window) fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// The outline that was found.
    #[must_use]
    pub(in crate::window) fn ghost(&self) -> Option<&Ghost> {
        self.ghost.as_ref()
    }
}

impl Drop for Tracer {
    fn drop(&mut self) {
        if let Some(run) = &self.run {
            run.stop.store(true, Ordering::Relaxed);
        }
    }
}

/// Whether two pictures lie alike, whatever their looks.
fn lies_alike(a: &LaidPicture, b: &LaidPicture) -> bool {
    let how = |own: &LaidPicture| {
        let place = (own.middle, own.turn_rad, own.scale, own.mirrored);
        (place, own.squared, own.width_px, own.height_px)
    };
    how(a) == how(b) && a.file == b.file
}

fn look(
    wish: &TraceWish,
    bench_from_picture: Projection,
    stop: &AtomicBool,
    done: &AtomicU32,
) -> Result<Ghost, TraceError> {
    let job = TraceJob {
        pixels: &wish.pixels,
        bench_from_picture,
        ground: GroundArea::of(&wish.picture),
        darkness: wish.darkness,
    };
    let traced = trace(&job, &mut |share| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a thousand"
        )]
        done.store((share.clamp(0.0, 1.0) * PARTS) as u32, Ordering::Relaxed);
        !stop.load(Ordering::Relaxed)
    })?;
    let contour = traced.outline.contour();
    Ok(Ghost {
        points: contour.flattened(DRAWN_WITHIN_MM),
        level: level_motion(&contour),
        traced,
    })
}
