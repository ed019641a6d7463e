//! The curve a line on a ground face is drawn as: through the places its rays gave, bent between them as it is at them.
//!
//! The survey follows no more rays than its sums need, and between two of them a curved line leaves the straight way. Each place gets the direction of the
//! parabola through it and the two beside it, and two places are joined by the cubic that has their directions (Hermite's). Where the line has a corner
//! it keeps it: each side goes on by itself there.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use super::relief::SurfaceLine;

/// Turns from one stretch to the next above this are corners, radians.
const CORNER: f64 = 0.3;

/// Stretches that are shorter than this share of the one beside them say nothing of how that one bends.
const SHORT: f64 = 0.02;

impl SurfaceLine {
    /// Places along the line, no two farther apart than about `step_mm` unless it runs straight.
    #[must_use]
    pub fn drawn(&self, step_mm: f64) -> Vec<Point> {
        let points = &self.points;
        let mut drawn = Vec::with_capacity(points.len() * 2);
        drawn.extend(points.first());
        for (i, pair) in points.windows(2).enumerate() {
            let [from, to] = *pair else { continue };
            let before = i.checked_sub(1).and_then(|k| points.get(k));
            let after = points.get(i + 2);
            let chord = to - from;
            let steps = (chord.hypot() / step_mm).ceil().clamp(1.0, 64.0);
            let begin = before.and_then(|p| direction(from - *p, chord, chord));
            let end = after.and_then(|p| direction(chord, *p - to, chord));
            if steps > 1.0 && (begin.is_some() || end.is_some()) {
                // An end that has no neighbor to tell bends as the other one does.
                let mirrored = |d: Vec2| chord * 2.0 - d;
                let begin = begin.or(end.map(mirrored)).unwrap_or(chord);
                let end = end.unwrap_or_else(|| mirrored(begin));
                let curve = CubicBez::new(from, from + begin / 3.0, to - end / 3.0, to);
                for k in 1..steps as u32 {
                    drawn.push(curve.eval(f64::from(k) / steps));
                }
            }
            drawn.push(to);
        }
        drawn
    }
}

/// Direction at the place between two stretches, as long as `own` is: that of the parabola through all three places by the way along them. `None` at a
/// corner, and where one stretch is too short to tell.
fn direction(a: Vec2, b: Vec2, own: Vec2) -> Option<Vec2> {
    let (la, lb) = (a.hypot(), b.hypot());
    if la.min(lb) < SHORT * la.max(lb) || a.cross(b).atan2(a.dot(b)).abs() > CORNER {
        return None;
    }
    let slope = (a / la * lb + b / lb * la) / (la + lb);
    Some(slope * own.hypot())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::Face;
    use crate::thickness::LineKind;

    fn line(points: Vec<Point>) -> SurfaceLine {
        SurfaceLine {
            face: Face::Right,
            kind: LineKind::Grind { id: 1 },
            points,
        }
    }

    /// A circle of 60 mm told at uneven places up to 18 mm apart: chords leave it by s²/8r = 0.675 mm, the curve by a hundredth of that.
    #[test]
    fn a_round_line_is_drawn_round() {
        let angles = [0.0, 0.05, 0.3, 0.55, 0.8, 0.81, 1.1_f64];
        let on = |a: f64| Point::new(60.0 * a.cos(), 60.0 * a.sin());
        let drawn = line(angles.map(on).to_vec()).drawn(1.0);
        let off = |p: &Point| (p.to_vec2().hypot() - 60.0).abs();
        let worst = drawn.iter().map(off).fold(0.0, f64::max);
        assert!(worst < 0.012, "{worst}");
        for pair in drawn.windows(2) {
            assert!(pair[0].distance(pair[1]) < 1.1);
        }
        assert!(angles.iter().all(|a| drawn.contains(&on(*a))));
    }

    #[test]
    fn corners_and_straight_lines_stay() {
        let at = Point::new;
        let corner = vec![at(0.0, 0.0), at(20.0, 0.0), at(20.0, 15.0), at(20.0, 40.0)];
        for p in line(corner).drawn(1.0) {
            assert!(p.y.abs() < 1e-12 || (p.x - 20.0).abs() < 1e-12, "{p}");
        }
        // Two rays hard by a bend tell nothing of the way before them.
        let beside = vec![
            at(0.0, 0.0),
            at(20.0, 0.0),
            at(20.001, 0.0003),
            at(40.0, 5.0),
        ];
        for p in line(beside).drawn(1.0) {
            assert!(p.x > 20.0 || p.y.abs() < 1e-12, "{p}");
        }
        assert!(line(vec![]).drawn(1.0).is_empty());
    }
}
