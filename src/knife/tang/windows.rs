//! Windows of a skeleton or frame tang: openings that leave a rim of even width all round, and bridges between them.

use kurbo::{Point, Vec2};

use super::{TangError, finite, positive};
use crate::geometry::{Contour, SpanIndex};
use crate::knife::{Joint, Knife, Node, Outline, Purpose};

/// Most bridges in one tang.
pub const MOST_BRIDGES: u32 = 12;
/// Places at which the long sides of a window are measured.
const SAMPLES: u32 = 12;
/// Places on each rounded corner.
const CORNER_SAMPLES: u32 = 4;
/// Corners of a window are rounded by this share of the rim: a sharp one is where a tang cracks.
const ROUNDED_SHARE: f64 = 0.6;
/// Shortest window worth cutting, in rims.
const SHORTEST_RIMS: f64 = 1.5;
/// How near the rim is held, mm.
const CLOSE_MM: f64 = 1e-4;

/// Outlines of windows behind the shoulder line that leave `rim_mm` of steel to the outline and so many bridges as wide between them: none for
/// a frame, one or more for a skeleton. Pins, tubes and cords keep a rim around them too. Ids of the nodes are 0. The rim is held at the measured places; between them the curve is off by less
/// than a hundredth of the rim on sides that bend as handles do.
///
/// # Errors
/// The rim is no size, or leaves no window.
pub fn tang_windows(knife: &Knife, rim_mm: f64, bridges: u32) -> Result<Vec<Outline>, TangError> {
    positive(rim_mm, "the rim")?;
    finite(rim_mm, "the rim")?;
    let no_room = || TangError::NoWindow { rim_mm };
    if bridges > MOST_BRIDGES {
        return Err(no_room());
    }
    let contour = knife.contour();
    let steel = Steel {
        index: contour.index(),
        contour,
        rim_mm,
    };
    let bounds = steel.contour.bounds();
    let front = -rim_mm;
    // From the butt forward, the first place whose middle has rim and corner around it.
    let open = |x: f64| {
        let middle = steel.middle(x);
        middle.is_some_and(|m| steel.gap(m) >= rim_mm * (1.0 + ROUNDED_SHARE))
    };
    let steps = 400_u32;
    let step = (front - bounds.x0) / f64::from(steps);
    if step <= 0.0 {
        return Err(no_room());
    }
    let back = (0..steps)
        .map(|i| bounds.x0 + step * f64::from(i))
        .find(|x| open(*x))
        .ok_or_else(no_room)?;
    let stretches = stretches(knife, (back, front), rim_mm, bridges);
    if stretches.is_empty() {
        return Err(no_room());
    }
    stretches
        .into_iter()
        .map(|(from, to)| steel.window(from, to).ok_or_else(no_room))
        .collect()
}

/// The stretches along the tang that windows take, rising: what pins, tubes and cords leave with a rim around each, and then the longest cut
/// in two until there are so many bridges.
fn stretches(
    knife: &Knife,
    (back, front): (f64, f64),
    rim_mm: f64,
    bridges: u32,
) -> Vec<(f64, f64)> {
    let mut free = vec![(back, front)];
    let kept = knife
        .cut_outs
        .iter()
        .filter(|cut| cut.purpose != Purpose::Lightening);
    for cut in kept {
        let bounds = cut.shape.contour().bounds();
        let (low, high) = (bounds.x0 - rim_mm, bounds.x1 + rim_mm);
        free = free
            .into_iter()
            .flat_map(|(from, to)| [(from, to.min(low)), (from.max(high), to)])
            .filter(|(from, to)| to > from)
            .collect();
    }
    let least = SHORTEST_RIMS * rim_mm;
    free.retain(|(from, to)| to - from >= least);
    free.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let [(from, to)] = free.as_slice() {
        // Nothing in the way: even windows.
        let (from, n) = (*from, f64::from(bridges + 1));
        let length = (to - from - rim_mm * f64::from(bridges)) / n;
        let even = (0..=bridges).map(|i| {
            let start = from + f64::from(i) * (length + rim_mm);
            (start, start + length)
        });
        return even.filter(|_| length >= least).collect();
    }
    while free.len() < bridges as usize + 1 {
        let longest = (0..free.len()).max_by(|a, b| {
            let length = |i: usize| free.get(i).map_or(0.0, |(from, to)| to - from);
            length(*a).total_cmp(&length(*b))
        });
        let Some((place, (from, to))) = longest.and_then(|i| Some((i, *free.get(i)?))) else {
            break;
        };
        let half = (to - from - rim_mm) / 2.0;
        if half < least {
            break;
        }
        free.splice(place..=place, [(from, from + half), (to - half, to)]);
    }
    free
}

struct Steel {
    contour: Contour,
    index: SpanIndex,
    rim_mm: f64,
}

impl Steel {
    fn gap(&self, at: Point) -> f64 {
        self.contour.nearest(at).map_or(0.0, |n| n.distance)
    }

    fn middle(&self, x: f64) -> Option<Point> {
        let (low, high) = self.index.depth_at(x)?;
        Some(Point::new(x, f64::midpoint(low, high)))
    }

    /// How far from the middle toward one side the rim leaves room, mm.
    fn room(&self, middle: Point, up: f64) -> f64 {
        let (low, high) = self
            .index
            .depth_at(middle.x)
            .unwrap_or((middle.y, middle.y));
        let (mut near, mut far) = (
            0.0,
            if up > 0.0 {
                high - middle.y
            } else {
                middle.y - low
            },
        );
        while far - near > CLOSE_MM {
            let at = f64::midpoint(near, far);
            if self.gap(middle + Vec2::new(0.0, up * at)) >= self.rim_mm {
                near = at;
            } else {
                far = at;
            }
        }
        near
    }

    fn window(&self, from: f64, to: f64) -> Option<Outline> {
        let round = (ROUNDED_SHARE * self.rim_mm).min((to - from) / 2.0);
        // Rising places: the rear corner, the long side, the front corner.
        let mut along: Vec<f64> = Vec::new();
        let quarter = std::f64::consts::FRAC_PI_2 / f64::from(CORNER_SAMPLES);
        for i in 1..=CORNER_SAMPLES {
            along.push(from + round * (1.0 - (quarter * f64::from(i)).cos()));
        }
        let straight = to - from - 2.0 * round;
        for i in 1..SAMPLES {
            along.push(from + round + straight * f64::from(i) / f64::from(SAMPLES));
        }
        for i in (1..=CORNER_SAMPLES).rev() {
            along.push(to - round * (1.0 - (quarter * f64::from(i)).cos()));
        }
        let side = |up: f64| -> Option<Vec<Point>> {
            along
                .iter()
                .map(|x| {
                    let middle = self.middle(*x)?;
                    let s = (x - from).min(to - x).min(round);
                    let off = round - (round * round - (round - s).powi(2)).max(0.0).sqrt();
                    let room = self.room(middle, up) - off;
                    (room > 0.0).then(|| middle + Vec2::new(0.0, up * room))
                })
                .collect()
        };
        // Counterclockwise: the lower side forward, the upper side back.
        let mut points = side(-1.0)?;
        points.extend(side(1.0)?.into_iter().rev());
        Some(smooth(&points))
    }
}

/// A smooth closed curve through points: at each the tangent runs along the chord of its neighbors (Catmull and Rom, 1974).
pub(in crate::knife) fn smooth(points: &[Point]) -> Outline {
    let n = points.len();
    let at = |i: usize| points.get(i % n).copied().unwrap_or_default();
    let nodes = (0..n)
        .map(|i| {
            let (before, here, after) = (at(i + n - 1), at(i), at(i + 1));
            let along = (after - before).normalize();
            Node {
                id: 0,
                at: here,
                handle_in: Some(-along * (here.distance(before) / 3.0)),
                handle_out: Some(along * (after.distance(here) / 3.0)),
                joint: Joint::Smooth,
            }
        })
        .collect();
    Outline { nodes }
}
