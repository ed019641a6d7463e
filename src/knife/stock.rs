//! The bar a knife is cut from, its layers, and the materials the set carries with it.

/// A material as the set keeps it, so that the file means the same on another bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Short stable name that knives refer to.
    pub key: String,
    /// Name the maker reads.
    pub name: String,
    /// Density in g/cm³.
    pub density_g_cm3: f64,
    /// Lowest density met, g/cm³.
    pub density_low: f64,
    /// Highest density met, g/cm³.
    pub density_high: f64,
    /// What its maker's data sheet says, as the knife maker copied it; may be empty.
    pub data_sheet: String,
}

impl Material {
    /// The same material with a density that was found on a scale; the span it is met in reaches at least so far.
    #[must_use]
    pub fn as_dense_as(&self, density_g_cm3: f64) -> Self {
        Self {
            density_g_cm3,
            density_low: self.density_low.min(density_g_cm3),
            density_high: self.density_high.max(density_g_cm3),
            ..self.clone()
        }
    }

    /// The same material with a density that was typed; the span it is met in goes with it, by the same shares.
    #[must_use]
    pub fn with_density(&self, density_g_cm3: f64) -> Self {
        if self.density_g_cm3 <= 0.0 {
            return self.as_dense_as(density_g_cm3);
        }
        let by = density_g_cm3 / self.density_g_cm3;
        Self {
            density_g_cm3,
            density_low: self.density_low * by,
            density_high: self.density_high * by,
            ..self.clone()
        }
    }
}

/// The bar: thickness, how far it may be off, and what it is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Nominal thickness, all layers together, mm.
    pub thickness_mm: f64,
    /// The real bar is within nominal ± this, mm.
    pub tolerance_mm: f64,
    /// Key of a material in the set: the only one of plain steel, the core's of a laminated bar.
    pub material: String,
    /// What lies around the core; nothing for plain steel.
    pub layering: Layering,
}

/// The layers around the core of a laminated bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layering {
    /// Layers outside the core, from the middle out; each lies on both sides of it.
    pub outer: Vec<Layer>,
    /// How far the core's middle lies off the mid-plane, mm, positive toward the right face. The outermost layers make up for it.
    pub core_offset_mm: f64,
    /// How far a hammered boundary between layers wanders to either side of where it should be, mm.
    pub waviness_mm: f64,
}

/// One layer outside the core, lying on both sides of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// What the maker calls it: shim, cladding.
    pub name: String,
    /// Key of a material in the set.
    pub material: String,
    /// Thickness on one side, mm.
    pub thickness_mm: f64,
}

/// A layer where it lies in the bar.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidLayer {
    /// Name with its side: `core`, `shim, right`.
    pub name: String,
    /// Key of its material.
    pub material: String,
    /// Lower boundary over the mid-plane, mm, positive toward the right face.
    pub from_mm: f64,
    /// Upper boundary over the mid-plane, mm.
    pub to_mm: f64,
}

impl LaidLayer {
    /// Thickness in the bar, mm.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        self.to_mm - self.from_mm
    }
}

impl Stock {
    /// Plain steel: one layer.
    #[must_use]
    pub fn plain(thickness_mm: f64, tolerance_mm: f64, material: &str) -> Self {
        Self {
            thickness_mm,
            tolerance_mm,
            material: material.to_owned(),
            layering: Layering::default(),
        }
    }

    /// Thickness of the core: what the outer layers leave, mm. The whole bar for plain steel.
    #[must_use]
    pub fn core_thickness_mm(&self) -> f64 {
        let outer: f64 = self.layering.outer.iter().map(|l| l.thickness_mm).sum();
        self.thickness_mm - 2.0 * outer
    }

    /// Whether the bar has more than one layer.
    #[must_use]
    pub fn is_laminated(&self) -> bool {
        !self.layering.outer.is_empty()
    }

    /// Every layer where it lies: the core, then each outer layer's right and left side. The outermost end at the faces.
    #[must_use]
    pub fn laid_layers(&self) -> Vec<LaidLayer> {
        let half = self.thickness_mm / 2.0;
        if !self.is_laminated() {
            return vec![LaidLayer {
                name: "steel".to_owned(),
                material: self.material.clone(),
                from_mm: -half,
                to_mm: half,
            }];
        }
        let offset = self.layering.core_offset_mm;
        let core = self.core_thickness_mm() / 2.0;
        let (mut low, mut high) = (offset - core, offset + core);
        let mut laid = vec![LaidLayer {
            name: "core".to_owned(),
            material: self.material.clone(),
            from_mm: low,
            to_mm: high,
        }];
        let last = self.layering.outer.len() - 1;
        for (i, layer) in self.layering.outer.iter().enumerate() {
            let (to_left, to_right) = if i == last {
                (-half, half)
            } else {
                (low - layer.thickness_mm, high + layer.thickness_mm)
            };
            let side = |side: &str, from_mm: f64, to_mm: f64| LaidLayer {
                name: format!("{}, {side}", layer.name),
                material: layer.material.clone(),
                from_mm,
                to_mm,
            };
            laid.push(side("right", high, to_right));
            laid.push(side("left", to_left, low));
            (low, high) = (to_left, to_right);
        }
        laid
    }

    /// The same bar at another thickness: every layer thins by the same ratio, and so does what the core is off.
    #[must_use]
    pub fn rolled_to(&self, thickness_mm: f64) -> Self {
        let ratio = thickness_mm / self.thickness_mm;
        let mut rolled = self.clone();
        rolled.thickness_mm = thickness_mm;
        rolled.layering.core_offset_mm *= ratio;
        for layer in &mut rolled.layering.outer {
            layer.thickness_mm *= ratio;
        }
        rolled
    }

    /// The bar forged to another thickness, where some layers yield more than others. Each layer is thinned by its own ratio of before to
    /// after, measured by the others: it keeps `k / ratio` of its thickness, with the one `k` that brings the whole bar out. Equal ratios are
    /// [`Stock::rolled_to`]; a layer with twice the ratio of another is thinned twice as much. What the core is off goes with the whole bar.
    ///
    /// The ratios are the core's, then the outer layers' from the middle out. `None` when there is another number of them than layers.
    #[must_use]
    pub fn forged_to(&self, thickness_mm: f64, ratios: &[f64]) -> Option<Self> {
        let (of_core, of_outer) = ratios.split_first()?;
        let mut forged = self.rolled_to(thickness_mm);
        if of_outer.len() != self.layering.outer.len() {
            return None;
        }
        let pairs = self.layering.outer.iter().zip(of_outer);
        let outer: f64 = pairs.map(|(l, ratio)| 2.0 * l.thickness_mm / ratio).sum();
        let k = thickness_mm / (self.core_thickness_mm() / of_core + outer);
        let layers = forged.layering.outer.iter_mut().zip(&self.layering.outer);
        for ((layer, was), ratio) in layers.zip(of_outer) {
            layer.thickness_mm = was.thickness_mm * k / ratio;
        }
        Some(forged)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn five() -> Stock {
        let layer = |name: &str, thickness_mm| Layer {
            name: name.to_owned(),
            material: name.to_owned(),
            thickness_mm,
        };
        Stock {
            thickness_mm: 4.0,
            tolerance_mm: 0.1,
            material: "core".to_owned(),
            layering: Layering {
                outer: vec![layer("shim", 0.2), layer("cladding", 1.1)],
                core_offset_mm: 0.1,
                waviness_mm: 0.0,
            },
        }
    }

    /// 7.8 met from 7.7 to 7.9: typed as 3.9, half of each; weighed as 3.9, met from there to 7.9.
    #[test]
    fn a_typed_density_takes_its_span_with_it_and_a_weighed_one_widens_it() {
        let steel = Material {
            key: "steel".to_owned(),
            name: "steel".to_owned(),
            density_g_cm3: 7.8,
            density_low: 7.7,
            density_high: 7.9,
            data_sheet: String::new(),
        };
        let typed = steel.with_density(3.9);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert!(near(typed.density_low, 3.85) && near(typed.density_high, 3.95));
        let weighed = steel.as_dense_as(3.9);
        assert_eq!((weighed.density_low, weighed.density_high), (3.9, 7.9));
        assert_eq!((typed.density_g_cm3, weighed.density_g_cm3), (3.9, 3.9));
    }

    /// The core is what is left: 4 − 2·(0.2 + 1.1) = 1.4; moved 0.1 to the right it lies from −0.6 to 0.8.
    #[test]
    fn layers_lie_side_by_side_from_face_to_face() {
        let mut laid = five().laid_layers();
        let core = &laid[0];
        assert!((core.from_mm + 0.6).abs() < 1e-12 && (core.to_mm - 0.8).abs() < 1e-12);
        laid.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
        let names: Vec<&str> = laid.iter().map(|l| l.name.as_str()).collect();
        let order = [
            "cladding, left",
            "shim, left",
            "core",
            "shim, right",
            "cladding, right",
        ];
        assert_eq!(names, order);
        assert_eq!((laid[0].from_mm, laid[4].to_mm), (-2.0, 2.0));
        assert!(laid.windows(2).all(|w| w[0].to_mm == w[1].from_mm));
    }

    /// Core 1.4 and twice 0.2 and 1.1 make 4. Over ratios 1, 1 and 2 that is 1.4 + 0.4 + 1.1 = 2.9, so at 2 mm `k` is 2/2.9.
    #[test]
    fn layers_that_yield_more_are_thinned_more() {
        let forged = five().forged_to(2.0, &[1.0, 1.0, 2.0]).unwrap();
        let k = 2.0 / 2.9;
        let [shim, cladding] = &forged.layering.outer[..] else {
            panic!("two outer layers");
        };
        assert!((forged.core_thickness_mm() - 1.4 * k).abs() < 1e-12);
        assert!((shim.thickness_mm - 0.2 * k).abs() < 1e-12);
        assert!((cladding.thickness_mm - 0.55 * k).abs() < 1e-12);
        let (even, rolled) = (five().forged_to(2.0, &[3.0; 3]), five().rolled_to(2.0));
        let thickness = |s: &Stock| s.layering.outer.iter().map(|l| l.thickness_mm).sum::<f64>();
        assert!((thickness(&even.unwrap()) - thickness(&rolled)).abs() < 1e-12);
        assert_eq!(five().forged_to(2.0, &[1.0, 1.0]), None);
        assert_eq!(five().forged_to(2.0, &[]), None);
    }

    #[test]
    fn rolling_keeps_the_shares_of_the_layers() {
        let rolled = five().rolled_to(2.0);
        assert!((rolled.core_thickness_mm() - 0.7).abs() < 1e-12);
        assert!((rolled.layering.outer[1].thickness_mm - 0.55).abs() < 1e-12);
        assert!((rolled.layering.core_offset_mm - 0.05).abs() < 1e-12);
    }
}
