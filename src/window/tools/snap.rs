//! Snaps: what a moved point catches, nearest first: nodes and centers, equal spacing, the tang's middle line, level and straight
//! above, and last the grid.

use crate::edit::Thing;
use crate::geometry::Point;
use crate::knife::CutShape;
use crate::units::LengthUnit;

use crate::window::results::KnifeResults;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// How far a snap reaches, screen points.
const SNAP_PX: f32 = 7.0;

/// Most neighbors that equal spacing is looked for between.
const MOST_NEIGHBORS: usize = 40;

/// Where a moved point ended up, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapped {
    /// The place.
    pub at: Point,
    /// What it caught, in words; `None` for a free place or the grid.
    pub why: Option<&'static str>,
    /// Lines to draw from it to what it caught.
    pub guides: Vec<Point>,
}

impl Snapped {
    /// A place that caught nothing.
    pub(in crate::window) fn free(at: Point) -> Self {
        Self {
            at,
            why: None,
            guides: Vec::new(),
        }
    }

    fn caught(at: Point, why: &'static str, guides: Vec<Point>) -> Self {
        Self {
            at,
            why: Some(why),
            guides,
        }
    }
}

/// Snaps a wanted place. Things that are being moved catch nothing of themselves; `free` (the Alt key) switches all snaps off.
pub(in crate::window) fn snap(
    shown: &Shown<'_>,
    session: &Session,
    wanted: Point,
    moved: &[Thing],
    free: bool,
) -> Snapped {
    let Some((knife, results)) = shown.knife(session.knife) else {
        return Snapped::free(wanted);
    };
    if free {
        return Snapped::free(wanted);
    }
    let snaps = session.preferences.snaps;
    let reach = session.view().mm(SNAP_PX);
    let marks = marks(results, moved);
    if snaps.nodes
        && let Some(mark) = nearest(&marks, wanted, reach)
    {
        return Snapped::caught(mark, "on a node or center", Vec::new());
    }
    if snaps.spacing
        && let Some(found) = equal_spacing(knife, moved, wanted, reach)
    {
        return found;
    }
    if snaps.middle_line && wanted.x < 0.0 {
        let x = if snaps.grid {
            grid(wanted.x, session)
        } else {
            wanted.x
        };
        let middle = results
            .steel
            .depth_at(x)
            .map(|(low, high)| f64::midpoint(low, high));
        if let Some(y) = middle.filter(|y| (y - wanted.y).abs() <= reach) {
            return Snapped::caught(Point::new(x, y), "on the tang's middle line", Vec::new());
        }
    }
    let mut at = wanted;
    let mut guides = Vec::new();
    if snaps.level {
        let by_x = marks
            .iter()
            .filter(|m| (m.x - wanted.x).abs() <= reach)
            .min_by(|a, b| (a.x - wanted.x).abs().total_cmp(&(b.x - wanted.x).abs()));
        let by_y = marks
            .iter()
            .filter(|m| (m.y - wanted.y).abs() <= reach)
            .min_by(|a, b| (a.y - wanted.y).abs().total_cmp(&(b.y - wanted.y).abs()));
        if let Some(mark) = by_x {
            at.x = mark.x;
            guides.push(*mark);
        }
        if let Some(mark) = by_y {
            at.y = mark.y;
            guides.push(*mark);
        }
    }
    let held = (at.x != wanted.x, at.y != wanted.y);
    if snaps.grid {
        if !held.0 {
            at.x = grid(at.x, session);
        }
        if !held.1 {
            at.y = grid(at.y, session);
        }
    }
    let why = match held {
        (true, true) => Some("level and straight above"),
        (true, false) => Some("straight above or below"),
        (false, true) => Some("level"),
        (false, false) => None,
    };
    Snapped { at, why, guides }
}

/// The nearest step of the grid: fine enough to be seen at the present scale, never finer than a tenth of a millimeter.
fn grid(value: f64, session: &Session) -> f64 {
    let least = session.view().mm(4.0);
    let steps: &[f64] = match session.preferences.length_unit {
        LengthUnit::Mm => &[0.1, 0.5, 1.0, 5.0, 10.0],
        LengthUnit::DecimalInch => &[0.254, 1.27, 2.54, 12.7, 25.4],
        LengthUnit::FractionInch => &[
            25.4 / 64.0,
            25.4 / 32.0,
            25.4 / 16.0,
            25.4 / 8.0,
            25.4 / 4.0,
        ],
    };
    let step = steps.iter().copied().find(|s| *s >= least).unwrap_or(10.0);
    (value / step).round() * step
}

/// Points that can be caught: nodes and centers of all that is not moved.
fn marks(results: &KnifeResults, moved: &[Thing]) -> Vec<Point> {
    let knife = &results.knife;
    let nodes = knife
        .outline
        .nodes
        .iter()
        .filter(|n| {
            !moved.iter().any(|t| match t {
                Thing::Node(id) | Thing::Handle { node: id, .. } => *id == n.id,
                _ => false,
            })
        })
        .map(|n| n.at);
    let centers = results
        .cut_outs
        .iter()
        .filter(|c| {
            !moved.iter().any(|t| match t {
                Thing::CutOut(id) | Thing::Row(id) | Thing::RowEnd { row: id, .. } => {
                    *id == c.cut_out.id
                }
                _ => false,
            })
        })
        .map(|c| c.cut_out.shape.center());
    nodes.chain(centers).collect()
}

fn nearest(marks: &[Point], wanted: Point, reach: f64) -> Option<Point> {
    marks
        .iter()
        .copied()
        .filter(|m| m.distance(wanted) <= reach)
        .min_by(|a, b| a.distance(wanted).total_cmp(&b.distance(wanted)))
}

/// A place that continues the distance of two neighbors, or halves it.
fn equal_spacing(
    knife: &crate::knife::Knife,
    moved: &[Thing],
    wanted: Point,
    reach: f64,
) -> Option<Snapped> {
    if !matches!(moved, [] | [Thing::CutOut(_)]) {
        return None;
    }
    let mut centers: Vec<Point> = knife
        .cut_outs
        .iter()
        .filter(|c| !moved.contains(&Thing::CutOut(c.id)))
        .filter(|c| !matches!(c.shape, CutShape::Free { .. }))
        .map(|c| c.shape.center())
        .collect();
    centers.sort_by(|a, b| a.distance(wanted).total_cmp(&b.distance(wanted)));
    centers.truncate(MOST_NEIGHBORS);
    centers.sort_by(|a, b| a.x.total_cmp(&b.x));
    let mut best: Option<(f64, Snapped)> = None;
    for pair in centers.windows(2) {
        let [a, b] = pair else { continue };
        let step = *b - *a;
        for at in [*b + step, *a - step, a.midpoint(*b)] {
            let off = at.distance(wanted);
            if off <= reach && best.as_ref().is_none_or(|(least, _)| off < *least) {
                let found = Snapped::caught(at, "same distance as its neighbors", vec![*a, *b]);
                best = Some((off, found));
            }
        }
    }
    best.map(|(_, found)| found)
}
