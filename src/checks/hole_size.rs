//! Holes and slots smaller than the way of cutting makes them in this thickness.

use std::collections::BTreeMap;

use super::bench::Bench;
use super::opening::Opening;
use super::words::{Words, say};
use super::{Finding, Severity, Subject};

/// Sizes are one size when they agree to the micrometer.
const PER_MM: f64 = 1000.0;

/// A size as a key to gather by.
pub(super) fn size_key(mm: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the cast saturates, and sizes are far below its range"
    )]
    let key = (mm * PER_MM).round() as i64;
    key
}

/// "The 3 holes of" or "The hole at": how a finding begins that speaks of all openings of one size.
pub(super) fn these(group: &[&Opening<'_>], size_mm: f64) -> Words {
    match group {
        [one] => say(format!("The {} at ", one.noun()))
            .mm(one.center.x)
            .say(" is ")
            .mm(size_mm)
            .say(if one.is_round() { " across" } else { " wide" }),
        [first, ..] => say(format!("The {} {}s are ", group.len(), first.noun()))
            .mm(size_mm)
            .say(if first.is_round() { " across" } else { " wide" }),
        [] => Words::default(),
    }
}

/// The names of a group.
pub(super) fn names(group: &[&Opening<'_>]) -> Subject {
    Subject::CutOuts(group.iter().map(|o| o.name()).collect())
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let t = bench.thresholds;
    let wanted = t.process_hole.at(bench.thickness_mm());
    let mut groups: BTreeMap<(bool, i64), Vec<&Opening<'_>>> = BTreeMap::new();
    for opening in &bench.openings {
        let under = if opening.is_round() {
            t.holes_under_mm
        } else {
            0.0
        };
        if let Some(width) = opening.width_mm().filter(|w| *w - under < wanted) {
            let key = (opening.is_round(), size_key(width));
            groups.entry(key).or_default().push(opening);
        }
    }
    for ((round, _), group) in groups {
        let Some(first) = group.first() else { continue };
        let width = first.width_mm().unwrap_or(0.0);
        let under = if round { t.holes_under_mm } else { 0.0 };
        let mut what = these(&group, width);
        if under > 0.0 {
            what = what.say(", cut to ").mm(width - under);
        }
        let what = what
            .say(format!("; {} makes at least ", t.process.to_lowercase()))
            .mm(wanted)
            .say(" in this stock");
        let (severity, mend) = if round {
            (
                Severity::Note,
                say("Drill after cutting, or make ").mm(wanted + under),
            )
        } else {
            (Severity::Warn, say("Widen to ").mm(wanted).say(" or more"))
        };
        found.push(
            Finding::new(severity, "small-for-cutting", what)
                .at(Some(first.center))
                .about(names(&group))
                .measured(width - under, wanted)
                .why(say(
                    "a smaller opening comes out rough, tapered or not at all",
                ))
                .mend(mend),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::testing::{codes, find, findings_by, hole, plate, slot};
    use super::*;

    #[test]
    fn holes_under_half_the_stock_are_drilled() {
        // Waterjet: max(0.5 T, 1.5 mm), so 3 mm in 6 mm stock.
        let mut knife = plate(200.0, 60.0, 6.0);
        hole(&mut knife, 50.0, 30.0, 2.9);
        hole(&mut knife, 80.0, 30.0, 2.9);
        hole(&mut knife, 110.0, 30.0, 3.0);
        let f = find(&knife, "small-for-cutting");
        assert_eq!(f.severity, Severity::Note);
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(2.9), Some(3.0)));
        assert!(
            f.what
                .to_string()
                .starts_with("The 2 holes are 2.9 mm across")
        );
        assert_eq!(f.place.map(|p| p.x), Some(50.0));
    }

    /// 3.2 mm holes cut 0.3 mm undersize are 2.9 mm in the file, and 3.3 mm ones 3.0 mm: half of 6 mm stock.
    #[test]
    fn holes_cut_undersize_are_judged_as_cut() {
        let mut knife = plate(200.0, 60.0, 6.0);
        hole(&mut knife, 50.0, 30.0, 3.2);
        hole(&mut knife, 80.0, 30.0, 3.3);
        let t = Thresholds {
            holes_under_mm: 0.3,
            ..Thresholds::default()
        };
        let found = findings_by(&knife, &t);
        let f = found
            .iter()
            .find(|f| f.code == "small-for-cutting")
            .unwrap();
        assert!((f.measured_mm.unwrap() - 2.9).abs() < 1e-9);
        assert!(
            f.what.to_string().contains("3.2 mm across, cut to 2.9 mm"),
            "{}",
            f.what
        );
        assert_eq!(f.mend.to_string(), "Drill after cutting, or make 3.3 mm");
    }

    #[test]
    fn a_narrow_slot_is_a_warning() {
        let mut knife = plate(200.0, 60.0, 6.0);
        slot(&mut knife, 50.0, 30.0, 20.0, 2.5);
        let f = find(&knife, "small-for-cutting");
        assert_eq!(f.severity, Severity::Warn);
        assert_eq!(f.mend.to_string(), "Widen to 3 mm or more");
        knife.stock.thickness_mm = 5.0;
        assert!(!codes(&knife).contains(&"small-for-cutting"));
    }
}
