//! `ready`: what a service would ask about, and the mends that need no judgment, told before they are made.

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::args::UnitArgument;
use super::complaint::{Complaint, about, one_line};
use super::shop::Shop;
use super::{Answer, check, choose, import, new, open};
use crate::catalog::Service;
use crate::checks::{Ready, ReadyMend, Severity, ready_check};
use crate::edit::{Change, Edit, apply};
use crate::files::write_atomically;
use crate::knife::{Id, Knife, KnifeSet, Mend};
use crate::reading::design_file;
use crate::reading::drawing::{FIRST_THICKNESS_MM, ImportOptions, is_drawing};
use crate::weighing::weigh;

/// Most mends made on one knife: more than any drawing needs that is worth mending.
const MOST_MENDS: usize = 500;

#[derive(Debug, Args)]
pub(super) struct ReadyArguments {
    /// Design file, or a drawing (SVG, DXF)
    pub file: PathBuf,
    /// Only the knife of this name
    #[arg(long, value_name = "NAME")]
    pub knife: Option<String>,
    /// Way of cutting, or a service of your own; else the one work usually goes to
    #[arg(long, value_name = "NAME")]
    pub service: Option<String>,
    /// Thickness of the bar a drawing is cut from, mm
    #[arg(long, value_name = "MM", default_value_t = FIRST_THICKNESS_MM)]
    pub thickness: f64,
    /// What one unit of a drawing is, if the file does not say or is wrong
    #[arg(long, value_enum)]
    pub units: Option<UnitArgument>,
    /// Make the mends that need no judgment, and write the design to --out
    #[arg(long, requires = "out")]
    pub mend: bool,
    /// Design file to write
    #[arg(long, value_name = "FILE", requires = "mend")]
    pub out: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// What was found on one knife, and what was mended first.
struct Looked {
    name: String,
    /// What was mended while the drawing was read, or is now.
    mended: Vec<String>,
    found: Vec<Ready>,
    /// Before and after of each mend that is offered, in the order of what was found.
    offers: Vec<Option<String>>,
}

pub(super) fn run(asked: &ReadyArguments) -> Result<Answer, Complaint> {
    let shop = Shop::load();
    let service = shop.service(asked.service.as_deref())?;
    let (mut set, read) = design_of(asked)?;
    if let Some(out) = &asked.out {
        new::free(out)?;
    }
    let ids: Vec<Id> = choose::knives(&set, asked.knife.as_deref())?
        .iter()
        .map(|knife| knife.id)
        .collect();
    let mut all = Vec::new();
    for id in ids {
        let mut mended = read.clone();
        if asked.mend {
            set = mend_all(set, id, &shop, &service, &mut mended);
        }
        let Some(knife) = set.knife(id) else { continue };
        let found = found_on(knife, &set, &shop, &service);
        let offers = found.iter().map(|ready| {
            let mend = ready.mend.as_ref();
            mend.map(|mend| mend.told(knife, &service).text(&check::length))
        });
        all.push(Looked {
            name: knife.name.clone(),
            mended,
            offers: offers.collect(),
            found,
        });
    }
    let mut text = if asked.json {
        open::json(&answer_of(&service, &all))?
    } else {
        let told: Vec<String> = all.iter().map(|looked| told(looked, &service)).collect();
        told.join("\n")
    };
    if let Some(out) = &asked.out {
        write(out, &set)?;
        if !asked.json {
            text.push_str(&format!("{}\n", out.display()));
        }
    }
    Ok(Answer {
        text,
        complaints: stops(&asked.file, &all),
        notes: shop.notes,
    })
}

/// The design, or the one a drawing makes with what was mended as it was read.
fn design_of(asked: &ReadyArguments) -> Result<(KnifeSet, Vec<String>), Complaint> {
    if !is_drawing(&asked.file) {
        return Ok((open::design(&asked.file)?, Vec::new()));
    }
    let options = ImportOptions {
        unit: asked.units.map(UnitArgument::unit),
        ..ImportOptions::default()
    };
    let read = import::read_all(std::slice::from_ref(&asked.file), &options)?;
    let mut set = import::set_of(&asked.file, &read);
    for knife in &mut set.knives {
        std::sync::Arc::make_mut(knife).stock.thickness_mm = asked.thickness;
    }
    if let Some(fault) = crate::knife::set_faults(&set).first() {
        return Err(Complaint::bad_file(&asked.file, fault));
    }
    let mended = read.iter().flat_map(|one| {
        let repaired = one.repaired.iter().map(ToString::to_string);
        repaired.chain(one.left_out.iter().map(|left| format!("left out {left}")))
    });
    Ok((set, mended.collect()))
}

fn found_on(knife: &Knife, set: &KnifeSet, shop: &Shop, service: &Service) -> Vec<Ready> {
    ready_check(knife, set, &weigh(knife, set), &shop.figures, service)
}

/// Makes one mend after the other, as one may be in the way of the next; each is told.
fn mend_all(
    mut set: KnifeSet,
    id: Id,
    shop: &Shop,
    service: &Service,
    mended: &mut Vec<String>,
) -> KnifeSet {
    for _ in 0..MOST_MENDS {
        let Some(knife) = set.knife(id) else {
            return set;
        };
        let next: Option<(Mend, String, KnifeSet)> = found_on(knife, &set, shop, service)
            .into_iter()
            .find_map(|ready| {
                let Some(ReadyMend::Knife(mend)) = ready.mend else {
                    return None;
                };
                let line = format!(
                    "{}: {}",
                    ready.finding.what.text(&check::length),
                    ReadyMend::Knife(mend.clone())
                        .told(knife, service)
                        .text(&check::length)
                );
                let edit = Edit::knife(id, Change::Mend { mend: mend.clone() });
                Some((mend, line, apply(&set, &edit).ok()?))
            });
        let Some((mend, line, after)) = next else {
            return set;
        };
        mended.push(format!("{}. {line}", mend.label()));
        set = after;
    }
    set
}

fn write(out: &Path, set: &KnifeSet) -> Result<(), Complaint> {
    let text = design_file::write(set);
    write_atomically(out, text.as_bytes()).map_err(|error| Complaint::bad_file(out, &error))
}

fn stops(file: &Path, all: &[Looked]) -> Vec<String> {
    let lines = all.iter().flat_map(|looked| {
        let stops = looked
            .found
            .iter()
            .filter(|r| r.finding.severity == Severity::Stop);
        stops.map(|ready| {
            let text = ready.finding.text(&check::length);
            let name = one_line(&looked.name);
            about(file, &format!("{name}: stop: {text}"))
        })
    });
    lines.collect()
}

fn told(looked: &Looked, service: &Service) -> String {
    let name = one_line(&looked.name);
    let mut text: String = looked
        .mended
        .iter()
        .map(|line| format!("  mended  {}\n", one_line(line)))
        .collect();
    if looked.found.is_empty() {
        return format!("{name}: ready for {}\n{text}", one_line(&service.name));
    }
    for (ready, offer) in looked.found.iter().zip(&looked.offers) {
        let finding = &ready.finding;
        let place = finding.place.map_or(String::new(), |p| {
            format!("; at x {}, y {}", check::length(p.x), check::length(p.y))
        });
        text.push_str(&format!(
            "  {}  {}\n        {}{place}\n        by {}\n",
            finding.severity.name(),
            one_line(&finding.text(&check::length)),
            finding.why.text(&check::length),
            one_line(&ready.rule),
        ));
        if let (Some(mend), Some(offer)) = (&ready.mend, offer) {
            let how = match mend {
                ReadyMend::Knife(_) => "--mend would",
                ReadyMend::Service(_) => "the service's rules can",
            };
            text.push_str(&format!("        {how} {}: {offer}\n", mend.label()));
        }
    }
    format!("{name}: not ready for {}\n{text}", one_line(&service.name))
}

#[derive(Debug, Serialize)]
struct ReadyAnswer<'a> {
    service: &'a str,
    knives: Vec<KnifeAnswer<'a>>,
}

#[derive(Debug, Serialize)]
struct KnifeAnswer<'a> {
    name: &'a str,
    ready: bool,
    mended: &'a [String],
    findings: Vec<FindingAnswer<'a>>,
}

#[derive(Debug, Serialize)]
struct FindingAnswer<'a> {
    severity: &'static str,
    code: &'static str,
    what: String,
    place_mm: Option<[f64; 2]>,
    measured_mm: Option<f64>,
    threshold_mm: Option<f64>,
    rule: &'a str,
    why: String,
    mend: String,
    /// What is done when it is asked for; missing where it takes judgment.
    offer: Option<OfferAnswer<'a>>,
}

#[derive(Debug, Serialize)]
struct OfferAnswer<'a> {
    does: &'static str,
    to: &'static str,
    before_and_after: &'a str,
}

fn answer_of<'a>(service: &'a Service, all: &'a [Looked]) -> ReadyAnswer<'a> {
    let finite = |n: f64| n.is_finite().then_some(n);
    let finding = |(ready, offer): (&'a Ready, &'a Option<String>)| {
        let f = &ready.finding;
        FindingAnswer {
            severity: f.severity.name(),
            code: f.code,
            what: f.what.to_string(),
            place_mm: f.place.filter(|p| p.is_finite()).map(|p| [p.x, p.y]),
            measured_mm: f.measured_mm.and_then(finite),
            threshold_mm: f.wanted_mm.and_then(finite),
            rule: &ready.rule,
            why: f.why.to_string(),
            mend: f.mend.to_string(),
            offer: ready
                .mend
                .as_ref()
                .zip(offer.as_deref())
                .map(|(mend, offer)| OfferAnswer {
                    does: mend.label(),
                    to: match mend {
                        ReadyMend::Knife(_) => "design",
                        ReadyMend::Service(_) => "file",
                    },
                    before_and_after: offer,
                }),
        }
    };
    ReadyAnswer {
        service: &service.name,
        knives: all
            .iter()
            .map(|looked| KnifeAnswer {
                name: &looked.name,
                ready: looked.found.is_empty(),
                mended: &looked.mended,
                findings: looked
                    .found
                    .iter()
                    .zip(&looked.offers)
                    .map(finding)
                    .collect(),
            })
            .collect(),
    }
}
