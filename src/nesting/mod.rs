//! Nesting: blanks laid on a bar, a sheet or an odd piece so that little steel is wasted.
//!
//! Method, in this order:
//!
//! 1. Each outline becomes a polygon that covers it within a stated tolerance (`cover.rs`), cut into convex parts; curves are never cut short, so
//!    no overlap can hide.
//! 2. For each pair of shapes in each pair of turns, the places where they would be nearer than the gap form a union of convex zones: the sums of
//!    their parts, grown by the gap.
//! 3. A first layout is made bottom-left, blank by blank.
//! 4. What found no room is put somewhere and all is pulled apart by guided local search; then the length is cut by a few percent, again and
//!    again, and what overlaps by that is pulled apart.
//!
//! A nest that is given out overlaps nowhere by more than 1e-10 mm in the covers, and so keeps gaps and margins in the true outlines. The room knows
//! no clock: who calls it decides when to stop. Limits: nothing is put into holes; free turns are those of 15 degrees.

mod convex;
mod cover;
mod improve;
mod layout;
mod piece;
mod prepare;
mod problem;
mod random;
mod separate;
mod start;
mod table;
mod zone;

pub use improve::nest;
pub use piece::{MOST_TYPED, TypedError, flaw_areas, typed_corners, typed_flaws};
pub use problem::{
    Blank, LONGEST_BAR_MM, LeftOver, MOST_BLANKS, MOST_FLAWS, MOST_KINDS, MOST_TURNS, Nest,
    NestError, NestOptions, Placed, Progress, Stock, Turns, WIDEST_GAP_MM, Why,
};

#[cfg(test)]
mod tests;
