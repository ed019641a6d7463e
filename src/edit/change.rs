//! The edits themselves: plain data.

use crate::geometry::{Point, Vec2};
use crate::knife::{
    CutOut, CutShape, Engraving, Filling, Flaw, ForgePlan, Fuller, Grind, Guard, Handle, Id, Joint,
    Knife, LaidPicture, LandmarkKind, Material, Mend, MiddleLine, Outline, Purpose, Row, Side,
    Spot, Stock, Tang, Taper, WeighIn,
};

use super::{AfterSaw, Carried, Thing};

/// One edit of the set.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Puts a knife in the rack, with the materials it needs that the set lacks. Ids of the knife are kept but its own is new. A material whose
    /// key means something else in the set gets another key there, and the knife refers to that.
    AddKnife {
        /// The knife.
        knife: Box<Knife>,
        /// Materials it may refer to.
        materials: Vec<Material>,
    },
    /// Puts a copy of a knife behind it.
    DoubleKnife {
        /// Which.
        knife: Id,
    },
    /// Takes a knife out of the rack.
    RemoveKnife {
        /// Which.
        knife: Id,
    },
    /// Moves a knife to another place in the rack.
    MoveKnife {
        /// Which.
        knife: Id,
        /// Its new place, counted from 0.
        place: usize,
    },
    /// Names the set.
    NameSet {
        /// The new name.
        name: String,
    },
    /// Adds a material or changes the one with the same key.
    SetMaterial {
        /// The material.
        material: Material,
    },
    /// Copies part of one knife to another, in place of what that has of it. Holes keep their distance from the shoulder line and from the middle of the
    /// steel.
    CarryOver {
        /// From which.
        from: Id,
        /// To which.
        to: Id,
        /// What.
        what: Carried,
    },
    /// Puts a copy of an outline behind the knife, so far outside it (inside, below 0), as a knife of its own with the same bar and nothing else.
    CopyAside {
        /// The knife.
        knife: Id,
        /// The cut-out whose outline is copied; the knife's own without.
        of: Option<Id>,
        /// The distance, mm.
        by_mm: f64,
    },
    /// Changes one knife.
    Knife {
        /// Which.
        knife: Id,
        /// How.
        change: Change,
    },
}

/// Where copies that are stepped off go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StepAlong {
    /// Straight on, each by this step, mm.
    Line {
        /// The step.
        by: Vec2,
    },
    /// Along the outline, counterclockwise, as far off it as the first; each by so much of the outline's length, mm. They turn with it.
    Outline {
        /// The step.
        step_mm: f64,
    },
    /// Along the middle line of the tang or blade, as far off it as the first; each by so much along the knife, mm.
    TangMiddle {
        /// The step.
        step_mm: f64,
    },
}

/// A change of one knife.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Names the knife.
    Rename {
        /// The new name.
        name: String,
    },
    /// Says what the blade is for.
    SetForm {
        /// Key of a use, or empty.
        form: String,
    },
    /// Sets the maker's notes.
    SetNotes {
        /// The new text.
        notes: String,
    },
    /// Sets the maker's words on the heat treatment.
    SetHeatWords {
        /// The new text.
        words: String,
    },
    /// Moves things together by the same step. Landmarks slide along the outline.
    Shift {
        /// What is moved.
        things: Vec<Thing>,
        /// By how much, mm.
        by: Vec2,
    },
    /// Puts one thing at a place.
    Place {
        /// What.
        thing: Thing,
        /// Where it shall be held.
        at: Point,
    },
    /// Removes nodes, handles, cut-outs, rows and stations of the taper.
    Remove {
        /// What is removed.
        things: Vec<Thing>,
    },
    /// Puts a node on the outline without changing its shape.
    AddNode {
        /// Where.
        spot: Spot,
    },
    /// Makes a node smooth or a corner.
    SetJoint {
        /// Which node.
        node: Id,
        /// What it becomes.
        joint: Joint,
    },
    /// Sets or removes one handle of a node.
    SetHandle {
        /// Which node.
        node: Id,
        /// Whether the handle shapes the piece that leaves the node.
        outgoing: bool,
        /// The handle from the node, or none for a straight leave.
        handle: Option<Vec2>,
    },
    /// Makes the piece that begins at a node a curve (handles at its thirds) or a straight line.
    BendPiece {
        /// The node the piece begins at.
        node: Id,
        /// Whether it shall be a curve.
        curved: bool,
    },
    /// Pulls the piece that begins at a node so that its point at `t` comes to a place; a straight piece becomes a curve.
    PullPiece {
        /// The node the piece begins at.
        node: Id,
        /// Which point of the piece is held, 0..1.
        t: f64,
        /// Where that point shall be.
        to: Point,
    },
    /// Makes the stretch between nodes one straight line; a single node means the stretch from the one before it to the one behind it.
    Straighten {
        /// The nodes; the stretch is the shortest that holds them all.
        nodes: Vec<Id>,
    },
    /// Makes the stretch between nodes the fewest fair curves that stay within a distance of it.
    Fair {
        /// The nodes, as with [`Change::Straighten`].
        nodes: Vec<Id>,
        /// The distance, mm.
        within_mm: f64,
    },
    /// Makes the stretch between nodes one curve, if it stays within a distance.
    JoinPieces {
        /// The nodes, as with [`Change::Straighten`].
        nodes: Vec<Id>,
        /// The distance, mm.
        within_mm: f64,
    },
    /// Cuts the piece that begins at a node into parts of equal length, without changing its shape.
    SplitPiece {
        /// The node.
        node: Id,
        /// How many parts.
        parts: u32,
    },
    /// Gives a corner that was rounded another radius; none leaves it sharp.
    ChangeRadius {
        /// A node at either end of its arc.
        node: Id,
        /// The radius, mm.
        radius_mm: Option<f64>,
    },
    /// Replaces the stretch of the outline that a stroke runs over by fair curves through the stroke. Its ends must lie near the outline.
    Redraw {
        /// The stroke, as it was drawn.
        stroke: Vec<Point>,
        /// How far the curves may leave it, mm.
        within_mm: f64,
    },
    /// Adds a fuller that follows the stretch between nodes at a distance inside the steel.
    FullerAlong {
        /// The nodes, as with [`Change::Straighten`].
        nodes: Vec<Id>,
        /// The distance, mm.
        in_mm: f64,
        /// All but its path, which is made; its ids are given anew.
        fuller: Fuller,
    },
    /// Makes a change, and the same across from a middle line.
    Both {
        /// The middle line.
        line: MiddleLine,
        /// The change.
        change: Box<Self>,
    },
    /// Makes one side of a middle line the mirror picture of the other.
    MirrorSide {
        /// The middle line.
        line: MiddleLine,
        /// The side that stays as it is.
        keep: Side,
    },
    /// Clamps things, so that no edit moves them, or lets them go.
    Clamp {
        /// Nodes, cut-outs and rows.
        things: Vec<Thing>,
        /// Whether they are held.
        clamped: bool,
    },
    /// Brings things level with the first clamped one, or else the first of them; or straight above and below it.
    LineUp {
        /// The things.
        things: Vec<Thing>,
        /// Whether above each other, not level.
        upright: bool,
    },
    /// Spaces things evenly between the two that lie farthest apart.
    Space {
        /// The things, three at least.
        things: Vec<Thing>,
        /// Whether the steel between them is made even, not the steps from middle to middle.
        webs: bool,
    },
    /// Turns nodes, cut-outs and rows together about the middle of their places.
    Turn {
        /// The things.
        things: Vec<Thing>,
        /// How far, radians, counterclockwise.
        by_rad: f64,
    },
    /// Puts copies of cut-outs and rows behind each other, each a step on.
    StepOff {
        /// What is copied.
        things: Vec<Thing>,
        /// Where the steps go.
        along: StepAlong,
        /// How many copies.
        copies: u32,
    },
    /// Makes the whole design so many times as large; holes and the bar stay as they are.
    Scale {
        /// How many times.
        factor: f64,
    },
    /// Replaces the whole outline, as drawn with Scribe; landmarks are seated anew by shape.
    SetOutline {
        /// The new outline; its ids are given anew.
        outline: Outline,
    },
    /// Seats a landmark on the outline.
    SetLandmark {
        /// Which.
        kind: LandmarkKind,
        /// Where.
        spot: Spot,
    },
    /// Moves the shoulder line to another place: the whole knife shifts so that it lies at `x = 0` again. The shoulder landmarks are seated
    /// on the new line, and the tang's length counts from there.
    MoveShoulderLine {
        /// Where the line shall be, mm from the present one.
        to_x: f64,
    },
    /// Cuts a new opening.
    AddCutOut {
        /// Its shape; ids within a free shape are given anew.
        shape: CutShape,
        /// What it is for.
        purpose: Purpose,
        /// What fills it.
        filling: Filling,
    },
    /// Replaces the cut-out with the same id.
    SetCutOut {
        /// The cut-out.
        cut_out: CutOut,
    },
    /// Adds a row of holes; its id is given anew.
    AddRow {
        /// The row.
        row: Row,
    },
    /// Replaces the row with the same id.
    SetRow {
        /// The row.
        row: Row,
    },
    /// Breaks a row up into single holes.
    BreakRow {
        /// Which row.
        row: Id,
    },
    /// Sets the bar.
    SetStock {
        /// The bar.
        stock: Stock,
    },
    /// Forges or rolls the bar thinner or back: its layers come to a new thickness all together, each by its own ratio.
    Forge {
        /// Wanted thickness of the bar, mm.
        thickness_mm: f64,
        /// How much each layer is thinned, measured by the others: the core's first, then those of the outer layers from the middle out. All
        /// alike keep the shares they have. See [`Stock::forged_to`].
        ratios: Vec<f64>,
    },
    /// Sets how the blank is forged, or that it is not.
    PlanForging {
        /// The plan.
        plan: Option<ForgePlan>,
    },
    /// Sets or removes the taper.
    SetTaper {
        /// The taper.
        taper: Option<Taper>,
    },
    /// Adds a grind behind those that are there; its id is given anew. A landmark its run lacks is seated where it usually is.
    AddGrind {
        /// The grind.
        grind: Grind,
    },
    /// Replaces the grind with the same id. A landmark its run lacks is seated where it usually is.
    SetGrind {
        /// The grind.
        grind: Grind,
    },
    /// Removes a grind.
    RemoveGrind {
        /// Which.
        id: Id,
    },
    /// Moves a grind to another place in the order of grinding.
    MoveGrind {
        /// Which.
        id: Id,
        /// Its new place, counted from 0; past the end is the end.
        place: usize,
    },
    /// Adds a fuller; its id and those of its nodes are given anew.
    AddFuller {
        /// The fuller.
        fuller: Fuller,
    },
    /// Replaces the fuller with the same id; nodes its path did not have get ids of their own.
    SetFuller {
        /// The fuller.
        fuller: Fuller,
    },
    /// Removes a fuller.
    RemoveFuller {
        /// Which.
        id: Id,
    },
    /// Sets how near a ground surface comes to where it should be.
    SetGrindTolerance {
        /// Plus or minus this, mm.
        tolerance_mm: f64,
    },
    /// Makes the tang anew from numbers.
    FitTang {
        /// Kind and numbers.
        tang: Tang,
    },
    /// Sets or removes the guard.
    SetGuard {
        /// The guard.
        guard: Option<Guard>,
    },
    /// Sets or removes the handle. Parts and nodes it did not have get ids of their own.
    FitHandle {
        /// The handle.
        handle: Option<Box<Handle>>,
    },
    /// Sets or removes the name engraved on the tang.
    Engrave {
        /// The name.
        name: Option<Engraving>,
    },
    /// Lays a picture under the drawing, changes how it lies, or takes it away.
    LayPicture {
        /// The picture.
        picture: Option<Box<LaidPicture>>,
    },
    /// Marks a flaw, or changes the one with the same id.
    MarkFlaw {
        /// The flaw.
        flaw: Flaw,
    },
    /// Takes the mark of a flaw away.
    RemoveFlaw {
        /// Which.
        id: Id,
    },
    /// Writes a weigh-in down, or changes the one with the same id.
    WriteWeighIn {
        /// The weigh-in.
        weigh_in: WeighIn,
    },
    /// Strikes a weigh-in out.
    RemoveWeighIn {
        /// Which.
        id: Id,
    },
    /// Cuts windows into the tang.
    OpenTang {
        /// Steel left to the outline, and the width of a bridge, mm.
        rim_mm: f64,
        /// Bridges between windows; none makes a frame.
        bridges: u32,
    },
    /// Saws the knife off along a line or a curve; what carries the tip stays.
    Saw {
        /// The line, from point to point; it goes on straight past its ends.
        line: Vec<Point>,
        /// Where a curve from the first point to the last passes halfway; none for a line.
        bow: Option<Point>,
        /// What is made of the steel that is left.
        after: AfterSaw,
    },
    /// Mends what a cutting service would ask about.
    Mend {
        /// What is mended.
        mend: Mend,
    },
    /// Stretches the blade along x so that tip to shoulder line is this long.
    SetBladeLength {
        /// Wanted length, mm.
        length_mm: f64,
    },
    /// Stretches the tang along x so that shoulder line to butt is this long.
    SetTangLength {
        /// Wanted length, mm.
        length_mm: f64,
    },
    /// Stretches the blade's depth below its upper shoulder so that its largest depth is this much.
    SetHeight {
        /// Wanted largest depth, mm.
        height_mm: f64,
    },
}

impl Edit {
    /// A change of one knife as an edit.
    #[must_use]
    pub fn knife(knife: Id, change: Change) -> Self {
        Self::Knife { knife, change }
    }
}
