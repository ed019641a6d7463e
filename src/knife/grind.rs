//! Grinds: bevels, false edges and second bevels on runs of the outline, and fullers along paths.
//!
//! A grind starts at its run and rises along the shortest distance `d` from the run; the thickness room turns it into heights.

use super::station::value_between;
use super::{Id, LandmarkKind, Outline, Taper};

/// Which faces something is done on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Faces {
    /// Both alike.
    #[default]
    Both,
    /// The right face only, the one toward the viewer.
    Right,
    /// The left face only.
    Left,
}

impl Faces {
    /// All choices, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Both, Self::Right, Self::Left];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Both => "both faces",
            Self::Right => "right face",
            Self::Left => "left face",
        }
    }

    /// Whether a face is one of them.
    #[must_use]
    pub fn has(self, face: Face) -> bool {
        match self {
            Self::Both => true,
            Self::Right => face == Face::Right,
            Self::Left => face == Face::Left,
        }
    }
}

/// One face of the knife.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// Toward the viewer, `z > 0`.
    Right,
    /// Away from the viewer, `z < 0`.
    Left,
}

impl Face {
    /// Both faces.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];
}

/// Everything that is ground off the bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Grinding {
    /// Thickness along the knife; `None` leaves the bar as it is.
    pub taper: Option<Taper>,
    /// Bevels, false edges and second bevels, in the order they are ground.
    pub grinds: Vec<Grind>,
    /// Fullers, in the order they are ground.
    pub fullers: Vec<Fuller>,
    /// A ground surface comes out within ± this of where it should be, mm.
    pub tolerance_mm: f64,
}

/// How near a careful hand holds a ground face, mm; common practice, no source.
pub const USUAL_GRIND_TOLERANCE_MM: f64 = 0.05;

impl Default for Grinding {
    fn default() -> Self {
        Self {
            taper: None,
            grinds: Vec::new(),
            fullers: Vec::new(),
            tolerance_mm: USUAL_GRIND_TOLERANCE_MM,
        }
    }
}

impl Grinding {
    /// Whether nothing is ground at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.taper.is_none() && self.grinds.is_empty() && self.fullers.is_empty()
    }
}

/// A grind that rises from a run of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Grind {
    /// Stable within the knife.
    pub id: Id,
    /// Name the maker reads.
    pub name: String,
    /// The stretch of outline it starts from.
    pub run: Run,
    /// What is ground on which face.
    pub sides: Sides,
    /// Thickness left on the run, mm; 0 for a bevel brought to nothing.
    pub edge_mm: f64,
    /// How far the edge lies off the mid-plane when both faces are ground, mm, positive toward the right face.
    pub edge_offset_mm: f64,
    /// The line the grind ends at, at the run's beginning; without one it ends square to the run.
    pub plunge_from: Option<PlungeLine>,
    /// The same at the run's end.
    pub plunge_to: Option<PlungeLine>,
    /// Ground after hardening: calls for the caution about heat.
    pub after_hardening: bool,
}

/// The stretch of outline between two landmarks, in the outline's own sense: along the edge to the tip, back along the spine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// Where it begins.
    pub from: LandmarkKind,
    /// Where it ends.
    pub to: LandmarkKind,
}

/// What is ground on which face.
#[derive(Clone, Debug, PartialEq)]
pub enum Sides {
    /// Both faces alike.
    Both(Cut),
    /// The right face only; the edge lies on the left face.
    Right(Cut),
    /// The left face only; the edge lies on the right face.
    Left(Cut),
    /// Each face in its own way.
    Each {
        /// On the right face.
        right: Cut,
        /// On the left face.
        left: Cut,
    },
}

impl Sides {
    /// The cut on a face.
    #[must_use]
    pub fn on(&self, face: Face) -> Option<&Cut> {
        match (self, face) {
            (Self::Both(cut), _)
            | (Self::Right(cut), Face::Right)
            | (Self::Left(cut), Face::Left)
            | (Self::Each { right: cut, .. }, Face::Right)
            | (Self::Each { left: cut, .. }, Face::Left) => Some(cut),
            (Self::Right(_), Face::Left) | (Self::Left(_), Face::Right) => None,
        }
    }

    /// The cuts: one, or the right and the left.
    pub fn cuts(&self) -> impl Iterator<Item = &Cut> {
        let (first, second) = match self {
            Self::Both(cut) | Self::Right(cut) | Self::Left(cut) => (cut, None),
            Self::Each { right, left } => (right, Some(left)),
        };
        std::iter::once(first).chain(second)
    }

    /// The same, to change them.
    pub fn cuts_mut(&mut self) -> Vec<&mut Cut> {
        match self {
            Self::Both(cut) | Self::Right(cut) | Self::Left(cut) => vec![cut],
            Self::Each { right, left } => vec![right, left],
        }
    }

    /// Which faces are ground.
    #[must_use]
    pub fn faces(&self) -> Faces {
        match self {
            Self::Both(_) | Self::Each { .. } => Faces::Both,
            Self::Right(_) => Faces::Right,
            Self::Left(_) => Faces::Left,
        }
    }

    /// Whether only one face is ground, as on a chisel.
    #[must_use]
    pub fn is_chisel(&self) -> bool {
        self.faces() != Faces::Both
    }
}

/// The surface of a grind on one face.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Flat, hollow or convex.
    pub form: CutForm,
    /// How far it rises.
    pub rise: Rise,
}

/// The shape of a ground surface across the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutForm {
    /// A plane.
    Flat,
    /// Bowed into the steel by a wheel.
    Hollow {
        /// Radius of the wheel, mm.
        wheel_radius_mm: f64,
    },
    /// Bowed outward.
    Convex {
        /// Radius of the bow, mm.
        radius_mm: f64,
    },
}

impl CutForm {
    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Flat => "flat",
            Self::Hollow { .. } => "hollow",
            Self::Convex { .. } => "convex",
        }
    }
}

/// How far a grind rises: by its height or by its angle, piecewise linear along the run, level beyond the first and the last station.
#[derive(Clone, Debug, PartialEq)]
pub enum Rise {
    /// By the distance from the run at which it meets the face, mm; the angle follows.
    Height(Vec<RiseStation>),
    /// By the angle of one face to the mid-plane, radians; the height follows. Flat grinds only.
    Angle(Vec<RiseStation>),
}

/// A place on a run and the height or the angle there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiseStation {
    /// Place on the run as a share of its length, 0..1 from its beginning.
    pub at: f64,
    /// Height, mm, or angle, radians.
    pub value: f64,
}

impl Rise {
    /// The same height all along.
    #[must_use]
    pub fn even_height(height_mm: f64) -> Self {
        Self::Height(vec![RiseStation {
            at: 0.0,
            value: height_mm,
        }])
    }

    /// The same angle all along.
    #[must_use]
    pub fn even_angle(angle_rad: f64) -> Self {
        Self::Angle(vec![RiseStation {
            at: 0.0,
            value: angle_rad,
        }])
    }

    /// The stations, whatever they hold.
    #[must_use]
    pub fn stations(&self) -> &[RiseStation] {
        match self {
            Self::Height(stations) | Self::Angle(stations) => stations,
        }
    }

    /// The stations, to change them.
    pub fn stations_mut(&mut self) -> &mut Vec<RiseStation> {
        match self {
            Self::Height(stations) | Self::Angle(stations) => stations,
        }
    }

    /// The same rise so many times as high: heights by the factor, of an angle the tangent by its inverse.
    #[must_use]
    pub fn times_as_high(&self, by: f64) -> Self {
        let mut raised = self.clone();
        let by_angle = matches!(self, Self::Angle(_));
        for station in raised.stations_mut() {
            station.value = if by_angle {
                (station.value.tan() / by).atan()
            } else {
                station.value * by
            };
        }
        raised
    }

    /// The height or angle at a share of the run.
    #[must_use]
    pub fn value_at(&self, at: f64) -> f64 {
        value_between(self.stations(), at, |s| (s.at, s.value)).unwrap_or(0.0)
    }
}

/// The line a grind ends at: straight through its landmark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlungeLine {
    /// Angle between the line, going into the steel, and the run going into the grind, radians; a right angle is square to the run, less leans
    /// over the grind.
    pub angle_rad: f64,
    /// Radius of the wheel's edge that leaves the wall, mm; 0 for a sharp wall.
    pub wheel_radius_mm: f64,
}

/// A channel of a round nose along a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Fuller {
    /// Stable within the knife.
    pub id: Id,
    /// Name the maker reads.
    pub name: String,
    /// The path of the nose: an open chain of nodes, at least two.
    pub path: Outline,
    /// Faces it is ground in.
    pub faces: Faces,
    /// Radius of the nose, mm.
    pub nose_radius_mm: f64,
    /// Depth below the face, mm.
    pub depth_mm: f64,
}

impl Fuller {
    /// Half the width of the channel at the face, mm: half the chord of the nose at its depth. Below the middle of the nose the walls
    /// go straight up.
    #[must_use]
    pub fn half_width_mm(&self) -> f64 {
        let (r, p) = (self.nose_radius_mm, self.depth_mm);
        if p >= r {
            r
        } else {
            (r * r - (r - p) * (r - p)).sqrt()
        }
    }
}
