//! A section across the knife: the true shape at a place along it, and the numbers of its edges.

use kurbo::Point;

use super::blade::GroundBlade;
use crate::geometry::SpanIndex;
use crate::knife::Face;

/// The shape of the steel across the knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Place along the knife, mm.
    pub x_mm: f64,
    /// Each piece of steel there, from the edge up.
    pub steel: Vec<SectionPiece>,
    /// The edge, at the lowest place; `None` where no grind starts there.
    pub edge: Option<EdgeShape>,
    /// The false edge, at the highest place.
    pub false_edge: Option<EdgeShape>,
}

/// One piece of steel across the knife.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPiece {
    /// Places from the lowest to the highest.
    pub places: Vec<SectionPlace>,
}

/// Heights of both faces at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionPlace {
    /// Place up the blade, mm.
    pub y_mm: f64,
    /// Right face over the mid-plane, mm.
    pub right_mm: f64,
    /// Left face over the mid-plane, counted outward, mm.
    pub left_mm: f64,
}

impl SectionPlace {
    /// Thickness there, mm.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        self.right_mm + self.left_mm
    }
}

/// The numbers of an edge, taken square to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeShape {
    /// Where on the run.
    pub foot: Point,
    /// Thickness left on the edge, mm.
    pub thickness_mm: f64,
    /// Each side of it; `None` on a face that is not ground there.
    pub right: Option<EdgeSide>,
    /// The left side.
    pub left: Option<EdgeSide>,
}

/// One side of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeSide {
    /// Angle between the ground surface at the edge and the mid-plane, radians.
    pub angle_rad: f64,
    /// Distance from the edge to the grind line, in the plane of the knife, mm.
    pub height_mm: f64,
    /// Width of the ground surface from the edge to the grind line, mm.
    pub width_mm: f64,
}

impl EdgeShape {
    /// Angle between both sides, radians.
    #[must_use]
    pub fn included_rad(&self) -> f64 {
        let angle = |side: Option<EdgeSide>| side.map_or(0.0, |s| s.angle_rad);
        angle(self.right) + angle(self.left)
    }
}

/// Places in a section, for each piece of steel.
const PLACES: u32 = 160;

/// Beside the edge this much, where its surfaces are asked for their slope, mm.
const BESIDE_MM: f64 = 1e-4;

impl GroundBlade {
    /// The section at a place along the knife; `None` where there is no steel. `steel` is the index of the outline.
    #[must_use]
    pub fn section(&self, steel: &SpanIndex, x_mm: f64) -> Option<Section> {
        let heights = steel.heights_at(x_mm);
        let (low, high) = (*heights.first()?, *heights.last()?);
        let pieces = heights.chunks_exact(2).filter_map(|pair| match pair {
            [low, high] if high > low => Some(self.piece(x_mm, *low, *high)),
            _ => None,
        });
        Some(Section {
            x_mm,
            steel: pieces.collect(),
            edge: self.edge_at(Point::new(x_mm, low)),
            false_edge: self.edge_at(Point::new(x_mm, high)),
        })
    }

    /// The heights of both faces at a point.
    #[must_use]
    pub fn place_at(&self, at: Point) -> SectionPlace {
        SectionPlace {
            y_mm: at.y,
            right_mm: self.height(Face::Right, at),
            left_mm: if self.mirrored {
                self.height(Face::Right, at)
            } else {
                self.height(Face::Left, at)
            },
        }
    }

    fn piece(&self, x_mm: f64, low: f64, high: f64) -> SectionPiece {
        let at = |y: f64| self.place_at(Point::new(x_mm, y));
        let mut places: Vec<SectionPlace> = (0..=PLACES)
            .map(|i| at(low + (high - low) * f64::from(i) / f64::from(PLACES)))
            .collect();
        // Corners of the shape fall between the places: one more at each, by halving where the slopes before and after differ.
        let mut corners = Vec::new();
        for pair in places.windows(4) {
            let [a, b, c, d] = pair else { continue };
            let bend = |f: fn(&SectionPlace) -> f64| {
                let (before, across, after) = (f(b) - f(a), f(c) - f(b), f(d) - f(c));
                (across - before).abs() > 1e-6 && (after - across).abs() > 1e-6
            };
            if bend(|p| p.right_mm) || bend(|p| p.left_mm) {
                corners.extend((1..8).map(|i| at(b.y_mm + (c.y_mm - b.y_mm) * f64::from(i) / 8.0)));
            }
        }
        places.extend(corners);
        places.sort_by(|a, b| a.y_mm.total_cmp(&b.y_mm));
        SectionPiece { places }
    }

    /// The edge at a point of a run; `None` where no grind starts.
    #[must_use]
    pub fn edge_at(&self, at: Point) -> Option<EdgeShape> {
        let right = self.side_at(Face::Right, at);
        let left = self.side_at(Face::Left, at);
        let foot = right.or(left)?.0;
        let thickness_mm = self.height(Face::Right, foot) + self.height(Face::Left, foot);
        Some(EdgeShape {
            foot,
            thickness_mm,
            right: right.map(|s| s.1),
            left: left.map(|s| s.1),
        })
    }

    fn side_at(&self, face: Face, at: Point) -> Option<(Point, EdgeSide)> {
        self.families
            .iter()
            .filter(|family| family.face == face)
            .find_map(|family| {
                let (foot, ray) = family.run.ray_near(at, 1e-3)?;
                let own = self.face_pair(face).0;
                let strip = family.run.strips.get(foot.strip)?;
                let surfaces: Vec<_> = self.surfaces_at(family, strip, foot.t, &ray).collect();
                let height = |d: f64| {
                    let top = own.at(ray.foot.x + ray.n.x * d);
                    surfaces
                        .iter()
                        .map(|on| on.height(d, top))
                        .fold(f64::INFINITY, f64::min)
                };
                let (near, far) = (height(BESIDE_MM), height(2.0 * BESIDE_MM));
                if !near.is_finite() || !far.is_finite() {
                    return None;
                }
                // Up to the grind line by halving: the surface is below the face before and not after.
                let below = |d: f64| height(d) < own.at(ray.foot.x + ray.n.x * d) - 1e-12;
                let (mut lo, mut hi) = (BESIDE_MM, family.reach * (1.0 + 1e-9) + BESIDE_MM);
                if !below(lo) {
                    return None;
                }
                for _ in 0..48 {
                    let d = f64::midpoint(lo, hi);
                    if below(d) { lo = d } else { hi = d }
                }
                let steps: Vec<f64> = (0..=16).map(|i| height(lo * f64::from(i) / 16.0)).collect();
                let width_mm = steps
                    .windows(2)
                    .map(|pair| match pair {
                        [a, b] => (b - a).hypot(lo / 16.0),
                        _ => 0.0,
                    })
                    .sum();
                Some((
                    ray.foot.to_point(),
                    EdgeSide {
                        angle_rad: ((far - near) / BESIDE_MM).atan(),
                        height_mm: lo,
                        width_mm,
                    },
                ))
            })
    }
}
