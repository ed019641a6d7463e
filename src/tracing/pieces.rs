//! The fewest pieces that follow the chain.
//!
//! Between corners the chain may be cut at places a little apart. Each stretch from one such place to another has a price: one for a straight line, a little
//! more for a curve, none at all when neither comes near enough; the cheapest way from corner to corner is found by walking forward and
//! keeping the best way to each place.

use super::chain::Chain;
use super::corners::{Corner, unit};
use super::cubic::{Off, cubic_through, line_off};
use super::{Stage, TraceError};
use crate::geometry::{CubicBez, Point};

/// Places where the chain may be cut are at least this far apart, mm.
const LEAST_STRIDE_MM: f64 = 1.5;
/// And there are at most so many of them.
const MOST_PLACES: f64 = 400.0;
/// Points of the chain looked at for one stretch.
const MOST_POINTS: usize = 56;
/// The price of a straight piece and of a curved one.
const LINE_PRICE: f64 = 1.0;
const CURVE_PRICE: f64 = 1.3;
/// What being off by all that is allowed adds to a piece's price.
const OFF_PRICE: f64 = 0.5;
/// A stretch that is too far off is made longer so often before it is given up: a longer one may come nearer again.
const TRIES_BEYOND: u32 = 5;
/// So near a corner, in units, the lens has rounded the edge.
pub(super) const ROUNDED: f64 = 3.0;

/// How far pieces may lie off the chain, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Within {
    pub(super) rms: f64,
    pub(super) most: f64,
}

impl Within {
    /// What the chain's own wandering asks for.
    pub(super) fn of(chain: &Chain) -> Self {
        Self {
            rms: (1.3 * chain.wander_mm).clamp(0.035, 0.15),
            most: (4.0 * chain.wander_mm).clamp(0.11, 0.4),
        }
    }

    pub(super) fn wider(self, factor: f64) -> Self {
        Self {
            rms: self.rms * factor,
            most: self.most * factor,
        }
    }
}

/// A cut of the chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CutPlace {
    /// Which point of the chain; may be past its end, then counted on.
    pub(super) place: usize,
    /// Where the pieces meet, mm.
    pub(super) at: Point,
    /// Whether they meet in a corner.
    pub(super) corner: bool,
}

/// The chain in pieces: piece `i` goes from cut `i` to the next, the last one back to the first.
#[derive(Clone, Debug, Default)]
pub(super) struct Cuts {
    pub(super) cuts: Vec<CutPlace>,
    /// The curve of each piece; none for a straight one.
    pub(super) curves: Vec<Option<CubicBez>>,
}

/// Cuts the chain into the fewest pieces that stay within a distance.
pub(super) fn cut(
    chain: &Chain,
    corners: &[Corner],
    within: Within,
    stage: &mut Stage<'_>,
) -> Result<Cuts, TraceError> {
    let n = chain.len();
    // A shape without a corner is cut anywhere.
    let begin = CutPlace {
        place: 0,
        at: chain.at(0),
        corner: false,
    };
    let ends: Vec<CutPlace> = if corners.is_empty() {
        vec![begin]
    } else {
        let of = |c: &Corner| CutPlace {
            place: c.place,
            at: c.at,
            corner: true,
        };
        corners.iter().map(of).collect()
    };
    let mut whole = Cuts::default();
    for (i, from) in ends.iter().enumerate() {
        stage.at(i as f64 / ends.len() as f64)?;
        let mut to = ends.get((i + 1) % ends.len()).copied().unwrap_or(begin);
        if to.place <= from.place {
            to.place += n;
        }
        let mut run = Run::new(chain, *from, to, within);
        run.walk(stage)?;
        run.collect(&mut whole)?;
    }
    Ok(whole)
}

/// The best way found to a place.
#[derive(Clone, Copy, Debug)]
struct Way {
    price: f64,
    from: usize,
    curve: Option<CubicBez>,
}

/// One stretch between corners.
struct Run<'a> {
    chain: &'a Chain,
    within: Within,
    places: Vec<CutPlace>,
    ways: Vec<Option<Way>>,
    rounded: usize,
}

impl<'a> Run<'a> {
    fn new(chain: &'a Chain, from: CutPlace, to: CutPlace, within: Within) -> Self {
        let stride = LEAST_STRIDE_MM.max(chain.spacing_mm * chain.len() as f64 / MOST_PLACES);
        let stride = chain.points_in(stride).max(2);
        let between = (from.place + stride..)
            .step_by(stride)
            .take_while(|place| place + stride / 2 < to.place)
            .map(|place| CutPlace {
                place,
                at: calm(chain, place),
                corner: false,
            });
        let places: Vec<CutPlace> = std::iter::once(from).chain(between).chain([to]).collect();
        Self {
            chain,
            within,
            ways: vec![None; places.len()],
            places,
            rounded: chain.points_in(ROUNDED * unit(chain)),
        }
    }

    /// Finds the cheapest way to each place.
    fn walk(&mut self, stage: &mut Stage<'_>) -> Result<(), TraceError> {
        for from in 0..self.places.len() {
            stage.going()?;
            let price = match self.ways.get(from).copied().flatten() {
                Some(way) => way.price,
                None if from == 0 => 0.0,
                None => continue,
            };
            let mut beyond = 0;
            for to in from + 1..self.places.len() {
                // The next place can always be gone to, lest a wild stretch has no way at all.
                let found = self.stretch(from, to, to == from + 1);
                let Some((own, curve)) = found else {
                    beyond += 1;
                    if beyond > TRIES_BEYOND {
                        break;
                    }
                    continue;
                };
                beyond = 0;
                let whole = price + own;
                if let Some(way) = self.ways.get_mut(to)
                    && way.is_none_or(|w| whole < w.price)
                {
                    *way = Some(Way {
                        price: whole,
                        from,
                        curve,
                    });
                }
            }
        }
        Ok(())
    }

    /// The price of a stretch, and its curve if it is not straight.
    fn stretch(
        &self,
        from: usize,
        to: usize,
        at_any_price: bool,
    ) -> Option<(f64, Option<CubicBez>)> {
        let (a, b) = (self.places.get(from)?, self.places.get(to)?);
        let points = self.points(a, b);
        let price = |off: Off, base: f64| {
            let fits = off.rms <= self.within.rms && off.most <= self.within.most;
            fits.then(|| base + OFF_PRICE * (off.rms / self.within.rms).powi(2))
        };
        let line = price(line_off(a.at, b.at, &points), LINE_PRICE).map(|p| (p, None));
        let curve = || {
            let (cubic, off) = cubic_through(a.at, b.at, &points)?;
            Some((price(off, CURVE_PRICE)?, Some(cubic)))
        };
        let dear = || at_any_price.then_some((4.0 * CURVE_PRICE, None));
        line.or_else(curve).or_else(dear)
    }

    /// Points of the chain between two cuts, clear of rounded corners and not too many.
    fn points(&self, a: &CutPlace, b: &CutPlace) -> Vec<Point> {
        let clear = |cut: &CutPlace| if cut.corner { self.rounded } else { 1 };
        let (from, to) = (a.place + clear(a), b.place.saturating_sub(clear(b)));
        if from > to {
            return Vec::new();
        }
        let every = ((to - from) / MOST_POINTS).max(1);
        (from..=to)
            .step_by(every)
            .map(|i| self.chain.at(i))
            .collect()
    }

    /// Follows the cheapest way back from the end, and adds its pieces.
    fn collect(&self, whole: &mut Cuts) -> Result<(), TraceError> {
        let mut found = Vec::new();
        let mut at = self.places.len().saturating_sub(1);
        while at > 0 {
            let way = self.ways.get(at).copied().flatten();
            let way = way.ok_or(TraceError::TooRough)?;
            let cut = self.places.get(way.from).ok_or(TraceError::TooRough)?;
            found.push((*cut, way.curve));
            at = way.from;
        }
        for (cut, curve) in found.into_iter().rev() {
            whole.cuts.push(cut);
            whole.curves.push(curve);
        }
        Ok(())
    }
}

/// A point of the chain without its wandering: the mean with its neighbors.
fn calm(chain: &Chain, place: usize) -> Point {
    let n = chain.len();
    let sum = (0..5)
        .map(|d| chain.at(place + n + d - 2).to_vec2())
        .fold(Point::ZERO.to_vec2(), |a, b| a + b);
    (sum / 5.0).to_point()
}
