//! The steel before any bevel: an outline or an opening times the thickness a taper leaves, layer by layer.
//!
//! Between the bends of a taper every layer's height over the mid-plane is straight in `x`. With `F(x) = ∫f dx` Green's theorem gives
//! `∬ f(x)·yʲ dA = ∮ F(x)·yʲ dy`; on a cubic piece between two bends that is a polynomial of at most the 14th degree, which eight Gauss–Legendre
//! points integrate exactly (to the 15th). Arcs are cut so short that the rule's error is below 1e-12.

use crate::geometry::{AreaMoments, Contour, GAUSS_8, Piece};
use crate::knife::{CutShape, Face, LaidLayer, Stock, Taper};
use crate::thickness::{FaceHeight, Solid};

/// One layer between two bends: its two boundaries as `value + slope·(x − from)`.
#[derive(Clone, Copy, Debug)]
struct Wedge {
    from: f64,
    /// Upper and lower boundary over the mid-plane at `from`, and their slopes.
    high: (f64, f64),
    low: (f64, f64),
    /// `∫f dx` up to `from` for the four integrands of [`Wedge::terms`].
    before: [f64; 4],
}

/// A tapered bar, ready for outlines.
#[derive(Clone, Debug)]
pub(super) struct Plate {
    /// Bends of either face and places where a face passes from one layer to the next, rising.
    bends: Vec<f64>,
    /// For each layer its wedges, one more than there are bends.
    layers: Vec<Vec<Wedge>>,
    laid: Vec<LaidLayer>,
}

impl Plate {
    pub(super) fn of(stock: &Stock, taper: Option<&Taper>) -> Self {
        let [right, left] = Face::ALL.map(|face| FaceHeight::of(stock, taper, face));
        let laid = stock.laid_layers();
        let mut bends: Vec<f64> = right.bends().chain(left.bends()).collect();
        for (face, toward) in [(&right, 1.0), (&left, -1.0)] {
            for pair in face.corners().windows(2) {
                let [(xa, za), (xb, zb)] = pair else { continue };
                for boundary in laid.iter().flat_map(|l| [l.from_mm, l.to_mm]) {
                    let c = boundary * toward;
                    if (za - c) * (zb - c) < 0.0 {
                        bends.push(xa + (xb - xa) * (c - za) / (zb - za));
                    }
                }
            }
        }
        bends.sort_by(f64::total_cmp);
        bends.dedup();
        let starts: Vec<f64> = bends
            .first()
            .copied()
            .into_iter()
            .chain(bends.iter().copied())
            .collect();
        let starts = if starts.is_empty() { vec![0.0] } else { starts };
        let layers = laid
            .iter()
            .map(|layer| wedges(layer, &starts, &right, &left))
            .collect();
        Self {
            bends,
            layers,
            laid,
        }
    }

    pub(super) fn layers(&self) -> &[LaidLayer] {
        &self.laid
    }

    fn is_level(&self) -> bool {
        self.bends.is_empty()
    }

    /// Each layer within a closed contour of the given moments, counterclockwise.
    pub(super) fn within(
        &self,
        contour: impl FnOnce() -> Contour,
        moments: &AreaMoments,
    ) -> Vec<Solid> {
        if self.is_level() {
            return self.level(moments);
        }
        let mut solids = vec![Solid::default(); self.layers.len()];
        let pieces = contour().pieces;
        for piece in &pieces {
            self.add_piece(piece, &mut solids);
        }
        if moments.area > 0.0 && solids.iter().map(|s| s.volume).sum::<f64>() < 0.0 {
            for solid in &mut solids {
                let own = *solid;
                solid.add(&own, -2.0);
            }
        }
        solids
    }

    /// Each layer within an opening.
    pub(super) fn within_opening(&self, shape: &CutShape, moments: &AreaMoments) -> Vec<Solid> {
        if let CutShape::Round {
            center,
            diameter_mm,
        } = shape
        {
            let r = diameter_mm / 2.0;
            let wedge = self.bends.partition_point(|b| *b <= center.x - r);
            if wedge == self.bends.partition_point(|b| *b < center.x + r) {
                return self
                    .layers
                    .iter()
                    .filter_map(|layer| Some(layer.get(wedge)?.disc(center.x, center.y, r)))
                    .collect();
            }
        }
        self.within(|| shape.contour(), moments)
    }

    fn level(&self, moments: &AreaMoments) -> Vec<Solid> {
        let c = moments.centroid;
        let polar = moments.polar() + moments.area * c.to_vec2().hypot2();
        self.layers
            .iter()
            .filter_map(|layer| {
                let wedge = layer.first()?;
                let (high, low) = (wedge.high.0, wedge.low.0);
                let height = high - low;
                Some(Solid {
                    volume: moments.area * height,
                    moment: [
                        moments.area * height * c.x,
                        moments.area * height * c.y,
                        moments.area * (high * high - low * low) / 2.0,
                    ],
                    polar: polar * height,
                })
            })
            .collect()
    }

    fn add_piece(&self, piece: &Piece, solids: &mut [Solid]) {
        // Monotone stretches between bends.
        let mut cuts = vec![0.0, 1.0];
        cuts.extend(piece.turning_parameters());
        if let Piece::Arc(arc) = piece {
            // A quarter of a radian keeps the rule's error on sines and cosines below 1e-13.
            let parts = (arc.sweep.abs() / 0.4).ceil().max(1.0);
            cuts.extend((1..parts as u32).map(|i| f64::from(i) / parts));
        }
        cuts.sort_by(f64::total_cmp);
        let ends = cuts.clone();
        for pair in ends.windows(2) {
            let [a, b] = pair else { continue };
            let (xa, xb) = (piece.eval(*a).x, piece.eval(*b).x);
            let (low, high) = (xa.min(xb), xa.max(xb));
            for bend in &self.bends {
                if *bend > low && *bend < high {
                    cuts.push(where_x(piece, (*a, *b), *bend));
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let [a, b] = pair else { continue };
            if b - a <= 0.0 {
                continue;
            }
            let middle = piece.eval(f64::midpoint(*a, *b)).x;
            let wedge = self.bends.partition_point(|bend| *bend <= middle);
            for (x, weight) in GAUSS_8 {
                let t = a + (b - a) * (0.5 + 0.5 * x);
                let at = piece.eval(t);
                let dy = piece.derivative(t).y * weight * 0.5 * (b - a);
                for (layer, solid) in self.layers.iter().zip(solids.iter_mut()) {
                    if let Some(wedge) = layer.get(wedge) {
                        let [v, xv, xxv, z] = wedge.up_to(at.x);
                        solid.volume += v * dy;
                        solid.moment[0] += xv * dy;
                        solid.moment[1] += v * at.y * dy;
                        solid.moment[2] += z * dy;
                        solid.polar += (xxv + v * at.y * at.y) * dy;
                    }
                }
            }
        }
    }
}

/// A layer's wedges between the bends: its own boundaries, or the faces where these have been ground below them.
fn wedges(layer: &LaidLayer, starts: &[f64], right: &FaceHeight, left: &FaceHeight) -> Vec<Wedge> {
    let high_at = |x: f64| right.at(x).clamp(layer.from_mm, layer.to_mm);
    let low_at = |x: f64| (-left.at(x)).clamp(layer.from_mm, layer.to_mm);
    let mut wedges: Vec<Wedge> = Vec::with_capacity(starts.len());
    for (i, from) in starts.iter().enumerate() {
        let level = Wedge {
            from: *from,
            high: (high_at(*from), 0.0),
            low: (low_at(*from), 0.0),
            before: [0.0; 4],
        };
        let mut wedge = level;
        // Before the first bend and after the last one the bar is level.
        if i > 0
            && let Some(to) = starts.get(i + 1)
        {
            let length = to - from;
            wedge.high.1 = (high_at(*to) - wedge.high.0) / length;
            wedge.low.1 = (low_at(*to) - wedge.low.0) / length;
        }
        // The stretch before the first bend and that after it begin at the same place.
        if let Some(last) = wedges.last() {
            wedge.before = if i == 1 { [0.0; 4] } else { last.up_to(*from) };
        }
        wedges.push(wedge);
    }
    wedges
}

impl Wedge {
    /// `∫ f dx`, `∫ x·f dx`, `∫ x²·f dx` and `∫ (high² − low²)/2 dx`, `f = high − low`, from the first bend up to `x`.
    fn up_to(&self, x: f64) -> [f64; 4] {
        let (u, a) = (x - self.from, self.from);
        let (h, k) = (self.high.0 - self.low.0, self.high.1 - self.low.1);
        let [u2, u3, u4] = [u * u / 2.0, u * u * u / 3.0, u * u * u * u / 4.0];
        let v = h * u + k * u2;
        let first = h * u2 + k * u3;
        let second = h * u3 + k * u4;
        let square = |(value, slope): (f64, f64)| {
            value * value * u + 2.0 * value * slope * u2 + slope * slope * u3
        };
        let [v0, x0, xx0, z0] = self.before;
        [
            v0 + v,
            x0 + a * v + first,
            xx0 + a * a * v + 2.0 * a * first + second,
            z0 + (square(self.high) - square(self.low)) / 2.0,
        ]
    }

    /// The layer within a disc that lies between two bends, in closed form: heights are straight in `x`, so their means are those at the center.
    fn disc(&self, x: f64, y: f64, r: f64) -> Solid {
        let area = std::f64::consts::PI * r * r;
        let second = r * r / 4.0;
        let at = |(value, slope): (f64, f64)| value + slope * (x - self.from);
        let (high, low) = (at(self.high), at(self.low));
        let (height, slope) = (high - low, self.high.1 - self.low.1);
        let square = |value: f64, slope: f64| value * value + slope * slope * second;
        Solid {
            volume: area * height,
            moment: [
                area * (x * height + slope * second),
                area * y * height,
                area * (square(high, self.high.1) - square(low, self.low.1)) / 2.0,
            ],
            polar: area * (height * (x * x + y * y + 2.0 * second) + 2.0 * x * slope * second),
        }
    }
}

/// The parameter of a stretch monotone in `x` where it has that `x`.
fn where_x(piece: &Piece, (mut lo, mut hi): (f64, f64), x: f64) -> f64 {
    let off = |t: f64| piece.eval(t).x - x;
    let rising = off(hi) > off(lo);
    for _ in 0..8 {
        let t = f64::midpoint(lo, hi);
        if (off(t) < 0.0) == rising {
            lo = t;
        } else {
            hi = t;
        }
    }
    // Newton from within the bracket, held to it.
    let mut t = f64::midpoint(lo, hi);
    for _ in 0..6 {
        let slope = piece.derivative(t).x;
        let next = if slope == 0.0 { t } else { t - off(t) / slope };
        t = if (lo..=hi).contains(&next) {
            next
        } else {
            f64::midpoint(lo, hi)
        };
        if (off(t) < 0.0) == rising {
            lo = t;
        } else {
            hi = t;
        }
    }
    t
}
