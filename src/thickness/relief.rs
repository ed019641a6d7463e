//! What the maker sees of the ground faces: grind lines, reveal lines, and patches that can be shaded from their real slope.

use kurbo::{Point, Vec2};

use super::blade::GroundBlade;
use super::layers::Boundary;
use super::survey::{BladeLayers, Followed};
use super::sweep::RayTrace;
use crate::knife::{Face, Id};

/// Lines and shaded patches of both faces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Relief {
    /// Grind lines and reveal lines.
    pub lines: Vec<SurfaceLine>,
    /// Ground surfaces.
    pub patches: Vec<Patch>,
}

/// A line on a ground face.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceLine {
    /// The face it is on.
    pub face: Face,
    /// What it marks.
    pub kind: LineKind,
    /// Points along it, in order.
    pub points: Vec<Point>,
}

/// What a line on a ground face marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LineKind {
    /// Where a grind or fuller meets the face.
    Grind {
        /// Its id.
        id: Id,
    },
    /// Where the ground surface passes from one layer to the next.
    Reveal {
        /// Height of the boundary between the layers over the mid-plane, mm, positive toward the right face.
        boundary_mm: f64,
        /// Which line of the boundary it is.
        part: RevealPart,
    },
}

/// A hammered boundary wanders: it lies between two lines, around the middle one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RevealPart {
    /// Where the boundary should be.
    Middle,
    /// Where it is if it lies nearer to the mid-plane.
    Inner,
    /// Where it is if it lies farther from the mid-plane.
    Outer,
}

/// A piece of ground surface as triangles.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// The face it is on.
    pub face: Face,
    /// Corners of the triangles.
    pub corners: Vec<PatchCorner>,
    /// Three indices for each triangle.
    pub triangles: Vec<u32>,
}

/// A corner of a patch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatchCorner {
    /// Where.
    pub at: Point,
    /// How the surface climbs there: change of height over the mid-plane for each millimeter along x and y.
    pub climb: Vec2,
}

/// Places on each ray at which a patch is held.
pub(super) const PLACES: usize = 5;

impl Relief {
    pub(super) fn of(
        blade: &GroundBlade,
        layers: &BladeLayers,
        rays: &[Followed],
        mirrored: bool,
    ) -> Self {
        let rays = in_order(rays);
        let mut relief = Self::default();
        for family_rays in rays.chunk_by(|a, b| a.family == b.family) {
            let Some(family) = family_rays
                .first()
                .and_then(|r| blade.families.get(r.family))
            else {
                continue;
            };
            let face = family.face;
            let boundaries = layers.faces[super::blade::side(face)].boundaries();
            let toward = match face {
                Face::Right => 1.0,
                Face::Left => -1.0,
            };
            relief.follow(face, family_rays, |trace| {
                let (_, to, cutter) = *trace.cut.last().filter(|_| trace.meets_face)?;
                let id = family.cutters.get(cutter)?.id;
                Some((to, LineKind::Grind { id }))
            });
            for (i, boundary) in boundaries.iter().enumerate() {
                let kind = reveal(boundary, toward);
                relief.follow(face, family_rays, |trace| {
                    let (d, _) = *trace.reveals.iter().find(|(_, b)| *b == i)?;
                    Some((d, kind))
                });
            }
            for strip in family_rays.chunk_by(|a, b| a.strip == b.strip) {
                relief.patches.extend(patch(face, strip));
            }
        }
        if mirrored {
            relief.mirror();
        }
        relief
    }

    /// Adds the lines through one place on each ray, broken where a ray has none or another kind begins.
    fn follow(
        &mut self,
        face: Face,
        rays: &[&Followed],
        place: impl Fn(&RayTrace) -> Option<(f64, LineKind)>,
    ) {
        let mut line: Option<SurfaceLine> = None;
        for ray in rays {
            let found = place(&ray.trace);
            let goes_on = matches!((&line, &found), (Some(l), Some((_, k))) if l.kind == *k);
            if !goes_on {
                self.lines
                    .extend(line.take().filter(|l| l.points.len() > 1));
            }
            if let Some((d, kind)) = found {
                let at = (ray.trace.foot + ray.trace.n * d).to_point();
                line.get_or_insert_with(|| SurfaceLine {
                    face,
                    kind,
                    points: Vec::with_capacity(rays.len()),
                })
                .points
                .push(at);
            }
        }
        self.lines.extend(line.filter(|l| l.points.len() > 1));
    }

    fn mirror(&mut self) {
        let lines: Vec<SurfaceLine> = self
            .lines
            .iter()
            .map(|line| SurfaceLine {
                face: Face::Left,
                kind: match line.kind {
                    LineKind::Reveal { boundary_mm, part } => LineKind::Reveal {
                        boundary_mm: -boundary_mm,
                        part,
                    },
                    kind @ LineKind::Grind { .. } => kind,
                },
                points: line.points.clone(),
            })
            .collect();
        self.lines.extend(lines);
        let patches: Vec<Patch> = self
            .patches
            .iter()
            .map(|patch| Patch {
                face: Face::Left,
                ..patch.clone()
            })
            .collect();
        self.patches.extend(patches);
    }
}

/// Rays by family, strip and place. A ray's trace is large: only short keys are put in order, beside each other. Places between 0 and 1 are in the order of
/// their bits.
fn in_order(rays: &[Followed]) -> Vec<&Followed> {
    let key = |ray: &Followed| {
        let strip = u128::from(ray.family as u32) << 32 | u128::from(ray.strip as u32);
        strip << 64 | u128::from(ray.t.to_bits())
    };
    let mut keys: Vec<(u128, u32)> = (0..).zip(rays).map(|(i, ray)| (key(ray), i)).collect();
    keys.sort_unstable_by_key(|(key, _)| *key);
    let ray = |(_, i): (u128, u32)| rays.get(i as usize);
    keys.into_iter().filter_map(ray).collect()
}

fn reveal(boundary: &Boundary, toward: f64) -> LineKind {
    let part = if boundary.off == 0.0 {
        RevealPart::Middle
    } else if (boundary.off > 0.0) == (boundary.middle >= 0.0) {
        RevealPart::Outer
    } else {
        RevealPart::Inner
    };
    LineKind::Reveal {
        boundary_mm: boundary.middle * toward,
        part,
    }
}

/// The ground surface between the rays of one strip.
fn patch(face: Face, rays: &[&Followed]) -> Option<Patch> {
    let mut patch = Patch {
        face,
        corners: Vec::with_capacity(rays.len() * PLACES),
        triangles: Vec::with_capacity(rays.len() * (PLACES - 1) * 6),
    };
    let mut before: Option<u32> = None;
    for ray in rays {
        let trace = &ray.trace;
        if trace.cut.is_empty() {
            before = None;
            continue;
        }
        let first = u32::try_from(patch.corners.len()).ok()?;
        patch
            .corners
            .extend(trace.course.iter().map(|(d, slope)| PatchCorner {
                at: (trace.foot + trace.n * *d).to_point(),
                climb: trace.n * *slope,
            }));
        if let Some(before) = before {
            for k in 0..PLACES as u32 - 1 {
                let (a, b) = (before + k, first + k);
                patch.triangles.extend([a, b, a + 1, b, b + 1, a + 1]);
            }
        }
        before = Some(first);
    }
    (!patch.triangles.is_empty()).then_some(patch)
}
