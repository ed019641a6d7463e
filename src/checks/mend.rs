//! What mends a finding without judgment: found by the finding itself, tried on a copy, and offered only where findings of its kind get fewer and nothing
//! else came of it.

use std::collections::BTreeMap;

use super::bench::Bench;
use super::opening::Opening;
use super::ready::mends;
use super::words::Words;
use super::{Finding, Severity, Subject, Thresholds, check, guard, landmark, mend_words, web};
use crate::geometry::outline_faults;
use crate::knife::{Id, Knife, KnifeSet, LandmarkKind, Mend, guess_landmarks, knife_faults};
use crate::weighing::{WeighUp, weigh};

/// Holes are not made smaller than this to leave a web, mm: no usual drill is.
const LEAST_HOLE_MM: f64 = 1.0;
/// A size that is asked for is passed by this, mm, so that rounding leaves the finding behind.
const PAST_MM: f64 = 1e-6;

/// A mend of a finding, and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopMend {
    /// The mend.
    pub mend: Mend,
    /// Before and after, in a line.
    pub told: Words,
}

/// The mend of a finding of [`check`] on a knife; `None` where mending takes judgment or what it would change is clamped. `up` must be the weigh-up of the
/// same knife in the same set.
#[must_use]
pub fn shop_mend(
    knife: &Knife,
    set: &KnifeSet,
    up: &WeighUp,
    finding: &Finding,
    thresholds: &Thresholds,
) -> Option<ShopMend> {
    let bench = Bench::new(knife, set, up, thresholds);
    let mend = candidate(&bench, finding)?;
    works(&mend, &bench, finding).then(|| ShopMend {
        told: mend_words::told(&mend, knife),
        mend,
    })
}

/// What would mend it, untried.
fn candidate(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    match finding.code {
        "outline-zero-piece" | "outline-doubled" => {
            let outline = &bench.knife.outline;
            let faults = outline_faults(&bench.steel.pieces);
            faults
                .iter()
                .find_map(|fault| mends::of_fault(outline, None, fault))
        }
        "cut-out-unsound" => mends::of_unsound(bench, finding),
        "cut-outs-overlap" => mends::double(bench, finding)?.1,
        "inside-corner" | "shoulder-radius" | "cut-out-corner" => mends::of_corner(bench, finding),
        "drill-size" | "pin-fit" | "tube-fit" | "lanyard-hole" => {
            sized(bench, finding, finding.wanted_mm?)
        }
        "small-for-cutting" => larger_to_cut(bench, finding),
        "web-outline" | "web-holes" => narrowed(bench, finding),
        "landmark-missing" => landmarks(bench, None),
        "landmark-off" => match finding.about {
            Some(Subject::Landmark(kind)) => landmarks(bench, Some(kind)),
            _ => None,
        },
        "guard-tight" | "guard-loose" => {
            let clearance_mm = finding.wanted_mm? / 2.0;
            Some(Mend::FitGuard { clearance_mm })
        }
        "guard-corner" => {
            let guard = bench.knife.guard.as_ref()?;
            let radius_mm = guard::corner_that_passes_mm(guard.clearance_mm);
            Some(Mend::FileSlotCorners { radius_mm })
        }
        _ => None,
    }
}

/// The cut-outs and rows a finding speaks of.
fn spoken_of(finding: &Finding) -> Option<(Vec<Id>, Vec<Id>)> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return None;
    };
    let (mut cut_outs, mut rows) = (Vec::new(), Vec::new());
    for name in names {
        match name.split_once('.') {
            Some((row, _)) => rows.push(row.parse().ok()?),
            None => cut_outs.push(name.parse().ok()?),
        }
    }
    rows.dedup();
    Some((cut_outs, rows))
}

/// The openings a finding speaks of.
fn openings_of<'b, 'a>(bench: &'b Bench<'a>, finding: &Finding) -> Vec<&'b Opening<'a>> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return Vec::new();
    };
    let named = |name: &String| bench.openings.iter().find(|o| o.name() == *name);
    names.iter().filter_map(named).collect()
}

/// Openings as large as can be cut. One that a pin or a tube goes through is drilled instead: its size is not free.
fn larger_to_cut(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    let openings = openings_of(bench, finding);
    if openings.iter().any(|opening| opening.is_fitted()) {
        return None;
    }
    // What is cut undersize is drawn that much larger.
    let under = openings.first()?.width_mm()? - finding.measured_mm?;
    sized(bench, finding, finding.wanted_mm? + under)
}

/// All of them at one size. A row is only made even that was even.
fn sized(bench: &Bench<'_>, finding: &Finding, size_mm: f64) -> Option<Mend> {
    let (cut_outs, rows) = spoken_of(finding)?;
    let even = |id: &Id| {
        let row = bench.knife.rows.iter().find(|row| row.id == *id);
        row.is_some_and(|row| row.first_diameter_mm == row.last_diameter_mm)
    };
    rows.iter().all(even).then_some(Mend::SizeHoles {
        cut_outs,
        rows,
        size_mm,
    })
}

/// A hole that only lightens gives way to a web that is too thin: it keeps its middle and gets smaller.
fn narrowed(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    let openings = openings_of(bench, finding);
    let gives_way = |opening: &&Opening<'_>| {
        let free = |id: Id| !bench.knife.clamped.contains(&id);
        opening.is_round() && opening.only_lightens() && opening.cut_out().is_some_and(free)
    };
    let hole = openings.iter().copied().find(gives_way)?;
    let others: Vec<&Opening<'_>> = openings
        .into_iter()
        .filter(|other| !std::ptr::eq(*other, hole))
        .collect();
    let widest = web::widest_beside_mm(bench, hole, finding.measured_mm?, &others)?;
    let size_mm = widest - PAST_MM;
    (size_mm >= LEAST_HOLE_MM).then_some(Mend::SizeHoles {
        cut_outs: vec![hole.cut_out()?],
        rows: Vec::new(),
        size_mm,
    })
}

/// Landmarks where the outline's own shape says they are: this one, or all that are wanted and missing.
fn landmarks(bench: &Bench<'_>, only: Option<LandmarkKind>) -> Option<Mend> {
    let knife = bench.knife;
    let places: Vec<_> = guess_landmarks(&knife.outline)
        .into_iter()
        .filter(|(kind, _)| match only {
            Some(only) => *kind == only,
            None => landmark::is_wanted(bench, *kind) && knife.landmark_point(*kind).is_none(),
        })
        .filter_map(|(kind, place)| Some((kind, place?)))
        .collect();
    (!places.is_empty()).then_some(Mend::SeatLandmarks { places })
}

/// Whether a mend can be made, leaves what is clamped alone, leaves fewer findings of its kind, and none that was not there before.
fn works(mend: &Mend, bench: &Bench<'_>, finding: &Finding) -> bool {
    let (knife, set, thresholds) = (bench.knife, bench.set, bench.thresholds);
    let mut mended = knife.clone();
    if mend.make(&mut mended).is_err()
        || knife.clamped_astray(&mended).is_some()
        || !knife_faults(&mended, set).is_empty()
    {
        return false;
    }
    let before = check(knife, set, bench.up, thresholds);
    let after = check(&mended, set, &weigh(&mended, set), thresholds);
    let (before, after) = (counted(&before, finding), counted(&after, finding));
    let at = |counts: &BTreeMap<Kind, usize>, kind: &Kind| counts.get(kind).copied().unwrap_or(0);
    let mut grows = after.iter().filter(|(kind, n)| **n > at(&before, kind));
    let of_code = |counts: &BTreeMap<Kind, usize>| -> usize {
        let own = counts.iter().filter(|((code, _), _)| *code == finding.code);
        own.map(|(_, n)| n).sum()
    };
    of_code(&after) < of_code(&before) && grows.next().is_none()
}

/// What a finding is counted by.
type Kind = (&'static str, Severity);

/// How many there are of each kind, of those that could be seen while this one stood.
fn counted(found: &[Finding], finding: &Finding) -> BTreeMap<Kind, usize> {
    let mut counts = BTreeMap::new();
    for other in found.iter().filter(|other| seen_beside(finding, other)) {
        *counts.entry((other.code, other.severity)).or_default() += 1;
    }
    counts
}

/// Whether another finding could be seen while this one stood. An outline that is not sound hides all but its own faults, a cut-out that stops the
/// design what lies beside it, a missing landmark what is measured from it; what comes to light with their mend was there before.
fn seen_beside(finding: &Finding, other: &Finding) -> bool {
    let of_outline = |code: &str| code.starts_with("outline-");
    match finding.code {
        code if of_outline(code) => of_outline(other.code),
        "landmark-missing" => {
            other.severity == Severity::Stop || other.code.starts_with("landmark-")
        }
        _ if finding.severity == Severity::Stop => other.severity == Severity::Stop,
        _ => true,
    }
}

#[cfg(test)]
mod tests;
