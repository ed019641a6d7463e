//! `check`: what can't be made, or is likely to fail.

use serde::Serialize;

use super::args::CheckArguments;
use super::complaint::{Complaint, about, one_line};
use super::shop::Shop;
use super::{Answer, open};
use crate::checks::{Finding, Severity, Thresholds, check};
use crate::knife::{Knife, KnifeSet};
use crate::units::{Length, LengthFormat};
use crate::weighing::weigh;

pub(super) fn run(asked: &CheckArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    let Shop { figures, notes, .. } = Shop::load();
    let checked: Vec<(&Knife, Vec<Finding>)> = set
        .knives
        .iter()
        .map(|knife| (knife.as_ref(), findings(knife, &set, &figures)))
        .collect();
    let text = if asked.json {
        let knives = checked
            .iter()
            .map(|(knife, found)| KnifeAnswer::new(&knife.name, found))
            .collect();
        open::json(&CheckAnswer { knives })?
    } else {
        let told: Vec<String> = checked
            .iter()
            .map(|(knife, found)| told(&one_line(&knife.name), found))
            .collect();
        told.join("\n")
    };
    let complaints = checked
        .iter()
        .flat_map(|(knife, found)| stops(knife, found))
        .map(|stop| about(&asked.file, &stop))
        .collect();
    Ok(Answer {
        text,
        complaints,
        notes,
    })
}

/// Everything found on a knife by the shop's figures.
pub(super) fn findings(knife: &Knife, set: &KnifeSet, figures: &Thresholds) -> Vec<Finding> {
    check(knife, set, &weigh(knife, set), figures)
}

/// A line for each finding that stops the knife from being made.
pub(super) fn stops(knife: &Knife, found: &[Finding]) -> Vec<String> {
    found
        .iter()
        .filter(|finding| finding.severity == Severity::Stop)
        .map(|finding| {
            let name = one_line(&knife.name);
            format!("{name}: stop: {}", finding.text(&length))
        })
        .collect()
}

/// A length as findings tell it: to a hundredth, where webs and fits are decided.
pub(super) fn length(mm: f64) -> String {
    LengthFormat::default().caliper().print(Length::mm(mm))
}

fn told(name: &str, found: &[Finding]) -> String {
    if found.is_empty() {
        return format!("{name}: nothing found\n");
    }
    let mut text = format!("{name}\n");
    for finding in found {
        text.push_str(&format!(
            "  {}  {}\n        {}{}\n",
            finding.severity.name(),
            one_line(&finding.text(&length)),
            finding.why.text(&length),
            finding.place.map_or(String::new(), |place| {
                format!("; at x {}, y {}", length(place.x), length(place.y))
            })
        ));
    }
    text
}

#[derive(Debug, Serialize)]
struct CheckAnswer {
    knives: Vec<KnifeAnswer>,
}

#[derive(Debug, Serialize)]
struct KnifeAnswer {
    name: String,
    findings: Vec<FindingAnswer>,
}

#[derive(Debug, Serialize)]
struct FindingAnswer {
    severity: &'static str,
    code: &'static str,
    what: String,
    place_mm: Option<[f64; 2]>,
    why: String,
    mend: String,
}

impl KnifeAnswer {
    fn new(name: &str, found: &[Finding]) -> Self {
        let findings = found
            .iter()
            .map(|finding| FindingAnswer {
                severity: finding.severity.name(),
                code: finding.code,
                what: finding.what.to_string(),
                place_mm: finding
                    .place
                    .map(|p| [p.x, p.y])
                    .filter(|p| p.iter().all(|v| v.is_finite())),
                why: finding.why.to_string(),
                mend: finding.mend.to_string(),
            })
            .collect();
        Self {
            name: name.to_owned(),
            findings,
        }
    }
}
