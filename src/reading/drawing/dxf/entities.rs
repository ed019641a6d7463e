//! What becomes of each kind of entity.

use kurbo::{Affine, Point, Vec2};

use super::super::MOST_PIECES;
use super::super::error::ImportError;
use super::super::strokes::{Role, Strokes, push_mapped};
use super::curves;
use super::pairs::Pairs;
use super::record::Record;
use super::spline::Spline;
use crate::geometry::Piece;

/// One entity read.
#[derive(Debug)]
pub(super) enum Entity<'a> {
    /// Lines, put into the strokes.
    Drawn,
    /// A block to be laid out.
    Insert(Insert<'a>),
    /// Left out, with the reason.
    LeftOut(&'static str),
}

/// A block laid out at a place, once or in columns and rows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Insert<'a> {
    /// Name of the block.
    pub block: &'a [u8],
    /// Layer of the insert; what lies on layer 0 of the block takes it.
    pub layer: &'a [u8],
    /// From the block's coordinates, its base point not yet subtracted, to those around the insert.
    pub map: Affine,
    /// Columns and rows.
    pub counts: (u64, u64),
    /// From one to the next along a row and a column.
    pub steps: (Vec2, Vec2),
}

/// Reads one entity; what it draws goes into `strokes`.
pub(super) fn read<'a>(
    record: &Record<'a>,
    pairs: &mut Pairs<'a>,
    strokes: &mut Strokes,
) -> Result<Entity<'a>, ImportError> {
    let from = strokes.pieces.len();
    let Some(plane) = record.plane() else {
        skip_vertices(record, pairs)?;
        return Ok(Entity::LeftOut("it is tilted out of the drawing's plane"));
    };
    let (pieces, closed, plane) = match record.kind {
        b"LINE" => (line(record), false, Affine::IDENTITY),
        b"ARC" => (arc(record), false, plane),
        b"CIRCLE" => (circle(record), true, plane),
        b"ELLIPSE" => (ellipse(record, plane), false, Affine::IDENTITY),
        b"LWPOLYLINE" => {
            let closed = record.whole(70) & 1 == 1;
            (light_polyline(record, closed), closed, plane)
        }
        b"POLYLINE" => {
            let closed = record.whole(70) & 1 == 1;
            match old_polyline(record, pairs, closed)? {
                Some(pieces) => (Some(pieces), closed, plane),
                None => return Ok(Entity::LeftOut("it is a mesh, not a line")),
            }
        }
        b"SPLINE" => match spline(record)? {
            Ok(pieces) => (Some(pieces), false, Affine::IDENTITY),
            Err(reason) => return Ok(Entity::LeftOut(reason)),
        },
        b"INSERT" => return insert(record, pairs, plane),
        _ => return Ok(Entity::LeftOut("it has no lines that could be cut")),
    };
    let Some(pieces) = pieces else {
        return Ok(Entity::LeftOut("a part of it is missing in the file"));
    };
    if strokes.pieces.len() + pieces.len() > MOST_PIECES {
        return Err(ImportError::TooManyPieces);
    }
    for piece in &pieces {
        push_mapped(piece, &plane, &mut strokes.pieces);
    }
    let role = Role::named(std::str::from_utf8(record.layer).unwrap_or_default());
    strokes.finish(from, closed, role);
    Ok(Entity::Drawn)
}

fn line(record: &Record<'_>) -> Option<Vec<Piece>> {
    Some(vec![Piece::line(record.point(10)?, record.point(11)?)])
}

/// A size that a circle can have.
fn radius(record: &Record<'_>) -> Option<f64> {
    record.real(40).filter(|radius| *radius > 0.0)
}

fn arc(record: &Record<'_>) -> Option<Vec<Piece>> {
    let (from, to) = (record.real(50)?, record.real(51)?);
    Some(vec![curves::arc(
        record.point(10)?,
        radius(record)?,
        from,
        to,
    )])
}

fn circle(record: &Record<'_>) -> Option<Vec<Piece>> {
    Some(curves::circle(record.point(10)?, radius(record)?))
}

/// Center and axis of an ellipse stand in the drawing's own plane; where its normal points down it runs the other way round.
fn ellipse(record: &Record<'_>, plane: Affine) -> Option<Vec<Piece>> {
    let major = record.point(11)?.to_vec2();
    let ratio = record.real(40).filter(|ratio| *ratio != 0.0)?;
    let ratio = if plane == Affine::IDENTITY {
        ratio
    } else {
        -ratio
    };
    let from = record.real(41).unwrap_or(0.0);
    let to = record.real(42).unwrap_or(std::f64::consts::TAU);
    (major.hypot() > 0.0).then(|| {
        record
            .point(10)
            .map(|center| curves::ellipse(center, major, ratio, from, to))
    })?
}

fn light_polyline(record: &Record<'_>, closed: bool) -> Option<Vec<Piece>> {
    let mut corners: Vec<(Point, f64)> = Vec::new();
    let mut x = None;
    for (code, value) in &record.reals {
        match code {
            10 => x = Some(*value),
            20 => corners.push((Point::new(x.take()?, *value), 0.0)),
            42 => corners.last_mut()?.1 = *value,
            _ => {}
        }
    }
    chain(&corners, closed)
}

/// Pieces between corners, each with the bulge of the piece that leaves it.
fn chain(corners: &[(Point, f64)], closed: bool) -> Option<Vec<Piece>> {
    let first = corners.first()?;
    let after = corners.iter().skip(1).chain(closed.then_some(first));
    let pieces: Vec<Piece> = corners
        .iter()
        .zip(after)
        .filter(|((a, _), (b, _))| a != b)
        .map(|((a, bulge), (b, _))| curves::bulged(*a, *b, *bulge))
        .collect();
    (!pieces.is_empty()).then_some(pieces)
}

/// The vertices behind an old-style polyline up to the end of its sequence; `None` for a mesh.
fn old_polyline<'a>(
    record: &Record<'a>,
    pairs: &mut Pairs<'a>,
    closed: bool,
) -> Result<Option<Vec<Piece>>, ImportError> {
    let flags = record.whole(70);
    let mesh = flags & (16 | 64) != 0;
    let mut corners: Vec<(Point, f64)> = Vec::new();
    while let Some(vertex) = next_vertex(pairs)? {
        // Flag 16: a control point of the curve that the other vertices already follow.
        if let Some(at) = vertex.point(10)
            && vertex.whole(70) & 16 == 0
        {
            corners.push((at, vertex.real(42).unwrap_or(0.0)));
        }
        if corners.len() > MOST_PIECES {
            return Err(ImportError::TooManyPieces);
        }
    }
    Ok(if mesh {
        None
    } else {
        Some(chain(&corners, closed).unwrap_or_default())
    })
}

/// The next vertex of a sequence; `None` at its end.
fn next_vertex<'a>(pairs: &mut Pairs<'a>) -> Result<Option<Record<'a>>, ImportError> {
    let Some(pair) = pairs.next()? else {
        return Ok(None);
    };
    match pair.value {
        b"VERTEX" => Ok(Some(Record::read(pair.value, pairs)?)),
        b"SEQEND" => {
            Record::read(pair.value, pairs)?;
            Ok(None)
        }
        _ => {
            pairs.put_back(pair);
            Ok(None)
        }
    }
}

fn skip_vertices<'a>(record: &Record<'a>, pairs: &mut Pairs<'a>) -> Result<(), ImportError> {
    if record.kind == b"POLYLINE" {
        while next_vertex(pairs)?.is_some() {}
    }
    Ok(())
}

fn spline(record: &Record<'_>) -> Result<Result<Vec<Piece>, &'static str>, ImportError> {
    let spline = Spline {
        degree: usize::try_from(record.whole(71)).unwrap_or(0),
        knots: record.all(40).collect(),
        control: record.points(10),
        weights: record.all(41).collect(),
    };
    if spline.control.is_empty() {
        return Ok(Err(
            "it is a spline by fit points alone; save it with control points",
        ));
    }
    match spline.pieces(MOST_PIECES) {
        Ok(pieces) => Ok(Ok(pieces)),
        Err(Some(reason)) => Ok(Err(reason)),
        Err(None) => Err(ImportError::TooManyPieces),
    }
}

fn insert<'a>(
    record: &Record<'a>,
    pairs: &mut Pairs<'a>,
    plane: Affine,
) -> Result<Entity<'a>, ImportError> {
    // Attributes are words that follow the insert.
    if record.whole(66) == 1 {
        while let Some(pair) = pairs.next()? {
            if pair.value != b"ATTRIB" && pair.value != b"SEQEND" {
                pairs.put_back(pair);
                break;
            }
            Record::read(pair.value, pairs)?;
            if pair.value == b"SEQEND" {
                break;
            }
        }
    }
    let Some(at) = record.point(10) else {
        return Ok(Entity::LeftOut("a part of it is missing in the file"));
    };
    let scale = |code| record.real(code).unwrap_or(1.0);
    let turn = record.real(50).unwrap_or(0.0).to_radians();
    let (sx, sy) = (scale(41), scale(42));
    if sx == 0.0 || sy == 0.0 {
        return Ok(Entity::LeftOut("it is scaled to nothing"));
    }
    let count = |code| u64::try_from(record.whole(code)).map_or(1, |n| n.max(1));
    let step = |code| record.real(code).unwrap_or(0.0);
    let turned = |v: Vec2| (Affine::rotate(turn) * v.to_point()).to_vec2();
    let flat = |v: Vec2| (plane * turned(v).to_point()).to_vec2();
    Ok(Entity::Insert(Insert {
        block: record.name,
        layer: record.layer,
        map: plane
            * Affine::translate(at.to_vec2())
            * Affine::rotate(turn)
            * Affine::scale_non_uniform(sx, sy),
        counts: (count(70), count(71)),
        steps: (
            flat(Vec2::new(step(44), 0.0)),
            flat(Vec2::new(0.0, step(45))),
        ),
    }))
}
