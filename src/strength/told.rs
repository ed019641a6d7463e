//! What the strength is asked for, and what is told.

use super::beam::Hold;
use super::net::NetSection;
use crate::units::print_number;

/// Where the load bears.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum LoadAt {
    /// At the foremost steel.
    #[default]
    Tip,
    /// Where a blow does not jar the hand: the center of percussion of the ground steel for the middle of the hold.
    Percussion,
    /// At a place along the knife, mm.
    Place(f64),
}

/// What the strength is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrengthOptions {
    /// Force across the knife, N. Default 100, a firm push (common practice, no source).
    pub force_n: f64,
    /// Where it bears.
    pub load_at: LoadAt,
    /// How the knife is held; `None` for a hand on the tang as it usually lies.
    pub hold: Option<Hold>,
    /// Young's modulus, GPa. Default 205, common for hardened and soft steel alike (from memory).
    pub modulus_gpa: f64,
}

impl Default for StrengthOptions {
    fn default() -> Self {
        Self {
            force_n: 100.0,
            load_at: LoadAt::Tip,
            hold: None,
            modulus_gpa: 205.0,
        }
    }
}

/// Why there is no strength to tell.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoStrength {
    /// A number makes no sense.
    #[error("the load and the modulus must be numbers of more than 0")]
    NoNumber,
    /// The steel can't be weighed, so its sections are not known.
    #[error("the ground steel can't be weighed: mend what the findings name first")]
    NotWeighed,
    /// No center of percussion.
    #[error(
        "the knife balances behind the hand and has no center of percussion ahead of it: load the tip"
    )]
    NoPercussion,
    /// The hold is not on the steel.
    #[error(
        "the hold from {} to {} mm is not on the steel: hold it elsewhere",
        print_number(*rear_mm, 1),
        print_number(*front_mm, 1)
    )]
    Hold {
        /// Rear of the hold, mm.
        rear_mm: f64,
        /// Front of the hold, mm.
        front_mm: f64,
    },
    /// The load bears behind the hold.
    #[error(
        "the load at {} mm is not ahead of the hold at {} mm: move it",
        print_number(*load_mm, 1),
        print_number(*front_mm, 1)
    )]
    Load {
        /// Place of the load, mm.
        load_mm: f64,
        /// Front of the hold, mm.
        front_mm: f64,
    },
}

/// What is at a station.
#[derive(Clone, Debug, PartialEq)]
pub enum StationKind {
    /// Plain steel, or steel beside an opening.
    Plain,
    /// Where an opening raises the stress; its name.
    Opening(String),
    /// The rounding of the shoulders.
    Shoulder,
}

/// Stress by one way of bending, MPa.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stress {
    /// At the outermost steel of the net section, `M/Z`.
    pub net_mpa: f64,
    /// The highest in the section, with what raises it.
    pub peak_mpa: f64,
}

/// A section and its stresses.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// What is there.
    pub kind: StationKind,
    /// The steel.
    pub section: NetSection,
    /// Bending moment, N·mm.
    pub moment_nmm: f64,
    /// Stress when the load bends the knife in the plane of the blade.
    pub edgewise: Stress,
    /// Stress when it bends it out of that plane.
    pub flatwise: Stress,
}

/// What one opening costs.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningCost {
    /// Name as `Knife::all_cut_outs` gives it.
    pub name: String,
    /// Its middle along the knife, mm.
    pub x_mm: f64,
    /// Least section modulus edgewise along the opening, with it over without it.
    pub edgewise_kept: f64,
    /// The same flatwise.
    pub flatwise_kept: f64,
}

/// The strength of a knife under one load.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// Force, N.
    pub force_n: f64,
    /// Where it bears, mm.
    pub load_mm: f64,
    /// How the knife is held.
    pub hold: Hold,
    /// Sections from the rear of the hold forward. Those within their own height of the load are left out: there a load acts as its own place
    /// decides, which a beam knows nothing of.
    pub stations: Vec<Station>,
    /// Index of the station with the highest peak stress edgewise.
    pub weakest_edgewise: Option<usize>,
    /// The same flatwise.
    pub weakest_flatwise: Option<usize>,
    /// What each opening on the way of the load costs.
    pub openings: Vec<OpeningCost>,
    /// Factor of the shoulders' rounding edgewise, if the tang steps in.
    pub shoulder_factor: Option<f64>,
    /// How far the load's place gives edgewise, mm.
    pub deflection_edgewise_mm: Option<f64>,
    /// The same flatwise.
    pub deflection_flatwise_mm: Option<f64>,
}
