//! Settings that several windows write: what one of them changed is put onto what the others have written meanwhile.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::learned::Learned;
use super::services::Services;
use super::settings::{MOST_RECENT, Settings};

impl Settings {
    /// The settings on the disk with what a window changed since it last read or wrote them: every value that is in `own` as it was in `known` is the
    /// disk's. Lists are taken apart: what a window added or changed is added, what it took out goes, and all else stays.
    #[must_use]
    pub fn merged(known: &Self, own: &Self, disk: &Self) -> Self {
        Self {
            length: newer(&known.length, &own.length, &disk.length),
            mass: newer(&known.mass, &own.mass, &disk.mass),
            theme: newer(&known.theme, &own.theme, &disk.theme),
            screen_per_mm: newer(
                &known.screen_per_mm,
                &own.screen_per_mm,
                &disk.screen_per_mm,
            ),
            text_zoom: newer(&known.text_zoom, &own.text_zoom, &disk.text_zoom),
            reduced_motion: newer(
                &known.reduced_motion,
                &own.reduced_motion,
                &disk.reduced_motion,
            ),
            printer_x: newer(&known.printer_x, &own.printer_x, &disk.printer_x),
            printer_y: newer(&known.printer_y, &own.printer_y, &disk.printer_y),
            paper: newer(&known.paper, &own.paper, &disk.paper),
            drills_owned: list(
                [&known.drills_owned, &own.drills_owned, &disk.drills_owned],
                |a, b| a == b,
            ),
            thresholds: map(&known.thresholds, &own.thresholds, &disk.thresholds),
            learned: learned(&known.learned, &own.learned, &disk.learned),
            services: Services {
                own: list(
                    [&known.services.own, &own.services.own, &disk.services.own],
                    |a, b| a.name == b.name,
                ),
                chosen: newer(
                    &known.services.chosen,
                    &own.services.chosen,
                    &disk.services.chosen,
                ),
            },
            window: newer(&known.window, &own.window, &disk.window),
            walked: newer(&known.walked, &own.walked, &disk.walked),
            recent: recent(&known.recent, &own.recent, &disk.recent),
        }
    }
}

/// The own value where it was changed, else the disk's.
fn newer<T: PartialEq + Clone>(known: &T, own: &T, disk: &T) -> T {
    if own == known { disk } else { own }.clone()
}

/// A list of things that are known by something: `[known, own, disk]`, `same` for two that stand for each other.
fn list<T: PartialEq + Clone>(
    [known, own, disk]: [&Vec<T>; 3],
    same: impl Fn(&T, &T) -> bool,
) -> Vec<T> {
    let among = |all: &[T], one: &T| all.iter().position(|other| same(other, one));
    let gone = |one: &T| among(known, one).is_some() && among(own, one).is_none();
    let mut merged: Vec<T> = disk.iter().filter(|one| !gone(one)).cloned().collect();
    for one in own.iter().filter(|one| !known.contains(one)) {
        match among(&merged, one).and_then(|place| merged.get_mut(place)) {
            Some(old) => old.clone_from(one),
            None => merged.push(one.clone()),
        }
    }
    merged
}

/// Numbers by their keys, each taken for itself.
fn map(
    known: &BTreeMap<String, f64>,
    own: &BTreeMap<String, f64>,
    disk: &BTreeMap<String, f64>,
) -> BTreeMap<String, f64> {
    let pairs = |map: &BTreeMap<String, f64>| -> Vec<(String, f64)> {
        map.iter()
            .map(|(key, value)| (key.clone(), *value))
            .collect()
    };
    let all = [&pairs(known), &pairs(own), &pairs(disk)];
    list(all, |a, b| a.0 == b.0).into_iter().collect()
}

fn learned(known: &Learned, own: &Learned, disk: &Learned) -> Learned {
    Learned {
        bars: list([&known.bars, &own.bars, &disk.bars], |a, b| {
            a.is_of_same_bar(b)
        }),
        densities: map(&known.densities, &own.densities, &disk.densities),
    }
}

/// Files are remembered in front, and forgotten wherever they stand.
fn recent(known: &[PathBuf], own: &[PathBuf], disk: &[PathBuf]) -> Vec<PathBuf> {
    let mut merged = disk.to_vec();
    merged.retain(|path| own.contains(path) || !known.contains(path));
    // What was remembered since stands ahead of all that keeps its old order.
    let keeps_order = |rest: &[PathBuf]| {
        let mut left = known.iter();
        rest.iter().all(|path| left.any(|other| other == path))
    };
    let old = (0..own.len()).find(|at| own.get(*at..).is_some_and(keeps_order));
    let new: Vec<&Path> = own
        .iter()
        .take(old.unwrap_or(own.len()))
        .map(PathBuf::as_path)
        .collect();
    for path in new.into_iter().rev() {
        merged.retain(|other| other != path);
        merged.insert(0, path.to_owned());
    }
    merged.truncate(MOST_RECENT);
    merged
}

#[cfg(test)]
mod tests {
    use super::super::learned::LearnedBar;
    use super::super::settings::Theme;
    use super::*;

    fn figures(all: &[(&str, f64)]) -> BTreeMap<String, f64> {
        all.iter().map(|(k, v)| ((*k).to_owned(), *v)).collect()
    }

    fn paths(all: &[&str]) -> Vec<PathBuf> {
        all.iter().map(PathBuf::from).collect()
    }

    #[test]
    fn what_a_window_left_alone_is_the_disks() {
        let known = Settings::default();
        let disk = Settings {
            theme: Theme::Paper,
            thresholds: figures(&[("oil-edge", 0.7)]),
            walked: true,
            ..Settings::default()
        };
        let own = Settings {
            text_zoom: 1.25,
            ..Settings::default()
        };
        let merged = Settings::merged(&known, &own, &disk);
        assert_eq!(
            merged,
            Settings {
                text_zoom: 1.25,
                ..disk.clone()
            }
        );
        assert_eq!(Settings::merged(&known, &known, &disk), disk);
        // Alone on the disk, a window's settings are written as they are.
        assert_eq!(Settings::merged(&disk, &own, &disk), own);
    }

    #[test]
    fn figures_of_two_windows_are_both_kept_and_one_taken_back_goes() {
        let known = figures(&[("a", 1.0), ("b", 2.0)]);
        let own = figures(&[("b", 3.0), ("c", 4.0)]);
        let disk = figures(&[("a", 1.0), ("b", 2.0), ("d", 5.0)]);
        let merged = map(&known, &own, &disk);
        assert_eq!(merged, figures(&[("b", 3.0), ("c", 4.0), ("d", 5.0)]));
    }

    #[test]
    fn what_two_windows_learned_of_bars_is_known_to_both() {
        let bar = |nominal_mm: f64, real_mm: f64| LearnedBar {
            material: "steel_1084".to_owned(),
            nominal_mm,
            real_mm,
        };
        let of = |bars: &[LearnedBar]| Learned {
            bars: bars.to_vec(),
            ..Learned::default()
        };
        let known = of(&[bar(3.0, 3.1)]);
        let own = of(&[bar(3.01, 3.2), bar(5.0, 5.1)]);
        let disk = of(&[bar(3.0, 3.1), bar(4.0, 3.9)]);
        let merged = learned(&known, &own, &disk);
        let wanted = [bar(3.01, 3.2), bar(4.0, 3.9), bar(5.0, 5.1)];
        assert_eq!(merged.bars, wanted);
    }

    #[test]
    fn files_are_remembered_in_front_and_forgotten_anywhere() {
        let known = paths(&["a", "b", "c"]);
        let disk = paths(&["x", "a", "b", "c"]);
        // Opened again: c goes in front.
        let own = paths(&["c", "a", "b"]);
        assert_eq!(recent(&known, &own, &disk), paths(&["c", "x", "a", "b"]));
        // A new one, and one that is gone.
        let own = paths(&["n", "a", "c"]);
        assert_eq!(recent(&known, &own, &disk), paths(&["n", "x", "a", "c"]));
        assert_eq!(recent(&known, &known, &disk), disk);
    }
}
