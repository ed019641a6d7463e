//! What the maker's settings say about the shop, read once for a command.

use super::args::PaperArgument;
use super::complaint::Complaint;
use crate::catalog::{Service, usual_services};
use crate::checks::Thresholds;
use crate::files::{Folders, Loaded, Settings};
use crate::sheet::{PageOptions, PrinterFactors};

/// The shop.
pub(super) struct Shop {
    settings: Settings,
    /// The figures the checks go by here.
    pub figures: Thresholds,
    /// A line for each setting that could not be used.
    pub notes: Vec<String>,
}

impl Shop {
    /// As the settings tell; without a home folder there are none to differ from the usual ones.
    pub(super) fn load() -> Self {
        let Loaded { settings, messages } = Folders::find().map_or_else(
            |_| Loaded {
                settings: Settings::default(),
                messages: Vec::new(),
            },
            |folders| Settings::load(&folders),
        );
        let (mut figures, passed_over) = Thresholds::with_changes(&settings.thresholds);
        if let Some(service) = settings.services.chosen() {
            figures = figures.for_service(&service);
        }
        Self {
            settings,
            figures,
            notes: messages.into_iter().chain(passed_over).collect(),
        }
    }

    /// All that is kept.
    pub(super) fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The service of a name; without one that work usually goes to, or what the shop's figures say.
    pub(super) fn service(&self, asked: Option<&str>) -> Result<Service, Complaint> {
        let services = &self.settings.services;
        let found = match asked {
            Some(name) => services.named(name),
            None => services.chosen().or_else(|| self.figures.service()),
        };
        found.ok_or_else(|| {
            let own = services.own.iter().map(|s| s.name.clone());
            let known: Vec<String> = usual_services().map(|s| s.process).chain(own).collect();
            Complaint::wrong_use(format!(
                "there is no service '{}': name one of {}",
                super::complaint::one_line(asked.unwrap_or_default()),
                known.join(", ")
            ))
        })
    }

    /// Labels of the drills at hand; empty when the settings do not say.
    pub(super) fn drills(&self) -> &[String] {
        &self.settings.drills_owned
    }

    /// A paper in the shop's own printer.
    pub(super) fn pages(&self, paper: PaperArgument) -> PageOptions {
        let printer = PrinterFactors {
            x: self.settings.printer_x,
            y: self.settings.printer_y,
        };
        PageOptions::printed_on(paper.key(), printer)
    }
}
