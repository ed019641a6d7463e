//! Bevels against the depth of the blade: taller than it, or meeting the false edge before the spine.

use super::bench::Bench;
use super::ground::{Ground, GroundRun, Look};
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::Face;

/// A place this near to an end of a run lies beside it, as a share of the run.
const AT_END: f64 = 1e-9;

pub(super) fn look(bench: &Bench<'_>, ground: &Ground<'_>, found: &mut Vec<Finding>) {
    for run in &ground.runs {
        found.extend(too_tall(bench, ground, run));
    }
    for edge in ground.runs.iter().filter(|g| g.grind.run.is_on_edge()) {
        for spine in ground.runs.iter().filter(|g| !g.grind.run.is_on_edge()) {
            found.extend(meeting(bench, edge, spine));
        }
    }
}

/// Part of a run where something holds, and the place on it where the steel is deepest.
#[derive(Default)]
struct Stretch {
    share: f64,
    deepest: Option<(Look, f64)>,
}

impl Stretch {
    fn add(&mut self, look: &Look, height_mm: f64) {
        self.share += look.share;
        if self
            .deepest
            .is_none_or(|(deepest, _)| look.depth_mm > deepest.depth_mm)
        {
            self.deepest = Some((*look, height_mm));
        }
    }

    /// The deepest place, where it holds on more than a share of the run.
    fn over(&self, share: f64) -> Option<(Look, f64)> {
        self.deepest.filter(|_| self.share > share)
    }
}

fn across(look: &Look) -> (Point, Point) {
    let foot = look.place.point;
    (foot, foot + look.place.inward() * look.depth_mm)
}

/// A bevel that passes the far side on much of its run. Where the blade is deepest it must not; a full flat that just reaches the spine there and
/// passes it toward the tip is worth a note only.
fn too_tall(bench: &Bench<'_>, ground: &Ground<'_>, run: &GroundRun<'_>) -> Option<Finding> {
    let mut passing = Stretch::default();
    let mut deepest: Option<(Look, Option<f64>)> = None;
    // The blade may be deepest at an end of the run.
    let ends = [run.path.start(), run.path.end()].into_iter().flatten();
    let ends = ends.filter_map(|place| {
        let depth_mm = ground.depth_mm(place.point, place.inward())?;
        let share = 0.0;
        Some(Look {
            place,
            share,
            depth_mm,
        })
    });
    for look in run.looks.iter().copied().chain(ends) {
        let height = run.tallest_mm(bench, &look.place);
        let passes = height.filter(|h| *h > look.depth_mm + bench.thresholds.bevel_over_mm);
        if deepest.is_none_or(|(d, _)| look.depth_mm > d.depth_mm) {
            deepest = Some((look, passes));
        }
        if let Some(height) = passes {
            passing.add(&look, height);
        }
    }
    let (look, height) = passing.over(bench.thresholds.bevel_passes_share)?;
    let too_tall = deepest.is_some_and(|(_, passes)| passes.is_some());
    let (severity, code, why) = if too_tall {
        (
            Severity::Warn,
            "bevel-too-tall",
            "; that side comes out thinner than the bar",
        )
    } else {
        (
            Severity::Note,
            "bevel-passes-spine",
            " from there on; that side comes out thinner and thinner, as with every full flat",
        )
    };
    let mend = if too_tall {
        say("Lower it to ").mm(look.depth_mm)
    } else {
        say("Let its height follow the spine if that is to keep its thickness")
    };
    let (foot, far) = across(&look);
    let what = say(format!("{} is ", run.name()))
        .mm(height)
        .say(" tall where the blade is ")
        .mm(look.depth_mm)
        .say(" deep");
    Some(
        Finding::new(severity, code, what)
            .across(foot, far)
            .about(Subject::Grind(run.grind.id))
            .measured(height, look.depth_mm)
            .why(
                say("it passes the far side by more than ")
                    .mm(bench.thresholds.bevel_over_mm)
                    .say(why),
            )
            .mend(mend),
    )
}

/// The grind line of the spine's grind lies within the edge's grind.
fn meeting(bench: &Bench<'_>, edge: &GroundRun<'_>, spine: &GroundRun<'_>) -> Option<Finding> {
    let mut met = Stretch::default();
    for look in &spine.looks {
        let together = spine
            .faces()
            .filter_map(|face| heights_together(bench, edge, spine, look, face))
            .reduce(f64::max);
        if let Some(together) = together {
            met.add(look, together);
        }
    }
    let (look, together) = met.over(bench.thresholds.bevels_meet_share)?;
    let (foot, far) = across(&look);
    let what = say(format!("{} and {} are ", edge.name(), spine.name()))
        .mm(together)
        .say(" tall together where the blade is ")
        .mm(look.depth_mm)
        .say(" deep");
    Some(
        Finding::new(Severity::Note, "bevels-meet", what)
            .across(foot, far)
            .about(Subject::Grind(spine.grind.id))
            .measured(together, look.depth_mm)
            .why(say(format!(
                "over more than {:.0} % of the way they meet in a ridge, and nothing of the flat is left between them",
                bench.thresholds.bevels_meet_share * 100.0
            )))
            .mend(
                say("Lower one of them by ")
                    .mm(together - look.depth_mm)
                    .say(" if this was not meant"),
            ),
    )
}

/// The heights of both grinds on a face where they meet; `None` where they stay apart.
fn heights_together(
    bench: &Bench<'_>,
    edge: &GroundRun<'_>,
    spine: &GroundRun<'_>,
    look: &Look,
    face: Face,
) -> Option<f64> {
    let own = spine.height_mm(bench, face, &look.place)?;
    let grind_line = look.place.point + look.place.inward() * own.min(look.depth_mm);
    let (foot, distance) = edge.path.nearest(grind_line)?;
    let beside = foot.at <= AT_END || foot.at >= 1.0 - AT_END;
    let other = edge.height_mm(bench, face, &foot)?;
    (!beside && distance < other - bench.thresholds.bevel_over_mm).then_some(own + other)
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::ground::bench::{bevel, blade, false_edge};
    use super::super::testing::{codes, find, findings_by};
    use super::*;
    use crate::knife::{Cut, CutForm, Grind, Knife, Rise, RiseStation, Sides};

    fn with(grinds: Vec<Grind>) -> Knife {
        let mut knife = blade(10.0);
        knife.grinding.grinds = grinds;
        knife
    }

    /// The plate is 30 deep everywhere.
    #[test]
    fn a_bevel_ends_at_the_far_side() {
        assert!(!codes(&with(vec![bevel(30.0, 0.5)])).contains(&"bevel-too-tall"));
        let f = find(&with(vec![bevel(30.2, 0.5)]), "bevel-too-tall");
        assert_eq!(
            f.what.to_string(),
            "'bevel' is 30.2 mm tall where the blade is 30 mm deep"
        );
        assert_eq!(f.mend.to_string(), "Lower it to 30 mm");
        let (foot, far) = f.across.unwrap();
        assert!(foot.y.abs() < 1e-9 && (far.y - 30.0).abs() < 1e-9);
    }

    /// By angle: a rise of (4 − 0.5)/2 = 1.75 mm in 30 mm is 3.3385°.
    #[test]
    fn a_bevel_by_angle_has_its_height() {
        let by_angle = |degrees: f64| {
            with(vec![Grind {
                sides: Sides::Both(Cut {
                    form: CutForm::Flat,
                    rise: Rise::even_angle(degrees.to_radians()),
                }),
                ..bevel(1.0, 0.5)
            }])
        };
        assert!(!codes(&by_angle(3.4)).contains(&"bevel-too-tall"));
        find(&by_angle(3.3), "bevel-too-tall");
    }

    /// From 40 mm at the plunge down to 20 at the tip the bevel passes the spine on the first half of its run: at 45 to 20 on a little more.
    #[test]
    fn a_short_pass_is_no_matter() {
        let falling = |first: f64| {
            let station = |at, value| RiseStation { at, value };
            with(vec![Grind {
                sides: Sides::Both(Cut {
                    form: CutForm::Flat,
                    rise: Rise::Height(vec![station(0.0, first), station(1.0, 20.0)]),
                }),
                ..bevel(1.0, 0.5)
            }])
        };
        assert!(!codes(&falling(39.0)).contains(&"bevel-too-tall"));
        find(&falling(45.0), "bevel-too-tall");
    }

    /// 30.2 on a blade of 30 is too tall by the usual tenth, and reaches just as well for a shop that scribes to half a millimeter.
    #[test]
    fn the_shop_says_how_near_is_near_enough() {
        let told = |over: f64| {
            let changes = [("bevel-over".to_owned(), over)].into_iter().collect();
            let (own, _) = Thresholds::with_changes(&changes);
            let found = findings_by(&with(vec![bevel(30.2, 0.5)]), &own);
            found.iter().any(|f| f.code == "bevel-too-tall")
        };
        assert!(told(0.1) && told(0.19) && !told(0.21));
    }

    /// 45 to 20 mm passes the spine of 30 on 0.6 of its run, and a false edge of 10.2 meets the bevel of 20 all along: told by the usual half, not by a shop that lets
    /// nine tenths pass.
    #[test]
    fn the_shop_s_shares_decide() {
        let station = |at, value| RiseStation { at, value };
        let passing = with(vec![Grind {
            sides: Sides::Both(Cut {
                form: CutForm::Flat,
                rise: Rise::Height(vec![station(0.0, 45.0), station(1.0, 20.0)]),
            }),
            ..bevel(1.0, 0.5)
        }]);
        let meeting = with(vec![bevel(20.0, 0.5), false_edge(10.2, 1.0)]);
        for (knife, code, key, most) in [
            (passing, "bevel-too-tall", "bevel-passes-share", 0.9),
            (meeting, "bevels-meet", "bevels-meet-share", 1.0),
        ] {
            let told = |share: f64| {
                let changes = [(key.to_owned(), share)].into_iter().collect();
                let (own, _) = Thresholds::with_changes(&changes);
                findings_by(&knife, &own).iter().any(|f| f.code == code)
            };
            assert!(told(0.5) && !told(most), "{code}");
        }
    }

    /// The spine falls from 30 mm at the shoulder to 20 at the front: over the plunge, at x = 10, the blade is 30 − 10·5/60 = 29.17 deep. A full flat of
    /// that height just reaches the spine there and passes it farther on; one of 30 passes it everywhere.
    #[test]
    fn a_full_flat_is_not_too_tall_for_a_falling_spine() {
        let falling = |height| {
            let mut knife = with(vec![bevel(height, 0.5)]);
            for (node, y) in [(3, 20.0), (4, 25.0)] {
                knife.outline.nodes[node].at.y = y;
            }
            codes(&knife)
        };
        let found = falling(29.2);
        assert!(!found.contains(&"bevel-too-tall"));
        assert!(found.contains(&"bevel-passes-spine"));
        let found = falling(30.0);
        assert!(found.contains(&"bevel-too-tall"));
        assert!(!found.contains(&"bevel-passes-spine"));
        let found = falling(20.0);
        assert!(!found.iter().any(|code| code.starts_with("bevel-")));
    }

    /// 20 and 10 mm are the 30 of the plate; 20 and 10.2 are more.
    #[test]
    fn bevels_meet_where_they_are_taller_together_than_the_blade() {
        let two = |a, b| with(vec![bevel(a, 0.5), false_edge(b, 1.0)]);
        assert!(!codes(&two(20.0, 10.0)).contains(&"bevels-meet"));
        let f = find(&two(20.0, 10.2), "bevels-meet");
        assert_eq!(
            f.what.to_string(),
            "'bevel' and 'false edge' are 30.2 mm tall together where the blade is 30 mm deep"
        );
        assert_eq!(
            f.mend.to_string(),
            "Lower one of them by 0.2 mm if this was not meant"
        );
        assert_eq!(f.severity, Severity::Note);
    }

    /// One on the right face, one on the left: each has its own steel.
    #[test]
    fn bevels_on_different_faces_do_not_meet() {
        let cut = |height| Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(height),
        };
        let knife = |edge: Sides, spine: Sides| {
            with(vec![
                Grind {
                    sides: edge,
                    ..bevel(1.0, 0.5)
                },
                Grind {
                    sides: spine,
                    ..false_edge(1.0, 1.0)
                },
            ])
        };
        let apart = knife(Sides::Right(cut(25.0)), Sides::Left(cut(25.0)));
        assert!(!codes(&apart).contains(&"bevels-meet"));
        let together = knife(Sides::Right(cut(25.0)), Sides::Both(cut(25.0)));
        find(&together, "bevels-meet");
    }
}
