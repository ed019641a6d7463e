//! Flaws the maker has marked: what they touch, and what they may mean.

use super::bench::Bench;
use super::opening::Form;
use super::words::{Words, say};
use super::{Finding, Severity, Subject};
use crate::geometry::{Contour, Piece, Point, circle_gap, contour_gap, segment_gap};
use crate::knife::{Face, Flaw, FlawKind, Handle};
use crate::thickness::GroundBlade;

/// A flaw this near to something touches it, mm: the width of a scribed line, and about what an eye misses of a crack's end.
const TOUCH_MM: f64 = 0.5;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if bench.knife.flaws.is_empty() || !bench.sound {
        return;
    }
    // A blade that can't be ground is told by its own finding.
    let blade = GroundBlade::new(bench.knife, &bench.steel, &bench.index).ok();
    for flaw in &bench.knife.flaws {
        let Some(first) = flaw.line.first().copied() else {
            continue;
        };
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
                under_the_work(
                    bench,
                    blade.as_ref(),
                    flaw,
                    say(format!("{what} is marked {place}{rim}")),
                ),
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

/// How near a straight piece of a flaw comes to a window of any shape, and where on it.
fn to_window(segment: (Point, Point), window: &Contour) -> Option<(f64, Point)> {
    if segment.0 == segment.1 {
        let (gap, nearest) = circle_gap(segment.0, 0.0, window)?;
        return Some((gap, nearest.at));
    }
    let line = Contour {
        pieces: vec![Piece::line(segment.0, segment.1)],
    };
    contour_gap(&line, window).map(|(gap, _, at)| (gap, at))
}

/// Adds what of the work lies over a flaw: the handle, and what the grinds take there.
fn under_the_work(
    bench: &Bench<'_>,
    blade: Option<&GroundBlade>,
    flaw: &Flaw,
    mut words: Words,
) -> Words {
    let front = bench.knife.handle.as_ref().map(Handle::front_x_mm);
    if front.is_some_and(|front| flaw.line.iter().any(|at| at.x < front)) {
        words = words.say(", under the handle");
    }
    let taken = blade.and_then(|blade| least_taken(bench, blade, flaw));
    let Some(taken) = taken.filter(|mm| *mm > 0.0) else {
        return words;
    };
    words = words.say(", where grinding takes ").mm(taken);
    match flaw.depth_mm {
        Some(deep) if deep <= taken => words.say(" and takes it out"),
        Some(deep) => words.say(" of its ").mm(deep),
        None => words,
    }
}

/// What the grinds and the taper take at least of the faces a flaw is seen on, all along it, mm.
fn least_taken(bench: &Bench<'_>, blade: &GroundBlade, flaw: &Flaw) -> Option<f64> {
    let half = bench.thickness_mm() / 2.0;
    let inside = flaw.line.iter().filter(|at| bench.index.contains(**at));
    inside
        .flat_map(|at| {
            let faces = Face::ALL.into_iter().filter(|face| flaw.faces.has(*face));
            faces.map(|face| half - blade.height(face, *at))
        })
        .min_by(f64::total_cmp)
}

fn touched_openings(bench: &Bench<'_>, flaw: &Flaw, found: &mut Vec<Finding>) {
    for opening in &bench.openings {
        let nearest = flaw
            .segments()
            .filter_map(|segment| match &opening.form {
                Form::Capsule { core, radius } => {
                    let (distance, at, _) = segment_gap(segment, *core);
                    Some((distance - radius, at))
                }
                Form::Free { contour } => to_window(segment, contour),
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((distance, at)) = nearest else {
            continue;
        };
        let gap = distance - flaw.reach_mm;
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
    use crate::knife::{
        CutOut, CutShape, Faces, Filling, Knife, Node, Outline, Purpose, Taper, ThicknessStation,
    };

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

    /// A square window from x = 45 to 55: 3 mm from a crack that ends at x = 42, less its reach; the same from a pit beside it.
    #[test]
    fn a_window_on_a_flaw_is_told_and_one_beside_it_is_not() {
        let cracks = [(30.0, 15.0), (42.0, 15.0)];
        for (line, reach, touches) in [
            (&cracks[..], 2.4, false),
            (&cracks[..], 2.6, true),
            (&cracks[1..], 2.4, false),
            (&cracks[1..], 2.6, true),
        ] {
            let mut knife = flawed(FlawKind::Pit, line, reach);
            let corners = [(45.0, 10.0), (55.0, 10.0), (55.0, 20.0), (45.0, 20.0)];
            let nodes = (600..).zip(corners);
            let nodes = nodes.map(|(id, at)| Node::corner(id, Point::from(at)));
            knife.cut_outs.push(CutOut {
                id: 599,
                shape: CutShape::Free {
                    outline: Outline {
                        nodes: nodes.collect(),
                    },
                },
                purpose: Purpose::Lightening,
                filling: Filling::Nothing,
            });
            let told = codes(&knife).iter().any(|(code, _)| *code == "flaw-hole");
            assert_eq!(told, touches, "{line:?} {reach}");
        }
    }

    /// A taper of both faces from 4 mm down to 3 takes half a millimeter of each: a pit 0.4 deep goes with it, one of 0.8 does not.
    #[test]
    fn what_is_ground_away_over_a_flaw_is_told() {
        for (deep, words) in [(0.4, "takes it out"), (0.8, "of its 0.8")] {
            let mut knife = flawed(FlawKind::Pit, &[(50.0, 15.0)], 0.5);
            knife.flaws[0].depth_mm = Some(deep);
            let station = |x_mm| ThicknessStation {
                x_mm,
                thickness_mm: 3.0,
            };
            knife.grinding.taper = Some(Taper {
                stations: vec![station(0.0), station(100.0)],
                faces: Faces::Both,
            });
            let told = findings(&knife);
            let flaw = told.iter().find(|f| f.code == "flaw").unwrap();
            let text = flaw.text(&|mm| format!("{mm:.1}"));
            assert!(
                text.contains("grinding takes 0.5") && text.contains(words),
                "{text}"
            );
        }
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
