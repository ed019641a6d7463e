//! The handle around the tang: scales or a block, the parts it is made of from front to back, its swell and its rounding.
//!
//! Seen along the knife a handle is a superellipse, `|2(y − m)/h|ⁿ + |2z/T|ⁿ = 1`: as high as its outline, as thick as its stations say, with
//! the rounding `n`: 2 is an ellipse, and the higher the number the squarer the section.

use super::station::value_between;
use super::{Id, Outline};

/// Roundest and squarest section a handle can have.
pub const ROUNDING: (f64, f64) = (1.5, 40.0);

/// A handle.
#[derive(Clone, Debug, PartialEq)]
pub struct Handle {
    /// How it sits on the tang.
    pub fixing: Fixing,
    /// Its own outline, counterclockwise, where it is not the tang's: a block's, or that of a handle that wraps round the tang.
    pub outline: Option<Outline>,
    /// Thickness over all along the handle: the swell. At least one, in rising order of place.
    pub stations: Vec<HandleStation>,
    /// The rounding `n` of its section, see the module; within [`ROUNDING`].
    pub rounding: f64,
    /// What it is made of, from the front back: each part ends where the next begins, the last at the end of the handle. At least one.
    pub parts: Vec<HandlePart>,
    /// What holds it on, if it is glued.
    pub glue: Option<Glue>,
}

/// How a handle sits on the tang.
#[derive(Clone, Debug, PartialEq)]
pub enum Fixing {
    /// A slab on each face.
    Scales {
        /// A thin sheet between each slab and the steel.
        liner: Option<Liner>,
    },
    /// One piece around the tang.
    Block {
        /// The hole the tang goes into.
        hole: TangHole,
    },
}

/// A thin sheet between scale and steel, as high as the tang.
#[derive(Clone, Debug, PartialEq)]
pub struct Liner {
    /// Key of a material in the set.
    pub material: String,
    /// Thickness of one sheet, mm.
    pub thickness_mm: f64,
}

/// The hole a block has for its tang.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TangHole {
    /// Drilled and filed: a square hole.
    Drilled {
        /// Across the knife, mm.
        width_mm: f64,
        /// Along the height of the knife, mm.
        height_mm: f64,
        /// From the front of the handle back, mm.
        depth_mm: f64,
    },
    /// Burnt in with the hot tang: as large as the tang, and the gap the glue fills around it.
    BurntIn,
}

/// The thickness of a handle at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandleStation {
    /// Place along the knife from the shoulder line, mm.
    pub x_mm: f64,
    /// Thickness over all, the tang with it, mm.
    pub thickness_mm: f64,
}

/// A part of a handle.
#[derive(Clone, Debug, PartialEq)]
pub struct HandlePart {
    /// Stable within the knife.
    pub id: Id,
    /// What it is.
    pub kind: PartKind,
    /// Key of a material in the set.
    pub material: String,
    /// Where it begins, mm from the shoulder line: nothing or less.
    pub from_x_mm: f64,
}

/// What a part of a handle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PartKind {
    /// The part the hand holds: the slabs, or the block.
    Grip,
    /// Metal at the front.
    Bolster,
    /// A thin piece between others.
    Spacer,
    /// Metal at the end.
    ButtCap,
}

impl PartKind {
    /// All of them, from the front back.
    pub const ALL: [Self; 4] = [Self::Bolster, Self::Spacer, Self::Grip, Self::ButtCap];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Grip => "grip",
            Self::Bolster => "bolster",
            Self::Spacer => "spacer",
            Self::ButtCap => "butt cap",
        }
    }
}

/// What holds a handle on.
#[derive(Clone, Debug, PartialEq)]
pub struct Glue {
    /// Key of a material in the set.
    pub material: String,
    /// Thickness of the film on each face, or of the gap all round a tang in its block, mm.
    pub gap_mm: f64,
}

impl Handle {
    /// Thickness over all at a place, mm; level beyond the first and the last station.
    #[must_use]
    pub fn thickness_at(&self, x_mm: f64) -> f64 {
        value_between(&self.stations, x_mm, |s| (s.x_mm, s.thickness_mm)).unwrap_or(0.0)
    }

    /// Where it begins, mm from the shoulder line.
    #[must_use]
    pub fn front_x_mm(&self) -> f64 {
        self.parts.first().map_or(0.0, |part| part.from_x_mm)
    }

    /// The liner, if it has one.
    #[must_use]
    pub fn liner(&self) -> Option<&Liner> {
        match &self.fixing {
            Fixing::Scales { liner } => liner.as_ref(),
            Fixing::Block { .. } => None,
        }
    }

    /// A word for how it sits on the tang.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self.fixing {
            Fixing::Scales { .. } => "scales",
            Fixing::Block { .. } => "block",
        }
    }

    /// Keys of every material it is made of.
    pub fn materials(&self) -> impl Iterator<Item = &str> {
        let parts = self.parts.iter().map(|part| part.material.as_str());
        let liner = self.liner().map(|liner| liner.material.as_str());
        let glue = self.glue.as_ref().map(|glue| glue.material.as_str());
        parts.chain(liner).chain(glue)
    }

    /// The same keys, to be changed.
    pub fn materials_mut(&mut self) -> impl Iterator<Item = &mut String> {
        let liner = match &mut self.fixing {
            Fixing::Scales { liner } => liner.as_mut(),
            Fixing::Block { .. } => None,
        };
        let parts = self.parts.iter_mut().map(|part| &mut part.material);
        let glue = self.glue.iter_mut().map(|glue| &mut glue.material);
        parts
            .chain(liner.map(|liner| &mut liner.material))
            .chain(glue)
    }
}
