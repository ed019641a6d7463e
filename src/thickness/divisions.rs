//! Where along a strip the formula of its rays changes: what can be told from the grinds alone, before any ray is followed.

use super::blade::{GroundBlade, side};
use super::cutter::CutterKind;
use super::family::Family;
use super::strip::{Source, Strip};
use crate::geometry::crossings_of;

impl GroundBlade {
    /// Divides every strip.
    pub(super) fn divide(&mut self) {
        let all: Vec<Vec<Vec<f64>>> = self
            .families
            .iter()
            .map(|family| {
                let strips = family.run.strips.iter().enumerate();
                strips
                    .map(|(place, strip)| self.divisions(family, place, strip))
                    .collect()
            })
            .collect();
        for (family, divisions) in self.families.iter_mut().zip(all) {
            family.divisions = divisions;
        }
    }

    /// Parameters of a strip between which nothing of the grind itself changes its formula.
    fn divisions(&self, family: &Family, place: usize, strip: &Strip) -> Vec<f64> {
        let mut divisions = vec![0.0, 1.0];
        let within = family.reach_of(strip);
        for (turn, radius) in &family.turns {
            if !within.contains(turn.to_point()) {
                continue;
            }
            let off = |t: f64| {
                let ray = strip.ray(t);
                (*turn - ray.foot).cross(ray.n)
            };
            crossings_of(off, &mut divisions);
            if *radius > 0.0 {
                crossings_of(|t| off(t) - radius, &mut divisions);
                crossings_of(|t| off(t) + radius, &mut divisions);
            }
        }
        if matches!(strip.source, Source::Fan { .. }) {
            tidy(&mut divisions);
            return divisions;
        }
        for cutter in &family.cutters {
            if let CutterKind::Rising { rise, start, .. } = &cutter.kind {
                // Where a taper leaves nothing to climb the grind begins or ends at once.
                let (own, other) = self.face_pair(family.face);
                let climb = |t: f64| {
                    let x = strip.foot_at(t).x;
                    own.at(x) - start.height(other, x)
                };
                crossings_of(climb, &mut divisions);
                for station in rise.stations() {
                    if station.at > strip.share.0 && station.at < strip.share.1 {
                        divisions.push(strip.parameter_at(station.at));
                    }
                }
            }
            for wall in &cutter.walls {
                for u in [0.0, wall.radius] {
                    let off = |t: f64| (strip.ray(t).foot - wall.through).dot(wall.across) + u;
                    crossings_of(off, &mut divisions);
                }
            }
        }
        // Beside a corner that pinches, rays up to this far from it meet those of the other side before they come out.
        let next = family.run.strips.get(place + 1).map_or(0.0, |s| s.pinch);
        for (pinch, end, into) in [(strip.pinch, 0.0, 1.0), (next, 1.0, -1.0)] {
            let speed = strip.ray(end).j0;
            let t = end + into * self.depth_at(family, strip, end) * (pinch / 2.0).tan() / speed;
            if t > 0.0 && t < 1.0 {
                divisions.push(t);
            }
        }
        for x in self.faces[side(family.face)].bends() {
            if x > strip.bounds.x0 && x < strip.bounds.x1 {
                crossings_of(|t| strip.ray(t).foot.x - x, &mut divisions);
            }
        }
        tidy(&mut divisions);
        divisions
    }
}

fn tidy(divisions: &mut Vec<f64>) {
    divisions.sort_by(f64::total_cmp);
    divisions.dedup_by(|a, b| *a - *b < 1e-9);
}
