//! Cut-outs across the outline, outside it, or into each other: the design can't be weighed or cut so.

use std::collections::{BTreeMap, BTreeSet};

use super::bench::Bench;
use super::opening::Opening;
use super::web::least_web_mm;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::OutlineFault;
use crate::weighing::Missing;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if !bench.up.missing.iter().any(|m| m.cut_out().is_some()) {
        return;
    }
    let by_name: BTreeMap<String, &Opening<'_>> =
        bench.openings.iter().map(|o| (o.name(), o)).collect();
    let mut told: BTreeSet<(&str, &str)> = BTreeSet::new();
    for reason in &bench.up.missing {
        let Some(opening) = reason.cut_out().and_then(|name| by_name.get(name)) else {
            continue;
        };
        match reason {
            Missing::AcrossOutline { .. } => found.push(off_the_steel(bench, opening, true)),
            Missing::OutsideSteel { .. } => found.push(off_the_steel(bench, opening, false)),
            Missing::CutOutShape { fault, .. } => found.push(unsound(opening, fault)),
            Missing::OverCutOut { cut_out, other, .. } => {
                let pair = (cut_out.min(other).as_str(), cut_out.max(other).as_str());
                if told.insert(pair)
                    && let Some(second) = by_name.get(other.as_str())
                {
                    found.push(overlapping(bench, opening, second));
                }
            }
            _ => {}
        }
    }
}

fn unsound(opening: &Opening<'_>, fault: &OutlineFault) -> Finding {
    let what = say(format!("The {} at ", opening.noun()))
        .mm(opening.center.x)
        .say(" has no sound shape");
    Finding::new(Severity::Stop, "cut-out-unsound", what)
        .at(Some(fault.place().unwrap_or(opening.center)))
        .about(Subject::CutOuts(vec![opening.name()]))
        .why(say(
            "only a shape that closes and never meets itself can be weighed and cut",
        ))
        .mend(say(
            "Move its nodes until it never meets itself, or give it a size",
        ))
}

fn off_the_steel(bench: &Bench<'_>, opening: &Opening<'_>, across: bool) -> Finding {
    let (noun, x) = (opening.noun(), opening.center.x);
    let what = say(format!("The {noun} at ")).mm(x).say(if across {
        " reaches over the outline"
    } else {
        " lies outside the steel"
    });
    let code = if across {
        "cut-out-across"
    } else {
        "cut-out-outside"
    };
    let mut finding = Finding::new(Severity::Stop, code, what)
        .at(Some(opening.center))
        .about(Subject::CutOuts(vec![opening.name()]))
        .why(say("what it takes away can't be known"))
        .mend(say("Move it in, or remove it"));
    if opening.is_round()
        && let Some(nearest) = bench.steel.nearest(opening.center)
    {
        let radius = opening.width_mm().unwrap_or(0.0) / 2.0;
        let inside = bench.index.contains(opening.center);
        // Signed web: negative by as much as the hole reaches over, or lies beyond, the outline.
        let web = if inside {
            nearest.distance - radius
        } else {
            -nearest.distance - radius
        };
        let wanted = least_web_mm(bench, &[opening]);
        finding = finding
            .at(Some(nearest.at))
            .measured(web, wanted)
            .mend(say("Move it ").mm(wanted - web).say(" in"));
    }
    finding
}

fn overlapping(bench: &Bench<'_>, a: &Opening<'_>, b: &Opening<'_>) -> Finding {
    let what = say(format!("The {} at ", a.noun()))
        .mm(a.center.x)
        .say(format!(" runs into the {} at ", b.noun()))
        .mm(b.center.x);
    let mut finding = Finding::new(Severity::Stop, "cut-outs-overlap", what)
        .at(Some(a.center.midpoint(b.center)))
        .about(Subject::CutOuts(vec![a.name(), b.name()]))
        .why(say("what they take away would be counted twice"))
        .mend(say("Move them apart, or make one of them"));
    if a.is_round()
        && b.is_round()
        && let Some((gap, ..)) = a.gap_to(b)
    {
        let wanted = least_web_mm(bench, &[a, b]);
        finding = finding.measured(gap, wanted).mend(
            say("Move them ")
                .mm(wanted - gap)
                .say(" apart, or make one of them"),
        );
    }
    finding
}

#[cfg(test)]
mod tests {
    use super::super::testing::{codes, find, hole, plate, slot};
    use super::*;

    #[test]
    fn a_hole_over_the_outline_says_how_far_in() {
        // Plate 4 mm thick, upper side at y = 30. A 6 mm pinless hole at y = 28 reaches 1 mm over it; to leave the stock
        // thickness of 4 mm it has to move 5 mm.
        let mut knife = plate(100.0, 30.0, 4.0);
        hole(&mut knife, 50.0, 28.0, 6.0);
        let f = find(&knife, "cut-out-across");
        assert_eq!(f.severity, Severity::Stop);
        assert!((f.measured_mm.unwrap() + 1.0).abs() < 1e-9);
        assert_eq!(f.wanted_mm, Some(4.0));
        assert_eq!(
            f.text(&|mm| format!("{mm:.1}")),
            "The hole at 50.0 reaches over the outline. Move it 5.0 in."
        );
        assert!(f.place.unwrap().distance((50.0, 30.0).into()) < 1e-9);
        // Touching from inside by nothing, it is only a thin web.
        let mut inside = plate(100.0, 30.0, 4.0);
        hole(&mut inside, 50.0, 26.9, 6.0);
        let c = codes(&inside);
        assert!(
            !c.contains(&"cut-out-across") && c.contains(&"web-outline"),
            "{c:?}"
        );
    }

    #[test]
    fn a_hole_outside_says_how_far_in() {
        // 10 mm below the lower side: 10 + 3 to lie within it, 4 more for the web.
        let mut knife = plate(100.0, 30.0, 4.0);
        hole(&mut knife, 50.0, -10.0, 6.0);
        let f = find(&knife, "cut-out-outside");
        assert!((f.measured_mm.unwrap() + 13.0).abs() < 1e-9);
        assert_eq!(f.mend.to_string(), "Move it 17 mm in");
        assert!(!codes(&knife).contains(&"cut-out-across"));
    }

    #[test]
    fn two_holes_that_overlap_are_told_once() {
        // Centers 5 mm apart, radii 3: they share 1 mm and want 4 mm between them.
        let mut knife = plate(100.0, 30.0, 4.0);
        hole(&mut knife, 50.0, 15.0, 6.0);
        hole(&mut knife, 55.0, 15.0, 6.0);
        let c = codes(&knife);
        assert_eq!(c.iter().filter(|c| **c == "cut-outs-overlap").count(), 1);
        let f = find(&knife, "cut-outs-overlap");
        assert!((f.measured_mm.unwrap() + 1.0).abs() < 1e-9);
        assert_eq!(
            f.mend.to_string(),
            "Move them 5 mm apart, or make one of them"
        );
        assert!(matches!(&f.about, Some(Subject::CutOuts(names)) if names.len() == 2));
        // 6.1 mm apart they leave 0.1 mm: no overlap any more.
        let mut apart = plate(100.0, 30.0, 4.0);
        hole(&mut apart, 50.0, 15.0, 6.0);
        hole(&mut apart, 56.1, 15.0, 6.0);
        assert!(!codes(&apart).contains(&"cut-outs-overlap"));
    }

    #[test]
    fn a_hole_of_no_size_is_told() {
        let mut knife = plate(100.0, 30.0, 4.0);
        hole(&mut knife, 50.0, 15.0, 0.0);
        assert!(
            codes(&knife).contains(&"cut-out-unsound"),
            "{:?}",
            codes(&knife)
        );
    }

    #[test]
    fn slots_are_told_too() {
        let mut knife = plate(100.0, 30.0, 4.0);
        slot(&mut knife, 50.0, 15.0, 20.0, 6.0);
        hole(&mut knife, 61.0, 15.0, 6.0);
        let f = find(&knife, "cut-outs-overlap");
        assert!(f.what.to_string().contains("slot"), "{}", f.what);
        assert_eq!(f.mend.to_string(), "Move them apart, or make one of them");
    }
}
