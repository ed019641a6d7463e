//! What a knife weighs and where it balances: exact for flat steel of even thickness.
//!
//! All functions are pure: a knife and its set in, numbers out. A number that can't be known (an outline that crosses
//! itself, a hole half outside the steel) is `None`, with the reason in [`WeighUp::missing`]; it is never zero.

mod bands;
mod flat;
mod opening;
mod overlap;
mod together;
mod weigh_up;

pub use bands::Band;
pub use flat::weigh;
pub use opening::{OpeningEffect, opening_effect};
pub use together::shift_together;
pub use weigh_up::{CutOutWeight, GuardWeight, Missing, SteelWeight, Total, WeighUp};
