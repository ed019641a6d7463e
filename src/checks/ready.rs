//! The ready check: what a service would ask about before it cuts, with the rule each finding goes by and the mend where it needs no judgment.
//!
//! Webs, openings and corners are those of the other checks, by the service's rules alone; what only a file can be wrong about is added. A mend is offered
//! only where it was tried on a copy and left the outline sound. A guard has a file of its own and is held against the same rules, by its own thickness.

mod file;
mod guard;
pub(super) mod mends;
#[cfg(test)]
mod tests;

use super::bench::Bench;
use super::words::{Words, say};
use super::{Finding, Severity, Subject, Thresholds, mend_words};
use super::{corner, cut_out, hole_size, outline, web};
use crate::catalog::{Service, ServiceMend};
use crate::knife::{Knife, KnifeSet, Mend};
use crate::weighing::{Missing, WeighUp};

/// Rows of the cutting rules about any file.
const CLOSED: &str = "any file: all cut shapes closed, end points meet exactly";
const NO_DOUBLES: &str = "any file: no overlapping, crossing or duplicate lines";
const NOTHING_STRAY: &str = "any file: no stray points, empty objects or open paths";

/// A finding of the ready check.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// What, where, how much, why. What is wanted is the threshold it was held against.
    pub finding: Finding,
    /// The rule it goes by: a row of the cutting rules, or the service's own.
    pub rule: String,
    /// What mends it without judgment.
    pub mend: Option<ReadyMend>,
}

/// A mend of the knife or of the rules its file is written by.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadyMend {
    /// The design changes.
    Knife(Mend),
    /// The file changes; the design stays.
    Service(ServiceMend),
}

impl ReadyMend {
    /// What it does, as a button says it.
    #[must_use]
    pub fn label(&self) -> &'static str {
        match self {
            Self::Knife(mend) => mend.label(),
            Self::Service(mend) => mend.label(),
        }
    }

    /// What it does to the knife or the file, in a line: before and after.
    #[must_use]
    pub fn told(&self, knife: &Knife, service: &Service) -> Words {
        match self {
            Self::Knife(mend) => mend_words::told(mend, knife),
            Self::Service(mend) => mend_words::told_of_file(*mend, service),
        }
    }
}

/// Everything a service would ask about a knife, the gravest first, as it will be cut: holes undersize, steel left on. `up` must be the weigh-up of the same
/// knife in the same set; what counts as a corner comes from `figures`.
#[must_use]
pub fn ready_check(
    knife: &Knife,
    set: &KnifeSet,
    up: &WeighUp,
    figures: &Thresholds,
    service: &Service,
) -> Vec<Ready> {
    // The service's rules alone: what a good tang wants besides is told by the other checks.
    let rules = Thresholds {
        web_diameters: 0.0,
        web_thicknesses: 0.0,
        shoulder_radius_mm: service.inside_radius_mm,
        ..figures.clone().for_service(service)
    };
    let bench = Bench::new(knife, set, up, &rules);
    let mut ready = Vec::new();
    outline_faults(&bench, &mut ready);
    openings(&bench, &mut ready);
    limits(&bench, service, &mut ready);
    file::look(&bench, service, &mut ready);
    guard::look(&bench, service, &mut ready);
    ready.sort_by(|a, b| a.finding.told_first(&b.finding));
    ready
}

impl Ready {
    fn new(finding: Finding, rule: impl Into<String>) -> Self {
        Self {
            finding,
            rule: rule.into(),
            mend: None,
        }
    }

    /// With a mend of the knife, if it works.
    fn mended_by(self, bench: &Bench<'_>, mend: Option<Mend>) -> Self {
        let mend = mend.filter(|mend| mends::works(mend, bench.knife));
        Self {
            mend: mend.map(ReadyMend::Knife),
            ..self
        }
    }

    fn mended_in_file(self, mend: ServiceMend) -> Self {
        Self {
            mend: Some(ReadyMend::Service(mend)),
            ..self
        }
    }
}

/// The steel outline: open, empty, doubled, crossing; and steps too short to be cut.
fn outline_faults(bench: &Bench<'_>, ready: &mut Vec<Ready>) {
    for reason in &bench.up.missing {
        if let Missing::Outline { fault } = reason {
            let found = Ready::new(
                outline::outline_finding(bench, fault),
                mends::rule_of(fault),
            );
            let mend = mends::of_fault(&bench.knife.outline, None, fault);
            ready.push(found.mended_by(bench, mend));
        }
    }
}

/// Cut-outs across the outline, outside it, into each other, there twice, or of no sound shape.
fn openings(bench: &Bench<'_>, ready: &mut Vec<Ready>) {
    let mut found = Vec::new();
    cut_out::look(bench, &mut found);
    for finding in found {
        if let Some((double, mend)) = mends::double(bench, &finding) {
            ready.push(Ready::new(double, NO_DOUBLES).mended_by(bench, mend));
            continue;
        }
        let mend = mends::of_unsound(bench, &finding);
        let rule = if finding.code == "cut-out-unsound" {
            CLOSED
        } else {
            NO_DOUBLES
        };
        ready.push(Ready::new(finding, rule).mended_by(bench, mend));
    }
}

/// What the way of cutting can't do: thin webs, small openings, sharp corners.
fn limits(bench: &Bench<'_>, service: &Service, ready: &mut Vec<Ready>) {
    let mut found = Vec::new();
    web::look(bench, &mut found);
    let basis = service.basis("web");
    ready.extend(found.drain(..).map(|f| Ready::new(f, basis.clone())));
    corner::look(bench, &mut found);
    let basis = service.basis("inside-radius");
    for finding in found.drain(..) {
        let mend = mends::of_corner(bench, &finding);
        ready.push(Ready::new(finding, basis.clone()).mended_by(bench, mend));
    }
    hole_size::look(bench, &mut found);
    let basis = service.basis("hole");
    for finding in found {
        let ready_one = Ready::new(finding, basis.clone());
        // A slot that is too narrow is a warning; only round holes can be drilled.
        if ready_one.finding.severity == Severity::Warn {
            ready.push(ready_one);
        } else if !service.marks_small_holes {
            ready.push(ready_one.mended_in_file(ServiceMend::MarkSmallHoles));
        }
    }
    if service.hole.is_none() {
        ready.extend(drilled_first(bench).map(|f| Ready::new(f, basis)));
    }
}

/// Closed openings where none can be cut: a band can't be let in.
fn drilled_first(bench: &Bench<'_>) -> Option<Finding> {
    let first = bench.openings.first()?;
    let n = bench.openings.len();
    let what = if n == 1 {
        "One opening is closed: no band can be let into it".to_owned()
    } else {
        format!("{n} openings are closed: no band can be let into them")
    };
    let names = bench.openings.iter().map(super::opening::Opening::name);
    Some(
        Finding::new(Severity::Note, "drill-openings", say(what))
            .at(Some(first.center))
            .about(Subject::CutOuts(names.collect()))
            .why(say("a saw cuts from outside only"))
            .mend(say(
                "Drill round holes, and slots end by end with a file between",
            )),
    )
}
