//! A cut-out as a beam sees it: what it takes out of each section, and where it raises the stress.

use crate::geometry::{Point, Rect, SpanIndex};
use crate::knife::CutShape;

/// A cut-out made ready for many sections.
#[derive(Clone, Debug)]
pub(super) struct Opening {
    pub name: String,
    pub center: Point,
    bounds: Rect,
    form: Form,
}

#[derive(Clone, Debug)]
enum Form {
    Round {
        radius: f64,
    },
    Slot {
        ends: [f64; 2],
        radius: f64,
        boundary: SpanIndex,
    },
    Free {
        boundary: SpanIndex,
    },
}

impl Opening {
    pub(super) fn new(name: &str, shape: &CutShape) -> Self {
        let boundary = || shape.contour().index();
        let (form, bounds) = match shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => {
                let radius = diameter_mm / 2.0;
                let bounds = Rect::from_center_size(*center, (*diameter_mm, *diameter_mm));
                (Form::Round { radius }, bounds)
            }
            CutShape::Slot { .. } => {
                let boundary = boundary();
                let (core, radius) = shape.capsule().unwrap_or_default();
                let ends = [core.0.x, core.1.x];
                let bounds = boundary.bounds();
                (
                    Form::Slot {
                        ends,
                        radius,
                        boundary,
                    },
                    bounds,
                )
            }
            CutShape::Free { .. } => {
                let boundary = boundary();
                let bounds = boundary.bounds();
                (Form::Free { boundary }, bounds)
            }
        };
        Self {
            name: name.to_owned(),
            center: shape.center(),
            bounds,
            form,
        }
    }

    /// What it takes of the vertical line at a place: from, to, in rising order.
    pub(super) fn takes(&self, x: f64) -> Vec<(f64, f64)> {
        if x < self.bounds.x0 || x > self.bounds.x1 {
            return Vec::new();
        }
        match &self.form {
            Form::Round { radius } => {
                let off = x - self.center.x;
                let half = (radius * radius - off * off).max(0.0).sqrt();
                vec![(self.center.y - half, self.center.y + half)]
            }
            Form::Slot { boundary, .. } | Form::Free { boundary } => {
                let heights = boundary.heights_at(x);
                let pairs = heights.chunks_exact(2);
                pairs
                    .filter_map(|pair| match pair {
                        [low, high] => Some((*low, *high)),
                        _ => None,
                    })
                    .collect()
            }
        }
    }

    /// Places where its upper and lower ends raise the stress: the middle of a round hole, the middles of a slot's ends.
    pub(super) fn peaks(&self) -> Vec<f64> {
        match &self.form {
            Form::Slot { ends: [a, b], .. } if a != b => vec![a.min(*b), a.max(*b)],
            _ => vec![self.center.x],
        }
    }

    /// Places to look at it.
    pub(super) fn stations(&self) -> Vec<f64> {
        let half = self.bounds.width() / 2.0;
        let middle = self.bounds.center().x;
        let mut all: Vec<f64> = [-0.9, -0.6, -0.3, 0.3, 0.6, 0.9]
            .map(|share| middle + share * half)
            .to_vec();
        all.extend(self.peaks());
        all
    }

    /// Radius of its upper and lower end; of a free shape it is not known and taken as half its height there.
    pub(super) fn end_radius(&self, half_height: f64) -> f64 {
        match &self.form {
            Form::Round { radius } | Form::Slot { radius, .. } => *radius,
            Form::Free { .. } => half_height,
        }
    }
}

/// What openings leave of a stretch of steel.
pub(super) fn left_of(steel: (f64, f64), taken: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut left = Vec::new();
    let mut from = steel.0;
    let mut sorted = taken.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (low, high) in sorted {
        if low > from {
            left.push((from, low.min(steel.1)));
        }
        from = from.max(high);
    }
    if from < steel.1 {
        left.push((from, steel.1));
    }
    left.retain(|(low, high)| high > low);
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_lies_between_what_is_taken() {
        let left = |taken: &[(f64, f64)]| left_of((0.0, 10.0), taken);
        assert_eq!(left(&[]), [(0.0, 10.0)]);
        assert_eq!(
            left(&[(6.0, 7.0), (2.0, 3.0)]),
            [(0.0, 2.0), (3.0, 6.0), (7.0, 10.0)]
        );
        assert_eq!(left(&[(-1.0, 1.0), (0.5, 2.0)]), [(2.0, 10.0)]);
        assert_eq!(left(&[(8.0, 12.0)]), [(0.0, 8.0)]);
        assert_eq!(left(&[(-1.0, 11.0)]), []);
        assert_eq!(left(&[(11.0, 12.0)]), [(0.0, 10.0)]);
    }

    #[test]
    fn openings_take_their_chords() {
        let round = Opening::new(
            "1",
            &CutShape::Round {
                center: Point::new(10.0, 2.0),
                diameter_mm: 10.0,
            },
        );
        assert_eq!(round.takes(13.0), [(-2.0, 6.0)]);
        assert_eq!(round.takes(15.1), []);
        let slot = CutShape::Slot {
            center: Point::new(0.0, 0.0),
            length_mm: 20.0,
            width_mm: 4.0,
            angle_rad: 0.0,
        };
        let slot = Opening::new("2", &slot);
        assert_eq!(slot.peaks(), [-8.0, 8.0]);
        let [(low, high)] = slot.takes(5.0)[..] else {
            panic!("one stretch");
        };
        assert!((low + 2.0).abs() < 1e-12 && (high - 2.0).abs() < 1e-12);
    }
}
