//! The grinds of one face that rise from one run, with their walls and ends.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Rect, Vec2};

use super::cutter::{Cutter, Wall};
use super::exits::Boundary;
use super::meetings::Neighbors;
use super::run::RunPath;
use super::strip::{Ray, Strip};
use crate::knife::{Face, Grind, PlungeLine};

/// Grinds on one face that rise from one run: they share its rays.
#[derive(Clone, Debug)]
pub(super) struct Family {
    pub face: Face,
    pub run: RunPath,
    pub cutters: Vec<Cutter>,
    /// No cutter takes anything farther from the run than this, mm.
    pub reach: f64,
    /// Box of all it can touch.
    pub zone: Rect,
    /// Box of what each of its strips really touches.
    pub strip_zones: Vec<Rect>,
    /// How far from the run anything is really touched, mm.
    pub depth: f64,
    /// Other families on the same face whose box meets this one's.
    pub foreign: Vec<usize>,
    /// Lines on which it begins or ends to act along a foreign ray: through a point, square to a direction.
    pub limits: Vec<(Vec2, Vec2)>,
    /// Places, with a radius around them, at which rays that pass them begin or cease to meet something: corners of the outline, ends of other
    /// families' runs.
    pub turns: Vec<(Vec2, f64)>,
    /// For each strip, parameters between which nothing of the grinds changes its formula.
    pub divisions: Vec<Vec<f64>>,
    /// The outline as the rays meet it.
    pub boundary: Boundary,
    /// For each strip, how deep its rays surely go without meeting rays of another place of the run.
    pub neighbors: Neighbors,
}

impl Family {
    /// The ends of its run, with how far its channel reaches around them, and those of its plunge lines.
    pub(super) fn ends(&self) -> Vec<(Vec2, f64)> {
        let strips = &self.run.strips;
        if self.run.round_ends {
            let fans = strips.iter().filter(|s| !s.is_piece());
            return fans.map(|s| (s.foot_at(0.0), self.reach)).collect();
        }
        let ends = [(strips.first(), 0.0), (strips.last(), 1.0)];
        let mut places: Vec<(Vec2, f64)> = ends
            .iter()
            .filter_map(|(strip, t)| Some(((*strip)?.foot_at(*t), 0.0)))
            .collect();
        // Both ends of each plunge line and of the far side of its wall.
        for wall in self.cutters.iter().flat_map(|c| &c.walls) {
            let near = ends.iter().filter_map(|(strip, t)| Some((*strip)?.ray(*t)));
            let Some(ray) = near.min_by(|a, b| {
                let off = |r: &Ray| (r.foot - wall.through).hypot2();
                off(a).total_cmp(&off(b))
            }) else {
                continue;
            };
            let line = Vec2::new(-wall.across.y, wall.across.x);
            let climb = line.dot(ray.n);
            let up = line * (self.depth / climb);
            let behind = wall.across * -wall.radius;
            places.push((wall.through + behind, 0.0));
            if climb.abs() > 0.1 {
                places.extend([(wall.through + up, 0.0), (wall.through + up + behind, 0.0)]);
            }
        }
        places
    }

    /// Parameters of a strip between which nothing of the grinds changes its formula, from 0 to 1.
    pub(super) fn divisions_of(&self, strip: usize) -> &[f64] {
        self.divisions.get(strip).map_or(&[0.0, 1.0], Vec::as_slice)
    }

    /// Box of all that the rays of a strip can touch.
    pub(super) fn reach_of(&self, strip: &Strip) -> Rect {
        strip.bounds.inflate(self.reach, self.reach)
    }

    pub(super) fn set_reach(&mut self, reach: f64) {
        self.reach = reach;
        self.depth = reach;
        self.zone = self.run.bounds.inflate(reach, reach);
        let strips = self.run.strips.iter();
        self.strip_zones = strips.map(|s| s.bounds.inflate(reach, reach)).collect();
        self.neighbors = Neighbors::of(&self.run, reach);
    }
}

/// The square ends of a run, and the plunge lines with the far side of their walls.
pub(super) fn limits_of(run: &RunPath, cutters: &[Cutter]) -> Vec<(Vec2, Vec2)> {
    let ends = [(run.strips.first(), 0.0), (run.strips.last(), 1.0)];
    let mut limits: Vec<(Vec2, Vec2)> = ends
        .iter()
        .filter_map(|(strip, t)| {
            let strip = (*strip)?;
            Some((strip.ray(*t).foot, strip.heading_at(*t)?))
        })
        .collect();
    for wall in cutters.iter().flat_map(|c| &c.walls) {
        limits.push((wall.through, wall.across));
        limits.push((wall.through - wall.across * wall.radius, wall.across));
    }
    limits
}

/// How far a plunge line at an angle, with its wall, reaches past the end of the run, mm.
pub(super) fn overhang(plunge: PlungeLine, reach: f64) -> f64 {
    let (sin, cos) = plunge.angle_rad.sin_cos();
    (-cos / sin * reach).max(0.0) + plunge.wheel_radius_mm / sin
}

pub(super) fn walls_of(grind: &Grind, run: &RunPath) -> Vec<Wall> {
    let mut walls = Vec::new();
    let mut add = |plunge: Option<PlungeLine>, end: Option<(Vec2, Vec2)>, turn: f64| {
        if let (Some(plunge), Some((through, into))) = (plunge, end) {
            let lean = turn * (plunge.angle_rad - FRAC_PI_2);
            walls.push(Wall {
                through,
                across: rotated(into, lean),
                radius: plunge.wheel_radius_mm,
            });
        }
    };
    let begin = run
        .strips
        .first()
        .and_then(|s| Some((s.ray(0.0).foot, s.heading_at(0.0)?)));
    let end = run
        .strips
        .last()
        .and_then(|s| Some((s.ray(1.0).foot, -s.heading_at(1.0)?)));
    add(grind.plunge_from, begin, 1.0);
    add(grind.plunge_to, end, -1.0);
    walls
}

fn rotated(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}
