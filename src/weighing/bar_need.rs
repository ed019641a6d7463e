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
    /// Mass of that bar, g: its width, length and thickness at the density of its layers. `None` where a density is unknown.
    pub mass_g: Option<f64>,
    /// How many blanks.
    pub blanks: u32,
    /// Names of the knives, in rack order.
    pub knives: Vec<String>,
}

/// A need that is still being added up, with what its bar weighs for each square millimeter of its face, g.
struct Kind {
    need: BarNeed,
    g_per_mm2: Option<f64>,
}

/// Thicknesses and widths are the same within this, mm: far below what any bar is rolled to.
const SAME_MM: f64 = 1e-6;

fn same(a_mm: f64, b_mm: f64) -> bool {
    (a_mm - b_mm).abs() <= SAME_MM
}

/// The bar the knives take, each as often as `count` says, in the order in which each kind is first met. Knives that can't be measured are left out; their
/// names come second.
#[must_use]
pub fn bars_needed<'a>(
    knives: impl IntoIterator<Item = (&'a Knife, &'a WeighUp)>,
    set: &KnifeSet,
    count: impl Fn(&Knife) -> u32,
) -> (Vec<BarNeed>, Vec<String>) {
    let mut kinds: Vec<Kind> = Vec::new();
    let mut left_out = Vec::new();
    for (knife, up) in knives {
        let blanks = count(knife);
        if blanks == 0 {
            continue;
        }
        let Some(mut one) = of_one(knife, set, up) else {
            left_out.push(knife.name.clone());
            continue;
        };
        one.need.length_mm *= f64::from(blanks);
        one.need.blanks = blanks;
        match kinds.iter_mut().find(|own| own.is_same_bar(&one)) {
            Some(own) => own.add(one),
            None => kinds.push(one),
        }
    }
    (kinds.into_iter().map(Kind::weighed).collect(), left_out)
}

impl Kind {
    /// Whether blanks of both can come out of one bar, whatever its layers are called. Forging is reckoned for bars of one width.
    fn is_same_bar(&self, other: &Self) -> bool {
        let (a, b) = (&self.need, &other.need);
        a.work == b.work
            && same_layers(&a.stock, &b.stock)
            && same(a.thickness_mm, b.thickness_mm)
            && (a.work == BarWork::Cut || same(a.width_mm, b.width_mm))
    }

    fn add(&mut self, one: Self) {
        let (own, one) = (&mut self.need, one.need);
        own.width_mm = own.width_mm.max(one.width_mm);
        own.length_mm += one.length_mm;
        own.blanks += one.blanks;
        own.knives.extend(one.knives);
    }

    /// The whole bar is weighed, as wide as its widest blank: that is what the maker buys.
    fn weighed(self) -> BarNeed {
        let face_mm2 = self.need.width_mm * self.need.length_mm;
        BarNeed {
            mass_g: self.g_per_mm2.map(|g| g * face_mm2),
            ..self.need
        }
    }
}

/// Whether two bars are of the same materials, layer by layer, and equally thick ones.
fn same_layers(a: &Stock, b: &Stock) -> bool {
    let (outer_a, outer_b) = (&a.layering.outer, &b.layering.outer);
    a.material == b.material
        && outer_a.len() == outer_b.len()
        && outer_a
            .iter()
            .zip(outer_b)
            .all(|(a, b)| a.material == b.material && same(a.thickness_mm, b.thickness_mm))
}

fn of_one(knife: &Knife, set: &KnifeSet, up: &WeighUp) -> Option<Kind> {
    let bar = match &knife.forging {
        None => cut_from(knife, up)?,
        Some(plan) => forged_from(knife, set, up, &plan.start)?,
    };
    let need = BarNeed {
        material: material_words(&knife.stock, set),
        stock: knife.stock.clone(),
        work: bar.work,
        thickness_mm: bar.thickness_mm,
        width_mm: bar.width_mm,
        length_mm: bar.length_mm,
        mass_g: None,
        blanks: 1,
        knives: vec![knife.name.clone()],
    };
    Some(Kind {
        need,
        g_per_mm2: bar.g_per_mm2,
    })
}

/// What one blank takes.
struct Taken {
    work: BarWork,
    thickness_mm: f64,
    width_mm: f64,
    length_mm: f64,
    g_per_mm2: Option<f64>,
}

fn cut_from(knife: &Knife, up: &WeighUp) -> Option<Taken> {
    let extent = up.steel.extent;
    let face_mm2 = extent.overall_mm * extent.bar_width_mm;
    (face_mm2 > 0.0).then(|| Taken {
        work: BarWork::Cut,
        thickness_mm: knife.stock.thickness_mm,
        width_mm: extent.bar_width_mm,
        length_mm: extent.overall_mm,
        g_per_mm2: up.steel.bar_mass_g.map(|g| g / face_mm2),
    })
}

fn forged_from(knife: &Knife, set: &KnifeSet, up: &WeighUp, start: &ForgeStart) -> Option<Taken> {
    let contour = knife.contour();
    match (start, forge_stock(knife, &contour, up)?.ok()?.taken) {
        (
            ForgeStart::Bar {
                width_mm,
                thickness_mm,
            },
            ForgeTaken::Bar { length_mm },
        ) => {
            // A layered bar keeps the shares of its layers under the hammer, and so its density.
            let blank_mm3 = contour.moments().area.abs() * knife.stock.thickness_mm;
            let g_per_mm3 = up.steel.blank_mass_g.map(|g| g / blank_mm3);
            Some(Taken {
                work: BarWork::Forged,
                thickness_mm: *thickness_mm,
                width_mm: *width_mm,
                length_mm,
                g_per_mm2: g_per_mm3.map(|g| g * thickness_mm),
            })
        }
        (
            ForgeStart::Billet { width_mm, .. },
            ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm,
            },
        ) => {
            let grams = pieces
                .iter()
                .map(|p| Some(set.material(&p.material)?.density_g_cm3 * p.stack_mm / 1000.0));
            Some(Taken {
                work: BarWork::Welded,
                thickness_mm: stack_mm,
                width_mm: *width_mm,
                length_mm,
                g_per_mm2: grams.sum(),
            })
        }
        _ => None,
    }
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

    /// By hand: 200 × 30 and 100 × 40 of 3 mm, twice each: 600 mm of a bar 40 wide, 600·40·3 mm³ of 8 g/cm³ = 576 g. The 5 mm bar is another:
    /// 300·30·5 mm³ = 360 g.
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
        assert!((thin.mass_g.unwrap() - 576.0).abs() < 1e-9);
        assert!((needs[1].length_mm - 300.0).abs() < 1e-9);
        assert!((needs[1].mass_g.unwrap() - 360.0).abs() < 1e-9);
    }

    /// Forged from a bar of 25 × 10 mm with nothing lost.
    fn forged(stock: Stock) -> Knife {
        let mut knife = strip("forged", 200.0, 30.0, stock);
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
        knife
    }

    fn clad(name: &str) -> Stock {
        let mut clad = Stock::plain(3.0, 0.1, "steel");
        clad.layering.outer = vec![Layer {
            name: name.to_owned(),
            material: "iron".to_owned(),
            thickness_mm: 1.0,
        }];
        clad
    }

    /// 200 × 30 × 3 mm with nothing lost is 18 000 mm³: 72 mm of a 25 × 10 bar, 144 g at 8 g/cm³. A third of 8 and two of 7.5 make 138 g.
    #[test]
    fn a_forged_blank_takes_its_volume_of_its_own_bar() {
        for (stock, grams) in [
            (Stock::plain(3.0, 0.1, "steel"), 144.0),
            (clad("skin"), 138.0),
        ] {
            let (needs, _) = needed(&[forged(stock)], 1);
            let need = &needs[0];
            assert_eq!(
                (need.work, need.width_mm, need.thickness_mm),
                (BarWork::Forged, 25.0, 10.0)
            );
            assert!((need.length_mm - 72.0).abs() < 1e-9, "{need:?}");
            assert!((need.mass_g.unwrap() - grams).abs() < 1e-9, "{need:?}");
        }
    }

    /// What a layer is called and how far it wanders makes no other bar; another thickness does.
    #[test]
    fn a_layered_bar_is_known_by_its_materials_and_thicknesses() {
        let mut wavy = clad("sheath");
        wavy.layering.waviness_mm = 0.2;
        let mut thin = clad("cladding");
        thin.layering.outer[0].thickness_mm = 0.5;
        let knives = [clad("cladding"), wavy, thin].map(|stock| strip("own", 100.0, 20.0, stock));
        let (needs, _) = needed(&knives, 1);
        let blanks: Vec<u32> = needs.iter().map(|need| need.blanks).collect();
        assert_eq!(blanks, [2, 1]);
    }

    #[test]
    fn layered_bars_are_told_apart_and_a_crossing_outline_still_has_a_size() {
        let mut wild = strip("wild", 100.0, 20.0, Stock::plain(3.0, 0.1, "steel"));
        wild.outline.nodes[0].at.x = f64::NAN;
        let knives = [
            strip("clad", 100.0, 20.0, clad("cladding")),
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
