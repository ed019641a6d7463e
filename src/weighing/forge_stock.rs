//! What the maker takes to the forge for a knife: so much of the bar, or a stack of pieces, by the plan that goes with the knife.

use super::forging::{
    BilletPiece, ForgingError, ForgingNeed, Reduction, WantedBlank, bar_length_mm, billet_stack,
    forging_need, share_lost,
};
use super::weigh_up::WeighUp;
use crate::geometry::Contour;
use crate::knife::{ForgeStart, Knife};

/// What to take to the forge.
#[derive(Clone, Debug, PartialEq)]
pub struct ForgeStock {
    /// Volumes and thickness on the way.
    pub need: ForgingNeed,
    /// Share of the volume that scale and welding take.
    pub share_lost: f64,
    /// The bar or the billet.
    pub taken: ForgeTaken,
}

/// The bar or the billet.
#[derive(Clone, Debug, PartialEq)]
pub enum ForgeTaken {
    /// A piece of bar.
    Bar {
        /// How long it must be, mm.
        length_mm: f64,
    },
    /// A stack of pieces.
    Billet {
        /// Each piece, from the left face to the right one.
        pieces: Vec<BilletPiece>,
        /// All of them together, mm.
        stack_mm: f64,
        /// How long they must be, mm.
        length_mm: f64,
    },
}

/// What to take to the forge for a knife with a plan. `contour` is its outline, `up` its weigh-up; `None` without a plan, and while the blank can't be weighed.
///
/// The blank is the flat steel under the outline, before any hole and any grind, at the bar's own thickness: holes are drilled later, and bevels are ground.
///
/// # Errors
/// A number of the plan can't be, or a layer has no thickness.
#[must_use]
pub fn forge_stock(
    knife: &Knife,
    contour: &Contour,
    up: &WeighUp,
) -> Option<Result<ForgeStock, ForgingError>> {
    let plan = knife.forging.as_ref()?;
    up.steel.blank_mass_g?;
    let area_mm2 = contour.moments().area.abs();
    let blank = WantedBlank {
        volume_mm3: area_mm2 * knife.stock.thickness_mm,
        area_mm2,
        perimeter_mm: contour.perimeter(),
    };
    let reckoned = || {
        let need = forging_need(&blank, &plan.losses)?;
        Ok(ForgeStock {
            need,
            share_lost: share_lost(&plan.losses)?,
            taken: taken(knife, &plan.start, &need)?,
        })
    };
    Some(reckoned())
}

fn taken(
    knife: &Knife,
    start: &ForgeStart,
    need: &ForgingNeed,
) -> Result<ForgeTaken, ForgingError> {
    match start {
        ForgeStart::Bar {
            width_mm,
            thickness_mm,
        } => Ok(ForgeTaken::Bar {
            length_mm: bar_length_mm(need, *width_mm, *thickness_mm)?,
        }),
        ForgeStart::Billet {
            width_mm,
            reduction,
            ..
        } => {
            let outer = (1..).take(knife.stock.layering.outer.len());
            let reduction = Reduction {
                all: *reduction,
                core: Some(start.ratio_of(0)),
                outer: outer.map(|layer| Some(start.ratio_of(layer))).collect(),
            };
            let per_side = (need.forged_thickness_mm - knife.stock.thickness_mm) / 2.0;
            let pieces = billet_stack(&knife.stock, &reduction, per_side.max(0.0))?;
            let stack_mm = pieces.iter().map(|piece| piece.stack_mm).sum();
            Ok(ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm: bar_length_mm(need, *width_mm, stack_mm)?,
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::knife::{
        ForgePlan, ForgingLosses, FullTang, KnifeSet, Layer, Material, Node, Outline, Stock, Tang,
    };
    use crate::weighing::weigh;

    /// A strip 200 × 30 of 3 mm: 6000 mm² with 460 mm around.
    fn strip(plan: Option<ForgePlan>) -> Knife {
        let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)];
        let nodes = (0..).zip(corners);
        let outline = Outline {
            nodes: nodes
                .map(|(id, at)| Node::corner(id, Point::from(at)))
                .collect(),
        };
        Knife {
            forging: plan,
            ..Knife::bare(
                "strip",
                outline,
                Stock::plain(3.0, 0.1, "steel"),
                Tang::Full(FullTang::straight(100.0, 25.0)),
            )
        }
    }

    fn reckoned(knife: &Knife) -> Option<Result<ForgeStock, ForgingError>> {
        let set = KnifeSet {
            materials: vec![Material {
                key: "steel".to_owned(),
                name: "Steel".to_owned(),
                density_g_cm3: 8.0,
                density_low: 8.0,
                density_high: 8.0,
                data_sheet: String::new(),
            }],
            ..KnifeSet::default()
        };
        forge_stock(knife, &knife.contour(), &weigh(knife, &set))
    }

    fn bar(losses: ForgingLosses) -> Option<ForgePlan> {
        let start = ForgeStart::Bar {
            width_mm: 25.0,
            thickness_mm: 6.0,
        };
        Some(ForgePlan { start, losses })
    }

    /// Nothing lost, 18,000 mm³ are 120 mm of 25 × 6; with a tenth scaled off 20,000 mm³ and 133.33 mm.
    #[test]
    fn a_bar_is_as_long_as_the_volume_asks() {
        let length = |losses| match reckoned(&strip(bar(losses))).unwrap().unwrap().taken {
            ForgeTaken::Bar { length_mm } => length_mm,
            ForgeTaken::Billet { .. } => f64::NAN,
        };
        assert!((length(ForgingLosses::none()) - 120.0).abs() < 1e-9);
        let tenth = ForgingLosses {
            scale_per_heat: 0.1,
            heats: 1,
            ..ForgingLosses::none()
        };
        assert!((length(tenth) - 20_000.0 / 150.0).abs() < 1e-9);
        // The usual losses: 0.75 on each face and 2 all round make (6000 + 460·2 + 4π)·4.5 mm³, of which 0.975³ is left.
        let start = (6920.0 + 4.0 * std::f64::consts::PI) * 4.5 / 0.975_f64.powi(3);
        assert!((length(ForgingLosses::of_bar()) - start / 150.0).abs() < 1e-9);
        assert_eq!(reckoned(&strip(None)), None);
    }

    /// A core of 1 between claddings of 1, thinned five times and the claddings six: pieces of 6, 5 and 6 in a stack of 17, 40 wide: 18,000/680 long. With 0.5 left
    /// on each face the claddings are 1.5 as forged, so 9.
    #[test]
    fn a_billet_is_stacked_of_its_layers() {
        let mut plan = ForgePlan::from_billet();
        plan.losses = ForgingLosses::none();
        plan.start = ForgeStart::Billet {
            width_mm: 40.0,
            reduction: 5.0,
            own_ratios: Vec::new(),
        };
        plan.start.set_ratio(1, 6.0);
        let mut knife = strip(Some(plan));
        knife.stock.layering.outer.push(Layer {
            name: "cladding".to_owned(),
            material: "steel".to_owned(),
            thickness_mm: 1.0,
        });
        let stacked = |knife: &Knife| match reckoned(knife).unwrap().unwrap().taken {
            ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm,
            } => {
                let each: Vec<f64> = pieces.iter().map(|piece| piece.stack_mm).collect();
                (each, stack_mm, length_mm)
            }
            ForgeTaken::Bar { .. } => (Vec::new(), f64::NAN, f64::NAN),
        };
        let near =
            |found: f64, truth: f64| assert!((found - truth).abs() < 1e-9, "{found} {truth}");
        let (each, stack, length) = stacked(&knife);
        assert_eq!(each.len(), 3);
        for (found, truth) in each.iter().zip([6.0, 5.0, 6.0]) {
            near(*found, truth);
        }
        near(stack, 17.0);
        near(length, 18_000.0 / 680.0);
        if let Some(plan) = &mut knife.forging {
            plan.losses.grinding_per_side_mm = 0.5;
        }
        let (each, stack, length) = stacked(&knife);
        for (found, truth) in each.iter().zip([9.0, 5.0, 9.0]) {
            near(*found, truth);
        }
        near(stack, 23.0);
        near(length, 24_000.0 / 920.0);
    }

    /// An outline that crosses itself has no area to go by.
    #[test]
    fn an_unsound_blank_has_no_answer() {
        let mut knife = strip(bar(ForgingLosses::none()));
        knife.outline.nodes.swap(1, 2);
        assert_eq!(reckoned(&knife), None);
    }
}
