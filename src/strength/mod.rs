//! Strength, plainly said: net sections along the knife, the stress of a chosen load, and what holes and shoulders do to it.
//!
//! A knife is taken as a beam of elastic steel: sections stay flat, a load bends it in the plane of the blade (edgewise) or out of it (flatwise),
//! about the middle of each section's own steel. Fillings and handles carry nothing. Sections stand straight up, not square to a tang that drops.
//! Twist, shear, impact, notches from grinding, hardness and heat treatment are not in it.

mod beam;
mod bench;
mod net;
mod opening;
mod raisers;
mod told;

pub use beam::{Hold, deflection_mm};
pub use bench::{StrengthBench, percussion_mm, strength};
pub use net::NetSection;
pub use raisers::{
    HOLE_IN_EDGEWISE_BENDING, across, hole_in_flatwise_bending, hole_in_tension,
    shoulder_in_edgewise_bending,
};
pub use told::{
    LoadAt, NoStrength, OpeningCost, Station, StationKind, Strength, StrengthOptions, Stress,
};

/// What goes with every figure of this room.
pub const CAUTION: &str = "a comparison between designs, not a promise: hardness, heat treatment and flaws decide what a knife bears; nothing is certified";
