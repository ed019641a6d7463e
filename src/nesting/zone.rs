//! Where one shape may not stand, seen from another: the no-fit region as a union of convex zones.
//!
//! Two shapes overlap exactly when the place of one, seen from the other, lies inside one of the zones (R. C. Art, "An approach to the two
//! dimensional irregular cutting stock problem", IBM 1966; for sums of convex parts see P. K. Agarwal, E. Flato and D. Halperin,
//! "Polygon decomposition for efficient construction of Minkowski sums", Computational Geometry 21 (2002)). The union is never formed: a level or
//! upright line through the zones is all that is ever asked for.

use crate::geometry::{Point, Rect};

/// Shapes that reach into one another by no more than this touch, mm: above the rounding of coordinates of some meters, far below what
/// could make 1e-6 mm² of overlap along any edge of a knife.
pub(super) const TOUCH_MM: f64 = 1e-10;

/// Coordinates that differ by no more are the same but for rounding, mm.
const ROUNDING_MM: f64 = 1e-11;

/// Which way a line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// Along x, at a given y.
    Level,
    /// Along y, at a given x.
    Upright,
}

impl Way {
    /// The coordinate along the line.
    pub(super) fn along(self, p: Point) -> f64 {
        match self {
            Self::Level => p.x,
            Self::Upright => p.y,
        }
    }

    /// The coordinate that is the same all along the line.
    pub(super) fn across(self, p: Point) -> f64 {
        match self {
            Self::Level => p.y,
            Self::Upright => p.x,
        }
    }

    /// The point of a line at `across` with the coordinate `along` on it.
    pub(super) fn point(self, along: f64, across: f64) -> Point {
        match self {
            Self::Level => Point::new(along, across),
            Self::Upright => Point::new(across, along),
        }
    }
}

/// One side of a convex polygon as a function: pairs (across, along), ascending in the first.
type Side = Vec<(f64, f64)>;

/// A convex polygon, ready to be cut by level and upright lines.
#[derive(Clone, Debug)]
struct Zone {
    bounds: Rect,
    /// Left and right side, by height.
    level: (Side, Side),
    /// Lower and upper side, by x.
    upright: (Side, Side),
}

impl Zone {
    /// `corners` counterclockwise and convex.
    fn new(corners: &[Point]) -> Option<Self> {
        let first = *corners.first()?;
        let bounds = corners
            .iter()
            .fold(Rect::from_points(first, first), |all, p| all.union_pt(*p));
        Some(Self {
            bounds,
            level: (
                side(corners, Way::Level, false),
                side(corners, Way::Level, true),
            ),
            upright: (
                side(corners, Way::Upright, true),
                side(corners, Way::Upright, false),
            ),
        })
    }

    /// What a line cuts out of the inside, if anything.
    fn cut(&self, way: Way, across: f64) -> Option<(f64, f64)> {
        let sides = match way {
            Way::Level => &self.level,
            Way::Upright => &self.upright,
        };
        let (low, high) = across_range(&self.bounds, way);
        if across <= low + TOUCH_MM || across >= high - TOUCH_MM {
            return None;
        }
        let cut = (height(&sides.0, across)?, height(&sides.1, across)?);
        (cut.1 - cut.0 > 2.0 * TOUCH_MM).then_some(cut)
    }
}

fn across_range(bounds: &Rect, way: Way) -> (f64, f64) {
    match way {
        Way::Level => (bounds.y0, bounds.y1),
        Way::Upright => (bounds.x0, bounds.x1),
    }
}

fn along_range(bounds: &Rect, way: Way) -> (f64, f64) {
    match way {
        Way::Level => (bounds.x0, bounds.x1),
        Way::Upright => (bounds.y0, bounds.y1),
    }
}

/// One side from the least to the greatest `across`: the one that runs counterclockwise from least to greatest when `forward`, else the other.
fn side(corners: &[Point], way: Way, forward: bool) -> Side {
    let n = corners.len();
    // Of several lowest corners the side begins with the one furthest out.
    let right = matches!(way, Way::Level) == forward;
    let outer = |p: &Point| {
        if right { -way.along(*p) } else { way.along(*p) }
    };
    let start = corners
        .iter()
        .enumerate()
        .min_by(|a, b| {
            way.across(*a.1)
                .total_cmp(&way.across(*b.1))
                .then(outer(a.1).total_cmp(&outer(b.1)))
        })
        .map_or(0, |(i, _)| i);
    let mut side: Side = Vec::new();
    for step in 0..n {
        let k = if forward {
            start + step
        } else {
            start + n - step
        };
        let Some(p) = corners.get(k % n) else {
            break;
        };
        let (key, value) = (way.across(*p), way.along(*p));
        match side.last_mut() {
            // An edge square to the way, but for rounding: its outer end counts.
            Some(last) if (key - last.0).abs() <= ROUNDING_MM => {
                if outer(p) < if right { -last.1 } else { last.1 } {
                    last.1 = value;
                }
            }
            // Past the far end the other side comes back.
            Some(last) if key < last.0 => break,
            _ => side.push((key, value)),
        }
    }
    side
}

/// The place of a side at `across`.
fn height(side: &Side, across: f64) -> Option<f64> {
    let after = side.partition_point(|(key, _)| *key <= across).max(1);
    let (k0, v0) = *side.get(after - 1)?;
    let Some((k1, v1)) = side.get(after) else {
        return Some(v0);
    };
    Some(v0 + (v1 - v0) * ((across - k0) / (k1 - k0)))
}

/// The no-fit region of two shapes.
#[derive(Clone, Debug)]
pub(super) struct NoFit {
    /// Box around all zones.
    pub bounds: Rect,
    zones: Vec<Zone>,
}

impl NoFit {
    /// From convex, counterclockwise zones; `None` if there are none.
    pub(super) fn new<'a>(zones: impl IntoIterator<Item = &'a [Point]>) -> Option<Self> {
        let zones: Vec<Zone> = zones.into_iter().filter_map(Zone::new).collect();
        let bounds = zones
            .iter()
            .map(|zone| zone.bounds)
            .reduce(|a, b| a.union(b))?;
        Some(Self { bounds, zones })
    }

    /// How much memory it takes, roughly, in corners.
    pub(super) fn size(&self) -> usize {
        self.zones
            .iter()
            .map(|zone| zone.level.0.len() + zone.level.1.len())
            .sum()
    }

    /// Whether the line comes near it at all.
    pub(super) fn meets(&self, way: Way, across: f64) -> bool {
        let (low, high) = across_range(&self.bounds, way);
        low + TOUCH_MM < across && across < high - TOUCH_MM
    }

    /// Box along the line.
    pub(super) fn reach(&self, way: Way) -> (f64, f64) {
        along_range(&self.bounds, way)
    }

    /// The stretches of a line that lie inside, apart from one another and ascending, in place of what is in `cuts`.
    pub(super) fn cuts(&self, way: Way, across: f64, cuts: &mut Vec<(f64, f64)>) {
        cuts.clear();
        cuts.extend(self.zones.iter().filter_map(|zone| zone.cut(way, across)));
        if cuts.len() < 2 {
            return;
        }
        cuts.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut kept = 0;
        for i in 1..cuts.len() {
            let (Some(next), Some(last)) = (cuts.get(i).copied(), cuts.get_mut(kept)) else {
                break;
            };
            // Stretches that only touch leave room for a shape that fits to a hair.
            if next.0 < last.1 - TOUCH_MM {
                last.1 = last.1.max(next.1);
            } else {
                kept += 1;
                if let Some(place) = cuts.get_mut(kept) {
                    *place = next;
                }
            }
        }
        cuts.truncate(kept + 1);
    }

    /// How far a shape at `at` has to go to be free, along x or y, whichever is less; zero when it is free.
    pub(super) fn depth(&self, at: Point, cuts: &mut Vec<(f64, f64)>) -> f64 {
        let b = &self.bounds;
        if at.x <= b.x0 || at.x >= b.x1 || at.y <= b.y0 || at.y >= b.y1 {
            return 0.0;
        }
        let inside = self.zones.iter().any(|zone| {
            let b = &zone.bounds;
            at.x > b.x0
                && at.x < b.x1
                && at.y > b.y0
                && at.y < b.y1
                && zone
                    .cut(Way::Level, at.y)
                    .is_some_and(|cut| cut.0 + TOUCH_MM < at.x && at.x < cut.1 - TOUCH_MM)
        });
        if !inside {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        for way in [Way::Level, Way::Upright] {
            self.cuts(way, way.across(at), cuts);
            let along = way.along(at);
            let out = cuts
                .iter()
                .find(|cut| cut.0 <= along && along <= cut.1)
                .map_or(0.0, |cut| (along - cut.0).min(cut.1 - along));
            least = least.min(out);
        }
        if least > TOUCH_MM { least } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|c| Point::from(*c)).collect()
    }

    #[test]
    fn depth_is_the_shorter_way_out() {
        let square = zone(&[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]);
        let region = NoFit::new([square.as_slice()]).expect("one zone");
        let mut cuts = Vec::new();
        for (at, depth) in [
            ((5.0, 2.0), 2.0),
            ((1.0, 3.0), 1.0),
            ((9.5, 5.0), 0.5),
            ((0.0, 3.0), 0.0),
            ((5.0, 6.0), 0.0),
            ((11.0, 3.0), 0.0),
        ] {
            assert_eq!(region.depth(Point::from(at), &mut cuts), depth, "{at:?}");
        }
    }

    #[test]
    fn zones_that_overlap_are_one_and_zones_that_touch_leave_room() {
        let at = |x: f64| zone(&[(x, 0.0), (x + 10.0, 0.0), (x + 10.0, 6.0), (x, 6.0)]);
        let (a, b, c) = (at(0.0), at(8.0), at(18.0));
        let region = NoFit::new([c.as_slice(), &a, &b]).expect("three zones");
        let mut cuts = Vec::new();
        region.cuts(Way::Level, 3.0, &mut cuts);
        assert_eq!(cuts, [(0.0, 18.0), (18.0, 28.0)]);
        assert_eq!(region.depth(Point::new(18.0, 3.0), &mut cuts), 0.0);
        region.cuts(Way::Upright, 9.0, &mut cuts);
        assert_eq!(cuts, [(0.0, 6.0)]);
    }

    #[test]
    fn sides_upright_but_for_rounding_are_kept_whole() {
        // A trapezoid and a triangle turned by a half turn in floating point; their left ends once got lost, and with them an overlap.
        let corners = zone(&[
            (-2.000_000_000_000_001_8, -9.0),
            (12.0, -1.776_356_839_400_250_5e-15),
            (12.000_000_000_000_002, 8.999_999_999_999_998),
            (-1.999_999_999_999_998_2, 9.0),
            (-12.0, 5.000_000_000_000_002),
            (-12.0, -3.999_999_999_999_998_2),
            (-12.000_000_000_000_002, -8.999_999_999_999_998),
        ]);
        let region = NoFit::new([corners.as_slice()]).expect("one zone");
        let depth = region.depth(Point::new(-9.758_159_209_020_39, 0.0), &mut Vec::new());
        assert!((depth - 2.241_840_790_979_61).abs() < 1e-9, "{depth}");
    }
}
