//! The hole planner: several ways to a wanted balance or mass of the finished knife, by holes, a slot or a taper, each within the shop's rules.
//!
//! Every hole brings a part of what is wanted, and for one wanted balance these parts add up (`demand`). Where holes may lie and how wide is
//! asked of the `field`; how to pack the most is `packing`'s part; what does too much is brought down to the very number by `tune`. What is
//! told of a plan is what the scale says of the knife with the plan carried out, never the planner's own sum.

mod bench;
mod demand;
mod field;
mod ground;
mod packing;
mod plan;
mod row;
mod rules;
mod slot;
mod stops;
mod strip;
mod sums;
mod taper;
mod tune;

pub use demand::Wanted;
pub use plan::{NoPlan, Plan, PlanKind, PlannedCut, Planning, WITHIN, carried_out, plan};
pub use rules::{KeepOff, PlanRules, UsableDrill, drills_named};
pub use stops::Stop;

#[cfg(test)]
mod tests;
