//! Which layer of the bar a height lies in, seen from one face.

use crate::knife::{Face, LaidLayer, Stock};

/// The layers of a bar as heights over the mid-plane, counted toward one face.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FaceLayers {
    /// Lower and upper boundary of every layer, in the order of [`Stock::laid_layers`].
    spans: Vec<(f64, f64)>,
    /// Boundaries between layers, each once; around each of a hammered bar the two lines it wanders between.
    boundaries: Vec<Boundary>,
}

/// A boundary between layers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Boundary {
    /// Height over the mid-plane toward the face, mm.
    pub middle: f64,
    /// How far it is looked for beside that, mm.
    pub off: f64,
}

impl Boundary {
    pub(super) fn height(&self) -> f64 {
        self.middle + self.off
    }
}

impl FaceLayers {
    /// Of a bar with its layers as they are laid.
    pub(super) fn of(stock: &Stock, laid: &[LaidLayer], face: Face) -> Self {
        let spans: Vec<(f64, f64)> = laid
            .iter()
            .map(|l| match face {
                Face::Right => (l.from_mm, l.to_mm),
                Face::Left => (-l.to_mm, -l.from_mm),
            })
            .collect();
        let mut boundaries: Vec<Boundary> = Vec::new();
        let wave = stock.layering.waviness_mm;
        let half = stock.thickness_mm / 2.0;
        for c in spans.iter().flat_map(|s| [s.0, s.1]) {
            if c.abs() >= half || boundaries.iter().any(|b| b.middle == c) {
                continue;
            }
            let offs: &[f64] = if wave > 0.0 {
                &[0.0, -1.0, 1.0]
            } else {
                &[0.0]
            };
            boundaries.extend(offs.iter().map(|off| Boundary {
                middle: c,
                off: off * wave,
            }));
        }
        Self { spans, boundaries }
    }

    pub(super) fn count(&self) -> usize {
        self.spans.len()
    }

    pub(super) fn boundaries(&self) -> &[Boundary] {
        &self.boundaries
    }

    /// Whether a layer lies wholly below a height.
    pub(super) fn is_below(&self, layer: usize, height: f64) -> bool {
        self.spans
            .get(layer)
            .is_some_and(|(_, upper)| *upper <= height)
    }

    /// How much of the way from `low` up to `high` lies in a layer, and the first moment of that part about the mid-plane.
    pub(super) fn share(&self, layer: usize, low: f64, high: f64) -> (f64, f64) {
        let Some((a, b)) = self.spans.get(layer) else {
            return (0.0, 0.0);
        };
        // The outermost layers go on past the bar, so that rounding at the face loses nothing.
        let within = |z: f64| {
            if z < *a {
                *a
            } else if z > *b {
                *b
            } else {
                z
            }
        };
        let (p, q) = (within(low), within(high));
        (q - p, (q * q - p * p) / 2.0)
    }
}
