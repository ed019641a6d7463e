//! Scribing heights: how far off each face the mid-plane and the two sides of an edge are scribed, so that the bevels of both faces meet
//! where they should.
//!
//! With the thickness `T` at the edge, the edge thickness `e` and the offset `c` of the edge toward the right face, the mid-plane lies `T/2` off
//! the right face and the two sides of the edge `(T − e)/2 − c` and `(T + e)/2 − c`; off the left face `(T − e)/2 + c` and `(T + e)/2 + c`. Without an
//! offset that is the trade's rule of two lines at `(T − e)/2` from each face.

use super::faces::{FaceHeights, thickness_places_mm};
use crate::knife::{Grind, Id, Knife, LandmarkKind, Run};

/// What must be said beside every list of scribing heights.
pub const SCRIBE_FIRST: &str = "scribe the lines on every edge before any grinding starts";

/// Everything to scribe on a knife before it is ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ScribingHeights {
    /// One for each run that is ground, in the order of the grinds.
    pub edges: Vec<EdgeScribing>,
    /// Along spine and tang where the bar is tapered, from butt to tip; empty without a taper.
    pub taper: Vec<TaperRow>,
    /// Grinds that can't be scribed, and why.
    pub missing: Vec<NotScribed>,
}

/// The lines on one run.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeScribing {
    /// The grind that is done first on the run.
    pub grind: Id,
    /// Its name.
    pub name: String,
    /// The run.
    pub run: Run,
    /// Thickness it leaves, mm.
    pub edge_mm: f64,
    /// From the rear end to the front end of the run, wherever the thickness bends between, and wherever a line leaves the steel.
    pub rows: Vec<ScribingRow>,
}

/// The lines at one place along the knife. A line that would lie outside the steel is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScribingRow {
    /// Place along the knife from the shoulder line, mm.
    pub x_mm: f64,
    /// Where the faces lie.
    pub faces: FaceHeights,
    /// The bar's mid-plane.
    pub middle: Option<FromFaces>,
    /// The side of the edge toward the right face.
    pub right_line: Option<FromFaces>,
    /// The side of the edge toward the left face.
    pub left_line: Option<FromFaces>,
    /// The core of a laminated bar; `None` for plain steel.
    pub core: Option<CoreLines>,
}

/// Where the core of a laminated bar begins and ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoreLines {
    /// Its side toward the right face; missing where the face lies within the core.
    pub right: Option<FromFaces>,
    /// Its side toward the left face.
    pub left: Option<FromFaces>,
}

/// A line's distance from each face, mm: never negative, together the thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromFaces {
    /// Off the right face.
    pub right_mm: f64,
    /// Off the left face.
    pub left_mm: f64,
}

/// What a taper takes at one place along the knife.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaperRow {
    /// Place along the knife from the shoulder line, mm.
    pub x_mm: f64,
    /// Where the faces lie.
    pub faces: FaceHeights,
    /// How deep below the right face of the bar, mm.
    pub off_right_mm: f64,
    /// How deep below its left face, mm.
    pub off_left_mm: f64,
}

/// Why a grind has no lines.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotScribed {
    /// The run has an end that is not set.
    #[error("'{grind}' has no {} to run to: set that landmark", landmark.name())]
    NoLandmark {
        /// Name of the grind.
        grind: String,
        /// The landmark.
        landmark: LandmarkKind,
    },
    /// Nothing lies between the ends of the run.
    #[error("'{grind}' begins and ends at one place: move one of its landmarks")]
    NoLength {
        /// Name of the grind.
        grind: String,
    },
}

/// All scribing heights of a knife. On each run the first grind counts: the lines are scribed before grinding starts.
#[must_use]
pub fn scribing_heights(knife: &Knife) -> ScribingHeights {
    let mut heights = ScribingHeights {
        taper: taper_rows(knife),
        ..ScribingHeights::default()
    };
    let mut seen: Vec<Run> = Vec::new();
    for grind in &knife.grinding.grinds {
        if seen.contains(&grind.run) {
            continue;
        }
        seen.push(grind.run);
        match edge_scribing(knife, grind) {
            Ok(edge) => heights.edges.push(edge),
            Err(missing) => heights.missing.push(missing),
        }
    }
    heights
}

/// The lines of one grind on its run.
///
/// # Errors
/// A landmark of the run is not set, or the run has no length.
pub fn edge_scribing(knife: &Knife, grind: &Grind) -> Result<EdgeScribing, NotScribed> {
    for landmark in [grind.run.from, grind.run.to] {
        if knife.landmark_point(landmark).is_none() {
            return Err(NotScribed::NoLandmark {
                grind: grind.name.clone(),
                landmark,
            });
        }
    }
    let path = knife.run_path(grind.run).ok_or(NotScribed::NoLength {
        grind: grind.name.clone(),
    })?;
    let (from, to) = path.reach_mm();
    Ok(EdgeScribing {
        grind: grind.id,
        name: grind.name.clone(),
        run: grind.run,
        edge_mm: grind.edge_mm,
        rows: places(knife, grind, from, to)
            .into_iter()
            .map(|x| row(knife, grind, x))
            .collect(),
    })
}

/// Where the lines bend, and where one leaves the steel or comes into it.
fn places(knife: &Knife, grind: &Grind, from: f64, to: f64) -> Vec<f64> {
    let bends = thickness_places_mm(knife, from, to);
    let mut all = bends.clone();
    let distances = |x: f64| {
        let faces = FaceHeights::at(knife, x);
        let (low, high) = faces.edge_mm(grind);
        let (core_low, core_high) = core_mm(knife);
        [low, high, 0.0, core_low, core_high].map(|z| [faces.right_mm - z, faces.left_mm + z])
    };
    for pair in bends.windows(2) {
        let [a, b] = *pair else { continue };
        let (at_a, at_b) = (distances(a), distances(b));
        for (da, db) in at_a.iter().flatten().zip(at_b.iter().flatten()) {
            // Both are straight between two bends.
            if da * db < 0.0 {
                all.push(a + (b - a) * da / (da - db));
            }
        }
    }
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < SAME_PLACE_MM);
    all
}

/// Two places along the knife nearer than this are one line of a table, mm.
const SAME_PLACE_MM: f64 = 1e-6;

/// The lines of one grind at a place along the knife.
fn row(knife: &Knife, grind: &Grind, x_mm: f64) -> ScribingRow {
    let faces = FaceHeights::at(knife, x_mm);
    let (low, high) = faces.edge_mm(grind);
    let line = |z: f64| FromFaces::of(z, faces);
    let core = knife.stock.is_laminated().then(|| {
        let (low, high) = core_mm(knife);
        CoreLines {
            right: line(high),
            left: line(low),
        }
    });
    ScribingRow {
        x_mm,
        faces,
        middle: line(0.0),
        right_line: line(high),
        left_line: line(low),
        core,
    }
}

/// Lower and upper boundary of the core over the mid-plane, mm, positive toward the right face; the faces of plain steel.
#[must_use]
pub fn core_mm(knife: &Knife) -> (f64, f64) {
    let stock = &knife.stock;
    let half = stock.core_thickness_mm() / 2.0;
    let offset = stock.layering.core_offset_mm;
    (offset - half, offset + half)
}

fn taper_rows(knife: &Knife) -> Vec<TaperRow> {
    if knife.grinding.taper.is_none() {
        return Vec::new();
    }
    let bounds = knife.contour().bounds();
    let half = knife.stock.thickness_mm / 2.0;
    thickness_places_mm(knife, bounds.x0, bounds.x1)
        .into_iter()
        .map(|x_mm| {
            let faces = FaceHeights::at(knife, x_mm);
            TaperRow {
                x_mm,
                faces,
                off_right_mm: half - faces.right_mm,
                off_left_mm: half - faces.left_mm,
            }
        })
        .collect()
}

/// A line this little outside the steel lies on its face, mm: far above rounding, far below what can be scribed.
const ON_FACE_MM: f64 = 1e-6;

impl FromFaces {
    /// The distances of a line at height `z` over the mid-plane; `None` outside the steel.
    fn of(z: f64, faces: FaceHeights) -> Option<Self> {
        let (right, left) = (faces.right_mm - z, faces.left_mm + z);
        (right >= -ON_FACE_MM && left >= -ON_FACE_MM).then(|| Self {
            right_mm: right.max(0.0),
            left_mm: left.max(0.0),
        })
    }
}

#[cfg(test)]
mod tests;
