//! Landmarks: the places on the outline that give it meaning.

use super::Id;

/// A place on an outline: on the piece that begins at a node, at parameter `t` of that piece. It travels with the piece when
/// nodes are moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The node the piece begins at.
    pub node: Id,
    /// Parameter on the piece, 0..1 (0 is the node itself).
    pub t: f64,
}

/// What a landmark marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LandmarkKind {
    /// Foremost point of the blade.
    Tip,
    /// Rear end of the edge.
    Heel,
    /// Where the bevel begins, at the edge.
    Plunge,
    /// Where the spine begins to fall toward the tip.
    SpineStart,
    /// Where a false edge on the spine begins.
    FalseEdge,
    /// The spine side end of the shoulder line.
    UpperShoulder,
    /// The edge side end of the shoulder line.
    LowerShoulder,
    /// Rearmost point of the tang.
    Butt,
}

impl LandmarkKind {
    /// All kinds, in the order cards and files list them.
    pub const ALL: [Self; 8] = [
        Self::Tip,
        Self::Heel,
        Self::Plunge,
        Self::SpineStart,
        Self::FalseEdge,
        Self::UpperShoulder,
        Self::LowerShoulder,
        Self::Butt,
    ];

    /// The kinds that every knife has; a false edge is there only where one is ground.
    pub const ON_EVERY_KNIFE: [Self; 7] = [
        Self::Tip,
        Self::Heel,
        Self::Plunge,
        Self::SpineStart,
        Self::UpperShoulder,
        Self::LowerShoulder,
        Self::Butt,
    ];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Tip => "tip",
            Self::Heel => "heel",
            Self::Plunge => "plunge",
            Self::SpineStart => "spine start",
            Self::FalseEdge => "false edge",
            Self::UpperShoulder => "upper shoulder",
            Self::LowerShoulder => "lower shoulder",
            Self::Butt => "butt",
        }
    }
}

/// One landmark and where it sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landmark {
    /// What it marks.
    pub kind: LandmarkKind,
    /// Where on the outline.
    pub spot: Spot,
}
