//! What a knife weighs and where it balances: the flat bar exactly, the ground steel with a bound on the error.
//!
//! All functions are pure: a knife and its set in, numbers out. A number that can't be known (an outline that crosses
//! itself, a hole half outside the steel) is `None`, with the reason in [`WeighUp::missing`]; it is never zero.

mod along;
mod bands;
mod bar_need;
mod bowed;
mod faces;
mod flat;
mod forge_stock;
mod forging;
mod ground;
mod guard_slot;
mod handle;
mod opening;
mod overlap;
mod plate;
mod rack_table;
mod scale;
mod scribing;
mod stages;
mod together;
mod wanted;
mod wanted_bow;
mod wanted_scale;
mod wanted_weight;
mod weigh_in;
mod weigh_up;

pub use along::{MassAt, mass_along};
pub use bands::Band;
pub use bar_need::{BarNeed, BarWork, bars_needed};
pub use faces::{FaceHeights, thickness_places_mm};
pub use forge_stock::{ForgeStock, ForgeTaken, forge_stock};
pub use forging::{
    BilletPiece, ForgingError, ForgingNeed, Reduction, WantedBlank, bar_length_mm, billet_stack,
    forging_need, share_lost, stack_thickness_mm,
};
pub use guard_slot::guard_slot;
pub use opening::{OpeningEffect, OpeningTaken, opening_effect, opening_taken};
pub use rack_table::{RackColumn, RackMeasure, RackRow, sort_rack};
pub use scale::{Scale, weigh};
pub use scribing::{
    CoreLines, EdgeScribing, FromFaces, NotScribed, SCRIBE_FIRST, ScribingHeights, ScribingRow,
    TaperRow, core_mm, edge_scribing, scribing_heights,
};
pub use stages::StageWeight;
pub use together::shift_together;
pub use wanted::{CoreBand, EdgePlan, WantedError, core_band_of};
pub use wanted_scale::{NoScale, scale_for_mass};
pub use wanted_weight::{Means, NoAnswer, Reground, WantedWeight, WeightAnswer, wanted_weight};
pub use weigh_in::{
    ALIKE, Cause, CauseKind, Corrected, FINGER_MM, Reading, USUAL_BEVEL_SLIP_MM, read_weigh_in,
};
pub use weigh_up::{
    CutOutWeight, GrindWeight, GroundWeight, GuardWeight, LayerWeight, Missing, PartWeight,
    SteelWeight, Total, WeighUp, percussion_beyond_mm,
};
