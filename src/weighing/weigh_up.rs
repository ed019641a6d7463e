//! The numbers a weigh-up gives, and the reasons where it can't give them.

use super::bands::Band;
use crate::geometry::{OutlineFault, Point};
use crate::knife::{Extent, Id, Purpose};
use crate::thickness::GrindFault;

/// Why a number is missing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Missing {
    /// The outline is not fit to be weighed.
    #[error("{fault}")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// A cut-out reaches over the outline.
    #[error("cut-out {cut_out} reaches over the edge of the steel: move it in or make it smaller")]
    AcrossOutline {
        /// Name of the cut-out.
        cut_out: String,
        /// Its middle.
        at: Point,
    },
    /// A cut-out lies outside the steel.
    #[error("cut-out {cut_out} lies outside the steel: move it in or remove it")]
    OutsideSteel {
        /// Name of the cut-out.
        cut_out: String,
        /// Its middle.
        at: Point,
    },
    /// Two cut-outs overlap.
    #[error("cut-outs {cut_out} and {other} overlap: move them apart or make one of them")]
    OverCutOut {
        /// Name of the cut-out.
        cut_out: String,
        /// Name of the other one.
        other: String,
        /// Its middle.
        at: Point,
    },
    /// The shape of a cut-out is not fit to be weighed.
    #[error("cut-out {cut_out} has no sound shape: {fault}")]
    CutOutShape {
        /// Name of the cut-out.
        cut_out: String,
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// The set does not hold the material.
    #[error("material '{key}' is not in the set: choose one that is")]
    Material {
        /// Key of the material.
        key: String,
    },
    /// A grind can't be ground as it is designed.
    #[error("{fault}")]
    Grind {
        /// What is wrong with it.
        fault: GrindFault,
    },
    /// The guard's slot can't be fitted to the tang.
    #[error(
        "the guard finds no tang to fit behind the shoulder line: lengthen the tang or remove the guard"
    )]
    GuardSlot,
    /// The handle covers nothing.
    #[error(
        "the handle covers nothing: let its first part begin ahead of the end of the tang, or draw its outline behind the shoulder line"
    )]
    HandleShape,
    /// The guard's slot does not fit on its plate.
    #[error("the guard's slot does not fit on its plate: make the plate larger")]
    GuardPlate,
}

impl Missing {
    /// The place it speaks of, if it has one.
    #[must_use]
    pub fn place(&self) -> Option<Point> {
        match self {
            Self::Outline { fault } | Self::CutOutShape { fault, .. } => fault.place(),
            Self::AcrossOutline { at, .. }
            | Self::OutsideSteel { at, .. }
            | Self::OverCutOut { at, .. } => Some(*at),
            Self::Grind { fault } => fault.place(),
            Self::Material { .. } | Self::GuardSlot | Self::GuardPlate | Self::HandleShape => None,
        }
    }

    /// The cut-out it speaks of, if any.
    #[must_use]
    pub fn cut_out(&self) -> Option<&str> {
        match self {
            Self::AcrossOutline { cut_out, .. }
            | Self::OutsideSteel { cut_out, .. }
            | Self::OverCutOut { cut_out, .. }
            | Self::CutOutShape { cut_out, .. } => Some(cut_out),
            Self::Outline { .. }
            | Self::Grind { .. }
            | Self::Material { .. }
            | Self::GuardSlot
            | Self::GuardPlate
            | Self::HandleShape => None,
        }
    }
}

/// Numbers of the steel alone, its cut-outs taken out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SteelWeight {
    /// Lengths and heights; zero for an outline with numbers that are not finite.
    pub extent: Extent,
    /// Face area less cut-outs, mm².
    pub area_mm2: Option<f64>,
    /// Cut length: outline and all cut-outs, mm.
    pub perimeter_mm: Option<f64>,
    /// Contours to cut, so pierces: the outline and every cut-out.
    pub pierces: usize,
    /// Volume less cut-outs, mm³.
    pub volume_mm3: Option<f64>,
    /// Mass of the straight bar the outline needs, g.
    pub bar_mass_g: Option<f64>,
    /// Mass as cut, before any hole, g.
    pub blank_mass_g: Option<f64>,
    /// Balance point of that blank from the shoulder line, mm.
    pub blank_balance_mm: Option<f64>,
    /// Its moment of inertia about the axis through its center of mass, square to the face, g·mm².
    pub blank_inertia_g_mm2: Option<f64>,
    /// Mass after all cut-outs, g.
    pub drilled_mass_g: Option<f64>,
    /// What stock tolerance and density spread make of the drilled mass, g.
    pub mass_band_g: Option<Band>,
    /// Balance point of the drilled steel from the shoulder line, mm.
    pub balance_mm: Option<f64>,
    /// Its band; of no width for flat steel of one material, whose thickness and density cancel.
    pub balance_band_mm: Option<Band>,
    /// Center of mass `(x, y, z)`, mm.
    pub centroid_mm: Option<[f64; 3]>,
    /// Moment of inertia about the axis through the center of mass, square to the face, g·mm².
    pub inertia_g_mm2: Option<f64>,
}

/// Numbers of one cut-out.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOutWeight {
    /// Name: its id, or `row.place` for a hole of a row.
    pub name: String,
    /// Kind of shape.
    pub kind: &'static str,
    /// What it is for.
    pub purpose: Purpose,
    /// Its middle.
    pub center: Point,
    /// Area of the opening, mm²; what the pieces enclose, sound or not.
    pub area_mm2: f64,
    /// Steel taken away, g: what is really there after tapers and grinds.
    pub removed_g: Option<f64>,
    /// What its filling puts back within the steel, g; zero when nothing fills it, missing when its place or shape
    /// can't be counted.
    pub filling_g: Option<f64>,
    /// How far it alone, empty, moves the balance of the ground steel without cut-outs, mm.
    pub balance_shift_mm: Option<f64>,
}

/// Numbers of the steel after tapers and grinds, its cut-outs taken out. The same as the drilled steel's where nothing is ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundWeight {
    /// Mass, g.
    pub mass_g: f64,
    /// What stock tolerance, density spread and the hand at the grinder make of it, g.
    pub mass_band_g: Band,
    /// Balance point from the shoulder line, mm.
    pub balance_mm: f64,
    /// Its band, mm.
    pub balance_band_mm: Band,
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Center of mass `(x, y, z)`, mm; `z` tells how far a chisel grind leans, positive toward the right face.
    pub centroid_mm: [f64; 3],
    /// Moment of inertia about the axis through the center of mass, square to the face, g·mm².
    pub inertia_g_mm2: f64,
    /// Bound of the relative error of the volume.
    pub error_bound: f64,
    /// Bound of the error of the balance point, mm.
    pub balance_error_mm: f64,
}

/// Numbers of one layer of the steel.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerWeight {
    /// Name with its side.
    pub name: String,
    /// Key of its material.
    pub material: String,
    /// Thickness in the bar, mm.
    pub thickness_mm: f64,
    /// Mass in the blank as it is cut out, before its cut-outs and before grinding, g: together they are [`SteelWeight::blank_mass_g`].
    pub blank_mass_g: f64,
    /// Mass after drilling and grinding, g.
    pub ground_mass_g: f64,
    /// Volume after drilling and grinding, mm³.
    pub ground_volume_mm3: f64,
}

/// What one grind or fuller takes.
#[derive(Clone, Debug, PartialEq)]
pub struct GrindWeight {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// Mass it takes of what those before it left, g.
    pub removed_g: f64,
}

/// Numbers of the guard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuardWeight {
    /// Mass of the slotted plate, g.
    pub mass_g: f64,
    /// Its band from density spread, g.
    pub mass_band_g: Band,
    /// Center of mass along the knife, mm.
    pub x_mm: f64,
    /// Center of mass in height, mm.
    pub y_mm: f64,
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Moment of inertia about the axis through its own center, square to the face, g·mm².
    pub inertia_g_mm2: f64,
}

/// Numbers of one part of the handle, or of what goes through it.
#[derive(Clone, Debug, PartialEq)]
pub struct PartWeight {
    /// What it is, and which: `grip 2`, `liners`, `pin 12, in the handle`.
    pub name: String,
    /// What it is.
    pub kind: &'static str,
    /// Key of its material.
    pub material: String,
    /// Mass, g.
    pub mass_g: f64,
    /// Its band from density spread, g.
    pub mass_band_g: Band,
    /// Center of mass `(x, y, z)`, mm.
    pub center_mm: [f64; 3],
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Moment of inertia about the axis through its own center, square to the face, g·mm².
    pub inertia_g_mm2: f64,
}

/// The knife as it stands: ground steel, fillings, guard and handle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Total {
    /// Mass, g.
    pub mass_g: f64,
    /// Its band, g.
    pub mass_band_g: Band,
    /// Balance point from the shoulder line, mm.
    pub balance_mm: f64,
    /// Its band, mm.
    pub balance_band_mm: Band,
    /// Center of mass `(x, y, z)`, mm.
    pub centroid_mm: [f64; 3],
    /// Moment of inertia about the axis through the center of mass, square to the face, g·mm²: how hard the knife is to swing.
    pub inertia_g_mm2: f64,
}

/// How far beyond the center of mass the center of percussion lies, mm: `I/(m·p)`, the center of mass `p` ahead of the pivot and `I` about the
/// center of mass (any text on mechanics, the physical pendulum). Behind it for a negative `p`; `None` where there is none.
#[must_use]
pub fn percussion_beyond_mm(mass_g: f64, inertia_g_mm2: f64, arm_mm: f64) -> Option<f64> {
    let beyond = inertia_g_mm2 / (mass_g * arm_mm);
    beyond.is_finite().then_some(beyond)
}

/// Everything the scale and the finger would tell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeighUp {
    /// The steel alone.
    pub steel: SteelWeight,
    /// The steel after grinding, when it can be known.
    pub ground: Option<GroundWeight>,
    /// Each layer of the steel, from the middle out; one for plain steel.
    pub layers: Vec<LayerWeight>,
    /// What each grind and fuller takes, in the order of grinding.
    pub grinds: Vec<GrindWeight>,
    /// Each cut-out.
    pub cut_outs: Vec<CutOutWeight>,
    /// The guard, when there is one and it can be weighed.
    pub guard: Option<GuardWeight>,
    /// The parts of the handle and what goes through it; empty without a handle.
    pub parts: Vec<PartWeight>,
    /// All together.
    pub total: Option<Total>,
    /// Why numbers are missing; empty when none is.
    pub missing: Vec<Missing>,
}
