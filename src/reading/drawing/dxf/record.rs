//! The pairs of one entity, sorted as far as every entity needs it.

use kurbo::{Affine, Point, Vec2};

use super::super::MOST_PIECES;
use super::super::error::ImportError;
use super::pairs::{Pair, Pairs};

/// Most values of one code in an entity; as many corners as pieces can be read.
const MOST_VALUES: usize = 4 * MOST_PIECES;

/// The kinds whose numbers matter.
const READ: [&[u8]; 11] = [
    b"LINE",
    b"ARC",
    b"CIRCLE",
    b"ELLIPSE",
    b"LWPOLYLINE",
    b"POLYLINE",
    b"VERTEX",
    b"SPLINE",
    b"INSERT",
    b"BLOCK",
    b"SEQEND",
];

/// One entity: its kind, its layer and its numbers in the order of the file.
#[derive(Debug, Default)]
pub(super) struct Record<'a> {
    pub kind: &'a [u8],
    pub layer: &'a [u8],
    /// Name of a block (code 2).
    pub name: &'a [u8],
    /// Numbers by code: coordinates, sizes, angles.
    pub reals: Vec<(i32, f64)>,
    /// Whole numbers by code: flags and counts.
    pub wholes: Vec<(i32, i64)>,
    /// Whether it is marked as not to be seen.
    pub hidden: bool,
    /// Whether it lies on paper, outside the drawing.
    pub on_paper: bool,
}

impl<'a> Record<'a> {
    /// Reads on until the next entity. Extended data and what is not a number that places lines is passed over.
    pub(super) fn read(kind: &'a [u8], pairs: &mut Pairs<'a>) -> Result<Self, ImportError> {
        let mut record = Self {
            kind,
            ..Self::default()
        };
        let matters = READ.contains(&kind);
        let mut foreign = false;
        while let Some(pair) = pairs.next()? {
            if pair.code == 0 {
                pairs.put_back(pair);
                break;
            }
            // Groups of other programs stand in braces, code 102.
            if pair.code == 102 {
                foreign = pair.value.starts_with(b"{");
            }
            if !foreign && matters {
                record.take(&pair, pairs)?;
            } else if !foreign {
                record.glance(&pair, pairs);
            }
        }
        Ok(record)
    }

    fn take(&mut self, pair: &Pair<'a>, pairs: &Pairs<'a>) -> Result<(), ImportError> {
        match pair.code {
            8 => self.layer = pair.value,
            2 => self.name = pair.value,
            60 => self.hidden = pairs.whole(pair)? == 1,
            67 => self.on_paper = pairs.whole(pair)? == 1,
            10..=59 | 210 | 220 | 230 => self.reals.push((pair.code, pairs.real(pair)?)),
            66 | 70..=79 | 90 => self.wholes.push((pair.code, pairs.whole(pair)?)),
            _ => {}
        }
        if self.reals.len() > MOST_VALUES || self.wholes.len() > MOST_VALUES {
            return Err(ImportError::TooManyPieces);
        }
        Ok(())
    }

    /// Layer and place alone, of what is left out anyway.
    fn glance(&mut self, pair: &Pair<'a>, pairs: &Pairs<'a>) {
        match pair.code {
            8 => self.layer = pair.value,
            10 | 20 if self.reals.len() < 2 => {
                self.reals
                    .extend(pairs.real(pair).ok().map(|v| (pair.code, v)));
            }
            _ => {}
        }
    }

    /// The first number of a code.
    pub(super) fn real(&self, code: i32) -> Option<f64> {
        self.reals.iter().find(|(c, _)| *c == code).map(|(_, v)| *v)
    }

    /// The first whole number of a code, 0 where there is none.
    pub(super) fn whole(&self, code: i32) -> i64 {
        let found = self.wholes.iter().find(|(c, _)| *c == code);
        found.map_or(0, |(_, v)| *v)
    }

    /// The point at a code and the code ten higher.
    pub(super) fn point(&self, code: i32) -> Option<Point> {
        Some(Point::new(self.real(code)?, self.real(code + 10)?))
    }

    /// All numbers of a code, in order.
    pub(super) fn all(&self, code: i32) -> impl Iterator<Item = f64> {
        self.reals
            .iter()
            .filter(move |(c, _)| *c == code)
            .map(|(_, v)| *v)
    }

    /// All points at a code and the code ten higher; as many as have both.
    pub(super) fn points(&self, code: i32) -> Vec<Point> {
        let pairs = self.all(code).zip(self.all(code + 10));
        pairs.map(Point::from).collect()
    }

    /// The map from the entity's own plane to the drawing, by its extrusion direction: nothing to do where that points up, mirrored where it
    /// points down (the arbitrary axis rule of the DXF Reference makes the plane's x axis −x then). `None` when the entity is tilted.
    pub(super) fn plane(&self) -> Option<Affine> {
        let [x, y, z] = [210, 220, 230].map(|code| self.real(code));
        let (x, y, z) = (x.unwrap_or(0.0), y.unwrap_or(0.0), z.unwrap_or(1.0));
        let flat = Vec2::new(x, y).hypot() <= 1e-6 * z.abs();
        flat.then_some(if z < 0.0 {
            Affine::FLIP_X
        } else {
            Affine::IDENTITY
        })
    }
}
