//! How thick an edge is left: too thin to go through the quench, or too thick for what the blade is for.

use super::bench::Bench;
use super::ground::name_of;
use super::size::blade_use;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::catalog::{BladeUse, EdgeClass, edge_class};
use crate::geometry::Point;
use crate::knife::{Grind, Run};

/// A thickness on the end of its range is within it, mm.
const SLACK_MM: f64 = 1e-6;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let mut finished: Vec<Run> = Vec::new();
    for grind in &bench.knife.grinding.grinds {
        if !grind.after_hardening {
            found.extend(before_quench(bench, grind));
        } else if grind.run.is_on_edge() && !finished.contains(&grind.run) {
            // What is ground on the same run later is the sharpening: the first grind says how thick the steel behind it is.
            finished.push(grind.run);
            found.extend(after_quench(bench, grind));
        }
    }
}

fn place(bench: &Bench<'_>, grind: &Grind) -> Option<Point> {
    let path = bench.knife.run_path(grind.run)?;
    Some(path.place(path.pieces().len() / 2, 0.5)?.point)
}

fn before_quench(bench: &Bench<'_>, grind: &Grind) -> Option<Finding> {
    let t = bench.thresholds;
    let edge = grind.edge_mm;
    let name = name_of(grind);
    let left_on = say(format!("{name} leaves "))
        .mm(edge)
        .say(" before the quench; ");
    let finding = |severity, code, what, wanted| {
        Finding::new(severity, code, what)
            .at(place(bench, grind))
            .about(Subject::Grind(grind.id))
            .measured(edge, wanted)
    };
    let thin = "a thin edge warps or cracks in the quench and loses its carbon first";
    if edge < t.plate_edge_mm - SLACK_MM {
        let what = left_on
            .mm(t.plate_edge_mm)
            .say(" is the least for plates, ")
            .mm(t.oil_edge_mm)
            .say(" for oil");
        return Some(
            finding(
                Severity::Warn,
                "edge-thin-for-quench",
                what,
                t.plate_edge_mm,
            )
            .why(say(thin))
            .mend(say(
                "Leave more, or mark this grind as done after hardening",
            )),
        );
    }
    if edge < t.oil_edge_mm - SLACK_MM {
        let what = left_on
            .say("fit for plates; oil wants ")
            .mm(t.oil_edge_mm)
            .say(" or more");
        return Some(
            finding(Severity::Note, "edge-thin-for-quench", what, t.oil_edge_mm)
                .why(say(thin))
                .mend(say("Leave more if it is quenched in oil")),
        );
    }
    if grind.run.is_on_edge() && edge > t.forged_edge_mm + SLACK_MM {
        let what = left_on
            .say("even forged blades go in at ")
            .mm(t.forged_edge_mm);
        return Some(
            finding(
                Severity::Note,
                "edge-thick-for-quench",
                what,
                t.forged_edge_mm,
            )
            .why(say(
                "all that is left now has to be ground off hard and cool",
            ))
            .mend(say("Leave less")),
        );
    }
    None
}

fn after_quench(bench: &Bench<'_>, grind: &Grind) -> Option<Finding> {
    let purpose = blade_use(&bench.knife.form)?;
    let (least, most) = usual(bench, purpose)?;
    let edge = grind.edge_mm;
    if edge <= most + SLACK_MM {
        return None;
    }
    let what = say(format!("{} leaves ", name_of(grind)))
        .mm(edge)
        .say(format!(
            " before sharpening; a {} usually has ",
            purpose.label().to_lowercase()
        ))
        .mm(least)
        .say(" to ")
        .mm(most);
    Some(
        Finding::new(Severity::Warn, "edge-thick-to-finish", what)
            .at(place(bench, grind))
            .about(Subject::Grind(grind.id))
            .measured(edge, most)
            .why(say(
                "a thick edge wedges in the cut, and every sharpening makes it thicker",
            ))
            .mend(say("Take ").mm(edge - most).say(" more off the edge")),
    )
}

fn usual(bench: &Bench<'_>, purpose: BladeUse) -> Option<(f64, f64)> {
    let t = bench.thresholds;
    Some(match edge_class(purpose)? {
        EdgeClass::Kitchen => t.kitchen_edge_mm,
        EdgeClass::Hunter => t.hunter_edge_mm,
        EdgeClass::Chopper => t.chopper_edge_mm,
        EdgeClass::Carving => t.carving_edge_mm,
    })
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::ground::bench::{bevel, blade, false_edge};
    use super::super::testing::{codes, find, findings_by};
    use super::*;
    use crate::knife::Knife;

    fn with(grind: Grind) -> Knife {
        let mut knife = blade(10.0);
        knife.grinding.grinds = vec![grind];
        knife
    }

    /// Plates from 0.3 mm, oil from 0.5, forged blades up to 1.6.
    #[test]
    fn an_edge_must_live_through_the_quench() {
        let f = find(&with(bevel(20.0, 0.29)), "edge-thin-for-quench");
        assert_eq!(f.severity, Severity::Warn);
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(0.29), Some(0.3)));
        assert_eq!(
            f.what.to_string(),
            "'bevel' leaves 0.29 mm before the quench; 0.3 mm is the least for plates, 0.5 mm for oil"
        );
        // The middle of the run from (10, 0) to (120, 0).
        assert_eq!(f.place, Some(Point::new(65.0, 0.0)));
        for edge in [0.3, 0.49] {
            let f = find(&with(bevel(20.0, edge)), "edge-thin-for-quench");
            assert_eq!((f.severity, f.wanted_mm), (Severity::Note, Some(0.5)));
        }
        for edge in [0.5, 1.6] {
            let all = codes(&with(bevel(20.0, edge)));
            assert!(!all.iter().any(|code| code.starts_with("edge-")), "{all:?}");
        }
        find(&with(bevel(20.0, 1.61)), "edge-thick-for-quench");
        // A false edge may stay thick, but not go in thin.
        assert!(!codes(&with(false_edge(8.0, 2.0))).contains(&"edge-thick-for-quench"));
        find(&with(false_edge(8.0, 0.0)), "edge-thin-for-quench");
    }

    /// The shop's own figures decide: an oil that wants 0.8 mm makes a note of 0.6, forged blades at 0.55 make one of it too, plates from 0.7 a warning.
    #[test]
    fn the_shop_s_figures_decide_on_the_quench() {
        let with_figures = |list: &[(&str, f64)]| {
            let changes = list.iter().map(|(key, v)| ((*key).to_owned(), *v));
            let (own, told) = Thresholds::with_changes(&changes.collect());
            assert!(told.is_empty(), "{told:?}");
            let mut found = findings_by(&with(bevel(20.0, 0.6)), &own);
            found.retain(|f| f.code.starts_with("edge-"));
            found
        };
        assert!(with_figures(&[]).is_empty());
        let oil = with_figures(&[("oil-edge", 0.8)]);
        assert_eq!(
            (oil.len(), oil[0].code, oil[0].severity, oil[0].wanted_mm),
            (1, "edge-thin-for-quench", Severity::Note, Some(0.8))
        );
        let plates = with_figures(&[("oil-edge", 0.8), ("plate-edge", 0.7)]);
        assert_eq!(
            (plates[0].severity, plates[0].wanted_mm),
            (Severity::Warn, Some(0.7))
        );
        let forged = with_figures(&[("thickest-edge", 0.55)]);
        assert_eq!(forged[0].code, "edge-thick-for-quench");
    }

    /// A hunter's 0.6 mm is too thick by the usual 0.5 and right for a shop that likes 0.7; a kitchen knife's 0.2 the other way round.
    #[test]
    fn the_shop_s_figures_decide_on_the_finish() {
        let found = |form: &str, edge, list: &[(&str, f64)]| {
            let mut knife = with(Grind {
                after_hardening: true,
                ..bevel(20.0, edge)
            });
            form.clone_into(&mut knife.form);
            let changes = list.iter().map(|(key, v)| ((*key).to_owned(), *v));
            let (own, _) = Thresholds::with_changes(&changes.collect());
            let found = findings_by(&knife, &own);
            found.iter().any(|f| f.code == "edge-thick-to-finish")
        };
        assert!(found("hunter", 0.6, &[]) && !found("hunter", 0.6, &[("hunter-edge-most", 0.7)]));
        assert!(
            !found("kitchen", 0.2, &[]) && found("kitchen", 0.2, &[("kitchen-edge-most", 0.15)])
        );
    }

    /// A hunter is finished at 0.25 to 0.5 mm, a kitchen knife at 0.13 to 0.25.
    #[test]
    fn a_finished_edge_is_held_against_the_use() {
        let finished = |form: &str, edge| {
            let mut knife = with(Grind {
                after_hardening: true,
                ..bevel(20.0, edge)
            });
            form.clone_into(&mut knife.form);
            knife
        };
        let f = find(&finished("hunter", 0.6), "edge-thick-to-finish");
        assert_eq!(
            f.what.to_string(),
            "'bevel' leaves 0.6 mm before sharpening; a hunter usually has 0.25 mm to 0.5 mm"
        );
        assert_eq!(f.mend.to_string(), "Take 0.1 mm more off the edge");
        find(&finished("kitchen", 0.26), "edge-thick-to-finish");
        for (form, edge) in [
            ("hunter", 0.5),
            ("kitchen", 0.25),
            ("chopper", 0.8),
            ("grafting", 0.2),
            ("", 3.0),
        ] {
            let all = codes(&finished(form, edge));
            assert!(
                !all.iter().any(|code| code.starts_with("edge-")),
                "{form}: {all:?}"
            );
        }
        // The sharpening that follows on the same run is not what is meant.
        let mut knife = finished("kitchen", 0.2);
        knife.grinding.grinds.push(Grind {
            id: 72,
            after_hardening: true,
            ..bevel(1.0, 0.3)
        });
        assert!(!codes(&knife).contains(&"edge-thick-to-finish"));
    }
}
