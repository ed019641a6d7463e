//! How thick a ground blade is: the heights of its two faces over the mid-plane, and what the grinds take.
//!
//! Each face is the lowest of the surfaces that cut there: the bar or its taper, and every grind, which starts at its run and rises along the shortest
//! distance from it. Volumes are taken along the run: rays leave it square, each until the grind line, the far outline, another grind, a plunge line
//! or the rays of another place stop it; across the rays everything is in closed form or to rounding, along the run it is integrated with a bound on the
//! error.

mod blade;
mod boxes;
mod breaks;
mod cuts;
mod cutter;
mod divisions;
mod drawn;
mod exits;
mod face;
mod family;
mod fault;
mod gaps;
mod layers;
mod marks;
mod meetings;
mod opening;
mod panels;
mod powers;
mod relief;
mod ridge;
mod run;
mod section;
mod strip;
mod sums;
mod survey;
mod sweep;

pub use blade::GroundBlade;
pub use face::FaceHeight;
pub use fault::GrindFault;
pub use relief::{LineKind, Patch, PatchCorner, Relief, RevealPart, SurfaceLine};
pub use section::{EdgeShape, EdgeSide, Section, SectionPiece, SectionPlace};
pub use survey::{BladeLayers, Removed, Solid, Surveyor};
