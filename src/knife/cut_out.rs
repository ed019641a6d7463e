//! Cut-outs: round holes, slots and free shapes, what they are for and what fills them.

use kurbo::{Point, Vec2};

use super::{Id, Outline};
use crate::geometry::{AreaMoments, Contour, Motion};

/// The shape of a cut-out.
#[derive(Clone, Debug, PartialEq)]
pub enum CutShape {
    /// A round hole.
    Round {
        /// Center.
        center: Point,
        /// Diameter, mm, positive.
        diameter_mm: f64,
    },
    /// An obround slot: a straight run with round ends.
    Slot {
        /// Middle of the slot.
        center: Point,
        /// Length over all, mm, not less than the width.
        length_mm: f64,
        /// Width, mm, positive.
        width_mm: f64,
        /// Direction of its length, radians from the x axis.
        angle_rad: f64,
    },
    /// Any closed shape.
    Free {
        /// Its outline.
        outline: Outline,
    },
}

/// What a cut-out is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A handle pin goes through.
    Pin,
    /// A tube goes through.
    Tube,
    /// A cord goes through.
    Lanyard,
    /// It takes weight away.
    #[default]
    Lightening,
    /// A pin holds the guard.
    GuardPin,
    /// A pin lines parts up while gluing.
    Alignment,
    /// It holds the work on a jig.
    Tooling,
}

impl Purpose {
    /// All purposes, in the order lists show them.
    pub const ALL: [Self; 7] = [
        Self::Pin,
        Self::Tube,
        Self::Lanyard,
        Self::Lightening,
        Self::GuardPin,
        Self::Alignment,
        Self::Tooling,
    ];

    /// The name the maker reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pin => "pin",
            Self::Tube => "tube",
            Self::Lanyard => "lanyard",
            Self::Lightening => "lightening",
            Self::GuardPin => "guard pin",
            Self::Alignment => "alignment",
            Self::Tooling => "tooling",
        }
    }
}

/// What fills a cut-out through the thickness of the steel.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Filling {
    /// Nothing.
    #[default]
    Nothing,
    /// A solid pin.
    Pin {
        /// Key of a material in the set.
        material: String,
        /// Diameter of its rod, mm, in a round hole and not more than it; none for a pin that fills the hole. The room around it stays empty.
        rod_mm: Option<f64>,
    },
    /// A tube that fills a round hole, with a round bore.
    Tube {
        /// Key of a material in the set.
        material: String,
        /// Bore, mm, less than the hole.
        bore_mm: f64,
    },
    /// Cast or glued in, filling the whole shape.
    Epoxy {
        /// Key of a material in the set.
        material: String,
    },
}

impl Filling {
    /// A pin that fills its hole.
    #[must_use]
    pub fn pin(material: impl Into<String>) -> Self {
        Self::Pin {
            material: material.into(),
            rod_mm: None,
        }
    }

    /// Key of its material, if it has one.
    #[must_use]
    pub fn material(&self) -> Option<&str> {
        match self {
            Self::Nothing => None,
            Self::Pin { material, .. } | Self::Tube { material, .. } | Self::Epoxy { material } => {
                Some(material)
            }
        }
    }

    /// The same key, to be changed.
    pub fn material_mut(&mut self) -> Option<&mut String> {
        match self {
            Self::Nothing => None,
            Self::Pin { material, .. } | Self::Tube { material, .. } | Self::Epoxy { material } => {
                Some(material)
            }
        }
    }
}

/// One cut-out.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// Stable within the knife.
    pub id: Id,
    /// Its shape.
    pub shape: CutShape,
    /// What it is for.
    pub purpose: Purpose,
    /// What fills it.
    pub filling: Filling,
}

impl CutOut {
    /// What of it goes on through the handle: its own shape, or the rod of a pin that is thinner, as scales are drilled for the rod.
    #[must_use]
    pub fn through_handle(&self) -> CutShape {
        self.rod().unwrap_or_else(|| self.shape.clone())
    }

    /// The rod of a pin that is thinner than its round hole, at the middle of it.
    #[must_use]
    pub fn rod(&self) -> Option<CutShape> {
        match (&self.filling, &self.shape) {
            (
                Filling::Pin {
                    rod_mm: Some(diameter_mm),
                    ..
                },
                CutShape::Round { center, .. },
            ) => Some(CutShape::Round {
                center: *center,
                diameter_mm: *diameter_mm,
            }),
            _ => None,
        }
    }
}

impl CutShape {
    /// A word for the kind of shape.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Round { .. } => "round",
            Self::Slot { .. } => "slot",
            Self::Free { .. } => "free",
        }
    }

    /// Its boundary, counterclockwise for round holes and slots.
    #[must_use]
    pub fn contour(&self) -> Contour {
        match self {
            Self::Round {
                center,
                diameter_mm,
            } => Contour::circle(*center, diameter_mm / 2.0),
            Self::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => Contour::slot(*center, *length_mm, *width_mm, *angle_rad),
            Self::Free { outline } => outline.contour(),
        }
    }

    /// The core segment and the radius of a round hole or slot: it is all points within the radius of the segment, which has no
    /// length for a round hole. `None` for a free shape.
    #[must_use]
    pub fn capsule(&self) -> Option<((Point, Point), f64)> {
        match self {
            Self::Round {
                center,
                diameter_mm,
            } => Some(((*center, *center), diameter_mm / 2.0)),
            Self::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => {
                let half = ((length_mm - width_mm) / 2.0).max(0.0);
                let along = Vec2::from_angle(*angle_rad) * half;
                Some(((*center - along, *center + along), width_mm / 2.0))
            }
            Self::Free { .. } => None,
        }
    }

    /// Cut length in mm: exact for round holes and slots.
    #[must_use]
    pub fn perimeter_mm(&self) -> f64 {
        use std::f64::consts::PI;
        match self {
            Self::Round { diameter_mm, .. } => PI * diameter_mm,
            Self::Slot {
                length_mm,
                width_mm,
                ..
            } => 2.0 * (length_mm - width_mm).max(0.0) + PI * width_mm,
            Self::Free { outline } => outline.contour().perimeter(),
        }
    }

    /// Exact moments of the opening; the area is positive whichever way a free shape was drawn.
    #[must_use]
    pub fn moments(&self) -> AreaMoments {
        match self {
            Self::Round {
                center,
                diameter_mm,
            } => AreaMoments::disc(*center, diameter_mm / 2.0),
            Self::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => AreaMoments::slot(*center, *length_mm, *width_mm, *angle_rad),
            Self::Free { outline } => outline.contour().moments().turned_positive(),
        }
    }

    /// The point it is dragged and typed by: the center, or the middle of a free shape's box.
    #[must_use]
    pub fn center(&self) -> Point {
        match self {
            Self::Round { center, .. } | Self::Slot { center, .. } => *center,
            Self::Free { outline } => outline.contour().bounds().center(),
        }
    }

    /// The same shape shifted.
    #[must_use]
    pub fn shifted(&self, d: Vec2) -> Self {
        self.moved(&Motion::shift(d))
    }

    /// The shape after a motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        match self {
            Self::Round {
                center,
                diameter_mm,
            } => Self::Round {
                center: motion.apply(*center),
                diameter_mm: *diameter_mm,
            },
            Self::Slot {
                center,
                length_mm,
                width_mm,
                angle_rad,
            } => {
                let own = if motion.mirrored {
                    -angle_rad
                } else {
                    *angle_rad
                };
                Self::Slot {
                    center: motion.apply(*center),
                    length_mm: *length_mm,
                    width_mm: *width_mm,
                    angle_rad: within_turn(own + motion.turn_rad),
                }
            }
            Self::Free { outline } => Self::Free {
                outline: outline.moved(motion),
            },
        }
    }
}

/// The same direction within a turn either way.
fn within_turn(angle_rad: f64) -> f64 {
    if angle_rad.abs() <= std::f64::consts::TAU {
        angle_rad
    } else {
        angle_rad % std::f64::consts::TAU
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Vec2;
    use crate::knife::Node;

    /// The contour moved piece by piece is another way to the same shape.
    #[test]
    fn a_moved_shape_is_its_contour_moved() {
        let corners = [(2.0, 1.0), (9.0, 3.0), (4.0, 8.0)].map(Point::from);
        let nodes = (0..).zip(corners).map(|(id, at)| Node::corner(id, at));
        let shapes = [
            CutShape::Round {
                center: Point::new(4.0, -3.0),
                diameter_mm: 5.0,
            },
            CutShape::Slot {
                center: Point::new(-6.0, 2.0),
                length_mm: 20.0,
                width_mm: 6.0,
                angle_rad: 0.4,
            },
            CutShape::Free {
                outline: Outline {
                    nodes: nodes.collect(),
                },
            },
        ];
        for (shape, mirrored) in shapes.iter().flat_map(|s| [(s, false), (s, true)]) {
            let motion = Motion {
                mirrored,
                turn_rad: 1.1,
                shift: Vec2::new(-7.0, 3.0),
            };
            let (own, by_pieces) = (shape.moved(&motion).contour(), shape.contour());
            let by_pieces = by_pieces.moved(&motion);
            let (a, b) = (own.moments(), by_pieces.moments());
            assert!((a.area - b.area).abs() < 1e-9, "{shape:?}");
            assert!(a.centroid.distance(b.centroid) < 1e-9, "{shape:?}");
            assert!((a.ixy - b.ixy).abs() < 1e-6, "{shape:?}");
        }
        let place = Point::new(3.0, -8.0);
        let over = Motion {
            mirrored: true,
            ..Motion::turn(0.7)
        };
        assert!(over.about(place).apply(place).distance(place) < 1e-12);
    }
}
