//! Reading a weigh-in: how far the scale is from what was foretold for that stage, and the likeliest single cause.
//!
//! Each cause is worked out by itself: how much thicker the bar, how much denser the steel, or how much lower the bevel would have to be for the
//! scale to be right. Its size is measured by what is common (the bar's tolerance, the density's spread, [`USUAL_BEVEL_SLIP_MM`]), and where the balance
//! was found too, what the cause leaves of it by [`FINGER_MM`]. The smaller the sum of squares, the likelier; causes within [`ALIKE`] of the likeliest
//! can't be told apart. One cause at a time: in the shop there may be several.

use super::bands::Band;
use super::scale::weigh;
use super::stages::StageWeight;
use super::weigh_up::WeighUp;
use crate::knife::{Cut, Grind, Id, Knife, KnifeSet, Material, Rise, Stage, Stock, WeighIn};

/// How far a bevel's height is off on a careful day, mm. Common practice, no source.
pub const USUAL_BEVEL_SLIP_MM: f64 = 0.8;
/// How near a balance point is found on a finger, mm. Common practice, no source.
pub const FINGER_MM: f64 = 1.0;
/// Causes whose misfit is within this of the smallest can't be told apart. One: a likelihood ratio of e^(1/2), which proves nothing.
pub const ALIKE: f64 = 1.0;
/// A kitchen scale tells a gram, g: differences below half of it mean nothing.
const SCALE_G: f64 = 0.5;
/// Least a tolerance counts as, mm: no bar is truer than a caliper reads.
const LEAST_TOLERANCE_MM: f64 = 0.02;
/// Least share a density counts as unsure.
const LEAST_SPREAD: f64 = 0.002;
/// A cause is not believed beyond these shares of the nominal value.
const MOST_SHARE: f64 = 0.35;
/// Steps of the search for a cause's size.
const STEPS: u32 = 12;

/// A single cause, with its size.
#[derive(Clone, Debug, PartialEq)]
pub enum CauseKind {
    /// The bar is thicker than was told, mm; negative thinner.
    Thickness {
        /// By this much.
        by_mm: f64,
        /// So thick it would be.
        real_mm: f64,
    },
    /// The core's steel is denser than was told, g/cm³; all layers by the same share.
    Density {
        /// By this much.
        by_g_cm3: f64,
        /// So dense it would be.
        real_g_cm3: f64,
    },
    /// A bevel stands higher than was drawn, mm; negative lower.
    Bevel {
        /// Which grind.
        grind: Id,
        /// Its name.
        name: String,
        /// By this much at its highest place.
        by_mm: f64,
        /// So many times as high as drawn it would be.
        times: f64,
    },
}

/// What a design becomes when a cause is taken for true.
#[derive(Clone, Debug, PartialEq)]
pub enum Corrected {
    /// The bar.
    Stock(Stock),
    /// The materials of the bar's layers.
    Materials(Vec<Material>),
    /// The grind of this id.
    Grind(Grind),
}

impl CauseKind {
    /// The part of the design that this cause changes, as it really is; `None` when the knife no longer has it.
    #[must_use]
    pub fn corrected(&self, knife: &Knife, set: &KnifeSet) -> Option<Corrected> {
        match self {
            Self::Thickness { real_mm, .. } => {
                Some(Corrected::Stock(knife.stock.rolled_to(*real_mm)))
            }
            Self::Density { real_g_cm3, .. } => {
                let share = real_g_cm3 / set.material(&knife.stock.material)?.density_g_cm3;
                let own = set.materials.iter().filter(|m| is_of_bar(&knife.stock, m));
                let real = own.map(|material| material.as_dense_as(material.density_g_cm3 * share));
                Some(Corrected::Materials(real.collect()))
            }
            Self::Bevel { grind, times, .. } => {
                let own = knife.grinding.grinds.iter().find(|g| g.id == *grind)?;
                Some(Corrected::Grind(times_as_high(own, *times)))
            }
        }
    }
}

/// A cause and how well it fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// What, and how much.
    pub kind: CauseKind,
    /// Sum of squares of its size by what is common and of what it leaves of the balance; the smaller the likelier.
    pub misfit: f64,
    /// What it leaves of the balance, mm, where the balance was found.
    pub leaves_mm: Option<f64>,
}

/// What a weigh-in tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was foretold, g.
    pub foretold_g: f64,
    /// Its band, g.
    pub band_g: Band,
    /// The scale less what was foretold, g.
    pub off_g: f64,
    /// What was foretold of the balance, mm.
    pub foretold_mm: f64,
    /// The finger less that, where it was tried, mm.
    pub off_mm: Option<f64>,
    /// Causes, the likeliest first; none while the scale is as right as a scale can be.
    pub causes: Vec<Cause>,
    /// How many of them, from the first, can't be told apart.
    pub alike: usize,
}

impl Reading {
    /// Whether the scale is within the band that was foretold.
    #[must_use]
    pub fn is_expected(&self) -> bool {
        self.band_g.contains(self.foretold_g + self.off_g)
    }
}

/// What a weigh-in of a knife tells; `None` while nothing can be foretold for its stage.
#[must_use]
pub fn read_weigh_in(knife: &Knife, set: &KnifeSet, weigh_in: &WeighIn) -> Option<Reading> {
    let up = weigh(knife, set);
    let own = StageWeight::of(&up, weigh_in.stage)?;
    let off_g = weigh_in.mass_g - own.mass_g;
    let off_mm = weigh_in.balance_mm.map(|mm| mm - own.balance_mm);
    let mut causes = Vec::new();
    if off_g.abs() >= SCALE_G {
        let suspect = Suspect {
            knife,
            set,
            weigh_in,
        };
        causes.extend(suspect.thickness());
        causes.extend(suspect.density());
        if matches!(weigh_in.stage, Stage::Ground | Stage::Finished) {
            causes.extend(suspect.bevel(&up));
        }
        causes.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
    }
    let alike = causes.first().map_or(0, |best| {
        let near = |cause: &&Cause| cause.misfit <= best.misfit + ALIKE;
        causes.iter().take_while(near).count()
    });
    Some(Reading {
        foretold_g: own.mass_g,
        band_g: own.mass_band_g,
        off_g,
        foretold_mm: own.balance_mm,
        off_mm,
        causes,
        alike,
    })
}

/// A knife whose weigh-in is being read.
struct Suspect<'a> {
    knife: &'a Knife,
    set: &'a KnifeSet,
    weigh_in: &'a WeighIn,
}

impl Suspect<'_> {
    /// The share by which something must be larger for the scale to be right, and the balance then. `make` gives the knife with that share.
    fn share(&self, make: impl Fn(f64) -> (Knife, KnifeSet)) -> Option<(f64, f64)> {
        let told = |share: f64| {
            let (knife, set) = make(share);
            let own = StageWeight::of(&weigh(&knife, &set), self.weigh_in.stage)?;
            Some((own.mass_g - self.weigh_in.mass_g, own.balance_mm))
        };
        // Secant: masses are nearly straight in all three causes.
        let (mut a, mut b) = (0.0, 0.02);
        let mut off_a = told(a)?.0;
        for _ in 0..STEPS {
            let (off_b, balance) = told(b)?;
            if off_b.abs() < 1e-6 * self.weigh_in.mass_g {
                return (b.abs() <= MOST_SHARE).then_some((b, balance));
            }
            if off_b == off_a {
                return None;
            }
            let next = b - off_b * (b - a) / (off_b - off_a);
            (a, off_a, b) = (b, off_b, next.clamp(-2.0 * MOST_SHARE, 2.0 * MOST_SHARE));
        }
        None
    }

    fn cause(&self, kind: CauseKind, by_common: f64, balance: f64) -> Cause {
        let leaves_mm = self.weigh_in.balance_mm.map(|mm| mm - balance);
        let left = leaves_mm.map_or(0.0, |mm| mm / FINGER_MM);
        Cause {
            kind,
            misfit: by_common * by_common + left * left,
            leaves_mm,
        }
    }

    fn thickness(&self) -> Option<Cause> {
        let stock = &self.knife.stock;
        let real = |share: f64| stock.thickness_mm * (1.0 + share);
        let (share, balance) = self.share(|share| {
            // A taper is ground to its own thicknesses all the same.
            let mut knife = self.knife.clone();
            knife.stock = stock.rolled_to(real(share));
            (knife, self.set.clone())
        })?;
        let by_mm = share * stock.thickness_mm;
        let common = stock.tolerance_mm.max(LEAST_TOLERANCE_MM);
        let kind = CauseKind::Thickness {
            by_mm,
            real_mm: real(share),
        };
        Some(self.cause(kind, by_mm / common, balance))
    }

    fn density(&self) -> Option<Cause> {
        let core = self.set.material(&self.knife.stock.material)?;
        let (share, balance) = self.share(|share| {
            let mut set = self.set.clone();
            for own in &mut set.materials {
                if is_of_bar(&self.knife.stock, own) {
                    own.density_g_cm3 *= 1.0 + share;
                }
            }
            (self.knife.clone(), set)
        })?;
        let spread = (core.density_high - core.density_low) / 2.0 / core.density_g_cm3;
        let kind = CauseKind::Density {
            by_g_cm3: share * core.density_g_cm3,
            real_g_cm3: (1.0 + share) * core.density_g_cm3,
        };
        Some(self.cause(kind, share / spread.max(LEAST_SPREAD), balance))
    }

    /// The grind that takes most: it is where a hand slips most.
    fn bevel(&self, up: &WeighUp) -> Option<Cause> {
        let most = up
            .grinds
            .iter()
            .max_by(|a, b| a.removed_g.total_cmp(&b.removed_g))?;
        let grinds = &self.knife.grinding.grinds;
        let place = grinds.iter().position(|g| g.id == most.id)?;
        let grind = grinds.get(place)?;
        let (share, balance) = self.share(|share| {
            let mut knife = self.knife.clone();
            if let Some(own) = knife.grinding.grinds.get_mut(place) {
                *own = times_as_high(grind, 1.0 + share);
            }
            (knife, self.set.clone())
        })?;
        let by_mm = share * height_mm(self.knife, grind)?;
        let kind = CauseKind::Bevel {
            grind: most.id,
            name: most.name.clone(),
            by_mm,
            times: 1.0 + share,
        };
        Some(self.cause(kind, by_mm / USUAL_BEVEL_SLIP_MM, balance))
    }
}

/// Whether a bar has a layer of a material.
fn is_of_bar(stock: &Stock, material: &Material) -> bool {
    let outer = stock.layering.outer.iter().map(|l| &l.material);
    std::iter::once(&stock.material)
        .chain(outer)
        .any(|key| *key == material.key)
}

/// A grind that rises so many times as high, all along its run.
fn times_as_high(grind: &Grind, times: f64) -> Grind {
    let mut grind = grind.clone();
    for cut in grind.sides.cuts_mut() {
        cut.rise = cut.rise.times_as_high(times);
    }
    grind
}

/// The greatest height of a grind over its run, mm: as it is given, or as its angle makes it from edge to face.
fn height_mm(knife: &Knife, grind: &Grind) -> Option<f64> {
    let faces = if grind.sides.is_chisel() { 1.0 } else { 2.0 };
    let rise_mm = (knife.stock.thickness_mm - grind.edge_mm) / faces;
    let highest = |cut: &Cut| {
        let values = cut.rise.stations().iter().map(|s| match cut.rise {
            Rise::Height(_) => s.value,
            Rise::Angle(_) => rise_mm / s.value.tan(),
        });
        values.fold(0.0, f64::max)
    };
    Some(grind.sides.cuts().map(highest).fold(0.0, f64::max)).filter(|mm| *mm > 0.0)
}

#[cfg(test)]
mod tests;
