//! The ground face toward the viewer, ready to draw: shaded from its real heights, with its grind lines and the lines where layers show.

use super::results::Fill;
use crate::geometry::{Point, SpanIndex, Vec2};
use crate::knife::{Face, Knife};
use crate::thickness::GroundBlade;

/// Rays on each piece of a run.
const RAYS_PER_PIECE: u32 = 48;
/// Looks along a ray before its end is narrowed down.
const LOOKS: u32 = 10;
/// Halvings that narrow an end down: to a thousandth of a look.
const HALVINGS: u32 = 10;
/// Corners of the mesh along a ray.
const CORNERS: u32 = 6;
/// Step for slopes, mm.
const SLOPE_STEP_MM: f64 = 0.02;
/// Longest ray, mm: no blade is deeper.
const LONGEST_MM: f64 = 150.0;

/// Triangles with the light on each corner: 1 is a level face, more leans toward the light, less away from it.
#[derive(Clone, Debug, Default)]
pub struct Shaded {
    /// Corners of the triangles, and their light.
    pub corners: Vec<(Point, f32)>,
    /// Three indices for each triangle.
    pub triangles: Vec<u32>,
}

/// Where one layer passes into the next on the ground face.
#[derive(Clone, Debug)]
pub struct Reveal {
    /// The inner layer's place from the middle out: 0 is the core.
    pub place: usize,
    /// The line.
    pub line: Vec<Point>,
    /// How far it may wander, for layers that are not even.
    pub band: Option<Fill>,
}

/// What is drawn of the ground face toward the viewer.
#[derive(Clone, Debug, Default)]
pub struct Relief {
    /// The ground surfaces.
    pub shaded: Shaded,
    /// Where they meet the face of the bar.
    pub grind_lines: Vec<Vec<Point>>,
    /// Where layers show.
    pub reveals: Vec<Reveal>,
}

/// Where the light comes from: over the spine, from the tip's side; low, so that slopes of a few degrees can be told apart.
const LIGHT: [f64; 3] = [0.25, 0.85, 0.75];

/// Light on a surface with these slopes, against that on a level one.
fn light(slope_x: f64, slope_y: f64) -> f64 {
    let [lx, ly, lz] = LIGHT;
    let length = (1.0 + slope_x * slope_x + slope_y * slope_y).sqrt();
    (lz - slope_x * lx - slope_y * ly) / (lz * length)
}

struct Looker<'a> {
    blade: &'a GroundBlade,
    steel: &'a SpanIndex,
}

impl Looker<'_> {
    fn z(&self, p: Point) -> f64 {
        self.blade.height(Face::Right, p)
    }

    /// How deep below the face of the bar the surface lies, mm.
    fn depth(&self, p: Point) -> f64 {
        self.blade.face_height(Face::Right, p.x) - self.z(p)
    }

    #[expect(clippy::cast_possible_truncation, reason = "a share for the screen")]
    fn light(&self, p: Point) -> f32 {
        let h = SLOPE_STEP_MM;
        let slope = |d: Vec2| (self.z(p + d) - self.z(p - d)) / (2.0 * h);
        light(slope(Vec2::new(h, 0.0)), slope(Vec2::new(0.0, h))) as f32
    }

    /// How far along a ray something is still so, mm; `None` when it is not so at its very beginning.
    fn end(&self, from: Point, way: Vec2, longest: f64, so: impl Fn(Point) -> bool) -> Option<f64> {
        let at = |d: f64| from + way * d;
        let first = 1e-3;
        if !so(at(first)) {
            return None;
        }
        let mut low = first;
        let mut high = longest;
        let mut found = false;
        for i in 1..=LOOKS {
            let d = longest * f64::from(i) / f64::from(LOOKS);
            if !so(at(d)) {
                high = d;
                found = true;
                break;
            }
            low = d;
        }
        if found {
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if so(at(middle)) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
        }
        Some(low)
    }
}

impl Relief {
    /// What is seen of a knife's right face.
    #[must_use]
    pub fn of(knife: &Knife, blade: &GroundBlade, steel: &SpanIndex) -> Self {
        let looker = Looker { blade, steel };
        let mut relief = Self::default();
        for grind in &knife.grinding.grinds {
            if grind.sides.on(Face::Right).is_none() {
                continue;
            }
            let Some(path) = knife.run_path(grind.run) else {
                continue;
            };
            let places = path
                .start()
                .into_iter()
                .chain(path.looks(RAYS_PER_PIECE).map(|(place, _)| place))
                .chain(path.end());
            let rays = places.map(|place| (place.point, place.inward()));
            relief.add(&looker, knife, rays.collect());
        }
        relief
    }

    fn add(&mut self, looker: &Looker<'_>, knife: &Knife, rays: Vec<(Point, Vec2)>) {
        let mut line = Vec::new();
        let mut before: Option<u32> = None;
        let mut ends = Vec::new();
        for (from, way) in &rays {
            let ground = |p: Point| looker.depth(p) > 1e-6;
            let inside = |p: Point| looker.steel.contains(p);
            let reach = looker.end(*from, *way, LONGEST_MM, |p| inside(p) && ground(p));
            ends.push(reach);
            let Some(reach) = reach else {
                before = None;
                push_line(&mut self.grind_lines, &mut line);
                continue;
            };
            let end = *from + *way * reach;
            if inside(end + *way * 0.2) {
                line.push(end);
            } else {
                push_line(&mut self.grind_lines, &mut line);
            }
            let first = u32::try_from(self.shaded.corners.len()).unwrap_or(0);
            for i in 0..=CORNERS {
                let d = reach * f64::from(i) / f64::from(CORNERS);
                let p = *from + *way * d;
                // Slopes are taken a little inside, so that they are those of the ground face.
                let inner = *from + *way * d.clamp(0.1, (reach - 0.1).max(0.1));
                self.shaded.corners.push((p, looker.light(inner)));
            }
            if let Some(last) = before {
                for i in 0..CORNERS {
                    let (a, b) = (last + i, first + i);
                    self.shaded.triangles.extend([a, a + 1, b, a + 1, b + 1, b]);
                }
            }
            before = Some(first);
        }
        push_line(&mut self.grind_lines, &mut line);
        self.add_reveals(looker, knife, &rays, &ends);
    }

    fn add_reveals(
        &mut self,
        looker: &Looker<'_>,
        knife: &Knife,
        rays: &[(Point, Vec2)],
        ends: &[Option<f64>],
    ) {
        let laid = knife.stock.laid_layers();
        let wave = knife.stock.layering.waviness_mm;
        // The core, then the right side of every layer but the outermost: each ends at its boundary toward the viewer.
        let n = knife.stock.layering.outer.len();
        for place in 0..n {
            let Some(level) = laid.get((2 * place).saturating_sub(1)).map(|l| l.to_mm) else {
                continue;
            };
            let crossing = |level: f64| -> Vec<Option<Point>> {
                rays.iter()
                    .zip(ends)
                    .map(|((from, way), end)| {
                        let end = (*end)?;
                        let d = looker.end(*from, *way, end, |p| looker.z(p) < level)?;
                        (d < end - 1e-3).then(|| *from + *way * d)
                    })
                    .collect()
            };
            for line in stretches(&crossing(level)) {
                self.reveals.push(Reveal {
                    place,
                    line,
                    band: None,
                });
            }
            if wave > 0.0 {
                let (low, high) = (crossing(level - wave), crossing(level + wave));
                if let Some(reveal) = self.reveals.last_mut() {
                    reveal.band = Some(between(&low, &high));
                }
            }
        }
    }
}

fn push_line(lines: &mut Vec<Vec<Point>>, line: &mut Vec<Point>) {
    if line.len() > 1 {
        lines.push(std::mem::take(line));
    }
    line.clear();
}

fn stretches(points: &[Option<Point>]) -> Vec<Vec<Point>> {
    points
        .split(Option::is_none)
        .map(|part| part.iter().flatten().copied().collect::<Vec<_>>())
        .filter(|part| part.len() > 1)
        .collect()
}

/// The strip between two lines, where both are.
fn between(low: &[Option<Point>], high: &[Option<Point>]) -> Fill {
    let mut fill = Fill::default();
    let mut before = None;
    for pair in low.iter().zip(high) {
        let (Some(a), Some(b)) = pair else {
            before = None;
            continue;
        };
        let first = u32::try_from(fill.corners.len()).unwrap_or(0);
        fill.corners.extend([*a, *b]);
        if let Some(last) = before {
            fill.triangles
                .extend([last, last + 1, first, last + 1, first + 1, first]);
        }
        before = Some(first);
    }
    fill
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lambert's law: the light goes with the cosine to the surface's normal.
    #[test]
    fn a_face_that_leans_toward_the_light_is_brighter() {
        assert!((light(0.0, 0.0) - 1.0).abs() < 1e-12);
        // The edge's bevel falls away downward: its height grows with y, so it turns away from a light above.
        assert!(light(0.0, 0.07) < 1.0 && light(0.0, -0.07) > 1.0);
        let [lx, ly, lz] = LIGHT;
        let (sx, sy) = (-lx / lz, -ly / lz);
        let full = (lx * lx + ly * ly + lz * lz).sqrt() / lz;
        assert!((light(sx, sy) - full).abs() < 1e-12);
    }
}
