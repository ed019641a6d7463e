//! The steel left between a hole and the outline, and between two holes.
//!
//! Rule: never under the stock thickness (nor under what the way of cutting leaves), and at least one hole diameter. A hole that carries load
//! is warned of under both; one that only takes weight away is a note while the thickness is kept. Pairs are found by a sweep along
//! `x` over boxes grown by what each opening wants, so the work grows with the number of near pairs only.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::bench::Bench;
use super::opening::{Gap, Opening};
use super::words::{Words, say};
use super::{Finding, Severity, Subject};
use crate::geometry::Rect;
use crate::knife::Id;

/// A web this little under its limit is no finding, mm: a micrometer can't be made or measured with what a knife shop has.
const SLACK_MM: f64 = 1e-3;

/// Most webs that are told of; a knife with more is not mended one by one. The thinnest are told.
const MOST_TOLD: usize = 100;

/// Which rule asks for a web.
#[derive(Clone, Copy, PartialEq)]
enum Rule {
    Thickness,
    Process,
    Diameter,
}

/// A limit that a web breaks.
struct Breach {
    severity: Severity,
    wanted: f64,
    rule: Rule,
}

/// What a web beside these openings must never be under, mm, whatever they are for.
fn floor(bench: &Bench<'_>) -> (f64, Rule) {
    let t = bench.thresholds;
    let own = t.web_thicknesses * bench.thickness_mm();
    let process = t.process_web.at(bench.thickness_mm());
    if process > own {
        (process, Rule::Process)
    } else {
        (own, Rule::Thickness)
    }
}

/// What the diameters ask for, mm.
fn by_diameter(bench: &Bench<'_>, openings: &[&Opening<'_>], only_loaded: bool) -> f64 {
    let counted = openings.iter().filter(|o| !only_loaded || o.carries_load());
    let widest = counted.filter_map(|o| o.width_mm()).fold(0.0_f64, f64::max);
    bench.thresholds.web_diameters * widest
}

/// The web that keeps a place free of warnings, mm.
pub(super) fn least_web_mm(bench: &Bench<'_>, openings: &[&Opening<'_>]) -> f64 {
    floor(bench).0.max(by_diameter(bench, openings, true))
}

/// How large a round hole may be, its middle staying, for the web beside it to be as wide as every rule asks, mm. `gap_mm` is the web now, `others` what
/// else it lies beside. With half of what the hole gives back added, the web is `gap + (d − size)/2`; that is to be `k · size` for the `k` diameters of the
/// hole itself, and what the other rules ask whatever its size.
pub(super) fn widest_beside_mm(
    bench: &Bench<'_>,
    hole: &Opening<'_>,
    gap_mm: f64,
    others: &[&Opening<'_>],
) -> Option<f64> {
    let d = hole.width_mm()?;
    let by_own = (2.0 * gap_mm + d) / (2.0 * bench.thresholds.web_diameters + 1.0);
    let asked = floor(bench).0.max(by_diameter(bench, others, false));
    Some(by_own.min(d - 2.0 * (asked - gap_mm)))
}

fn judge(bench: &Bench<'_>, gap: f64, openings: &[&Opening<'_>]) -> Option<Breach> {
    let (thickness, floor_rule) = floor(bench);
    let loaded = by_diameter(bench, openings, true);
    let (wanted, rule) = if loaded > thickness {
        (loaded, Rule::Diameter)
    } else {
        (thickness, floor_rule)
    };
    if gap < wanted - SLACK_MM {
        let severity = Severity::Warn;
        return Some(Breach {
            severity,
            wanted,
            rule,
        });
    }
    let wanted = by_diameter(bench, openings, false);
    (gap < wanted - SLACK_MM).then_some(Breach {
        severity: Severity::Note,
        wanted,
        rule: Rule::Diameter,
    })
}

/// A thin web: between opening `a` and opening `b`, or the outline.
struct Web {
    a: usize,
    b: Option<usize>,
    gap: Gap,
    breach: Breach,
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let mut webs = Worst::default();
    for (a, opening) in bench.countable() {
        let limit = floor(bench).0.max(by_diameter(bench, &[opening], false));
        let Some(gap) = opening.gap_to_outline(&bench.steel, &bench.index, limit) else {
            continue;
        };
        if let Some(breach) = judge(bench, gap.0, &[opening]) {
            let b = None;
            webs.keep(bench, Web { a, b, gap, breach });
        }
    }
    near_pairs(bench, |a, b| {
        let (Some(first), Some(second)) = (bench.openings.get(a), bench.openings.get(b)) else {
            return;
        };
        let pair = [first, second];
        if let Some(gap) = first.gap_to(second)
            && let Some(breach) = judge(bench, gap.0, &pair)
        {
            let b = Some(b);
            webs.keep(bench, Web { a, b, gap, breach });
        }
    });
    found.extend(webs.thinnest().iter().filter_map(|web| tell(bench, web)));
}

impl Web {
    /// Graver first, then what is missing most.
    fn worse_first(&self, other: &Self) -> Ordering {
        let missing = |web: &Self| web.gap.0 - web.breach.wanted;
        let severity = self.breach.severity.cmp(&other.breach.severity);
        severity.then(missing(self).total_cmp(&missing(other)))
    }
}

/// Thin webs, of a row only its thinnest to the outline and its thinnest from hole to hole.
#[derive(Default)]
struct Worst {
    single: Vec<Web>,
    of_rows: BTreeMap<(Id, bool), Web>,
}

impl Worst {
    fn keep(&mut self, bench: &Bench<'_>, web: Web) {
        let row = |i: usize| bench.openings.get(i).and_then(Opening::row);
        let key = match (row(web.a), web.b) {
            (Some(id), None) => Some((id, false)),
            (Some(id), Some(b)) if row(b) == Some(id) => Some((id, true)),
            _ => None,
        };
        let Some(key) = key else {
            self.single.push(web);
            return;
        };
        let old = self.of_rows.get(&key);
        if old.is_none_or(|old| web.worse_first(old).is_lt()) {
            self.of_rows.insert(key, web);
        }
    }

    /// The webs to tell of, in the order of the cut-outs.
    fn thinnest(self) -> Vec<Web> {
        let mut all = self.single;
        all.extend(self.of_rows.into_values());
        if all.len() > MOST_TOLD {
            all.sort_by(Web::worse_first);
            all.truncate(MOST_TOLD);
        }
        all.sort_by_key(|web| (web.a, web.b));
        all
    }
}

/// Calls `visit` with each pair of openings that may be nearer than either of them wants, each pair once.
fn near_pairs(bench: &Bench<'_>, mut visit: impl FnMut(usize, usize)) {
    let floor = floor(bench).0;
    // A pair nearer than the larger of its two wants has one box, grown by its own want, over the other.
    let mut boxes: Vec<(usize, Rect, Rect)> = bench
        .countable()
        .map(|(i, o)| {
            let want = floor.max(by_diameter(bench, &[o], false));
            let bounds = o.bounds();
            (i, bounds, bounds.inflate(want, want))
        })
        .collect();
    boxes.sort_by(|a, b| a.2.x0.total_cmp(&b.2.x0));
    let mut active: Vec<&(usize, Rect, Rect)> = Vec::new();
    for this in &boxes {
        active.retain(|other| other.2.x1 > this.2.x0);
        for other in &active {
            if overlap(this.2, other.1) || overlap(this.1, other.2) {
                visit(this.0.min(other.0), this.0.max(other.0));
            }
        }
        active.push(this);
    }
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

fn tell(bench: &Bench<'_>, web: &Web) -> Option<Finding> {
    let a = bench.openings.get(web.a)?;
    let (gap, p, q) = web.gap;
    let Breach {
        severity,
        wanted,
        rule,
    } = web.breach;
    let short = wanted - gap;
    let what = say("Web between the ").say(a.noun());
    let (code, what, mend, names) = match web.b {
        None => (
            "web-outline",
            what.say(" at ").mm(a.center.x).say(" and the outline"),
            off_the_outline(bench, a, short, wanted),
            vec![a.name()],
        ),
        Some(b) => {
            let b = bench.openings.get(b)?;
            let what = if a.noun() == b.noun() {
                what.say("s at ").mm(a.center.x).say(" and ")
            } else {
                let what = what.say(" at ").mm(a.center.x).say(" and the ");
                what.say(b.noun()).say(" at ")
            };
            let same_row = a.row().is_some() && a.row() == b.row();
            let mend = if same_row {
                say("Space the row ").mm(short).say(" wider")
            } else {
                say("Move one ").mm(short).say(" away")
            };
            let names = vec![a.name(), b.name()];
            ("web-holes", what.mm(b.center.x), mend, names)
        }
    };
    let what = keep(bench, what.say(" is ").mm(gap), wanted, rule);
    let why = match rule {
        Rule::Process => "the cut burns or breaks through a thinner web",
        _ => "a thin web warps in the quench, and is where the steel gives way first",
    };
    Some(
        Finding::new(severity, code, what)
            .across(p, q)
            .about(Subject::CutOuts(names))
            .measured(gap, wanted)
            .why(say(why))
            .mend(mend),
    )
}

/// Adds what is to be kept, and by which rule.
fn keep(bench: &Bench<'_>, what: Words, wanted: f64, rule: Rule) -> Words {
    let t = bench.thresholds;
    let what = match rule {
        Rule::Process => what.say(format!("; {} leaves at least ", t.process.to_lowercase())),
        Rule::Thickness if t.web_thicknesses == 1.0 => {
            what.say("; keep at least the stock thickness, ")
        }
        Rule::Diameter if t.web_diameters == 1.0 => what.say("; keep at least one hole diameter, "),
        _ => what.say("; keep at least "),
    };
    what.mm(wanted)
}

/// How to mend a web to the outline: move the hole where there is room for it across the tang, make it smaller where
/// there is not.
fn off_the_outline(bench: &Bench<'_>, a: &Opening<'_>, short: f64, wanted: f64) -> Words {
    let room = bench.index.depth_at(a.center.x);
    if let (Some((low, high)), Some(width), true) = (room, a.width_mm(), a.is_round()) {
        let best = (high - low - width) / 2.0;
        if best < wanted - SLACK_MM {
            let fits = high - low - 2.0 * wanted;
            return if fits > 0.0 {
                say("Make it ").mm(fits).say(" or smaller, in the middle")
            } else {
                say("There is no room for a hole here; leave it out")
            };
        }
    }
    say("Move it ").mm(short).say(" in")
}

#[cfg(test)]
mod tests;
