//! The core of a laminated blade: whether it reaches the edge and shows where it should.

use super::bench::Bench;
use super::ground::{Ground, GroundRun};
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::{Face, Run};
use crate::weighing::{EdgePlan, core_mm, thickness_places_mm};

/// What lies no farther than this within the core lies on its boundary, mm.
const SLACK_MM: f64 = 1e-6;

/// How the core comes out on one run, at the place where it comes out worst.
struct Showing<'a> {
    first: &'a GroundRun<'a>,
    /// How far the finished edge lies outside the core, mm; negative within it.
    off_mm: f64,
    /// How much of the core stands above the edge on each face, right first, mm; not positive where none shows, missing where nothing is ground.
    margins: [Option<f64>; 2],
    x_mm: f64,
}

pub(super) fn look(bench: &Bench<'_>, ground: &Ground<'_>, found: &mut Vec<Finding>) {
    if !bench.knife.stock.is_laminated() {
        return;
    }
    let mut runs: Vec<Run> = Vec::new();
    for run in &ground.runs {
        if !runs.contains(&run.grind.run) {
            runs.push(run.grind.run);
        }
    }
    let showing: Vec<Showing<'_>> = runs
        .into_iter()
        .filter_map(|run| Showing::on(bench, ground, run))
        .collect();
    let (edges, spines): (Vec<_>, Vec<_>) = showing
        .iter()
        .partition(|shown| shown.first.grind.run.is_on_edge());
    for edge in &edges {
        if edge.off_mm >= -SLACK_MM {
            found.push(misses_edge(bench, edge));
        } else {
            found.extend(hidden(bench, edge));
            found.extend(narrow(bench, edge));
            found.extend(swallowed(bench, edge));
        }
    }
    let on_edge = edges.iter().any(|edge| edge.shows());
    if !edges.is_empty() && !on_edge {
        for spine in spines.iter().filter(|spine| spine.shows()) {
            found.push(only_on_spine(bench, spine));
        }
    }
}

impl<'a> Showing<'a> {
    fn on(bench: &Bench<'_>, ground: &'a Ground<'a>, run: Run) -> Option<Self> {
        let grinds: Vec<&GroundRun<'_>> =
            ground.runs.iter().filter(|g| g.grind.run == run).collect();
        let first = *grinds.first()?;
        let (from, to) = first.path.reach_mm();
        thickness_places_mm(bench.knife, from, to)
            .into_iter()
            .map(|x| Self::at(bench, first, &grinds, x))
            .reduce(|a, b| if b.worth() < a.worth() { b } else { a })
    }

    fn at(
        bench: &Bench<'_>,
        first: &'a GroundRun<'a>,
        grinds: &[&'a GroundRun<'a>],
        x_mm: f64,
    ) -> Self {
        let (low, high) = core_mm(bench.knife);
        let plan = EdgePlan::at(bench.knife, first.grind, x_mm);
        // Sharpened, the edge comes to the middle of what was left, or to the face that is not ground.
        let edge = match first.grind.sides.faces() {
            crate::knife::Faces::Both => f64::midpoint(plan.edge_mm.0, plan.edge_mm.1),
            crate::knife::Faces::Right => plan.edge_mm.0,
            crate::knife::Faces::Left => plan.edge_mm.1,
        };
        // What a later grind on the same run lays bare counts as well.
        let margins = Face::ALL.map(|face| {
            grinds
                .iter()
                .filter(|run| run.grind.sides.faces().has(face))
                .map(|run| {
                    let edge = EdgePlan::at(bench.knife, run.grind, x_mm).edge_mm;
                    match face {
                        Face::Right => high - edge.1,
                        Face::Left => edge.0 - low,
                    }
                })
                .reduce(f64::max)
        });
        Self {
            first,
            off_mm: (low - edge).max(edge - high),
            margins,
            x_mm,
        }
    }

    /// How good a place it is: less is worse.
    fn worth(&self) -> f64 {
        self.margins
            .iter()
            .flatten()
            .fold(-self.off_mm, |least, margin| least.min(*margin))
    }

    fn shows(&self) -> bool {
        self.margins.iter().flatten().any(|m| *m > SLACK_MM)
    }

    fn finding(&self, bench: &Bench<'_>, code: &'static str, what: super::Words) -> Finding {
        let x = self.x_mm;
        let edge = bench.depth_at(x).map(|(low, high)| {
            Point::new(
                x,
                if self.first.grind.run.is_on_edge() {
                    low
                } else {
                    high
                },
            )
        });
        Finding::new(Severity::Warn, code, what)
            .at(edge)
            .about(Subject::Grind(self.first.grind.id))
    }
}

fn misses_edge(bench: &Bench<'_>, edge: &Showing<'_>) -> Finding {
    let what = say(format!(
        "The core misses the edge of {} by ",
        edge.first.name()
    ))
    .mm(edge.off_mm.max(0.0));
    let mend = if edge.first.grind.sides.is_chisel() {
        say("Grind both faces, or take a bar whose hard layer lies on the flat face")
    } else {
        say("Bring the edge and the core to one middle")
    };
    edge.finding(bench, "core-off-edge", what)
        .measured(edge.off_mm.max(0.0), 0.0)
        .why(say("the edge would be of cladding, which does not harden"))
        .mend(mend)
}

/// The core does not come out of the bevel, on both faces or on one.
fn hidden(bench: &Bench<'_>, edge: &Showing<'_>) -> Option<Finding> {
    let hides = |margin: Option<f64>| margin.filter(|m| *m <= SLACK_MM);
    let [right, left] = edge.margins.map(hides);
    let worst = [right, left].into_iter().flatten().reduce(f64::min)?;
    let where_to = match (right.is_some(), left.is_some(), edge.shows()) {
        (true, false, true) => " on the right face",
        (false, true, true) => " on the left face",
        _ => "",
    };
    let code = if edge.shows() {
        "core-on-one-face"
    } else {
        "core-hidden"
    };
    let what = say(format!(
        "The core does not show on {}{where_to}: the edge reaches ",
        edge.first.name()
    ))
    .mm(-worst.min(0.0))
    .say(" beyond it");
    Some(
        edge.finding(bench, code, what)
            .measured(
                edge.first.grind.edge_mm,
                edge.first.grind.edge_mm + 2.0 * worst,
            )
            .why(say(
                "the line between core and cladding is where the eye sees how true the grind is",
            ))
            .mend(say(
                "Leave a thinner edge, or bring the edge and the core to one middle",
            )),
    )
}

/// The core shows, but less of it than the shop wants.
fn narrow(bench: &Bench<'_>, edge: &Showing<'_>) -> Option<Finding> {
    let least = bench.thresholds.core_stands_mm;
    let margins = edge.margins.into_iter().flatten();
    let margin = margins.reduce(f64::min)?;
    if margin <= SLACK_MM || margin >= least - SLACK_MM {
        return None;
    }
    let what = say("The core stands ")
        .mm(margin)
        .say(format!(
            " out of the edge of {}; the shop wants ",
            edge.first.name()
        ))
        .mm(least);
    Some(
        edge.finding(bench, "core-narrow", what)
            .measured(margin, least)
            .why(say("a narrow core is sharpened away after a few years"))
            .mend(say("Leave a thinner edge, or take a thicker core")),
    )
}

/// A hammered boundary wanders as far as the band is high.
fn swallowed(bench: &Bench<'_>, edge: &Showing<'_>) -> Option<Finding> {
    let waviness = bench.knife.stock.layering.waviness_mm;
    let margin = edge
        .margins
        .into_iter()
        .flatten()
        .filter(|m| *m > SLACK_MM)
        .reduce(f64::min)?;
    if waviness <= 0.0 || margin > waviness + SLACK_MM {
        return None;
    }
    let what = say("The core stands only ")
        .mm(margin)
        .say(format!(
            " beyond the edge of {}, and its boundary wanders by ",
            edge.first.name()
        ))
        .mm(waviness);
    Some(
        edge.finding(bench, "core-wavy", what)
            .measured(margin, waviness)
            .why(say("in places the cladding may come down to the edge"))
            .mend(say("Leave a thinner edge, or take a thicker core")),
    )
}

fn only_on_spine(bench: &Bench<'_>, spine: &Showing<'_>) -> Finding {
    let what = say(format!(
        "The core shows on {} and not on the edge",
        spine.first.name()
    ));
    spine
        .finding(bench, "core-on-spine-only", what)
        .why(say(
            "a false edge that shows the core where the edge does not looks like a mistake",
        ))
        .mend(say(
            "Leave a thinner edge below, or a thicker one on the spine",
        ))
}

#[cfg(test)]
mod tests;
