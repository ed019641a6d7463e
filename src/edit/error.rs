//! Why an edit was not done, in words that name the place and the mend.

use super::holes::MOST_COPIES;
use super::stretches::MOST_SPLIT;
use crate::geometry::{OutlineFault, Point};
use crate::knife::{Fault, LARGEST_MM, MendError, NoMirror, SMALLEST_MM, TangError};
use crate::units::print_number;

/// Why an edit was not done.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The knife is not in the set.
    #[error("there is no such knife in the rack any more")]
    NoKnife,
    /// The thing the edit speaks of is gone.
    #[error("that {what} is not there any more")]
    Gone {
        /// What was looked for.
        what: &'static str,
    },
    /// The result would break a rule.
    #[error("{fault}")]
    Rule {
        /// The rule and its place.
        fault: Fault,
    },
    /// An outline needs at least three nodes.
    #[error("an outline keeps at least three nodes: this one can't be removed")]
    TooFewNodes,
    /// A path needs at least two nodes.
    #[error(
        "a fuller's path keeps at least two nodes: this one can't be removed, remove the fuller instead"
    )]
    PathTooShort,
    /// Ratios for another number of layers than the bar has.
    #[error(
        "the bar has {layers} layers from the core out, but {given} ratios are given: give one for each"
    )]
    Ratios {
        /// Layers counted from the core to one face.
        layers: usize,
        /// Ratios given.
        given: usize,
    },
    /// Only landmarks were to be removed.
    #[error("a landmark can't be removed, it gives the outline its meaning: move it instead")]
    LandmarkStays,
    /// The tang can't be made.
    #[error(transparent)]
    Tang(#[from] TangError),
    /// A copy at no distance, or too great a one.
    #[error(
        "a copy at {by_mm} mm is none: give a distance up to 50 mm, above 0 for a copy outside, below for one inside"
    )]
    NoDistance {
        /// The distance asked for, mm.
        by_mm: f64,
    },
    /// No clean outline lies at the distance.
    #[error(
        "a copy at {by_mm:.2} mm closes or vanishes near x {:.1} y {:.1} mm: take a smaller distance", at.x, at.y
    )]
    NoCopyAside {
        /// The distance asked for, mm.
        by_mm: f64,
        /// Where.
        at: Point,
    },
    /// A mend can't be made.
    #[error(transparent)]
    Mend(#[from] MendError),
    /// A drawn outline is not sound.
    #[error("{fault}")]
    Outline {
        /// What is wrong with it.
        fault: OutlineFault,
    },
    /// A size can't be reached by stretching.
    #[error("there is nothing to stretch: {what} is zero now")]
    NothingToStretch {
        /// Which size.
        what: &'static str,
    },
    /// A typed size is no size.
    #[error("{what} can't be {value_mm} mm: give it between {SMALLEST_MM} and {LARGEST_MM} mm")]
    NoSize {
        /// Which size.
        what: &'static str,
        /// What was asked, mm.
        value_mm: f64,
    },
    /// No stretching brings the size out.
    #[error(
        "stretching can't bring {what} to {asked_mm} mm, for the shoulder line stays as it is: move the nodes there first"
    )]
    OutOfReach {
        /// Which size.
        what: &'static str,
        /// What was asked, mm.
        asked_mm: f64,
    },
    /// A saw line that parts nothing.
    #[error(
        "the line does not part the blade from the butt: draw it across the steel, between tip and butt"
    )]
    NoCut,
    /// A new tang that needs steel which is not there.
    #[error(
        "there is not enough steel left for that tang: make it shorter or narrower, or move the shoulder line further ahead"
    )]
    NoSteel,
    /// Nodes that mean no stretch.
    #[error(
        "these nodes mean no stretch of the outline: pick its two ends, with at least one node left outside it"
    )]
    NoStretch,
    /// The outline would cross itself.
    #[error("the outline would cross itself at x {}, y {} mm: do less there, or move what stands in the way first", print_number(at.x, 1), print_number(at.y, 1))]
    Crosses {
        /// Where.
        at: Point,
    },
    /// No fair curves within the distance.
    #[error(
        "no fair curves stay within {within_mm} mm of this stretch: give it more, or leave its sharp corners out"
    )]
    NotFair {
        /// The distance asked for, mm.
        within_mm: f64,
    },
    /// One curve can't follow the stretch.
    #[error(
        "one curve would leave this stretch by {off_mm:.2} mm, more than {within_mm} mm: pick fewer nodes, or allow more"
    )]
    NotOne {
        /// How far the best one is off, mm.
        off_mm: f64,
        /// The distance asked for, mm.
        within_mm: f64,
    },
    /// A number of parts that is none.
    #[error("a piece can't be cut in {parts} parts: give it from 2 to {MOST_SPLIT}")]
    Parts {
        /// What was asked.
        parts: u32,
    },
    /// A copied hole would hang in the air.
    #[error(
        "a hole would come to x {}, y {} mm, where this knife has too little steel for it: lengthen or widen its tang, or move the hole on the other knife first", print_number(at.x, 1), print_number(at.y, 1)
    )]
    NotInSteel {
        /// The middle of the hole.
        at: Point,
    },
    /// Something clamped would move.
    #[error("the {what} at x {}, y {} mm is clamped: let it go first, or leave it out", print_number(at.x, 1), print_number(at.y, 1))]
    Clamped {
        /// What it is.
        what: &'static str,
        /// Where.
        at: Point,
    },
    /// A thing that can't be clamped.
    #[error("only nodes, cut-outs and rows can be clamped: leave the other things out")]
    NoClamp,
    /// Too few things for it.
    #[error("pick {least} or more of them first")]
    TooFew {
        /// How many it takes.
        least: u32,
    },
    /// Things on one spot.
    #[error("all of them lie at x {}, y {} mm: move one of them away first", print_number(at.x, 1), print_number(at.y, 1))]
    OneSpot {
        /// Where.
        at: Point,
    },
    /// No steel between.
    #[error("about x {}, y {} mm they take all the room between the outer two: move those apart, or take one out", print_number(at.x, 1), print_number(at.y, 1))]
    NoGap {
        /// Midway between the outer two.
        at: Point,
    },
    /// A number of copies that is none.
    #[error("{copies} copies can't be stepped off: give it from 1 to {MOST_COPIES}")]
    Copies {
        /// What was asked.
        copies: u32,
    },
    /// A step that is none.
    #[error("a step of nothing puts all copies on one spot: make it longer")]
    NoStep,
    /// Steps that leave the steel.
    #[error("at x {} mm a step leaves the steel: take fewer or shorter ones", print_number(at.x, 1))]
    StepsOff {
        /// Where.
        at: Point,
    },
    /// A thing that can't be copied.
    #[error("only cut-outs and rows can be stepped off: leave the other things out")]
    NoCopy,
    /// A thing that can't be turned.
    #[error("only nodes, cut-outs and rows can be turned: leave the other things out")]
    NoTurn,
    /// A size that is none.
    #[error("{factor} times as large is no size for a knife: give it between 0.01 and 100")]
    NoFactor {
        /// What was asked.
        factor: f64,
    },
    /// A stroke that says nothing.
    #[error(
        "the stroke is too short: begin on the outline, draw over it, and end on it again in another place"
    )]
    ShortStroke,
    /// A stroke that hangs in the air.
    #[error("the stroke's end at x {}, y {} mm is {off_mm:.1} mm off the outline: begin and end it on the outline", print_number(at.x, 1), print_number(at.y, 1))]
    StrokeOff {
        /// The end.
        at: Point,
        /// How far it is off, mm.
        off_mm: f64,
    },
    /// Nothing lies so far inside.
    #[error(
        "nothing of this stretch lies {in_mm} mm inside: give it less, or pick a straighter stretch"
    )]
    NoRoomInside {
        /// The distance asked for, mm.
        in_mm: f64,
    },
    /// No two sides alike.
    #[error(transparent)]
    Mirror(#[from] NoMirror),
    /// The other knife has none of what shall be copied.
    #[error("that knife has no {what} to copy: choose another")]
    NothingToCopy {
        /// What was to be copied.
        what: &'static str,
    },
    /// A place or step that leaves all that can be drawn.
    #[error("that lies off the bench: stay within {LARGEST_MM} mm of the shoulder line")]
    OffBench,
}
