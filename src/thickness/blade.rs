//! A knife made ready for questions about its heights: faces, runs and cutters resolved, and what can stop a ray.

use std::cell::Cell;

use kurbo::{Point, Rect, Vec2};

use super::boxes::boxes_meet;
use super::cutter::{Cutter, CutterKind, OnRay, Start};
use super::exits::Boundary;
use super::face::FaceHeight;
use super::family::{Family, limits_of, overhang, walls_of};
use super::fault::GrindFault;
use super::meetings::Neighbors;
use super::run::{Hint, RunPath};
use super::strip::{Ray, Strip};
use crate::geometry::{Contour, SpanIndex};
use crate::knife::{Face, Grind, Knife, Run};

/// A knife's faces with everything that is ground into them.
#[derive(Clone, Debug)]
pub struct GroundBlade {
    pub(super) faces: [FaceHeight; 2],
    pub(super) families: Vec<Family>,
    /// Names of grinds and fullers in the order of grinding, with their ids.
    pub(super) names: Vec<(u32, String)>,
    /// Whether the left face is the mirror of the right one.
    pub(super) mirrored: bool,
    pub(super) bounds: Rect,
}

pub(super) fn side(face: Face) -> usize {
    match face {
        Face::Right => 0,
        Face::Left => 1,
    }
}

impl GroundBlade {
    /// Makes a knife ready. Its outline must be sound (see [`crate::geometry::outline_faults`]).
    ///
    /// # Errors
    /// Every grind that has no run or path.
    pub fn new(
        knife: &Knife,
        contour: &Contour,
        steel: &SpanIndex,
    ) -> Result<Self, Vec<GrindFault>> {
        let taper = knife.grinding.taper.as_ref();
        let faces = Face::ALL.map(|face| FaceHeight::of(&knife.stock, taper, face));
        let mut blade = Self {
            mirrored: faces[0] == faces[1]
                && knife.grinding.grinds.iter().all(is_mirrored)
                && knife
                    .grinding
                    .fullers
                    .iter()
                    .all(|f| f.faces == crate::knife::Faces::Both),
            faces,
            families: Vec::new(),
            names: Vec::new(),
            bounds: steel.bounds(),
        };
        let mut faults = Vec::new();
        let mut runs: Vec<(Run, Face, usize)> = Vec::new();
        for (order, grind) in knife.grinding.grinds.iter().enumerate() {
            blade.names.push((grind.id, grind.name.clone()));
            if let Err(fault) = blade.add_grind(knife, contour, grind, order, &mut runs) {
                faults.push(fault);
            }
        }
        for (place, fuller) in knife.grinding.fullers.iter().enumerate() {
            blade.names.push((fuller.id, fuller.name.clone()));
            let order = knife.grinding.grinds.len() + place;
            let Some(run) = RunPath::of_fuller(fuller) else {
                faults.push(GrindFault::NoPath {
                    grind: fuller.name.clone(),
                });
                continue;
            };
            for &face in blade.built_faces() {
                if !fuller.faces.has(face) {
                    continue;
                }
                let cutter = Cutter {
                    id: fuller.id,
                    order,
                    name: fuller.name.clone(),
                    kind: CutterKind::Nose {
                        radius: fuller.nose_radius_mm,
                        depth: fuller.depth_mm,
                    },
                    walls: Vec::new(),
                };
                let boundary = Boundary::around_path(contour);
                blade.add_family(face, run.clone(), vec![cutter], boundary);
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        blade.find_foreign();
        if blade.families.iter().any(|f| !f.foreign.is_empty()) {
            blade.tighten_zones();
        }
        blade.find_turns();
        blade.divide();
        if blade.mirrored {
            blade.mirror();
        }
        Ok(blade)
    }

    /// The faces whose grinds are made ready one by one: the left face of a blade that is ground alike is a copy of the right one.
    fn built_faces(&self) -> &'static [Face] {
        if self.mirrored {
            &[Face::Right]
        } else {
            &Face::ALL
        }
    }

    fn mirror(&mut self) {
        let count = self.families.len();
        let mut left = self.families.clone();
        for family in &mut left {
            family.face = Face::Left;
            family.foreign.iter_mut().for_each(|i| *i += count);
        }
        self.families.extend(left);
    }

    fn add_grind(
        &mut self,
        knife: &Knife,
        contour: &Contour,
        grind: &Grind,
        order: usize,
        runs: &mut Vec<(Run, Face, usize)>,
    ) -> Result<(), GrindFault> {
        let no_run = || GrindFault::NoRun {
            grind: grind.name.clone(),
            from: grind.run.from.name(),
            to: grind.run.to.name(),
        };
        let plain = RunPath::of_run(knife, grind.run, (0.0, 0.0)).ok_or_else(no_run)?;
        let walls = walls_of(grind, &plain);
        for &face in self.built_faces() {
            let Some(cut) = grind.sides.on(face) else {
                continue;
            };
            let start = if grind.sides.is_chisel() {
                Start::OnOtherFace {
                    edge: grind.edge_mm,
                }
            } else {
                let toward = match face {
                    Face::Right => 1.0,
                    Face::Left => -1.0,
                };
                Start::Over(grind.edge_mm / 2.0 + toward * grind.edge_offset_mm)
            };
            let cutter = Cutter {
                id: grind.id,
                order,
                name: grind.name.clone(),
                kind: CutterKind::Rising {
                    form: cut.form,
                    rise: cut.rise.clone(),
                    start,
                },
                walls: walls.clone(),
            };
            let (own, other) = self.face_pair(face);
            let reach = cutter.reach(own, other).min(self.longest());
            let extend = (
                grind.plunge_from.map_or(0.0, |p| overhang(p, reach)),
                grind.plunge_to.map_or(0.0, |p| overhang(p, reach)),
            );
            let known = runs
                .iter()
                .find(|(run, of, _)| *run == grind.run && *of == face)
                .map(|(.., family)| *family);
            let same_extent = |family: &Family| {
                extend == (0.0, 0.0) || family.cutters.iter().all(|c| !c.walls.is_empty())
            };
            // A second bevel on the run of a first one shares its rays, and its continuation too where it has its own plunge.
            if let Some(family) = known.and_then(|i| self.families.get_mut(i))
                && same_extent(family)
            {
                family.cutters.push(cutter);
                family.limits = limits_of(&family.run, &family.cutters);
                let reach = family.reach.max(reach);
                family.set_reach(reach);
                continue;
            }
            let run = if extend == (0.0, 0.0) {
                plain.clone()
            } else {
                RunPath::of_run(knife, grind.run, extend).ok_or_else(no_run)?
            };
            let boundary = if extend == (0.0, 0.0) {
                Boundary::beside_run(contour, knife, grind.run)
            } else {
                Boundary::with_extensions(contour, knife, grind.run)
            };
            runs.push((grind.run, face, self.families.len()));
            self.add_family(face, run, vec![cutter], boundary);
        }
        Ok(())
    }

    fn add_family(&mut self, face: Face, run: RunPath, cutters: Vec<Cutter>, boundary: Boundary) {
        let (own, other) = self.face_pair(face);
        let reach = cutters
            .iter()
            .map(|c| c.reach(own, other))
            .fold(0.0, f64::max)
            .min(self.longest());
        let mut family = Family {
            face,
            zone: run.bounds,
            strip_zones: Vec::new(),
            depth: reach,
            limits: limits_of(&run, &cutters),
            neighbors: Neighbors::default(),
            run,
            cutters,
            reach,
            foreign: Vec::new(),
            turns: Vec::new(),
            divisions: Vec::new(),
            boundary,
        };
        family.set_reach(reach);
        self.families.push(family);
    }

    /// No ray inside the steel is longer than this, mm.
    fn longest(&self) -> f64 {
        self.bounds.width().hypot(self.bounds.height())
    }

    /// How far each strip's rays really go before all its surfaces have met the face: looked up at some of them, with room for those between.
    fn tighten_zones(&mut self) {
        const LOOKS: u32 = 4;
        for i in 0..self.families.len() {
            let Some(family) = self.families.get(i) else {
                continue;
            };
            let rooms: Vec<f64> = family
                .run
                .strips
                .iter()
                .map(|strip| {
                    let places = (0..=LOOKS).map(|k| f64::from(k) / f64::from(LOOKS));
                    let depths = places.map(|t| self.depth_at(family, strip, t));
                    depths.fold(0.0, f64::max) * 1.15 + 0.2
                })
                .collect();
            let strips = family.run.strips.iter().zip(&rooms);
            let zones = strips.map(|(s, room)| s.bounds.inflate(*room, *room));
            let zones: Vec<Rect> = zones.collect();
            let depth = rooms.iter().copied().fold(0.0, f64::max);
            if let Some(family) = self.families.get_mut(i) {
                family.strip_zones = zones;
                family.depth = depth;
            }
        }
    }

    /// How far a ray of a strip goes before all its surfaces have met the face, mm, to a hundredth or so.
    pub(super) fn depth_at(&self, family: &Family, strip: &Strip, t: f64) -> f64 {
        let ray = strip.ray(t);
        let own = self.face_pair(family.face).0;
        self.surfaces_at(family, strip, t, &ray)
            .map(|on| on.depth_in(own, ray.foot.x, ray.n.x, family.reach))
            .fold(0.0, f64::max)
    }

    /// The surfaces of a family on a ray of one of its strips, as far as they can be ground there.
    pub(super) fn surfaces_at<'f>(
        &'f self,
        family: &'f Family,
        strip: &'f Strip,
        t: f64,
        ray: &Ray,
    ) -> impl Iterator<Item = OnRay> + use<'f> {
        let (own, other) = self.face_pair(family.face);
        let (foot, n) = (ray.foot, ray.n);
        family.cutters.iter().filter_map(move |cutter| {
            let share = || strip.share_at(t);
            cutter
                .on_ray(foot, n, share, strip.extension, own, other)
                .ok()
        })
    }

    fn find_foreign(&mut self) {
        let zones: Vec<(Face, Rect)> = self.families.iter().map(|f| (f.face, f.zone)).collect();
        for (i, family) in self.families.iter_mut().enumerate() {
            family.foreign = zones
                .iter()
                .enumerate()
                .filter(|(j, (face, zone))| {
                    *j != i && *face == family.face && boxes_meet(zone, &family.zone)
                })
                .map(|(j, _)| j)
                .collect();
        }
    }

    fn find_turns(&mut self) {
        let turns: Vec<Vec<(Vec2, f64)>> = self
            .families
            .iter()
            .map(|family| {
                let others = family.foreign.iter();
                let others = others.filter_map(|i| self.families.get(*i));
                let corners = family.boundary.corners().map(|at| (at, 0.0));
                let mut turns: Vec<(Vec2, f64)> = corners.collect();
                turns.extend(others.flat_map(|other| other.ends()));
                turns.retain(|(at, _)| family.zone.contains(at.to_point()));
                turns
            })
            .collect();
        for (family, turns) in self.families.iter_mut().zip(turns) {
            family.turns = turns;
        }
    }

    /// Whether a box comes into the zone of another family.
    pub(super) fn others_meet(&self, family: &Family, reach: &Rect) -> bool {
        let mut others = family.foreign.iter().filter_map(|i| self.families.get(*i));
        others.any(|other| boxes_meet(&other.zone, reach))
    }

    /// A face and the one behind it.
    pub(super) fn face_pair(&self, face: Face) -> (&FaceHeight, &FaceHeight) {
        match face {
            Face::Right => (&self.faces[0], &self.faces[1]),
            Face::Left => (&self.faces[1], &self.faces[0]),
        }
    }

    /// Height of a face before any grind, mm over the mid-plane.
    #[must_use]
    pub fn face_height(&self, face: Face, x_mm: f64) -> f64 {
        self.face_pair(face).0.at(x_mm)
    }

    /// Ids and names of grinds and fullers, in the order of grinding.
    pub fn grind_names(&self) -> impl Iterator<Item = (u32, &str)> {
        self.names.iter().map(|(id, name)| (*id, name.as_str()))
    }

    /// Whether the two faces are ground alike.
    #[must_use]
    pub fn is_mirrored(&self) -> bool {
        self.mirrored
    }

    /// Height of the ground surface of a face over the mid-plane at a point, mm, counted outward: what the taper and every grind leave. The point
    /// should lie in the steel; outside it the surface is that of the wheel's path.
    #[must_use]
    pub fn height(&self, face: Face, at: Point) -> f64 {
        let bare = self.face_height(face, at.x);
        let mut lowest = bare;
        for family in &self.families {
            if family.face == face {
                let here = self.height_in(family, at, bare, &Cell::default());
                lowest = lowest.min(here.map_or(f64::INFINITY, |l| l.z));
            }
        }
        lowest
    }

    /// The lowest surface of a family at a point where the face is at `top`; `None` where none acts. The search for its foot begins at the hint.
    pub(super) fn height_in(
        &self,
        family: &Family,
        at: Point,
        top: f64,
        hint: &Cell<Hint>,
    ) -> Option<Lowest> {
        // Most places lie where the last one did.
        let zones = &family.strip_zones;
        let in_last = zones
            .get(hint.get().strip)
            .is_some_and(|zone| zone.contains(at));
        if !in_last && !zones.iter().any(|zone| zone.contains(at)) {
            return None;
        }
        let q = at.to_vec2();
        let foot = family
            .run
            .foot_of(q, family.reach, &family.neighbors, hint)?;
        let strip = family.run.strips.get(foot.strip)?;
        let (own, other) = self.face_pair(family.face);
        let mut lowest: Option<Lowest> = None;
        for (i, cutter) in family.cutters.iter().enumerate() {
            let share = || strip.share_at(foot.t);
            let z = if cutter.walls.is_empty() {
                if strip.extension {
                    continue;
                }
                let Ok((surface, _)) = cutter.surface_from(foot.at, share, own, other) else {
                    continue;
                };
                surface.height_where_it_acts(foot.distance, top)
            } else {
                let n = if foot.distance > 0.0 {
                    (q - foot.at) / foot.distance
                } else {
                    Vec2::ZERO
                };
                let Ok(mut on) = cutter.on_ray(foot.at, n, share, strip.extension, own, other)
                else {
                    continue;
                };
                if foot.distance <= 0.0 {
                    // No direction on the run itself; the walls are asked for at the point.
                    for (slot, wall) in on.walls.iter_mut().zip(&cutter.walls) {
                        if let Some(slot) = slot {
                            slot.u0 = -(q - wall.through).dot(wall.across);
                        }
                    }
                }
                on.height(foot.distance, top)
            };
            if z.is_finite() && lowest.is_none_or(|l| z < l.z) {
                lowest = Some(Lowest {
                    z,
                    cutter: i,
                    chain: strip.chain,
                });
            }
        }
        lowest
    }
}

/// The lowest surface of a family at a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lowest {
    /// Height over the mid-plane, mm.
    pub z: f64,
    /// The cutter that leaves it.
    pub cutter: usize,
    /// The chain of smoothly joined strips it rises from there.
    pub chain: u32,
}

fn is_mirrored(grind: &Grind) -> bool {
    matches!(grind.sides, crate::knife::Sides::Both(_)) && grind.edge_offset_mm == 0.0
}
