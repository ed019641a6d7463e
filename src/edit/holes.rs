//! Several openings, or nodes, put in order: lined up, spaced evenly, stepped off, turned together.

use super::apply::on_bench;
use super::moving::{gone, loose, shift};
use super::{EditError, StepAlong, Thing, is_clamped, thing_point};
use crate::geometry::{Motion, Point, Vec2};
use crate::knife::{CutShape, Knife, RowPath};

/// Most copies stepped off at once.
pub const MOST_COPIES: u32 = 50;

/// The things with the places they are held at, in the order given, each once.
fn held_places(knife: &Knife, things: &[Thing]) -> Result<Vec<(Thing, Point)>, EditError> {
    let once = loose(things);
    let mut left = once.clone();
    let in_order = things.iter().filter(|t| left.remove(t));
    in_order
        .map(|t| Ok((*t, thing_point(knife, *t).ok_or(gone(*t))?)))
        .collect()
}

/// Brings things level with one of them, or straight above and below it: with the first that is clamped, else with the first given.
pub(super) fn line_up(knife: &mut Knife, things: &[Thing], upright: bool) -> Result<(), EditError> {
    let places = held_places(knife, things)?;
    let clamped = places.iter().find(|(t, _)| is_clamped(knife, *t));
    let by = clamped.or(places.first());
    let Some((own, line)) = by.copied().filter(|_| places.len() > 1) else {
        return Err(EditError::TooFew { least: 2 });
    };
    for (thing, at) in places.into_iter().filter(|(t, _)| *t != own) {
        let by = if upright {
            Vec2::new(line.x - at.x, 0.0)
        } else {
            Vec2::new(0.0, line.y - at.y)
        };
        shift(knife, &[thing], by)?;
    }
    Ok(())
}

/// Spaces things evenly between the two that lie farthest apart: their middles, or the steel between them. Across that line each stays as far off it as it is.
pub(super) fn space(knife: &mut Knife, things: &[Thing], webs: bool) -> Result<(), EditError> {
    let mut places = held_places(knife, things)?;
    if places.len() < 3 {
        return Err(EditError::TooFew { least: 3 });
    }
    let mut ends = (Point::ZERO, Point::ZERO);
    for (i, (_, a)) in places.iter().enumerate() {
        for (_, b) in places.iter().skip(i + 1) {
            if a.distance(*b) > ends.0.distance(ends.1) {
                ends = (*a, *b);
            }
        }
    }
    let whole = ends.1 - ends.0;
    if whole.hypot() <= crate::geometry::SAME_POINT_MM {
        return Err(EditError::OneSpot { at: ends.0 });
    }
    let along = whole.normalize();
    let share = |p: Point| (p - ends.0).dot(along);
    places.sort_by(|a, b| share(a.1).total_cmp(&share(b.1)));
    // How far each reaches back and ahead of its middle.
    let reach: Vec<(f64, f64)> = places
        .iter()
        .map(|(t, at)| {
            if webs {
                reach(knife, *t, *at, along)
            } else {
                (0.0, 0.0)
            }
        })
        .collect();
    let gaps = (places.len() - 1) as f64;
    let taken: f64 = reach.iter().map(|(back, ahead)| back + ahead).sum();
    let (first, last) = (
        reach.first().map_or(0.0, |r| r.0),
        reach.last().map_or(0.0, |r| r.1),
    );
    let gap = (whole.hypot() + first + last - taken) / gaps;
    if gap <= 0.0 {
        return Err(EditError::NoGap {
            at: ends.0.midpoint(ends.1),
        });
    }
    let mut edge = -first;
    for ((thing, at), (back, ahead)) in places.into_iter().zip(reach) {
        let by = along * (edge + back - share(at));
        edge += back + ahead + gap;
        if by.hypot() > 1e-12 {
            shift(knife, &[thing], by)?;
        }
    }
    Ok(())
}

/// How far a cut-out reaches behind and ahead of its middle along a direction, mm; other things have no size.
fn reach(knife: &Knife, thing: Thing, at: Point, along: Vec2) -> (f64, f64) {
    let Thing::CutOut(id) = thing else {
        return (0.0, 0.0);
    };
    let Some(cut) = knife.cut_out(id) else {
        return (0.0, 0.0);
    };
    let level = Motion::turn(-along.atan2());
    let bounds = cut.shape.contour().moved(&level).bounds();
    let middle = level.apply(at).x;
    (middle - bounds.x0, bounds.x1 - middle)
}

/// Puts copies of cut-outs and rows behind each other, each a step from the last.
pub(super) fn step_off(
    knife: &mut Knife,
    things: &[Thing],
    along: StepAlong,
    copies: u32,
) -> Result<(), EditError> {
    if !(1..=MOST_COPIES).contains(&copies) {
        return Err(EditError::Copies { copies });
    }
    let step = match along {
        StepAlong::Line { by } => {
            on_bench(&[by.x, by.y])?;
            by.hypot()
        }
        StepAlong::Outline { step_mm } | StepAlong::TangMiddle { step_mm } => {
            on_bench(&[step_mm])?;
            step_mm.abs()
        }
    };
    if step <= crate::geometry::SAME_POINT_MM {
        return Err(EditError::NoStep);
    }
    let places = held_places(knife, things)?;
    if places.is_empty() {
        return Err(EditError::TooFew { least: 1 });
    }
    for (thing, at) in places {
        for k in 1..=copies {
            let there = stepped(knife, at, along, f64::from(k))?;
            copy(knife, thing, at, there)?;
        }
    }
    Ok(())
}

/// The place so many steps on, and how far things turn on the way there.
fn stepped(
    knife: &Knife,
    at: Point,
    along: StepAlong,
    times: f64,
) -> Result<(Point, f64), EditError> {
    match along {
        StepAlong::Line { by } => Ok((at + by * times, 0.0)),
        StepAlong::TangMiddle { step_mm } => {
            let steel = knife.contour().index();
            let middle = |x: f64| {
                let depth = steel.depth_at(x);
                let y = depth.map(|(low, high)| f64::midpoint(low, high));
                y.ok_or(EditError::StepsOff {
                    at: Point::new(x, at.y),
                })
            };
            let x = at.x + step_mm * times;
            Ok((Point::new(x, at.y - middle(at.x)? + middle(x)?), 0.0))
        }
        StepAlong::Outline { step_mm } => {
            let walk = knife.contour();
            let near = walk.nearest(at).ok_or(EditError::NoStretch)?;
            let frame = |piece: usize, t: f64| -> Option<(Point, Vec2)> {
                let own = walk.pieces.get(piece)?;
                Some((own.eval(t), own.direction(t)?))
            };
            let (foot, way) = frame(near.piece, near.t).ok_or(EditError::NoStretch)?;
            let left = |way: Vec2| Vec2::new(-way.y, way.x);
            let off = (at - foot).dot(left(way));
            let (piece, t) = walk
                .walked((near.piece, near.t), step_mm * times)
                .ok_or(EditError::NoStretch)?;
            let (foot, new) = frame(piece, t).ok_or(EditError::NoStretch)?;
            let turn = way.cross(new).atan2(way.dot(new));
            Ok((foot + left(new) * off, turn))
        }
    }
}

/// Puts a copy of a cut-out or a row at a place, turned.
fn copy(
    knife: &mut Knife,
    thing: Thing,
    from: Point,
    (to, turn): (Point, f64),
) -> Result<(), EditError> {
    let mut motion = Motion::turn(turn).about(from);
    motion.shift += to - from;
    match thing {
        Thing::CutOut(id) => {
            let mut cut = knife.cut_out(id).cloned().ok_or(gone(thing))?;
            cut.id = knife.take_id();
            cut.shape = cut.shape.moved(&motion);
            if let CutShape::Free { outline } = &mut cut.shape {
                for node in &mut outline.nodes {
                    node.id = knife.take_id();
                }
            }
            knife.cut_outs.push(cut);
        }
        Thing::Row(id) => {
            let mut row = knife.row(id).cloned().ok_or(gone(thing))?;
            row.id = knife.take_id();
            row.path = path_moved(row.path, &motion, to - from);
            knife.rows.push(row);
        }
        _ => return Err(EditError::NoCopy),
    }
    Ok(())
}

fn path_moved(path: RowPath, motion: &Motion, by: Vec2) -> RowPath {
    match path {
        RowPath::Line { from, to } => RowPath::Line {
            from: motion.apply(from),
            to: motion.apply(to),
        },
        RowPath::TangMiddle { from_x, to_x } => RowPath::TangMiddle {
            from_x: from_x + by.x,
            to_x: to_x + by.x,
        },
    }
}

/// Turns nodes, cut-outs and rows together about the middle of the places they are held at.
pub(super) fn turn(knife: &mut Knife, things: &[Thing], by_rad: f64) -> Result<(), EditError> {
    if !(-std::f64::consts::TAU..=std::f64::consts::TAU).contains(&by_rad) {
        return Err(EditError::OffBench);
    }
    let places = held_places(knife, things)?;
    if places.is_empty() {
        return Err(EditError::TooFew { least: 1 });
    }
    let n = places.len() as f64;
    let sum = places
        .iter()
        .fold(Vec2::ZERO, |sum, (_, p)| sum + p.to_vec2());
    let motion = Motion::turn(by_rad).about((sum / n).to_point());
    for (thing, at) in places {
        match thing {
            Thing::Node(id) => {
                let node = knife.outline.node_mut(id).ok_or(gone(thing))?;
                node.at = motion.apply(node.at);
                node.handle_in = node.handle_in.map(|h| motion.apply_vec(h));
                node.handle_out = node.handle_out.map(|h| motion.apply_vec(h));
            }
            Thing::CutOut(id) => {
                let cut = knife.cut_out_mut(id).ok_or(gone(thing))?;
                cut.shape = cut.shape.moved(&motion);
            }
            Thing::Row(id) => {
                let row = knife.row_mut(id).ok_or(gone(thing))?;
                row.path = path_moved(row.path, &motion, motion.apply(at) - at);
            }
            _ => return Err(EditError::NoTurn),
        }
    }
    Ok(())
}
