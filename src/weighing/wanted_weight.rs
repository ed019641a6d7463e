//! What to grind for a wanted ground mass or balance: how thin a distal taper, or how high a bevel.
//!
//! Mass and balance have no closed form in either, so the value is searched: the knife is weighed for a row of values over all that can be ground, and between two
//! of them that lie on either side of what is wanted the root is closed in on. Of several the one nearest to the knife as it is counts.

use super::scale::weigh;
use crate::geometry::root_between;
use crate::knife::{
    Faces, Grind, Id, Knife, KnifeSet, LandmarkKind, Rise, Taper, ThicknessStation, usual_taper,
};

/// What is wanted of the ground steel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WantedWeight {
    /// Its mass, g.
    MassG(f64),
    /// Its balance, mm from the shoulder line.
    BalanceMm(f64),
}

/// What may be changed for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Means {
    /// How thick the taper leaves the steel at its last station; a knife without a taper gets one that is straight from the shoulder line
    /// to the tip.
    Taper,
    /// How high a grind rises, all along its run by the same factor.
    Bevel(Id),
}

/// The part of the knife that is changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Reground {
    /// The taper.
    Taper(Taper),
    /// The grind of this id.
    Grind(Grind),
}

/// An answer: what to grind, and what comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct WeightAnswer {
    /// What to grind.
    pub reground: Reground,
    /// The thickness at the last station, or the greatest height of the bevel, mm; for a grind by angle the greatest angle, radians.
    pub value: f64,
    /// Ground mass it gives, g.
    pub mass_g: f64,
    /// Balance of the ground steel it gives, mm.
    pub balance_mm: f64,
    /// Whether that is what was wanted; else it is the nearest that can be ground.
    pub reached: bool,
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoAnswer {
    /// The wanted number is none.
    #[error("that is no mass and no balance: give a number, a mass of more than 0")]
    NoNumber,
    /// Nothing to vary.
    #[error("there is nothing of that kind to change on this knife")]
    NoMeans,
    /// Not to be weighed.
    #[error("the ground steel can't be weighed: mend what the findings name first")]
    NotWeighed,
}

/// Steel is left this thick at least, mm (common practice, no source): thinner moves in the quench and burns on the belt.
const LEAST_THICKNESS_MM: f64 = 0.6;

/// A bevel is this high at least, mm.
const LEAST_BEVEL_MM: f64 = 1.0;

/// Values tried over the whole range.
const TRIES: u32 = 9;

/// Mass and balance are met within these.
const WITHIN_G: f64 = 0.002;
const WITHIN_MM: f64 = 0.002;

/// The answer by one of the means.
///
/// # Errors
/// The wish is no number, there is nothing to change, or the knife can't be weighed.
pub fn wanted_weight(
    knife: &Knife,
    set: &KnifeSet,
    wanted: WantedWeight,
    means: Means,
) -> Result<WeightAnswer, NoAnswer> {
    let (goal, within) = match wanted {
        WantedWeight::MassG(g) if g.is_finite() && g > 0.0 => (g, WITHIN_G),
        WantedWeight::BalanceMm(mm) if mm.is_finite() => (mm, WITHIN_MM),
        _ => return Err(NoAnswer::NoNumber),
    };
    let search = Search::new(knife, set, means)?;
    let off = |value: f64| {
        let Some((mass_g, balance_mm)) = search.weighed(value) else {
            return f64::NAN;
        };
        let off = match wanted {
            WantedWeight::MassG(_) => mass_g,
            WantedWeight::BalanceMm(_) => balance_mm,
        } - goal;
        // Near enough is there.
        if off.abs() <= within { 0.0 } else { off }
    };
    let (low, high) = search.range;
    let step = (high - low) / f64::from(TRIES - 1);
    let mut tried: Vec<(f64, f64)> = (0..TRIES)
        .map(|i| low + step * f64::from(i))
        .chain(search.now.filter(|now| (low..=high).contains(now)))
        .map(|value| (value, off(value)))
        .filter(|(_, off)| off.is_finite())
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let from_now = |value: f64| search.now.map_or(0.0, |now| (value - now).abs());
    let met = tried.iter().filter(|(_, off)| *off == 0.0).map(|t| t.0);
    let between = tried.windows(2).filter_map(|pair| match pair {
        [a, b] if a.1 * b.1 < 0.0 => root_between(*a, *b, &off),
        _ => None,
    });
    let root = met
        .chain(between)
        .min_by(|a, b| from_now(*a).total_cmp(&from_now(*b)));
    let nearest = tried
        .iter()
        .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        .map(|t| t.0);
    let value = root.or(nearest).ok_or(NoAnswer::NotWeighed)?;
    let (mass_g, balance_mm) = search.weighed(value).ok_or(NoAnswer::NotWeighed)?;
    Ok(WeightAnswer {
        reground: search.reground(value),
        value: search.told(value),
        mass_g,
        balance_mm,
        reached: root.is_some(),
    })
}

/// One search: what is varied, over which values.
struct Search<'a> {
    knife: &'a Knife,
    set: &'a KnifeSet,
    varied: Reground,
    /// Thickness at the last station, or the factor on a bevel's height.
    range: (f64, f64),
    /// The value of the knife as it is, if it has one.
    now: Option<f64>,
}

impl<'a> Search<'a> {
    fn new(knife: &'a Knife, set: &'a KnifeSet, means: Means) -> Result<Self, NoAnswer> {
        let edges = knife.grinding.grinds.iter().map(|g| g.edge_mm);
        let (varied, range, now) = match means {
            Means::Taper => {
                let own = knife.grinding.taper.clone();
                let now = own
                    .as_ref()
                    .and_then(|t| t.stations.last())
                    .map(|s| s.thickness_mm);
                let taper = own.or_else(|| straight_taper(knife));
                let taper = taper.ok_or(NoAnswer::NoMeans)?;
                let least = edges.fold(LEAST_THICKNESS_MM, f64::max);
                // No thicker than where it comes from.
                let before = taper.stations.iter().rev().nth(1);
                let most = before.ok_or(NoAnswer::NoMeans)?.thickness_mm;
                let most = most.min(knife.stock.thickness_mm);
                (Reground::Taper(taper), (least, most), now)
            }
            Means::Bevel(id) => {
                let mut grinds = knife.grinding.grinds.iter();
                let grind = grinds
                    .find(|g| g.id == id)
                    .ok_or(NoAnswer::NoMeans)?
                    .clone();
                let most = knife.contour().bounds().height();
                let (low, high) = heights(&grind, knife).ok_or(NoAnswer::NoMeans)?;
                let range = (LEAST_BEVEL_MM / low, most / high);
                (Reground::Grind(grind), range, Some(1.0))
            }
        };
        if range.0.is_nan() || range.1.is_nan() || range.0 >= range.1 {
            return Err(NoAnswer::NoMeans);
        }
        Ok(Self {
            knife,
            set,
            varied,
            range,
            now,
        })
    }

    fn reground(&self, value: f64) -> Reground {
        match &self.varied {
            Reground::Taper(taper) => {
                let mut taper = taper.clone();
                if let Some(last) = taper.stations.last_mut() {
                    last.thickness_mm = value;
                }
                Reground::Taper(taper)
            }
            Reground::Grind(grind) => Reground::Grind(raised(grind, value)),
        }
    }

    /// The value as it is told.
    fn told(&self, value: f64) -> f64 {
        match &self.varied {
            Reground::Taper(_) => value,
            Reground::Grind(grind) => greatest(&raised(grind, value)),
        }
    }

    /// Ground mass and balance for a value.
    fn weighed(&self, value: f64) -> Option<(f64, f64)> {
        let mut knife = self.knife.clone();
        match self.reground(value) {
            Reground::Taper(taper) => knife.grinding.taper = Some(taper),
            Reground::Grind(grind) => {
                let mut grinds = knife.grinding.grinds.iter_mut();
                let own = grinds.find(|g| g.id == grind.id)?;
                *own = grind;
            }
        }
        let ground = weigh(&knife, self.set).ground?;
        Some((ground.mass_g, ground.balance_mm))
    }
}

/// From the bar's thickness at the shoulder line straight to the tip.
fn straight_taper(knife: &Knife) -> Option<Taper> {
    let tip = knife.landmark_point(LandmarkKind::Tip)?.x;
    let thickness_mm = knife.stock.thickness_mm;
    let station = |x_mm| ThicknessStation { x_mm, thickness_mm };
    (tip > 1.0).then(|| Taper {
        stations: vec![station(0.0), station(tip)],
        faces: usual_taper(knife).map_or(Faces::Both, |usual| usual.faces),
    })
}

/// A grind so many times as high all along.
fn raised(grind: &Grind, by: f64) -> Grind {
    let mut grind = grind.clone();
    for cut in grind.sides.cuts_mut() {
        cut.rise = cut.rise.times_as_high(by);
    }
    grind
}

/// Least and greatest height of a grind, mm; of an angle as high as it makes the bevel in steel of the bar's thickness.
fn heights(grind: &Grind, knife: &Knife) -> Option<(f64, f64)> {
    let climb = (knife.stock.thickness_mm - grind.edge_mm) / 2.0;
    let heights = grind.sides.cuts().flat_map(|cut| {
        let stations = cut.rise.stations().iter();
        stations.map(move |station| match cut.rise {
            Rise::Height(_) => station.value,
            Rise::Angle(_) => climb / station.value.tan(),
        })
    });
    let range = heights.map(|h| (h, h));
    range
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .filter(|(low, high)| *low > 0.0 && high.is_finite())
}

/// The greatest value of a grind's stations.
fn greatest(grind: &Grind) -> f64 {
    let stations = grind.sides.cuts().flat_map(|cut| cut.rise.stations());
    stations.map(|s| s.value).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests;
