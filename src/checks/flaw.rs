//! Flaws the maker has marked: what they touch, and what they may mean.

use super::bench::Bench;
use super::opening::Form;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::{circle_gap, segment_gap};
use crate::knife::{Flaw, FlawKind};

/// A flaw this near to something touches it, mm: the width of a scribed line, and about what an eye misses of a crack's end.
const TOUCH_MM: f64 = 0.5;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for flaw in &bench.knife.flaws {
        let Some(first) = flaw.line.first().copied() else {
            continue;
        };
        if !bench.sound {
            continue;
        }
        let inside = flaw.line.iter().any(|at| bench.index.contains(*at));
        if !inside {
            found.push(
                Finding::new(
                    Severity::Note,
                    "flaw-outside",
                    say(format!("A {} is marked beside the steel", flaw.kind.name())),
                )
                .at(Some(first))
                .why(say("it does no harm there"))
                .mend(say("Take the mark away, or move it onto the steel")),
            );
            continue;
        }
        touched_openings(bench, flaw, found);
        let edge = flaw
            .line
            .iter()
            .filter_map(|at| circle_gap(*at, flaw.reach_mm, &bench.steel))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let reaches = edge.as_ref().is_some_and(|(gap, _)| *gap <= TOUCH_MM);
        let (severity, what) = match flaw.kind {
            FlawKind::Crack => (Severity::Stop, "A crack"),
            FlawKind::OpenWeld => (Severity::Warn, "An open weld"),
            FlawKind::Pit => (Severity::Note, "A pit"),
        };
        let ahead = flaw.line.iter().any(|at| at.x > 0.0);
        let place = if ahead { "in the blade" } else { "in the tang" };
        let rim = if reaches { ", out to the rim" } else { "" };
        found.push(
            Finding::new(
                severity,
                "flaw",
                say(format!("{what} is marked {place}{rim}")),
            )
            .at(Some(first))
            .why(match flaw.kind {
                FlawKind::Pit => say("it may grind out, or show"),
                FlawKind::Crack | FlawKind::OpenWeld => {
                    say("it may run further than is seen, and such a blade may break in use")
                }
            })
            .mend(match flaw.kind {
                FlawKind::Pit => say("Grind past it, or leave it where it does no harm"),
                FlawKind::Crack | FlawKind::OpenWeld => {
                    say("Saw the knife off ahead of it with Saw, or take other steel")
                }
            }),
        );
    }
}

fn touched_openings(bench: &Bench<'_>, flaw: &Flaw, found: &mut Vec<Finding>) {
    for opening in &bench.openings {
        let Form::Capsule { core, radius } = opening.form else {
            continue;
        };
        let nearest = flaw
            .segments()
            .map(|segment| segment_gap(segment, core))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((distance, at, _)) = nearest else {
            continue;
        };
        let gap = distance - radius - flaw.reach_mm;
        if gap > TOUCH_MM {
            continue;
        }
        let name = opening.name();
        found.push(
            Finding::new(
                Severity::Warn,
                "flaw-hole",
                say(format!("Cut-out {name} touches a {}", flaw.kind.name())),
            )
            .at(Some(at))
            .about(Subject::CutOuts(vec![name]))
            .measured(gap.max(0.0), TOUCH_MM)
            .why(say("a hole is where a flaw runs on"))
            .mend(say("Move it away from the flaw")),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checks::testing::{findings, hole, plate};
    use crate::geometry::Point;
    use crate::knife::{Faces, Knife};

    fn flawed(kind: FlawKind, line: &[(f64, f64)], reach_mm: f64) -> Knife {
        let mut knife = plate(100.0, 30.0, 4.0);
        let id = knife.take_id();
        knife.flaws.push(Flaw {
            id,
            kind,
            line: line.iter().map(|at| Point::from(*at)).collect(),
            reach_mm,
            faces: Faces::Both,
            depth_mm: None,
        });
        knife
    }

    fn codes(knife: &Knife) -> Vec<(&'static str, Severity)> {
        findings(knife)
            .iter()
            .filter(|f| f.code.starts_with("flaw"))
            .map(|f| (f.code, f.severity))
            .collect()
    }

    #[test]
    fn a_crack_stops_the_work_and_a_pit_is_only_noted() {
        let line = [(40.0, 10.0), (44.0, 14.0)];
        assert_eq!(
            codes(&flawed(FlawKind::Crack, &line, 0.0)),
            [("flaw", Severity::Stop)]
        );
        assert_eq!(
            codes(&flawed(FlawKind::OpenWeld, &line, 1.0)),
            [("flaw", Severity::Warn)]
        );
        assert_eq!(
            codes(&flawed(FlawKind::Pit, &line[..1], 1.0)),
            [("flaw", Severity::Note)]
        );
        let beside = flawed(FlawKind::Crack, &[(40.0, -9.0)], 0.0);
        assert_eq!(codes(&beside), [("flaw-outside", Severity::Note)]);
    }

    /// A hole of 6 mm at (50, 15): its rim is 5 mm from a crack that ends at x = 42, less its reach.
    #[test]
    fn a_hole_on_a_flaw_is_told_and_one_beside_it_is_not() {
        for (reach, touches) in [(4.4, false), (4.6, true)] {
            let mut knife = flawed(FlawKind::Pit, &[(30.0, 15.0), (42.0, 15.0)], reach);
            hole(&mut knife, 50.0, 15.0, 6.0);
            let told = codes(&knife).iter().any(|(code, _)| *code == "flaw-hole");
            assert_eq!(told, touches, "{reach}");
        }
    }
}
