//! The steel before any bevel: an outline or an opening times the thickness a taper leaves, layer by layer.
//!
//! Between the bends of a taper every layer's height over the mid-plane is straight in `x`. With `F(x) = ∫f dx` Green's theorem gives
//! `∬ f(x)·yʲ dA = ∮ F(x)·yʲ dy`; on a cubic piece between two bends that is a polynomial of at most the 14th degree, which eight Gauss–Legendre
//! points integrate exactly (to the 15th); on a straight one it is of the fourth at most, and three points do (to the fifth). Arcs are cut so short that
//! the rule's error is below 1e-12.

use kurbo::Point;
use smallvec::{SmallVec, smallvec};

use crate::geometry::{AreaMoments, Contour, GAUSS_3, GAUSS_8, Piece};
use crate::knife::{CutShape, Face, LaidLayer, Stock, Taper};
use crate::thickness::{FaceHeight, Solid};

/// One layer between two bends: its two boundaries as `value + slope·(x − from)`.
#[derive(Clone, Copy, Debug)]
struct Wedge {
    from: f64,
    /// Upper and lower boundary over the mid-plane at `from`, and their slopes.
    high: (f64, f64),
    low: (f64, f64),
    /// What [`Wedge::up_to`] gives by powers of `x − from`: the three first ones of the volume, and so on.
    terms: Terms,
}

/// Powers of the four integrals of a wedge, from the first bend up to a place.
#[derive(Clone, Copy, Debug, Default)]
struct Terms {
    volume: [f64; 3],
    along: [f64; 4],
    squared: [f64; 5],
    over: [f64; 4],
}

/// A tapered bar, ready for outlines.
#[derive(Clone, Debug)]
pub(super) struct Plate {
    /// Bends of either face and places where a face passes from one layer to the next, rising.
    bends: Vec<f64>,
    /// Where each wedge begins to count, one more than there are bends.
    starts: Vec<f64>,
    /// For each layer its wedges, as many.
    layers: Vec<Vec<Wedge>>,
    laid: Vec<LaidLayer>,
}

impl Plate {
    pub(super) fn of(stock: &Stock, taper: Option<&Taper>, laid: Vec<LaidLayer>) -> Self {
        let [right, left] = Face::ALL.map(|face| FaceHeight::of(stock, taper, face));
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
            starts,
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
            return self.within_disc(*center, diameter_mm / 2.0);
        }
        self.within(|| shape.contour(), moments)
    }

    /// Each layer within a disc, from one bend to the next.
    fn within_disc(&self, center: Point, r: f64) -> Vec<Solid> {
        let mut solids = vec![Solid::default(); self.layers.len()];
        let first = self.bends.partition_point(|b| *b <= center.x - r);
        let last = self.bends.partition_point(|b| *b < center.x + r);
        let mut from = -r;
        for wedge in first..=last {
            let to = self.bends.get(wedge).map_or(r, |b| (b - center.x).min(r));
            let slice = Slice::of_disc(r, from, to);
            for (layer, solid) in self.layers.iter().zip(&mut solids) {
                if let Some(wedge) = layer.get(wedge) {
                    solid.add(&wedge.over(&slice, center), 1.0);
                }
            }
            from = to;
        }
        solids
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
        let mut cuts: SmallVec<[f64; 16]> = smallvec![0.0, 1.0];
        cuts.extend(piece.turning_parameters());
        if let Piece::Arc(arc) = piece {
            // Sines and cosines of up to six times the angle: over such parts the rule's error on them is below 1e-12.
            let parts = (arc.sweep.abs() / 0.8).ceil().max(1.0);
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
        let rule: &[(f64, f64)] = match piece {
            Piece::Line(_) => &GAUSS_3,
            _ => &GAUSS_8,
        };
        for pair in cuts.windows(2) {
            let [a, b] = pair else { continue };
            if b - a <= 0.0 {
                continue;
            }
            let middle = piece.eval(f64::midpoint(*a, *b)).x;
            let wedge = self.bends.partition_point(|bend| *bend <= middle);
            let from = self.starts.get(wedge).copied().unwrap_or(0.0);
            let mut powers = EdgePowers::default();
            for (x, weight) in rule {
                let (at, slope) = piece.eval_with_derivative(a + (b - a) * (0.5 + 0.5 * x));
                powers.add(at.x - from, at.y, slope.y * weight * 0.5 * (b - a));
            }
            for (layer, solid) in self.layers.iter().zip(solids.iter_mut()) {
                if let Some(wedge) = layer.get(wedge) {
                    wedge.add_along(&powers, solid);
                }
            }
        }
    }
}

/// `∫ uᵏ·yʲ dy` along a stretch of an edge, `u` counted along `x` from the beginning of its wedges: all that any layer's integrals are made of there.
#[derive(Clone, Copy, Debug, Default)]
struct EdgePowers {
    plain: [f64; 5],
    by_y: [f64; 3],
    by_y2: [f64; 3],
}

impl EdgePowers {
    fn add(&mut self, u: f64, y: f64, dy: f64) {
        let mut power = dy;
        for sum in &mut self.plain {
            *sum += power;
            power *= u;
        }
        let mut power = dy;
        for (sum, sum2) in self.by_y.iter_mut().zip(&mut self.by_y2) {
            *sum += power * y;
            *sum2 += power * y * y;
            power *= u;
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
            terms: Terms::default(),
        };
        let mut wedge = level;
        let mut before = [0.0; 4];
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
            before = if i == 1 { [0.0; 4] } else { last.up_to(*from) };
        }
        wedge.terms = wedge.terms_after(before);
        wedges.push(wedge);
    }
    wedges
}

impl Wedge {
    /// `∫ f dx`, `∫ x·f dx`, `∫ x²·f dx` and `∫ (high² − low²)/2 dx`, `f = high − low`, from the first bend up to `x`.
    fn up_to(&self, x: f64) -> [f64; 4] {
        let u = x - self.from;
        let sum = |powers: &[f64]| powers.iter().rev().fold(0.0, |sum, power| sum * u + power);
        let terms = &self.terms;
        [
            sum(&terms.volume),
            sum(&terms.along),
            sum(&terms.squared),
            sum(&terms.over),
        ]
    }

    /// Adds what a stretch of an edge contributes.
    fn add_along(&self, powers: &EdgePowers, solid: &mut Solid) {
        let dot = |terms: &[f64], powers: &[f64]| -> f64 {
            terms.iter().zip(powers).map(|(a, b)| a * b).sum()
        };
        let terms = &self.terms;
        solid.volume += dot(&terms.volume, &powers.plain);
        solid.moment[0] += dot(&terms.along, &powers.plain);
        solid.moment[1] += dot(&terms.volume, &powers.by_y);
        solid.moment[2] += dot(&terms.over, &powers.plain);
        solid.polar += dot(&terms.squared, &powers.plain) + dot(&terms.volume, &powers.by_y2);
    }

    /// The powers of these integrals, by what they are at `from`. With `f = h + k·u` and `x = a + u`.
    fn terms_after(&self, [volume, along, squared, over]: [f64; 4]) -> Terms {
        let a = self.from;
        let (h, k) = (self.high.0 - self.low.0, self.high.1 - self.low.1);
        let square = |(value, slope): (f64, f64)| {
            [
                value * value / 2.0,
                value * slope / 2.0,
                slope * slope / 6.0,
            ]
        };
        let (high, low) = (square(self.high), square(self.low));
        Terms {
            volume: [volume, h, k / 2.0],
            along: [along, a * h, (a * k + h) / 2.0, k / 3.0],
            squared: [
                squared,
                a * a * h,
                (a * a * k + 2.0 * a * h) / 2.0,
                (2.0 * a * k + h) / 3.0,
                k / 4.0,
            ],
            over: [over, high[0] - low[0], high[1] - low[1], high[2] - low[2]],
        }
    }

    /// The layer over a slice of a disc that lies between two bends, in closed form: its boundaries are straight in `x`.
    fn over(&self, slice: &Slice, center: Point) -> Solid {
        let (x, y) = (center.x, center.y);
        let at = |(value, slope): (f64, f64)| value + slope * (x - self.from);
        let (high, low) = (at(self.high), at(self.low));
        let (h, k) = (high - low, self.high.1 - self.low.1);
        let [a0, a1, a2, a3] = slice.along;
        let [b0, b1] = slice.across;
        let volume = h * a0 + k * a1;
        let square = |value: f64, slope: f64| {
            value * value * a0 + 2.0 * value * slope * a1 + slope * slope * a2
        };
        let far = x * x + y * y;
        Solid {
            volume,
            moment: [
                x * volume + h * a1 + k * a2,
                y * volume,
                (square(high, self.high.1) - square(low, self.low.1)) / 2.0,
            ],
            polar: h * (far * a0 + 2.0 * x * a1 + a2 + b0)
                + k * (far * a1 + 2.0 * x * a2 + a3 + b1),
        }
    }
}

/// What lies of a disc between two lines square to `x`.
struct Slice {
    /// `∫ uⁿ dA` for `n` from 0 to 3, `u` counted along `x` from the center.
    along: [f64; 4],
    /// `∫ v² dA` and `∫ u·v² dA`, `v` counted along `y`.
    across: [f64; 2],
}

impl Slice {
    /// From one distance along `x` to another. With `u = r·sin φ` the chord is `2r·cos φ`, and all of them are integrals of powers of sine and cosine.
    fn of_disc(r: f64, from: f64, to: f64) -> Self {
        let up_to = |u: f64| {
            let sin = (u / r).clamp(-1.0, 1.0);
            let cos = (1.0 - sin * sin).sqrt();
            let (angle, both, double) = (sin.asin(), sin * cos, cos * cos - sin * sin);
            let (cos3, cos5) = (cos.powi(3), cos.powi(5));
            [
                angle + both,
                -2.0 / 3.0 * cos3,
                (angle - both * double) / 4.0,
                2.0 * (cos5 / 5.0 - cos3 / 3.0),
                (3.0 * angle + both * (4.0 + double)) / 12.0,
                -2.0 / 15.0 * cos5,
            ]
        };
        let (begin, end) = (up_to(from), up_to(to));
        let part = |i: usize, power: i32| (end[i] - begin[i]) * r.powi(power);
        Self {
            along: [part(0, 2), part(1, 3), part(2, 4), part(3, 5)],
            across: [part(4, 4), part(5, 5)],
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
