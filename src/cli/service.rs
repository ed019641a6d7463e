//! `service`: the rules of the services work is sent to, shown, changed and kept.

use std::collections::BTreeMap;

use clap::Args;
use serde::Serialize;

use super::Answer;
use super::complaint::{Complaint, one_line};
use super::open;
use super::shop::Shop;
use super::table::aligned;
use crate::catalog::{Service, ServiceField, usual_services};
use crate::files::{Folders, Services, Settings};

#[derive(Debug, Args)]
pub(super) struct ServiceArguments {
    /// The service; all are listed without one
    pub name: Option<String>,
    /// Begin a new service of your own with the rules of this one
    #[arg(long, value_name = "NAME", requires = "name")]
    pub from: Option<String>,
    /// Change a rule, lengths in mm: kerf=0.2; may be given again
    #[arg(long, value_name = "RULE=VALUE", requires = "name")]
    pub set: Vec<String>,
    /// Write cutting files for it from now on, and check by its rules
    #[arg(long, requires = "name")]
    pub choose: bool,
    /// Go by the shop's figures alone again
    #[arg(long, conflicts_with_all = ["name", "choose"])]
    pub choose_none: bool,
    /// Forget it
    #[arg(long, requires = "name", conflicts_with_all = ["from", "set", "choose"])]
    pub remove: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

pub(super) fn run(asked: &ServiceArguments) -> Result<Answer, Complaint> {
    let mut shop = Shop::load();
    let before = shop.settings().services.clone();
    let mut services = before.clone();
    let shown = change(asked, &mut services)?;
    if services != before {
        let folders = Folders::find().map_err(Complaint::bad)?;
        let settings = Settings {
            services: services.clone(),
            ..shop.settings().clone()
        };
        settings.save(&folders).map_err(Complaint::bad)?;
        shop = Shop::load();
    }
    let all = shown.map_or_else(
        || {
            usual_services()
                .chain(services.own.iter().cloned())
                .collect()
        },
        |one| vec![one],
    );
    let text = if asked.json {
        let all: Vec<ServiceAnswer> = all.iter().map(|s| answer(s, &services)).collect();
        open::json(&all)?
    } else if asked.name.is_some() {
        all.iter().map(|s| told(s, &services)).collect()
    } else {
        listed(&all, &services)
    };
    Ok(Answer {
        text,
        notes: shop.notes,
        ..Answer::default()
    })
}

/// Makes the changes; gives the service that is spoken of, unless it is gone or none is named.
fn change(asked: &ServiceArguments, services: &mut Services) -> Result<Option<Service>, Complaint> {
    if asked.choose_none {
        services.chosen.clear();
    }
    let Some(name) = asked.name.as_deref() else {
        return Ok(None);
    };
    if asked.remove {
        if services.remove(name) {
            return Ok(None);
        }
        return Err(Complaint::wrong_use(format!(
            "there is no service of your own called '{}'",
            one_line(name)
        )));
    }
    let known = services.named(name);
    let mut service = match (&asked.from, known) {
        (Some(_), Some(_)) => {
            return Err(Complaint::wrong_use(format!(
                "there is a service '{}' already: leave --from out, or give the new one another name",
                one_line(name)
            )));
        }
        (Some(from), None) => {
            let mut service = services.named(from).ok_or_else(|| unknown(from))?;
            name.clone_into(&mut service.name);
            service
        }
        (None, Some(service)) => service,
        (None, None) => return Err(unknown(name)),
    };
    for rule in &asked.set {
        let Some((key, value)) = rule.split_once('=') else {
            return Err(Complaint::wrong_use(format!(
                "--set {}: give a rule and its value, as kerf=0.2",
                one_line(rule)
            )));
        };
        let field = ServiceField::of(key.trim()).map_err(Complaint::wrong_use)?;
        service = field.set(&service, value).map_err(Complaint::wrong_use)?;
    }
    if asked.from.is_some() || !asked.set.is_empty() {
        services
            .put(service.clone())
            .map_err(Complaint::wrong_use)?;
    }
    if asked.choose {
        services.chosen.clone_from(&service.name);
    }
    Ok(Some(service))
}

fn unknown(name: &str) -> Complaint {
    Complaint::wrong_use(format!(
        "there is no service '{}': begin it with --from waterjet, laser, plasma or bandsaw",
        one_line(name)
    ))
}

fn listed(all: &[Service], services: &Services) -> String {
    let mark = |s: &Service| {
        if s.name == services.chosen {
            "chosen"
        } else {
            ""
        }
    };
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|s| {
            vec![
                one_line(&s.name),
                format!("kerf {} mm", s.kerf_mm),
                format!("inside radius {} mm", s.inside_radius_mm),
                mark(s).to_owned(),
            ]
        })
        .collect();
    aligned(&rows, &[], "")
}

fn told(service: &Service, services: &Services) -> String {
    let rows: Vec<Vec<String>> = ServiceField::ALL
        .iter()
        .map(|f| {
            vec![
                f.key.to_owned(),
                one_line(&f.value(service)),
                f.name.to_owned(),
            ]
        })
        .collect();
    let chosen = if service.name == services.chosen {
        ": files are written for it"
    } else {
        ""
    };
    format!(
        "{}{chosen}\n{}",
        one_line(&service.name),
        aligned(&rows, &[], "  ")
    )
}

#[derive(Debug, Serialize)]
struct ServiceAnswer {
    name: String,
    own: bool,
    chosen: bool,
    rules: BTreeMap<&'static str, String>,
}

fn answer(service: &Service, services: &Services) -> ServiceAnswer {
    ServiceAnswer {
        name: service.name.clone(),
        own: services.own.iter().any(|s| s.name == service.name),
        chosen: service.name == services.chosen,
        rules: ServiceField::ALL
            .iter()
            .map(|f| (f.key, f.value(service)))
            .collect(),
    }
}
