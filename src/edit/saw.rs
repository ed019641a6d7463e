//! Sawing a knife off along a line or a curve: what carries the tip stays, and a new tang may be made from what is left behind the shoulder.
//!
//! 1. The line is taken on straight past both its ends, so that it need not be drawn quite across.
//! 2. Where it crosses the outline the outline is split. Of two neighboring crossings with steel between them, the first pair that parts the
//!    tip from the butt is the cut.
//! 3. The outline is closed along the line. Landmarks that went are seated on the cut; openings, holes of rows and flaws behind it go.

use super::EditError;
use super::moving::shoulder_line;
use super::saw_path::{SAME_CROSSING_MM, SawPath, Step};
use crate::geometry::{Contour, Point};
use crate::knife::{
    CutOut, Fixing, Glue, Handle, HandlePart, HandleStation, Id, Joint, Knife, LandmarkKind, Node,
    Outline, PartKind, Row, Tang, TangHole, ThicknessStation, fit_tang,
};

/// How far a new tang may stand out of the steel that is left, mm: rounding of its corners.
const WITHIN_MM: f64 = 1e-3;

/// Thickness of a handle made round a sawn tang, mm; common practice, no source.
const USUAL_HANDLE_MM: f64 = 20.0;
/// Its rounding.
const USUAL_ROUNDING: f64 = 2.5;
/// Glue around the tang, mm.
const USUAL_GAP_MM: f64 = 0.3;

/// What is made of the steel behind the blade after it was sawn.
#[derive(Clone, Debug, PartialEq)]
pub enum AfterSaw {
    /// Nothing: the stump stays as it is sawn.
    Stump,
    /// A new shoulder, and a tang behind it out of the steel that is left.
    NewTang {
        /// Where the new shoulder line is, mm from the old one.
        shoulder_x_mm: f64,
        /// The tang.
        tang: Tang,
    },
    /// The stump stays, and a handle as large as what was there wraps round it.
    WrapHandle {
        /// Key of the handle's material.
        material: String,
        /// Key of the glue's material.
        glue: String,
    },
}

/// Saws the knife off along a line of at least two points, or along a curve from its first point through the bow to its last.
pub(super) fn saw(
    knife: &mut Knife,
    line: &[Point],
    bow: Option<Point>,
    after: &AfterSaw,
) -> Result<(), EditError> {
    let grip = handle_shape(knife);
    cut(knife, &SawPath::new(line, bow)?)?;
    drop_lost(knife);
    match after {
        AfterSaw::Stump => {}
        AfterSaw::NewTang {
            shoulder_x_mm,
            tang,
        } => {
            seat_shoulders_at(knife, *shoulder_x_mm)?;
            shoulder_line(knife, *shoulder_x_mm)?;
            let left = knife.outline.contour();
            fit_tang(knife, *tang)?;
            if !lies_within(&knife.outline.contour(), &left) {
                return Err(EditError::NoSteel);
            }
        }
        AfterSaw::WrapHandle { material, glue } => {
            let outline = grip.ok_or(EditError::NoCut)?;
            wrap(knife, outline, material, glue);
        }
    }
    Ok(())
}

/// The openings that a cut along this line, or this curve, would take with the lost part, by name, and the flaws, by id.
///
/// # Errors
/// As sawing itself.
pub fn lost_by_sawing(
    knife: &Knife,
    line: &[Point],
    bow: Option<Point>,
) -> Result<(Vec<String>, Vec<Id>), EditError> {
    let mut sawn = knife.clone();
    cut(&mut sawn, &SawPath::new(line, bow)?)?;
    let steel = sawn.contour().index();
    let kept = |cut: &CutOut| steel.contains(cut.shape.center());
    let openings = knife
        .all_cut_outs(&knife.contour().index())
        .into_iter()
        .filter(|(_, cut)| !kept(cut))
        .map(|(name, _)| name);
    let flaws = knife
        .flaws
        .iter()
        .filter(|flaw| !flaw.line.iter().any(|at| steel.contains(*at)))
        .map(|flaw| flaw.id);
    Ok((openings.collect(), flaws.collect()))
}

fn cut(knife: &mut Knife, path: &SawPath) -> Result<(), EditError> {
    let contour = knife.outline.contour();
    let steel = contour.index();
    let tip = knife.landmark_point(LandmarkKind::Tip);
    let tip = tip.ok_or(EditError::NoCut)?;
    let butt = knife
        .landmark_point(LandmarkKind::Butt)
        .unwrap_or_else(|| Point::new(contour.bounds().x0, 0.0));
    let found = path.crossings(&steel);
    for pair in found.windows(2) {
        let [a, b] = pair else { continue };
        let inside = path
            .chords(*a, *b)
            .windows(2)
            .all(|p| matches!(p, [p, q] if steel.contains(p.midpoint(*q)) || p.distance(*q) < SAME_CROSSING_MM));
        if inside && let Some(kept) = parted(knife, &path.steps(*a, *b), tip, butt) {
            *knife = kept;
            return Ok(());
        }
    }
    Err(EditError::NoCut)
}

/// The knife cut along a chord from outline to outline, the tip's part kept; `None` when tip and butt stay together.
fn parted(knife: &Knife, chord: &[Step], tip: Point, butt: Point) -> Option<Knife> {
    let mut sawn = knife.clone();
    let (start, end) = (*chord.first()?, *chord.last()?);
    let (first, last) = (start.at, end.at);
    let marks: Vec<(LandmarkKind, Option<Point>)> = knife
        .landmarks
        .iter()
        .map(|l| (l.kind, knife.outline.point_at(l.spot)))
        .collect();
    let a = sawn.split_outline(sawn.outline.nearest_spot(first)?)?;
    let b = sawn.split_outline(sawn.outline.nearest_spot(last)?)?;
    // From a forward to b, and from b forward to a: one of the two holds the tip.
    let from_to = |from: Id, to: Id| -> Option<Vec<Node>> {
        let mut nodes = sawn.outline.nodes.clone();
        let start = nodes.iter().position(|n| n.id == from)?;
        nodes.rotate_left(start);
        let end = nodes.iter().position(|n| n.id == to)?;
        nodes.truncate(end + 1);
        Some(nodes)
    };
    let inner: Vec<Step> = chord.get(1..chord.len() - 1)?.to_vec();
    for (from, to, back) in [(a, b, true), (b, a, false)] {
        let mut nodes = from_to(from, to)?;
        if nodes.len() < 2 {
            continue;
        }
        // The cut is run from the last node to the first: back along the way, or forward.
        let (from_step, to_step) = if back { (end, start) } else { (start, end) };
        if let Some(node) = nodes.first_mut() {
            (node.handle_in, node.joint) = (to_step.onward(!back), Joint::Corner);
        }
        if let Some(node) = nodes.last_mut() {
            (node.handle_out, node.joint) = (from_step.onward(back), Joint::Corner);
        }
        let mut corners = inner.clone();
        if back {
            corners.reverse();
        }
        let mut next_id = sawn.next_id;
        for step in corners {
            nodes.push(step.node(next_id, back));
            next_id = next_id.saturating_add(1);
        }
        let outline = Outline { nodes };
        let kept = outline.contour();
        let near = |p: Point| {
            kept.nearest(p)
                .is_some_and(|n| n.distance <= SAME_CROSSING_MM)
        };
        if near(tip) && !near(butt) && outline.nodes.len() >= 3 {
            let mut new = Knife {
                outline,
                next_id,
                ..sawn.clone()
            };
            seat_landmarks(&mut new, &marks, (first, last));
            return Some(new);
        }
    }
    None
}

/// Seats the landmarks that are still on the outline where they were, the butt in the middle of the cut, and shoulders that went at its ends.
fn seat_landmarks(
    knife: &mut Knife,
    marks: &[(LandmarkKind, Option<Point>)],
    (first, last): (Point, Point),
) {
    let contour = knife.outline.contour();
    let on_it = |at: Point| {
        contour
            .nearest(at)
            .is_some_and(|n| n.distance <= SAME_CROSSING_MM)
    };
    let (low, high) = if first.y > last.y {
        (last, first)
    } else {
        (first, last)
    };
    // On a cut that bows the middle lies beside the straight line; the outline's nearest place counts.
    let (low, high, middle) = (Some(low), Some(high), Some(low.midpoint(high)));
    let places: Vec<(LandmarkKind, Option<Point>)> = marks
        .iter()
        .map(|(kind, at)| {
            let place = match (kind, at) {
                (LandmarkKind::Butt, _) => middle,
                (_, Some(at)) if on_it(*at) => Some(*at),
                (LandmarkKind::UpperShoulder, _) => high,
                (LandmarkKind::LowerShoulder, _) => low,
                (_, at) => *at,
            };
            (*kind, place)
        })
        .collect();
    knife.seat_landmarks(&places);
}

/// Takes out what lay in the lost part. Rows that lose holes are broken up first.
fn drop_lost(knife: &mut Knife) {
    let steel = knife.contour().index();
    let kept = |cut: &CutOut| steel.contains(cut.shape.center());
    let rows: Vec<Row> = std::mem::take(&mut knife.rows);
    for row in rows {
        let holes = row.cut_outs(&steel);
        if holes.iter().all(kept) && holes.len() as u64 == u64::from(row.count) {
            knife.rows.push(row);
            continue;
        }
        for mut hole in holes.into_iter().filter(kept) {
            hole.id = knife.take_id();
            knife.cut_outs.push(hole);
        }
    }
    knife.cut_outs.retain(kept);
    knife
        .flaws
        .retain(|flaw| flaw.line.iter().any(|at| steel.contains(*at)));
    let butt = ThicknessStation {
        x_mm: steel.bounds().x0,
        thickness_mm: knife.thickness_at(steel.bounds().x0),
    };
    if let Some(taper) = &mut knife.grinding.taper {
        taper.stations.retain(|station| station.x_mm > butt.x_mm);
        taper.stations.insert(0, butt);
    }
}

/// Puts both shoulder landmarks on the outline at a place along the knife.
fn seat_shoulders_at(knife: &mut Knife, x_mm: f64) -> Result<(), EditError> {
    let at = knife.contour().index().depth_at(x_mm);
    let (low, high) = at.ok_or(EditError::NoSteel)?;
    knife.seat_landmarks(&[
        (LandmarkKind::LowerShoulder, Some(Point::new(x_mm, low))),
        (LandmarkKind::UpperShoulder, Some(Point::new(x_mm, high))),
    ]);
    Ok(())
}

/// Whether one outline lies in another, edges shared.
fn lies_within(inner: &Contour, outer: &Contour) -> bool {
    let index = outer.index();
    inner
        .flattened(WITHIN_MM)
        .iter()
        .all(|p| index.contains(*p) || outer.nearest(*p).is_some_and(|n| n.distance <= WITHIN_MM))
}

/// The outline of what the hand held: everything behind the shoulder line, closed along it.
fn handle_shape(knife: &Knife) -> Option<Outline> {
    if let Some(own) = knife.handle.as_ref().and_then(|h| h.outline.clone()) {
        return Some(own);
    }
    let lower = knife.landmark(LandmarkKind::LowerShoulder)?;
    let mut whole = knife.clone();
    let lower = whole.split_outline(lower)?;
    let upper = whole.landmark(LandmarkKind::UpperShoulder)?;
    let upper = whole.split_outline(upper)?;
    let mut nodes = whole.outline.nodes;
    let start = nodes.iter().position(|n| n.id == upper)?;
    nodes.rotate_left(start);
    let end = nodes.iter().position(|n| n.id == lower)?;
    nodes.truncate(end + 1);
    if let Some(node) = nodes.first_mut() {
        (node.handle_in, node.joint) = (None, Joint::Corner);
    }
    if let Some(node) = nodes.last_mut() {
        (node.handle_out, node.joint) = (None, Joint::Corner);
    }
    (nodes.len() >= 3).then_some(Outline { nodes })
}

/// Puts a handle of the old shape round the stump.
fn wrap(knife: &mut Knife, mut outline: Outline, material: &str, glue: &str) {
    for node in &mut outline.nodes {
        node.id = knife.take_id();
    }
    let id = knife.take_id();
    let bounds = outline.contour().bounds();
    let thick = knife.handle.as_ref().map_or(USUAL_HANDLE_MM, |handle| {
        handle.thickness_at(bounds.center().x)
    });
    knife.handle = Some(Handle {
        fixing: Fixing::Block {
            hole: TangHole::BurntIn,
        },
        outline: Some(outline),
        stations: vec![HandleStation {
            x_mm: bounds.center().x,
            thickness_mm: thick,
        }],
        rounding: knife.handle.as_ref().map_or(USUAL_ROUNDING, |h| h.rounding),
        parts: vec![HandlePart {
            id,
            kind: PartKind::Grip,
            material: material.to_owned(),
            from_x_mm: bounds.x1.min(0.0),
        }],
        glue: Some(Glue {
            material: glue.to_owned(),
            gap_mm: USUAL_GAP_MM,
        }),
    });
}
