//! The fields of a service's rules by name: read from what a maker types, printed as it is typed again.

use std::collections::BTreeMap;

use super::{FileCurves, FileEdition, FileLayers, FileUnit, Limit, Service, usual_service};

/// Longest name of a service or layer, signs.
const LONGEST_NAME: usize = 60;
/// Largest length a rule can be, mm.
const MOST_MM: f64 = 100.0;
/// Largest share of the stock's thickness.
const MOST_TIMES: f64 = 20.0;
/// Most tabs round a part.
const MOST_TABS: u32 = 20;
/// Most steel that is left on, mm.
const MOST_LEFT_MM: f64 = 50.0;

/// Why a rule was not taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ServiceError {
    /// No rule bears this name.
    #[error("a service has no rule '{key}': name one of {known}")]
    NoField {
        /// What was named.
        key: String,
        /// All there are.
        known: String,
    },
    /// The value can't be meant.
    #[error("{key} can't be '{value}': give {wanted}")]
    Value {
        /// Key of the rule.
        key: &'static str,
        /// What was typed.
        value: String,
        /// What can be.
        wanted: String,
    },
    /// The kerf or hole contradicts another rule.
    #[error("{message}")]
    Contradiction {
        /// Which, and what to do.
        message: String,
    },
}

/// A rule of a service.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ServiceField {
    /// Its name in settings and on the command line; never changed once makers have it.
    pub key: &'static str,
    /// What the maker reads.
    pub name: &'static str,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Kind {
    Process,
    HoleTimes,
    HoleLeast,
    WebTimes,
    WebLeast,
    InsideRadius,
    Kerf,
    HeatEdge,
    Part,
    Join,
    LeftOn,
    HolesUnder,
    Tabs,
    TabWidth,
    MarksSmall,
    DrawsKerf,
    Edition,
    Curves,
    Layers,
    Unit,
}

/// What the rule about layers can be.
const LAYERS_ARE: &str =
    "by-role, one:NAME for a single layer, or cut:NAME to name the layer of the cuts";

const fn field(key: &'static str, name: &'static str, kind: Kind) -> ServiceField {
    ServiceField { key, name, kind }
}

impl ServiceField {
    /// All rules, in the order they are shown.
    pub const ALL: [Self; 20] = [
        field("process", "Way of cutting", Kind::Process),
        field(
            "hole-times",
            "Smallest opening, in thicknesses",
            Kind::HoleTimes,
        ),
        field("hole", "Smallest opening at all", Kind::HoleLeast),
        field("web-times", "Least web, in thicknesses", Kind::WebTimes),
        field("web", "Least web at all", Kind::WebLeast),
        field(
            "inside-radius",
            "Sharpest inside corner",
            Kind::InsideRadius,
        ),
        field("kerf", "Kerf", Kind::Kerf),
        field("heat-edge", "Heated edge", Kind::HeatEdge),
        field("part", "Smallest part without tabs", Kind::Part),
        field("join", "Pieces closed up to", Kind::Join),
        field("left-on", "Steel left on all round", Kind::LeftOn),
        field(
            "holes-under",
            "Round holes cut smaller by",
            Kind::HolesUnder,
        ),
        field("tabs", "Tabs round a part", Kind::Tabs),
        field("tab", "Width of a tab", Kind::TabWidth),
        field("marks-small", "Small holes marked only", Kind::MarksSmall),
        field("draws-kerf", "File allows for the kerf", Kind::DrawsKerf),
        field("dxf", "DXF edition", Kind::Edition),
        field("curves", "Curves", Kind::Curves),
        field("layers", "Layers", Kind::Layers),
        field("unit", "Unit of the file", Kind::Unit),
    ];

    /// The rule with this key.
    ///
    /// # Errors
    /// There is none.
    pub fn of(key: &str) -> Result<Self, ServiceError> {
        let known = || Self::ALL.map(|f| f.key).join(", ");
        Self::ALL
            .into_iter()
            .find(|f| f.key == key)
            .ok_or_else(|| ServiceError::NoField {
                key: key.to_owned(),
                known: known(),
            })
    }

    /// The words it can be; empty for numbers and names.
    #[must_use]
    pub fn choices(self) -> &'static [&'static str] {
        match self.kind {
            Kind::Process => &["waterjet", "laser", "plasma", "bandsaw"],
            Kind::MarksSmall | Kind::DrawsKerf => &["no", "yes"],
            Kind::Edition => &["r2000", "r12"],
            Kind::Curves => &["arcs", "splines"],
            Kind::Unit => &["mm", "inch"],
            _ => &[],
        }
    }

    /// What can be typed, where its name does not tell.
    #[must_use]
    pub fn hint(self) -> Option<&'static str> {
        (self.kind == Kind::Layers).then_some(LAYERS_ARE)
    }

    /// Whether it is a count.
    #[must_use]
    pub fn is_count(self) -> bool {
        self.kind == Kind::Tabs
    }

    /// Whether it is a share of the thickness.
    #[must_use]
    pub fn is_times(self) -> bool {
        matches!(self.kind, Kind::HoleTimes | Kind::WebTimes)
    }

    /// Its value as it can be typed: millimeters and shares as numbers.
    #[must_use]
    pub fn value(self, service: &Service) -> String {
        let word = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
        match self.kind {
            Kind::Process => service.process.clone(),
            Kind::HoleTimes | Kind::HoleLeast if service.hole.is_none() => "none".to_owned(),
            Kind::MarksSmall => word(service.marks_small_holes),
            Kind::DrawsKerf => word(service.draws_kerf),
            Kind::Edition if service.file.edition == FileEdition::R12 => "r12".to_owned(),
            Kind::Edition => "r2000".to_owned(),
            Kind::Curves if service.file.curves == FileCurves::Splines => "splines".to_owned(),
            Kind::Curves => "arcs".to_owned(),
            Kind::Unit if service.file.unit == FileUnit::Inch => "inch".to_owned(),
            Kind::Unit => "mm".to_owned(),
            Kind::Layers => match &service.file.layers {
                FileLayers::ByRole => "by-role".to_owned(),
                FileLayers::CutNamed(name) => format!("cut:{name}"),
                FileLayers::One(name) => format!("one:{name}"),
            },
            _ => self
                .number(service)
                .map_or_else(String::new, |n| n.to_string()),
        }
    }

    /// Its value when it is a number, mm or a share; `None` for words, and for a hole that is drilled anyway.
    #[must_use]
    pub fn number(self, service: &Service) -> Option<f64> {
        match self.kind {
            Kind::HoleTimes => service.hole.map(|hole| hole.times_thickness),
            Kind::HoleLeast => service.hole.map(|hole| hole.at_least_mm),
            Kind::WebTimes => Some(service.web.times_thickness),
            Kind::WebLeast => Some(service.web.at_least_mm),
            Kind::InsideRadius => Some(service.inside_radius_mm),
            Kind::Kerf => Some(service.kerf_mm),
            Kind::HeatEdge => Some(service.heat_edge_mm),
            Kind::Part => Some(service.part_mm),
            Kind::Join => Some(service.join_mm),
            Kind::LeftOn => Some(service.left_on_mm),
            Kind::HolesUnder => Some(service.holes_under_mm),
            Kind::Tabs => Some(f64::from(service.tabs)),
            Kind::TabWidth => Some(service.tab_mm),
            _ => None,
        }
    }

    /// The service with this rule as typed: numbers are millimeters or shares of the thickness.
    ///
    /// # Errors
    /// It can't be meant, or contradicts another rule; the message says what can.
    pub fn set(self, service: &Service, value: &str) -> Result<Service, ServiceError> {
        let own = self.put(service, value)?;
        own.judge()?;
        Ok(own)
    }

    /// [`Self::set`] before it is known what the other rules will be.
    fn put(self, service: &Service, value: &str) -> Result<Service, ServiceError> {
        let value = value.trim();
        let mut own = service.clone();
        let wrong = |wanted: String| ServiceError::Value {
            key: self.key,
            value: value.to_owned(),
            wanted,
        };
        if !self.choices().is_empty() && !self.choices().contains(&value) {
            return Err(wrong(format!("one of {}", self.choices().join(", "))));
        }
        match self.kind {
            Kind::Process => {
                own = usual_service(value).ok_or_else(|| wrong("a way of cutting".to_owned()))?;
                own.name.clone_from(&service.name);
                own.file = service.file.clone();
            }
            Kind::MarksSmall => own.marks_small_holes = value == "yes",
            Kind::DrawsKerf => own.draws_kerf = value == "yes",
            Kind::Edition if value == "r12" => own.file.edition = FileEdition::R12,
            Kind::Edition => own.file.edition = FileEdition::R2000,
            Kind::Curves if value == "splines" => own.file.curves = FileCurves::Splines,
            Kind::Curves => own.file.curves = FileCurves::Arcs,
            Kind::Unit if value == "inch" => own.file.unit = FileUnit::Inch,
            Kind::Unit => own.file.unit = FileUnit::Mm,
            Kind::Layers => own.file.layers = layers(value).map_err(wrong)?,
            Kind::HoleTimes | Kind::HoleLeast if value == "none" => own.hole = None,
            Kind::Tabs => {
                let count = value.parse().ok().filter(|n| *n <= MOST_TABS);
                own.tabs =
                    count.ok_or_else(|| wrong(format!("a whole number from 0 to {MOST_TABS}")))?;
            }
            _ => self.set_number(&mut own, value).map_err(wrong)?,
        }
        Ok(own)
    }

    /// Puts a number in, or says what it can be.
    fn set_number(self, own: &mut Service, value: &str) -> Result<(), String> {
        let most = match self.kind {
            Kind::HoleTimes | Kind::WebTimes => MOST_TIMES,
            Kind::LeftOn => MOST_LEFT_MM,
            _ => MOST_MM,
        };
        let unit = if self.is_times() { "thicknesses" } else { "mm" };
        let number: f64 = value
            .parse()
            .ok()
            .filter(|n| (0.0..=most).contains(n))
            .ok_or_else(|| format!("a number from 0 to {most}, {unit}"))?;
        let mut hole = own.hole.unwrap_or(Limit {
            times_thickness: 0.0,
            at_least_mm: 0.0,
        });
        match self.kind {
            Kind::HoleTimes => hole.times_thickness = number,
            Kind::HoleLeast => hole.at_least_mm = number,
            Kind::WebTimes => own.web.times_thickness = number,
            Kind::WebLeast => own.web.at_least_mm = number,
            Kind::InsideRadius => own.inside_radius_mm = number,
            Kind::Kerf => own.kerf_mm = number,
            Kind::HeatEdge => own.heat_edge_mm = number,
            Kind::Part => own.part_mm = number,
            Kind::Join => own.join_mm = number,
            Kind::LeftOn => own.left_on_mm = number,
            Kind::HolesUnder => own.holes_under_mm = number,
            Kind::TabWidth => own.tab_mm = number,
            _ => return Err("a word".to_owned()),
        }
        if matches!(self.kind, Kind::HoleTimes | Kind::HoleLeast) {
            own.hole = Some(hole);
        }
        Ok(())
    }
}

fn layers(value: &str) -> Result<FileLayers, String> {
    let named = |name: &str| {
        let fine = (1..=LONGEST_NAME).contains(&name.chars().count())
            && name.chars().all(|c| !c.is_control());
        fine.then(|| name.to_owned())
            .ok_or_else(|| format!("a layer's name of 1 to {LONGEST_NAME} signs behind the colon"))
    };
    match value.split_once(':') {
        None if value == "by-role" => Ok(FileLayers::ByRole),
        Some(("one", name)) => named(name).map(FileLayers::One),
        Some(("cut", name)) => named(name).map(FileLayers::CutNamed),
        _ => Err(LAYERS_ARE.to_owned()),
    }
}

impl Service {
    /// A service of its rules by their keys, as they are typed; what is not said is as usual for its way of cutting, keys that are not known are passed over.
    ///
    /// # Errors
    /// The first rule that can't be meant, or contradicts another.
    pub fn of_rules(name: &str, rules: &BTreeMap<String, String>) -> Result<Self, ServiceError> {
        let process = rules.get("process").map_or("waterjet", String::as_str);
        let usual = usual_service(process).or_else(|| usual_service("waterjet"));
        let mut own = usual.ok_or_else(|| ServiceError::Contradiction {
            message: "there are no cutting rules to start from".to_owned(),
        })?;
        name.clone_into(&mut own.name);
        for field in ServiceField::ALL {
            if let Some(value) = rules.get(field.key) {
                own = field.put(&own, value)?;
            }
        }
        own.judge()?;
        Ok(own)
    }

    /// Whether a name can be a service's.
    ///
    /// # Errors
    /// It is empty, too long, or that of a usual service.
    pub fn judge_name(name: &str) -> Result<(), ServiceError> {
        let signs = name.chars().count();
        let message = if name.trim() != name || signs == 0 || signs > LONGEST_NAME {
            format!("a service's name has 1 to {LONGEST_NAME} signs and no blanks around it")
        } else if name.chars().any(char::is_control) {
            "a service's name has no line breaks".to_owned()
        } else if usual_service(name).is_some() {
            format!("'{name}' is a way of cutting: give your service another name")
        } else {
            return Ok(());
        };
        Err(ServiceError::Contradiction { message })
    }

    /// Whether its rules go together.
    ///
    /// # Errors
    /// The first that do not: a cut leaves no corner sharper than half its kerf, and no hole narrower than the kerf.
    pub fn judge(&self) -> Result<(), ServiceError> {
        let contradiction = |message: String| Err(ServiceError::Contradiction { message });
        if self.inside_radius_mm < self.kerf_mm / 2.0 {
            return contradiction(format!(
                "a kerf of {} mm leaves no inside corner sharper than {} mm: set inside-radius first",
                self.kerf_mm,
                self.kerf_mm / 2.0
            ));
        }
        if let Some(hole) = self.hole
            && hole.at_least_mm < self.kerf_mm
        {
            return contradiction(format!(
                "a kerf of {} mm makes no hole smaller than itself: set hole first",
                self.kerf_mm
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_is_read_as_it_is_printed() {
        for service in super::super::usual_services() {
            assert_eq!(service.judge(), Ok(()), "{}", service.name);
            for field in ServiceField::ALL {
                let printed = field.value(&service);
                let again = field.set(&service, &printed);
                assert_eq!(again.as_ref(), Ok(&service), "{} {printed}", field.key);
            }
        }
    }

    #[test]
    fn a_rule_that_can_t_be_meant_says_what_can() {
        let jet = usual_service("waterjet").unwrap();
        let told = |key: &str, value: &str| {
            let field = ServiceField::of(key).unwrap();
            field.set(&jet, value).unwrap_err().to_string()
        };
        assert_eq!(
            told("web", "-1"),
            "web can't be '-1': give a number from 0 to 100, mm"
        );
        assert_eq!(
            told("dxf", "r2013"),
            "dxf can't be 'r2013': give one of r2000, r12"
        );
        assert!(told("layers", "one:").contains("1 to 60 signs"));
        assert!(told("layers", "two").contains("by-role"));
        assert!(told("web-times", "nan").contains("thicknesses"));
        // A round cutter of width k leaves r = k/2: 1.2 mm leaves 0.6, more than the 0.508 mm of the rules.
        assert!(told("kerf", "1.2").contains("0.6 mm: set inside-radius first"));
        assert!(told("hole", "0.4").contains("smaller than itself"));
        let unknown = ServiceField::of("speed").unwrap_err().to_string();
        assert!(unknown.contains("hole-times, hole, web-times"), "{unknown}");
    }

    #[test]
    fn names_are_judged() {
        assert_eq!(Service::judge_name("River cutters"), Ok(()));
        for name in ["", " a", "Waterjet", "a\nb", &"x".repeat(61)] {
            assert!(Service::judge_name(name).is_err(), "{name:?}");
        }
    }
}
