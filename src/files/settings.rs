//! The maker's settings: how things are shown, what the bench has, and what was worked on last. They never stop the program.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::atomic::{WriteError, write_atomically};
use super::design::{OpenError, load};
use super::folders::Folders;
use super::learned::Learned;
use super::services::Services;
use super::window_place::WindowPlace;
use crate::units::{LengthFormat, LengthUnit, MAX_DECIMALS, MassUnit};

/// Most files remembered as recent.
pub const MOST_RECENT: usize = 10;
/// Most drills, and most thresholds, that are taken from a file: more than any shop has.
const MOST_ENTRIES: usize = 1_000;
/// The version written, and the newest that is understood.
const VERSION: u64 = 1;
/// The field that holds it.
const VERSION_FIELD: &str = "tangwright_settings";

/// The look of the window.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// As the desktop is, bright or dark.
    #[default]
    System,
    /// Scribed lines on layout blue.
    Blue,
    /// Ink on paper.
    Paper,
}

/// What the maker has set. Every value has a sensible default.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// How lengths are shown.
    pub length: LengthFormat,
    /// How masses are shown.
    pub mass: MassUnit,
    /// The look of the window.
    pub theme: Theme,
    /// Screen points per millimeter at the glass, 0.5..=100, once the maker held a ruler to it.
    pub screen_per_mm: Option<f64>,
    /// Size of all text against the usual, 0.5..=3.
    pub text_zoom: f64,
    /// Whether the window moves nothing by itself: menus and cards open and shut at once.
    pub reduced_motion: bool,
    /// What the printer's lengths along x must be multiplied by to come out true, 0.9..=1.1.
    pub printer_x: f64,
    /// The same along y.
    pub printer_y: f64,
    /// Key of the paper in the printer.
    pub paper: String,
    /// Labels of the drills at hand; empty means any.
    pub drills_owned: Vec<String>,
    /// Thresholds of checks the maker changed, by the check's own key; finite.
    pub thresholds: BTreeMap<String, f64>,
    /// What the scale has taught about the shop's own steel.
    pub learned: Learned,
    /// Cutting services with their rules.
    pub services: Services,
    /// Where the window stood last.
    pub window: Option<WindowPlace>,
    /// Whether the window no longer points at the next step.
    pub walked: bool,
    /// Design files opened or saved last, newest first, at most [`MOST_RECENT`].
    pub recent: Vec<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            length: LengthFormat::default(),
            mass: MassUnit::default(),
            theme: Theme::default(),
            screen_per_mm: None,
            text_zoom: 1.0,
            reduced_motion: false,
            printer_x: 1.0,
            printer_y: 1.0,
            paper: "a4".to_owned(),
            drills_owned: Vec::new(),
            thresholds: BTreeMap::new(),
            learned: Learned::default(),
            services: Services::default(),
            window: None,
            walked: false,
            recent: Vec::new(),
        }
    }
}

/// Settings as they were found, with what had to be left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The settings to use.
    pub settings: Settings,
    /// What could not be used, each with place and mend, for the maker to read.
    pub messages: Vec<String>,
}

/// The file's own words for units.
#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum LengthWord {
    Mm,
    DecimalInch,
    FractionInch,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum MassWord {
    Gram,
    Ounce,
}

impl Settings {
    /// The file the settings are kept in.
    #[must_use]
    pub fn path(folders: &Folders) -> PathBuf {
        folders.config.join("settings.json")
    }

    /// The settings of this maker. A value that can't be used is replaced by its default; a file that can't be used at all is set aside
    /// (`.bad` is added to its name) and all defaults are used. Either is told.
    #[must_use]
    pub fn load(folders: &Folders) -> Loaded {
        let mut messages = Vec::new();
        let settings = Self::found(folders, &mut messages).unwrap_or_default();
        Loaded { settings, messages }
    }

    /// The settings that are on the disk now; `None` where there are none that can be used. A file that can't be used is set aside, as by
    /// [`Settings::load`].
    #[must_use]
    pub fn on_disk(folders: &Folders) -> Option<Self> {
        Self::found(folders, &mut Vec::new())
    }

    fn found(folders: &Folders, messages: &mut Vec<String>) -> Option<Self> {
        let path = Self::path(folders);
        match load(&path) {
            Ok((bytes, _)) => match fields_of(&bytes) {
                Ok(mut fields) => Some(read(&mut fields, &path, messages)),
                Err(reason) => {
                    messages.push(set_aside(&path, &reason));
                    None
                }
            },
            Err(OpenError::NotFound { .. }) => None,
            Err(problem) => {
                messages.push(format!("the usual settings are used: {problem}"));
                None
            }
        }
    }

    /// Keeps the settings.
    ///
    /// # Errors
    /// See [`WriteError`]; the settings kept before are unharmed.
    pub fn save(&self, folders: &Folders) -> Result<(), WriteError> {
        // If the folder can't be made, writing into it tells why.
        let _ = fs::create_dir_all(&folders.config);
        let mut text = format!("{:#}", self.written());
        text.push('\n');
        write_atomically(&Self::path(folders), text.as_bytes())
    }

    /// Puts a design file in front of the recent ones.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|own| own != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(MOST_RECENT);
    }

    fn written(&self) -> Value {
        let length = match self.length.unit {
            LengthUnit::Mm => LengthWord::Mm,
            LengthUnit::DecimalInch => LengthWord::DecimalInch,
            LengthUnit::FractionInch => LengthWord::FractionInch,
        };
        let mass = match self.mass {
            MassUnit::Gram => MassWord::Gram,
            MassUnit::Ounce => MassWord::Ounce,
        };
        // A name that is not text has no JSON form, nor has a number that is not finite; they are only not remembered.
        let recent: Vec<&str> = self
            .recent
            .iter()
            .filter_map(|path| path.to_str())
            .collect();
        let thresholds: BTreeMap<&String, f64> = self
            .thresholds
            .iter()
            .map(|(key, value)| (key, *value))
            .filter(|(_, value)| value.is_finite())
            .collect();
        serde_json::json!({
            VERSION_FIELD: VERSION,
            "length_unit": length,
            "length_decimals": self.length.decimals,
            "mass_unit": mass,
            "theme": self.theme,
            "screen_per_mm": self.screen_per_mm,
            "text_zoom": self.text_zoom,
            "reduced_motion": self.reduced_motion,
            "printer_x": self.printer_x,
            "printer_y": self.printer_y,
            "paper": self.paper,
            "drills_owned": self.drills_owned,
            "thresholds": thresholds,
            "learned": self.learned,
            "services": self.services.written(),
            "window": self.window,
            "walked": self.walked,
            "recent": recent,
        })
    }
}

/// The fields of a file of a version that is understood, or why there are none.
fn fields_of(bytes: &[u8]) -> Result<Map<String, Value>, String> {
    let fields: Map<String, Value> =
        serde_json::from_slice(bytes).map_err(|fault| fault.to_string())?;
    match fields.get(VERSION_FIELD).map(Value::as_u64) {
        Some(Some(1)) => Ok(fields),
        Some(Some(newer)) if newer > VERSION => Err(format!(
            "it was made by a newer Tangwright (version {newer})"
        )),
        _ => Err(format!("{VERSION_FIELD} does not give its version")),
    }
}

/// Renames a file that can't be used, so that it is not written over; gives the message.
fn set_aside(path: &Path, reason: &str) -> String {
    let mut aside = path.as_os_str().to_owned();
    aside.push(".bad");
    let aside = PathBuf::from(aside);
    let place = path.display();
    match fs::rename(path, &aside) {
        Ok(()) => format!(
            "{place} could not be used ({reason}): it is kept as {}, and the usual settings are used",
            aside.display()
        ),
        Err(error) => format!(
            "{place} could not be used ({reason}) nor renamed ({error}): the usual settings are used; take it away"
        ),
    }
}

/// Takes the settings from the fields; what is missing or unknown is passed over, as another version may know more or less.
fn read(fields: &mut Map<String, Value>, path: &Path, messages: &mut Vec<String>) -> Settings {
    let mut from = Source {
        fields,
        path,
        messages,
    };
    let usual = Settings::default();
    let length = from.take("length_unit", "mm, decimal_inch or fraction_inch", |_| true);
    let mass = from.take("mass_unit", "gram or ounce", |_| true);
    let decimals = from.take("length_decimals", "a whole number from 0 to 9", |own| {
        *own <= MAX_DECIMALS
    });
    let factor = |own: &f64| (0.9..=1.1).contains(own);
    let mut settings = Settings {
        length: LengthFormat {
            unit: length.map_or(usual.length.unit, |word| match word {
                LengthWord::Mm => LengthUnit::Mm,
                LengthWord::DecimalInch => LengthUnit::DecimalInch,
                LengthWord::FractionInch => LengthUnit::FractionInch,
            }),
            decimals: decimals.unwrap_or(usual.length.decimals),
        },
        mass: mass.map_or(usual.mass, |word| match word {
            MassWord::Gram => MassUnit::Gram,
            MassWord::Ounce => MassUnit::Ounce,
        }),
        theme: from
            .take("theme", "system, blue or paper", |_| true)
            .unwrap_or(usual.theme),
        screen_per_mm: from
            .take(
                "screen_per_mm",
                "a number from 0.5 to 100, or null",
                |own: &Option<f64>| own.is_none_or(|own| (0.5..=100.0).contains(&own)),
            )
            .unwrap_or(usual.screen_per_mm),
        text_zoom: from
            .take("text_zoom", "a number from 0.5 to 3", |own| {
                (0.5..=3.0).contains(own)
            })
            .unwrap_or(usual.text_zoom),
        reduced_motion: from
            .take("reduced_motion", "true or false", |_| true)
            .unwrap_or(usual.reduced_motion),
        printer_x: from
            .take("printer_x", "a number from 0.9 to 1.1", factor)
            .unwrap_or(usual.printer_x),
        printer_y: from
            .take("printer_y", "a number from 0.9 to 1.1", factor)
            .unwrap_or(usual.printer_y),
        paper: from
            .take("paper", "the name of a paper size", |own: &String| {
                own.len() <= 100
            })
            .unwrap_or(usual.paper),
        drills_owned: from
            .take("drills_owned", "a list of drills", |own: &Vec<String>| {
                own.len() <= MOST_ENTRIES
            })
            .unwrap_or(usual.drills_owned),
        thresholds: from
            .take(
                "thresholds",
                "numbers by the name of their check",
                |own: &BTreeMap<String, f64>| own.len() <= MOST_ENTRIES,
            )
            .unwrap_or(usual.thresholds),
        learned: from
            .take(
                "learned",
                "bars and densities that can be meant",
                Learned::is_sound,
            )
            .unwrap_or(usual.learned),
        services: services(&mut from),
        window: from
            .take(
                "window",
                "where the window stood, or null",
                |own: &Option<WindowPlace>| own.is_none_or(|own| own.is_sound()),
            )
            .unwrap_or(usual.window),
        walked: from
            .take("walked", "true or false", |_| true)
            .unwrap_or(usual.walked),
        recent: from
            .take("recent", "a list of files", |_| true)
            .unwrap_or(usual.recent),
    };
    settings.recent.truncate(MOST_RECENT);
    settings
}

/// The services; each that can't be used is told.
fn services(from: &mut Source<'_>) -> Services {
    let value: Option<Value> = from.take("services", "cutting services", |_| true);
    let Some(value) = value else {
        return Services::default();
    };
    let path = from.path.display();
    match Services::read(value) {
        Ok((services, told)) => {
            from.messages
                .extend(told.iter().map(|line| format!("{path}: {line}")));
            services
        }
        Err(_) => {
            from.messages.push(format!(
                "{path}: services must be a list of cutting services; none are used"
            ));
            Services::default()
        }
    }
}

/// Where settings are taken from, and where complaints go.
struct Source<'a> {
    fields: &'a mut Map<String, Value>,
    path: &'a Path,
    messages: &'a mut Vec<String>,
}

impl Source<'_> {
    /// A field, if it is there and good; one that is there and bad is told.
    fn take<T: DeserializeOwned>(
        &mut self,
        name: &str,
        wanted: &str,
        good: impl FnOnce(&T) -> bool,
    ) -> Option<T> {
        let value = self.fields.remove(name)?;
        let own = serde_json::from_value(value).ok().filter(good);
        if own.is_none() {
            self.messages.push(format!(
                "{}: {name} must be {wanted}; the usual value is used",
                self.path.display()
            ));
        }
        own
    }
}
