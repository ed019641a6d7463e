//! The maker's settings: taken over at the start, kept again when something changed.

use std::path::Path;

use crate::files::{Folders, Settings, Theme, WindowPlace};
use crate::sheet::PrinterFactors;
use crate::window::commands::TEXT_SIZES;
use crate::window::session::Preferences;
use crate::window::theme::ThemeChoice;

/// The settings, and where they are kept.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    folders: Option<Folders>,
    settings: Settings,
    /// The settings as this window last read or wrote them: what differs from it was changed here, all else may have been changed by another window.
    known: Settings,
    /// Whether the settings differ from what is on the disk.
    unkept: bool,
    /// The preferences that were last taken over.
    taken: Option<Preferences>,
    /// Whether the window has moved since its place was last kept.
    moved: bool,
}

impl Shelf {
    /// Loads the settings of a maker; gives what could not be used.
    pub(super) fn load(folders: Folders) -> (Self, Vec<String>) {
        let loaded = Settings::load(&folders);
        let shelf = Self {
            folders: Some(folders),
            known: loaded.settings.clone(),
            settings: loaded.settings,
            unkept: false,
            taken: None,
            moved: false,
        };
        (shelf, loaded.messages)
    }

    pub(super) fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Puts a file in front of the recent ones.
    pub(super) fn remember(&mut self, path: &Path) {
        if self.settings.recent.first().is_none_or(|own| own != path) {
            self.settings.remember(path);
            self.unkept = true;
        }
    }

    /// Takes a file out of the recent ones.
    pub(super) fn forget(&mut self, path: &Path) {
        let before = self.settings.recent.len();
        self.settings.recent.retain(|own| own != path);
        self.unkept |= self.settings.recent.len() != before;
    }

    /// Takes over what the maker chose in the window. Cheap when nothing has changed.
    pub(super) fn take(&mut self, preferences: &Preferences) {
        if self.taken.as_ref() == Some(preferences) {
            return;
        }
        self.taken = Some(preferences.clone());
        if let Some(new) = of_preferences(preferences, &self.settings) {
            self.settings = new;
            self.unkept = true;
        }
    }

    /// Remembers where the window stands; it is kept with [`Shelf::keep_place`], not at every step of a drag.
    pub(super) fn stand(&mut self, place: WindowPlace) {
        if self.settings.window != Some(place) {
            self.settings.window = Some(place);
            self.moved = true;
        }
    }

    /// The window rests: its place is written with the settings.
    pub(super) fn keep_place(&mut self) {
        self.unkept |= std::mem::take(&mut self.moved);
    }

    /// Writes what has changed onto the settings that are on the disk, for another window may have written them meanwhile; gives the trouble there was.
    pub(super) fn keep(&mut self) -> Option<String> {
        if !std::mem::take(&mut self.unkept) {
            return None;
        }
        let folders = self.folders.as_ref()?;
        let kept = match Settings::on_disk(folders) {
            Some(disk) => Settings::merged(&self.known, &self.settings, &disk).save(folders),
            None => self.settings.save(folders),
        };
        match kept {
            Ok(()) => {
                self.known.clone_from(&self.settings);
                None
            }
            // Still as it was known: the next time all of it is written.
            Err(error) => Some(format!("the settings were not kept: {error}")),
        }
    }
}

/// The window's preferences from the settings. Lengths per point are those of the usual text size.
pub(super) fn preferences(settings: &Settings) -> Preferences {
    let usual = Preferences::default();
    let wanted = settings.text_zoom * 100.0;
    let text_percent = TEXT_SIZES
        .into_iter()
        .min_by(|a, b| {
            let off = |size: u16| (f64::from(size) - wanted).abs();
            off(*a).total_cmp(&off(*b))
        })
        .unwrap_or(usual.text_percent);
    Preferences {
        length_unit: settings.length.unit,
        mass_unit: settings.mass,
        theme: match settings.theme {
            Theme::System => ThemeChoice::System,
            Theme::Blue => ThemeChoice::Blue,
            Theme::Paper => ThemeChoice::Paper,
        },
        true_px_per_mm: settings.screen_per_mm.unwrap_or(usual.true_px_per_mm),
        calibrated: settings.screen_per_mm.is_some(),
        paper: settings.paper.clone(),
        text_percent,
        still: settings.reduced_motion,
        figures: settings.thresholds.clone(),
        learned: settings.learned.clone(),
        services: settings.services.clone(),
        drills: settings.drills_owned.clone(),
        next_step: !settings.walked,
        printer: PrinterFactors {
            x: settings.printer_x,
            y: settings.printer_y,
        },
        ..usual
    }
}

/// The settings with what the preferences say; `None` if that changes nothing.
fn of_preferences(preferences: &Preferences, old: &Settings) -> Option<Settings> {
    let zoom = f64::from(preferences.text_percent) / 100.0;
    let screen = preferences.true_px_per_mm * zoom;
    // A text size between ours, as another version may write it, stays until the maker chooses one.
    let same_zoom = self::preferences(old).text_percent == preferences.text_percent;
    let same_screen = match old.screen_per_mm {
        Some(old) => (old / screen - 1.0).abs() < 1e-9,
        None => !preferences.calibrated,
    };
    let theme = match preferences.theme {
        ThemeChoice::System => Theme::System,
        ThemeChoice::Blue => Theme::Blue,
        ThemeChoice::Paper => Theme::Paper,
    };
    let same = old.length.unit == preferences.length_unit
        && old.mass == preferences.mass_unit
        && old.theme == theme
        && old.paper == preferences.paper
        && old.reduced_motion == preferences.still
        && old.thresholds == preferences.figures
        && old.learned == preferences.learned
        && old.services == preferences.services
        && old.drills_owned == preferences.drills
        && old.walked != preferences.next_step
        && (old.printer_x, old.printer_y) == (preferences.printer.x, preferences.printer.y)
        && same_zoom
        && same_screen;
    if same {
        return None;
    }
    let mut new = old.clone();
    new.length = preferences.lengths();
    new.mass = preferences.mass_unit;
    new.theme = theme;
    new.reduced_motion = preferences.still;
    new.paper.clone_from(&preferences.paper);
    new.thresholds.clone_from(&preferences.figures);
    new.learned.clone_from(&preferences.learned);
    new.services.clone_from(&preferences.services);
    new.drills_owned.clone_from(&preferences.drills);
    new.walked = !preferences.next_step;
    (new.printer_x, new.printer_y) = (preferences.printer.x, preferences.printer.y);
    if !same_zoom {
        new.text_zoom = zoom;
    }
    if !same_screen {
        new.screen_per_mm = preferences.calibrated.then_some(screen);
    }
    Some(new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::{Learned, Services};
    use crate::units::{LengthUnit, MassUnit};

    #[test]
    fn preferences_survive_the_settings() {
        let chosen = Preferences {
            length_unit: LengthUnit::FractionInch,
            mass_unit: MassUnit::Ounce,
            theme: ThemeChoice::Paper,
            // Points of a window with twice the text are half as many to the millimeter.
            true_px_per_mm: 2.5,
            calibrated: true,
            paper: "letter".into(),
            text_percent: 200,
            still: true,
            figures: [("oil-edge".to_owned(), 0.7)].into(),
            learned: Learned {
                densities: [("steel_1084".to_owned(), 7.81)].into(),
                ..Learned::default()
            },
            services: Services {
                chosen: "Plasma".to_owned(),
                ..Services::default()
            },
            printer: PrinterFactors { x: 0.99, y: 1.01 },
            next_step: false,
            ..Preferences::default()
        };
        let settings = of_preferences(&chosen, &Settings::default()).unwrap();
        let back = preferences(&settings);
        assert_eq!(
            back,
            Preferences {
                true_px_per_mm: 5.0,
                ..chosen.clone()
            }
        );
        assert_eq!(of_preferences(&chosen, &settings), None);
    }

    #[test]
    fn untouched_preferences_change_no_settings() {
        let odd = Settings {
            text_zoom: 1.07,
            screen_per_mm: Some(4.1),
            ..Settings::default()
        };
        for settings in [Settings::default(), odd] {
            let mut own = preferences(&settings);
            own.true_px_per_mm *= 100.0 / f64::from(own.text_percent);
            assert_eq!(of_preferences(&own, &settings), None);
        }
    }
}
