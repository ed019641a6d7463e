//! Landmarks that are missing, or not where they belong.

use super::bench::Bench;
use super::words::{Words, say};
use super::{Finding, Severity, Subject};
use crate::knife::LandmarkKind;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let missing: Vec<&str> = LandmarkKind::ALL
        .iter()
        .filter(|kind| is_wanted(bench, **kind) && bench.knife.landmark_point(**kind).is_none())
        .map(|kind| kind.name())
        .collect();
    if !missing.is_empty() {
        let (noun, verb) = if missing.len() == 1 {
            ("landmark", "is")
        } else {
            ("landmarks", "are")
        };
        found.push(
            Finding::new(
                Severity::Note,
                "landmark-missing",
                say(format!("The {noun} {} {verb} not set", listed(&missing))),
            )
            .about(Subject::Knife)
            .why(say("lengths, tang and grinds are counted from landmarks"))
            .mend(say("Set it on the outline, each where it belongs")),
        );
    }
    for kind in [LandmarkKind::UpperShoulder, LandmarkKind::LowerShoulder] {
        found.extend(off_place(bench, kind, 0.0, "the shoulder line"));
    }
    if bench.sound {
        let bounds = bench.index.bounds();
        let tip = ("the foremost point of the outline", bounds.x1);
        found.extend(off_place(bench, LandmarkKind::Tip, tip.1, tip.0));
        let butt = ("the rearmost point of the outline", bounds.x0);
        found.extend(off_place(bench, LandmarkKind::Butt, butt.1, butt.0));
    }
}

/// Every blade has all of them but the false edge, which only a grind on it asks for.
pub(super) fn is_wanted(bench: &Bench<'_>, kind: LandmarkKind) -> bool {
    let grinds = &bench.knife.grinding.grinds;
    kind != LandmarkKind::FalseEdge
        || grinds
            .iter()
            .any(|grind| grind.run.from == kind || grind.run.to == kind)
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}

fn off_place(bench: &Bench<'_>, kind: LandmarkKind, x: f64, where_to: &str) -> Option<Finding> {
    let at = bench.knife.landmark_point(kind)?;
    let off = at.x - x;
    if off.abs() <= bench.thresholds.landmark_off_mm + 1e-9 {
        return None;
    }
    let side = if off > 0.0 { "ahead of" } else { "behind" };
    let what = Words::default()
        .say(format!("The {} is ", kind.name()))
        .mm(off.abs())
        .say(format!(" {side} {where_to}"));
    let mend = if x == 0.0 {
        say("Move it, or the whole knife, by ").mm(off.abs())
    } else {
        say("Set the landmark again, at ").mm(x)
    };
    Some(
        Finding::new(Severity::Note, "landmark-off", what)
            .at(Some(at))
            .about(Subject::Landmark(kind))
            .measured(off.abs(), 0.0)
            .why(
                say("everything along the knife is measured from there, to ")
                    .mm(bench.thresholds.landmark_off_mm),
            )
            .mend(mend),
    )
}

#[cfg(test)]
mod tests {
    use super::super::ground::bench::false_edge;
    use super::super::testing::{codes, find, findings, shouldered};
    use super::*;
    use crate::knife::{Knife, Spot};

    /// A plate from −100 to 120 with every landmark set; its shoulders are nodes at `x`.
    fn marked(x: f64) -> Knife {
        let mut knife = shouldered(x);
        for (kind, node) in [
            (LandmarkKind::LowerShoulder, 1),
            (LandmarkKind::Heel, 1),
            (LandmarkKind::Plunge, 1),
            (LandmarkKind::Tip, 2),
            (LandmarkKind::SpineStart, 3),
            (LandmarkKind::UpperShoulder, 4),
            (LandmarkKind::Butt, 5),
        ] {
            knife.set_landmark(kind, Spot { node, t: 0.0 });
        }
        knife
    }

    #[test]
    fn shoulders_belong_on_the_shoulder_line() {
        for x in [0.0, 0.1, -0.1] {
            assert!(!codes(&marked(x)).contains(&"landmark-off"), "{x}");
        }
        let all = findings(&marked(0.4));
        let off: Vec<_> = all.iter().filter(|f| f.code == "landmark-off").collect();
        assert_eq!(off.len(), 2);
        assert_eq!(off[0].measured_mm, Some(0.4));
        assert!(off.iter().any(
            |f| f.what.to_string() == "The upper shoulder is 0.4 mm ahead of the shoulder line"
        ));
    }

    #[test]
    fn the_tip_is_the_foremost_point() {
        let mut knife = marked(0.0);
        // Halfway down the lower side of the blade: at x = 60.
        knife.set_landmark(LandmarkKind::Tip, Spot { node: 1, t: 0.5 });
        let f = find(&knife, "landmark-off");
        assert_eq!(f.about, Some(Subject::Landmark(LandmarkKind::Tip)));
        assert_eq!(f.measured_mm, Some(60.0));
    }

    #[test]
    fn missing_landmarks_are_named_together() {
        let mut knife = marked(0.0);
        assert!(!codes(&knife).contains(&"landmark-missing"));
        knife
            .landmarks
            .retain(|l| !matches!(l.kind, LandmarkKind::Heel | LandmarkKind::Butt));
        let f = find(&knife, "landmark-missing");
        assert_eq!(
            f.what.to_string(),
            "The landmarks heel and butt are not set"
        );
        knife.set_landmark(LandmarkKind::Butt, Spot { node: 5, t: 0.0 });
        let f = find(&knife, "landmark-missing");
        assert_eq!(f.what.to_string(), "The landmark heel is not set");
    }

    #[test]
    fn a_false_edge_landmark_is_wanted_by_a_grind_on_it() {
        let mut knife = marked(0.0);
        assert!(!codes(&knife).contains(&"landmark-missing"));
        let mut grind = false_edge(8.0, 1.0);
        grind.run.to = LandmarkKind::FalseEdge;
        knife.grinding.grinds = vec![grind];
        let f = find(&knife, "landmark-missing");
        assert_eq!(f.what.to_string(), "The landmark false edge is not set");
    }
}
