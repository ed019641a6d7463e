//! Which mend answers which finding, and whether it works.

use super::super::bench::Bench;
use super::super::opening::{Form, Opening};
use super::super::words::say;
use super::super::{Finding, Severity, Subject, corner};
use super::{CLOSED, NO_DOUBLES, NOTHING_STRAY};
use crate::geometry::{Contour, OutlineFault, outline_faults};
use crate::knife::{CutShape, Id, Knife, Mend, Outline};

/// Two cut-outs agree when their middles and sizes are this near, mm: far below anything a shop can cut.
const ALIKE_MM: f64 = 0.01;

/// The rule an outline's fault breaks.
pub(super) fn rule_of(fault: &OutlineFault) -> &'static str {
    match fault {
        OutlineFault::ZeroPiece { .. } | OutlineFault::TooFew => NOTHING_STRAY,
        OutlineFault::Doubled { .. } | OutlineFault::Crossing { .. } => NO_DOUBLES,
        _ => CLOSED,
    }
}

/// What mends an outline's fault, if anything does without judgment.
pub(in crate::checks) fn of_fault(
    outline: &Outline,
    of: Option<Id>,
    fault: &OutlineFault,
) -> Option<Mend> {
    let node = |index: usize| outline.nodes.get(index).map(|node| node.id);
    match fault {
        OutlineFault::ZeroPiece { piece, .. } => {
            node(*piece).map(|node| Mend::JoinNodes { of, node })
        }
        OutlineFault::Doubled { piece, twin, .. } => {
            // Two that follow each other are a spur: out and home again.
            let last = outline.nodes.len().checked_sub(1)?;
            let far = match (piece.min(twin), piece.max(twin)) {
                (0, twin) if *twin == last => 0,
                (piece, twin) if piece + 1 == *twin => *twin,
                _ => return None,
            };
            node(far).map(|node| Mend::DropSpur { of, node })
        }
        _ => None,
    }
}

/// What mends a free cut-out that has no sound shape.
pub(in crate::checks) fn of_unsound(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    if finding.code != "cut-out-unsound" {
        return None;
    }
    let (id, outline) = free_outline(bench, finding)?;
    let faults = outline_faults(&outline.contour().pieces);
    faults
        .iter()
        .find_map(|fault| of_fault(outline, Some(id), fault))
}

/// The free cut-out a finding speaks of.
fn free_outline<'a>(bench: &'a Bench<'_>, finding: &Finding) -> Option<(Id, &'a Outline)> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return None;
    };
    let name = names.first()?;
    let cut_out = bench
        .knife
        .cut_outs
        .iter()
        .find(|c| c.id.to_string() == *name)?;
    match &cut_out.shape {
        CutShape::Free { outline } => Some((cut_out.id, outline)),
        _ => None,
    }
}

/// A finding on two cut-outs that overlap, told as what it is when they are the same one twice; with the mend, where one of them stands alone.
pub(in crate::checks) fn double(
    bench: &Bench<'_>,
    finding: &Finding,
) -> Option<(Finding, Option<Mend>)> {
    let Some(Subject::CutOuts(names)) = &finding.about else {
        return None;
    };
    let [first, second] = names.as_slice() else {
        return None;
    };
    let named = |name: &String| bench.openings.iter().find(|o| o.name() == *name);
    let (a, b) = (named(first)?, named(second)?);
    if !alike(a, b) {
        return None;
    }
    // The one drawn later goes; a hole of a row stays in its row.
    let alone = [b, a].into_iter().find(|o| o.row().is_none());
    let id = alone.and_then(|o| o.name().parse().ok());
    let what = say(format!("The {} at ", a.noun()))
        .mm(a.center.x)
        .say(" is there twice");
    let told = Finding::new(Severity::Stop, "cut-out-doubled", what)
        .at(Some(a.center))
        .about(Subject::CutOuts(names.clone()))
        .measured(a.center.distance(b.center), ALIKE_MM)
        .why(say(
            "a cutter follows both, and the second pass spoils the hole",
        ))
        .mend(say("Keep one of them"));
    Some((told, id.map(|cut_out| Mend::DropCutOut { cut_out })))
}

fn alike(a: &Opening<'_>, b: &Opening<'_>) -> bool {
    match (&a.form, &b.form) {
        (
            Form::Capsule {
                core: p,
                radius: own,
            },
            Form::Capsule {
                core: q,
                radius: other,
            },
        ) => {
            let near =
                |r: crate::geometry::Point, s: crate::geometry::Point| r.distance(s) <= ALIKE_MM;
            let placed = (near(p.0, q.0) && near(p.1, q.1)) || (near(p.0, q.1) && near(p.1, q.0));
            placed && (own - other).abs() <= ALIKE_MM
        }
        (Form::Free { contour: p }, Form::Free { contour: q }) => {
            let (own, other) = (p.moments(), q.moments());
            let both_ways = |p: &Contour, q: &Contour| {
                p.pieces.iter().all(|piece| {
                    q.nearest_within(piece.start(), ALIKE_MM).is_some()
                        && q.nearest_within(piece.eval(0.5), ALIKE_MM).is_some()
                })
            };
            (own.area.abs() - other.area.abs()).abs() <= ALIKE_MM * p.perimeter()
                && both_ways(p, q)
                && both_ways(q, p)
        }
        _ => false,
    }
}

/// The radius for a sharp corner of the outline, or for all of a window.
pub(in crate::checks) fn of_corner(bench: &Bench<'_>, finding: &Finding) -> Option<Mend> {
    if finding.measured_mm != Some(0.0) {
        return None;
    }
    let radius_mm = finding.wanted_mm?;
    if let Some(Subject::Node(node)) = finding.about {
        return Some(Mend::RoundCorners {
            of: None,
            nodes: vec![node],
            radius_mm,
        });
    }
    let (id, outline) = free_outline(bench, finding)?;
    let contour = outline.contour();
    let sense = corner::opening_sense(&contour);
    let nodes = corner::sharp_nodes(&contour, sense, bench.thresholds.corner_turn_rad)
        .into_iter()
        .filter_map(|index| outline.nodes.get(index).map(|node| node.id))
        .collect();
    Some(Mend::RoundCorners {
        of: Some(id),
        nodes,
        radius_mm,
    })
}

/// Whether a mend can be made, leaves what is clamped alone, and leaves fewer faults, or none where there were none.
pub(super) fn works(mend: &Mend, knife: &Knife) -> bool {
    let mut mended = knife.clone();
    if mend.make(&mut mended).is_err() || knife.clamped_astray(&mended).is_some() {
        return false;
    }
    let (before, after) = (faults_of(knife, mend), faults_of(&mended, mend));
    after == 0 || after < before
}

/// Faults of the outline a mend is about.
fn faults_of(knife: &Knife, mend: &Mend) -> usize {
    let of = match mend {
        Mend::JoinNodes { of, .. } | Mend::DropSpur { of, .. } | Mend::RoundCorners { of, .. } => {
            *of
        }
        Mend::DropCutOut { .. }
        | Mend::SizeHoles { .. }
        | Mend::SeatLandmarks { .. }
        | Mend::FitGuard { .. }
        | Mend::FileSlotCorners { .. } => return 0,
    };
    let contour = match of {
        None => Some(knife.contour()),
        Some(id) => {
            let cut_out = knife.cut_out(id);
            cut_out.map(|c| c.shape.contour())
        }
    };
    contour.map_or(0, |contour| outline_faults(&contour.pieces).len())
}
