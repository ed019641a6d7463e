//! Rows of holes: several round holes evenly spaced, kept as one thing until broken up.

use kurbo::Point;

use super::{CutOut, CutShape, Filling, Id, Purpose};
use crate::geometry::SpanIndex;

/// What a row follows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RowPath {
    /// A straight line from the first center to the last.
    Line {
        /// First center.
        from: Point,
        /// Last center.
        to: Point,
    },
    /// The middle line of the tang (halfway between its upper and lower side), in even steps of `x`.
    TangMiddle {
        /// `x` of the first center.
        from_x: f64,
        /// `x` of the last center.
        to_x: f64,
    },
}

/// A row of round holes. Diameters go evenly from the first to the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Stable within the knife.
    pub id: Id,
    /// What it follows.
    pub path: RowPath,
    /// How many holes, 1..=200.
    pub count: u32,
    /// Diameter of the first hole, mm.
    pub first_diameter_mm: f64,
    /// Diameter of the last hole, mm.
    pub last_diameter_mm: f64,
    /// What the holes are for.
    pub purpose: Purpose,
    /// What fills them.
    pub filling: Filling,
}

impl Row {
    /// Centers and diameters of its holes. Places where the middle line does not exist (`x` outside the steel) are left out;
    /// `steel` is the index of the steel outline.
    #[must_use]
    pub fn holes(&self, steel: &SpanIndex) -> Vec<(Point, f64)> {
        let steps = f64::from(self.count.saturating_sub(1).max(1));
        (0..self.count)
            .filter_map(|i| {
                let f = if self.count == 1 {
                    0.5
                } else {
                    f64::from(i) / steps
                };
                let center = match self.path {
                    RowPath::Line { from, to } => from.lerp(to, f),
                    RowPath::TangMiddle { from_x, to_x } => {
                        let x = from_x + f * (to_x - from_x);
                        let (low, high) = steel.depth_at(x)?;
                        Point::new(x, f64::midpoint(low, high))
                    }
                };
                let d =
                    self.first_diameter_mm + f * (self.last_diameter_mm - self.first_diameter_mm);
                Some((center, d))
            })
            .collect()
    }

    /// The row as separate cut-outs, all bearing the row's id until they are given their own.
    #[must_use]
    pub fn cut_outs(&self, steel: &SpanIndex) -> Vec<CutOut> {
        self.holes(steel)
            .into_iter()
            .map(|(center, diameter_mm)| CutOut {
                id: self.id,
                shape: CutShape::Round {
                    center,
                    diameter_mm,
                },
                purpose: self.purpose,
                filling: self.filling.clone(),
            })
            .collect()
    }
}
