//! What to grind for a wanted result, where a triangle answers it: bevel height for an edge angle, bevel height or core thickness for the
//! band of core that shows.
//!
//! All of it is at one place along the knife, and here for flat bevels; hollow and convex ones are asked in `wanted_bow.rs`. On a ground face the surface rises from the edge, at the height `z0` over the mid-plane,
//! to the face at `H`, over the bevel height `h`; so `tan a = (H − z0)/h`, and a layer boundary at `k` is met at the distance `y = h·(k − z0)/(H − z0)`
//! from the edge. With both faces alike, `H = T/2` and `z0 = e/2`, these are the usual `tan a = (T − e)/(2·h)` and, for a core of the share `c`,
//! `y = h·(c·T − e)/(T − e)`: similar triangles.

use std::f64::consts::FRAC_PI_2;

use super::faces::FaceHeights;
use super::scribing::core_mm;
use crate::knife::{Face, Faces, Grind, Knife};

/// The edge and the faces at one place along the knife.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgePlan {
    /// Where the faces lie.
    pub faces: FaceHeights,
    /// Lower and upper side of the edge over the mid-plane, mm, positive toward the right face.
    pub edge_mm: (f64, f64),
    /// Which faces are ground.
    pub ground: Faces,
}

/// The part of a bevel on which the core shows, as distances from the edge, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoreBand {
    /// Where it begins; 0 when the core reaches the edge.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
}

impl CoreBand {
    /// Its width, mm.
    #[must_use]
    pub fn width_mm(self) -> f64 {
        self.to_mm - self.from_mm
    }
}

/// Why a question has no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum WantedError {
    /// A measure that must be more than nothing.
    #[error("{what} is {value}: give it more than 0")]
    NotPositive {
        /// Which measure.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// An angle no bevel can have.
    #[error("an angle of {} degrees a side is none a bevel can have: give it between 0 and 90", value_rad.to_degrees())]
    NoAngle {
        /// The angle, radians.
        value_rad: f64,
    },
    /// That face is not ground.
    #[error("that face is not ground: choose the other")]
    NotGround,
    /// The edge is as thick as the steel.
    #[error("the edge is as thick as the steel there: make the edge thinner")]
    NothingToGrind,
    /// The bevel never meets the core.
    #[error(
        "the bevel does not meet the core: make the edge thinner than the core, or bring the core to the edge"
    )]
    NoCore,
    /// The band would be higher than the bevel.
    #[error(
        "the core would have to show over {wanted_mm} mm of a bevel {height_mm} mm high: raise the bevel or ask for less"
    )]
    AboveBevel {
        /// Wanted width of the band, mm.
        wanted_mm: f64,
        /// Height of the bevel, mm.
        height_mm: f64,
    },
    /// No circle of that radius goes from the edge to the grind line.
    #[error(
        "a radius of {radius_mm:.1} mm can't reach from the edge to the grind line: take at least {least_mm:.1} mm, or lower the bevel"
    )]
    RadiusTooSmall {
        /// The radius, mm.
        radius_mm: f64,
        /// The least that reaches, mm.
        least_mm: f64,
    },
    /// The circle turns back before it meets the face.
    #[error(
        "no circle of {radius_mm:.1} mm that leaves the edge at {:.1} degrees meets the face: take a larger radius, or ask for another angle", angle_rad.to_degrees()
    )]
    NeverMeets {
        /// The radius, mm.
        radius_mm: f64,
        /// The angle at the edge, radians.
        angle_rad: f64,
    },
    /// Nothing between the lowest and the highest bevel of that radius shows so much.
    #[error(
        "no bevel of that radius shows {wanted_mm} mm of core: ask for less, or take a larger radius"
    )]
    NoSuchBand {
        /// Wanted width of the band, mm.
        wanted_mm: f64,
    },
    /// The core would be as thick as the bar or thicker.
    #[error(
        "the core would have to be {core_mm} mm of {thickness_mm} mm: raise the bevel or ask for less"
    )]
    AllCore {
        /// Thickness the core would need, mm.
        core_mm: f64,
        /// Thickness of the steel there, mm.
        thickness_mm: f64,
    },
}

impl EdgePlan {
    /// The edge of a grind at a place along the knife.
    #[must_use]
    pub fn at(knife: &Knife, grind: &Grind, x_mm: f64) -> Self {
        let faces = FaceHeights::at(knife, x_mm);
        Self {
            faces,
            edge_mm: faces.edge_mm(grind),
            ground: grind.sides.faces(),
        }
    }

    /// Steel of thickness `thickness_mm` ground alike on both faces to an edge of `edge_mm`.
    #[must_use]
    pub fn even(thickness_mm: f64, edge_mm: f64) -> Self {
        Self {
            faces: FaceHeights::even(thickness_mm),
            edge_mm: (-edge_mm / 2.0, edge_mm / 2.0),
            ground: Faces::Both,
        }
    }

    /// Steel ground on one face to an edge of `edge_mm` on the other face.
    #[must_use]
    pub fn chisel(thickness_mm: f64, edge_mm: f64, face: Face) -> Self {
        let half = thickness_mm / 2.0;
        let (edge, ground) = match face {
            Face::Right => ((-half, edge_mm - half), Faces::Right),
            Face::Left => ((half - edge_mm, half), Faces::Left),
        };
        Self {
            faces: FaceHeights::even(thickness_mm),
            edge_mm: edge,
            ground,
        }
    }

    /// Height of the surface at the edge over the mid-plane, counted toward that face: `z0`.
    pub(super) fn start_mm(&self, face: Face) -> f64 {
        match face {
            Face::Right => self.edge_mm.1,
            Face::Left => -self.edge_mm.0,
        }
    }

    /// How far a bevel rises from the edge to its face, mm: `H − z0`.
    ///
    /// # Errors
    /// The face is not ground, or there is nothing to grind.
    pub fn rise_mm(&self, face: Face) -> Result<f64, WantedError> {
        if !self.ground.has(face) {
            return Err(WantedError::NotGround);
        }
        let rise = self.faces.on(face) - self.start_mm(face);
        if rise.is_finite() && rise > 0.0 {
            Ok(rise)
        } else {
            Err(WantedError::NothingToGrind)
        }
    }

    /// The bevel height that gives an angle to one face, mm: `(H − z0)/tan a`.
    ///
    /// # Errors
    /// The angle is none, the face is not ground, or there is nothing to grind.
    pub fn height_for_angle_mm(&self, face: Face, angle_rad: f64) -> Result<f64, WantedError> {
        if !(angle_rad > 0.0 && angle_rad < FRAC_PI_2) {
            return Err(WantedError::NoAngle {
                value_rad: angle_rad,
            });
        }
        Ok(self.rise_mm(face)? / angle_rad.tan())
    }

    /// The angle of one face's bevel to the mid-plane, radians: `atan((H − z0)/h)`.
    ///
    /// # Errors
    /// The height is none, the face is not ground, or there is nothing to grind.
    pub fn angle_for_height_rad(&self, face: Face, height_mm: f64) -> Result<f64, WantedError> {
        positive("the bevel height", height_mm)?;
        Ok(self.rise_mm(face)?.atan2(height_mm))
    }

    /// Where the core shows on one face's bevel. `core_mm` are its lower and upper boundary over the mid-plane, positive toward the right face.
    ///
    /// # Errors
    /// The height is none, the face is not ground, there is nothing to grind, or the bevel does not meet the core.
    pub fn core_band_mm(
        &self,
        face: Face,
        core_mm: (f64, f64),
        height_mm: f64,
    ) -> Result<CoreBand, WantedError> {
        positive("the bevel height", height_mm)?;
        let (from, to) = self.core_shares(face, core_mm)?;
        Ok(CoreBand {
            from_mm: from * height_mm,
            to_mm: to * height_mm,
        })
    }

    /// Where the core begins and ends to show, as shares of the bevel height.
    fn core_shares(&self, face: Face, core_mm: (f64, f64)) -> Result<(f64, f64), WantedError> {
        let (rise, start) = (self.rise_mm(face)?, self.start_mm(face));
        let (low, high) = toward(face, core_mm);
        let share = |k: f64| ((k - start) / rise).clamp(0.0, 1.0);
        let (from, to) = (share(low), share(high));
        if to > from {
            Ok((from, to))
        } else {
            Err(WantedError::NoCore)
        }
    }

    /// The bevel height, the same on both faces, at which the core shows over a width of `band_mm`: on the face where it shows less, when the core
    /// or the edge lies off the middle.
    ///
    /// # Errors
    /// The width is none, or on one of the ground faces there is nothing to grind or no core to meet.
    pub fn height_for_core_band_mm(
        &self,
        core_mm: (f64, f64),
        band_mm: f64,
    ) -> Result<f64, WantedError> {
        positive("the band of core", band_mm)?;
        let mut least = f64::INFINITY;
        for face in self.ground_faces() {
            let (from, to) = self.core_shares(face, core_mm)?;
            least = least.min(to - from);
        }
        Ok(band_mm / least)
    }

    /// The thickness of a core whose middle lies `core_offset_mm` off the mid-plane that shows over a width of `band_mm` of a bevel `height_mm` high: on
    /// the face where it shows less.
    ///
    /// # Errors
    /// A measure is none, on one of the ground faces there is nothing to grind or no core of any thickness would do.
    pub fn core_for_band_mm(
        &self,
        core_offset_mm: f64,
        band_mm: f64,
        height_mm: f64,
    ) -> Result<f64, WantedError> {
        positive("the band of core", band_mm)?;
        positive("the bevel height", height_mm)?;
        let too_high = WantedError::AboveBevel {
            wanted_mm: band_mm,
            height_mm,
        };
        if band_mm >= height_mm {
            return Err(too_high);
        }
        let mut core: f64 = 0.0;
        for face in self.ground_faces() {
            let (rise, start) = (self.rise_mm(face)?, self.start_mm(face));
            let middle = toward(face, (core_offset_mm, core_offset_mm)).0;
            // The height the surface gains over the band.
            let gain = rise * band_mm / height_mm;
            // A core that begins above the edge shows whole; else it shows from the edge up.
            let needed = if middle - gain / 2.0 >= start {
                gain
            } else {
                2.0 * (start + gain - middle)
            };
            if middle + needed / 2.0 > self.faces.on(face) {
                return Err(too_high);
            }
            core = core.max(needed);
        }
        let thickness_mm = self.faces.thickness_mm();
        if core >= thickness_mm {
            return Err(WantedError::AllCore {
                core_mm: core,
                thickness_mm,
            });
        }
        Ok(core)
    }

    pub(super) fn ground_faces(&self) -> impl Iterator<Item = Face> {
        let ground = self.ground;
        Face::ALL.into_iter().filter(move |face| ground.has(*face))
    }
}

/// The band of core a grind of a knife shows on one face at a place along the knife, for a bevel `height_mm` high.
///
/// # Errors
/// As [`EdgePlan::core_band_mm`].
pub fn core_band_of(
    knife: &Knife,
    grind: &Grind,
    face: Face,
    x_mm: f64,
    height_mm: f64,
) -> Result<CoreBand, WantedError> {
    EdgePlan::at(knife, grind, x_mm).core_band_mm(face, core_mm(knife), height_mm)
}

/// An interval counted toward a face, lower end first.
pub(super) fn toward(face: Face, (low, high): (f64, f64)) -> (f64, f64) {
    match face {
        Face::Right => (low, high),
        Face::Left => (-high, -low),
    }
}

pub(super) fn positive(what: &'static str, value: f64) -> Result<(), WantedError> {
    if value.is_finite() && value > 0.0 {
        Ok(())
    } else {
        Err(WantedError::NotPositive { what, value })
    }
}

#[cfg(test)]
mod tests;
