//! How the maker means to forge the blank: from which bar or billet, how much thinner it comes out, and what is lost on the way.

use super::Stock;

/// How a blank is forged. A knife without one is cut from the bar as it comes.
#[derive(Clone, Debug, PartialEq)]
pub struct ForgePlan {
    /// What goes into the fire.
    pub start: ForgeStart,
    /// What is lost on the way.
    pub losses: ForgingLosses,
}

/// What goes into the fire.
#[derive(Clone, Debug, PartialEq)]
pub enum ForgeStart {
    /// A bar of this section; how long it must be follows from the volume.
    Bar {
        /// Its width, mm.
        width_mm: f64,
        /// Its thickness, mm.
        thickness_mm: f64,
    },
    /// A stack of pieces that is welded; how thick each is follows from the layers, how long they are from the volume.
    Billet {
        /// Width of the pieces, mm.
        width_mm: f64,
        /// How many times thinner the layers come out of the forge: thickness before over thickness after.
        reduction: f64,
        /// Layers that come out otherwise: soft sides thin more than a hard core.
        own_ratios: Vec<OwnRatio>,
    },
}

/// A layer with a reduction of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnRatio {
    /// Which: 0 is the core, then the outer layers from the middle out.
    pub layer: u32,
    /// Thickness before over thickness after.
    pub ratio: f64,
}

/// What is lost between the bar and the finished blank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForgingLosses {
    /// Share of the mass that scales off in one set of heats. Practice `forging.scale-per-heat`: 2 to 3 percent.
    pub scale_per_heat: f64,
    /// Sets of heats. Practice `forging.scale-loss`: 5 to 10 percent for a whole blade, so two to four of them.
    pub heats: u32,
    /// Left on each face for grinding, mm. Practice `forging.grinding-per-side`: 0.5 to 1.
    pub grinding_per_side_mm: f64,
    /// Left around the outline for grinding, mm. Practice `forging.grinding-profile`: 1.5 to 3.
    pub grinding_profile_mm: f64,
    /// Cut off each end of the bar or billet, mm. Common practice for billets, no source: the ends weld badly. None on a plain bar.
    pub end_crop_mm: f64,
    /// Share of the volume lost in welding: scale between the layers, edges that did not take and are ground away. Ours: 5 percent, which with
    /// scale, crops and grinding makes the 20 to 40 percent of practice `forging.billet-loss`. None on a plain bar.
    pub weld: f64,
}

impl ForgingLosses {
    /// Usual losses from a plain bar.
    #[must_use]
    pub fn of_bar() -> Self {
        Self {
            scale_per_heat: 0.025,
            heats: 3,
            grinding_per_side_mm: 0.75,
            grinding_profile_mm: 2.0,
            end_crop_mm: 0.0,
            weld: 0.0,
        }
    }

    /// Usual losses from a forge-welded billet.
    #[must_use]
    pub fn of_billet() -> Self {
        Self {
            end_crop_mm: 5.0,
            weld: 0.05,
            ..Self::of_bar()
        }
    }

    /// Nothing is lost.
    #[must_use]
    pub fn none() -> Self {
        Self {
            scale_per_heat: 0.0,
            heats: 0,
            grinding_per_side_mm: 0.0,
            grinding_profile_mm: 0.0,
            end_crop_mm: 0.0,
            weld: 0.0,
        }
    }
}

impl ForgePlan {
    /// A bar to begin from: 30 mm wide, half as thick again as the blank with what grinding takes, in half millimeters. Ours: numbers to type over.
    #[must_use]
    pub fn from_bar(stock: &Stock) -> Self {
        let losses = ForgingLosses::of_bar();
        let forged = stock.thickness_mm + 2.0 * losses.grinding_per_side_mm;
        Self {
            start: ForgeStart::Bar {
                width_mm: 30.0,
                thickness_mm: (3.0 * forged).round() / 2.0,
            },
            losses,
        }
    }

    /// A billet to begin from: 40 mm wide, drawn out to a quarter. Ours: numbers to type over.
    #[must_use]
    pub fn from_billet() -> Self {
        Self {
            start: ForgeStart::Billet {
                width_mm: 40.0,
                reduction: 4.0,
                own_ratios: Vec::new(),
            },
            losses: ForgingLosses::of_billet(),
        }
    }
}

impl ForgeStart {
    /// How many times thinner a layer comes out: 0 is the core, then the outer layers from the middle out. 1 of a bar.
    #[must_use]
    pub fn ratio_of(&self, layer: u32) -> f64 {
        match self {
            Self::Bar { .. } => 1.0,
            Self::Billet {
                reduction,
                own_ratios,
                ..
            } => own_ratios
                .iter()
                .find(|own| own.layer == layer)
                .map_or(*reduction, |own| own.ratio),
        }
    }

    /// Gives a layer of a billet a reduction of its own.
    pub fn set_ratio(&mut self, layer: u32, ratio: f64) {
        if let Self::Billet { own_ratios, .. } = self {
            own_ratios.retain(|own| own.layer != layer);
            own_ratios.push(OwnRatio { layer, ratio });
            own_ratios.sort_by_key(|own| own.layer);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// (3 + 2·0.75)·1.5 = 6.75, in half millimeters 7 (a tie rounds up).
    #[test]
    fn a_bar_to_begin_from_is_stouter_than_the_blank() {
        let plan = ForgePlan::from_bar(&Stock::plain(3.0, 0.1, "steel"));
        assert!(
            matches!(plan.start, ForgeStart::Bar { thickness_mm, .. } if thickness_mm == 7.0),
            "{plan:?}"
        );
        assert_eq!(plan.start.ratio_of(0), 1.0);
    }

    #[test]
    fn layers_have_the_common_ratio_or_their_own() {
        let mut start = ForgePlan::from_billet().start;
        start.set_ratio(2, 6.0);
        start.set_ratio(2, 5.0);
        start.set_ratio(1, 3.0);
        let ratios: Vec<f64> = (0..3).map(|layer| start.ratio_of(layer)).collect();
        assert_eq!(ratios, [4.0, 3.0, 5.0]);
    }
}
