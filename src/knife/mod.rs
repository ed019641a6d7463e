//! What a design is made of: the set on the bench, its knives, and the rules they keep.
//!
//! The knife lies flat, tip to the right, edge down; `x = 0` is the shoulder line, `y` is up, millimeters and radians throughout. Outlines
//! run counterclockwise: along the edge to the tip, back along the spine, round the tang.

mod clamps;
mod corner;
mod cut_out;
mod engraving;
mod extent;
mod fitting;
mod flaw;
mod forge_plan;
mod grind;
mod guess;
mod handle;
mod laid_picture;
mod landmark;
mod letters;
mod mending;
mod model;
mod orchard;
mod outline;
mod place;
mod rounded;
mod row;
mod rules;
mod run;
mod scaling;
mod starters;
mod station;
mod stock;
mod stretch;
mod symmetry;
mod tang;
mod taper;
mod usual;
mod weigh_in;

pub use clamps::Clamped;
pub use corner::Corner;
pub use cut_out::{CutOut, CutShape, Filling, Purpose};
pub use engraving::{
    Engraved, Engraving, EngravingError, LETTER_MM, LONGEST_NAME, USUAL_LETTER_MM,
};
pub use extent::{Extent, extent};
pub use fitting::{Guard, GuardSlot};
pub use flaw::{Flaw, FlawKind, MOST_FLAW_POINTS};
pub use forge_plan::{ForgePlan, ForgeStart, ForgingLosses, OwnRatio};
pub use grind::{
    Cut, CutForm, Face, Faces, Fuller, Grind, Grinding, PlungeLine, Rise, RiseStation, Run, Sides,
    USUAL_GRIND_TOLERANCE_MM,
};
pub use guess::guess_landmarks;
pub use handle::{
    Fixing, Glue, Handle, HandlePart, HandleStation, Liner, PartKind, ROUNDING, TangHole,
};
pub use laid_picture::{LaidPicture, MOST_PICTURE_SIDE_PX, PICTURE_SCALE, SquaredBy};
pub use landmark::{Landmark, LandmarkKind, Spot};
pub use mending::{Mend, MendError};
pub use model::{Id, Knife, KnifeSet};
pub use orchard::orchard_set;
pub use outline::{Joint, Node, Outline};
pub use place::Place;
pub use rounded::Rounded;
pub use row::{Row, RowPath};
pub use rules::{
    Fault, LARGEST_MM, LONGEST_TEXT, MOST_CUT_OUTS, MOST_FLAWS, MOST_FULLERS, MOST_GRINDS,
    MOST_IN_ROW, MOST_KNIVES, MOST_LAYERS, MOST_NODES, MOST_PARTS, MOST_STATIONS, MOST_WEIGH_INS,
    SMALLEST_MM, THICKEST_MM, knife_faults, outline_rule_faults, set_faults,
};
pub use run::{RunPart, RunPath, RunPlace};
pub use starters::{
    StarterError, StarterForm, StarterSizes, default_sizes, make_starter, starter_forms,
};
pub use stock::{LaidLayer, Layer, Layering, Material, Stock};
pub use stretch::Stretch;
pub use symmetry::{ACROSS_MM, MiddleLine, NoMirror, Side, across, across_vec, node_across};
pub use tang::{
    FullTang, HiddenTang, MOST_BRIDGES, Tang, TangEnd, TangError, fit_tang, tang_windows,
};
pub use taper::{Taper, ThicknessStation};
pub use usual::{
    USUAL_PLUNGE, USUAL_WHEEL_RADIUS_MM, USUAL_WRAP_MM, usual_bevel, usual_false_edge,
    usual_fuller, usual_handle, usual_layering, usual_second_bevel, usual_taper, with_tang_end,
    wrap_round,
};
pub use weigh_in::{Stage, WeighIn};
