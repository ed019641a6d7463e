//! What the scale has taught about the shop's own steel: how thick a bar sold as so thick really is, and how dense a material really is.
//!
//! It is kept in the settings and used for later knives only where the maker asks for it; no design changes by it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// Bars whose nominal thickness is within this are sold as the same, mm.
const SAME_BAR_MM: f64 = 0.02;
/// Least and most a bar and a density can be, mm and g/cm³.
const BAR_MM: (f64, f64) = (0.1, 100.0);
const DENSITY_G_CM3: (f64, f64) = (0.05, 25.0);
/// Most entries of each kind: more than any shop has.
const MOST: usize = 1_000;

/// A bar as it is sold, and as the scale says it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LearnedBar {
    /// Key of its material.
    pub material: String,
    /// Thickness it is sold by, mm.
    pub nominal_mm: f64,
    /// Thickness it really has, mm.
    pub real_mm: f64,
}

impl LearnedBar {
    /// Whether both are sold as the same bar.
    pub(super) fn is_of_same_bar(&self, other: &Self) -> bool {
        self.material == other.material && (self.nominal_mm - other.nominal_mm).abs() <= SAME_BAR_MM
    }
}

/// All that was learned.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Learned {
    /// Bars, in the order they were learned.
    #[serde(default)]
    pub bars: Vec<LearnedBar>,
    /// Densities by the key of the material, g/cm³.
    #[serde(default)]
    pub densities: BTreeMap<String, f64>,
}

impl Learned {
    /// Whether nothing was learned yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.bars.is_empty() && self.densities.is_empty()
    }

    /// Whether every number can be meant.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let within = |(least, most): (f64, f64), value: f64| (least..=most).contains(&value);
        self.bars.len() <= MOST
            && self.densities.len() <= MOST
            && self
                .bars
                .iter()
                .all(|bar| within(BAR_MM, bar.nominal_mm) && within(BAR_MM, bar.real_mm))
            && self
                .densities
                .values()
                .all(|density| within(DENSITY_G_CM3, *density))
    }

    /// How thick a bar of this material really is that is sold as so thick, mm.
    #[must_use]
    pub fn thickness_mm(&self, material: &str, nominal_mm: f64) -> Option<f64> {
        let same = |bar: &&LearnedBar| {
            bar.material == material && (bar.nominal_mm - nominal_mm).abs() <= SAME_BAR_MM
        };
        self.bars.iter().find(same).map(|bar| bar.real_mm)
    }

    /// How dense this material really is, g/cm³.
    #[must_use]
    pub fn density_g_cm3(&self, material: &str) -> Option<f64> {
        self.densities.get(material).copied()
    }

    /// Learns how thick a bar is; what was known of the same bar goes. `false` for numbers that no bar has.
    pub fn learn_bar(&mut self, bar: LearnedBar) -> bool {
        let mut new = self.clone();
        new.bars.retain(|own| !own.is_of_same_bar(&bar));
        new.bars.push(bar);
        self.take(new)
    }

    /// Learns how dense a material is. `false` for a number that no material has.
    pub fn learn_density(&mut self, material: &str, density_g_cm3: f64) -> bool {
        let mut new = self.clone();
        new.densities.insert(material.to_owned(), density_g_cm3);
        self.take(new)
    }

    fn take(&mut self, new: Self) -> bool {
        let sound = new.is_sound();
        if sound {
            *self = new;
        }
        sound
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(nominal_mm: f64, real_mm: f64) -> LearnedBar {
        LearnedBar {
            material: "steel_1084".to_owned(),
            nominal_mm,
            real_mm,
        }
    }

    #[test]
    fn what_is_learned_last_counts_for_its_own_bar_alone() {
        let mut own = Learned::default();
        assert!(own.is_empty());
        assert!(own.learn_bar(bar(3.0, 3.12)) && own.learn_bar(bar(4.0, 3.95)));
        assert!(own.learn_bar(bar(3.0, 3.1)));
        assert_eq!(own.bars.len(), 2);
        assert_eq!(own.thickness_mm("steel_1084", 3.0), Some(3.1));
        assert_eq!(own.thickness_mm("steel_1084", 4.0), Some(3.95));
        assert_eq!(own.thickness_mm("steel_1084", 3.2), None);
        assert_eq!(own.thickness_mm("steel_o1", 3.0), None);
        assert!(own.learn_density("steel_1084", 7.81));
        assert_eq!(own.density_g_cm3("steel_1084"), Some(7.81));
    }

    #[test]
    fn numbers_no_bar_has_are_not_learned() {
        let mut own = Learned::default();
        for odd in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e6] {
            assert!(!own.learn_bar(bar(3.0, odd)));
            assert!(!own.learn_density("steel_1084", odd));
        }
        assert!(own.is_empty());
    }
}
