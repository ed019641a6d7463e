//! Moving things: one to a place, several by a step, the whole knife under its shoulder line.

use std::collections::BTreeSet;

use super::apply::on_bench;
use super::{EditError, Thing, thing_point};
use crate::geometry::{Motion, Point, Vec2};
use crate::knife::{CutShape, Handle, Id, Knife, LandmarkKind, RowPath, SMALLEST_MM};

/// The thing that takes this one with it when both are moved or removed.
fn carrier(thing: Thing) -> Option<Thing> {
    match thing {
        Thing::Handle { node, .. } => Some(Thing::Node(node)),
        Thing::CutOutNode { cut_out, .. } => Some(Thing::CutOut(cut_out)),
        Thing::RowEnd { row, .. } => Some(Thing::Row(row)),
        Thing::Node(_)
        | Thing::Landmark(_)
        | Thing::CutOut(_)
        | Thing::Row(_)
        | Thing::TaperStation(_)
        | Thing::FullerNode { .. }
        | Thing::Name => None,
    }
}

/// The things, each once, without those that another of them takes along.
pub(super) fn loose(things: &[Thing]) -> BTreeSet<Thing> {
    let all: BTreeSet<Thing> = things.iter().copied().collect();
    let carried = |thing: &Thing| carrier(*thing).is_some_and(|c| all.contains(&c));
    all.iter().filter(|t| !carried(t)).copied().collect()
}

/// An error that names what is not there.
pub(super) fn gone(thing: Thing) -> EditError {
    let what = match thing {
        Thing::Node(_) | Thing::CutOutNode { .. } | Thing::FullerNode { .. } => "node",
        Thing::Handle { .. } => "handle",
        Thing::Landmark(_) => "landmark",
        Thing::CutOut(_) => "cut-out",
        Thing::Row(_) | Thing::RowEnd { .. } => "row",
        Thing::TaperStation(_) => "station of the taper",
        Thing::Name => "engraved name",
    };
    EditError::Gone { what }
}

/// Moves things by one step, each once.
///
/// Nodes and cut-outs, of which hundreds may be picked, go first and in one pass; handles and landmarks follow from where they were before
/// anything moved, so that the order of picking makes no difference.
pub(super) fn shift(knife: &mut Knife, things: &[Thing], by: Vec2) -> Result<(), EditError> {
    on_bench(&[by.x, by.y])?;
    let mut left = loose(things);
    let many = |thing: &Thing| matches!(thing, Thing::Node(_) | Thing::CutOut(_));
    let mut few = Vec::new();
    for thing in left.iter().filter(|t| !many(t)) {
        let from = thing_point(knife, *thing).ok_or(gone(*thing))?;
        few.push((*thing, from));
    }
    left.retain(many);
    for node in &mut knife.outline.nodes {
        if left.remove(&Thing::Node(node.id)) {
            node.at += by;
        }
    }
    for cut in &mut knife.cut_outs {
        if left.remove(&Thing::CutOut(cut.id)) {
            cut.shape = cut.shape.shifted(by);
        }
    }
    if let Some(thing) = left.first() {
        return Err(gone(*thing));
    }
    for (thing, from) in few {
        put(knife, thing, from + by, by)?;
    }
    Ok(())
}

/// Puts one thing at a place.
pub(super) fn place(knife: &mut Knife, thing: Thing, at: Point) -> Result<(), EditError> {
    on_bench(&[at.x, at.y])?;
    let from = thing_point(knife, thing).ok_or(gone(thing))?;
    if let Thing::TaperStation(i) = thing {
        let at = Point::new(between_neighbors(knife, i, at.x), from.y);
        return put(knife, thing, at, at - from);
    }
    put(knife, thing, at, at - from)
}

/// A place for a station of the taper between its neighbors, so that a dragged one stops before it reaches them.
fn between_neighbors(knife: &Knife, i: usize, x: f64) -> f64 {
    let stations = knife.grinding.taper.iter().flat_map(|t| &t.stations);
    let places: Vec<f64> = stations.map(|s| s.x_mm).collect();
    let before = i.checked_sub(1).and_then(|i| places.get(i));
    let low = before.map_or(f64::NEG_INFINITY, |x| x + SMALLEST_MM);
    let high = places.get(i + 1).map_or(f64::INFINITY, |x| x - SMALLEST_MM);
    // Neighbors too near to leave any room between them: it stays midway.
    if low <= high {
        x.clamp(low, high)
    } else {
        f64::midpoint(low, high)
    }
}

/// Brings a thing to `at`, which is `by` from where it was.
fn put(knife: &mut Knife, thing: Thing, at: Point, by: Vec2) -> Result<(), EditError> {
    match thing {
        Thing::Node(id) => {
            let node = knife.outline.node_mut(id).ok_or(gone(thing))?;
            node.at = at;
        }
        Thing::Handle { node, outgoing } => {
            let held = knife.outline.node(node).ok_or(gone(thing))?.at;
            knife.outline.set_handle(node, outgoing, Some(at - held));
        }
        Thing::Landmark(kind) => {
            let spot = knife.outline.nearest_spot(at);
            knife.set_landmark(kind, spot.ok_or(gone(thing))?);
        }
        Thing::CutOut(id) => {
            let cut = knife.cut_out_mut(id).ok_or(gone(thing))?;
            cut.shape = cut.shape.shifted(by);
            // To the very place: a step there and back must end where it began.
            if let CutShape::Round { center, .. } | CutShape::Slot { center, .. } = &mut cut.shape {
                *center = at;
            }
        }
        Thing::CutOutNode { cut_out, node } => {
            let cut = knife.cut_out_mut(cut_out);
            let Some(CutShape::Free { outline }) = cut.map(|c| &mut c.shape) else {
                return Err(gone(thing));
            };
            outline.node_mut(node).ok_or(gone(thing))?.at = at;
        }
        Thing::Row(id) => shift_row(knife, id, [by, by])?,
        Thing::RowEnd { row, last } => {
            let steps = if last {
                [Vec2::ZERO, by]
            } else {
                [by, Vec2::ZERO]
            };
            shift_row(knife, row, steps)?;
        }
        Thing::TaperStation(i) => {
            let taper = knife.grinding.taper.as_mut();
            let station = taper.and_then(|t| t.stations.get_mut(i));
            station.ok_or(gone(thing))?.x_mm = at.x;
        }
        Thing::FullerNode { fuller, node } => {
            let fuller = knife.grinding.fullers.iter_mut().find(|f| f.id == fuller);
            let node = fuller.and_then(|f| f.path.node_mut(node));
            node.ok_or(gone(thing))?.at = at;
        }
        Thing::Name => {
            let name = knife.engraving.as_mut().ok_or(gone(thing))?;
            name.at = Some(at);
        }
    }
    Ok(())
}

fn shift_row(knife: &mut Knife, id: Id, by: [Vec2; 2]) -> Result<(), EditError> {
    let row = knife.row_mut(id).ok_or(gone(Thing::Row(id)))?;
    shift_path(&mut row.path, by);
    Ok(())
}

/// Shifts the two ends of a row. One that follows the tang keeps to its middle line.
fn shift_path(path: &mut RowPath, by: [Vec2; 2]) {
    match path {
        RowPath::Line { from, to } => {
            *from += by[0];
            *to += by[1];
        }
        RowPath::TangMiddle { from_x, to_x } => {
            *from_x += by[0].x;
            *to_x += by[1].x;
        }
    }
}

/// Moves the shoulder line to `to_x`: the whole knife shifts so that the line lies at `x = 0` again. The shoulders are the ends of
/// the line, so they are seated anew on it, and the tang's length counts from there. The guard sits on the line and stays.
pub(super) fn shoulder_line(knife: &mut Knife, to_x: f64) -> Result<(), EditError> {
    on_bench(&[to_x])?;
    if to_x == 0.0 {
        return Ok(());
    }
    let by = Vec2::new(-to_x, 0.0);
    knife.outline = knife.outline.moved(&Motion::shift(by));
    for cut in &mut knife.cut_outs {
        cut.shape = cut.shape.shifted(by);
    }
    for row in &mut knife.rows {
        shift_path(&mut row.path, [by, by]);
    }
    let taper = knife.grinding.taper.iter_mut();
    for station in taper.flat_map(|t| &mut t.stations) {
        station.x_mm += by.x;
    }
    for fuller in &mut knife.grinding.fullers {
        for node in &mut fuller.path.nodes {
            node.at += by;
        }
    }
    if let Some(handle) = &mut knife.handle {
        shift_handle(handle, by);
    }
    for at in knife.flaws.iter_mut().flat_map(|flaw| &mut flaw.line) {
        *at += by;
    }
    if let Some(at) = knife.engraving.as_mut().and_then(|name| name.at.as_mut()) {
        *at += by;
    }
    if let Some(picture) = &mut knife.picture {
        picture.middle += by;
    }
    seat_shoulders(knife);
    let length_mm = knife.tang.length_mut();
    if *length_mm + to_x >= SMALLEST_MM {
        *length_mm += to_x;
    }
    Ok(())
}

/// Seats the shoulder landmarks where the shoulder line meets the outline; they stay where they are when it meets none.
fn seat_shoulders(knife: &mut Knife) {
    let kinds = [LandmarkKind::LowerShoulder, LandmarkKind::UpperShoulder];
    if kinds.iter().any(|kind| knife.landmark(*kind).is_none()) {
        return;
    }
    if let Some((low, high)) = knife.contour().index().depth_at(0.0) {
        let at = [low, high].map(|y| Some(Point::new(0.0, y)));
        knife.seat_landmarks(&[(kinds[0], at[0]), (kinds[1], at[1])]);
    }
}

/// Moves a handle along the knife, as the shoulder line moves. What would come to begin ahead of the line begins on it; parts that have no length
/// left then go.
fn shift_handle(handle: &mut Handle, by: Vec2) {
    if let Some(outline) = &mut handle.outline {
        for node in &mut outline.nodes {
            node.at += by;
        }
    }
    for station in &mut handle.stations {
        station.x_mm += by.x;
    }
    for part in &mut handle.parts {
        part.from_x_mm = (part.from_x_mm + by.x).min(0.0);
    }
    // Of parts that begin at one place the last has all the length.
    let parts = std::mem::take(&mut handle.parts);
    for part in parts {
        if handle
            .parts
            .last()
            .is_some_and(|p| p.from_x_mm <= part.from_x_mm)
        {
            handle.parts.pop();
        }
        handle.parts.push(part);
    }
}
