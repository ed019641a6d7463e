//! The name each edit bears in the Edit menu.

use super::{Carried, Change, Edit, Thing};
use crate::knife::{CutShape, Joint};

impl Edit {
    /// What the edit does, as the Edit menu says after "Undo".
    #[must_use]
    pub fn label(&self) -> &'static str {
        match self {
            Self::AddKnife { .. } => "add knife",
            Self::DoubleKnife { .. } => "double knife",
            Self::RemoveKnife { .. } => "remove knife",
            Self::MoveKnife { .. } => "move knife in the rack",
            Self::NameSet { .. } => "name set",
            Self::SetMaterial { .. } => "change material",
            Self::CarryOver { what, .. } => match what {
                Carried::Grind => "copy grind",
                Carried::Holes => "copy holes",
                Carried::Handle => "copy handle",
            },
            Self::CopyAside { .. } => "copy at a distance",
            Self::Knife { change, .. } => change.label(),
        }
    }
}

impl Change {
    /// What the change does, as the Edit menu says after "Undo".
    #[must_use]
    #[expect(clippy::too_many_lines, reason = "a line for each change")]
    pub fn label(&self) -> &'static str {
        match self {
            Self::Rename { .. } => "rename knife",
            Self::SetForm { .. } => "change use",
            Self::SetNotes { .. } => "change notes",
            Self::SetHeatWords { .. } => "change heat-treat words",
            Self::PlanForging { plan: Some(_) } => "set forging plan",
            Self::PlanForging { plan: None } => "remove forging plan",
            Self::Shift { things, .. } => match things.as_slice() {
                [one] => move_label(*one),
                _ => "move several things",
            },
            Self::Place { thing, .. } => move_label(*thing),
            Self::Remove { things } => match things.as_slice() {
                [Thing::Node(_) | Thing::CutOutNode { .. } | Thing::FullerNode { .. }] => {
                    "remove node"
                }
                [Thing::Handle { .. }] => "remove handle",
                [Thing::CutOut(_)] => "remove cut-out",
                [Thing::Row(_) | Thing::RowEnd { .. }] => "remove row",
                [Thing::TaperStation(_)] => "remove taper station",
                [Thing::Name] => "remove engraving",
                _ => "remove several things",
            },
            Self::AddNode { .. } => "add node",
            Self::SetJoint {
                joint: Joint::Smooth,
                ..
            } => "make node smooth",
            Self::SetJoint { .. } => "make node a corner",
            Self::SetHandle { .. } => "bend outline",
            Self::BendPiece { curved: true, .. } => "bend piece",
            Self::BendPiece { .. } => "straighten piece",
            Self::PullPiece { .. } => "bend piece",
            Self::Straighten { .. } => "straighten stretch",
            Self::Fair { .. } => "make stretch fair",
            Self::JoinPieces { .. } => "join pieces",
            Self::SplitPiece { .. } => "split piece",
            Self::ChangeRadius {
                radius_mm: None, ..
            } => "make corner sharp",
            Self::ChangeRadius { .. } => "change radius",
            Self::Redraw { .. } => "draw over stretch",
            Self::FullerAlong { .. } => "add fuller along",
            Self::Both { change, .. } => change.label(),
            Self::MirrorSide { .. } => "mirror one side",
            Self::Clamp { clamped: true, .. } => "clamp",
            Self::Clamp { .. } => "let go of the clamp",
            Self::LineUp { .. } => "line up",
            Self::Space { .. } => "space evenly",
            Self::Turn { .. } => "turn",
            Self::StepOff { .. } => "step off",
            Self::Scale { .. } => "make larger or smaller",
            Self::SetOutline { .. } => "scribe outline",
            Self::SetLandmark { .. } => "set landmark",
            Self::MoveShoulderLine { .. } => "move shoulder line",
            Self::AddCutOut {
                shape: CutShape::Round { .. },
                ..
            } => "drill hole",
            Self::AddCutOut {
                shape: CutShape::Slot { .. },
                ..
            } => "cut slot",
            Self::AddCutOut { .. } => "cut shape",
            Self::SetCutOut { .. } => "change cut-out",
            Self::AddRow { .. } => "drill row",
            Self::SetRow { .. } => "change row",
            Self::BreakRow { .. } => "break up row",
            Self::SetStock { .. } => "change stock",
            Self::Forge { .. } => "forge bar",
            Self::SetTaper { taper: None } => "remove taper",
            Self::SetTaper { .. } => "change taper",
            Self::AddGrind { .. } => "add grind",
            Self::SetGrind { .. } => "change grind",
            Self::RemoveGrind { .. } => "remove grind",
            Self::MoveGrind { .. } => "move grind in order",
            Self::AddFuller { .. } => "add fuller",
            Self::SetFuller { .. } => "change fuller",
            Self::RemoveFuller { .. } => "remove fuller",
            Self::SetGrindTolerance { .. } => "change grind tolerance",
            Self::FitTang { .. } => "fit tang",
            Self::SetGuard { guard: None } => "remove guard",
            Self::SetGuard { .. } => "change guard",
            Self::FitHandle { handle: None } => "remove handle",
            Self::FitHandle { .. } => "change handle",
            Self::LayPicture { picture: None } => "remove picture",
            Self::LayPicture { .. } => "lay picture",
            Self::Engrave { name: None } => "remove engraving",
            Self::Engrave { .. } => "change engraving",
            Self::MarkFlaw { .. } => "mark flaw",
            Self::RemoveFlaw { .. } => "remove flaw",
            Self::WriteWeighIn { .. } => "write weigh-in",
            Self::RemoveWeighIn { .. } => "strike out weigh-in",
            Self::OpenTang { .. } => "open tang",
            Self::Saw { .. } => "saw off",
            Self::Mend { mend } => mend.label(),
            Self::SetBladeLength { .. } => "stretch blade",
            Self::SetTangLength { .. } => "stretch tang",
            Self::SetHeight { .. } => "change height",
        }
    }
}

fn move_label(thing: Thing) -> &'static str {
    match thing {
        Thing::Node(_) | Thing::CutOutNode { .. } | Thing::FullerNode { .. } => "move node",
        Thing::Handle { .. } => "bend outline",
        Thing::Landmark(_) => "move landmark",
        Thing::CutOut(_) => "move cut-out",
        Thing::Row(_) | Thing::RowEnd { .. } => "move row",
        Thing::TaperStation(_) => "move taper station",
        Thing::Name => "move engraving",
    }
}
