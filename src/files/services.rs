//! The cutting services the maker sends work to, with their rules, as the settings keep them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::catalog::{MOST_SERVICES, Service, ServiceError, ServiceField, usual_service};

/// The maker's own services, and the one work goes to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Services {
    /// Own services, in the order they were added; each name once.
    pub own: Vec<Service>,
    /// Name of the one that files are written for; empty while the shop's figures alone say how.
    pub chosen: String,
}

/// A service as it is kept: its rules by their keys, as they are typed.
#[derive(Serialize, Deserialize)]
struct Kept {
    name: String,
    rules: BTreeMap<String, String>,
}

#[derive(Serialize, Deserialize)]
struct KeptAll {
    #[serde(default)]
    chosen: String,
    #[serde(default)]
    own: Vec<Kept>,
}

impl Services {
    /// The service of this name, of the maker's own or one of the usual ones.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<Service> {
        let own = self.own.iter().find(|s| s.name == name);
        own.cloned().or_else(|| usual_service(name))
    }

    /// The one that work goes to; `None` while the shop's figures alone say how.
    #[must_use]
    pub fn chosen(&self) -> Option<Service> {
        Some(&self.chosen)
            .filter(|name| !name.is_empty())
            .and_then(|name| self.named(name))
    }

    /// Adds a service or changes the one of its name.
    ///
    /// # Errors
    /// Its name can't be one, its rules contradict each other, or there are too many.
    pub fn put(&mut self, service: Service) -> Result<(), ServiceError> {
        Service::judge_name(&service.name)?;
        service.judge()?;
        if let Some(own) = self.own.iter_mut().find(|s| s.name == service.name) {
            *own = service;
        } else if self.own.len() < MOST_SERVICES {
            self.own.push(service);
        } else {
            let message = format!("{MOST_SERVICES} services are kept at most: remove one first");
            return Err(ServiceError::Contradiction { message });
        }
        Ok(())
    }

    /// Removes one of the maker's own; `false` when there is none of that name.
    pub fn remove(&mut self, name: &str) -> bool {
        let before = self.own.len();
        self.own.retain(|s| s.name != name);
        let gone = self.own.len() < before;
        if gone && self.chosen == name {
            self.chosen.clear();
        }
        gone
    }

    pub(super) fn written(&self) -> Value {
        let own = self.own.iter().map(|service| Kept {
            name: service.name.clone(),
            rules: ServiceField::ALL
                .iter()
                .map(|field| (field.key.to_owned(), field.value(service)))
                .collect(),
        });
        let all = KeptAll {
            chosen: self.chosen.clone(),
            own: own.collect(),
        };
        // Strings and lists alone always have a JSON form.
        serde_json::to_value(all).unwrap_or(Value::Null)
    }

    /// What was kept, as far as it can be meant; a line for each service that can't.
    pub(super) fn read(value: Value) -> Result<(Self, Vec<String>), serde_json::Error> {
        let kept: KeptAll = serde_json::from_value(value)?;
        let mut services = Self {
            chosen: kept.chosen,
            ..Self::default()
        };
        let mut told = Vec::new();
        for one in kept.own {
            let put = Service::of_rules(&one.name, &one.rules).and_then(|s| services.put(s));
            if let Err(reason) = put {
                told.push(format!("the service '{}' is left out: {reason}", one.name));
            }
        }
        if services.chosen().is_none() {
            services.chosen.clear();
        }
        Ok((services, told))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own() -> Services {
        let mut services = Services::default();
        let mut rules = usual_service("laser").unwrap();
        "River cutters".clone_into(&mut rules.name);
        rules.kerf_mm = 0.12;
        rules.hole = None;
        services.put(rules).unwrap();
        "River cutters".clone_into(&mut services.chosen);
        services
    }

    #[test]
    fn services_come_back_as_they_were_kept() {
        let services = own();
        let (back, told) = Services::read(services.written()).unwrap();
        assert_eq!((&back, told.len()), (&services, 0));
        assert_eq!(back.chosen().unwrap().kerf_mm, 0.12);
    }

    #[test]
    fn what_can_t_be_meant_is_left_out_and_told() {
        let mut kept = own().written();
        kept["own"][0]["rules"]["kerf"] = "9000".into();
        let (back, told) = Services::read(kept).unwrap();
        assert_eq!(back, Services::default());
        assert!(told[0].contains("'River cutters' is left out: kerf can't be '9000'"));
        let mut unknown = own().written();
        unknown["own"][0]["rules"]["speed"] = "9".into();
        // Another version may know more rules.
        assert_eq!(Services::read(unknown).unwrap().0.own.len(), 1);
        assert!(Services::read("x".into()).is_err());
    }

    #[test]
    fn the_usual_ones_keep_their_names() {
        let mut services = own();
        assert!(services.put(usual_service("plasma").unwrap()).is_err());
        assert!(services.named("Plasma").is_some());
        assert!(services.remove("River cutters") && !services.remove("River cutters"));
        assert_eq!(services.chosen(), None);
    }
}
