//! How much bar a set of knives takes, one line for each kind of bar.

use super::forge_stock::{ForgeTaken, forge_stock};
use super::weigh_up::WeighUp;
use crate::knife::{ForgeStart, Knife, KnifeSet, Stock};

/// How the blanks come out of the bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BarWork {
    /// Cut out of it.
    Cut,
    /// Forged from it.
    Forged,
    /// Forged from a stack of pieces welded together.
    Welded,
}

impl BarWork {
    /// The word for it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Forged => "forged",
            Self::Welded => "welded",
        }
    }
}

/// Bar of one kind that is needed.
#[derive(Clone, Debug, PartialEq)]
pub struct BarNeed {
    /// What it is made of: the steel, and for layered bars what lies around it.
    pub material: String,
    /// How the blanks come out of it.
    pub work: BarWork,
    /// The finished bar of the first of the knives, with its layers.
    pub stock: Stock,
    /// Thickness of the bar or the stack, mm.
    pub thickness_mm: f64,
    /// The least width every blank fits on, mm.
    pub width_mm: f64,
    /// All blanks laid end to end, straight, with nothing between them, mm.
    pub length_mm: f64,
    /// Mass of that bar, g: each cut blank on its own width, a forged one of all that goes into the fire. `None` where a density is unknown.
    pub mass_g: Option<f64>,
    /// How many blanks.
    pub blanks: u32,
    /// Names of the knives, in rack order.
    pub knives: Vec<String>,
}

/// The bar the knives take, each as often as `count` says, in the order in which each kind is first met. Knives that can't be measured are left out; their
/// names come second.
#[must_use]
pub fn bars_needed<'a>(
    knives: impl IntoIterator<Item = (&'a Knife, &'a WeighUp)>,
    set: &KnifeSet,
    count: impl Fn(&Knife) -> u32,
) -> (Vec<BarNeed>, Vec<String>) {
    let mut needs: Vec<BarNeed> = Vec::new();
    let mut left_out = Vec::new();
    for (knife, up) in knives {
        let blanks = count(knife);
        if blanks == 0 {
            continue;
        }
        let Some(one) = of_one(knife, set, up) else {
            left_out.push(knife.name.clone());
            continue;
        };
        let known = needs.iter_mut().find(|own| same_bar(own, &one));
        let n = f64::from(blanks);
        match known {
            Some(own) => {
                own.width_mm = own.width_mm.max(one.width_mm);
                own.length_mm += n * one.length_mm;
                own.mass_g = own.mass_g.zip(one.mass_g).map(|(a, b)| a + n * b);
                own.blanks += blanks;
                own.knives.push(knife.name.clone());
            }
            None => needs.push(BarNeed {
                length_mm: n * one.length_mm,
                mass_g: one.mass_g.map(|g| n * g),
                blanks,
                ..one
            }),
        }
    }
    (needs, left_out)
}

/// Whether blanks of both can come out of one bar. Forging is reckoned for bars of one width.
fn same_bar(a: &BarNeed, b: &BarNeed) -> bool {
    a.work == b.work
        && a.stock.material == b.stock.material
        && a.stock.layering == b.stock.layering
        && a.thickness_mm == b.thickness_mm
        && (a.work == BarWork::Cut || a.width_mm == b.width_mm)
}

fn of_one(knife: &Knife, set: &KnifeSet, up: &WeighUp) -> Option<BarNeed> {
    let need = |work, thickness_mm, width_mm, length_mm, mass_g| BarNeed {
        material: material_words(&knife.stock, set),
        stock: knife.stock.clone(),
        work,
        thickness_mm,
        width_mm,
        length_mm,
        mass_g,
        blanks: 1,
        knives: vec![knife.name.clone()],
    };
    let Some(plan) = &knife.forging else {
        let extent = up.steel.extent;
        return (extent.overall_mm > 0.0).then(|| {
            need(
                BarWork::Cut,
                knife.stock.thickness_mm,
                extent.bar_width_mm,
                extent.overall_mm,
                up.steel.bar_mass_g,
            )
        });
    };
    let taken = forge_stock(knife, &knife.contour(), up)?.ok()?.taken;
    let grams = |key: &str, mm3: f64| Some(set.material(key)?.density_g_cm3 * mm3 / 1000.0);
    Some(match (&plan.start, taken) {
        (
            ForgeStart::Bar {
                width_mm,
                thickness_mm,
            },
            ForgeTaken::Bar { length_mm },
        ) => {
            let mass = grams(&knife.stock.material, width_mm * thickness_mm * length_mm);
            need(BarWork::Forged, *thickness_mm, *width_mm, length_mm, mass)
        }
        (
            ForgeStart::Billet { width_mm, .. },
            ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm,
            },
        ) => {
            let masses = pieces
                .iter()
                .map(|p| grams(&p.material, width_mm * p.stack_mm * length_mm));
            let mass = masses.sum::<Option<f64>>();
            need(BarWork::Welded, stack_mm, *width_mm, length_mm, mass)
        }
        _ => return None,
    })
}

/// `80CrV2`, or for a layered bar `52100 in 15N20 in 1018`.
fn material_words(stock: &Stock, set: &KnifeSet) -> String {
    let name = |key: &String| set.material(key).map_or(key, |m| &m.name).clone();
    let outer = stock.layering.outer.iter();
    let outer = outer.map(|layer| name(&layer.material));
    let all: Vec<String> = std::iter::once(name(&stock.material))
        .chain(outer)
        .collect();
    all.join(" in ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::knife::{ForgePlan, ForgingLosses, FullTang, Layer, Material, Node, Outline, Tang};
    use crate::weighing::weigh;

    fn set() -> KnifeSet {
        let of = |key: &str, density: f64| Material {
            key: key.to_owned(),
            name: key.to_uppercase(),
            density_g_cm3: density,
            density_low: density,
            density_high: density,
            data_sheet: String::new(),
        };
        KnifeSet {
            materials: vec![of("steel", 8.0), of("iron", 7.5)],
            ..KnifeSet::default()
        }
    }

    fn strip(name: &str, long: f64, wide: f64, stock: Stock) -> Knife {
        let corners = [(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)];
        let nodes = (0..).zip(corners);
        let nodes = nodes.map(|(id, at)| Node::corner(id, Point::from(at)));
        let outline = Outline {
            nodes: nodes.collect(),
        };
        let tang = Tang::Full(FullTang::straight(100.0, 25.0));
        Knife::bare(name, outline, stock, tang)
    }

    fn needed(knives: &[Knife], count: u32) -> (Vec<BarNeed>, Vec<String>) {
        let set = set();
        let ups: Vec<WeighUp> = knives.iter().map(|k| weigh(k, &set)).collect();
        bars_needed(knives.iter().zip(&ups), &set, |_| count)
    }

    /// By hand: 200 × 30 and 100 × 40 of 3 mm, twice each: 600 mm of a bar 40 wide, 2·(200·30 + 100·40)·3 mm³ of 8 g/cm³ = 480 g. The 5 mm bar is another.
    #[test]
    fn blanks_of_one_bar_are_laid_end_to_end() {
        let knives = [
            strip("long", 200.0, 30.0, Stock::plain(3.0, 0.1, "steel")),
            strip("thick", 150.0, 30.0, Stock::plain(5.0, 0.1, "steel")),
            strip("short", 100.0, 40.0, Stock::plain(3.0, 0.1, "steel")),
        ];
        let (needs, left_out) = needed(&knives, 2);
        assert_eq!(left_out, Vec::<String>::new());
        assert_eq!(needs.len(), 2);
        let thin = &needs[0];
        assert_eq!(thin.material, "STEEL");
        assert_eq!(thin.knives, ["long", "short"]);
        assert_eq!((thin.blanks, thin.work), (4, BarWork::Cut));
        assert!((thin.length_mm - 600.0).abs() < 1e-9);
        assert!((thin.width_mm - 40.0).abs() < 1e-9);
        assert!((thin.mass_g.unwrap() - 480.0).abs() < 1e-9);
        assert!((needs[1].length_mm - 300.0).abs() < 1e-9);
    }

    /// 200 × 30 × 3 mm with nothing lost is 18 000 mm³: 72 mm of a 25 × 10 bar, 144 g at 8 g/cm³.
    #[test]
    fn a_forged_blank_takes_its_volume_of_its_own_bar() {
        let mut knife = strip("forged", 200.0, 30.0, Stock::plain(3.0, 0.1, "steel"));
        knife.forging = Some(ForgePlan {
            start: ForgeStart::Bar {
                width_mm: 25.0,
                thickness_mm: 10.0,
            },
            losses: ForgingLosses {
                heats: 0,
                scale_per_heat: 0.0,
                weld: 0.0,
                end_crop_mm: 0.0,
                grinding_per_side_mm: 0.0,
                grinding_profile_mm: 0.0,
            },
        });
        let (needs, _) = needed(&[knife], 1);
        let need = &needs[0];
        assert_eq!(
            (need.work, need.width_mm, need.thickness_mm),
            (BarWork::Forged, 25.0, 10.0)
        );
        assert!((need.length_mm - 72.0).abs() < 1e-9, "{need:?}");
        assert!((need.mass_g.unwrap() - 144.0).abs() < 1e-9);
    }

    #[test]
    fn layered_bars_are_told_apart_and_a_crossing_outline_still_has_a_size() {
        let mut clad = Stock::plain(3.0, 0.1, "steel");
        clad.layering.outer = vec![Layer {
            name: "cladding".to_owned(),
            material: "iron".to_owned(),
            thickness_mm: 1.0,
        }];
        let mut wild = strip("wild", 100.0, 20.0, Stock::plain(3.0, 0.1, "steel"));
        wild.outline.nodes[0].at.x = f64::NAN;
        let knives = [
            strip("clad", 100.0, 20.0, clad),
            strip("plain", 100.0, 20.0, Stock::plain(3.0, 0.1, "steel")),
            wild,
        ];
        let (needs, left_out) = needed(&knives, 1);
        let names: Vec<&str> = needs.iter().map(|n| n.material.as_str()).collect();
        assert_eq!(names, ["STEEL in IRON", "STEEL"]);
        assert_eq!(left_out, ["wild"]);
        let (none, _) = needed(&knives, 0);
        assert_eq!(none, vec![]);
    }
}
