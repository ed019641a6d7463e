//! Every figure the checks go by, as a list: what it is called, where it comes from, and how it is read and changed.
//!
//! The shop's own figures are kept by their keys ([`Figure::key`]); whatever is kept for a key this list does not know, or out of the
//! figure's range, is told and passed over, so that old and foreign settings never stop a check.

mod table;

use std::collections::BTreeMap;

use super::Thresholds;
use crate::catalog::{CuttingProcess, cutting_processes};
use table::CUTTING;

pub use table::FIGURES;

/// What a figure measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureUnit {
    /// Millimeters.
    Length,
    /// Radians.
    Angle,
    /// So many times something else; no unit.
    Times,
    /// A share of a run, 0 to 1; no unit.
    Share,
}

/// One figure of the checks.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Its name in the settings; never changed once makers have it.
    pub key: &'static str,
    /// The group it is shown in.
    pub group: &'static str,
    /// What the maker reads.
    pub name: &'static str,
    /// What it measures.
    pub unit: FigureUnit,
    /// Lowest and highest value that can be meant, in the unit of [`FigureUnit`].
    pub range: (f64, f64),
    /// Where the usual value comes from.
    pub source: &'static str,
    read: fn(&Thresholds) -> f64,
    field: fn(&mut Thresholds) -> &mut f64,
}

/// Figures that are two ends of one range, by their keys: the first may not be above the second.
const RANGES: [(&str, &str); 9] = [
    ("tight-least", "tight-most"),
    ("peened-least", "peened-most"),
    ("slip-least", "slip-most"),
    ("guard-slot-least", "guard-slot-most"),
    ("hidden-width-least", "hidden-width-most"),
    ("hidden-length-least", "hidden-length-most"),
    ("kitchen-edge-least", "kitchen-edge-most"),
    ("hunter-edge-least", "hunter-edge-most"),
    ("chopper-edge-least", "chopper-edge-most"),
];

impl Figure {
    /// The figure with this key.
    #[must_use]
    pub fn of(key: &str) -> Option<&'static Self> {
        FIGURES.iter().find(|figure| figure.key == key)
    }

    /// Its value among these, in the unit of [`FigureUnit`].
    #[must_use]
    pub fn value(&self, thresholds: &Thresholds) -> f64 {
        (self.read)(thresholds)
    }

    /// Whether this value can be meant.
    #[must_use]
    pub fn takes(&self, value: f64) -> bool {
        (self.range.0..=self.range.1).contains(&value)
    }
}

/// The figures of a way of cutting, as changes to the usual ones: to be taken over in one go.
#[must_use]
pub fn figures_of(process: &CuttingProcess) -> BTreeMap<String, f64> {
    let (usual, own) = (
        Thresholds::default(),
        Thresholds::default().for_process(process),
    );
    FIGURES
        .iter()
        .filter(|figure| figure.group == CUTTING)
        .map(|figure| (figure.key, figure.value(&own), figure.value(&usual)))
        .filter(|(_, own, usual)| own != usual)
        .map(|(key, own, _)| (key.to_owned(), own))
        .collect()
}

/// The keys of the figures a way of cutting sets.
pub fn cutting_keys() -> impl Iterator<Item = &'static str> {
    FIGURES
        .iter()
        .filter(|figure| figure.group == CUTTING)
        .map(|figure| figure.key)
}

/// The way of cutting whose figures these are, or words for a shop's own.
fn process_name(own: &Thresholds) -> String {
    let same = |process: &&CuttingProcess| {
        let theirs = own.clone().for_process(process);
        theirs.process_hole == own.process_hole
            && theirs.process_web == own.process_web
            && theirs.process_inside_radius_mm == own.process_inside_radius_mm
    };
    let known = cutting_processes().iter().find(same);
    known.map_or_else(
        || "Your cutting service".to_owned(),
        |process| process.name.clone(),
    )
}

impl Thresholds {
    /// The usual figures with the shop's own in their places, and a line for each that could not be used.
    #[must_use]
    pub fn with_changes(changes: &BTreeMap<String, f64>) -> (Self, Vec<String>) {
        let mut own = Self::default();
        let mut passed_over = Vec::new();
        for (key, value) in changes {
            match Figure::of(key) {
                Some(figure) if figure.takes(*value) => *(figure.field)(&mut own) = *value,
                Some(figure) => passed_over.push(format!(
                    "the shop figure '{}' can't be {value}: give it between {} and {}; the usual one is used",
                    figure.name, figure.range.0, figure.range.1
                )),
                // Another version may know it.
                None => passed_over.push(format!(
                    "the shop figure '{key}' is not known to this version and is left as it is"
                )),
            }
        }
        let usual = Self::default();
        for (low, high) in RANGES {
            let (Some(low), Some(high)) = (Figure::of(low), Figure::of(high)) else {
                continue;
            };
            if low.value(&own) > high.value(&own) {
                passed_over.push(format!(
                    "the shop figure '{}' is above '{}': the usual ones are used for both",
                    low.name, high.name
                ));
                for figure in [low, high] {
                    *(figure.field)(&mut own) = figure.value(&usual);
                }
            }
        }
        if cutting_keys().any(|key| changes.contains_key(key)) {
            own.process = process_name(&own);
        }
        (own, passed_over)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changes(list: &[(&str, f64)]) -> BTreeMap<String, f64> {
        list.iter().map(|(k, v)| ((*k).to_owned(), *v)).collect()
    }

    #[test]
    fn each_figure_has_a_key_and_a_place_of_its_own() {
        for (i, figure) in FIGURES.iter().enumerate() {
            let twins = FIGURES.iter().filter(|f| f.key == figure.key).count();
            assert_eq!(twins, 1, "{}", figure.key);
            let usual = Thresholds::default();
            assert!(figure.takes(figure.value(&usual)), "{}", figure.key);
            // Changing it changes it, and nothing else in the list.
            let other = if figure.value(&usual) == figure.range.1 {
                figure.range.0
            } else {
                figure.range.1
            };
            let mut own = usual.clone();
            *(figure.field)(&mut own) = other;
            for (j, f) in FIGURES.iter().enumerate() {
                assert_eq!(
                    f.value(&own) != f.value(&usual),
                    i == j,
                    "{} {}",
                    figure.key,
                    f.key
                );
            }
        }
    }

    #[test]
    fn groups_stay_together() {
        let mut groups: Vec<&str> = FIGURES.iter().map(|f| f.group).collect();
        groups.dedup();
        let n = groups.len();
        groups.sort_unstable();
        groups.dedup();
        assert_eq!(groups.len(), n, "a group is broken in two");
    }

    #[test]
    fn own_figures_take_the_place_of_the_usual_ones() {
        let (own, told) =
            Thresholds::with_changes(&changes(&[("oil-edge", 0.8), ("slip-most", 0.1)]));
        assert_eq!((own.oil_edge_mm, own.slip_mm), (0.8, (0.01, 0.1)));
        assert!(told.is_empty(), "{told:?}");
        assert_eq!(
            Thresholds::with_changes(&BTreeMap::new()),
            (Thresholds::default(), Vec::new())
        );
    }

    #[test]
    fn a_way_of_cutting_is_taken_over_whole_and_known_again() {
        for process in cutting_processes() {
            let (own, told) = Thresholds::with_changes(&figures_of(process));
            assert!(told.is_empty(), "{told:?}");
            assert_eq!(
                own,
                Thresholds::default().for_process(process),
                "{}",
                process.key
            );
        }
        let (own, _) = Thresholds::with_changes(&changes(&[("cut-web-least", 2.5)]));
        assert_eq!(own.process, "Your cutting service");
    }

    #[test]
    fn what_can_t_be_meant_is_told_and_passed_over() {
        let odd = changes(&[
            ("oil-edge", -1.0),
            ("plate-edge", f64::NAN),
            ("of-another-version", 3.0),
            ("hidden-width-least", 40.0),
        ]);
        let (own, told) = Thresholds::with_changes(&odd);
        assert_eq!(own, Thresholds::default());
        assert_eq!(told.len(), 4, "{told:?}");
        assert!(
            told.iter()
                .any(|t| t.contains("'Least, quenched in oil' can't be -1")),
            "{told:?}"
        );
    }
}
